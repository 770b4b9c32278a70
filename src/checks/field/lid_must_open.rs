//! A gateway in a contaminated area needs its lid open in this phase.
//!
//! ## What it flags
//! A gateway at a contaminated site for which this phase needs a control that is not within reach with
//! the lid shut.
//!
//! ## Why it matters
//! An open lid lets in what the site is contaminated with; the box may then have to stay there, and
//! whoever opens it is exposed.
//!
//! ## How it decides
//! Four controls are looked at, each only when it is not noted as within reach. Talk group switches: a
//! port is switched otherwise than in the phase before. Batteries: what is inside runs down before the
//! phase ends, and no supply from outside carries the box. Levels: a port in use is not at mid.
//! Buffers: a donor's port holds back less than its system needs, so that more speech is cut off than
//! people put up with. Donors' own batteries are left out: where they lie is not known.
//!
//! ## Severity
//! Warns: the plan works only if somebody opens the box where it should stay shut.
//!
//! ## Example
//! The gateway stands beside the decontamination line on eight cells that last 9 of the 12 hours.
//!
//! ## Source
//! Ingress ratings hold only with the lid shut: IEC 60529, from memory. Whether and how a box may be
//! opened is for the responsible officer; no method is given here.

use crate::checks::{Check, say};
use crate::engineering::timing::clipping;
use crate::model::{
    Control, Evidence, Finding, Gateway, Keying, LevelSetting, Phase, PortRef, Severity, Site,
    ThingId,
};
use crate::picture::{Donor, Picture};

/// The check.
pub const CHECK: Check = Check {
    code: "F01",
    name: "lid-must-open",
    severity: Severity::Warns,
    text: include_str!("lid_must_open.rs"),
    run,
};

/// One thing for which the lid comes open.
struct Reason {
    what: String,
    evidence: Evidence,
    ports: Vec<PortRef>,
}

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let scenario = picture.scenario();
    let Some(phase) = picture.phase() else { return };
    for gateway in scenario.gateways.iter() {
        let site = gateway.site.and_then(|s| scenario.sites.get(s));
        let Some(site) = site.filter(|s| s.contaminated) else {
            continue;
        };
        let reasons: Vec<Reason> = [
            (
                Control::TalkGroupSwitches,
                switches(picture, gateway, phase),
            ),
            (Control::Batteries, batteries(picture, gateway)),
            (Control::Levels, levels(gateway, phase)),
            (Control::Buffers, buffers(picture, gateway)),
        ]
        .into_iter()
        .filter(|(control, _)| !gateway.lid_shut.contains(control))
        .filter_map(|(_, reason)| reason)
        .collect();
        if !reasons.is_empty() {
            out.push(finding(gateway, site, reasons));
        }
    }
}

fn finding(gateway: &Gateway, site: &Site, reasons: Vec<Reason>) -> Finding {
    let what: Vec<String> = reasons.iter().map(|r| r.what.clone()).collect();
    let headline = format!(
        "{} stands at {}, which is contaminated, and its lid must be opened for {}",
        gateway.name,
        site.name,
        say::list(&what)
    );
    let mut finding = CHECK.finding(Severity::Warns, gateway.id, headline);
    finding.related = vec![site.id.into()];
    for reason in reasons {
        finding.evidence.push(reason.evidence);
        finding
            .related
            .extend(reason.ports.into_iter().map(ThingId::from));
    }
    finding.hints = vec![
        "Set, charge and test everything before the box goes in, or stand it outside and bring in the \
         antennas' feeders only"
            .to_owned(),
        "The responsible hazmat officer decides whether and how it may be opened and what becomes of it \
         afterwards; the maker's instructions and local rules come first"
            .to_owned(),
        "Never open a box or change a battery in a hazardous atmosphere".to_owned(),
    ];
    finding
}

/// Ports that are switched otherwise than in the phase before.
fn switches(picture: &Picture, gateway: &Gateway, phase: &Phase) -> Option<Reason> {
    let phases = picture.scenario().phases.iter();
    let before = phases.take_while(|p| p.id != phase.id).last()?;
    let ports: Vec<PortRef> = gateway
        .port_refs()
        .filter(|port| before.group_of(*port) != phase.group_of(*port))
        .collect();
    let count = ports.len();
    (count > 0).then(|| Reason {
        what: match count {
            1 => "1 talk group switch".to_owned(),
            n => format!("{n} talk group switches"),
        },
        evidence: Evidence::number("switches turned", count as f64, "switches"),
        ports,
    })
}

/// What is inside runs down before the phase ends.
fn batteries(picture: &Picture, gateway: &Gateway) -> Option<Reason> {
    let power = picture.power();
    let own = power.gateways.iter().find(|g| g.gateway == gateway.id)?;
    let first_h = own.changes_h.first().filter(|_| !own.is_supplied())?;
    Some(Reason {
        what: format!(
            "batteries ({first_h:.1} h into the {} h of the phase)",
            power.phase_h
        ),
        evidence: Evidence::number("first change of batteries", say::tenths(*first_h), "h"),
        ports: Vec::new(),
    })
}

/// Ports in use whose level is not at mid.
fn levels(gateway: &Gateway, phase: &Phase) -> Option<Reason> {
    let ports: Vec<PortRef> = gateway
        .ports
        .iter()
        .filter(|port| port.level != LevelSetting::Mid)
        .map(|port| PortRef {
            gateway: gateway.id,
            port: port.number,
        })
        .filter(|port| phase.attachments.contains_key(port) && phase.group_of(*port).is_some())
        .collect();
    let count = ports.len();
    (count > 0).then(|| Reason {
        what: format!("{} not at mid", say::count(count, "level")),
        evidence: Evidence::number("levels not at mid", count as f64, "ports"),
        ports,
    })
}

/// Donors whose port holds back too little.
fn buffers(picture: &Picture, gateway: &Gateway) -> Option<Reason> {
    let most_ms = picture.scenario().practice.clipped_most_ms;
    let ports: Vec<PortRef> = picture
        .donors_of(gateway.id)
        .filter(|d| d.group.is_some())
        .filter(|donor| lost_ms(picture, donor).is_some_and(|ms| f64::from(ms) > most_ms))
        .map(|donor| donor.port)
        .collect();
    let count = ports.len();
    (count > 0).then(|| Reason {
        what: format!("{} too short", say::count(count, "buffer")),
        evidence: Evidence::number("buffers too short", count as f64, "ports"),
        ports,
    })
}

/// Returns the speech cut off where a port sends by its donor, in milliseconds.
fn lost_ms(picture: &Picture, donor: &Donor<'_>) -> Option<u32> {
    let scenario = picture.scenario();
    let system = scenario.systems.get(donor.tuned?.channel.system)?;
    let port = scenario.port(donor.port)?;
    let attack_ms = match port.keying {
        Keying::PttLine => 0,
        Keying::VoiceOperated { attack_ms, .. } => attack_ms,
    };
    Some(clipping::lost_ms(
        system.access_ms,
        attack_ms,
        port.buffer_ms,
    ))
}
