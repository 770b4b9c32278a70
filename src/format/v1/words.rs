//! The fixed words of the file, each list mirroring one of the model's and none derived from it, so
//! that a change in the model cannot change the file unseen.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::model;

macro_rules! words {
    ($($(#[$doc:meta])* $name:ident = $model:path { $($(#[$note:meta])* $word:ident),+ $(,)? })+) => {
        $(
            $(#[$doc])*
            #[derive(
                Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
            )]
            pub enum $name {
                $($(#[$note])* $word,)+
            }

            impl From<$model> for $name {
                fn from(word: $model) -> Self {
                    match word {
                        $(<$model>::$word => Self::$word,)+
                    }
                }
            }

            impl From<$name> for $model {
                fn from(word: $name) -> Self {
                    match word {
                        $($name::$word => Self::$word,)+
                    }
                }
            }
        )+
    };
}

macro_rules! usual {
    ($($name:ident => $word:ident,)+) => {
        $(
            impl Default for $name {
                fn default() -> Self {
                    Self::$word
                }
            }

            impl $name {
                /// Tells whether the word is the one taken where a file gives none.
                pub(in crate::format) fn is_usual(&self) -> bool {
                    *self == Self::$word
                }
            }
        )+
    };
}

usual! {
    Discipline => Other,
    Level => Local,
    Role => Tactical,
    Priority => High,
    Way => TwoWay,
    SystemKind => Simplex,
    Mode => Fm,
    PortKind => Radio,
    LevelSetting => Mid,
    TieKind => Wire,
    TelephoneKind => Cellular,
    StockKind => Gateway,
    Chemistry => Alkaline,
}

words! {
    /// What the cells of a battery are made of.
    Chemistry = model::Chemistry {
        /// Alkaline manganese, not rechargeable.
        Alkaline,
        /// Nickel-metal hydride.
        NickelMetalHydride,
        /// Lithium-ion.
        LithiumIon,
        /// Lithium iron phosphate.
        LithiumIronPhosphate,
        /// Sealed lead-acid.
        SealedLeadAcid,
        /// Lithium with iron disulphide, not rechargeable.
        LithiumPrimary,
    }
    /// The trade an agency works in.
    Discipline = model::Discipline {
        /// Fire.
        Fire,
        /// Law enforcement.
        Law,
        /// Medical.
        Medical,
        /// Public works.
        PublicWorks,
        /// Military.
        Military,
        /// Relief.
        Relief,
        /// Transport.
        Transport,
        /// Anything else.
        Other,
    }
    /// The level of government an agency belongs to.
    Level = model::Level {
        /// Local.
        Local,
        /// County.
        County,
        /// State.
        State,
        /// Federal.
        Federal,
        /// Volunteers.
        Volunteer,
    }
    /// What a unit, a channel or a talk group is for.
    Role = model::Role {
        /// Command.
        Command,
        /// Tactical.
        Tactical,
        /// Support.
        Support,
        /// Air.
        Air,
        /// Medical.
        Medical,
        /// Liaison.
        Liaison,
    }
    /// How urgent a need is.
    Priority = model::Priority {
        /// A life hangs on it.
        LifeSafety,
        /// The work stops without it.
        High,
        /// The work slows without it.
        Routine,
    }
    /// What a need asks of its two sides: to reach each other, or to be kept apart.
    Way = model::Way {
        /// Both sides speak and listen.
        TwoWay,
        /// The first side speaks, the second only listens.
        ListenOnly,
        /// Neither side may hear the other.
        Apart,
    }
    /// How a system carries a channel.
    SystemKind = model::SystemKind {
        /// Radio to radio.
        Simplex,
        /// A repeater.
        Repeater,
        /// Several repeater sites that vote or send together.
        Voter,
        /// Trunked.
        Trunked,
        /// Groups by way of a satellite.
        Satellite,
        /// The public telephone network.
        Telephone,
    }
    /// Modulation of voice.
    Mode = model::Mode {
        /// Analogue frequency modulation.
        Fm,
        /// Analogue amplitude modulation.
        Am,
        /// P25 digital voice.
        P25,
        /// DMR digital voice.
        Dmr,
        /// TETRA digital voice.
        Tetra,
    }
    /// What a port is built for.
    PortKind = model::PortKind {
        /// A donor radio.
        Radio,
        /// A telephone.
        Telephone,
        /// A headset.
        Headset,
        /// A wire line.
        Wire,
        /// An IP trunk.
        Ip,
    }
    /// The audio level a port is set to.
    LevelSetting = model::LevelSetting {
        /// Low.
        Low,
        /// Middle.
        Mid,
        /// High.
        High,
    }
    /// A control on a gateway that may be needed while it works.
    Control = model::Control {
        /// Power switch.
        Power,
        /// Talk group switches.
        TalkGroupSwitches,
        /// Audio levels.
        Levels,
        /// Audio buffers.
        Buffers,
        /// Batteries.
        Batteries,
    }
    /// How a tie carries audio.
    TieKind = model::TieKind {
        /// A pair of wires.
        Wire,
        /// Packets.
        Ip,
    }
    /// How a telephone reaches the network.
    TelephoneKind = model::TelephoneKind {
        /// Cellular.
        Cellular,
        /// Satellite.
        Satellite,
        /// Landline.
        Landline,
    }
    /// What a line of stock counts.
    StockKind = model::StockKind {
        /// Gateways.
        Gateway,
        /// Donor radios.
        DonorRadio,
        /// Cables.
        Cable,
        /// Batteries.
        Battery,
    }
    /// A step of trying out a port.
    Step = model::Step {
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

    /// A programmed fact that somebody can verify on the set itself.
    Fact = model::Fact {
        /// Receive and transmit frequency, or the group number.
        Frequency,
        /// Receive and transmit access code.
        AccessCode,
        /// Modulation and bandwidth.
        Mode,
        /// Key loaded and secure switch.
        Encryption,
    }
}
