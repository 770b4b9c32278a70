//! The national interoperability channels of the United States, as published.
//!
//! A table of facts and the comparison of names; it judges nothing. Frequencies stand from the
//! mobile's side. Where a field allows several codes or modes they are alternatives.
//!
//! Units: MHz, kHz, Hz in the file; exact hertz and tenths of hertz in memory.
//!
//! Valid range: the United States. Canada keeps the 866 MHz calling channel that the United States gave
//! up.
//!
//! When it is wrong: the guide is printed anew from time to time and regional plans add to it, so
//! every use must say that the current guide decides.
//!
//! Source: National Interoperability Field Operations Guide, edition 2.02; 47 CFR 90.531(b)(1) for the
//! 700 MHz pairs, 47 CFR 90.715 for the 220 MHz channels. The edition stands with each channel.
//!
//! Worked example: VCALL10 is 155.7525 MHz both ways, sends 156.7 Hz and listens open.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use crate::model::{AccessCode, Frequency, Mode, Tone};

/// The table, one channel a line.
const TEXT: &str = include_str!("../../../assets/national_channels.csv");

static TABLE: LazyLock<BTreeMap<String, National>> = LazyLock::new(|| {
    let lines = TEXT.lines().filter(|l| !l.starts_with('#')).skip(1);
    lines
        .filter_map(National::of_line)
        .map(|channel| (plain(channel.name), channel))
        .collect()
});

/// A channel as published.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct National {
    /// Name.
    pub name: &'static str,
    /// Receive frequency.
    pub rx: Frequency,
    /// Transmit frequency.
    pub tx: Frequency,
    /// Codes that may be sent; empty where none is standard.
    pub tx_codes: Vec<AccessCode>,
    /// Codes that the receiver may ask for; empty where none is standard.
    pub rx_codes: Vec<AccessCode>,
    /// Bandwidth, in hertz.
    pub bandwidth_hz: u32,
    /// Modes; empty where any is allowed.
    pub modes: Vec<Mode>,
    /// Where it is published.
    pub edition: &'static str,
}

impl National {
    fn of_line(line: &'static str) -> Option<Self> {
        let fields: Vec<&'static str> = line.split(',').collect();
        let [name, rx, tx, tx_code, rx_code, khz, mode, edition] = *fields.as_slice() else {
            return None;
        };
        Some(Self {
            name,
            rx: Frequency::from_mhz(rx.parse().ok()?)?,
            tx: Frequency::from_mhz(tx.parse().ok()?)?,
            tx_codes: codes(tx_code)?,
            rx_codes: codes(rx_code)?,
            bandwidth_hz: (khz.parse::<f64>().ok()? * 1000.0).round() as u32,
            modes: modes(mode)?,
            edition,
        })
    }

    /// Tells whether many agencies have channels of their own under such a name, as with "MED 1".
    ///
    /// The other names follow the national scheme of a band's letter or digit, a use and a number.
    pub fn has_common_name(&self) -> bool {
        ["MED", "NC ", "IR ", "LE "]
            .iter()
            .any(|start| self.name.starts_with(start))
    }

    /// Tells whether the channel is assigned to federal users, and to others only by sponsorship.
    ///
    /// The guide lists these as incident response (NC, IR) and law enforcement (LE).
    pub fn is_federal(&self) -> bool {
        ["NC ", "IR ", "LE "]
            .iter()
            .any(|start| self.name.starts_with(start))
    }
}

/// Returns every channel, in the order of plain names.
pub fn all() -> impl Iterator<Item = &'static National> {
    TABLE.values()
}

/// Finds the channel of that name, whatever its case, spaces and dashes.
pub fn find(name: &str) -> Option<&'static National> {
    TABLE.get(&plain(name))
}

/// Returns a name in capitals without spaces and dashes, for comparing.
pub fn plain(name: &str) -> String {
    name.chars()
        .filter(|c| c.is_alphanumeric())
        .flat_map(char::to_uppercase)
        .collect()
}

fn codes(text: &str) -> Option<Vec<AccessCode>> {
    let code = |word: &str| match word.strip_prefix('$') {
        Some(nac) => u16::from_str_radix(nac, 16).ok().map(AccessCode::Nac),
        None if word == "open" => Some(AccessCode::None),
        None => word
            .parse()
            .ok()
            .and_then(Tone::from_hz)
            .map(AccessCode::Ctcss),
    };
    match text {
        "any" => Some(Vec::new()),
        words => words.split(' ').map(code).collect(),
    }
}

fn modes(text: &str) -> Option<Vec<Mode>> {
    let mode = |word: &str| match word {
        "fm" => Some(Mode::Fm),
        "p25" => Some(Mode::P25),
        _ => None,
    };
    match text {
        "any" => Some(Vec::new()),
        words => words.split(' ').map(mode).collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tone(tenths: u16) -> AccessCode {
        AccessCode::Ctcss(Tone::from_tenths(tenths))
    }

    #[test]
    fn every_line_is_read() {
        let lines = TEXT.lines().filter(|l| !l.starts_with('#')).count() - 1;
        assert_eq!((all().count(), lines), (211, 211));
    }

    #[test]
    fn channels_are_as_published() {
        let khz = |name: &str| {
            let c = find(name).unwrap();
            (c.rx.hertz() / 10, c.tx.hertz() / 10)
        };
        // Guide 2.02, pages 29, 38, 45 and 59.
        assert_eq!(khz("VCALL10"), (15_575_250, 15_575_250));
        assert_eq!(khz("VTAC36"), (15_113_750, 15_947_250));
        assert_eq!(khz("UCALL40"), (45_321_250, 45_821_250));
        assert_eq!(khz("7CALL50"), (76_924_375, 79_924_375));
        assert_eq!(khz("8CALL90"), (85_101_250, 80_601_250));
        let vcall = find("vcall-10").unwrap();
        assert_eq!(vcall.tx_codes, [tone(1567)]);
        assert_eq!(vcall.rx_codes, [AccessCode::None, tone(1567)]);
        assert_eq!(
            (vcall.bandwidth_hz, &vcall.modes[..]),
            (12_500, &[Mode::Fm][..])
        );
        let seven = find("7 CALL 50").unwrap();
        assert_eq!(seven.tx_codes, [AccessCode::Nac(0x293)]);
        assert_eq!(seven.rx_codes, [AccessCode::Nac(0xF7E)]);
        assert_eq!(seven.modes, [Mode::P25]);
        assert_eq!(find("VTAC36").unwrap().tx_codes, [tone(1365)]);
        assert_eq!(find("FIRE 1"), None);
    }

    #[test]
    fn pairs_follow_their_band_plan() {
        // 47 CFR 90.531 and 90.617: mobiles send 30 MHz up at 700 MHz, 45 MHz down at 800 MHz.
        let mut checked = 0;
        for channel in all() {
            let offset = channel.tx.mhz() - channel.rx.mhz();
            let is_direct = channel.name.ends_with('D');
            let expected: f64 = match channel.name.chars().next() {
                Some('7') if !is_direct => 30.0,
                Some('8') if !is_direct => -45.0,
                Some('7' | '8') => 0.0,
                _ => continue,
            };
            assert!((offset - expected).abs() < 1e-6, "{}", channel.name);
            checked += 1;
        }
        assert_eq!(checked, 96);
    }

    #[test]
    fn names_that_agencies_use_themselves_are_told_apart() {
        assert!(find("MED-1").unwrap().has_common_name());
        assert!(find("IR 4").unwrap().has_common_name());
        assert!(!find("VMED28").unwrap().has_common_name());
        assert!(!find("8CALL90D").unwrap().has_common_name());
    }

    #[test]
    fn federal_channels_are_told_apart() {
        // The guide lists 10 in VHF, 10 in UHF and 20 for law enforcement, all below 420 MHz.
        let federal: Vec<_> = all().filter(|c| c.is_federal()).collect();
        assert_eq!(federal.len(), 40);
        for channel in federal {
            let mhz = channel.tx.mhz();
            let is_inside = (162.0..174.0).contains(&mhz) || (406.1..420.0).contains(&mhz);
            assert!(is_inside, "{}", channel.name);
        }
        assert!(!find("VLAW31").unwrap().is_federal());
    }
}
