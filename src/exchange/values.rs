//! Single cells of the channel forms: frequencies with N or W, tones and NACs, modes, group numbers.

use crate::model::{AccessCode, Algorithm, Frequency, KeyRef, Mode, Protection};
use crate::sheets::codes;

/// Bandwidth of a narrow channel, in hertz (47 CFR 90.209: 12.5 kHz channels).
pub(super) const NARROW_HZ: u32 = 12_500;
/// Bandwidth of a wide channel, in hertz.
pub(super) const WIDE_HZ: u32 = 25_000;

/// Reads "154.2650 N", "154.265W" or "154.265"; the width in hertz where a letter says it.
pub(super) fn frequency(text: &str) -> Result<(Frequency, Option<u32>), String> {
    let upper = text.trim().to_uppercase();
    let (digits, width) = match upper.strip_suffix(['N', 'W']) {
        Some(digits) if upper.ends_with('N') => (digits, Some(NARROW_HZ)),
        Some(digits) => (digits, Some(WIDE_HZ)),
        None => (upper.as_str(), None),
    };
    let digits = digits.trim().trim_end_matches("MHZ").trim();
    codes::frequency(digits)
        .map(|f| (f, width))
        .map_err(|_words| "MHz from 0.1 to 6000, with N or W, such as 154.2650 N".to_owned())
}

/// Writes a frequency to four places, five from 764 to 806 MHz, and as many as it needs, with N or W.
pub fn frequency_text(f: Frequency, bandwidth_hz: u32) -> String {
    let hz = f.hertz();
    let is_700 = (764_000_000..=806_000_000).contains(&hz);
    let places = match hz {
        hz if hz % 10 != 0 => 6,
        hz if hz % 100 != 0 || is_700 => 5,
        _ => 4,
    };
    let letter = if bandwidth_hz > NARROW_HZ { 'W' } else { 'N' };
    format!("{:.places$} {letter}", f.mhz())
}

/// Reads a bandwidth column: N, W, or kHz.
pub(super) fn width(text: &str) -> Result<Option<u32>, String> {
    match text.trim().to_uppercase().as_str() {
        "" => Ok(None),
        "N" | "NARROW" => Ok(Some(NARROW_HZ)),
        "W" | "WIDE" => Ok(Some(WIDE_HZ)),
        other => codes::bandwidth(other.trim_end_matches("KHZ"))
            .map(Some)
            .map_err(|_words| "N, W, or kHz from 1 to 200".to_owned()),
    }
}

/// Reads a tone, a DCS code, a NAC, or none of them.
pub(super) fn code(text: &str, is_digital: bool) -> Result<AccessCode, String> {
    let upper = text.trim().to_uppercase();
    let word = upper
        .trim_start_matches("TPL")
        .trim_start_matches("PL")
        .trim();
    if matches!(word, "-" | "N/A" | "NA" | "OPEN" | "CARRIER") {
        return Ok(AccessCode::None);
    }
    let is_hex = word.len() == 3 && word.chars().all(|c| c.is_ascii_hexdigit());
    let word = if is_digital && is_hex {
        format!("${word}")
    } else {
        word.to_owned()
    };
    codes::code(&word).map_err(|_words| {
        "CSQ or empty, a tone such as 156.7, DCS such as D023N, or a NAC such as $293".to_owned()
    })
}

/// Reads a DMR colour code, such as "CC1", 0 to 15 (ETSI TS 102 361-1).
pub(super) fn colour_code(text: &str) -> Option<u8> {
    let upper = text.trim().to_uppercase();
    let digits = upper
        .strip_prefix("COLOR CODE")
        .or_else(|| upper.strip_prefix("COLOUR CODE"))
        .or_else(|| upper.strip_prefix("CC"))?;
    digits.trim().parse().ok().filter(|number| *number < 16)
}

/// Says why a code does nothing on a mode: tones and DCS go with analogue FM, a NAC with P25.
pub(super) fn never_heard(code: AccessCode, mode: Mode, mixed: bool) -> Option<&'static str> {
    match code {
        AccessCode::Ctcss(_) | AccessCode::Dcs { .. } if mode != Mode::Fm && !mixed => {
            Some("such a code goes with analogue FM only")
        }
        AccessCode::Nac(_) if mode != Mode::P25 => Some("a NAC goes with P25 only"),
        _ => None,
    }
}

/// Tells whether a cell says that nothing is sent.
pub(super) fn is_none_sent(text: &str) -> bool {
    let lower = text.to_lowercase();
    let words: Vec<&str> = lower
        .split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty())
        .collect();
    matches!(
        words.as_slice(),
        ["none" | "rx" | "rxo" | "receive" | "listen" | "monitor"]
            | ["rx" | "receive" | "listen" | "monitor", "only"]
    )
}

/// Writes a code as the forms do.
pub fn code_text(code: AccessCode) -> String {
    match code {
        AccessCode::None => "CSQ".to_owned(),
        AccessCode::Ctcss(tone) => format!("{:.1}", tone.hz()),
        other => codes::code_text(other),
    }
}

/// What the letter in the mode column stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Letter {
    /// A, or nothing.
    Analogue,
    /// D.
    Digital,
    /// M: digital, and hears analogue.
    Mixed,
}

/// Reads A, D or M, or the name of a mode.
pub(super) fn letter(text: &str) -> Result<(Letter, Option<Mode>), String> {
    Ok(match text.trim().to_uppercase().as_str() {
        "" | "A" | "ANALOG" | "ANALOGUE" => (Letter::Analogue, None),
        "FM" | "ANALOGUE FM" | "ANALOG FM" => (Letter::Analogue, Some(Mode::Fm)),
        "AM" => (Letter::Analogue, Some(Mode::Am)),
        "D" | "DIGITAL" => (Letter::Digital, None),
        "P25" => (Letter::Digital, Some(Mode::P25)),
        "DMR" => (Letter::Digital, Some(Mode::Dmr)),
        "TETRA" => (Letter::Digital, Some(Mode::Tetra)),
        "M" | "MIXED" => (Letter::Mixed, None),
        _ => return Err("A for analogue, D for digital or M for mixed".to_owned()),
    })
}

/// Returns the mode a letter stands for where nothing else says it: P25 for D and M, else FM, and AM in the
/// aeronautical band (ICAO Annex 10, volume III).
pub(super) fn usual_mode(is_digital: bool, rx: Option<Frequency>) -> Mode {
    let is_air = rx.is_some_and(|rx| (118.0..137.0).contains(&rx.mhz()));
    match (is_digital, is_air) {
        (true, _) => Mode::P25,
        (false, true) => Mode::Am,
        (false, false) => Mode::Fm,
    }
}

/// Returns the letter for a mode.
pub fn letter_text(mode: Mode, mixed: bool) -> &'static str {
    match (mode.is_digital(), mixed) {
        (true, true) => "M",
        (true, false) => "D",
        (false, _) => "A",
    }
}

/// Parts a name such as "LAW TAC 1 (TG 1201)" into the name and the group number.
pub(super) fn name_and_group(text: &str) -> (String, Option<u32>) {
    let text = text.trim();
    let inner = text.trim_end_matches(')');
    let upper = inner.to_ascii_uppercase();
    for mark in ["TGID", "TG"] {
        let Some(at) = upper.rfind(mark) else {
            continue;
        };
        let (before, after) = (inner.get(..at), inner.get(at + mark.len()..));
        let digits = after
            .unwrap_or_default()
            .trim_start_matches([' ', ':', '#']);
        let begins = before.is_some_and(|b| b.is_empty() || b.ends_with([' ', '(', '/', ',']));
        if let (true, Ok(group)) = (begins, digits.trim().parse()) {
            let name = before
                .unwrap_or_default()
                .trim_end_matches(['(', '/', ','])
                .trim();
            let name = if name.is_empty() { text } else { name };
            return (name.to_owned(), Some(group));
        }
    }
    (text.to_owned(), None)
}

/// What these tables write into remarks because no column has it.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Remarked {
    /// The mode, where A or D does not say which.
    pub(super) mode: Option<Mode>,
    /// The bandwidth in hertz, where N or W does not say which.
    pub(super) bandwidth_hz: Option<u32>,
    /// The key.
    pub(super) protection: Option<Protection>,
    /// Name of the system that carries a group number.
    pub(super) system: Option<String>,
    /// Everything else.
    pub(super) notes: String,
}

impl Remarked {
    /// Finds it in remarks.
    pub(super) fn of(text: &str) -> Self {
        let mut this = Self::default();
        let mut notes = Vec::new();
        for part in text.split(';').map(str::trim).filter(|p| !p.is_empty()) {
            let khz = part.strip_suffix(" kHz");
            let khz = khz.and_then(|khz| codes::bandwidth(khz).ok());
            if let Some(mode) = Mode::ALL.into_iter().find(|m| m.to_string() == part) {
                this.mode = Some(mode);
            } else if let Some(hz) = khz {
                this.bandwidth_hz = Some(hz);
            } else if let Some(protection) = key(part) {
                this.protection = Some(protection);
            } else if let Some(system) = part.strip_prefix("on system ") {
                this.system = Some(system.to_owned());
            } else if part.starts_with("joined at ") {
                // Derived by whoever wrote it: it follows from the switches.
            } else {
                notes.push(part);
            }
        }
        this.notes = notes.join("; ");
        this
    }

    /// Writes it.
    pub(super) fn text(&self) -> String {
        let mut parts = Vec::new();
        parts.extend(self.system.as_ref().map(|s| format!("on system {s}")));
        parts.extend(self.mode.map(|m| m.to_string()));
        parts.extend(
            self.bandwidth_hz
                .map(|hz| format!("{} kHz", codes::bandwidth_text(hz))),
        );
        let protection = self.protection.filter(|p| *p != Protection::Clear);
        parts.extend(protection.map(|p| p.to_string()));
        let notes = self.notes.split(['\n', ';']).map(str::trim);
        parts.extend(notes.filter(|n| !n.is_empty()).map(str::to_owned));
        parts.join("; ")
    }
}

/// Reads "AES-256 key 12, always".
fn key(part: &str) -> Option<Protection> {
    let (cipher, rest) = part.split_once(" key ")?;
    let (number, how) = rest.split_once(", ")?;
    let algorithm = match cipher {
        "AES-256" => Algorithm::AES_256,
        "DES-OFB" => Algorithm::DES_OFB,
        other => Algorithm(u8::from_str_radix(other.strip_prefix("algorithm $")?, 16).ok()?),
    };
    let key = KeyRef {
        algorithm,
        number: number.parse().ok()?,
    };
    match how {
        "always" => Some(Protection::Always(key)),
        "by switch" => Some(Protection::Optional(key)),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::Tone;

    #[test]
    fn frequencies_are_read_with_and_without_their_letter() {
        let f = |hz| Frequency::from_hertz(hz);
        assert_eq!(
            frequency("154.2650 N"),
            Ok((f(154_265_000), Some(NARROW_HZ)))
        );
        assert_eq!(frequency("154.265w"), Ok((f(154_265_000), Some(WIDE_HZ))));
        assert_eq!(frequency("154,265 MHz"), Ok((f(154_265_000), None)));
        assert!(frequency("tac").is_err() && frequency("0").is_err());
        assert_eq!(frequency_text(f(154_265_000), NARROW_HZ), "154.2650 N");
        assert_eq!(frequency_text(f(769_250_000), NARROW_HZ), "769.25000 N");
        assert_eq!(frequency_text(f(769_243_750), WIDE_HZ), "769.24375 W");
    }

    #[test]
    fn codes_are_read_by_the_mode_of_their_row() {
        let tone = AccessCode::Ctcss(Tone::from_tenths(1567));
        let dcs = AccessCode::Dcs {
            code: 0o23,
            inverted: false,
        };
        for (text, digital, expected) in [
            ("156.7", false, tone),
            ("PL 156.7", false, tone),
            ("D023", false, dcs),
            ("DCS 023", false, dcs),
            ("$293", false, AccessCode::Nac(0x293)),
            ("293", true, AccessCode::Nac(0x293)),
            ("f7e", true, AccessCode::Nac(0xF7E)),
            ("CSQ", false, AccessCode::None),
            ("", true, AccessCode::None),
            ("N/A", false, AccessCode::None),
        ] {
            assert_eq!(code(text, digital), Ok(expected), "{text}");
        }
        assert!(code("293", false).is_err(), "no such tone");
        assert!(code("high", false).is_err());
    }

    #[test]
    fn group_numbers_stand_behind_names() {
        for (text, name, group) in [
            ("LAW TAC 1 (TG 1201)", "LAW TAC 1", Some(1201)),
            ("LAW TAC 1 TGID 1201", "LAW TAC 1", Some(1201)),
            ("TG1201", "TG1201", Some(1201)),
            ("NORTG 4", "NORTG 4", None),
            ("VTAC11", "VTAC11", None),
        ] {
            assert_eq!(name_and_group(text), (name.to_owned(), group), "{text}");
        }
    }

    #[test]
    fn remarks_give_back_what_no_column_has() {
        let key = Protection::Always(KeyRef {
            algorithm: Algorithm::AES_256,
            number: 12,
        });
        let all = Remarked {
            mode: Some(Mode::Dmr),
            bandwidth_hz: Some(20_000),
            protection: Some(key),
            system: Some("North".to_owned()),
            notes: "on the hill; ask first".to_owned(),
        };
        assert_eq!(Remarked::of(&all.text()), all);
        let plain = Remarked::of("ask AM first");
        assert_eq!((plain.mode, plain.notes.as_str()), (None, "ask AM first"));
    }
}
