//! What has been tried out at a port before a phase begins, and by whom.
//!
//! A record is for what stood at the port when it was made: as soon as the attachment, its cable, the
//! switch, the port's settings or the donor's programming change, the gate drops it.

use std::collections::BTreeMap;

use super::gear::Port;
use super::id::{ChannelId, Party, PhaseId, PortRef};
use super::phase::{Attachment, Phase};
use super::radio::{Programmed, Verified};
use super::scenario::Scenario;

/// A step of trying out a port.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Step {
    /// The donor heard its own agency and was answered, cable out.
    OwnAgency,
    /// The right cable is in, or the right thing is plugged in.
    CableIn,
    /// The audio level is where it should be.
    Level,
    /// The switch is on the right talk group.
    TalkGroup,
    /// A test count spoken on the air was heard out of the gateway.
    CountIn,
    /// A test count spoken at the gateway was heard on the air.
    CountOut,
}

impl Step {
    /// All steps, in the order in which they are done (common practice, no source).
    pub const ALL: [Self; 6] = [
        Self::OwnAgency,
        Self::CableIn,
        Self::Level,
        Self::TalkGroup,
        Self::CountIn,
        Self::CountOut,
    ];

    /// Returns the words for the step.
    pub fn word(self) -> &'static str {
        match self {
            Self::OwnAgency => "own agency",
            Self::CableIn => "cable in",
            Self::Level => "audio level",
            Self::TalkGroup => "talk group",
            Self::CountIn => "test count in",
            Self::CountOut => "test count out",
        }
    }
}

/// That one was heard by another on the air, as it was noted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HeardPair {
    /// Who noted it, and when.
    pub noted: Verified,
    /// Delivered audio quality, 1 to 5; `None` where not judged.
    pub daq: Option<u8>,
    /// Delay as it was heard, in milliseconds; `None` where not noted.
    pub delay_ms: Option<u32>,
    /// The path it stands for, as whoever noted it was told; on any other path it says nothing.
    pub path: String,
}

/// What has been tried out at a port.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Tested {
    /// Each step that was done, with who did it and when.
    pub steps: BTreeMap<Step, Verified>,
    /// What was heard, in words, such as "DAQ 4, half a second late".
    pub heard: String,
}

impl Tested {
    /// Tells whether nothing was done or noted.
    pub fn is_empty(&self) -> bool {
        self.steps.is_empty() && self.heard.trim().is_empty()
    }
}

/// Everything at a port that a record stands for.
#[derive(PartialEq)]
struct MadeFor<'a> {
    attachment: Attachment,
    group: Option<u8>,
    port: &'a Port,
    channel: Option<ChannelId>,
    entry: Option<Programmed>,
}

fn made_for<'a>(s: &'a Scenario, phase: &Phase, port: PortRef) -> Option<MadeFor<'a>> {
    let attachment = *phase.attachments.get(&port)?;
    let radio = match attachment {
        Attachment::Radio { radio, .. } => s.radios.get(radio),
        Attachment::Telephone(_) | Attachment::Headset(_) | Attachment::Tie(_) => None,
    };
    let channel = radio.and_then(|r| s.selected_channel(phase, r));
    let entry = radio
        .zip(channel)
        .and_then(|(r, c)| r.entry(c))
        .map(|entry| {
            // Verifying a fact changes nothing at the port.
            let mut entry = entry.clone();
            entry.verified.clear();
            entry
        });
    Some(MadeFor {
        attachment,
        group: phase.switches.get(&port).copied(),
        port: s.port(port)?,
        channel,
        entry,
    })
}

/// Drops what was heard between parties of which one is gone.
pub(super) fn drop_unpaired(s: &mut Scenario) {
    let is_gone = |s: &Scenario, party: Party| !s.contains(party.into());
    let phases = s.phases.iter().filter(|p| !p.pairs.is_empty());
    let outdated: Vec<(PhaseId, Vec<(Party, Party)>)> = phases
        .map(|p| {
            let pairs = p.pairs.keys().copied();
            let gone = pairs.filter(|(from, to)| is_gone(s, *from) || is_gone(s, *to));
            (p.id, gone.collect())
        })
        .collect();
    for (phase, gone) in outdated.into_iter().filter(|(_, gone)| !gone.is_empty()) {
        s.phases
            .change(phase, |p| p.pairs.retain(|pair, _| !gone.contains(pair)));
    }
}

/// Drops records of ports that are empty, gone, or not what they were when the record was made.
pub(super) fn drop_outdated(before: &Scenario, after: &mut Scenario) {
    let mut outdated: Vec<(PhaseId, Vec<PortRef>)> = Vec::new();
    for phase in after.phases.iter().filter(|p| !p.tested.is_empty()) {
        let old = before.phases.get(phase.id);
        let is_outdated = |port: PortRef, record: &Tested| {
            let Some(now) = made_for(after, phase, port) else {
                return true;
            };
            // A record made by these very edits stands for what they leave behind.
            let is_old = old.and_then(|p| p.tested.get(&port)) == Some(record);
            is_old && old.and_then(|p| made_for(before, p, port)).as_ref() != Some(&now)
        };
        let ports = phase.tested.iter().filter(|(p, r)| is_outdated(**p, r));
        let ports: Vec<PortRef> = ports.map(|(p, _)| *p).collect();
        if !ports.is_empty() {
            outdated.push((phase.id, ports));
        }
    }
    for (phase, ports) in outdated {
        after
            .phases
            .change(phase, |p| p.tested.retain(|port, _| !ports.contains(port)));
    }
}
