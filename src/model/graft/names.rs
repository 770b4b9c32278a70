//! Names and keys that nothing of the kind has yet.

use std::collections::{BTreeMap, BTreeSet};

use crate::model::id::{Kind, ThingId};
use crate::model::scenario::Scenario;
use crate::model::thing::{Listed, Table};

/// The names and keys in use, by kind; each one given out is in use from then on.
pub(super) struct Taken<'a> {
    target: &'a Scenario,
    names: BTreeMap<Kind, BTreeSet<String>>,
    keys: BTreeMap<Kind, BTreeSet<String>>,
}

impl<'a> Taken<'a> {
    pub(super) fn of(target: &'a Scenario) -> Self {
        Self {
            target,
            names: BTreeMap::new(),
            keys: BTreeMap::new(),
        }
    }

    /// Gives out a name, as near to the one wanted as can be.
    pub(super) fn name(&mut self, thing: ThingId, wanted: &str) -> String {
        let kind = thing.kind();
        let target = self.target;
        let used = self
            .names
            .entry(kind)
            .or_insert_with(|| labels(target, kind, Label::Name));
        let is_free = |name: &str| !used.contains(name);
        let name = if is_free(wanted) {
            wanted.to_owned()
        } else if kind == Kind::Channel {
            // The number of a channel is part of what it is: the next number is another channel.
            copy_of(wanted, is_free)
        } else if is_gear(kind) {
            next_number(wanted, is_free)
        } else {
            next_name(wanted, is_free)
        };
        used.insert(name.clone());
        name
    }

    /// Gives out a key, as near to the one wanted as can be.
    pub(super) fn key(&mut self, thing: ThingId, wanted: &str) -> String {
        let kind = thing.kind();
        let target = self.target;
        let used = self
            .keys
            .entry(kind)
            .or_insert_with(|| labels(target, kind, Label::Key));
        let key = if used.contains(wanted) {
            let stem = wanted.trim_end_matches(|c: char| c.is_ascii_digit());
            let stem = stem.trim_end_matches('-');
            let stem = if stem.is_empty() { "thing" } else { stem };
            first_free(2, |n| format!("{stem}-{n}"), |key| !used.contains(key))
        } else {
            wanted.to_owned()
        };
        used.insert(key.clone());
        key
    }
}

/// Returns the next name like one that is taken: a number at its end counts on, and a name without
/// one becomes a copy.
pub fn next_name(taken: &str, is_free: impl Fn(&str) -> bool) -> String {
    match counted(taken) {
        Some((stem, n)) => first_free(n + 1, |n| format!("{stem}{n}"), is_free),
        None => copy_of(taken, is_free),
    }
}

/// Returns the next name of gear like gear that is taken: a second set of a type is its number two.
fn next_number(taken: &str, is_free: impl Fn(&str) -> bool) -> String {
    match counted(taken) {
        Some((stem, n)) => first_free(n + 1, |n| format!("{stem}{n}"), is_free),
        None => first_free(2, |n| format!("{taken} {n}"), is_free),
    }
}

/// Takes a name apart into what stands before the number at its end, and that number.
fn counted(name: &str) -> Option<(&str, u64)> {
    let stem = name.trim_end_matches(|c: char| c.is_ascii_digit());
    let number = name.get(stem.len()..).unwrap_or_default();
    // A word that only ends in a digit, such as a channel's or a form's, is a name and no count.
    let counts = stem.ends_with([' ', '-']) && number.len() <= 6;
    number.parse().ok().filter(|_| counts).map(|n| (stem, n))
}

/// Tells whether things of a kind are often named after their type, of which there are several.
fn is_gear(kind: Kind) -> bool {
    matches!(
        kind,
        Kind::Radio | Kind::Gateway | Kind::Telephone | Kind::Headset | Kind::Site
    )
}

fn copy_of(name: &str, is_free: impl Fn(&str) -> bool) -> String {
    let first = format!("{name} copy");
    if is_free(&first) {
        return first;
    }
    first_free(2, |n| format!("{name} copy {n}"), is_free)
}

/// Counts upward to the first name that is free; as only so many are taken, there is one.
fn first_free(from: u64, name: impl Fn(u64) -> String, is_free: impl Fn(&str) -> bool) -> String {
    let mut n = from;
    loop {
        let name = name(n);
        if is_free(&name) {
            return name;
        }
        n += 1;
    }
}

#[derive(Clone, Copy)]
enum Label {
    Name,
    Key,
}

fn labels(s: &Scenario, kind: Kind, label: Label) -> BTreeSet<String> {
    fn all<T: Listed>(table: &Table<T>, label: Label) -> BTreeSet<String> {
        let of = |t: &T| match label {
            Label::Name => t.name().to_owned(),
            Label::Key => t.key().to_owned(),
        };
        table.iter().map(of).collect()
    }
    match kind {
        Kind::Phase => all(&s.phases, label),
        Kind::Agency => all(&s.agencies, label),
        Kind::Unit => all(&s.units, label),
        Kind::System => all(&s.systems, label),
        Kind::Channel => all(&s.channels, label),
        Kind::Radio => all(&s.radios, label),
        Kind::Gateway => all(&s.gateways, label),
        Kind::Tie => all(&s.ties, label),
        Kind::Telephone => all(&s.telephones, label),
        Kind::Headset => all(&s.headsets, label),
        Kind::Cable => all(&s.cables, label),
        Kind::Site => all(&s.sites, label),
        Kind::Need => all(&s.needs, label),
        Kind::Stock => all(&s.stock, label),
        Kind::Agreement => all(&s.agreements, label),
        Kind::Port | Kind::TalkGroup => BTreeSet::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_counts_on_and_a_word_becomes_a_copy() {
        let taken = [
            "Engine 1",
            "Engine 2",
            "Command",
            "Command copy",
            "TAC-9",
            "VTAC11",
        ];
        let next = |name: &str| next_name(name, |n| !taken.contains(&n));
        assert_eq!(next("Engine 1"), "Engine 3");
        assert_eq!(next("Command"), "Command copy 2");
        assert_eq!(next("TAC-9"), "TAC-10");
        assert_eq!(next("VTAC11"), "VTAC11 copy");
        let gear = |name: &str| next_number(name, |n| n != name && n != "Portable VHF 2");
        assert_eq!(gear("Portable VHF"), "Portable VHF 3");
        assert_eq!(gear("Donor 1"), "Donor 2");
        assert_eq!(
            next("Box 99999999999999999999"),
            "Box 99999999999999999999 copy"
        );
    }
}
