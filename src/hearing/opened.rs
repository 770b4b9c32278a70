//! Who hears a message in clear that began encrypted, for everybody at once.
//!
//! The same answer as the secrecy of an explained path, without laying each path out: only the first
//! hop that leaves a box is looked for. Must not judge whether that is allowed.

use super::network::{HabitIx, Network, Output};
use super::reach::{Label, Node, Walker};

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
