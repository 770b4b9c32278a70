//! A telephone or headset is in no port.
//!
//! ## What it flags
//! A telephone or headset of the scenario that this phase plugs in nowhere.
//!
//! ## Why it matters
//! Whoever is at its far end hears nothing and is not heard.
//!
//! ## How it decides
//! The attachments of the phase are searched for it.
//!
//! ## Severity
//! Notes: it may be kept for a later phase.
//!
//! ## Example
//! The satellite telephone was ordered for the hospital and nobody gave it a port.
//!
//! ## Source
//! Follows from the attachments.

use std::collections::BTreeSet;

use crate::checks::Check;
use crate::model::{Attachment, Finding, HeadsetId, Severity, TelephoneId, ThingId};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "S06",
    name: "unplugged-gear",
    severity: Severity::Notes,
    text: include_str!("unplugged_gear.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let (Some(phase), scenario) = (picture.phase(), picture.scenario()) else {
        return;
    };
    let mut telephones: BTreeSet<TelephoneId> = BTreeSet::new();
    let mut headsets: BTreeSet<HeadsetId> = BTreeSet::new();
    for attachment in phase.attachments.values() {
        match attachment {
            Attachment::Telephone(id) => drop(telephones.insert(*id)),
            Attachment::Headset(id) => drop(headsets.insert(*id)),
            Attachment::Radio { .. } | Attachment::Tie(_) => {}
        }
    }
    let mut add = |thing: ThingId, name: &str| {
        let headline = format!("{name} is in no port in this phase");
        out.push(CHECK.finding(Severity::Notes, thing, headline));
    };
    for telephone in scenario.telephones.iter() {
        if !telephones.contains(&telephone.id) {
            add(telephone.id.into(), &telephone.name);
        }
    }
    for headset in scenario.headsets.iter() {
        if !headsets.contains(&headset.id) {
            add(headset.id.into(), &headset.name);
        }
    }
}
