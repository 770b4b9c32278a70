//! What may differ from one period to the next: switches, attachments, selected channels, and what has been
//! tried out.

use std::collections::BTreeMap;

use super::id::{
    CableId, ChannelId, HeadsetId, Party, PhaseId, PortRef, RadioId, TalkGroupRef, TelephoneId,
    ThingId, TieId,
};
use super::tested::{HeardPair, Tested};

/// What is plugged into a port.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Attachment {
    /// A donor radio and the cable between; `None` while no cable has been chosen.
    Radio {
        /// The donor.
        radio: RadioId,
        /// The kind of cable used.
        cable: Option<CableId>,
    },
    /// A telephone.
    Telephone(TelephoneId),
    /// A headset.
    Headset(HeadsetId),
    /// One end of a tie to another gateway.
    Tie(TieId),
}

impl Attachment {
    /// Returns what is plugged in.
    pub fn thing(self) -> ThingId {
        match self {
            Self::Radio { radio, .. } => radio.into(),
            Self::Telephone(id) => id.into(),
            Self::Headset(id) => id.into(),
            Self::Tie(id) => id.into(),
        }
    }
}

/// An operational period, or one step of a lesson.
#[derive(Debug, Clone, PartialEq)]
pub struct Phase {
    /// Identity.
    pub id: PhaseId,
    /// The word files and commands use for it.
    pub key: String,
    /// Name.
    pub name: String,
    /// When it starts, in words or as YYYY-MM-DD HH:MM.
    pub start: String,
    /// Length, in hours.
    pub hours: f64,
    /// The talk group each port is switched to; a port not listed is on none.
    pub switches: BTreeMap<PortRef, u8>,
    /// What is plugged into each port; a port not listed is empty.
    pub attachments: BTreeMap<PortRef, Attachment>,
    /// Channels selected in this phase by radios that differ from their own setting.
    pub selected: BTreeMap<RadioId, Option<ChannelId>>,
    /// What has been tried out at each port; a port not listed has not been tried.
    pub tested: BTreeMap<PortRef, Tested>,
    /// Who was heard by whom on the air: the speaker, then the hearer.
    pub pairs: BTreeMap<(Party, Party), HeardPair>,
}

impl Phase {
    /// Returns the talk group a port is switched to.
    pub fn group_of(&self, port: PortRef) -> Option<TalkGroupRef> {
        let group = *self.switches.get(&port)?;
        Some(TalkGroupRef {
            gateway: port.gateway,
            group,
        })
    }

    /// Returns the port a radio is cabled to.
    pub fn port_of_radio(&self, radio: RadioId) -> Option<PortRef> {
        self.port_where(|a| matches!(a, Attachment::Radio { radio: r, .. } if *r == radio))
    }

    /// Returns the port a telephone is plugged into.
    pub fn port_of_telephone(&self, telephone: TelephoneId) -> Option<PortRef> {
        self.port_where(|a| *a == Attachment::Telephone(telephone))
    }

    /// Returns the port a headset is plugged into.
    pub fn port_of_headset(&self, headset: HeadsetId) -> Option<PortRef> {
        self.port_where(|a| *a == Attachment::Headset(headset))
    }

    /// Lists the ports that hold an end of a tie, at most two.
    pub fn ports_of_tie(&self, tie: TieId) -> impl Iterator<Item = PortRef> + '_ {
        self.attachments
            .iter()
            .filter(move |(_, a)| **a == Attachment::Tie(tie))
            .map(|(port, _)| *port)
    }

    fn port_where(&self, is_it: impl Fn(&Attachment) -> bool) -> Option<PortRef> {
        self.attachments
            .iter()
            .find(|(_, a)| is_it(a))
            .map(|(port, _)| *port)
    }
}
