//! The eight rules of hearing, one test or more each.

use crosspatch::hearing::StepKind;
use crosspatch::model::{
    AccessCode, Attachment, Carrier, Edit, KeyRef, Keying, Mode, Party, Protection, SystemKind,
    TieKind,
};

use crate::lab::{Lab, aes, mhz, tone};

fn aes_always(number: u16) -> Protection {
    Protection::Always(aes(number))
}

#[test]
fn a_radio_is_heard_where_frequency_mode_and_code_match() {
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    // National calling channel, simplex with CTCSS 156.7 Hz (NIFOG 2.02 as transcribed).
    let vcall = lab.channel("VCALL10", direct, 155.7525, 155.7525, tone(156.7), Mode::Fm);
    let (a, b) = (lab.on("A", vcall), lab.on("B", vcall));
    assert_eq!(lab.heard_by(Party::Unit(a)), ["B"]);

    lab.deviate(lab.radio_of(b), vcall, |p| p.rx_code = Some(tone(127.3)));
    assert!(
        lab.heard_by(Party::Unit(a)).is_empty(),
        "another tone keeps the squelch shut"
    );
    lab.deviate(lab.radio_of(b), vcall, |p| {
        p.rx_code = Some(AccessCode::None);
    });
    assert_eq!(
        lab.heard_by(Party::Unit(a)),
        ["B"],
        "an open receiver hears every tone"
    );
    lab.deviate(lab.radio_of(b), vcall, |p| p.mode = Some(Mode::P25));
    assert!(
        lab.heard_by(Party::Unit(a)).is_empty(),
        "P25 does not hear FM"
    );
    lab.deviate(lab.radio_of(b), vcall, |p| {
        p.mode = None;
        p.rx = Some(mhz(155.76));
    });
    assert!(lab.heard_by(Party::Unit(a)).is_empty(), "another frequency");
}

#[test]
fn a_radio_without_the_mode_or_band_neither_sends_nor_hears() {
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let digital = lab.channel(
        "DIG",
        direct,
        155.0,
        155.0,
        AccessCode::Nac(0x293),
        Mode::P25,
    );
    let (a, b) = (lab.on("A", digital), lab.on("B", digital));
    lab.change_radio(lab.radio_of(a), |r| {
        r.modes.remove(&Mode::P25);
    });
    assert!(lab.heard_by(Party::Unit(a)).is_empty());
    assert!(lab.heard_by(Party::Unit(b)).is_empty());
    lab.change_radio(lab.radio_of(a), |r| {
        r.modes.insert(Mode::P25);
        r.bands = vec![crosspatch::model::Band {
            low: mhz(450.0),
            high: mhz(470.0),
        }];
    });
    assert!(lab.heard_by(Party::Unit(a)).is_empty());
    assert!(lab.heard_by(Party::Unit(b)).is_empty());
}

#[test]
fn a_p25_receiver_set_to_f7e_opens_on_any_nac() {
    // TIA-102.BAAC reserved values as restated in public text: $F7E receives any code.
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let tac = lab.channel(
        "7TAC51D",
        direct,
        769.14375,
        769.14375,
        AccessCode::Nac(0x293),
        Mode::P25,
    );
    let (a, b) = (lab.on("A", tac), lab.on("B", tac));
    lab.deviate(lab.radio_of(a), tac, |p| {
        p.tx_code = Some(AccessCode::Nac(0x61F));
    });
    assert!(lab.heard_by(Party::Unit(a)).is_empty());
    lab.deviate(lab.radio_of(b), tac, |p| {
        p.rx_code = Some(AccessCode::Nac(AccessCode::NAC_RECEIVE_ANY));
    });
    assert_eq!(lab.heard_by(Party::Unit(a)), ["B"]);
}

#[test]
fn a_dcs_code_opens_its_inverted_twin() {
    // Published code tables: 023 upright is 047 inverted.
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let code = AccessCode::Dcs {
        code: 0o023,
        inverted: false,
    };
    let work = lab.channel("WORKS", direct, 155.1, 155.1, code, Mode::Fm);
    let (a, b) = (lab.on("A", work), lab.on("B", work));
    let twin = AccessCode::Dcs {
        code: 0o047,
        inverted: true,
    };
    lab.deviate(lab.radio_of(b), work, |p| p.rx_code = Some(twin));
    assert_eq!(lab.heard_by(Party::Unit(a)), ["B"]);
    let other = AccessCode::Dcs {
        code: 0o047,
        inverted: false,
    };
    lab.deviate(lab.radio_of(b), work, |p| p.rx_code = Some(other));
    assert!(lab.heard_by(Party::Unit(a)).is_empty());
}

#[test]
fn encryption_takes_the_same_algorithm_and_key() {
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
    let (a, b) = (lab.on("A", law), lab.on("B", law));
    let (ra, rb) = (lab.radio_of(a), lab.radio_of(b));
    lab.deviate(ra, law, |p| p.protection = Some(aes_always(7)));
    assert!(
        lab.heard_by(Party::Unit(a)).is_empty(),
        "without the key nothing is sent"
    );
    lab.apply(&[Edit::LoadKey {
        radio: ra,
        key: aes(7),
    }]);
    assert!(
        lab.heard_by(Party::Unit(a)).is_empty(),
        "the far side lacks the key"
    );
    let des = KeyRef {
        algorithm: crosspatch::model::Algorithm::DES_OFB,
        number: 7,
    };
    lab.apply(&[Edit::LoadKey {
        radio: rb,
        key: des,
    }]);
    assert!(
        lab.heard_by(Party::Unit(a)).is_empty(),
        "another algorithm under the same number"
    );
    lab.apply(&[Edit::LoadKey {
        radio: rb,
        key: aes(7),
    }]);
    assert_eq!(lab.heard_by(Party::Unit(a)), ["B"]);
    assert_eq!(
        lab.heard_by(Party::Unit(b)),
        ["A"],
        "a clear signal is heard by a radio with keys"
    );
    lab.deviate(ra, law, |p| {
        p.protection = Some(aes_always(7));
        p.encrypted_only = Some(true);
    });
    assert!(
        lab.heard_by(Party::Unit(b)).is_empty(),
        "unless it is set to encrypted only"
    );
}

#[test]
fn the_secure_switch_decides_on_an_optional_channel() {
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
    let (a, b) = (lab.on("A", law), lab.on("B", law));
    let ra = lab.radio_of(a);
    lab.apply(&[Edit::LoadKey {
        radio: ra,
        key: aes(7),
    }]);
    lab.deviate(ra, law, |p| {
        p.protection = Some(Protection::Optional(aes(7)));
    });
    assert_eq!(lab.heard_by(Party::Unit(a)), ["B"]);
    lab.deviate(ra, law, |p| p.secure = true);
    assert!(lab.heard_by(Party::Unit(a)).is_empty());
    assert_eq!(lab.heard_by(Party::Unit(b)), ["A"]);
}

#[test]
fn a_repeater_hears_its_input_and_sends_its_output_later() {
    let mut lab = Lab::new();
    let hill = lab.system("Hill", SystemKind::Repeater, 0, 40);
    let rpt = lab.channel("UTAC41", hill, 453.4625, 458.4625, tone(156.7), Mode::Fm);
    let (a, b) = (lab.on("A", rpt), lab.on("B", rpt));
    let arrival = lab
        .hearing()
        .arrival(Party::Unit(a), Party::Unit(b))
        .unwrap();
    assert_eq!(arrival.delay_ms, 40);
    // Wrong tone on the way in: the repeater stays down.
    lab.deviate(lab.radio_of(a), rpt, |p| p.tx_code = Some(tone(100.0)));
    assert!(lab.heard_by(Party::Unit(a)).is_empty());
    assert_eq!(lab.heard_by(Party::Unit(b)), ["A"]);
    // Talk-around: sending on the output is heard directly, without the repeater's delay.
    lab.deviate(lab.radio_of(a), rpt, |p| {
        p.tx_code = None;
        p.tx = Some(mhz(453.4625));
    });
    let arrival = lab
        .hearing()
        .arrival(Party::Unit(a), Party::Unit(b))
        .unwrap();
    assert_eq!(arrival.delay_ms, 0);
}

#[test]
fn a_repeater_out_of_reach_repeats_nothing() {
    let mut lab = Lab::new();
    let hill = lab.system("Hill", SystemKind::Voter, 0, 40);
    let rpt = lab.channel("UTAC41", hill, 453.4625, 458.4625, tone(156.7), Mode::Fm);
    let (a, _) = (lab.on("A", rpt), lab.on("B", rpt));
    assert_eq!(lab.heard_by(Party::Unit(a)), ["B"]);
    lab.change_system(hill, |s| s.coverage = 0.0);
    assert!(lab.heard_by(Party::Unit(a)).is_empty());
}

#[test]
fn a_p25_repeater_set_to_f7f_keeps_the_code_that_came_in() {
    // TIA-102.BAAC reserved values as restated in public text: $F7F repeats any code.
    let mut lab = Lab::new();
    let hill = lab.system("Hill", SystemKind::Repeater, 0, 40);
    let any = AccessCode::Nac(AccessCode::NAC_REPEAT_ANY);
    let rpt = lab.channel("ANYNAC", hill, 769.24375, 799.24375, any, Mode::P25);
    let (a, b) = (lab.on("A", rpt), lab.on("B", rpt));
    let code = AccessCode::Nac(0x123);
    lab.deviate(lab.radio_of(a), rpt, |p| p.tx_code = Some(code));
    lab.deviate(lab.radio_of(b), rpt, |p| p.rx_code = Some(code));
    assert_eq!(lab.heard_by(Party::Unit(a)), ["B"]);
    lab.deviate(lab.radio_of(b), rpt, |p| {
        p.rx_code = Some(AccessCode::Nac(0x124));
    });
    assert!(lab.heard_by(Party::Unit(a)).is_empty());
}

#[test]
fn a_trunked_group_is_one_system_one_number_and_a_talk_path() {
    let mut lab = Lab::new();
    let north = lab.system("North", SystemKind::Trunked, 450, 120);
    let south = lab.system("South", SystemKind::Trunked, 450, 120);
    let group = |number| Carrier::Grouped {
        group: number,
        mode: Mode::P25,
    };
    let n1 = lab.channel_of("N1", north, group(101), Protection::Clear);
    let s1 = lab.channel_of("S1", south, group(101), Protection::Clear);
    let a = lab.on("A", n1);
    let b = lab.on("B", n1);
    lab.on("C", s1);
    assert_eq!(
        lab.heard_by(Party::Unit(a)),
        ["B"],
        "the same number on another system is another group"
    );
    let hearing = lab.hearing();
    let path = hearing
        .path(&lab.scenario, Party::Unit(a), Party::Unit(b))
        .unwrap();
    assert_eq!(
        path.wait_ms, 450,
        "speech starts only after the access time"
    );
    assert_eq!((path.arrival.delay_ms, path.arrival.codec_passes), (120, 1));
    lab.change_system(north, |s| s.talk_paths = 0);
    assert!(
        lab.heard_by(Party::Unit(a)).is_empty(),
        "no talk path at all"
    );
}

#[test]
fn a_talk_group_keys_every_other_port_and_none_is_silent_both_ways() {
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let chans: Vec<_> = (0..4)
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
    let units: Vec<_> = chans
        .iter()
        .zip(["A", "B", "C", "D"])
        .map(|(c, n)| lab.on(n, *c))
        .collect();
    let gateway = lab.gateway("Box");
    for (port, channel) in (1..).zip(&chans) {
        lab.donor(gateway, port, 1, *channel);
    }
    let headset = lab.headset("Headset");
    lab.plug(gateway, 7, Attachment::Headset(headset), 1);
    assert_eq!(
        lab.heard_by(Party::Unit(units[0])),
        ["B", "C", "D", "Headset"]
    );
    assert_eq!(lab.heard_by(Party::Headset(headset)), ["A", "B", "C", "D"]);
    lab.switch(gateway, 3, None);
    assert_eq!(lab.heard_by(Party::Unit(units[0])), ["B", "D", "Headset"]);
    assert!(lab.heard_by(Party::Unit(units[2])).is_empty());
    lab.switch(gateway, 4, Some(2));
    assert_eq!(lab.heard_by(Party::Unit(units[0])), ["B", "Headset"]);
}

#[test]
fn a_buffer_shorter_than_the_access_time_cuts_the_front_and_adds_its_length() {
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let trunk = lab.system("Trunk", SystemKind::Trunked, 350, 100);
    let fire = lab.channel("FIRE", direct, 154.28, 154.28, tone(156.7), Mode::Fm);
    let group = Carrier::Grouped {
        group: 9,
        mode: Mode::P25,
    };
    let ems = lab.channel_of("EMS", trunk, group, Protection::Clear);
    let (a, b) = (lab.on("A", fire), lab.on("B", ems));
    let gateway = lab.gateway("Box");
    lab.donor(gateway, 1, 1, fire);
    lab.donor(gateway, 2, 1, ems);
    lab.change_port(gateway, 2, |p| p.buffer_ms = 250);
    let arrival = |lab: &Lab, from, to| {
        lab.hearing()
            .arrival(Party::Unit(from), Party::Unit(to))
            .unwrap()
    };
    let there = arrival(&lab, a, b);
    // Common practice, no source: 350 ms trunked access behind a 250 ms buffer loses 100 ms.
    assert_eq!((there.clipped_ms, there.delay_ms), (100, 350));
    let back = arrival(&lab, b, a);
    assert_eq!(
        (back.clipped_ms, back.delay_ms),
        (0, 100),
        "the way back leaves by the other port"
    );
    lab.change_port(gateway, 2, |p| {
        p.buffer_ms = 350;
        p.keying = Keying::VoiceOperated {
            attack_ms: 60,
            hang_ms: 400,
        };
    });
    let there = arrival(&lab, a, b);
    assert_eq!((there.clipped_ms, there.delay_ms), (60, 450));
}

#[test]
fn telephones_and_ties_carry_both_ways_with_their_delay() {
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let fire = lab.channel("FIRE", direct, 154.28, 154.28, tone(156.7), Mode::Fm);
    let a = lab.on("A", fire);
    let (near, far) = (lab.gateway("Near"), lab.gateway("Far"));
    lab.donor(near, 1, 1, fire);
    let wire = lab.tie(TieKind::Ip, 80);
    lab.plug(near, 9, Attachment::Tie(wire), 1);
    lab.plug(far, 9, Attachment::Tie(wire), 2);
    let telephone = lab.telephone("Duty officer", 150);
    lab.plug(far, 6, Attachment::Telephone(telephone), 2);
    let hearing = lab.hearing();
    let (unit, officer) = (Party::Unit(a), Party::Telephone(telephone));
    let out = hearing.path(&lab.scenario, unit, officer).unwrap();
    assert_eq!((out.arrival.delay_ms, out.arrival.codec_passes), (230, 2));
    let kinds: Vec<_> = out.steps.iter().map(|s| s.what).collect();
    assert!(kinds.contains(&StepKind::Tied) && kinds.contains(&StepKind::Called));
    assert_eq!(hearing.arrival(officer, unit).unwrap().delay_ms, 230);
    lab.switch(far, 6, Some(1));
    assert!(lab.heard_by(unit).is_empty());
}

#[test]
fn a_unit_with_several_radios_reaches_whom_any_of_them_reaches() {
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let one = lab.channel("ONE", direct, 150.0, 150.0, tone(100.0), Mode::Fm);
    let two = lab.channel("TWO", direct, 160.0, 160.0, tone(100.0), Mode::Fm);
    let (a, b) = (lab.on("A", one), lab.on("B", two));
    let chief = lab.on("Chief", one);
    let second = lab.radio("Chief second", Some(chief), &[two]);
    assert_eq!(lab.heard_by(Party::Unit(chief)), ["A", "B"]);
    assert_eq!(lab.heard_by(Party::Unit(a)), ["Chief"]);
    let path = lab
        .hearing()
        .path(&lab.scenario, Party::Unit(chief), Party::Unit(b))
        .unwrap();
    assert!(
        path.steps.iter().any(|s| s.at == second.into()),
        "the explanation names the radio"
    );
}

#[test]
fn a_scanning_radio_hears_but_answers_on_its_selected_channel() {
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let one = lab.channel("ONE", direct, 150.0, 150.0, tone(100.0), Mode::Fm);
    let two = lab.channel("TWO", direct, 160.0, 160.0, tone(100.0), Mode::Fm);
    let a = lab.on("A", one);
    let b = lab.unit("B");
    let radio = lab.radio("B radio", Some(b), &[two, one]);
    lab.change_radio(radio, |r| {
        r.scans.insert(one);
    });
    let hearing = lab.hearing();
    assert!(
        hearing
            .arrival(Party::Unit(a), Party::Unit(b))
            .unwrap()
            .by_scan
    );
    assert_eq!(hearing.arrival(Party::Unit(b), Party::Unit(a)), None);
}

#[test]
fn nobody_talks_at_a_donor() {
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let one = lab.channel("ONE", direct, 150.0, 150.0, tone(100.0), Mode::Fm);
    let (a, b) = (lab.on("A", one), lab.on("B", one));
    let gateway = lab.gateway("Box");
    let radio = lab.radio_of(a);
    lab.plug(gateway, 1, Attachment::Radio { radio, cable: None }, 1);
    assert!(lab.heard_by(Party::Unit(a)).is_empty());
    assert!(lab.heard_by(Party::Unit(b)).is_empty());
}

#[test]
fn phases_differ_in_switches_attachments_and_selected_channels() {
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let one = lab.channel("ONE", direct, 150.0, 150.0, tone(100.0), Mode::Fm);
    let two = lab.channel("TWO", direct, 160.0, 160.0, tone(100.0), Mode::Fm);
    let a = lab.on("A", one);
    let b = lab.unit("B");
    let radio = lab.radio("B radio", Some(b), &[one, two]);
    let mut night = lab.scenario.phases.first().unwrap().clone();
    night.id = crosspatch::model::PhaseId(lab.scenario.mint(0));
    night.key = "night".to_owned();
    night.name = "Night".to_owned();
    let id = night.id;
    lab.apply(&[
        Edit::Add(night.into()),
        Edit::Select {
            phase: id,
            radio,
            channel: Some(two),
        },
    ]);
    assert_eq!(lab.heard_by(Party::Unit(a)), ["B"]);
    lab.phase = id;
    assert!(lab.heard_by(Party::Unit(a)).is_empty());
}
