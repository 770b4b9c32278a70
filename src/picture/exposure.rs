//! How far people must stay from the transmitting antennas of a site.
//!
//! An estimate for planning: it takes everybody to stand in the main beam, and each transmitter to be
//! on for the share of time its talk group's load gives, but never less than the practice says.

use crate::engineering::rf::exposure::{self, Reflection};
use crate::model::{PortRef, Practice};

use super::site::Set;
use super::traffic::Traffic;

/// What to say wherever these distances are shown.
pub const CAUTION: &str = "Exposure distances are estimates for planning. Keep people farther away \
    than the larger ring, follow local safety rules, and have a qualified person judge the site.";

/// How far people must stay from transmitting antennas.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Exposure {
    /// By antenna.
    pub rings: Vec<Ring>,
    /// Distance at which all antennas together, as if at one point, meet the public limit, in metres.
    pub public_m: f64,
    /// The same for trained people who can step away, in metres.
    pub occupational_m: f64,
}

/// The distances of one antenna.
#[derive(Debug, Clone, PartialEq)]
pub struct Ring {
    /// Port of the donor.
    pub port: PortRef,
    /// The share of time it is taken to be on.
    pub duty: f64,
    /// Power over an isotropic antenna, in watts.
    pub eirp_w: f64,
    /// Distance at which the public limit is met, in metres.
    pub public_m: f64,
    /// Distance at which the occupational limit is met, in metres.
    pub occupational_m: f64,
    /// The gain is the practice's, since nobody noted the antenna.
    pub assumed: bool,
}

/// Rounds a distance to keep up to the next centimetre, never down: for whoever shows one.
pub fn keep_m(metres: f64) -> f64 {
    (metres * 100.0 - 1e-9).ceil() / 100.0
}

/// Works out the distances of a site.
pub(super) fn of(practice: &Practice, traffic: &Traffic, sets: &[Set]) -> Exposure {
    let rings: Vec<Ring> = sets
        .iter()
        .filter(|s| s.transmits)
        .filter_map(|set| {
            let on = traffic
                .donors
                .get(&set.port)
                .map_or(0.0, |d| d.transmit_erl);
            let duty = on.min(1.0).max(practice.duty_least);
            ring(practice, set, duty)
        })
        .collect();
    // Density falls with the square of the distance, so distances add as squares.
    let together = |of: fn(&Ring) -> f64| rings.iter().map(|r| of(r).powi(2)).sum::<f64>().sqrt();
    Exposure {
        public_m: together(|r| r.public_m),
        occupational_m: together(|r| r.occupational_m),
        rings,
    }
}

fn ring(practice: &Practice, set: &Set, duty: f64) -> Option<Ring> {
    let noted = set.antenna.as_ref().map(|a| a.gain_dbi);
    let gain_dbi = noted.unwrap_or(practice.gain_dbi);
    let feed = 10_f64.powf(practice.feed_loss_db / 10.0);
    let watts = set.power_w / feed;
    let mhz = set.tx.mhz();
    // The distance grows with the root of the factor for reflection, whatever the scenario gives.
    let at = |limit: f64| {
        let free_m = exposure::distance_m(watts, gain_dbi, duty, limit, Reflection::Free).ok()?;
        Some(free_m * practice.reflection.sqrt())
    };
    Some(Ring {
        port: set.port,
        duty,
        assumed: noted.is_none(),
        eirp_w: watts * 10_f64.powf(gain_dbi / 10.0),
        public_m: at(exposure::public_mw_cm2(mhz).ok()?)?,
        occupational_m: at(exposure::occupational_mw_cm2(mhz).ok()?)?,
    })
}
