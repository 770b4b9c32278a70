//! A DCS code is not one of the codes in use.
//!
//! ## What it flags
//! A receive or transmit DCS code, of a channel or of a radio that deviates, which no published list of
//! codes has.
//!
//! ## Why it matters
//! Some sets take any three octal digits, others only those of the list. A code outside it is often the
//! same on the air as one inside, so the sets that lack it can take that one.
//!
//! ## How it decides
//! The code is looked up among the 105 published ones; polarity does not matter. Where a published code
//! is the same word on the air, it is named.
//!
//! ## Severity
//! Notes: it works between sets that can be programmed so.
//!
//! ## Example
//! A channel has DCS 340, which is 023 read from another place.
//!
//! ## Source
//! 83 standard and 22 extended codes from two published lists; equal words by the Golay code.

use std::collections::BTreeSet;

use crate::checks::Check;
use crate::checks::programming::odd_codes::{self, Rule};
use crate::engineering::rf::dcs;
use crate::model::{AccessCode, Evidence, Finding, Severity};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "P15",
    name: "non-standard-dcs",
    severity: Severity::Notes,
    text: include_str!("non_standard_dcs.rs"),
    run,
};

/// The published codes.
#[rustfmt::skip]
const CODES: [u16; 105] = [
    0o023, 0o025, 0o026, 0o031, 0o032, 0o036, 0o043, 0o047, 0o051, 0o053, 0o054, 0o065, 0o071, 0o072,
    0o073, 0o074, 0o114, 0o115, 0o116, 0o122, 0o125, 0o131, 0o132, 0o134, 0o143, 0o145, 0o152, 0o155,
    0o156, 0o162, 0o165, 0o172, 0o174, 0o205, 0o212, 0o223, 0o225, 0o226, 0o243, 0o244, 0o245, 0o246,
    0o251, 0o252, 0o255, 0o261, 0o263, 0o265, 0o266, 0o271, 0o274, 0o306, 0o311, 0o315, 0o325, 0o331,
    0o332, 0o343, 0o346, 0o351, 0o356, 0o364, 0o365, 0o371, 0o411, 0o412, 0o413, 0o423, 0o431, 0o432,
    0o445, 0o446, 0o452, 0o454, 0o455, 0o462, 0o464, 0o465, 0o466, 0o503, 0o506, 0o516, 0o523, 0o526,
    0o532, 0o546, 0o565, 0o606, 0o612, 0o624, 0o627, 0o631, 0o632, 0o645, 0o654, 0o662, 0o664, 0o703,
    0o712, 0o723, 0o731, 0o732, 0o734, 0o743, 0o754,
];

const RULE: Rule = Rule {
    check: &CHECK,
    severity: Severity::Notes,
    is_odd: |code| matches!(code, AccessCode::Dcs { code, .. } if !CODES.contains(&code)),
    what: |code| match twin(code) {
        Some(twin) => format!("{code}, which is not a published code but {twin} on the air"),
        None => format!("{code}, which is not a published code"),
    },
    meant: twin,
    explain,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    odd_codes::report(out, picture, &RULE);
}

fn explain(finding: &mut Finding, odd: &BTreeSet<AccessCode>) {
    finding.evidence = odd
        .iter()
        .map(|code| Evidence::text("code", code))
        .collect();
    finding.hints = vec!["See that every set on the channel can be programmed so".to_owned()];
}

/// Returns the published code that is the same word on the air, upright before inverted.
fn twin(code: AccessCode) -> Option<AccessCode> {
    let AccessCode::Dcs { code, inverted } = code else {
        return None;
    };
    [inverted, !inverted]
        .into_iter()
        .flat_map(|turned| CODES.into_iter().map(move |c| (c, turned)))
        .find(|other| dcs::same_on_air((code, inverted), *other))
        .map(|(code, inverted)| AccessCode::Dcs { code, inverted })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_list_is_the_published_one() {
        let published = include_str!("../../../tests/data/dcs_words.csv");
        let codes: Vec<u16> = published
            .lines()
            .filter(|l| !l.starts_with('#'))
            .map(|l| u16::from_str_radix(l.split(',').next().unwrap(), 8).unwrap())
            .collect();
        assert_eq!(codes, CODES);
    }

    #[test]
    fn a_twin_keeps_its_polarity_where_it_can() {
        let code = |code, inverted| AccessCode::Dcs { code, inverted };
        assert_eq!(twin(code(0o340, false)), Some(code(0o023, false)));
        assert_eq!(twin(code(0o340, true)), Some(code(0o023, true)));
    }
}
