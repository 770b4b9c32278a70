//! Which facets of a plan each check reads, held against what each sees of everything moved at once.

use std::collections::BTreeMap;
use std::sync::Arc;

use crosspatch::checks::{self, ALL};
use crosspatch::format::{Syntax, read};
use crosspatch::model::{Edit, Fact, Finding, Scenario, Verified};
use crosspatch::picture::Picture;
use crosspatch::picture::facets::Facets;
use crosspatch::samples::{SHIPPED, Size, generate};

use super::kept::{Numbers, plans_that_fire, verify};

/// Changes everything of one facet, in ways that no check may overlook.
fn with_moved(scenario: &Scenario, facet: Facets) -> Vec<Scenario> {
    let mut edits: Vec<Vec<Edit>> = Vec::new();
    if facet == Facets::NEEDS {
        let needs = || scenario.needs.iter().cloned();
        edits.push(needs().map(|n| Edit::Remove(n.id.into())).collect());
        edits.push(
            needs()
                .map(|mut need| {
                    need.name = format!("Other {}", need.name);
                    need.encrypted = !need.encrypted;
                    need.max_delay_ms = Some(1);
                    Edit::Replace(need.into())
                })
                .collect(),
        );
    }
    if facet == Facets::UNIT_NAMES {
        let units = scenario.units.iter().cloned();
        let renamed = units.map(|mut unit| {
            unit.name = format!("Other {}", unit.name);
            Edit::Replace(unit.into())
        });
        edits.push(renamed.collect());
    }
    if facet == Facets::VERIFIED {
        let entries = scenario.radios.iter().flat_map(|radio| {
            radio.programmed.iter().map(|entry| {
                let mut entry = verify(entry, &mut Numbers(1));
                let other = |fact| {
                    (
                        fact,
                        Verified {
                            by: "Other".to_owned(),
                            on: String::new(),
                            at: String::new(),
                        },
                    )
                };
                entry.verified.extend(Fact::ALL.map(other));
                Edit::Program {
                    radio: radio.id,
                    entry,
                }
            })
        });
        edits.push(entries.collect());
    }
    if facet == Facets::SET {
        let entries = scenario.radios.iter().flat_map(|radio| {
            radio.programmed.iter().map(|entry| {
                let mut entry = entry.clone();
                entry.receive_only = !entry.receive_only;
                entry.secure = !entry.secure;
                entry.rx_code = None;
                Edit::Program {
                    radio: radio.id,
                    entry,
                }
            })
        });
        edits.push(entries.collect());
        let phase = scenario.phases.first().expect("a phase");
        let selected = scenario.radios.iter().map(|radio| Edit::Select {
            phase: phase.id,
            radio: radio.id,
            channel: radio.programmed.last().map(|entry| entry.channel),
        });
        edits.push(selected.collect());
    }
    if facet == Facets::HEARD {
        let phase = scenario.phases.first().expect("a phase");
        for group in [None, Some(1), Some(2)] {
            let ports = phase.attachments.keys();
            let switched = ports.map(|port| Edit::Switch {
                phase: phase.id,
                port: *port,
                group,
            });
            edits.push(switched.collect());
        }
    }
    edits
        .into_iter()
        .map(|edits| scenario.apply_each(&edits).0)
        .collect()
}

/// Runs every check on a plan, in the order of the registry.
fn found(scenario: &Scenario) -> Vec<Vec<Finding>> {
    let phase = scenario.phases.first().expect("a phase").id;
    let picture = Picture::new(Arc::new(scenario.clone()), phase);
    let run = |check: &checks::Check| {
        let mut out = Vec::new();
        (check.run)(&mut out, &picture);
        out
    };
    ALL.iter().map(run).collect()
}

#[test]
fn no_check_sees_a_facet_it_is_said_not_to_read() {
    let mut plans: Vec<Scenario> = plans_that_fire();
    plans.extend(
        SHIPPED
            .iter()
            .filter_map(|s| read(s.text, Syntax::Ron).ok()),
    );
    plans.push(generate(Size::for_units(60), 2));
    plans.retain(|plan| !plan.phases.is_empty());
    let plans: Vec<_> = plans
        .into_iter()
        .map(|plan| {
            let found = found(&plan);
            (plan, found)
        })
        .collect();
    let mut seen: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    let mut wrong: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for (word, facet) in [
        ("needs", Facets::NEEDS),
        ("unit names", Facets::UNIT_NAMES),
        ("verified", Facets::VERIFIED),
        ("heard", Facets::HEARD),
        ("set", Facets::SET),
    ] {
        for (plan, before) in &plans {
            for moved in with_moved(plan, facet) {
                let all = ALL.iter().zip(before.iter().zip(found(&moved)));
                for (check, _) in all.filter(|(_, (before, after))| *before != after) {
                    let list = if checks::reads(check).meet(facet) {
                        &mut seen
                    } else {
                        &mut wrong
                    };
                    let codes = list.entry(word).or_default();
                    if !codes.contains(&check.code) {
                        codes.push(check.code);
                    }
                }
            }
        }
    }
    assert!(
        wrong.is_empty(),
        "read without saying so: {wrong:?}; as said: {seen:?}"
    );
    assert_eq!(seen.len(), 5, "{seen:?}");
    for codes in seen.values() {
        assert!(codes.len() > 1, "{seen:?}");
    }
}
