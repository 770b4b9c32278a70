//! Finding by typing: the palette of commands and places, and the search through everything a plan
//! says. One field, one list below it; the arrows choose, Enter does.

mod palette;
mod row;
mod search;

use std::sync::Arc;

use egui::{
    Align2, Area, Context, CornerRadius, Frame, Id, Key, Margin, Modifiers, Order, RichText,
    ScrollArea, TextEdit, Ui, vec2,
};

use palette::Offer;
pub(crate) use row::{Row, row_ui, select_text};

use crate::app::find::{Found, Index};
use crate::app::theme::{Sign, Tokens, semibold, sign_label};
use crate::app::view::ViewCtx;
use crate::model::{Scenario, ThingId};

/// Width of the window.
const WIDTH: f32 = 620.0;
/// Height of the list.
const HEIGHT: f32 = 420.0;

/// Which of the two is open.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Mode {
    Palette,
    Find,
}

/// What finding remembers.
#[derive(Debug, Default)]
pub(crate) struct FinderState {
    open: Option<Mode>,
    /// Just opened: what the field holds is selected.
    fresh: bool,
    /// What was typed in the palette.
    wish: String,
    /// What was typed in the search.
    query: String,
    /// The row chosen in the list.
    chosen: usize,
    /// Offers taken lately, the last one first.
    recent: Vec<Offer>,
    index: Option<(Arc<Scenario>, Arc<Index>)>,
    /// The last search: of what, for what, and what it found.
    last: Option<(Arc<Index>, String, Arc<Vec<Found>>)>,
    /// Where in the last search the going from one to the next stands.
    at: Option<ThingId>,
}

impl FinderState {
    /// Opens the palette, or closes it.
    pub(crate) fn open_palette(&mut self) {
        if self.open == Some(Mode::Palette) {
            self.open = None;
            return;
        }
        self.open = Some(Mode::Palette);
        self.wish.clear();
        (self.fresh, self.chosen) = (true, 0);
    }

    /// Opens the search with what was looked for before.
    pub(crate) fn open_find(&mut self) {
        self.open = Some(Mode::Find);
        (self.fresh, self.chosen) = (true, 0);
    }

    /// Tells whether one of the two is open.
    pub(crate) fn is_open(&self) -> bool {
        self.open.is_some()
    }

    /// Closes what is open; returns whether something was.
    pub(crate) fn close(&mut self) -> bool {
        self.open.take().is_some()
    }

    /// Forgets what belonged to the scenario before.
    pub(crate) fn start_over(&mut self) {
        self.open = None;
        self.recent.retain(Offer::is_of_any_scenario);
        (self.index, self.last, self.at) = (None, None, None);
    }

    /// Returns the next thing found, or the one before; after the last comes the first.
    pub(crate) fn step(&mut self, scenario: &Arc<Scenario>, forward: bool) -> Option<ThingId> {
        let found = self.found(scenario);
        let count = found.len();
        if count == 0 {
            return None;
        }
        let now = self
            .at
            .and_then(|at| found.iter().position(|f| f.thing == at));
        let next = match (now, forward) {
            (None, true) => 0,
            (None, false) => count - 1,
            (Some(i), true) => (i + 1) % count,
            (Some(i), false) => (i + count - 1) % count,
        };
        self.at = found.get(next).map(|f| f.thing);
        self.at
    }

    /// Returns the index of a scenario, read once.
    fn index(&mut self, scenario: &Arc<Scenario>) -> Arc<Index> {
        if let Some((of, index)) = &self.index
            && Arc::ptr_eq(of, scenario)
        {
            return Arc::clone(index);
        }
        let index = Arc::new(Index::of(scenario));
        self.index = Some((Arc::clone(scenario), Arc::clone(&index)));
        index
    }

    /// Returns what the query finds, searched once.
    fn found(&mut self, scenario: &Arc<Scenario>) -> Arc<Vec<Found>> {
        let index = self.index(scenario);
        if let Some((of, query, found)) = &self.last
            && Arc::ptr_eq(of, &index)
            && *query == self.query
        {
            return Arc::clone(found);
        }
        let found = Arc::new(index.search(&self.query));
        self.last = Some((index, self.query.clone(), Arc::clone(&found)));
        found
    }
}

/// Shows what is open.
pub(crate) fn finder_ui(ctx: &mut ViewCtx<'_>, egui: &Context, state: &mut FinderState) {
    let Some(mode) = state.open else { return };
    let top = egui.content_rect().min.y + 84.0;
    let shown = Area::new(Id::unique("finder"))
        .order(Order::Foreground)
        .anchor(Align2::CENTER_TOP, vec2(0.0, top))
        .show(egui, |ui| {
            Frame::window(&egui.global_style())
                .inner_margin(Margin::same(12))
                .corner_radius(CornerRadius::same(14))
                .show(ui, |ui| {
                    ui.set_width(WIDTH);
                    let rows = match mode {
                        Mode::Palette => palette::rows(ctx, state),
                        Mode::Find => search::rows(ctx, state),
                    };
                    window(ctx, ui, state, mode, &rows);
                });
        });
    let elsewhere = egui.input(|i| {
        i.pointer.any_pressed()
            && i.pointer
                .interact_pos()
                .is_some_and(|at| !shown.response.rect.contains(at))
    });
    if elsewhere || egui.input(|i| i.key_pressed(Key::Escape)) {
        state.open = None;
    }
}

fn window(
    ctx: &mut ViewCtx<'_>,
    ui: &mut Ui,
    state: &mut FinderState,
    mode: Mode,
    rows: &[Row<Offer>],
) {
    let t = ctx.tokens;
    // The keys of the list go before the field, which would want them too.
    let choices: Vec<usize> = (0..rows.len())
        .filter(|i| rows.get(*i).is_some_and(Row::can_be_chosen))
        .collect();
    let last = choices.len().saturating_sub(1);
    state.chosen = state.chosen.min(last);
    let key = |ui: &Ui, key| ui.input_mut(|i| i.consume_key(Modifiers::NONE, key));
    let before = state.chosen;
    if key(ui, Key::ArrowDown) {
        state.chosen = if state.chosen >= last {
            0
        } else {
            state.chosen + 1
        };
    }
    if key(ui, Key::ArrowUp) {
        state.chosen = if state.chosen == 0 {
            last
        } else {
            state.chosen - 1
        };
    }
    if key(ui, Key::PageDown) {
        state.chosen = (state.chosen + 10).min(last);
    }
    if key(ui, Key::PageUp) {
        state.chosen = state.chosen.saturating_sub(10);
    }
    let moved = before != state.chosen;
    let enter = key(ui, Key::Enter);
    field(ui, t, state, mode);
    ui.add_space(6.0);
    let mut taken = None;
    let mut turn = 0;
    ScrollArea::vertical()
        .max_height(HEIGHT)
        .min_scrolled_height(HEIGHT)
        .auto_shrink([false, true])
        .show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 1.0;
            for row in rows {
                let is_chosen = row.can_be_chosen() && turn == state.chosen;
                let response = row_ui(ui, t, row, is_chosen);
                if is_chosen && moved {
                    response.scroll_to_me(None);
                }
                if response.clicked() || (is_chosen && enter) {
                    taken = row.offer();
                }
                turn += usize::from(row.can_be_chosen());
            }
        });
    ui.add_space(4.0);
    ui.label(RichText::new(foot(mode)).size(11.5).color(t.faint));
    if let Some(offer) = taken {
        take(ctx, state, mode, offer);
    }
}

fn foot(mode: Mode) -> &'static str {
    match mode {
        Mode::Palette => "Up and Down choose, Enter does it, Escape closes",
        Mode::Find => "Up and Down choose, Enter goes there; F3 goes on to the next, Shift+F3 back",
    }
}

fn field(ui: &mut Ui, t: &Tokens, state: &mut FinderState, mode: Mode) {
    let (name, text) = match mode {
        Mode::Palette => ("Command or place", &mut state.wish),
        Mode::Find => ("Find", &mut state.query),
    };
    let hint = match mode {
        Mode::Palette => "A few letters of a command, a thing or a phase",
        Mode::Find => "A name, 155.475, D023, NAC 293, a group number, a connector, a note",
    };
    let id = Id::unique("finder-field");
    let changed = ui
        .horizontal(|ui| {
            sign_label(ui, Sign::Search, 18.0, t.accent.ink);
            let label = ui.label(RichText::new(name).font(semibold(13.5)).color(t.text));
            let field = TextEdit::singleline(text)
                .id(id)
                .hint_text(hint)
                .margin(vec2(8.0, 6.0))
                .desired_width(ui.available_width());
            ui.add(field).labelled_by(label.id).changed()
        })
        .inner;
    if changed {
        state.chosen = 0;
    }
    ui.memory_mut(|m| m.request_focus(id));
    if std::mem::take(&mut state.fresh) {
        let end = match mode {
            Mode::Palette => state.wish.chars().count(),
            Mode::Find => state.query.chars().count(),
        };
        select_text(ui, id, end);
    }
}

fn take(ctx: &mut ViewCtx<'_>, state: &mut FinderState, mode: Mode, offer: Offer) {
    if mode == Mode::Find {
        state.at = offer.thing();
    } else {
        state.recent.retain(|o| *o != offer);
        state.recent.insert(0, offer);
        state.recent.truncate(8);
    }
    state.open = None;
    ctx.push(offer.action());
}
