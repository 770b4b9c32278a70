//! Tells whether an edit leaves who hears whom as it is, so that nothing need be derived again.
//!
//! All that `build` reads is compared. Every other field is named and passed over, so that a new field
//! of a thing has to be put on one side or the other before this compiles.

use std::ptr;

use crate::model::thing::Listed;
use crate::model::{
    Cable, Channel, Gateway, Headset, Phase, PhaseId, Port, Programmed, Radio, Scenario, System,
    Table, Telephone, Tie,
};

/// Tells whether a phase of a scenario has the network it had before; true only where it surely has.
pub(super) fn is_same_network(before: &Scenario, after: &Scenario, phase: PhaseId) -> bool {
    let (Some(was), Some(is)) = (before.phases.get(phase), after.phases.get(phase)) else {
        return false;
    };
    let is_switched_alike = ptr::eq(was, is)
        || (was.switches == is.switches
            && was.attachments == is.attachments
            && was.selected == is.selected);
    is_switched_alike
        && are_parties_alike(before, after)
        && are_alike(&before.cables, &after.cables, is_same_cable)
        && are_alike(&before.ties, &after.ties, is_same_tie)
        && are_channels_alike(before, after)
        && are_alike(&before.gateways, &after.gateways, is_same_gateway)
        && are_alike(&before.radios, &after.radios, is_same_radio)
}

/// Tells whether two scenarios have the same parties at the same telephones and headsets.
pub(super) fn are_parties_alike(before: &Scenario, after: &Scenario) -> bool {
    are_alike(&before.units, &after.units, |a, b| a.id == b.id)
        && are_alike(&before.telephones, &after.telephones, is_same_telephone)
        && are_alike(&before.headsets, &after.headsets, is_same_headset)
}

/// Tells whether two scenarios have the same channels of the same systems, as far as they are heard.
pub(super) fn are_channels_alike(before: &Scenario, after: &Scenario) -> bool {
    are_alike(&before.systems, &after.systems, is_same_system)
        && are_alike(&before.channels, &after.channels, is_same_channel)
}

/// Lists the places of radios that are not what they were, or have something else selected; `None` where
/// they are not the same radios.
pub(super) fn set_otherwise(
    before: (&Scenario, &Phase),
    now: (&Scenario, &Phase),
) -> Option<Vec<usize>> {
    let (was, is) = (&before.0.radios, &now.0.radios);
    if was.len() != is.len() {
        return None;
    }
    let mut places = Vec::new();
    for (place, (a, b)) in was.iter().zip(is.iter()).enumerate() {
        if ptr::eq(a, b) {
            continue;
        }
        if a.id != b.id {
            return None;
        }
        if !is_same_radio(a, b) {
            places.push(place);
        }
    }
    let (was, is) = (&before.1.selected, &now.1.selected);
    let moved = was.keys().chain(is.keys());
    let moved = moved.filter(|radio| was.get(radio) != is.get(radio));
    places.extend(moved.filter_map(|radio| now.0.radios.place_of(*radio)));
    places.sort_unstable();
    places.dedup();
    Some(places)
}

/// Tells whether two tables have the same rows, in the eyes of `is_same`; shared rows are not looked
/// into.
fn are_alike<T: Listed>(
    before: &Table<T>,
    after: &Table<T>,
    is_same: impl Fn(&T, &T) -> bool,
) -> bool {
    before.len() == after.len()
        && before
            .iter()
            .zip(after.iter())
            .all(|(a, b)| ptr::eq(a, b) || is_same(a, b))
}

fn is_same_radio(a: &Radio, b: &Radio) -> bool {
    let Radio {
        id,
        key: _,
        name: _,
        owner: _,
        held_by,
        family: _,
        bands,
        modes,
        connector,
        power_w: _,
        battery_mah: _,
        outside_power: _,
        draw: _,
        keys,
        programmed,
        selected,
        scans,
        notes: _,
    } = a;
    *id == b.id
        && *held_by == b.held_by
        && *bands == b.bands
        && *modes == b.modes
        && *connector == b.connector
        && *keys == b.keys
        && *selected == b.selected
        && *scans == b.scans
        && programmed.len() == b.programmed.len()
        && programmed
            .iter()
            .zip(&b.programmed)
            .all(|(a, b)| is_same_entry(a, b))
}

fn is_same_entry(a: &Programmed, b: &Programmed) -> bool {
    let Programmed {
        channel,
        label: _,
        rx,
        tx,
        rx_code,
        tx_code,
        mode,
        bandwidth_hz,
        group,
        protection,
        encrypted_only,
        secure,
        receive_only,
        verified: _,
    } = a;
    *channel == b.channel
        && *rx == b.rx
        && *tx == b.tx
        && *rx_code == b.rx_code
        && *tx_code == b.tx_code
        && *mode == b.mode
        && *bandwidth_hz == b.bandwidth_hz
        && *group == b.group
        && *protection == b.protection
        && *encrypted_only == b.encrypted_only
        && *secure == b.secure
        && *receive_only == b.receive_only
}

fn is_same_channel(a: &Channel, b: &Channel) -> bool {
    let Channel {
        id,
        key: _,
        name: _,
        system,
        carrier,
        protection,
        encrypted_only,
        purpose: _,
        notes: _,
    } = a;
    *id == b.id
        && *system == b.system
        && *carrier == b.carrier
        && *protection == b.protection
        && *encrypted_only == b.encrypted_only
}

fn is_same_system(a: &System, b: &System) -> bool {
    let System {
        id,
        key: _,
        name: _,
        kind,
        access_ms,
        latency_ms,
        hang_ms: _,
        talk_paths,
        coverage,
        notes: _,
    } = a;
    *id == b.id
        && *kind == b.kind
        && *access_ms == b.access_ms
        && *latency_ms == b.latency_ms
        && *talk_paths == b.talk_paths
        && coverage.to_bits() == b.coverage.to_bits()
}

fn is_same_gateway(a: &Gateway, b: &Gateway) -> bool {
    let Gateway {
        id,
        key: _,
        name: _,
        owner: _,
        site: _,
        ports,
        talk_groups: _,
        latency_ms,
        draw_ma: _,
        battery_mah: _,
        cells: _,
        supply_v: _,
        ingress: _,
        lid_shut: _,
        notes: _,
    } = a;
    *id == b.id
        && *latency_ms == b.latency_ms
        && ports.len() == b.ports.len()
        && ports.iter().zip(&b.ports).all(|(a, b)| is_same_port(a, b))
}

fn is_same_port(a: &Port, b: &Port) -> bool {
    let Port {
        number,
        kind: _,
        connector,
        buffer_ms,
        keying,
        level: _,
    } = a;
    *number == b.number
        && *connector == b.connector
        && *buffer_ms == b.buffer_ms
        && *keying == b.keying
}

fn is_same_tie(a: &Tie, b: &Tie) -> bool {
    let Tie {
        id,
        key: _,
        name: _,
        kind,
        latency_ms,
        encrypted,
        notes: _,
    } = a;
    *id == b.id && *kind == b.kind && *latency_ms == b.latency_ms && *encrypted == b.encrypted
}

fn is_same_telephone(a: &Telephone, b: &Telephone) -> bool {
    let Telephone {
        id,
        key: _,
        name: _,
        kind,
        held_by,
        far_end: _,
        number: _,
        answers_itself: _,
        latency_ms,
        notes: _,
    } = a;
    *id == b.id && *kind == b.kind && *held_by == b.held_by && *latency_ms == b.latency_ms
}

fn is_same_headset(a: &Headset, b: &Headset) -> bool {
    a.id == b.id && a.held_by == b.held_by
}

fn is_same_cable(a: &Cable, b: &Cable) -> bool {
    a.id == b.id && a.radio_connector == b.radio_connector && a.port_connector == b.port_connector
}
