//! The words for the choices a field offers, as they read on screen.

use crate::model::{
    Control, Discipline, Keying, Level, LevelSetting, Mode, PortKind, Priority, Role, StockKind,
    SystemKind, TelephoneKind, TieKind, Way,
};

/// A field with a fixed set of choices.
pub(super) trait Choice: Copy + PartialEq + 'static {
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

/// Returns the words for how a port keys its donor.
pub(super) fn keying(keying: Keying) -> &'static str {
    match keying {
        Keying::PttLine => "by the push-to-talk line",
        Keying::VoiceOperated { .. } => "by the sound itself",
    }
}

/// Writes a delay in seconds, as people say it.
pub(super) fn seconds(ms: u32) -> String {
    format!("{:.2} s", f64::from(ms) / 1000.0)
}

/// Writes the delay at which somebody hears; nobody notices the first milliseconds.
pub(crate) fn after(ms: u32) -> String {
    if ms < 5 {
        "at once".to_owned()
    } else {
        seconds(ms)
    }
}

/// Starts a sentence with a capital letter.
pub(super) fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().collect::<String>() + letters.as_str()
    })
}
