//! A pasted text against a table: which cells it would fill, which rows it would add, and what of it
//! cannot be. Nothing of it is done here.

use super::Sheet;
use super::book::Book;
use super::column::Row;
use super::grid::Grid;
use super::offer::{CellProblem, Offer, Target, Write};

/// What a pasted text would do.
#[derive(Debug, Clone, PartialEq)]
pub struct Paste {
    /// What the table makes of it.
    pub offer: Offer,
    /// How many rows of values were pasted.
    pub rows: usize,
    /// Whether the first row was the headings.
    pub is_headed: bool,
    /// Headings that are none of the table's; their columns are left out.
    pub left_out: Vec<String>,
    /// What stood between the cells, in words.
    pub separator: &'static str,
}

impl Paste {
    /// Lays a pasted text on a table: from a column on over the rows given, and new rows after them.
    pub fn new(sheet: &dyn Sheet, book: &Book, grid: &Grid, rows: &[Row], column: usize) -> Self {
        let headings = headings_of(sheet, grid);
        let is_headed = headings.is_some();
        let values = grid.rows.get(usize::from(is_headed)..).unwrap_or_default();
        let widest = values.iter().map(Vec::len).max().unwrap_or_default();
        let in_order = (column..column + widest).map(|c| (c < sheet.columns()).then_some(c));
        let places: Vec<Option<usize>> = headings.clone().unwrap_or_else(|| in_order.collect());
        let mut over = Vec::new();
        let mut writes = Vec::new();
        for (index, cells) in values.iter().enumerate() {
            let target = rows.get(index).map_or(Target::New, |row| Target::Row(*row));
            let mut write = Write {
                target,
                cells: Vec::new(),
            };
            for (place, text) in places.iter().zip(cells) {
                match place {
                    Some(column) => write.cells.push((*column, text.clone())),
                    None if is_headed || text.trim().is_empty() => {}
                    None => over.push(CellProblem {
                        row: index,
                        column: None,
                        reason: format!("there is no column for '{}'", text.trim()),
                        missing: false,
                    }),
                }
            }
            // A row with something too much is not written in part.
            if over.last().is_some_and(|p| p.row == index) {
                write.cells.clear();
                write.target = Target::New;
            }
            writes.push(write);
        }
        let mut offer = sheet.offer(book, &writes);
        offer.problems.extend(over);
        offer.problems.sort_by_key(|p| (p.row, p.column));
        Self {
            offer,
            rows: values.len(),
            is_headed,
            left_out: left_out(grid, headings.as_deref()),
            separator: grid.separator_word(),
        }
    }

    /// Says where in the pasted rows a problem is, and what it is.
    pub fn say(sheet: &dyn Sheet, problem: &CellProblem) -> String {
        let row = problem.row + 1;
        let column = problem.column.and_then(|c| sheet.heading(c));
        match column {
            Some(heading) => format!("Row {row}, {}: {}", heading.title(), problem.reason),
            None => format!("Row {row}: {}", problem.reason),
        }
    }
}

/// Tells whether the first row of a text is the headings of a table.
pub fn is_headed(sheet: &dyn Sheet, grid: &Grid) -> bool {
    headings_of(sheet, grid).is_some()
}

/// Returns the table's column under each heading of the first row, if it is a row of headings.
fn headings_of(sheet: &dyn Sheet, grid: &Grid) -> Option<Vec<Option<usize>>> {
    let [first, _, ..] = grid.rows.as_slice() else {
        return None;
    };
    let places: Vec<Option<usize>> = first
        .iter()
        .map(|text| column_called(sheet, text))
        .collect();
    let said = first.iter().filter(|text| !text.trim().is_empty()).count();
    let found = places.iter().flatten().count();
    let is_all = found == said && found > 0;
    let is_most = found >= 2 && 2 * found >= said;
    (is_all || is_most).then_some(places)
}

fn column_called(sheet: &dyn Sheet, text: &str) -> Option<usize> {
    let asked = text.trim();
    (0..sheet.columns()).find(|c| {
        sheet.heading(*c).is_some_and(|h| {
            [h.title().as_str(), h.name, h.field]
                .iter()
                .any(|word| word.eq_ignore_ascii_case(asked))
        })
    })
}

fn left_out(grid: &Grid, places: Option<&[Option<usize>]>) -> Vec<String> {
    let (Some(places), Some(first)) = (places, grid.rows.first()) else {
        return Vec::new();
    };
    let unknown = first
        .iter()
        .zip(places)
        .filter(|(_, place)| place.is_none());
    unknown
        .map(|(text, _)| text.trim().to_owned())
        .filter(|text| !text.is_empty())
        .collect()
}
