//! `check`: its bar, its text, its JSON.

use std::collections::BTreeSet;
use std::sync::Arc;

use crosspatch::checks;
use crosspatch::cli::Outcome;
use crosspatch::format::{self, Syntax};
use crosspatch::model::{Acceptance, Edit};
use crosspatch::picture::Picture;
use crosspatch::samples::SHIPPED;
use serde_json::Value;

use super::{Folder, all_documented, fields, json, ok};

#[test]
fn check_exits_by_its_bar() {
    let folder = Folder::shipped();
    for sample in SHIPPED.iter().filter(|s| s.file_name != "large.ron") {
        let file = folder.path(sample.file_name);
        for bar in ["stops", "warns", "notes"] {
            let (outcome, json) = json(&["check", &file, "--fail-on", bar]);
            let count = |word: &str| json["counts"][word].as_u64().unwrap();
            let above = match bar {
                "stops" => count("stops"),
                "warns" => count("stops") + count("warns"),
                _ => count("stops") + count("warns") + count("notes"),
            };
            assert_eq!(outcome == Outcome::Findings, above > 0, "{file} {bar}");
            assert_eq!(json["failed"], above > 0);
            assert_eq!(json["fail_on"], bar);
        }
    }
}

#[test]
fn check_prints_what_is_known_of_a_finding() {
    let folder = Folder::shipped();
    let file = folder.path("incident.ron");
    let (outcome, text) = ok(&["check", &file]);
    assert_eq!(outcome, Outcome::Findings);
    for part in [
        "\nstops (",
        "R01 unheard-need",
        "things ",
        "numbers ",
        "why ",
        "fix ",
        " accepted\n",
    ] {
        assert!(text.contains(part), "{part} in {text}");
    }
    assert!(!text.contains('\u{1b}'));
    let (_, json) = json(&["check", &file]);
    all_documented("check", &json);
    assert_eq!(
        fields(&json),
        [
            "accepted", "aside", "counts", "fail_on", "failed", "file", "findings", "phases",
            "title"
        ]
    );
    let finding = &json["findings"][0];
    assert_eq!(
        fields(finding),
        [
            "code", "fixes", "headline", "hints", "name", "numbers", "phases", "related",
            "severity", "subject", "why"
        ]
    );
    assert!(!finding["why"].as_str().unwrap().is_empty());
}

#[test]
fn check_lists_a_finding_once_with_its_phases() {
    let folder = Folder::shipped();
    let file = folder.path("incident.ron");
    let (_, all) = json(&["check", &file]);
    let findings = all["findings"].as_array().unwrap();
    let lines: BTreeSet<String> = findings
        .iter()
        .map(|f| format!("{}{}{}", f["headline"], f["subject"], f["related"]))
        .collect();
    assert_eq!(lines.len(), findings.len(), "none twice");
    let count = |key: &str| {
        let has = |f: &&Value| f["phases"].as_array().unwrap().iter().any(|p| p == key);
        findings.iter().filter(has).count()
    };
    for phase in all["phases"].as_array().unwrap() {
        let phase = phase.as_str().unwrap();
        let (_, one) = json(&["check", &file, "--phase", phase]);
        assert_eq!(one["phases"].as_array().unwrap().len(), 1);
        assert_eq!(
            one["findings"].as_array().unwrap().len(),
            count(phase),
            "{phase}"
        );
    }
}

#[test]
fn accepted_findings_stand_apart_with_their_reason() {
    let scenario = format::read(SHIPPED[0].text, Syntax::Ron).unwrap();
    let phase = scenario.phases.first().unwrap().id;
    let report = checks::run_all(&Picture::new(Arc::new(scenario.clone()), phase));
    let finding = report.open.first().unwrap();
    let acceptance = Acceptance {
        finding: finding.id(),
        facts: finding.facts(|thing| scenario.key(thing)),
        reason: "only for an hour".to_owned(),
        by: "N. Tarn".to_owned(),
        on: "2026-05-01".to_owned(),
        until: None,
    };
    let scenario = scenario.apply(&[Edit::Accept(acceptance)]).unwrap();
    let folder = Folder::new();
    let file = folder.put("a.ron", &format::write(&scenario, Syntax::Ron));
    let phase = scenario.phases.first().unwrap().key.clone();
    let (_, json) = json(&["check", &file, "--phase", &phase]);
    all_documented("check", &json);
    assert_eq!(json["accepted"][0]["headline"], finding.headline.as_str());
    assert_eq!(json["accepted"][0]["by"], "N. Tarn");
    assert_eq!(json["counts"]["accepted"], 1);
    let open = json["findings"].as_array().unwrap();
    assert_eq!(open.len(), report.open.len() - 1);
    let (_, text) = ok(&["check", &file, "--phase", &phase]);
    assert!(
        text.contains("accepted only for an hour (N. Tarn, 2026-05-01)"),
        "{text}"
    );
}

#[test]
fn findings_put_aside_are_counted_and_come_back_with_their_phase() {
    let scenario = format::read(SHIPPED[0].text, Syntax::Ron).unwrap();
    let phases: Vec<_> = scenario.phases.iter().cloned().collect();
    let [first, later, ..] = phases.as_slice() else {
        panic!("the incident has two phases");
    };
    let report = |phase| checks::run_all(&Picture::new(Arc::new(scenario.clone()), phase));
    let (now, then) = (report(first.id), report(later.id));
    let same = |f: &&crosspatch::model::Finding| then.open.iter().any(|o| o.id() == f.id());
    let finding = now.open.iter().find(same).unwrap();
    let acceptance = Acceptance {
        finding: finding.id(),
        facts: finding.facts(|thing| scenario.key(thing)),
        reason: "spare set is on its way".to_owned(),
        by: "N. Tarn".to_owned(),
        on: "2026-05-01".to_owned(),
        until: Some(later.id),
    };
    let aside = scenario.apply(&[Edit::Accept(acceptance)]).unwrap();
    let folder = Folder::new();
    let file = folder.put("a.ron", &format::write(&aside, Syntax::Ron));
    let (_, before) = json(&["check", &file, "--phase", &first.key]);
    all_documented("check", &before);
    assert_eq!(before["counts"]["aside"], 1);
    assert_eq!(before["aside"][0]["until"], later.key.as_str());
    assert_eq!(before["aside"][0]["headline"], finding.headline.as_str());
    let open = |json: &Value| json["findings"].as_array().unwrap().len();
    assert_eq!(open(&before), now.open.len() - 1);
    let (_, after) = json(&["check", &file, "--phase", &later.key]);
    assert_eq!(after["counts"]["aside"], 0);
    assert_eq!(open(&after), then.open.len());
    let (_, text) = ok(&["check", &file, "--phase", &first.key]);
    assert!(text.contains("1 put aside"), "{text}");
    let words = format!("until {}", later.name);
    assert!(text.contains(&words), "{text}");
}
