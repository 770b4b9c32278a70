//! How pairs sound and how needs stand, held against explained paths, against the findings of the
//! checks, and against counting each pair.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crosspatch::checks;
use crosspatch::hearing::Secrecy;
use crosspatch::model::{Finding, Scenario, ThingId, Value};
use crosspatch::picture::Picture;
use crosspatch::picture::sounds::{Asked, Sound};
use crosspatch::picture::standing::{NeedState, Standing, met_by, met_in};
use crosspatch::samples::{Size, generate};
use proptest::prelude::{prop_assert_eq, proptest};

use crate::draws::cases;
use crate::hearing::random::{lay, scenarios};

fn pictures(scenario: &Scenario) -> Vec<Picture> {
    let shared = Arc::new(scenario.clone());
    let phases = scenario.phases.ids();
    phases
        .map(|phase| Picture::new(Arc::clone(&shared), phase))
        .collect()
}

fn shipped() -> Vec<Picture> {
    let samples = crosspatch::samples::SHIPPED.iter();
    samples
        .flat_map(|sample| {
            let syntax = crosspatch::format::Syntax::of_name(sample.file_name);
            let scenario = crosspatch::format::read(sample.text, syntax);
            pictures(&scenario.expect("shipped scenarios open"))
        })
        .collect()
}

/// The findings, with those that somebody has accepted.
fn findings(picture: &Picture) -> Vec<Finding> {
    let report = checks::run_all(picture);
    report.open.into_iter().chain(report.accepted).collect()
}

fn subjects(findings: &[Finding], codes: &[&str]) -> BTreeSet<ThingId> {
    let of_code = findings.iter().filter(|f| codes.contains(&f.code));
    of_code.map(|f| f.subject).collect()
}

proptest! {
    #![proptest_config(cases(400))]

    #[test]
    fn what_begins_encrypted_and_ends_in_clear_is_what_the_paths_say(bytes in scenarios()) {
        let lab = lay(&bytes);
        let picture = Picture::new(Arc::new(lab.scenario.clone()), lab.phase);
        let (hearing, sounds) = (picture.hearing(), picture.sounds());
        for (from, speaker) in hearing.parties().iter().enumerate() {
            for (to, hearer) in hearing.parties().iter().enumerate() {
                let path = hearing.path(&lab.scenario, *speaker, *hearer);
                let ends = path.is_some_and(|p| matches!(p.secrecy, Secrecy::Ends { .. }));
                let facts = sounds.facts(hearing, from, to);
                if from != to {
                    prop_assert_eq!(facts.opened, ends, "{:?} to {:?}", speaker, hearer);
                }
            }
        }
    }

    #[test]
    fn the_table_says_of_each_pair_what_its_facts_say(bytes in scenarios()) {
        let lab = lay(&bytes);
        let picture = Picture::new(Arc::new(lab.scenario.clone()), lab.phase);
        let (hearing, sounds) = (picture.hearing(), picture.sounds());
        let count = hearing.parties().len();
        let mut counted: BTreeMap<Sound, usize> = Sound::ALL.iter().map(|s| (*s, 0)).collect();
        for from in 0..count {
            for to in 0..count {
                let Some(sound) = sounds.at(hearing, from, to) else {
                    prop_assert_eq!(from, to);
                    continue;
                };
                let asked = sounds.wanted(from, to).map(|w| w.asked).unwrap_or_default();
                prop_assert_eq!(sound, sounds.facts(hearing, from, to).sound(asked));
                *counted.entry(sound).or_default() += 1;
            }
        }
        prop_assert_eq!(sounds.tally(hearing), Some(counted));
        let (some, others): (Vec<usize>, Vec<usize>) = (0..count).partition(|p| p % 3 > 0);
        for (from, to) in [(&some, &others), (&some, &some)] {
            let pairs: Vec<_> = from.iter().flat_map(|a| to.iter().map(move |b| (*a, *b))).collect();
            let all = pairs.iter().filter(|(a, b)| a != b).count();
            let heard = pairs.iter().filter(|(a, b)| {
                sounds.at(hearing, *a, *b).is_some_and(|s| s != Sound::Silent)
            });
            prop_assert_eq!(sounds.heard_between(hearing, from, to), (heard.count(), all));
        }
        for (from, party) in hearing.parties().iter().enumerate() {
            prop_assert_eq!(sounds.hearers(hearing, from), hearing.hearers(*party).len());
        }
    }
}

#[test]
fn one_way_pairs_are_as_many_as_the_findings_count() {
    let mut some = 0;
    for picture in shipped() {
        let (hearing, sounds) = (picture.hearing(), picture.sounds());
        let count = hearing.parties().len();
        let pairs = (0..count).flat_map(|a| (0..count).map(move |b| (a, b)));
        let one_way = pairs
            .filter(|(a, b)| a != b && sounds.facts(hearing, *a, *b).one_way)
            .count();
        let told: f64 = findings(&picture)
            .iter()
            .filter(|f| f.code == "R03")
            .flat_map(|f| &f.evidence)
            .map(|e| match e.value {
                Value::Number(value) => value,
                _ => 0.0,
            })
            .sum();
        assert!((told - one_way as f64).abs() < 0.5, "{told} and {one_way}");
        some += one_way;
    }
    assert!(some > 0, "some shipped plan has one");
}

#[test]
fn needs_stand_as_the_findings_say() {
    let mut seen = BTreeSet::new();
    for picture in shipped() {
        let findings = findings(&picture);
        let met = met_in(picture.scenario(), picture.phase_id());
        assert_eq!(met, met_by(picture.scenario(), picture.hearing()));
        let late = subjects(&findings, &["T02", "T03"]);
        let unheard = subjects(&findings, &["R01"]);
        let in_clear = subjects(&findings, &["E04"]);
        let by_scan = subjects(&findings, &["R05"]);
        let joined = subjects(&findings, &["R06"]);
        for need in picture.scenario().needs.iter() {
            let state = NeedState::of(&picture, need);
            let id = ThingId::from(need.id);
            assert_eq!(
                !state.joined.is_empty(),
                joined.contains(&id),
                "{}",
                need.name
            );
            let has = |fault| !state.with(fault).is_empty();
            assert_eq!(has(Sound::Late), late.contains(&id), "{}", need.name);
            assert_eq!(has(Sound::Silent), unheard.contains(&id), "{}", need.name);
            assert_eq!(has(Sound::ByScan), by_scan.contains(&id), "{}", need.name);
            if need.encrypted {
                assert_eq!(has(Sound::InClear), in_clear.contains(&id), "{}", need.name);
            }
            assert_eq!(met[&need.id], state.standing.is_met(), "{}", need.name);
            seen.insert(state.standing);
        }
    }
    for standing in [Standing::Met, Standing::MetWithFaults, Standing::Unmet] {
        assert!(seen.contains(&standing), "{standing:?} among {seen:?}");
    }
}

#[test]
fn a_large_plan_is_counted_whole() {
    let size = Size {
        units: 600,
        channels: 60,
        gateways: 10,
    };
    let scenario = generate(size, 5);
    let picture = pictures(&scenario).remove(0);
    let (hearing, sounds) = (picture.hearing(), picture.sounds());
    let count = hearing.parties().len();
    let tally = sounds.tally(hearing).expect("not too many");
    assert_eq!(tally.values().sum::<usize>(), count * (count - 1));
    let heard: usize = hearing
        .parties()
        .iter()
        .map(|p| hearing.hearers(*p).len())
        .sum();
    assert_eq!(tally[&Sound::Silent], count * (count - 1) - heard);
    assert_eq!(Asked::default().limit_ms, 400);
}
