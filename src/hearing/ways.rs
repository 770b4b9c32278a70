//! Everything that must work for somebody to hear somebody, as a graph of items that can fail.
//!
//! The graph says the same as the network: an item may stand at several places, as a channel does on
//! which several radios send. Whoever asks for a way names what has failed and gets what one way
//! needs. Nothing here knows how likely a failure is.

use std::collections::{BTreeMap, BTreeSet};

use crate::engineering::reliability::Failed;
use crate::engineering::reliability::graph::{Graph, Room};
use crate::model::{Attachment, GatewayId, Party, Phase, PortRef, Scenario, SystemId, ThingId};

use super::Hearing;
use super::network::{EmissionIx, EntryIx, Hearer, Network, Output};
use super::radios::Radios;
use super::rules::Signal;

/// Something that can fail.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Item {
    /// A party, radio, channel, system, gateway, port, site, tie, telephone or headset.
    Thing(ThingId),
    /// The cable at a port.
    CableAt(PortRef),
    /// What a gateway runs on.
    PowerOf(GatewayId),
}

impl Item {
    /// Returns the item in words.
    pub fn name(self, scenario: &Scenario) -> String {
        match self {
            Self::Thing(thing) => scenario.name(thing),
            Self::CableAt(port) => format!("cable at {}", scenario.name(port.into())),
            Self::PowerOf(gateway) => format!("power of {}", scenario.name(gateway.into())),
        }
    }

    /// Returns the thing to point at.
    pub fn thing(self) -> ThingId {
        match self {
            Self::Thing(thing) => thing,
            Self::CableAt(port) => port.into(),
            Self::PowerOf(gateway) => gateway.into(),
        }
    }
}

/// Which hops count.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hops {
    /// All.
    Any,
    /// Only those that stay encrypted outside a box.
    Encrypted,
}

/// The ways between some parties, with the items on them.
#[derive(Debug, Clone, Default)]
pub struct Ways {
    graph: Graph,
    items: Vec<Item>,
    numbers: BTreeMap<Item, u32>,
    speaks: BTreeMap<Party, usize>,
    hears: BTreeMap<Party, usize>,
}

impl Ways {
    /// Lists the items; the place of an item in the list is its number.
    pub fn items(&self) -> &[Item] {
        &self.items
    }

    /// Returns the number of an item that stands on some way.
    pub fn number(&self, item: Item) -> Option<u32> {
        self.numbers.get(&item).copied()
    }

    /// Returns what one way for all pairs at once needs that avoids what has failed.
    ///
    /// Complexity: one breadth-first walk for each pair.
    pub fn way(&self, pairs: &[(Party, Party)], failed: &Failed) -> Option<Vec<u32>> {
        self.oracle(pairs)(failed)
    }

    /// Returns what answers [`Ways::way`] for the same pairs again and again, at less cost.
    pub fn oracle(
        &self,
        pairs: &[(Party, Party)],
    ) -> impl FnMut(&Failed) -> Option<Vec<u32>> + use<'_> {
        let ends: Option<Vec<(usize, usize)>> = pairs
            .iter()
            .map(|(from, to)| Some((*self.speaks.get(from)?, *self.hears.get(to)?)))
            .collect();
        let mut room = Room::default();
        move |failed| self.graph.all_pairs_in(&mut room, ends.as_ref()?, failed)
    }

    /// Returns the vertices at which a pair speaks and hears, with the graph between.
    pub fn ends(&self, from: Party, to: Party) -> Option<(&Graph, usize, usize)> {
        Some((&self.graph, *self.speaks.get(&from)?, *self.hears.get(&to)?))
    }
}

impl Hearing {
    /// Lays out the ways between parties.
    ///
    /// Complexity: linear in the network, and in what the parties named send and hear.
    pub fn ways(&self, scenario: &Scenario, parties: &BTreeSet<Party>, hops: Hops) -> Ways {
        let Some(phase) = self.phase.and_then(|p| scenario.phases.get(p)) else {
            return Ways::default();
        };
        let mut layer = Layer {
            scenario,
            phase,
            net: &self.net,
            hops,
            people: Vec::new(),
            ways: Ways::default(),
            air: Vec::new(),
            sockets: Vec::new(),
        };
        layer.lay_air();
        layer.lay_gateways();
        for party in parties {
            layer.lay_party(*party);
        }
        layer.ways
    }
}

/// Vertices of an emission: where it is sent, and where it is heard.
#[derive(Clone, Copy)]
struct Air {
    sent: usize,
    heard: usize,
}

/// Vertices of an entry.
#[derive(Clone, Copy)]
struct Socket {
    /// What is plugged in, taking audio from outside; the port itself for a tie.
    takes: usize,
    /// The talk group, once audio that came in by this port is on it.
    bus: usize,
    /// The port, as audio leaves by it.
    leaves: usize,
}

struct Layer<'a> {
    scenario: &'a Scenario,
    phase: &'a Phase,
    net: &'a Network,
    hops: Hops,
    /// Entries at which somebody speaks, with who does.
    people: Vec<(Party, EntryIx)>,
    ways: Ways,
    /// Vertices of each emission; `None` where it does not count.
    air: Vec<Option<Air>>,
    sockets: Vec<Socket>,
}

impl Layer<'_> {
    fn item(&mut self, item: Item) -> u32 {
        let next = self.ways.items.len() as u32;
        let number = *self.ways.numbers.entry(item).or_insert(next);
        if number == next {
            self.ways.items.push(item);
        }
        number
    }

    fn vertex(&mut self, item: Option<Item>) -> usize {
        let item = item.map(|item| self.item(item));
        self.ways.graph.add_vertex(item)
    }

    fn thing(&mut self, thing: impl Into<ThingId>) -> usize {
        self.vertex(Some(Item::Thing(thing.into())))
    }

    fn join(&mut self, from: usize, to: usize, item: Option<Item>) {
        let item = item.map(|item| self.item(item));
        let is_laid = self.ways.graph.add_edge(from, to, item);
        debug_assert!(is_laid, "both ends are vertices");
    }

    fn counts(&self, signal: &Signal) -> bool {
        self.hops == Hops::Any || signal.key.is_some()
    }

    /// The system that carries an emission, where it is more than air.
    fn system_of(&self, emission: EmissionIx) -> Option<SystemId> {
        let channel = self.net.emission(emission).channel;
        Some(self.scenario.channels.get(channel)?.system)
    }

    fn lay_air(&mut self) {
        for (number, emission) in self.net.emissions.iter().enumerate() {
            if !self.counts(&emission.signal) {
                self.air.push(None);
                continue;
            }
            let sent = self.thing(emission.channel);
            let system = self.system_of(number as EmissionIx);
            let system = system.and_then(|s| self.scenario.systems.get(s));
            // A grouped channel is nothing without its system; a repeater stands on its own edge.
            let heard = match system {
                Some(system) if system.kind.is_grouped() => {
                    let heard = self.thing(system.id);
                    self.join(sent, heard, None);
                    heard
                }
                _ => sent,
            };
            self.air.push(Some(Air { sent, heard }));
        }
        for (number, repeated) in self.net.repeated.iter().enumerate() {
            let system = self.system_of(number as EmissionIx);
            for to in repeated {
                if let (Some(Some(from)), Some(Some(to))) =
                    (self.air.get(number), self.air.get(*to as usize))
                {
                    let item = system.map(|s| Item::Thing(s.into()));
                    self.join(from.heard, to.sent, item);
                }
            }
        }
    }

    fn lay_gateways(&mut self) {
        let net = self.net;
        let entries = 0..net.entries.len() as EntryIx;
        for number in entries.clone() {
            let socket = self.lay_socket(number);
            self.sockets.push(socket);
        }
        for number in entries.clone() {
            for out in net.outputs(number) {
                if let (Some(from), Some(to)) = (self.socket(number), self.socket(out)) {
                    self.join(from.bus, to.leaves, None);
                }
            }
        }
        for number in entries {
            self.lay_output(number);
            if let Output::Person { party, .. } = net.entry(number).output {
                self.people.push((party, number));
            }
        }
        self.people.sort_unstable();
        for (emission, hearers) in net.hearers.iter().enumerate() {
            let Some(from) = self.on_air(emission as EmissionIx) else {
                continue;
            };
            for (hearer, _) in hearers {
                if let Hearer::Entry(entry) = hearer
                    && let Some(socket) = self.socket(*entry)
                {
                    self.join(from.heard, socket.takes, None);
                }
            }
        }
    }

    fn socket(&self, number: EntryIx) -> Option<Socket> {
        self.sockets.get(number as usize).copied()
    }

    fn on_air(&self, emission: EmissionIx) -> Option<Air> {
        self.air.get(emission as usize).copied().flatten()
    }

    /// Lays what is plugged in, the port, the box, its power and its site, in the order audio passes.
    fn lay_socket(&mut self, number: EntryIx) -> Socket {
        let port = self.net.entry(number).port;
        let gateway = port.gateway;
        let first = self.thing(port);
        let mut bus = first;
        let site = self.scenario.gateways.get(gateway).and_then(|g| g.site);
        let box_items = [
            Some(Item::Thing(gateway.into())),
            Some(Item::PowerOf(gateway)),
            site.map(|s| Item::Thing(s.into())),
        ];
        for item in box_items.into_iter().flatten() {
            let next = self.vertex(Some(item));
            self.join(bus, next, None);
            bus = next;
        }
        let plugged = self.plugged(port);
        let takes = match plugged {
            Some((thing, cable)) => {
                let takes = self.thing(thing);
                self.join(takes, first, cable);
                takes
            }
            None => first,
        };
        let leaves = self.thing(port);
        Socket { takes, bus, leaves }
    }

    /// What is plugged into a port and by which cable; `None` for a tie, which leads to a port.
    fn plugged(&self, port: PortRef) -> Option<(ThingId, Option<Item>)> {
        match *self.phase.attachments.get(&port)? {
            Attachment::Radio { radio, .. } => Some((radio.into(), Some(Item::CableAt(port)))),
            Attachment::Telephone(id) => Some((id.into(), None)),
            Attachment::Headset(id) => Some((id.into(), None)),
            Attachment::Tie(_) => None,
        }
    }

    fn lay_output(&mut self, number: EntryIx) {
        let entry = self.net.entry(number);
        let Some(socket) = self.socket(number) else {
            return;
        };
        match entry.output {
            Output::Donor {
                radio,
                emission: Some(emission),
            } => {
                if let Some(air) = self.on_air(emission) {
                    let sends = self.thing(radio);
                    self.join(socket.leaves, sends, Some(Item::CableAt(entry.port)));
                    self.join(sends, air.sent, None);
                }
            }
            Output::Tie {
                other: Some(other),
                encrypted,
                ..
            } => {
                let tie = match self.phase.attachments.get(&entry.port) {
                    Some(Attachment::Tie(tie)) => Some(Item::Thing((*tie).into())),
                    _ => None,
                };
                if let Some(far) = self.socket(other)
                    && (encrypted || self.hops == Hops::Any)
                {
                    self.join(socket.leaves, far.takes, tie);
                }
            }
            Output::Donor { emission: None, .. }
            | Output::Tie { other: None, .. }
            | Output::Person { .. } => {}
        }
    }

    /// Lays where a party speaks and hears: its radios, telephones and headsets.
    fn lay_party(&mut self, party: Party) {
        let net = self.net;
        let Some(habit) = net.habit_of(party).map(|h| &net.habits[h as usize]) else {
            return;
        };
        let speaks = self.thing(party);
        let hears = self.thing(party);
        self.ways.speaks.insert(party, speaks);
        self.ways.hears.insert(party, hears);
        let radios = Radios {
            scenario: self.scenario,
            phase: self.phase,
        };
        for radio in radios.carried(net, party) {
            let sent = habit.emissions.iter().map(|(emission, _)| *emission);
            let sent: Vec<Air> = sent
                .filter(|emission| radios.sends(radio, net.emission(*emission)))
                .filter_map(|emission| self.on_air(emission))
                .collect();
            if !sent.is_empty() {
                let vertex = self.thing(radio.id);
                self.join(speaks, vertex, None);
                for air in sent {
                    self.join(vertex, air.sent, None);
                }
            }
            let heard = habit.hears.iter().map(|(emission, _)| *emission);
            let heard: Vec<Air> = heard
                .filter(|emission| {
                    let signal = &net.emission(*emission).signal;
                    radios.hears_on(radio, signal).is_some()
                })
                .filter_map(|emission| self.on_air(emission))
                .collect();
            if !heard.is_empty() {
                let vertex = self.thing(radio.id);
                self.join(vertex, hears, None);
                for air in heard {
                    self.join(air.heard, vertex, None);
                }
            }
        }
        let mine = self.people.partition_point(|(who, _)| *who < party);
        let mine: Vec<EntryIx> = self.people[mine..]
            .iter()
            .take_while(|(who, _)| *who == party)
            .map(|(_, number)| *number)
            .collect();
        for number in mine {
            let Output::Person { open, .. } = net.entry(number).output else {
                continue;
            };
            let Some(socket) = self.socket(number) else {
                continue;
            };
            if !(open && self.hops == Hops::Encrypted) {
                self.join(speaks, socket.takes, None);
                let device = self
                    .plugged(net.entry(number).port)
                    .map(|(thing, _)| self.thing(thing));
                if let Some(device) = device {
                    self.join(socket.leaves, device, None);
                    self.join(device, hears, None);
                }
            }
        }
    }
}
