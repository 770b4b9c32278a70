//! A talk group or channel carries more speech than its people are at ease with.
//!
//! ## What it flags
//! A talk group whose joined load, or a channel on no talk group whose load, reaches a ceiling of
//! practice. Channels of a talk group are not told beside it: they carry the same speech.
//!
//! ## Why it matters
//! One speaks at a time. As the load rises people wait for a gap, then press without one; two messages
//! meet and both are lost, and the one that is lost may be the mayday. Joining adds loads, so two nets
//! that were quiet can make one that is not.
//!
//! ## How it decides
//! The loads of everybody whose speech is carried are added up along the derivation and set against the
//! figures of practice for comfortable, strained and most; waiting is Erlang C on one channel. From one
//! erlang on the queue grows without end. Between comfortable and strained, a group that joining has
//! made so, by multiplying a channel's wait, is told of as that and not here. Figures for few people
//! count them as the few they are.
//!
//! ## Severity
//! Notes from the comfortable ceiling, warns from the strained one, stops from one erlang: then the plan
//! cannot work, whoever is on the air. The figures are means over an hour and hopeful at the worst
//! minute, when everybody has news at once.
//!
//! ## Example
//! Fire attack and law tactical, 0.3 erlang each, are on one talk group: 0.6 erlang, and the mean wait
//! goes from 0.43 to 1.5 messages.
//!
//! ## Source
//! Erlang C: textbook. The ceilings: common practice, no source.

use super::nets::{self, Joined, settled};
use crate::checks::{Check, say};
use crate::model::{Evidence, Finding, Practice, Severity};
use crate::picture::Picture;
use crate::picture::traffic::Net;

/// The check.
pub const CHECK: Check = Check {
    code: "G06",
    name: "overloaded",
    severity: Severity::Stops,
    text: include_str!("overloaded.rs"),
    run,
};

/// Load that one channel cannot carry however long people wait, in erlangs.
const FULL_ERL: f64 = 1.0;

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let practice = &picture.scenario().practice;
    let groups = nets::groups(picture).into_iter();
    for net in groups.chain(nets::channels(picture)) {
        let Some((severity, words)) = judged(practice, net.net.all_erl) else {
            continue;
        };
        if severity == Severity::Notes && !net.multiplied(&picture.scenario().practice).is_empty() {
            continue;
        }
        out.push(tell(picture, &net, severity, &words));
    }
}

/// Returns how bad a load is, and why in words.
fn judged(practice: &Practice, load_erl: f64) -> Option<(Severity, String)> {
    if load_erl >= FULL_ERL {
        let words = "more than one net can carry, so that waiting grows without end";
        Some((Severity::Stops, words.to_owned()))
    } else if load_erl >= practice.load_most_erl {
        let words = format!(
            "and from {} erlang on people talk over each other",
            practice.load_most_erl
        );
        Some((Severity::Warns, words))
    } else if load_erl >= practice.load_strained_erl {
        let words = format!(
            "and from {} erlang on people are strained",
            practice.load_strained_erl
        );
        Some((Severity::Warns, words))
    } else if load_erl >= practice.load_comfortable_erl {
        let words = format!(
            "and people are at ease up to {} erlang",
            practice.load_comfortable_erl
        );
        Some((Severity::Notes, words))
    } else {
        None
    }
}

fn tell(picture: &Picture, joined: &Joined<'_>, severity: Severity, words: &str) -> Finding {
    let scenario = picture.scenario();
    let net = joined.net;
    let headline = format!(
        "{} carries {} erlang, {words}",
        scenario.name(joined.thing),
        say::hundredths(net.all_erl)
    );
    let mut finding = CHECK.finding(severity, joined.thing, headline);
    finding.related = joined.same.iter().map(|group| (*group).into()).collect();
    finding.evidence = vec![Evidence::number(
        "load now",
        say::hundredths(net.all_erl),
        "erlang",
    )];
    if let Some((busiest, alone)) = joined.channels.first() {
        finding.related.push((*busiest).into());
        finding.evidence.push(Evidence::number(
            "load of its busiest channel before joining",
            say::hundredths(alone.own_erl),
            "erlang",
        ));
        if let Some((chance, wait_s)) = settled(alone.before) {
            finding.evidence.extend([
                Evidence::number("chance to wait before joining", say::percent(chance), "%"),
                Evidence::number("mean wait before joining", say::tenths(wait_s), "s"),
            ]);
        }
        let left_erl = net.all_erl - alone.own_erl;
        if joined.channels.len() > 1 && alone.own_erl > 0.0 && left_erl > 0.0 {
            finding.hints.push(format!(
                "Without {}, which brings {} erlang, {} erlang at most would be left",
                scenario.name((*busiest).into()),
                say::hundredths(alone.own_erl),
                say::hundredths(left_erl)
            ));
        }
    }
    match settled(net.now) {
        Some((chance, wait_s)) => finding.evidence.extend([
            Evidence::number("chance to wait now", say::percent(chance), "%"),
            Evidence::number("mean wait now", say::tenths(wait_s), "s"),
        ]),
        None => finding
            .evidence
            .push(Evidence::text("wait now", "grows without end")),
    }
    finding
        .evidence
        .push(Evidence::number("people", net.people.into(), "people"));
    if let Some(few) = net.few {
        finding.evidence.extend([
            Evidence::number(
                "chance to wait, people counted as few",
                say::percent(few.wait_probability),
                "%",
            ),
            Evidence::number(
                "mean wait, people counted as few",
                say::tenths(few.mean_wait_s),
                "s",
            ),
        ]);
    }
    finding.hints.push(split(&scenario.practice, net));
    finding
}

/// Says how many nets this much speech takes.
fn split(practice: &Practice, net: &Net) -> String {
    let nets = (net.all_erl / practice.load_comfortable_erl)
        .ceil()
        .max(2.0);
    format!(
        "Split it: for all to be at ease this much speech takes {nets} nets of {} erlang at most",
        practice.load_comfortable_erl
    )
}
