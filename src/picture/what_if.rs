//! What if something fails or is switched: the scenario so changed, derived again, set against the
//! scenario as it is.

use crate::hearing::{Hearing, Item};
use crate::model::{Edit, NeedId, Party, PhaseId, PortRef, Scenario, ThingId};

use super::resilience;

/// What is lost.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Lost {
    /// Pairs that were heard and no longer are, among those who are still there.
    pub pairs: Vec<(Party, Party)>,
    /// Needs that were met and no longer are.
    pub needs: Vec<NeedId>,
}

/// Parties beyond which a switch is not tried out, since it would take too long between two frames.
pub const MOST_PARTIES: usize = 1_000;

/// What a switch would change.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Moved {
    /// Pairs, speaker first, that would be heard and are not.
    pub gained: Vec<(Party, Party)>,
    /// Pairs, speaker first, that are heard and would not be.
    pub lost: Vec<(Party, Party)>,
    /// Needs that would be met and are not.
    pub met: Vec<NeedId>,
    /// Needs that are met and would not be.
    pub unmet: Vec<NeedId>,
}

/// Tries out a port on another talk group, or on none.
///
/// `None` where there is no such switch, or more than [`MOST_PARTIES`].
/// Complexity: one derivation, and two looks at each pair.
pub fn switched(
    scenario: &Scenario,
    now: &Hearing,
    phase: PhaseId,
    port: PortRef,
    group: Option<u8>,
) -> Option<Moved> {
    if now.parties().len() > MOST_PARTIES {
        return None;
    }
    let after = scenario
        .apply(&[Edit::Switch { phase, port, group }])
        .ok()?;
    let then = Hearing::derive(&after, phase);
    let mut moved = Moved {
        gained: only_in(&then, now),
        lost: only_in(now, &then),
        ..Moved::default()
    };
    for need in scenario.needs.iter() {
        let (is, would_be) = (
            resilience::is_met(now, need),
            resilience::is_met(&then, need),
        );
        if would_be && !is {
            moved.met.push(need.id);
        } else if is && !would_be {
            moved.unmet.push(need.id);
        }
    }
    Some(moved)
}

/// Lists the pairs that are heard in one derivation and not in another.
fn only_in(here: &Hearing, there: &Hearing) -> Vec<(Party, Party)> {
    let pairs = here.parties().iter().flat_map(|from| {
        let hearers = here.hearers(*from).into_iter();
        hearers.map(|(to, _)| (*from, to))
    });
    pairs
        .filter(|(from, to)| there.arrival(*from, *to).is_none())
        .collect()
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
