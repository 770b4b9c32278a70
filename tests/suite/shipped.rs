//! The shipped scenarios: canonical, and what each is meant to show.

use std::collections::BTreeSet;
use std::sync::Arc;

use crosspatch::checks::{self, ALL};
use crosspatch::format::{Syntax, read, write};
use crosspatch::model::{Finding, Scenario, Severity, Value};
use crosspatch::picture::Picture;
use crosspatch::samples::{LARGE, SHIPPED, generate};

fn shipped(file_name: &str) -> Scenario {
    let sample = SHIPPED
        .iter()
        .find(|s| s.file_name == file_name)
        .expect("shipped");
    match read(sample.text, Syntax::Ron) {
        Ok(scenario) => scenario,
        Err(problems) => panic!("{file_name}: {problems}"),
    }
}

/// All open findings of all phases.
fn findings(scenario: &Scenario) -> Vec<Finding> {
    let scenario = Arc::new(scenario.clone());
    let phases: Vec<_> = scenario.phases.ids().collect();
    phases
        .into_iter()
        .flat_map(|phase| checks::run_all(&Picture::new(Arc::clone(&scenario), phase)).open)
        .collect()
}

#[test]
fn every_shipped_file_is_canonical_and_lossless() {
    for sample in SHIPPED {
        let scenario = shipped(sample.file_name);
        assert_eq!(
            write(&scenario, Syntax::Ron),
            sample.text,
            "{}",
            sample.file_name
        );
        let json = write(&scenario, Syntax::Json);
        let back = read(&json, Syntax::Json).expect("our own JSON");
        assert_eq!(
            write(&back, Syntax::Ron),
            sample.text,
            "{} through JSON",
            sample.file_name
        );
    }
}

#[test]
fn the_incident_is_as_large_as_promised_and_full_of_mistakes() {
    let scenario = shipped("incident.ron");
    assert!(scenario.agencies.len() >= 8);
    assert_eq!(scenario.gateways.len(), 3);
    assert_eq!(scenario.phases.len(), 2);
    assert!(!scenario.telephones.is_empty() && !scenario.headsets.is_empty());
    let serious: BTreeSet<&str> = findings(&scenario)
        .iter()
        .filter(|f| f.severity < Severity::Notes)
        .map(|f| f.code)
        .collect();
    assert!(serious.len() >= 8, "kinds of mistakes found: {serious:?}");
}

#[test]
fn the_incident_shows_every_family_of_checks_with_its_numbers() {
    let family = |code: &str| code.chars().next();
    let all: BTreeSet<Option<char>> = ALL.iter().map(|c| family(c.code)).collect();
    assert!(all.len() >= 13, "{all:?}");
    let found = findings(&shipped("incident.ron"));
    let with_numbers = found.iter().filter(|f| {
        let mut evidence = f.evidence.iter();
        evidence.any(|e| matches!(e.value, Value::Number(n) if n.is_finite()))
    });
    let shown: BTreeSet<Option<char>> = with_numbers.map(|f| family(f.code)).collect();
    let missing: Vec<_> = all.difference(&shown).collect();
    assert!(
        missing.is_empty(),
        "families without a finding: {missing:?}"
    );
}

#[test]
fn on_the_repaired_incident_nothing_above_notes_fires() {
    let alarms: Vec<String> = findings(&shipped("incident-repaired.ron"))
        .into_iter()
        .filter(|f| f.severity < Severity::Notes)
        .map(|f| format!("{} {}", f.code, f.headline))
        .collect();
    assert!(alarms.is_empty(), "{alarms:#?}");
}

#[test]
fn the_lesson_stops_in_no_step() {
    let stops: Vec<String> = findings(&shipped("talk-groups.ron"))
        .into_iter()
        .filter(|f| f.severity == Severity::Stops)
        .map(|f| format!("{} {}", f.code, f.headline))
        .collect();
    assert!(stops.is_empty(), "{stops:#?}");
}

#[test]
fn the_large_file_is_what_the_generator_makes() {
    let (size, seed) = LARGE;
    let made = write(&generate(size, seed), Syntax::Ron);
    let sample = SHIPPED
        .iter()
        .find(|s| s.file_name == "large.ron")
        .expect("shipped");
    assert_eq!(made, sample.text);
}
