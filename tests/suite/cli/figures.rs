//! `figures` and `what-if`: what they print is what the picture holds.

use std::collections::BTreeSet;

use crosspatch::cli::{Kind, Outcome};
use serde_json::Value;

use super::{Folder, all_documented, fails, json, ok};

#[test]
fn every_figure_is_named_in_the_help_and_said_in_the_text() {
    let folder = Folder::shipped();
    let file = folder.path("incident.ron");
    let (outcome, value) = json(&["figures", &file, "--phase", "day"]);
    assert_eq!(outcome, Outcome::Clean);
    all_documented("figures", &value);
    assert_eq!(value["phase"], "day");
    let (_, text) = ok(&["figures", &file, "--phase", "day"]);
    for list in ["nets", "systems", "gateways", "needs", "sites"] {
        let things = value[list].as_array().expect("a list");
        assert!(!things.is_empty(), "{list}");
        for thing in things {
            let name = thing["name"].as_str().expect("a name");
            assert!(text.contains(name), "{name} is missing in the text");
        }
    }
    assert!(text.contains("estimates"), "the cautions are said: {text}");
}

#[test]
fn loads_of_the_file_are_those_of_its_units() {
    let folder = Folder::shipped();
    let file = folder.path("talk-groups.ron");
    let (_, value) = json(&["figures", &file]);
    // Counted from the file: heads x messages an hour x (seconds + 0.2 s overhead) / 3600 of every
    // unit is offered once, on its own channels.
    let scenario = crosspatch::format::read(
        &std::fs::read_to_string(&file).expect("readable"),
        crosspatch::format::Syntax::Ron,
    )
    .expect("a scenario");
    let offered: f64 = scenario
        .units
        .iter()
        .map(|u| f64::from(u.heads) * u.messages_per_hour * (u.seconds_per_message + 0.2) / 3600.0)
        .sum();
    let nets = value["nets"].as_array().expect("nets");
    let own: f64 = nets.iter().filter_map(|n| n["own_erl"].as_f64()).sum();
    assert!((own - offered).abs() < 1e-9, "{own} and {offered}");
    for net in nets {
        let (own, all) = (net["own_erl"].as_f64(), net["load_erl"].as_f64());
        assert!(own <= all, "{net}");
    }
}

#[test]
fn what_is_lost_was_heard_before_and_is_not_after() {
    let folder = Folder::shipped();
    let file = folder.path("incident.ron");
    let (outcome, value) = json(&["what-if", &file, "--without", "power:east"]);
    assert_eq!(outcome, Outcome::Findings);
    all_documented("what-if", &value);
    let pair = |p: &Value| (p["from"].to_string(), p["to"].to_string());
    let lost: BTreeSet<_> = value["lost"]
        .as_array()
        .expect("pairs")
        .iter()
        .map(pair)
        .collect();
    let (_, before) = json(&["hears", &file]);
    let heard: BTreeSet<_> = before["heard"]
        .as_array()
        .expect("pairs")
        .iter()
        .map(pair)
        .collect();
    assert!(!lost.is_empty() && lost.is_subset(&heard));
    let (_, text) = ok(&["what-if", &file, "--without", "Gateway East"]);
    assert!(
        text.contains("no longer hears") && text.contains("no longer met"),
        "{text}"
    );
    let (outcome, text) = ok(&[
        "what-if",
        &file,
        "--without",
        "east#2",
        "--without",
        "east/4",
    ]);
    assert_eq!(outcome, Outcome::Findings, "{text}");
    let (outcome, text) = ok(&["what-if", &file, "--without", "cable:west/4"]);
    assert_eq!(outcome, Outcome::Clean, "{text}");
    assert!(text.contains("nobody loses anybody"), "{text}");
}

#[test]
fn what_is_not_in_the_plan_cannot_fail() {
    let folder = Folder::shipped();
    let file = folder.path("incident.ron");
    for (asked, said) in [
        ("eest", "did you mean 'east'?"),
        ("east/99", "there is no port 'east/99'"),
        ("east#9", "there is no talk group 'east#9'"),
        ("power:eest", "there is nothing called 'eest'"),
        ("cable:east", "there is no port 'east'"),
    ] {
        let text = fails(&["what-if", &file, "--without", asked], Kind::Usage);
        assert!(text.contains(said), "{asked}: {text}");
    }
}
