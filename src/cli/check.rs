//! `check`: everything that will go wrong, worst first, each finding once with its phases.
//!
//! The exchange layer gathers them over the phases and writes JSON; this file prints them for people.

use std::collections::BTreeSet;
use std::io::{self, Write};
use std::sync::Arc;

use serde_json::{Value as Json, json};

use crate::checks;
use crate::exchange::{Checked, Entry, grade_word, why};
use crate::model::{Acceptance, Evidence, Finding, Phase, Severity, Value};

use super::args::Check;
use super::show::{BOLD, DIM, clean, json_lines, labelled, number, style, thing};
use super::{Error, Outcome, done, open};

/// Checks every phase, or one.
pub(super) fn run(args: &Check, out: &mut dyn Write) -> Result<Outcome, Error> {
    let scenario = open::scenario(&args.file, out, args.json)?;
    let phases: Vec<Phase> = match args.phase.as_deref() {
        Some(asked) => vec![open::phase(&scenario, Some(asked))?.clone()],
        None => scenario.phases.iter().cloned().collect(),
    };
    let checked = Checked::of(Arc::new(scenario), phases);
    let bar = Severity::from(args.fail_on);
    let outcome = if checked.open.iter().any(|e| e.finding.severity <= bar) {
        Outcome::Findings
    } else {
        Outcome::Clean
    };
    let written = if args.json {
        let mut json = checked.json(&args.file.display().to_string());
        if let Json::Object(fields) = &mut json {
            fields.insert("fail_on".to_owned(), json!(bar.word()));
            fields.insert("failed".to_owned(), json!(outcome == Outcome::Findings));
        }
        json_lines(out, &json)
    } else {
        checked.text(out)
    };
    done(outcome, written)
}

impl Checked {
    fn text(&self, out: &mut dyn Write) -> io::Result<()> {
        let title = clean(&self.scenario.header.title);
        let title = if title.is_empty() { "Scenario" } else { &title };
        let names: Vec<String> = self.phases.iter().map(|p| clean(&p.name)).collect();
        writeln!(out, "{BOLD}{title}{BOLD:#}: {}", names.join(", "))?;
        let mut explained = BTreeSet::new();
        for severity in Severity::ALL {
            let count = self.count(severity);
            if count == 0 {
                continue;
            }
            let style = style(severity);
            writeln!(out, "\n{style}{severity}{style:#} ({count})")?;
            let group = self.open.iter().filter(|e| e.finding.severity == severity);
            for entry in group {
                self.entry(out, entry, &mut explained)?;
            }
        }
        self.apart(out, "accepted", &self.accepted)?;
        self.apart(out, "put aside", &self.aside)?;
        let counts: Vec<String> = Severity::ALL
            .iter()
            .map(|s| format!("{} {s}", self.count(*s)))
            .collect();
        writeln!(
            out,
            "\n{}, {} put aside, {} accepted",
            counts.join(", "),
            self.aside.len(),
            self.accepted.len()
        )?;
        writeln!(
            out,
            "{DIM}A plan is proved only on the air: test before relying on a patch.{DIM:#}"
        )
    }

    /// Prints what a planner has set apart, each with the reason.
    fn apart(&self, out: &mut dyn Write, word: &str, entries: &[Entry]) -> io::Result<()> {
        if !entries.is_empty() {
            writeln!(out, "\n{BOLD}{word}{BOLD:#} ({})", entries.len())?;
        }
        for entry in entries {
            self.headline(out, entry)?;
            if let Some(a) = self.acceptance(&entry.finding) {
                let Acceptance { reason, by, on, .. } = a;
                let on = if on.is_empty() {
                    ""
                } else {
                    &format!(", {on}")
                };
                let until = match a.until {
                    Some(phase) => format!(", until {}", self.scenario.name(phase.into())),
                    None => String::new(),
                };
                labelled(out, 4, word, &format!("{reason} ({by}{on}{until})"))?;
            }
        }
        Ok(())
    }

    fn headline(&self, out: &mut dyn Write, entry: &Entry) -> io::Result<()> {
        let Finding { code, headline, .. } = &entry.finding;
        let name = checks::find(code).map_or("", |check| check.name);
        writeln!(
            out,
            "  {BOLD}{code}{BOLD:#} {DIM}{name}{DIM:#}  {}",
            clean(headline)
        )?;
        if self.phases.len() > 1 && entry.phases.len() < self.phases.len() {
            labelled(out, 4, "phases", &entry.phases.join(", "))?;
        }
        Ok(())
    }

    fn entry(
        &self,
        out: &mut dyn Write,
        entry: &Entry,
        explained: &mut BTreeSet<&'static str>,
    ) -> io::Result<()> {
        self.headline(out, entry)?;
        let finding = &entry.finding;
        let things: Vec<String> = finding
            .id()
            .things
            .iter()
            .map(|t| thing(&self.scenario, *t))
            .collect();
        labelled(out, 4, "things", &shortened(&things).join(", "))?;
        let numbers: Vec<String> = finding.evidence.iter().map(|e| self.evidence(e)).collect();
        labelled(out, 4, "numbers", &shortened(&numbers).join(", "))?;
        if explained.insert(finding.code) {
            labelled(out, 4, "why", &why(finding.code))?;
        }
        for hint in &finding.hints {
            labelled(out, 4, "hint", hint)?;
        }
        for (title, grade) in &entry.fixes {
            labelled(out, 4, "fix", &format!("{title} ({})", grade_word(*grade)))?;
        }
        Ok(())
    }

    fn evidence(&self, evidence: &Evidence) -> String {
        let Evidence {
            quantity,
            value,
            unit,
        } = evidence;
        let value = match value {
            Value::Number(n) => number(*n),
            Value::Text(text) => text.clone(),
            Value::Thing(id) => self.scenario.name(*id),
        };
        let space = if unit.is_empty() { "" } else { " " };
        format!("{quantity} {value}{space}{unit}")
    }
}

/// Cuts a long list to what is worth reading on a terminal; JSON has all of it.
fn shortened(items: &[String]) -> Vec<String> {
    const MOST: usize = 12;
    let mut shown: Vec<String> = items.iter().take(MOST).map(|i| clean(i)).collect();
    if items.len() > MOST {
        shown.push(format!("and {} more", items.len() - MOST));
    }
    shown
}
