//! Another phase set against the one shown: what differs is marked on the board and listed beside it.

use std::sync::Arc;

use egui::{Align2, Area, Id, Order, Rect, RichText, ScrollArea, Sense, Ui, pos2};

use super::draw::Scene;
use super::overlay::floating;
use super::pen::{Pen, Strength};
use super::state::BoardState;
use super::talk_labels::{Label, place};
use crate::app::action::Action;
use crate::app::panels::pending;
use crate::app::theme::{Sign, semibold, sign_button, sign_label};
use crate::app::view::ViewCtx;
use crate::app::words::sentence;
use crate::model::{PhaseId, ThingId};
use crate::picture::compare::{About, Comparison, PARTS};

/// Width of the list, in points.
const WIDTH: f32 = 330.0;

/// Returns the sign before a part of the list.
fn sign_of(about: &[About]) -> Sign {
    match about.first() {
        Some(About::Period) => Sign::Phase,
        Some(About::People) => Sign::Unit,
        Some(About::Defined) => Sign::Channel,
        Some(About::Programmed | About::Selected) => Sign::Radio,
        Some(About::Gained) => Sign::Ear,
        Some(About::Lost) => Sign::EarCrossed,
        Some(About::Met) => Sign::Need,
        Some(About::SetUp | About::Plugged) => Sign::Gateway,
        _ => Sign::Plus,
    }
}

/// Returns what differs from the phase shown to the other one, or to the other file; none while it is
/// worked out.
pub(super) fn of(ctx: &ViewCtx<'_>) -> Option<Arc<Comparison>> {
    match (ctx.shared.compare, &ctx.shared.against) {
        (Some(other), _) => ctx.derived.compared(other),
        (None, Some(other)) => ctx.derived.compared_with(&other.scenario, other.phase),
        (None, None) => None,
    }
}

/// Marks what differs.
pub(super) fn draw(
    pen: &Pen,
    scene: &Scene<'_>,
    (other, comparison): (Option<PhaseId>, &Comparison),
    pointed: &[ThingId],
) {
    pen.set(Strength::Full);
    let t = pen.t;
    let mut labels = Vec::new();
    for thing in comparison.changed() {
        let Some(rect) = scene.layout.rect(thing).filter(|r| pen.sees(*r)) else {
            continue;
        };
        pen.outline(rect.expand(2.0), 10.0, 2.5, t.warns.ink);
        labels.push(Label {
            thing,
            sign: None,
            words: then_words(scene, other, thing),
            ink: t.warns.ink,
        });
    }
    for thing in pointed {
        if let Some(rect) = scene.layout.rect(*thing) {
            pen.outline(rect.expand(4.0), 12.0, 3.0, t.accent.ink);
        }
    }
    place(pen, scene, labels);
}

/// Says what a port or radio is set to in the other phase.
fn then_words(scene: &Scene<'_>, other: Option<PhaseId>, thing: ThingId) -> String {
    let s = scene.scenario;
    let Some(then) = other.and_then(|other| s.phases.get(other)) else {
        return "differs".to_owned();
    };
    match thing {
        ThingId::Port(port)
            if then.attachments.get(&port) != scene.phase.attachments.get(&port) =>
        {
            match then.attachments.get(&port) {
                Some(attachment) => format!("then {}", s.name(attachment.thing())),
                None => "then empty".to_owned(),
            }
        }
        ThingId::Port(port) => match then.switches.get(&port) {
            Some(group) => format!("then group {group}"),
            None => "then none".to_owned(),
        },
        ThingId::Radio(id) => {
            let radio = s.radios.get(id);
            match radio.and_then(|r| s.selected_channel(then, r)) {
                Some(channel) => format!("then {}", s.name(channel.into())),
                None => "then no channel".to_owned(),
            }
        }
        _ => "differs".to_owned(),
    }
}

/// Lists what differs, in words.
pub(super) fn list(ctx: &mut ViewCtx<'_>, ui: &Ui, state: &mut BoardState, view: Rect) {
    state.pointed.clear();
    if ctx.shared.compare.is_none() && ctx.shared.against.is_none() {
        return;
    }
    let comparison = of(ctx);
    let t = ctx.tokens;
    let mut close = false;
    // While somebody talks the legend stands in the corner.
    let bottom = if ctx.shared.talk.is_some() {
        72.0
    } else {
        16.0
    };
    Area::new(Id::unique("comparing"))
        .order(Order::Middle)
        .pivot(Align2::LEFT_BOTTOM)
        .fixed_pos(pos2(view.min.x + 16.0, view.max.y - bottom))
        .show(ui.ctx(), |ui| {
            floating(t).show(ui, |ui| {
                ui.set_width(WIDTH);
                ui.horizontal_top(|ui| {
                    sign_label(ui, Sign::Phase, 17.0, t.accent.ink);
                    let words = RichText::new(head(ctx)).font(semibold(13.5));
                    ui.vertical(|ui| {
                        ui.set_width(WIDTH - 70.0);
                        ui.add(egui::Label::new(words).wrap());
                    });
                    close = sign_button(ui, t, Sign::Cross, "End the comparison", true).clicked();
                });
                let Some(comparison) = comparison else {
                    pending(ctx, ui);
                    return;
                };
                if comparison.differences.is_empty() {
                    ui.label(RichText::new("Nothing differs between the two.").color(t.soft));
                }
                ScrollArea::vertical()
                    .id_salt("differences")
                    .max_height((view.height() * 0.36).max(120.0))
                    .show(ui, |ui| {
                        for (title, about) in PARTS {
                            let sign = sign_of(about);
                            part(ctx, ui, state, &comparison, (title, sign, about));
                        }
                    });
            });
        });
    if close {
        ctx.push(Action::Compare(None));
        ctx.push(Action::EndComparing);
    }
}

fn head(ctx: &ViewCtx<'_>) -> String {
    let s = ctx.scenario;
    let shown = s.name(ctx.shared.phase.into());
    match (ctx.shared.compare, &ctx.shared.against) {
        (None, Some(other)) => {
            let name = other.scenario.name(other.phase.into());
            format!("From {shown} here to {name} of {}", other.file)
        }
        (Some(other), _) => format!("From {shown} to {}", s.name(other.into())),
        (None, None) => shown,
    }
}

fn part(
    ctx: &mut ViewCtx<'_>,
    ui: &mut Ui,
    state: &mut BoardState,
    comparison: &Comparison,
    (title, sign, about): (&str, Sign, &[About]),
) {
    let t = ctx.tokens;
    let wanted = comparison.differences.iter();
    let mut lines = wanted.filter(|d| about.contains(&d.about)).peekable();
    if lines.peek().is_none() {
        return;
    }
    ui.add_space(4.0);
    ui.horizontal(|ui| {
        sign_label(ui, sign, 14.0, t.soft);
        ui.label(RichText::new(title).font(semibold(13.0)).color(t.text));
    });
    for line in lines {
        let words = RichText::new(sentence(&line.words))
            .size(12.5)
            .color(t.text);
        let label = egui::Label::new(words).wrap().sense(Sense::click());
        let label = ui.add(label).on_hover_text("Show it on the board");
        if label.clicked() {
            ctx.push(Action::Show(line.things.clone()));
        }
        if label.hovered() {
            state.pointed.clone_from(&line.things);
        }
    }
}
