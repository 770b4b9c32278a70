//! A gateway's talk groups side by side: which ports are on which, what their channels are for, and
//! what joining does to the load of each.
//!
//! It only gathers what switches, selected channels and [`Traffic`] hold; it judges nothing.
//!
//! [`Traffic`]: super::traffic::Traffic

use std::collections::{BTreeMap, BTreeSet};

use crate::engineering::traffic::erlang_c::Waiting;
use crate::model::{
    AgencyId, Attachment, ChannelId, GatewayId, PortRef, Role, TalkGroupRef, UnitId,
};

use super::Picture;
use super::traffic::Net;

/// One talk group of a gateway, or the ports that are on none.
#[derive(Debug, Clone, PartialEq)]
pub struct Lane {
    /// The talk group; `None` for the ports switched to none.
    pub group: Option<TalkGroupRef>,
    /// The ports switched to it, by number.
    pub ports: Vec<PortRef>,
    /// What the channels selected on its donors are for, where that is noted.
    pub purposes: BTreeSet<Role>,
    /// The nets it joins, by port.
    pub shares: Vec<Share>,
}

/// A net that a donor joins to a talk group.
#[derive(Debug, Clone, PartialEq)]
pub struct Share {
    /// The port of the donor.
    pub port: PortRef,
    /// The channel selected on it.
    pub channel: ChannelId,
    /// Load of those who speak on the channel themselves, in erlangs: as it was before joining.
    pub own_erl: f64,
    /// Load of the channel with everything joined to it, in erlangs.
    pub all_erl: f64,
    /// Waiting before anything was joined.
    pub before: Waiting,
    /// Waiting now.
    pub now: Waiting,
}

impl Lane {
    /// Returns the load of the talk group; `None` for the ports on none, or where nothing is carried.
    pub fn net<'a>(&self, picture: &'a Picture) -> Option<&'a Net> {
        picture.traffic().groups.get(&self.group?)
    }

    /// Returns the longest mean wait of its nets before joining, in seconds; `None` where there is no
    /// net or where a queue already grew without end.
    pub fn longest_before_s(&self) -> Option<f64> {
        let waits = self.shares.iter().map(|share| match share.before {
            Waiting::Settles { mean_wait_s, .. } => Some(mean_wait_s),
            Waiting::GrowsWithoutEnd => None,
        });
        waits
            .collect::<Option<Vec<f64>>>()?
            .into_iter()
            .reduce(f64::max)
    }
}

/// Gathers the tactical units whose speech a net carries, by agency; units without one are left out.
pub fn tactical(picture: &Picture, net: &Net) -> BTreeMap<AgencyId, BTreeSet<UnitId>> {
    let mut crews: BTreeMap<AgencyId, BTreeSet<UnitId>> = BTreeMap::new();
    for unit in net.units.iter() {
        let found = picture.scenario().units.get(*unit);
        let tactical = found.filter(|unit| unit.role == Role::Tactical);
        if let Some(agency) = tactical.and_then(|unit| unit.agency) {
            crews.entry(agency).or_default().insert(*unit);
        }
    }
    crews
}

/// Lists the talk groups of a gateway in their order, and last the ports on none.
///
/// Complexity: linear in the gateway's ports times its talk groups.
pub fn of(picture: &Picture, gateway: GatewayId) -> Vec<Lane> {
    let (Some(found), Some(phase)) = (picture.scenario().gateways.get(gateway), picture.phase())
    else {
        return Vec::new();
    };
    let groups = found.talk_group_refs().map(Some).chain([None]);
    let lanes = groups.map(|group| {
        let ports: Vec<PortRef> = found
            .port_refs()
            .filter(|port| phase.group_of(*port) == group)
            .collect();
        lane(picture, group, ports)
    });
    lanes.collect()
}

fn lane(picture: &Picture, group: Option<TalkGroupRef>, ports: Vec<PortRef>) -> Lane {
    let mut purposes = BTreeSet::new();
    let mut shares = Vec::new();
    for port in &ports {
        let Some(channel) = channel_at(picture, *port) else {
            continue;
        };
        let found = picture.scenario().channels.get(channel);
        purposes.extend(found.and_then(|c| c.purpose));
        if let Some(net) = picture.traffic().channels.get(&channel) {
            shares.push(Share {
                port: *port,
                channel,
                own_erl: net.own_erl,
                all_erl: net.all_erl,
                before: net.before,
                now: net.now,
            });
        }
    }
    Lane {
        group,
        ports,
        purposes,
        shares,
    }
}

/// Returns the channel selected on the donor at a port.
fn channel_at(picture: &Picture, port: PortRef) -> Option<ChannelId> {
    let phase = picture.phase()?;
    let Attachment::Radio { radio, .. } = phase.attachments.get(&port)? else {
        return None;
    };
    let radio = picture.scenario().radios.get(*radio)?;
    picture.scenario().selected_channel(phase, radio)
}
