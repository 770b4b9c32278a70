//! Who is assigned to a channel, in a phase and by agreement: one answer for tables and for paper.

use std::collections::{BTreeMap, BTreeSet};

use crate::model::{Channel, ChannelId, PortRef, Role, Scenario, UnitId};
use crate::picture::Picture;

/// Who uses a channel in a phase.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Assigned {
    /// Units that have it selected on a radio they carry.
    pub units: BTreeSet<UnitId>,
    /// Units that have another channel selected and scan this one.
    pub scanning: BTreeSet<UnitId>,
    /// Ports of the donors that have it selected.
    pub ports: BTreeSet<PortRef>,
    /// What those units do.
    pub roles: BTreeSet<Role>,
}

/// Returns for each channel that somebody selects or scans who does.
pub fn assigned(picture: &Picture) -> BTreeMap<ChannelId, Assigned> {
    let s = picture.scenario();
    let mut all: BTreeMap<ChannelId, Assigned> = BTreeMap::new();
    for (channel, radios) in picture.users() {
        let each = all.entry(channel.id).or_default();
        for radio in radios.iter().filter_map(|id| s.radios.get(*id)) {
            if let Some(port) = picture.port_of(radio.id) {
                each.ports.insert(port);
            } else if let Some(unit) = radio.held_by.and_then(|u| s.units.get(u)) {
                each.units.insert(unit.id);
                each.roles.insert(unit.role);
            }
        }
    }
    for radio in s.radios.iter() {
        let Some(unit) = radio.held_by else { continue };
        if picture.port_of(radio.id).is_some() {
            continue;
        }
        for channel in radio.scans.iter().filter(|c| radio.entry(**c).is_some()) {
            let each = all.entry(*channel).or_default();
            if !each.units.contains(&unit) {
                each.scanning.insert(unit);
            }
        }
    }
    all
}

impl Assigned {
    /// Returns what the channel is used for: as it is defined, else what those do who use it.
    pub fn role(&self, channel: &Channel) -> Option<Role> {
        channel.purpose.or_else(|| self.roles.first().copied())
    }

    /// Names everybody: units, those who scan, donors with the talk group of their port.
    pub fn words(&self, picture: &Picture) -> String {
        let s = picture.scenario();
        let units = self.units.iter().map(|u| s.name((*u).into()));
        let scanning = self.scanning.iter();
        let scanning = scanning.map(|u| format!("{} (scans)", s.name((*u).into())));
        // Two donors on one channel and talk group are read as one entry.
        let mut ports: BTreeMap<_, Vec<PortRef>> = BTreeMap::new();
        for port in &self.ports {
            let group = picture.phase().and_then(|p| p.group_of(*port));
            let place = (port.gateway, group.map(|g| g.group));
            ports.entry(place).or_default().push(*port);
        }
        let ports = ports.into_iter().map(|((_, group), ports)| {
            let first = ports
                .first()
                .map_or_else(String::new, |p| s.name((*p).into()));
            let more = ports.iter().skip(1).map(|p| format!(" and {}", p.port));
            let group = group.map_or("on no talk group".to_owned(), |g| format!("talk group {g}"));
            format!("{first}{} ({group})", more.collect::<String>())
        });
        let names: Vec<String> = units.chain(scanning).chain(ports).collect();
        names.join(", ")
    }

    /// Names each talk group that joins the channel with anything else, once.
    pub fn joined(&self, picture: &Picture) -> Vec<String> {
        let s = picture.scenario();
        let Some(phase) = picture.phase() else {
            return Vec::new();
        };
        let is_plugged = |port: &PortRef| phase.attachments.contains_key(port);
        let groups = self.ports.iter().filter_map(|port| phase.group_of(*port));
        let groups: BTreeSet<_> = groups.collect();
        groups
            .into_iter()
            .filter(|group| {
                let on_it = phase
                    .switches
                    .keys()
                    .filter(|port| is_plugged(port) && phase.group_of(**port) == Some(*group));
                on_it.count() > 1
            })
            .map(|group| s.name(group.into()))
            .collect()
    }
}

/// Names who may use a channel by an agreement; without one, the agencies whose radios have it.
pub fn eligible(s: &Scenario, channel: &Channel) -> String {
    let agreements = s
        .agreements
        .iter()
        .filter(|a| a.channels.contains(&channel.id));
    let by_agreement: Vec<String> = agreements
        .map(|agreement| {
            let agencies = agreement.agencies.iter().map(|a| s.name((*a).into()));
            let agencies: Vec<String> = agencies.collect();
            format!("{} ({})", agencies.join(", "), agreement.name)
        })
        .collect();
    if !by_agreement.is_empty() {
        return by_agreement.join("; ");
    }
    let radios = s.radios.iter().filter(|r| r.entry(channel.id).is_some());
    let agencies: BTreeSet<_> = radios
        .filter_map(|r| {
            let unit = r.held_by.and_then(|u| s.units.get(u));
            unit.and_then(|u| u.agency).or(r.owner)
        })
        .collect();
    let names: Vec<String> = agencies.into_iter().map(|a| s.name(a.into())).collect();
    names.join(", ")
}
