//! One row of a channel form taken apart: what is in its cells, or which cell cannot be.

use super::columns::{Column, Mapping};
use super::import::RowProblem;
use super::text::Source;
use super::values::{self, Letter, NARROW_HZ, Remarked, WIDE_HZ};
use crate::model::{AccessCode, Carrier, Conventional, Frequency, Mode, Role};
use crate::sheets::Choice as _;

/// A table with what its columns mean.
#[derive(Debug, Clone, Copy)]
pub(super) struct Reading<'a> {
    /// The table.
    pub(super) source: &'a Source,
    /// What its columns mean.
    pub(super) mapping: &'a Mapping,
}

/// A row taken apart.
pub(super) struct Draft {
    /// Name as the radio shows it.
    pub(super) name: String,
    /// Frequencies or group number.
    pub(super) carrier: Carrier,
    /// What the remarks say.
    pub(super) remarks: Remarked,
    /// Configuration, in small letters.
    pub(super) configuration: String,
    /// Function.
    pub(super) purpose: Option<Role>,
    /// What was taken for granted in reading the row.
    pub(super) notes: Vec<String>,
}

impl Reading<'_> {
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

    /// Refuses what shows that the row is not what its writer meant: cells behind the last heading, and a
    /// cell that swallowed the next rows because a quotation mark was left open.
    pub(super) fn is_whole(&self, line: u64, row: &[String]) -> Result<(), RowProblem> {
        let headings = &self.source.headings;
        for (place, cell) in row.iter().enumerate() {
            if cell.contains(['\n', '\r']) && cell.contains(self.source.delimiter) {
                return Err(RowProblem {
                    line,
                    column: headings.get(place).cloned().unwrap_or_default(),
                    found: cell.split_whitespace().collect::<Vec<_>>().join(" "),
                    expected: "text on one line: a quotation mark left open takes the rows below for its text"
                        .to_owned(),
                });
            }
        }
        let behind: Vec<&str> = { row.iter().skip(headings.len()) }
            .map(String::as_str)
            .filter(|cell| !cell.is_empty())
            .collect();
        if behind.is_empty() {
            return Ok(());
        }
        Err(RowProblem {
            line,
            column: "behind the last heading".to_owned(),
            found: behind.join(", "),
            expected: format!(
                "{} cells, as there are headings; a text that holds '{}' stands in quotation marks",
                headings.len(),
                self.source.delimiter.escape_default()
            ),
        })
    }

    pub(super) fn draft(&self, line: u64, row: &[String]) -> Result<Draft, RowProblem> {
        let at = |column| move |expected| self.problem(line, row, column, expected);
        let (rx_text, tx_text) = (self.cell(row, Column::Rx), self.cell(row, Column::Tx));
        let is_grouped = is_blank(rx_text) && is_blank(tx_text);
        let group_cell = self.cell(row, Column::Group);
        let name = self.cell(row, Column::Name);
        // "EAST TG 6" with frequencies is a name, and so is whatever stands beside a column of numbers.
        let (name, mut group) = if is_grouped && group_cell.is_empty() {
            values::name_and_group(name)
        } else {
            (name.to_owned(), None)
        };
        if name.is_empty() {
            let expected = "the name as the radio shows it".to_owned();
            return Err(at(Column::Name)(expected));
        }
        if !group_cell.is_empty() {
            let number = group_cell.parse().map_err(|_number| {
                at(Column::Group)("a whole number from 1, such as 1201".to_owned())
            })?;
            group = Some(number);
        }
        let mut remarks = Remarked::of(self.cell(row, Column::Remarks));
        let (letter, said) =
            values::letter(self.cell(row, Column::Mode)).map_err(at(Column::Mode))?;
        let is_digital = letter != Letter::Analogue;
        let mode = |rx: Option<Frequency>| {
            let said = said.or(remarks.mode);
            said.unwrap_or_else(|| values::usual_mode(is_digital, rx))
        };
        let mut notes = Vec::new();
        if is_grouped {
            let group = group.ok_or_else(|| {
                at(Column::Rx)(
                    "a frequency in MHz, or a group number behind the name, such as LAW 1 (TG 1201)"
                        .to_owned(),
                )
            })?;
            let carrier = Carrier::Grouped {
                group,
                mode: mode(None),
            };
            return Ok(self.named(name, row, carrier, (remarks, notes)));
        }
        let one_way = |text: &str, column| {
            match text {
            "" => Ok(()),
            text if is_blank(text) || values::is_none_sent(text) => Err(at(column)(
                "a frequency, or an empty cell where both are the same; a channel of a plan is for both \
                 ways, and \"Listens only\" is set in the radio that has it"
                    .to_owned(),
            )),
            _ => Ok(()),
        }
        };
        one_way(tx_text, Column::Tx)?;
        one_way(rx_text, Column::Rx)?;
        let (rx, rx_width) = values::frequency(either(rx_text, tx_text)).map_err(at(Column::Rx))?;
        let (tx, tx_width) = values::frequency(either(tx_text, rx_text)).map_err(at(Column::Tx))?;
        let own = values::width(self.cell(row, Column::Width)).map_err(at(Column::Width))?;
        let differs =
            |width: Option<u32>| width.is_some() && rx_width.is_some() && width != rx_width;
        if differs(tx_width) {
            return Err(at(Column::Tx)(format!(
                "the width of the receive frequency, '{rx_text}': a channel has one"
            )));
        }
        let letter_of = |hz: u32| hz > NARROW_HZ;
        if let (Some(own), Some(said)) = (own, rx_width.or(tx_width))
            && letter_of(own) != letter_of(said)
        {
            return Err(at(Column::Width)(format!(
                "the width that stands beside the frequency, '{}'",
                either(rx_text, tx_text)
            )));
        }
        let mode = mode(Some(rx));
        let mut code = |column| {
            let cell = self.cell(row, column);
            let colour = values::colour_code(cell);
            if colour.is_some() && mode == Mode::P25 {
                return Err(at(column)(
                    "a NAC such as $293; a colour code goes with DMR in the mode column".to_owned(),
                ));
            }
            if let Some(colour) = colour.filter(|_| mode == Mode::Dmr) {
                let words = format!("colour code {colour}");
                if remarks.notes.split("; ").all(|part| part != words) {
                    notes.push(format!("{name} has {words}, which a plan keeps as a note"));
                    let apart = if remarks.notes.is_empty() { "" } else { "; " };
                    remarks.notes.push_str(&format!("{apart}{words}"));
                }
                return Ok(AccessCode::None);
            }
            let code = values::code(cell, mode == Mode::P25).map_err(at(column))?;
            if let Some(why) = values::never_heard(code, mode, letter == Letter::Mixed) {
                let note = format!("{name} has {code} and is {mode}: {why}");
                if !notes.contains(&note) {
                    notes.push(note);
                }
            }
            Ok(code)
        };
        let (rx_code, tx_code) = (code(Column::RxCode)?, code(Column::TxCode)?);
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
        if tx_text.is_empty() || rx_text.is_empty() {
            notes.push(format!("{name} has one frequency, taken for both ways"));
        }
        if width.is_none() {
            let khz = f64::from(usual) / 1000.0;
            notes.push(format!("{name} says neither N nor W, taken for {khz} kHz"));
        }
        Ok(self.named(name, row, Carrier::Conventional(carrier), (remarks, notes)))
    }

    fn named(
        &self,
        name: String,
        row: &[String],
        carrier: Carrier,
        (remarks, notes): (Remarked, Vec<String>),
    ) -> Draft {
        let function = self.cell(row, Column::Function).to_lowercase();
        let purpose = Role::ALL.iter().find(|r| function.contains(r.words()));
        Draft {
            name,
            carrier,
            remarks,
            configuration: self.cell(row, Column::Configuration).to_lowercase(),
            purpose: purpose.copied(),
            notes,
        }
    }
}

/// Returns a frequency's cell, or where that is empty the one of the other way.
fn either<'t>(text: &'t str, other: &'t str) -> &'t str {
    if text.is_empty() { other } else { text }
}

/// Tells whether a frequency cell stands for none.
fn is_blank(cell: &str) -> bool {
    let lower = cell.to_lowercase();
    matches!(
        lower.as_str(),
        "" | "-" | "n/a" | "na" | "trunked" | "satellite"
    )
}
