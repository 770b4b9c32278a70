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
    /// Hops that left a box in clear.
    pub(super) clear: u16,
}

impl Cost {
    /// One hop, encrypted or not.
    fn hop(protected: bool) -> Self {
        Self {
            hops: 1,
            clear: u16::from(!protected),
            ..Self::default()
        }
    }

    /// What hearing an emission adds.
    pub(super) fn hearing(by_scan: bool) -> Self {
        Self {
            scans: u16::from(by_scan),
            hops: 1,
            ..Self::default()
        }
    }

    /// What arrives at the price.
    pub(super) fn arrival(self) -> Arrival {
        Arrival {
            by_scan: self.scans > 0,
            delay_ms: self.delay_ms,
            clipped_ms: self.clipped_ms,
            codec_passes: self.codecs,
            encrypted: self.clear == 0,
        }
    }

    pub(super) fn then(self, step: Self) -> Self {
        Self {
            scans: self.scans.saturating_add(step.scans),
            delay_ms: self.delay_ms.saturating_add(step.delay_ms),
            clipped_ms: self.clipped_ms.saturating_add(step.clipped_ms),
            codecs: self.codecs.saturating_add(step.codecs),
            hops: self.hops.saturating_add(step.hops),
            clear: self.clear.saturating_add(step.clear),
        }
    }
}

/// How a message got to a node.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Label {
    pub(super) cost: Cost,
    /// The node before; `None` when the speaker is.
    pub(super) before: Option<Node>,
    /// The port it left by, when the node before is an entry.
    pub(super) left_by: Option<EntryIx>,
}

/// Room for walking messages one after the other without clearing.
#[derive(Debug, Default)]
pub(super) struct Room {
    /// Labels of settled and waiting nodes; stale where the round differs.
    labels: Vec<(u32, Label)>,
    round: u32,
    queue: BinaryHeap<Reverse<(Cost, Node)>>,
    /// Nodes reached in this round.
    touched: Vec<Node>,
}

/// Walks messages through a network.
pub(super) struct Walker<'a> {
    net: &'a Network,
    room: Room,
    /// Whether ears that hear a radio are walked to; the derivation works them out from the air.
    ears: bool,
}

/// Where a message starts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Source {
    /// A radio that sends this.
    Radio(EmissionIx),
    /// The person at this port.
    Person(EntryIx),
}

impl<'a> Walker<'a> {
    pub(super) fn new(net: &'a Network, ears: bool) -> Self {
        Self::within(net, ears, Room::default())
    }

    /// Makes a walker in a room in which the same network was walked before, or in a new one.
    pub(super) fn within(net: &'a Network, ears: bool, mut room: Room) -> Self {
        let nodes = net.emissions.len() + net.entries.len() + net.habits.len();
        room.labels.resize(nodes, (0, Label::default()));
        Self { net, room, ears }
    }

    /// Leaves the room to the next walker.
    pub(super) fn leave(self) -> Room {
        self.room
    }

    /// Walks everywhere a message gets that starts at any of the sources.
    ///
    /// Complexity: O((V + E) log V) over the part of the network that is reached.
    pub(super) fn walk(&mut self, sources: impl IntoIterator<Item = Source>) {
        self.room.round += 1;
        self.room.touched.clear();
        let net = self.net;
        for source in sources {
            match source {
                Source::Radio(emission) => {
                    self.onto_air(Cost::default(), None, None, emission, Cost::default());
                }
                Source::Person(entry) => {
                    if let Output::Person {
                        latency_ms,
                        coded,
                        open,
                        ..
                    } = net.entry(entry).output
                    {
                        let step = Cost {
                            delay_ms: latency_ms,
                            codecs: u16::from(coded),
                            ..Cost::hop(!open)
                        };
                        self.offer(Cost::default(), None, None, Node::In(entry), step);
                    }
                }
            }
        }
        while let Some(Reverse((cost, node))) = self.room.queue.pop() {
            let Some(label) = self.label(node) else {
                continue;
            };
            if label.cost != cost {
                continue;
            }
            match node {
                Node::Air(emission) => self.spread_air(cost, emission),
                Node::In(entry) => self.spread_group(cost, entry),
                Node::Ear(_) => {}
            }
        }
    }

    /// Returns how the message got to a node in the last walk.
    pub(super) fn label(&self, node: Node) -> Option<Label> {
        let (round, label) = self.room.labels.get(self.index(node))?;
        (*round == self.room.round).then_some(*label)
    }

    /// Lists the nodes reached in the last walk, in the order they were first touched.
    pub(super) fn touched(&self) -> &[Node] {
        &self.room.touched
    }

    fn spread_air(&mut self, cost: Cost, emission: EmissionIx) {
        let net = self.net;
        let here = Some(Node::Air(emission));
        for repeated in &net.repeated[emission as usize] {
            let sent = net.emission(*repeated);
            let step = Cost {
                delay_ms: sent.latency_ms,
                ..Cost::hop(sent.signal.key.is_some())
            };
            self.offer(cost, here, None, Node::Air(*repeated), step);
        }
        for (hearer, by_scan) in &net.hearers[emission as usize] {
            let node = match hearer {
                Hearer::Entry(entry) => Node::In(*entry),
                Hearer::Habit(habit) if self.ears => Node::Ear(*habit),
                Hearer::Habit(_) => continue,
            };
            self.offer(cost, here, None, node, Cost::hearing(*by_scan));
        }
    }

    fn spread_group(&mut self, cost: Cost, entry: EntryIx) {
        let net = self.net;
        let here = Some(Node::In(entry));
        for out in net.outputs(entry) {
            let port = net.entry(out);
            let leave = Cost {
                delay_ms: port.leave_ms,
                clipped_ms: port.clipped_ms,
                ..Cost::default()
            };
            match port.output {
                Output::Donor {
                    emission: Some(emission),
                    ..
                } => self.onto_air(cost, here, Some(out), emission, leave),
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
                        ..Cost::hop(!open)
                    };
                    self.offer(cost, here, Some(out), Node::Ear(habit), leave.then(call));
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
                        ..Cost::hop(encrypted)
                    };
                    self.offer(cost, here, Some(out), Node::In(other), leave.then(tie));
                }
            }
        }
    }

    fn onto_air(
        &mut self,
        cost: Cost,
        before: Option<Node>,
        left_by: Option<EntryIx>,
        emission: EmissionIx,
        leave: Cost,
    ) {
        let sent = self.net.emission(emission);
        let air = Cost {
            delay_ms: sent.latency_ms,
            codecs: u16::from(sent.signal.mode.is_digital()),
            ..Cost::hop(sent.signal.key.is_some())
        };
        self.offer(cost, before, left_by, Node::Air(emission), leave.then(air));
    }

    fn offer(
        &mut self,
        cost: Cost,
        before: Option<Node>,
        left_by: Option<EntryIx>,
        node: Node,
        step: Cost,
    ) {
        let cost = cost.then(step);
        let index = self.index(node);
        let round = self.room.round;
        let Some(slot) = self.room.labels.get_mut(index) else {
            return;
        };
        let is_first = slot.0 != round;
        if !is_first && slot.1.cost <= cost {
            return;
        }
        let label = Label {
            cost,
            before,
            left_by,
        };
        *slot = (round, label);
        if is_first {
            self.room.touched.push(node);
        }
        if !matches!(node, Node::Ear(_)) {
            self.room.queue.push(Reverse((cost, node)));
        }
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
