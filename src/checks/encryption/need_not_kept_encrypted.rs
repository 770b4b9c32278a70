//! A need that must stay encrypted does not.
//!
//! ## What it flags
//! A need marked as encrypted of which at least one pair is heard by way of a hop in clear.
//!
//! ## Why it matters
//! Those who asked for secrecy will speak as if they had it.
//!
//! ## How it decides
//! For each pair of the need that is heard, every hop that leaves a box must be encrypted: radio,
//! telephone, tie. Pairs that are not heard at all are left to the check on needs.
//!
//! ## Severity
//! Stops.
//!
//! ## Example
//! Need "Warrant team": the way from the patrol passes a donor whose secure switch is off.
//!
//! ## Source
//! Follows from the derivation; ciphertext cannot pass an audio gateway, so each donor must hold a key
//! of its own (reasoning).

use crate::checks::{Check, say};
use crate::hearing::Secrecy;
use crate::model::{Evidence, Finding, Party, Severity};
use crate::picture::{Picture, resilience};

/// The check.
pub const CHECK: Check = Check {
    code: "E04",
    name: "need-not-kept-encrypted",
    severity: Severity::Stops,
    text: include_str!("need_not_kept_encrypted.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let (scenario, hearing) = (picture.scenario(), picture.hearing());
    for need in resilience::to_be_heard(scenario).filter(|n| n.encrypted) {
        let mut pairs = need.pairs_to_hear();
        pairs.retain(|(from, to)| hearing.arrival(*from, *to).is_some_and(|a| !a.encrypted));
        let Some((from, to)) = pairs.first().copied() else {
            continue;
        };
        let name = |party: Party| scenario.name(party.into());
        let secrecy = hearing.path(scenario, from, to).map(|p| p.secrecy);
        let ends_at = match secrecy {
            Some(Secrecy::Ends { port, .. }) => Some(port),
            _ => None,
        };
        let place = match ends_at {
            Some(port) => format!("leaves in clear by {}", scenario.name(port.into())),
            None => "is in clear from the start".to_owned(),
        };
        let more = match pairs.len() {
            1 => String::new(),
            2 => ", and 1 more pair is in clear".to_owned(),
            n => format!(", and {} more are in clear", say::count(n - 1, "pair")),
        };
        let headline = format!(
            "{}: {} to {} {place}{more}",
            need.name,
            name(from),
            name(to)
        );
        let mut finding = CHECK.finding(Severity::Stops, need.id, headline);
        finding.related = pairs
            .iter()
            .flat_map(|(a, b)| [(*a).into(), (*b).into()])
            .chain(ends_at.map(Into::into))
            .collect();
        finding.related.sort_unstable();
        finding.related.dedup();
        finding.evidence = vec![Evidence::number(
            "pairs in clear",
            pairs.len() as f64,
            "pairs",
        )];
        let at = ends_at.map(|port| Evidence::thing("leaves in clear by", port));
        finding.evidence.extend(at);
        finding.hints =
            vec!["Give every radio on the way a protected channel and its key".to_owned()];
        out.push(finding);
    }
}
