//! Who stands in the matrix and in which order: by agency, then whoever is at a gateway without a unit.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use super::words::{self, counted};
use crate::hearing::Hearing;
use crate::model::{AgencyId, Party, Scenario};
use crate::picture::Picture;

/// Somebody who can speak or listen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Entry {
    /// The place in [`Hearing::parties`].
    pub(super) place: usize,
    /// The name.
    pub(super) name: String,
}

/// Neighbours of one agency.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Group {
    /// The name.
    pub(super) name: String,
    /// The name in tight places.
    pub(super) short: String,
    /// Their places in the roll.
    pub(super) members: Range<usize>,
}

/// Everybody who is drawn.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Roll {
    /// From the first row and column to the last.
    pub(super) entries: Vec<Entry>,
    /// Their agencies.
    pub(super) groups: Vec<Group>,
    /// Who was left out for want of room, in a sentence; empty when nobody was.
    pub(super) left_out: String,
}

impl Roll {
    /// Lists everybody, or at most so many: then those whom some need names and those at gateways come
    /// first, and others only while there is room.
    pub(super) fn of(picture: &Picture, most: usize) -> Self {
        let (s, hearing) = (picture.scenario(), picture.hearing());
        let all: Vec<usize> = (0..hearing.parties().len()).collect();
        if all.len() <= most {
            return Self::listing(s, hearing, &all, String::new());
        }
        let chosen: Vec<usize> = concerned(s, hearing);
        let named = chosen.len();
        let mut kept: Vec<usize> = if chosen.is_empty() {
            all.clone()
        } else {
            chosen
        };
        kept.truncate(most);
        let why = match (named, kept.len()) {
            (0, _) => "the first of them, since no need names anybody",
            (named, kept) if kept < named => {
                "the first of those whom a need names or who are at a gateway"
            }
            _ => "those whom a need names or who are at a gateway",
        };
        let left_out = format!(
            "{} of {} are shown: {why}. Left out for want of room: {}. Larger paper takes more.",
            kept.len(),
            all.len(),
            counted(all.len() - kept.len(), "other", "others"),
        );
        Self::listing(s, hearing, &kept, left_out)
    }

    fn listing(s: &Scenario, hearing: &Hearing, places: &[usize], left_out: String) -> Self {
        // Units without an agency come after those of agencies, and after them who is no unit.
        let mut by: BTreeMap<(bool, bool, Option<AgencyId>), Vec<Entry>> = BTreeMap::new();
        for place in places {
            let Some(party) = hearing.parties().get(*place).copied() else {
                continue;
            };
            let unit = words::holder(s, party).and_then(|unit| s.units.get(unit));
            let agency = unit.and_then(|unit| unit.agency);
            let key = (unit.is_none(), agency.is_none(), agency);
            by.entry(key).or_default().push(Entry {
                place: *place,
                name: s.name(party.into()),
            });
        }
        let mut roll = Self {
            left_out,
            ..Self::default()
        };
        for ((is_gear, _, agency), entries) in by {
            let from = roll.entries.len();
            roll.entries.extend(entries);
            let agency = agency.and_then(|agency| s.agencies.get(agency));
            let (name, short) = match (agency, is_gear) {
                (Some(agency), _) => (agency.name.clone(), words::short(agency).to_owned()),
                (None, true) => ("At gateways".to_owned(), "At gw.".to_owned()),
                (None, false) => ("No agency".to_owned(), "None".to_owned()),
            };
            roll.groups.push(Group {
                name,
                short,
                members: from..roll.entries.len(),
            });
        }
        roll
    }
}

/// Lists those whom some need names, and telephones and headsets at gateways.
fn concerned(s: &Scenario, hearing: &Hearing) -> Vec<usize> {
    let needs = s
        .needs
        .iter()
        .flat_map(|need| need.from.iter().chain(&need.to));
    let named: BTreeSet<Party> = needs.copied().collect();
    let parties = hearing.parties().iter().enumerate();
    let concerned = parties
        .filter(|(_, party)| named.contains(party) || !matches!(party, Party::Unit(_)))
        .map(|(place, _)| place);
    concerned.collect()
}
