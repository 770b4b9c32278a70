//! A CTCSS tone is not one of the tones in use.
//!
//! ## What it flags
//! A receive or transmit tone, of a channel or of a radio that deviates, which no published list of
//! tones has.
//!
//! ## Why it matters
//! Most sets can only be programmed from the list, so the crew that gets this plan will leave the tone
//! out or take a neighbour. Usually two digits were swapped.
//!
//! ## How it decides
//! The tone is looked up among the 53 published ones, in tenths of a hertz.
//!
//! ## Severity
//! Warns.
//!
//! ## Example
//! A channel has 165.7 Hz; the tone meant is 156.7 Hz, though the nearest one is 165.5 Hz.
//!
//! ## Source
//! 38 standard tones of EIA RS-220-A and TIA-603, from two published lists that agree; 13 common and
//! 2 rare extended tones from published lists.

use std::collections::BTreeSet;

use crate::checks::Check;
use crate::checks::programming::odd_codes::{self, Rule};
use crate::model::{AccessCode, Evidence, Finding, Severity, Tone};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "P14",
    name: "non-standard-tone",
    severity: Severity::Warns,
    text: include_str!("non_standard_tone.rs"),
    run,
};

/// The published tones, in tenths of a hertz.
const TONES: [u16; 53] = [
    625, 647, 670, 693, 719, 744, 770, 797, 825, 854, 885, 915, 948, 974, 1000, 1035, 1072, 1109,
    1148, 1188, 1230, 1273, 1318, 1365, 1413, 1462, 1500, 1514, 1567, 1598, 1622, 1655, 1679, 1713,
    1738, 1773, 1799, 1835, 1862, 1899, 1928, 1966, 1995, 2035, 2065, 2107, 2181, 2257, 2291, 2336,
    2418, 2503, 2541,
];

const RULE: Rule = Rule {
    check: &CHECK,
    severity: Severity::Warns,
    is_odd: |code| matches!(code, AccessCode::Ctcss(tone) if !TONES.contains(&tenths(tone))),
    what: |code| format!("{code}, which is not a published tone"),
    meant: |code| match code {
        AccessCode::Ctcss(tone) => nearest(tone),
        _ => None,
    },
    explain,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    odd_codes::report(out, picture, &RULE);
}

fn explain(finding: &mut Finding, odd: &BTreeSet<AccessCode>) {
    for code in odd {
        if let AccessCode::Ctcss(tone) = code {
            finding
                .evidence
                .push(Evidence::number("tone", tone.hz(), "Hz"));
        }
    }
    finding.hints = vec!["Ask the channel's owner; two digits may have been swapped".to_owned()];
}

fn tenths(tone: Tone) -> u16 {
    (tone.hz() * 10.0).round() as u16
}

fn nearest(tone: Tone) -> Option<AccessCode> {
    let wanted = tenths(tone);
    TONES
        .into_iter()
        .min_by_key(|t| t.abs_diff(wanted))
        .map(|t| AccessCode::Ctcss(Tone::from_tenths(t)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engineering::rf::national;

    #[test]
    fn tones_rise_and_those_of_national_channels_are_among_them() {
        assert!(TONES.is_sorted_by(|a, b| a < b));
        let mut checked = 0;
        for code in national::all().flat_map(|c| c.tx_codes.iter().chain(&c.rx_codes)) {
            assert!(!(RULE.is_odd)(*code), "{code}");
            checked += 1;
        }
        assert!(checked > 200);
    }

    #[test]
    fn the_nearest_tone_is_offered() {
        let tone = |tenths| AccessCode::Ctcss(Tone::from_tenths(tenths));
        assert!((RULE.is_odd)(tone(1568)));
        assert_eq!(nearest(Tone::from_tenths(1568)), Some(tone(1567)));
        assert_eq!(nearest(Tone::from_tenths(2600)), Some(tone(2541)));
    }
}
