//! A channel in the columns of the forms, as the tables for spreadsheets write them, and its band.

use crate::exchange::{code_text, frequency_text, letter_text};
use crate::model::{Carrier, Channel, Effective, Frequency};

/// The columns both forms share.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Columns {
    /// Receive frequency in MHz with N or W; empty for a trunked group.
    pub rx: String,
    /// Receive tone, code or NAC.
    pub rx_code: String,
    /// Transmit frequency in MHz with N or W; empty for a trunked group.
    pub tx: String,
    /// Transmit tone, code or NAC.
    pub tx_code: String,
    /// A, D or M.
    pub mode: String,
}

impl Columns {
    /// Returns the columns of what a channel or an entry is made of.
    pub fn of(effective: Effective) -> Self {
        match effective.carrier {
            Carrier::Conventional(c) => Self {
                rx: frequency_text(c.rx, c.bandwidth_hz),
                rx_code: code_text(c.rx_code),
                tx: frequency_text(c.tx, c.bandwidth_hz),
                tx_code: code_text(c.tx_code),
                mode: letter_text(c.mode, c.mixed).to_owned(),
            },
            Carrier::Grouped { mode, .. } => Self {
                mode: letter_text(mode, false).to_owned(),
                ..Self::default()
            },
        }
    }
}

/// Returns what a channel is as defined.
pub fn defined(channel: &Channel) -> Effective {
    Effective {
        carrier: channel.carrier,
        protection: channel.protection,
        encrypted_only: channel.encrypted_only,
    }
}

/// Returns the name with the group's number below it, as the forms ask for on trunked systems.
pub fn name(channel: &Channel, label: &str) -> String {
    match channel.carrier {
        Carrier::Conventional(_) => label.to_owned(),
        Carrier::Grouped { group, .. } => format!("{label}\nTalkgroup {group}"),
    }
}

/// The band a frequency lies in, by the words of the trade.
///
/// Source: allocations of 47 CFR 90 and 87 in the words of interoperability guides, from memory.
pub fn band(f: Frequency) -> &'static str {
    match f.mhz() {
        mhz if mhz < 30.0 => "HF",
        mhz if mhz < 88.0 => "VHF low band",
        mhz if mhz < 138.0 => "VHF air band",
        mhz if mhz < 225.0 => "VHF high band",
        mhz if mhz < 406.0 => "UHF 225 to 406 MHz",
        mhz if mhz < 520.0 => "UHF band",
        mhz if mhz < 763.0 => "520 to 763 MHz",
        mhz if mhz < 806.0 => "700 MHz band",
        mhz if mhz < 902.0 => "800 MHz band",
        _ => "902 MHz and above",
    }
}
