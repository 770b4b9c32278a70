//! Joining by the keyboard: a list of everything the selected thing can be joined with, to be
//! narrowed by a few letters. What cannot be joined is not in it.

use egui::{
    Align2, Area, Frame, Id, Key, Margin, Modifiers, Order, RichText, ScrollArea, TextEdit,
};
use egui::{Ui, vec2};

use super::state::{BoardState, Joining};
use crate::app::find::{fold, fuzzy};
use crate::app::panels::{Row, row_ui, select_text};
use crate::app::theme::{Sign, kind_sign, semibold, sign_label};
use crate::app::view::ViewCtx;
use crate::layout::Layout;
use crate::model::connect::connect;
use crate::model::{PhaseId, Scenario, ThingId};

/// Width of the list.
const WIDTH: f32 = 480.0;

impl Joining {
    /// Asks everything on the board what it says to being joined with a thing.
    pub(crate) fn of(s: &Scenario, phase: PhaseId, layout: &Layout, from: ThingId) -> Self {
        let targets = layout
            .things()
            .filter(|(thing, _)| *thing != from)
            .filter_map(|(thing, _)| Some((thing, connect(s, phase, from, thing).ok()?)))
            .collect();
        Self {
            from,
            targets,
            wish: String::new(),
            chosen: 0,
            fresh: true,
        }
    }
}

/// Shows the list, while it is open.
pub(super) fn join_ui(ctx: &mut ViewCtx<'_>, ui: &Ui, state: &mut BoardState) {
    let view = state.camera.view;
    let Some(mut joining) = state.joining.take() else {
        return;
    };
    let shown = Area::new(Id::unique("board-join"))
        .order(Order::Foreground)
        .pivot(Align2::CENTER_TOP)
        .fixed_pos(egui::pos2(view.center().x, view.min.y + 40.0))
        .show(ui.ctx(), |ui| {
            Frame::window(ui.style())
                .inner_margin(Margin::same(12))
                .show(ui, |ui| {
                    ui.set_width(WIDTH);
                    list(ctx, ui, &mut joining)
                })
                .inner
        });
    let elsewhere = ui.input(|i| {
        i.pointer.any_pressed()
            && i.pointer
                .interact_pos()
                .is_some_and(|at| !shown.response.rect.contains(at))
    });
    if let Some(i) = shown.inner {
        if let Some((_, connection)) = joining.targets.get(i) {
            ctx.apply(connection.title.clone(), connection.edits.clone());
        }
    } else if !elsewhere {
        state.joining = Some(joining);
    }
}

/// Shows field and rows; returns the target taken.
fn list(ctx: &ViewCtx<'_>, ui: &mut Ui, joining: &mut Joining) -> Option<usize> {
    let t = ctx.tokens;
    let rows = rows(joining);
    let last = rows.iter().filter(|r| r.can_be_chosen()).count().max(1) - 1;
    joining.chosen = joining.chosen.min(last);
    let key = |key| ui.input_mut(|i| i.consume_key(Modifiers::NONE, key));
    if key(Key::ArrowDown) {
        joining.chosen = (joining.chosen + 1).min(last);
    }
    if key(Key::ArrowUp) {
        joining.chosen = joining.chosen.saturating_sub(1);
    }
    let enter = key(Key::Enter);
    let id = Id::unique("board-join-field");
    ui.horizontal(|ui| {
        sign_label(ui, Sign::Path, 18.0, t.accent.ink);
        let words = format!("Join {} with", ctx.scenario.name(joining.from));
        let words = RichText::new(words).font(semibold(13.5)).color(t.text);
        let label = ui.add(egui::Label::new(words).truncate());
        let field = TextEdit::singleline(&mut joining.wish)
            .id(id)
            .hint_text("A few letters")
            .margin(vec2(8.0, 6.0))
            .desired_width(ui.available_width().max(80.0));
        if ui.add(field).labelled_by(label.id).changed() {
            joining.chosen = 0;
        }
    });
    ui.memory_mut(|m| m.request_focus(id));
    if std::mem::take(&mut joining.fresh) {
        select_text(ui, id, 0);
    }
    ui.add_space(6.0);
    let mut taken = None;
    let mut turn = 0;
    ScrollArea::vertical()
        .max_height(320.0)
        .min_scrolled_height(320.0)
        .show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 1.0;
            for row in &rows {
                let is_chosen = row.can_be_chosen() && turn == joining.chosen;
                let response = row_ui(ui, t, row, is_chosen);
                if response.clicked() || (is_chosen && enter) {
                    taken = row.offer();
                }
                turn += usize::from(row.can_be_chosen());
            }
        });
    taken
}

fn rows(joining: &Joining) -> Vec<Row<usize>> {
    /// Most rows shown; whoever wants another types on.
    const MOST: usize = 80;
    let typed = fold(&joining.wish);
    let mut fits: Vec<(i32, usize)> = joining
        .targets
        .iter()
        .enumerate()
        .filter_map(|(i, (_, connection))| {
            if typed.trim().is_empty() {
                return Some((0, i));
            }
            Some((fuzzy(&typed, &connection.title)?.points, i))
        })
        .collect();
    fits.sort_by_key(|(points, i)| (std::cmp::Reverse(*points), *i));
    if fits.is_empty() {
        let why = if joining.targets.is_empty() {
            "Nothing on the board can be joined with it"
        } else {
            "No target fits these letters"
        };
        return vec![Row::Note(why.to_owned())];
    }
    fits.truncate(MOST);
    fits.into_iter()
        .filter_map(|(_, i)| {
            let (thing, connection) = joining.targets.get(i)?;
            Some(Row::Offer {
                offer: Some(i),
                label: connection.title.clone(),
                sign: kind_sign(thing.kind()),
                words: connection.title.clone(),
                marked: Vec::new(),
                remark: (thing.kind().to_string(), Vec::new()),
            })
        })
        .collect()
}
