//! A bench for small scenarios: each call lays one thing through the gate and returns its id.

use std::collections::{BTreeMap, BTreeSet};

use crosspatch::model::{
    AccessCode, Algorithm, Attachment, Carrier, Channel, ChannelId, Conventional, Edit, Frequency,
    Gateway, GatewayId, Headset, HeadsetId, KeyRef, Keying, LevelSetting, Mode, Party, PhaseId,
    Port, PortKind, PortRef, Programmed, Protection, Radio, RadioId, Role, Scenario, System,
    SystemId, SystemKind, TalkGroup, Telephone, TelephoneId, TelephoneKind, Thing, Tie, TieId,
    TieKind, Tone, Unit, UnitId,
};

/// A scenario under construction.
pub(crate) struct Lab {
    pub(crate) scenario: Scenario,
    pub(crate) phase: PhaseId,
}

/// Shorthand for a tone.
pub(crate) fn tone(hz: f64) -> AccessCode {
    AccessCode::Ctcss(Tone::from_hz(hz).expect("tone in range"))
}

/// Shorthand for a frequency.
pub(crate) fn mhz(mhz: f64) -> Frequency {
    Frequency::from_mhz(mhz).expect("frequency in range")
}

/// Shorthand for an AES key.
pub(crate) fn aes(number: u16) -> KeyRef {
    KeyRef {
        algorithm: Algorithm::AES_256,
        number,
    }
}

impl Lab {
    pub(crate) fn new() -> Self {
        let scenario = Scenario::new("lab");
        let phase = scenario
            .phases
            .first()
            .expect("a new scenario has a phase")
            .id;
        Self { scenario, phase }
    }

    pub(crate) fn apply(&mut self, edits: &[Edit]) {
        self.scenario = self
            .scenario
            .apply(edits)
            .expect("the lab makes legal edits");
    }

    fn add(&mut self, thing: impl Into<Thing>) {
        self.apply(&[Edit::Add(thing.into())]);
    }

    pub(crate) fn system(
        &mut self,
        name: &str,
        kind: SystemKind,
        access_ms: u32,
        latency_ms: u32,
    ) -> SystemId {
        let id = SystemId(self.scenario.mint(0));
        self.add(System {
            id,
            key: String::new(),
            name: name.to_owned(),
            kind,
            access_ms,
            latency_ms,
            hang_ms: 0,
            talk_paths: 5,
            coverage: 1.0,
            notes: String::new(),
        });
        id
    }

    /// A channel with one code both ways.
    pub(crate) fn channel(
        &mut self,
        name: &str,
        system: SystemId,
        rx: f64,
        tx: f64,
        code: AccessCode,
        mode: Mode,
    ) -> ChannelId {
        self.channel_of(
            name,
            system,
            Carrier::Conventional(Conventional {
                rx: mhz(rx),
                tx: mhz(tx),
                rx_code: code,
                tx_code: code,
                mode,
                mixed: false,
                bandwidth_hz: 12_500,
            }),
            Protection::Clear,
        )
    }

    pub(crate) fn channel_of(
        &mut self,
        name: &str,
        system: SystemId,
        carrier: Carrier,
        protection: Protection,
    ) -> ChannelId {
        let id = ChannelId(self.scenario.mint(0));
        self.add(Channel {
            id,
            key: String::new(),
            name: name.to_owned(),
            system,
            carrier,
            protection,
            encrypted_only: false,
            purpose: None,
            notes: String::new(),
        });
        id
    }

    pub(crate) fn unit(&mut self, name: &str) -> UnitId {
        let id = UnitId(self.scenario.mint(0));
        self.add(Unit {
            id,
            key: String::new(),
            name: name.to_owned(),
            agency: None,
            heads: 1,
            role: Role::Tactical,
            messages_per_hour: 10.0,
            seconds_per_message: 5.0,
            notes: String::new(),
        });
        id
    }

    /// A radio with every mode and band, on the first of its channels.
    pub(crate) fn radio(
        &mut self,
        name: &str,
        held_by: Option<UnitId>,
        channels: &[ChannelId],
    ) -> RadioId {
        let id = RadioId(self.scenario.mint(0));
        self.add(Radio {
            held_by,
            family: "test set".to_owned(),
            modes: BTreeSet::from(Mode::ALL),
            connector: "two-pin".to_owned(),
            programmed: channels
                .iter()
                .map(|c| Programmed::as_defined(*c))
                .collect(),
            selected: channels.first().copied(),
            ..Radio::bare(id, name.to_owned())
        });
        id
    }

    /// A unit with one radio on one channel.
    pub(crate) fn on(&mut self, name: &str, channel: ChannelId) -> UnitId {
        let unit = self.unit(name);
        self.radio(&format!("{name} radio"), Some(unit), &[channel]);
        unit
    }

    /// Changes the entry of a radio for a channel.
    pub(crate) fn deviate(
        &mut self,
        radio: RadioId,
        channel: ChannelId,
        change: impl FnOnce(&mut Programmed),
    ) {
        let mut entry = self
            .scenario
            .radios
            .get(radio)
            .and_then(|r| r.entry(channel))
            .expect("programmed")
            .clone();
        change(&mut entry);
        self.apply(&[Edit::Program { radio, entry }]);
    }

    pub(crate) fn radio_of(&self, unit: UnitId) -> RadioId {
        self.scenario
            .radios_of(unit)
            .next()
            .expect("carries a radio")
            .id
    }

    pub(crate) fn change_radio(&mut self, radio: RadioId, change: impl FnOnce(&mut Radio)) {
        let mut radio = self
            .scenario
            .radios
            .get(radio)
            .expect("radio exists")
            .clone();
        change(&mut radio);
        self.apply(&[Edit::Replace(radio.into())]);
    }

    pub(crate) fn change_system(&mut self, system: SystemId, change: impl FnOnce(&mut System)) {
        let mut system = self
            .scenario
            .systems
            .get(system)
            .expect("system exists")
            .clone();
        change(&mut system);
        self.apply(&[Edit::Replace(system.into())]);
    }

    /// A gateway with two talk groups; ports 1 to 5 radio, 6 telephone, 7 headset, 8 wire, 9 IP.
    pub(crate) fn gateway(&mut self, name: &str) -> GatewayId {
        let id = GatewayId(self.scenario.mint(0));
        let kinds = [PortKind::Radio; 5].into_iter().chain([
            PortKind::Telephone,
            PortKind::Headset,
            PortKind::Wire,
            PortKind::Ip,
        ]);
        self.add(Gateway {
            id,
            key: String::new(),
            name: name.to_owned(),
            owner: None,
            site: None,
            ports: kinds
                .zip(1..)
                .map(|(kind, number)| Port {
                    number,
                    kind,
                    connector: "box-socket".to_owned(),
                    buffer_ms: 0,
                    keying: Keying::PttLine,
                    level: LevelSetting::Mid,
                })
                .collect(),
            talk_groups: (1..=2)
                .map(|number| TalkGroup {
                    number,
                    name: format!("Group {number}"),
                    purpose: None,
                })
                .collect(),
            latency_ms: 0,
            draw_ma: None,
            battery_mah: None,
            cells: None,
            supply_v: None,
            ingress: String::new(),
            lid_shut: Vec::new(),
            notes: String::new(),
        });
        id
    }

    pub(crate) fn change_port(
        &mut self,
        gateway: GatewayId,
        number: u8,
        change: impl FnOnce(&mut Port),
    ) {
        let mut gateway = self
            .scenario
            .gateways
            .get(gateway)
            .expect("gateway exists")
            .clone();
        let port = gateway
            .ports
            .iter_mut()
            .find(|p| p.number == number)
            .expect("port exists");
        change(port);
        self.apply(&[Edit::Replace(gateway.into())]);
    }

    pub(crate) fn switch(&mut self, gateway: GatewayId, port: u8, group: Option<u8>) {
        let port = PortRef { gateway, port };
        self.apply(&[Edit::Switch {
            phase: self.phase,
            port,
            group,
        }]);
    }

    pub(crate) fn plug(&mut self, gateway: GatewayId, port: u8, attachment: Attachment, group: u8) {
        let port = PortRef { gateway, port };
        self.apply(&[
            Edit::Attach {
                phase: self.phase,
                port,
                attachment: Some(attachment),
            },
            Edit::Switch {
                phase: self.phase,
                port,
                group: Some(group),
            },
        ]);
    }

    /// A donor on a channel, plugged and switched.
    pub(crate) fn donor(
        &mut self,
        gateway: GatewayId,
        port: u8,
        group: u8,
        channel: ChannelId,
    ) -> RadioId {
        let radio = self.radio(&format!("donor {port}"), None, &[channel]);
        self.plug(
            gateway,
            port,
            Attachment::Radio { radio, cable: None },
            group,
        );
        radio
    }

    pub(crate) fn telephone(&mut self, name: &str, latency_ms: u32) -> TelephoneId {
        let id = TelephoneId(self.scenario.mint(0));
        self.add(Telephone {
            id,
            key: String::new(),
            name: name.to_owned(),
            kind: TelephoneKind::Cellular,
            held_by: None,
            far_end: "duty officer".to_owned(),
            number: String::new(),
            answers_itself: true,
            latency_ms,
            notes: String::new(),
        });
        id
    }

    pub(crate) fn headset(&mut self, name: &str) -> HeadsetId {
        let id = HeadsetId(self.scenario.mint(0));
        self.add(Headset {
            id,
            key: String::new(),
            name: name.to_owned(),
            held_by: None,
            connector: String::new(),
            notes: String::new(),
        });
        id
    }

    pub(crate) fn tie(&mut self, kind: TieKind, latency_ms: u32) -> TieId {
        let id = TieId(self.scenario.mint(0));
        self.add(Tie {
            id,
            key: String::new(),
            name: "Tie".to_owned(),
            kind,
            latency_ms,
            encrypted: false,
            notes: String::new(),
        });
        id
    }

    pub(crate) fn hearing(&self) -> crosspatch::hearing::Hearing {
        crosspatch::hearing::Hearing::derive(&self.scenario, self.phase)
    }

    /// Lists who hears a party, by name.
    pub(crate) fn heard_by(&self, from: impl Into<Party>) -> Vec<String> {
        self.hearing()
            .hearers(from.into())
            .into_iter()
            .map(|(party, _)| self.scenario.name(party.into()))
            .collect()
    }

    pub(crate) fn why_not(&self, from: UnitId, to: UnitId) -> crosspatch::hearing::WhyNot {
        crosspatch::hearing::why_not::why_not(
            &self.scenario,
            self.phase,
            Party::Unit(from),
            Party::Unit(to),
        )
    }
}

/// Who hears whom, in names, for a whole scenario.
pub(crate) fn matrix(scenario: &Scenario, phase: PhaseId) -> BTreeMap<String, Vec<String>> {
    let hearing = crosspatch::hearing::Hearing::derive(scenario, phase);
    hearing
        .parties()
        .iter()
        .map(|from| {
            let heard = hearing
                .hearers(*from)
                .into_iter()
                .map(|(party, _)| scenario.key(party.into()))
                .collect();
            (scenario.key((*from).into()), heard)
        })
        .collect()
}
