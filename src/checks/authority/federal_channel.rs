//! A radio that is not federal would send on a federal interoperability channel.
//!
//! ## What it flags
//! A channel with the transmit frequency of a published federal interoperability channel, selected on a
//! radio that could send and whose owner is no federal agency, where no agreement lists that agency and
//! the channel.
//!
//! ## Why it matters
//! These channels are assigned to federal users. Others need a federal sponsor or an agreement, and a
//! transmission without one can disturb a federal operation that does not answer and is not seen.
//!
//! ## How it decides
//! Transmit frequencies as programmed are compared with the channels published as NC, IR and LE,
//! whatever the plan calls them. The owner is the radio's, or the agency of the unit that holds it
//! where none is noted; radios of nobody's are not judged.
//!
//! ## Severity
//! Warns: it works on the air, and may not be done.
//!
//! ## Example
//! A county engine has selected the incident response channel IR 6.
//!
//! ## Source
//! National Interoperability Field Operations Guide, edition 2.02, which names the NTIA Manual, section
//! 4.3.16; 47 CFR 90.25 has since come to cover such use, its title found and its text not read. United
//! States; the current guide decides.

use std::collections::{BTreeMap, BTreeSet};

use crate::checks::authority::agencies;
use crate::checks::{Check, say};
use crate::engineering::rf::national::{self, National};
use crate::model::{
    AgencyId, Carrier, Channel, ChannelId, Evidence, Finding, Frequency, Level, Scenario, Severity,
    ThingId,
};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "A04",
    name: "federal-channel",
    severity: Severity::Warns,
    text: include_str!("federal_channel.rs"),
    run,
};

/// Radios of agencies on one frequency of one channel.
#[derive(Default)]
struct Users {
    agencies: BTreeSet<AgencyId>,
    radios: usize,
}

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let scenario = picture.scenario();
    let mut federal: BTreeMap<Frequency, &'static National> = BTreeMap::new();
    for channel in national::all().filter(|c| c.is_federal()) {
        federal.entry(channel.tx).or_insert(channel);
    }
    for (channel, _) in picture.users_in_question() {
        let mut users: BTreeMap<Frequency, Users> = BTreeMap::new();
        for (radio, entry) in picture.users_of(channel.id) {
            let Carrier::Conventional(c) = entry.effective(channel).carrier else {
                continue;
            };
            if entry.receive_only || !federal.contains_key(&c.tx) {
                continue;
            }
            let agency = radio.owner.or_else(|| agencies::user(picture, radio));
            if let Some(agency) = agency.filter(|a| !may_send(scenario, *a, channel.id)) {
                let users = users.entry(c.tx).or_default();
                users.agencies.insert(agency);
                users.radios += 1;
            }
        }
        for (tx, users) in users {
            if let Some(published) = federal.get(&tx) {
                out.push(finding(scenario, channel, published, &users));
            }
        }
    }
}

fn may_send(scenario: &Scenario, agency: AgencyId, channel: ChannelId) -> bool {
    let level = scenario.agencies.get(agency).map(|a| a.level);
    let mut papers = scenario.agreements.iter();
    level == Some(Level::Federal)
        || papers.any(|p| p.agencies.contains(&agency) && p.channels.contains(&channel))
}

fn finding(scenario: &Scenario, channel: &Channel, published: &National, users: &Users) -> Finding {
    let names: Vec<String> = users
        .agencies
        .iter()
        .map(|a| scenario.name((*a).into()))
        .collect();
    let headline = format!(
        "{} of {} would send on {}, the frequency {} of the federal channel {}, and no agreement lists that",
        say::count(users.radios, "radio"),
        say::list(&names),
        channel.name,
        published.tx,
        published.name
    );
    let mut finding = CHECK.finding(Severity::Warns, channel.id, headline);
    finding.related = users.agencies.iter().map(|a| ThingId::from(*a)).collect();
    finding.evidence = vec![
        Evidence::text("sends on", published.tx),
        Evidence::text("published as", published.name),
        Evidence::number("radios", users.radios as f64, "radios"),
        Evidence::number(
            "agencies not federal",
            users.agencies.len() as f64,
            "agencies",
        ),
    ];
    finding.hints = vec![
        "Ask a federal agency at the incident to sponsor the use, and note the agreement with the channel"
            .to_owned(),
        format!(
            "Verify against the current guide; compared with {}",
            published.edition
        ),
    ];
    finding
}
