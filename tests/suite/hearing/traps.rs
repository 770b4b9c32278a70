//! The traps a derivation falls into, each with its own small scenario.

use crosspatch::hearing::Secrecy;
use crosspatch::model::{AccessCode, Attachment, Edit, Mode, Party, Protection, SystemKind};

use crate::lab::{Lab, aes, mhz, tone};

#[test]
fn one_way_path_transmit_tone_right_receive_tone_wrong() {
    let mut lab = Lab::new();
    let hill = lab.system("Hill", SystemKind::Repeater, 0, 30);
    let rpt = lab.channel("FIRE2", hill, 154.28, 159.0, tone(156.7), Mode::Fm);
    let (a, b) = (lab.on("A", rpt), lab.on("B", rpt));
    lab.deviate(lab.radio_of(a), rpt, |p| p.rx_code = Some(tone(127.3)));
    assert_eq!(lab.heard_by(Party::Unit(a)), ["B"]);
    assert!(lab.heard_by(Party::Unit(b)).is_empty());
}

#[test]
fn the_same_channel_name_on_different_frequencies() {
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let ours = lab.channel("TAC 3", direct, 154.1, 154.1, tone(100.0), Mode::Fm);
    let theirs = lab.channel("TAC 3", direct, 155.9, 155.9, tone(100.0), Mode::Fm);
    let (a, b) = (lab.on("A", ours), lab.on("B", theirs));
    assert!(lab.heard_by(Party::Unit(a)).is_empty());
    assert!(lab.heard_by(Party::Unit(b)).is_empty());
    // And the other way round: two names for one frequency are one channel on the air.
    let alias = lab.channel("GREEN", direct, 154.1, 154.1, tone(100.0), Mode::Fm);
    lab.on("C", alias);
    assert_eq!(lab.heard_by(Party::Unit(a)), ["C"]);
}

#[test]
fn two_gateways_that_join_the_same_two_channels_are_a_loop() {
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let one = lab.channel("ONE", direct, 150.0, 150.0, tone(100.0), Mode::Fm);
    let two = lab.channel("TWO", direct, 160.0, 160.0, tone(100.0), Mode::Fm);
    let (a, _) = (lab.on("A", one), lab.on("B", two));
    for name in ["Box 1", "Box 2"] {
        let gateway = lab.gateway(name);
        lab.donor(gateway, 1, 1, one);
        lab.donor(gateway, 2, 1, two);
    }
    let hearing = lab.hearing();
    assert_eq!(hearing.loops().len(), 2, "audio can go round either way");
    for found in hearing.loops() {
        assert_eq!(found.groups.len(), 2);
        assert_eq!(found.donors.len(), 4);
    }
    assert_eq!(
        lab.heard_by(Party::Unit(a)),
        ["B"],
        "and the walk still ends"
    );
    let second = lab.scenario.gateways.iter().nth(1).unwrap().id;
    lab.switch(second, 2, None);
    assert!(lab.hearing().loops().is_empty());
}

#[test]
fn three_gateways_in_a_ring_are_a_loop_and_in_a_row_are_not() {
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let chans: Vec<_> = (0..3)
        .map(|i| {
            lab.channel(
                &format!("C{i}"),
                direct,
                150.0 + f64::from(i),
                150.0 + f64::from(i),
                tone(100.0),
                Mode::Fm,
            )
        })
        .collect();
    for i in 0..3 {
        let gateway = lab.gateway(&format!("Box {i}"));
        lab.donor(gateway, 1, 1, chans[i]);
        lab.donor(gateway, 2, 1, chans[(i + 1) % 3]);
    }
    assert!(!lab.hearing().loops().is_empty());
    let last = lab.scenario.gateways.iter().nth(2).unwrap().id;
    lab.switch(last, 2, None);
    assert!(lab.hearing().loops().is_empty());
}

#[test]
fn a_donor_that_hears_another_donor_of_its_own_talk_group_off_the_air() {
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let one = lab.channel("ONE", direct, 150.0, 150.0, tone(100.0), Mode::Fm);
    let odd = lab.channel("ODD", direct, 150.0, 151.0, AccessCode::None, Mode::Fm);
    let two = lab.channel("TWO", direct, 160.0, 160.0, tone(100.0), Mode::Fm);
    let a = lab.on("A", two);
    lab.on("B", one);
    let gateway = lab.gateway("Box");
    lab.donor(gateway, 1, 1, one);
    lab.donor(gateway, 2, 1, two);
    assert!(lab.hearing().own_echoes().is_empty());
    lab.donor(gateway, 3, 1, odd);
    let echoes = lab.hearing().own_echoes();
    assert_eq!(echoes.len(), 1);
    assert_eq!((echoes[0].sender.port, echoes[0].hearer.port), (1, 3));
    // All donors are keyed at once, so what port 1 sends does not come in again by port 3 and go
    // out on the channel it came from.
    assert_eq!(lab.heard_by(Party::Unit(a)), ["B"]);
    assert!(
        lab.hearing().loops().is_empty(),
        "one talk group alone is an echo, not a loop"
    );
}

#[test]
fn one_channel_twice_in_a_talk_group() {
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let one = lab.channel("ONE", direct, 150.0, 150.0, tone(100.0), Mode::Fm);
    let two = lab.channel("TWO", direct, 160.0, 160.0, tone(100.0), Mode::Fm);
    let (a, b) = (lab.on("A", one), lab.on("B", two));
    let gateway = lab.gateway("Box");
    lab.donor(gateway, 1, 1, one);
    lab.donor(gateway, 2, 1, one);
    lab.donor(gateway, 3, 1, two);
    assert_eq!(lab.heard_by(Party::Unit(a)), ["B"]);
    assert_eq!(lab.heard_by(Party::Unit(b)), ["A"]);
    let echoes = lab.hearing().own_echoes();
    assert_eq!(echoes.len(), 2, "each of the two hears the other");
}

#[test]
fn an_encrypted_channel_joined_to_a_clear_one_goes_out_in_clear() {
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let clear = lab.channel("FIRE", direct, 154.28, 154.28, tone(156.7), Mode::Fm);
    let law = lab.channel(
        "LAW",
        direct,
        155.2,
        155.2,
        AccessCode::Nac(0x293),
        Mode::P25,
    );
    let secret = |lab: &mut Lab, radio| {
        lab.apply(&[Edit::LoadKey { radio, key: aes(3) }]);
        lab.deviate(radio, law, |p| {
            p.protection = Some(Protection::Always(aes(3)));
        });
    };
    let (officer, partner) = (lab.on("Officer", law), lab.on("Partner", law));
    let (engine, scanner) = (lab.on("Engine", clear), lab.on("Scanner", clear));
    for unit in [officer, partner] {
        let radio = lab.radio_of(unit);
        secret(&mut lab, radio);
    }
    let gateway = lab.gateway("Box");
    let donor = lab.donor(gateway, 1, 1, law);
    secret(&mut lab, donor);
    let out = lab.donor(gateway, 2, 1, clear);
    let hearing = lab.hearing();
    let inside = hearing
        .path(&lab.scenario, Party::Unit(officer), Party::Unit(partner))
        .unwrap();
    assert!(inside.arrival.encrypted);
    assert_eq!(
        inside.secrecy,
        Secrecy::Kept {
            opened_in: Vec::new()
        }
    );
    let across = hearing
        .path(&lab.scenario, Party::Unit(officer), Party::Unit(engine))
        .unwrap();
    assert!(!across.arrival.encrypted);
    let Secrecy::Ends {
        port,
        radio,
        listeners,
        ..
    } = across.secrecy
    else {
        panic!("encryption must end: {:?}", across.secrecy);
    };
    assert_eq!((port.port, radio), (2, Some(out)));
    assert_eq!(listeners, [Party::Unit(engine), Party::Unit(scanner)]);
}

#[test]
fn encrypted_on_both_legs_is_opened_in_the_gateway_only() {
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let units: Vec<_> = [(150.0, 1), (160.0, 2)]
        .into_iter()
        .map(|(f, key)| {
            let channel = lab.channel(
                &format!("LAW {key}"),
                direct,
                f,
                f,
                AccessCode::Nac(0x293),
                Mode::P25,
            );
            let unit = lab.on(&format!("Unit {key}"), channel);
            (channel, unit, aes(key))
        })
        .collect();
    let gateway = lab.gateway("Box");
    for (port, (channel, unit, key)) in (1..).zip(&units) {
        let donor = lab.donor(gateway, port, 1, *channel);
        for radio in [donor, lab.radio_of(*unit)] {
            lab.apply(&[Edit::LoadKey { radio, key: *key }]);
            lab.deviate(radio, *channel, |p| {
                p.protection = Some(Protection::Always(*key));
            });
        }
    }
    let (a, b) = (Party::Unit(units[0].1), Party::Unit(units[1].1));
    let path = lab.hearing().path(&lab.scenario, a, b).unwrap();
    assert!(path.arrival.encrypted);
    assert_eq!(
        path.secrecy,
        Secrecy::Kept {
            opened_in: vec![gateway]
        }
    );
}

#[test]
fn a_private_pair_beside_a_joined_net_on_the_same_box() {
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let one = lab.channel("ONE", direct, 150.0, 150.0, tone(100.0), Mode::Fm);
    let two = lab.channel("TWO", direct, 160.0, 160.0, tone(100.0), Mode::Fm);
    let (a, _) = (lab.on("A", one), lab.on("B", two));
    let gateway = lab.gateway("Box");
    lab.donor(gateway, 1, 2, one);
    lab.donor(gateway, 2, 2, two);
    let (telephone, headset) = (lab.telephone("Hospital", 100), lab.headset("Operator"));
    lab.plug(gateway, 6, Attachment::Telephone(telephone), 1);
    lab.plug(gateway, 7, Attachment::Headset(headset), 1);
    assert_eq!(lab.heard_by(Party::Unit(a)), ["B"]);
    assert_eq!(lab.heard_by(Party::Headset(headset)), ["Hospital"]);
    assert_eq!(lab.heard_by(Party::Telephone(telephone)), ["Operator"]);
}

#[test]
fn a_deviation_of_one_donor_silences_one_way_through_the_patch() {
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let one = lab.channel("ONE", direct, 150.0, 150.0, tone(100.0), Mode::Fm);
    let two = lab.channel("TWO", direct, 160.0, 160.0, tone(100.0), Mode::Fm);
    let (a, b) = (lab.on("A", one), lab.on("B", two));
    let gateway = lab.gateway("Box");
    lab.donor(gateway, 1, 1, one);
    let second = lab.donor(gateway, 2, 1, two);
    lab.deviate(second, two, |p| p.tx = Some(mhz(160.5)));
    assert!(lab.heard_by(Party::Unit(a)).is_empty());
    assert_eq!(lab.heard_by(Party::Unit(b)), ["A"]);
}
