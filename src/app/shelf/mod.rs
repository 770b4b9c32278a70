//! What the shelf offers, and what putting one of it on the board means.
//!
//! The answer is edits and the thing to select; nothing is changed here and nothing is drawn.

mod air;
mod article;
mod ready;

pub(super) use article::Article;
pub(super) use ready::{Ground, Landed, add_ready, doubled, paste};

use std::collections::BTreeSet;

use egui::{Pos2, Vec2, vec2};

use crate::layout::{CARD_W, CHIP_H, Layout, is_block};
use crate::model::connect::{connect, fitting_cable};
use crate::model::thing::Listed;
use crate::model::{
    Agency, AgencyId, Agreement, AgreementId, Attachment, Band, Cable, CableId, Discipline, Edit,
    Frequency, Level, Mode, Need, NeedId, Party, Phase, PhaseId, PortKind, PortRef, Priority,
    Radio, RadioId, Role, Scenario, Stock, StockId, StockKind, Table, Thing, ThingId, Unit, UnitId,
    Way,
};

/// Edits that add something, and what to select then.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Added {
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
pub(super) fn add(
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
    pub(super) fn with_place(&self, thing: impl Into<Thing>, size: Vec2) -> Made {
        let thing = thing.into();
        let id = thing.id();
        let mut edits = vec![Edit::Add(thing)];
        if let Some(at) = self.at {
            if is_block(id) {
                edits.extend(self.layout.pins(self.s));
            }
            edits.push(Edit::Place {
                thing: id,
                place: Some(self.layout.free_place(at, size)),
            });
        }
        (edits, id)
    }

    pub(super) fn agency_here(&self) -> Option<AgencyId> {
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

    pub(super) fn unit_here(&self) -> Option<UnitId> {
        match self.on? {
            ThingId::Unit(id) => Some(id),
            ThingId::Radio(id) => self.s.radios.get(id)?.held_by,
            _ => None,
        }
    }

    pub(super) fn agency(&self) -> Made {
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

    pub(super) fn unit(&self) -> Made {
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

    pub(super) fn new_radio(&self, offset: u32, name: String) -> Radio {
        let band = |low: u64, high: u64| Band {
            low: Frequency::from_hertz(low * 1_000_000),
            high: Frequency::from_hertz(high * 1_000_000),
        };
        Radio {
            family: "portable".to_owned(),
            bands: vec![band(136, 174), band(380, 520), band(763, 870)],
            modes: BTreeSet::from([Mode::Fm, Mode::P25]),
            connector: self
                .s
                .cables
                .first()
                .map(|c| c.radio_connector.clone())
                .unwrap_or_default(),
            ..Radio::bare(RadioId(self.s.mint(offset)), name)
        }
    }

    pub(super) fn radio(&self) -> Made {
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
    pub(super) fn dropped_gear(&self, thing: Thing, size: Vec2) -> Made {
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
                ThingId::Radio(radio) => {
                    after.phases.get(self.phase).map(|phase| Attachment::Radio {
                        radio,
                        cable: fitting_cable(&after, phase, radio, port),
                    })
                }
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

    pub(super) fn port_here(&self, kind: PortKind) -> Option<PortRef> {
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
            ThingId::TalkGroup(group) => self
                .s
                .gateways
                .get(group.gateway)?
                .port_refs()
                .find(is_free),
            _ => None,
        }
    }

    pub(super) fn cable(&self) -> Made {
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

    pub(super) fn need(&self) -> Result<Made, String> {
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

    pub(super) fn stock(&self) -> Made {
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

    pub(super) fn agreement(&self) -> Made {
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
    pub(super) fn new_phase(&self) -> Made {
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
                tested: std::collections::BTreeMap::new(),
                pairs: std::collections::BTreeMap::new(),
            },
            |now| Phase {
                id,
                key: String::new(),
                name: name.clone(),
                start: String::new(),
                // Nobody has tried anything out for it yet.
                tested: std::collections::BTreeMap::new(),
                pairs: std::collections::BTreeMap::new(),
                ..now.clone()
            },
        );
        (vec![Edit::Add(phase.into())], id.into())
    }
}
