//! `export`: channels, hearing or findings as a table for spreadsheets.
//!
//! The tables are made by the exchange layer; this file finds the phase and writes.

use std::io::Write;
use std::sync::Arc;

use serde_json::json;

use crate::checks;
use crate::exchange::{self, Sheet};
use crate::model::PhaseId;
use crate::picture::Picture;

use super::args::{Export, ExportTable};
use super::disk::{self, Existing};
use super::error::{Error, Kind};
use super::show::{clean, json_lines};
use super::{Outcome, done, open};

/// Makes a table, and writes or prints it.
pub(super) fn run(args: &Export, out: &mut dyn Write) -> Result<Outcome, Error> {
    let scenario = Arc::new(open::scenario(&args.file, out, args.json)?);
    let phase = open::phase(&scenario, args.phase.as_deref())?;
    let picture = |phase: PhaseId| Picture::new(Arc::clone(&scenario), phase);
    let is_of_all = args.phase.is_none() && args.table == ExportTable::Findings;
    let sheet = match args.table {
        ExportTable::Ics217a => exchange::ics_217a(&scenario),
        ExportTable::Ics205 => exchange::ics_205(&picture(phase.id)),
        ExportTable::Matrix => exchange::matrix(&picture(phase.id)).ok_or_else(too_many)?,
        ExportTable::Findings => {
            let phases = scenario
                .phases
                .ids()
                .filter(|p| is_of_all || *p == phase.id);
            let checked = phases.map(|phase| {
                let picture = picture(phase);
                let report = checks::run_all(&picture);
                (picture, report)
            });
            exchange::findings(&checked.collect::<Vec<_>>())
        }
    };
    if let Some(to) = &args.to {
        disk::write(to, &sheet.csv(), Existing::of(args.force))?;
    }
    let is_phased = args.table != ExportTable::Ics217a && !is_of_all;
    let phase = is_phased.then_some(phase.key.as_str());
    done(Outcome::Clean, print(args, out, &sheet, phase))
}

fn print(
    args: &Export,
    out: &mut dyn Write,
    sheet: &Sheet,
    phase: Option<&str>,
) -> std::io::Result<()> {
    let to = args.to.as_ref().map(|to| to.display().to_string());
    if args.json {
        let table = match args.table {
            ExportTable::Ics217a => "217a",
            ExportTable::Ics205 => "205",
            ExportTable::Matrix => "matrix",
            ExportTable::Findings => "findings",
        };
        let value = json!({
            "file": args.file.display().to_string(),
            "as": table,
            "phase": phase,
            "to": to,
            "headings": sheet.headings,
            "rows": sheet.rows,
        });
        return json_lines(out, &value);
    }
    match to {
        Some(to) => {
            let rows = if sheet.rows.len() == 1 { "row" } else { "rows" };
            writeln!(out, "{} written, {} {rows}", clean(&to), sheet.rows.len())
        }
        None => write!(out, "{}", sheet.csv()),
    }
}

fn too_many() -> Error {
    let most = exchange::MOST_PARTIES;
    let message =
        format!("there are more than {most} parties, too many for the columns of a table");
    Error::new(Kind::Usage, message).hint("`crosspatch hears FILE --json` lists every pair")
}
