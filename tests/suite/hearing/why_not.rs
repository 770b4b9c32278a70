//! Why a pair is not heard, and the fewest changes.

use std::collections::BTreeSet;

use crosspatch::model::{
    AccessCode, Attachment, Edit, Mode, Need, NeedId, Party, PortRef, Priority, Protection,
    SystemKind, UnitId, Way,
};

use crate::lab::{Lab, aes, mhz, tone};

fn titles(answer: &crosspatch::hearing::WhyNot) -> Vec<&str> {
    answer.changes.iter().map(|c| c.title.as_str()).collect()
}

fn joined(lab: &Lab, answer: &crosspatch::hearing::WhyNot, from: Party, to: Party) -> bool {
    let after = lab.scenario.apply(&answer.edits()).expect("legal");
    crosspatch::hearing::Hearing::derive(&after, lab.phase)
        .arrival(from, to)
        .is_some()
}

#[test]
fn a_wrong_receive_tone_is_named_with_both_tones() {
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let fire = lab.channel("VFIRE21", direct, 154.28, 154.28, tone(156.7), Mode::Fm);
    let (a, b) = (lab.on("Engine 7", fire), lab.on("Engine 9", fire));
    lab.deviate(lab.radio_of(b), fire, |p| p.rx_code = Some(tone(127.3)));
    let answer = lab.why_not(a, b);
    assert_eq!(
        answer.changes[0].reason,
        "Engine 9 radio asks for CTCSS 127.3 Hz on VFIRE21 and gets CTCSS 156.7 Hz"
    );
    assert_eq!(
        titles(&answer),
        ["Set the receive code of VFIRE21 in Engine 9 radio to CTCSS 156.7 Hz"]
    );
    assert!(answer.proved && answer.cuts.is_empty());
    let after = lab.scenario.apply(&answer.edits()).unwrap();
    let radio = after.radios.get(lab.radio_of(b)).unwrap();
    assert_eq!(
        radio.entry(fire).unwrap().rx_code,
        None,
        "back to the definition, not a new deviation"
    );
}

#[test]
fn a_port_on_the_wrong_group_is_one_switch_away() {
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let one = lab.channel("ONE", direct, 150.0, 150.0, tone(100.0), Mode::Fm);
    let two = lab.channel("TWO", direct, 460.0, 460.0, tone(100.0), Mode::Fm);
    let (a, b) = (lab.on("A", one), lab.on("B", two));
    let gateway = lab.gateway("Box");
    lab.donor(gateway, 1, 1, one);
    lab.donor(gateway, 2, 2, two);
    let answer = lab.why_not(a, b);
    assert_eq!(answer.changes.len(), 1);
    assert!(
        matches!(answer.changes[0].edits[..], [Edit::Switch { .. }]),
        "{:?}",
        titles(&answer)
    );
    assert!(joined(&lab, &answer, Party::Unit(a), Party::Unit(b)));
}

#[test]
fn a_shared_channel_comes_before_a_patch() {
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let one = lab.channel("ONE", direct, 150.0, 150.0, tone(100.0), Mode::Fm);
    let two = lab.channel("TWO", direct, 151.0, 151.0, tone(100.0), Mode::Fm);
    let a = lab.on("A", one);
    let b = lab.unit("B");
    lab.radio("B radio", Some(b), &[two, one]);
    let gateway = lab.gateway("Box");
    lab.donor(gateway, 1, 1, one);
    lab.donor(gateway, 2, 2, two);
    let answer = lab.why_not(a, b);
    assert_eq!(titles(&answer), ["Select ONE on B radio"]);
}

#[test]
fn keys_and_switches_add_up_along_the_way() {
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let law = lab.channel(
        "LAW",
        direct,
        155.2,
        155.2,
        AccessCode::Nac(0x293),
        Mode::P25,
    );
    let fire = lab.channel("FIRE", direct, 460.0, 460.0, tone(156.7), Mode::Fm);
    let (officer, engine) = (lab.on("Officer", law), lab.on("Engine", fire));
    for (unit, low, high) in [(officer, 136.0, 174.0), (engine, 450.0, 470.0)] {
        let radio = lab.radio_of(unit);
        lab.change_radio(radio, |r| {
            r.bands = vec![crosspatch::model::Band {
                low: mhz(low),
                high: mhz(high),
            }];
        });
    }
    let radio = lab.radio_of(officer);
    lab.apply(&[Edit::LoadKey { radio, key: aes(5) }]);
    lab.deviate(radio, law, |p| {
        p.protection = Some(Protection::Always(aes(5)));
    });
    let gateway = lab.gateway("Box");
    lab.donor(gateway, 1, 1, law);
    lab.donor(gateway, 2, 1, fire);
    lab.switch(gateway, 2, None);
    let answer = lab.why_not(officer, engine);
    assert_eq!(answer.changes.len(), 2, "{:?}", titles(&answer));
    assert!(joined(
        &lab,
        &answer,
        Party::Unit(officer),
        Party::Unit(engine)
    ));
    assert!(titles(&answer).contains(&"Switch Box port 2 to talk group 1"));
}

#[test]
fn a_cable_that_does_not_fit_is_replaced_by_one_at_hand() {
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let one = lab.channel("ONE", direct, 150.0, 150.0, tone(100.0), Mode::Fm);
    let two = lab.channel("TWO", direct, 460.0, 460.0, tone(100.0), Mode::Fm);
    let (a, b) = (lab.on("A", one), lab.on("B", two));
    let gateway = lab.gateway("Box");
    lab.donor(gateway, 1, 1, one);
    let donor = lab.donor(gateway, 2, 1, two);
    let cable = |lab: &mut Lab, radio_connector: &str| {
        let id = crosspatch::model::CableId(lab.scenario.mint(0));
        lab.apply(&[Edit::Add(
            crosspatch::model::Cable {
                id,
                key: String::new(),
                name: radio_connector.to_owned(),
                radio_connector: radio_connector.to_owned(),
                port_connector: "box-socket".to_owned(),
                count: 1,
                notes: String::new(),
            }
            .into(),
        )]);
        id
    };
    let (wrong, right) = (cable(&mut lab, "twelve-pin"), cable(&mut lab, "two-pin"));
    let port = PortRef { gateway, port: 2 };
    let attachment = Some(Attachment::Radio {
        radio: donor,
        cable: Some(wrong),
    });
    lab.apply(&[Edit::Attach {
        phase: lab.phase,
        port,
        attachment,
    }]);
    assert!(
        lab.heard_by(Party::Unit(a)).is_empty(),
        "the wrong cable carries nothing"
    );
    let answer = lab.why_not(a, b);
    let attachment = Some(Attachment::Radio {
        radio: donor,
        cable: Some(right),
    });
    assert_eq!(
        answer.edits(),
        [Edit::Attach {
            phase: lab.phase,
            port,
            attachment
        }]
    );
}

#[test]
fn radios_without_a_common_band_are_lent() {
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let one = lab.channel("ONE", direct, 150.0, 150.0, tone(100.0), Mode::Fm);
    let two = lab.channel("TWO", direct, 460.0, 460.0, tone(100.0), Mode::Fm);
    let (a, b) = (lab.on("A", one), lab.on("B", two));
    for (unit, low, high) in [(a, 136.0, 174.0), (b, 450.0, 470.0)] {
        let radio = lab.radio_of(unit);
        lab.change_radio(radio, |r| {
            r.bands = vec![crosspatch::model::Band {
                low: mhz(low),
                high: mhz(high),
            }];
        });
    }
    let answer = lab.why_not(a, b);
    assert_eq!(titles(&answer), ["Lend A a radio like B radio"]);
    assert!(answer.proved);
}

#[test]
fn the_side_effects_of_a_change_are_told() {
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let one = lab.channel("ONE", direct, 150.0, 150.0, tone(100.0), Mode::Fm);
    let two = lab.channel("TWO", direct, 151.0, 151.0, tone(100.0), Mode::Fm);
    let a = lab.on("A", one);
    let b = lab.unit("B");
    lab.radio("B radio", Some(b), &[two, one]);
    let c = lab.on("C", two);
    let answer = lab.why_not(a, b);
    let (b, c) = (Party::Unit(b), Party::Unit(c));
    assert_eq!(answer.cuts, [(b, c), (c, b)]);
}

/// A need that keeps two units apart.
fn keep_apart(lab: &mut Lab, a: UnitId, b: UnitId) -> NeedId {
    let id = NeedId(lab.scenario.mint(0));
    let need = Need {
        id,
        key: String::new(),
        name: format!("Apart {}", id.0),
        from: BTreeSet::from([Party::Unit(a)]),
        to: BTreeSet::from([Party::Unit(b)]),
        way: Way::Apart,
        priority: Priority::High,
        encrypted: false,
        max_delay_ms: None,
        notes: String::new(),
    };
    lab.apply(&[Edit::Add(need.into())]);
    id
}

#[test]
fn who_would_no_longer_be_kept_apart_is_told_and_avoided() {
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let one = lab.channel("ONE", direct, 150.0, 150.0, tone(100.0), Mode::Fm);
    let two = lab.channel("TWO", direct, 460.0, 460.0, tone(100.0), Mode::Fm);
    let three = lab.channel("THREE", direct, 155.0, 155.0, tone(100.0), Mode::Fm);
    let (a, b, c) = (lab.on("A", one), lab.on("B", two), lab.on("C", three));
    let gateway = lab.gateway("Box");
    lab.donor(gateway, 1, 1, one);
    lab.donor(gateway, 2, 2, two);
    lab.donor(gateway, 3, 2, three);
    // Port 1 to the others cuts nobody off, port 2 to port 1 does.
    let answer = lab.why_not(a, b);
    assert!(answer.cuts.is_empty() && answer.joins.is_empty());
    // Where A and C are to be kept apart, cutting is the lesser harm.
    keep_apart(&mut lab, a, c);
    let answer = lab.why_not(a, b);
    assert!(answer.joins.is_empty(), "{:?}", titles(&answer));
    assert!(!answer.cuts.is_empty());
    // What is asked for against a need itself is told.
    let need = keep_apart(&mut lab, a, b);
    let answer = lab.why_not(a, b);
    assert_eq!(answer.joins, [need]);
    assert!(joined(&lab, &answer, Party::Unit(a), Party::Unit(b)));
}

#[test]
fn the_radio_that_deviates_is_put_back_not_the_one_that_is_right() {
    // Two units, and nobody else to tell which of the two is wrong: the definition does.
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let one = lab.channel("ONE", direct, 150.0, 150.0, tone(123.0), Mode::Fm);
    let (a, b) = (lab.on("A", one), lab.on("B", one));
    lab.deviate(lab.radio_of(b), one, |p| p.tx_code = Some(tone(100.0)));
    let answer = lab.why_not(b, a);
    assert_eq!(
        titles(&answer),
        ["Program the transmit code of ONE in B radio as the channel is defined"]
    );
    assert_eq!(answer.changes[0].grade, crosspatch::model::Grade::Safe);
}

#[test]
fn a_repeater_out_of_reach_is_named_and_takes_hands() {
    let mut lab = Lab::new();
    let hill = lab.system("Hill", SystemKind::Repeater, 0, 0);
    let one = lab.channel("ONE", hill, 150.0, 155.0, tone(123.0), Mode::Fm);
    let (a, b) = (lab.on("A", one), lab.on("B", one));
    lab.change_system(hill, |s| s.coverage = 0.0);
    let answer = lab.why_not(a, b);
    assert!(!answer.proved);
    assert_eq!(titles(&answer), ["Bring Hill within reach"]);
}

#[test]
fn channels_that_read_alike_are_told_apart() {
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let ours = lab.channel("TAC 3", direct, 154.1, 154.1, tone(100.0), Mode::Fm);
    let theirs = lab.channel("TAC 3", direct, 155.9, 155.9, tone(100.0), Mode::Fm);
    let (a, b) = (lab.on("A", ours), lab.on("B", theirs));
    let answer = lab.why_not(a, b);
    let text = titles(&answer).join("; ");
    assert!(
        text.contains("154.1000 MHz") || text.contains("155.9000 MHz"),
        "{text}"
    );
}

#[test]
fn a_unit_without_a_radio_of_its_own_is_told_why() {
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let one = lab.channel("ONE", direct, 150.0, 150.0, tone(123.0), Mode::Fm);
    let a = lab.on("A", one);
    let bare = lab.unit("Bare");
    let answer = lab.why_not(a, bare);
    assert_eq!(answer.changes[0].reason, "Bare carries no radio");
    let b = lab.on("B", one);
    let gateway = lab.gateway("Box");
    let radio = lab.radio_of(b);
    lab.plug(gateway, 1, Attachment::Radio { radio, cable: None }, 1);
    let answer = lab.why_not(a, b);
    assert_eq!(
        answer.changes[0].reason,
        "B radio of B is cabled to Box port 1, and nobody talks at a donor"
    );
}

#[test]
fn the_way_that_the_changes_open_goes_from_mouth_to_ear() {
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let one = lab.channel("ONE", direct, 150.0, 150.0, tone(123.0), Mode::Fm);
    let two = lab.channel("TWO", direct, 155.0, 155.0, tone(123.0), Mode::Fm);
    let (a, b) = (lab.on("A", one), lab.on("B", two));
    let gateway = lab.gateway("Box");
    lab.donor(gateway, 1, 1, one);
    lab.donor(gateway, 2, 2, two);
    let answer = lab.why_not(a, b);
    assert!(answer.proved);
    let way = answer.way.as_ref().unwrap();
    let at: Vec<_> = way.steps.iter().map(|step| step.at).collect();
    assert_eq!(at.first(), Some(&a.into()));
    assert_eq!(at.last(), Some(&b.into()));
    let broken = answer.changes[0].things[0];
    assert!(at.contains(&broken), "what breaks the way stands on it");
    let heard = lab.on("C", one);
    assert_eq!(lab.why_not(a, heard).way, None, "nothing is broken there");
}
