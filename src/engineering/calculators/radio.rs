//! Calculators of radio: losses, antennas on one site, intermodulation, exposure.

use super::{
    Answers, Calculator, Form, Given, Input, Need, Output, Product, Refusal, Takes, Value,
};
use crate::engineering::rf::exposure::{self, Reflection};
use crate::engineering::rf::intermod::{self, Receiver, Sender};
use crate::engineering::rf::isolation::{self, Bound};
use crate::engineering::rf::path_loss;
use crate::engineering::{OutOfRange, Range};

/// Bandwidths of one signal; wider ones are not of land mobile radio.
const BANDWIDTH: Range = Range::new("bandwidth", 0.0, 200.0, "kHz");
/// Most frequencies of a list.
const MOST: usize = 200;

const MHZ: Input = Input {
    name: "mhz",
    value_name: "F",
    label: "Frequency",
    takes: Takes::Number(path_loss::MHZ),
    need: Need::Required,
    example: "155.7525",
};

/// Words for the ground, in the order of [`REFLECTIONS`].
const REFLECTION_WORDS: [&str; 3] = ["free", "typical", "full"];
const REFLECTIONS: [Reflection; 3] = [Reflection::Free, Reflection::Typical, Reflection::Full];

/// Loss in free space.
pub(super) const FREE_SPACE_LOSS: Calculator = Calculator {
    kind: "free-space-loss",
    title: "Free-space loss",
    about: "How much a signal loses between two isotropic antennas in free space.",
    inputs: &[
        MHZ,
        Input {
            name: "km",
            value_name: "D",
            label: "Distance",
            takes: Takes::Number(path_loss::KM),
            need: Need::Required,
            example: "10",
        },
    ],
    outputs: &[Output::number("loss_db", "Loss", "dB", 2)],
    source: "Recommendation ITU-R P.525-5 (11/2024), free-space basic transmission loss.",
    caution: Some("On the ground this is a floor: hills, houses and the ground itself add loss."),
    run: |given| {
        let loss = path_loss::free_space(given.number("mhz")?, given.number("km")?);
        Ok(Answers::numbers([loss
            .map_err(|refused| Refusal::of("km", refused))?
            .0]))
    },
};

/// Isolation between two antennas.
pub(super) const ISOLATION: Calculator = Calculator {
    kind: "isolation",
    title: "Antenna isolation",
    about: "How much of one antenna's signal is kept from another antenna on the same site.",
    inputs: &[
        MHZ,
        Input {
            name: "horizontal-m",
            value_name: "X",
            label: "Beside each other",
            takes: Takes::Number(isolation::SHARE),
            need: Need::Required,
            example: "3",
        },
        Input {
            name: "vertical-m",
            value_name: "Y",
            label: "Above each other",
            takes: Takes::Number(isolation::SHARE),
            need: Need::Required,
            example: "0",
        },
        Input {
            name: "gain-dbi",
            value_name: "G1 G2",
            label: "Antenna gains",
            takes: Takes::Numbers(isolation::GAIN, 2, 2),
            need: Need::Default("0 0"),
            example: "",
        },
    ],
    outputs: &[Output::number("isolation_db", "Isolation", "dB", 2)],
    source: "Site pages of a published repeater manual; the same formulas in Report ITU-R M.2244, \
             from memory.",
    caution: Some(
        "Masts, feeders and vehicles between or beside the antennas change it by many decibels \
         either way; a measured figure is better.",
    ),
    run: isolated,
};

/// Intermodulation products on receivers.
pub(super) const INTERMOD: Calculator = Calculator {
    kind: "intermod",
    title: "Intermodulation",
    about: "Which products of transmitters on the air together fall on receivers.",
    inputs: &[
        Input {
            name: "tx",
            value_name: "MHZ ...",
            label: "Transmitters",
            takes: Takes::Numbers(path_loss::MHZ, 2, MOST),
            need: Need::Required,
            example: "453.2125 453.4625",
        },
        Input {
            name: "rx",
            value_name: "MHZ ...",
            label: "Receivers",
            takes: Takes::Numbers(path_loss::MHZ, 1, MOST),
            need: Need::Required,
            example: "453.7125",
        },
        Input {
            name: "bandwidth-khz",
            value_name: "B",
            label: "Bandwidth",
            takes: Takes::Number(BANDWIDTH),
            need: Need::Default("12.5"),
            example: "",
        },
    ],
    outputs: &[Output {
        key: "hits",
        label: "Products on receivers",
        form: Form::Products,
    }],
    source: "Recommendation ITU-R SM.1134-1 (2007), third order; fifth order and the width of a \
             product textbook, from memory.",
    caution: Some(
        "It says where products fall, not how strong they are. Orders above five and fifth orders \
         of three signals are left out.",
    ),
    run: products,
};

/// Distances from an antenna.
pub(super) const EXPOSURE: Calculator = Calculator {
    kind: "exposure",
    title: "Exposure distance",
    about: "From how far in front of a transmitting antenna the exposure limits are kept.",
    inputs: &[
        Input {
            name: "watts",
            value_name: "P",
            label: "Power at the antenna",
            takes: Takes::Number(exposure::POWER),
            need: Need::Required,
            example: "50",
        },
        Input {
            name: "gain-dbi",
            value_name: "G",
            label: "Antenna gain",
            takes: Takes::Number(exposure::GAIN),
            need: Need::Required,
            example: "2.15",
        },
        Input {
            takes: Takes::Number(exposure::MHZ),
            ..MHZ
        },
        Input {
            name: "duty",
            value_name: "D",
            label: "Transmit duty",
            takes: Takes::Number(exposure::DUTY),
            need: Need::Default("1"),
            example: "",
        },
        Input {
            name: "reflection",
            value_name: "GROUND",
            label: "Ground reflection",
            takes: Takes::Choice(&REFLECTION_WORDS),
            need: Need::Default("typical"),
            example: "",
        },
    ],
    outputs: &[
        Output::number("occupational_m", "Trained workers", "m", 3),
        Output::number("public_m", "The public", "m", 3),
    ],
    source: "47 CFR 1.1310, table of limits; FCC OET Bulletin 65, edition 97-01, formulas from memory.",
    caution: Some(
        "An estimate for the main beam in the far field, no survey. Nearer than a sixth of a \
         wavelength and for radios worn on the body it does not hold.",
    ),
    run: distances,
};

fn isolated(given: &Given) -> Result<Answers, Refusal> {
    let (dh, dv) = (given.number("horizontal-m")?, given.number("vertical-m")?);
    let gains = given.numbers("gain-dbi");
    let [a, b] = *gains else {
        return Err(Refusal::missing("gain-dbi"));
    };
    let found = isolation::between(given.number("mhz")?, dh, dv, a, b);
    let found = found.map_err(|refused| Refusal {
        input: "horizontal-m",
        found: dh.to_string(),
        allowed: format!("with --vertical-m it must make {}", refused.range),
    })?;
    let mut answers = Answers::numbers([found.loss.0]);
    if found.near_field {
        let text = "The antennas are less than a wavelength apart: not to be trusted.";
        answers.remarks.push(text.to_owned());
    }
    match found.bound {
        Some(Bound::Cap) => answers.remarks.push(format!(
            "More than {} dB by the vertical formula is not to be trusted; it is held there.",
            isolation::VERTICAL_CAP.0
        )),
        Some(Bound::Floor) => {
            let text = "The formula gave less than 0 dB, which makes no sense; it is held at 0.";
            answers.remarks.push(text.to_owned());
        }
        None => {}
    }
    Ok(answers)
}

fn products(given: &Given) -> Result<Answers, Refusal> {
    let hertz = |mhz: &f64| (mhz * 1e6).round() as u64;
    let mhz = |hz: u64| hz as f64 / 1e6;
    let width_hz = (given.number("bandwidth-khz")? * 1e3).round() as u32;
    let sent: Vec<Sender> = (given.numbers("tx").iter())
        .map(|mhz| Sender { hz: hertz(mhz) })
        .collect();
    let tuned: Vec<Receiver> = (given.numbers("rx").iter())
        .map(|mhz| Receiver {
            hz: hertz(mhz),
            width_hz,
        })
        .collect();
    let hits = intermod::search(&sent, &tuned, width_hz);
    let products = hits.iter().map(|hit| {
        let signals = hit.terms.iter();
        let signals = signals.filter_map(|(n, index)| sent.get(*index).map(|s| (*n, mhz(s.hz))));
        Product {
            order: hit.order,
            signals: signals.collect(),
            product_mhz: mhz(hit.product_hz),
            rx_mhz: tuned.get(hit.receiver).map_or(0.0, |r| mhz(r.hz)),
            offset_khz: hit.offset_hz as f64 / 1e3,
        }
    });
    Ok(Answers {
        values: vec![Value::Products(products.collect())],
        remarks: Vec::new(),
    })
}

fn distances(given: &Given) -> Result<Answers, Refusal> {
    let (watts, gain) = (given.number("watts")?, given.number("gain-dbi")?);
    let (mhz, duty) = (given.number("mhz")?, given.number("duty")?);
    let word = given.word("reflection")?;
    let pairs = REFLECTION_WORDS.iter().zip(REFLECTIONS);
    let reflection = pairs.into_iter().find(|(name, _)| **name == word);
    let (_, reflection) = reflection.ok_or_else(|| Refusal::missing("reflection"))?;
    let to = |limit: Result<f64, OutOfRange>| {
        limit
            .and_then(|limit| exposure::distance_m(watts, gain, duty, limit, reflection))
            .map_err(|refused| Refusal::of("mhz", refused))
    };
    Ok(Answers::numbers([
        to(exposure::occupational_mw_cm2(mhz))?,
        to(exposure::public_mw_cm2(mhz))?,
    ]))
}
