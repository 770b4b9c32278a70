//! `check`: everything that will go wrong, worst first, each finding once with its phases.
//!
//! The findings are the checks' own; this file only gathers them over the phases and prints them.

use std::collections::{BTreeMap, BTreeSet};
use std::io::{self, Write};
use std::sync::Arc;

use serde_json::{Value as Json, json};

use crate::checks::{self, Report};
use crate::model::{
    Acceptance, Evidence, Finding, FindingId, Grade, Phase, Scenario, Severity, Value,
};
use crate::picture::Picture;

use super::args::Check;
use super::show::{BOLD, DIM, clean, json_lines, labelled, number, style, thing, thing_json};
use super::{Error, Outcome, done, open};

/// Unheard pairs for which the fewest changes are searched; in large scenarios a search takes long.
const MOST_SEARCHES: usize = 20;
/// Parties beyond which no changes are searched; `hears` does it for one pair.
const MOST_PARTIES: usize = 400;

/// Checks every phase, or one.
pub(super) fn run(args: &Check, out: &mut dyn Write) -> Result<Outcome, Error> {
    let scenario = open::scenario(&args.file, out, args.json)?;
    let phases: Vec<Phase> = match args.phase.as_deref() {
        Some(asked) => vec![open::phase(&scenario, Some(asked))?.clone()],
        None => scenario.phases.iter().cloned().collect(),
    };
    let checked = Checked::of(scenario, phases);
    let bar = Severity::from(args.fail_on);
    let outcome = if checked.open.iter().any(|e| e.finding.severity <= bar) {
        Outcome::Findings
    } else {
        Outcome::Clean
    };
    let written = if args.json {
        let mut json = checked.json();
        if let Json::Object(fields) = &mut json {
            fields.insert("file".to_owned(), json!(args.file.display().to_string()));
            fields.insert("fail_on".to_owned(), json!(bar.word()));
            fields.insert("failed".to_owned(), json!(outcome == Outcome::Findings));
        }
        json_lines(out, &json)
    } else {
        checked.text(out)
    };
    done(outcome, written)
}

/// A finding and where it occurs.
struct Entry {
    finding: Finding,
    phases: Vec<String>,
    fixes: Vec<(String, Grade)>,
}

struct Checked {
    scenario: Arc<Scenario>,
    phases: Vec<Phase>,
    open: Vec<Entry>,
    accepted: Vec<Entry>,
    aside: Vec<Entry>,
}

/// What makes two findings of two phases one line: the same things, severity and words.
type Line = (Severity, FindingId, String);

#[derive(Default)]
struct Gathered {
    entries: Vec<Entry>,
    places: BTreeMap<Line, usize>,
}

impl Gathered {
    /// Adds a finding of a phase; tells which entry is new.
    fn add(&mut self, finding: Finding, phase: &Phase) -> Option<&mut Entry> {
        let line = (finding.severity, finding.id(), finding.headline.clone());
        if let Some(entry) = self
            .places
            .get(&line)
            .and_then(|place| self.entries.get_mut(*place))
        {
            if entry.phases.last() != Some(&phase.key) {
                entry.phases.push(phase.key.clone());
            }
            return None;
        }
        self.places.insert(line, self.entries.len());
        let fixes = finding
            .fixes
            .iter()
            .map(|fix| (fix.title.clone(), fix.grade))
            .collect();
        self.entries.push(Entry {
            finding,
            phases: vec![phase.key.clone()],
            fixes,
        });
        self.entries.last_mut()
    }

    /// Lists worst first, then by code and keys, however the phases brought them.
    fn sorted(mut self, scenario: &Scenario) -> Vec<Entry> {
        self.entries.sort_by_cached_key(|e| {
            let things = e.finding.id().things;
            let keys: Vec<String> = things.into_iter().map(|t| scenario.key(t)).collect();
            (e.finding.severity, e.finding.code, keys)
        });
        self.entries
    }
}

impl Checked {
    fn of(scenario: Scenario, phases: Vec<Phase>) -> Self {
        let scenario = Arc::new(scenario);
        let mut open = Gathered::default();
        let mut accepted = Gathered::default();
        let mut aside = Gathered::default();
        let mut searches = if scenario.parties().count() > MOST_PARTIES {
            0
        } else {
            MOST_SEARCHES
        };
        for phase in &phases {
            let picture = Picture::new(Arc::clone(&scenario), phase.id);
            let report: Report = checks::run_all(&picture);
            for finding in report.open {
                let Some(entry) = open.add(finding, phase) else {
                    continue;
                };
                if entry.finding.unheard.is_some() && searches > 0 {
                    searches -= 1;
                    let fixes = checks::fixes(&entry.finding, &picture);
                    entry.fixes = fixes.into_iter().map(|f| (f.title, f.grade)).collect();
                }
            }
            for finding in report.accepted {
                accepted.add(finding, phase);
            }
            for finding in report.aside {
                aside.add(finding, phase);
            }
        }
        Self {
            open: open.sorted(&scenario),
            accepted: accepted.sorted(&scenario),
            aside: aside.sorted(&scenario),
            phases,
            scenario,
        }
    }

    fn count(&self, severity: Severity) -> usize {
        let has = |e: &&Entry| e.finding.severity == severity;
        self.open.iter().filter(has).count()
    }

    fn acceptance(&self, finding: &Finding) -> Option<&Acceptance> {
        let id = finding.id();
        self.scenario.accepted.iter().find(|a| a.finding == id)
    }

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
            labelled(out, 4, "fix", &format!("{title} ({})", word(*grade)))?;
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

    fn json(&self) -> Json {
        let counts = json!({
            "stops": self.count(Severity::Stops),
            "warns": self.count(Severity::Warns),
            "notes": self.count(Severity::Notes),
            "accepted": self.accepted.len(),
            "aside": self.aside.len(),
        });
        let phases: Vec<&str> = self.phases.iter().map(|p| p.key.as_str()).collect();
        let findings: Vec<Json> = self.open.iter().map(|e| self.entry_json(e)).collect();
        json!({
            "title": self.scenario.header.title,
            "phases": phases,
            "counts": counts,
            "findings": findings,
            "accepted": self.apart_json(&self.accepted),
            "aside": self.apart_json(&self.aside),
        })
    }

    fn apart_json(&self, entries: &[Entry]) -> Vec<Json> {
        let one = |entry: &Entry| {
            let mut json = self.entry_json(entry);
            if let (Json::Object(fields), Some(a)) = (&mut json, self.acceptance(&entry.finding)) {
                fields.insert("reason".to_owned(), json!(a.reason));
                fields.insert("by".to_owned(), json!(a.by));
                fields.insert("on".to_owned(), json!(a.on));
                if let Some(phase) = a.until {
                    let key = self.scenario.key(phase.into());
                    fields.insert("until".to_owned(), json!(key));
                }
            }
            json
        };
        entries.iter().map(one).collect()
    }

    fn entry_json(&self, entry: &Entry) -> Json {
        let finding = &entry.finding;
        let json_of = |id| thing_json(&self.scenario, id);
        let numbers: Vec<Json> = finding
            .evidence
            .iter()
            .map(|e| {
                let value = match &e.value {
                    Value::Number(n) => json!(n),
                    Value::Text(text) => json!(text),
                    Value::Thing(id) => json_of(*id),
                };
                json!({"quantity": e.quantity, "value": value, "unit": e.unit})
            })
            .collect();
        let fixes: Vec<Json> = entry
            .fixes
            .iter()
            .map(|(title, grade)| json!({"title": title, "grade": word(*grade)}))
            .collect();
        let related = finding.id().things.into_iter().skip(1).map(json_of);
        json!({
            "code": finding.code,
            "name": checks::find(finding.code).map(|check| check.name),
            "severity": finding.severity.word(),
            "headline": finding.headline,
            "phases": entry.phases,
            "subject": json_of(finding.subject),
            "related": related.collect::<Vec<_>>(),
            "numbers": numbers,
            "why": why(finding.code),
            "hints": finding.hints,
            "fixes": fixes,
        })
    }
}

fn word(grade: Grade) -> &'static str {
    match grade {
        Grade::Safe => "safe",
        Grade::Ask => "ask",
    }
}

/// Why the check's findings matter on the air, from its own page.
fn why(code: &str) -> String {
    checks::find(code)
        .and_then(|check| {
            let page = check.page();
            page.section("Why it matters").map(str::to_owned)
        })
        .unwrap_or_default()
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
