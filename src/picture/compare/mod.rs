//! Two pictures set against each other: what differs in switches, plugs, cables, programming and
//! settings, who gained or lost whom, and which needs are met now and were not.
//!
//! The two may be phases of one scenario or of two; things are matched by kind and key, or by name where
//! nobody chose the key, ports by their gateway and their number. Notes, places on the board, who verified what, accepted findings and
//! figures of practice are not compared. It changes nothing.

mod facts;
mod twins;

use std::collections::{BTreeMap, BTreeSet};

use crate::model::{
    Attachment, CableId, ChannelId, Gateway, NeedId, Party, Phase, PortRef, RadioId, Scenario,
    ThingId,
};

use self::twins::{listed, told_apart, twins};
use super::{Picture, resilience};

/// What differs, in the order it is read: things, settings, plugs and switches, channels, hearing, needs.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Comparison {
    /// Each difference.
    pub differences: Vec<Difference>,
}

/// One difference.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Difference {
    /// What kind of difference.
    pub about: About,
    /// In a sentence without a full stop.
    pub words: String,
    /// The things concerned, of the scenario before; of the one after, where only that has them.
    pub things: Vec<ThingId>,
}

/// The kinds of difference, in the order in which they are read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum About {
    /// A thing only the one before has.
    Gone,
    /// A thing only the one after has.
    Added,
    /// A thing has another name.
    Renamed,
    /// A phase begins at another time or is longer or shorter.
    Period,
    /// A unit, an agency, a need or an agreement reads otherwise.
    People,
    /// A channel or a system is defined otherwise.
    Defined,
    /// A radio is programmed otherwise.
    Programmed,
    /// A radio has other keys loaded.
    Keys,
    /// A radio is another set, or somebody else has it.
    Set,
    /// A gateway, a port, a tie, a telephone, a headset or a site is set up otherwise.
    SetUp,
    /// Cables or stock are counted otherwise.
    Stock,
    /// What is plugged into a port.
    Plugged,
    /// The talk group a port is switched to.
    Switched,
    /// The channel a radio has selected.
    Selected,
    /// Somebody is heard who was not.
    Gained,
    /// Somebody is no longer heard.
    Lost,
    /// A need is met that was not.
    Met,
    /// A need is no longer met.
    Unmet,
}

impl About {
    /// All kinds, in the order in which they are read.
    pub const ALL: [Self; 18] = [
        Self::Gone,
        Self::Added,
        Self::Renamed,
        Self::Period,
        Self::People,
        Self::Defined,
        Self::Programmed,
        Self::Keys,
        Self::Set,
        Self::SetUp,
        Self::Stock,
        Self::Plugged,
        Self::Switched,
        Self::Selected,
        Self::Gained,
        Self::Lost,
        Self::Met,
        Self::Unmet,
    ];

    /// Returns one word for it, the same for ever: programs read it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Gone => "gone",
            Self::Added => "added",
            Self::Renamed => "renamed",
            Self::Period => "period",
            Self::People => "people",
            Self::Defined => "defined",
            Self::Programmed => "programmed",
            Self::Keys => "keys",
            Self::Set => "set",
            Self::SetUp => "set-up",
            Self::Stock => "stock",
            Self::Plugged => "plugged",
            Self::Switched => "switched",
            Self::Selected => "selected",
            Self::Gained => "gained",
            Self::Lost => "lost",
            Self::Met => "met",
            Self::Unmet => "unmet",
        }
    }
}

/// The parts in which differences are read, each with what stands in it.
pub const PARTS: [(&str, &[About]); 11] = [
    ("Gone and new", &[About::Gone, About::Added, About::Renamed]),
    ("Phases", &[About::Period]),
    ("People and what they need", &[About::People]),
    ("Channels and systems", &[About::Defined]),
    ("Radios", &[About::Programmed, About::Keys, About::Set]),
    ("Gateways and gear", &[About::SetUp, About::Stock]),
    ("Ports", &[About::Plugged, About::Switched]),
    ("Channels on radios", &[About::Selected]),
    ("Who is heard then", &[About::Gained]),
    ("Who is no longer heard", &[About::Lost]),
    ("Needs", &[About::Met, About::Unmet]),
];

impl Comparison {
    /// Lists the differences of one kind.
    pub fn of(&self, about: About) -> impl Iterator<Item = &Difference> {
        self.differences.iter().filter(move |d| d.about == about)
    }

    /// Lists the things whose setting differs: ports switched or plugged, radios on another channel.
    pub fn changed(&self) -> BTreeSet<ThingId> {
        self.differences
            .iter()
            .filter(|d| matches!(d.about, About::Plugged | About::Switched | About::Selected))
            .filter_map(|d| d.things.first().copied())
            .collect()
    }
}

/// Sets a picture against an earlier one.
///
/// Determinism: sorted by kind of difference, then by words. Complexity: linear in both scenarios, and
/// one look at each pair that is heard in either.
pub fn compare(before: &Picture, after: &Picture) -> Comparison {
    let (a, b) = (before.scenario_arc(), after.scenario_arc());
    let twins = twins(a, b);
    let mut all = facts::renamed(a, b, &twins);
    let (a, b) = told_apart(a, b, &twins);
    let was = a.phases.get(before.phase_id());
    let is = b.phases.get(after.phase_id());
    let (Some(was), Some(is)) = (was, is) else {
        return Comparison::default();
    };
    let sides = Sides {
        back: twins.iter().map(|(a, b)| (*b, *a)).collect(),
        a: &a,
        b: &b,
        was,
        is,
        twins,
    };
    sides.things(&mut all);
    facts::all(&sides, &a, &b, &mut all);
    sides.ports(&mut all);
    sides.radios(&mut all);
    sides.hearing(&mut all, before, after);
    sides.needs(&mut all, before, after);
    all.sort();
    Comparison { differences: all }
}

struct Sides<'a> {
    a: &'a Scenario,
    b: &'a Scenario,
    was: &'a Phase,
    is: &'a Phase,
    /// For each thing of the scenario before, the same thing after.
    twins: BTreeMap<ThingId, ThingId>,
    /// The same the other way.
    back: BTreeMap<ThingId, ThingId>,
}

impl Sides<'_> {
    fn twin(&self, thing: impl Into<ThingId>) -> Option<ThingId> {
        self.twins.get(&thing.into()).copied()
    }

    /// Tells whether what is there after is what was there before.
    fn is_same(&self, was: Option<impl Into<ThingId>>, is: Option<impl Into<ThingId>>) -> bool {
        match (was, is) {
            (None, None) => true,
            (Some(was), Some(is)) => self.twin(was) == Some(is.into()),
            (Some(_), None) | (None, Some(_)) => false,
        }
    }

    fn twin_party(&self, party: Party) -> Option<Party> {
        match self.twin(party)? {
            ThingId::Unit(id) => Some(Party::Unit(id)),
            ThingId::Telephone(id) => Some(Party::Telephone(id)),
            ThingId::Headset(id) => Some(Party::Headset(id)),
            _ => None,
        }
    }

    fn twin_port(&self, port: PortRef) -> Option<PortRef> {
        match self.twin(port.gateway)? {
            ThingId::Gateway(gateway) => Some(PortRef { gateway, ..port }),
            _ => None,
        }
    }

    fn things(&self, all: &mut Vec<Difference>) {
        for thing in listed(self.a) {
            if self.twin(thing).is_none() {
                all.push(Difference {
                    about: About::Gone,
                    words: format!("{} {} is gone", thing.kind(), self.a.name(thing)),
                    things: vec![thing],
                });
            }
        }
        for thing in listed(self.b) {
            if !self.back.contains_key(&thing) {
                all.push(Difference {
                    about: About::Added,
                    words: format!("{} {} is new", thing.kind(), self.b.name(thing)),
                    things: vec![thing],
                });
            }
        }
    }

    fn ports(&self, all: &mut Vec<Difference>) {
        for port in self.a.gateways.iter().flat_map(Gateway::port_refs) {
            let Some(twin) = self.twin_port(port) else {
                continue;
            };
            let name = self.a.name(port.into());
            let (was, is) = (self.was.switches.get(&port), self.is.switches.get(&twin));
            if was != is {
                let group = |group: Option<&u8>| {
                    group.map_or_else(|| "none".to_owned(), |n| format!("talk group {n}"))
                };
                all.push(Difference {
                    about: About::Switched,
                    words: format!("{name} goes from {} to {}", group(was), group(is)),
                    things: vec![port.into()],
                });
            }
            let (was, is) = (
                self.was.attachments.get(&port).copied(),
                self.is.attachments.get(&twin).copied(),
            );
            if !self.is_same(was.map(Attachment::thing), is.map(Attachment::thing)) {
                let what = |s: &Scenario, a: Option<Attachment>| {
                    a.map_or_else(|| "nothing".to_owned(), |a| s.name(a.thing()))
                };
                let mut things: Vec<ThingId> = vec![port.into()];
                things.extend(was.map(Attachment::thing));
                all.push(Difference {
                    about: About::Plugged,
                    words: format!(
                        "{name} has {} in place of {}",
                        what(self.b, is),
                        what(self.a, was)
                    ),
                    things,
                });
            } else if let (Some(was), Some(is)) = (was, is) {
                self.cables(all, port, was, is);
            }
        }
    }

    /// The same donor may hang on another cable.
    fn cables(&self, all: &mut Vec<Difference>, port: PortRef, was: Attachment, is: Attachment) {
        let cable = |a: Attachment| match a {
            Attachment::Radio { cable, .. } => cable,
            Attachment::Telephone(_) | Attachment::Headset(_) | Attachment::Tie(_) => None,
        };
        let (before, after) = (cable(was), cable(is));
        if self.is_same(before, after) {
            return;
        }
        let name = |s: &Scenario, cable: Option<CableId>| {
            cable.map_or_else(
                || "no cable".to_owned(),
                |cable| format!("cable {}", s.name(cable.into())),
            )
        };
        all.push(Difference {
            about: About::Plugged,
            words: format!(
                "{} has {} by {} in place of {}",
                self.a.name(port.into()),
                self.b.name(is.thing()),
                name(self.b, after),
                name(self.a, before)
            ),
            things: vec![port.into(), was.thing()],
        });
    }

    fn radios(&self, all: &mut Vec<Difference>) {
        for radio in self.a.radios.iter() {
            let twin = match self.twin(radio.id) {
                Some(ThingId::Radio(id)) => self.b.radios.get(id),
                _ => None,
            };
            let Some(twin) = twin else { continue };
            let was = self.a.selected_channel(self.was, radio);
            let is = self.b.selected_channel(self.is, twin);
            if !self.is_same(was, is) {
                let what = |s: &Scenario, channel: Option<ChannelId>| {
                    channel.map_or_else(|| "no channel".to_owned(), |c| s.name(c.into()))
                };
                all.push(Difference {
                    about: About::Selected,
                    words: format!(
                        "{} goes from {} to {}",
                        self.radio_name(radio.id),
                        what(self.a, was),
                        what(self.b, is)
                    ),
                    things: vec![radio.id.into()],
                });
            }
        }
    }

    /// A radio with who carries it, since sets of one kind often read alike.
    fn radio_name(&self, radio: RadioId) -> String {
        let name = self.a.name(radio.into());
        let holder = self.a.radios.get(radio).and_then(|r| r.held_by);
        holder.map_or(name.clone(), |unit| {
            format!("{name} of {}", self.a.name(unit.into()))
        })
    }

    fn hearing(&self, all: &mut Vec<Difference>, before: &Picture, after: &Picture) {
        let back: BTreeMap<Party, Party> = before
            .hearing()
            .parties()
            .iter()
            .filter_map(|party| Some((self.twin_party(*party)?, *party)))
            .collect();
        for from in before.hearing().parties() {
            let Some(twin) = self.twin_party(*from) else {
                continue;
            };
            let hearers = |list: Vec<(Party, crate::hearing::Arrival)>| -> BTreeSet<Party> {
                list.into_iter().map(|(party, _)| party).collect()
            };
            // Only those count who are there both times.
            let both = |party: &Party| self.twin_party(*party).is_some();
            let was = hearers(before.hearing().hearers(*from));
            let was: BTreeSet<Party> = was.into_iter().filter(both).collect();
            let is = hearers(after.hearing().hearers(twin));
            let is: BTreeSet<Party> = is.iter().filter_map(|p| back.get(p)).copied().collect();
            for (about, verb, parties) in [
                (About::Gained, "is now heard by", &is - &was),
                (About::Lost, "is no longer heard by", &was - &is),
            ] {
                if parties.is_empty() {
                    continue;
                }
                let names: Vec<String> = parties.iter().map(|p| self.a.name((*p).into())).collect();
                let speaker = self.a.name((*from).into());
                let mut things: Vec<ThingId> = vec![(*from).into()];
                things.extend(parties.iter().map(|p| ThingId::from(*p)));
                all.push(Difference {
                    about,
                    words: format!("{speaker} {verb} {}", names.join(", ")),
                    things,
                });
            }
        }
    }

    fn needs(&self, all: &mut Vec<Difference>, before: &Picture, after: &Picture) {
        for need in self.a.needs.iter() {
            let twin: Option<NeedId> = match self.twin(need.id) {
                Some(ThingId::Need(id)) => Some(id),
                _ => None,
            };
            let Some(twin) = twin.and_then(|id| self.b.needs.get(id)) else {
                continue;
            };
            let was = resilience::is_met(before.hearing(), need);
            let is = resilience::is_met(after.hearing(), twin);
            let (about, words) = match (was, is) {
                (false, true) => (About::Met, format!("is {} now", twin.aim())),
                (true, false) => (About::Unmet, format!("is no longer {}", need.aim())),
                (true, true) | (false, false) => continue,
            };
            all.push(Difference {
                about,
                words: format!("{} {words}", self.a.name(need.id.into())),
                things: vec![need.id.into()],
            });
        }
    }
}
