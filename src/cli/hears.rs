//! `hears`: who hears whom; one pair explained step by step, or why not and what would join it.

use std::io::{self, Write};

use serde_json::{Value as Json, json};

use crate::engineering::timing::press_and_wait;
use crate::exchange::Heard as Question;
use crate::format::did_you_mean;
use crate::hearing::why_not::{WhyNot, why_not_given};
use crate::hearing::{Arrival, Hearing, Path, Secrecy, Step, StepKind};
use crate::model::{Party, Phase, Scenario, ThingId};
use crate::picture::timing;

use super::args::Hears;
use super::error::{Error, Kind};
use super::matrix;
use super::show::{BOLD, ERROR, clean, json_lines, labelled};
use super::{Outcome, done, open};

/// Answers for everybody, for a row, for a column or for a pair.
pub(super) fn run(args: &Hears, out: &mut dyn Write) -> Result<Outcome, Error> {
    let scenario = open::scenario(&args.file, out, args.json)?;
    let phase = open::phase(&scenario, args.phase.as_deref())?;
    let find = |asked: &Option<String>| asked.as_deref().map(|a| party(&scenario, a)).transpose();
    let (from, to) = (find(&args.from)?, find(&args.to)?);
    let on = On {
        file: args.file.display().to_string(),
        hearing: Hearing::derive(&scenario, phase.id),
        scenario: &scenario,
        phase,
    };
    let written = match (from, to) {
        (Some(from), Some(to)) if args.json => on.pair_json(out, from, to),
        (Some(from), Some(to)) => on.pair(out, from, to),
        (from, to) => {
            let question = Question {
                file: &on.file,
                scenario: on.scenario,
                phase: on.phase,
                hearing: &on.hearing,
                from,
                to,
            };
            if args.json {
                question.json(out)
            } else {
                matrix::text(out, &question)
            }
        }
    };
    done(Outcome::Clean, written)
}

/// Finds a party by key, or by name in any case.
fn party(scenario: &Scenario, asked: &str) -> Result<Party, Error> {
    let parties: Vec<(Party, String, String)> = scenario
        .parties()
        .map(|p| (p, scenario.key(p.into()), scenario.name(p.into())))
        .collect();
    let lower = asked.to_lowercase();
    let by_key = parties.iter().find(|(_, key, _)| key == asked);
    let found = by_key.or_else(|| {
        let is_named = |name: &str| name.to_lowercase() == lower;
        parties.iter().find(|(_, _, name)| is_named(name))
    });
    if let Some((party, _, _)) = found {
        return Ok(*party);
    }
    let error = Error::new(
        Kind::Usage,
        format!("there is no unit, telephone or headset '{asked}'"),
    );
    let telephone = scenario.telephones.by_key(asked).and_then(|t| t.held_by);
    let headset = scenario.headsets.by_key(asked).and_then(|h| h.held_by);
    if let Some(unit) = telephone.or(headset) {
        let unit = scenario.key(unit.into());
        return Err(error.hint(format!(
            "'{asked}' is in the hands of '{unit}': ask for that unit"
        )));
    }
    let words = parties
        .iter()
        .flat_map(|(_, key, name)| [key.as_str(), name.as_str()]);
    Err(error
        .maybe_hint(did_you_mean(asked, words))
        .hint("`crosspatch hears FILE` lists everybody"))
}

struct On<'a> {
    file: String,
    scenario: &'a Scenario,
    phase: &'a Phase,
    hearing: Hearing,
}

impl On<'_> {
    fn name(&self, id: impl Into<ThingId>) -> String {
        clean(&self.scenario.name(id.into()))
    }

    fn why_not(&self, from: Party, to: Party) -> WhyNot {
        why_not_given(self.scenario, &self.hearing, self.phase.id, from, to)
    }

    fn pair(&self, out: &mut dyn Write, from: Party, to: Party) -> io::Result<()> {
        let (speaker, hearer) = (self.name(from), self.name(to));
        let phase = clean(&self.phase.name);
        if from == to {
            return writeln!(out, "{speaker} needs no radio to hear {hearer}");
        }
        if let Some(path) = self.hearing.path(self.scenario, from, to) {
            writeln!(out, "{BOLD}{hearer} hears {speaker}{BOLD:#} in {phase}")?;
            self.path(out, &path)?;
        } else {
            writeln!(
                out,
                "{ERROR}{hearer} does not hear {speaker}{ERROR:#} in {phase}"
            )?;
            self.reasons(out, &self.why_not(from, to))?;
        }
        let back = if self.hearing.arrival(to, from).is_some() {
            format!("{speaker} hears {hearer}")
        } else {
            format!("{speaker} does not hear {hearer}")
        };
        labelled(out, 2, "back", &back)
    }

    fn path(&self, out: &mut dyn Write, path: &Path) -> io::Result<()> {
        for (i, step) in path.steps.iter().enumerate() {
            let mut costs = Vec::new();
            if step.delay_ms > 0 {
                costs.push(format!("+{} ms", step.delay_ms));
            }
            if step.clipped_ms > 0 {
                costs.push(format!("cuts {} ms off the front", step.clipped_ms));
            }
            let costs = if costs.is_empty() {
                String::new()
            } else {
                format!(" ({})", costs.join(", "))
            };
            let text = sentence(self.scenario, step);
            labelled(out, 2, &format!("{}.", i + 1), &format!("{text}{costs}"))?;
        }
        let Arrival {
            by_scan,
            delay_ms,
            clipped_ms,
            codec_passes,
            ..
        } = path.arrival;
        writeln!(out)?;
        labelled(out, 2, "delay", &format!("{delay_ms} ms from mouth to ear"))?;
        labelled(
            out,
            2,
            "lost",
            &format!("{clipped_ms} ms off the front of the message"),
        )?;
        labelled(
            out,
            2,
            "access",
            &format!(
                "{} ms until the speaker's own system carries speech",
                path.wait_ms
            ),
        )?;
        let timing = timing::of(self.scenario, path);
        let best = if timing.unknown_vocoders > 0 {
            " at best: no figure is known for a vocoder on the way"
        } else {
            ""
        };
        let rated = format!(
            "R {:.0}, {}, mean opinion {:.1}{best}",
            timing.rating,
            timing.quality.word(),
            timing.mos
        );
        labelled(out, 2, "rating", &rated)?;
        let tenths = press_and_wait::tenths(timing.press_and_wait_ms);
        let advice = format!("press, wait {tenths} tenths of a second, then speak");
        labelled(out, 2, "advice", &advice)?;
        let times = if codec_passes == 1 { "time" } else { "times" };
        let passes = format!("coded and decoded {codec_passes} {times}");
        labelled(out, 2, "codecs", &passes)?;
        labelled(out, 2, "secrecy", &self.secrecy(&path.secrecy))?;
        if by_scan {
            let text = "only by a scanning receiver: one-way until proved otherwise";
            labelled(out, 2, "scan", text)?;
        }
        Ok(())
    }

    fn secrecy(&self, secrecy: &Secrecy) -> String {
        let names = |ids: Vec<ThingId>| -> String {
            let names: Vec<String> = ids.into_iter().map(|id| self.name(id)).collect();
            names.join(", ")
        };
        match secrecy {
            Secrecy::Clear => "clear from the start".to_owned(),
            Secrecy::Kept { opened_in } if opened_in.is_empty() => {
                "encrypted all the way".to_owned()
            }
            Secrecy::Kept { opened_in } => format!(
                "encrypted on every hop; in clear inside {}",
                names(opened_in.iter().map(|g| (*g).into()).collect())
            ),
            Secrecy::Ends {
                port, listeners, ..
            } => {
                let heard = if listeners.is_empty() {
                    "nobody else of this plan".to_owned()
                } else {
                    names(listeners.iter().map(|p| (*p).into()).collect())
                };
                format!(
                    "ends at {}: from there it is in clear, heard by {heard}",
                    self.name(*port)
                )
            }
        }
    }

    fn reasons(&self, out: &mut dyn Write, answer: &WhyNot) -> io::Result<()> {
        if answer.changes.is_empty() {
            let text = "no change of settings or cables would join them: it takes other radios";
            return labelled(out, 2, "because", text);
        }
        for change in &answer.changes {
            labelled(out, 2, "because", &change.reason)?;
        }
        writeln!(out)?;
        for (i, change) in answer.changes.iter().enumerate() {
            let label = if i == 0 { "change" } else { "and" };
            labelled(out, 2, label, &change.title)?;
        }
        let proof = if answer.proved {
            "tried on a copy: then it is heard"
        } else {
            "not tried: some of it takes hands"
        };
        labelled(out, 2, "proof", proof)?;
        for (from, to) in answer.cuts.iter().take(10) {
            let text = format!(
                "{} would no longer hear {}",
                self.name(*to),
                self.name(*from)
            );
            labelled(out, 2, "but", &text)?;
        }
        let more = answer.cuts.len().saturating_sub(10);
        if more > 0 {
            labelled(out, 2, "but", &format!("and {more} more pairs"))?;
        }
        for need in &answer.joins {
            let text = format!(
                "{} is no longer kept apart",
                self.scenario.name((*need).into())
            );
            labelled(out, 2, "but", &text)?;
        }
        Ok(())
    }

    fn pair_json(&self, out: &mut dyn Write, from: Party, to: Party) -> io::Result<()> {
        let key = |party: Party| self.scenario.key(party.into());
        let path = self.hearing.path(self.scenario, from, to);
        let arrival = path.as_ref().map(|p| p.arrival);
        let timing = path.as_ref().map(|p| timing::of(self.scenario, p));
        let answer = match &path {
            Some(_) => WhyNot::default(),
            None => self.why_not(from, to),
        };
        let steps: Vec<Json> = path
            .iter()
            .flat_map(|p| &p.steps)
            .map(|step| {
                json!({
                    "kind": step.at.kind().word(),
                    "key": self.scenario.key(step.at),
                    "what": word(step.what),
                    "text": sentence(self.scenario, step),
                    "delay_ms": step.delay_ms,
                    "clipped_ms": step.clipped_ms,
                })
            })
            .collect();
        let secrecy = path.as_ref().map(|p| match p.secrecy {
            Secrecy::Clear => "clear",
            Secrecy::Kept { .. } => "kept",
            Secrecy::Ends { .. } => "ends",
        });
        let changes: Vec<&str> = answer.changes.iter().map(|c| c.title.as_str()).collect();
        let reasons: Vec<&str> = answer.changes.iter().map(|c| c.reason.as_str()).collect();
        let cuts: Vec<Json> = answer
            .cuts
            .iter()
            .map(|(from, to)| json!({"from": key(*from), "to": key(*to)}))
            .collect();
        let joins = answer.joins.iter();
        let joins: Vec<String> = joins.map(|n| self.scenario.key((*n).into())).collect();
        json_lines(
            out,
            &json!({
                "file": self.file,
                "phase": self.phase.key,
                "from": key(from),
                "to": key(to),
                "heard": path.is_some(),
                "delay_ms": arrival.map(|a| a.delay_ms),
                "clipped_ms": arrival.map(|a| a.clipped_ms),
                "wait_ms": path.as_ref().map(|p| p.wait_ms),
                "codec_passes": arrival.map(|a| a.codec_passes),
                "rating": timing.as_ref().map(|t| t.rating),
                "mos": timing.as_ref().map(|t| t.mos),
                "press_and_wait_ms": timing.as_ref().map(|t| t.press_and_wait_ms),
                "by_scan": arrival.map(|a| a.by_scan),
                "encrypted": arrival.is_some_and(|a| a.encrypted),
                "secrecy": secrecy,
                "path": steps,
                "reasons": reasons,
                "changes": changes,
                "proved": answer.proved,
                "cuts": cuts,
                "joins": joins,
                "back": self.hearing.arrival(to, from).is_some(),
            }),
        )
    }
}

/// The word for what happens at a step, for programs.
fn word(what: StepKind) -> &'static str {
    match what {
        StepKind::Speaks => "speaks",
        StepKind::Transmits { .. } => "transmits",
        StepKind::Carries => "carries",
        StepKind::Receives { .. } => "receives",
        StepKind::EntersPort => "enters port",
        StepKind::OnTalkGroup => "on talk group",
        StepKind::LeavesPort => "leaves port",
        StepKind::Tied => "tied",
        StepKind::Called => "called",
        StepKind::Worn => "worn",
        StepKind::Hears => "hears",
    }
}

/// What happens at a step, in a sentence without a full stop.
fn sentence(scenario: &Scenario, step: &Step) -> String {
    let name = |id: ThingId| clean(&scenario.name(id));
    let at = name(step.at);
    match step.what {
        StepKind::Speaks => format!("{at} speaks"),
        StepKind::Transmits { channel, key } => {
            let key = key.map_or("in clear".to_owned(), |key| format!("encrypted with {key}"));
            format!("{at} transmits on {}, {key}", name(channel.into()))
        }
        StepKind::Carries => format!("{at} carries it"),
        StepKind::Receives { channel, by_scan } => {
            let scan = if by_scan { ", by scanning" } else { "" };
            format!("{at} receives on {}{scan}", name(channel.into()))
        }
        StepKind::EntersPort => format!("it enters {at}"),
        StepKind::OnTalkGroup => {
            let own = match step.at {
                ThingId::TalkGroup(group) => scenario.talk_group(group),
                _ => None,
            };
            let own = own.map(|g| clean(&g.name)).filter(|n| !n.is_empty());
            let own = own.map_or(String::new(), |n| format!(", {n},"));
            format!("{at}{own} takes it to its other ports")
        }
        StepKind::LeavesPort => format!("it leaves {at}"),
        StepKind::Tied | StepKind::Called | StepKind::Worn => format!("{at} carries it on"),
        StepKind::Hears => format!("{at} hears"),
    }
}
