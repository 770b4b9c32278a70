//! Calculators of power: how long a set of cells lasts.

use super::{Answers, Calculator, Given, Input, Need, Output, Refusal, Takes};
use crate::engineering::power::chemistry::{CELLS, TEMPERATURE};
use crate::engineering::power::runtime::{self, CAPACITY, DRAIN, Pack};
use crate::engineering::{OutOfRange, Range};
use crate::model::Chemistry;

/// Words for the chemistries, in the order of [`Chemistry::ALL`].
const CHEMISTRY_WORDS: [&str; 6] = [
    "alkaline",
    "nimh",
    "lithium-ion",
    "lithium-iron-phosphate",
    "lead-acid",
    "lithium-primary",
];

/// Cut-offs of a set, up to the most cells, all full; the formula narrows it to the set at hand.
const SET_CUTOFF: Range = Range::new("cut-off of the set", 0.0, 4200.0, "V");

/// Hours of a set of cells.
pub(super) const RUNTIME: Calculator = Calculator {
    kind: "runtime",
    title: "Battery run time",
    about: "How many hours a set of cells in series lasts at a steady drain.",
    inputs: &[
        Input {
            name: "chemistry",
            value_name: "C",
            label: "Chemistry",
            takes: Takes::Choice(&CHEMISTRY_WORDS),
            need: Need::Required,
            example: "alkaline",
        },
        Input {
            name: "cells",
            value_name: "N",
            label: "Cells in series",
            takes: Takes::Whole(CELLS),
            need: Need::Required,
            example: "8",
        },
        Input {
            name: "drain-ma",
            value_name: "I",
            label: "Drain",
            takes: Takes::Number(DRAIN),
            need: Need::Required,
            example: "85",
        },
        Input {
            name: "celsius",
            value_name: "T",
            label: "Temperature",
            takes: Takes::Number(Range {
                unit: "°C",
                ..TEMPERATURE
            }),
            need: Need::Default("20"),
            example: "",
        },
        Input {
            name: "capacity-mah",
            value_name: "C",
            label: "Capacity of a cell",
            takes: Takes::Number(CAPACITY),
            need: Need::Usual("usual for AA cells"),
            example: "",
        },
        Input {
            name: "end-v",
            value_name: "V",
            label: "Cut-off of the set",
            takes: Takes::Number(SET_CUTOFF),
            need: Need::Usual("end of the cells"),
            example: "",
        },
    ],
    outputs: &[Output::number("hours", "Run time", "h", 1)],
    source: "Alkaline: minimum durations of IEC 60086-2, from memory, times 1.7 for good cells, \
             common practice, no source; other chemistries: textbook and common practice.",
    caution: Some(
        "Old or mixed cells, a weakest cell and bursts of drain shorten it. Round down and plan the \
         change early.",
    ),
    run: lasts,
};

fn lasts(given: &Given) -> Result<Answers, Refusal> {
    let word = given.word("chemistry")?;
    let mut pairs = CHEMISTRY_WORDS.iter().zip(Chemistry::ALL);
    let chemistry = pairs.find(|(name, _)| **name == word);
    let (_, chemistry) = chemistry.ok_or_else(|| Refusal::missing("chemistry"))?;
    let capacity_mah = given.maybe("capacity-mah");
    if capacity_mah.is_none() && chemistry.aa_capacity_mah().is_none() {
        return Err(Refusal {
            allowed: format!(
                "no capacity is usual for {chemistry} cells, so it must be {CAPACITY}"
            ),
            ..Refusal::missing("capacity-mah")
        });
    }
    let pack = Pack {
        chemistry,
        cells: given.whole("cells")?,
        capacity_mah,
    };
    let cutoff = given
        .maybe("end-v")
        .map(|volts| pack.cutoff_per_cell(volts));
    let cutoff = cutoff.transpose();
    let cutoff = cutoff.map_err(|refused| blamed(given, pack, refused))?;
    let (drain, celsius) = (given.number("drain-ma")?, given.number("celsius")?);
    let hours = runtime::hours(pack, drain, celsius, cutoff);
    Ok(Answers::numbers([
        hours.map_err(|refused| blamed(given, pack, refused))?
    ]))
}

/// Puts a refusal of the formula beside the input whose quantity it names.
fn blamed(given: &Given, pack: Pack, refused: OutOfRange) -> Refusal {
    let OutOfRange { range, found } = refused;
    let cells = match range.quantity {
        "cut-off" => f64::from(pack.cells),
        "cut-off of the set" => 1.0,
        "temperature" => return Refusal::of("celsius", refused),
        "capacity" | "rated capacity" => return Refusal::of("capacity-mah", refused),
        _ => return Refusal::of("drain-ma", refused),
    };
    // What is said of a cell is said of the set, for which it was typed.
    let millivolts = |volts: f64| (volts * 1e3).round() / 1e3;
    let range = Range {
        low: millivolts(range.low * cells),
        high: millivolts(range.high * cells),
        ..SET_CUTOFF
    };
    let found = given.maybe("end-v").unwrap_or(found);
    Refusal::of("end-v", OutOfRange { range, found })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engineering::calculators::words;

    fn with(typed: &[(&str, &str)]) -> Result<Answers, String> {
        let answers = RUNTIME.calculate(|input| {
            let typed = typed.iter().find(|(name, _)| *name == input.name);
            words(typed.map_or(input.example, |(_, text)| text))
        });
        answers.map_err(|refusals| refusals[0].to_string())
    }

    #[test]
    fn every_chemistry_has_its_word() {
        for (word, chemistry) in CHEMISTRY_WORDS.iter().zip(Chemistry::ALL) {
            let pack = Pack {
                chemistry,
                cells: 8,
                capacity_mah: Some(2000.0),
            };
            let hours = runtime::hours(pack, 85.0, 20.0, None).unwrap();
            let ours = with(&[("chemistry", word), ("capacity-mah", "2000")]);
            assert_eq!(ours, Ok(Answers::numbers([hours])), "{word}");
        }
        let names = Chemistry::ALL.map(Chemistry::words);
        for (word, name) in CHEMISTRY_WORDS.iter().zip(names) {
            let first = word.split('-').next().unwrap_or_default();
            let is_short = *word == "nimh" && name == "nickel-metal hydride";
            assert!(is_short || name.contains(first), "{word} for {name}");
        }
    }

    #[test]
    fn what_the_formula_refuses_stands_beside_its_input() {
        for (typed, said) in [
            (
                vec![("drain-ma", "2000")],
                "--drain-ma is 2000; it must be 1 to 1000 mA",
            ),
            (vec![("end-v", "13")], "--end-v is 13; it must be 0 to 12 V"),
            (
                vec![("end-v", "12.5")],
                "--end-v is 12.5; it must be 0 to 12 V",
            ),
            (
                vec![("cells", "7"), ("end-v", "13")],
                "--end-v is 13; it must be 0 to 10.5 V",
            ),
            (
                vec![("chemistry", "lithium-ion")],
                "--capacity-mah is missing; no capacity is usual for lithium-ion cells, so it must \
                 be 1 to 1000000 mAh",
            ),
        ] {
            assert_eq!(with(&typed), Err(said.to_owned()));
        }
    }
}
