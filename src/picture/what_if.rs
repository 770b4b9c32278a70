//! What if something fails: the scenario without it, derived again, set against the scenario with it.

use crate::hearing::{Hearing, Item};
use crate::model::{Edit, NeedId, Party, PhaseId, Scenario, ThingId};

use super::resilience;

/// What is lost.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Lost {
    /// Pairs that were heard and no longer are, among those who are still there.
    pub pairs: Vec<(Party, Party)>,
    /// Needs that were met and no longer are.
    pub needs: Vec<NeedId>,
}

/// Derives a phase without some items and lists what is lost.
///
/// Complexity: one derivation, and one look at each pair.
pub fn without(scenario: &Scenario, now: &Hearing, phase: PhaseId, items: &[Item]) -> Lost {
    let then = Hearing::derive(&scenario_without(scenario, phase, items), phase);
    between(scenario, now, &then, items)
}

/// Returns the scenario with some items taken out of a phase.
pub fn scenario_without(scenario: &Scenario, phase: PhaseId, items: &[Item]) -> Scenario {
    let edits: Vec<Edit> = items
        .iter()
        .flat_map(|item| taking_out(scenario, phase, *item))
        .collect();
    // Taking one thing out may take another with it; that one is out all the same.
    let (after, _refused) = scenario.apply_each(&edits);
    after
}

/// Lists what is lost between two derivations of a phase, the second without some items.
///
/// Complexity: one look at each pair.
pub fn between(scenario: &Scenario, now: &Hearing, then: &Hearing, items: &[Item]) -> Lost {
    let gone: Vec<ThingId> = items.iter().map(|item| item.thing()).collect();
    let mut lost = Lost::default();
    for from in now.parties() {
        if gone.contains(&(*from).into()) {
            continue;
        }
        for (to, _) in now.hearers(*from) {
            if !gone.contains(&to.into()) && then.arrival(*from, to).is_none() {
                lost.pairs.push((*from, to));
            }
        }
    }
    for need in scenario.needs.iter() {
        if resilience::is_met(now, need) && !resilience::is_met(then, need) {
            lost.needs.push(need.id);
        }
    }
    lost
}

/// Lists the edits that take an item out.
fn taking_out(scenario: &Scenario, phase: PhaseId, item: Item) -> Vec<Edit> {
    let empty = |port| Edit::Attach {
        phase,
        port,
        attachment: None,
    };
    match item {
        Item::PowerOf(gateway) => vec![Edit::Remove(gateway.into())],
        Item::CableAt(port) | Item::Thing(ThingId::Port(port)) => vec![empty(port)],
        Item::Thing(ThingId::Site(site)) => {
            let there = scenario.gateways.iter().filter(|g| g.site == Some(site));
            there.map(|g| Edit::Remove(g.id.into())).collect()
        }
        Item::Thing(ThingId::TalkGroup(group)) => {
            let on_it = scenario.phases.get(phase).into_iter().flat_map(|p| {
                let ports = p.switches.keys().copied();
                ports.filter(move |port| p.group_of(*port) == Some(group))
            });
            on_it
                .map(|port| Edit::Switch {
                    phase,
                    port,
                    group: None,
                })
                .collect()
        }
        Item::Thing(thing) => vec![Edit::Remove(thing)],
    }
}
