//! Whether a supply stays within what a set takes, what the wire loses, and when to change cells.
//!
//! Formula: a supply fits where its whole range lies within the set's. A wire drops `I 2 L r`. Sets
//! of cells are changed at each `used * hours` until the phase ends.
//!
//! Units: volts, amperes, metres one way, milliohms per metre, hours.
//!
//! Valid range: supplies to 1000 V, wires to 1000 m, phases to a year.
//!
//! When it is wrong: vehicle codes are the range in steady running; cranking, jump start and load
//! dump go beyond it, so a set within the range may still reset at each start of the engine.
//! Resistance is that of copper at about 20 C and grows when warm.
//!
//! Source: ISO 16750-2 (2023), clause 4.2; its numbers from memory. MIL-STD-1275, from memory.
//! Resistance of copper wire: handbooks. To change before 80 % are used: common practice, no
//! source.
//!
//! Worked example: 10 A over 3 m of 12 AWG wire drop 0.31 V.

use crate::engineering::{OutOfRange, Range};

/// Voltages of supplies.
pub const VOLTS: Range = Range::new("supply voltage", 0.0, 1000.0, "V");
/// Currents in a wire.
pub const AMPS: Range = Range::new("current", 0.0, 1000.0, "A");
/// Lengths of a wire, one way.
pub const LENGTH: Range = Range::new("wire length", 0.0, 1000.0, "m");
/// Resistances of one conductor.
pub const RESISTANCE: Range = Range::new("wire resistance", 0.0, 10_000.0, "mohm/m");
/// How long a set of cells lasts.
pub const SET: Range = Range::new("life of a set of cells", 0.001, 100_000.0, "h");
/// How long a phase lasts.
pub const PHASE: Range = Range::new("length of the phase", 0.0, 8784.0, "h");
/// How much of a set is used before it is changed.
pub const USED: Range = Range::new("share used", 0.1, 1.0, "");

/// Copper of 3.3 mm2, 12 AWG, in milliohms per metre.
pub const COPPER_12_AWG: f64 = 5.2;
/// Copper of 2.1 mm2, 14 AWG, in milliohms per metre.
pub const COPPER_14_AWG: f64 = 8.3;
/// Share of a set that is used before it is changed; common practice, no source.
pub const USUAL_USED: f64 = 0.8;
/// Steady range of a military 28 V supply (MIL-STD-1275, from memory).
pub const MILITARY_28_V: (f64, f64) = (20.0, 33.0);

/// How a supply lies to what a set takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Fit {
    /// It fits.
    Inside,
    /// It can fall too low, by so many volts.
    Below(f64),
    /// It can rise too high, by so many volts.
    Above(f64),
    /// It can do both.
    Both {
        /// Volts too low.
        below: f64,
        /// Volts too high.
        above: f64,
    },
}

/// A vehicle's supply with its engine running, by a code of ISO 16750-2.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct VehicleSupply {
    /// Letter.
    pub code: char,
    /// 12 or 24 V system.
    pub system_v: f64,
    /// Lowest and highest voltage.
    pub range_v: (f64, f64),
}

/// What vehicles of one system do beyond their code (ISO 16750-2, from memory).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Excursions {
    /// 12 or 24 V system.
    pub system_v: f64,
    /// Test voltage with the engine running.
    pub running_v: f64,
    /// Dips while cranking, where recorded.
    pub cranking_v: Option<(f64, f64)>,
    /// Voltage of a jump start, and its seconds, where recorded.
    pub jump_start: Option<(f64, f64)>,
    /// Load dump without clamping.
    pub load_dump_v: (f64, f64),
}

/// The codes of ISO 16750-2, from memory.
pub const VEHICLE_SUPPLIES: [VehicleSupply; 8] = [
    code('A', 12.0, 6.0, 16.0),
    code('B', 12.0, 8.0, 16.0),
    code('C', 12.0, 9.0, 16.0),
    code('D', 12.0, 10.5, 16.0),
    code('E', 24.0, 10.0, 32.0),
    code('F', 24.0, 16.0, 32.0),
    code('G', 24.0, 22.0, 32.0),
    code('H', 24.0, 18.0, 32.0),
];

/// What happens beyond the codes.
pub const EXCURSIONS: [Excursions; 2] = [
    Excursions {
        system_v: 12.0,
        running_v: 14.0,
        cranking_v: Some((3.0, 6.0)),
        jump_start: Some((24.0, 60.0)),
        load_dump_v: (79.0, 101.0),
    },
    Excursions {
        system_v: 24.0,
        running_v: 28.0,
        cranking_v: None,
        jump_start: None,
        load_dump_v: (151.0, 202.0),
    },
];

/// Finds a vehicle's supply by its code.
pub fn vehicle_supply(code: char) -> Option<&'static VehicleSupply> {
    VEHICLE_SUPPLIES.iter().find(|supply| supply.code == code)
}

/// Tells how a supply lies to what a set needs, each as lowest and highest volts.
///
/// # Errors
///
/// A voltage is outside [`VOLTS`], or a highest one below its lowest.
pub fn fits(need: (f64, f64), given: (f64, f64)) -> Result<Fit, OutOfRange> {
    let (need, given) = (ordered(need)?, ordered(given)?);
    let (below, above) = (need.0 - given.0, given.1 - need.1);
    Ok(match (below > 0.0, above > 0.0) {
        (false, false) => Fit::Inside,
        (true, false) => Fit::Below(below),
        (false, true) => Fit::Above(above),
        (true, true) => Fit::Both { below, above },
    })
}

/// Returns the voltage lost in both wires, in volts.
///
/// # Errors
///
/// An argument is outside [`AMPS`], [`LENGTH`] or [`RESISTANCE`].
pub fn wire_drop_v(amps: f64, length_m: f64, milliohm_per_m: f64) -> Result<f64, OutOfRange> {
    let ohms = 2.0 * LENGTH.check(length_m)? * RESISTANCE.check(milliohm_per_m)? / 1e3;
    Ok(AMPS.check(amps)? * ohms)
}

/// Returns how many sets of cells a phase takes and the hours at which they are changed.
///
/// A set is changed before [`USUAL_USED`] of it is used.
///
/// # Errors
///
/// An argument is outside [`SET`] or [`PHASE`].
pub fn changes(hours_per_set: f64, phase_hours: f64) -> Result<(u32, Vec<f64>), OutOfRange> {
    changes_at(hours_per_set, phase_hours, USUAL_USED)
}

/// Returns the same as [`changes`] with another share used.
///
/// # Errors
///
/// An argument is outside [`SET`], [`PHASE`] or [`USED`].
pub fn changes_at(
    hours_per_set: f64,
    phase_hours: f64,
    used: f64,
) -> Result<(u32, Vec<f64>), OutOfRange> {
    let interval = SET.check(hours_per_set)? * USED.check(used)?;
    // A phase that ends just as a set is due needs no other; rounding must not add one.
    let sets = (PHASE.check(phase_hours)? / interval - 1e-9)
        .ceil()
        .max(1.0) as u32;
    let times = (1..sets).map(|n| f64::from(n) * interval).collect();
    Ok((sets, times))
}

const fn code(code: char, system_v: f64, low: f64, high: f64) -> VehicleSupply {
    VehicleSupply {
        code,
        system_v,
        range_v: (low, high),
    }
}

fn ordered((low, high): (f64, f64)) -> Result<(f64, f64), OutOfRange> {
    let low = VOLTS.check(low)?;
    let above_low = Range { low, ..VOLTS };
    Ok((low, above_low.check(high)?))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engineering::published::agrees;

    #[test]
    fn vehicle_codes_are_as_recalled() {
        let source = "ISO 16750-2 (2023), clause 4.2, from memory";
        let printed = [
            ('A', 12.0, 6.0, 16.0),
            ('B', 12.0, 8.0, 16.0),
            ('C', 12.0, 9.0, 16.0),
            ('D', 12.0, 10.5, 16.0),
            ('E', 24.0, 10.0, 32.0),
            ('F', 24.0, 16.0, 32.0),
            ('G', 24.0, 22.0, 32.0),
            ('H', 24.0, 18.0, 32.0),
        ];
        for (code, system, low, high) in printed {
            let ours = vehicle_supply(code).unwrap();
            let rows = [
                ("system", ours.system_v, system),
                ("low", ours.range_v.0, low),
                ("high", ours.range_v.1, high),
            ];
            agrees(source, 0.0, &rows);
        }
        assert_eq!(vehicle_supply('I'), None);
        let [twelve, twenty_four] = EXCURSIONS;
        let rows = [
            ("running, 12 V", twelve.running_v, 14.0),
            ("running, 24 V", twenty_four.running_v, 28.0),
            ("cranking, lowest", twelve.cranking_v.unwrap().0, 3.0),
            ("cranking, highest", twelve.cranking_v.unwrap().1, 6.0),
            ("jump start", twelve.jump_start.unwrap().0, 24.0),
            ("jump start, seconds", twelve.jump_start.unwrap().1, 60.0),
            ("load dump, 12 V", twelve.load_dump_v.0, 79.0),
            ("load dump, 12 V", twelve.load_dump_v.1, 101.0),
            ("load dump, 24 V", twenty_four.load_dump_v.0, 151.0),
            ("load dump, 24 V", twenty_four.load_dump_v.1, 202.0),
            ("military, lowest", MILITARY_28_V.0, 20.0),
            ("military, highest", MILITARY_28_V.1, 33.0),
        ];
        agrees(source, 0.0, &rows);
    }

    #[test]
    fn a_supply_fits_or_says_by_how_much_it_does_not() {
        let set = (10.0, 16.0);
        let vehicle = |code| vehicle_supply(code).unwrap().range_v;
        assert_eq!(fits(set, vehicle('D')), Ok(Fit::Inside));
        assert_eq!(fits(set, set), Ok(Fit::Inside));
        assert_eq!(fits(set, vehicle('A')), Ok(Fit::Below(4.0)));
        // A 24 V truck kills a set for 12 V only.
        assert_eq!(fits(set, vehicle('G')), Ok(Fit::Above(16.0)));
        let both = Fit::Both {
            below: 4.0,
            above: 2.0,
        };
        assert_eq!(fits((10.0, 14.0), vehicle('A')), Ok(both));
        // A 12 V truck may reset a set at each start.
        let cranking = EXCURSIONS.map(|e| e.cranking_v)[0].unwrap();
        assert_eq!(fits(set, cranking), Ok(Fit::Below(7.0)));
    }

    #[test]
    fn wires_drop_as_the_handbook_says() {
        let ours = wire_drop_v(10.0, 3.0, COPPER_12_AWG).unwrap();
        agrees("handbook", 0.005_1, &[("12 AWG", ours, 0.31)]);
        let copper = |mm2: f64| 17.24 / mm2;
        let rows = [
            ("12 AWG", COPPER_12_AWG, copper(3.3)),
            ("14 AWG", COPPER_14_AWG, copper(2.1)),
        ];
        agrees("resistivity of copper, 17.24 mohm mm2/m", 0.1, &rows);
        let thin = wire_drop_v(10.0, 3.0, COPPER_14_AWG).unwrap();
        assert!(thin > ours && wire_drop_v(20.0, 3.0, COPPER_12_AWG).unwrap() > thin);
    }

    #[test]
    fn cells_are_changed_before_they_are_used_up() {
        assert_eq!(changes(30.0, 12.0), Ok((1, Vec::new())));
        assert_eq!(changes(30.0, 24.0), Ok((1, Vec::new())));
        assert_eq!(changes(30.0, 60.0), Ok((3, vec![24.0, 48.0])));
        assert_eq!(changes(10.0, 24.0), Ok((3, vec![8.0, 16.0])));
        assert_eq!(changes(10.0, 24.5), Ok((4, vec![8.0, 16.0, 24.0])));
        assert_eq!(
            changes_at(10.0, 24.0, 0.5),
            Ok((5, vec![5.0, 10.0, 15.0, 20.0]))
        );
        assert_eq!(changes(10.0, 0.0), Ok((1, Vec::new())));
    }

    #[test]
    fn no_set_runs_past_its_share() {
        for tenths in 1..600_u32 {
            let (life, phase) = (f64::from(tenths) / 10.0, 72.0);
            let (sets, times) = changes(life, phase).unwrap();
            assert_eq!(times.len() + 1, sets as usize);
            let mut start = 0.0;
            for end in times.iter().copied().chain([phase]) {
                assert!(end - start <= USUAL_USED * life + 1e-6, "{life} h");
                start = end;
            }
        }
    }

    #[test]
    fn nonsense_is_refused() {
        for bad in [f64::NAN, f64::INFINITY, -1.0] {
            assert!(fits((bad, 16.0), (11.0, 14.0)).is_err());
            assert!(fits((10.0, bad), (11.0, 14.0)).is_err());
            assert!(fits((10.0, 16.0), (11.0, bad)).is_err());
            assert!(wire_drop_v(bad, 3.0, 5.2).is_err());
            assert!(wire_drop_v(10.0, bad, 5.2).is_err());
            assert!(wire_drop_v(10.0, 3.0, bad).is_err());
            assert!(changes(bad, 24.0).is_err());
            assert!(changes(10.0, bad).is_err());
            assert!(changes_at(10.0, 24.0, bad).is_err());
        }
        assert!(fits((16.0, 10.0), (11.0, 14.0)).is_err(), "upside down");
        assert!(changes(0.0, 24.0).is_err());
    }
}
