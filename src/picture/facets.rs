//! What an edit has moved, by the facets of a plan that are told apart: what reads only others is kept.
//!
//! Rows that two snapshots share are not looked into. Every field of a row that is looked into is named,
//! so that a new one has to be given a facet before this compiles.

use std::collections::BTreeMap;
use std::ptr;

use crate::model::{Phase, PhaseId, Programmed, Radio, Scenario, Table, Unit};

/// Some facets of a plan in one phase.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Facets(u8);

impl Facets {
    /// None.
    pub const NONE: Self = Self(0);
    /// The needs.
    pub const NEEDS: Self = Self(1);
    /// What units are called.
    pub const UNIT_NAMES: Self = Self(1 << 1);
    /// Who has verified which programmed fact, and the notes of radios.
    pub const VERIFIED: Self = Self(1 << 2);
    /// The switches of the phase, and all that is heard.
    pub const HEARD: Self = Self(1 << 3);
    /// Everything else.
    pub const REST: Self = Self(1 << 4);
    /// How radios are programmed, what they scan, and what is selected on them in the phase.
    pub const SET: Self = Self(1 << 5);
    /// Which channels radios have, and as what they show them.
    pub const LABELS: Self = Self(1 << 6);
    /// All.
    pub const ALL: Self = Self((1 << 7) - 1);

    /// Returns the facets of either.
    #[must_use]
    pub const fn and(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }

    /// Returns these facets but those.
    #[must_use]
    pub const fn but(self, other: Self) -> Self {
        Self(self.0 & !other.0)
    }

    /// Returns the facets that are among both.
    #[must_use]
    pub const fn shared(self, other: Self) -> Self {
        Self(self.0 & other.0)
    }

    /// Tells whether some facet is among both.
    pub const fn meet(self, other: Self) -> bool {
        self.0 & other.0 != 0
    }

    fn or(self, moved: bool, facets: Self) -> Self {
        if moved { self.and(facets) } else { self }
    }

    /// Returns what may differ between two scenarios in a phase, hearing aside, which follows from them.
    pub(super) fn moved(before: &Scenario, after: &Scenario, phase: PhaseId) -> Self {
        Self::NONE
            .or(!before.has_same_gear(after), Self::REST)
            .or(!before.needs.is_shared_with(&after.needs), Self::NEEDS)
            .and(of_units(&before.units, &after.units))
            .and(of_radios(&before.radios, &after.radios))
            .and(of_phases(&before.phases, &after.phases, phase))
    }
}

fn of_units(before: &Table<Unit>, after: &Table<Unit>) -> Facets {
    if before.len() != after.len() {
        return Facets::REST.and(Facets::UNIT_NAMES);
    }
    let moved = before.iter().zip(after.iter());
    moved
        .filter(|(a, b)| !ptr::eq(*a, *b))
        .map(|(a, b)| of_unit(a, b))
        .fold(Facets::NONE, Facets::and)
}

fn of_unit(a: &Unit, b: &Unit) -> Facets {
    let Unit {
        id,
        key,
        name,
        agency,
        heads,
        role,
        messages_per_hour,
        seconds_per_message,
        notes: _,
    } = a;
    let is_rest = *id != b.id
        || *agency != b.agency
        || *heads != b.heads
        || *role != b.role
        || messages_per_hour.to_bits() != b.messages_per_hour.to_bits()
        || seconds_per_message.to_bits() != b.seconds_per_message.to_bits();
    Facets::NONE
        .or(is_rest, Facets::REST)
        .or(*key != b.key || *name != b.name, Facets::UNIT_NAMES)
}

fn of_radios(before: &Table<Radio>, after: &Table<Radio>) -> Facets {
    if before.len() != after.len() {
        return Facets::REST.and(Facets::SET).and(Facets::LABELS);
    }
    let moved = before.iter().zip(after.iter());
    moved
        .filter(|(a, b)| !ptr::eq(*a, *b))
        .map(|(a, b)| of_radio(a, b))
        .fold(Facets::NONE, Facets::and)
}

fn of_radio(a: &Radio, b: &Radio) -> Facets {
    // What is told apart is taken out of the rest, which is compared whole.
    let plain = |radio: &Radio| Radio {
        programmed: Vec::new(),
        selected: None,
        scans: a.scans.clone(),
        notes: String::new(),
        ..radio.clone()
    };
    let set = |radio: &Radio| -> Vec<Programmed> {
        let entries = radio.programmed.iter();
        entries
            .map(|entry| Programmed {
                verified: BTreeMap::new(),
                ..entry.clone()
            })
            .collect()
    };
    let is_set_alike = a.selected == b.selected && a.scans == b.scans && set(a) == set(b);
    let labels = |radio: &Radio| -> Vec<_> {
        let entries = radio.programmed.iter();
        entries
            .map(|entry| (entry.channel, entry.label.clone()))
            .collect()
    };
    let verified = |radio: &Radio| -> Vec<_> {
        let entries = radio.programmed.iter();
        entries.map(|entry| entry.verified.clone()).collect()
    };
    let is_other = a.id != b.id;
    Facets::NONE
        .or(is_other || plain(a) != plain(b), Facets::REST)
        .or(is_other || !is_set_alike, Facets::SET)
        .or(is_other || labels(a) != labels(b), Facets::LABELS)
        .or(
            a.notes != b.notes || verified(a) != verified(b),
            Facets::VERIFIED,
        )
}

fn of_phases(before: &Table<Phase>, after: &Table<Phase>, phase: PhaseId) -> Facets {
    if before.len() != after.len() {
        return Facets::REST.and(Facets::SET).and(Facets::HEARD);
    }
    let moved = before.iter().zip(after.iter());
    moved
        .filter(|(a, b)| !ptr::eq(*a, *b))
        .map(|(a, b)| {
            if a.id == b.id && a.id == phase {
                of_phase(a, b)
            } else {
                Facets::REST
            }
        })
        .fold(Facets::NONE, Facets::and)
}

fn of_phase(a: &Phase, b: &Phase) -> Facets {
    let Phase {
        id,
        key,
        name,
        start,
        hours,
        switches,
        attachments,
        selected,
        tested,
        pairs,
    } = a;
    let is_rest = *id != b.id
        || *key != b.key
        || *name != b.name
        || *start != b.start
        || hours.to_bits() != b.hours.to_bits()
        || *attachments != b.attachments
        || *tested != b.tested
        || *pairs != b.pairs;
    Facets::NONE
        .or(is_rest, Facets::REST)
        .or(*selected != b.selected, Facets::SET)
        .or(*switches != b.switches, Facets::HEARD)
}
