//! Findings as a table, worst first, one row for each phase that has it.

use super::text::Sheet;
use crate::checks::{Report, find};
use crate::model::{Finding, ThingId, Value};
use crate::picture::Picture;

/// Lists the findings of pictures with their reports; what is accepted or put aside says so.
pub fn findings(phases: &[(Picture, Report)]) -> Sheet {
    let mut sheet = Sheet::new([
        "Phase",
        "Severity",
        "Check",
        "Name",
        "Finding",
        "About",
        "Related",
        "Numbers",
        "What to do",
        "State",
    ]);
    for (picture, report) in phases {
        let states = [
            (&report.open, "open"),
            (&report.aside, "put aside"),
            (&report.accepted, "accepted"),
        ];
        for (list, state) in states {
            for finding in list {
                sheet.rows.push(row(picture, finding, state));
            }
        }
    }
    sheet
}

fn row(picture: &Picture, finding: &Finding, state: &str) -> Vec<String> {
    let s = picture.scenario();
    let phase = picture.phase().map_or_else(String::new, |p| p.name.clone());
    let name = |thing: &ThingId| s.name(*thing);
    let related: Vec<String> = finding.related.iter().map(name).collect();
    let numbers = finding.evidence.iter().map(|e| {
        let value = match &e.value {
            Value::Number(n) => format!("{}", (n * 1000.0).round() / 1000.0),
            Value::Text(text) => text.clone(),
            Value::Thing(thing) => s.name(*thing),
        };
        let text = format!("{} {value} {}", e.quantity, e.unit);
        text.trim_end().to_owned()
    });
    vec![
        phase,
        finding.severity.to_string(),
        finding.code.to_owned(),
        find(finding.code).map_or("", |check| check.name).to_owned(),
        finding.headline.clone(),
        name(&finding.subject),
        related.join("; "),
        numbers.collect::<Vec<_>>().join("; "),
        finding.hints.join("; "),
        state.to_owned(),
    ]
}
