//! Two messages at once, a small scenario for each rule.

use crosspatch::hearing::{Left, Place, Together};
use crosspatch::model::{
    AccessCode, Attachment, Carrier, Mode, Party, PortRef, Protection, SystemKind, UnitId,
};

use crate::lab::{Lab, tone};

/// Somebody of the lab who speaks.
trait Speaks {
    fn party(self) -> Party;
}

impl Speaks for UnitId {
    fn party(self) -> Party {
        Party::Unit(self)
    }
}

impl Speaks for Party {
    fn party(self) -> Party {
        self
    }
}

fn both(lab: &Lab, first: impl Speaks, second: impl Speaks) -> Together {
    let hearing = lab.hearing();
    let both = hearing.together(&lab.scenario, first.party(), second.party());
    both.expect("two parties of the lab")
}

fn left(both: &Together, unit: UnitId) -> Left {
    both.ears[&Party::Unit(unit)]
}

#[test]
fn two_on_one_simplex_channel_garble_each_other_and_hear_nobody() {
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let tac = lab.channel("TAC", direct, 155.1, 155.1, tone(100.0), Mode::Fm);
    let other = lab.channel("OTHER", direct, 155.5, 155.5, tone(100.0), Mode::Fm);
    let (a, b, c) = (lab.on("A", tac), lab.on("B", tac), lab.on("C", tac));
    let far = lab.on("Far", other);
    let both = both(&lab, a, b);
    assert_eq!(left(&both, c), Left::Garbled);
    assert_eq!(left(&both, a), Left::Nothing, "who transmits does not hear");
    assert_eq!(left(&both, b), Left::Nothing);
    assert_eq!(left(&both, far), Left::Nothing, "another frequency");
    assert_eq!(both.meetings.len(), 1);
    assert_eq!(
        both.meetings[0].place,
        Place::Channel {
            channel: tac,
            repeater: None
        }
    );
    assert_eq!(both.meetings[0].garbled, [Party::Unit(c)]);
}

#[test]
fn another_tone_on_the_same_frequency_garbles_all_the_same() {
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let ours = lab.channel("OURS", direct, 155.1, 155.1, tone(100.0), Mode::Fm);
    let theirs = lab.channel("THEIRS", direct, 155.1, 155.1, tone(127.3), Mode::Fm);
    let (a, c) = (lab.on("A", ours), lab.on("C", ours));
    let b = lab.on("B", theirs);
    assert_eq!(lab.heard_by(Party::Unit(b)), Vec::<String>::new());
    let both = both(&lab, a, b);
    assert_eq!(left(&both, c), Left::Garbled);
}

#[test]
fn a_repeater_that_takes_in_both_sends_garble() {
    let mut lab = Lab::new();
    let hill = lab.system("Hill", SystemKind::Repeater, 0, 0);
    let rpt = lab.channel("RPT", hill, 155.1, 150.1, tone(100.0), Mode::Fm);
    let (a, b, c) = (lab.on("A", rpt), lab.on("B", rpt), lab.on("C", rpt));
    let both = both(&lab, a, b);
    assert_eq!(left(&both, c), Left::Garbled);
    assert_eq!(
        both.meetings[0].place,
        Place::Channel {
            channel: rpt,
            repeater: Some(hill)
        }
    );
}

#[test]
fn two_on_two_channels_do_not_disturb_each_other() {
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let one = lab.channel("ONE", direct, 155.1, 155.1, tone(100.0), Mode::Fm);
    let two = lab.channel("TWO", direct, 155.5, 155.5, tone(100.0), Mode::Fm);
    let (a, c) = (lab.on("A", one), lab.on("C", one));
    let (b, d) = (lab.on("B", two), lab.on("D", two));
    let scans = lab.on("Scans", one);
    let radio = lab.radio_of(scans);
    lab.change_radio(radio, |r| {
        r.programmed
            .push(crosspatch::model::Programmed::as_defined(two));
        r.scans.insert(two);
    });
    let both = both(&lab, a, b);
    assert_eq!(left(&both, c), Left::First);
    assert_eq!(left(&both, d), Left::Second);
    assert_eq!(
        left(&both, scans),
        Left::First,
        "a radio that scans stays on what it took first"
    );
    assert!(both.meetings.is_empty());
}

#[test]
fn a_donor_that_sends_the_first_does_not_take_in_the_second() {
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let one = lab.channel("ONE", direct, 155.1, 155.1, tone(100.0), Mode::Fm);
    let two = lab.channel("TWO", direct, 155.5, 155.5, tone(100.0), Mode::Fm);
    let gateway = lab.gateway("Box");
    lab.donor(gateway, 1, 1, one);
    lab.donor(gateway, 2, 1, two);
    let (a, mate) = (lab.on("A", one), lab.on("Mate", one));
    let (b, other) = (lab.on("B", two), lab.on("Other", two));
    assert_eq!(
        lab.heard_by(Party::Unit(b)).len(),
        3,
        "alone it is heard by all"
    );
    let both = both(&lab, a, b);
    assert_eq!(left(&both, mate), Left::First);
    // On TWO the donor sends A while B sends by itself.
    assert_eq!(left(&both, other), Left::Garbled);
    let places: Vec<Place> = both.meetings.iter().map(|m| m.place).collect();
    let port = PortRef { gateway, port: 2 };
    assert!(places.contains(&Place::Deaf(port)), "{places:?}");
    assert!(places.contains(&Place::Channel {
        channel: two,
        repeater: None
    }));
}

#[test]
fn a_trunked_group_gives_the_second_a_busy_and_so_does_a_full_system() {
    let mut lab = Lab::new();
    let trunk = lab.system("Trunk", SystemKind::Trunked, 0, 0);
    let group = |lab: &mut Lab, name: &str, group: u32| {
        let carrier = Carrier::Grouped {
            group,
            mode: Mode::P25,
        };
        lab.channel_of(name, trunk, carrier, Protection::Clear)
    };
    let (one, two) = (group(&mut lab, "ONE", 1), group(&mut lab, "TWO", 2));
    let (a, c) = (lab.on("A", one), lab.on("C", one));
    let same = lab.on("Same", one);
    let (b, d) = (lab.on("B", two), lab.on("D", two));
    let on_one = both(&lab, a, same);
    assert_eq!(on_one.meetings[0].place, Place::Busy(one));
    assert_eq!(left(&on_one, c), Left::First, "the first goes on");
    let apart = both(&lab, a, b);
    assert_eq!(left(&apart, d), Left::Second, "a free talk path is left");
    assert!(apart.meetings.is_empty());
    lab.change_system(trunk, |s| s.talk_paths = 1);
    let full = both(&lab, a, b);
    assert_eq!(full.meetings[0].place, Place::Busy(two));
    assert_eq!(left(&full, d), Left::Nothing);
    assert_eq!(left(&full, c), Left::First);
}

#[test]
fn telephones_hear_while_they_talk_and_a_receiving_donor_is_not_keyed() {
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let one = lab.channel("ONE", direct, 155.1, 155.1, AccessCode::None, Mode::Fm);
    let gateway = lab.gateway("Box");
    lab.donor(gateway, 1, 1, one);
    let telephone = lab.telephone("Duty", 0);
    lab.plug(gateway, 6, Attachment::Telephone(telephone), 1);
    let (a, mate) = (lab.on("A", one), lab.on("Mate", one));
    let called = Party::Telephone(telephone);
    let both = both(&lab, a, called);
    assert_eq!(both.ears[&called], Left::First, "full duplex");
    assert_eq!(left(&both, mate), Left::First);
    let places: Vec<Place> = both.meetings.iter().map(|m| m.place).collect();
    let port = PortRef { gateway, port: 1 };
    assert!(places.contains(&Place::Held(port)), "{places:?}");
    // The other way round the telephone's speech is on the donor, which then hears nobody.
    let turned = self::both(&lab, called, a);
    assert_eq!(turned.ears[&called], Left::Nothing);
    assert_eq!(left(&turned, mate), Left::Garbled);
}

#[test]
fn two_telephones_on_one_talk_group_are_mixed() {
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let one = lab.channel("ONE", direct, 155.1, 155.1, AccessCode::None, Mode::Fm);
    let gateway = lab.gateway("Box");
    lab.donor(gateway, 1, 1, one);
    let (telephone, headset) = (lab.telephone("Duty", 0), lab.headset("Lid"));
    lab.plug(gateway, 6, Attachment::Telephone(telephone), 1);
    lab.plug(gateway, 7, Attachment::Headset(headset), 1);
    let listens = lab.on("Listens", one);
    let both = both(&lab, Party::Telephone(telephone), Party::Headset(headset));
    assert_eq!(left(&both, listens), Left::Both);
    assert!(
        both.meetings
            .iter()
            .any(|m| matches!(m.place, Place::TalkGroup(_)))
    );
}

#[test]
fn nobody_talks_with_itself_at_the_same_time() {
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let one = lab.channel("ONE", direct, 155.1, 155.1, AccessCode::None, Mode::Fm);
    let a = Party::Unit(lab.on("A", one));
    assert_eq!(lab.hearing().together(&lab.scenario, a, a), None);
}
