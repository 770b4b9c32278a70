//! Loops: ways by which audio comes back to a talk group it has left.
//!
//! A loop is a cycle among entries: what came in by a port leaves by another, comes in at another
//! talk group, and so on until it comes in by the first port again. Each strongly connected part of
//! that graph is reported once, by a shortest cycle through it.

use std::collections::{BTreeMap, BTreeSet, VecDeque};

use petgraph::algo::tarjan_scc;
use petgraph::graph::{DiGraph, NodeIndex};

use crate::model::{PortRef, RadioId, TalkGroupRef, ThingId};

use super::network::{EmissionIx, EntryIx, Hearer, Network, Output};

/// A loop: audio that comes back to where it was.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Loop {
    /// The things a shortest cycle passes, in order, the first not repeated.
    pub things: Vec<ThingId>,
    /// The talk groups it passes, each once.
    pub groups: Vec<TalkGroupRef>,
    /// The ports by which it comes in, in order.
    pub ports: Vec<PortRef>,
    /// The donors that keep it up, each once.
    pub donors: Vec<RadioId>,
}

/// A donor that hears another donor of its own talk group off the air.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct OwnEcho {
    /// The talk group.
    pub group: TalkGroupRef,
    /// The port whose donor sends.
    pub sender: PortRef,
    /// The port whose donor hears it.
    pub hearer: PortRef,
}

/// Finds the loops of a network.
///
/// Complexity: linear in the edges among entries for the components, and one breadth-first walk for
/// each component found. Deterministic: everything is walked in the order of ports.
pub(super) fn find(net: &Network) -> Vec<Loop> {
    let edges = edges(net);
    let mut graph: DiGraph<EntryIx, ()> = DiGraph::with_capacity(net.entries.len(), edges.len());
    let nodes: Vec<NodeIndex> = (0..net.entries.len())
        .map(|ix| graph.add_node(ix as EntryIx))
        .collect();
    for (from, tos) in &edges {
        for (to, _) in tos {
            graph.add_edge(nodes[*from as usize], nodes[*to as usize], ());
        }
    }
    let mut loops: Vec<Loop> = tarjan_scc(&graph)
        .into_iter()
        .filter(|part| part.len() > 1 || part.first().is_some_and(|n| graph.contains_edge(*n, *n)))
        .filter_map(|part| {
            let members: BTreeSet<EntryIx> = part
                .into_iter()
                .filter_map(|n| graph.node_weight(n).copied())
                .collect();
            shortest(net, &edges, &members)
        })
        .collect();
    loops.sort();
    loops
}

type Edges = BTreeMap<EntryIx, Vec<(EntryIx, EntryIx)>>;

/// Lists, for each entry, the entries its audio comes in at next and the port it leaves by.
fn edges(net: &Network) -> Edges {
    let entries = 0..net.entries.len() as EntryIx;
    // What leaves by a port gets to the same entries, whichever of its talk group it came in by.
    let onward: Vec<Vec<EntryIx>> = entries.clone().map(|out| onward(net, out)).collect();
    entries
        .map(|from| {
            let mut tos: Vec<(EntryIx, EntryIx)> = Vec::new();
            for out in net.outputs(from) {
                tos.extend(onward[out as usize].iter().map(|to| (*to, out)));
            }
            tos.sort_unstable();
            tos.dedup_by_key(|(to, _)| *to);
            (from, tos)
        })
        .collect()
}

fn onward(net: &Network, out: EntryIx) -> Vec<EntryIx> {
    match net.entry(out).output {
        Output::Donor {
            emission: Some(emission),
            ..
        } => with_repeats(net, emission)
            .into_iter()
            .flat_map(|emission| entries_hearing(net, emission))
            .collect(),
        Output::Tie {
            other: Some(other), ..
        } => vec![other],
        Output::Donor { .. } | Output::Tie { .. } | Output::Person { .. } => Vec::new(),
    }
}

fn entries_hearing(net: &Network, emission: EmissionIx) -> impl Iterator<Item = EntryIx> + '_ {
    net.hearers[emission as usize]
        .iter()
        .filter_map(|(hearer, _)| match hearer {
            Hearer::Entry(entry) => Some(*entry),
            Hearer::Habit(_) => None,
        })
}

/// Lists an emission and everything repeaters make of it.
pub(super) fn with_repeats(net: &Network, emission: EmissionIx) -> BTreeSet<EmissionIx> {
    let mut all = BTreeSet::from([emission]);
    let mut waiting = vec![emission];
    while let Some(next) = waiting.pop() {
        for repeated in &net.repeated[next as usize] {
            if all.insert(*repeated) {
                waiting.push(*repeated);
            }
        }
    }
    all
}

fn shortest(net: &Network, edges: &Edges, members: &BTreeSet<EntryIx>) -> Option<Loop> {
    let start = *members.first()?;
    let mut before: BTreeMap<EntryIx, (EntryIx, EntryIx)> = BTreeMap::new();
    let mut queue = VecDeque::from([start]);
    'walk: while let Some(here) = queue.pop_front() {
        for (to, out) in edges.get(&here).into_iter().flatten() {
            if members.contains(to) && !before.contains_key(to) {
                before.insert(*to, (here, *out));
                if *to == start {
                    break 'walk;
                }
                queue.push_back(*to);
            }
        }
    }
    let mut legs = Vec::new();
    let mut at = start;
    loop {
        let (from, out) = *before.get(&at)?;
        legs.push((from, out));
        at = from;
        if at == start {
            break;
        }
    }
    legs.reverse();
    let mut found = Loop {
        things: Vec::new(),
        groups: Vec::new(),
        ports: Vec::new(),
        donors: Vec::new(),
    };
    for (from, out) in legs {
        let (entry, exit) = (net.entry(from), net.entry(out));
        found.ports.push(entry.port);
        found.groups.push(entry.group);
        if let Output::Donor { radio, .. } = entry.output {
            found.things.push(radio.into());
            found.donors.push(radio);
        }
        found.things.extend([
            entry.port.into(),
            entry.group.into(),
            ThingId::from(exit.port),
        ]);
        if let Output::Donor {
            radio,
            emission: Some(emission),
        } = exit.output
        {
            found
                .things
                .extend([radio.into(), ThingId::from(net.emission(emission).channel)]);
            found.donors.push(radio);
        }
    }
    found.groups.sort_unstable();
    found.groups.dedup();
    found.donors.sort_unstable();
    found.donors.dedup();
    Some(found)
}
