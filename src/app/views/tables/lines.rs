//! The rows of the table shown, as text, kept until the scenario or the phase moves; and which of them
//! are shown in which order. Nothing is drawn here.

use std::cmp::Ordering;
use std::sync::Arc;

use super::{Leaf, Spot, TablesState};
use crate::app::view::ViewCtx;
use crate::model::{PhaseId, Scenario};
use crate::sheets::{Book, Row, text_of};

/// The rows of one table as text.
#[derive(Debug)]
pub(super) struct Lines {
    /// What the texts were read against.
    pub(super) book: Arc<Book>,
    /// Every row in the order of the file.
    pub(super) rows: Vec<Line>,
    /// The rows shown, by their place in `rows`.
    pub(super) shown: Vec<usize>,
}

/// One row as text.
#[derive(Debug)]
pub(super) struct Line {
    pub(super) row: Row,
    /// What a screen reader calls the row.
    pub(super) name: String,
    pub(super) cells: Vec<String>,
}

impl TablesState {
    /// Reads the rows again if the scenario, the phase or the table is another.
    pub(super) fn refresh(&mut self, ctx: &ViewCtx<'_>) {
        self.refresh_from(ctx.scenario, ctx.shared.phase);
    }

    pub(super) fn refresh_from(&mut self, scenario: &Arc<Scenario>, phase: PhaseId) {
        let is_same = self.lines.as_ref().is_some_and(|lines| {
            Arc::ptr_eq(&lines.book.scenario, scenario) && lines.book.phase == phase
        });
        if is_same {
            return;
        }
        let sheet = self.sheet();
        let held = self.held_rows();
        let book = Arc::new(Book::new(Arc::clone(scenario), phase));
        let rows: Vec<Line> = sheet
            .rows(&book)
            .into_iter()
            .map(|row| {
                let cells = sheet.cells(&book, row);
                Line {
                    row,
                    name: name_of(scenario, row, &book),
                    cells,
                }
            })
            .collect();
        self.leaf()
            .bad
            .retain(|(row, _), _| row.is_none_or(|row| rows.iter().any(|line| line.row == row)));
        self.lines = Some(Lines {
            book,
            rows,
            shown: Vec::new(),
        });
        self.show_rows();
        self.hold_rows(held);
        if let Some(pasting) = &mut self.pasting {
            pasting.stale = true;
        }
    }

    /// Filters and sorts anew.
    pub(super) fn show_rows(&mut self) {
        let Some(mut lines) = self.lines.take() else {
            return;
        };
        let leaf = self.leaf();
        let wanted = leaf.filter.trim().to_lowercase();
        let has = |line: &Line| {
            wanted.is_empty()
                || line
                    .cells
                    .iter()
                    .any(|c| c.to_lowercase().contains(&wanted))
        };
        lines.shown = (0..lines.rows.len())
            .filter(|i| lines.rows.get(*i).is_some_and(has))
            .collect();
        if let Some((column, is_down)) = leaf.sort {
            let text = |i: &usize| {
                let line = lines.rows.get(*i);
                line.and_then(|l| l.cells.get(column))
                    .map_or("", String::as_str)
            };
            lines.shown.sort_by(|a, b| order(text(a), text(b), is_down));
        }
        let last = lines.shown.len();
        clamp(leaf, last);
        self.lines = Some(lines);
    }

    /// Returns the rows under the cursor and its anchor, to find them again.
    fn held_rows(&mut self) -> [Option<Row>; 2] {
        let Leaf { cursor, anchor, .. } = *self.leaf();
        [self.row_at(cursor.row), self.row_at(anchor.row)]
    }

    fn hold_rows(&mut self, held: [Option<Row>; 2]) {
        let Some(lines) = &self.lines else { return };
        let find = |row: Option<Row>| {
            let row = row?;
            lines
                .shown
                .iter()
                .position(|i| lines.rows.get(*i).is_some_and(|line| line.row == row))
        };
        let [cursor, anchor] = held.map(find);
        let last = lines.shown.len();
        let leaf = self.leaf();
        leaf.cursor.row = cursor.unwrap_or(leaf.cursor.row);
        leaf.anchor.row = anchor.unwrap_or(leaf.anchor.row);
        clamp(leaf, last);
    }

    /// Returns the row at a place as shown; none is the empty one.
    pub(super) fn row_at(&self, at: usize) -> Option<Row> {
        self.line_at(at).map(|line| line.row)
    }

    pub(super) fn line_at(&self, at: usize) -> Option<&Line> {
        let lines = self.lines.as_ref()?;
        lines.rows.get(*lines.shown.get(at)?)
    }

    /// Returns how many rows are shown, the empty one not counted.
    pub(super) fn shown(&self) -> usize {
        self.lines.as_ref().map_or(0, |lines| lines.shown.len())
    }

    /// Returns the text of a cell as the scenario has it, or as it is typed into the empty row.
    pub(super) fn text_at(&self, spot: Spot) -> String {
        let bad = self.leaves.get(&self.sheet).and_then(|leaf| {
            let bad = leaf.bad.get(&(self.row_at(spot.row), spot.column))?;
            Some(bad.text.clone())
        });
        bad.unwrap_or_else(|| self.kept_at(spot))
    }

    /// Returns the text of a cell without what it does not take.
    pub(super) fn kept_at(&self, spot: Spot) -> String {
        match self.line_at(spot.row) {
            Some(line) => line.cells.get(spot.column).cloned(),
            None => self
                .leaves
                .get(&self.sheet)
                .and_then(|leaf| leaf.pending.get(&spot.column).cloned()),
        }
        .unwrap_or_default()
    }

    /// Returns the corners of the range selected, the upper left first.
    pub(super) fn range(&mut self) -> (Spot, Spot) {
        let Leaf { cursor, anchor, .. } = *self.leaf();
        let low = Spot {
            row: cursor.row.min(anchor.row),
            column: cursor.column.min(anchor.column),
        };
        let high = Spot {
            row: cursor.row.max(anchor.row),
            column: cursor.column.max(anchor.column),
        };
        (low, high)
    }

    /// Lists the rows of the range selected.
    pub(super) fn chosen_rows(&mut self) -> Vec<Row> {
        let (low, high) = self.range();
        (low.row..=high.row)
            .filter_map(|at| self.row_at(at))
            .collect()
    }

    /// Returns the rows shown with their headings, as a spreadsheet takes them.
    pub(super) fn whole_text(&self) -> String {
        let sheet = self.sheet();
        let headings: Vec<String> = (0..sheet.columns())
            .filter_map(|c| sheet.heading(c))
            .map(crate::sheets::Heading::title)
            .collect();
        let rows = (0..self.shown())
            .filter_map(|at| self.line_at(at))
            .map(|line| line.cells.clone());
        let all: Vec<Vec<String>> = std::iter::once(headings).chain(rows).collect();
        text_of(all.iter().map(|row| row.iter().map(String::as_str)))
    }

    /// Moves the cursor to the next cell that does not take what is typed in it.
    pub(super) fn next_bad(&mut self) {
        let cursor = self.leaf().cursor;
        let spots: Vec<Spot> = self
            .leaves
            .get(&self.sheet)
            .into_iter()
            .flat_map(|leaf| leaf.bad.keys())
            .filter_map(|(row, column)| {
                let at = match row {
                    None => Some(self.shown()),
                    Some(_) => (0..self.shown()).find(|at| self.row_at(*at) == *row),
                };
                at.map(|row| Spot {
                    row,
                    column: *column,
                })
            })
            .collect();
        let after = |s: &&Spot| (s.row, s.column) > (cursor.row, cursor.column);
        if let Some(next) = spots.iter().find(after).or_else(|| spots.first()) {
            self.leaf().go(*next);
        }
    }
}

impl Leaf {
    /// Puts the cursor on a cell and selects only that.
    pub(super) fn go(&mut self, spot: Spot) {
        self.cursor = spot;
        self.anchor = spot;
        self.reveal = true;
    }
}

fn clamp(leaf: &mut Leaf, last: usize) {
    leaf.cursor.row = leaf.cursor.row.min(last);
    leaf.anchor.row = leaf.anchor.row.min(last);
}

fn name_of(scenario: &Scenario, row: Row, book: &Book) -> String {
    match row {
        Row::Thing(thing) => scenario.name(thing),
        Row::Entry(radio, channel) => {
            format!("{}, {}", book.radios.of(radio), book.channels.of(channel))
        }
    }
}

/// Orders numbers by value and words without regard to case; empty cells come last either way.
fn order(a: &str, b: &str, is_down: bool) -> Ordering {
    let turned = |o: Ordering| if is_down { o.reverse() } else { o };
    match (a.is_empty(), b.is_empty()) {
        (true, true) => Ordering::Equal,
        (true, false) => Ordering::Greater,
        (false, true) => Ordering::Less,
        (false, false) => match (a.parse::<f64>(), b.parse::<f64>()) {
            (Ok(a), Ok(b)) => turned(a.total_cmp(&b)),
            _ => turned(pieces(a).cmp(&pieces(b))),
        },
    }
}

/// Takes a text apart into words and numbers, so that "Engine 2" comes before "Engine 10".
fn pieces(text: &str) -> Vec<(bool, u64, String)> {
    let mut out: Vec<(bool, u64, String)> = Vec::new();
    for c in text.chars().flat_map(char::to_lowercase) {
        let digit = c.to_digit(10);
        match (out.last_mut(), digit) {
            (Some((false, number, _)), Some(d)) => {
                *number = number.saturating_mul(10).saturating_add(d.into());
            }
            (_, Some(d)) => out.push((false, d.into(), String::new())),
            (Some((true, _, word)), None) => word.push(c),
            (_, None) => out.push((true, 0, c.to_string())),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_sort_as_people_count() {
        let mut words = ["Engine 10", "", "engine 2", "10", "9"];
        words.sort_by(|a, b| order(a, b, false));
        assert_eq!(words, ["9", "10", "engine 2", "Engine 10", ""]);
        words.sort_by(|a, b| order(a, b, true));
        assert_eq!(words, ["Engine 10", "engine 2", "10", "9", ""]);
    }
}
