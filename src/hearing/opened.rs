//! Who hears a message in clear that began encrypted, for everybody at once.
//!
//! The same answer as the secrecy of an explained path, without laying each path out: only the first
//! hop that leaves a box is looked for. And, port by port, where encrypted traffic goes on to once a
//! donor has decrypted it. Must not judge whether that is allowed.

use std::collections::BTreeSet;

use crate::model::{Party, PortRef};

use super::Hearing;
use super::network::{EmissionIx, EntryIx, HabitIx, Hearer, Network, Output};
use super::reach::{Label, Node, Walker};

/// What becomes of encrypted traffic once the donor of a port has decrypted it.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Opening {
    /// Ports by which it then leaves in clear, at this gateway and at all it goes on to: donors that
    /// send without a key, telephones, ties that are not encrypted.
    pub clear: BTreeSet<PortRef>,
    /// Ports whose donors send it on with a key.
    pub kept: BTreeSet<PortRef>,
    /// Everybody in the scenario who hears it in clear outside a box; sorted.
    pub listeners: Vec<Party>,
}

impl Hearing {
    /// Follows what comes in by a port to everywhere it goes from there.
    ///
    /// Complexity: linear in the part of the network that is reached.
    pub fn opening(&self, port: PortRef) -> Opening {
        let net = &self.net;
        let mut trail = Trail::default();
        let first = net.entries.iter().position(|entry| entry.port == port);
        trail.waiting.extend(first.map(|ix| ix as EntryIx));
        while let Some(entry) = trail.waiting.pop() {
            if trail.entries.insert(entry) {
                for out in net.outputs(entry) {
                    trail.leave(net, out);
                }
            }
        }
        let members = trail.habits.into_iter().flat_map(|habit| {
            let habit = net.habits.get(habit as usize);
            habit.into_iter().flat_map(|habit| &habit.members)
        });
        let listeners: BTreeSet<Party> = members
            .filter_map(|number| net.parties.get(*number as usize).copied())
            .collect();
        Opening {
            listeners: listeners.into_iter().collect(),
            ..trail.opening
        }
    }
}

/// Where the traffic of one port has been followed to.
#[derive(Default)]
struct Trail {
    waiting: Vec<EntryIx>,
    entries: BTreeSet<EntryIx>,
    emissions: BTreeSet<EmissionIx>,
    habits: BTreeSet<HabitIx>,
    opening: Opening,
}

impl Trail {
    /// Follows it out of a box by a port.
    fn leave(&mut self, net: &Network, out: EntryIx) {
        let left = net.entry(out);
        match left.output {
            Output::Donor {
                emission: Some(emission),
                ..
            } => {
                let ports = match net.emission(emission).signal.key {
                    Some(_) => &mut self.opening.kept,
                    None => &mut self.opening.clear,
                };
                ports.insert(left.port);
                self.air(net, emission);
            }
            Output::Person { habit, open, .. } if open => {
                self.opening.clear.insert(left.port);
                self.habits.insert(habit);
            }
            Output::Tie {
                other: Some(other),
                encrypted,
                ..
            } => {
                if !encrypted {
                    self.opening.clear.insert(left.port);
                }
                self.waiting.push(other);
            }
            Output::Donor { emission: None, .. }
            | Output::Person { .. }
            | Output::Tie { other: None, .. } => {}
        }
    }

    /// Follows it through the air, by repeaters too, into ears and other boxes.
    fn air(&mut self, net: &Network, emission: EmissionIx) {
        if !self.emissions.insert(emission) {
            return;
        }
        let is_clear = net.emission(emission).signal.key.is_none();
        for (hearer, _) in net.hearers.get(emission as usize).into_iter().flatten() {
            match hearer {
                Hearer::Entry(entry) => self.waiting.push(*entry),
                Hearer::Habit(habit) => self.habits.extend(is_clear.then_some(*habit)),
            }
        }
        for repeated in net.repeated.get(emission as usize).into_iter().flatten() {
            self.air(net, *repeated);
        }
    }
}

/// Lists the habits that a walked message reaches in clear although it began encrypted; sorted.
pub(super) fn opened(net: &Network, walker: &Walker<'_>) -> Vec<HabitIx> {
    let mut all: Vec<HabitIx> = walker
        .touched()
        .iter()
        .filter_map(|node| match node {
            Node::Ear(habit) => Some(*habit),
            Node::Air(_) | Node::In(_) => None,
        })
        .filter(|habit| {
            let ear = Node::Ear(*habit);
            let in_clear = walker.label(ear).is_some_and(|l| l.cost.clear > 0);
            in_clear && began_encrypted(net, walker, ear)
        })
        .collect();
    all.sort_unstable();
    all
}

/// Tells whether the first hop that leaves a box is encrypted on the way to a node.
fn began_encrypted(net: &Network, walker: &Walker<'_>, ear: Node) -> bool {
    // Walked from the ear to the mouth, the last hop seen is the first one made.
    let mut first = false;
    let mut node = Some(ear);
    while let Some(here) = node {
        let Some(label) = walker.label(here) else {
            break;
        };
        if let Some(encrypted) = hop(net, here, label) {
            first = encrypted;
        }
        node = label.before;
    }
    first
}

/// Tells whether the hop onto a node is encrypted, if it leaves a box at all.
fn hop(net: &Network, node: Node, label: Label) -> Option<bool> {
    match (node, label.before) {
        (Node::Air(emission), None | Some(Node::In(_))) => {
            Some(net.emission(emission).signal.key.is_some())
        }
        // A repeater sends on what it was sent.
        (Node::Air(_), Some(_)) | (Node::In(_) | Node::Ear(_), Some(Node::Air(_))) => None,
        (Node::In(entry), None) => outside(net.entry(entry).output),
        (Node::In(_) | Node::Ear(_), _) => {
            label.left_by.and_then(|out| outside(net.entry(out).output))
        }
    }
}

fn outside(output: Output) -> Option<bool> {
    match output {
        Output::Person { open, .. } => open.then_some(false),
        Output::Tie { encrypted, .. } => Some(encrypted),
        Output::Donor { .. } => None,
    }
}
