//! What cells are read against: the scenario, the phase shown, and the word by which a cell names
//! each other thing.
//!
//! A thing is written by its name where that says which one is meant, else by its key. It changes
//! nothing.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::model::thing::Listed;
use crate::model::{
    AgencyId, CableId, ChannelId, GatewayId, HeadsetId, Party, PhaseId, RadioId, Scenario,
    SystemId, Table, TelephoneId, ThingId, TieId, UnitId,
};

/// A scenario in one phase, with the word for everything a cell may name.
#[derive(Debug, Clone)]
#[expect(missing_docs, reason = "each table of labels is for the kind it names")]
pub struct Book {
    pub scenario: Arc<Scenario>,
    pub phase: PhaseId,
    pub agencies: Labels<AgencyId>,
    pub units: Labels<UnitId>,
    pub systems: Labels<SystemId>,
    pub channels: Labels<ChannelId>,
    pub radios: Labels<RadioId>,
    pub gateways: Labels<GatewayId>,
    pub ties: Labels<TieId>,
    pub telephones: Labels<TelephoneId>,
    pub headsets: Labels<HeadsetId>,
    pub cables: Labels<CableId>,
    pub parties: Labels<Party>,
}

impl Book {
    /// Gathers the words of a scenario.
    pub fn new(scenario: Arc<Scenario>, phase: PhaseId) -> Self {
        let s = &scenario;
        Self {
            phase,
            agencies: labels("agency", &s.agencies),
            units: labels("unit", &s.units),
            systems: labels("system", &s.systems),
            channels: labels("channel", &s.channels),
            radios: labels("radio", &s.radios),
            gateways: labels("gateway", &s.gateways),
            ties: labels("tie", &s.ties),
            telephones: labels("telephone", &s.telephones),
            headsets: labels("headset", &s.headsets),
            cables: labels("cable", &s.cables),
            parties: parties(s),
            scenario,
        }
    }
}

fn labels<T: Listed>(word: &'static str, table: &Table<T>) -> Labels<T::Id> {
    let all = table
        .iter()
        .map(|t| (t.id(), t.key().to_owned(), t.name().to_owned()));
    Labels::new(word, all.collect())
}

/// Keys are unique within a kind only, so those of parties have the kind before them where needed.
fn parties(s: &Scenario) -> Labels<Party> {
    let all: Vec<Party> = s.parties().collect();
    let mut count: BTreeMap<String, usize> = BTreeMap::new();
    for party in &all {
        *count.entry(s.key((*party).into())).or_default() += 1;
    }
    let named = all.into_iter().map(|party| {
        let thing = ThingId::from(party);
        let key = s.key(thing);
        let key = if count.get(&key).is_some_and(|n| *n > 1) {
            format!("{} {key}", thing.kind())
        } else {
            key
        };
        (party, key, s.name(thing))
    });
    Labels::new("unit, telephone or headset", named.collect())
}

/// The word for each thing of a kind, and what each word means.
#[derive(Debug, Clone)]
pub struct Labels<V> {
    word: &'static str,
    label: BTreeMap<V, String>,
    by_key: BTreeMap<String, V>,
    by_name: BTreeMap<String, Vec<V>>,
    keys: BTreeMap<V, String>,
}

impl<V: Copy + Ord> Labels<V> {
    /// Gathers the words of things given with key and name.
    fn new(word: &'static str, things: Vec<(V, String, String)>) -> Self {
        let mut this = Self {
            word,
            label: BTreeMap::new(),
            by_key: BTreeMap::new(),
            by_name: BTreeMap::new(),
            keys: BTreeMap::new(),
        };
        for (id, key, name) in &things {
            this.by_key.insert(key.clone(), *id);
            this.keys.insert(*id, key.clone());
            this.by_name.entry(folded(name)).or_default().push(*id);
        }
        for (id, key, name) in things {
            let is_alone = this
                .by_name
                .get(&folded(&name))
                .is_some_and(|v| v.len() == 1);
            let is_plain = name.trim() == name && !name.is_empty();
            let is_other = this.by_key.get(&name).is_some_and(|other| *other != id);
            let label = if is_alone && is_plain && !is_other {
                name
            } else {
                key
            };
            this.label.insert(id, label);
        }
        this
    }

    /// Returns the word a cell writes for a thing; empty when it is gone.
    pub fn of(&self, id: V) -> String {
        self.label.get(&id).cloned().unwrap_or_default()
    }

    /// Lists the words in the order of the things.
    pub fn all(&self) -> Vec<String> {
        self.label.values().cloned().collect()
    }

    /// Returns the thing a word means: a key, or a name that only one thing has.
    ///
    /// # Errors
    ///
    /// What was found and what is expected, with the keys where a name does not say which.
    pub fn find(&self, text: &str) -> Result<V, String> {
        let asked = text.trim();
        if let Some(id) = self.by_key.get(asked) {
            return Ok(*id);
        }
        match self.by_name.get(&folded(asked)).map(Vec::as_slice) {
            Some([one]) => Ok(*one),
            Some(several) => Err(format!(
                "several have the name '{asked}'; expected one of the keys {}",
                self.some_keys(several)
            )),
            None => Err(format!(
                "no {} is called '{asked}'{}",
                self.word,
                self.near(asked)
            )),
        }
    }

    fn some_keys(&self, ids: &[V]) -> String {
        let keys = ids.iter().filter_map(|id| self.keys.get(id));
        keys.cloned().collect::<Vec<_>>().join(", ")
    }

    /// Says which words would do: those that begin or go on alike, or the first few.
    fn near(&self, asked: &str) -> String {
        let folded_asked = folded(asked);
        let alike = |label: &&String| {
            let label = folded(label);
            !folded_asked.is_empty()
                && (label.contains(&folded_asked) || folded_asked.contains(&label))
        };
        let mut some: Vec<&String> = self.label.values().filter(alike).take(4).collect();
        if some.is_empty() {
            some = self.label.values().take(4).collect();
        }
        if some.is_empty() {
            return "; there is none yet".to_owned();
        }
        let more = if self.label.len() > some.len() {
            " …"
        } else {
            ""
        };
        let names: Vec<&str> = some.into_iter().map(String::as_str).collect();
        format!(
            "; expected a name or key such as {}{more}",
            names.join(", ")
        )
    }
}

fn folded(name: &str) -> String {
    name.trim().to_lowercase()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn labels(things: &[(u32, &str, &str)]) -> Labels<u32> {
        let owned = things
            .iter()
            .map(|(id, key, name)| (*id, (*key).to_owned(), (*name).to_owned()));
        Labels::new("unit", owned.collect())
    }

    #[test]
    fn a_name_that_says_which_is_written_and_another_gives_way_to_the_key() {
        let l = labels(&[
            (1, "e1", "Engine 1"),
            (2, "e2", "Engine"),
            (3, "e3", "engine"),
            (4, "e4", "e1"),
        ]);
        let words = l.all();
        assert_eq!(words, ["Engine 1", "e2", "e3", "e4"]);
        for (id, word) in [
            (1, "Engine 1"),
            (2, "e2"),
            (3, "e3"),
            (4, "e4"),
            (1, "ENGINE 1"),
        ] {
            assert_eq!(l.find(word), Ok(id), "{word}");
        }
        let error = l.find("Engine").unwrap_err();
        assert!(error.contains("e2, e3"), "{error}");
        let error = l.find("Ladder").unwrap_err();
        assert!(error.contains("no unit is called 'Ladder'"), "{error}");
    }
}
