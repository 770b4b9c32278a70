//! Which parties send and hear alike: the habit of every party, by number, kept while its radios stay.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::model::{Attachment, Party, Phase, PortRef, RadioId, Scenario, UnitId};

use super::kept;
use super::sets::{ListeningIx, Numbers, SentIx, Sets};

/// What parties who are evaluated together have in common.
#[derive(Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Key {
    /// What they send, with the wait before speaking in milliseconds; rising.
    pub(super) sends: Vec<(SentIx, u32)>,
    /// What they listen for; rising.
    pub(super) ears: Vec<ListeningIx>,
    /// Ports of the telephones and headsets they speak into.
    ports: Vec<PortRef>,
}

/// The habits of all parties.
#[derive(Debug, Clone, Default)]
pub(super) struct Habits {
    /// Who carries a radio and speaks at it, donors left out: party and place of the radio, rising.
    pub(super) carriers: Arc<Vec<(u32, u32)>>,
    /// The same by unit.
    pub(super) carried: Arc<BTreeMap<UnitId, Vec<RadioId>>>,
    keys: Numbers<Arc<Key>>,
    /// The habit of each party.
    of: Vec<u32>,
    /// Parties with a telephone or headset in circuit.
    with_ports: Vec<u32>,
}

/// What the habits follow from.
#[derive(Clone, Copy)]
pub(super) struct Laid<'a> {
    pub(super) scenario: &'a Scenario,
    pub(super) phase: &'a Phase,
    /// All parties, rising.
    pub(super) parties: &'a [Party],
    /// The ports at which a party speaks.
    pub(super) ports: &'a BTreeMap<Party, Vec<PortRef>>,
    pub(super) sets: &'a Sets,
}

impl Habits {
    /// Looks at every party.
    pub(super) fn of(laid: Laid<'_>) -> Self {
        let carriers = carriers(laid);
        let mut habits = Self {
            carried: Arc::new(carried(laid, &carriers)),
            carriers: Arc::new(carriers),
            of: vec![0; laid.parties.len()],
            ..Self::default()
        };
        for party in 0..laid.parties.len() as u32 {
            habits.look(laid, party);
        }
        habits.note_ports(laid);
        habits
    }

    /// Looks only at parties whose radios are set otherwise, by the places of these, or who speak at a
    /// port; `None` where the parties or the ports' plugs have moved too.
    pub(super) fn after(
        &self,
        before: (&Scenario, &Phase),
        laid: Laid<'_>,
        places: &[usize],
    ) -> Option<Self> {
        if before.1.attachments != laid.phase.attachments
            || !kept::are_parties_alike(before.0, laid.scenario)
            || self.of.len() != laid.parties.len()
            || self.keys.all().len() > 2 * laid.parties.len()
        {
            return None;
        }
        let mut habits = self.clone();
        let held_by = |scenario: &Scenario, place: usize| scenario.radios.at(place)?.held_by;
        let held: Vec<_> = { places.iter() }
            .map(|place| (held_by(before.0, *place), held_by(laid.scenario, *place)))
            .collect();
        if held.iter().any(|(was, is)| was != is) {
            let carriers = carriers(laid);
            habits.carried = Arc::new(carried(laid, &carriers));
            habits.carriers = Arc::new(carriers);
        }
        let held = held.into_iter().flat_map(|(was, is)| [was, is]).flatten();
        let mut again: BTreeSet<u32> = held
            .filter_map(|unit| number(laid, Party::Unit(unit)))
            .collect();
        again.extend(&self.with_ports);
        habits.note_ports(laid);
        again.extend(&habits.with_ports);
        for party in again {
            habits.look(laid, party);
        }
        Some(habits)
    }

    /// Returns the number of a party's habit.
    pub(super) fn number(&self, party: usize) -> u32 {
        self.of.get(party).copied().unwrap_or_default()
    }

    /// Lists the habits by number, with those nobody has any more.
    pub(super) fn keys(&self) -> &[Arc<Key>] {
        self.keys.all()
    }

    fn look(&mut self, laid: Laid<'_>, party: u32) {
        let first = self.carriers.partition_point(|(who, _)| *who < party);
        let mine = self.carriers.get(first..).unwrap_or_default().iter();
        let mine = mine.take_while(|(who, _)| *who == party);
        let mut key = Key {
            sends: Vec::new(),
            ears: Vec::new(),
            ports: Vec::new(),
        };
        for (_, place) in mine {
            key.sends.extend(laid.sets.sent_by(*place as usize));
            key.ears.extend(laid.sets.ears_of(*place as usize));
        }
        key.sends.sort_unstable();
        key.sends.dedup();
        key.ears.sort_unstable();
        key.ears.dedup();
        let party_of = laid.parties.get(party as usize);
        if let Some(ports) = party_of.and_then(|party| laid.ports.get(party)) {
            key.ports.clone_from(ports);
        }
        let number = self.keys.of(&Arc::new(key));
        if let Some(of) = self.of.get_mut(party as usize) {
            *of = number;
        }
    }

    fn note_ports(&mut self, laid: Laid<'_>) {
        let with = laid.ports.keys();
        self.with_ports = with.filter_map(|party| number(laid, *party)).collect();
    }
}

fn number(laid: Laid<'_>, party: Party) -> Option<u32> {
    let place = laid.parties.binary_search(&party).ok()?;
    Some(place as u32)
}

fn carriers(laid: Laid<'_>) -> Vec<(u32, u32)> {
    let attachments = laid.phase.attachments.values();
    let donors: BTreeSet<RadioId> = attachments
        .filter_map(|a| match a {
            Attachment::Radio { radio, .. } => Some(*radio),
            _ => None,
        })
        .collect();
    let radios = laid.scenario.radios.iter().enumerate();
    let carried = radios.filter(|(_, radio)| !donors.contains(&radio.id));
    let mut carriers: Vec<(u32, u32)> = carried
        .filter_map(|(place, radio)| {
            Some((number(laid, Party::Unit(radio.held_by?))?, place as u32))
        })
        .collect();
    carriers.sort_unstable();
    carriers
}

fn carried(laid: Laid<'_>, carriers: &[(u32, u32)]) -> BTreeMap<UnitId, Vec<RadioId>> {
    let ids: Vec<RadioId> = laid.scenario.radios.ids().collect();
    let by_party = carriers.chunk_by(|a, b| a.0 == b.0);
    by_party
        .filter_map(|mine| {
            let party = laid.parties.get(mine.first()?.0 as usize)?;
            let radios = mine
                .iter()
                .filter_map(|(_, place)| ids.get(*place as usize));
            match party {
                Party::Unit(unit) => Some((*unit, radios.copied().collect())),
                Party::Telephone(_) | Party::Headset(_) => None,
            }
        })
        .collect()
}
