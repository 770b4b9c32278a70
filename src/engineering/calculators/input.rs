//! What a calculator is given: names, ranges, defaults, and the reading of what was typed.

use std::collections::BTreeMap;
use std::fmt;

use crate::engineering::{OutOfRange, Range};

/// One thing a calculator is given.
#[derive(Debug, Clone, Copy)]
pub struct Input {
    /// Its name on the command line, without the hyphens.
    pub name: &'static str,
    /// What stands for its values in the help of the command line.
    pub value_name: &'static str,
    /// Its name on screen.
    pub label: &'static str,
    /// The values it takes.
    pub takes: Takes,
    /// Whether it must be given.
    pub need: Need,
    /// An example as typed; empty where the default is example enough.
    pub example: &'static str,
}

/// The values an input takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Takes {
    /// A number.
    Number(Range),
    /// A number without a fraction.
    Whole(Range),
    /// Several numbers, at least and at most so many.
    Numbers(Range, usize, usize),
    /// One of these words.
    Choice(&'static [&'static str]),
}

/// Whether an input must be given.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Need {
    /// It must.
    Required,
    /// Otherwise it is this, as typed.
    Default(&'static str),
    /// Otherwise the formula takes what is usual, in these words.
    Usual(&'static str),
}

/// What was typed for an input, understood.
#[derive(Debug, Clone, PartialEq)]
pub enum Read {
    /// One number or several.
    Numbers(Vec<f64>),
    /// A word of its choice.
    Word(&'static str),
}

/// Why there is no answer: an input and what it may be.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refusal {
    /// Name of the input.
    pub input: &'static str,
    /// What was typed, or "missing".
    pub found: String,
    /// What is allowed, as "it must be 0 to 90 degrees".
    pub allowed: String,
}

/// Everything a calculator was given, by names of inputs.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Given(BTreeMap<&'static str, Read>);

impl Input {
    /// Returns the unit, which may be empty.
    pub fn unit(&self) -> &'static str {
        self.range().map_or("", |(range, _)| range.unit)
    }

    /// Returns the range of each number and the least count of numbers, where it takes numbers.
    pub fn range(&self) -> Option<(Range, usize)> {
        match self.takes {
            Takes::Number(range) | Takes::Whole(range) => Some((range, 1)),
            Takes::Numbers(range, least, _) => Some((range, least)),
            Takes::Choice(_) => None,
        }
    }

    /// Tells whether it takes several values.
    pub fn is_list(&self) -> bool {
        matches!(self.takes, Takes::Numbers(..))
    }

    /// Returns what is allowed, as "a whole number, 1 to 1000".
    pub fn allowed(&self) -> String {
        match self.takes {
            Takes::Number(range) => range.to_string(),
            Takes::Whole(range) => format!("a whole number, {range}"),
            Takes::Numbers(range, least, most) if least == most => {
                format!("{least} numbers, each {range}")
            }
            Takes::Numbers(range, least, most) => {
                format!("{least} to {most} numbers, each {range}")
            }
            Takes::Choice(choices) => choices.join(", "),
        }
    }

    /// Reads what was typed, word by word; `None` where nothing was and nothing is needed.
    ///
    /// # Errors
    ///
    /// What was typed is no value of this input, or nothing was typed and something is needed.
    pub fn read(&self, typed: &[String]) -> Result<Option<Read>, Refusal> {
        if typed.is_empty() {
            return match self.need {
                Need::Required => Err(self.refuse("missing".to_owned())),
                Need::Default(text) => self.understand(&words(text)).map(Some),
                Need::Usual(_) => Ok(None),
            };
        }
        self.understand(typed).map(Some)
    }

    fn understand(&self, typed: &[String]) -> Result<Read, Refusal> {
        let all = || typed.join(" ");
        let (range, least, most) = match self.takes {
            Takes::Choice(choices) => {
                let [word] = typed else {
                    return Err(self.refuse(quoted(&all())));
                };
                let found = choices.iter().find(|choice| **choice == word.as_str());
                return found
                    .map(|choice| Read::Word(choice))
                    .ok_or_else(|| self.refuse(quoted(word)));
            }
            Takes::Number(range) | Takes::Whole(range) => (range, 1, 1),
            Takes::Numbers(range, least, most) => (range, least, most),
        };
        let mut numbers = Vec::new();
        for word in typed {
            let Ok(number) = word.parse::<f64>() else {
                return Err(self.refuse(quoted(word)));
            };
            let is_whole = !matches!(self.takes, Takes::Whole(_)) || number.fract() == 0.0;
            if range.check(number).is_err() || !is_whole {
                return Err(self.refuse(word.clone()));
            }
            numbers.push(number);
        }
        if (least..=most).contains(&numbers.len()) {
            Ok(Read::Numbers(numbers))
        } else if self.is_list() {
            let plural = if numbers.len() == 1 { "" } else { "s" };
            Err(self.refuse(format!("{} number{plural}", numbers.len())))
        } else {
            Err(self.refuse(quoted(&all())))
        }
    }

    fn refuse(&self, found: String) -> Refusal {
        let must = match self.takes {
            Takes::Choice(_) => "it must be one of",
            _ => "it must be",
        };
        Refusal {
            input: self.name,
            found,
            allowed: format!("{must} {}", self.allowed()),
        }
    }
}

impl Refusal {
    /// Puts the refusal of a formula beside an input.
    pub(super) fn of(input: &'static str, refused: OutOfRange) -> Self {
        Self {
            input,
            found: refused.found.to_string(),
            allowed: format!("it must be {}", refused.range),
        }
    }

    /// Says that an input is missing.
    pub(super) fn missing(input: &'static str) -> Self {
        Self {
            input,
            found: "missing".to_owned(),
            allowed: "it must be given".to_owned(),
        }
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self {
            input,
            found,
            allowed,
        } = self;
        write!(f, "--{input} is {found}; {allowed}")
    }
}

impl Given {
    /// Adds what was read for an input.
    pub(super) fn put(&mut self, name: &'static str, read: Read) {
        self.0.insert(name, read);
    }

    /// Returns a number that must be given.
    pub(super) fn number(&self, name: &'static str) -> Result<f64, Refusal> {
        self.maybe(name).ok_or_else(|| Refusal::missing(name))
    }

    /// Returns a number that must be given and was read as a whole one.
    pub(super) fn whole(&self, name: &'static str) -> Result<u32, Refusal> {
        // Inputs that take whole numbers have ranges within those of the type.
        self.number(name).map(|number| number as u32)
    }

    /// Returns a number, if it was given.
    pub(super) fn maybe(&self, name: &str) -> Option<f64> {
        self.numbers(name).first().copied()
    }

    /// Returns all numbers of an input.
    pub(super) fn numbers(&self, name: &str) -> &[f64] {
        match self.0.get(name) {
            Some(Read::Numbers(numbers)) => numbers,
            _ => &[],
        }
    }

    /// Returns a word that must be given.
    pub(super) fn word(&self, name: &'static str) -> Result<&'static str, Refusal> {
        match self.0.get(name) {
            Some(Read::Word(word)) => Ok(word),
            _ => Err(Refusal::missing(name)),
        }
    }
}

/// Cuts a text into the words of a list, at spaces, semicolons and commas.
pub fn words(text: &str) -> Vec<String> {
    text.split([' ', '\t', '\n', ';', ','])
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect()
}

fn quoted(text: &str) -> String {
    format!("'{text}'")
}

#[cfg(test)]
mod tests {
    use super::*;

    const SPAN: Range = Range::new("span", -2.0, 10.0, "m");

    fn input(takes: Takes, need: Need) -> Input {
        Input {
            name: "span",
            value_name: "M",
            label: "Span",
            takes,
            need,
            example: "1",
        }
    }

    fn refused(takes: Takes, text: &str) -> String {
        let refusal = input(takes, Need::Required).read(&words(text));
        refusal.expect_err(text).to_string()
    }

    #[test]
    fn numbers_are_read_in_every_usual_spelling() {
        for (text, number) in [("-2", -2.0), ("1e1", 10.0), ("+.5", 0.5), ("5.", 5.0)] {
            let read = input(Takes::Number(SPAN), Need::Required).read(&words(text));
            assert_eq!(read, Ok(Some(Read::Numbers(vec![number]))), "{text}");
        }
        let list = input(Takes::Numbers(SPAN, 2, 3), Need::Required);
        let read = list.read(&words(" 1, 2;3 ")).unwrap();
        assert_eq!(read, Some(Read::Numbers(vec![1.0, 2.0, 3.0])));
    }

    #[test]
    fn a_refusal_names_the_input_and_what_is_allowed() {
        let number = Takes::Number(SPAN);
        let whole = Takes::Whole(SPAN);
        let list = Takes::Numbers(SPAN, 2, 3);
        let choice = Takes::Choice(&["left", "right"]);
        for (takes, text, said) in [
            (number, "", "--span is missing; it must be -2 to 10 m"),
            (number, "11", "--span is 11; it must be -2 to 10 m"),
            (number, "NaN", "--span is NaN; it must be -2 to 10 m"),
            (number, "-inf", "--span is -inf; it must be -2 to 10 m"),
            (number, "ten", "--span is 'ten'; it must be -2 to 10 m"),
            (number, "1 2", "--span is '1 2'; it must be -2 to 10 m"),
            (
                whole,
                "2.5",
                "--span is 2.5; it must be a whole number, -2 to 10 m",
            ),
            (
                list,
                "1",
                "--span is 1 number; it must be 2 to 3 numbers, each -2 to 10 m",
            ),
            (
                list,
                "1 2 3 4",
                "--span is 4 numbers; it must be 2 to 3 numbers, each -2 to 10 m",
            ),
            (
                list,
                "1 -3",
                "--span is -3; it must be 2 to 3 numbers, each -2 to 10 m",
            ),
            (
                choice,
                "up",
                "--span is 'up'; it must be one of left, right",
            ),
        ] {
            assert_eq!(refused(takes, text), said);
        }
    }

    #[test]
    fn defaults_stand_in_for_what_is_not_typed() {
        let number = Takes::Number(SPAN);
        let read = input(number, Need::Default("4")).read(&[]);
        assert_eq!(read, Ok(Some(Read::Numbers(vec![4.0]))));
        assert_eq!(input(number, Need::Usual("none")).read(&[]), Ok(None));
    }
}
