//! What is to be checked on the spot: complete, in order, ticked by edits, and forgotten when it no longer
//! holds.

use std::sync::Arc;

use crosspatch::checks;
use crosspatch::format::{self, Syntax};
use crosspatch::model::{
    Attachment, Edit, Fact, LevelSetting, Party, Phase, PortRef, Scenario, Step, Tested, Thing,
    ThingId, Verified,
};
use crosspatch::picture::Picture;
use crosspatch::picture::precheck::{PreCheck, Whose, note_heard, tried, verify};
use crosspatch::samples::SHIPPED;

fn incident() -> Scenario {
    let sample = SHIPPED.iter().find(|s| s.file_name == "incident.ron");
    let sample = sample.expect("the incident is shipped");
    format::read(sample.text, Syntax::Ron).expect("shipped scenarios open")
}

fn picture(s: &Scenario) -> Picture {
    let phase = s.phases.first().expect("a phase").id;
    Picture::new(Arc::new(s.clone()), phase)
}

fn somebody() -> Verified {
    Verified {
        by: "R. Vale".to_owned(),
        on: "2031-05-04".to_owned(),
        at: "14:05 UTC".to_owned(),
    }
}

fn open(picture: &Picture, code: &str) -> usize {
    let report = checks::run_all(picture);
    report.open.iter().filter(|f| f.code == code).count()
}

/// A port with a donor by cable, and everything ticked there.
fn all_tried(s: &Scenario) -> (Scenario, PortRef) {
    let phase = s.phases.first().expect("a phase");
    let is_donor = |a: &&Attachment| matches!(a, Attachment::Radio { cable: Some(_), .. });
    let port = phase.attachments.iter().find(|(_, a)| is_donor(a));
    let port = *port.expect("a donor by cable").0;
    let edit = tried(phase, port, Step::ALL, Some(&somebody()));
    (s.apply(&[edit]).expect("a tick passes"), port)
}

fn record(s: &Scenario, port: PortRef) -> Option<&Tested> {
    s.phases.first().expect("a phase").tested.get(&port)
}

#[test]
fn every_radio_in_use_stands_there_once_donors_first() {
    let s = incident();
    let picture = picture(&s);
    let list = PreCheck::of(&picture);
    let listed: Vec<ThingId> = list.sets().map(|set| set.thing).collect();
    for radio in s.radios.iter() {
        let count = listed.iter().filter(|t| **t == radio.id.into()).count();
        assert_eq!(
            count,
            usize::from(picture.is_in_use(radio)),
            "{}",
            radio.name
        );
    }
    let first_agency = list
        .parts
        .iter()
        .position(|p| !matches!(p.whose, Whose::Gateway(_)))
        .expect("units carry radios");
    let gateways = list.parts.get(..first_agency).expect("in range");
    assert!(!gateways.is_empty());
    assert!(
        gateways
            .iter()
            .flat_map(|p| &p.sets)
            .all(|set| set.at_port.is_some())
    );
    for set in list.sets().filter(|set| set.channel.is_some()) {
        let order: Vec<Fact> = set.facts.iter().map(|line| line.fact).collect();
        let in_order: Vec<Fact> = { Fact::ALL.into_iter() }
            .filter(|f| order.contains(f))
            .collect();
        assert_eq!(order, in_order, "{}", set.name);
        assert!(set.facts.iter().all(|line| !line.words.is_empty()));
    }
    assert!(!list.pairs.is_empty(), "needs say who should be heard");
}

#[test]
fn ticking_every_fact_clears_the_findings_about_what_is_assumed() {
    let s = incident();
    let before = picture(&s);
    assert!(open(&before, "P12") > 0 && open(&before, "P13") > 0);
    let list = PreCheck::of(&before);
    let by = somebody();
    let edits: Vec<Edit> = list
        .sets()
        .filter_map(|set| {
            let ThingId::Radio(id) = set.thing else {
                return None;
            };
            let facts = set.facts.iter().map(|line| line.fact);
            verify(s.radios.get(id)?, set.channel?, facts, Some(&by))
        })
        .collect();
    let after = picture(&s.apply(&edits).expect("ticks pass"));
    let done = PreCheck::of(&after).facts();
    assert_eq!(done.done, done.all);
    assert!(done.all > list.facts().done);
    assert_eq!((open(&after, "P12"), open(&after, "P13")), (0, 0));
}

#[test]
fn what_was_tried_out_is_kept_in_the_file_and_listed() {
    let (s, port) = all_tried(&incident());
    for syntax in [Syntax::Ron, Syntax::Json] {
        let back = format::read(&format::write(&s, syntax), syntax).expect("it opens");
        assert_eq!(back, s);
    }
    let list = PreCheck::of(&picture(&s));
    let set = list
        .sets()
        .find(|set| set.at_port.as_ref().is_some_and(|a| a.port == port));
    let set = set.expect("the port is listed");
    assert_eq!(set.steps_done().done, Step::ALL.len());
    let own = set.own_agency().and_then(|line| line.done.as_ref());
    assert_eq!(
        own.map(Verified::when).as_deref(),
        Some("2031-05-04 14:05 UTC")
    );
    let steps: Vec<Step> = { set.at_port.iter() }
        .flat_map(|at| at.steps.iter().map(|line| line.step))
        .collect();
    assert_eq!(
        steps,
        Step::ALL,
        "with its own agency first, then the cable"
    );
    assert_eq!(list.steps().done, Step::ALL.len());
}

#[test]
fn a_record_goes_when_anything_about_the_port_changes_and_stays_otherwise() {
    let (s, port) = all_tried(&incident());
    let phase = s.phases.first().expect("a phase").clone();
    let Some(Attachment::Radio { radio, .. }) = phase.attachments.get(&port).copied() else {
        panic!("it is a donor");
    };
    let set = s.radios.get(radio).expect("it is there");
    let channel = s.selected_channel(&phase, set).expect("one is selected");
    let group = phase.switches.get(&port).copied();
    let mut box_ = s.gateways.get(port.gateway).expect("it is there").clone();
    for socket in box_.ports.iter_mut().filter(|p| p.number == port.port) {
        socket.level = LevelSetting::High;
    }
    let mut entry = set.entry(channel).expect("programmed").clone();
    entry.receive_only = !entry.receive_only;
    let changes: [(&str, Edit); 6] = [
        (
            "another cable",
            Edit::Attach {
                phase: phase.id,
                port,
                attachment: Some(Attachment::Radio { radio, cable: None }),
            },
        ),
        (
            "unplugged",
            Edit::Attach {
                phase: phase.id,
                port,
                attachment: None,
            },
        ),
        (
            "another talk group",
            Edit::Switch {
                phase: phase.id,
                port,
                group: if group.is_some() { None } else { Some(1) },
            },
        ),
        (
            "another channel",
            Edit::Select {
                phase: phase.id,
                radio,
                channel: None,
            },
        ),
        ("another level", Edit::Replace(Thing::Gateway(box_))),
        ("other programming", Edit::Program { radio, entry }),
    ];
    for (what, edit) in changes {
        let after = s.apply(&[edit]).expect(what);
        assert_eq!(record(&after, port), None, "{what}");
    }
    let verified = verify(set, channel, Fact::ALL, Some(&somebody())).expect("programmed");
    let other = Edit::Replace(Thing::Phase(Phase {
        name: "Renamed".to_owned(),
        ..phase
    }));
    for (what, edit) in [("a tick", verified), ("a name", other)] {
        let after = s.apply(&[edit]).expect(what);
        assert_eq!(record(&after, port), record(&s, port), "{what}");
    }
    let gone = s
        .apply(&[Edit::Remove(port.gateway.into())])
        .expect("it goes");
    assert_eq!(record(&gone, port), None);
}

#[test]
fn nothing_is_tried_out_at_an_empty_port_and_an_empty_record_is_none() {
    let (s, port) = all_tried(&incident());
    let phase = s.phases.first().expect("a phase");
    let taken_off = tried(phase, port, Step::ALL, None);
    let after = s.apply(&[taken_off]).expect("ticks come off");
    assert_eq!(record(&after, port), None);
    let empty = { s.gateways.iter() }
        .flat_map(crosspatch::model::Gateway::port_refs)
        .find(|p| !phase.attachments.contains_key(p))
        .expect("a port is free");
    let edit = tried(phase, empty, [Step::CableIn], Some(&somebody()));
    let refused = s.apply(&[edit]).expect_err("nothing is there");
    assert!(refused.to_string().contains("nothing is plugged into"));
}

#[test]
fn only_a_donor_has_an_agency_of_its_own_to_hear() {
    let list = PreCheck::of(&picture(&incident()));
    let at_ports = list.sets().filter(|set| set.at_port.is_some());
    let mut kinds = [0, 0];
    for set in at_ports {
        let is_radio = matches!(set.thing, ThingId::Radio(_));
        assert_eq!(set.own_agency().is_some(), is_radio, "{}", set.name);
        kinds[usize::from(is_radio)] += 1;
    }
    assert!(kinds.iter().all(|count| *count > 0), "{kinds:?}");
}

/// A pair that is heard by way of a gateway, and everything ticked of it.
fn one_heard(s: &Scenario) -> (Scenario, (Party, Party), PortRef) {
    let before = picture(s);
    let list = PreCheck::of(&before);
    let ports_of = |from, to| -> Vec<PortRef> {
        let path = before.hearing().path(s, from, to);
        let steps = path.into_iter().flat_map(|path| path.steps);
        let ports = steps.filter_map(|step| match step.at {
            ThingId::Port(port) => Some(port),
            _ => None,
        });
        ports.collect()
    };
    let (pair, port) = { list.pairs.iter() }
        .find_map(|pair| Some(((pair.from, pair.to), *ports_of(pair.from, pair.to).first()?)))
        .expect("a need is met by way of a gateway");
    let edit = note_heard(&before, pair, Some(&somebody()), (Some(4), Some(600)));
    let after = s.apply(&[edit.expect("the plan says it is heard")]);
    (after.expect("a tick passes"), pair, port)
}

#[test]
fn what_was_heard_between_two_counts_while_the_message_takes_that_path() {
    let (s, (from, to), port) = one_heard(&incident());
    let list = PreCheck::of(&picture(&s));
    assert_eq!(list.heard().done, 1);
    let pair = list.pairs.iter().find(|p| (p.from, p.to) == (from, to));
    let heard = pair.and_then(|p| p.heard.clone()).expect("it is noted");
    assert_eq!((heard.daq, heard.delay_ms), (Some(4), Some(600)));
    for syntax in [Syntax::Ron, Syntax::Json] {
        let back = format::read(&format::write(&s, syntax), syntax).expect("it opens");
        assert_eq!(back, s);
        assert_eq!(PreCheck::of(&picture(&back)).heard().done, 1);
    }
    let phase = s.phases.first().expect("a phase").clone();
    // A name and a note elsewhere move nothing.
    let named = Edit::Replace(Thing::Phase(Phase {
        name: "Renamed".to_owned(),
        ..phase.clone()
    }));
    let named = s.apply(&[named]).expect("it goes");
    assert_eq!(PreCheck::of(&picture(&named)).heard().done, 1);
    let Some(Attachment::Radio { radio, .. }) = phase.attachments.get(&port).copied() else {
        panic!("the first port on the way holds a donor");
    };
    let uncabled = Edit::Attach {
        phase: phase.id,
        port,
        attachment: Some(Attachment::Radio { radio, cable: None }),
    };
    let off = Edit::Switch {
        phase: phase.id,
        port,
        group: None,
    };
    let mut slower = s.gateways.get(port.gateway).expect("it is there").clone();
    for socket in slower.ports.iter_mut().filter(|p| p.number == port.port) {
        socket.level = LevelSetting::High;
    }
    for (what, edit) in [
        ("another cable", uncabled),
        ("switched off", off),
        ("another level", Edit::Replace(Thing::Gateway(slower))),
    ] {
        let after = s.apply(&[edit]).expect(what);
        let list = PreCheck::of(&picture(&after));
        assert_eq!(list.heard().done, 0, "{what}");
        let pair = list.pairs.iter().find(|p| (p.from, p.to) == (from, to));
        assert!(pair.is_some_and(|p| p.is_outdated), "{what}");
    }
    let gone = s.apply(&[Edit::Remove(to.into())]).expect("it goes");
    assert!(gone.phases.first().is_some_and(|p| p.pairs.is_empty()));
    let back = note_heard(&picture(&s), (from, to), None, (None, None));
    let back = s
        .apply(&[back.expect("a note may be taken back")])
        .expect("it goes");
    assert!(back.phases.first().is_some_and(|p| p.pairs.is_empty()));
}

#[test]
fn what_the_plan_says_is_not_heard_cannot_be_ticked_and_quality_has_its_range() {
    let s = incident();
    let before = picture(&s);
    let list = PreCheck::of(&before);
    let silent = list
        .pairs
        .iter()
        .find(|p| p.delay_ms.is_none())
        .expect("a need is not met");
    let none = note_heard(
        &before,
        (silent.from, silent.to),
        Some(&somebody()),
        (None, None),
    );
    assert_eq!(none, None);
    let heard = list
        .pairs
        .iter()
        .find(|p| p.delay_ms.is_some())
        .expect("one is met");
    let six = note_heard(
        &before,
        (heard.from, heard.to),
        Some(&somebody()),
        (Some(6), None),
    );
    let refused = s
        .apply(&[six.expect("it is heard")])
        .expect_err("out of range");
    assert!(refused.to_string().contains("1 to 5"), "{refused}");
}
