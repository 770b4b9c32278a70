//! A generator of plausible incidents of any size, for lessons in scale and for measuring.
//!
//! The same size and seed give the same scenario. Its errors are those met in the field: a wrong
//! receive tone, a digit of a frequency, a buffer left short. No clock and no randomness from outside.

use std::collections::{BTreeMap, BTreeSet};

use crate::model::{
    AccessCode, Agency, AgencyId, Agreement, AgreementId, Algorithm, Antenna, Attachment, Band,
    Cable, CableId, Carrier, Channel, ChannelId, Control, Conventional, Discipline, Edit,
    Frequency, Gateway, GatewayId, Header, Headset, HeadsetId, KeyRef, Keying, Level, LevelSetting,
    Mode, Need, NeedId, Party, Phase, PhaseId, Port, PortKind, PortRef, Priority, Programmed,
    Protection, Radio, RadioId, Role, Scenario, Site, SiteId, Stock, StockId, StockKind, System,
    SystemId, SystemKind, TalkGroup, Telephone, TelephoneId, TelephoneKind, Thing, Tie, TieId,
    TieKind, Tone, Unit, UnitId, Way,
};

/// How large a scenario to generate.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Size {
    /// Units.
    pub units: u32,
    /// Channels.
    pub channels: u32,
    /// Gateways.
    pub gateways: u32,
}

impl Size {
    /// Returns the size of an incident with that many units: a channel for eight units, a gateway for
    /// sixty.
    pub fn for_units(units: u32) -> Self {
        Self {
            units,
            channels: (units / 8).max(4),
            gateways: (units / 60).max(1),
        }
    }
}

/// Most of anything that is generated.
const MOST: u32 = 200_000;

/// Generates a scenario.
pub fn generate(size: Size, seed: u64) -> Scenario {
    let size = Size {
        units: size.units.clamp(2, MOST),
        channels: size.channels.clamp(2, MOST),
        gateways: size.gateways.min(MOST / 10),
    };
    let mut maker = Maker {
        random: Random(seed),
        next: 1,
        things: Vec::new(),
        channels: Vec::new(),
        agencies: Vec::new(),
        units: Vec::new(),
        cables: BTreeMap::new(),
        phases: vec![Rig::default(), Rig::default()],
        size,
    };
    maker.all();
    let header = Header {
        title: format!("Generated: {} units", size.units),
        incident: "Flood along an invented river".to_owned(),
        notes: format!("Made from seed {seed}. All names and figures are invented."),
        comments: Vec::new(),
    };
    let edits: Vec<Edit> = maker.things.into_iter().map(Edit::Add).collect();
    // Nothing is refused: a test counts what comes out.
    Scenario::blank(header).apply_each(&edits).0
}

/// `SplitMix64`: small, fast and the same on every machine.
///
/// Source: Steele, Lea and Flood, "Fast splittable pseudorandom number generators", OOPSLA 2014,
/// doi 10.1145/2660193.2660195; the 64-bit mixing constants are those in common use.
struct Random(u64);

impl Random {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A number below a limit; the limit is small, so the remainder is even enough.
    fn below(&mut self, limit: u32) -> u32 {
        (self.next() % u64::from(limit.max(1))) as u32
    }

    /// True that many times in a hundred.
    fn percent(&mut self, chance: u32) -> bool {
        self.below(100) < chance
    }

    fn pick<T: Copy>(&mut self, from: &[T]) -> Option<T> {
        let index = self.below(from.len() as u32) as usize;
        from.get(index).copied()
    }
}

/// A family of radios, and the stretch of spectrum it shares with a channel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Family {
    Vhf,
    Uhf,
    Trunked,
}

impl Family {
    fn words(self) -> (&'static str, &'static str) {
        match self {
            Self::Vhf => ("VHF portable", "round"),
            Self::Uhf => ("UHF portable", "flat"),
            Self::Trunked => ("Trunking portable", "multi"),
        }
    }

    fn bands(self) -> Vec<Band> {
        let mhz = |low: u64, high: u64| Band {
            low: Frequency::from_hertz(low * 1_000_000),
            high: Frequency::from_hertz(high * 1_000_000),
        };
        match self {
            Self::Vhf => vec![mhz(136, 174)],
            Self::Uhf => vec![mhz(430, 470)],
            Self::Trunked => vec![mhz(764, 870)],
        }
    }
}

/// A channel already made, and what the rest needs to know of it.
#[derive(Clone, Copy)]
struct Made {
    id: ChannelId,
    family: Family,
    mode: Mode,
    access_ms: u32,
    key: Option<KeyRef>,
    tone: Option<Tone>,
    rx: Option<Frequency>,
}

/// Switches and attachments of one phase.
#[derive(Default)]
struct Rig {
    switches: BTreeMap<PortRef, u8>,
    attachments: BTreeMap<PortRef, Attachment>,
}

struct Maker {
    random: Random,
    next: u32,
    things: Vec<Thing>,
    channels: Vec<Made>,
    agencies: Vec<AgencyId>,
    units: Vec<UnitId>,
    cables: BTreeMap<Family, CableId>,
    phases: Vec<Rig>,
    size: Size,
}

const PLACES: [&str; 24] = [
    "Corran",
    "Mossel",
    "Tarnbeck",
    "Halder",
    "Osmund",
    "Pellow",
    "Quarrick",
    "Rennick",
    "Sallow",
    "Thornby",
    "Ulverd",
    "Varrow",
    "Wexcombe",
    "Yarrel",
    "Aldmoor",
    "Brennock",
    "Cawder",
    "Dunmarsh",
    "Eskarth",
    "Farrow",
    "Grendale",
    "Hexley",
    "Ivelmouth",
    "Jarrold",
];

const TRADES: [(Discipline, &str, Level); 8] = [
    (Discipline::Fire, "Fire", Level::Local),
    (Discipline::Law, "Patrol", Level::County),
    (Discipline::Medical, "Ambulance", Level::County),
    (Discipline::PublicWorks, "Works", Level::Local),
    (Discipline::Fire, "Rescue", Level::Volunteer),
    (Discipline::Relief, "Relief", Level::Volunteer),
    (Discipline::Transport, "Transport", Level::State),
    (Discipline::Military, "Guard", Level::State),
];

/// Standard CTCSS tones, in tenths of a hertz.
const TONES: [u16; 16] = [
    885, 948, 1000, 1072, 1109, 1148, 1188, 1230, 1273, 1318, 1365, 1413, 1462, 1514, 1567, 1622,
];

impl Maker {
    fn id(&mut self) -> u32 {
        let id = self.next;
        self.next += 1;
        id
    }

    fn add(&mut self, thing: impl Into<Thing>) {
        self.things.push(thing.into());
    }

    fn all(&mut self) {
        self.make_agencies();
        self.make_systems_and_channels();
        self.make_units();
        self.make_cables();
        for number in 0..self.size.gateways {
            self.make_gateway(number);
        }
        self.make_ties();
        self.make_needs();
        self.make_papers();
        self.make_phases();
    }

    fn make_agencies(&mut self) {
        let count = (self.size.units / 40).clamp(2, 160);
        for i in 0..count {
            let place = PLACES[(i / 8) as usize % PLACES.len()];
            let (discipline, trade, level) = TRADES[i as usize % TRADES.len()];
            let round = i / (8 * PLACES.len() as u32);
            let name = match round {
                0 => format!("{place} {trade}"),
                _ => format!("{place} {trade} {}", round + 1),
            };
            let id = AgencyId(self.id());
            self.agencies.push(id);
            let short: String = name.split(' ').filter_map(|w| w.chars().next()).collect();
            self.add(Agency {
                id,
                key: name.to_lowercase().replace(' ', "-"),
                name,
                short,
                discipline,
                level,
                notes: String::new(),
            });
        }
    }

    fn make_systems_and_channels(&mut self) {
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
            purpose: Some(if i % 5 == 0 {
                Role::Command
            } else {
                Role::Tactical
            }),
            notes: String::new(),
        });
        id
    }

    fn make_units(&mut self) {
        const KINDS: [&str; 8] = [
            "Engine", "Squad", "Medic", "Crew", "Team", "Ladder", "Boat", "Chief",
        ];
        let per_channel = (self.size.units / self.size.channels).max(1);
        for i in 0..self.size.units {
            let id = UnitId(self.id());
            self.units.push(id);
            let agency = self
                .agencies
                .get(i as usize * self.agencies.len() / self.size.units as usize);
            let agency = agency.copied();
            let kind = KINDS[i as usize % KINDS.len()];
            let role = match i % 8 {
                7 => Role::Command,
                2 => Role::Medical,
                3 => Role::Support,
                _ => Role::Tactical,
            };
            let heads = if role == Role::Command {
                1 + self.random.below(2)
            } else {
                1 + self.random.below(8)
            };
            let messages = 4.0 + f64::from(self.random.below(9));
            let seconds = 3.0 + f64::from(self.random.below(5));
            self.add(Unit {
                id,
                key: format!("{}-{}", kind.to_lowercase(), i + 1),
                name: format!("{kind} {}", i + 1),
                agency,
                heads,
                role,
                messages_per_hour: messages,
                seconds_per_message: seconds,
                notes: String::new(),
            });
            let home = (i / per_channel) as usize % self.channels.len();
            self.unit_radio(i, id, agency, home, "");
            if self.random.percent(25) {
                let other = home + 1 + self.random.below(3) as usize;
                self.unit_radio(i, id, agency, other % self.channels.len(), "b");
            }
        }
    }

    fn unit_radio(
        &mut self,
        i: u32,
        unit: UnitId,
        agency: Option<AgencyId>,
        home: usize,
        suffix: &str,
    ) {
        let Some(home_channel) = self.channels.get(home).copied() else {
            return;
        };
        let count = 2 + self.random.below(4) as usize;
        let near: Vec<Made> = self
            .channels
            .iter()
            .cycle()
            .skip(home)
            .take((4 * count).min(self.channels.len()))
            .filter(|c| c.family == home_channel.family)
            .take(count)
            .copied()
            .collect();
        let mut radio = self.radio(format!("set-{}{suffix}", i + 1), &near, agency);
        radio.held_by = Some(unit);
        if self.random.percent(3)
            && let Some(entry) = radio.programmed.first_mut()
        {
            self.spoil(entry, home_channel);
        }
        if self.random.percent(20) {
            radio.scans = near.iter().skip(1).map(|c| c.id).collect();
        }
        self.add(radio);
    }

    /// Puts an error of programming into an entry.
    fn spoil(&mut self, entry: &mut Programmed, channel: Made) {
        match (channel.tone, channel.rx) {
            (Some(tone), Some(_)) if self.random.percent(60) => {
                let wrong = TONES.map(Tone::from_tenths);
                let wrong = wrong.iter().position(|t| *t == tone).unwrap_or(0) + 1;
                entry.rx_code = Some(AccessCode::Ctcss(Tone::from_tenths(
                    TONES[wrong % TONES.len()],
                )));
            }
            (_, Some(rx)) => entry.rx = Some(Frequency::from_hertz(rx.hertz() + 12_500)),
            (_, None) => entry.group = Some(9_000 + self.random.below(500)),
        }
    }

    fn radio(&mut self, key: String, channels: &[Made], owner: Option<AgencyId>) -> Radio {
        let family = channels.first().map_or(Family::Vhf, |c| c.family);
        let (words, connector) = family.words();
        let mut modes: BTreeSet<Mode> = channels.iter().map(|c| c.mode).collect();
        modes.insert(if family == Family::Trunked {
            Mode::P25
        } else {
            Mode::Fm
        });
        let id = RadioId(self.id());
        Radio {
            id,
            name: format!("{words} {}", key.trim_start_matches("set-")),
            key,
            owner,
            held_by: None,
            family: words.to_owned(),
            bands: family.bands(),
            modes,
            connector: connector.to_owned(),
            power_w: if family == Family::Trunked { 3.0 } else { 5.0 },
            battery_mah: Some(2_000 + 100 * self.random.below(10)),
            keys: channels.iter().filter_map(|c| c.key).collect(),
            programmed: channels
                .iter()
                .map(|c| Programmed::as_defined(c.id))
                .collect(),
            selected: channels.first().map(|c| c.id),
            scans: BTreeSet::new(),
            notes: String::new(),
        }
    }

    fn make_cables(&mut self) {
        for family in [Family::Vhf, Family::Uhf, Family::Trunked] {
            let id = CableId(self.id());
            let (_, connector) = family.words();
            self.cables.insert(family, id);
            self.add(Cable {
                id,
                key: format!("cable-{connector}"),
                name: format!("Cable {connector} to dock"),
                radio_connector: connector.to_owned(),
                port_connector: "dock".to_owned(),
                count: 4 * self.size.gateways.max(1),
                notes: String::new(),
            });
        }
    }

    /// A gateway with its site, donors, telephone and headset.
    fn make_gateway(&mut self, number: u32) {
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
        if number % 3 == 0 {
            let id = TelephoneId(self.id());
            let answers_itself = self.random.percent(50);
            self.add(Telephone {
                id,
                key: format!("phone-{}", number + 1),
                name: format!("Telephone {}", number + 1),
                kind: TelephoneKind::Cellular,
                held_by: None,
                far_end: "Control room".to_owned(),
                answers_itself,
                latency_ms: 120,
                notes: String::new(),
            });
            self.attach(gateway, 7, Attachment::Telephone(id), 2);
        }
        if number % 4 == 0 {
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
    fn make_ties(&mut self) {
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

    fn make_needs(&mut self) {
        let count = (self.size.units / 20).clamp(1, 400);
        for i in 0..count {
            let from = self.random.below(self.size.units) as usize;
            let step = 1 + self.random.below(30) as usize;
            let pair = (
                self.units.get(from),
                self.units.get((from + step) % self.units.len()),
            );
            let (Some(from), Some(to)) = pair else {
                continue;
            };
            if from == to {
                continue;
            }
            let (from, to) = (Party::Unit(*from), Party::Unit(*to));
            let id = NeedId(self.id());
            let priority = match i % 6 {
                0 => Priority::LifeSafety,
                1 | 2 => Priority::Routine,
                _ => Priority::High,
            };
            self.add(Need {
                id,
                key: format!("need-{}", i + 1),
                name: format!("Link {}", i + 1),
                from: BTreeSet::from([from]),
                to: BTreeSet::from([to]),
                way: if i % 7 == 0 {
                    Way::ListenOnly
                } else {
                    Way::TwoWay
                },
                priority,
                encrypted: false,
                max_delay_ms: (i % 5 == 0).then_some(600),
                notes: String::new(),
            });
        }
    }

    fn make_papers(&mut self) {
        let id = StockId(self.id());
        self.add(Stock {
            id,
            key: "spare-donors".to_owned(),
            name: "Spare donor radios".to_owned(),
            kind: StockKind::DonorRadio,
            count: self.size.gateways,
            notes: String::new(),
        });
        for (i, agencies) in self.agencies.clone().chunks(8).enumerate() {
            let id = AgreementId(self.id());
            self.add(Agreement {
                id,
                key: format!("agreement-{}", i + 1),
                name: format!("Mutual aid {}", i + 1),
                agencies: agencies.iter().copied().collect(),
                channels: BTreeSet::new(),
                notes: String::new(),
            });
        }
    }

    fn make_phases(&mut self) {
        let names = ["First period", "Second period"];
        for (i, rig) in std::mem::take(&mut self.phases).into_iter().enumerate() {
            let id = PhaseId(self.id());
            self.add(Phase {
                id,
                key: format!("period-{}", i + 1),
                name: names.get(i).copied().unwrap_or("Period").to_owned(),
                start: String::new(),
                hours: 12.0,
                switches: rig.switches,
                attachments: rig.attachments,
                selected: BTreeMap::new(),
            });
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
