//! One message: the cheapest way to everywhere it gets.
//!
//! Cheapest means first without scanning, then soonest, then with least speech lost, then with
//! fewest codecs and hops; ties go to the lower index, so that the answer never depends on luck.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::network::{EmissionIx, EntryIx, HabitIx, Hearer, Network, Output};
use super::path::Arrival;

/// A place a message gets to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Node {
    /// On the air.
    Air(EmissionIx),
    /// On the talk group of a port, having come in by it.
    In(EntryIx),
    /// In somebody's ear.
    Ear(HabitIx),
}

/// What a way costs, in the order of preference.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub(super) struct Cost {
    pub(super) scans: u16,
    pub(super) delay_ms: u32,
    pub(super) clipped_ms: u32,
    pub(super) codecs: u16,
    pub(super) hops: u16,
}

impl Cost {
    fn then(self, step: Self) -> Self {
        Self {
            scans: self.scans.saturating_add(step.scans),
            delay_ms: self.delay_ms.saturating_add(step.delay_ms),
            clipped_ms: self.clipped_ms.saturating_add(step.clipped_ms),
            codecs: self.codecs.saturating_add(step.codecs),
            hops: self.hops.saturating_add(step.hops),
        }
    }
}

/// How a message got to a node.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Label {
    pub(super) cost: Cost,
    /// Every hop so far that left a box was encrypted.
    pub(super) encrypted: bool,
    /// The node before; `None` when the speaker is.
    pub(super) before: Option<Node>,
    /// The port it left by, when the node before is an entry.
    pub(super) left_by: Option<EntryIx>,
}

/// Room for walking messages one after the other without clearing.
pub(super) struct Walker<'a> {
    net: &'a Network,
    /// Labels of settled and waiting nodes; stale where the round differs.
    labels: Vec<(u32, Label)>,
    round: u32,
    queue: BinaryHeap<Reverse<(Cost, Node)>>,
    /// Nodes reached in this round.
    touched: Vec<Node>,
}

const BLANK: Label = Label {
    cost: Cost {
        scans: 0,
        delay_ms: 0,
        clipped_ms: 0,
        codecs: 0,
        hops: 0,
    },
    encrypted: true,
    before: None,
    left_by: None,
};

impl<'a> Walker<'a> {
    pub(super) fn new(net: &'a Network) -> Self {
        let nodes = net.emissions.len() + net.entries.len() + net.habits.len();
        Self {
            net,
            labels: vec![(0, BLANK); nodes],
            round: 0,
            queue: BinaryHeap::new(),
            touched: Vec::new(),
        }
    }

    /// Walks everywhere a message of this habit gets.
    ///
    /// Complexity: O((V + E) log V) over the part of the network that is reached.
    pub(super) fn walk(&mut self, speaker: HabitIx) {
        self.round += 1;
        self.touched.clear();
        let net = self.net;
        let habit = &net.habits[speaker as usize];
        for (emission, _) in &habit.emissions {
            self.onto_air(BLANK, None, None, *emission, Cost::default());
        }
        for entry in &habit.entries {
            let (latency_ms, coded, open) = match net.entry(*entry).output {
                Output::Person {
                    latency_ms,
                    coded,
                    open,
                    ..
                } => (latency_ms, coded, open),
                Output::Donor { .. } | Output::Tie { .. } => continue,
            };
            let step = Cost {
                delay_ms: latency_ms,
                codecs: u16::from(coded),
                hops: 1,
                ..Cost::default()
            };
            self.offer(BLANK, None, None, Node::In(*entry), step, !open);
        }
        while let Some(Reverse((cost, node))) = self.queue.pop() {
            let Some(label) = self.label(node) else {
                continue;
            };
            if label.cost != cost {
                continue;
            }
            match node {
                Node::Air(emission) => self.spread_air(label, emission),
                Node::In(entry) => self.spread_group(label, entry),
                Node::Ear(_) => {}
            }
        }
    }

    /// Returns how the message got to a node in the last walk.
    pub(super) fn label(&self, node: Node) -> Option<Label> {
        let (round, label) = self.labels.get(self.index(node))?;
        (*round == self.round).then_some(*label)
    }

    /// Lists the nodes reached in the last walk, in the order they were first touched.
    pub(super) fn touched(&self) -> &[Node] {
        &self.touched
    }

    /// Returns what arrives at a habit.
    pub(super) fn arrival(&self, habit: HabitIx) -> Option<Arrival> {
        self.label(Node::Ear(habit)).map(|label| Arrival {
            by_scan: label.cost.scans > 0,
            delay_ms: label.cost.delay_ms,
            clipped_ms: label.cost.clipped_ms,
            codec_passes: label.cost.codecs,
            encrypted: label.encrypted,
        })
    }

    fn spread_air(&mut self, label: Label, emission: EmissionIx) {
        let net = self.net;
        let here = Some(Node::Air(emission));
        for repeated in &net.repeated[emission as usize] {
            let step = Cost {
                delay_ms: net.emission(*repeated).latency_ms,
                hops: 1,
                ..Cost::default()
            };
            self.offer(label, here, None, Node::Air(*repeated), step, true);
        }
        for (hearer, by_scan) in &net.hearers[emission as usize] {
            let step = Cost {
                scans: u16::from(*by_scan),
                hops: 1,
                ..Cost::default()
            };
            let node = match hearer {
                Hearer::Entry(entry) => Node::In(*entry),
                Hearer::Habit(habit) => Node::Ear(*habit),
            };
            self.offer(label, here, None, node, step, true);
        }
    }

    fn spread_group(&mut self, label: Label, entry: EntryIx) {
        let net = self.net;
        let here = Some(Node::In(entry));
        for out in net.outputs(entry) {
            let port = net.entry(out);
            let leave = Cost {
                delay_ms: port.leave_ms,
                clipped_ms: port.clipped_ms,
                hops: 1,
                ..Cost::default()
            };
            match port.output {
                Output::Donor {
                    emission: Some(emission),
                    ..
                } => {
                    self.onto_air(label, here, Some(out), emission, leave);
                }
                Output::Donor { emission: None, .. } | Output::Tie { other: None, .. } => {}
                Output::Person {
                    habit,
                    latency_ms,
                    coded,
                    open,
                    ..
                } => {
                    let call = Cost {
                        delay_ms: latency_ms,
                        codecs: u16::from(coded),
                        ..Cost::default()
                    };
                    self.offer(
                        label,
                        here,
                        Some(out),
                        Node::Ear(habit),
                        leave.then(call),
                        !open,
                    );
                }
                Output::Tie {
                    other: Some(other),
                    latency_ms,
                    coded,
                    encrypted,
                } => {
                    let tie = Cost {
                        delay_ms: latency_ms,
                        codecs: u16::from(coded),
                        ..Cost::default()
                    };
                    self.offer(
                        label,
                        here,
                        Some(out),
                        Node::In(other),
                        leave.then(tie),
                        encrypted,
                    );
                }
            }
        }
    }

    fn onto_air(
        &mut self,
        label: Label,
        before: Option<Node>,
        left_by: Option<EntryIx>,
        emission: EmissionIx,
        leave: Cost,
    ) {
        let sent = self.net.emission(emission);
        let air = Cost {
            delay_ms: sent.latency_ms,
            codecs: u16::from(sent.signal.mode.is_digital()),
            hops: 1,
            ..Cost::default()
        };
        let protected = sent.signal.key.is_some();
        self.offer(
            label,
            before,
            left_by,
            Node::Air(emission),
            leave.then(air),
            protected,
        );
    }

    fn offer(
        &mut self,
        label: Label,
        before: Option<Node>,
        left_by: Option<EntryIx>,
        node: Node,
        step: Cost,
        protected: bool,
    ) {
        let cost = label.cost.then(step);
        let index = self.index(node);
        let Some(slot) = self.labels.get_mut(index) else {
            return;
        };
        if slot.0 == self.round {
            if slot.1.cost <= cost {
                return;
            }
        } else {
            self.touched.push(node);
        }
        let encrypted = label.encrypted && protected;
        *slot = (
            self.round,
            Label {
                cost,
                encrypted,
                before,
                left_by,
            },
        );
        self.queue.push(Reverse((cost, node)));
    }

    fn index(&self, node: Node) -> usize {
        let (emissions, entries) = (self.net.emissions.len(), self.net.entries.len());
        match node {
            Node::Air(ix) => ix as usize,
            Node::In(ix) => emissions + ix as usize,
            Node::Ear(ix) => emissions + entries + ix as usize,
        }
    }
}
