//! The level of a donor's port is not at mid.
//!
//! ## What it flags
//! A donor on a talk group whose port is set to a low or high level.
//!
//! ## Why it matters
//! One net is then louder than the others on every radio of the group. Too hot is worse than too low:
//! it clips before a vocoder and cannot be understood.
//!
//! ## How it decides
//! The level of each port that holds a donor and is on a talk group is read. One finding for a gateway.
//!
//! ## Severity
//! Notes: somebody may have set it by ear, and is right; or it was left over from the last incident.
//!
//! ## Example
//! Port 3 stands at high since an exercise.
//!
//! ## Source
//! Start at mid and set by real voices: common practice, no source.

use std::collections::BTreeMap;

use crate::checks::{Check, say};
use crate::model::{
    Edit, Evidence, Finding, Fix, Gateway, GatewayId, Grade, LevelSetting, PortRef, Severity,
};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "F05",
    name: "level-not-mid",
    severity: Severity::Notes,
    text: include_str!("level_not_mid.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let scenario = picture.scenario();
    let mut by_gateway: BTreeMap<GatewayId, Vec<(PortRef, LevelSetting)>> = BTreeMap::new();
    for donor in picture.donors().filter(|d| d.group.is_some()) {
        let level = scenario
            .port(donor.port)
            .map_or(LevelSetting::Mid, |p| p.level);
        if level != LevelSetting::Mid {
            let ports = by_gateway.entry(donor.port.gateway).or_default();
            ports.push((donor.port, level));
        }
    }
    for (gateway, ports) in by_gateway {
        let Some(gateway) = scenario.gateways.get(gateway) else {
            continue;
        };
        let levels: Vec<String> = ports
            .iter()
            .map(|(port, level)| format!("port {} at {}", port.port, word(*level)))
            .collect();
        let headline = format!("{} has {} instead of mid", gateway.name, say::list(&levels));
        let mut finding = CHECK.finding(Severity::Notes, gateway.id, headline);
        finding.related = ports.iter().map(|(port, _)| (*port).into()).collect();
        finding.evidence = ports
            .iter()
            .flat_map(|(port, level)| {
                [
                    Evidence::thing("port", *port),
                    Evidence::text("level", word(*level)),
                ]
            })
            .collect();
        finding.hints = vec![
            "Start at mid, count aloud on one leg at a time, and change a level only where real voices ask \
             for it"
                .to_owned(),
        ];
        finding.fixes = vec![to_mid(gateway, &ports)];
        out.push(finding);
    }
}

fn word(level: LevelSetting) -> &'static str {
    match level {
        LevelSetting::Low => "low",
        LevelSetting::Mid => "mid",
        LevelSetting::High => "high",
    }
}

fn to_mid(gateway: &Gateway, ports: &[(PortRef, LevelSetting)]) -> Fix {
    let mut after = gateway.clone();
    for port in &mut after.ports {
        if ports.iter().any(|(at, _)| at.port == port.number) {
            port.level = LevelSetting::Mid;
        }
    }
    let what = if ports.len() == 1 { "level" } else { "levels" };
    Fix {
        title: format!("Set the {what} of {} to mid", gateway.name),
        grade: Grade::Ask,
        edits: vec![Edit::Replace(after.into())],
    }
}
