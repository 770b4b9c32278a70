//! Laws that hold for every scenario, and agreement with the slow reference.

use std::collections::BTreeSet;

use crosspatch::hearing::why_not::why_not;
use crosspatch::hearing::{Hearing, Secrecy, StepKind};
use crosspatch::model::{AccessCode, Edit, Mode, Party, PhaseId, Scenario, SystemKind, ThingId};
use crosspatch::samples::{Size, generate};
use proptest::prelude::{any, prop_assert, prop_assert_eq, proptest};
use proptest::sample::Index;

use super::random::{lay, scenarios};
use super::reference;
use crate::draws::cases;
use crate::lab::{Lab, aes, matrix, tone};

type Pairs = BTreeSet<(Party, Party)>;

fn pairs(scenario: &Scenario, phase: PhaseId) -> Pairs {
    let hearing = Hearing::derive(scenario, phase);
    let parties = hearing.parties().to_vec();
    parties
        .iter()
        .flat_map(|from| {
            hearing
                .hearers(*from)
                .into_iter()
                .map(|(to, _)| (*from, to))
        })
        .collect()
}

proptest! {
    #![proptest_config(cases(3000))]

    #[test]
    fn the_derivation_agrees_with_the_slow_reference(bytes in scenarios()) {
        let lab = lay(&bytes);
        let phase = lab.scenario.phases.first().expect("a phase");
        let hearing = lab.hearing();
        for from in hearing.parties() {
            let fast: BTreeSet<Party> =
                hearing.hearers(*from).into_iter().map(|(party, _)| party).collect();
            let slow = reference::hearers(&lab.scenario, phase, *from);
            prop_assert_eq!(&fast, &slow, "when {:?} speaks", from);
        }
    }
}

proptest! {
    #![proptest_config(cases(400))]

    #[test]
    fn a_port_on_no_group_never_lets_anyone_hear_more(bytes in scenarios(), which in any::<Index>()) {
        let lab = lay(&bytes);
        let before = pairs(&lab.scenario, lab.phase);
        let phase = lab.scenario.phases.first().expect("a phase");
        let ports: Vec<_> = phase.attachments.keys().copied().collect();
        let port = ports[which.index(ports.len())];
        let after = lab.scenario.apply(&[Edit::Switch { phase: lab.phase, port, group: None }]).expect("legal");
        prop_assert!(pairs(&after, lab.phase).is_subset(&before));
    }

    #[test]
    fn adding_a_key_never_removes_a_hearer(bytes in scenarios(), which in any::<Index>(), key in 0_u16..3) {
        let lab = lay(&bytes);
        let before = pairs(&lab.scenario, lab.phase);
        let radios: Vec<_> = lab.scenario.radios.ids().collect();
        let radio = radios[which.index(radios.len())];
        let after = lab.scenario.apply(&[Edit::LoadKey { radio, key: aes(key) }]).expect("legal");
        prop_assert!(before.is_subset(&pairs(&after, lab.phase)));
    }

    #[test]
    fn renaming_changes_nothing(bytes in scenarios(), suffix in "[a-z]{1,6}") {
        let lab = lay(&bytes);
        let s = &lab.scenario;
        let things: Vec<ThingId> = s.units.ids().map(ThingId::from)
            .chain(s.channels.ids().map(ThingId::from))
            .chain(s.radios.ids().map(ThingId::from))
            .chain(s.gateways.ids().map(ThingId::from))
            .chain(s.systems.ids().map(ThingId::from))
            .collect();
        let edits: Vec<Edit> = things.into_iter().filter_map(|id| {
            let mut thing = s.thing(id)?;
            *thing.name_mut() = format!("{suffix} {}", thing.name().len());
            Some(Edit::Replace(thing))
        }).collect();
        let after = s.apply(&edits).expect("legal");
        prop_assert_eq!(matrix(s, lab.phase), matrix(&after, lab.phase));
    }

    #[test]
    fn the_fewest_changes_do_join_the_pair(bytes in scenarios(), a in any::<Index>(), b in any::<Index>()) {
        let lab = lay(&bytes);
        let hearing = lab.hearing();
        let parties = hearing.parties();
        let (from, to) = (parties[a.index(parties.len())], parties[b.index(parties.len())]);
        let answer = why_not(&lab.scenario, lab.phase, from, to);
        if from == to || hearing.arrival(from, to).is_some() {
            prop_assert!(answer.changes.is_empty());
        } else if answer.proved {
            let after = lab.scenario.apply(&answer.edits()).expect("proposals are legal");
            let then = Hearing::derive(&after, lab.phase);
            prop_assert!(then.arrival(from, to).is_some(), "{:?}", answer);
            for (speaker, hearer) in &answer.cuts {
                prop_assert!(hearing.arrival(*speaker, *hearer).is_some());
                prop_assert!(then.arrival(*speaker, *hearer).is_none());
            }
            // Fewest: no single change that was found is superfluous.
            for left_out in 0..answer.changes.len() {
                let fewer: Vec<Edit> = answer.changes.iter().enumerate()
                    .filter(|(i, _)| *i != left_out)
                    .flat_map(|(_, c)| c.edits.clone())
                    .collect();
                // A later edit of the same entry carries the earlier one; those cannot be judged singly.
                let same_radio = answer.changes.iter().filter(|c| {
                    c.things.first() == answer.changes[left_out].things.first()
                }).count() > 1;
                if !same_radio && let Ok(less) = lab.scenario.apply(&fewer) {
                    prop_assert!(
                        Hearing::derive(&less, lab.phase).arrival(from, to).is_none(),
                        "{} is not needed", answer.changes[left_out].title
                    );
                }
            }
        }
        // What edits alone can do was tried; the rest asks for hands.
        let needs_hands = answer.changes.iter().any(|c| c.edits.is_empty());
        prop_assert!(answer.changes.is_empty() || answer.proved != needs_hands, "{:?}", answer);
    }

    #[test]
    fn a_path_adds_up_and_touches_only_what_exists(bytes in scenarios()) {
        let lab = lay(&bytes);
        let hearing = lab.hearing();
        for from in hearing.parties() {
            for path in hearing.message(&lab.scenario, *from) {
                let arrival = hearing.arrival(*from, path.to).expect("a path is an arrival");
                prop_assert_eq!(arrival, path.arrival);
                prop_assert_eq!(path.steps.iter().map(|s| s.delay_ms).sum::<u32>(), arrival.delay_ms);
                prop_assert_eq!(path.steps.iter().map(|s| s.clipped_ms).sum::<u32>(), arrival.clipped_ms);
                prop_assert!(path.steps.iter().all(|s| lab.scenario.contains(s.at)));
                prop_assert_eq!(path.steps.first().map(|s| s.at), Some(ThingId::from(*from)));
                prop_assert_eq!(path.steps.last().map(|s| s.at), Some(ThingId::from(path.to)));
                let scans = path.steps.iter().any(|s| matches!(s.what, StepKind::Receives { by_scan: true, .. }));
                prop_assert_eq!(scans, arrival.by_scan);
                prop_assert_eq!(arrival.encrypted, matches!(path.secrecy, Secrecy::Kept { .. }));
                if let Secrecy::Ends { listeners, .. } = &path.secrecy {
                    prop_assert!(listeners.contains(&path.to));
                }
            }
        }
    }

    #[test]
    fn symmetric_programming_gives_symmetric_hearing(tones in proptest::collection::vec(0_usize..2, 4), groups in proptest::collection::vec(0_u8..3, 4)) {
        // Everybody sends and asks for the same code, so every path is duplex.
        let mut lab = Lab::new();
        let direct = lab.system("Direct", SystemKind::Simplex, 0, 0);
        let hill = lab.system("Hill", SystemKind::Repeater, 0, 20);
        let gateway = lab.gateway("Box");
        for (number, (code, group)) in tones.iter().zip(&groups).enumerate() {
            let code = [tone(100.0), AccessCode::None][*code];
            let base = 150.0 + number as f64;
            let channel = if number % 2 == 0 {
                lab.channel(&format!("C{number}"), direct, base, base, code, Mode::Fm)
            } else {
                lab.channel(&format!("C{number}"), hill, base, base + 5.0, code, Mode::Fm)
            };
            lab.on(&format!("U{number}"), channel);
            lab.donor(gateway, number as u8 + 1, 1, channel);
            lab.switch(gateway, number as u8 + 1, (*group > 0).then_some(*group));
        }
        let pairs = pairs(&lab.scenario, lab.phase);
        prop_assert!(pairs.iter().all(|(a, b)| pairs.contains(&(*b, *a))));
        let joined = groups.iter().filter(|group| matches!(group, 1)).count();
        prop_assert!(pairs.len() >= joined * joined.saturating_sub(1));
    }
}

#[test]
fn a_plan_large_enough_to_be_shared_out_is_heard_the_same() {
    let size = Size {
        units: 4_000,
        channels: 700,
        gateways: 60,
    };
    let scenario = generate(size, 3);
    let phase = scenario.phases.first().expect("a phase");
    let hearing = Hearing::derive(&scenario, phase.id);
    for from in hearing.parties().iter().step_by(1_300) {
        let fast: BTreeSet<Party> = hearing.hearers(*from).into_iter().map(|(p, _)| p).collect();
        assert_eq!(
            fast,
            reference::hearers(&scenario, phase, *from),
            "{from:?}"
        );
    }
}
