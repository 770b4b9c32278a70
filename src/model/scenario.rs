//! The scenario: a header, a table for each kind of thing, places on the board, accepted findings.

use std::collections::BTreeMap;

use super::air::{Channel, System};
use super::finding::Acceptance;
use super::gear::{Cable, Gateway, Headset, Port, Site, Stock, TalkGroup, Telephone, Tie};
use super::id::{ChannelId, Party, PhaseId, PortRef, RadioId, TalkGroupRef, ThingId, UnitId};
use super::people::{Agency, Agreement, Need, Unit};
use super::phase::Phase;
use super::practice::Practice;
use super::radio::Radio;
use super::thing::{Listed, Table, Thing};

/// Title page of a scenario.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Header {
    /// Title of the file.
    pub title: String,
    /// Name of the incident or exercise.
    pub incident: String,
    /// Free text.
    pub notes: String,
    /// Comment lines at the top of the file, without their slashes.
    pub comments: Vec<String>,
}

/// Where a thing stands on the board, in board points right of and below the origin.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Place {
    /// To the right.
    pub x: i32,
    /// Downward.
    pub y: i32,
}

/// Everything a planner has laid out.
///
/// The tables are read freely and change only through [`Scenario::apply`].
#[derive(Debug, Clone, PartialEq, Default)]
#[expect(missing_docs, reason = "each table holds the kind of thing it names")]
pub struct Scenario {
    pub header: Header,
    pub practice: Practice,
    /// The number the next new thing gets; only ever grows.
    pub(super) next_id: u32,
    pub phases: Table<Phase>,
    pub agencies: Table<Agency>,
    pub units: Table<Unit>,
    pub systems: Table<System>,
    pub channels: Table<Channel>,
    pub radios: Table<Radio>,
    pub gateways: Table<Gateway>,
    pub ties: Table<Tie>,
    pub telephones: Table<Telephone>,
    pub headsets: Table<Headset>,
    pub cables: Table<Cable>,
    pub sites: Table<Site>,
    pub needs: Table<Need>,
    pub stock: Table<Stock>,
    pub agreements: Table<Agreement>,
    pub places: BTreeMap<ThingId, Place>,
    /// Chance that a thing works, from 0 to 1, where somebody knows better than the practice.
    pub availability: BTreeMap<ThingId, f64>,
    pub accepted: Vec<Acceptance>,
}

impl Scenario {
    /// Makes a scenario with nothing in it, not even a phase: for readers that add their own.
    pub fn blank(header: Header) -> Self {
        Self {
            header,
            next_id: 1,
            ..Self::default()
        }
    }

    /// Makes a scenario with one phase of twelve hours and nothing else.
    pub fn new(title: &str) -> Self {
        let mut scenario = Self::blank(Header {
            title: title.to_owned(),
            ..Header::default()
        });
        let id = PhaseId(scenario.next_id);
        scenario.next_id += 1;
        scenario.phases.put(Phase {
            id,
            key: "phase-1".to_owned(),
            name: "Phase 1".to_owned(),
            start: String::new(),
            hours: 12.0,
            switches: BTreeMap::new(),
            attachments: BTreeMap::new(),
            selected: BTreeMap::new(),
            tested: BTreeMap::new(),
            pairs: BTreeMap::new(),
        });
        scenario
    }

    /// Tells whether another scenario is a copy of this one in which nothing was changed but where
    /// things stand on the board.
    pub fn is_rearranged(&self, other: &Self) -> bool {
        self.has_same_gear(other)
            && self.next_id == other.next_id
            && self.phases.is_shared_with(&other.phases)
            && self.units.is_shared_with(&other.units)
            && self.radios.is_shared_with(&other.radios)
            && self.needs.is_shared_with(&other.needs)
            && self.header == other.header
            && self.accepted == other.accepted
    }

    /// Tells whether another scenario is a copy of this one in which nothing was changed but header,
    /// phases, units, radios, needs, what is accepted and where things stand on the board.
    pub fn has_same_gear(&self, other: &Self) -> bool {
        let Self {
            header: _,
            practice,
            next_id: _,
            phases: _,
            agencies,
            units: _,
            systems,
            channels,
            radios: _,
            gateways,
            ties,
            telephones,
            headsets,
            cables,
            sites,
            needs: _,
            stock,
            agreements,
            places: _,
            availability,
            accepted: _,
        } = self;
        agencies.is_shared_with(&other.agencies)
            && systems.is_shared_with(&other.systems)
            && channels.is_shared_with(&other.channels)
            && gateways.is_shared_with(&other.gateways)
            && ties.is_shared_with(&other.ties)
            && telephones.is_shared_with(&other.telephones)
            && headsets.is_shared_with(&other.headsets)
            && cables.is_shared_with(&other.cables)
            && sites.is_shared_with(&other.sites)
            && stock.is_shared_with(&other.stock)
            && agreements.is_shared_with(&other.agreements)
            && *practice == other.practice
            && *availability == other.availability
    }

    /// Returns a number that no thing of this scenario has or ever had.
    ///
    /// Pass `offset` 0 for the first of several things added together, 1 for the second, and so on.
    pub fn mint(&self, offset: u32) -> u32 {
        self.next_id + offset
    }

    /// Counts new things from a number on, unless the scenario is past it already.
    pub fn count_from(&mut self, next_id: u32) {
        self.next_id = self.next_id.max(next_id);
    }

    /// Returns a thing with everything in it; ports and talk groups are part of their gateway.
    pub fn thing(&self, id: ThingId) -> Option<Thing> {
        Some(match id {
            ThingId::Phase(id) => self.phases.get(id)?.clone().into(),
            ThingId::Agency(id) => self.agencies.get(id)?.clone().into(),
            ThingId::Unit(id) => self.units.get(id)?.clone().into(),
            ThingId::System(id) => self.systems.get(id)?.clone().into(),
            ThingId::Channel(id) => self.channels.get(id)?.clone().into(),
            ThingId::Radio(id) => self.radios.get(id)?.clone().into(),
            ThingId::Gateway(id) => self.gateways.get(id)?.clone().into(),
            ThingId::Port(PortRef { gateway, .. })
            | ThingId::TalkGroup(TalkGroupRef { gateway, .. }) => {
                self.gateways.get(gateway)?.clone().into()
            }
            ThingId::Tie(id) => self.ties.get(id)?.clone().into(),
            ThingId::Telephone(id) => self.telephones.get(id)?.clone().into(),
            ThingId::Headset(id) => self.headsets.get(id)?.clone().into(),
            ThingId::Cable(id) => self.cables.get(id)?.clone().into(),
            ThingId::Site(id) => self.sites.get(id)?.clone().into(),
            ThingId::Need(id) => self.needs.get(id)?.clone().into(),
            ThingId::Stock(id) => self.stock.get(id)?.clone().into(),
            ThingId::Agreement(id) => self.agreements.get(id)?.clone().into(),
        })
    }

    /// Returns a port.
    pub fn port(&self, port: PortRef) -> Option<&Port> {
        self.gateways.get(port.gateway)?.port(port.port)
    }

    /// Returns a talk group.
    pub fn talk_group(&self, group: TalkGroupRef) -> Option<&TalkGroup> {
        self.gateways.get(group.gateway)?.talk_group(group.group)
    }

    /// Tells whether a thing exists.
    pub fn contains(&self, id: ThingId) -> bool {
        match id {
            ThingId::Phase(id) => self.phases.contains(id),
            ThingId::Agency(id) => self.agencies.contains(id),
            ThingId::Unit(id) => self.units.contains(id),
            ThingId::System(id) => self.systems.contains(id),
            ThingId::Channel(id) => self.channels.contains(id),
            ThingId::Radio(id) => self.radios.contains(id),
            ThingId::Gateway(id) => self.gateways.contains(id),
            ThingId::Port(port) => self.port(port).is_some(),
            ThingId::TalkGroup(group) => self.talk_group(group).is_some(),
            ThingId::Tie(id) => self.ties.contains(id),
            ThingId::Telephone(id) => self.telephones.contains(id),
            ThingId::Headset(id) => self.headsets.contains(id),
            ThingId::Cable(id) => self.cables.contains(id),
            ThingId::Site(id) => self.sites.contains(id),
            ThingId::Need(id) => self.needs.contains(id),
            ThingId::Stock(id) => self.stock.contains(id),
            ThingId::Agreement(id) => self.agreements.contains(id),
        }
    }

    /// Returns a thing's name as people say it, ports and talk groups with their gateway's.
    pub fn name(&self, id: ThingId) -> String {
        let gateway_name = |gateway| {
            self.gateways
                .get(gateway)
                .map_or_else(|| "missing gateway".to_owned(), |g| g.name.clone())
        };
        match id {
            ThingId::Port(PortRef { gateway, port }) => {
                format!("{} port {port}", gateway_name(gateway))
            }
            ThingId::TalkGroup(TalkGroupRef { gateway, group }) => {
                format!("{} talk group {group}", gateway_name(gateway))
            }
            other => self.labels(other).map_or_else(
                || format!("missing {}", other.kind()),
                |(_, name)| name.to_owned(),
            ),
        }
    }

    /// Returns the word that files and commands use for a thing.
    pub fn key(&self, id: ThingId) -> String {
        let gateway_key = |gateway| self.gateways.get(gateway).map_or("?", |g| g.key.as_str());
        match id {
            ThingId::Port(PortRef { gateway, port }) => {
                format!("{}/{port}", gateway_key(gateway))
            }
            ThingId::TalkGroup(TalkGroupRef { gateway, group }) => {
                format!("{}#{group}", gateway_key(gateway))
            }
            other => self.labels(other).map_or("?", |(key, _)| key).to_owned(),
        }
    }

    /// Returns key and name of a thing that has its own.
    fn labels(&self, id: ThingId) -> Option<(&str, &str)> {
        fn of<T: Listed>(table: &Table<T>, id: T::Id) -> Option<(&str, &str)> {
            table.get(id).map(|thing| (thing.key(), thing.name()))
        }
        match id {
            ThingId::Phase(id) => of(&self.phases, id),
            ThingId::Agency(id) => of(&self.agencies, id),
            ThingId::Unit(id) => of(&self.units, id),
            ThingId::System(id) => of(&self.systems, id),
            ThingId::Channel(id) => of(&self.channels, id),
            ThingId::Radio(id) => of(&self.radios, id),
            ThingId::Gateway(id) => of(&self.gateways, id),
            ThingId::Tie(id) => of(&self.ties, id),
            ThingId::Telephone(id) => of(&self.telephones, id),
            ThingId::Headset(id) => of(&self.headsets, id),
            ThingId::Cable(id) => of(&self.cables, id),
            ThingId::Site(id) => of(&self.sites, id),
            ThingId::Need(id) => of(&self.needs, id),
            ThingId::Stock(id) => of(&self.stock, id),
            ThingId::Agreement(id) => of(&self.agreements, id),
            ThingId::Port(_) | ThingId::TalkGroup(_) => None,
        }
    }

    /// Lists everybody who can speak or listen: units, then telephones and headsets no unit holds.
    pub fn parties(&self) -> impl Iterator<Item = Party> + '_ {
        let units = self.units.ids().map(Party::Unit);
        let telephones = self
            .telephones
            .iter()
            .filter(|t| t.held_by.is_none())
            .map(|t| Party::Telephone(t.id));
        let headsets = self
            .headsets
            .iter()
            .filter(|h| h.held_by.is_none())
            .map(|h| Party::Headset(h.id));
        units.chain(telephones).chain(headsets)
    }

    /// Lists the radios a unit carries, donors among them.
    pub fn radios_of(&self, unit: UnitId) -> impl Iterator<Item = &Radio> {
        self.radios.iter().filter(move |r| r.held_by == Some(unit))
    }

    /// Returns the channel a radio has selected in a phase.
    pub fn selected_channel(&self, phase: &Phase, radio: &Radio) -> Option<ChannelId> {
        phase
            .selected
            .get(&radio.id)
            .copied()
            .unwrap_or(radio.selected)
    }

    /// Finds a phase by key, name or number from 1; the first phase when nothing is asked for.
    pub fn find_phase(&self, asked: Option<&str>) -> Option<&Phase> {
        let Some(asked) = asked else {
            return self.phases.first();
        };
        self.phases
            .iter()
            .find(|p| p.key == asked)
            .or_else(|| {
                self.phases
                    .iter()
                    .find(|p| p.name.eq_ignore_ascii_case(asked))
            })
            .or_else(|| {
                let number: usize = asked.parse().ok()?;
                self.phases.iter().nth(number.checked_sub(1)?)
            })
    }

    /// Tells whether a radio is cabled to a port in a phase, which makes it a donor.
    pub fn is_donor(phase: &Phase, radio: RadioId) -> bool {
        phase.port_of_radio(radio).is_some()
    }
}
