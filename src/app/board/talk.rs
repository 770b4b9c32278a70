//! What lights up while somebody talks: the hops of the message with their times, who hears and who
//! does not. Read off the derived picture; nothing is worked out here but the order of events.

use std::collections::BTreeMap;

use crate::hearing::{Arrival, Path, Place, Step, StepKind, Together};
use crate::model::{Party, ThingId};
use crate::picture::Picture;

/// Seconds that a hop takes on screen beside its own delay, so that the eye can follow.
const HOP: f32 = 0.12;
/// Longest a hop takes on screen, in seconds.
const LONGEST: f32 = 0.9;

/// A message on its way.
#[derive(Debug, Clone)]
pub(crate) struct TalkView {
    /// Who speaks.
    pub party: Party,
    /// The paths to everybody who hears.
    pub paths: Vec<Path>,
    /// The hops, each once.
    pub legs: Vec<Leg>,
    /// When each thing is reached, in seconds on screen.
    pub lit: BTreeMap<ThingId, f32>,
    /// Who hears, with what arrives.
    pub hearers: BTreeMap<Party, Arrival>,
    /// Who does not.
    pub silent: Vec<Party>,
    /// For each radio that transmits: whether it encrypts.
    pub sends: BTreeMap<ThingId, Sending>,
    /// Seconds on screen until all has arrived.
    pub length: f32,
}

/// What one radio sends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Sending {
    /// The channel.
    pub channel: ThingId,
    /// Encrypted.
    pub encrypted: bool,
}

/// One hop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Leg {
    /// The thing before the hop's start, where it matters how the hop enters.
    pub before: Option<ThingId>,
    /// Where it starts.
    pub from: ThingId,
    /// Where it ends.
    pub to: ThingId,
    /// When it starts and ends, in seconds on screen.
    pub time: (f32, f32),
    /// The receiver gets it by scanning.
    pub by_scan: bool,
}

impl TalkView {
    /// Prepares what a party's message lights up.
    pub(crate) fn new(picture: &Picture, party: Party) -> Self {
        let paths = picture.hearing().message(picture.scenario(), party);
        Self::along(picture, party, paths)
    }

    /// Prepares what a message lights up that begins while another is carried: each way ends where
    /// the other stops it.
    pub(crate) fn over(picture: &Picture, party: Party, both: &Together) -> Self {
        let mut paths = picture.hearing().message(picture.scenario(), party);
        for path in &mut paths {
            let stop = path
                .steps
                .iter()
                .position(|step| is_stopped(picture, both, step));
            path.steps.truncate(stop.unwrap_or(path.steps.len()));
        }
        Self::along(picture, party, paths)
    }

    /// Prepares one way, be it one that is open or one that changes would open.
    pub(super) fn along_way(picture: &Picture, way: Path) -> Self {
        let party = way.from;
        Self::along(picture, party, vec![way])
    }

    fn along(picture: &Picture, party: Party, paths: Vec<Path>) -> Self {
        let hearing = picture.hearing();
        let hearers: BTreeMap<Party, Arrival> = hearing.hearers(party).into_iter().collect();
        let silent = hearing
            .parties()
            .iter()
            .copied()
            .filter(|p| *p != party && !hearers.contains_key(p))
            .collect();
        let mut legs: BTreeMap<(Option<ThingId>, ThingId, ThingId), Leg> = BTreeMap::new();
        let mut lit: BTreeMap<ThingId, f32> = BTreeMap::new();
        let mut sends = BTreeMap::new();
        lit.insert(party.into(), 0.0);
        let mut length: f32 = 0.0;
        for path in &paths {
            let mut now = 0.0;
            let mut before = None;
            for pair in path.steps.windows(2) {
                let [a, b] = pair else { continue };
                let takes = (HOP + b.delay_ms as f32 / 1000.0).min(LONGEST);
                let time = (now, now + takes);
                now += takes;
                if let StepKind::Transmits { channel, key } = a.what {
                    sends.insert(
                        a.at,
                        Sending {
                            channel: channel.into(),
                            encrypted: key.is_some(),
                        },
                    );
                }
                let by_scan = matches!(b.what, StepKind::Receives { by_scan: true, .. });
                let leg = Leg {
                    before,
                    from: a.at,
                    to: b.at,
                    time,
                    by_scan,
                };
                legs.entry((before, a.at, b.at)).or_insert(leg);
                let reached = lit.entry(b.at).or_insert(now);
                *reached = reached.min(now);
                lit.entry(a.at).or_insert(time.0);
                before = Some(a.at);
            }
            length = length.max(now);
        }
        Self {
            party,
            paths,
            legs: legs.into_values().collect(),
            lit,
            hearers,
            silent,
            sends,
            length,
        }
    }

    /// Tells whether a thing is concerned.
    pub(crate) fn concerns(&self, thing: ThingId) -> bool {
        self.lit.contains_key(&thing)
    }

    /// Says in a sentence who hears, with at most `most` names of those who do not.
    pub(crate) fn summary(&self, name: impl Fn(ThingId) -> String, most: usize) -> String {
        let speaker = name(self.party.into());
        let all = self.hearers.len() + self.silent.len();
        if all == 0 {
            return format!("{speaker} has nobody to talk to");
        }
        let mut text = format!("{speaker} is heard by {} of {all}", self.hearers.len());
        if !self.silent.is_empty() {
            let names: Vec<String> = self
                .silent
                .iter()
                .take(most)
                .map(|p| name((*p).into()))
                .collect();
            let rest = self.silent.len().saturating_sub(most);
            text.push_str(". ");
            text.push_str(&names.join(", "));
            if rest > 0 {
                text = format!("{text} and {rest} more");
            }
            let one = self.silent.len() == 1;
            text.push_str(if one {
                " does not hear"
            } else {
                " do not hear"
            });
        }
        text
    }
}

/// Tells whether the message that was first stops the second at a step.
fn is_stopped(picture: &Picture, both: &Together, step: &Step) -> bool {
    both.meetings.iter().any(|meeting| match meeting.place {
        Place::Deaf(port) => {
            let radio = match step.at {
                ThingId::Radio(id) => picture.port_of(id),
                _ => None,
            };
            radio == Some(port) && matches!(step.what, StepKind::Receives { .. })
        }
        Place::Held(port) => {
            step.at == ThingId::from(port) && matches!(step.what, StepKind::LeavesPort)
        }
        Place::Busy(channel) => {
            step.at == ThingId::from(channel) && matches!(step.what, StepKind::Carries)
        }
        Place::Channel { .. } | Place::TalkGroup(_) => false,
    })
}
