//! Older files open; newer ones are refused.

use crosspatch::format::{self, Syntax};

use super::{ron, wrong};

const OLD: &str = r#"// From the first year.
(
    format: 0,
    title: "Old",
    units: [(key: "engine", people: 4), (key: "medic")],
    gateways: [(key: "box", ports: [(number: 1), (number: 2)])],
    phases: [(key: "day", switches: [("box/1", 1), ("box/2", 2)])],
)
"#;

const OLD_JSON: &str = r#"{"format": 0, "title": "Old",
    "units": [{"key": "engine", "people": 4}, {"key": "medic"}],
    "gateways": [{"key": "box", "ports": [{"number": 1}, {"number": 2}]}],
    "phases": [{"key": "day", "switches": [["box/1", 1], ["box/2", 2]]}]}"#;

#[test]
fn format_0_opens_and_is_written_as_format_1() {
    let scenario = ron(OLD);
    assert_eq!(scenario.units.by_key("engine").unwrap().heads, 4);
    let phase = scenario.phases.first().unwrap();
    let switches: Vec<u8> = phase.switches.values().copied().collect();
    assert_eq!(switches, [1, 2]);
    let text = format::write(&scenario, Syntax::Ron);
    assert!(
        text.contains("format: 1,") && text.contains("heads: 4,"),
        "{text}"
    );
    let json = format::read(OLD_JSON, Syntax::Json).unwrap_or_else(|p| panic!("{p}"));
    let mut same = json.header.clone();
    same.comments.clone_from(&scenario.header.comments);
    assert_eq!(same, scenario.header);
    assert_eq!((json.units, json.phases), (scenario.units, scenario.phases));
}

#[test]
fn problems_of_an_old_file_are_reported_at_its_own_lines() {
    let text = OLD
        .replace("people: 4", "people: \"four\"")
        .replace("(\"box/2\", 2)", "(\"box/9\", 2)");
    let problems = wrong(&text, Syntax::Ron);
    let shown: Vec<String> = problems.list.iter().map(ToString::to_string).collect();
    assert_eq!(
        shown,
        [
            "5:37: units[\"engine\"].heads: found \"four\", expected a whole number from 0 to 4294967295",
            "7:53: phases[\"day\"].switches[\"box/9\"]: \"box\" has no port 9",
        ]
    );
}

#[test]
fn the_old_spelling_is_refused_in_a_new_file() {
    let problems = wrong(&OLD.replace("format: 0", "format: 1"), Syntax::Ron);
    assert_eq!(problems.list.len(), 2, "{problems}");
    assert!(
        problems.list[0]
            .message
            .contains("there is no field \"people\" here")
    );
}

#[test]
fn a_newer_file_is_refused_with_what_to_do() {
    for version in [2, 17] {
        let problems = wrong(&format!("(format: {version}, strange: 1)"), Syntax::Ron);
        assert_eq!(
            problems.to_string(),
            format!(
                "1:10: this file is format {version}; this program reads up to 1: update the program"
            )
        );
    }
}

#[test]
fn a_file_without_a_version_is_refused() {
    for text in [
        "()",
        "(title: \"x\")",
        "(format: \"one\")",
        "(format: -1)",
        "(format: 1.5)",
    ] {
        let problems = wrong(text, Syntax::Ron);
        assert_eq!(problems.list.len(), 1, "{text}: {problems}");
        assert!(problems.to_string().contains("format"), "{problems}");
    }
}
