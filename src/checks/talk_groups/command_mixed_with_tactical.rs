//! Command and tactical channels are on one talk group.
//!
//! ## What it flags
//! A talk group with donors on a command and on a tactical channel, or a talk group for command with a
//! donor on a tactical channel.
//!
//! ## Why it matters
//! Every word from the ground is repeated on the command net and the other way round. Command loses its
//! quiet, and crews lose air time to talk that is not theirs.
//!
//! ## How it decides
//! The purpose noted with each donor's selected channel, and with the talk group, is compared. Channels
//! without a noted purpose are not judged.
//!
//! ## Severity
//! Warns: audible, but it works. It may be meant for the first minutes.
//!
//! ## Example
//! Group 1 joins the fire attack channel with the law command channel.
//!
//! ## Source
//! Separate command and tactical nets are common practice under ICS; the sum of loads follows from the
//! switches.

use std::collections::BTreeMap;

use crate::checks::{Check, say};
use crate::model::{Edit, Evidence, Finding, Fix, Grade, PortRef, Role, Severity, TalkGroupRef};
use crate::picture::{Donor, Picture};

/// The check.
pub const CHECK: Check = Check {
    code: "G04",
    name: "command-mixed-with-tactical",
    severity: Severity::Warns,
    text: include_str!("command_mixed_with_tactical.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let scenario = picture.scenario();
    let mut groups: BTreeMap<TalkGroupRef, Vec<Donor<'_>>> = BTreeMap::new();
    for donor in picture.donors() {
        if let Some(group) = donor.group {
            groups.entry(group).or_default().push(donor);
        }
    }
    for (group, donors) in groups {
        let purpose = scenario.talk_group(group).and_then(|g| g.purpose);
        let of = |role: Role| -> Vec<&Donor<'_>> {
            donors
                .iter()
                .filter(|d| d.tuned.is_some_and(|t| t.channel.purpose == Some(role)))
                .collect()
        };
        let (command, tactical) = (of(Role::Command), of(Role::Tactical));
        let is_mixed = !command.is_empty() || purpose == Some(Role::Command);
        if tactical.is_empty() || !is_mixed {
            continue;
        }
        let names = |donors: &[&Donor<'_>]| -> String {
            let names: Vec<String> = donors
                .iter()
                .filter_map(|d| d.tuned.map(|t| t.channel.name.clone()))
                .collect();
            say::list(&names)
        };
        let name = scenario.name(group.into());
        let headline = if command.is_empty() {
            format!(
                "{name} is for command and has tactical {}",
                names(&tactical)
            )
        } else {
            format!(
                "{name} joins command {} with tactical {}",
                names(&command),
                names(&tactical)
            )
        };
        let mut finding = CHECK.finding(Severity::Warns, group, headline);
        let ports = command.iter().chain(&tactical).map(|d| d.port);
        finding.related = ports.map(Into::into).collect();
        finding.evidence = vec![
            Evidence::number("command donors", command.len() as f64, "radios"),
            Evidence::number("tactical donors", tactical.len() as f64, "radios"),
        ];
        finding.hints = vec!["Give command and tactical a talk group each".to_owned()];
        let strays = if purpose == Some(Role::Command) {
            tactical
        } else {
            command
        };
        let strays: Vec<PortRef> = strays.iter().map(|d| d.port).collect();
        finding.fixes = other_groups(picture, group, purpose)
            .map(|other| part(picture, &strays, other))
            .collect();
        out.push(finding);
    }
}

/// Lists the gateway's other talk groups that could take the ports of the other purpose.
fn other_groups(
    picture: &Picture,
    group: TalkGroupRef,
    purpose: Option<Role>,
) -> impl Iterator<Item = u8> {
    let wanted = if purpose == Some(Role::Command) {
        Role::Tactical
    } else {
        Role::Command
    };
    let gateway = picture.scenario().gateways.get(group.gateway);
    gateway
        .into_iter()
        .flat_map(|g| &g.talk_groups)
        .filter(move |g| g.number != group.group && g.purpose.is_none_or(|p| p == wanted))
        .map(|g| g.number)
}

fn part(picture: &Picture, strays: &[PortRef], group: u8) -> Fix {
    let numbers: Vec<String> = strays.iter().map(|p| p.port.to_string()).collect();
    Fix {
        title: format!(
            "Switch port{} {} to talk group {group}",
            if strays.len() == 1 { "" } else { "s" },
            say::list(&numbers)
        ),
        grade: Grade::Ask,
        edits: strays
            .iter()
            .map(|port| Edit::Switch {
                phase: picture.phase_id(),
                port: *port,
                group: Some(group),
            })
            .collect(),
    }
}
