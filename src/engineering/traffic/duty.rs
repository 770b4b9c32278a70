//! What a radio draws on average, by how much of the time it sends, receives and waits.
//!
//! Formula: `I = t It + r Ir + s Is`; hours are capacity over it. A donor sends whenever another leg
//! of its talk group talks: `t` is the load of the other legs, `r` that of its own.
//!
//! Units: milliamperes, milliampere-hours, hours, erlangs; shares of 1.
//!
//! Valid range: currents up to 100 A; shares that add to 1.
//!
//! When it is wrong: capacity falls with drain and cold and with heavy bursts; a set held at high
//! duty gets hot and folds back its power. Stated battery lives follow one pattern or another, and
//! **a donor follows none of them**.
//!
//! Source: 5-5-90: a portable's published safety text and a trade article. 10-10-80 (6 s receive,
//! 6 s transmit, 48 s standby in each minute): TIA-603-D, clause 1.3.2.3, from memory. One minute
//! in five for mobiles: TIA-603, from memory. Donor duty: reasoning.
//!
//! Worked example: 1500, 250 and 60 mA at 5-5-90 draw 141.5 mA; at 40-10-50 they draw 655 mA.

use crate::engineering::{OutOfRange, Range};

/// Currents.
pub const CURRENT: Range = Range::new("current", 0.0, 100_000.0, "mA");
/// Average current of a set that runs down.
pub const AVERAGE: Range = Range::new("average current", 0.001, 100_000.0, "mA");
/// Capacities.
pub const CAPACITY: Range = Range::new("capacity", 0.0, 10_000_000.0, "mAh");
/// A share of time.
pub const SHARE: Range = Range::new("share of time", 0.0, 1.0, "");

/// What a set draws.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Currents {
    /// Sending.
    pub transmit_ma: f64,
    /// Receiving with sound.
    pub receive_ma: f64,
    /// Waiting.
    pub standby_ma: f64,
}

/// How the time is shared; the three add to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shares {
    /// Sending.
    pub transmit: f64,
    /// Receiving.
    pub receive: f64,
    /// Waiting.
    pub standby: f64,
}

/// The pattern that portable battery lives usually quote.
pub const FIVE_FIVE_NINETY: Shares = Shares {
    transmit: 0.05,
    receive: 0.05,
    standby: 0.9,
};

/// The standard portable pattern of TIA-603, from memory.
pub const TEN_TEN_EIGHTY: Shares = Shares {
    transmit: 0.1,
    receive: 0.1,
    standby: 0.8,
};

/// Share of sending for which intermittent mobiles are rated (TIA-603, from memory).
pub const INTERMITTENT_MOBILE: f64 = 0.2;

/// Returns the average current, in milliamperes.
///
/// # Errors
///
/// A current is outside [`CURRENT`], a share outside [`SHARE`], or the shares do not add to 1.
pub fn average_ma(currents: Currents, shares: Shares) -> Result<f64, OutOfRange> {
    let transmit = SHARE.check(shares.transmit)?;
    let receive = SHARE.check(shares.receive)?;
    let standby = SHARE.check(shares.standby)?;
    // 1e-9 forgives the rounding of shares that were themselves computed.
    Range::new("sum of the shares", 1.0 - 1e-9, 1.0 + 1e-9, "")
        .check(transmit + receive + standby)?;
    Ok(transmit * CURRENT.check(currents.transmit_ma)?
        + receive * CURRENT.check(currents.receive_ma)?
        + standby * CURRENT.check(currents.standby_ma)?)
}

/// Returns the shares of a donor from the carried loads of the other legs and of its own.
///
/// One voice is carried at a time, so both together are at most 1.
///
/// # Errors
///
/// A load is outside [`SHARE`], or both are above 1 together.
pub fn donor_shares(other_legs_erl: f64, own_leg_erl: f64) -> Result<Shares, OutOfRange> {
    let transmit = SHARE.check(other_legs_erl)?;
    let left = Range::new(
        "load of the donor's own leg",
        0.0,
        1.0 - transmit,
        "erlangs",
    );
    let receive = left.check(own_leg_erl)?;
    Ok(Shares {
        transmit,
        receive,
        standby: (1.0 - transmit - receive).max(0.0),
    })
}

/// Returns how long a capacity lasts at an average current, in hours.
///
/// # Errors
///
/// An argument is outside [`CAPACITY`] or [`AVERAGE`].
pub fn hours(capacity_mah: f64, average_ma: f64) -> Result<f64, OutOfRange> {
    Ok(CAPACITY.check(capacity_mah)? / AVERAGE.check(average_ma)?)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engineering::published::agrees;

    const SOURCE: &str = "computed by hand";
    const LARGE: Currents = Currents {
        transmit_ma: 1500.0,
        receive_ma: 250.0,
        standby_ma: 60.0,
    };
    const SMALL: Currents = Currents {
        transmit_ma: 1100.0,
        receive_ma: 200.0,
        standby_ma: 75.0,
    };

    #[test]
    fn averages_and_hours_are_as_computed_by_hand() {
        let large = average_ma(LARGE, FIVE_FIVE_NINETY).unwrap();
        let small = average_ma(SMALL, FIVE_FIVE_NINETY).unwrap();
        let donor = average_ma(LARGE, donor_shares(0.4, 0.1).unwrap()).unwrap();
        let currents = [
            ("1500/250/60 mA", large, 141.5),
            ("1100/200/75 mA", small, 132.5),
            ("donor at 40-10-50", donor, 655.0),
            (
                "10-10-80",
                average_ma(LARGE, TEN_TEN_EIGHTY).unwrap(),
                150.0 + 25.0 + 48.0,
            ),
        ];
        agrees(SOURCE, 1e-9, &currents);
        let lasts = [
            ("2000 mAh, large", hours(2000.0, large).unwrap(), 14.13),
            ("2000 mAh, small", hours(2000.0, small).unwrap(), 15.09),
            ("2000 mAh, donor", hours(2000.0, donor).unwrap(), 3.05),
        ];
        agrees(SOURCE, 0.005_1, &lasts);
    }

    #[test]
    fn patterns_are_as_published() {
        let minute = |seconds: f64| seconds / 60.0;
        let rows = [
            ("5", FIVE_FIVE_NINETY.transmit, 0.05),
            ("-5", FIVE_FIVE_NINETY.receive, 0.05),
            ("-90", FIVE_FIVE_NINETY.standby, 0.90),
            ("10", TEN_TEN_EIGHTY.transmit, minute(6.0)),
            ("-10", TEN_TEN_EIGHTY.receive, minute(6.0)),
            ("-80", TEN_TEN_EIGHTY.standby, minute(48.0)),
            ("mobile", INTERMITTENT_MOBILE, 1.0 / (1.0 + 4.0)),
        ];
        agrees("5-5-90; TIA-603, from memory", 1e-12, &rows);
    }

    #[test]
    fn a_donor_sends_for_the_other_legs() {
        // 0.4 erlangs of talk over the join: all from the other legs, or half from the donor's own.
        let (all, half) = (donor_shares(0.4, 0.0), donor_shares(0.2, 0.2));
        let rows = [
            ("all", all.unwrap().transmit, 0.4),
            ("half", half.unwrap().transmit, 0.2),
            ("half, standby", half.unwrap().standby, 0.6),
            ("full", donor_shares(0.7, 0.3).unwrap().standby, 0.0),
        ];
        agrees("20 to 40 % of the hour", 1e-9, &rows);
        let said = donor_shares(0.75, 0.5).unwrap_err().to_string();
        assert_eq!(
            said,
            "load of the donor's own leg is 0.5; it must be 0 to 0.25 erlangs"
        );
    }

    #[test]
    fn nonsense_is_refused() {
        for bad in [f64::NAN, f64::INFINITY, -0.1] {
            let shares = Shares {
                transmit: bad,
                ..FIVE_FIVE_NINETY
            };
            assert!(average_ma(LARGE, shares).is_err());
            let currents = Currents {
                standby_ma: bad,
                ..LARGE
            };
            assert!(average_ma(currents, FIVE_FIVE_NINETY).is_err());
            assert!(hours(bad, 100.0).is_err());
            assert!(hours(100.0, bad).is_err());
            assert!(donor_shares(bad, 0.1).is_err());
        }
        let shares = Shares {
            standby: 0.8,
            ..FIVE_FIVE_NINETY
        };
        assert!(
            average_ma(LARGE, shares).is_err(),
            "shares that leave time over"
        );
        assert!(hours(100.0, 0.0).is_err());
    }
}
