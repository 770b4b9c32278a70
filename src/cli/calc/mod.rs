//! `calc`: one formula, one answer, with its source and what it must not be taken for.
//!
//! The calculators are the table of `engineering`; `args` makes the command line of it. This file
//! prints.

mod args;

use std::io::{self, Write};

use serde_json::{Map, Value as Json, json};

use crate::engineering::calculators::{self, Answers, Calculator, Need, Value};
use crate::format::did_you_mean;

use super::error::{Error, Kind};
use super::show::{BOLD, DIM, clean, json_lines, labelled};
use super::{Outcome, done};

pub(super) use args::{Calc, joined};

/// Answers one calculator, or lists all of them.
pub(super) fn run(args: &Calc, out: &mut dyn Write) -> Result<Outcome, Error> {
    let Some(kind) = args.kind.as_deref() else {
        let written = if args.json { list_json(out) } else { list(out) };
        return done(Outcome::Clean, written);
    };
    let calculator = calculators::find(kind).ok_or_else(|| unknown(kind))?;
    let answers = calculator
        .calculate(|input| args.typed(input.name).to_vec())
        .map_err(|refusals| {
            // One line; the others come when this one is right.
            let said = refusals.first().map(ToString::to_string);
            Error::new(Kind::Usage, said.unwrap_or_default())
        })?;
    let written = if args.json {
        json_lines(out, &answers_json(calculator, &answers))
    } else {
        text(out, calculator, args, &answers)
    };
    done(Outcome::Clean, written)
}

fn unknown(kind: &str) -> Error {
    let kinds = || calculators::ALL.iter().map(|c| c.kind);
    let part = kind.to_lowercase();
    let near = did_you_mean(kind, kinds()).or_else(|| {
        let found = kinds().find(|kind| part.len() > 2 && kind.contains(&part))?;
        Some(format!("did you mean '{found}'?"))
    });
    Error::new(Kind::Usage, format!("there is no calculator '{kind}'"))
        .maybe_hint(near)
        .hint("`crosspatch calc` lists all calculators")
}

fn list(out: &mut dyn Write) -> io::Result<()> {
    for calculator in &calculators::ALL {
        let Calculator { kind, about, .. } = calculator;
        writeln!(out, "{BOLD}{kind}{BOLD:#}: {about}")?;
        writeln!(out, "  {DIM}{}{DIM:#}", calculator.example())?;
    }
    Ok(())
}

fn list_json(out: &mut dyn Write) -> io::Result<()> {
    let all: Vec<_> = calculators::ALL
        .iter()
        .map(|c| {
            json!({
                "kind": c.kind,
                "title": c.title,
                "about": c.about,
                "example": c.example(),
            })
        })
        .collect();
    json_lines(out, &json!({"calculators": all}))
}

fn text(
    out: &mut dyn Write,
    calculator: &Calculator,
    args: &Calc,
    answers: &Answers,
) -> io::Result<()> {
    let pairs = || calculator.outputs.iter().zip(&answers.values);
    let width = pairs().map(|(o, _)| o.label.len()).max().unwrap_or(0);
    for (output, value) in pairs() {
        let shown = output.shown(value);
        writeln!(out, "{:<width$}  {BOLD}{shown}{BOLD:#}", output.label)?;
        if let Value::Products(products) = value {
            for product in products {
                writeln!(out, "  {}", product.words())?;
            }
        }
    }
    for remark in &answers.remarks {
        labelled(out, 0, "note", remark)?;
    }
    labelled(out, 0, "given", &given(calculator, args))?;
    labelled(out, 0, "source", calculator.source)?;
    labelled(out, 0, "caution", calculator.caution.unwrap_or_default())
}

/// Lists what the answer was computed from, defaults included.
fn given(calculator: &Calculator, args: &Calc) -> String {
    let inputs = calculator.inputs.iter().map(|input| {
        let typed = args.typed(input.name).join(" ");
        let (value, unit) = match input.need {
            Need::Usual(words) if typed.is_empty() => (words.to_owned(), ""),
            Need::Default(text) if typed.is_empty() => (text.to_owned(), input.unit()),
            _ => (typed, input.unit()),
        };
        let space = if unit.is_empty() { "" } else { " " };
        format!("{} {value}{space}{unit}", input.label.to_lowercase())
    });
    clean(&inputs.collect::<Vec<_>>().join(", "))
}

fn answers_json(calculator: &Calculator, answers: &Answers) -> Json {
    let pairs = calculator.outputs.iter().zip(&answers.values);
    let fields = pairs.map(|(output, value)| {
        let value = match value {
            Value::Number(number) => json!(number),
            Value::Endless => Json::Null,
            Value::Products(products) => products
                .iter()
                .map(|product| {
                    let signals: Vec<_> = product
                        .signals
                        .iter()
                        .map(|(coefficient, mhz)| json!({"coefficient": coefficient, "mhz": mhz}))
                        .collect();
                    json!({
                        "order": product.order,
                        "signals": signals,
                        "product_mhz": product.product_mhz,
                        "rx_mhz": product.rx_mhz,
                        "offset_khz": product.offset_khz,
                    })
                })
                .collect(),
        };
        (output.key.to_owned(), value)
    });
    Json::Object(fields.collect::<Map<_, _>>())
}
