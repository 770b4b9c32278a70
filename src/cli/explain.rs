//! `explain`: the handbook page of a check, cut out of the check's own file.

use std::io::{self, Write};

use serde_json::{Value, json};

use crate::checks::{self, ALL, Check, page};
use crate::format::did_you_mean;

use super::args::Explain;
use super::error::{Error, Kind};
use super::show::{BOLD, json_lines, style, wrapped};
use super::{Outcome, done};

/// Prints one page, or the list of checks.
pub(super) fn run(args: &Explain, out: &mut dyn Write) -> Result<Outcome, Error> {
    let written = match &args.check {
        None if args.all && args.json => {
            let pages: Vec<Value> = ALL.iter().map(page_value).collect();
            json_lines(out, &json!({"checks": pages}))
        }
        None if args.all => write!(out, "{}", page::handbook(ALL)),
        None if args.json => list_json(out),
        None => list(out),
        Some(asked) => {
            let check = checks::find(asked).ok_or_else(|| unknown(asked))?;
            if args.json {
                page_json(out, check)
            } else {
                page_text(out, check)
            }
        }
    };
    done(Outcome::Clean, written)
}

fn unknown(asked: &str) -> Error {
    let names = ALL.iter().flat_map(|c| [c.name, c.code]);
    let part = asked.to_lowercase();
    let holds = |c: &&Check| part.len() > 2 && c.name.contains(&part);
    let near = did_you_mean(asked, names).or_else(|| {
        let check = ALL.iter().find(holds)?;
        Some(format!("did you mean '{}'?", check.name))
    });
    Error::new(Kind::Usage, format!("there is no check '{asked}'"))
        .maybe_hint(near)
        .hint("`crosspatch explain` lists all checks")
}

fn list(out: &mut dyn Write) -> io::Result<()> {
    let width = ALL.iter().map(|c| c.name.len()).max().unwrap_or(0);
    for check in ALL {
        let Check {
            code,
            name,
            severity,
            ..
        } = check;
        let style = style(*severity);
        let summary = check.page().summary;
        writeln!(
            out,
            "{BOLD}{code:<4}{BOLD:#} {name:<width$} {style}{severity:<5}{style:#} {summary}"
        )?;
    }
    Ok(())
}

fn page_text(out: &mut dyn Write, check: &Check) -> io::Result<()> {
    const WIDTH: usize = 96;
    let page = check.page();
    let style = style(check.severity);
    writeln!(
        out,
        "{BOLD}{} {}{BOLD:#} ({style}{}{style:#})",
        check.code, check.name, check.severity
    )?;
    for line in wrapped(&page.summary, WIDTH) {
        writeln!(out, "{line}")?;
    }
    for (heading, text) in &page.sections {
        writeln!(out, "\n{BOLD}{heading}{BOLD:#}")?;
        for paragraph in text.lines() {
            for line in wrapped(paragraph, WIDTH) {
                writeln!(out, "  {line}")?;
            }
        }
    }
    Ok(())
}

fn list_json(out: &mut dyn Write) -> io::Result<()> {
    let checks: Vec<_> = ALL
        .iter()
        .map(|c| {
            json!({
                "code": c.code,
                "name": c.name,
                "severity": c.severity.word(),
                "summary": c.page().summary,
            })
        })
        .collect();
    json_lines(out, &json!({"checks": checks}))
}

fn page_json(out: &mut dyn Write, check: &Check) -> io::Result<()> {
    json_lines(out, &page_value(check))
}

fn page_value(check: &Check) -> Value {
    let page = check.page();
    let sections: Vec<_> = page
        .sections
        .iter()
        .map(|(heading, text)| json!({"heading": heading, "text": text}))
        .collect();
    json!({
        "code": check.code,
        "name": check.name,
        "severity": check.severity.word(),
        "summary": page.summary,
        "sections": sections,
    })
}
