//! What each check reads, as far as facets of a plan are told apart: what moves none of it leaves what
//! the check found as it is.
//!
//! A new check is sorted into these lists by hand: into the first and third where its file, or anything the
//! file calls, reads the facet, into the others where nothing does. A test counts the checks, so that none
//! is forgotten, and another moves every facet of every scenario that makes a check fire.

use super::Check;
use crate::picture::facets::Facets;
use crate::picture::touched::OneByOne;

/// Checks that read needs, or figures about them.
#[rustfmt::skip]
const OF_NEEDS: [&str; 15] = [
    "R01", "R03", "R05", "R06", "G10", "E04", "T02", "T03", "T06", "T08", "T09", "B01", "B02", "B03", "B04",
];

/// Checks that read no switch, and nothing of who hears whom.
#[rustfmt::skip]
const OF_NOTHING_HEARD: [&str; 22] = [
    "P01", "P02", "P03", "P04", "P05", "P06", "P07", "P08", "P09", "P10", "P11", "P12", "P13", "P14",
    "P15", "E02", "E03", "E05", "E06", "E07", "A02", "A04",
];

/// Checks that read what somebody has verified, or offer a radio or an entry of one as it should be, with
/// all that is noted of it.
#[rustfmt::skip]
const OF_VERIFIED: [&str; 18] = [
    "P01", "P02", "P03", "P04", "P05", "P09", "P10", "P12", "P13", "P14", "P15", "E01", "E05", "E06",
    "E07", "F04", "I01", "S01",
];

/// Checks that say no unit's name.
#[rustfmt::skip]
const OF_NO_UNIT_NAME: [&str; 12] = [
    "I01", "I02", "I03", "I04", "I05", "I06", "I07", "I08", "I09", "I10", "X01", "X02",
];

/// Checks that read how radios show channels, and nothing else of how they are set.
const OF_LABELS: [&str; 1] = ["P06"];

/// Checks that look at channels one by one, with the radios that have them.
#[rustfmt::skip]
const BY_CHANNEL: [&str; 15] = [
    "P01", "P02", "P03", "P04", "P05", "P09", "P10", "P14", "P15", "E03", "E05", "E06", "E07", "I08", "A04",
];

/// Checks that look at radios one by one, as far as they read how radios are set.
const BY_RADIO: [&str; 3] = ["P07", "P11", "P12"];

/// Checks that look at sites one by one.
#[rustfmt::skip]
const BY_SITE: [&str; 10] = [
    "I01", "I02", "I03", "I04", "I05", "I06", "I07", "I09", "X01", "X02",
];

/// Returns what a check looks at one by one; `None` for one that looks further.
pub(super) fn one_by_one(check: &Check) -> Option<OneByOne> {
    let lists: [(&[&str], OneByOne); 3] = [
        (&BY_CHANNEL, OneByOne::Channels),
        (&BY_RADIO, OneByOne::Radios),
        (&BY_SITE, OneByOne::Sites),
    ];
    let found = lists.iter().find(|(list, _)| list.contains(&check.code));
    found.map(|(_, looks_at)| *looks_at)
}

/// Returns the facets that a check reads.
pub(super) fn of(check: &Check) -> Facets {
    let is_in = |list: &[&str]| list.contains(&check.code);
    let mut reads = Facets::ALL;
    for (is_unread, facet) in [
        (!is_in(&OF_NEEDS), Facets::NEEDS),
        (is_in(&OF_NOTHING_HEARD), Facets::HEARD),
        (!is_in(&OF_VERIFIED), Facets::VERIFIED),
        (is_in(&OF_NO_UNIT_NAME), Facets::UNIT_NAMES),
        (is_in(&OF_LABELS), Facets::SET),
        (!is_in(&OF_LABELS), Facets::LABELS),
    ] {
        if is_unread {
            reads = reads.but(facet);
        }
    }
    reads
}

#[cfg(test)]
mod tests {
    use crate::checks::ALL;

    #[test]
    fn every_check_was_sorted() {
        assert_eq!(
            ALL.len(),
            91,
            "sort the new check into the lists of this file, then count it"
        );
    }
}
