//! Which things a graft copies, and which of the target's own it uses.

use std::collections::{BTreeMap, BTreeSet};

use crate::model::id::ThingId;
use crate::model::phase::Attachment;
use crate::model::scenario::Scenario;

use super::twin::twin;
use super::{Bed, Cutting, Sharing, whole};

/// What to copy, and what stands for something of the origin already.
pub(super) struct Gathered {
    /// Things of the origin to copy.
    pub(super) copied: BTreeSet<ThingId>,
    /// Things of the origin for which the target has its own.
    pub(super) shared: BTreeMap<ThingId, ThingId>,
}

pub(super) fn gather(cutting: &Cutting<'_>, target: &Scenario, bed: &Bed) -> Gathered {
    let origin = cutting.origin;
    let asked: BTreeSet<ThingId> = cutting
        .things
        .iter()
        .filter_map(|thing| whole(*thing))
        .filter(|thing| origin.contains(*thing))
        .collect();
    let only_leaned_on = asked.iter().all(|thing| is_leaned_on(*thing));
    let may_share = |thing: ThingId| match bed.sharing {
        Sharing::Everything => true,
        Sharing::Companions if asked.contains(&thing) => !only_leaned_on && is_leaned_on(thing),
        // What was brought by an agency or a system that is copied is copied with it.
        Sharing::Companions => false,
    };
    let mut out = Gathered {
        copied: BTreeSet::new(),
        shared: BTreeMap::new(),
    };
    let mut open: Vec<ThingId> = Vec::new();
    let mut brought: BTreeSet<ThingId> = BTreeSet::new();
    let mut bring: Vec<ThingId> = asked.iter().copied().collect();
    while let Some(thing) = bring.pop() {
        if !brought.insert(thing) {
            continue;
        }
        bring.extend(brings(cutting, thing));
        if let Some(own) = twin(origin, target, thing).filter(|_| may_share(thing)) {
            out.shared.insert(thing, own);
        } else {
            out.copied.insert(thing);
            open.push(thing);
        }
    }
    while let Some(thing) = open.pop() {
        for support in leans_on(cutting, thing) {
            if out.copied.contains(&support) || out.shared.contains_key(&support) {
                continue;
            }
            let own = if bed.same {
                Some(support)
            } else {
                twin(origin, target, support)
            };
            if let Some(own) = own {
                out.shared.insert(support, own);
                continue;
            }
            out.copied.insert(support);
            open.push(support);
            // Somebody a need speaks of comes with the gear in hand.
            for gear in brings(cutting, support) {
                if matches!(support, ThingId::Unit(_)) && out.copied.insert(gear) {
                    open.push(gear);
                }
            }
        }
    }
    out.copied.extend(ties_between(cutting, &out.copied));
    out
}

/// Tells whether others lean on a thing of this kind, so that it is rather shared than copied.
fn is_leaned_on(thing: ThingId) -> bool {
    matches!(
        thing,
        ThingId::System(_) | ThingId::Channel(_) | ThingId::Cable(_) | ThingId::Site(_)
    )
}

/// Lists what belongs to a thing and goes where it goes.
fn brings(cutting: &Cutting<'_>, thing: ThingId) -> Vec<ThingId> {
    let s = cutting.origin;
    let mut out: Vec<ThingId> = Vec::new();
    match thing {
        ThingId::Agency(id) => {
            let units = s.units.iter().filter(|u| u.agency == Some(id));
            out.extend(units.map(|u| ThingId::from(u.id)));
        }
        ThingId::Unit(id) => {
            out.extend(s.radios_of(id).map(|r| ThingId::from(r.id)));
            let telephones = s.telephones.iter().filter(|t| t.held_by == Some(id));
            out.extend(telephones.map(|t| ThingId::from(t.id)));
            let headsets = s.headsets.iter().filter(|h| h.held_by == Some(id));
            out.extend(headsets.map(|h| ThingId::from(h.id)));
        }
        ThingId::System(id) => {
            let channels = s.channels.iter().filter(|c| c.system == id);
            out.extend(channels.map(|c| ThingId::from(c.id)));
        }
        ThingId::Gateway(id) if cutting.attached => {
            let phase = s.phases.get(cutting.phase);
            let plugged = phase.into_iter().flat_map(|p| &p.attachments);
            for (_, attachment) in plugged.filter(|(port, _)| port.gateway == id) {
                match attachment {
                    Attachment::Radio { radio, .. } => out.push((*radio).into()),
                    Attachment::Telephone(id) => out.push((*id).into()),
                    Attachment::Headset(id) => out.push((*id).into()),
                    Attachment::Tie(_) => {}
                }
            }
        }
        _ => {}
    }
    out
}

/// Lists what a thing refers to and cannot do without.
fn leans_on(cutting: &Cutting<'_>, thing: ThingId) -> Vec<ThingId> {
    let s = cutting.origin;
    let mut out: Vec<ThingId> = Vec::new();
    match thing {
        ThingId::Unit(id) => {
            let agency = s.units.get(id).and_then(|u| u.agency);
            out.extend(agency.map(ThingId::from));
        }
        ThingId::Channel(id) => out.extend(s.channels.get(id).map(|c| ThingId::from(c.system))),
        ThingId::Radio(id) => {
            let entries = s.radios.get(id).into_iter().flat_map(|r| &r.programmed);
            out.extend(entries.map(|p| ThingId::from(p.channel)));
        }
        ThingId::Gateway(id) => {
            let site = s.gateways.get(id).and_then(|g| g.site);
            out.extend(site.map(ThingId::from));
            let phase = s.phases.get(cutting.phase).filter(|_| cutting.attached);
            let plugged = phase.into_iter().flat_map(|p| &p.attachments);
            let cables =
                plugged
                    .filter(|(port, _)| port.gateway == id)
                    .filter_map(|(_, attachment)| match attachment {
                        Attachment::Radio { cable, .. } => *cable,
                        _ => None,
                    });
            out.extend(cables.map(ThingId::from));
        }
        ThingId::Need(id) => {
            let parties = s.needs.get(id).into_iter();
            let parties = parties.flat_map(|n| n.from.iter().chain(&n.to));
            out.extend(parties.copied().map(ThingId::from));
        }
        ThingId::Agreement(id) => {
            if let Some(agreement) = s.agreements.get(id) {
                out.extend(agreement.agencies.iter().copied().map(ThingId::from));
                out.extend(agreement.channels.iter().copied().map(ThingId::from));
            }
        }
        _ => {}
    }
    out
}

/// Lists the ties of which both ends are plugged into gateways that are copied.
fn ties_between(cutting: &Cutting<'_>, copied: &BTreeSet<ThingId>) -> Vec<ThingId> {
    let s = cutting.origin;
    let Some(phase) = s.phases.get(cutting.phase).filter(|_| cutting.attached) else {
        return Vec::new();
    };
    let both = |tie| {
        let ends: Vec<_> = phase.ports_of_tie(tie).collect();
        ends.len() == 2 && ends.iter().all(|p| copied.contains(&p.gateway.into()))
    };
    s.ties
        .ids()
        .filter(|tie| both(*tie))
        .map(ThingId::from)
        .collect()
}
