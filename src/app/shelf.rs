//! What the shelf offers, and what putting one of it on the board means.
//!
//! The answer is edits and the thing to select; nothing is changed here and nothing is drawn.

use std::collections::BTreeSet;

use egui::{Pos2, Vec2, vec2};

use super::board::layout::{CARD_W, CHIP_H, Layout, PILL_W};
use super::theme::Sign;
use crate::model::connect::{connect, fitting_cable};
use crate::model::thing::Listed;
use crate::model::{
    AccessCode, Agency, AgencyId, Agreement, AgreementId, Attachment, Band, Cable, CableId, Carrier,
    Channel, ChannelId, Conventional, Discipline, Edit, Frequency, Gateway, GatewayId, Headset,
    HeadsetId, Keying, Level, LevelSetting, Mode, Need, NeedId, Party, Phase, PhaseId, Port,
    PortKind, PortRef, Priority, Protection, Radio, RadioId, Role, Scenario, Site, SiteId, Stock,
    StockId, StockKind, System, SystemId, SystemKind, Table, TalkGroup, Telephone, TelephoneId,
    TelephoneKind, Thing, ThingId, Unit, UnitId, Way,
};

/// What can be added.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[expect(missing_docs, reason = "each variant is the thing it names")]
pub enum Article {
    Agency,
    Unit,
    System,
    Channel,
    Radio,
    Gateway,
    Telephone,
    Headset,
    Site,
    Cable,
    Need,
    Stock,
    Agreement,
    Phase,
}

impl Article {
    /// What lies on the shelf.
    pub const SHELF: [Self; 10] = [
        Self::Agency,
        Self::Unit,
        Self::Radio,
        Self::System,
        Self::Channel,
        Self::Gateway,
        Self::Telephone,
        Self::Headset,
        Self::Site,
        Self::Cable,
    ];

    /// What has no place on the board and is added from menus and lists.
    pub const LISTED: [Self; 4] = [Self::Need, Self::Stock, Self::Agreement, Self::Phase];

    /// Returns the word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Agency => "agency",
            Self::Unit => "unit",
            Self::System => "radio system",
            Self::Channel => "channel",
            Self::Radio => "radio",
            Self::Gateway => "gateway",
            Self::Telephone => "telephone",
            Self::Headset => "headset",
            Self::Site => "site",
            Self::Cable => "cable",
            Self::Need => "need",
            Self::Stock => "line of stock",
            Self::Agreement => "agreement",
            Self::Phase => "phase",
        }
    }

    /// Returns what it is, and where it may be dropped.
    pub fn tip(self) -> &'static str {
        match self {
            Self::Agency => "An organisation that sends units",
            Self::Unit => "People who share one radio habit; drop it on an agency to send it from there",
            Self::System => "What carries channels: a repeater, a trunked system, or plain air",
            Self::Channel => "A channel as it reads on the radio; drop it on the system that carries it",
            Self::Radio => "A radio; drop it on the unit that carries it, or on a port to make it a donor",
            Self::Gateway => "A box that joins radios: eight ports and two talk groups",
            Self::Telephone => "A telephone; drop it on a telephone port or on who is at the far end",
            Self::Headset => "A headset; drop it on a headset port",
            Self::Site => "Where gateways stand, with the antennas there",
            Self::Cable => "A kind of cable between radios and ports, and how many there are",
            Self::Need => "Who must reach whom",
            Self::Stock => "What is at hand, and how many",
            Self::Agreement => "Leave in writing to join agencies or to use channels",
            Self::Phase => "A period in which switches and attachments may differ",
        }
    }

    /// Returns the sign.
    pub fn sign(self) -> Sign {
        match self {
            Self::Agency => Sign::Agency,
            Self::Unit => Sign::Unit,
            Self::System => Sign::System,
            Self::Channel => Sign::Channel,
            Self::Radio => Sign::Radio,
            Self::Gateway => Sign::Gateway,
            Self::Telephone => Sign::Telephone,
            Self::Headset => Sign::Headset,
            Self::Site => Sign::Site,
            Self::Cable => Sign::Cable,
            Self::Need => Sign::Need,
            Self::Stock => Sign::Stock,
            Self::Agreement => Sign::Paper,
            Self::Phase => Sign::Phase,
        }
    }
}

/// Edits that add something, and what to select then.
#[derive(Debug, Clone, PartialEq)]
pub struct Added {
    /// Name of the step.
    pub label: String,
    /// The edits.
    pub edits: Vec<Edit>,
    /// The new thing.
    pub thing: ThingId,
}

/// Tells what adding an article does.
///
/// # Errors
///
/// The reason in a sentence, when something must be there first.
pub fn add(
    s: &Scenario,
    phase: PhaseId,
    layout: &Layout,
    article: Article,
    at: Option<Pos2>,
    on: Option<ThingId>,
) -> Result<Added, String> {
    let shelf = Shelf {
        s,
        phase,
        layout,
        at,
        on,
    };
    let (edits, thing) = match article {
        Article::Agency => shelf.agency(),
        Article::Unit => shelf.unit(),
        Article::System => shelf.system(),
        Article::Channel => shelf.channel(),
        Article::Radio => shelf.radio(),
        Article::Gateway => shelf.gateway(),
        Article::Telephone => shelf.telephone(),
        Article::Headset => shelf.headset(),
        Article::Site => shelf.site(),
        Article::Cable => shelf.cable(),
        Article::Need => shelf.need()?,
        Article::Stock => shelf.stock(),
        Article::Agreement => shelf.agreement(),
        Article::Phase => shelf.new_phase(),
    };
    Ok(Added {
        label: format!("Add {}", article.word()),
        edits,
        thing,
    })
}

struct Shelf<'a> {
    s: &'a Scenario,
    phase: PhaseId,
    layout: &'a Layout,
    at: Option<Pos2>,
    on: Option<ThingId>,
}

type Made = (Vec<Edit>, ThingId);

/// Returns a name that no thing of a table has.
fn fresh<T: Listed>(word: &str, table: &Table<T>) -> String {
    let mut n = table.len() + 1;
    loop {
        let name = format!("{word} {n}");
        if table.iter().all(|other| other.name() != name) {
            return name;
        }
        n += 1;
    }
}

impl Shelf<'_> {
    /// Adds a place at the drop, where there is room.
    fn with_place(&self, thing: impl Into<Thing>, size: Vec2) -> Made {
        let thing = thing.into();
        let id = thing.id();
        let mut edits = vec![Edit::Add(thing)];
        if let Some(at) = self.at {
            edits.push(Edit::Place {
                thing: id,
                place: Some(self.layout.free_place(at, size)),
            });
        }
        (edits, id)
    }

    fn agency_here(&self) -> Option<AgencyId> {
        match self.on? {
            ThingId::Agency(id) => Some(id),
            ThingId::Unit(id) => self.s.units.get(id)?.agency,
            ThingId::Radio(id) => {
                let unit = self.s.radios.get(id)?.held_by?;
                self.s.units.get(unit)?.agency
            }
            _ => None,
        }
    }

    fn unit_here(&self) -> Option<UnitId> {
        match self.on? {
            ThingId::Unit(id) => Some(id),
            ThingId::Radio(id) => self.s.radios.get(id)?.held_by,
            _ => None,
        }
    }

    fn agency(&self) -> Made {
        let name = fresh("Agency", &self.s.agencies);
        let id = AgencyId(self.s.mint(0));
        self.with_place(
            Agency {
                id,
                key: String::new(),
                short: name.replace("Agency ", "A"),
                name,
                discipline: Discipline::Other,
                level: Level::Local,
                notes: String::new(),
            },
            vec2(CARD_W + 24.0, 48.0),
        )
    }

    fn unit(&self) -> Made {
        let id = UnitId(self.s.mint(0));
        let agency = self.agency_here();
        let name = fresh("Unit", &self.s.units);
        let unit = Unit {
            id,
            key: String::new(),
            name: name.clone(),
            agency,
            heads: 4,
            role: Role::Tactical,
            messages_per_hour: 6.0,
            seconds_per_message: 5.0,
            notes: String::new(),
        };
        let radio = Radio {
            held_by: Some(id),
            owner: agency,
            ..self.new_radio(1, format!("{name} portable"))
        };
        let (mut edits, thing) = if agency.is_some() {
            (vec![Edit::Add(unit.into())], id.into())
        } else {
            self.with_place(unit, vec2(CARD_W, 80.0))
        };
        edits.push(Edit::Add(radio.into()));
        (edits, thing)
    }

    fn new_radio(&self, offset: u32, name: String) -> Radio {
        let band = |low: u64, high: u64| Band {
            low: Frequency::from_hertz(low * 1_000_000),
            high: Frequency::from_hertz(high * 1_000_000),
        };
        Radio {
            id: RadioId(self.s.mint(offset)),
            key: String::new(),
            name,
            owner: None,
            held_by: None,
            family: "portable".to_owned(),
            bands: vec![band(136, 174), band(380, 520), band(763, 870)],
            modes: BTreeSet::from([Mode::Fm, Mode::P25]),
            connector: self
                .s
                .cables
                .first()
                .map(|c| c.radio_connector.clone())
                .unwrap_or_default(),
            power_w: 5.0,
            battery_mah: None,
            keys: BTreeSet::new(),
            programmed: Vec::new(),
            selected: None,
            scans: BTreeSet::new(),
            notes: String::new(),
        }
    }

    fn radio(&self) -> Made {
        let name = fresh("Radio", &self.s.radios);
        let mut radio = self.new_radio(0, name);
        let id = radio.id;
        if let Some(unit) = self.unit_here() {
            radio.held_by = Some(unit);
            radio.owner = self.agency_here();
            return (vec![Edit::Add(radio.into())], id.into());
        }
        self.dropped_gear(radio.into(), vec2(CARD_W, CHIP_H))
    }

    /// Adds gear; a port or gateway it was dropped on takes it, and so does a channel a radio.
    fn dropped_gear(&self, thing: Thing, size: Vec2) -> Made {
        let id = thing.id();
        let kind = match id {
            ThingId::Telephone(_) => PortKind::Telephone,
            ThingId::Headset(_) => PortKind::Headset,
            _ => PortKind::Radio,
        };
        if let Some(port) = self.port_here(kind)
            && let Ok(after) = self.s.apply(&[Edit::Add(thing.clone())])
        {
            let attachment = match id {
                ThingId::Radio(radio) => after.phases.get(self.phase).map(|phase| {
                    Attachment::Radio {
                        radio,
                        cable: fitting_cable(&after, phase, radio, port),
                    }
                }),
                ThingId::Telephone(id) => Some(Attachment::Telephone(id)),
                ThingId::Headset(id) => Some(Attachment::Headset(id)),
                _ => None,
            };
            let plug = Edit::Attach {
                phase: self.phase,
                port,
                attachment,
            };
            return (vec![Edit::Add(thing), plug], id);
        }
        if let Some(channel @ ThingId::Channel(_)) = self.on
            && let Ok(after) = self.s.apply(&[Edit::Add(thing.clone())])
            && let Ok(connection) = connect(&after, self.phase, id, channel)
        {
            let (mut edits, id) = self.with_place(thing, size);
            edits.extend(connection.edits);
            return (edits, id);
        }
        self.with_place(thing, size)
    }

    fn port_here(&self, kind: PortKind) -> Option<PortRef> {
        let phase = self.s.phases.get(self.phase)?;
        let is_free = |port: &PortRef| {
            self.s.port(*port).is_some_and(|p| p.kind == kind)
                && !phase.attachments.contains_key(port)
        };
        match self.on? {
            ThingId::Port(port) if is_free(&port) => Some(port),
            ThingId::Port(PortRef { gateway, .. }) | ThingId::Gateway(gateway) => {
                self.s.gateways.get(gateway)?.port_refs().find(is_free)
            }
            ThingId::TalkGroup(group) => {
                self.s.gateways.get(group.gateway)?.port_refs().find(is_free)
            }
            _ => None,
        }
    }

    fn system_of(&self, offset: u32) -> System {
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

    fn system(&self) -> Made {
        self.with_place(self.system_of(0), vec2(PILL_W + 24.0, 48.0))
    }

    /// The system a dropped channel belongs to: the one below it, the nearest, or the first.
    fn system_here(&self) -> Option<&System> {
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

    fn channel(&self) -> Made {
        let mut edits = Vec::new();
        let (system, is_conventional) = match self.system_here() {
            Some(system) => (system.id, system.kind.is_conventional()),
            None => {
                let system = self.system_of(0);
                let answer = (system.id, true);
                edits.push(Edit::Add(system.into()));
                answer
            }
        };
        let id = ChannelId(self.s.mint(edits.len() as u32));
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

    fn gateway(&self) -> Made {
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
            supply_v: None,
            ingress: String::new(),
            lid_shut: Vec::new(),
            notes: String::new(),
        };
        self.with_place(gateway, vec2(420.0, 380.0))
    }

    fn telephone(&self) -> Made {
        let telephone = Telephone {
            id: TelephoneId(self.s.mint(0)),
            key: String::new(),
            name: fresh("Telephone", &self.s.telephones),
            kind: TelephoneKind::Cellular,
            held_by: self.unit_here(),
            far_end: String::new(),
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

    fn headset(&self) -> Made {
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

    fn site(&self) -> Made {
        let id = SiteId(self.s.mint(0));
        let site = Site {
            id,
            key: String::new(),
            name: fresh("Site", &self.s.sites),
            contaminated: false,
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

    fn cable(&self) -> Made {
        let radio_connector = match self.on {
            Some(ThingId::Radio(id)) => self.s.radios.get(id).map(|r| r.connector.clone()),
            _ => None,
        };
        let port_connector = self
            .s
            .gateways
            .iter()
            .flat_map(|g| &g.ports)
            .find(|p| p.kind == PortKind::Radio)
            .map(|p| p.connector.clone());
        let cable = Cable {
            id: CableId(self.s.mint(0)),
            key: String::new(),
            name: fresh("Cable", &self.s.cables),
            radio_connector: radio_connector.unwrap_or_default(),
            port_connector: port_connector.unwrap_or_default(),
            count: 1,
            notes: String::new(),
        };
        let id = cable.id.into();
        (vec![Edit::Add(cable.into())], id)
    }

    fn need(&self) -> Result<Made, String> {
        let parties: Vec<Party> = self.s.parties().collect();
        let [from, to, ..] = parties.as_slice() else {
            return Err("a need takes two who can speak and listen: add units first".to_owned());
        };
        let need = Need {
            id: NeedId(self.s.mint(0)),
            key: String::new(),
            name: fresh("Need", &self.s.needs),
            from: BTreeSet::from([*from]),
            to: BTreeSet::from([*to]),
            way: Way::TwoWay,
            priority: Priority::High,
            encrypted: false,
            max_delay_ms: None,
            notes: String::new(),
        };
        let id = need.id.into();
        Ok((vec![Edit::Add(need.into())], id))
    }

    fn stock(&self) -> Made {
        let stock = Stock {
            id: StockId(self.s.mint(0)),
            key: String::new(),
            name: fresh("Stock", &self.s.stock),
            kind: StockKind::DonorRadio,
            count: 1,
            notes: String::new(),
        };
        let id = stock.id.into();
        (vec![Edit::Add(stock.into())], id)
    }

    fn agreement(&self) -> Made {
        let agreement = Agreement {
            id: AgreementId(self.s.mint(0)),
            key: String::new(),
            name: fresh("Agreement", &self.s.agreements),
            agencies: BTreeSet::new(),
            channels: BTreeSet::new(),
            notes: String::new(),
        };
        let id = agreement.id.into();
        (vec![Edit::Add(agreement.into())], id)
    }

    /// A new phase begins as a copy of the one shown, as the next period mostly does.
    fn new_phase(&self) -> Made {
        let id = PhaseId(self.s.mint(0));
        let name = fresh("Phase", &self.s.phases);
        let phase = self.s.phases.get(self.phase).map_or_else(
            || Phase {
                id,
                key: String::new(),
                name: name.clone(),
                start: String::new(),
                hours: 12.0,
                switches: std::collections::BTreeMap::new(),
                attachments: std::collections::BTreeMap::new(),
                selected: std::collections::BTreeMap::new(),
            },
            |now| Phase {
                id,
                key: String::new(),
                name: name.clone(),
                start: String::new(),
                ..now.clone()
            },
        );
        (vec![Edit::Add(phase.into())], id.into())
    }
}
