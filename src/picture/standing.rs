//! How each need stands: which of its pairs are heard, and what is wrong with those that are.
//!
//! Must not say what to do about it; that is for checks and for the search for the fewest changes.

use std::collections::BTreeMap;

use crate::hearing::Hearing;
use crate::model::{Need, NeedId, Party, PhaseId, Scenario};

use super::Picture;
use super::resilience::is_met;
use super::sounds::{Asked, Facts, Sound, place};

/// How a need stands, from good to bad.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Standing {
    /// Every pair is as asked.
    Met,
    /// Every pair is heard, and something is wrong with at least one of them.
    MetWithFaults,
    /// Some pairs are as asked and some are not.
    PartlyMet,
    /// No pair is as asked.
    Unmet,
    /// It names nobody, or only one party.
    NamesNobody,
}

impl Standing {
    /// Returns its words, for a need that asks somebody to be heard or for one that keeps people apart.
    pub const fn words(self, apart: bool) -> &'static str {
        match self {
            Self::Met | Self::MetWithFaults if apart => "kept apart",
            Self::PartlyMet if apart => "partly joined",
            Self::Unmet if apart => "joined",
            Self::Met => "met",
            Self::MetWithFaults => "met, with faults",
            Self::PartlyMet => "partly met",
            Self::Unmet => "not met",
            Self::NamesNobody => "names nobody",
        }
    }

    /// Tells whether every pair is as asked.
    pub const fn is_met(self) -> bool {
        matches!(self, Self::Met | Self::MetWithFaults)
    }
}

/// The state of a need in one phase.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NeedState {
    /// The need.
    pub need: NeedId,
    /// How it stands.
    pub standing: Standing,
    /// What it asks of each pair.
    pub asked: Asked,
    /// Its pairs.
    pub pairs: usize,
    /// Its pairs by what is wrong with them; a pair with two faults stands under both. Pairs of which
    /// nothing is wrong are left out.
    pub faults: BTreeMap<Sound, Vec<(Party, Party)>>,
    /// Its pairs that hear each other and are to be kept apart.
    pub joined: Vec<(Party, Party)>,
    /// The pair heard latest of those that must be heard, with its delay in milliseconds.
    pub latest: Option<(Party, Party, u32)>,
}

impl NeedState {
    /// Works out how a need stands in a picture.
    ///
    /// Complexity: linear in its pairs.
    pub fn of(picture: &Picture, need: &Need) -> Self {
        let (hearing, sounds) = (picture.hearing(), picture.sounds());
        let asked = Asked::by(need);
        let mut state = Self {
            need: need.id,
            standing: Standing::NamesNobody,
            asked,
            pairs: 0,
            faults: BTreeMap::new(),
            joined: Vec::new(),
            latest: None,
        };
        if need.keeps_apart() {
            state.keep_apart(hearing, need);
            return state;
        }
        let mut as_asked = 0;
        for (from, to) in need.pairs_to_hear() {
            state.pairs += 1;
            let facts = match (place(hearing, from), place(hearing, to)) {
                (Some(a), Some(b)) => sounds.facts(hearing, a, b),
                _ => Facts {
                    arrival: None,
                    one_way: false,
                    opened: false,
                },
            };
            for word in facts.words(asked) {
                if word != Sound::Heard {
                    state.faults.entry(word).or_default().push((from, to));
                }
            }
            if let Some(arrival) = facts.arrival {
                as_asked += usize::from(arrival.encrypted || !asked.encrypted);
                if state.latest.is_none_or(|(_, _, ms)| arrival.delay_ms > ms) {
                    state.latest = Some((from, to, arrival.delay_ms));
                }
            }
        }
        state.standing = match (state.pairs, as_asked) {
            (0, _) => Standing::NamesNobody,
            (_, 0) => Standing::Unmet,
            (pairs, met) if met < pairs => Standing::PartlyMet,
            _ if state.faults.is_empty() => Standing::Met,
            _ => Standing::MetWithFaults,
        };
        state
    }

    fn keep_apart(&mut self, hearing: &Hearing, need: &Need) {
        let mut pairs = need.pairs_apart();
        self.pairs = pairs.len();
        pairs.retain(|(from, to)| hearing.arrival(*from, *to).is_some());
        self.joined = pairs;
        self.standing = match self.joined.len() {
            _ if self.pairs == 0 => Standing::NamesNobody,
            0 => Standing::Met,
            some if some < self.pairs => Standing::PartlyMet,
            _ => Standing::Unmet,
        };
    }

    /// Lists its pairs with one fault.
    pub fn with(&self, fault: Sound) -> &[(Party, Party)] {
        self.faults.get(&fault).map_or(&[], Vec::as_slice)
    }
}

/// Tells of each need whether it is met in a phase, of which nothing else is asked.
///
/// Complexity: one derivation, and one look at each pair of the needs.
pub fn met_in(scenario: &Scenario, phase: PhaseId) -> BTreeMap<NeedId, bool> {
    let hearing = Hearing::derive(scenario, phase);
    met_by(scenario, &hearing)
}

/// Tells of each need whether it is met, by a hearing derived already.
pub fn met_by(scenario: &Scenario, hearing: &Hearing) -> BTreeMap<NeedId, bool> {
    let needs = scenario.needs.iter();
    needs
        .map(|n| {
            let names_some = !n.pairs_to_hear().is_empty() || !n.pairs_apart().is_empty();
            (n.id, names_some && is_met(hearing, n))
        })
        .collect()
}
