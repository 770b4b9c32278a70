//! Rows of a channel form as channels of a scenario.
//!
//! Every row becomes a channel, is there already, or is named with what was found and what is expected.
//! Nothing is applied here: the edits are those of the good rows, and whoever asked decides whether the bad
//! ones stop everything.

use std::collections::{BTreeMap, BTreeSet};

use super::columns::{Column, Mapping};
use super::row::{Draft, Reading};
use super::text::Source;
use crate::library::national::{add_channel, group_system};
use crate::model::{
    Carrier, Channel, ChannelId, Edit, Protection, Scenario, System, SystemKind, Thing,
};

/// Name of the system for group numbers of which no row says on which they are.
const UNNAMED_SYSTEM: &str = "Trunked system (imported)";

/// What importing a table would do.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Import {
    /// Every row that can be, in the order of the file.
    pub rows: Vec<Row>,
    /// Every row that cannot.
    pub problems: Vec<RowProblem>,
    /// What was taken for granted, each in a sentence without a full stop.
    pub notes: Vec<String>,
    /// The edits that add the new channels and what carries them; the gate takes them.
    pub edits: Vec<Edit>,
}

/// A row that can be imported.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// Line in the file, from 1.
    pub line: u64,
    /// Name of the channel.
    pub name: String,
    /// What it is, in words.
    pub words: String,
    /// The plan has the same channel already: nothing is added.
    pub is_there: bool,
}

/// Why a row cannot be imported.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RowProblem {
    /// Line in the file, from 1.
    pub line: u64,
    /// Heading of the column, or what is missing.
    pub column: String,
    /// What was found.
    pub found: String,
    /// What is expected.
    pub expected: String,
}

impl std::fmt::Display for RowProblem {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let found = if self.found.is_empty() {
            "nothing".to_owned()
        } else {
            format!("'{}'", self.found)
        };
        write!(
            f,
            "line {}, {}: found {found}, expected {}",
            self.line, self.column, self.expected
        )
    }
}

impl Import {
    /// Returns how many channels would be new.
    pub fn added(&self) -> usize {
        self.rows.iter().filter(|row| !row.is_there).count()
    }
}

/// Answers what importing a table into a scenario would do.
///
/// Complexity: linear in the rows, each against the channels of the scenario.
pub fn import(s: &Scenario, source: &Source, mapping: &Mapping) -> Import {
    let mut importer = Importer {
        s: s.clone(),
        reading: Reading { source, mapping },
        lines: BTreeMap::new(),
        claimed: BTreeSet::new(),
        out: Import::default(),
    };
    importer.missing_columns();
    if importer.out.problems.is_empty() {
        for (line, row) in &source.rows {
            if let Err(problem) = importer.row(*line, row) {
                importer.out.problems.push(problem);
            }
        }
    }
    importer.out
}

struct Importer<'a> {
    /// The scenario with every good row so far.
    s: Scenario,
    reading: Reading<'a>,
    /// The line in which each name stands first.
    lines: BTreeMap<String, u64>,
    /// Channels that a row stands for already.
    claimed: BTreeSet<ChannelId>,
    out: Import,
}

impl Importer<'_> {
    fn missing_columns(&mut self) {
        let has = |column| self.reading.mapping.place(column).is_some();
        let missing = if !has(Column::Name) {
            Some((Column::Name, "a column for the channel's name"))
        } else if !has(Column::Rx) && !has(Column::Tx) && !has(Column::Group) {
            Some((
                Column::Rx,
                "a column for the receive frequency or the group number",
            ))
        } else {
            None
        };
        if let Some((column, expected)) = missing {
            self.out.problems.push(RowProblem {
                line: self.reading.source.line,
                column: column.word().to_owned(),
                found: self.reading.source.headings.join(", "),
                expected: expected.to_owned(),
            });
        }
    }

    fn row(&mut self, line: u64, row: &[String]) -> Result<(), RowProblem> {
        self.reading.is_whole(line, row)?;
        let mut draft = self.reading.draft(line, row)?;
        let twin = self.twin(&draft);
        let is_there = twin.is_some();
        let folded = draft.name.to_lowercase();
        let mut notes = std::mem::take(&mut draft.notes);
        if let Some(id) = twin {
            let first = self
                .lines
                .get(&folded)
                .filter(|_| self.claimed.contains(&id));
            notes.extend(first.map(|first| {
                format!(
                    "{} is the same channel as in line {first}, and is taken once",
                    draft.name
                )
            }));
            self.claimed.insert(id);
        } else {
            notes.extend(self.called_alike(&draft));
            self.add(line, &draft)?;
        }
        self.lines.entry(folded).or_insert(line);
        let notes = notes.into_iter().map(|note| format!("line {line}: {note}"));
        self.out.notes.extend(notes);
        self.out.rows.push(Row {
            line,
            words: words_of(&draft.carrier),
            name: draft.name,
            is_there,
        });
        Ok(())
    }

    /// Finds the channel that is the row's already: of the plan, or of a row above.
    ///
    /// A row that says nothing of a key or of a system stands for a channel of the plan that has one, but
    /// never for one that another row stands for.
    fn twin(&self, draft: &Draft) -> Option<ChannelId> {
        let folded = draft.name.to_lowercase();
        let protection = draft.remarks.protection;
        let system = draft.remarks.system.as_deref();
        let is_grouped = matches!(draft.carrier, Carrier::Grouped { .. });
        let system_of = |c: &Channel| self.s.name(c.system.into());
        let is_named = |c: &&Channel| {
            c.name.to_lowercase() == folded
                && c.carrier == draft.carrier
                && system.is_none_or(|name| !is_grouped || name == system_of(c))
        };
        let alike: Vec<&Channel> = self.s.channels.iter().filter(is_named).collect();
        let is_exact = |c: &&&Channel| c.protection == protection.unwrap_or_default();
        let is_free = |c: &&&Channel| !self.claimed.contains(&c.id);
        let found = { alike.iter().find(|c| is_exact(c) && is_free(c)) }
            .or_else(|| { alike.iter() }.find(|c| protection.is_none() && is_free(c)))
            .or_else(|| alike.iter().find(is_exact));
        found.map(|c| c.id)
    }

    /// Says which other channel has the row's name.
    fn called_alike(&self, draft: &Draft) -> Option<String> {
        let folded = draft.name.to_lowercase();
        let mut channels = self.s.channels.iter();
        let other = channels.find(|c| c.name.to_lowercase() == folded)?;
        Some(format!(
            "another {} is there, which {}; both are kept",
            other.name,
            words_of(&other.carrier)
        ))
    }

    fn add(&mut self, line: u64, draft: &Draft) -> Result<(), RowProblem> {
        let notes_before = self.out.notes.len();
        let (edits, id) = match draft.carrier {
            Carrier::Conventional(carrier) => {
                let (edits, id) = add_channel(&self.s, &draft.name, carrier, &draft.remarks.notes);
                (finished(edits, id, draft), id)
            }
            Carrier::Grouped { .. } => self.grouped(draft),
        };
        self.s = self.s.apply(&edits).map_err(|error| {
            // Nothing was added, so nothing was taken for granted.
            self.out.notes.truncate(notes_before);
            RowProblem {
                line,
                column: Column::Name.word().to_owned(),
                found: draft.name.clone(),
                expected: format!("something the plan takes: {error}"),
            }
        })?;
        self.claimed.insert(id);
        self.out.edits.extend(edits);
        Ok(())
    }

    /// Adds a group number to the system that the row names, else to the only one there is, else to a new one.
    fn grouped(&mut self, draft: &Draft) -> (Vec<Edit>, ChannelId) {
        let kind = if draft.configuration.contains("satellite") {
            SystemKind::Satellite
        } else {
            SystemKind::Trunked
        };
        let mut fitting = self.s.systems.iter().filter(|x| x.kind == kind);
        let named = draft.remarks.system.as_deref();
        let found: Option<&System> = match named {
            Some(name) => fitting.find(|x| x.name == name),
            None => fitting.next().filter(|_| fitting.next().is_none()),
        };
        let mut edits = Vec::new();
        let system = if let Some(system) = found {
            system.id
        } else {
            let name = named.unwrap_or(UNNAMED_SYSTEM);
            let system = group_system(&self.s, kind, name);
            let id = system.id;
            self.out.notes.push(format!(
                "{name} is added to carry {}: check its access time and talk paths",
                draft.name
            ));
            edits.push(Edit::Add(system.into()));
            id
        };
        if named.is_none() && found.is_some() {
            let words = format!("{} is put on {}", draft.name, self.s.name(system.into()));
            self.out.notes.push(words);
        }
        let id = ChannelId(self.s.mint(edits.len() as u32));
        edits.push(Edit::Add(
            Channel {
                id,
                key: String::new(),
                name: draft.name.clone(),
                system,
                carrier: draft.carrier,
                protection: Protection::Clear,
                encrypted_only: false,
                purpose: None,
                notes: draft.remarks.notes.clone(),
            }
            .into(),
        ));
        (finished(edits, id, draft), id)
    }
}

/// Puts into a new channel what its frequencies do not say.
fn finished(mut edits: Vec<Edit>, id: ChannelId, draft: &Draft) -> Vec<Edit> {
    for edit in &mut edits {
        if let Edit::Add(Thing::Channel(channel)) = edit
            && channel.id == id
        {
            channel.protection = draft.remarks.protection.unwrap_or_default();
            channel.purpose = draft.purpose;
        }
    }
    edits
}

fn words_of(carrier: &Carrier) -> String {
    match carrier {
        Carrier::Conventional(c) => format!(
            "receives {} {}, sends {} {}, {}",
            c.rx, c.rx_code, c.tx, c.tx_code, c.mode
        ),
        Carrier::Grouped { group, mode } => format!("is group {group}, {mode}"),
    }
}
