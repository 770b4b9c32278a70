//! How long a set of cells, or a battery, runs what hangs on it.
//!
//! Formula: hours are capacity over drain. Capacity is that of the chemistry at this drain, times
//! the share that the temperature leaves, times the share that comes out above the cut-off. In
//! energy: `V Ah depth efficiency / W`.
//!
//! Cells are in series, so each carries the whole drain and the hours do not depend on their number,
//! but for the cut-off: a set that stops at a fixed voltage stops at a lower voltage of each cell
//! the more cells share it ([`Pack::cutoff_per_cell`]).
//!
//! Units: milliamperes, milliampere-hours, degrees Celsius, volts, hours.
//!
//! Valid range: drain 1 mA to 100 A (alkaline to 1 A), -20 to 54 C, 1 to 1000 cells; a cut-off from
//! the chemistry's end-point (alkaline from 0.8 V) to the voltage of a full cell.
//!
//! When it is wrong: old or mixed cells; a weakest cell that ends the set; drain in bursts; a
//! converter that draws more as the cells sink. Round down and plan the change early.
//!
//! Source: arithmetic over `alkaline`, `chemistry` and `peukert`. Alkaline without a stated capacity
//! is the good cell of `alkaline`; with one it is that capacity at 43 ohm. **A cut-off above the
//! end-point of other chemistries, half the capacity at nominal voltage and none at full, is common
//! practice, no source**, as is the rating of lead-acid and lithium iron phosphate over 20 h.
//!
//! Worked example: eight good alkaline cells at 85 mA and 20 C last 30 h; 12.8 V, 20 Ah, 80 % depth
//! and 90 % efficiency at 8 W last 23.04 h.

use super::chemistry::CELLS;
use super::{alkaline, curve, peukert};
use crate::engineering::{OutOfRange, Range};
use crate::model::Chemistry;

/// Drains of a set.
pub const DRAIN: Range = Range::new("drain", 1.0, 100_000.0, "mA");
/// Capacities of a cell; one that is neither stated nor usual counts as 0 and is refused.
pub const CAPACITY: Range = Range::new("capacity", 1.0, 1_000_000.0, "mAh");
/// Shares of capacity or energy.
pub const SHARE: Range = Range::new("share", 0.01, 1.0, "");
/// Voltages of a battery.
pub const VOLTS: Range = Range::new("voltage", 0.1, 1000.0, "V");
/// Capacities of a battery.
pub const AMP_HOURS: Range = Range::new("capacity", 0.001, 100_000.0, "Ah");
/// Loads.
pub const WATTS: Range = Range::new("load", 0.001, 100_000.0, "W");

/// Hours over which larger batteries are rated.
const RATED_HOURS: f64 = 20.0;

/// Cells in series.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pack {
    /// What the cells are made of.
    pub chemistry: Chemistry,
    /// How many.
    pub cells: u32,
    /// Capacity of a cell as labelled; `None` for what is usual in AA size.
    pub capacity_mah: Option<f64>,
}

impl Pack {
    /// Returns the nominal voltage of the set.
    ///
    /// # Errors
    ///
    /// The number of cells is outside [`CELLS`].
    pub fn nominal_v(&self) -> Result<f64, OutOfRange> {
        Ok(CELLS.check(f64::from(self.cells))? * self.chemistry.volts().nominal)
    }

    /// Returns the voltage of the set when it counts as empty.
    ///
    /// # Errors
    ///
    /// The number of cells is outside [`CELLS`].
    pub fn end_point_v(&self) -> Result<f64, OutOfRange> {
        Ok(CELLS.check(f64::from(self.cells))? * self.chemistry.volts().end_point)
    }

    /// Returns the volts of each cell when the set is at a voltage, for [`hours`].
    ///
    /// What lies below the end-point is raised to it, since cells must not be drained further.
    ///
    /// # Errors
    ///
    /// The number of cells is outside [`CELLS`], or the voltage outside what lies between nothing
    /// and full cells.
    pub fn cutoff_per_cell(&self, set_v: f64) -> Result<f64, OutOfRange> {
        let cells = CELLS.check(f64::from(self.cells))?;
        let volts = self.chemistry.volts();
        let highest = match self.chemistry {
            Chemistry::Alkaline => alkaline::CUTOFF.high,
            _ => volts.full,
        };
        let set_v = Range::new("cut-off of the set", 0.0, cells * highest, "V").check(set_v)?;
        Ok((set_v / cells).max(volts.end_point))
    }
}

/// Returns the hours that a set lasts at a steady drain.
///
/// The cut-off is the end-point of the chemistry where none is given.
///
/// # Errors
///
/// An argument is outside its range, or no capacity is given for cells that have no usual one.
pub fn hours(
    pack: Pack,
    drain_ma: f64,
    celsius: f64,
    cutoff_v_per_cell: Option<f64>,
) -> Result<f64, OutOfRange> {
    CELLS.check(f64::from(pack.cells))?;
    let drain_ma = DRAIN.check(drain_ma)?;
    let warm = match pack.chemistry {
        Chemistry::Alkaline => alkaline_hours(pack.capacity_mah, drain_ma)?,
        chemistry => {
            let usual = chemistry.aa_capacity_mah().unwrap_or(0.0);
            let capacity_mah = CAPACITY.check(pack.capacity_mah.unwrap_or(usual))?;
            let even = capacity_mah / drain_ma;
            match chemistry.peukert() {
                Some(k) => {
                    let (ah, amps) = (capacity_mah / 1e3, drain_ma / 1e3);
                    // No more than the label says, however small the drain.
                    peukert::hours(ah, RATED_HOURS, amps, k)?.min(even)
                }
                None => even,
            }
        }
    };
    let cutoff_v = cutoff_v_per_cell.unwrap_or(pack.chemistry.volts().end_point);
    Ok(warm * pack.chemistry.share_at(celsius)? * share_above(pack.chemistry, cutoff_v)?)
}

/// Returns the hours that a battery's energy lasts.
///
/// `depth` is the share that may be taken, `efficiency` that of the converter; for cold multiply
/// the depth by [`Chemistry::share_at`].
///
/// # Errors
///
/// An argument is outside [`VOLTS`], [`AMP_HOURS`], [`SHARE`] or [`WATTS`].
pub fn hours_by_energy(
    volts: f64,
    amp_hours: f64,
    depth: f64,
    efficiency: f64,
    watts: f64,
) -> Result<f64, OutOfRange> {
    let watt_hours = VOLTS.check(volts)? * AMP_HOURS.check(amp_hours)? * SHARE.check(depth)?;
    Ok(watt_hours * SHARE.check(efficiency)? / WATTS.check(watts)?)
}

fn alkaline_hours(label_mah: Option<f64>, drain_ma: f64) -> Result<f64, OutOfRange> {
    let capacity_mah = match label_mah {
        Some(label) => CAPACITY.check(label)? * alkaline::share_at_drain(drain_ma)?,
        None => alkaline::capacity_mah(drain_ma, 20.0)?,
    };
    Ok(capacity_mah / drain_ma)
}

fn share_above(chemistry: Chemistry, cutoff_v: f64) -> Result<f64, OutOfRange> {
    if chemistry == Chemistry::Alkaline {
        return alkaline::share_above(cutoff_v);
    }
    let volts = chemistry.volts();
    let range = Range::new("cut-off", volts.end_point, volts.full, "V per cell");
    let points = [
        (volts.end_point, 1.0),
        (volts.nominal, 0.5),
        (volts.full, 0.0),
    ];
    Ok(curve::at(&points, range.check(cutoff_v)?))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engineering::published::agrees;

    fn pack(chemistry: Chemistry, cells: u32, capacity_mah: Option<f64>) -> Pack {
        Pack {
            chemistry,
            cells,
            capacity_mah,
        }
    }

    #[test]
    fn a_gateway_on_alkaline_cells_runs_about_thirty_hours() {
        // Common practice, no source: somewhat under 100 mA runs about 30 h on a set of AA cells.
        let set = pack(Chemistry::Alkaline, 8, None);
        for drain in 80..=95_u32 {
            let ours = hours(set, f64::from(drain), 20.0, None).unwrap();
            agrees("practice", 5.0, &[("hours", ours, 30.0)]);
        }
        let middle = hours(set, 85.0, 20.0, None).unwrap();
        agrees("worked example", 1e-9, &[("85 mA", middle, 30.0)]);
    }

    #[test]
    fn a_labelled_alkaline_cell_lasts_as_labelled() {
        let set = pack(Chemistry::Alkaline, 1, Some(2200.0));
        let ours = hours(set, 28.0, 20.0, None).unwrap();
        agrees("2200 mAh into 43 ohm", 1.0, &[("28 mA", ours, 78.0)]);
    }

    #[test]
    fn the_number_of_cells_matters_only_by_the_cutoff_of_the_set() {
        let of = |cells| pack(Chemistry::Alkaline, cells, None);
        let plain = |cells| hours(of(cells), 85.0, 20.0, None).unwrap();
        agrees("series", 0.0, &[("8 as 10", plain(8), plain(10))]);
        let stops_at_9_v = |cells: u32| {
            let cutoff = of(cells).cutoff_per_cell(9.0).unwrap();
            hours(of(cells), 85.0, 20.0, Some(cutoff)).unwrap()
        };
        assert!(stops_at_9_v(8) < stops_at_9_v(9) && stops_at_9_v(9) < stops_at_9_v(10));
        agrees(
            "10 cells at 9 V",
            1e-9,
            &[("hours", stops_at_9_v(10), plain(10))],
        );
        let rows = [
            ("nominal", of(8).nominal_v().unwrap(), 12.0),
            ("end", of(8).end_point_v().unwrap(), 7.2),
            ("9 V of 8", of(8).cutoff_per_cell(9.0).unwrap(), 1.125),
            ("5 V of 8", of(8).cutoff_per_cell(5.0).unwrap(), 0.9),
        ];
        agrees("eight cells", 1e-12, &rows);
    }

    #[test]
    fn larger_batteries_follow_peukert_but_never_beat_their_label() {
        let lead = pack(Chemistry::SealedLeadAcid, 6, Some(7000.0));
        let lithium = pack(Chemistry::LithiumIronPhosphate, 4, Some(20_000.0));
        let rows = [
            (
                "7 Ah at 1.4 A",
                hours(lead, 1400.0, 20.0, None).unwrap(),
                4.0613,
            ),
            (
                "20 Ah at 4 A",
                hours(lithium, 4000.0, 20.0, None).unwrap(),
                4.6652,
            ),
        ];
        agrees("Peukert", 5.1e-5, &rows);
        let slow = hours(lead, 70.0, 20.0, None).unwrap();
        agrees("label", 1e-9, &[("7 Ah at 70 mA", slow, 100.0)]);
    }

    #[test]
    fn energy_lasts_as_computed_by_hand() {
        let ours = hours_by_energy(12.8, 20.0, 0.8, 0.9, 8.0).unwrap();
        let rows = [
            ("23.04 h", ours, 23.04),
            (
                "204.8 Wh",
                hours_by_energy(12.8, 20.0, 0.8, 1.0, 1.0).unwrap(),
                204.8,
            ),
        ];
        agrees("runtime by energy", 1e-9, &rows);
        let depth = Chemistry::LithiumIronPhosphate.planned_depth();
        agrees("depth", 0.0, &[("lithium", depth, 0.8)]);
    }

    #[test]
    fn drain_cold_and_cutoff_never_lengthen() {
        for chemistry in Chemistry::ALL {
            let set = pack(chemistry, 4, Some(2000.0));
            let of = |drain, celsius, cutoff| hours(set, drain, celsius, cutoff).unwrap();
            let drains: Vec<f64> = (1..=100)
                .map(|n| of(10.0 * f64::from(n), 20.0, None))
                .collect();
            assert!(drains.is_sorted_by(|a, b| a > b), "{chemistry:?}");
            let warming: Vec<f64> = (-20..=54).map(|c| of(50.0, f64::from(c), None)).collect();
            assert!(warming.is_sorted(), "{chemistry:?}");
            let (low, high) = (chemistry.volts().end_point, chemistry.volts().nominal);
            let lowering: Vec<f64> = (0..=20)
                .map(|n| of(50.0, 20.0, Some(high - (high - low) * f64::from(n) / 20.0)))
                .collect();
            assert!(lowering.is_sorted(), "{chemistry:?}");
        }
    }

    #[test]
    fn nonsense_is_refused() {
        let set = pack(Chemistry::Alkaline, 8, None);
        for bad in [f64::NAN, f64::INFINITY, -1.0, 0.0] {
            assert!(hours(set, bad, 20.0, None).is_err());
            assert!(hours(set, 85.0, 20.0, Some(bad)).is_err());
            assert!(hours(pack(Chemistry::Alkaline, 8, Some(bad)), 85.0, 20.0, None).is_err());
            assert!(hours_by_energy(bad, 20.0, 0.8, 0.9, 8.0).is_err());
            assert!(hours_by_energy(12.8, bad, 0.8, 0.9, 8.0).is_err());
            assert!(hours_by_energy(12.8, 20.0, bad, 0.9, 8.0).is_err());
            assert!(hours_by_energy(12.8, 20.0, 0.8, bad, 8.0).is_err());
            assert!(hours_by_energy(12.8, 20.0, 0.8, 0.9, bad).is_err());
        }
        assert!(
            hours(set, 1001.0, 20.0, None).is_err(),
            "beyond an alkaline cell"
        );
        assert!(hours(set, 85.0, -30.0, None).is_err());
        assert!(hours(pack(Chemistry::Alkaline, 0, None), 85.0, 20.0, None).is_err());
        assert!(set.cutoff_per_cell(13.0).is_err());
        let unlabelled = hours(pack(Chemistry::SealedLeadAcid, 6, None), 85.0, 20.0, None);
        let said = unlabelled.unwrap_err().to_string();
        assert_eq!(said, "capacity is 0; it must be 1 to 1000000 mAh");
    }
}
