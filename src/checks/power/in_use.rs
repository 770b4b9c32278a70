//! Gateways in use with their power, and the words that hints on power share.

use std::collections::BTreeSet;

use crate::checks::say;
use crate::model::{Gateway, GatewayId, Site};
use crate::picture::Picture;
use crate::picture::power::{DonorPower, GatewayPower};

/// Times to change that are named; the rest follows from the step between them.
const TIMES_NAMED: usize = 3;

/// What every hint about changing batteries defers to.
pub(super) const BY_THE_MAKER: &str = "Change a whole set at once, by the maker's instructions, \
     and open no box in a hazardous atmosphere";

/// A gateway that has something plugged in.
#[derive(Clone, Copy)]
pub(super) struct Used<'a> {
    /// The gateway.
    pub(super) gateway: &'a Gateway,
    /// Where it stands.
    pub(super) site: Option<&'a Site>,
    /// What it runs on.
    pub(super) power: &'a GatewayPower,
}

/// Lists the gateways that have something plugged in.
pub(super) fn gateways(picture: &Picture) -> impl Iterator<Item = Used<'_>> {
    let attachments = picture.phase().map(|p| &p.attachments);
    let used: BTreeSet<GatewayId> = attachments
        .into_iter()
        .flat_map(|all| all.keys().map(|port| port.gateway))
        .collect();
    let scenario = picture.scenario();
    let all = picture.power().gateways.iter();
    all.filter(move |power| used.contains(&power.gateway))
        .filter_map(move |power| {
            let gateway = scenario.gateways.get(power.gateway)?;
            Some(Used {
                gateway,
                site: gateway.site.and_then(|site| scenario.sites.get(site)),
                power,
            })
        })
}

/// Lists donors by the gateway they are at.
pub(super) fn donors(picture: &Picture) -> impl Iterator<Item = (GatewayId, &[DonorPower])> {
    let donors = picture.power().donors.as_slice();
    donors
        .chunk_by(|a, b| a.port.gateway == b.port.gateway)
        .filter_map(|part| Some((part.first()?.port.gateway, part)))
}

/// Says when to change: "8 h", "8 and 16 h", "8, 16, 24 h and every 8 h from there".
pub(super) fn times(changes_h: &[f64]) -> String {
    let named: Vec<String> = changes_h
        .iter()
        .take(TIMES_NAMED)
        .map(|hour| say::tenths(*hour).to_string())
        .collect();
    match changes_h {
        [first, ..] if changes_h.len() > TIMES_NAMED => format!(
            "{} h and every {} h from there",
            named.join(", "),
            say::tenths(*first)
        ),
        _ => format!("{} h", say::list(&named)),
    }
}

#[cfg(test)]
mod tests {
    use super::times;

    #[test]
    fn times_to_change_read_like_speech() {
        assert_eq!(times(&[8.0]), "8 h");
        assert_eq!(times(&[8.04, 16.08]), "8 and 16.1 h");
        assert_eq!(
            times(&[8.0, 16.0, 24.0, 32.0]),
            "8, 16, 24 h and every 8 h from there"
        );
    }
}
