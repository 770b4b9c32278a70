//! What serde has to say, in words for people who write the file.

use std::fmt;

use serde::de::{self, Expected, Unexpected};

use crate::format::nearest::did_you_mean;
use crate::format::problem::Fault;
use crate::format::tree::quoted;

impl de::Error for Fault {
    fn custom<T: fmt::Display>(message: T) -> Self {
        Self {
            at: None,
            path: Vec::new(),
            message: message.to_string(),
            hint: None,
        }
    }

    fn invalid_type(found: Unexpected<'_>, expected: &dyn Expected) -> Self {
        let found = match found {
            Unexpected::Str(text) => quoted(text),
            Unexpected::Signed(n) => n.to_string(),
            Unexpected::Unsigned(n) => n.to_string(),
            Unexpected::Float(n) => format!("{n:?}"),
            Unexpected::Bool(b) => b.to_string(),
            Unexpected::Unit | Unexpected::Option => "nothing (None or null)".to_owned(),
            Unexpected::Other(words) => words.to_owned(),
            other => other.to_string(),
        };
        Self::custom(format!("found {found}, expected {}", plain(expected)))
    }

    fn invalid_value(found: Unexpected<'_>, expected: &dyn Expected) -> Self {
        Self::invalid_type(found, expected)
    }

    fn invalid_length(length: usize, expected: &dyn Expected) -> Self {
        let found = if length == 1 {
            "one value".to_owned()
        } else {
            format!("{length} values")
        };
        Self::custom(format!("found {found}, expected {}", plain(expected)))
    }

    fn unknown_variant(variant: &str, expected: &'static [&'static str]) -> Self {
        Self::custom(format!(
            "found {}, expected {}",
            quoted(variant),
            one_of(expected)
        ))
        .with_hint(did_you_mean(variant, expected.iter().copied()))
    }

    fn unknown_field(field: &str, expected: &'static [&'static str]) -> Self {
        let hint = did_you_mean(field, expected.iter().copied())
            .or_else(|| Some(format!("the fields here are {}", expected.join(", "))));
        Self::custom(format!("there is no field {} here", quoted(field))).with_hint(hint)
    }

    fn missing_field(field: &'static str) -> Self {
        Self::custom(format!("the field `{field}` is missing"))
    }

    fn duplicate_field(field: &'static str) -> Self {
        Self::custom(format!("the field `{field}` stands here twice"))
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for Fault {}

pub(super) fn one_of(words: &[&str]) -> String {
    match words {
        [only] => (*only).to_owned(),
        [start @ .., last] => format!("{} or {last}", start.join(", ")),
        [] => "nothing".to_owned(),
    }
}

/// Puts what serde expects into words for people.
fn plain(expected: &dyn Expected) -> String {
    let words = expected.to_string();
    match words.as_str() {
        "u8" => "a whole number from 0 to 255".to_owned(),
        "u16" => "a whole number from 0 to 65535".to_owned(),
        "u32" => format!("a whole number from 0 to {}", u32::MAX),
        "i32" => format!("a whole number from {} to {}", i32::MIN, i32::MAX),
        "f32" | "f64" => "a number".to_owned(),
        "a boolean" => "true or false".to_owned(),
        "a string" => "text in double quotes".to_owned(),
        "a sequence" => "a list in [ ]".to_owned(),
        "a map" => "entries in { }".to_owned(),
        "tuple struct At" | "tuple struct At with 2 elements" => "a place (right, down)".to_owned(),
        "a tuple of size 2" => "two values (low, high)".to_owned(),
        other => {
            if other.starts_with("struct ") {
                "fields (name: value, …)".to_owned()
            } else if other.starts_with("enum ") || other == "variant identifier" {
                "one of the words of this field".to_owned()
            } else {
                other.to_owned()
            }
        }
    }
}
