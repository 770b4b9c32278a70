//! All that is derived of one scenario in one phase; immutable, what everyone above reads.
//!
//! Invariant: nothing here can be set; a new scenario or phase makes a new picture.

use std::sync::Arc;

use crate::hearing::Hearing;
use crate::model::{
    Attachment, CableId, Channel, Gateway, Phase, PhaseId, PortRef, Programmed, Radio, Scenario,
    TalkGroupRef,
};

/// The derived picture.
#[derive(Debug, Clone)]
pub struct Picture {
    scenario: Arc<Scenario>,
    phase: PhaseId,
    hearing: Hearing,
}

/// A radio at a port, with what it is set to.
#[derive(Debug, Clone, Copy)]
pub struct Donor<'a> {
    /// The port.
    pub port: PortRef,
    /// The talk group the port is switched to.
    pub group: Option<TalkGroupRef>,
    /// The radio.
    pub radio: &'a Radio,
    /// The cable chosen.
    pub cable: Option<CableId>,
    /// The channel selected, as the radio has it.
    pub tuned: Option<Tuned<'a>>,
}

/// A radio's entry for a channel.
#[derive(Debug, Clone, Copy)]
pub struct Tuned<'a> {
    /// The channel as defined.
    pub channel: &'a Channel,
    /// The entry as programmed.
    pub entry: &'a Programmed,
}

impl Picture {
    /// Derives the picture of a phase; empty of hearing when there is no such phase.
    pub fn new(scenario: Arc<Scenario>, phase: PhaseId) -> Self {
        let hearing = Hearing::derive(&scenario, phase);
        Self {
            scenario,
            phase,
            hearing,
        }
    }

    /// Returns the scenario it was derived from.
    pub fn scenario(&self) -> &Scenario {
        &self.scenario
    }

    /// Returns the id of the phase.
    pub fn phase_id(&self) -> PhaseId {
        self.phase
    }

    /// Returns the phase, or `None` when it does not exist.
    pub fn phase(&self) -> Option<&Phase> {
        self.scenario.phases.get(self.phase)
    }

    /// Returns who hears whom.
    pub fn hearing(&self) -> &Hearing {
        &self.hearing
    }

    /// Lists the radios at ports, by port.
    pub fn donors(&self) -> impl Iterator<Item = Donor<'_>> {
        self.phase().into_iter().flat_map(move |phase| {
            phase
                .attachments
                .iter()
                .filter_map(move |(port, attachment)| {
                    let Attachment::Radio { radio, cable } = attachment else {
                        return None;
                    };
                    let radio = self.scenario.radios.get(*radio)?;
                    Some(Donor {
                        port: *port,
                        group: phase.group_of(*port),
                        radio,
                        cable: *cable,
                        tuned: self.tuned(radio),
                    })
                })
        })
    }

    /// Returns what a radio is set to in this phase.
    pub fn tuned<'a>(&'a self, radio: &'a Radio) -> Option<Tuned<'a>> {
        let channel = self.scenario.selected_channel(self.phase()?, radio)?;
        Some(Tuned {
            channel: self.scenario.channels.get(channel)?,
            entry: radio.entry(channel)?,
        })
    }

    /// Lists the talk groups of all gateways, in order.
    pub fn talk_groups(&self) -> impl Iterator<Item = TalkGroupRef> + '_ {
        self.scenario
            .gateways
            .iter()
            .flat_map(Gateway::talk_group_refs)
    }
}
