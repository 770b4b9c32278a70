//! The ways between people say the same as the derivation, whatever fails.

use std::collections::BTreeSet;
use std::sync::Arc;

use crosspatch::engineering::reliability::Failed;
use crosspatch::hearing::{Hearing, Hops, Item};
use crosspatch::model::{
    AccessCode, Attachment, Edit, Mode, Need, NeedId, Party, PhaseId, Priority, Scenario,
    SystemKind, ThingId, Way,
};
use crosspatch::picture::standing::{NeedState, Standing};
use crosspatch::picture::{Picture, resilience, what_if};
use proptest::prelude::{prop_assert, prop_assert_eq, proptest};

use crate::draws::cases;
use crate::hearing::random::{lay, scenarios};
use crate::lab::Lab;

fn pairs(hearing: &Hearing) -> Vec<(Party, Party)> {
    let parties = hearing.parties();
    let all = parties
        .iter()
        .flat_map(|a| parties.iter().map(|b| (*a, *b)));
    all.filter(|(a, b)| a != b).collect()
}

/// Everybody who is heard, after items are taken out of the scenario and it is derived again.
fn heard_without(
    scenario: &Scenario,
    phase: PhaseId,
    hearing: &Hearing,
    item: Item,
) -> BTreeSet<(Party, Party)> {
    let lost = what_if::without(scenario, hearing, phase, &[item]);
    let all = pairs(hearing).into_iter();
    all.filter(|(a, b)| hearing.arrival(*a, *b).is_some())
        .filter(|pair| !lost.pairs.contains(pair))
        .collect()
}

proptest! {
    #![proptest_config(cases(600))]

    #[test]
    fn there_is_a_way_just_where_somebody_is_heard(bytes in scenarios()) {
        let lab = lay(&bytes);
        let hearing = lab.hearing();
        let parties: BTreeSet<Party> = hearing.parties().iter().copied().collect();
        let ways = hearing.ways(&lab.scenario, &parties, Hops::Any);
        let none = Failed::new();
        for (from, to) in pairs(&hearing) {
            let way = ways.way(&[(from, to)], &none);
            prop_assert_eq!(
                way.is_some(),
                hearing.arrival(from, to).is_some(),
                "{:?} to {:?}", from, to
            );
        }
    }

    #[test]
    fn an_encrypted_way_is_there_just_where_it_can_be_kept(bytes in scenarios()) {
        let lab = lay(&bytes);
        let hearing = lab.hearing();
        let parties: BTreeSet<Party> = hearing.parties().iter().copied().collect();
        let ways = hearing.ways(&lab.scenario, &parties, Hops::Encrypted);
        for (from, to) in pairs(&hearing) {
            // The derivation prefers the soonest way; where that one is encrypted, there is one.
            if hearing.arrival(from, to).is_some_and(|a| a.encrypted) {
                prop_assert!(ways.way(&[(from, to)], &Failed::new()).is_some());
            }
            if hearing.arrival(from, to).is_none() {
                prop_assert!(ways.way(&[(from, to)], &Failed::new()).is_none());
            }
        }
    }

    #[test]
    fn taking_an_item_out_of_the_ways_is_taking_it_out_of_the_scenario(bytes in scenarios()) {
        let lab = lay(&bytes);
        let hearing = lab.hearing();
        let parties: BTreeSet<Party> = hearing.parties().iter().copied().collect();
        let ways = hearing.ways(&lab.scenario, &parties, Hops::Any);
        for (number, item) in ways.items().iter().enumerate() {
            let failed = Failed::from(&[number as u32][..]);
            let still = heard_without(&lab.scenario, lab.phase, &hearing, *item);
            for (from, to) in pairs(&hearing) {
                if [from, to].map(|p| Item::Thing(p.into())).contains(item) {
                    continue;
                }
                let is_way = ways.way(&[(from, to)], &failed).is_some();
                let is_heard = still.contains(&(from, to));
                // A channel or system taken out of the scenario takes programming with it that
                // would still hear a neighbour's signal; never the other way round.
                let takes_more = matches!(
                    item,
                    Item::Thing(ThingId::Channel(_) | ThingId::System(_))
                );
                prop_assert!(
                    is_way == is_heard || (takes_more && is_way),
                    "{:?} to {:?} without {:?}: {} and {}", from, to, item, is_way, is_heard
                );
            }
        }
    }
}

/// Two units on two channels, joined by two gateways.
fn two_boxes() -> (Lab, Need) {
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let [a, b] = [("A", 150.0), ("B", 460.0)]
        .map(|(name, mhz)| lab.channel(name, direct, mhz, mhz, AccessCode::None, Mode::Fm));
    let (one, two) = (lab.on("One", a), lab.on("Two", b));
    for name in ["East", "West"] {
        let gateway = lab.gateway(name);
        lab.donor(gateway, 1, 1, a);
        lab.donor(gateway, 2, 1, b);
    }
    let need = Need {
        id: NeedId(lab.scenario.mint(0)),
        key: "need".to_owned(),
        name: "One and Two".to_owned(),
        from: BTreeSet::from([Party::Unit(one)]),
        to: BTreeSet::from([Party::Unit(two)]),
        way: Way::TwoWay,
        priority: Priority::LifeSafety,
        encrypted: false,
        max_delay_ms: None,
        notes: String::new(),
    };
    lab.apply(&[Edit::Add(need.clone().into())]);
    (lab, need)
}

fn names(scenario: &Scenario, items: &[Item]) -> Vec<String> {
    items.iter().map(|i| i.name(scenario)).collect()
}

#[test]
fn with_two_gateways_no_gateway_is_a_single_point_of_failure() {
    let (lab, need) = two_boxes();
    let picture = Picture::new(Arc::new(lab.scenario.clone()), lab.phase);
    let breaks = picture.need_ways().breaks(&picture, &need);
    let singles = names(&lab.scenario, &breaks.singles);
    assert_eq!(singles, ["A", "B", "One radio", "Two radio"]);
    assert!(breaks.whole);
    // Every pair of one item of either box cuts it: box, power, two ports, two donors, two cables.
    assert_eq!(breaks.doubles.len(), 8 * 8);
    assert_eq!(breaks.ways.len(), 1, "both ways share the channels");
}

/// The need of [`two_boxes`] turned round: both must be kept apart.
fn kept_apart() -> (Lab, Need) {
    let (mut lab, need) = two_boxes();
    let way = Way::Apart;
    let apart = Need { way, ..need };
    lab.apply(&[Edit::Replace(apart.clone().into())]);
    (lab, apart)
}

#[test]
fn a_need_to_be_apart_is_met_when_nobody_hears_and_nothing_that_fails_breaks_it() {
    let (mut lab, need) = kept_apart();
    let met = |lab: &Lab| resilience::is_met(&lab.hearing(), &need);
    assert!(!met(&lab), "two gateways join them");
    let picture = Picture::new(Arc::new(lab.scenario.clone()), lab.phase);
    let state = NeedState::of(&picture, &need);
    assert_eq!(state.standing, Standing::Unmet);
    assert_eq!(state.joined.len(), 2, "one hears the other, and back");
    assert!(need.pairs_to_hear().is_empty());
    assert!(picture.need_ways().all_singles(&lab.scenario).is_empty());
    let mut items = Vec::new();
    for gateway in lab.scenario.gateways.ids() {
        items.push(Item::Thing(gateway.into()));
    }
    let lost = what_if::without(&lab.scenario, &lab.hearing(), lab.phase, &items);
    assert_eq!(lost.pairs.len(), 2);
    assert!(lost.needs.is_empty(), "to lose each other is what is asked");
    let ports: Vec<_> = lab
        .scenario
        .gateways
        .iter()
        .flat_map(crosspatch::model::Gateway::port_refs)
        .collect();
    let off = ports.iter().map(|port| Edit::Switch {
        phase: lab.phase,
        port: *port,
        group: None,
    });
    let off: Vec<Edit> = off.collect();
    lab.apply(&off);
    assert!(met(&lab));
    let now = lab.hearing();
    let picture = Picture::new(Arc::new(lab.scenario.clone()), lab.phase);
    let state = NeedState::of(&picture, &need);
    assert_eq!((state.standing, state.pairs), (Standing::Met, 2));
    assert_eq!(state.standing.words(need.keeps_apart()), "kept apart");
    // The first port alone joins nobody; with the second of its box it does, and the need says so.
    let first = Edit::Switch {
        phase: lab.phase,
        port: ports[0],
        group: Some(1),
    };
    lab.apply(&[first]);
    let moved = what_if::switched(&lab.scenario, &now, lab.phase, ports[1], Some(1));
    let moved = moved.expect("a switch that there is");
    assert_eq!(moved.unmet, [need.id]);
    assert_eq!(moved.gained.len(), 2);
}

#[test]
fn what_must_be_apart_is_neither_encrypted_nor_late() {
    let (lab, need) = kept_apart();
    let secret = Need {
        encrypted: true,
        ..need.clone()
    };
    let late = Need {
        max_delay_ms: Some(300),
        ..need
    };
    for wrong in [secret, late] {
        let refused = lab.scenario.apply(&[Edit::Replace(wrong.into())]);
        let words = refused.err().map(|e| e.to_string()).unwrap_or_default();
        assert!(words.contains("kept apart"), "{words}");
    }
}

#[test]
fn the_chance_of_a_need_is_the_textbook_value_of_its_diagram() {
    let (mut lab, need) = two_boxes();
    let mut practice = lab.scenario.practice.clone();
    for setting in crosspatch::model::Practice::SETTINGS {
        if setting.key.ends_with("_up") {
            setting.put(&mut practice, 1.0);
        }
    }
    practice.gateway_up = 0.9;
    practice.channel_up = 0.99;
    lab.apply(&[Edit::SetPractice(Box::new(practice))]);
    let picture = Picture::new(Arc::new(lab.scenario.clone()), lab.phase);
    let breaks = picture.need_ways().breaks(&picture, &need);
    let chance = breaks.chance.expect("it can be worked out");
    // Series of two channels and of two gateways in parallel: textbook, from memory.
    let expected = 0.99 * 0.99 * (1.0 - 0.1 * 0.1);
    assert!((chance.value - expected).abs() < 1e-12, "{chance:?}");
    assert_eq!(chance.error, None);
}

#[test]
fn people_with_a_set_each_do_not_hang_on_one_set() {
    let (mut lab, need) = two_boxes();
    let one = lab
        .scenario
        .units
        .iter()
        .find(|u| u.name == "One")
        .expect("laid")
        .clone();
    lab.apply(&[Edit::Replace(
        crosspatch::model::Unit { heads: 3, ..one }.into(),
    )]);
    let picture = Picture::new(Arc::new(lab.scenario.clone()), lab.phase);
    let singles = picture.need_ways().singles(&lab.scenario, &need);
    assert_eq!(names(&lab.scenario, &singles), ["A", "B", "Two radio"]);
}

#[test]
fn what_is_lost_with_a_box_is_what_the_box_alone_joined() {
    let (mut lab, _) = two_boxes();
    let hearing = lab.hearing();
    let boxes: Vec<_> = lab.scenario.gateways.ids().collect();
    let without = |lab: &Lab, hearing: &Hearing, items: &[Item]| {
        what_if::without(&lab.scenario, hearing, lab.phase, items)
    };
    let east = Item::Thing(boxes[0].into());
    let west = Item::Thing(boxes[1].into());
    assert_eq!(without(&lab, &hearing, &[east]), what_if::Lost::default());
    let both = without(&lab, &hearing, &[east, west]);
    assert_eq!((both.pairs.len(), both.needs.len()), (2, 1));
    // With one cable out of the other box, the first one carries it all.
    lab.apply(&[Edit::Attach {
        phase: lab.phase,
        port: crosspatch::model::PortRef {
            gateway: boxes[1],
            port: 1,
        },
        attachment: None::<Attachment>,
    }]);
    let hearing = lab.hearing();
    assert_eq!(without(&lab, &hearing, &[east]).pairs.len(), 2);
    let power = Item::PowerOf(boxes[0]);
    assert_eq!(without(&lab, &hearing, &[power]).needs.len(), 1);
}

#[test]
fn the_needs_of_a_plan_are_ranked_by_what_they_hang_on() {
    let (a, b) = (NeedId(1), NeedId(2));
    let item = |n| Item::PowerOf(crosspatch::model::GatewayId(n));
    let lists = [(a, vec![item(1), item(2)]), (b, vec![item(2)])];
    let ranked = resilience::worst(lists.iter().map(|(n, items)| (*n, items.as_slice())));
    assert_eq!(ranked, [(item(2), vec![a, b]), (item(1), vec![a])]);
}
