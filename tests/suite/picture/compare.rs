//! Two phases and two files set against each other.

use std::sync::Arc;

use crosspatch::exchange::{Mapping, Source, import};
use crosspatch::format::{self, Syntax};
use crosspatch::model::{
    Attachment, Carrier, Edit, Mode, Phase, PhaseId, PortRef, Scenario, ThingId,
};
use crosspatch::picture::Picture;
use crosspatch::picture::compare::{About, Comparison, compare};
use crosspatch::samples::SHIPPED;

fn lesson() -> Scenario {
    let sample = SHIPPED.iter().find(|s| s.file_name == "talk-groups.ron");
    let sample = sample.expect("the lesson is shipped");
    format::read(sample.text, Syntax::Ron).expect("shipped scenarios open")
}

fn picture(scenario: &Scenario, phase: PhaseId) -> Picture {
    Picture::new(Arc::new(scenario.clone()), phase)
}

fn words(comparison: &Comparison, about: About) -> Vec<&str> {
    comparison.of(about).map(|d| d.words.as_str()).collect()
}

#[test]
fn a_phase_differs_in_nothing_from_itself() {
    let s = lesson();
    for phase in s.phases.ids() {
        let one = picture(&s, phase);
        assert!(compare(&one, &one).differences.is_empty());
    }
}

#[test]
fn a_switch_turned_in_the_second_phase_is_found_with_who_loses_whom() {
    let s = lesson();
    let first = s.phases.first().unwrap().clone();
    let second = Phase {
        id: PhaseId(s.mint(0)),
        key: String::new(),
        name: "Later".to_owned(),
        ..first.clone()
    };
    let port = PortRef {
        gateway: s.gateways.first().unwrap().id,
        port: 2,
    };
    let turned = Edit::Switch {
        phase: second.id,
        port,
        group: None,
    };
    let later = second.id;
    let s = s.apply(&[Edit::Add(second.into()), turned]).unwrap();
    let (before, after) = (picture(&s, first.id), picture(&s, later));
    let forth = compare(&before, &after);
    assert_eq!(forth.changed(), [ThingId::from(port)].into());
    assert_eq!(words(&forth, About::Switched).len(), 1);
    assert!(words(&forth, About::Switched)[0].ends_with("to none"));
    let lost: usize = forth.of(About::Lost).map(|d| d.things.len() - 1).sum();
    let count = |picture: &Picture| -> usize {
        let hearing = picture.hearing();
        hearing
            .parties()
            .iter()
            .map(|p| hearing.hearers(*p).len())
            .sum()
    };
    assert!(lost > 0, "the port carried somebody");
    assert_eq!(count(&before) - count(&after), lost);
    assert!(words(&forth, About::Gained).is_empty());
    let back = compare(&after, &before);
    let gained: usize = back.of(About::Gained).map(|d| d.things.len() - 1).sum();
    assert_eq!(gained, lost, "what one way loses the other gains");
}

#[test]
fn two_files_are_matched_by_key_whatever_the_numbers() {
    let s = lesson();
    let gone = s.units.iter().last().unwrap().clone();
    // Another file of the same keys, in which everything has other numbers.
    let text = format::write(&s, Syntax::Ron);
    let mut other = format::read(&text, Syntax::Ron).unwrap();
    other = other.apply(&[Edit::Remove(gone.id.into())]).unwrap();
    let other = format::read(&format::write(&other, Syntax::Json), Syntax::Json).unwrap();
    let (a, b) = (
        picture(&s, s.phases.first().unwrap().id),
        picture(&other, other.phases.first().unwrap().id),
    );
    let comparison = compare(&a, &b);
    let missing: Vec<&str> = words(&comparison, About::Gone);
    assert!(
        missing.iter().any(|w| w.contains(&gone.name)),
        "{missing:?}"
    );
    assert!(comparison.of(About::Switched).next().is_none());
    let added = compare(&b, &a);
    assert!(
        words(&added, About::Added)
            .iter()
            .any(|w| w.contains(&gone.name))
    );
}

/// The channels of two tables that were typed apart, so that nothing has the same number or key.
fn of_table(rows: &[&str]) -> Scenario {
    let text = format!("Channel Name,Rx Freq,Tx Freq,Mode\n{}", rows.join("\n"));
    let source = Source::read(&text).expect("it is a table");
    let s = Scenario::new("Plan");
    let import = import(&s, &source, &Mapping::guess(&source.headings));
    assert_eq!(import.problems, []);
    s.apply(&import.edits).expect("the gate takes them")
}

fn set_against(a: &Scenario, b: &Scenario) -> Vec<String> {
    let first = |s: &Scenario| s.phases.first().expect("a phase").id;
    let comparison = compare(&picture(a, first(a)), &picture(b, first(b)));
    comparison
        .differences
        .into_iter()
        .map(|d| d.words)
        .collect()
}

#[test]
fn plans_that_were_typed_apart_are_matched_by_name() {
    let rows = [
        "EAST,154.1 N,154.1 N,A",
        "LAW 2 (TG 7),,,D",
        "SUPPORT,151.46 N,151.46 N,A",
        "SUPPORT,453.15 N,458.15 N,A",
        "AIR,123.1 W,123.1 W,AM",
    ];
    let a = of_table(&rows);
    let others: Vec<&str> = rows.into_iter().rev().collect();
    let b = of_table(&others);
    assert_eq!(set_against(&a, &b), [""; 0], "only the order differs");
    let moved: Vec<String> = others
        .iter()
        .map(|r| r.replace("458.15", "458.25"))
        .collect();
    let moved: Vec<&str> = moved.iter().map(String::as_str).collect();
    let said = set_against(&a, &of_table(&moved));
    assert_eq!(
        said,
        ["SUPPORT (453.1500 MHz): transmit 458.2500 MHz in place of 458.1500 MHz"]
    );
    let said = set_against(&a, &of_table(&others[..3]));
    assert!(
        said.contains(&"channel EAST is gone".to_owned()),
        "{said:?}"
    );
    assert!(!said.iter().any(|w| w.contains("is called")), "{said:?}");
    // In a copy of the plan a new name is a new name.
    let mut renamed = a.channels.first().unwrap().clone();
    let was = std::mem::replace(&mut renamed.name, "WEST".to_owned());
    let copy = a.apply(&[Edit::Replace(renamed.into())]).unwrap();
    assert_eq!(
        set_against(&a, &copy),
        [format!("channel {was} is called WEST")]
    );
}

#[test]
fn no_difference_says_the_same_twice_or_names_a_key() {
    let read = |name: &str| {
        let sample = SHIPPED.iter().find(|s| s.file_name == name);
        format::read(sample.expect("it is shipped").text, Syntax::Ron).expect("it opens")
    };
    let (a, b) = (read("incident.ron"), read("incident-repaired.ron"));
    let said = set_against(&a, &b);
    let shelter = said
        .iter()
        .find(|w| w.starts_with("Shelter portable") && w.contains(" goes from "));
    let shelter = shelter.expect("it is on another channel");
    assert!(shelter.contains("SUPPORT (151.4600 MHz)"), "{shelter}");
    assert!(shelter.contains("SUPPORT (453.1500 MHz)"), "{shelter}");
    for words in &said {
        let sides = words
            .split_once(" goes from ")
            .and_then(|(_, w)| w.split_once(" to "));
        assert!(sides.is_none_or(|(was, is)| was != is), "{words}");
        let is_key = |word: &str| word == "support" || word.starts_with("system-");
        assert!(!words.split([' ', ',']).any(is_key), "{words}");
    }
}

#[test]
fn yes_and_no_are_told_as_people_say_it() {
    let s = lesson();
    let mut channel = s
        .channels
        .iter()
        .find(|c| c.conventional().is_some())
        .unwrap()
        .clone();
    let Carrier::Conventional(mut c) = channel.carrier else {
        panic!("it has frequencies");
    };
    (c.mode, c.mixed) = (Mode::P25, true);
    channel.carrier = Carrier::Conventional(c);
    let name = channel.name.clone();
    let mixed = s.apply(&[Edit::Replace(channel.into())]).unwrap();
    let said = set_against(&s, &mixed);
    assert!(
        said.contains(&format!("{name}: also hears FM now")),
        "{said:?}"
    );
    let back = set_against(&mixed, &s);
    assert!(
        back.contains(&format!("{name}: also hears FM no longer")),
        "{back:?}"
    );
}

#[test]
fn another_cable_at_the_same_donor_is_a_difference() {
    let s = lesson();
    let first = s.phases.first().unwrap().clone();
    let (port, attachment) = first
        .attachments
        .iter()
        .find(|(_, a)| matches!(a, Attachment::Radio { cable: Some(_), .. }))
        .map(|(port, a)| (*port, *a))
        .expect("a donor by cable");
    let Attachment::Radio { radio, .. } = attachment else {
        panic!("it is a radio");
    };
    let second = Phase {
        id: PhaseId(s.mint(0)),
        key: String::new(),
        name: "Later".to_owned(),
        ..first.clone()
    };
    let later = second.id;
    let unplugged = Edit::Attach {
        phase: later,
        port,
        attachment: Some(Attachment::Radio { radio, cable: None }),
    };
    let s = s.apply(&[Edit::Add(second.into()), unplugged]).unwrap();
    let comparison = compare(&picture(&s, first.id), &picture(&s, later));
    let plugged = words(&comparison, About::Plugged);
    assert_eq!(plugged.len(), 1, "{plugged:?}");
    assert!(plugged[0].contains("by no cable in place of cable "));
}
