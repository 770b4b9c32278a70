//! The cheapest ways from one party to another when a broken rule costs one change.
//!
//! Nodes are signals on the air and audio on a talk group, as in the derivation; edges carry the
//! changes they need. Ways come out in the order of the number of changes, then of how much the
//! changes disturb, then of hops.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet, BinaryHeap};

use crate::hearing::rules::{self, Fault, Signal};
use crate::model::connect::{fitting_cable, unable};
use crate::model::{
    Attachment, ChannelId, Party, Phase, PortKind, PortRef, Programmed, Radio, RadioId, Scenario,
    TalkGroupRef, TieId,
};

use super::change::{Change, Deviation, Maker, moved, optional_key};

/// How many nodes are looked at before the search gives up on better ways.
const MOST_NODES: usize = 20_000;

/// Lists the cheapest ways, at most `most`, each as the changes it needs.
pub(super) fn ways(
    scenario: &Scenario,
    phase: &Phase,
    from: Party,
    to: Party,
    most: usize,
) -> Vec<Vec<Change>> {
    let search = Search::new(scenario, phase, from, to);
    let mut ways = search.run(most);
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

/// A radio at a port, plugged in today or not.
struct Donor<'a> {
    port: PortRef,
    radio: &'a Radio,
    /// What has to be done so that its cable carries audio.
    cabling: Vec<Change>,
}

struct Search<'a> {
    scenario: &'a Scenario,
    phase: &'a Phase,
    from: Party,
    to: Party,
    maker: Maker<'a>,
    donors: Vec<Donor<'a>>,
    from_radios: Vec<&'a Radio>,
    to_radios: Vec<&'a Radio>,
    /// Channels worth programming into a radio that lacks them.
    worth: BTreeSet<ChannelId>,
}

#[derive(Default)]
struct Frontier {
    ways: Vec<(Node, Way)>,
    queue: BinaryHeap<Reverse<(Cost, usize)>>,
}

impl Frontier {
    fn offer(&mut self, cost: Cost, before: Option<usize>, node: Node, changes: Vec<Change>) {
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
            donors,
            from_radios,
            to_radios,
            worth,
        }
    }

    fn run(&self, most: usize) -> Vec<Vec<Change>> {
        let mut frontier = Frontier::default();
        let start = (0, 0, 0);
        for radio in &self.from_radios {
            for (signal, channel, changes) in self.sendings(radio, false) {
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
        for repeater in self.scenario.channels.iter() {
            let Some(system) = self.scenario.systems.get(repeater.system) else {
                continue;
            };
            if let Some(Ok(signal)) = rules::repeats(repeater, system, &signal) {
                let node = Node::Air {
                    signal,
                    channel: repeater.id,
                    origin,
                };
                frontier.offer(cost, Some(ix), node, Vec::new());
            }
        }
        for radio in &self.to_radios {
            if let Some(changes) = self.hearing(radio, &signal, channel, false) {
                frontier.offer(cost, Some(ix), Node::There, changes);
            }
        }
        for donor in &self.donors {
            if origin.is_some_and(|g| {
                g.gateway == donor.port.gateway && self.phase.group_of(donor.port) == Some(g)
            }) {
                continue;
            }
            if let Some(mut changes) = self.hearing(donor.radio, &signal, channel, true) {
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

    fn spread_group(&self, frontier: &mut Frontier, cost: Cost, ix: usize, port: PortRef, group: u8) {
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
        for donor in self
            .donors
            .iter()
            .filter(|d| d.port.gateway == port.gateway && d.port != port)
        {
            let base: Vec<Change> = donor
                .cabling
                .iter()
                .cloned()
                .chain(reach_port(donor.port))
                .collect();
            for (signal, channel, changes) in self.sendings(donor.radio, true) {
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

    /// Lists what a radio could send, each with the changes it takes.
    fn sendings(&self, radio: &Radio, is_donor: bool) -> Vec<(Signal, ChannelId, Vec<Change>)> {
        let mut all = Vec::new();
        for (entry, changes) in self.entries(radio, None, is_donor) {
            let Some(channel) = self.scenario.channels.get(entry.channel) else {
                continue;
            };
            let Some(system) = self.scenario.systems.get(channel.system) else {
                continue;
            };
            let mut variants: Vec<(Programmed, Vec<Change>)> = vec![(entry.clone(), Vec::new())];
            let mut cleared = entry.clone();
            let mut clearing = Vec::new();
            for deviation in Deviation::SENDING {
                let mut single = entry.clone();
                if let Some(change) = self.maker.undeviate(radio, &mut single, deviation) {
                    variants.push((single, vec![change]));
                    clearing.extend(self.maker.undeviate(radio, &mut cleared, deviation));
                }
            }
            if clearing.len() > 1 {
                variants.push((cleared, clearing));
            }
            if optional_key(entry.effective(channel).protection).is_some() {
                let mut turned = entry.clone();
                let change = self.maker.turn_secure(radio, &mut turned, !entry.secure);
                variants.push((turned, vec![change]));
            }
            for (mut variant, mut more) in variants {
                let signal = match rules::signal_of(radio, &variant, channel, system) {
                    Ok(signal) => Some(signal),
                    Err(faults) => self.mend_sending(radio, &mut variant, &faults, &mut more),
                };
                if let Some(signal) = signal {
                    all.push((
                        signal,
                        channel.id,
                        changes.iter().cloned().chain(more).collect(),
                    ));
                }
            }
        }
        all
    }

    /// Mends what stops a radio from sending; returns the signal it would then send.
    fn mend_sending(
        &self,
        radio: &Radio,
        entry: &mut Programmed,
        faults: &[Fault],
        changes: &mut Vec<Change>,
    ) -> Option<Signal> {
        let mut able = radio.clone();
        let channel = self.scenario.channels.get(entry.channel)?;
        let mut system = self.scenario.systems.get(channel.system)?.clone();
        for fault in faults {
            changes.push(self.maker.mend(radio, entry, *fault)?);
            match fault {
                Fault::NoKeyToSend(key) => drop(able.keys.insert(*key)),
                Fault::NoTalkPath(_) => system.talk_paths = 1,
                Fault::NoCoverage(_) => system.coverage = 1.0,
                _ => {}
            }
        }
        rules::signal_of(&able, entry, channel, &system).ok()
    }

    /// Returns the cheapest changes that let a radio hear a signal.
    fn hearing(
        &self,
        radio: &Radio,
        signal: &Signal,
        sent_on: ChannelId,
        is_donor: bool,
    ) -> Option<Vec<Change>> {
        let mut best: Option<Vec<Change>> = None;
        let price = |c: &[Change]| (c.len(), c.iter().map(|c| c.weight).sum::<u32>());
        for (entry, base) in self.entries(radio, Some(sent_on), is_donor) {
            if best.as_ref().is_some_and(|b| b.len() < base.len()) {
                continue;
            }
            let Some(mut changes) = self.mend_hearing(radio, entry, signal) else {
                continue;
            };
            changes.splice(0..0, base);
            if best.as_ref().is_none_or(|b| price(&changes) < price(b)) {
                best = Some(changes);
            }
        }
        best
    }

    fn mend_hearing(
        &self,
        radio: &Radio,
        mut entry: Programmed,
        signal: &Signal,
    ) -> Option<Vec<Change>> {
        let channel = self.scenario.channels.get(entry.channel)?;
        let mut able = radio.clone();
        let mut changes = Vec::new();
        // Each round mends one fault; a radio has few, so eight rounds are plenty.
        for _ in 0..8 {
            let Ok(tuner) = rules::tuner_of(&able, &entry, channel) else {
                let change = Deviation::LISTENING.into_iter().find_map(|deviation| {
                    let mut tried = entry.clone();
                    let change = self.maker.undeviate(radio, &mut tried, deviation)?;
                    rules::tuner_of(&able, &tried, channel).ok()?;
                    entry = tried;
                    Some(change)
                })?;
                changes.push(change);
                continue;
            };
            let faults = rules::reception_faults(&tuner, &able.keys, signal);
            let Some(fault) = faults.first() else {
                return Some(changes);
            };
            let change = match fault {
                Fault::Elsewhere { heard, .. } => {
                    let deviation = moved(&entry, *heard)?;
                    self.maker.undeviate(radio, &mut entry, deviation)?
                }
                fault => self.maker.mend(radio, &mut entry, *fault)?,
            };
            if let Fault::NoKey(key) = fault {
                able.keys.insert(*key);
            }
            changes.push(change);
        }
        None
    }

    /// Lists the entries a radio could work by: the selected one, the scanned ones when listening,
    /// the other programmed ones, and channels worth programming.
    fn entries(
        &self,
        radio: &Radio,
        sent_on: Option<ChannelId>,
        is_donor: bool,
    ) -> Vec<(Programmed, Vec<Change>)> {
        let selected = self.scenario.selected_channel(self.phase, radio);
        let listening = sent_on.is_some();
        let mut all: Vec<(Programmed, Vec<Change>)> = Vec::new();
        for entry in &radio.programmed {
            let is_on = selected == Some(entry.channel)
                || (listening && radio.scans.contains(&entry.channel));
            let changes = if is_on {
                Vec::new()
            } else {
                vec![self.maker.select(radio, entry.channel, is_donor)]
            };
            all.push((entry.clone(), changes));
        }
        let mut lacking = |channel: ChannelId| {
            let Some(found) = self.scenario.channels.get(channel) else {
                return;
            };
            if radio.entry(channel).is_none() && unable(radio, found).is_none() {
                let entry = Programmed::as_defined(channel);
                let changes = vec![
                    self.maker.program(radio, &entry),
                    self.maker.select(radio, channel, is_donor),
                ];
                all.push((entry, changes));
            }
        };
        match sent_on {
            Some(channel) => lacking(channel),
            None => self.worth.iter().copied().for_each(lacking),
        }
        all
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

fn free_ports<'a>(
    scenario: &'a Scenario,
    phase: &'a Phase,
    kind: PortKind,
) -> impl Iterator<Item = PortRef> + 'a {
    scenario.gateways.iter().flat_map(move |gateway| {
        gateway
            .ports
            .iter()
            .filter(move |p| p.kind == kind)
            .map(|p| PortRef {
                gateway: gateway.id,
                port: p.number,
            })
            .filter(|port| !phase.attachments.contains_key(port))
    })
}

/// Lists radios at ports: those plugged in, and those of the pool at the first free port of each
/// gateway that a cable at hand fits.
fn donors<'a>(
    scenario: &'a Scenario,
    phase: &'a Phase,
    in_use: &BTreeSet<RadioId>,
    maker: Maker<'a>,
) -> Vec<Donor<'a>> {
    let mut donors = Vec::new();
    for (port, attachment) in &phase.attachments {
        let Attachment::Radio { radio, cable } = attachment else {
            continue;
        };
        let (Some(found), Some(socket)) = (scenario.radios.get(*radio), scenario.port(*port))
        else {
            continue;
        };
        let fits = cable
            .and_then(|c| scenario.cables.get(c))
            .is_none_or(|c| c.fits(&found.connector, &socket.connector));
        let cabling = if fits {
            Vec::new()
        } else {
            vec![maker.recable(*port, *radio, fitting_cable(scenario, phase, *radio, *port))]
        };
        donors.push(Donor {
            port: *port,
            radio: found,
            cabling,
        });
    }
    let mut first_free: BTreeMap<_, PortRef> = BTreeMap::new();
    for port in free_ports(scenario, phase, PortKind::Radio) {
        first_free.entry(port.gateway).or_insert(port);
    }
    let pool = scenario
        .radios
        .iter()
        .filter(|r| r.held_by.is_none() && !in_use.contains(&r.id));
    for radio in pool {
        for port in first_free.values() {
            if let Some(cable) = fitting_cable(scenario, phase, radio.id, *port) {
                let attachment = Attachment::Radio {
                    radio: radio.id,
                    cable: Some(cable),
                };
                donors.push(Donor {
                    port: *port,
                    radio,
                    cabling: vec![maker.plug(*port, attachment)],
                });
            }
        }
    }
    donors
}
