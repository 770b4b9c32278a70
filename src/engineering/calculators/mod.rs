//! Calculators: the formulas that are asked for one number in the field, as one table.
//!
//! The verb `calc` and the window's calculators read this table and hold no list of their own: what
//! an input is called, which values it takes, what comes out and how it is shown. Nothing is computed
//! here: a calculator hands its inputs to the formula's own file and puts the refusal beside the input
//! that caused it.

mod answer;
mod input;
mod power;
mod radio;
mod timing;
mod traffic;

pub use answer::{Answers, Form, Output, Product, Value};
pub use input::{Given, Input, Need, Read, Refusal, Takes, words};

/// A formula with everything needed to ask it.
#[derive(Debug, Clone, Copy)]
pub struct Calculator {
    /// Its word on the command line.
    pub kind: &'static str,
    /// Its name on screen.
    pub title: &'static str,
    /// What it answers, in one sentence.
    pub about: &'static str,
    /// What it is given, in order.
    pub inputs: &'static [Input],
    /// What it answers, in order.
    pub outputs: &'static [Output],
    /// Where the formula comes from.
    pub source: &'static str,
    /// What the answer must not be taken for.
    pub caution: Option<&'static str>,
    run: fn(&Given) -> Result<Answers, Refusal>,
}

/// Every calculator, in the order of lists.
pub static ALL: [Calculator; 10] = [
    traffic::ERLANG_B,
    traffic::ERLANG_C,
    traffic::FINITE_SOURCE,
    radio::FREE_SPACE_LOSS,
    radio::ISOLATION,
    radio::INTERMOD,
    timing::RATING,
    power::RUNTIME,
    radio::EXPOSURE,
    timing::SATELLITE,
];

/// Finds a calculator by its word.
pub fn find(kind: &str) -> Option<&'static Calculator> {
    ALL.iter().find(|calculator| calculator.kind == kind)
}

impl Calculator {
    /// Finds an input by its name.
    pub fn input(&self, name: &str) -> Option<&'static Input> {
        self.inputs.iter().find(|input| input.name == name)
    }

    /// Returns the answers to what was typed; nothing typed for an input takes its default.
    ///
    /// # Errors
    ///
    /// Every input that cannot be, in order; or the one that the formula refuses.
    pub fn calculate(
        &self,
        typed: impl Fn(&Input) -> Vec<String>,
    ) -> Result<Answers, Vec<Refusal>> {
        let mut given = Given::default();
        let mut refusals = Vec::new();
        for input in self.inputs {
            match input.read(&typed(input)) {
                Ok(Some(read)) => given.put(input.name, read),
                Ok(None) => {}
                Err(refusal) => refusals.push(refusal),
            }
        }
        if refusals.is_empty() {
            (self.run)(&given).map_err(|refusal| vec![refusal])
        } else {
            Err(refusals)
        }
    }

    /// Returns the example as a command line, without what has a default.
    pub fn example(&self) -> String {
        let mut line = format!("crosspatch calc {}", self.kind);
        for input in self.inputs.iter().filter(|i| !i.example.is_empty()) {
            line = format!("{line} --{} {}", input.name, input.example);
        }
        line
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    fn example(input: &Input) -> Vec<String> {
        words(input.example)
    }

    /// Numbers must be numbers, and shares at most 1.
    fn sound(calculator: &Calculator, answers: &Answers) {
        let kind = calculator.kind;
        assert_eq!(answers.values.len(), calculator.outputs.len(), "{kind}");
        for (output, value) in calculator.outputs.iter().zip(&answers.values) {
            match (output.form, value) {
                (Form::Number { unit, .. }, Value::Number(number)) => {
                    assert!(number.is_finite(), "{kind}, {}: {number}", output.key);
                    let is_share = unit == "%";
                    assert!(!is_share || (0.0..=1.0).contains(number), "{kind}");
                }
                (Form::Number { .. }, Value::Endless) | (Form::Products, Value::Products(_)) => {}
                (form, value) => panic!("{kind}, {}: {value:?} in {form:?}", output.key),
            }
            assert!(!output.shown(value).is_empty(), "{kind}");
        }
    }

    #[test]
    fn every_example_runs() {
        for calculator in &ALL {
            let answers = calculator.calculate(example);
            sound(calculator, &answers.expect(calculator.kind));
        }
    }

    #[test]
    fn words_are_unique_and_every_line_is_there() {
        let mut kinds = BTreeSet::new();
        let mut titles = BTreeSet::new();
        for calculator in &ALL {
            let kind = calculator.kind;
            assert!(kinds.insert(kind), "{kind} twice");
            assert!(titles.insert(calculator.title), "{kind}: title twice");
            assert_eq!(find(kind).map(|c| c.title), Some(calculator.title));
            let lower = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
            assert!(kind.chars().all(lower), "{kind}");
            for text in [Some(calculator.about), Some(calculator.source)]
                .into_iter()
                .chain([calculator.caution])
                .flatten()
            {
                assert!(text.ends_with('.') && text.len() > 20, "{kind}: {text}");
            }
            let mut names = BTreeSet::new();
            let mut labels = BTreeSet::new();
            for input in calculator.inputs {
                assert!(names.insert(input.name), "{kind}: {} twice", input.name);
                assert!(input.name.chars().all(lower), "{kind}: {}", input.name);
                assert!(labels.insert(input.label), "{kind}: {} twice", input.label);
                assert!(!input.value_name.is_empty(), "{kind}: {}", input.name);
                let is_required = input.need == Need::Required;
                assert!(!is_required || !input.example.is_empty(), "{kind}");
            }
            let keys: BTreeSet<_> = calculator.outputs.iter().map(|o| o.key).collect();
            assert_eq!(keys.len(), calculator.outputs.len(), "{kind}");
            let begins = format!("crosspatch calc {kind} --");
            assert!(calculator.example().starts_with(&begins), "{kind}");
        }
        assert!(find("erlang").is_none());
    }

    #[test]
    fn required_inputs_are_asked_for_by_name() {
        for calculator in &ALL {
            let refusals = calculator.calculate(|_| Vec::new()).expect_err("no input");
            let missing: Vec<_> = refusals.iter().map(|r| r.input).collect();
            let required = calculator.inputs.iter();
            let required = required.filter(|i| i.need == Need::Required);
            let required: Vec<_> = required.map(|i| i.name).collect();
            assert_eq!(missing, required, "{}", calculator.kind);
            assert!(refusals.iter().all(|r| r.found == "missing"));
        }
    }

    #[test]
    fn the_ends_of_every_range_are_respected() {
        let mut ends = 0;
        for calculator in &ALL {
            for input in calculator.inputs {
                let Some((range, least)) = input.range() else {
                    continue;
                };
                let with = |number: f64| {
                    calculator.calculate(|other| {
                        if other.name == input.name {
                            vec![number.to_string(); least]
                        } else {
                            example(other)
                        }
                    })
                };
                let name = format!("{} --{}", calculator.kind, input.name);
                for end in [range.low, range.high] {
                    ends += 1;
                    let read = input.read(&vec![end.to_string(); least]);
                    assert!(matches!(read, Ok(Some(_))), "{name} {end}: {read:?}");
                    match with(end) {
                        Ok(answers) => sound(calculator, &answers),
                        // The formula may allow less beside the other inputs, and says so.
                        Err(refusals) => assert!(
                            refusals.iter().all(|r| calculator.input(r.input).is_some()),
                            "{name} {end}"
                        ),
                    }
                }
                let beyond = range.high.abs().max(1.0);
                for bad in [
                    range.low - beyond,
                    range.high + beyond,
                    f64::NAN,
                    f64::INFINITY,
                    f64::NEG_INFINITY,
                ] {
                    let refusals = with(bad).expect_err(&name);
                    let [refusal] = refusals.as_slice() else {
                        panic!("{name} {bad}: {refusals:?}");
                    };
                    assert_eq!(refusal.input, input.name, "{name} {bad}");
                    let allowed = range.to_string();
                    assert!(refusal.allowed.contains(&allowed), "{name}: {refusal}");
                    assert_eq!(refusal.found, bad.to_string(), "{name}");
                }
            }
        }
        assert!(ends >= 50, "only {ends} ends were tried");
    }

    #[test]
    fn choices_are_all_understood() {
        let mut tried = 0;
        for calculator in &ALL {
            for input in calculator.inputs {
                let Takes::Choice(choices) = input.takes else {
                    continue;
                };
                for choice in choices {
                    tried += 1;
                    let answers = calculator.calculate(|other| match other.name {
                        name if name == input.name => vec![(*choice).to_owned()],
                        // Not all chemistries have a usual capacity.
                        "capacity-mah" => words("2000"),
                        _ => example(other),
                    });
                    sound(calculator, &answers.expect(choice));
                }
                let refused = input.read(&words("no-such-word")).expect_err("no choice");
                assert!(choices.iter().all(|c| refused.allowed.contains(c)));
            }
        }
        assert_eq!(tried, 9);
    }
}
