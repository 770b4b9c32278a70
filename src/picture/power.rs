//! How long everything runs: gateways on their cells, donors on their own batteries at the duty the
//! patch gives them, against the length of the phase.

use crate::engineering::power::runtime::{self, Pack};
use crate::engineering::power::supply::{self, Fit};
use crate::engineering::traffic::duty::{self, Currents, Shares};
use crate::model::{Draw, Gateway, GatewayId, PortRef, Radio, RadioId, Site};

use super::Picture;
use super::traffic::Traffic;

/// What to say wherever hours are shown.
pub const CAUTION: &str = "Hours are estimates. Change batteries early, follow the makers' \
    instructions, never mix old and new cells, and never open a box in a hazardous atmosphere.";

/// Power in one phase.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Power {
    /// Length of the phase, in hours.
    pub phase_h: f64,
    /// By gateway.
    pub gateways: Vec<GatewayPower>,
    /// By donor, in the order of their ports.
    pub donors: Vec<DonorPower>,
}

/// What a gateway runs on.
#[derive(Debug, Clone, PartialEq)]
pub struct GatewayPower {
    /// The gateway.
    pub gateway: GatewayId,
    /// What it draws, where known, in milliamperes.
    pub draw_ma: Option<f64>,
    /// Temperature counted with, in degrees Celsius.
    pub celsius: f64,
    /// How the supply at the site fits, where there is one and the gateway takes one.
    pub fit: Option<Fit>,
    /// Hours on what is inside; `None` when something about it is unknown.
    pub inside_h: Option<f64>,
    /// Sets of cells the phase takes when nothing comes from outside.
    pub sets: Option<u32>,
    /// Hours into the phase at which to change them.
    pub changes_h: Vec<f64>,
    /// Cells in one set, where known.
    pub cells: Option<u32>,
}

impl GatewayPower {
    /// Tells whether a supply outside carries it, with what is inside to fall back on.
    pub fn is_supplied(&self) -> bool {
        self.fit == Some(Fit::Inside)
    }
}

/// What a donor runs on.
#[derive(Debug, Clone, PartialEq)]
pub struct DonorPower {
    /// The port.
    pub port: PortRef,
    /// The radio.
    pub radio: RadioId,
    /// It has power from outside.
    pub is_supplied: bool,
    /// Shares of time it transmits, receives and waits.
    pub shares: Shares,
    /// Mean current from its own battery, in milliamperes.
    pub average_ma: f64,
    /// Whether the currents are the practice's and not the radio's own.
    pub assumed: bool,
    /// Hours on its own battery; `None` when its capacity is unknown.
    pub own_h: Option<f64>,
    /// Hours the same battery would last at the duty on its label.
    pub label_h: Option<f64>,
    /// Batteries the phase takes when nothing comes from outside.
    pub batteries: Option<u32>,
    /// Hours into the phase at which to change them.
    pub changes_h: Vec<f64>,
}

/// Works out the power of a phase.
pub(super) fn of(picture: &Picture, traffic: &Traffic) -> Power {
    let phase_h = picture.phase().map_or(0.0, |p| p.hours);
    let scenario = picture.scenario();
    let gateways = scenario.gateways.iter().map(|g| {
        gateway(
            picture,
            g,
            g.site.and_then(|s| scenario.sites.get(s)),
            phase_h,
        )
    });
    let donors = picture
        .donors()
        .map(|donor| donor_power(picture, traffic, donor.port, donor.radio, phase_h));
    Power {
        phase_h,
        gateways: gateways.collect(),
        donors: donors.collect(),
    }
}

fn gateway(picture: &Picture, g: &Gateway, site: Option<&Site>, phase_h: f64) -> GatewayPower {
    let practice = &picture.scenario().practice;
    let celsius = site
        .and_then(|s| s.temperature_c)
        .unwrap_or(practice.temperature_c);
    let given = site.and_then(|s| s.supply_v);
    let fit = g
        .supply_v
        .zip(given)
        .and_then(|(need, given)| supply::fits(need, given).ok());
    let inside_h = g.draw_ma.and_then(|draw_ma| inside_h(g, draw_ma, celsius));
    let (sets, changes_h) = schedule(inside_h, phase_h, practice.change_at);
    GatewayPower {
        gateway: g.id,
        draw_ma: g.draw_ma,
        celsius,
        fit,
        inside_h,
        sets,
        changes_h,
        cells: g.cells.map(|c| c.count),
    }
}

/// Returns the hours on what is inside, where enough about it is known.
fn inside_h(g: &Gateway, draw_ma: f64, celsius: f64) -> Option<f64> {
    let capacity_mah = g.battery_mah.map(f64::from);
    let Some(cells) = g.cells else {
        // Without the chemistry nothing is known about cold or high drain.
        return duty::hours(capacity_mah?, draw_ma).ok();
    };
    let pack = Pack {
        chemistry: cells.chemistry,
        cells: cells.count,
        capacity_mah,
    };
    let cutoff = match cells.end_v {
        Some(end_v) => Some(pack.cutoff_per_cell(end_v).ok()?),
        None => None,
    };
    runtime::hours(pack, draw_ma, celsius, cutoff).ok()
}

fn donor_power(
    picture: &Picture,
    traffic: &Traffic,
    port: PortRef,
    radio: &Radio,
    phase_h: f64,
) -> DonorPower {
    let practice = &picture.scenario().practice;
    let usual = Draw {
        transmit_ma: practice.donor_transmit_ma,
        receive_ma: practice.donor_receive_ma,
        standby_ma: practice.donor_standby_ma,
    };
    let draw = radio.draw.unwrap_or(usual);
    let currents = Currents {
        transmit_ma: draw.transmit_ma,
        receive_ma: draw.receive_ma,
        standby_ma: draw.standby_ma,
    };
    let shares = shares(traffic, port);
    let average_ma = duty::average_ma(currents, shares).unwrap_or(draw.transmit_ma);
    let hours_at = |ma: f64| {
        let capacity_mah = f64::from(radio.battery_mah?);
        duty::hours(capacity_mah, ma).ok()
    };
    let own_h = hours_at(average_ma);
    let label = label_shares(practice.label_transmit_share);
    let label_h = duty::average_ma(currents, label).ok().and_then(hours_at);
    let (batteries, changes_h) = schedule(own_h, phase_h, practice.change_at);
    DonorPower {
        port,
        radio: radio.id,
        is_supplied: radio.outside_power,
        shares,
        average_ma,
        assumed: radio.draw.is_none(),
        own_h,
        label_h,
        batteries,
        changes_h,
    }
}

/// Returns how a donor spends its time; it cannot transmit and receive at once.
fn shares(traffic: &Traffic, port: PortRef) -> Shares {
    let load = traffic.donors.get(&port).copied().unwrap_or_default();
    let transmit = load.transmit_erl.clamp(0.0, 1.0);
    let receive = load.receive_erl.clamp(0.0, 1.0 - transmit);
    Shares {
        transmit,
        receive,
        standby: 1.0 - transmit - receive,
    }
}

/// Returns the duty on a label: as much receiving as transmitting, the rest standby.
fn label_shares(transmit: f64) -> Shares {
    let receive = transmit.min(1.0 - transmit);
    Shares {
        transmit,
        receive,
        standby: 1.0 - transmit - receive,
    }
}

/// Returns the sets a phase takes and when to change them.
fn schedule(hours: Option<f64>, phase_h: f64, change_at: f64) -> (Option<u32>, Vec<f64>) {
    match hours.and_then(|h| supply::changes_at(h, phase_h, change_at).ok()) {
        Some((sets, changes)) => (Some(sets), changes),
        None => (None, Vec::new()),
    }
}
