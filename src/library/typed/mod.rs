//! A short sentence that adds things: "fire 12 VHF", "gateway 5", "need engine 1 -> patrol 1".
//!
//! [`typed`] answers with a preview and edits that pass the gate, or says what it did not understand
//! and what would be; and it completes what has been typed so far. Nothing is changed here.

mod air;
mod complete;
mod gear;
mod make;
mod people;
mod words;

use crate::format::excerpt::Excerpt;
use crate::model::{Edit, PhaseId, Scenario, ThingId};

use super::{Section, items, put};
use make::Maker;
use words::Words;

/// What a sentence adds.
#[derive(Debug, Clone, PartialEq)]
pub struct Offer {
    /// Name of the step, for undo.
    pub label: String,
    /// What will happen, in one sentence without a full stop.
    pub sentence: String,
    /// The edits; the gate takes them.
    pub edits: Vec<Edit>,
    /// The things to select then.
    pub things: Vec<ThingId>,
}

/// Something that could be typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Completion {
    /// The whole text.
    pub text: String,
    /// What it is, in a few words.
    pub about: String,
}

/// The answer to a text.
#[derive(Debug, Clone, PartialEq)]
pub struct Typed {
    /// What it adds, or what was not understood and what would be.
    pub answer: Result<Offer, String>,
    /// What could be typed, the likeliest first; at most eight.
    pub completions: Vec<Completion>,
}

/// Longest text that is looked at, in characters.
const LONGEST: usize = 200;

/// Reads a sentence.
///
/// # Arguments
///
/// The scenario to add to, the phase in which gear is plugged in, a person's own things, the text.
pub fn typed(s: &Scenario, phase: PhaseId, own: Option<&Excerpt>, text: &str) -> Typed {
    let text: String = text.chars().take(LONGEST).collect();
    Typed {
        answer: answer(s, phase, own, &text),
        completions: complete::completions(s, own, &text),
    }
}

type Answer = Result<Offer, String>;

/// Reads one kind of sentence; `None` when it is of another kind.
type Parser = fn(&mut Maker, &mut Words) -> Option<Result<String, String>>;

fn answer(s: &Scenario, phase: PhaseId, own: Option<&Excerpt>, text: &str) -> Answer {
    let words = Words::of(text);
    if words.is_empty() {
        return Err("Say what to add, such as: fire 12 VHF".to_owned());
    }
    // One's own names come first, and cables are called after what they join.
    if let Some(answer) = by_name(s, phase, own, text, &[Section::Own, Section::Gateways]) {
        return answer;
    }
    let mut maker = Maker::new(s);
    let parsers: [Parser; 4] = [air::need, air::channel, gear::gear, people::people];
    for parser in parsers {
        let mut words = words.clone();
        let Some(sentence) = parser(&mut maker, &mut words) else {
            continue;
        };
        let sentence = sentence?;
        if let Some(word) = words.next() {
            return Err(format!("Does not understand \"{word}\" here"));
        }
        return Ok(maker.offer(sentence));
    }
    let others = [Section::Radios, Section::Systems, Section::Agencies];
    if let Some(answer) = by_name(s, phase, own, text, &others) {
        return answer;
    }
    let first = words.first().unwrap_or_default();
    Err(format!(
        "Does not know \"{first}\". Begin with an agency such as fire or police, with a radio, \
         gateway, repeater or need, or with the name of a channel"
    ))
}

/// A ready-made thing called by its own name.
fn by_name(
    s: &Scenario,
    phase: PhaseId,
    own: Option<&Excerpt>,
    text: &str,
    sections: &[Section],
) -> Option<Answer> {
    let wanted = text.trim();
    let item = sections
        .iter()
        .flat_map(|section| items(*section, own))
        .find(|item| item.name.eq_ignore_ascii_case(wanted))?;
    Some(put(item.source, own, s, phase).and_then(|grafted| {
        // The gate has the last word here too.
        s.apply(&grafted.edits).map_err(|e| e.to_string())?;
        Ok(Offer {
            label: format!("Add {}", item.name),
            sentence: format!("Adds {}", item.name),
            edits: grafted.edits,
            things: grafted.asked,
        })
    }))
}
