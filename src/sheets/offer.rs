//! What follows from writing into cells: edits for the rows that can be, and a reason for every cell
//! that cannot.
//!
//! The gate is asked before anything is offered; nothing is applied here.

use std::collections::{BTreeMap, BTreeSet};

use super::Sheet;
use super::book::Book;
use super::column::{Column, Heading, Row};
use crate::model::{Edit, EditError, Gateway, GatewayId, Kind, Thing};

/// Where cells are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Target {
    /// Into a row that is there.
    Row(Row),
    /// Into a new row.
    New,
}

/// Texts for some cells of one row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Write {
    /// The row.
    pub target: Target,
    /// Columns, from 0, and what goes into them.
    pub cells: Vec<(usize, String)>,
}

/// Why a cell cannot be written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CellProblem {
    /// Which of the rows written, from 0.
    pub row: usize,
    /// The column, where one is to blame.
    pub column: Option<usize>,
    /// What was found and what is expected.
    pub reason: String,
    /// Whether something is only missing yet.
    pub missing: bool,
}

/// What writing into cells would do.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Offer {
    /// The edits of every row without a problem; the gate takes them all together.
    pub edits: Vec<Edit>,
    /// How many cells of rows that are there would read differently.
    pub changed: usize,
    /// How many rows would be new.
    pub added: usize,
    /// Every cell that cannot be, in the order of the rows.
    pub problems: Vec<CellProblem>,
}

impl Offer {
    /// Tells whether it would do nothing.
    pub fn is_empty(&self) -> bool {
        self.edits.is_empty()
    }

    /// Returns how many rows have a problem.
    pub fn bad_rows(&self) -> usize {
        let rows: BTreeSet<usize> = self.problems.iter().map(|p| p.row).collect();
        rows.len()
    }
}

/// What hinders a row as a whole, laid to the column with that field.
pub(super) struct Trouble {
    pub(super) field: &'static str,
    pub(super) reason: String,
    pub(super) missing: bool,
}

impl Trouble {
    pub(super) fn new(field: &'static str, reason: impl Into<String>) -> Self {
        Self {
            field,
            reason: reason.into(),
            missing: false,
        }
    }

    pub(super) fn missing(field: &'static str, reason: impl Into<String>) -> Self {
        Self {
            missing: true,
            ..Self::new(field, reason)
        }
    }
}

/// What earlier rows of the same offer have done to gateways, which hold many rows each.
#[derive(Default)]
pub(super) struct Sofar {
    pub(super) gateways: BTreeMap<GatewayId, Gateway>,
}

type Edits<D> = fn(&Book, &mut Sofar, Option<&D>, &D) -> Result<Vec<Edit>, Trouble>;

/// A table of things of one type.
pub(super) struct Table<D: 'static> {
    pub(super) name: &'static str,
    pub(super) kind: Kind,
    pub(super) row_word: &'static str,
    pub(super) columns: &'static [Column<D>],
    pub(super) rows: fn(&Book) -> Vec<Row>,
    /// Returns a copy of what a row holds.
    pub(super) draft: fn(&Book, Row) -> Option<D>,
    /// Makes what a new row holds, given how many are new before it.
    pub(super) fresh: fn(&Book, u32) -> D,
    /// Returns the edits from the old to the new.
    pub(super) edits: Edits<D>,
}

/// Returns the edits that put a thing in place of an older one, or add it.
#[expect(clippy::unnecessary_wraps, reason = "other tables may refuse here")]
pub(super) fn put<T: Into<Thing> + Clone + PartialEq>(
    _: &Book,
    _: &mut Sofar,
    old: Option<&T>,
    new: &T,
) -> Result<Vec<Edit>, Trouble> {
    Ok(match old {
        Some(old) if old == new => Vec::new(),
        Some(_) => vec![Edit::Replace(new.clone().into())],
        None => vec![Edit::Add(new.clone().into())],
    })
}

struct Prepared {
    row: usize,
    edits: Vec<Edit>,
    changed: usize,
    is_new: bool,
}

/// Puts the edits of all rows in their order, each with the place of its row.
///
/// Ports are emptied before any is filled, so that two may exchange what is plugged in.
fn in_order(prepared: &[Prepared]) -> (Vec<usize>, Vec<Edit>) {
    let all = || {
        let rows = prepared.iter().enumerate();
        rows.flat_map(|(at, p)| p.edits.iter().map(move |edit| (at, edit)))
    };
    let emptied = all().filter_map(|(at, edit)| match edit {
        Edit::Attach {
            phase,
            port,
            attachment: Some(_),
        } => {
            let empty = Edit::Attach {
                phase: *phase,
                port: *port,
                attachment: None,
            };
            Some((at, empty))
        }
        _ => None,
    });
    // A port that is new has nothing to be emptied of.
    let is_there = |(at, _): &(usize, Edit)| prepared.get(*at).is_some_and(|p| !p.is_new);
    let first = emptied.filter(is_there);
    first.chain(all().map(|(at, e)| (at, e.clone()))).unzip()
}

impl<D: Clone> Table<D> {
    /// Prepares one row, or says what hinders it.
    fn prepare(
        &self,
        book: &Book,
        sofar: &mut Sofar,
        minted: u32,
        row: usize,
        write: &Write,
    ) -> Result<Prepared, Vec<CellProblem>> {
        let problem = |column: Option<usize>, reason: String, missing: bool| CellProblem {
            row,
            column,
            reason,
            missing,
        };
        let old = match write.target {
            Target::Row(wanted) => {
                let old = (self.draft)(book, wanted);
                if old.is_none() {
                    let reason = "this row is no longer there".to_owned();
                    return Err(vec![problem(None, reason, false)]);
                }
                old
            }
            Target::New => None,
        };
        let mut new = old.clone().unwrap_or_else(|| (self.fresh)(book, minted));
        let mut problems = Vec::new();
        let mut cells: Vec<&(usize, String)> = write.cells.iter().collect();
        cells.sort_by_key(|(column, _)| *column);
        for (index, text) in &cells {
            let Some(column) = self.columns.get(*index) else {
                continue;
            };
            let now = old.as_ref().map(|old| (column.read)(book, old));
            if now.as_deref().is_some_and(|now| now.trim() == text.trim()) {
                continue;
            }
            if now.is_some() && column.heading.fixed {
                let reason = format!(
                    "{} says which row this is and cannot change; delete the row and add another",
                    column.heading.name
                );
                problems.push(problem(Some(*index), reason, false));
            } else if now.is_none() && text.trim().is_empty() {
                // An empty cell of a new row keeps what a new one has.
            } else if let Err(reason) = (column.write)(book, &mut new, text) {
                problems.push(problem(Some(*index), reason, false));
            }
        }
        if old.is_none() {
            for (index, column) in self.columns.iter().enumerate() {
                let given = cells
                    .iter()
                    .any(|(c, t)| *c == index && !t.trim().is_empty());
                if column.heading.needed && !given {
                    let reason = format!("missing; a new {} needs it", self.row_word);
                    problems.push(problem(Some(index), reason, true));
                }
            }
        }
        if !problems.is_empty() {
            return Err(problems);
        }
        let edits = (self.edits)(book, sofar, old.as_ref(), &new).map_err(|trouble| {
            let column = self.column_of(trouble.field);
            vec![problem(column, trouble.reason, trouble.missing)]
        })?;
        let changed = old.as_ref().map_or(0, |old| {
            let differs = |c: &&Column<D>| (c.read)(book, old) != (c.read)(book, &new);
            self.columns.iter().filter(differs).count()
        });
        Ok(Prepared {
            row,
            edits,
            changed,
            is_new: old.is_none(),
        })
    }

    fn column_of(&self, field: &str) -> Option<usize> {
        self.columns.iter().position(|c| c.heading.field == field)
    }

    /// Lays what the gate refuses to a cell.
    fn refusal(&self, row: usize, write: Option<&Write>, error: &EditError) -> CellProblem {
        let only = write.and_then(|w| match w.cells.as_slice() {
            [(column, _)] => Some(*column),
            _ => None,
        });
        match error {
            EditError::Value {
                field,
                found,
                expected,
                ..
            } => CellProblem {
                row,
                column: self.column_of(field).or(only),
                reason: format!("found {found}; expected {expected}"),
                missing: false,
            },
            other => CellProblem {
                row,
                column: only,
                reason: other.to_string(),
                missing: false,
            },
        }
    }
}

impl<D: Clone> Sheet for Table<D> {
    fn name(&self) -> &'static str {
        self.name
    }

    fn kind(&self) -> Kind {
        self.kind
    }

    fn row_word(&self) -> &'static str {
        self.row_word
    }

    fn columns(&self) -> usize {
        self.columns.len()
    }

    fn heading(&self, column: usize) -> Option<&Heading> {
        self.columns.get(column).map(|c| &c.heading)
    }

    fn rows(&self, book: &Book) -> Vec<Row> {
        (self.rows)(book)
    }

    fn cells(&self, book: &Book, row: Row) -> Vec<String> {
        (self.draft)(book, row).map_or_else(Vec::new, |draft| {
            self.columns
                .iter()
                .map(|c| (c.read)(book, &draft))
                .collect()
        })
    }

    fn read_back(&self, book: &Book, row: Row) -> Result<Vec<String>, (usize, String)> {
        let mut blank = (self.fresh)(book, 0);
        for (index, text) in self.cells(book, row).iter().enumerate() {
            if let Some(column) = self.columns.get(index) {
                (column.write)(book, &mut blank, text).map_err(|reason| (index, reason))?;
            }
        }
        let read = self.columns.iter().map(|c| (c.read)(book, &blank));
        Ok(read.collect())
    }

    fn offer(&self, book: &Book, writes: &[Write]) -> Offer {
        let mut sofar = Sofar::default();
        let mut problems = Vec::new();
        let mut prepared: Vec<Prepared> = Vec::new();
        let mut minted = 0;
        for (row, write) in writes.iter().enumerate() {
            let is_blank = write.cells.iter().all(|(_, text)| text.trim().is_empty());
            if write.target == Target::New && is_blank {
                continue;
            }
            match self.prepare(book, &mut sofar, minted, row, write) {
                Ok(done) => {
                    minted += u32::from(done.is_new);
                    prepared.push(done);
                }
                Err(mut bad) => problems.append(&mut bad),
            }
        }
        // A row that the gate refuses may take another with it, so it is asked until it takes all.
        loop {
            let (owners, edits) = in_order(&prepared);
            let (_, refused) = book.scenario.apply_each(&edits);
            let mut bad: BTreeSet<usize> = BTreeSet::new();
            for (index, error) in refused {
                if let Some(at) = owners.get(index)
                    && bad.insert(*at)
                    && let Some(p) = prepared.get(*at)
                {
                    problems.push(self.refusal(p.row, writes.get(p.row), &error));
                }
            }
            if bad.is_empty() {
                problems.sort_by_key(|p| (p.row, p.column));
                return Offer {
                    edits,
                    changed: prepared.iter().map(|p| p.changed).sum(),
                    added: prepared.iter().filter(|p| p.is_new).count(),
                    problems,
                };
            }
            let mut at = 0;
            prepared.retain(|_| {
                at += 1;
                !bad.contains(&(at - 1))
            });
        }
    }

    fn removal(&self, row: Row) -> Vec<Edit> {
        match row {
            Row::Thing(thing) => vec![Edit::Remove(thing)],
            Row::Entry(radio, channel) => vec![Edit::Unprogram { radio, channel }],
        }
    }
}
