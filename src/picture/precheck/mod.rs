//! What is to be checked on the spot before a phase begins: the facts of every radio in use as they
//! should read on the set, what is to be tried out at every port, and who should be heard by whom.
//!
//! One list for the screen and for paper. It must not know of either, and it changes nothing: what is
//! ticked becomes an edit by [`verify`], [`tried`] and [`note_heard`].

mod heard;

use std::collections::BTreeMap;

pub use heard::{heard, note_heard};

use crate::model::{
    AccessCode, AgencyId, Attachment, Carrier, ChannelId, Edit, Fact, GatewayId, HeardPair, Keying,
    Mode, NeedId, Party, Phase, PortRef, Programmed, Protection, Radio, RadioId, Scenario, Step,
    Tested, ThingId, Verified,
};
use crate::sheets::Choice as _;

use super::{Picture, Tuned};

/// Everything to be checked for one phase.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct PreCheck {
    /// What stands at each gateway, then what each agency carries.
    pub parts: Vec<Part>,
    /// Who should be heard by whom, for every need; it is to be heard on the air.
    pub pairs: Vec<Pair>,
}

/// The sets of one gateway or agency, in the order in which one walks past them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Part {
    /// Whose they are.
    pub whose: Whose,
    /// Its name; "No agency" for sets of units without one.
    pub title: String,
    /// The sets: by port at a gateway, by unit and name in an agency.
    pub sets: Vec<Set>,
}

/// Whose sets a part lists.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Whose {
    /// They are cabled to this gateway.
    Gateway(GatewayId),
    /// Units of this agency carry them.
    Agency(AgencyId),
    /// Units without an agency carry them.
    Nobody,
}

/// One radio in use, or another thing at a port.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Set {
    /// The radio, telephone, headset or tie.
    pub thing: ThingId,
    /// Its name.
    pub name: String,
    /// Where it is: "port 3" at a gateway, else the unit, with the number of sets where each head of it
    /// carries one.
    pub with: String,
    /// The channel selected; `None` where none is, and for what is no radio.
    pub channel: Option<ChannelId>,
    /// The channel's name as this set shows it; empty where there is none.
    pub reads: String,
    /// The facts that matter on the channel, in the order of [`Fact::ALL`].
    pub facts: Vec<FactLine>,
    /// What is to be tried out at the port, for what stands at one.
    pub at_port: Option<AtPort>,
}

/// One programmed fact.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FactLine {
    /// Which.
    pub fact: Fact,
    /// How it should read on the set, such as "receive 155.7525 MHz, transmit 158.7900 MHz".
    pub words: String,
    /// The set is meant to differ here from the channel's definition.
    pub differs: bool,
    /// Who verified it, and when.
    pub verified: Option<Verified>,
}

/// What is to be tried out at a port.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AtPort {
    /// The port.
    pub port: PortRef,
    /// Every step, in the order of [`Step::ALL`]; the own agency only for a donor.
    pub steps: Vec<StepLine>,
    /// What was heard, in words.
    pub heard: String,
}

/// One step.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StepLine {
    /// Which.
    pub step: Step,
    /// What should be found, such as "cable C-7" or "talk group 2, Tactical".
    pub words: String,
    /// Who did it, and when.
    pub done: Option<Verified>,
}

/// One who should be heard by another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pair {
    /// The need that asks for it.
    pub need: NeedId,
    /// Who speaks.
    pub from: Party,
    /// Who should hear.
    pub to: Party,
    /// How late by the plan, in milliseconds; `None` where the plan says it is not heard.
    pub delay_ms: Option<u32>,
    /// That it was heard on the air, by the path it takes now.
    pub heard: Option<HeardPair>,
    /// It was heard, but by another path than it takes now, so that it is to be tried again.
    pub is_outdated: bool,
}

/// How far a list of ticks is.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Progress {
    /// Ticked.
    pub done: usize,
    /// All.
    pub all: usize,
}

impl PreCheck {
    /// Lists everything to be checked for the phase of a picture.
    pub fn of(picture: &Picture) -> Self {
        let s = picture.scenario();
        let Some(phase) = picture.phase() else {
            return Self::default();
        };
        let mut parts: BTreeMap<Whose, Vec<Set>> = BTreeMap::new();
        for (port, attachment) in &phase.attachments {
            let sets = parts.entry(Whose::Gateway(port.gateway)).or_default();
            sets.push(at_port(picture, phase, *port, *attachment));
        }
        for unit in s.units.iter() {
            let whose = unit.agency.map_or(Whose::Nobody, Whose::Agency);
            for radio in s.radios_of(unit.id) {
                // A donor is checked at its gateway.
                if picture.port_of(radio.id).is_none() {
                    let with = match unit.heads {
                        0 | 1 => unit.name.clone(),
                        heads => format!("{}, {heads} sets", unit.name),
                    };
                    let sets = parts.entry(whose).or_default();
                    sets.push(carried(picture, radio, with));
                }
            }
        }
        let parts = parts.into_iter().map(|(whose, sets)| Part {
            whose,
            title: match whose {
                Whose::Gateway(id) => s.name(id.into()),
                Whose::Agency(id) => s.name(id.into()),
                Whose::Nobody => "No agency".to_owned(),
            },
            sets,
        });
        let pairs = s.needs.iter().flat_map(|need| {
            need.pairs_to_hear().into_iter().map(|(from, to)| {
                let heard = heard(picture, from, to);
                Pair {
                    need: need.id,
                    from,
                    to,
                    delay_ms: picture.hearing().arrival(from, to).map(|a| a.delay_ms),
                    is_outdated: heard.is_none() && phase.pairs.contains_key(&(from, to)),
                    heard,
                }
            })
        });
        Self {
            parts: parts.collect(),
            pairs: pairs.collect(),
        }
    }

    /// Returns how many programmed facts are verified.
    pub fn facts(&self) -> Progress {
        self.sets().map(Set::facts_done).sum()
    }

    /// Returns how many steps at ports are done.
    pub fn steps(&self) -> Progress {
        self.sets().map(Set::steps_done).sum()
    }

    /// Returns how many pairs that the plan says are heard were heard on the air, each counted once
    /// however many needs ask for it.
    pub fn heard(&self) -> Progress {
        let by_plan = self.pairs.iter().filter(|pair| pair.delay_ms.is_some());
        let each: BTreeMap<(Party, Party), bool> = by_plan
            .map(|pair| ((pair.from, pair.to), pair.heard.is_some()))
            .collect();
        Progress::of(each.into_values())
    }

    /// Lists every set, part after part.
    pub fn sets(&self) -> impl Iterator<Item = &Set> {
        self.parts.iter().flat_map(|part| &part.sets)
    }
}

impl Set {
    /// Returns how many of its facts are verified.
    pub fn facts_done(&self) -> Progress {
        Progress::of(self.facts.iter().map(|line| line.verified.is_some()))
    }

    /// Returns who heard its own agency and was answered, where that is to be tried out.
    pub fn own_agency(&self) -> Option<&StepLine> {
        let mut steps = self.at_port.iter().flat_map(|at| &at.steps);
        steps.find(|line| line.step == Step::OwnAgency)
    }

    /// Returns how many steps at its port are done.
    pub fn steps_done(&self) -> Progress {
        let steps = self.at_port.iter().flat_map(|at| &at.steps);
        Progress::of(steps.map(|line| line.done.is_some()))
    }
}

impl Progress {
    fn of(ticks: impl Iterator<Item = bool>) -> Self {
        ticks.fold(Self::default(), |sum, done| Self {
            done: sum.done + usize::from(done),
            all: sum.all + 1,
        })
    }
}

impl std::iter::Sum for Progress {
    fn sum<I: Iterator<Item = Self>>(parts: I) -> Self {
        parts.fold(Self::default(), |sum, part| Self {
            done: sum.done + part.done,
            all: sum.all + part.all,
        })
    }
}

/// Lists the facts that matter on a channel: a code where one may be sent, encryption where there is a key.
pub fn facts_that_matter(tuned: Tuned<'_>) -> impl Iterator<Item = Fact> {
    let effective = tuned.entry.effective(tuned.channel);
    let has_code = matches!(effective.carrier, Carrier::Conventional(c) if c.mode != Mode::Am);
    let has_key = effective.protection.key().is_some();
    Fact::ALL.into_iter().filter(move |fact| match fact {
        Fact::Frequency | Fact::Mode => true,
        Fact::AccessCode => has_code,
        Fact::Encryption => has_key,
    })
}

/// Returns the edit that ticks facts of a radio's channel, or takes their ticks off where nobody is
/// named; `None` where the channel is not programmed.
pub fn verify(
    radio: &Radio,
    channel: ChannelId,
    facts: impl IntoIterator<Item = Fact>,
    by: Option<&Verified>,
) -> Option<Edit> {
    let mut entry = radio.entry(channel)?.clone();
    for fact in facts {
        match by {
            Some(by) => drop(entry.verified.insert(fact, by.clone())),
            None => drop(entry.verified.remove(&fact)),
        }
    }
    Some(Edit::Program {
        radio: radio.id,
        entry,
    })
}

/// Returns the edit that ticks steps at a port, or takes their ticks off where nobody is named.
pub fn tried(
    phase: &Phase,
    port: PortRef,
    steps: impl IntoIterator<Item = Step>,
    by: Option<&Verified>,
) -> Edit {
    let mut tested = phase.tested.get(&port).cloned().unwrap_or_default();
    for step in steps {
        match by {
            Some(by) => drop(tested.steps.insert(step, by.clone())),
            None => drop(tested.steps.remove(&step)),
        }
    }
    Edit::Test {
        phase: phase.id,
        port,
        tested,
    }
}

fn carried(picture: &Picture, radio: &Radio, with: String) -> Set {
    let tuned = picture.tuned(radio);
    Set {
        thing: radio.id.into(),
        name: radio.name.clone(),
        with,
        channel: tuned.map(|t| t.channel.id),
        reads: tuned.map_or_else(String::new, |t| t.entry.label(t.channel).to_owned()),
        facts: tuned.map_or_else(Vec::new, |t| {
            facts_that_matter(t)
                .map(|fact| fact_line(t, fact))
                .collect()
        }),
        at_port: None,
    }
}

fn at_port(picture: &Picture, phase: &Phase, port: PortRef, attachment: Attachment) -> Set {
    let s = picture.scenario();
    let with = format!("port {}", port.port);
    let radio = radio_of(attachment).and_then(|id| s.radios.get(id));
    let set = match radio {
        Some(radio) => carried(picture, radio, with),
        None => Set {
            thing: attachment.thing(),
            name: s.name(attachment.thing()),
            with,
            channel: None,
            reads: String::new(),
            facts: Vec::new(),
            at_port: None,
        },
    };
    let empty = Tested::default();
    let tested = phase.tested.get(&port).unwrap_or(&empty);
    // Only a radio has an agency of its own on the air.
    let is_asked = |step: &Step| *step != Step::OwnAgency || radio.is_some();
    let steps = Step::ALL.into_iter().filter(is_asked);
    let steps = steps.map(|step| StepLine {
        step,
        words: step_words(s, phase, port, attachment, step),
        done: tested.steps.get(&step).cloned(),
    });
    Set {
        at_port: Some(AtPort {
            port,
            steps: steps.collect(),
            heard: tested.heard.clone(),
        }),
        ..set
    }
}

fn radio_of(attachment: Attachment) -> Option<RadioId> {
    match attachment {
        Attachment::Radio { radio, .. } => Some(radio),
        Attachment::Telephone(_) | Attachment::Headset(_) | Attachment::Tie(_) => None,
    }
}

fn fact_line(tuned: Tuned<'_>, fact: Fact) -> FactLine {
    let Tuned { channel, entry } = tuned;
    let as_defined = Programmed {
        secure: entry.secure,
        receive_only: entry.receive_only,
        ..Programmed::as_defined(channel.id)
    };
    let words = fact_words(tuned, fact);
    let defined = Tuned {
        channel,
        entry: &as_defined,
    };
    FactLine {
        fact,
        differs: words != fact_words(defined, fact),
        words,
        verified: entry.verified.get(&fact).cloned(),
    }
}

/// Says how a fact should read on a set.
fn fact_words(tuned: Tuned<'_>, fact: Fact) -> String {
    let entry = tuned.entry;
    let effective = entry.effective(tuned.channel);
    match (fact, effective.carrier) {
        (Fact::Frequency, Carrier::Conventional(c)) if entry.receive_only => {
            format!("receive {}, listens only", c.rx)
        }
        (Fact::Frequency, Carrier::Conventional(c)) if c.rx == c.tx => {
            format!("{} both ways", c.rx)
        }
        (Fact::Frequency, Carrier::Conventional(c)) => {
            format!("receive {}, transmit {}", c.rx, c.tx)
        }
        (Fact::Frequency, Carrier::Grouped { group, .. }) => format!("group {group}"),
        (Fact::AccessCode, Carrier::Conventional(c)) if c.rx_code == c.tx_code => match c.rx_code {
            AccessCode::None => "no code either way".to_owned(),
            code => format!("{code} both ways"),
        },
        (Fact::AccessCode, Carrier::Conventional(c)) => {
            format!("receive {}, transmit {}", c.rx_code, c.tx_code)
        }
        (Fact::AccessCode, Carrier::Grouped { .. }) => AccessCode::None.to_string(),
        (Fact::Mode, Carrier::Conventional(c)) => {
            let mixed = if c.mixed {
                ", hears analogue FM too"
            } else {
                ""
            };
            let khz = f64::from(c.bandwidth_hz) / 1000.0;
            format!("{}, {khz} kHz{mixed}", c.mode)
        }
        (Fact::Mode, Carrier::Grouped { mode, .. }) => mode.to_string(),
        (Fact::Encryption, _) => match effective.protection {
            Protection::Optional(key) if entry.secure => format!("{key}, secure switch on"),
            Protection::Optional(key) => format!("{key}, secure switch off"),
            other => other.to_string(),
        },
    }
}

/// Says what should be found at a port.
fn step_words(
    s: &Scenario,
    phase: &Phase,
    port: PortRef,
    attachment: Attachment,
    step: Step,
) -> String {
    let socket = s.port(port);
    match (step, attachment) {
        (Step::OwnAgency, _) => "heard and answered, cable out".to_owned(),
        (Step::CableIn, Attachment::Radio { cable, .. }) => match cable {
            Some(cable) => format!("cable {}", s.name(cable.into())),
            None => "no cable chosen yet".to_owned(),
        },
        (Step::CableIn, other) => format!("{} plugged in", other.thing().kind()),
        (Step::Level, _) => socket.map_or_else(String::new, |p| {
            let keying = match p.keying {
                Keying::PttLine => String::new(),
                Keying::VoiceOperated { .. } => ", keyed by the sound itself".to_owned(),
            };
            format!("{}, buffer {} ms{keying}", p.level.words(), p.buffer_ms)
        }),
        (Step::TalkGroup, _) => match phase.group_of(port) {
            Some(group) => {
                let name = s.talk_group(group).map_or("", |g| g.name.as_str());
                if name.is_empty() {
                    format!("talk group {}", group.group)
                } else {
                    format!("talk group {}, {name}", group.group)
                }
            }
            None => "switched to none".to_owned(),
        },
        (Step::CountIn, Attachment::Radio { .. }) => {
            "count heard from the air at the gateway".to_owned()
        }
        (Step::CountIn, _) => "count heard from it at the gateway".to_owned(),
        (Step::CountOut, Attachment::Radio { .. }) => {
            "count from the gateway heard on the air".to_owned()
        }
        (Step::CountOut, _) => "count from the gateway heard at it".to_owned(),
    }
}
