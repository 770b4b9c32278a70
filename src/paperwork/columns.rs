//! A channel in the columns of the forms: mobile-side frequencies, codes, width and mode.
//!
//! Source: FEMA ICS 205 (v3.1) and ICS 217A instructions: receive and transmit as the mobile does, four
//! places after the point, five where the channel plan needs them; N or W; A, D or M.

use crate::model::{
    AccessCode, Carrier, Channel, Effective, Frequency, Mode, Scenario, SystemKind,
};

/// Widest channel that counts as narrow, in hertz (47 CFR 90.209: 12.5 kHz, from memory).
const NARROW_HZ: u32 = 12_500;

/// The columns both forms share.
#[derive(Debug, Clone, PartialEq, Eq)]
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
            Carrier::Conventional(c) => {
                let width = if c.bandwidth_hz <= NARROW_HZ {
                    "N"
                } else {
                    "W"
                };
                let mode = match c.mode {
                    _ if c.mixed => "M",
                    mode if mode.is_digital() => "D",
                    _ => "A",
                };
                Self {
                    rx: format!("{} {width}", frequency(c.rx)),
                    rx_code: code(c.rx_code, c.mode),
                    tx: format!("{} {width}", frequency(c.tx)),
                    tx_code: code(c.tx_code, c.mode),
                    mode: mode.to_owned(),
                }
            }
            Carrier::Grouped { mode, .. } => Self {
                rx: String::new(),
                rx_code: String::new(),
                tx: String::new(),
                tx_code: String::new(),
                mode: if mode.is_digital() { "D" } else { "A" }.to_owned(),
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

/// Returns the word for how a channel is carried.
pub fn configuration(scenario: &Scenario, channel: &Channel) -> &'static str {
    let kind = scenario.systems.get(channel.system).map(|s| s.kind);
    match kind.unwrap_or_default() {
        SystemKind::Simplex => "Simplex",
        SystemKind::Repeater => "Repeater",
        SystemKind::Voter => "Voter/simulcast",
        SystemKind::Trunked => "Trunked",
        SystemKind::Satellite => "Satellite",
        SystemKind::Telephone => "Telephone",
    }
}

/// Four places, five where there are five: the 700 MHz band and odd steps.
pub fn frequency(f: Frequency) -> String {
    let hz = f.hertz();
    let is_700 = (763_000_000..=806_000_000).contains(&hz);
    let places = match hz {
        hz if hz % 10 != 0 => 6,
        hz if hz % 100 != 0 || is_700 => 5,
        _ => 4,
    };
    format!("{:.places$}", f.mhz())
}

/// "CSQ" (carrier squelch) says that no code is sent or asked for.
fn code(code: AccessCode, mode: Mode) -> String {
    match code {
        AccessCode::None if mode == Mode::Fm => "CSQ".to_owned(),
        AccessCode::None => String::new(),
        AccessCode::Ctcss(tone) => format!("{:.1}", tone.hz()),
        AccessCode::Dcs { code, inverted } => {
            format!("D{code:03o}{}", if inverted { "I" } else { "N" })
        }
        AccessCode::Nac(nac) => format!("${nac:03X}"),
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::Tone;

    #[test]
    fn frequencies_have_four_places_and_five_at_700_megahertz() {
        let text = |mhz: f64| frequency(Frequency::from_mhz(mhz).unwrap());
        // VCALL10 and VTAC11, and 7CALL50's output, of the published national channel table.
        assert_eq!(text(155.7525), "155.7525");
        assert_eq!(text(151.1375), "151.1375");
        assert_eq!(text(769.243_75), "769.24375");
        assert_eq!(text(770.0), "770.00000");
    }

    #[test]
    fn codes_read_as_the_forms_write_them() {
        let tone = Tone::from_hz(156.7).unwrap();
        assert_eq!(code(AccessCode::Ctcss(tone), Mode::Fm), "156.7");
        assert_eq!(code(AccessCode::Nac(0x293), Mode::P25), "$293");
        let dcs = AccessCode::Dcs {
            code: 0o23,
            inverted: false,
        };
        assert_eq!(code(dcs, Mode::Fm), "D023N");
        assert_eq!(code(AccessCode::None, Mode::Fm), "CSQ");
        assert_eq!(code(AccessCode::None, Mode::Am), "");
    }
}
