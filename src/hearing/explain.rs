//! Turns the labels of a walk into a path a person can follow, thing by thing.

use std::cell::OnceCell;
use std::collections::BTreeSet;

use crate::model::{
    Attachment, ChannelId, GatewayId, Party, Phase, PortRef, Radio, RadioId, Scenario, ThingId,
};

use super::network::{EmissionIx, EntryIx, Hearer, Network, Output, gateways_of};
use super::path::{Path, Secrecy, Step, StepKind};
use super::radios::Radios;
use super::reach::{Label, Node, Walker};

/// Explains the paths of one walk.
pub(super) struct Explainer<'a> {
    pub(super) scenario: &'a Scenario,
    pub(super) phase: &'a Phase,
    pub(super) net: &'a Network,
    pub(super) walker: &'a Walker<'a>,
    pub(super) from: Party,
    /// Everybody who hears the message by a hop that is not encrypted, once somebody asks.
    pub(super) clear_listeners: OnceCell<Vec<Party>>,
}

/// A hop that leaves a box.
struct Outing {
    step: usize,
    encrypted: bool,
    port: Option<PortRef>,
    radio: Option<RadioId>,
}

#[derive(Default)]
struct Trail {
    steps: Vec<Step>,
    outings: Vec<Outing>,
    opened_in: Vec<EntryIx>,
    wait_ms: u32,
}

impl Trail {
    fn add(&mut self, at: impl Into<ThingId>, what: StepKind, delay_ms: u32, clipped_ms: u32) {
        self.steps.push(Step {
            at: at.into(),
            what,
            delay_ms,
            clipped_ms,
        });
    }

    fn out(&mut self, encrypted: bool, port: Option<PortRef>, radio: Option<RadioId>) {
        self.outings.push(Outing {
            step: self.steps.len().saturating_sub(1),
            encrypted,
            port,
            radio,
        });
    }
}

impl Explainer<'_> {
    /// Explains how the message gets to a party, or `None` when it does not.
    pub(super) fn path(&self, to: Party) -> Option<Path> {
        let ear = Node::Ear(self.net.habit_of(to)?);
        let arrival = self.walker.label(ear)?.cost.arrival();
        let mut chain: Vec<(Node, Label)> = Vec::new();
        let mut node = Some(ear);
        while let Some(here) = node {
            let label = self.walker.label(here)?;
            chain.push((here, label));
            node = label.before;
        }
        chain.reverse();
        let mut trail = Trail::default();
        trail.add(self.from, StepKind::Speaks, 0, 0);
        for (node, label) in &chain {
            match node {
                Node::Air(emission) => self.air(&mut trail, *emission, *label),
                Node::In(entry) => self.enter(&mut trail, *entry, *label),
                Node::Ear(_) => self.ear(&mut trail, to, *label),
            }
        }
        trail.add(to, StepKind::Hears, 0, 0);
        let secrecy = self.secrecy(&trail, to);
        Some(Path {
            from: self.from,
            to,
            arrival,
            wait_ms: trail.wait_ms,
            steps: trail.steps,
            secrecy,
        })
    }

    fn air(&self, trail: &mut Trail, emission: EmissionIx, label: Label) {
        let sent = self.net.emission(emission);
        let (channel, key) = (sent.channel, sent.signal.key);
        let transmits = StepKind::Transmits { channel, key };
        match label.before {
            None => {
                let radio = self.speaking_radio(emission);
                trail.wait_ms = self.wait_ms(emission);
                if let Some(radio) = radio {
                    trail.add(radio, transmits, 0, 0);
                }
                trail.add(channel, StepKind::Carries, sent.latency_ms, 0);
                trail.out(key.is_some(), None, radio);
            }
            Some(Node::In(_)) => {
                let port = label.left_by.map(|out| self.net.entry(out));
                let Some(port) = port else { return };
                trail.add(
                    port.port,
                    StepKind::LeavesPort,
                    port.leave_ms,
                    port.clipped_ms,
                );
                let radio = match port.output {
                    Output::Donor { radio, .. } => Some(radio),
                    Output::Person { .. } | Output::Tie { .. } => None,
                };
                if let Some(radio) = radio {
                    trail.add(radio, transmits, 0, 0);
                }
                trail.out(key.is_some(), Some(port.port), radio);
                trail.add(channel, StepKind::Carries, sent.latency_ms, 0);
            }
            Some(Node::Air(before)) => {
                let same = self.net.emission(before).channel == channel;
                match trail.steps.last_mut() {
                    Some(last) if same => last.delay_ms += sent.latency_ms,
                    _ => trail.add(channel, StepKind::Carries, sent.latency_ms, 0),
                }
            }
            Some(Node::Ear(_)) => {}
        }
    }

    fn enter(&self, trail: &mut Trail, entry: EntryIx, label: Label) {
        let here = self.net.entry(entry);
        match label.before {
            Some(Node::Air(emission)) => {
                if let Output::Donor { radio, .. } = here.output {
                    self.receive(trail, radio, emission);
                }
            }
            Some(Node::In(_)) => {
                if let Some(out) = label.left_by {
                    let out = self.net.entry(out);
                    trail.add(out.port, StepKind::LeavesPort, out.leave_ms, out.clipped_ms);
                    if let (
                        Output::Tie {
                            latency_ms,
                            encrypted,
                            ..
                        },
                        Some(Attachment::Tie(tie)),
                    ) = (out.output, self.phase.attachments.get(&out.port))
                    {
                        trail.add(*tie, StepKind::Tied, latency_ms, 0);
                        trail.out(encrypted, Some(out.port), None);
                    }
                }
            }
            Some(Node::Ear(_)) => {}
            None => self.person(trail, entry),
        }
        trail.add(here.port, StepKind::EntersPort, 0, 0);
        trail.add(here.group, StepKind::OnTalkGroup, 0, 0);
        trail.opened_in.push(entry);
    }

    fn ear(&self, trail: &mut Trail, to: Party, label: Label) {
        match label.before {
            Some(Node::Air(emission)) => {
                if let Some(radio) = self.hearing_radio(to, emission) {
                    self.receive(trail, radio, emission);
                }
            }
            Some(Node::In(_)) => {
                if let Some(out) = label.left_by {
                    let port = self.net.entry(out);
                    trail.add(
                        port.port,
                        StepKind::LeavesPort,
                        port.leave_ms,
                        port.clipped_ms,
                    );
                    self.person(trail, out);
                }
            }
            Some(Node::Ear(_)) | None => {}
        }
    }

    /// Adds the telephone or headset at a port.
    fn person(&self, trail: &mut Trail, entry: EntryIx) {
        let here = self.net.entry(entry);
        let Output::Person {
            latency_ms, open, ..
        } = here.output
        else {
            return;
        };
        match self.phase.attachments.get(&here.port) {
            Some(Attachment::Telephone(id)) => trail.add(*id, StepKind::Called, latency_ms, 0),
            Some(Attachment::Headset(id)) => trail.add(*id, StepKind::Worn, latency_ms, 0),
            Some(Attachment::Radio { .. } | Attachment::Tie(_)) | None => {}
        }
        if open {
            trail.out(false, Some(here.port), None);
        }
    }

    fn receive(&self, trail: &mut Trail, radio: RadioId, emission: EmissionIx) {
        let Some(radio) = self.scenario.radios.get(radio) else {
            return;
        };
        if let Some((channel, by_scan)) = self.hears_on(radio, emission) {
            trail.add(radio.id, StepKind::Receives { channel, by_scan }, 0, 0);
        }
    }

    fn radios(&self) -> Radios<'_> {
        Radios {
            scenario: self.scenario,
            phase: self.phase,
        }
    }

    fn hears_on(&self, radio: &Radio, emission: EmissionIx) -> Option<(ChannelId, bool)> {
        let signal = &self.net.emission(emission).signal;
        self.radios().hears_on(radio, signal)
    }

    fn speaking_radio(&self, emission: EmissionIx) -> Option<RadioId> {
        let sent = self.net.emission(emission);
        let radios = self.radios();
        let mut carried = radios.carried(self.net, self.from);
        carried
            .find(|radio| radios.sends(radio, sent))
            .map(|radio| radio.id)
    }

    fn hearing_radio(&self, to: Party, emission: EmissionIx) -> Option<RadioId> {
        let radios: Vec<&Radio> = self.radios().carried(self.net, to).collect();
        let find = |scanned: bool| {
            radios.iter().find(|r| {
                self.hears_on(r, emission)
                    .is_some_and(|(_, s)| s == scanned)
            })
        };
        find(false).or_else(|| find(true)).map(|radio| radio.id)
    }

    fn wait_ms(&self, emission: EmissionIx) -> u32 {
        let habit = self
            .net
            .habit_of(self.from)
            .map(|h| &self.net.habits[h as usize]);
        habit
            .and_then(|h| h.emissions.iter().find(|(e, _)| *e == emission))
            .map_or(0, |(_, wait_ms)| *wait_ms)
    }

    fn secrecy(&self, trail: &Trail, to: Party) -> Secrecy {
        let starts_clear = trail.outings.first().is_some_and(|o| !o.encrypted);
        if starts_clear {
            return Secrecy::Clear;
        }
        match trail.outings.iter().find(|o| !o.encrypted) {
            Some(Outing {
                step,
                port: Some(port),
                radio,
                ..
            }) => {
                let listeners = self
                    .clear_listeners
                    .get_or_init(|| clear_listeners(self.net, self.walker));
                let mut listeners: BTreeSet<Party> = listeners.iter().copied().collect();
                listeners.insert(to);
                listeners.remove(&self.from);
                Secrecy::Ends {
                    step: *step,
                    port: *port,
                    radio: *radio,
                    listeners: listeners.into_iter().collect(),
                }
            }
            _ => Secrecy::Kept {
                opened_in: self.opened_in(trail),
            },
        }
    }

    fn opened_in(&self, trail: &Trail) -> Vec<GatewayId> {
        gateways_of(trail.opened_in.iter().map(|e| self.net.entry(*e).group))
    }
}

/// Lists everybody a message reaches by a hop that is not encrypted.
fn clear_listeners(net: &Network, walker: &Walker<'_>) -> Vec<Party> {
    let mut habits = BTreeSet::new();
    for node in walker.touched() {
        match node {
            Node::Air(ix) if net.emission(*ix).signal.key.is_none() => {
                habits.extend(
                    net.hearers[*ix as usize]
                        .iter()
                        .filter_map(|(h, _)| match h {
                            Hearer::Habit(habit) => Some(*habit),
                            Hearer::Entry(_) => None,
                        }),
                );
            }
            Node::In(ix) => {
                habits.extend(
                    net.outputs(*ix)
                        .filter_map(|out| match net.entry(out).output {
                            Output::Person {
                                habit, open: true, ..
                            } => Some(habit),
                            _ => None,
                        }),
                );
            }
            Node::Air(_) | Node::Ear(_) => {}
        }
    }
    let mut parties: Vec<Party> = habits
        .into_iter()
        .flat_map(|h| &net.habits[h as usize].members)
        .filter_map(|p| net.parties.get(*p as usize).copied())
        .collect();
    parties.sort_unstable();
    parties
}
