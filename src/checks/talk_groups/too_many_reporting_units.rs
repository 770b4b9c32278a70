//! More units or people are on one net than one person can lead.
//!
//! ## What it flags
//! A command net on which more units speak than the figure of practice for reporting units; and a talk
//! group that joins more people than the figure for one net, as long as its load does not tell it.
//!
//! ## Why it matters
//! Whoever commands answers every report. Past a handful the reports queue up behind each other, and
//! the one who stays silent is missed last.
//!
//! ## How it decides
//! A command net is a talk group for command, a talk group without a purpose whose channels with a
//! purpose are all command, or a command channel on no talk group. Units count when they send messages.
//! People are those whose speech is carried; from the comfortable load on, the load says more and this
//! stays quiet about people.
//!
//! ## Severity
//! Notes: how many one person can lead depends on the people and on the work.
//!
//! ## Example
//! Nine division leaders report to command on one talk group.
//!
//! ## Source
//! Span of control of NIMS, by inference: it was written for people, not for nets. The figure for people
//! on one net: 0.35 erlang at six short messages an hour each, arithmetic; its ceiling is common
//! practice, no source.

use super::nets::{self, Joined};
use crate::checks::{Check, say};
use crate::model::{Evidence, Finding, Role, Severity, ThingId};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "G08",
    name: "too-many-reporting-units",
    severity: Severity::Notes,
    text: include_str!("too_many_reporting_units.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let scenario = picture.scenario();
    let practice = &scenario.practice;
    let groups = nets::groups(picture).into_iter();
    for joined in groups.chain(nets::channels(picture)) {
        let is_group = matches!(joined.thing, ThingId::TalkGroup(_));
        let reporting = joined.net.speaking;
        let people = f64::from(joined.net.people);
        let is_led_too_wide =
            reporting as f64 > practice.reporting_units && is_command(picture, &joined);
        let is_crowded = is_group
            && people > practice.people_per_net
            && joined.net.all_erl < practice.load_comfortable_erl;
        if !is_led_too_wide && !is_crowded {
            continue;
        }
        let name = scenario.name(joined.thing);
        let headline = if is_led_too_wide {
            format!(
                "{} speak on command net {name}, and one leader has {} at most",
                say::count(reporting, "unit"),
                practice.reporting_units
            )
        } else {
            format!(
                "{name} joins {people} people, and one net takes {}",
                practice.people_per_net
            )
        };
        let mut finding = CHECK.finding(Severity::Notes, joined.thing, headline);
        finding.related = joined.same.iter().map(|group| (*group).into()).collect();
        finding.evidence = vec![
            Evidence::number("units that speak", reporting as f64, "units"),
            Evidence::number("people", people, "people"),
            Evidence::number("load", say::hundredths(joined.net.all_erl), "erlang"),
        ];
        if is_led_too_wide {
            finding.hints.push(
                "Let crews report to their leader on another net, and only leaders on this one"
                    .to_owned(),
            );
        }
        if is_crowded {
            finding.hints.push(
                "By the plan's figures they speak seldom; make sure of that, or split the net"
                    .to_owned(),
            );
        }
        out.push(finding);
    }
}

/// Tells whether reports to command are what a net is for.
fn is_command(picture: &Picture, joined: &Joined<'_>) -> bool {
    let scenario = picture.scenario();
    let of_channel = |id| scenario.channels.get(id).and_then(|c| c.purpose);
    match joined.thing {
        ThingId::Channel(id) => of_channel(id) == Some(Role::Command),
        ThingId::TalkGroup(group) => {
            let mut purposes = joined
                .channels
                .iter()
                .filter_map(|(id, _)| of_channel(*id))
                .peekable();
            match scenario.talk_group(group).and_then(|g| g.purpose) {
                Some(purpose) => purpose == Role::Command,
                None => purposes.peek().is_some() && purposes.all(|p| p == Role::Command),
            }
        }
        _ => false,
    }
}
