//! Gateways, each with its site, its donors, and at some of them a telephone, a headset or a tie.

use crate::model::{
    Antenna, Attachment, Control, Gateway, GatewayId, Headset, HeadsetId, Keying, LevelSetting,
    Port, PortKind, PortRef, RadioId, Role, Site, SiteId, TalkGroup, Telephone, TelephoneId,
    TelephoneKind, Thing, Tie, TieId, TieKind,
};

use super::{Made, Maker, PLACES};

impl Maker {
    /// A gateway with its site, donors, telephone and headset.
    pub(super) fn make_gateway(&mut self, number: u32) {
        let owner = self.random.pick(&self.agencies);
        let place = PLACES[number as usize % PLACES.len()];
        let first = (number as usize * self.channels.len()) / self.size.gateways as usize;
        let donors: Vec<Made> = self
            .channels
            .iter()
            .cycle()
            .skip(first)
            .take(6.min(self.channels.len()))
            .copied()
            .collect();
        let used = donors.len() - usize::from(self.random.percent(30) && donors.len() > 2);
        let mut radios = Vec::new();
        for (i, channel) in donors.iter().take(used).enumerate() {
            let mut radio = self.radio(
                format!("donor-{}-{}", number + 1, i + 1),
                &[*channel],
                owner,
            );
            radio.name = format!("Donor {}.{}", number + 1, i + 1);
            if self.random.percent(3)
                && let Some(entry) = radio.programmed.first_mut()
            {
                self.spoil(entry, *channel);
            }
            radios.push(radio.id);
            self.add(radio);
        }
        let site = SiteId(self.id());
        let is_contaminated = self.random.percent(10);
        self.add(Site {
            id: site,
            key: format!("site-{}", number + 1),
            name: format!("{place} hill {}", number + 1),
            contaminated: is_contaminated,
            temperature_c: None,
            supply_v: None,
            antennas: radios
                .iter()
                .enumerate()
                .map(|(i, radio)| Antenna {
                    name: format!("Mast {}", i + 1),
                    radio: Some(*radio),
                    height_m: 6.0,
                    east_m: 3.0 * i as f64,
                    north_m: 0.0,
                    gain_dbi: 2.0,
                })
                .collect(),
            notes: String::new(),
        });
        let gateway = GatewayId(self.id());
        let draw_ma = 150.0 + f64::from(self.random.below(8)) * 10.0;
        let mut ports: Vec<Port> = Vec::new();
        for n in 1..=6_u8 {
            let access = donors.get(usize::from(n) - 1).map_or(0, |c| c.access_ms);
            let is_short = self.random.percent(5);
            ports.push(port(
                n,
                PortKind::Radio,
                if is_short { access / 3 } else { access },
            ));
        }
        ports.push(port(7, PortKind::Telephone, 0));
        ports.push(port(8, PortKind::Ip, 0));
        ports.push(port(9, PortKind::Headset, 0));
        self.add(Gateway {
            id: gateway,
            key: format!("box-{}", number + 1),
            name: format!("Box {}", number + 1),
            owner,
            site: Some(site),
            ports,
            talk_groups: [
                (1, "Tactical", Role::Tactical),
                (2, "Command", Role::Command),
            ]
            .map(|(number, name, role)| TalkGroup {
                number,
                name: name.to_owned(),
                purpose: Some(role),
            })
            .to_vec(),
            latency_ms: 5,
            draw_ma: Some(draw_ma),
            battery_mah: Some(7_800),
            cells: None,
            supply_v: Some((11.0, 32.0)),
            ingress: "IP67".to_owned(),
            lid_shut: vec![Control::Power, Control::TalkGroupSwitches],
            notes: String::new(),
        });
        self.plug(gateway, &donors, &radios);
        self.gateway_people(gateway, number);
    }

    fn plug(&mut self, gateway: GatewayId, donors: &[Made], radios: &[RadioId]) {
        for (i, (radio, channel)) in radios.iter().zip(donors).enumerate() {
            let port = PortRef {
                gateway,
                port: i as u8 + 1,
            };
            let group = if i < 4 { 1 } else { 2 };
            let is_quiet = self.random.percent(3);
            let moves = self.random.percent(15);
            let cable = self.cables.get(&channel.family).copied();
            for (phase, rig) in self.phases.iter_mut().enumerate() {
                let radio = Attachment::Radio {
                    radio: *radio,
                    cable,
                };
                rig.attachments.insert(port, radio);
                if !is_quiet {
                    let is_moved = moves && phase == 1;
                    rig.switches
                        .insert(port, if is_moved { 3 - group } else { group });
                }
            }
        }
    }

    /// The telephone and the headset at a gateway, at some of them.
    fn gateway_people(&mut self, gateway: GatewayId, number: u32) {
        if number.is_multiple_of(3) {
            let id = TelephoneId(self.id());
            let answers_itself = self.random.percent(50);
            self.add(Telephone {
                id,
                key: format!("phone-{}", number + 1),
                name: format!("Telephone {}", number + 1),
                kind: TelephoneKind::Cellular,
                held_by: None,
                far_end: "Control room".to_owned(),
                number: String::new(),
                answers_itself,
                latency_ms: 120,
                notes: String::new(),
            });
            self.attach(gateway, 7, Attachment::Telephone(id), 2);
        }
        if number.is_multiple_of(4) {
            let id = HeadsetId(self.id());
            self.add(Headset {
                id,
                key: format!("headset-{}", number + 1),
                name: format!("Headset {}", number + 1),
                held_by: None,
                connector: "jack".to_owned(),
                notes: String::new(),
            });
            self.attach(gateway, 9, Attachment::Headset(id), 1);
        }
    }

    fn attach(&mut self, gateway: GatewayId, port: u8, what: Attachment, group: u8) {
        let port = PortRef { gateway, port };
        for rig in &mut self.phases {
            rig.attachments.insert(port, what);
            rig.switches.insert(port, group);
        }
    }

    /// Ties between neighbours, every fifth pair.
    pub(super) fn make_ties(&mut self) {
        let gateways: Vec<GatewayId> = self
            .things
            .iter()
            .filter_map(|thing| match thing {
                Thing::Gateway(g) => Some(g.id),
                _ => None,
            })
            .collect();
        for (i, pair) in gateways.chunks_exact(2).step_by(5).enumerate() {
            let id = TieId(self.id());
            let encrypted = self.random.percent(50);
            self.add(Tie {
                id,
                key: format!("tie-{}", i + 1),
                name: format!("Tie {}", i + 1),
                kind: TieKind::Ip,
                latency_ms: 40,
                encrypted,
                notes: String::new(),
            });
            for gateway in pair {
                self.attach(*gateway, 8, Attachment::Tie(id), 2);
            }
        }
    }
}

fn port(number: u8, kind: PortKind, buffer_ms: u32) -> Port {
    Port {
        number,
        kind,
        connector: match kind {
            PortKind::Radio => "dock",
            PortKind::Headset => "jack",
            PortKind::Telephone => "line",
            PortKind::Wire | PortKind::Ip => "wire",
        }
        .to_owned(),
        buffer_ms,
        keying: Keying::PttLine,
        level: LevelSetting::Mid,
    }
}
