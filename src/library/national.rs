//! The national interoperability channels as channels of a scenario.

use crate::engineering::rf::national::National;
use crate::model::{
    AccessCode, Carrier, Channel, ChannelId, Conventional, Edit, Frequency, Mode, Protection,
    Scenario, System, SystemId, SystemKind,
};

use super::{shipped, system_of};

/// Says on which frequencies a channel is.
pub fn frequencies(rx: Frequency, tx: Frequency) -> String {
    if rx == tx {
        rx.to_string()
    } else {
        format!("receives {rx}, sends {tx}")
    }
}

/// Says in a few words what a national channel is.
pub fn about(channel: &National) -> String {
    format!(
        "{}, {}",
        frequencies(channel.rx, channel.tx),
        channel.edition
    )
}

/// Returns the edits that add a national channel with a system to carry it, and its id.
///
/// A channel of that name and definition that is there already is used, and nothing is added.
pub fn add(s: &Scenario, national: &National) -> (Vec<Edit>, ChannelId) {
    let carrier = carrier(national);
    let same =
        |c: &&Channel| c.name == national.name && c.carrier == Carrier::Conventional(carrier);
    if let Some(there) = s.channels.iter().find(same) {
        return (Vec::new(), there.id);
    }
    let sponsor = if national.is_federal() {
        " Assigned to federal users, to others only by sponsorship."
    } else {
        ""
    };
    let notes = format!(
        "As in {}. Verify against the current guide.{sponsor}",
        national.edition
    );
    add_channel(s, national.name, carrier, &notes)
}

/// Returns the edits that add a channel with frequencies of its own, and its id.
///
/// One frequency both ways goes over plain air; two take a repeater of their own.
pub fn add_channel(
    s: &Scenario,
    name: &str,
    carrier: Conventional,
    notes: &str,
) -> (Vec<Edit>, ChannelId) {
    let mut edits = Vec::new();
    let simplex = s.systems.iter().find(|x| x.kind == SystemKind::Simplex);
    let simplex = simplex.filter(|_| carrier.rx == carrier.tx);
    let system = if let Some(system) = simplex {
        system.id
    } else {
        let system = carrying_system(s, name, carrier);
        let id = system.id;
        edits.push(Edit::Add(system.into()));
        id
    };
    let id = ChannelId(s.mint(edits.len() as u32));
    edits.push(Edit::Add(
        Channel {
            id,
            key: String::new(),
            name: name.to_owned(),
            system,
            carrier: Carrier::Conventional(carrier),
            protection: Protection::Clear,
            encrypted_only: false,
            purpose: None,
            notes: notes.to_owned(),
        }
        .into(),
    ));
    (edits, id)
}

/// Returns a system of a kind that carries group numbers, after the ready-made one of that kind.
pub fn group_system(s: &Scenario, kind: SystemKind, name: &str) -> System {
    let wanted = system_of(kind);
    let library = &shipped().scenario;
    let template = library.systems.iter().find(|x| Some(x.id.into()) == wanted);
    let bare = System {
        id: SystemId(s.mint(0)),
        key: String::new(),
        name: name.to_owned(),
        kind,
        access_ms: 0,
        latency_ms: 0,
        hang_ms: 0,
        talk_paths: 1,
        coverage: 1.0,
        notes: String::new(),
    };
    match template {
        Some(template) => System {
            id: bare.id,
            key: bare.key,
            name: bare.name,
            ..template.clone()
        },
        None => bare,
    }
}

/// Makes the system of a new channel after the ready-made one of its kind.
fn carrying_system(s: &Scenario, channel: &str, carrier: Conventional) -> System {
    let id = SystemId(s.mint(0));
    let is_simplex = carrier.rx == carrier.tx;
    let kind = if is_simplex {
        SystemKind::Simplex
    } else {
        SystemKind::Repeater
    };
    let library = &shipped().scenario;
    let digital = library.systems.by_key("p25-repeater").map(|x| x.id.into());
    let wanted = digital
        .filter(|_| !is_simplex && carrier.mode.is_digital())
        .or_else(|| system_of(kind));
    let template = library.systems.iter().find(|x| Some(x.id.into()) == wanted);
    let name = match template {
        Some(template) if is_simplex => template.name.clone(),
        _ => format!("{channel} repeater"),
    };
    template.map_or_else(
        || System {
            id,
            key: String::new(),
            name: name.clone(),
            kind,
            access_ms: 0,
            latency_ms: 0,
            hang_ms: 0,
            talk_paths: 1,
            coverage: 1.0,
            notes: String::new(),
        },
        |template| System {
            id,
            key: String::new(),
            name: name.clone(),
            ..template.clone()
        },
    )
}

/// Takes the first of the codes and modes that the guide allows.
fn carrier(national: &National) -> Conventional {
    let mode = national.modes.first().copied().unwrap_or(Mode::Fm);
    let first = |codes: &[AccessCode]| codes.first().copied().unwrap_or(AccessCode::None);
    Conventional {
        rx: national.rx,
        tx: national.tx,
        rx_code: first(&national.rx_codes),
        tx_code: first(&national.tx_codes),
        mode,
        mixed: false,
        bandwidth_hz: national.bandwidth_hz,
    }
}
