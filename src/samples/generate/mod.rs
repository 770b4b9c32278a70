//! A generator of plausible incidents of any size, for lessons in scale and for measuring.
//!
//! The same size and seed give the same scenario. Its errors are those met in the field: a wrong
//! receive tone, a digit of a frequency, a buffer left short. No clock and no randomness from outside.

mod channels;
mod gateways;
mod random;

use std::collections::{BTreeMap, BTreeSet};

use crate::model::{
    AccessCode, Agency, AgencyId, Agreement, AgreementId, Attachment, Band, Cable, CableId,
    ChannelId, Discipline, Edit, Frequency, Header, KeyRef, Level, Mode, Need, NeedId, Party,
    Phase, PhaseId, PortRef, Priority, Programmed, Radio, RadioId, Role, Scenario, Stock, StockId,
    StockKind, Thing, Tone, Unit, UnitId, Way,
};

use random::Random;

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
        random: Random::new(seed),
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
            outside_power: false,
            draw: None,
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
                way: if i.is_multiple_of(7) {
                    Way::ListenOnly
                } else {
                    Way::TwoWay
                },
                priority,
                encrypted: false,
                max_delay_ms: i.is_multiple_of(5).then_some(600),
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
                tested: BTreeMap::new(),
                pairs: BTreeMap::new(),
            });
        }
    }
}
