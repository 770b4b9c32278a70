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
    let channels = selected(picture);
    for joined in nets::groups(picture) {
        let crews = lanes::tactical(picture, joined.net);
        if crews.len() < 2 {
            continue;
        }
        let circles = circles(picture, &crews, &channels);
        if circles.len() < 2 {
            continue;
        }
        let mut finding = finding(picture, joined.thing, &crews, &circles);
        let same = joined.same.iter().map(|group| ThingId::from(*group));
        finding.related.extend(same);
        out.push(finding);
    }
}

/// Lists the channels selected on what each tactical unit carries.
fn selected(picture: &Picture) -> BTreeMap<UnitId, BTreeSet<ChannelId>> {
    let scenario = picture.scenario();
    let units = scenario.units.iter().filter(|u| u.role == Role::Tactical);
    units
        .map(|unit| {
            let radios = picture.hearing().carried(unit.id).iter();
            let radios = radios.filter_map(|radio| scenario.radios.get(*radio));
            let channels = radios.filter_map(|radio| Some(picture.tuned(radio)?.channel.id));
            (unit.id, channels.collect())
        })
        .collect()
}

/// Sorts the agencies into circles that belong together.
fn circles(
    picture: &Picture,
    crews: &Crews,
    channels: &BTreeMap<UnitId, BTreeSet<ChannelId>>,
) -> Vec<BTreeSet<AgencyId>> {
    let agency_of: BTreeMap<UnitId, AgencyId> = crews
        .iter()
        .flat_map(|(agency, units)| units.iter().map(|unit| (*unit, *agency)))
        .collect();
    let mut circles: Vec<BTreeSet<AgencyId>> = crews
        .keys()
        .map(|agency| BTreeSet::from([*agency]))
        .collect();
    let mut on: BTreeMap<ChannelId, BTreeSet<AgencyId>> = BTreeMap::new();
    for (unit, agency) in &agency_of {
        for channel in channels.get(unit).into_iter().flatten() {
            on.entry(*channel).or_default().insert(*agency);
        }
    }
    for agencies in on.values() {
        merge(&mut circles, agencies);
    }
    for need in resilience::to_be_heard(picture.scenario()) {
        let side = |parties: &BTreeSet<Party>| -> BTreeSet<AgencyId> {
            let units = parties.iter().filter_map(|party| match party {
                Party::Unit(unit) => agency_of.get(unit),
                Party::Telephone(_) | Party::Headset(_) => None,
            });
            units.copied().collect()
        };
        let (from, to) = (side(&need.from), side(&need.to));
        if !from.is_empty() && !to.is_empty() {
            merge(&mut circles, &from.union(&to).copied().collect());
        }
    }
    circles
}

fn merge(circles: &mut Vec<BTreeSet<AgencyId>>, agencies: &BTreeSet<AgencyId>) {
    let (touched, mut rest): (Vec<_>, Vec<_>) = std::mem::take(circles)
        .into_iter()
        .partition(|circle| !circle.is_disjoint(agencies));
    let whole: BTreeSet<AgencyId> = touched.into_iter().flatten().collect();
    if !whole.is_empty() {
        rest.push(whole);
    }
    *circles = rest;
}

fn finding(
    picture: &Picture,
    group: ThingId,
    crews: &Crews,
    circles: &[BTreeSet<AgencyId>],
) -> Finding {
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
        Evidence::number("circles no need joins", circles.len() as f64, "circles"),
    ];
    finding.hints = vec![
        "Give each a talk group of its own, and join their commanders".to_owned(),
        "If they are meant to work on one net, write a need that says so".to_owned(),
    ];
    finding
}
