//! Typed identities of everything in a scenario.
//!
//! An id is a small number, unique in the scenario and never given out twice: [`Scenario::mint`]
//! counts upward and the counter is saved. Ports and talk groups are part of their gateway's
//! hardware, so their identity is the gateway and the number printed beside the socket or switch.
//! The text that files and commands use for a thing is its `key`, kept in the thing itself.
//!
//! [`Scenario::mint`]: crate::model::Scenario::mint

use std::fmt;

macro_rules! ids {
    ($($(#[$doc:meta])* $id:ident => $kind:ident),+ $(,)?) => {
        $(
            $(#[$doc])*
            #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
            pub struct $id(pub u32);

            impl From<$id> for ThingId {
                fn from(id: $id) -> Self {
                    Self::$kind(id)
                }
            }

            impl ThingKey for $id {
                fn number(self) -> u32 {
                    self.0
                }
            }
        )+
    };
}

/// A numbered id, whatever its kind.
pub trait ThingKey: Copy + Ord + Into<ThingId> {
    /// Returns the number behind the id.
    fn number(self) -> u32;
}

ids! {
    /// Identity of a phase.
    PhaseId => Phase,
    /// Identity of an agency.
    AgencyId => Agency,
    /// Identity of a unit.
    UnitId => Unit,
    /// Identity of a radio system.
    SystemId => System,
    /// Identity of a channel.
    ChannelId => Channel,
    /// Identity of a radio.
    RadioId => Radio,
    /// Identity of a gateway.
    GatewayId => Gateway,
    /// Identity of a tie between two gateways.
    TieId => Tie,
    /// Identity of a telephone.
    TelephoneId => Telephone,
    /// Identity of a headset.
    HeadsetId => Headset,
    /// Identity of a kind of cable.
    CableId => Cable,
    /// Identity of a site.
    SiteId => Site,
    /// Identity of a need.
    NeedId => Need,
    /// Identity of a line of stock.
    StockId => Stock,
    /// Identity of an agreement.
    AgreementId => Agreement,
}

/// A port of a gateway: the gateway and the number beside the socket.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PortRef {
    /// The gateway that has the port.
    pub gateway: GatewayId,
    /// The number printed beside the socket, from 1.
    pub port: u8,
}

/// A talk group of a gateway: the gateway and the number on the switch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct TalkGroupRef {
    /// The gateway whose bus this is.
    pub gateway: GatewayId,
    /// The number on the switch, from 1.
    pub group: u8,
}

/// Anything that a finding, a selection or a place on the board can point at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[expect(
    missing_docs,
    reason = "each variant holds the id of the kind it names"
)]
pub enum ThingId {
    Phase(PhaseId),
    Agency(AgencyId),
    Unit(UnitId),
    System(SystemId),
    Channel(ChannelId),
    Radio(RadioId),
    Gateway(GatewayId),
    Port(PortRef),
    TalkGroup(TalkGroupRef),
    Tie(TieId),
    Telephone(TelephoneId),
    Headset(HeadsetId),
    Cable(CableId),
    Site(SiteId),
    Need(NeedId),
    Stock(StockId),
    Agreement(AgreementId),
}

impl From<PortRef> for ThingId {
    fn from(port: PortRef) -> Self {
        Self::Port(port)
    }
}

impl From<TalkGroupRef> for ThingId {
    fn from(group: TalkGroupRef) -> Self {
        Self::TalkGroup(group)
    }
}

impl ThingId {
    /// Returns the kind of the thing.
    pub fn kind(self) -> Kind {
        match self {
            Self::Phase(_) => Kind::Phase,
            Self::Agency(_) => Kind::Agency,
            Self::Unit(_) => Kind::Unit,
            Self::System(_) => Kind::System,
            Self::Channel(_) => Kind::Channel,
            Self::Radio(_) => Kind::Radio,
            Self::Gateway(_) => Kind::Gateway,
            Self::Port(_) => Kind::Port,
            Self::TalkGroup(_) => Kind::TalkGroup,
            Self::Tie(_) => Kind::Tie,
            Self::Telephone(_) => Kind::Telephone,
            Self::Headset(_) => Kind::Headset,
            Self::Cable(_) => Kind::Cable,
            Self::Site(_) => Kind::Site,
            Self::Need(_) => Kind::Need,
            Self::Stock(_) => Kind::Stock,
            Self::Agreement(_) => Kind::Agreement,
        }
    }
}

/// The kinds of thing, in the order in which files list them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[expect(missing_docs, reason = "each variant is the kind it names")]
pub enum Kind {
    Phase,
    Agency,
    Unit,
    System,
    Channel,
    Radio,
    Gateway,
    Port,
    TalkGroup,
    Tie,
    Telephone,
    Headset,
    Cable,
    Site,
    Need,
    Stock,
    Agreement,
}

impl Kind {
    /// Returns the word for one thing of this kind, as read on screen, in files and on paper.
    pub fn word(self) -> &'static str {
        match self {
            Self::Phase => "phase",
            Self::Agency => "agency",
            Self::Unit => "unit",
            Self::System => "system",
            Self::Channel => "channel",
            Self::Radio => "radio",
            Self::Gateway => "gateway",
            Self::Port => "port",
            Self::TalkGroup => "talk group",
            Self::Tie => "tie",
            Self::Telephone => "telephone",
            Self::Headset => "headset",
            Self::Cable => "cable",
            Self::Site => "site",
            Self::Need => "need",
            Self::Stock => "stock",
            Self::Agreement => "agreement",
        }
    }
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// Somebody who can speak or listen: a unit, or a telephone or headset that no unit holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[expect(
    missing_docs,
    reason = "each variant holds the id of the kind it names"
)]
pub enum Party {
    Unit(UnitId),
    Telephone(TelephoneId),
    Headset(HeadsetId),
}

impl From<Party> for ThingId {
    fn from(party: Party) -> Self {
        match party {
            Party::Unit(id) => Self::Unit(id),
            Party::Telephone(id) => Self::Telephone(id),
            Party::Headset(id) => Self::Headset(id),
        }
    }
}

impl TryFrom<ThingId> for Party {
    type Error = Kind;

    fn try_from(thing: ThingId) -> Result<Self, Kind> {
        match thing {
            ThingId::Unit(id) => Ok(Self::Unit(id)),
            ThingId::Telephone(id) => Ok(Self::Telephone(id)),
            ThingId::Headset(id) => Ok(Self::Headset(id)),
            other => Err(other.kind()),
        }
    }
}
