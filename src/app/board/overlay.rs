//! What floats over the board: the band, the line being drawn, tooltips, tools, the talk strip.

use egui::{
    Align2, Area, CornerRadius, Frame, Id, Margin, Order, Pos2, Rect, Response, RichText, Shadow,
    Stroke, Ui, Vec2, vec2,
};

use super::draw::Scene;
use super::hit::{party_of, target_of};
use super::pen::Pen;
use super::state::{BoardState, Drag};
use crate::app::action::Action;
use crate::app::command::Command;
use crate::app::shelf::Article;
use crate::app::theme::{Sign, Tokens, primary_button, semibold, sign_button, sign_label};
use crate::app::view::ViewCtx;
use crate::app::words::sentence;
use crate::library::Item;

/// Draws the band, the connection being drawn and what hangs from the shelf.
pub(super) fn drags(pen: &Pen, scene: &Scene<'_>, state: &BoardState, ui: &Ui) {
    let t = pen.t;
    let Some(at) = ui.input(|i| i.pointer.latest_pos()) else {
        return;
    };
    match &state.drag {
        Drag::Band { from } => {
            let band = Rect::from_two_pos(*from, pen.camera.board_spot(at));
            pen.fill(band, 4.0, t.accent.ink.gamma_multiply(0.08));
            pen.outline(band, 4.0, 1.2, t.accent.ink);
        }
        Drag::Connect { from, targets, cut } => {
            let root = cut.as_ref().map(|c| c.end.root);
            let Some(start) = root.or_else(|| super::hit::handle(scene.layout, *from)) else {
                return;
            };
            let end = pen.camera.board_spot(at);
            let reach = vec2((end.x - start.x) * 0.5, 0.0);
            let over = scene
                .hovered
                .map(|h| target_of(scene.layout, targets, h.thing));
            let target = over.and_then(|thing| targets.get(&thing));
            let colour = match target {
                Some(Ok(_)) => t.good.ink,
                Some(Err(_)) => t.stops.ink,
                None => t.accent.ink,
            };
            let curve = [start, start + reach, end - reach, end];
            pen.curve(curve, 3.0, colour);
            pen.spot(end, 5.0 / pen.camera.zoom, colour);
            if let Some(thing) = over.filter(|_| target.is_some_and(Result::is_ok))
                && let Some(rect) = scene.layout.rect(thing)
            {
                pen.outline(rect.expand(3.0), 10.0, 2.5, t.good.ink);
            }
        }
        Drag::Move { .. } => {
            for guide in &state.guides {
                pen.path(&guide.ends, 1.4, t.accent.ink);
            }
        }
        Drag::Idle | Drag::Pressed { .. } | Drag::Pan | Drag::Talk => {}
    }
}

/// Draws the ring at the end of a line under the pointer, and where the keys are away from what is
/// selected.
pub(super) fn ends(pen: &Pen, scene: &Scene<'_>, state: &BoardState) {
    let t = pen.t;
    if let Some(end) = state.end.filter(|_| !state.is_busy()) {
        let radius = 6.0 / pen.camera.zoom.clamp(0.6, 1.6);
        pen.spot(end.at, radius, t.card);
        pen.ring(end.at, radius, 2.0, t.accent.ink);
    }
    if let Some(thing) = state.cursor.filter(|c| !scene.is_selected(*c))
        && let Some(rect) = scene.layout.rect(thing)
    {
        let r = rect.expand(4.0);
        let round = [r.min, r.right_top(), r.max, r.left_bottom(), r.min];
        pen.dashes(&round, 2.0, 6.0, t.accent.ink);
    }
}

/// Shows the tooltip of a connection being drawn, of a shelf article, or of one who does not hear.
pub(super) fn tooltips(
    ctx: &ViewCtx<'_>,
    ui: &Ui,
    scene: &Scene<'_>,
    state: &BoardState,
    response: &Response,
) {
    let t = ctx.tokens;
    let Some(at) = ui.input(|i| i.pointer.latest_pos()) else {
        return;
    };
    if let Some(item) = response.dnd_hover_payload::<Item>() {
        note(ui, t, at, |ui| {
            sign_label(ui, Sign::Plus, 15.0, t.accent.ink);
            ui.label(format!("Drop to add {}", item.name));
        });
        return;
    }
    if let Some(article) = response.dnd_hover_payload::<Article>() {
        note(ui, t, at, |ui| {
            sign_label(ui, article.sign(), 15.0, t.accent.ink);
            ui.label(format!("Drop to add a {}", article.word()));
        });
        return;
    }
    if let (Drag::Connect { from, targets, .. }, Some(hit)) = (&state.drag, scene.hovered) {
        let target = target_of(scene.layout, targets, hit.thing);
        match targets.get(&target) {
            Some(Ok(connection)) => note(ui, t, at, |ui| {
                sign_label(ui, Sign::Tick, 15.0, t.good.ink);
                ui.label(&connection.title);
            }),
            Some(Err(reason)) if hit.thing != *from => note(ui, t, at, |ui| {
                sign_label(ui, Sign::None, 15.0, t.stops.ink);
                ui.label(sentence(reason));
            }),
            _ => {}
        }
        return;
    }
    if let (Some(talk), Some(hit)) = (scene.talk, scene.hovered)
        && let Some(party) = party_of(scene.scenario, scene.phase, hit.thing)
        && talk.silent.contains(&party)
    {
        let Some(why) = ctx.derived.why_not(talk.party, party) else {
            note(ui, t, at, |ui| {
                ui.label("Working out why they do not hear it");
            });
            return;
        };
        note(ui, t, at, |ui| {
            ui.vertical(|ui| {
                let name = scene.scenario.name(party.into());
                ui.label(RichText::new(format!("Why {name} does not hear")).font(semibold(13.0)));
                if why.changes.is_empty() {
                    ui.label("No change of settings joins them");
                }
                for change in &why.changes {
                    ui.horizontal(|ui| {
                        sign_label(ui, Sign::Cross, 12.0, t.stops.ink);
                        ui.label(sentence(&change.reason));
                    });
                    ui.horizontal(|ui| {
                        sign_label(ui, Sign::ArrowRight, 12.0, t.good.ink);
                        ui.label(&change.title);
                    });
                }
            });
        });
    }
}

fn note(ui: &Ui, t: &Tokens, at: Pos2, contents: impl FnOnce(&mut Ui)) {
    Area::new(Id::unique("board-note"))
        .order(Order::Tooltip)
        .fixed_pos(at + vec2(16.0, 18.0))
        .constrain(true)
        .interactable(false)
        .show(ui.ctx(), |ui| {
            floating(t).show(ui, |ui| {
                ui.set_max_width(320.0);
                ui.horizontal(|ui| contents(ui));
            });
        });
}

/// The ground of what floats over the board.
pub(super) fn floating(t: &Tokens) -> Frame {
    Frame::new()
        .fill(t.panel)
        .stroke(Stroke::new(1.0, t.panel_edge))
        .corner_radius(CornerRadius::same(10))
        .inner_margin(Margin::symmetric(12, 8))
        .shadow(Shadow {
            offset: [0, 4],
            blur: 16,
            spread: 0,
            color: t.shadow,
        })
}

/// Shows the zoom tools in the lower right corner.
pub(super) fn tools(ctx: &mut ViewCtx<'_>, ui: &Ui, state: &BoardState) {
    let t = ctx.tokens;
    Area::new(Id::unique("board-tools"))
        .order(Order::Middle)
        .pivot(Align2::RIGHT_BOTTOM)
        .fixed_pos(state.camera.view.max - Vec2::splat(16.0))
        .show(ui.ctx(), |ui| {
            floating(t)
                .inner_margin(Margin::symmetric(6, 3))
                .show(ui, |ui| {
                    ui.horizontal(|ui| {
                        ui.spacing_mut().item_spacing.x = 2.0;
                        if sign_button(ui, t, Sign::Minus, "Further away", true).clicked() {
                            ctx.command(Command::ZoomOut);
                        }
                        let percent = format!("{:.0} %", state.camera.zoom * 100.0);
                        ui.add_sized(
                            vec2(44.0, 24.0),
                            egui::Label::new(RichText::new(percent).size(12.0).color(t.soft)),
                        );
                        if sign_button(ui, t, Sign::Plus, "Closer", true).clicked() {
                            ctx.command(Command::ZoomIn);
                        }
                        if sign_button(ui, t, Sign::Fit, "Show everything (F)", true).clicked() {
                            ctx.command(Command::Fit);
                        }
                    });
                });
        });
}

/// Shows where to begin, on an empty board.
pub(super) fn welcome(ctx: &mut ViewCtx<'_>, ui: &Ui, view: Rect) {
    let t = ctx.tokens;
    Area::new(Id::unique("board-welcome"))
        .order(Order::Middle)
        .pivot(Align2::CENTER_CENTER)
        .fixed_pos(view.center())
        .show(ui.ctx(), |ui| {
            floating(t)
                .inner_margin(Margin::same(28))
                .corner_radius(CornerRadius::same(16))
                .show(ui, |ui| {
                    ui.set_max_width(400.0);
                    ui.vertical_centered(|ui| {
                        sign_label(ui, Sign::Logo, 44.0, t.accent.ink);
                        ui.add_space(4.0);
                        ui.label(RichText::new("An empty board").font(semibold(18.0)));
                        ui.label(
                            RichText::new(
                                "Drag an agency, its units and their channels from the shelf on \
                                 the left. Then press and hold a unit: it talks, and you see who \
                                 hears it.",
                            )
                            .color(t.soft),
                        );
                        ui.add_space(8.0);
                        if primary_button(ui, t, "Add a unit").clicked() {
                            ctx.push(Action::Add {
                                article: Article::Unit,
                                at: None,
                                on: None,
                            });
                        }
                    });
                });
        });
}
