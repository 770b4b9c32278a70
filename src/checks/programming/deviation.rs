//! Entries that differ from their channel's definition, and what the difference does on the air.
//!
//! Shared by the checks of this family, one for each aspect of an entry; not a check itself. The
//! effect is found by the rules of the air: an ideal radio with only this deviation is set against
//! an ideal radio programmed as the channel is defined, directly and through its repeater.

use std::collections::{BTreeMap, BTreeSet};

use crate::checks::Check;
use crate::hearing::rules::{self, Signal, Tuner};
use crate::model::{
    Channel, Edit, Effective, Finding, Fix, Grade, Mode, Programmed, Radio, RadioId, Severity,
    System,
};
use crate::picture::Picture;

/// What may differ.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::checks) enum Aspect {
    Frequency,
    AccessCode,
    Mode,
    Bandwidth,
    Group,
    Encryption,
}

impl Aspect {
    /// Returns an entry that deviates in this aspect as the given one does, and in nothing else.
    fn only(self, entry: &Programmed) -> Programmed {
        let mut only = Programmed::as_defined(entry.channel);
        match self {
            Self::Frequency => (only.rx, only.tx) = (entry.rx, entry.tx),
            Self::AccessCode => (only.rx_code, only.tx_code) = (entry.rx_code, entry.tx_code),
            Self::Mode => only.mode = entry.mode,
            Self::Bandwidth => only.bandwidth_hz = entry.bandwidth_hz,
            Self::Group => only.group = entry.group,
            Self::Encryption => {
                only.protection = entry.protection;
                only.encrypted_only = entry.encrypted_only;
            }
        }
        only
    }

    /// Returns the entry without any deviation in this aspect.
    fn cleared(self, entry: &Programmed) -> Programmed {
        let mut entry = entry.clone();
        match self {
            Self::Frequency => (entry.rx, entry.tx) = (None, None),
            Self::AccessCode => (entry.rx_code, entry.tx_code) = (None, None),
            Self::Mode => entry.mode = None,
            Self::Bandwidth => entry.bandwidth_hz = None,
            Self::Group => entry.group = None,
            Self::Encryption => (entry.protection, entry.encrypted_only) = (None, None),
        }
        entry
    }
}

/// An entry that deviates in one aspect.
pub(in crate::checks) struct Deviant<'a> {
    pub(in crate::checks) radio: &'a Radio,
    pub(in crate::checks) channel: &'a Channel,
    pub(in crate::checks) system: &'a System,
    pub(in crate::checks) entry: &'a Programmed,
    aspect: Aspect,
    /// As the channel is defined.
    pub(in crate::checks) defined: Effective,
    /// As defined, with this deviation only.
    pub(in crate::checks) found: Effective,
    /// The radio is in use and has this channel selected.
    pub(in crate::checks) is_selected: bool,
    /// What the difference does.
    effect: Effect,
    /// How many other radios on the channel deviate just so.
    alike: usize,
    /// Somebody else on the channel does not, or its repeater does not.
    has_company: bool,
}

/// What a difference does to a radio among others programmed as defined.
#[derive(Debug, Clone, Copy, Default)]
struct Effect {
    /// What it sends does not reach a radio or repeater programmed as defined.
    is_mute: bool,
    /// It does not hear what such a radio or repeater sends.
    is_deaf: bool,
}

impl Effect {
    fn is_silence(self) -> bool {
        self.is_mute || self.is_deaf
    }
}

/// Lists the entries that deviate in one aspect, in the order of radios.
pub(in crate::checks) fn deviants(picture: &Picture, aspect: Aspect) -> Vec<Deviant<'_>> {
    let mut crowds = BTreeMap::new();
    let mut found = Vec::new();
    for (radio, tuned) in picture.differing_in_question() {
        let channel = tuned.channel;
        let Some(system) = picture.scenario().systems.get(channel.system) else {
            continue;
        };
        let defined = Programmed::as_defined(channel.id).effective(channel);
        let only = aspect.only(tuned.entry);
        let effective = only.effective(channel);
        if effective == defined {
            continue;
        }
        let is_selected = picture.is_in_use(radio)
            && picture
                .tuned(radio)
                .is_some_and(|t| t.channel.id == channel.id);
        let crowd = crowds
            .entry(channel.id)
            .or_insert_with(|| Crowd::of(picture, channel, aspect));
        let same = crowd.count(&effective);
        // Another deviation may make up for this one, as talk-around with the output's code does.
        let (alone, full) = (
            effect(&only, channel, system),
            effect(tuned.entry, channel, system),
        );
        found.push(Deviant {
            radio,
            channel,
            system,
            entry: tuned.entry,
            aspect,
            defined,
            found: effective,
            is_selected,
            effect: Effect {
                is_mute: alone.is_mute && full.is_mute && !tuned.entry.receive_only,
                is_deaf: alone.is_deaf && full.is_deaf,
            },
            alike: same.saturating_sub(usize::from(is_selected)),
            has_company: crowd.total > same || system.kind.repeats(),
        });
    }
    found
}

impl Deviant<'_> {
    /// Tells how bad it is, given whether this kind of difference is one people make on purpose.
    pub(in crate::checks) fn severity(&self, is_deliberate: bool) -> Severity {
        match (self.is_selected, self.effect.is_silence()) {
            (true, true) if self.has_company => Severity::Stops,
            (_, false) if is_deliberate => Severity::Notes,
            _ => Severity::Warns,
        }
    }

    /// Starts the finding: subject, channel and the fix that clears the deviation.
    pub(in crate::checks) fn finding(
        &self,
        check: &Check,
        severity: Severity,
        what: &str,
    ) -> Finding {
        let headline = format!("{}, {}: {what}", self.radio.name, self.channel.name);
        let mut finding = check.finding(severity, self.radio.id, headline);
        finding.related = vec![self.channel.id.into()];
        let is_safe = severity != Severity::Notes && self.alike == 0;
        finding.fixes = vec![Fix {
            title: format!(
                "Program {} into {} as it is defined",
                self.channel.name, self.radio.name
            ),
            grade: if is_safe { Grade::Safe } else { Grade::Ask },
            edits: vec![Edit::Program {
                radio: self.radio.id,
                entry: self.aspect.cleared(self.entry),
            }],
        }];
        if self.is_selected && self.effect.is_silence() {
            finding.hints.push(
                match (self.effect.is_mute, self.effect.is_deaf) {
                    (true, true) => "It neither reaches the others on the channel nor hears them",
                    (true, false) => "It hears the others on the channel and does not reach them",
                    _ => "It reaches the others on the channel and does not hear them",
                }
                .to_owned(),
            );
        }
        if self.alike > 0 {
            finding.hints.push(format!(
                "{} on the channel programmed the same way: if that is meant, change the channel's \
                 definition instead",
                match self.alike {
                    1 => "1 other radio is".to_owned(),
                    n => format!("{n} other radios are"),
                }
            ));
        }
        finding
    }
}

/// How many radios are on a channel, by what one aspect of their entry comes to.
struct Crowd {
    total: usize,
    kinds: Vec<(Effective, usize)>,
}

impl Crowd {
    fn of(picture: &Picture, channel: &Channel, aspect: Aspect) -> Self {
        let mut crowd = Self {
            total: 0,
            kinds: Vec::new(),
        };
        for (_, entry) in picture.users_of(channel.id) {
            let effective = aspect.only(entry).effective(channel);
            crowd.total += 1;
            match crowd.kinds.iter_mut().find(|(kind, _)| *kind == effective) {
                Some((_, count)) => *count += 1,
                None => crowd.kinds.push((effective, 1)),
            }
        }
        crowd
    }

    fn count(&self, effective: &Effective) -> usize {
        let found = self.kinds.iter().find(|(kind, _)| kind == effective);
        found.map_or(0, |(_, count)| *count)
    }
}

/// Tells whether an ideal radio with this entry is mute and deaf to one programmed as defined.
fn effect(entry: &Programmed, channel: &Channel, system: &System) -> Effect {
    let plain = Programmed::as_defined(channel.id);
    let ideal = ideal(entry, channel);
    let signal = |entry: &Programmed| rules::signal_of(&ideal, entry, channel, system).ok();
    let tuner = |entry: &Programmed| rules::tuner_of(&ideal, entry, channel).ok();
    let heard = |signal: Option<Signal>, tuner: Option<Tuner>| {
        let (Some(signal), Some(tuner)) = (signal, tuner) else {
            return false;
        };
        let opens =
            |signal: &Signal| rules::reception_faults(&tuner, &ideal.keys, signal).is_empty();
        let repeated = rules::repeats(channel, system, &signal).and_then(Result::ok);
        opens(&signal) || repeated.is_some_and(|s| opens(&s))
    };
    if !heard(signal(&plain), tuner(&plain)) {
        // The definition itself carries nothing, so nothing is lost by differing from it.
        return Effect::default();
    }
    Effect {
        is_mute: !heard(signal(entry), tuner(&plain)),
        is_deaf: !heard(signal(&plain), tuner(entry)),
    }
}

/// A radio with every band and mode, and the keys in question.
fn ideal(entry: &Programmed, channel: &Channel) -> Radio {
    let keys = [
        channel.protection.key(),
        entry.effective(channel).protection.key(),
    ];
    Radio {
        modes: BTreeSet::from(Mode::ALL),
        keys: keys.into_iter().flatten().collect(),
        ..Radio::bare(RadioId(0), String::new())
    }
}
