//! What the shelf offers: words, signs and tips.

use crate::app::theme::Sign;

/// What can be added.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Article {
    Agency,
    Unit,
    System,
    Channel,
    Radio,
    Gateway,
    Telephone,
    Headset,
    Site,
    Cable,
    Need,
    Stock,
    Agreement,
    Phase,
}

impl Article {
    /// What lies on the shelf.
    pub(crate) const SHELF: [Self; 10] = [
        Self::Agency,
        Self::Unit,
        Self::Radio,
        Self::System,
        Self::Channel,
        Self::Gateway,
        Self::Telephone,
        Self::Headset,
        Self::Site,
        Self::Cable,
    ];

    /// What has no place on the board and is added from menus and lists.
    pub(crate) const LISTED: [Self; 4] = [Self::Need, Self::Stock, Self::Agreement, Self::Phase];

    /// Returns the word.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Agency => "agency",
            Self::Unit => "unit",
            Self::System => "radio system",
            Self::Channel => "channel",
            Self::Radio => "radio",
            Self::Gateway => "gateway",
            Self::Telephone => "telephone",
            Self::Headset => "headset",
            Self::Site => "site",
            Self::Cable => "cable",
            Self::Need => "need",
            Self::Stock => "line of stock",
            Self::Agreement => "agreement",
            Self::Phase => "phase",
        }
    }

    /// Returns what it is, and where it may be dropped.
    pub(crate) fn tip(self) -> &'static str {
        match self {
            Self::Agency => "An organisation that sends units",
            Self::Unit => {
                "People who share one radio habit; drop it on an agency to send it from there"
            }
            Self::System => "What carries channels: a repeater, a trunked system, or plain air",
            Self::Channel => {
                "A channel as it reads on the radio; drop it on the system that carries it"
            }
            Self::Radio => {
                "A radio; drop it on the unit that carries it, or on a port to make it a donor"
            }
            Self::Gateway => "A box that joins radios: eight ports and two talk groups",
            Self::Telephone => {
                "A telephone; drop it on a telephone port or on who is at the far end"
            }
            Self::Headset => "A headset; drop it on a headset port",
            Self::Site => "Where gateways stand, with the antennas there",
            Self::Cable => "A kind of cable between radios and ports, and how many there are",
            Self::Need => "Who must reach whom",
            Self::Stock => "What is at hand, and how many",
            Self::Agreement => "Leave in writing to join agencies or to use channels",
            Self::Phase => "A period in which switches and attachments may differ",
        }
    }

    /// Returns the sign.
    pub(crate) fn sign(self) -> Sign {
        match self {
            Self::Agency => Sign::Agency,
            Self::Unit => Sign::Unit,
            Self::System => Sign::System,
            Self::Channel => Sign::Channel,
            Self::Radio => Sign::Radio,
            Self::Gateway => Sign::Gateway,
            Self::Telephone => Sign::Telephone,
            Self::Headset => Sign::Headset,
            Self::Site => Sign::Site,
            Self::Cable => Sign::Cable,
            Self::Need => Sign::Need,
            Self::Stock => Sign::Stock,
            Self::Agreement => Sign::Paper,
            Self::Phase => Sign::Phase,
        }
    }
}
