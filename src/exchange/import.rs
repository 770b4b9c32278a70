//! Rows of a channel form as channels of a scenario.
//!
//! Every row becomes a channel, is there already, or is named with what was found and what is expected.
//! Nothing is applied here: the edits are those of the good rows, and whoever asked decides whether the bad
//! ones stop everything.

use std::collections::BTreeMap;

use super::columns::{Column, Mapping};
use super::text::Source;
use super::values::{self, Letter, NARROW_HZ, Remarked, WIDE_HZ};
use crate::library::national::{add_channel, group_system};
use crate::model::{
    Carrier, Channel, ChannelId, Conventional, Edit, Frequency, Mode, Protection, Role, Scenario,
    System, SystemKind, Thing,
};
use crate::sheets::Choice as _;

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
        source,
        mapping,
        lines: BTreeMap::new(),
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
    source: &'a Source,
    mapping: &'a Mapping,
    /// The line in which each name stands first.
    lines: BTreeMap<String, u64>,
    out: Import,
}

/// A row taken apart.
struct Draft {
    name: String,
    carrier: Carrier,
    remarks: Remarked,
    configuration: String,
    purpose: Option<Role>,
}

impl Importer<'_> {
    fn missing_columns(&mut self) {
        let has = |column| self.mapping.place(column).is_some();
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
                line: self.source.line,
                column: column.word().to_owned(),
                found: self.source.headings.join(", "),
                expected: expected.to_owned(),
            });
        }
    }

    fn cell<'r>(&self, row: &'r [String], column: Column) -> &'r str {
        self.mapping.cell(row, column).trim()
    }

    /// Makes the problem of a cell.
    fn problem(&self, line: u64, row: &[String], column: Column, expected: String) -> RowProblem {
        let place = self.mapping.place(column);
        let heading = place.and_then(|i| self.source.headings.get(i));
        RowProblem {
            line,
            column: heading.map_or_else(|| column.word().to_owned(), Clone::clone),
            found: self.cell(row, column).to_owned(),
            expected,
        }
    }

    fn row(&mut self, line: u64, row: &[String]) -> Result<(), RowProblem> {
        let draft = self.draft(line, row)?;
        let wrong = |expected: String| RowProblem {
            line,
            column: Column::Name.word().to_owned(),
            found: draft.name.clone(),
            expected,
        };
        let folded = draft.name.to_lowercase();
        if let Some(first) = self.lines.get(&folded) {
            return Err(wrong(format!(
                "a name of its own: line {first} has the same"
            )));
        }
        self.lines.insert(folded.clone(), line);
        let same_name = |c: &&Channel| c.name.to_lowercase() == folded;
        if let Some(there) = self.s.channels.iter().find(same_name) {
            if there.carrier != draft.carrier {
                return Err(wrong(format!(
                    "another name: the plan has a {} that {}",
                    there.name,
                    words_of(&there.carrier)
                )));
            }
            self.out.rows.push(Row {
                line,
                words: words_of(&draft.carrier),
                name: draft.name,
                is_there: true,
            });
            return Ok(());
        }
        let edits = match draft.carrier {
            Carrier::Conventional(carrier) => {
                let (edits, id) = add_channel(&self.s, &draft.name, carrier, &draft.remarks.notes);
                finished(edits, id, &draft)
            }
            Carrier::Grouped { .. } => self.grouped(&draft),
        };
        match self.s.apply(&edits) {
            Ok(next) => self.s = next,
            Err(error) => return Err(wrong(format!("something the plan takes: {error}"))),
        }
        self.out.edits.extend(edits);
        self.out.rows.push(Row {
            line,
            words: words_of(&draft.carrier),
            name: draft.name,
            is_there: false,
        });
        Ok(())
    }

    fn draft(&mut self, line: u64, row: &[String]) -> Result<Draft, RowProblem> {
        let at = |column| {
            let this = &*self;
            move |expected| this.problem(line, row, column, expected)
        };
        let (name, mut group) = values::name_and_group(self.cell(row, Column::Name));
        if name.is_empty() {
            let expected = "the name as the radio shows it".to_owned();
            return Err(at(Column::Name)(expected));
        }
        let group_cell = self.cell(row, Column::Group);
        if !group_cell.is_empty() {
            let number = group_cell.parse().map_err(|_number| {
                at(Column::Group)("a whole number from 1, such as 1201".to_owned())
            })?;
            group = Some(number);
        }
        let remarks = Remarked::of(self.cell(row, Column::Remarks));
        let (letter, said) =
            values::letter(self.cell(row, Column::Mode)).map_err(at(Column::Mode))?;
        let is_digital = letter != Letter::Analogue;
        let (rx_text, tx_text) = (self.cell(row, Column::Rx), self.cell(row, Column::Tx));
        let mode = |rx: Option<Frequency>| {
            let said = said.or(remarks.mode);
            said.unwrap_or_else(|| values::usual_mode(is_digital, rx))
        };
        if is_blank(rx_text) && is_blank(tx_text) {
            let group = group.ok_or_else(|| {
                at(Column::Rx)(
                    "a frequency in MHz, or a group number behind the name, such as LAW 1 (TG 1201)"
                        .to_owned(),
                )
            })?;
            let mode = mode(None);
            return Ok(self.named(name, row, Carrier::Grouped { group, mode }, remarks));
        }
        let (rx, rx_width) = values::frequency(if is_blank(rx_text) { tx_text } else { rx_text })
            .map_err(at(Column::Rx))?;
        let (tx, tx_width) = values::frequency(if is_blank(tx_text) { rx_text } else { tx_text })
            .map_err(at(Column::Tx))?;
        let own = values::width(self.cell(row, Column::Width)).map_err(at(Column::Width))?;
        let mode = mode(Some(rx));
        let rx_code =
            values::code(self.cell(row, Column::RxCode), is_digital).map_err(at(Column::RxCode))?;
        let tx_code =
            values::code(self.cell(row, Column::TxCode), is_digital).map_err(at(Column::TxCode))?;
        let width = remarks.bandwidth_hz.or(own).or(rx_width).or(tx_width);
        let usual = if mode == Mode::Am { WIDE_HZ } else { NARROW_HZ };
        let carrier = Conventional {
            rx,
            tx,
            rx_code,
            tx_code,
            mode,
            mixed: letter == Letter::Mixed,
            bandwidth_hz: width.unwrap_or(usual),
        };
        if is_blank(tx_text) || is_blank(rx_text) {
            self.out.notes.push(format!(
                "line {line}: {name} has one frequency, taken for both ways"
            ));
        }
        if width.is_none() {
            let khz = f64::from(usual) / 1000.0;
            self.out.notes.push(format!(
                "line {line}: {name} says neither N nor W, taken for {khz} kHz"
            ));
        }
        Ok(self.named(name, row, Carrier::Conventional(carrier), remarks))
    }

    fn named(&self, name: String, row: &[String], carrier: Carrier, remarks: Remarked) -> Draft {
        let function = self.cell(row, Column::Function).to_lowercase();
        let purpose = Role::ALL.iter().find(|r| function.contains(r.words()));
        Draft {
            name,
            carrier,
            remarks,
            configuration: self.cell(row, Column::Configuration).to_lowercase(),
            purpose: purpose.copied(),
        }
    }

    /// Adds a group number to the system that the row names, else to the only one there is, else to a new one.
    fn grouped(&mut self, draft: &Draft) -> Vec<Edit> {
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
        finished(edits, id, draft)
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

/// Tells whether a frequency cell stands for none.
fn is_blank(cell: &str) -> bool {
    let lower = cell.to_lowercase();
    matches!(
        lower.as_str(),
        "" | "-" | "n/a" | "na" | "trunked" | "satellite"
    )
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
