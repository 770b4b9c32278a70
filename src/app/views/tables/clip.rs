//! Copying cells as text, and pasting: what a pasted text would do is shown before it is done.

use std::sync::Arc;

use egui::{Frame, Margin, RichText, ScrollArea, Stroke, Ui};

use super::{Spot, TablesState, cells_id};
use crate::app::action::Action;
use crate::app::theme::{Sign, primary_button, semibold, sign_label, text_button};
use crate::app::view::ViewCtx;
use crate::sheets::{Grid, Paste, text_of};

/// A pasted text that waits for an answer.
#[derive(Debug)]
pub(super) struct Pasting {
    grid: Grid,
    from: Spot,
    paste: Paste,
    /// The scenario moved since it was laid on the table.
    pub(super) stale: bool,
}

impl TablesState {
    /// Copies the range; the whole table goes with its headings.
    pub(super) fn copy(&mut self, ui: &Ui, ctx: &mut ViewCtx<'_>) {
        let (low, high) = self.range();
        let is_whole = low == Spot::default()
            && high.row + 1 >= self.shown()
            && high.column + 1 == self.sheet().columns()
            && self.shown() > 1;
        let cells = (high.row - low.row + 1) * (high.column - low.column + 1);
        let text = if is_whole {
            self.whole_text()
        } else {
            let rows: Vec<Vec<String>> = (low.row..=high.row)
                .map(|row| {
                    let columns = low.column..=high.column;
                    columns
                        .map(|column| self.text_at(Spot { row, column }))
                        .collect()
                })
                .collect();
            match rows.as_slice() {
                [row] if row.len() == 1 => row.concat(),
                _ => text_of(rows.iter().map(|row| row.iter().map(String::as_str))),
            }
        };
        ui.ctx().copy_text(text);
        if is_whole {
            ctx.push(Action::Say("Copied the table".to_owned()));
        } else if cells > 1 {
            ctx.push(Action::Say(format!("Copied {cells} cells")));
        }
    }

    /// Takes a pasted text: one value goes into the cells selected, more wait for an answer.
    pub(super) fn paste(&mut self, ctx: &mut ViewCtx<'_>, text: &str) {
        let grid = Grid::read(text);
        if grid.rows.is_empty() {
            return;
        }
        let (from, to) = self.range();
        if let Some(value) = grid.single() {
            if from == to {
                self.type_into(ctx, from, value);
            } else {
                let texts = self.in_range(|_, _| value.to_owned());
                self.write(ctx, "Paste into", texts);
            }
            return;
        }
        if let Some(paste) = self.laid(&grid, from) {
            self.pasting = Some(Pasting {
                grid,
                from,
                paste,
                stale: false,
            });
        }
    }

    fn laid(&self, grid: &Grid, from: Spot) -> Option<Paste> {
        let book = Arc::clone(&self.lines.as_ref()?.book);
        let rows: Vec<_> = (from.row..self.shown())
            .filter_map(|at| self.row_at(at))
            .collect();
        Some(Paste::new(self.sheet(), &book, grid, &rows, from.column))
    }

    /// Does what the pasted text would do, as one step.
    pub(super) fn do_paste(&mut self, ctx: &mut ViewCtx<'_>, good_rows: bool) {
        let is_whole = self
            .pasting
            .as_ref()
            .is_some_and(|p| p.paste.offer.problems.is_empty());
        if !is_whole && !good_rows {
            return;
        }
        let Some(pasting) = self.pasting.take() else {
            return;
        };
        let offer = pasting.paste.offer;
        if offer.is_empty() {
            return;
        }
        let label = format!("Paste {}", counts(offer.changed, offer.added));
        self.leaf().go(pasting.from);
        ctx.apply(label, offer.edits);
    }
}

fn counts(changed: usize, added: usize) -> String {
    let cells = match changed {
        0 => None,
        1 => Some("1 cell".to_owned()),
        n => Some(format!("{n} cells")),
    };
    let rows = match added {
        0 => None,
        1 => Some("1 new row".to_owned()),
        n => Some(format!("{n} new rows")),
    };
    match (cells, rows) {
        (Some(cells), Some(rows)) => format!("{cells} and {rows}"),
        (Some(only), None) | (None, Some(only)) => only,
        (None, None) => "nothing".to_owned(),
    }
}

/// Shows what the pasted text would do, with every cell that cannot be, and asks.
pub(super) fn paste_bar(ctx: &mut ViewCtx<'_>, ui: &mut Ui, state: &mut TablesState) {
    let again = state.pasting.as_ref().filter(|p| p.stale);
    if let Some(paste) = again.and_then(|p| state.laid(&p.grid, p.from))
        && let Some(pasting) = &mut state.pasting
    {
        pasting.paste = paste;
        pasting.stale = false;
    }
    let Some(pasting) = &state.pasting else {
        return;
    };
    let t = ctx.tokens;
    let sheet = state.sheet();
    let paste = &pasting.paste;
    let offer = &paste.offer;
    let pair = if offer.problems.is_empty() {
        t.accent
    } else {
        t.stops
    };
    let mut answer: Option<Answer> = None;
    Frame::new()
        .fill(t.card)
        .stroke(Stroke::new(1.0, pair.ink))
        .corner_radius(10)
        .inner_margin(Margin::same(12))
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.horizontal(|ui| {
                let sign = if offer.problems.is_empty() {
                    Sign::Paper
                } else {
                    Sign::Warns
                };
                sign_label(ui, sign, 16.0, pair.ink);
                let head = headline(paste);
                ui.label(RichText::new(head).font(semibold(13.5)).color(t.text));
            });
            ui.label(RichText::new(how_read(paste)).size(12.5).color(t.soft));
            if !offer.problems.is_empty() {
                ScrollArea::vertical()
                    .id_salt("bad cells of a paste")
                    .max_height(120.0)
                    .auto_shrink([false, true])
                    .show(ui, |ui| {
                        ui.spacing_mut().item_spacing.y = 2.0;
                        for problem in offer.problems.iter().take(500) {
                            let words = Paste::say(sheet, problem);
                            ui.add(
                                egui::Label::new(
                                    RichText::new(words).size(12.5).color(t.stops.ink),
                                )
                                .wrap(),
                            );
                        }
                    });
            }
            ui.horizontal(|ui| {
                answer = buttons(ctx, ui, paste);
            });
        });
    match answer {
        Some(Answer::Whole) => state.do_paste(ctx, false),
        Some(Answer::GoodRows) => state.do_paste(ctx, true),
        Some(Answer::GiveUp) => state.pasting = None,
        None => return,
    }
    ui.memory_mut(|m| m.request_focus(cells_id()));
}

enum Answer {
    Whole,
    GoodRows,
    GiveUp,
}

fn buttons(ctx: &ViewCtx<'_>, ui: &mut Ui, paste: &Paste) -> Option<Answer> {
    let t = ctx.tokens;
    let offer = &paste.offer;
    let mut answer = None;
    if offer.problems.is_empty() {
        if !offer.is_empty()
            && primary_button(ui, t, "Paste them")
                .on_hover_text("Changes the cells and adds the rows as one step (Enter)")
                .clicked()
        {
            answer = Some(Answer::Whole);
        }
    } else if !offer.is_empty()
        && text_button(ui, t, "Paste the good rows")
            .on_hover_text("Leaves out every row that has a bad cell in it")
            .clicked()
    {
        answer = Some(Answer::GoodRows);
    }
    if text_button(ui, t, "Give up")
        .on_hover_text("Pastes nothing (Escape)")
        .clicked()
    {
        answer = Some(Answer::GiveUp);
    }
    answer
}

fn headline(paste: &Paste) -> String {
    let offer = &paste.offer;
    let counts = counts(offer.changed, offer.added);
    match (offer.problems.len(), offer.bad_rows()) {
        (0, _) => match counts.as_str() {
            "nothing" => "The pasted cells are there already".to_owned(),
            counts => format!("To be pasted: {counts}"),
        },
        (1, _) => format!("1 cell cannot be pasted; in the good rows: {counts}"),
        (n, 1) => format!("{n} cells of 1 row cannot be pasted; in the good rows: {counts}"),
        (n, rows) => {
            format!("{n} cells of {rows} rows cannot be pasted; in the good rows: {counts}")
        }
    }
}

/// Says how the text was taken apart.
fn how_read(paste: &Paste) -> String {
    let rows = match paste.rows {
        1 => "1 row".to_owned(),
        n => format!("{n} rows"),
    };
    let headed = if paste.is_headed {
        ", columns by the headings in the first row"
    } else {
        ""
    };
    let left_out = if paste.left_out.is_empty() {
        String::new()
    } else {
        format!(
            "; left out, because no column is called so: {}",
            paste.left_out.join(", ")
        )
    };
    format!(
        "Read as {rows} with {} between the cells{headed}{left_out}",
        paste.separator
    )
}
