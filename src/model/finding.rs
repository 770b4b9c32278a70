//! Findings as plain data, and the acceptance of one by a planner.

use std::fmt;

use super::edit::Edit;
use super::id::{Party, PhaseId, ThingId};

/// How bad a finding is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// The plan does not work: somebody who must be heard is not, or what must stay secret leaves.
    Stops,
    /// The plan works badly, or only by luck.
    Warns,
    /// Something to know or to verify on the spot.
    Notes,
}

impl Severity {
    /// All severities, worst first.
    pub const ALL: [Self; 3] = [Self::Stops, Self::Warns, Self::Notes];

    /// Returns the word for it, as read on screen, in files and on the command line.
    pub fn word(self) -> &'static str {
        match self {
            Self::Stops => "stops",
            Self::Warns => "warns",
            Self::Notes => "notes",
        }
    }
}

impl fmt::Display for Severity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// The value of one piece of evidence.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// A number in the unit the evidence names.
    Number(f64),
    /// A code, a setting or a mode.
    Text(String),
    /// A thing.
    Thing(ThingId),
}

/// One number or fact behind a finding.
#[derive(Debug, Clone, PartialEq)]
pub struct Evidence {
    /// What was measured or read.
    pub quantity: &'static str,
    /// Its value.
    pub value: Value,
    /// Unit of a number; empty for a text or a thing.
    pub unit: &'static str,
}

impl Evidence {
    /// Makes evidence of a number.
    pub fn number(quantity: &'static str, value: f64, unit: &'static str) -> Self {
        Self {
            quantity,
            value: Value::Number(value),
            unit,
        }
    }

    /// Makes evidence of a code, setting or mode.
    pub fn text(quantity: &'static str, value: impl fmt::Display) -> Self {
        Self {
            quantity,
            value: Value::Text(value.to_string()),
            unit: "",
        }
    }

    /// Makes evidence of a thing.
    pub fn thing(quantity: &'static str, value: impl Into<ThingId>) -> Self {
        Self {
            quantity,
            value: Value::Thing(value.into()),
            unit: "",
        }
    }
}

/// How freely a fix may be applied.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Grade {
    /// Changes only what is wrong.
    Safe,
    /// Changes what somebody may have meant: look before applying.
    Ask,
}

/// Edits that cure a finding.
#[derive(Debug, Clone, PartialEq)]
pub struct Fix {
    /// What is done, as an order: "Set the receive tone to 156.7 Hz".
    pub title: String,
    /// How freely it may be applied.
    pub grade: Grade,
    /// The edits, applied together.
    pub edits: Vec<Edit>,
}

/// One thing wrong, doubtful or worth knowing.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// Code of the check that found it.
    pub code: &'static str,
    /// How bad.
    pub severity: Severity,
    /// One sentence that names things and numbers, without a remedy and without a full stop.
    pub headline: String,
    /// The thing it is about first of all.
    pub subject: ThingId,
    /// The other things concerned.
    pub related: Vec<ThingId>,
    /// Numbers and facts it rests on.
    pub evidence: Vec<Evidence>,
    /// What a person can do.
    pub hints: Vec<String>,
    /// What a click can do.
    pub fixes: Vec<Fix>,
    /// Somebody who is not heard, and by whom: ask why not, and for the fewest changes.
    pub unheard: Option<(Party, Party)>,
}

/// What makes two findings the same one: the check and the things, not the wording or order.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct FindingId {
    /// Code of the check.
    pub code: String,
    /// The things concerned, subject first, the others sorted, none twice.
    pub things: Vec<ThingId>,
}

impl Finding {
    /// Returns the identity.
    pub fn id(&self) -> FindingId {
        let mut others: Vec<ThingId> = self
            .related
            .iter()
            .copied()
            .filter(|t| *t != self.subject)
            .collect();
        others.sort_unstable();
        others.dedup();
        let mut things = vec![self.subject];
        things.append(&mut others);
        FindingId {
            code: self.code.to_owned(),
            things,
        }
    }

    /// Returns a number that changes when the facts behind the finding change.
    ///
    /// `key_of` gives a thing's file key, so that the number survives saving and renaming.
    pub fn facts(&self, key_of: impl Fn(ThingId) -> String) -> u64 {
        let mut hash = Fnv::new();
        hash.add(self.severity.word());
        for Evidence {
            quantity,
            value,
            unit,
        } in &self.evidence
        {
            hash.add(quantity);
            match value {
                Value::Number(n) => hash.add(&n.to_bits().to_string()),
                Value::Text(text) => hash.add(text),
                Value::Thing(thing) => hash.add(&key_of(*thing)),
            }
            hash.add(unit);
        }
        hash.0
    }
}

/// The FNV-1a hash, 64 bits: the same on every machine and in every version.
///
/// Source: RFC 9923, section 3; its test vector for "foobar" is in the tests below.
struct Fnv(u64);

impl Fnv {
    fn new() -> Self {
        Self(0xcbf2_9ce4_8422_2325)
    }

    fn add(&mut self, text: &str) {
        for byte in text.bytes() {
            self.0 = (self.0 ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
        }
        self.0 = (self.0 ^ 0xff).wrapping_mul(0x0100_0000_01b3);
    }
}

/// A finding that a planner has looked at and accepts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Acceptance {
    /// Which finding.
    pub finding: FindingId,
    /// Its facts when it was accepted; other facts bring it back.
    pub facts: u64,
    /// Why it is accepted.
    pub reason: String,
    /// Who accepts it.
    pub by: String,
    /// When, as YYYY-MM-DD.
    pub on: String,
    /// Put aside only until this phase begins; `None` when it is accepted for good.
    pub until: Option<PhaseId>,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_hash_is_fnv_1a() {
        // Test vector from the FNV reference pages: fnv1a_64("foobar") = 0x85944171f73967e8
        // (from memory). Our separator byte is left out of this comparison.
        let mut hash = Fnv::new();
        for byte in "foobar".bytes() {
            hash.0 = (hash.0 ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
        }
        assert_eq!(hash.0, 0x8594_4171_f739_67e8);
    }
}
