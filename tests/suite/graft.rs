//! Copies of things: what comes along, what is shared, and that the copies hear as the originals do.

use std::collections::{BTreeMap, BTreeSet};

use crosspatch::format::excerpt::Excerpt;
use crosspatch::format::{Syntax, read};
use crosspatch::hearing::Hearing;
use crosspatch::model::graft::{Bed, Cutting, Grafted, Sharing, duplicate, everything, graft};
use crosspatch::model::{
    Attachment, Edit, Party, PhaseId, Place, Scenario, SystemKind, Thing, ThingId,
};
use crosspatch::samples::{SHIPPED, Size, generate};
use proptest::prelude::{any, prop_assert, prop_assert_eq, proptest};

use crate::draws::cases;
use crate::hearing::random::{lay, scenarios};
use crate::lab::{Lab, tone};

type Things = BTreeSet<ThingId>;

fn first_phase(s: &Scenario) -> PhaseId {
    s.phases.first().expect("a scenario has a phase").id
}

/// Grafts into the target's first phase, a step to the right and down.
fn put(origin: &Scenario, things: &Things, target: &Scenario, sharing: Sharing) -> Grafted {
    let cutting = Cutting {
        origin,
        phase: first_phase(origin),
        things,
        attached: true,
    };
    let bed = Bed {
        phase: first_phase(target),
        shift: Place { x: 40, y: -7 },
        sharing,
        same: false,
    };
    graft(&cutting, target, &bed)
}

/// Chooses among all things by the bits of some bytes.
fn some_of(s: &Scenario, bytes: &[u8]) -> Things {
    let bit = |n: usize| {
        bytes
            .get(n / 8)
            .is_some_and(|byte| byte >> (n % 8) & 1 == 1)
    };
    let all = everything(s).into_iter().enumerate();
    all.filter(|(n, _)| bit(*n))
        .map(|(_, thing)| thing)
        .collect()
}

/// What must come along, said rule by rule on the whole scenario until nothing more is added.
fn needed(s: &Scenario, asked: &Things) -> Things {
    let phase = s.phases.first().expect("a phase");
    let mut all = asked.clone();
    for unit in s.units.iter() {
        if unit.agency.is_some_and(|a| asked.contains(&a.into())) {
            all.insert(unit.id.into());
        }
    }
    for channel in s.channels.iter() {
        if asked.contains(&channel.system.into()) {
            all.insert(channel.id.into());
        }
    }
    loop {
        let mut more = all.clone();
        let has = |thing: ThingId| all.contains(&thing);
        for need in s.needs.iter().filter(|n| has(n.id.into())) {
            more.extend(need.from.iter().chain(&need.to).map(|p| ThingId::from(*p)));
        }
        for paper in s.agreements.iter().filter(|a| has(a.id.into())) {
            more.extend(paper.agencies.iter().map(|a| ThingId::from(*a)));
            more.extend(paper.channels.iter().map(|c| ThingId::from(*c)));
        }
        for unit in s.units.iter().filter(|u| has(u.id.into())) {
            more.extend(unit.agency.map(ThingId::from));
        }
        for radio in s.radios.iter() {
            if radio.held_by.is_some_and(|u| has(u.into())) {
                more.insert(radio.id.into());
            }
            if has(radio.id.into()) {
                more.extend(radio.programmed.iter().map(|p| ThingId::from(p.channel)));
            }
        }
        for telephone in s.telephones.iter() {
            if telephone.held_by.is_some_and(|u| has(u.into())) {
                more.insert(telephone.id.into());
            }
        }
        for headset in s.headsets.iter() {
            if headset.held_by.is_some_and(|u| has(u.into())) {
                more.insert(headset.id.into());
            }
        }
        for channel in s.channels.iter().filter(|c| has(c.id.into())) {
            more.insert(channel.system.into());
        }
        for gateway in s.gateways.iter().filter(|g| has(g.id.into())) {
            more.extend(gateway.site.map(ThingId::from));
        }
        for (port, attachment) in &phase.attachments {
            if !has(port.gateway.into()) {
                continue;
            }
            match attachment {
                Attachment::Radio { radio, cable } => {
                    more.insert((*radio).into());
                    more.extend(cable.map(ThingId::from));
                }
                Attachment::Telephone(id) => drop(more.insert((*id).into())),
                Attachment::Headset(id) => drop(more.insert((*id).into())),
                Attachment::Tie(id) => {
                    let mut ends = phase.ports_of_tie(*id);
                    let both = ends.all(|p| has(p.gateway.into()));
                    if both && phase.ports_of_tie(*id).count() == 2 {
                        more.insert((*id).into());
                    }
                }
            }
        }
        if more == all {
            return all;
        }
        all = more;
    }
}

/// Who hears whom among some parties, in the names of the origin.
fn heard(s: &Scenario, phase: PhaseId, name: &BTreeMap<Party, Party>) -> BTreeSet<(Party, Party)> {
    let hearing = Hearing::derive(s, phase);
    let mut pairs = BTreeSet::new();
    for (from, from_name) in name {
        for (to, _) in hearing.hearers(*from) {
            if let Some(to_name) = name.get(&to) {
                pairs.insert((*from_name, *to_name));
            }
        }
    }
    pairs
}

/// The parties among the copies, each with its original.
fn originals(grafted: &Grafted, s: &Scenario) -> BTreeMap<Party, Party> {
    let parties: BTreeSet<Party> = s.parties().collect();
    parties
        .into_iter()
        .filter_map(|party| {
            let copy = *grafted.became.get(&party.into())?;
            Some((Party::try_from(copy).ok()?, party))
        })
        .collect()
}

fn assert_hears_alike(origin: &Scenario, things: &Things, without_gateways: bool) {
    let target = Scenario::new("Empty");
    let phase = first_phase(origin);
    let grafted = put(origin, things, &target, Sharing::Companions);
    let mut copy = target.apply(&grafted.edits).expect("the gate takes it");
    let mut origin = origin.clone();
    if without_gateways {
        let all = |s: &Scenario| -> Vec<Edit> {
            s.gateways.ids().map(|g| Edit::Remove(g.into())).collect()
        };
        copy = copy.apply(&all(&copy)).expect("gateways can go");
        origin = origin.apply(&all(&origin)).expect("gateways can go");
        // A repeater that none of the things uses, and that happens to take in what they send, is no
        // companion of theirs and stays behind.
        let strangers = origin.channels.ids().map(crosspatch::model::ThingId::from);
        let strangers = strangers.filter(|id| !grafted.became.contains_key(id));
        let away: Vec<Edit> = strangers.map(Edit::Remove).collect();
        origin = origin.apply(&away).expect("channels can go");
    }
    let names = originals(&grafted, &origin);
    let same: BTreeMap<Party, Party> = names.values().map(|p| (*p, *p)).collect();
    let there = heard(&copy, first_phase(&copy), &names);
    assert_eq!(there, heard(&origin, phase, &same));
}

fn shipped() -> Vec<Scenario> {
    SHIPPED
        .iter()
        .map(|sample| read(sample.text, Syntax::Ron).expect("shipped"))
        .collect()
}

proptest! {
    #![proptest_config(cases(300))]

    #[test]
    fn any_selection_goes_into_any_scenario(
        bytes in scenarios(), other in scenarios(), bits in any::<[u8; 12]>(), everything in any::<bool>(),
    ) {
        let origin = lay(&bytes).scenario;
        let target = lay(&other).scenario;
        let things = some_of(&origin, &bits);
        let sharing = if everything { Sharing::Everything } else { Sharing::Companions };
        let grafted = put(&origin, &things, &target, sharing);
        prop_assert_eq!(&grafted, &put(&origin, &things, &target, sharing));
        let after = target.apply(&grafted.edits);
        prop_assert!(after.is_ok(), "{:?}", after.err());
        let after = after.expect("just looked at");
        for thing in &things {
            let became = grafted.became.get(thing);
            prop_assert!(became.is_some_and(|t| after.contains(*t)), "{:?}", thing);
        }
        for thing in &grafted.fresh {
            prop_assert!(!target.contains(*thing) && after.contains(*thing));
        }
        // What was there is as it was.
        for thing in crosspatch::model::graft::everything(&target) {
            prop_assert_eq!(target.thing(thing), after.thing(thing));
        }
        let added = grafted.edits.iter().filter(|e| matches!(e, Edit::Add(_))).count();
        prop_assert_eq!(added, grafted.fresh.len());
    }

    #[test]
    fn exactly_what_is_needed_comes_along(bytes in scenarios(), bits in any::<[u8; 12]>()) {
        let origin = lay(&bytes).scenario;
        let things = some_of(&origin, &bits);
        let grafted = put(&origin, &things, &Scenario::new("Empty"), Sharing::Companions);
        let came: Things = grafted.became.keys().copied().collect();
        prop_assert_eq!(came, needed(&origin, &things));
    }

    #[test]
    fn copies_hear_each_other_as_the_originals_do(bytes in scenarios(), bits in any::<[u8; 12]>()) {
        let origin = lay(&bytes).scenario;
        assert_hears_alike(&origin, &everything(&origin), false);
        assert_hears_alike(&origin, &some_of(&origin, &bits), true);
    }

    #[test]
    fn a_duplicate_passes_the_gate_and_doubles_no_name(bytes in scenarios(), bits in any::<[u8; 12]>()) {
        let origin = lay(&bytes).scenario;
        let things = some_of(&origin, &bits);
        let made = duplicate(&origin, first_phase(&origin), &things, Place { x: 30, y: 30 });
        let after = origin.apply(&made.edits);
        prop_assert!(after.is_ok(), "{:?}", after.err());
        let after = after.expect("just looked at");
        let mut names = BTreeSet::new();
        let before: BTreeSet<_> =
            everything(&origin).into_iter().map(|t| (t.kind(), origin.name(t))).collect();
        for thing in &made.fresh {
            let name = (thing.kind(), after.name(*thing));
            prop_assert!(!before.contains(&name) && names.insert(name));
        }
    }

    #[test]
    fn an_excerpt_is_a_scenario_and_remembers_what_was_chosen(
        bytes in scenarios(), bits in any::<[u8; 12]>(),
    ) {
        let origin = lay(&bytes).scenario;
        let things = some_of(&origin, &bits);
        let excerpt = Excerpt::of(&origin, first_phase(&origin), &things);
        let text = excerpt.write();
        let opened = read(&text, Syntax::Ron);
        prop_assert!(opened.is_ok(), "{:?}", opened.err());
        let back = Excerpt::read(&text).expect("just looked at");
        prop_assert_eq!(back.write(), text);
        if !things.is_empty() {
            let names = |e: &Excerpt| -> BTreeSet<_> {
                e.chosen.iter().map(|t| (t.kind(), e.scenario.name(*t))).collect()
            };
            prop_assert_eq!(names(&back), names(&excerpt));
            let rest = back.without(&back.chosen);
            prop_assert!(everything(&rest.scenario).is_empty());
        }
    }
}

#[test]
fn a_whole_incident_hears_alike_in_an_empty_scenario() {
    for scenario in shipped() {
        assert_hears_alike(&scenario, &everything(&scenario), false);
    }
    let made = generate(Size::for_units(60), 3);
    assert_hears_alike(&made, &everything(&made), false);
}

#[test]
fn every_single_thing_of_the_incident_can_be_copied_anywhere() {
    let all = shipped();
    let [incident, others @ ..] = all.as_slice() else {
        panic!("four scenarios are shipped");
    };
    for thing in everything(incident) {
        let one = BTreeSet::from([thing]);
        for target in others.iter().take(2) {
            for sharing in [Sharing::Companions, Sharing::Everything] {
                let grafted = put(incident, &one, target, sharing);
                assert!(target.apply(&grafted.edits).is_ok(), "{thing:?}");
                assert_eq!(grafted.asked.len(), 1);
            }
        }
        let made = duplicate(incident, first_phase(incident), &one, Place::default());
        assert!(incident.apply(&made.edits).is_ok(), "{thing:?}");
        let [copy] = made.asked.as_slice() else {
            panic!("{thing:?} became {:?}", made.asked);
        };
        assert_ne!(*copy, thing);
    }
}

fn two_on_the_air() -> Lab {
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let one = lab.channel(
        "ONE",
        direct,
        150.0,
        150.0,
        tone(100.0),
        crosspatch::model::Mode::Fm,
    );
    lab.on("Engine 1", one);
    lab.on("Command", one);
    let gateway = lab.gateway("Box");
    lab.donor(gateway, 1, 2, one);
    lab
}

#[test]
fn a_duplicate_shares_the_air_and_counts_on() {
    let lab = two_on_the_air();
    let s = &lab.scenario;
    let units: Things = s.units.ids().map(ThingId::from).collect();
    let made = duplicate(s, lab.phase, &units, Place { x: 5, y: 5 });
    let after = s.apply(&made.edits).unwrap();
    let names: Vec<&str> = after.units.iter().map(|u| u.name.as_str()).collect();
    assert_eq!(names, ["Engine 1", "Command", "Engine 2", "Command copy"]);
    assert_eq!((after.channels.len(), after.systems.len()), (1, 1));
    let hearing = Hearing::derive(&after, lab.phase);
    let engine = Party::Unit(s.units.first().unwrap().id);
    assert_eq!(hearing.hearers(engine).len(), 3);
}

#[test]
fn a_gateway_brings_its_donor_and_its_switches() {
    let lab = two_on_the_air();
    let s = &lab.scenario;
    let gateway = s.gateways.first().unwrap().id;
    let one = BTreeSet::from([ThingId::from(gateway)]);
    let made = duplicate(s, lab.phase, &one, Place::default());
    let after = s.apply(&made.edits).unwrap();
    let Some(ThingId::Gateway(copy)) = made.asked.first().copied() else {
        panic!("a gateway becomes a gateway");
    };
    let phase = after.phases.first().unwrap();
    let on_copy: Vec<_> = phase
        .attachments
        .iter()
        .filter(|(p, _)| p.gateway == copy)
        .collect();
    assert_eq!(on_copy.len(), 1);
    let switched: Vec<_> = phase
        .switches
        .iter()
        .filter(|(p, _)| p.gateway == copy)
        .collect();
    assert_eq!(switched.len(), 1);
    assert_eq!(after.radios.len(), s.radios.len() + 1);
    // Without what is attached, the box comes alone.
    let bare = Cutting {
        origin: s,
        phase: lab.phase,
        things: &one,
        attached: false,
    };
    let bed = Bed {
        phase: lab.phase,
        shift: Place::default(),
        sharing: Sharing::Companions,
        same: true,
    };
    let bare = graft(&bare, s, &bed);
    assert_eq!(bare.edits.len(), 1, "{:?}", bare.edits);
}

#[test]
fn a_channel_is_doubled_only_when_nothing_else_is_asked_for() {
    let lab = two_on_the_air();
    let s = &lab.scenario;
    let channel = ThingId::from(s.channels.first().unwrap().id);
    let unit = ThingId::from(s.units.first().unwrap().id);
    let alone = duplicate(s, lab.phase, &BTreeSet::from([channel]), Place::default());
    let after = s.apply(&alone.edits).unwrap();
    let names: Vec<&str> = after.channels.iter().map(|c| c.name.as_str()).collect();
    assert_eq!(names, ["ONE", "ONE copy"]);
    let both = duplicate(
        s,
        lab.phase,
        &BTreeSet::from([channel, unit]),
        Place::default(),
    );
    assert_eq!(both.became.get(&channel), Some(&channel));
}

#[test]
fn a_channel_renamed_on_the_way_still_reads_the_same_on_the_radio() {
    let lab = two_on_the_air();
    let mut other = Lab::new();
    let direct = other.system("Direct", SystemKind::Simplex, 0, 0);
    let mode = crosspatch::model::Mode::Fm;
    other.channel("ONE", direct, 160.0, 160.0, tone(100.0), mode);
    let unit = BTreeSet::from([ThingId::from(lab.scenario.units.first().unwrap().id)]);
    let grafted = put(&lab.scenario, &unit, &other.scenario, Sharing::Companions);
    let after = other.scenario.apply(&grafted.edits).unwrap();
    assert_eq!(after.systems.len(), 1, "plain air is shared");
    let radio = after.radios.first().unwrap();
    let entry = radio.programmed.first().unwrap();
    let channel = after.channels.get(entry.channel).unwrap();
    assert_eq!(channel.name, "ONE copy");
    assert_eq!(entry.label(channel), "ONE");
}

#[test]
fn pasting_an_excerpt_where_it_came_from_doubles_no_agency_and_no_channel() {
    let all = shipped();
    let incident = all.first().unwrap();
    let engine = incident
        .units
        .iter()
        .find(|u| u.name == "Engine 1")
        .unwrap();
    let one = BTreeSet::from([ThingId::from(engine.id)]);
    let text = Excerpt::of(incident, first_phase(incident), &one).write();
    let excerpt = Excerpt::read(&text).unwrap();
    assert_eq!(excerpt.chosen.len(), 1);
    let grafted = put(
        &excerpt.scenario,
        &excerpt.chosen,
        incident,
        Sharing::Companions,
    );
    let after = incident.apply(&grafted.edits).unwrap();
    let count = |s: &Scenario| (s.agencies.len(), s.channels.len(), s.systems.len());
    assert_eq!(count(&after), count(incident));
    assert_eq!(after.units.len(), incident.units.len() + 1);
    let Some(ThingId::Unit(copy)) = grafted.asked.first().copied() else {
        panic!("a unit becomes a unit");
    };
    let copy = after.units.get(copy).unwrap();
    assert_eq!((copy.agency, copy.heads), (engine.agency, engine.heads));
    assert_ne!(copy.name, engine.name);
}

#[test]
fn places_move_by_the_shift() {
    let all = shipped();
    let incident = all.first().unwrap();
    let placed: Things = incident.places.keys().copied().collect();
    let grafted = put(
        incident,
        &placed,
        &Scenario::new("Empty"),
        Sharing::Companions,
    );
    let after = Scenario::new("Empty").apply(&grafted.edits).unwrap();
    let mut moved = 0;
    for (thing, place) in &incident.places {
        let Some(copy) = grafted.became.get(thing) else {
            continue;
        };
        let expected = Place {
            x: place.x + 40,
            y: place.y - 7,
        };
        assert_eq!(after.places.get(copy), Some(&expected));
        moved += 1;
    }
    assert_eq!(moved == 0, incident.places.is_empty());
}

#[test]
fn things_that_are_not_there_are_passed_over() {
    let target = Scenario::new("Empty");
    let gone = BTreeSet::from([ThingId::Unit(crosspatch::model::UnitId(77))]);
    let made = duplicate(&target, first_phase(&target), &gone, Place::default());
    assert_eq!(made, Grafted::default());
    let thing: Option<Thing> = target.thing(ThingId::Unit(crosspatch::model::UnitId(77)));
    assert_eq!(thing, None);
}
