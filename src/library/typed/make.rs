//! Edits made one after the other, each tried on the scenario so far.

use crate::library::shipped;
use crate::model::graft::next_name;
use crate::model::thing::{Listed, Table};
use crate::model::{
    AgencyId, ChannelId, Edit, Programmed, Radio, RadioId, Scenario, Thing, ThingId, UnitId,
};

use super::Offer;

pub(super) struct Maker {
    /// The scenario with everything so far.
    pub(super) s: Scenario,
    edits: Vec<Edit>,
    things: Vec<ThingId>,
}

impl Maker {
    pub(super) fn new(s: &Scenario) -> Self {
        Self {
            s: s.clone(),
            edits: Vec::new(),
            things: Vec::new(),
        }
    }

    /// Takes edits in.
    pub(super) fn apply(&mut self, edits: Vec<Edit>) -> Result<(), String> {
        self.s = self.s.apply(&edits).map_err(|e| e.to_string())?;
        self.edits.extend(edits);
        Ok(())
    }

    pub(super) fn add(&mut self, thing: impl Into<Thing>) -> Result<(), String> {
        self.apply(vec![Edit::Add(thing.into())])
    }

    /// Notes what is to be selected.
    pub(super) fn show(&mut self, thing: impl Into<ThingId>) {
        self.things.push(thing.into());
    }

    /// Adds a radio like the ready-made one of that key.
    pub(super) fn radio(
        &mut self,
        like: &str,
        holder: Option<(UnitId, Option<AgencyId>, &str)>,
        channel: Option<ChannelId>,
    ) -> Result<RadioId, String> {
        let template = shipped().scenario.radios.by_key(like);
        let template = template.ok_or_else(|| format!("There is no ready-made radio {like}"))?;
        let id = RadioId(self.s.mint(0));
        let wanted = match holder {
            Some((_, _, unit)) => format!("{unit} {}", template.family),
            None => template.name.clone(),
        };
        let radio = Radio {
            id,
            key: String::new(),
            name: free(&wanted, &self.s.radios),
            owner: holder.and_then(|(_, agency, _)| agency),
            held_by: holder.map(|(unit, _, _)| unit),
            programmed: channel.map(Programmed::as_defined).into_iter().collect(),
            selected: channel,
            ..template.clone()
        };
        self.add(radio)?;
        Ok(id)
    }

    pub(super) fn offer(self, sentence: String) -> Offer {
        let label = match self.things.as_slice() {
            [one] => format!("Add {}", self.s.name(*one)),
            things => format!("Add {} things", things.len()),
        };
        Offer {
            label,
            sentence,
            edits: self.edits,
            things: self.things,
        }
    }
}

/// Returns a name like the one wanted that no thing of a table has.
pub(super) fn free<T: Listed>(wanted: &str, table: &Table<T>) -> String {
    let is_free = |name: &str| table.iter().all(|other| other.name() != name);
    if is_free(wanted) {
        return wanted.to_owned();
    }
    let is_counted = wanted.ends_with(|c: char| c.is_ascii_digit());
    if is_counted {
        return next_name(wanted, is_free);
    }
    next_name(&format!("{wanted} 1"), is_free)
}

/// Returns "one", "two" and so on up to ten, then digits.
pub(super) fn counted(n: u32) -> String {
    const WORDS: [&str; 10] = [
        "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
    ];
    let word = usize::try_from(n)
        .ok()
        .and_then(|n| WORDS.get(n.checked_sub(1)?));
    word.map_or_else(|| n.to_string(), |word| (*word).to_owned())
}

/// Returns "a" or "an" and the words.
pub(super) fn with_article(words: &str) -> String {
    // "UHF" is spelt out, and begins like "you".
    let vowel = words.starts_with(['a', 'e', 'i', 'o', 'A', 'E', 'I', 'O']);
    format!("{} {words}", if vowel { "an" } else { "a" })
}
