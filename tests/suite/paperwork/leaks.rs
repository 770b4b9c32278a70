//! What is encrypted and leaves in clear: told on form, card and briefing wherever it is heard, accepted
//! or not.

use std::collections::BTreeSet;
use std::sync::Arc;

use crosspatch::checks;
use crosspatch::hearing::{Secrecy, StepKind};
use crosspatch::model::{
    Acceptance, Attachment, Carrier, ChannelId, Conventional, Edit, Evidence, GatewayId, KeyRef,
    Mode, Protection, RadioId, Scenario, SystemKind, ThingId,
};
use crosspatch::paperwork::Kind;
use crosspatch::picture::Picture;

use super::{ask, pieces, shipped};
use crate::lab::{Lab, aes, mhz, tone};

/// The paper of a kind for the first phase, as one text.
fn first(scenario: &Scenario, kind: Kind) -> String {
    let mut ask = ask(scenario.clone(), &[kind]);
    ask.phases.truncate(1);
    let texts = pieces(&ask)[0].document.texts().concat().join(" ");
    texts.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn night(scenario: &Scenario) -> Picture {
    let phase = scenario.phases.first().expect("a phase").id;
    Picture::new(Arc::new(scenario.clone()), phase)
}

/// The line that says what becomes of a channel's traffic, up to its full stop.
#[track_caller]
fn line<'a>(text: &'a str, begins: &str) -> &'a str {
    let from = text
        .find(begins)
        .unwrap_or_else(|| panic!("{begins} in {text}"));
    let rest = text.get(from..).expect("a part of it");
    rest.split_once(" and anybody may")
        .map_or(rest, |(line, _)| line)
}

/// Worked by hand: on the river's first talk group N PATROL is always encrypted and VFIRE21 is not, and
/// VFIRE21 is joined at the east gateway with N TAC 2 and RAIL 64.
#[test]
fn the_205_names_every_channel_reached_in_clear_across_joined_groups() {
    let scenario = shipped("incident.ron");
    let text = first(&scenario, Kind::Ics205);
    let at = |words: &str| {
        text.find(words)
            .unwrap_or_else(|| panic!("{words} in {text}"))
    };
    assert!(at("NOT READY: 13 findings stop") < at("PATCH at"));
    let caution =
        "CAUTION, IN CLEAR: encrypted traffic of N PATROL is decrypted at Gateway River port 3";
    assert!(at(caution) < at("PATCH at"));
    let said = line(&text, caution);
    for channel in ["VFIRE21", "RAIL 64", "N TAC 2", "RIVER 6"] {
        assert!(said.contains(channel), "{channel} in {said}");
    }
    assert!(
        !said.contains("River operator"),
        "a headset is inside the box: {said}"
    );

    // The finding counts whom `hears` names: all eight, and not only those on the group's own channels.
    assert!(text.contains("8 of this plan hear it there"), "{text}");
    let report = checks::run_all(&night(&scenario));
    let leak = report
        .open
        .iter()
        .find(|f| f.code == "E01")
        .expect("it leaks");
    let count = leak
        .evidence
        .iter()
        .find(|e| e.quantity == "parties who listen in clear");
    let eight = Evidence::number("", 8.0, "").value;
    assert_eq!(count.expect("it is counted").value, eight);

    let good = first(&shipped("incident-repaired.ron"), Kind::Ics205);
    assert!(!good.contains("IN CLEAR"), "{good}");
    assert!(good.contains("it leaves encrypted again on"), "{good}");
    assert!(!good.contains("NOT READY"));
}

/// Every path of every message that begins encrypted and is sent on in clear, in every phase of every
/// shipped plan, against the line of its channel.
#[test]
fn no_path_that_leaves_in_clear_is_missing_on_the_205() {
    let mut found = 0;
    for name in ["incident.ron", "incident-repaired.ron", "large.ron"] {
        let scenario = shipped(name);
        let picture = night(&scenario);
        let text = first(&scenario, Kind::Ics205);
        let hearing = picture.hearing();
        let mut seen: BTreeSet<(ChannelId, ThingId)> = BTreeSet::new();
        for group in hearing.alike() {
            let speaker = group.first().copied().expect("a party");
            for path in hearing.message(&scenario, speaker) {
                let Secrecy::Ends { step, .. } = path.secrecy else {
                    continue;
                };
                let sent = |kind: StepKind| match kind {
                    StepKind::Transmits { channel, key } => Some((channel, key.is_some())),
                    _ => None,
                };
                let mut keyed = path.steps.iter().filter_map(|s| sent(s.what));
                let began = keyed
                    .find(|(_, keyed)| *keyed)
                    .expect("it began encrypted")
                    .0;
                for after in path.steps.iter().skip(step) {
                    match (sent(after.what), after.what) {
                        (Some((channel, false)), _) => seen.insert((began, channel.into())),
                        (None, StepKind::Called) => seen.insert((began, after.at)),
                        _ => false,
                    };
                }
            }
        }
        for (began, exit) in seen {
            let what = scenario.name(began.into());
            let said = line(&text, &format!("IN CLEAR: encrypted traffic of {what}"));
            let exit = scenario.name(exit);
            assert!(said.contains(&exit), "{name}: {what} on {exit}: {said}");
            found += 1;
        }
    }
    assert!(found > 4, "{found} pairs are few");
}

/// A gateway with an encrypted channel on its first group.
struct Boxed {
    lab: Lab,
    gateway: GatewayId,
}

fn secret(lab: &mut Lab, name: &str, at: f64, key: KeyRef) -> ChannelId {
    let system = lab.system(name, SystemKind::Simplex, 0, 0);
    let carrier = Carrier::Conventional(Conventional {
        rx: mhz(at),
        tx: mhz(at),
        rx_code: tone(103.5),
        tx_code: tone(103.5),
        mode: Mode::P25,
        mixed: false,
        bandwidth_hz: 12_500,
    });
    lab.channel_of(name, system, carrier, Protection::Always(key))
}

fn load(lab: &mut Lab, radio: RadioId, key: KeyRef) {
    lab.change_radio(radio, |r| r.keys.extend([key]));
}

fn boxed() -> Boxed {
    let mut lab = Lab::new();
    let law = secret(&mut lab, "LAW", 155.0, aes(1));
    for name in ["Car 1", "Car 2"] {
        let unit = lab.on(name, law);
        let radio = lab.radio_of(unit);
        load(&mut lab, radio, aes(1));
    }
    let gateway = lab.gateway("Gateway Box");
    let donor = lab.donor(gateway, 1, 1, law);
    load(&mut lab, donor, aes(1));
    Boxed { lab, gateway }
}

#[test]
fn what_nothing_sends_on_ends_in_the_box() {
    let Boxed { mut lab, gateway } = boxed();
    let alone = first(&lab.scenario, Kind::Ics205);
    assert!(
        alone.contains("GUARD THE BOX: encrypted traffic of LAW"),
        "{alone}"
    );
    assert!(alone.contains("it ends in the box"), "{alone}");
    // A second encrypted channel, whose donor lacks the key: it sends nothing.
    let other = secret(&mut lab, "FIRE", 156.0, aes(2));
    let donor = lab.donor(gateway, 2, 1, other);
    let keyless = first(&lab.scenario, Kind::Ics205);
    assert!(keyless.contains("it ends in the box"), "{keyless}");
    assert!(!keyless.contains("encrypted again"), "{keyless}");
    load(&mut lab, donor, aes(2));
    let keyed = first(&lab.scenario, Kind::Ics205);
    assert!(
        keyed.contains("it leaves encrypted again on FIRE"),
        "{keyed}"
    );
    assert!(!keyed.contains("ends in the box"), "{keyed}");
}

#[test]
fn a_telephone_and_a_tie_in_clear_are_named_and_a_headset_is_not() {
    let Boxed { mut lab, gateway } = boxed();
    let set = lab.headset("Operator");
    lab.plug(gateway, 7, Attachment::Headset(set), 1);
    let text = first(&lab.scenario, Kind::Ics205);
    assert!(
        text.contains("it ends in the box, and is clear to whoever listens there"),
        "{text}"
    );
    let line = lab.telephone("Duty line", 0);
    lab.plug(gateway, 6, Attachment::Telephone(line), 1);
    let text = first(&lab.scenario, Kind::Ics205);
    assert!(
        text.contains("goes out in clear on telephone Duty line;"),
        "{text}"
    );
    let card = first(&lab.scenario, Kind::Card);
    assert!(
        card.contains("IN CLEAR: LAW is heard on telephone Duty line."),
        "{card}"
    );
}

#[test]
fn accepting_a_leak_leaves_it_on_the_card_and_in_the_briefing() {
    let scenario = shipped("incident.ron");
    let picture = night(&scenario);
    let report = checks::run_all(&picture);
    let leak = report
        .open
        .iter()
        .find(|f| f.code == "E01")
        .expect("it leaks");
    let acceptance = Acceptance {
        finding: leak.id(),
        facts: leak.facts(|thing| scenario.key(thing)),
        reason: "Patrol agreed to go to clear".to_owned(),
        by: "N. Aldred".to_owned(),
        on: "2031-10-18".to_owned(),
        until: None,
    };
    let accepted = scenario
        .apply(&[Edit::Accept(acceptance)])
        .expect("it can be accepted");
    for scenario in [&scenario, &accepted] {
        let cards = first(scenario, Kind::Card);
        let said = "IN CLEAR: N PATROL is heard on N TAC 2, RAIL 64, RIVER 6, VFIRE21.";
        assert!(cards.contains(said), "{cards}");
        // The east gateway sends it on, though nothing encrypted comes in there.
        assert!(
            cards.contains("IN CLEAR: N PATROL goes out here on"),
            "{cards}"
        );
    }
    let briefing = first(&accepted, Kind::Briefing);
    for words in [
        "Accepted and put aside",
        "Patrol agreed to go to clear",
        "N. Aldred, 10/18/2031",
    ] {
        assert!(briefing.contains(words), "{words}");
    }
    assert!(briefing.contains(&leak.headline), "{}", leak.headline);
    assert!(!first(&scenario, Kind::Briefing).contains("Accepted and put aside"));
}
