//! Tactical units of different agencies are joined on one talk group, and no need asks for it.
//!
//! ## What it flags
//! A talk group that carries the speech of tactical units of at least two agencies, of which no need asks
//! that they reach each other and that are not on one channel anyway.
//!
//! ## Why it matters
//! Crews of two trades who work apart then wait for each other's messages, answer calls that are not
//! theirs, and miss their own. What they have to tell each other goes through command.
//!
//! ## How it decides
//! Units with the role tactical whose speech the talk group carries are gathered by agency. Two agencies
//! belong together where a need asks that tactical units of both reach each other, or where tactical units
//! of both are on the same channel; what belongs together with the same third belongs together. More than
//! one such circle on a talk group is told. Talk groups that carry the very same speech are told once, and
//! units without an agency are not counted.
//!
//! ## Severity
//! Warns where the agencies are of different trades, notes where they are of the same: mutual aid often
//! works on one tactical net.
//!
//! ## Example
//! Fire attack and police entry are both on group 2, "Tactical", and the only need joins their commanders.
//!
//! ## Source
//! That tactical nets of different trades are kept apart and command is joined: common practice, no source.

use std::collections::{BTreeMap, BTreeSet};

use super::nets;
use crate::checks::{Check, say};
use crate::model::{
    AgencyId, ChannelId, Discipline, Evidence, Finding, Party, Role, Severity, ThingId, UnitId,
};
use crate::picture::{Picture, lanes, resilience};

/// The check.
pub const CHECK: Check = Check {
    code: "G10",
    name: "tactical-nets-joined",
    severity: Severity::Warns,
    text: include_str!("tactical_nets_joined.rs"),
    run,
};

/// Tactical units by their agency.
type Crews = BTreeMap<AgencyId, BTreeSet<UnitId>>;

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let bonds = Bonds::of(picture);
    for joined in nets::groups(picture) {
        let crews = lanes::tactical(picture, joined.net);
        if crews.len() < 2 {
            continue;
        }
        let circles = bonds.circles(&crews);
        if circles < 2 {
            continue;
        }
        let mut finding = finding(picture, joined.thing, &crews, circles);
        let same = joined.same.iter().map(|group| ThingId::from(*group));
        finding.related.extend(same);
        out.push(finding);
    }
}

/// What makes agencies belong together: channels their tactical units are on, and needs of these.
struct Bonds {
    /// The channels selected on what each tactical unit carries.
    channels: BTreeMap<UnitId, Vec<ChannelId>>,
    /// The units on both sides of each need.
    needs: Vec<[Vec<UnitId>; 2]>,
    /// The needs of each unit, by their place.
    needs_of: BTreeMap<UnitId, Vec<usize>>,
}

impl Bonds {
    fn of(picture: &Picture) -> Self {
        let scenario = picture.scenario();
        let units = scenario.units.iter().filter(|u| u.role == Role::Tactical);
        let channels = units.map(|unit| {
            let radios = picture.hearing().carried(unit.id).iter();
            let radios = radios.filter_map(|radio| scenario.radios.get(*radio));
            let channels = radios.filter_map(|radio| Some(picture.tuned(radio)?.channel.id));
            (unit.id, channels.collect())
        });
        let side = |parties: &BTreeSet<Party>| -> Vec<UnitId> {
            let units = parties.iter().filter_map(|party| match party {
                Party::Unit(unit) => Some(*unit),
                Party::Telephone(_) | Party::Headset(_) => None,
            });
            units.collect()
        };
        let mut bonds = Self {
            channels: channels.collect(),
            needs: resilience::to_be_heard(scenario)
                .map(|need| [side(&need.from), side(&need.to)])
                .collect(),
            needs_of: BTreeMap::new(),
        };
        for (place, sides) in bonds.needs.iter().enumerate() {
            for unit in sides.iter().flatten() {
                bonds.needs_of.entry(*unit).or_default().push(place);
            }
        }
        bonds
    }

    /// Counts the circles of agencies that belong together.
    fn circles(&self, crews: &Crews) -> usize {
        let units = || {
            let all = crews.values().enumerate();
            all.flat_map(|(agency, units)| units.iter().map(move |unit| (*unit, agency)))
        };
        let mut circles = Circles((0..crews.len()).collect());
        let mut on: BTreeMap<ChannelId, usize> = BTreeMap::new();
        let mut needs: BTreeSet<usize> = BTreeSet::new();
        for (unit, agency) in units() {
            for channel in self.channels.get(&unit).into_iter().flatten() {
                let other = *on.entry(*channel).or_insert(agency);
                circles.join(agency, other);
            }
            needs.extend(self.needs_of.get(&unit).into_iter().flatten());
        }
        if needs.is_empty() {
            return circles.count();
        }
        let agency_of: BTreeMap<UnitId, usize> = units().collect();
        for [from, to] in needs.into_iter().filter_map(|place| self.needs.get(place)) {
            let side = |units: &[UnitId]| -> Vec<usize> {
                let agencies = units.iter().filter_map(|unit| agency_of.get(unit));
                agencies.copied().collect()
            };
            let (from, to) = (side(from), side(to));
            if let (Some(first), false) = (from.first(), to.is_empty()) {
                for agency in from.iter().chain(&to) {
                    circles.join(*first, *agency);
                }
            }
        }
        circles.count()
    }
}

/// Agencies in circles: each by its place, with another of its circle that comes before it, or itself.
struct Circles(Vec<usize>);

impl Circles {
    fn first(&self, agency: usize) -> usize {
        let mut first = agency;
        while let Some(before) = self.0.get(first).filter(|before| **before != first) {
            first = *before;
        }
        first
    }

    fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.first(a), self.first(b));
        if let Some(later) = self.0.get_mut(a.max(b)) {
            *later = a.min(b);
        }
    }

    fn count(&self) -> usize {
        let all = self.0.iter().enumerate();
        all.filter(|(agency, before)| agency == *before).count()
    }
}

fn finding(picture: &Picture, group: ThingId, crews: &Crews, circles: usize) -> Finding {
    let scenario = picture.scenario();
    let trades: BTreeSet<Discipline> = crews
        .keys()
        .filter_map(|agency| Some(scenario.agencies.get(*agency)?.discipline))
        .collect();
    let severity = if trades.len() > 1 {
        Severity::Warns
    } else {
        Severity::Notes
    };
    let names: Vec<String> = crews.keys().map(|a| scenario.name((*a).into())).collect();
    let headline = format!(
        "{} joins tactical units of {}, and no need asks for it",
        scenario.name(group),
        say::list(&names)
    );
    let mut finding = CHECK.finding(severity, group, headline);
    let units = crews.values().flatten().map(|unit| ThingId::from(*unit));
    finding.related = crews
        .keys()
        .map(|a| ThingId::from(*a))
        .chain(units)
        .collect();
    finding.evidence = vec![
        Evidence::number(
            "agencies with tactical units",
            crews.len() as f64,
            "agencies",
        ),
        Evidence::number("circles no need joins", circles as f64, "circles"),
    ];
    finding.hints = vec![
        "Give each a talk group of its own, and join their commanders".to_owned(),
        "If they are meant to work on one net, write a need that says so".to_owned(),
    ];
    finding
}
