//! Which thing of one scenario is which of another, and a name for each that no other thing has.
//!
//! Things are the same that have the same key. A key that nobody chose, because it was minted when the
//! thing was added, says nothing between plans that were typed apart: there the name decides.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::model::thing::Listed;
use crate::model::{Carrier, Edit, Kind, Scenario, Table, ThingId};

/// Lists the things that are compared one by one.
pub(super) fn listed(s: &Scenario) -> Vec<ThingId> {
    fn ids<T: Listed>(table: &Table<T>) -> impl Iterator<Item = ThingId> + '_ {
        table.ids().map(Into::into)
    }
    ids(&s.phases)
        .chain(ids(&s.agencies))
        .chain(ids(&s.units))
        .chain(ids(&s.systems))
        .chain(ids(&s.channels))
        .chain(ids(&s.radios))
        .chain(ids(&s.gateways))
        .chain(ids(&s.ties))
        .chain(ids(&s.telephones))
        .chain(ids(&s.headsets))
        .chain(ids(&s.cables))
        .chain(ids(&s.sites))
        .chain(ids(&s.needs))
        .chain(ids(&s.stock))
        .chain(ids(&s.agreements))
        .collect()
}

/// Finds for each thing of one scenario the same thing of another.
pub(super) fn twins(a: &Scenario, b: &Scenario) -> BTreeMap<ThingId, ThingId> {
    let by_key: BTreeMap<(Kind, String), ThingId> = listed(b)
        .into_iter()
        .map(|thing| ((thing.kind(), b.key(thing)), thing))
        .collect();
    let pairs = listed(a)
        .into_iter()
        .filter_map(|thing| Some((thing, *by_key.get(&(thing.kind(), a.key(thing)))?)));
    let (minted, mut twins): (Vec<_>, BTreeMap<_, _>) = {
        let mut minted = Vec::new();
        let mut chosen = BTreeMap::new();
        for (was, is) in pairs {
            if is_minted(a, was) {
                minted.push((was, is));
            } else {
                chosen.insert(was, is);
            }
        }
        (minted, chosen)
    };
    let is_alike = |(was, is): &(ThingId, ThingId)| {
        a.name(*was) == b.name(*is) || is_same_carrier(a, *was, b, *is)
    };
    // Of two versions of one plan most things keep their names; of two plans that were typed apart few
    // have the same under the same number. Phases and systems are named alike in any plan.
    let is_named =
        |(was, _): &&(ThingId, ThingId)| !matches!(was, ThingId::Phase(_) | ThingId::System(_));
    let named = minted.iter().filter(is_named).count();
    let alike = minted.iter().filter(is_named).filter(|pair| is_alike(pair));
    let is_one_plan = alike.count() * 2 >= named;
    twins.extend(
        minted
            .into_iter()
            .filter(|pair| is_one_plan || is_alike(pair)),
    );
    for words in [told, plain] {
        by_name(a, b, words, &mut twins);
    }
    twins
}

/// Tells whether two are one channel by another name.
fn is_same_carrier(a: &Scenario, was: ThingId, b: &Scenario, is: ThingId) -> bool {
    match (was, is) {
        (ThingId::Channel(was), ThingId::Channel(is)) => {
            let was = a.channels.get(was).map(|c| c.carrier);
            was.is_some() && was == b.channels.get(is).map(|c| c.carrier)
        }
        _ => false,
    }
}

/// Tells whether nobody chose the key of a thing: the gate makes such ones of the kind and the number.
fn is_minted(s: &Scenario, thing: ThingId) -> bool {
    let key = s.key(thing);
    let rest = key.strip_prefix(&thing.kind().word().replace(' ', "-"));
    let number = rest.and_then(|rest| rest.strip_prefix('-'));
    number.is_some_and(|n| {
        let digits = n.trim_end_matches('x');
        !digits.is_empty() && digits.chars().all(|c| c.is_ascii_digit())
    })
}

/// Pairs what is left on both sides by what it is called, in the order of the files.
fn by_name(
    a: &Scenario,
    b: &Scenario,
    words: fn(&Scenario, ThingId) -> String,
    twins: &mut BTreeMap<ThingId, ThingId>,
) {
    let taken: BTreeSet<ThingId> = twins.values().copied().collect();
    let mut free: BTreeMap<(Kind, String), Vec<ThingId>> = BTreeMap::new();
    for thing in listed(b).into_iter().rev() {
        if !taken.contains(&thing) {
            let named = (thing.kind(), words(b, thing).to_lowercase());
            free.entry(named).or_default().push(thing);
        }
    }
    for thing in listed(a) {
        if twins.contains_key(&thing) {
            continue;
        }
        let named = (thing.kind(), words(a, thing).to_lowercase());
        let Some(list) = free.get_mut(&named) else {
            continue;
        };
        let is_for_it = |twin: &ThingId| is_minted(a, thing) || is_minted(b, *twin);
        if let Some(place) = list.iter().rposition(is_for_it) {
            twins.insert(thing, list.remove(place));
        }
    }
}

fn plain(s: &Scenario, thing: ThingId) -> String {
    s.name(thing)
}

/// Names a thing with what tells it from another of the same name: a channel's frequency or group, what a
/// system carries, the agency of a unit, who carries a radio.
fn told(s: &Scenario, thing: ThingId) -> String {
    let name = s.name(thing);
    let with = match thing {
        ThingId::Channel(id) => s.channels.get(id).map(|c| match c.carrier {
            Carrier::Conventional(c) => c.rx.to_string(),
            Carrier::Grouped { group, .. } => format!("group {group}"),
        }),
        ThingId::System(id) => {
            let carried = s.channels.iter().find(|c| c.system == id);
            carried.map(|c| format!("carries {}", c.name))
        }
        ThingId::Unit(id) => {
            let agency = s.units.get(id).and_then(|u| u.agency);
            agency.map(|agency| s.name(agency.into()))
        }
        ThingId::Radio(id) => {
            let unit = s.radios.get(id).and_then(|r| r.held_by);
            unit.map(|unit| s.name(unit.into()))
        }
        _ => None,
    };
    with.map_or(name.clone(), |with| format!("{name} ({with})"))
}

/// A thing with the scenario it stands in.
type Whose<'a> = (&'a Arc<Scenario>, ThingId);

/// Returns both scenarios with names that tell things apart: who reads that a radio goes from SUPPORT to
/// SUPPORT learns nothing. What is the same thing has the same name in both, that of the first.
///
/// Radios keep their names, since they are told with who carries them.
pub(super) fn told_apart(
    a: &Arc<Scenario>,
    b: &Arc<Scenario>,
    twins: &BTreeMap<ThingId, ThingId>,
) -> (Arc<Scenario>, Arc<Scenario>) {
    let is_named = |thing: &ThingId| !matches!(thing, ThingId::Radio(_));
    let known: BTreeSet<ThingId> = twins.values().copied().collect();
    let firsts = listed(a).into_iter().map(|thing| (a, thing));
    let seconds = listed(b).into_iter().filter(|t| !known.contains(t));
    let all = firsts.chain(seconds.map(|thing| (b, thing)));
    let mut alike: BTreeMap<(Kind, String), Vec<Whose<'_>>> = BTreeMap::new();
    for (s, thing) in all.filter(|(_, thing)| is_named(thing)) {
        let named = (thing.kind(), s.name(thing).to_lowercase());
        alike.entry(named).or_default().push((s, thing));
    }
    let mut names: [BTreeMap<ThingId, String>; 2] = [BTreeMap::new(), BTreeMap::new()];
    for group in alike.into_values().filter(|group| group.len() > 1) {
        let mut used: BTreeMap<String, usize> = BTreeMap::new();
        for (s, thing) in group {
            let mut name = told(s, thing);
            let count = used.entry(name.clone()).or_default();
            *count += 1;
            if *count > 1 {
                name = format!("{name} ({count})");
            }
            let [firsts, seconds] = &mut names;
            let side = if Arc::ptr_eq(s, a) { firsts } else { seconds };
            side.insert(thing, name);
        }
    }
    let [mut firsts, mut seconds] = names;
    for (was, is) in twins.iter().filter(|(was, _)| is_named(was)) {
        let name = firsts.get(was).cloned().unwrap_or_else(|| a.name(*was));
        if name != b.name(*is) {
            seconds.insert(*is, name);
        }
    }
    if Arc::ptr_eq(a, b) {
        // Phases of one plan: what stands there once is renamed once.
        firsts.extend(std::mem::take(&mut seconds));
        let one = renamed(a, firsts);
        return (Arc::clone(&one), one);
    }
    (renamed(a, firsts), renamed(b, seconds))
}

fn renamed(s: &Arc<Scenario>, names: BTreeMap<ThingId, String>) -> Arc<Scenario> {
    let edits: Vec<Edit> = names
        .into_iter()
        .filter_map(|(thing, name)| {
            let mut thing = s.thing(thing)?;
            *thing.name_mut() = name;
            Some(Edit::Replace(thing))
        })
        .collect();
    if edits.is_empty() {
        return Arc::clone(s);
    }
    s.apply(&edits).map_or_else(|_| Arc::clone(s), Arc::new)
}
