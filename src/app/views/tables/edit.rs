//! The cell being typed in: its editor, its list of choices, and what happens when it is left.

use std::sync::Arc;

use egui::{
    Align, Area, Button, Event, EventFilter, Frame, Id, Key, Layout, Order, Pos2, Rect, RichText,
    ScrollArea, TextEdit, Ui, vec2,
};

use super::{Bad, Spot, TablesState, cells_id};
use crate::app::view::ViewCtx;
use crate::sheets::{Heading, Target, Write};

/// Most choices listed at once.
const LISTED: usize = 60;

/// How typing begins.
pub(super) enum Begin {
    /// With this in place of what is there.
    Typed(String),
    /// With what is there.
    Kept,
}

/// A cell being typed in.
#[derive(Debug)]
pub(super) struct Editing {
    pub(super) spot: Spot,
    text: String,
    id: Id,
    /// Begun by typing, so that arrows leave the cell.
    typed: bool,
    /// Something was typed since it began.
    touched: bool,
    /// The choice lit in the list.
    chosen: Option<usize>,
    /// Frames until the keys are surely its own.
    settling: u8,
}

/// How a cell is left.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Leave {
    /// The cursor moves by rows and columns.
    Step(isize, isize),
    /// To the next cell, or the one before.
    Along(bool),
    /// The cursor stays.
    Stay,
    /// The text goes into every cell of the range.
    Fill,
    /// The text is given up.
    GiveUp,
    /// Nothing is left: another choice is lit.
    Choose(isize),
}

impl TablesState {
    /// Begins to type in the cell under the cursor.
    pub(super) fn begin(&mut self, ui: &Ui, how: Begin) {
        let spot = self.leaf().cursor;
        self.serial += 1;
        let id = cells_id().with(("editor", self.serial));
        let (text, typed) = match how {
            Begin::Typed(text) => (text, true),
            Begin::Kept => (self.text_at(spot), false),
        };
        self.leaf().reveal = true;
        self.editing = Some(Editing {
            spot,
            text,
            id,
            typed,
            touched: typed,
            chosen: None,
            settling: 3,
        });
        ui.memory_mut(|m| m.request_focus(id));
        ui.ctx().request_repaint();
    }

    /// Leaves the cell being typed in and does with its text what is asked.
    pub(super) fn commit(&mut self, ctx: &mut ViewCtx<'_>, leave: Leave) {
        let Some(editing) = self.editing.take() else {
            return;
        };
        let spot = editing.spot;
        let (low, high) = self.range();
        if leave == Leave::Fill && low != high {
            let texts = self.in_range(|_, _| editing.text.clone());
            self.write(ctx, "Fill", texts);
        } else if leave != Leave::GiveUp {
            self.type_into(ctx, spot, &editing.text);
        }
        let is_pending = self.row_at(spot.row).is_none() && !self.leaf().pending.is_empty();
        match leave {
            // In the empty row the next cell is wanted until the row is whole.
            Leave::Step(1, 0) if is_pending => self.along(true),
            Leave::Step(rows, columns) => self.step(rows, columns, false),
            Leave::Along(is_on) => self.along(is_on),
            Leave::Stay | Leave::Fill | Leave::GiveUp | Leave::Choose(_) => {}
        }
    }

    /// Puts a text into one cell, or keeps it beside with the reason why it cannot be.
    pub(super) fn type_into(&mut self, ctx: &mut ViewCtx<'_>, spot: Spot, text: &str) {
        let Some(row) = self.row_at(spot.row) else {
            self.type_fresh(ctx, spot.column, text);
            return;
        };
        let Some(book) = self.lines.as_ref().map(|l| Arc::clone(&l.book)) else {
            return;
        };
        let sheet = self.sheet();
        let mut cells: Vec<(usize, String)> = self
            .leaf()
            .bad
            .iter()
            .filter(|((of, column), _)| *of == Some(row) && *column != spot.column)
            .map(|((_, column), bad)| (*column, bad.text.clone()))
            .collect();
        let is_with_others = !cells.is_empty();
        cells.push((spot.column, text.to_owned()));
        let target = Target::Row(row);
        // Cells that do not fit alone may fit together, such as a system and its group number.
        let mut offer = sheet.offer(&book, &[Write { target, cells }]);
        let mends_all = offer.problems.is_empty();
        if !mends_all && is_with_others {
            let cells = vec![(spot.column, text.to_owned())];
            offer = sheet.offer(&book, &[Write { target, cells }]);
        }
        let bad = &mut self.leaf().bad;
        if mends_all {
            bad.retain(|(of, _), _| *of != Some(row));
        }
        match offer.problems.first() {
            None => {
                bad.remove(&(Some(row), spot.column));
            }
            Some(problem) => {
                let text = text.to_owned();
                let reason = problem.reason.clone();
                bad.insert((Some(row), spot.column), Bad { text, reason });
            }
        }
        if !offer.edits.is_empty() {
            let title = sheet.heading(spot.column).map_or("a cell", |h| h.name);
            let name = self.line_at(spot.row).map_or("", |l| l.name.as_str());
            ctx.apply(
                format!("Change {} of {name}", title.to_lowercase()),
                offer.edits,
            );
        }
    }

    /// Puts a text into the empty row, which becomes a thing as soon as nothing is missing.
    pub(super) fn type_fresh(&mut self, ctx: &mut ViewCtx<'_>, column: usize, text: &str) {
        let Some(book) = self.lines.as_ref().map(|l| Arc::clone(&l.book)) else {
            return;
        };
        let sheet = self.sheet();
        let leaf = self.leaf();
        if text.trim().is_empty() {
            leaf.pending.remove(&column);
        } else {
            leaf.pending.insert(column, text.to_owned());
        }
        leaf.bad.retain(|(row, _), _| row.is_some());
        let cells: Vec<(usize, String)> = leaf.pending.clone().into_iter().collect();
        let write = Write {
            target: Target::New,
            cells,
        };
        let offer = sheet.offer(&book, std::slice::from_ref(&write));
        for problem in offer.problems.iter().filter(|p| !p.missing) {
            let at = problem.column.unwrap_or(column);
            let text = self.leaf().pending.get(&at).cloned().unwrap_or_default();
            let reason = problem.reason.clone();
            self.leaf().bad.insert((None, at), Bad { text, reason });
        }
        if !offer.edits.is_empty() {
            self.leaf().pending.clear();
            ctx.apply(format!("Add {}", sheet.row_word()), offer.edits);
        }
    }
}

/// Shows the editor over its cell and does what its keys ask for.
pub(super) fn editor(ctx: &mut ViewCtx<'_>, ui: &mut Ui, state: &mut TablesState, rect: Rect) {
    let sheet = state.sheet();
    let Some(spot) = state.editing.as_ref().map(|e| e.spot) else {
        return;
    };
    let (Some(heading), Some(book)) = (
        sheet.heading(spot.column),
        state.lines.as_ref().map(|l| Arc::clone(&l.book)),
    ) else {
        return;
    };
    let label = format!("Cell {}", heading.title());
    let Some(editing) = &mut state.editing else {
        return;
    };
    let offered = offered(heading, &heading.choices(&book), editing);
    let leave = next_leave(ui, &mut state.later, editing, !offered.is_empty(), heading);
    let picked = choices(ctx, ui, editing, &offered, rect.left_bottom());
    if let Some(picked) = &picked {
        editing.text = taken(heading, &editing.text, picked);
        editing.chosen = None;
        if !heading.several {
            state.commit(ctx, Leave::Stay);
            ui.memory_mut(|m| m.request_focus(cells_id()));
            return;
        }
        ui.memory_mut(|m| m.request_focus(editing.id));
    }
    let t = ctx.tokens;
    let before = editing.text.clone();
    let field = TextEdit::singleline(&mut editing.text)
        .id(editing.id)
        .desired_width(rect.width())
        .frame(
            Frame::new()
                .fill(t.card)
                .inner_margin(egui::Margin::symmetric(6, 4))
                .stroke(egui::Stroke::new(1.5, t.accent.ink)),
        )
        .event_filter(EventFilter {
            tab: true,
            horizontal_arrows: true,
            vertical_arrows: true,
            escape: true,
        });
    let response = ui.name_inputs(&label, |ui| ui.put(rect, field));
    if editing.text != before {
        editing.touched = true;
        editing.chosen = None;
    }
    if editing.settling > 0 {
        editing.settling -= 1;
        ui.ctx().request_repaint();
    }
    let is_left = response.lost_focus() && leave.is_none() && picked.is_none();
    match leave {
        Some(Leave::Choose(by)) => {
            let last = offered.len().saturating_sub(1);
            editing.chosen = Some(match lit(editing, &offered) {
                None if by > 0 => 0,
                None => last,
                Some(at) => at.saturating_add_signed(by).min(last),
            });
        }
        Some(leave) => {
            take_lit(heading, editing, &offered, leave);
            state.commit(ctx, leave);
            ui.memory_mut(|m| m.request_focus(cells_id()));
            ui.ctx().request_repaint();
        }
        None if is_left => state.commit(ctx, Leave::Stay),
        None => {}
    }
}

/// The choice that is lit: the one chosen, or the one the cell has.
fn lit(editing: &Editing, offered: &[String]) -> Option<usize> {
    let now = || {
        let is_same = |words: &String| !editing.touched && *words == editing.text;
        offered.iter().position(is_same)
    };
    editing.chosen.or_else(now)
}

/// On Enter or Tab takes the choice that is lit, or the only one left.
fn take_lit(heading: &Heading, editing: &mut Editing, offered: &[String], leave: Leave) {
    if matches!(leave, Leave::GiveUp) {
        return;
    }
    let lit = editing.chosen.and_then(|at| offered.get(at));
    let only = match offered {
        [one] if editing.touched && !heading.several && !editing.text.trim().is_empty() => {
            Some(one)
        }
        _ => None,
    };
    if let Some(words) = lit.or(only) {
        editing.text = taken(heading, &editing.text, words);
    }
    if heading.several {
        let end = editing.text.trim_end().trim_end_matches(',');
        editing.text = end.to_owned();
    }
}

/// Cuts the events at the first key that leaves the cell; what lies behind waits for the next frame.
fn next_leave(
    ui: &Ui,
    later: &mut Vec<Event>,
    editing: &Editing,
    has_list: bool,
    heading: &Heading,
) -> Option<Leave> {
    ui.input_mut(|i| {
        let leaves = |e: &Event| leave_of(e, editing, has_list, heading);
        let at = i.events.iter().position(|e| leaves(e).is_some())?;
        let tail = i.events.split_off(at);
        let leave = tail.first().and_then(leaves);
        let keeps = |e: &Event| {
            matches!(
                e,
                Event::Text(_)
                    | Event::Paste(_)
                    | Event::Copy
                    | Event::Cut
                    | Event::Key { pressed: true, .. }
            )
        };
        later.extend(tail.into_iter().skip(1).filter(keeps));
        leave
    })
}

fn leave_of(event: &Event, editing: &Editing, has_list: bool, heading: &Heading) -> Option<Leave> {
    let Event::Key {
        key,
        pressed: true,
        modifiers,
        ..
    } = event
    else {
        return None;
    };
    let moves = editing.typed && !heading.several && modifiers.is_none();
    Some(match key {
        Key::Enter if modifiers.command => Leave::Fill,
        Key::Enter if modifiers.shift => Leave::Step(-1, 0),
        Key::Tab => Leave::Along(!modifiers.shift),
        Key::Escape => Leave::GiveUp,
        Key::ArrowUp if has_list => Leave::Choose(-1),
        Key::ArrowDown if has_list => Leave::Choose(1),
        Key::ArrowUp => Leave::Step(-1, 0),
        Key::Enter | Key::ArrowDown => Leave::Step(1, 0),
        Key::ArrowLeft if moves => Leave::Step(0, -1),
        Key::ArrowRight if moves => Leave::Step(0, 1),
        _ => return None,
    })
}

/// The part of a text that is being chosen: all of it, or what stands behind the last comma.
fn asked<'a>(heading: &Heading, text: &'a str) -> &'a str {
    if heading.several {
        text.rsplit(',').next().unwrap_or(text).trim()
    } else {
        text.trim()
    }
}

/// Puts a choice into a text.
fn taken(heading: &Heading, text: &str, words: &str) -> String {
    if !heading.several {
        return words.to_owned();
    }
    let words = if words.contains(',') {
        format!("\"{}\"", words.replace('"', "\"\""))
    } else {
        words.to_owned()
    };
    match text.rsplit_once(',') {
        Some((before, _)) => format!("{}, {words}, ", before.trim_end()),
        None => format!("{words}, "),
    }
}

/// Lists the choices that go with what is typed.
fn offered(heading: &Heading, all: &[String], editing: &Editing) -> Vec<String> {
    let wanted = asked(heading, &editing.text).to_lowercase();
    let is_free = !editing.touched && !heading.several;
    all.iter()
        .filter(|words| is_free || words.to_lowercase().contains(&wanted))
        .cloned()
        .collect()
}

/// Shows the list below the cell; returns the one clicked.
fn choices(
    ctx: &ViewCtx<'_>,
    ui: &Ui,
    editing: &Editing,
    offered: &[String],
    at: Pos2,
) -> Option<String> {
    if offered.is_empty() {
        return None;
    }
    let t = ctx.tokens;
    let mut picked = None;
    Area::new(editing.id.with("choices"))
        .order(Order::Foreground)
        .fixed_pos(at + vec2(0.0, 2.0))
        .constrain(true)
        .show(ui.ctx(), |ui| {
            Frame::popup(ui.style()).show(ui, |ui| {
                ui.set_width(190.0);
                ui.spacing_mut().item_spacing.y = 1.0;
                let list = ScrollArea::vertical().max_height(216.0);
                list.auto_shrink([false, true]).show(ui, |ui| {
                    for (index, words) in offered.iter().take(LISTED).enumerate() {
                        let is_lit = lit(editing, offered) == Some(index);
                        let button = Button::selectable(is_lit, words.as_str()).truncate();
                        let left = Layout::top_down_justified(Align::LEFT);
                        let line = ui.with_layout(left, |ui| ui.add(button)).inner;
                        if is_lit {
                            line.scroll_to_me(None);
                        }
                        if line.clicked() {
                            picked = Some(words.clone());
                        }
                    }
                    if offered.len() > LISTED {
                        let more = format!("{} more: type to narrow", offered.len() - LISTED);
                        ui.label(RichText::new(more).size(12.0).color(t.faint));
                    }
                });
            });
        });
    picked
}
