//! The radios at ports that a way could use, and where to find those worth asking.

use std::collections::{BTreeMap, BTreeSet};

use crate::hearing::rules::{self, Spot};
use crate::model::connect::fitting_cable;
use crate::model::{
    Attachment, ChannelId, Frequency, GatewayId, Phase, PortKind, PortRef, Radio, RadioId, Scenario,
};

use super::change::{Change, Maker};

/// A radio at a port, plugged in today or not.
pub(super) struct Donor<'a> {
    pub(super) port: PortRef,
    pub(super) radio: &'a Radio,
    /// What has to be done so that its cable carries audio.
    pub(super) cabling: Vec<Change>,
}

/// Where to look instead of everywhere.
#[derive(Default)]
pub(super) struct Index {
    /// Channels of repeaters, by input frequency.
    pub(super) repeaters: BTreeMap<Frequency, Vec<ChannelId>>,
    /// Donors of a gateway.
    pub(super) at: BTreeMap<GatewayId, Vec<usize>>,
    /// Donors that listen somewhere as they are set.
    now: BTreeMap<Spot, Vec<usize>>,
    /// Donors that could listen somewhere by one change or a few, short of a new channel.
    soon: BTreeMap<Spot, Vec<usize>>,
}

impl Index {
    pub(super) fn new(scenario: &Scenario, phase: &Phase, donors: &[Donor<'_>]) -> Self {
        let mut index = Self::default();
        for channel in scenario.channels.iter() {
            if let Some(c) = channel.conventional()
                && scenario
                    .systems
                    .get(channel.system)
                    .is_some_and(|s| s.kind.repeats())
            {
                index.repeaters.entry(c.tx).or_default().push(channel.id);
            }
        }
        for (number, donor) in donors.iter().enumerate() {
            index.at.entry(donor.port.gateway).or_default().push(number);
            let selected = scenario.selected_channel(phase, donor.radio);
            for entry in &donor.radio.programmed {
                let Some(channel) = scenario.channels.get(entry.channel) else {
                    continue;
                };
                let is_on =
                    selected == Some(entry.channel) || donor.radio.scans.contains(&entry.channel);
                let has = rules::listens_at(channel, entry.effective(channel).carrier);
                let defined = rules::listens_at(channel, channel.carrier);
                if is_on {
                    index.now.entry(has).or_default().push(number);
                }
                for spot in [has, defined] {
                    index.soon.entry(spot).or_default().push(number);
                }
            }
        }
        for list in index.now.values_mut().chain(index.soon.values_mut()) {
            list.dedup();
        }
        index
    }

    /// Lists the donors worth asking when so many changes are left to spend.
    pub(super) fn listening(&self, spot: Spot, left: u32, all: usize) -> Vec<usize> {
        match left {
            0 => self.now.get(&spot).cloned().unwrap_or_default(),
            1 => self.soon.get(&spot).cloned().unwrap_or_default(),
            _ => (0..all).collect(),
        }
    }
}

pub(super) fn free_ports<'a>(
    scenario: &'a Scenario,
    phase: &'a Phase,
    kind: PortKind,
) -> impl Iterator<Item = PortRef> + 'a {
    scenario.gateways.iter().flat_map(move |gateway| {
        gateway
            .ports
            .iter()
            .filter(move |p| p.kind == kind)
            .map(|p| PortRef {
                gateway: gateway.id,
                port: p.number,
            })
            .filter(|port| !phase.attachments.contains_key(port))
    })
}

/// Lists radios at ports: those plugged in, and those of the pool at the first free port of each
/// gateway that a cable at hand fits.
pub(super) fn donors<'a>(
    scenario: &'a Scenario,
    phase: &'a Phase,
    in_use: &BTreeSet<RadioId>,
    maker: Maker<'a>,
) -> Vec<Donor<'a>> {
    let mut donors = Vec::new();
    for (port, attachment) in &phase.attachments {
        let Attachment::Radio { radio, cable } = attachment else {
            continue;
        };
        let (Some(found), Some(socket)) = (scenario.radios.get(*radio), scenario.port(*port))
        else {
            continue;
        };
        let fits = cable
            .and_then(|c| scenario.cables.get(c))
            .is_none_or(|c| c.fits(&found.connector, &socket.connector));
        let cabling = if fits {
            Vec::new()
        } else {
            vec![maker.recable(*port, *radio, fitting_cable(scenario, phase, *radio, *port))]
        };
        donors.push(Donor {
            port: *port,
            radio: found,
            cabling,
        });
    }
    let mut first_free: BTreeMap<_, PortRef> = BTreeMap::new();
    for port in free_ports(scenario, phase, PortKind::Radio) {
        first_free.entry(port.gateway).or_insert(port);
    }
    let pool = scenario
        .radios
        .iter()
        .filter(|r| r.held_by.is_none() && !in_use.contains(&r.id));
    for radio in pool {
        for port in first_free.values() {
            if let Some(cable) = fitting_cable(scenario, phase, radio.id, *port) {
                let attachment = Attachment::Radio {
                    radio: radio.id,
                    cable: Some(cable),
                };
                donors.push(Donor {
                    port: *port,
                    radio,
                    cabling: vec![maker.plug(*port, attachment)],
                });
            }
        }
    }
    donors
}
