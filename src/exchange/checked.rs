//! Findings of several phases, each once with the phases that have it, and as JSON: the same for the window
//! and for the verb `check`. The findings are the checks' own.

use std::collections::BTreeMap;
use std::sync::Arc;

use serde_json::{Value as Json, json};

use super::heard::thing_json;
use crate::checks::{self, Report};
use crate::model::{Acceptance, Finding, FindingId, Grade, Phase, Scenario, Severity, Value};
use crate::picture::Picture;

/// Unheard pairs for which the fewest changes are searched; in large scenarios a search takes long.
const MOST_SEARCHES: usize = 20;
/// Parties beyond which no changes are searched; `hears` does it for one pair.
const MOST_PARTIES: usize = 400;

/// A finding and where it occurs.
#[derive(Debug)]
pub struct Entry {
    /// The finding, as the first phase has it.
    pub finding: Finding,
    /// Keys of the phases that have it.
    pub phases: Vec<String>,
    /// Titles of its fixes, and whether each may be applied unasked.
    pub fixes: Vec<(String, Grade)>,
}

/// The findings of several phases, each once.
#[derive(Debug)]
pub struct Checked {
    /// The scenario.
    pub scenario: Arc<Scenario>,
    /// The phases that were checked.
    pub phases: Vec<Phase>,
    /// What is open, worst first.
    pub open: Vec<Entry>,
    /// What is accepted.
    pub accepted: Vec<Entry>,
    /// What is put aside.
    pub aside: Vec<Entry>,
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
    /// Checks phases of a scenario; for pairs that are not heard it searches for changes, while they are few.
    pub fn of(scenario: Arc<Scenario>, phases: Vec<Phase>) -> Self {
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

    /// Returns how many open findings have a severity.
    pub fn count(&self, severity: Severity) -> usize {
        let has = |e: &&Entry| e.finding.severity == severity;
        self.open.iter().filter(has).count()
    }

    /// Returns who accepted a finding, and why.
    pub fn acceptance(&self, finding: &Finding) -> Option<&Acceptance> {
        let id = finding.id();
        self.scenario.accepted.iter().find(|a| a.finding == id)
    }

    /// Returns all of it for programs, with the name of the file the scenario is in.
    pub fn json(&self, file: &str) -> Json {
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
            "file": file,
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
            .map(|(title, grade)| json!({"title": title, "grade": grade_word(*grade)}))
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

/// Returns the word for how a fix may be applied.
pub fn grade_word(grade: Grade) -> &'static str {
    match grade {
        Grade::Safe => "safe",
        Grade::Ask => "ask",
    }
}

/// Why the check's findings matter on the air, from its own page.
pub fn why(code: &str) -> String {
    checks::find(code)
        .and_then(|check| {
            let page = check.page();
            page.section("Why it matters").map(str::to_owned)
        })
        .unwrap_or_default()
}
