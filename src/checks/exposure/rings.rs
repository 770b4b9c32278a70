//! The numbers behind a distance; shared by checks, not a check itself.

use crate::checks::say;
use crate::model::{Evidence, Finding};
use crate::picture::exposure::{self, CAUTION, Exposure, Ring};

/// Adds the antennas to a finding, with the distance `of` of each, and says how to keep away.
pub(super) fn explain(
    finding: &mut Finding,
    exposure: &Exposure,
    quantity: &'static str,
    of: impl Fn(&Ring) -> f64,
) {
    for ring in &exposure.rings {
        finding.related.push(ring.port.into());
        finding.evidence.extend([
            Evidence::thing("transmitter", ring.port),
            Evidence::number("share of time on", say::percent(ring.duty), "%"),
            Evidence::number("EIRP", say::tenths(ring.eirp_w), "W"),
            Evidence::number(quantity, exposure::keep_m(of(ring)), "m"),
        ]);
    }
    if exposure.rings.iter().any(|ring| ring.assumed) {
        let words = "The gain of antennas nobody noted is assumed: note them to be sure";
        finding.hints.push(words.to_owned());
    }
    finding.hints.push(
        "Where nobody comes that near, as below a high mast, say so in the figures of practice"
            .to_owned(),
    );
    finding.hints.push(CAUTION.to_owned());
}

/// Says of how many antennas a distance is.
pub(super) fn antennas(exposure: &Exposure) -> String {
    match exposure.rings.len() {
        1 => "the antenna".to_owned(),
        n => format!("the {}", say::count(n, "antenna")),
    }
}

/// Says by how much less power the distance would come down to the one wanted.
pub(super) fn less_power(distance_m: f64, wanted_m: f64) -> String {
    // Distance grows with the root of power.
    let share = say::percent((wanted_m / distance_m).powi(2));
    format!("With {share:.0} % of the power it would come down to {wanted_m} m")
}
