//! The cheapest ways from one party to another when a broken rule costs one change.
//!
//! Nodes are signals on the air and audio on a talk group, as in the derivation; edges carry the
//! changes they need. Ways come out in the order of the number of changes, then of how much the
//! changes disturb, then of hops.

use std::cmp::Reverse;
use std::collections::{BTreeSet, BinaryHeap};

use crate::hearing::rules::{self, Fault, Signal, Spot};
use crate::model::{
    Attachment, ChannelId, Party, Phase, PortKind, PortRef, Radio, RadioId, Scenario, TalkGroupRef,
    TieId,
};

use super::change::{Change, Maker};
use super::donors::{Donor, Index, donors, free_ports};
use super::options::Options;

/// How many nodes are looked at before the search gives up on better ways.
const MOST_NODES: usize = 20_000;
/// The longest list of changes that is worth proposing.
const MOST_CHANGES: u32 = 6;

/// Lists the cheapest ways, at most `most`, each as the changes it needs.
pub(super) fn ways(
    scenario: &Scenario,
    phase: &Phase,
    from: Party,
    to: Party,
    most: usize,
) -> Vec<Vec<Change>> {
    let search = Search::new(scenario, phase, from, to);
    // Ways with few changes are found first and cheaply: the fewer changes are left to spend, the
    // fewer radios have to be looked at.
    let mut ways = (1..=MOST_CHANGES)
        .map(|budget| search.run(budget, most))
        .find(|ways| !ways.is_empty())
        .unwrap_or_default();
    if ways
        .iter()
        .all(|way| way.iter().any(|c| c.edits.is_empty()))
    {
        ways.extend(search.lending());
    }
    ways
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Node {
    Air {
        signal: Signal,
        channel: ChannelId,
        origin: Option<TalkGroupRef>,
    },
    In {
        port: PortRef,
        group: u8,
    },
    There,
}

type Cost = (u32, u32, u32);

struct Way {
    before: Option<usize>,
    changes: Vec<Change>,
}

struct Search<'a> {
    scenario: &'a Scenario,
    phase: &'a Phase,
    from: Party,
    to: Party,
    maker: Maker<'a>,
    options: Options<'a>,
    index: Index,
    donors: Vec<Donor<'a>>,
    from_radios: Vec<&'a Radio>,
    to_radios: Vec<&'a Radio>,
}

#[derive(Default)]
struct Frontier {
    /// How many changes a way may have.
    budget: u32,
    ways: Vec<(Node, Way)>,
    queue: BinaryHeap<Reverse<(Cost, usize)>>,
}

impl Frontier {
    /// How many changes are left to spend.
    fn left(&self, cost: Cost) -> u32 {
        self.budget.saturating_sub(cost.0)
    }

    fn offer(&mut self, cost: Cost, before: Option<usize>, node: Node, changes: Vec<Change>) {
        if changes.len() as u32 > self.left(cost) {
            return;
        }
        let weight: u32 = changes.iter().map(|c| c.weight).sum();
        let cost = (cost.0 + changes.len() as u32, cost.1 + weight, cost.2 + 1);
        self.queue.push(Reverse((cost, self.ways.len())));
        self.ways.push((node, Way { before, changes }));
    }
}

impl<'a> Search<'a> {
    fn new(scenario: &'a Scenario, phase: &'a Phase, from: Party, to: Party) -> Self {
        let maker = Maker {
            scenario,
            phase: phase.id,
        };
        let in_use: BTreeSet<RadioId> = phase
            .attachments
            .values()
            .filter_map(|a| match a {
                Attachment::Radio { radio, .. } => Some(*radio),
                _ => None,
            })
            .collect();
        let carried = |party: Party| -> Vec<&'a Radio> {
            match party {
                Party::Unit(unit) => scenario
                    .radios_of(unit)
                    .filter(|r| !in_use.contains(&r.id))
                    .collect(),
                Party::Telephone(_) | Party::Headset(_) => Vec::new(),
            }
        };
        let from_radios = carried(from);
        let to_radios = carried(to);
        let donors = donors(scenario, phase, &in_use, maker);
        let worth = to_radios
            .iter()
            .chain(&from_radios)
            .flat_map(|r| r.programmed.iter().map(|p| p.channel))
            .chain(
                donors
                    .iter()
                    .filter_map(|d| scenario.selected_channel(phase, d.radio)),
            )
            .collect();
        Self {
            scenario,
            phase,
            from,
            to,
            maker,
            index: Index::new(scenario, phase, &donors),
            options: Options {
                scenario,
                phase,
                maker,
                worth,
            },
            donors,
            from_radios,
            to_radios,
        }
    }

    fn run(&self, budget: u32, most: usize) -> Vec<Vec<Change>> {
        let mut frontier = Frontier {
            budget,
            ..Frontier::default()
        };
        let start = (0, 0, 0);
        for radio in &self.from_radios {
            for (signal, channel, changes) in self.options.sendings(radio, false, budget) {
                let node = Node::Air {
                    signal,
                    channel,
                    origin: None,
                };
                frontier.offer(start, None, node, changes);
            }
        }
        for (port, changes) in self.seats(self.from) {
            self.enter(&mut frontier, start, None, port, &changes);
        }
        let mut settled: BTreeSet<Node> = BTreeSet::new();
        let mut found: Vec<Vec<Change>> = Vec::new();
        let mut fewest = u32::MAX;
        while let Some(Reverse((cost, ix))) = frontier.queue.pop() {
            // Ways with more changes than the best one that edits can do are of no interest.
            if cost.0 > fewest || found.len() >= most || settled.len() > MOST_NODES {
                break;
            }
            let node = frontier.ways[ix].0;
            if node == Node::There {
                let way = trace(&frontier, ix);
                if way.iter().all(|c| !c.edits.is_empty()) {
                    fewest = fewest.min(cost.0);
                }
                if !found.contains(&way) {
                    found.push(way);
                }
                continue;
            }
            if !settled.insert(node) {
                continue;
            }
            match node {
                Node::Air {
                    signal,
                    channel,
                    origin,
                } => {
                    self.spread_air(&mut frontier, cost, ix, signal, channel, origin);
                }
                Node::In { port, group } => self.spread_group(&mut frontier, cost, ix, port, group),
                Node::There => {}
            }
        }
        found
    }

    fn spread_air(
        &self,
        frontier: &mut Frontier,
        cost: Cost,
        ix: usize,
        signal: Signal,
        channel: ChannelId,
        origin: Option<TalkGroupRef>,
    ) {
        let left = frontier.left(cost);
        let repeaters = match signal.spot {
            Spot::Frequency(input) => self.index.repeaters.get(&input),
            Spot::Group { .. } => None,
        };
        for repeater in repeaters.into_iter().flatten() {
            let Some(repeater) = self.scenario.channels.get(*repeater) else {
                continue;
            };
            let Some(system) = self.scenario.systems.get(repeater.system) else {
                continue;
            };
            let (system, changes) = match rules::repeats(repeater, system, &signal) {
                Some(Err(Fault::NoCoverage(id))) => {
                    let mut reached = system.clone();
                    reached.coverage = 1.0;
                    (reached, vec![self.maker.uncovered(id)])
                }
                Some(_) => (system.clone(), Vec::new()),
                None => continue,
            };
            if let Some(Ok(signal)) = rules::repeats(repeater, &system, &signal) {
                let node = Node::Air {
                    signal,
                    channel: repeater.id,
                    origin,
                };
                frontier.offer(cost, Some(ix), node, changes);
            }
        }
        for radio in &self.to_radios {
            if let Some(changes) = self.options.hearing(radio, &signal, channel, false, left) {
                frontier.offer(cost, Some(ix), Node::There, changes);
            }
        }
        for donor in self.index.listening(signal.spot, left, self.donors.len()) {
            let donor = &self.donors[donor];
            if origin.is_some_and(|g| {
                g.gateway == donor.port.gateway && self.phase.group_of(donor.port) == Some(g)
            }) {
                continue;
            }
            if let Some(mut changes) =
                self.options
                    .hearing(donor.radio, &signal, channel, true, left)
            {
                changes.splice(0..0, donor.cabling.iter().cloned());
                self.enter(frontier, cost, Some(ix), donor.port, &changes);
            }
        }
    }

    /// Lets audio in by a port, on the group it is switched to or, for a change, on another.
    fn enter(
        &self,
        frontier: &mut Frontier,
        cost: Cost,
        before: Option<usize>,
        port: PortRef,
        changes: &[Change],
    ) {
        let Some(gateway) = self.scenario.gateways.get(port.gateway) else {
            return;
        };
        let now = self.phase.switches.get(&port).copied();
        for group in &gateway.talk_groups {
            let mut changes = changes.to_vec();
            if now != Some(group.number) {
                changes.push(self.maker.switch(port, group.number, now));
            }
            frontier.offer(
                cost,
                before,
                Node::In {
                    port,
                    group: group.number,
                },
                changes,
            );
        }
    }

    fn spread_group(
        &self,
        frontier: &mut Frontier,
        cost: Cost,
        ix: usize,
        port: PortRef,
        group: u8,
    ) {
        let here = TalkGroupRef {
            gateway: port.gateway,
            group,
        };
        let reach_port = |out: PortRef| -> Vec<Change> {
            let now = self.phase.switches.get(&out).copied();
            if now == Some(group) {
                Vec::new()
            } else {
                vec![self.maker.switch(out, group, now)]
            }
        };
        let left = frontier.left(cost);
        let neighbours = self.index.at.get(&port.gateway).into_iter().flatten();
        for donor in neighbours
            .map(|d| &self.donors[*d])
            .filter(|d| d.port != port)
        {
            let base: Vec<Change> = donor
                .cabling
                .iter()
                .cloned()
                .chain(reach_port(donor.port))
                .collect();
            for (signal, channel, changes) in self.options.sendings(donor.radio, true, left) {
                let changes = base.iter().cloned().chain(changes).collect();
                let node = Node::Air {
                    signal,
                    channel,
                    origin: Some(here),
                };
                frontier.offer(cost, Some(ix), node, changes);
            }
        }
        for (out, changes) in self.seats(self.to) {
            if out.gateway == port.gateway && out != port {
                let changes = changes.into_iter().chain(reach_port(out)).collect();
                frontier.offer(cost, Some(ix), Node::There, changes);
            }
        }
        for (out, attachment) in &self.phase.attachments {
            if out.gateway != port.gateway || *out == port {
                continue;
            }
            if let Attachment::Tie(tie) = attachment
                && let Some(other) = self.other_end(*tie, *out)
            {
                self.enter(frontier, cost, Some(ix), other, &reach_port(*out));
            }
        }
    }

    fn other_end(&self, tie: TieId, here: PortRef) -> Option<PortRef> {
        self.phase.ports_of_tie(tie).find(|port| *port != here)
    }

    /// Lists the ports where a party's telephone or headset is or could be plugged in.
    fn seats(&self, party: Party) -> Vec<(PortRef, Vec<Change>)> {
        let s = self.scenario;
        let telephones = s.telephones.iter().filter(|t| {
            Party::Telephone(t.id) == party || t.held_by.map(Party::Unit) == Some(party)
        });
        let headsets = s
            .headsets
            .iter()
            .filter(|h| Party::Headset(h.id) == party || h.held_by.map(Party::Unit) == Some(party));
        let mut seats = Vec::new();
        let mut seat = |at: Option<PortRef>, kind: PortKind, attachment: Attachment| match at {
            Some(port) => seats.push((port, Vec::new())),
            None => seats.extend(
                self.free_ports(kind)
                    .map(|port| (port, vec![self.maker.plug(port, attachment)])),
            ),
        };
        for telephone in telephones {
            let at = self.phase.port_of_telephone(telephone.id);
            seat(at, PortKind::Telephone, Attachment::Telephone(telephone.id));
        }
        for headset in headsets {
            let at = self.phase.port_of_headset(headset.id);
            seat(at, PortKind::Headset, Attachment::Headset(headset.id));
        }
        seats
    }

    fn free_ports(&self, kind: PortKind) -> impl Iterator<Item = PortRef> + '_ {
        free_ports(self.scenario, self.phase, kind)
    }

    /// Lists the ways of last resort: one side gets a radio like one of the other side's.
    fn lending(&self) -> Vec<Vec<Change>> {
        let mut all = Vec::new();
        if let Party::Unit(unit) = self.from {
            all.extend(
                self.to_radios
                    .iter()
                    .map(|r| vec![self.maker.lend(unit, r, 0)]),
            );
        }
        if let Party::Unit(unit) = self.to {
            all.extend(
                self.from_radios
                    .iter()
                    .map(|r| vec![self.maker.lend(unit, r, 0)]),
            );
        }
        all
    }
}

fn trace(frontier: &Frontier, ix: usize) -> Vec<Change> {
    let mut parts = Vec::new();
    let mut at = Some(ix);
    while let Some(ix) = at {
        let (_, way) = &frontier.ways[ix];
        parts.push(&way.changes);
        at = way.before;
    }
    let mut changes: Vec<Change> = Vec::new();
    for change in parts.into_iter().rev().flatten() {
        if !changes.contains(change) {
            changes.push(change.clone());
        }
    }
    changes
}
