//! The words for the choices a field or a cell offers, as they read on screen.

use crate::model::{
    Control, Discipline, Level, LevelSetting, Mode, PortKind, Priority, Role, StockKind,
    SystemKind, TelephoneKind, TieKind, Way,
};

/// A field with a fixed set of choices.
pub trait Choice: Copy + PartialEq + 'static {
    /// All choices, in the order of the list.
    const ALL: &'static [Self];

    /// Returns the words for one.
    fn words(self) -> &'static str;
}

macro_rules! choices {
    ($($kind:ty { $($variant:ident => $words:literal),+ $(,)? })+) => {
        $(impl Choice for $kind {
            const ALL: &'static [Self] = &[$(Self::$variant),+];

            fn words(self) -> &'static str {
                match self {
                    $(Self::$variant => $words),+
                }
            }
        })+
    };
}

choices! {
    Discipline {
        Fire => "fire",
        Law => "law",
        Medical => "medical",
        PublicWorks => "public works",
        Military => "military",
        Relief => "relief",
        Transport => "transport",
        Other => "other",
    }
    Level {
        Local => "local",
        County => "county",
        State => "state",
        Federal => "federal",
        Volunteer => "volunteer",
    }
    Role {
        Command => "command",
        Tactical => "tactical",
        Support => "support",
        Air => "air",
        Medical => "medical",
        Liaison => "liaison",
    }
    SystemKind {
        Simplex => "radio to radio",
        Repeater => "repeater",
        Voter => "several repeater sites",
        Trunked => "trunked",
        Satellite => "satellite",
        Telephone => "telephone network",
    }
    Mode {
        Fm => "analogue FM",
        Am => "AM",
        P25 => "P25",
        Dmr => "DMR",
        Tetra => "TETRA",
    }
    PortKind {
        Radio => "radio",
        Telephone => "telephone",
        Headset => "headset",
        Wire => "wire line",
        Ip => "IP",
    }
    LevelSetting {
        Low => "low",
        Mid => "mid",
        High => "high",
    }
    Control {
        Power => "power",
        TalkGroupSwitches => "talk group switches",
        Levels => "levels",
        Buffers => "buffers",
        Batteries => "batteries",
    }
    TieKind {
        Wire => "wire line",
        Ip => "IP",
    }
    TelephoneKind {
        Cellular => "cellular",
        Satellite => "satellite",
        Landline => "landline",
    }
    Way {
        TwoWay => "both ways",
        ListenOnly => "listen only",
        Apart => "kept apart",
    }
    Priority {
        LifeSafety => "life safety",
        High => "high",
        Routine => "routine",
    }
    StockKind {
        Gateway => "gateway",
        DonorRadio => "donor radio",
        Cable => "cable",
        Battery => "battery",
    }
}
