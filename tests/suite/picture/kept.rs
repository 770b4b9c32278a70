//! What is kept through an edit is what working everything out again says: through every kind of edit,
//! on generated plans, on the shipped ones and on those that make each check fire.

use std::collections::BTreeMap;
use std::sync::Arc;

use crosspatch::checks::{self, Found};
use crosspatch::format::{Syntax, read};
use crosspatch::hearing::Hearing;
use crosspatch::model::{Edit, Fact, NeedId, Party, PortRef, Programmed, Scenario, Verified, Way};
use crosspatch::picture::Picture;
use crosspatch::picture::facets::Facets;
use crosspatch::samples::{SHIPPED, Size, generate};
use proptest::prelude::{any, proptest};

use crate::draws::cases;

/// Numbers that look random and are the same in every run.
pub(super) struct Numbers(pub(super) u64);

impl Numbers {
    fn below(&mut self, end: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1);
        (self.0 >> 33) as usize % end.max(1)
    }

    fn one_of<T>(&mut self, all: impl Iterator<Item = T>) -> Option<T> {
        let mut all: Vec<T> = all.collect();
        let place = self.below(all.len());
        (place < all.len()).then(|| all.swap_remove(place))
    }
}

pub(super) fn verify(programmed: &Programmed, numbers: &mut Numbers) -> Programmed {
    let mut entry = programmed.clone();
    let note = Verified {
        by: format!("Reader {}", numbers.below(9)),
        on: "2031-04-02".to_owned(),
        at: String::new(),
    };
    if entry.verified.remove(&Fact::Frequency).is_none() {
        entry.verified.insert(Fact::Frequency, note);
    }
    entry
}

/// Draws an edit that somebody may make; `None` where the scenario has no such thing.
fn any_edit(s: &Scenario, numbers: &mut Numbers) -> Option<Edit> {
    let phase = numbers.one_of(s.phases.iter())?;
    Some(match numbers.below(20) {
        0 | 1 => {
            let attached: Vec<PortRef> = phase.attachments.keys().copied().collect();
            let port = numbers.one_of(attached.into_iter())?;
            let group = numbers.below(4) as u8;
            Edit::Switch {
                phase: phase.id,
                port,
                group: (group > 0).then_some(group),
            }
        }
        2 | 3 => {
            let radio = numbers.one_of(s.radios.iter())?;
            let channel = numbers.one_of(radio.programmed.iter().map(|p| p.channel));
            Edit::Select {
                phase: phase.id,
                radio: radio.id,
                channel: channel.filter(|_| numbers.below(8) > 0),
            }
        }
        4 | 5 => {
            let radio = numbers.one_of(s.radios.iter())?;
            let entry = numbers.one_of(radio.programmed.iter())?;
            Edit::Program {
                radio: radio.id,
                entry: verify(entry, numbers),
            }
        }
        6 => {
            let radio = numbers.one_of(s.radios.iter())?;
            let mut entry = numbers.one_of(radio.programmed.iter())?.clone();
            match numbers.below(4) {
                0 => entry.receive_only = !entry.receive_only,
                1 => entry.secure = !entry.secure,
                2 => entry.label = Some(format!("L{}", numbers.below(9))),
                _ => entry.rx_code = None,
            }
            Edit::Program {
                radio: radio.id,
                entry,
            }
        }
        7 => {
            let mut radio = numbers.one_of(s.radios.iter())?.clone();
            match numbers.below(4) {
                0 => radio.name = format!("Set {}", numbers.below(99)),
                1 => radio.notes = format!("Note {}", numbers.below(99)),
                2 => radio.power_w = 1.0 + numbers.below(40) as f64,
                _ => radio.scans = radio.programmed.iter().map(|p| p.channel).collect(),
            }
            Edit::Replace(radio.into())
        }
        8 | 9 => {
            let mut unit = numbers.one_of(s.units.iter())?.clone();
            match numbers.below(5) {
                0 => unit.name = format!("Crew {}", numbers.below(99)),
                4 => unit.key = format!("crew-{}", numbers.below(999)),
                1 => unit.notes = format!("Note {}", numbers.below(99)),
                2 => unit.heads = 1 + numbers.below(6) as u32,
                _ => unit.agency = numbers.one_of(s.agencies.ids()),
            }
            Edit::Replace(unit.into())
        }
        10 | 11 => {
            let mut need = numbers.one_of(s.needs.iter())?.clone();
            match numbers.below(6) {
                5 => need.key = format!("link-{}", numbers.below(999)),
                0 => need.encrypted = !need.encrypted,
                1 => need.way = [Way::TwoWay, Way::ListenOnly][numbers.below(2)],
                2 => need.max_delay_ms = Some(100 * numbers.below(9) as u32),
                3 => need.to.extend(numbers.one_of(s.parties())),
                _ => need.name = format!("Link {}", numbers.below(99)),
            }
            Edit::Replace(need.into())
        }
        12 => {
            let mut need = numbers.one_of(s.needs.iter())?.clone();
            need.id = NeedId(s.mint(0));
            need.key = String::new();
            need.to.extend(numbers.one_of(s.parties()));
            Edit::Add(need.into())
        }
        13 => {
            let mut channel = numbers.one_of(s.channels.iter())?.clone();
            match numbers.below(3) {
                0 => channel.name = format!("Net {}", numbers.below(99)),
                1 => channel.encrypted_only = !channel.encrypted_only,
                _ => channel.notes = format!("Note {}", numbers.below(99)),
            }
            Edit::Replace(channel.into())
        }
        14 => {
            let mut gateway = numbers.one_of(s.gateways.iter())?.clone();
            match numbers.below(3) {
                0 => gateway.latency_ms = numbers.below(90) as u32,
                1 => gateway.site = numbers.one_of(s.sites.ids()),
                _ => {
                    let place = numbers.below(gateway.ports.len());
                    gateway.ports.get_mut(place)?.buffer_ms = numbers.below(900) as u32;
                }
            }
            Edit::Replace(gateway.into())
        }
        15 => {
            let mut phase = phase.clone();
            match numbers.below(2) {
                0 => phase.hours = 1.0 + numbers.below(40) as f64,
                _ => phase.name = format!("Phase {}", numbers.below(99)),
            }
            Edit::Replace(phase.into())
        }
        16 => {
            let radio = numbers.one_of(s.radios.iter())?;
            Edit::Hold {
                radio: radio.id,
                unit: numbers
                    .one_of(s.units.ids())
                    .filter(|_| numbers.below(4) > 0),
            }
        }
        17 => {
            let mut practice = s.practice.clone();
            practice.overhead_s = numbers.below(4) as f64;
            practice.clipped_most_ms = 10.0 * numbers.below(30) as f64;
            practice.filter_db = 10.0 * numbers.below(3) as f64;
            Edit::SetPractice(Box::new(practice))
        }
        18 => Edit::Rate {
            thing: numbers.one_of(s.gateways.ids())?.into(),
            availability: Some(numbers.below(10) as f64 / 10.0),
        },
        _ => {
            let need = numbers.one_of(s.needs.ids())?;
            Edit::Remove(need.into())
        }
    })
}

/// What is known after some edits, and how much of it was kept.
#[derive(Clone)]
struct Known {
    picture: Picture,
    found: Found,
}

impl Known {
    fn of(scenario: &Arc<Scenario>) -> Self {
        let phase = scenario.phases.first().expect("a phase").id;
        let picture = Picture::new(Arc::clone(scenario), phase);
        let found = Found::of(&picture);
        Self { picture, found }
    }

    /// Goes on to another scenario, and holds that against working it out anew; returns what moved.
    fn go_on(&mut self, scenario: &Arc<Scenario>, why: &str) -> Facets {
        let after = self.picture.after(scenario);
        let moved = self.picture.moved_to(&after);
        let found = self.found.after(&self.picture, &after);
        let fresh = Picture::new(Arc::clone(scenario), after.phase_id());
        assert_eq!(after.scenario(), fresh.scenario(), "{why}");
        assert_eq!(
            checks::report(&after, &found),
            checks::run_all(&fresh),
            "{why}"
        );
        let (kept, made) = (after.hearing(), fresh.hearing());
        assert_eq!(kept.parties(), made.parties(), "{why}");
        assert_eq!(kept.alike(), made.alike(), "{why}");
        assert_eq!(kept.loops(), made.loops(), "{why}");
        for party in kept.parties().iter().take(60) {
            assert_eq!(kept.hearers(*party), made.hearers(*party), "{why}");
        }
        // The way a message takes among equals follows from the order in which the network is laid out.
        for party in kept.parties().iter().step_by(1 + kept.parties().len() / 6) {
            let of = |hearing: &Hearing| hearing.message(scenario, *party);
            assert_eq!(of(kept), of(made), "{why}");
            let of = |hearing: &Hearing| match party {
                Party::Unit(unit) => hearing.carried(*unit).to_vec(),
                Party::Telephone(_) | Party::Headset(_) => Vec::new(),
            };
            assert_eq!(of(kept), of(made), "{why}");
        }
        for group in after.talk_groups() {
            assert_eq!(kept.sendings(group), made.sendings(group), "{why}");
        }
        assert_eq!(kept.one_way_pairs(), made.one_way_pairs(), "{why}");
        assert_eq!(kept.own_echoes(), made.own_echoes(), "{why}");
        assert_eq!(after.traffic(), fresh.traffic(), "{why}");
        assert_eq!(after.sites(), fresh.sites(), "{why}");
        assert_eq!(after.power(), fresh.power(), "{why}");
        for need in scenario.needs.iter().take(3) {
            let of = |picture: &Picture| picture.need_ways().breaks(picture, need);
            assert_eq!(of(&after), of(&fresh), "{why}");
        }
        self.picture = after;
        self.found = found;
        moved
    }
}

/// Makes random edits one after the other, and now and then takes some back.
fn walk(scenario: Scenario, seed: u64, steps: usize) -> BTreeMap<bool, usize> {
    let mut scenario = Arc::new(scenario);
    let start = Arc::clone(&scenario);
    let mut known = Known::of(&scenario);
    let mut numbers = Numbers(seed);
    let mut moved: BTreeMap<bool, usize> = BTreeMap::new();
    for _ in 0..steps {
        let Some(edit) = any_edit(&scenario, &mut numbers) else {
            continue;
        };
        let Ok(after) = scenario.apply(std::slice::from_ref(&edit)) else {
            continue;
        };
        let mut after = Arc::new(after);
        if numbers.below(25) == 0 {
            after = Arc::clone(&start);
        }
        let facets = known.go_on(&after, &format!("{edit:?}"));
        *moved.entry(facets.meet(Facets::HEARD)).or_default() += 1;
        scenario = after;
    }
    moved
}

#[test]
fn a_walk_through_a_generated_plan_is_kept_right() {
    let moved = walk(generate(Size::for_units(60), 5), 1, 120);
    assert!(moved.values().all(|n| *n > 10), "{moved:?}");
    assert_eq!(
        moved.len(),
        2,
        "edits that are heard, and edits that are not"
    );
}

#[test]
fn a_walk_through_each_shipped_plan_is_kept_right() {
    for (number, shipped) in SHIPPED.iter().enumerate() {
        let scenario = read(shipped.text, Syntax::Ron).expect("it opens");
        if scenario.phases.is_empty() {
            continue;
        }
        walk(scenario, number as u64, 20);
    }
}

/// Lists the plans that make each check fire, those with a phase.
pub(super) fn plans_that_fire() -> Vec<Scenario> {
    let mut plans = crate::checks::plans_that_fire();
    plans.retain(|plan| !plan.phases.is_empty());
    plans
}

#[test]
fn a_walk_through_each_plan_that_makes_a_check_fire_is_kept_right() {
    for (number, plan) in plans_that_fire().into_iter().enumerate() {
        walk(plan, number as u64, 12);
    }
}

#[test]
fn a_plan_after_none_at_all_is_worked_out_whole() {
    let plan = Arc::new(generate(Size::for_units(60), 3));
    let phase = plan.phases.first().expect("a phase").id;
    let nothing = Arc::new(Scenario::default());
    let picture = Picture::new(nothing, phase);
    let mut known = Known {
        found: Found::of(&picture),
        picture,
    };
    known.go_on(&plan, "a plan after none");
    assert!(!known.picture.hearing().parties().is_empty());
}

/// Makes each edit by itself after the plan, and holds what is kept against working it out anew.
fn each_by_itself(plan: &Scenario, edits: impl Iterator<Item = Edit>) -> usize {
    let known = Known::of(&Arc::new(plan.clone()));
    let mut made = 0;
    for edit in edits {
        if let Ok(after) = plan.apply(std::slice::from_ref(&edit)) {
            let mut known = known.clone();
            known.go_on(&Arc::new(after), &format!("{edit:?}"));
            made += 1;
        }
    }
    made
}

#[test]
fn a_unit_with_another_name_is_said_wherever_it_was_said() {
    let made = plans_that_fire().into_iter().map(|plan| {
        let renamed = plan.units.iter().cloned().map(|mut unit| {
            unit.name = format!("Other {}", unit.name);
            Edit::Replace(unit.into())
        });
        each_by_itself(&plan, renamed.take(4))
    });
    let made: usize = made.sum();
    assert!(made > 40, "{made}");
}

#[test]
fn a_radio_set_otherwise_is_enough_to_look_at() {
    let mut numbers = Numbers(7);
    let mut narrow = 0;
    for plan in plans_that_fire() {
        let phase = plan.phases.first().expect("a phase");
        let mut edits = Vec::new();
        for radio in plan.radios.iter().take(6) {
            for channel in radio
                .programmed
                .iter()
                .map(|p| Some(p.channel))
                .chain([None])
            {
                edits.push(Edit::Select {
                    phase: phase.id,
                    radio: radio.id,
                    channel,
                });
            }
            for entry in &radio.programmed {
                let mut entry = verify(entry, &mut numbers);
                entry.receive_only = !entry.receive_only;
                entry.rx_code = None;
                edits.push(Edit::Program {
                    radio: radio.id,
                    entry,
                });
            }
        }
        for port in phase.attachments.keys().take(6) {
            for group in [None, Some(1), Some(2)] {
                edits.push(Edit::Switch {
                    phase: phase.id,
                    port: *port,
                    group,
                });
            }
        }
        let before = Picture::new(Arc::new(plan.clone()), phase.id);
        let is_narrow = |edit: &Edit| {
            let after = plan.apply(std::slice::from_ref(edit)).ok()?;
            before.touched(&before.after(&Arc::new(after)))
        };
        narrow += edits.iter().filter_map(is_narrow).count();
        each_by_itself(&plan, edits.into_iter());
    }
    assert!(narrow > 500, "{narrow}");
}

proptest! {
    #![proptest_config(cases(8))]

    #[test]
    fn any_walk_is_kept_right(seed in any::<u64>(), units in 8_u32..40) {
        walk(generate(Size::for_units(units), seed), seed, 25);
    }
}
