//! What keys do while the cells have the keyboard: moving, selecting, filling, deleting, beginning to
//! type. Keys that leave a cell being typed in are `edit`'s.

use egui::{Event, Key, Modifiers, Ui};

use super::edit::Begin;
use super::{Spot, TablesState, cells_id};
use crate::app::action::Action;
use crate::app::view::ViewCtx;
use crate::model::Edit;
use crate::sheets::{Row, Target, Write};

/// Does what the keys ask for, in the order in which they were pressed.
pub(super) fn keys(ctx: &mut ViewCtx<'_>, ui: &Ui, state: &mut TablesState) {
    let focused = ui.memory(egui::Memory::focused);
    let is_ours = focused == Some(cells_id());
    if state.editing.is_some() || !(is_ours || focused.is_none()) {
        return;
    }
    if !is_ours && !wakes(ui) {
        return;
    }
    ui.memory_mut(|m| m.request_focus(cells_id()));
    let events = ui.input_mut(|i| std::mem::take(&mut i.events));
    let mut rest = Vec::new();
    for event in events {
        if state.editing.is_some() || !took(ctx, ui, state, &event) {
            rest.push(event);
        }
    }
    ui.input_mut(|i| {
        rest.append(&mut i.events);
        i.events = rest;
    });
}

/// Tells whether a key was pressed that gives the keyboard to the cells when nothing else has it.
fn wakes(ui: &Ui) -> bool {
    ui.input(|i| {
        i.events.iter().any(|event| match event {
            Event::Paste(_) => true,
            Event::Key {
                key,
                pressed: true,
                modifiers,
                ..
            } => modifiers.is_none() && (way(*key).is_some() || *key == Key::F2),
            _ => false,
        })
    })
}

fn way(key: Key) -> Option<(isize, isize)> {
    Some(match key {
        Key::ArrowUp => (-1, 0),
        Key::ArrowDown => (1, 0),
        Key::ArrowLeft => (0, -1),
        Key::ArrowRight => (0, 1),
        Key::PageUp => (-20, 0),
        Key::PageDown => (20, 0),
        _ => return None,
    })
}

fn took(ctx: &mut ViewCtx<'_>, ui: &Ui, state: &mut TablesState, event: &Event) -> bool {
    match event {
        Event::Text(text) if state.pasting.is_none() => {
            state.begin(ui, Begin::Typed(text.clone()));
            true
        }
        Event::Copy => {
            state.copy(ui, ctx);
            true
        }
        Event::Cut => {
            state.copy(ui, ctx);
            clear(ctx, state);
            true
        }
        Event::Paste(text) => {
            state.paste(ctx, text);
            true
        }
        Event::Key {
            key,
            pressed: true,
            modifiers,
            ..
        } => pressed(ctx, ui, state, *key, *modifiers),
        _ => false,
    }
}

fn pressed(
    ctx: &mut ViewCtx<'_>,
    ui: &Ui,
    state: &mut TablesState,
    key: Key,
    modifiers: Modifiers,
) -> bool {
    if state.pasting.is_some() {
        match key {
            Key::Enter => state.do_paste(ctx, false),
            Key::Escape => state.pasting = None,
            _ => return false,
        }
        return true;
    }
    let ctrl = modifiers.command;
    if let Some((rows, columns)) = way(key) {
        if modifiers.alt {
            return false;
        }
        let (rows, columns) = if ctrl {
            (rows.saturating_mul(100_000), columns.saturating_mul(1000))
        } else {
            (rows, columns)
        };
        state.step(rows, columns, modifiers.shift);
        return true;
    }
    match key {
        Key::Home => state.step(if ctrl { -100_000_000 } else { 0 }, -1000, modifiers.shift),
        Key::End => state.step(if ctrl { 100_000_000 } else { 0 }, 1000, modifiers.shift),
        Key::Tab => state.along(!modifiers.shift),
        Key::Enter | Key::F2 => state.begin(ui, Begin::Kept),
        Key::Delete if ctrl => delete_rows(ctx, state),
        Key::Delete | Key::Backspace => clear(ctx, state),
        Key::D if ctrl => fill_down(ctx, state),
        Key::A if ctrl => state.select_all(),
        Key::Escape => give_up(ui, state),
        _ => return false,
    }
    true
}

impl TablesState {
    /// Moves the cursor, or the far corner of the range.
    pub(super) fn step(&mut self, rows: isize, columns: isize, extends: bool) {
        let (last_row, last_column) = (self.shown(), self.sheet().columns().saturating_sub(1));
        let leaf = self.leaf();
        leaf.cursor = Spot {
            row: leaf.cursor.row.saturating_add_signed(rows).min(last_row),
            column: leaf
                .cursor
                .column
                .saturating_add_signed(columns)
                .min(last_column),
        };
        if !extends {
            leaf.anchor = leaf.cursor;
        }
        leaf.reveal = true;
    }

    /// Moves the cursor to the next cell, at the end of a row to the next row.
    pub(super) fn along(&mut self, is_on: bool) {
        let columns = self.sheet().columns();
        let at = self.leaf().cursor;
        let turn = match (is_on, at.column) {
            (true, c) if c + 1 >= columns => (1, isize::MIN / 2),
            (true, _) => (0, 1),
            (false, 0) if at.row > 0 => (-1, isize::MAX / 2),
            (false, _) => (0, -1),
        };
        self.step(turn.0, turn.1, false);
    }

    fn select_all(&mut self) {
        let far = Spot {
            row: self.shown().saturating_sub(1),
            column: self.sheet().columns().saturating_sub(1),
        };
        let leaf = self.leaf();
        leaf.anchor = Spot::default();
        leaf.cursor = far;
    }
}

/// Gives up what is nearest: a text that was not taken, the range, the keyboard.
fn give_up(ui: &Ui, state: &mut TablesState) {
    let cursor = state.leaf().cursor;
    let row = state.row_at(cursor.row);
    let leaf = state.leaf();
    let was_bad = leaf.bad.remove(&(row, cursor.column)).is_some();
    let was_pending = row.is_none() && leaf.pending.remove(&cursor.column).is_some();
    if was_bad || was_pending {
        return;
    }
    if leaf.anchor == leaf.cursor {
        ui.memory_mut(|m| m.surrender_focus(cells_id()));
    } else {
        leaf.anchor = leaf.cursor;
    }
}

/// Empties the cells of the range.
fn clear(ctx: &mut ViewCtx<'_>, state: &mut TablesState) {
    let texts = state.in_range(|_, _| String::new());
    state.write(ctx, "Clear", texts);
    // A cell that must not be empty keeps what it has: there is nothing in it to mend.
    let bad = &mut state.leaf().bad;
    let before = bad.len();
    bad.retain(|_, bad| !bad.text.is_empty());
    let kept = before - bad.len();
    if kept > 0 {
        let words = match kept {
            1 => "1 cell cannot be empty and stays as it is".to_owned(),
            n => format!("{n} cells cannot be empty and stay as they are"),
        };
        ctx.push(Action::Say(words));
    }
}

/// Puts the cells of the first row of the range into the rows below; of one row, those above it.
fn fill_down(ctx: &mut ViewCtx<'_>, state: &mut TablesState) {
    let (low, high) = state.range();
    let from = if low.row == high.row {
        let Some(above) = low.row.checked_sub(1) else {
            return;
        };
        above
    } else {
        low.row
    };
    let texts = state.in_range(|state, spot| {
        let row = from;
        state.kept_at(Spot { row, ..spot })
    });
    let texts = texts.into_iter().filter(|(s, _)| s.row != from).collect();
    state.write(ctx, "Fill down", texts);
}

/// Takes the rows of the range out of the scenario.
pub(super) fn delete_rows(ctx: &mut ViewCtx<'_>, state: &mut TablesState) {
    let sheet = state.sheet();
    let rows: Vec<Row> = state.chosen_rows();
    let mut edits: Vec<Edit> = Vec::new();
    for row in &rows {
        edits.extend(sheet.removal(*row));
    }
    let label = match rows.as_slice() {
        [] => return,
        [_] => format!("Remove {}", sheet.row_word()),
        several => format!("Remove {} rows of {}", several.len(), sheet.name()),
    };
    let leaf = state.leaf();
    let row = leaf.cursor.row.min(leaf.anchor.row);
    let column = leaf.cursor.column;
    leaf.go(Spot { row, column });
    ctx.apply(label, edits);
}

impl TablesState {
    /// Lists the cells of the range with the text each is to get.
    pub(super) fn in_range(&mut self, text: impl Fn(&Self, Spot) -> String) -> Vec<(Spot, String)> {
        let (low, high) = self.range();
        let mut out = Vec::new();
        for row in low.row..=high.row {
            for column in low.column..=high.column {
                let spot = Spot { row, column };
                let text = text(self, spot);
                out.push((spot, text));
            }
        }
        out
    }

    /// Writes into cells as one step; those that cannot be keep what they have and say why.
    pub(super) fn write(&mut self, ctx: &mut ViewCtx<'_>, verb: &str, texts: Vec<(Spot, String)>) {
        let Some(book) = self.lines.as_ref().map(|l| std::sync::Arc::clone(&l.book)) else {
            return;
        };
        let mut writes: Vec<Write> = Vec::new();
        let mut fresh: Vec<(Spot, String)> = Vec::new();
        for (spot, text) in texts {
            let Some(row) = self.row_at(spot.row) else {
                fresh.push((spot, text));
                continue;
            };
            self.leaf().bad.remove(&(Some(row), spot.column));
            let target = Target::Row(row);
            match writes.iter_mut().rev().find(|w| w.target == target) {
                Some(write) => write.cells.push((spot.column, text)),
                None => writes.push(Write {
                    target,
                    cells: vec![(spot.column, text)],
                }),
            }
        }
        let sheet = self.sheet();
        let offer = sheet.offer(&book, &writes);
        for problem in &offer.problems {
            let Some(write) = writes.get(problem.row) else {
                continue;
            };
            let Target::Row(row) = write.target else {
                continue;
            };
            let said = write
                .cells
                .iter()
                .find(|(c, _)| problem.column.is_none_or(|p| p == *c))
                .or_else(|| write.cells.first());
            if let Some((column, text)) = said {
                let bad = super::Bad {
                    text: text.clone(),
                    reason: problem.reason.clone(),
                };
                self.leaf().bad.insert((Some(row), *column), bad);
            }
        }
        if !offer.edits.is_empty() {
            let label = match offer.changed {
                1 => format!("{verb} 1 cell in {}", sheet.name()),
                n => format!("{verb} {n} cells in {}", sheet.name()),
            };
            ctx.apply(label, offer.edits);
        }
        for (spot, text) in fresh {
            self.type_fresh(ctx, spot.column, &text);
        }
    }
}
