//! New systems, channels, gateways, telephones, headsets and sites.

use egui::vec2;

use crate::layout::{CARD_W, CHIP_H, PILL_W};
use crate::model::{
    AccessCode, Carrier, Channel, ChannelId, Conventional, Edit, Frequency, Gateway, GatewayId,
    Headset, HeadsetId, Keying, LevelSetting, Mode, Port, PortKind, PortRef, Protection, Role,
    Site, SiteId, System, SystemId, SystemKind, TalkGroup, Telephone, TelephoneId, TelephoneKind,
    ThingId,
};

use super::{Made, Shelf, fresh};

impl Shelf<'_> {
    pub(super) fn system_of(&self, offset: u32) -> System {
        System {
            id: SystemId(self.s.mint(offset)),
            key: String::new(),
            name: fresh("System", &self.s.systems),
            kind: SystemKind::Simplex,
            access_ms: 0,
            latency_ms: 0,
            hang_ms: 0,
            talk_paths: 1,
            coverage: 1.0,
            notes: String::new(),
        }
    }

    pub(super) fn system(&self) -> Made {
        self.with_place(self.system_of(0), vec2(PILL_W + 24.0, 48.0))
    }

    /// The system a dropped channel belongs to: the one below it, the nearest, or the first.
    pub(super) fn system_here(&self) -> Option<&System> {
        let carries = |x: &&System| x.kind != SystemKind::Telephone;
        let dropped = match self.on {
            Some(ThingId::System(id)) => self.s.systems.get(id),
            Some(ThingId::Channel(id)) => {
                let channel = self.s.channels.get(id)?;
                self.s.systems.get(channel.system)
            }
            _ => None,
        };
        let nearest = self.at.and_then(|at| {
            let distance = |x: &System| {
                self.layout
                    .rect(x.id.into())
                    .map_or(f32::MAX, |r| r.distance_sq_to_pos(at))
            };
            self.s
                .systems
                .iter()
                .filter(carries)
                .min_by(|a, b| distance(a).total_cmp(&distance(b)))
        });
        dropped
            .filter(carries)
            .or(nearest)
            .or_else(|| self.s.systems.iter().find(carries))
    }

    pub(super) fn channel(&self) -> Made {
        let mut edits = Vec::new();
        let (system, is_conventional) = if let Some(system) = self.system_here() {
            (system.id, system.kind.is_conventional())
        } else {
            // The frame of the new system stands around the drop.
            let system = self.system_of(0);
            let answer = (system.id, true);
            edits.extend(self.with_place(system, vec2(PILL_W + 24.0, 96.0)).0);
            answer
        };
        let added = edits.iter().filter(|e| matches!(e, Edit::Add(_))).count();
        let id = ChannelId(self.s.mint(added as u32));
        let n = self.s.channels.len() as u64;
        let carrier = if is_conventional {
            // A frequency of its own, so that a new channel is not heard on an old one.
            let frequency = Frequency::from_hertz(151_000_000 + n * 15_000);
            Carrier::Conventional(Conventional {
                rx: frequency,
                tx: frequency,
                rx_code: AccessCode::None,
                tx_code: AccessCode::None,
                mode: Mode::Fm,
                mixed: false,
                bandwidth_hz: 12_500,
            })
        } else {
            let highest = self
                .s
                .channels
                .iter()
                .filter(|c| c.system == system)
                .filter_map(|c| match c.carrier {
                    Carrier::Grouped { group, .. } => Some(group),
                    Carrier::Conventional(_) => None,
                })
                .max()
                .unwrap_or(0);
            Carrier::Grouped {
                group: highest + 1,
                mode: Mode::P25,
            }
        };
        let channel = Channel {
            id,
            key: String::new(),
            name: fresh("Channel", &self.s.channels),
            system,
            carrier,
            protection: Protection::Clear,
            encrypted_only: false,
            purpose: None,
            notes: String::new(),
        };
        edits.push(Edit::Add(channel.into()));
        (edits, id.into())
    }

    pub(super) fn gateway(&self) -> Made {
        let kinds = [
            PortKind::Radio,
            PortKind::Radio,
            PortKind::Radio,
            PortKind::Radio,
            PortKind::Radio,
            PortKind::Telephone,
            PortKind::Headset,
            PortKind::Ip,
        ];
        let connector = self
            .s
            .cables
            .first()
            .map(|c| c.port_connector.clone())
            .unwrap_or_default();
        let ports = kinds
            .into_iter()
            .zip(1..)
            .map(|(kind, number)| Port {
                number,
                kind,
                connector: if kind == PortKind::Radio {
                    connector.clone()
                } else {
                    String::new()
                },
                buffer_ms: 0,
                keying: Keying::PttLine,
                level: LevelSetting::Mid,
            })
            .collect();
        let group = |number, name: &str, purpose| TalkGroup {
            number,
            name: name.to_owned(),
            purpose: Some(purpose),
        };
        let site = match self.on {
            Some(ThingId::Site(id)) => Some(id),
            _ => None,
        };
        let gateway = Gateway {
            id: GatewayId(self.s.mint(0)),
            key: String::new(),
            name: fresh("Gateway", &self.s.gateways),
            owner: self.agency_here(),
            site,
            ports,
            talk_groups: vec![
                group(1, "Command", Role::Command),
                group(2, "Tactical", Role::Tactical),
            ],
            latency_ms: 0,
            draw_ma: None,
            battery_mah: None,
            cells: None,
            supply_v: None,
            ingress: String::new(),
            lid_shut: Vec::new(),
            notes: String::new(),
        };
        self.with_place(gateway, vec2(420.0, 380.0))
    }

    pub(super) fn telephone(&self) -> Made {
        let telephone = Telephone {
            id: TelephoneId(self.s.mint(0)),
            key: String::new(),
            name: fresh("Telephone", &self.s.telephones),
            kind: TelephoneKind::Cellular,
            held_by: self.unit_here(),
            far_end: String::new(),
            number: String::new(),
            answers_itself: false,
            latency_ms: 0,
            notes: String::new(),
        };
        if telephone.held_by.is_some() {
            let id = telephone.id.into();
            return (vec![Edit::Add(telephone.into())], id);
        }
        self.dropped_gear(telephone.into(), vec2(CARD_W, CHIP_H))
    }

    pub(super) fn headset(&self) -> Made {
        let headset = Headset {
            id: HeadsetId(self.s.mint(0)),
            key: String::new(),
            name: fresh("Headset", &self.s.headsets),
            held_by: self.unit_here(),
            connector: String::new(),
            notes: String::new(),
        };
        if headset.held_by.is_some() {
            let id = headset.id.into();
            return (vec![Edit::Add(headset.into())], id);
        }
        self.dropped_gear(headset.into(), vec2(CARD_W, CHIP_H))
    }

    pub(super) fn site(&self) -> Made {
        let id = SiteId(self.s.mint(0));
        let site = Site {
            id,
            key: String::new(),
            name: fresh("Site", &self.s.sites),
            contaminated: false,
            temperature_c: None,
            supply_v: None,
            antennas: Vec::new(),
            notes: String::new(),
        };
        if let Some(ThingId::Gateway(gateway) | ThingId::Port(PortRef { gateway, .. })) = self.on
            && let Some(gateway) = self.s.gateways.get(gateway)
        {
            let moved = Gateway {
                site: Some(id),
                ..gateway.clone()
            };
            return (
                vec![Edit::Add(site.into()), Edit::Replace(moved.into())],
                id.into(),
            );
        }
        self.with_place(site, vec2(CARD_W, CHIP_H))
    }
}
