//! Calculators of timing: the rating of a voice path, the way to a satellite.

use super::{Answers, Calculator, Given, Input, Need, Output, Refusal, Takes};
use crate::engineering::timing::rating::{self, Sensitivity};
use crate::engineering::timing::satellite;

/// Rating of a voice path.
pub(super) const RATING: Calculator = Calculator {
    kind: "rating",
    title: "Voice rating",
    about: "How good a voice path sounds, as transmission rating R and mean opinion score.",
    inputs: &[
        Input {
            name: "delay-ms",
            value_name: "D",
            label: "Delay one way",
            takes: Takes::Number(rating::DELAY),
            need: Need::Required,
            example: "400",
        },
        Input {
            name: "ie",
            value_name: "I",
            label: "Codec impairment Ie",
            takes: Takes::Number(rating::IMPAIRMENT),
            need: Need::Default("0"),
            example: "",
        },
        Input {
            name: "loss-percent",
            value_name: "P",
            label: "Packets lost",
            takes: Takes::Number(rating::LOSS),
            need: Need::Default("0"),
            example: "",
        },
        Input {
            name: "bpl",
            value_name: "B",
            label: "Robustness Bpl",
            takes: Takes::Number(rating::ROBUSTNESS),
            need: Need::Default("4.3"),
            example: "",
        },
    ],
    outputs: &[
        Output::number("r", "Rating R", "", 2),
        Output::number("mos", "Opinion score", "", 2),
    ],
    source: "ITU-T G.107 (06/2015), clauses 7.4 (from memory), 7.5 and 7.7, Annex B; bands of \
             ITU-T G.109, from memory.",
    caution: Some(
        "Fitted to telephone calls with clean sound at both ends, and random loss. Radio noise, \
         untested codecs and clipped speech are not in it. Beyond 500 ms or 20 % loss it is \
         extrapolated.",
    ),
    run: rated,
};

/// Way to a satellite.
pub(super) const SATELLITE: Calculator = Calculator {
    kind: "satellite",
    title: "Satellite hop",
    about: "How far a satellite is and how long one hop up and down takes.",
    inputs: &[
        Input {
            name: "altitude-km",
            value_name: "H",
            label: "Orbit altitude",
            takes: Takes::Number(satellite::ALTITUDE),
            need: Need::Required,
            example: "35786",
        },
        Input {
            name: "elevation-deg",
            value_name: "E",
            label: "Elevation",
            takes: Takes::Number(satellite::ELEVATION),
            need: Need::Required,
            example: "40",
        },
    ],
    outputs: &[
        Output::number("slant_km", "Distance", "km", 1),
        Output::number("hop_ms", "One hop", "ms", 2),
    ],
    source: "Plane geometry; Earth radius of WGS 84, speed of light by definition of the metre.",
    caution: Some(
        "Processing in the satellite and links between satellites come on top. A mobile that \
         reaches another mobile through a ground station takes two hops.",
    ),
    run: |given| {
        let (altitude, elevation) = (given.number("altitude-km")?, given.number("elevation-deg")?);
        let refused = |refused| Refusal::of("altitude-km", refused);
        Ok(Answers::numbers([
            satellite::slant_km(altitude, elevation).map_err(refused)?,
            satellite::hop_ms(altitude, elevation).map_err(refused)?,
        ]))
    },
};

fn rated(given: &Given) -> Result<Answers, Refusal> {
    let (delay, ie) = (given.number("delay-ms")?, given.number("ie")?);
    let (loss, bpl) = (given.number("loss-percent")?, given.number("bpl")?);
    let r = rating::rating(delay, ie, loss, bpl, Sensitivity::Default)
        .map_err(|refused| Refusal::of("delay-ms", refused))?;
    let mut answers = Answers::numbers([r, rating::mos(r)]);
    let band = rating::quality(r).word();
    answers.remarks.push(format!("Band of quality: {band}."));
    Ok(answers)
}
