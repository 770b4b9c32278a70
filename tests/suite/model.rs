//! The gate: every invariant refuses what would break it, and removal takes along what hung on it.

use std::collections::BTreeSet;

use crosspatch::model::connect::connect;
use crosspatch::model::{
    Acceptance, AccessCode, Agency, AgencyId, Attachment, Discipline, Edit, EditError, Evidence,
    Finding, FindingId, Gateway, Kind, Level, Mode, Need, NeedId, Party, Place, PortRef, Priority,
    RadioId, Scenario, Severity, SystemKind, ThingId, TieKind, UnitId, Way,
};
use proptest::prelude::{any, prop_assert, prop_assert_eq, proptest};
use proptest::sample::Index;

use crate::draws::cases;
use crate::hearing::random::{lay, scenarios};
use crate::lab::{Lab, tone};

fn small() -> Lab {
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let one = lab.channel("ONE", direct, 150.0, 150.0, tone(100.0), Mode::Fm);
    let two = lab.channel("TWO", direct, 160.0, 160.0, tone(100.0), Mode::Fm);
    lab.on("A", one);
    lab.on("B", two);
    let gateway = lab.gateway("Box");
    lab.donor(gateway, 1, 1, one);
    lab.donor(gateway, 2, 1, two);
    lab
}

fn refusal(scenario: &Scenario, edit: Edit) -> String {
    let before = scenario.clone();
    let error = scenario.apply(&[edit]).expect_err("must be refused");
    assert_eq!(*scenario, before, "a refused edit changes nothing");
    error.to_string()
}

#[test]
fn ids_are_never_used_again() {
    let mut lab = small();
    let unit = lab.unit("Gone");
    let thing = lab.scenario.thing(unit.into()).unwrap();
    lab.apply(&[Edit::Remove(unit.into())]);
    let error = lab.scenario.apply(&[Edit::Add(thing)]).unwrap_err();
    assert!(matches!(
        error,
        EditError::Taken {
            kind: Kind::Unit,
            ..
        }
    ));
    assert_ne!(UnitId(lab.scenario.mint(0)), unit);
}

#[test]
fn a_port_belongs_to_one_talk_group_of_its_own_gateway_or_to_none() {
    let lab = small();
    let gateway = lab.scenario.gateways.first().unwrap().id;
    let port = PortRef { gateway, port: 1 };
    let text = refusal(
        &lab.scenario,
        Edit::Switch {
            phase: lab.phase,
            port,
            group: Some(3),
        },
    );
    assert_eq!(text, "Box has no talk group 3");
    let after = lab
        .scenario
        .apply(&[Edit::Switch {
            phase: lab.phase,
            port,
            group: Some(2),
        }])
        .unwrap();
    assert_eq!(after.phases.first().unwrap().switches[&port], 2);
}

#[test]
fn one_attachment_per_port_and_one_port_per_radio() {
    let lab = small();
    let gateway = lab.scenario.gateways.first().unwrap().id;
    let phase = lab.scenario.phases.first().unwrap();
    let port = |port| PortRef { gateway, port };
    let donor = phase.attachments[&port(1)];
    let attach = |to, attachment| Edit::Attach {
        phase: lab.phase,
        port: port(to),
        attachment: Some(attachment),
    };
    let text = refusal(&lab.scenario, attach(3, donor));
    assert_eq!(text, "donor 1 is plugged into Box port 1 already");
    assert!(refusal(&lab.scenario, attach(6, donor)).contains("is a telephone port"));
    let after = lab
        .scenario
        .apply(&[attach(2, phase.attachments[&port(1)])]);
    assert!(after.is_err(), "still in port 1");
}

#[test]
fn values_outside_their_range_are_refused_with_the_range() {
    let lab = small();
    let mut system = lab.scenario.systems.first().unwrap().clone();
    system.coverage = f64::NAN;
    assert_eq!(
        refusal(&lab.scenario, Edit::Replace(system.into())),
        "Direct: coverage is NaN; it must be 0 to 1"
    );
    let mut unit = lab.scenario.units.first().unwrap().clone();
    unit.heads = 0;
    assert!(refusal(&lab.scenario, Edit::Replace(unit.clone().into())).contains("heads is 0"));
    unit.heads = 1;
    unit.name = "  ".to_owned();
    assert!(refusal(&lab.scenario, Edit::Replace(unit.into())).contains("name is empty"));
}

#[test]
fn removing_a_thing_removes_or_detaches_what_hung_on_it_in_one_step() {
    let mut lab = small();
    let s = &lab.scenario;
    let (unit, other) = (
        s.units.first().unwrap().id,
        s.units.iter().nth(1).unwrap().id,
    );
    let channel = s.channels.first().unwrap().id;
    let system = s.systems.first().unwrap().id;
    let gateway = s.gateways.first().unwrap().id;
    let need = Need {
        id: NeedId(s.mint(0)),
        key: String::new(),
        name: "A and B".to_owned(),
        from: BTreeSet::from([Party::Unit(unit)]),
        to: BTreeSet::from([Party::Unit(other)]),
        way: Way::TwoWay,
        priority: Priority::High,
        encrypted: false,
        max_delay_ms: None,
        notes: String::new(),
    };
    lab.apply(&[
        Edit::Add(need.into()),
        Edit::Place {
            thing: unit.into(),
            place: Some(Place { x: 8, y: 8 }),
        },
        Edit::Accept(Acceptance {
            finding: FindingId {
                code: "R02".to_owned(),
                things: vec![unit.into()],
            },
            facts: 1,
            reason: "off duty".to_owned(),
            by: "planner".to_owned(),
            on: "2031-05-04".to_owned(),
            until: None,
        }),
    ]);
    let gone = lab.scenario.apply(&[Edit::Remove(unit.into())]).unwrap();
    assert!(gone.needs.is_empty() && gone.places.is_empty() && gone.accepted.is_empty());
    assert!(
        gone.radios.iter().all(|r| r.held_by != Some(unit)),
        "its radio is in the pool"
    );
    assert_eq!(gone.radios.len(), lab.scenario.radios.len());

    let gone = lab.scenario.apply(&[Edit::Remove(channel.into())]).unwrap();
    assert!(
        gone.radios
            .iter()
            .all(|r| r.entry(channel).is_none() && r.selected != Some(channel))
    );
    let gone = lab.scenario.apply(&[Edit::Remove(system.into())]).unwrap();
    assert!(gone.channels.is_empty(), "channels go with their system");
    let gone = lab.scenario.apply(&[Edit::Remove(gateway.into())]).unwrap();
    let phase = gone.phases.first().unwrap();
    assert!(phase.attachments.is_empty() && phase.switches.is_empty());
    let port = ThingId::Port(PortRef { gateway, port: 1 });
    let gone = lab.scenario.apply(&[Edit::Remove(port)]).unwrap();
    assert_eq!(gone.phases.first().unwrap().attachments.len(), 1);
    assert_eq!(
        refusal(&lab.scenario, Edit::Remove(lab.phase.into())),
        "a scenario keeps at least one phase"
    );
}

#[test]
fn a_radio_selects_and_scans_only_what_is_programmed() {
    let lab = small();
    let radio = lab.scenario.radios.first().unwrap().id;
    let foreign = lab.scenario.channels.iter().nth(1).unwrap().id;
    let text = refusal(
        &lab.scenario,
        Edit::Select {
            phase: lab.phase,
            radio,
            channel: Some(foreign),
        },
    );
    assert_eq!(text, "A radio has no TWO programmed");
}

#[test]
fn connecting_says_what_happens_or_why_not() {
    let mut lab = small();
    let s = &lab.scenario;
    let (unit, other) = (
        s.units.first().unwrap().id,
        s.units.iter().nth(1).unwrap().id,
    );
    let radio = lab.radio_of(unit);
    let foreign = s.channels.iter().nth(1).unwrap().id;
    let gateway = s.gateways.first().unwrap().id;
    let joined = |lab: &Lab, a: ThingId, b: ThingId| connect(&lab.scenario, lab.phase, a, b);

    let found = joined(&lab, radio.into(), foreign.into()).unwrap();
    assert_eq!(found.title, "Put A radio on TWO");
    assert_eq!(
        found,
        joined(&lab, foreign.into(), radio.into()).unwrap(),
        "either end may be dragged"
    );
    let after = lab.scenario.apply(&found.edits).unwrap();
    let phase = after.phases.first().unwrap();
    assert_eq!(
        after.selected_channel(phase, after.radios.get(radio).unwrap()),
        Some(foreign)
    );

    let found = joined(&lab, radio.into(), gateway.into()).unwrap();
    assert_eq!(found.title, "Cable A radio into Box port 3");
    let donor = RadioId(radio.0 + 100);
    assert!(
        joined(&lab, donor.into(), gateway.into()).is_ok() || !lab.scenario.contains(donor.into())
    );
    let taken = joined(&lab, radio.into(), PortRef { gateway, port: 1 }.into()).unwrap_err();
    assert_eq!(taken, "Box port 1 holds donor 1; unplug that first");
    let wrong = joined(&lab, radio.into(), PortRef { gateway, port: 6 }.into()).unwrap_err();
    assert_eq!(wrong, "Box port 6 is a telephone port");
    let need = joined(&lab, unit.into(), other.into()).unwrap();
    assert!(matches!(need.edits[..], [Edit::Add(_)]));
    assert!(
        joined(&lab, gateway.into(), foreign.into())
            .unwrap_err()
            .contains("not joined directly")
    );

    lab.change_radio(radio, |r| {
        r.modes.remove(&Mode::Fm);
    });
    assert_eq!(
        joined(&lab, radio.into(), foreign.into()).unwrap_err(),
        "A radio has no analogue FM"
    );
}

#[test]
fn a_tie_joins_two_gateways_and_takes_one_port_of_each() {
    let mut lab = small();
    let first = lab.scenario.gateways.first().unwrap().id;
    let second = lab.gateway("Far");
    let found = connect(&lab.scenario, lab.phase, first.into(), second.into()).unwrap();
    lab.apply(&found.edits);
    let phase = lab.scenario.phases.first().unwrap();
    let tie = lab.scenario.ties.first().unwrap();
    assert_eq!(tie.kind, TieKind::Ip);
    assert_eq!(phase.ports_of_tie(tie.id).count(), 2);
    let third = PortRef {
        gateway: second,
        port: 8,
    };
    let edit = Edit::Attach {
        phase: lab.phase,
        port: third,
        attachment: Some(Attachment::Tie(tie.id)),
    };
    assert!(refusal(&lab.scenario, edit).contains("is a wire line port"));
}

#[test]
fn a_finding_is_the_same_whatever_its_wording_and_order() {
    let thing = |n| ThingId::Agency(AgencyId(n));
    let finding = |headline: &str, related: Vec<ThingId>, tone: &str| Finding {
        code: "P02",
        severity: Severity::Stops,
        headline: headline.to_owned(),
        subject: thing(1),
        related,
        evidence: vec![
            Evidence::text("sent", tone),
            Evidence::thing("on", thing(2)),
        ],
        hints: Vec::new(),
        fixes: Vec::new(),
        unheard: None,
    };
    let a = finding("one", vec![thing(3), thing(2), thing(3)], "156.7");
    let b = finding("another", vec![thing(2), thing(3)], "156.7");
    let key = |id: ThingId| format!("{id:?}");
    assert_eq!(a.id(), b.id());
    assert_eq!(a.facts(key), b.facts(key));
    assert_ne!(a.facts(key), finding("one", vec![], "127.3").facts(key));
}

#[test]
fn an_access_code_reads_as_the_trade_writes_it() {
    let dcs = AccessCode::Dcs {
        code: 0o023,
        inverted: true,
    };
    assert_eq!(dcs.to_string(), "DCS 023 inverted");
    assert_eq!(AccessCode::Nac(0x293).to_string(), "NAC $293");
    assert_eq!(tone(156.7).to_string(), "CTCSS 156.7 Hz");
}

proptest! {
    #![proptest_config(cases(300))]

    #[test]
    fn whatever_is_removed_no_reference_dangles(bytes in scenarios(), picks in proptest::collection::vec(any::<Index>(), 1..6)) {
        let mut scenario = lay(&bytes).scenario;
        for pick in picks {
            let all: Vec<ThingId> = scenario.units.ids().map(ThingId::from)
                .chain(scenario.systems.ids().map(ThingId::from))
                .chain(scenario.channels.ids().map(ThingId::from))
                .chain(scenario.radios.ids().map(ThingId::from))
                .chain(scenario.gateways.ids().map(ThingId::from))
                .chain(scenario.gateways.iter().flat_map(Gateway::port_refs).map(ThingId::from))
                .chain(scenario.gateways.iter().flat_map(Gateway::talk_group_refs).map(ThingId::from))
                .chain(scenario.ties.ids().map(ThingId::from))
                .chain(scenario.telephones.ids().map(ThingId::from))
                .chain(scenario.cables.ids().map(ThingId::from))
                .collect();
            if all.is_empty() {
                break;
            }
            let thing = all[pick.index(all.len())];
            scenario = scenario.apply(&[Edit::Remove(thing)]).expect("removal is legal");
            prop_assert!(!scenario.contains(thing));
        }
        // Every remaining thing passes the gate as it stands.
        let again: Vec<Edit> = scenario.radios.ids().map(ThingId::from)
            .chain(scenario.channels.ids().map(ThingId::from))
            .chain(scenario.phases.ids().map(ThingId::from))
            .chain(scenario.telephones.ids().map(ThingId::from))
            .chain(scenario.gateways.ids().map(ThingId::from))
            .filter_map(|id| scenario.thing(id).map(Edit::Replace))
            .collect();
        let same = scenario.apply(&again).expect("still legal");
        prop_assert_eq!(same, scenario);
    }

    #[test]
    fn what_connect_proposes_passes_the_gate(bytes in scenarios(), a in any::<Index>(), b in any::<Index>()) {
        let lab = lay(&bytes);
        let s = &lab.scenario;
        let all: Vec<ThingId> = s.units.ids().map(ThingId::from)
            .chain(s.channels.ids().map(ThingId::from))
            .chain(s.systems.ids().map(ThingId::from))
            .chain(s.radios.ids().map(ThingId::from))
            .chain(s.gateways.ids().map(ThingId::from))
            .chain(s.gateways.iter().flat_map(Gateway::port_refs).map(ThingId::from))
            .chain(s.gateways.iter().flat_map(Gateway::talk_group_refs).map(ThingId::from))
            .chain(s.telephones.ids().map(ThingId::from))
            .chain(s.headsets.ids().map(ThingId::from))
            .collect();
        let (a, b) = (all[a.index(all.len())], all[b.index(all.len())]);
        match connect(s, lab.phase, a, b) {
            Ok(connection) => {
                let after = s.apply(&connection.edits);
                prop_assert!(after.is_ok(), "{} : {:?}", connection.title, after.err());
                prop_assert!(after.is_ok_and(|after| after != *s), "{} changes nothing", connection.title);
            }
            Err(reason) => prop_assert!(!reason.is_empty()),
        }
        prop_assert_eq!(connect(s, lab.phase, a, b).is_ok(), connect(s, lab.phase, b, a).is_ok());
    }
}

#[test]
fn an_agency_that_leaves_leaves_its_people_and_gear() {
    let mut lab = small();
    let id = AgencyId(lab.scenario.mint(0));
    let agency = Agency {
        id,
        key: "ash".to_owned(),
        name: "Ash Fire".to_owned(),
        short: "ASH".to_owned(),
        discipline: Discipline::Fire,
        level: Level::County,
        notes: String::new(),
    };
    lab.apply(&[Edit::Add(agency.into())]);
    let unit = lab.scenario.units.first().unwrap().id;
    let found = connect(&lab.scenario, lab.phase, id.into(), unit.into()).unwrap();
    lab.apply(&found.edits);
    assert_eq!(lab.scenario.units.get(unit).unwrap().agency, Some(id));
    lab.apply(&[Edit::Remove(id.into())]);
    assert_eq!(lab.scenario.units.get(unit).unwrap().agency, None);
}

#[test]
fn a_name_that_is_empty_is_refused_by_the_word_for_the_thing() {
    let mut lab = Lab::new();
    let unit = lab.unit("Engine 7");
    let mut nameless = lab.scenario.units.get(unit).expect("it is there").clone();
    nameless.name = String::new();
    let error = lab.scenario.apply(&[Edit::Replace(nameless.into())]);
    let words = error.expect_err("a unit has a name").to_string();
    assert!(words.starts_with("unit: name is empty"), "{words}");
}
