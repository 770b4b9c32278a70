//! Talk groups side by side, and what a switch would change, against counts by hand.

use std::sync::Arc;

use crosspatch::engineering::traffic::erlang_c::Waiting;
use crosspatch::hearing::Hearing;
use crosspatch::model::{
    AccessCode, Edit, GatewayId, Mode, Party, PortRef, Role, SystemKind, TalkGroupRef, Unit, UnitId,
};
use crosspatch::picture::{Picture, lanes, what_if};

use crate::lab::Lab;

/// Three nets on three donors of one gateway: two joined, the third alone.
fn three_nets() -> (Lab, GatewayId, [UnitId; 3]) {
    let mut lab = Lab::new();
    let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
    let nets = [("A", 155.7525), ("B", 453.2125), ("C", 460.325)];
    let channels =
        nets.map(|(name, mhz)| lab.channel(name, direct, mhz, mhz, AccessCode::None, Mode::Fm));
    let units = [
        lab.on("One", channels[0]),
        lab.on("Two", channels[1]),
        lab.on("Three", channels[2]),
    ];
    for (channel, role) in channels
        .into_iter()
        .zip([Role::Command, Role::Tactical, Role::Air])
    {
        let mut found = lab.scenario.channels.get(channel).expect("laid").clone();
        found.purpose = Some(role);
        lab.apply(&[Edit::Replace(found.into())]);
    }
    let gateway = lab.gateway("Box");
    lab.donor(gateway, 1, 1, channels[0]);
    lab.donor(gateway, 2, 1, channels[1]);
    lab.donor(gateway, 3, 2, channels[2]);
    (lab, gateway, units)
}

fn picture(lab: &Lab) -> Picture {
    Picture::new(Arc::new(lab.scenario.clone()), lab.phase)
}

#[test]
fn every_port_stands_in_one_lane_and_the_lane_of_none_is_last() {
    let (mut lab, gateway, _) = three_nets();
    let port = PortRef { gateway, port: 3 };
    let phase = lab.phase;
    let group = None;
    lab.apply(&[Edit::Switch { phase, port, group }]);
    let picture = picture(&lab);
    let found = lanes::of(&picture, gateway);
    let groups: Vec<Option<u8>> = found.iter().map(|l| l.group.map(|g| g.group)).collect();
    let described = lab.scenario.gateways.get(gateway).unwrap();
    let numbers = described.talk_groups.iter().map(|g| Some(g.number));
    assert_eq!(groups, numbers.chain([None]).collect::<Vec<_>>());
    let mut ports: Vec<PortRef> = found.iter().flat_map(|l| l.ports.clone()).collect();
    ports.sort_unstable();
    assert_eq!(ports, described.port_refs().collect::<Vec<_>>());
    let first = &found[0];
    assert_eq!(first.purposes, [Role::Command, Role::Tactical].into());
    assert!(found.last().unwrap().ports.contains(&port));
}

#[test]
fn the_loads_of_a_lane_are_those_of_its_nets_before_and_after_joining() {
    let (lab, gateway, _) = three_nets();
    let picture = picture(&lab);
    let found = lanes::of(&picture, gateway);
    let lane = &found[0];
    let net = lane.net(&picture).expect("audio is on it");
    assert_eq!(lane.shares.len(), 2);
    let own: f64 = lane.shares.iter().map(|s| s.own_erl).sum();
    assert!((own - net.all_erl).abs() < 1e-12, "{own} {}", net.all_erl);
    for share in &lane.shares {
        assert!((share.all_erl - net.all_erl).abs() < 1e-12);
        assert!(share.own_erl > 0.0 && share.own_erl < share.all_erl);
    }
    let before = lane.longest_before_s().expect("queues settle");
    let Waiting::Settles { mean_wait_s, .. } = net.now else {
        unreachable!("a small load settles");
    };
    assert!(before > 0.0 && before < mean_wait_s);
    // The third net is alone on its lane: nothing joined, nothing changed.
    let alone = &found[1];
    assert_eq!(alone.shares.len(), 1);
    let share = &alone.shares[0];
    assert!((share.own_erl - share.all_erl).abs() < 1e-12);
    assert_eq!(share.before, share.now);
}

#[test]
fn a_switch_is_tried_out_without_changing_anything() {
    let (lab, gateway, units) = three_nets();
    let [one, two, three] = units.map(Party::Unit);
    let now = Hearing::derive(&lab.scenario, lab.phase);
    let before = lab.scenario.clone();
    let port = PortRef { gateway, port: 2 };
    let moved = what_if::switched(&lab.scenario, &now, lab.phase, port, Some(2)).unwrap();
    assert_eq!(lab.scenario, before);
    let mut gained = vec![(two, three), (three, two)];
    let mut lost = vec![(one, two), (two, one)];
    gained.sort_unstable();
    lost.sort_unstable();
    assert_eq!(moved.gained, gained);
    assert_eq!(moved.lost, lost);
    // What was said is what comes true.
    let phase = lab.phase;
    let group = Some(2);
    let after = lab
        .scenario
        .apply(&[Edit::Switch { phase, port, group }])
        .unwrap();
    let then = Hearing::derive(&after, phase);
    assert!(then.arrival(two, three).is_some() && then.arrival(one, two).is_none());
    // Where it is already, nothing moves; where there is no such group, nothing is said.
    let same = what_if::switched(&lab.scenario, &now, phase, port, Some(1)).unwrap();
    assert_eq!(same, what_if::Moved::default());
    let nowhere = what_if::switched(&lab.scenario, &now, phase, port, Some(99));
    assert_eq!(nowhere, None);
    let group = TalkGroupRef { gateway, group: 1 };
    assert!(picture(&lab).traffic().groups.contains_key(&group));
}

#[test]
fn a_plan_of_very_many_parties_is_not_tried_out() {
    let (mut lab, gateway, units) = three_nets();
    let unit = lab.scenario.units.get(units[0]).expect("laid").clone();
    let many: Vec<Edit> = (0..what_if::MOST_PARTIES as u32)
        .map(|i| {
            let id = UnitId(lab.scenario.mint(i));
            let key = String::new();
            Edit::Add(
                Unit {
                    id,
                    key,
                    ..unit.clone()
                }
                .into(),
            )
        })
        .collect();
    lab.apply(&many);
    let now = Hearing::derive(&lab.scenario, lab.phase);
    assert!(now.parties().len() > what_if::MOST_PARTIES);
    let port = PortRef { gateway, port: 2 };
    let moved = what_if::switched(&lab.scenario, &now, lab.phase, port, Some(2));
    assert_eq!(moved, None);
}
