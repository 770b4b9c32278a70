//! A table: a head that repeats on every page, rows whose cells wrap, and boxes to tick.
//!
//! A row stays on one page where it can; a row higher than a page goes on, line by line.

use std::sync::Arc;

use emath::{Pos2, Rect, pos2, vec2};

use super::composer::{Composer, leading};
use super::face::{Face, Line};
use super::ink::{Ink, Pen, Text, Tint};
use super::sheet::Role;
use super::tick::{SIDE, tick_ink};

const PAD_X: f32 = 3.0;
const PAD_Y: f32 = 2.5;
/// Height of a heading above a table, in points, with what stands around it.
const HEADING: f32 = 34.0;
const RULE: Pen = Pen::new(Tint::RULE, 0.5);

/// A column.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    /// What heads it.
    pub title: String,
    /// Its share of the width, against the others'.
    pub share: f32,
    /// What it holds stands in the middle.
    pub is_centred: bool,
}

impl Column {
    /// A column of text.
    pub fn new(title: &str, share: f32) -> Self {
        Self {
            title: title.to_owned(),
            share,
            is_centred: false,
        }
    }

    /// A narrow column whose content stands in the middle.
    pub fn centred(title: &str, share: f32) -> Self {
        Self {
            is_centred: true,
            ..Self::new(title, share)
        }
    }
}

/// What a cell holds.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Cell {
    /// Its text, empty to be written in by hand.
    pub text: String,
    /// The text is for finding.
    pub is_bold: bool,
    /// A box before the text, and whether it is ticked.
    pub tick: Option<bool>,
    /// It heads its row.
    pub is_head: bool,
}

impl Cell {
    /// Text.
    pub fn text(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            ..Self::default()
        }
    }

    /// Text for finding.
    pub fn bold(text: impl Into<String>) -> Self {
        Self {
            is_bold: true,
            ..Self::text(text)
        }
    }

    /// Text that heads its row.
    pub fn head(text: impl Into<String>) -> Self {
        Self {
            is_head: true,
            ..Self::bold(text)
        }
    }

    /// A box to tick, before a text.
    pub fn tick(is_ticked: bool, text: impl Into<String>) -> Self {
        Self {
            tick: Some(is_ticked),
            ..Self::text(text)
        }
    }

    /// Nothing, to be written in.
    pub fn blank() -> Self {
        Self::default()
    }
}

/// A table.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// Its columns.
    pub columns: Vec<Column>,
    /// Its rows, a cell for each column.
    pub rows: Vec<Vec<Cell>>,
    /// Size of the text, in points.
    pub size: f32,
    /// Size of the head's text, in points.
    pub head_size: f32,
    /// Least height of a row, in points: room to write in.
    pub least: f32,
}

impl Table {
    /// A table without rows.
    pub fn new(columns: Vec<Column>, size: f32) -> Self {
        Self {
            columns,
            rows: Vec::new(),
            size,
            head_size: (size - 1.0).max(6.5),
            least: 0.0,
        }
    }

    /// Adds a row.
    pub fn row(&mut self, cells: Vec<Cell>) {
        debug_assert_eq!(cells.len(), self.columns.len(), "a cell for each column");
        self.rows.push(cells);
    }

    /// Returns the left edges of the columns, and the right edge of the last.
    fn edges(&self, left: f32, width: f32) -> Vec<f32> {
        let whole: f32 = self.columns.iter().map(|c| c.share).sum();
        let mut at = left;
        let mut edges = vec![left];
        for column in &self.columns {
            at += width * column.share / whole;
            edges.push(at);
        }
        edges
    }

    /// Returns how high the table would be on one page of a width, in points.
    pub fn height(&self, composer: &Composer<'_>, width: f32) -> f32 {
        let edges = self.edges(0.0, width);
        let rows: f32 = self
            .rows
            .iter()
            .map(|row| self.laid(composer, &edges, row).height)
            .sum();
        rows + self.head(composer, &edges).height
    }

    fn head(&self, composer: &Composer<'_>, edges: &[f32]) -> Laid {
        let cells = self.columns.iter().zip(edges.windows(2));
        let lines: Vec<Vec<Arc<Line>>> = cells
            .map(|(column, edge)| {
                let width = edge[1] - edge[0] - 2.0 * PAD_X;
                composer
                    .faces
                    .wrap(Face::Bold, &column.title, self.head_size, width)
            })
            .collect();
        let most = lines.iter().map(Vec::len).max().unwrap_or(1);
        Laid {
            height: most as f32 * leading(self.head_size) + 2.0 * PAD_Y,
            lines,
        }
    }

    fn laid(&self, composer: &Composer<'_>, edges: &[f32], row: &[Cell]) -> Laid {
        let cells = row.iter().zip(edges.windows(2));
        let lines: Vec<Vec<Arc<Line>>> = cells
            .map(|(cell, edge)| {
                let width = edge[1] - edge[0] - 2.0 * PAD_X - self.indent(cell);
                composer
                    .faces
                    .wrap(face(cell), &cell.text, self.size, width.max(4.0))
            })
            .collect();
        let most = lines.iter().map(Vec::len).max().unwrap_or(1);
        let height = most as f32 * leading(self.size) + 2.0 * PAD_Y;
        Laid {
            height: height.max(self.least),
            lines,
        }
    }

    fn indent(&self, cell: &Cell) -> f32 {
        match cell.tick {
            Some(_) if cell.text.is_empty() => 0.0,
            Some(_) => self.size * SIDE + 3.0,
            None => 0.0,
        }
    }
}

struct Laid {
    lines: Vec<Vec<Arc<Line>>>,
    height: f32,
}

fn face(cell: &Cell) -> Face {
    if cell.is_bold {
        Face::Bold
    } else {
        Face::Regular
    }
}

impl Composer<'_> {
    /// Sets a heading with a table below it, never a heading without a row.
    pub fn heading_over(&mut self, level: u16, text: &str, table: &Table) {
        let edges = table.edges(self.left(), self.width());
        let head = table.head(self, &edges).height;
        let first = table.rows.first().map(|row| table.laid(self, &edges, row));
        let first = first.map_or(0.0, |row| row.height);
        // A row higher than half a page goes on over pages; it does not have to be whole here.
        let most = (self.room_of_a_page() / 2.0).max(0.0);
        self.need(leading(HEADING) + head + first.min(most));
        self.heading(level, text);
        self.table(table);
    }

    /// Sets a table over the whole width, on as many pages as it takes.
    pub fn table(&mut self, table: &Table) {
        let edges = table.edges(self.left(), self.width());
        let head = table.head(self, &edges);
        let first = table.rows.first().map(|row| table.laid(self, &edges, row));
        let first = first.map_or(0.0, |row| row.height);
        self.need(head.height + first.min(self.room_of_a_page() / 2.0));
        self.begin(Role::Table);
        self.begin(Role::TableHead);
        self.begin(Role::Row);
        for column in 0..table.columns.len() {
            self.begin(Role::HeadCell);
            let inks = self.head_cell(table, &edges, &head, column);
            self.draw(inks);
            self.end();
        }
        self.end();
        self.end();
        self.y += head.height;
        self.begin(Role::TableBody);
        for row in &table.rows {
            self.table_row(table, &edges, &head, row);
        }
        self.end();
        self.end();
    }

    fn head_cell(&self, table: &Table, edges: &[f32], head: &Laid, column: usize) -> Vec<Ink> {
        let rect = self.cell_rect(edges, column, head.height);
        let mut inks = vec![Ink::rect(rect, Some(Tint::SHADE), Some(RULE))];
        let lines = head.lines.get(column).map_or(&[][..], Vec::as_slice);
        let is_centred = table.columns.get(column).is_some_and(|c| c.is_centred);
        lay_lines(
            &mut inks,
            rect,
            lines,
            table.head_size,
            Face::Bold,
            is_centred,
            0.0,
        );
        inks
    }

    fn cell_rect(&self, edges: &[f32], column: usize, height: f32) -> Rect {
        let left = edges.get(column).copied().unwrap_or_default();
        let right = edges.get(column + 1).copied().unwrap_or(left);
        Rect::from_min_max(pos2(left, self.y), pos2(right, self.y + height))
    }

    /// The head again, on a page that goes on.
    fn repeat_head(&mut self, table: &Table, edges: &[f32], head: &Laid) {
        let mut inks = Vec::new();
        for column in 0..table.columns.len() {
            inks.extend(self.head_cell(table, edges, head, column));
        }
        self.artifact(inks);
        self.y += head.height;
    }

    fn table_row(&mut self, table: &Table, edges: &[f32], head: &Laid, row: &[Cell]) {
        let laid = table.laid(self, edges, row);
        if self.room() < laid.height {
            self.next_page();
            self.repeat_head(table, edges, head);
        }
        self.begin(Role::Row);
        let most = laid.lines.iter().map(Vec::len).max().unwrap_or(1);
        let mut done = 0;
        while done < most {
            let fits = ((self.room() - 2.0 * PAD_Y) / leading(table.size))
                .floor()
                .max(1.0) as usize;
            let part = fits.min(most - done);
            let is_whole = part == most;
            let height = if is_whole {
                laid.height
            } else {
                part as f32 * leading(table.size) + 2.0 * PAD_Y
            };
            for (column, cell) in row.iter().enumerate() {
                let rect = self.cell_rect(edges, column, height);
                let mut inks = vec![Ink::rect(rect, None, Some(RULE))];
                let lines = laid.lines.get(column).map_or(&[][..], Vec::as_slice);
                let lines = lines
                    .get(done..(done + part).min(lines.len()))
                    .unwrap_or(&[]);
                let is_centred = table.columns.get(column).is_some_and(|c| c.is_centred);
                let indent = table.indent(cell);
                lay_lines(
                    &mut inks,
                    rect,
                    lines,
                    table.size,
                    face(cell),
                    is_centred,
                    indent,
                );
                let mut says = None;
                if let Some(is_ticked) = cell.tick.filter(|_| done == 0) {
                    let side = table.size * SIDE;
                    let x = if cell.text.is_empty() {
                        rect.center().x - side / 2.0
                    } else {
                        rect.min.x + PAD_X
                    };
                    let y = if cell.text.is_empty() {
                        rect.center().y - side / 2.0
                    } else {
                        rect.min.y + PAD_Y + (leading(table.size) - side) / 2.0
                    };
                    let square = Rect::from_min_size(pos2(x, y), vec2(side, side));
                    inks.extend(tick_ink(square, is_ticked));
                    let state = if is_ticked { "ticked" } else { "box to tick" };
                    says = Some(format!("{state} {}", cell.text).trim_end().to_owned());
                }
                self.begin(if cell.is_head {
                    Role::RowHead
                } else {
                    Role::Cell
                });
                self.draw_saying(inks, says);
                self.end();
            }
            self.y += height;
            done += part;
            if done < most {
                self.next_page();
                self.repeat_head(table, edges, head);
            }
        }
        self.end();
    }
}

fn lay_lines(
    inks: &mut Vec<Ink>,
    rect: Rect,
    lines: &[Arc<Line>],
    size: f32,
    face: Face,
    is_centred: bool,
    indent: f32,
) {
    for (i, line) in lines.iter().enumerate() {
        if line.text.is_empty() {
            continue;
        }
        let x = if is_centred {
            rect.center().x - line.width(size) / 2.0 + indent / 2.0
        } else {
            rect.min.x + PAD_X + indent
        };
        let top = rect.min.y + PAD_Y + i as f32 * leading(size);
        inks.push(Ink::Text(Text {
            at: Pos2::new(x, top + super::composer::ascent(size)),
            face,
            size,
            tint: Tint::BLACK,
            line: Arc::clone(line),
            is_turned: false,
        }));
    }
}
