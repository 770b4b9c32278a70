//! `compare`: two files, two phases, and what is told of them.

use crosspatch::cli::{Kind, Outcome};
use crosspatch::format::{self, Syntax};
use crosspatch::model::{AccessCode, Edit, Scenario, Thing, Tone};
use serde_json::Value;

use super::{Folder, all_documented, fails, fields, json, ok, read};

fn changed(text: &str, edits: impl FnOnce(&Scenario) -> Vec<Edit>) -> String {
    let s = format::read(text, Syntax::Ron).expect("it opens");
    let s = s.apply(&edits(&s)).expect("the edits pass");
    format::write(&s, Syntax::Ron)
}

fn told(value: &Value, about: &str) -> Vec<String> {
    let all = value["differences"].as_array().expect("a list");
    all.iter()
        .filter(|d| d["about"] == about)
        .map(|d| d["words"].as_str().expect("words").to_owned())
        .collect()
}

#[test]
fn a_file_does_not_differ_from_itself_or_its_other_spelling() {
    let folder = Folder::shipped();
    let file = folder.path("incident.ron");
    let (outcome, text) = ok(&["compare", &file, &file]);
    assert_eq!(outcome, Outcome::Clean);
    assert!(text.contains("nothing differs"), "{text}");
    let other = folder.path("incident.json");
    ok(&["convert", &file, &other]);
    let (outcome, value) = json(&["compare", &file, &other]);
    assert_eq!(outcome, Outcome::Clean, "{value}");
    assert_eq!(
        fields(&value),
        ["differences", "file", "phase", "with_file", "with_phase"]
    );
    all_documented("compare", &value);
}

#[test]
fn a_tone_a_key_a_count_and_a_definition_are_each_told_once() {
    let folder = Folder::shipped();
    let file = folder.path("incident.ron");
    let text = changed(&read(&file), |s| {
        let radio = s.radios.iter().find(|r| !r.programmed.is_empty()).unwrap();
        let mut entry = radio.programmed[0].clone();
        entry.tx_code = Some(AccessCode::Ctcss(Tone::from_tenths(1273)));
        let cable = s.cables.first().unwrap().clone();
        let channel = s.channels.first().unwrap().clone();
        vec![
            Edit::Program {
                radio: radio.id,
                entry,
            },
            Edit::LoadKey {
                radio: radio.id,
                key: crosspatch::model::KeyRef {
                    algorithm: crosspatch::model::Algorithm::AES_256,
                    number: 777,
                },
            },
            Edit::Replace(Thing::Cable(crosspatch::model::Cable {
                count: cable.count + 3,
                ..cable
            })),
            Edit::Replace(Thing::Channel(crosspatch::model::Channel {
                name: "Renamed 1".to_owned(),
                ..channel
            })),
        ]
    });
    let other = folder.put("other.ron", &text);
    let (outcome, value) = json(&["compare", &file, &other]);
    assert_eq!(outcome, Outcome::Findings);
    all_documented("compare", &value);
    let programmed = told(&value, "programmed");
    assert_eq!(programmed.len(), 1, "{value}");
    assert!(
        programmed[0].contains("transmit code 127.3 Hz in place of"),
        "{programmed:?}"
    );
    let keys = told(&value, "keys");
    assert_eq!(keys.len(), 1, "{value}");
    assert!(keys[0].contains("AES-256 key 777"), "{keys:?}");
    assert_eq!(told(&value, "stock").len(), 1, "{value}");
    // A new name is told where it is given, not wherever it is read.
    let renamed = told(&value, "renamed");
    assert_eq!(renamed.len(), 1, "{value}");
    assert!(renamed[0].ends_with("is called Renamed 1"), "{renamed:?}");
    let (_, text) = ok(&["compare", &file, &other]);
    for words in programmed.iter().chain(&keys).chain(&renamed) {
        let first = words.split(' ').next().unwrap();
        assert!(text.contains(first), "{first} in {text}");
    }
}

#[test]
fn two_phases_of_one_file_are_compared_and_the_same_phase_is_refused() {
    let folder = Folder::shipped();
    let file = folder.path("talk-groups.ron");
    let (outcome, value) = json(&["compare", &file, "--phase", "1", "--with-phase", "2"]);
    assert_eq!(outcome, Outcome::Findings);
    assert_eq!(value["file"], value["with_file"]);
    assert_ne!(value["phase"], value["with_phase"]);
    let said = fails(&["compare", &file, "--with-phase", "1"], Kind::Usage);
    assert!(said.contains("--with-phase"), "{said}");
    let missing = folder.path("none.ron");
    fails(&["compare", &file, &missing], Kind::Input);
}
