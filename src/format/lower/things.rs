//! The things of each list, but phases, from the file's types to the model's.
//!
//! Keys are looked up through [`Lowering`], which reports those that name nothing.

use std::collections::BTreeSet;

use crate::format::convert::{
    carrier, key_ref, keying, programmed as programmed_entry, protection,
};
use crate::format::tree::{Node, quoted};
use crate::format::v1;
use crate::model::{self, GatewayId, Kind, Party, RadioId};

use super::Lowering;

impl Lowering<'_> {
    pub(super) fn unit(&mut self, t: v1::Unit, number: u32) -> model::Unit {
        model::Unit {
            id: model::UnitId(number),
            agency: t
                .agency
                .map(|key| model::AgencyId(self.field(Kind::Agency, &key, "agency"))),
            name: t.name.unwrap_or_else(|| t.key.clone()),
            key: t.key,
            heads: t.heads,
            role: t.role.into(),
            messages_per_hour: t.messages_per_hour,
            seconds_per_message: t.seconds_per_message,
            notes: t.notes,
        }
    }

    pub(super) fn channel(&mut self, t: v1::Channel, number: u32) -> model::Channel {
        model::Channel {
            id: model::ChannelId(number),
            name: t.name.unwrap_or_else(|| t.key.clone()),
            key: t.key,
            system: model::SystemId(self.field(Kind::System, &t.system, "system")),
            carrier: carrier(&t.carrier),
            protection: protection(t.encryption),
            encrypted_only: t.encrypted_only,
            purpose: t.purpose.map(Into::into),
            notes: t.notes,
        }
    }

    pub(super) fn radio(&mut self, t: v1::Radio, number: u32) -> model::Radio {
        let id = RadioId(number);
        let nodes = self.spot.node.and_then(|n| n.field("programmed"));
        let nodes = nodes.map_or(&[][..], Node::items);
        let mut programmed: Vec<model::Programmed> = Vec::new();
        let mut seen = BTreeSet::new();
        for (i, entry) in t.programmed.into_iter().enumerate() {
            let entry = entry.full();
            let node = nodes.get(i);
            let at = node.map(|n| n.field("channel").unwrap_or(n).at);
            let step = format!(".programmed[{i}]");
            let channel = self.find(Kind::Channel, &entry.channel, at, &step);
            if channel != 0 && !seen.insert(channel) {
                let message = format!("{} is programmed twice", quoted(&entry.channel));
                self.fault(at, &step, message, None);
            }
            programmed.push(programmed_entry(entry, model::ChannelId(channel)));
        }
        let selected = t
            .selected
            .map(|key| (self.field(Kind::Channel, &key, "selected"), key));
        let scans = self.list(Kind::Channel, &t.scans, "scans");
        let used = selected
            .iter()
            .map(|(channel, key)| ("selected", *channel, key))
            .chain(
                scans
                    .iter()
                    .copied()
                    .zip(&t.scans)
                    .map(|(c, key)| ("scans", c, key)),
            );
        for (field, channel, key) in used {
            if channel != 0 && !seen.contains(&channel) {
                let at = self.spot.node.and_then(|n| n.field(field)).map(|n| n.at);
                let message = format!("{} is not programmed in this radio", quoted(key));
                self.fault(at, &format!(".{field}"), message, None);
            }
        }
        model::Radio {
            id,
            owner: t
                .owner
                .map(|key| model::AgencyId(self.field(Kind::Agency, &key, "owner"))),
            held_by: t
                .held_by
                .map(|key| model::UnitId(self.field(Kind::Unit, &key, "held_by"))),
            name: t.name.unwrap_or_else(|| t.key.clone()),
            key: t.key,
            family: t.family,
            bands: t
                .bands_mhz
                .into_iter()
                .map(|(low, high)| model::Band {
                    low: low.0,
                    high: high.0,
                })
                .collect(),
            modes: t.modes.into_iter().map(Into::into).collect(),
            connector: t.connector,
            power_w: t.power_w,
            battery_mah: t.battery_mah,
            outside_power: t.outside_power,
            draw: t.draw.map(|d| model::Draw {
                transmit_ma: d.transmit_ma,
                receive_ma: d.receive_ma,
                standby_ma: d.standby_ma,
            }),
            keys: t
                .keys
                .into_iter()
                .map(|k| key_ref(k.algorithm, k.number))
                .collect(),
            programmed,
            selected: selected.map(|(channel, _)| model::ChannelId(channel)),
            scans: scans.into_iter().map(model::ChannelId).collect(),
            notes: t.notes,
        }
    }

    pub(super) fn gateway(&mut self, t: v1::Gateway, number: u32) -> model::Gateway {
        model::Gateway {
            id: GatewayId(number),
            owner: t
                .owner
                .map(|key| model::AgencyId(self.field(Kind::Agency, &key, "owner"))),
            site: t
                .site
                .map(|key| model::SiteId(self.field(Kind::Site, &key, "site"))),
            name: t.name.unwrap_or_else(|| t.key.clone()),
            key: t.key,
            ports: t
                .ports
                .into_iter()
                .map(|p| model::Port {
                    number: p.number,
                    kind: p.kind.into(),
                    connector: p.connector,
                    buffer_ms: p.buffer_ms,
                    keying: keying(p.keying),
                    level: p.level.into(),
                })
                .collect(),
            talk_groups: t
                .talk_groups
                .into_iter()
                .map(|g| model::TalkGroup {
                    number: g.number,
                    name: g.name,
                    purpose: g.purpose.map(Into::into),
                })
                .collect(),
            latency_ms: t.latency_ms,
            draw_ma: t.draw_ma,
            battery_mah: t.battery_mah,
            cells: t.cells.map(|c| model::Cells {
                chemistry: c.chemistry.into(),
                count: c.count,
                end_v: c.end_v,
            }),
            supply_v: t.supply_v,
            ingress: t.ingress,
            lid_shut: t.lid_shut.into_iter().map(Into::into).collect(),
            notes: t.notes,
        }
    }

    pub(super) fn telephone(&mut self, t: v1::Telephone, number: u32) -> model::Telephone {
        model::Telephone {
            id: model::TelephoneId(number),
            held_by: t
                .held_by
                .map(|key| model::UnitId(self.field(Kind::Unit, &key, "held_by"))),
            name: t.name.unwrap_or_else(|| t.key.clone()),
            key: t.key,
            kind: t.kind.into(),
            far_end: t.far_end,
            number: t.number,
            answers_itself: t.answers_itself,
            latency_ms: t.latency_ms,
            notes: t.notes,
        }
    }

    pub(super) fn headset(&mut self, t: v1::Headset, number: u32) -> model::Headset {
        model::Headset {
            id: model::HeadsetId(number),
            held_by: t
                .held_by
                .map(|key| model::UnitId(self.field(Kind::Unit, &key, "held_by"))),
            name: t.name.unwrap_or_else(|| t.key.clone()),
            key: t.key,
            connector: t.connector,
            notes: t.notes,
        }
    }

    pub(super) fn site(&mut self, t: v1::Site, number: u32) -> model::Site {
        let nodes = self.spot.node.and_then(|n| n.field("antennas"));
        let nodes = nodes.map_or(&[][..], Node::items);
        let antennas = t
            .antennas
            .into_iter()
            .enumerate()
            .map(|(i, a)| model::Antenna {
                name: a.name,
                radio: a.radio.map(|key| {
                    let at = nodes.get(i).and_then(|n| n.field("radio")).map(|n| n.at);
                    let step = format!(".antennas[{i}].radio");
                    RadioId(self.find(Kind::Radio, &key, at, &step))
                }),
                height_m: a.height_m,
                east_m: a.east_m,
                north_m: a.north_m,
                gain_dbi: a.gain_dbi,
            })
            .collect();
        model::Site {
            id: model::SiteId(number),
            name: t.name.unwrap_or_else(|| t.key.clone()),
            key: t.key,
            contaminated: t.contaminated,
            temperature_c: t.temperature_c,
            supply_v: t.supply_v,
            antennas,
            notes: t.notes,
        }
    }

    pub(super) fn need(&mut self, t: v1::Need, number: u32) -> model::Need {
        model::Need {
            id: model::NeedId(number),
            from: self.parties(&t.from, "from"),
            to: self.parties(&t.to, "to"),
            name: t.name.unwrap_or_else(|| t.key.clone()),
            key: t.key,
            way: t.way.into(),
            priority: t.priority.into(),
            encrypted: t.encrypted,
            max_delay_ms: t.max_delay_ms,
            notes: t.notes,
        }
    }

    pub(super) fn parties(&mut self, parties: &[v1::Party], name: &str) -> BTreeSet<Party> {
        let node = self.spot.node.and_then(|n| n.field(name));
        let nodes = node.map_or(&[][..], Node::items);
        parties
            .iter()
            .enumerate()
            .map(|(i, party)| {
                let at = nodes.get(i).map(|n| n.at);
                self.party(party, at, &format!(".{name}[{i}]"))
            })
            .collect()
    }

    pub(super) fn party(&mut self, party: &v1::Party, at: Option<usize>, step: &str) -> Party {
        match party {
            v1::Party::Unit(key) => {
                Party::Unit(model::UnitId(self.find(Kind::Unit, key, at, step)))
            }
            v1::Party::Telephone(key) => {
                let number = self.find(Kind::Telephone, key, at, step);
                Party::Telephone(model::TelephoneId(number))
            }
            v1::Party::Headset(key) => {
                Party::Headset(model::HeadsetId(self.find(Kind::Headset, key, at, step)))
            }
        }
    }

    pub(super) fn agreement(&mut self, t: v1::Agreement, number: u32) -> model::Agreement {
        let agencies = self.list(Kind::Agency, &t.agencies, "agencies");
        let channels = self.list(Kind::Channel, &t.channels, "channels");
        model::Agreement {
            id: model::AgreementId(number),
            name: t.name.unwrap_or_else(|| t.key.clone()),
            key: t.key,
            agencies: agencies.into_iter().map(model::AgencyId).collect(),
            channels: channels.into_iter().map(model::ChannelId).collect(),
            notes: t.notes,
        }
    }
}

/// Lowers an agency.
pub(super) fn agency(t: v1::Agency, number: u32) -> model::Agency {
    model::Agency {
        id: model::AgencyId(number),
        name: t.name.unwrap_or_else(|| t.key.clone()),
        key: t.key,
        short: t.short,
        discipline: t.discipline.into(),
        level: t.level.into(),
        notes: t.notes,
    }
}

/// Lowers a system.
pub(super) fn system(t: v1::System, number: u32) -> model::System {
    model::System {
        id: model::SystemId(number),
        name: t.name.unwrap_or_else(|| t.key.clone()),
        key: t.key,
        kind: t.kind.into(),
        access_ms: t.access_ms,
        latency_ms: t.latency_ms,
        hang_ms: t.hang_ms,
        talk_paths: t.talk_paths,
        coverage: t.coverage,
        notes: t.notes,
    }
}

/// Lowers a tie.
pub(super) fn tie(t: v1::Tie, number: u32) -> model::Tie {
    model::Tie {
        id: model::TieId(number),
        name: t.name.unwrap_or_else(|| t.key.clone()),
        key: t.key,
        kind: t.kind.into(),
        latency_ms: t.latency_ms,
        encrypted: t.encrypted,
        notes: t.notes,
    }
}

/// Lowers a cable.
pub(super) fn cable(t: v1::Cable, number: u32) -> model::Cable {
    model::Cable {
        id: model::CableId(number),
        name: t.name.unwrap_or_else(|| t.key.clone()),
        key: t.key,
        radio_connector: t.radio_connector,
        port_connector: t.port_connector,
        count: t.count,
        notes: t.notes,
    }
}

/// Lowers a stock.
pub(super) fn stock(t: v1::Stock, number: u32) -> model::Stock {
    model::Stock {
        id: model::StockId(number),
        name: t.name.unwrap_or_else(|| t.key.clone()),
        key: t.key,
        kind: t.kind.into(),
        count: t.count,
        notes: t.notes,
    }
}
