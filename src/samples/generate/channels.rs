//! Systems and channels: half radio to radio, a quarter each by repeaters and trunking.

use crate::model::{
    AccessCode, Algorithm, Carrier, Channel, ChannelId, Conventional, Frequency, KeyRef, Mode,
    Protection, Role, System, SystemId, SystemKind, Tone,
};

use super::{Family, Made, Maker, PLACES, TONES};

impl Maker {
    pub(super) fn make_systems_and_channels(&mut self) {
        let direct = self.system("direct", "Radio to radio", SystemKind::Simplex, 1);
        let regions = self.size.channels / 80 + 1;
        let trunks: Vec<_> = (1..=regions)
            .map(|i| {
                let key = format!("trunk-{i}");
                let name = format!("Regional trunking {i}");
                self.system(&key, &name, SystemKind::Trunked, 12)
            })
            .collect();
        for i in 0..self.size.channels {
            let place = PLACES[i as usize / 4 % PLACES.len()];
            match i % 4 {
                0 | 2 => self.conventional(i, place, direct, SystemKind::Simplex),
                1 => {
                    let key = format!("repeater-{}", i / 4 + 1);
                    let name = format!("{place} repeater {}", i / 4 + 1);
                    let system = self.system(&key, &name, SystemKind::Repeater, 1);
                    self.conventional(i, place, system, SystemKind::Repeater);
                }
                _ => {
                    let trunk = trunks.get(i as usize / 80 % trunks.len()).copied();
                    self.grouped(i, place, trunk.unwrap_or(direct));
                }
            }
        }
    }

    fn system(&mut self, key: &str, name: &str, kind: SystemKind, talk_paths: u32) -> SystemId {
        let id = SystemId(self.id());
        let (access_ms, latency_ms, hang_ms, coverage) = match kind {
            SystemKind::Repeater => (100, 20, 1500, 0.9),
            SystemKind::Trunked => (250 + 50 * self.random.below(3), 180, 2000, 0.95),
            _ => (0, 0, 0, 1.0),
        };
        self.add(System {
            id,
            key: key.to_owned(),
            name: name.to_owned(),
            kind,
            access_ms,
            latency_ms,
            hang_ms,
            talk_paths,
            coverage,
            notes: String::new(),
        });
        id
    }

    fn conventional(&mut self, i: u32, place: &str, system: SystemId, kind: SystemKind) {
        let is_repeater = kind == SystemKind::Repeater;
        let family = if self.random.percent(50) {
            Family::Vhf
        } else {
            Family::Uhf
        };
        let slot = u64::from(i % 1600) * 12_500;
        let (rx, shift) = match family {
            Family::Vhf => (150_000_000 + slot, 2_000_000),
            _ => (440_000_000 + slot, 5_000_000),
        };
        let rx = Frequency::from_hertz(rx);
        let tx = if is_repeater {
            Frequency::from_hertz(rx.hertz() + shift)
        } else {
            rx
        };
        let is_digital = self.random.percent(20);
        let tone = TONES[self.random.below(TONES.len() as u32) as usize];
        let code = if is_digital {
            AccessCode::Nac(0x293 + (i % 64) as u16)
        } else {
            AccessCode::Ctcss(Tone::from_tenths(tone))
        };
        let mode = if is_digital { Mode::P25 } else { Mode::Fm };
        let key = (is_digital && self.random.percent(25)).then_some(KeyRef {
            algorithm: Algorithm::AES_256,
            number: 1 + (i % 40) as u16,
        });
        let carrier = Carrier::Conventional(Conventional {
            rx,
            tx,
            rx_code: code,
            tx_code: code,
            mode,
            mixed: false,
            bandwidth_hz: 12_500,
        });
        let name = format!("{} {}", place.to_uppercase(), i + 1);
        let id = self.channel(i, name, system, carrier, key);
        self.channels.push(Made {
            id,
            family,
            mode,
            access_ms: if is_repeater { 100 } else { 0 },
            key,
            tone: (!is_digital).then(|| Tone::from_tenths(tone)),
            rx: Some(rx),
        });
    }

    fn grouped(&mut self, i: u32, place: &str, system: SystemId) {
        let carrier = Carrier::Grouped {
            group: 1001 + i,
            mode: Mode::P25,
        };
        let key = self.random.percent(20).then_some(KeyRef {
            algorithm: Algorithm::AES_256,
            number: 100 + (i % 40) as u16,
        });
        let name = format!("{} TG {}", place.to_uppercase(), 1001 + i);
        let id = self.channel(i, name, system, carrier, key);
        self.channels.push(Made {
            id,
            family: Family::Trunked,
            mode: Mode::P25,
            access_ms: 350,
            key,
            tone: None,
            rx: None,
        });
    }

    fn channel(
        &mut self,
        i: u32,
        name: String,
        system: SystemId,
        carrier: Carrier,
        key: Option<KeyRef>,
    ) -> ChannelId {
        let id = ChannelId(self.id());
        self.add(Channel {
            id,
            key: format!("ch-{}", i + 1),
            name,
            system,
            carrier,
            protection: key.map_or(Protection::Clear, Protection::Always),
            encrypted_only: false,
            purpose: Some(if i.is_multiple_of(5) {
                Role::Command
            } else {
                Role::Tactical
            }),
            notes: String::new(),
        });
        id
    }
}
