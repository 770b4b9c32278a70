//! What could be typed, given what has been typed so far.

use std::collections::BTreeSet;

use crate::engineering::rf::national as published;
use crate::format::excerpt::Excerpt;
use crate::library::{Section, items, national};
use crate::model::Scenario;

use super::Completion;

/// How many completions are offered.
const MOST: usize = 8;

/// Sentences to begin with, the most wanted first.
const STARTERS: [(&str, &str); 22] = [
    ("fire 4 VHF", "a fire unit of four with VHF portables"),
    (
        "police 2 700",
        "a police unit of two with 700/800 portables",
    ),
    (
        "ambulance 2 x 2 UHF",
        "two ambulances of two with UHF portables",
    ),
    ("fire command VHF", "a command unit"),
    ("gateway 5", "a gateway with five radio ports"),
    ("VTAC11", "a national channel"),
    (
        "repeater 154.400 / 158.700 141.3",
        "a repeater channel with a tone",
    ),
    ("155.475 tone 156.7", "a channel radio to radio with a tone"),
    ("police command 700", "a command unit"),
    ("public works 5 VHF", "a works crew"),
    ("military 12 VHF", "a platoon"),
    ("relief 6 VHF", "a relief team"),
    ("transport 2 VHF", "a train crew"),
    (
        "helicopter 3",
        "a helicopter with airband and multiband sets",
    ),
    ("satphone", "a satellite telephone"),
    ("phone", "a cellular telephone"),
    ("landline", "a telephone on a wire"),
    ("headset", "a headset for a gateway"),
    ("trunked", "a trunked system"),
    ("gateway 8", "a gateway with eight radio ports"),
    ("VHF mobile", "a radio in the pool"),
    ("site", "a place where gateways stand"),
];

/// Lists what could be typed; the likeliest first.
pub(super) fn completions(s: &Scenario, own: Option<&Excerpt>, text: &str) -> Vec<Completion> {
    let typed = text.trim_start().to_lowercase();
    if let Some(rest) = typed.strip_prefix("need ") {
        return needs(s, rest);
    }
    if let Some((before, channel)) = typed.rsplit_once(" on ") {
        let kept = text.trim_start().get(..before.len()).unwrap_or(before);
        return on_channels(s, kept, channel);
    }
    let mut all: Vec<Completion> = Vec::new();
    all.extend(STARTERS.iter().map(|(text, about)| of(text, about)));
    for agency in s.agencies.iter() {
        all.push(of(
            &format!("{} 4 VHF", agency.name),
            "a unit of this agency",
        ));
    }
    if s.parties().count() > 1 {
        all.push(of("need ", "who must reach whom"));
    }
    for section in [
        Section::Own,
        Section::Radios,
        Section::Gateways,
        Section::Systems,
    ] {
        all.extend(
            items(section, own)
                .iter()
                .map(|item| of(&item.name, &item.about)),
        );
    }
    all.extend(published::all().map(|c| of(c.name, &national::about(c))));
    best(&all, &typed)
}

fn of(text: &str, about: &str) -> Completion {
    Completion {
        text: text.to_owned(),
        about: about.to_owned(),
    }
}

/// Keeps what begins with the text, then what has a word that does.
fn best(all: &[Completion], typed: &str) -> Vec<Completion> {
    let small = |c: &Completion| c.text.to_lowercase();
    let begins = |c: &&Completion| small(c).starts_with(typed);
    let has_word = |c: &&Completion| {
        small(c)
            .split(' ')
            .any(|w| !typed.is_empty() && w.starts_with(typed))
    };
    let first = all.iter().filter(begins);
    let second = all.iter().filter(|c| !begins(c) && has_word(c));
    let mut seen = BTreeSet::new();
    first
        .chain(second)
        .filter(|c| seen.insert(small(c)))
        .take(MOST)
        .cloned()
        .collect()
}

fn needs(s: &Scenario, rest: &str) -> Vec<Completion> {
    let (from, to) = rest.split_once("->").unwrap_or((rest, ""));
    let (from, to) = (from.trim(), to.trim());
    let names: Vec<String> = s.parties().map(|p| s.name(p.into())).collect();
    let sender = names.iter().find(|n| n.to_lowercase() == from);
    let texts: Vec<String> = match sender {
        Some(sender) => names
            .iter()
            .filter(|n| *n != sender && n.to_lowercase().starts_with(to))
            .map(|n| format!("need {sender} -> {n}"))
            .collect(),
        None => names
            .iter()
            .filter(|n| n.to_lowercase().starts_with(from))
            .map(|n| format!("need {n} -> "))
            .collect(),
    };
    let texts = texts.into_iter().take(MOST);
    texts.map(|text| of(&text, "who must reach whom")).collect()
}

fn on_channels(s: &Scenario, before: &str, typed: &str) -> Vec<Completion> {
    let own = s
        .channels
        .iter()
        .map(|c| (c.name.clone(), "a channel of this scenario"));
    let national = published::all().map(|c| (c.name.to_owned(), "a national channel"));
    let mut seen = BTreeSet::new();
    own.chain(national)
        .filter(|(name, _)| name.to_lowercase().starts_with(typed))
        .filter(|(name, _)| seen.insert(published::plain(name)))
        .take(MOST)
        .map(|(name, about)| of(&format!("{before} on {name}"), about))
        .collect()
}
