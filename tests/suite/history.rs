//! Undo and redo over every kind of edit, gestures, joined typing and the saved snapshot.

use std::collections::BTreeSet;
use std::sync::Arc;

use crosspatch::history::{CAP, Document};
use crosspatch::model::{
    Acceptance, Algorithm, Edit, FindingId, Header, KeyRef, Phase, PhaseId, Place, Programmed,
    Scenario, ThingId, Unit, UnitId,
};
use crosspatch::samples::{Size, generate};

fn scenario() -> Scenario {
    generate(Size::for_units(12), 3)
}

fn rename(document: &Document, name: &str) -> Edit {
    let unit = document
        .scenario()
        .units
        .first()
        .expect("the generator makes units");
    Edit::Replace(
        Unit {
            name: name.to_owned(),
            ..unit.clone()
        }
        .into(),
    )
}

/// One edit of every variant that changes the scenario, with a word for the report.
fn every_edit(s: &Scenario) -> Vec<(&'static str, Edit)> {
    let phase = s.phases.first().expect("a phase");
    let unit = s.units.first().expect("a unit");
    let radio = s
        .radios
        .iter()
        .find(|r| r.held_by.is_some() && r.selected.is_some())
        .expect("a held radio");
    let channel = s
        .channels
        .iter()
        .find(|c| radio.entry(c.id).is_none())
        .expect("a channel the radio has not");
    let gateway = s.gateways.first().expect("a gateway");
    let (port, group) = phase.switches.iter().next().expect("a switched port");
    let (plugged, _) = phase.attachments.iter().next().expect("a used port");
    let acceptance = Acceptance {
        finding: FindingId {
            code: "R01".to_owned(),
            things: vec![unit.id.into()],
        },
        facts: 7,
        reason: "known".to_owned(),
        by: "planner".to_owned(),
        on: "2031-05-04".to_owned(),
        until: None,
    };
    let other_group = gateway
        .talk_groups
        .iter()
        .map(|g| g.number)
        .find(|n| n != group)
        .expect("a second talk group");
    vec![
        (
            "SetHeader",
            Edit::SetHeader(Header {
                title: "Another".to_owned(),
                ..s.header.clone()
            }),
        ),
        (
            "Add",
            Edit::Add(
                Unit {
                    id: UnitId(s.mint(0)),
                    key: String::new(),
                    name: "Newcomer".to_owned(),
                    ..unit.clone()
                }
                .into(),
            ),
        ),
        (
            "Replace",
            Edit::Replace(
                Unit {
                    heads: unit.heads + 1,
                    ..unit.clone()
                }
                .into(),
            ),
        ),
        ("Remove", Edit::Remove(unit.id.into())),
        (
            "Place",
            Edit::Place {
                thing: unit.id.into(),
                place: Some(Place { x: 8, y: 16 }),
            },
        ),
        (
            "Switch",
            Edit::Switch {
                phase: phase.id,
                port: *port,
                group: Some(other_group),
            },
        ),
        (
            "Attach",
            Edit::Attach {
                phase: phase.id,
                port: *plugged,
                attachment: None,
            },
        ),
        (
            "Select",
            Edit::Select {
                phase: phase.id,
                radio: radio.id,
                channel: None,
            },
        ),
        (
            "Program",
            Edit::Program {
                radio: radio.id,
                entry: Programmed::as_defined(channel.id),
            },
        ),
        (
            "Unprogram",
            Edit::Unprogram {
                radio: radio.id,
                channel: radio.selected.expect("selected"),
            },
        ),
        (
            "LoadKey",
            Edit::LoadKey {
                radio: radio.id,
                key: KeyRef {
                    algorithm: Algorithm::AES_256,
                    number: 4711,
                },
            },
        ),
        (
            "Hold",
            Edit::Hold {
                radio: radio.id,
                unit: None,
            },
        ),
        ("Accept", Edit::Accept(acceptance)),
        (
            "MovePhase",
            Edit::MovePhase {
                phase: phase.id,
                place: 1,
            },
        ),
    ]
}

#[test]
fn undo_then_redo_is_identity_for_every_edit() {
    let start = scenario();
    let mut edits = every_edit(&start);
    // Taking an acceptance back needs one to begin with.
    let accepted = edits
        .iter()
        .find_map(|(_, e)| match e {
            Edit::Accept(a) => Some(a.clone()),
            _ => None,
        })
        .unwrap();
    edits.push(("Withdraw", Edit::Withdraw(accepted.finding.clone())));
    let mut seen = BTreeSet::new();
    for (word, edit) in edits {
        let mut before = start.clone();
        if word == "Withdraw" {
            before = before.apply(&[Edit::Accept(accepted.clone())]).unwrap();
        }
        if word == "MovePhase" {
            let phase = before.phases.first().unwrap();
            let second = Phase {
                id: PhaseId(before.mint(0)),
                key: String::new(),
                ..phase.clone()
            };
            before = before.apply(&[Edit::Add(second.into())]).unwrap();
        }
        let mut document = Document::opened(before.clone());
        assert_eq!(document.apply(word, &[edit]), Ok(true), "{word}");
        let after = Arc::clone(document.scenario());
        assert_ne!(*after, before, "{word}");
        assert!(!document.is_saved(), "{word}");
        let revision = document.revision();
        assert_eq!(document.undo().as_deref(), Some(word));
        assert_eq!(**document.scenario(), before, "undo of {word}");
        assert!(document.is_saved(), "{word}");
        assert_eq!(document.redo().as_deref(), Some(word));
        assert_eq!(*document.scenario(), after, "redo of {word}");
        assert!(document.revision() > revision, "{word}");
        seen.insert(word);
    }
    assert_eq!(seen.len(), 15, "one of each variant of Edit");
}

#[test]
fn an_edit_that_changes_nothing_leaves_no_step() {
    let mut document = Document::opened(scenario());
    let same = document.scenario().units.first().unwrap().clone();
    let revision = document.revision();
    assert_eq!(
        document.apply("Nothing", &[Edit::Replace(same.into())]),
        Ok(false)
    );
    assert_eq!(document.undo_label(), None);
    assert_eq!(document.revision(), revision);
    let missing = Edit::Remove(ThingId::Unit(UnitId(999_999)));
    assert!(document.apply("Wrong", &[missing]).is_err());
    assert_eq!(document.undo_label(), None);
}

#[test]
fn typing_in_one_field_joins_and_a_seal_parts_it() {
    let mut document = Document::opened(scenario());
    let old = document.scenario().units.first().unwrap().name.clone();
    for name in ["A", "Ab", "Abc"] {
        let edit = rename(&document, name);
        document
            .apply_typed("Rename", "unit.name", &[edit])
            .unwrap();
    }
    document.seal();
    let edit = rename(&document, "Abcd");
    document
        .apply_typed("Rename", "unit.name", &[edit])
        .unwrap();
    let name = |d: &Document| d.scenario().units.first().unwrap().name.clone();
    document.undo();
    assert_eq!(name(&document), "Abc");
    document.undo();
    assert_eq!(name(&document), old);
    assert_eq!(document.undo_label(), None);
    assert!(document.is_saved());
    // Typing that ends where it began leaves nothing behind.
    for text in ["X", old.as_str()] {
        let edit = rename(&document, text);
        document
            .apply_typed("Rename", "unit.name", &[edit])
            .unwrap();
    }
    assert_eq!(document.undo_label(), None);
    assert!(document.is_saved());
}

#[test]
fn a_gesture_is_one_step_and_can_be_given_up() {
    let mut document = Document::opened(scenario());
    let thing: ThingId = document.scenario().units.first().unwrap().id.into();
    let place = |x| Edit::Place {
        thing,
        place: Some(Place { x, y: 0 }),
    };
    document.begin("Move");
    for x in [8, 16, 24] {
        document.apply("ignored", &[place(x)]).unwrap();
    }
    assert!(document.in_gesture());
    assert!(document.commit());
    assert_eq!(document.undo_label(), Some("Move"));
    document.begin("Move again");
    document.apply("ignored", &[place(80)]).unwrap();
    document.cancel();
    assert_eq!(
        document.scenario().places.get(&thing),
        Some(&Place { x: 24, y: 0 })
    );
    assert_eq!(document.undo(), Some("Move".to_owned()));
    assert_eq!(document.undo(), None);
    document.begin("Nothing");
    assert!(!document.commit());
    assert_eq!(
        document.redo_label(),
        Some("Move"),
        "an empty gesture keeps what can be redone"
    );
}

#[test]
fn the_past_has_an_end_and_a_new_step_forgets_the_future() {
    let mut document = Document::opened(scenario());
    for i in 0..CAP + 20 {
        let edit = rename(&document, &format!("Name {i}"));
        document.apply(&format!("Step {i}"), &[edit]).unwrap();
    }
    let mut steps = 0;
    while document.undo().is_some() {
        steps += 1;
    }
    assert_eq!(steps, CAP);
    assert_eq!(document.redo_label(), Some("Step 20"));
    let edit = rename(&document, "Elsewhere");
    document.apply("Turn", &[edit]).unwrap();
    assert_eq!(document.redo_label(), None);
}

#[test]
fn saved_is_a_comparison_and_no_flag() {
    let mut document = Document::new(scenario());
    assert!(!document.is_saved(), "never saved");
    document.mark_saved();
    let old = document.scenario().units.first().unwrap().name.clone();
    let edit = rename(&document, "Other");
    document.apply("There", &[edit]).unwrap();
    assert!(!document.is_saved());
    let edit = rename(&document, &old);
    document.apply("And back", &[edit]).unwrap();
    assert!(
        document.is_saved(),
        "the same content counts, not the number of steps"
    );
}
