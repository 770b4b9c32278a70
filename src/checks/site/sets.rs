//! How the sets of a site are named and told apart; shared by checks, not a check itself.

use crate::model::{Frequency, PortRef, Scenario, TalkGroupRef};
use crate::picture::site::{Disturbed, Set, SiteView};

/// Finds the set at a port.
pub(super) fn at(view: &SiteView, port: PortRef) -> Option<&Set> {
    view.sets.iter().find(|set| set.port == port)
}

/// Names the transmitter at a port with its channel and frequency.
pub(super) fn transmitter(scenario: &Scenario, view: &SiteView, port: PortRef) -> String {
    named(scenario, view, port, |set| set.tx)
}

/// Names the receiver at a port with its channel and frequency.
pub(super) fn receiver(scenario: &Scenario, view: &SiteView, port: PortRef) -> String {
    named(scenario, view, port, |set| set.rx)
}

fn named(
    scenario: &Scenario,
    view: &SiteView,
    port: PortRef,
    frequency: impl Fn(&Set) -> Frequency,
) -> String {
    match at(view, port) {
        Some(set) => format!(
            "{} ({}, {})",
            scenario.name(set.radio.into()),
            scenario.name(set.channel.into()),
            frequency(set)
        ),
        None => scenario.name(port.into()),
    }
}

/// Says who is disturbed.
pub(super) fn disturbed(scenario: &Scenario, view: &SiteView, who: Disturbed) -> String {
    match who {
        Disturbed::Donor(port) => receiver(scenario, view, port),
        Disturbed::Listeners(channel) => {
            let name = scenario.name(channel.into());
            let carrier = scenario
                .channels
                .get(channel)
                .and_then(|c| c.conventional());
            match carrier {
                Some(c) => format!("those who listen on {name} ({})", c.rx),
                None => format!("those who listen on {name}"),
            }
        }
    }
}

/// Says how what is disturbed stands to the site.
pub(super) fn place(who: Disturbed) -> &'static str {
    match who {
        Disturbed::Donor(_) => "at",
        Disturbed::Listeners(_) => "near",
    }
}

/// Returns another talk group of the same gateway.
pub(super) fn other_group(scenario: &Scenario, group: TalkGroupRef) -> Option<TalkGroupRef> {
    let gateway = scenario.gateways.get(group.gateway)?;
    gateway.talk_group_refs().find(|other| *other != group)
}

/// Says how far from a receive frequency something falls.
pub(super) fn offset(hertz: i64) -> String {
    if hertz == 0 {
        "exactly on it".to_owned()
    } else {
        format!("{:.1} kHz off", hertz.unsigned_abs() as f64 / 1e3)
    }
}

/// Returns an offset in kilohertz, for evidence.
pub(super) fn offset_khz(hertz: i64) -> f64 {
    hertz as f64 / 1e3
}
