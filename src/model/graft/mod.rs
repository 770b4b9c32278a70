//! Things of one scenario put into another, or once more into the same: copies as edits.
//!
//! A graft takes along what the things cannot do without, uses again what the target has already, and
//! gives every copy an id, a key and a name of its own. The answer is a list of edits for the gate;
//! nothing is changed here. A phase is not grafted: its switches come with the gateways they belong to.

mod copy;
mod gather;
mod names;
mod twin;

use std::collections::{BTreeMap, BTreeSet};

use super::edit::Edit;
use super::id::{PhaseId, ThingId};
use super::scenario::{Place, Scenario};

pub use names::next_name;

/// What is taken, and from where.
#[derive(Debug, Clone, Copy)]
pub struct Cutting<'a> {
    /// The scenario the things come from.
    pub origin: &'a Scenario,
    /// The phase of the origin whose attachments, switches and selected channels count.
    pub phase: PhaseId,
    /// The things asked for; a port or talk group stands for its gateway.
    pub things: &'a BTreeSet<ThingId>,
    /// A gateway brings what is plugged into it, the cables between, and its switch positions.
    pub attached: bool,
}

/// When the target's own things are used instead of copies of the same.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sharing {
    /// What came along uninvited is shared; what was asked for is copied. Systems, channels, cables
    /// and sites are copied only where nothing else was asked for.
    Companions,
    /// Whatever the target has already is shared, asked for or not.
    Everything,
}

/// Where the copies go.
#[derive(Debug, Clone, Copy)]
pub struct Bed {
    /// The phase of the target that takes attachments, switches and selected channels.
    pub phase: PhaseId,
    /// How far the copies stand from the originals, in board points.
    pub shift: Place,
    /// When something of the target serves instead of a copy.
    pub sharing: Sharing,
    /// Origin and target are one scenario, so that a copy may lean on what its original leans on.
    pub same: bool,
}

/// Edits that make the copies, and what became of what.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Grafted {
    /// The edits, in an order the gate takes.
    pub edits: Vec<Edit>,
    /// For each thing of the origin that was needed, its copy or the target's own.
    pub became: BTreeMap<ThingId, ThingId>,
    /// The copies among them; the others were there already.
    pub fresh: BTreeSet<ThingId>,
    /// What the things asked for became: for a selection.
    pub asked: Vec<ThingId>,
}

/// Puts things into a target.
///
/// # Arguments
///
/// Things asked for that the origin does not hold are passed over.
///
/// # Returns
///
/// The edits for the target; the same arguments give the same edits.
pub fn graft(cutting: &Cutting<'_>, target: &Scenario, bed: &Bed) -> Grafted {
    let gathered = gather::gather(cutting, target, bed);
    copy::copy(cutting, target, bed, gathered)
}

/// Puts copies of things beside them.
pub fn duplicate(
    scenario: &Scenario,
    phase: PhaseId,
    things: &BTreeSet<ThingId>,
    shift: Place,
) -> Grafted {
    let cutting = Cutting {
        origin: scenario,
        phase,
        things,
        attached: true,
    };
    let bed = Bed {
        phase,
        shift,
        sharing: Sharing::Companions,
        same: true,
    };
    graft(&cutting, scenario, &bed)
}

/// Lists everything of a scenario that can be grafted.
pub fn everything(scenario: &Scenario) -> BTreeSet<ThingId> {
    let s = scenario;
    let mut all = BTreeSet::new();
    all.extend(s.agencies.ids().map(ThingId::from));
    all.extend(s.units.ids().map(ThingId::from));
    all.extend(s.systems.ids().map(ThingId::from));
    all.extend(s.channels.ids().map(ThingId::from));
    all.extend(s.radios.ids().map(ThingId::from));
    all.extend(s.gateways.ids().map(ThingId::from));
    all.extend(s.ties.ids().map(ThingId::from));
    all.extend(s.telephones.ids().map(ThingId::from));
    all.extend(s.headsets.ids().map(ThingId::from));
    all.extend(s.cables.ids().map(ThingId::from));
    all.extend(s.sites.ids().map(ThingId::from));
    all.extend(s.needs.ids().map(ThingId::from));
    all.extend(s.stock.ids().map(ThingId::from));
    all.extend(s.agreements.ids().map(ThingId::from));
    all
}

/// Returns the thing that is copied when a thing is asked for; a phase is not.
pub fn whole(thing: ThingId) -> Option<ThingId> {
    match thing {
        ThingId::Phase(_) => None,
        ThingId::Port(port) => Some(port.gateway.into()),
        ThingId::TalkGroup(group) => Some(group.gateway.into()),
        other => Some(other),
    }
}
