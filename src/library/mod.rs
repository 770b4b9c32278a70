//! Ready-made things: those that come with the program, the national channels, a person's own, and the
//! sentence that asks for any of them.
//!
//! Everything here answers with edits for the gate; nothing is changed, read from disk or drawn.

pub mod national;
pub mod typed;

use std::collections::BTreeSet;
use std::sync::LazyLock;

use crate::engineering::rf::national as published;
use crate::format::excerpt::Excerpt;
use crate::model::graft::{Bed, Cutting, Grafted, Sharing, graft};
use crate::model::{Edit, PhaseId, Place, Scenario, SystemKind, TelephoneKind, ThingId};

/// The things that come with the program, as the file they are kept in.
pub const SHIPPED: &str = include_str!("../../assets/library.ron");

static LIBRARY: LazyLock<Excerpt> = LazyLock::new(|| {
    // A test holds the file to be readable.
    Excerpt::read(SHIPPED).unwrap_or_else(|_| Excerpt::empty("Ready-made things"))
});

/// Returns the things that come with the program.
pub fn shipped() -> &'static Excerpt {
    &LIBRARY
}

/// A part of the library.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Section {
    /// Radios, telephones and headsets.
    Radios,
    /// Gateways, and the cables between them and radios.
    Gateways,
    /// Kinds of system.
    Systems,
    /// The national interoperability channels.
    National,
    /// Agencies with their usual units and radios.
    Agencies,
    /// What a person has kept.
    Own,
}

impl Section {
    /// All sections, in the order of the shelf.
    pub const ALL: [Self; 6] = [
        Self::Radios,
        Self::Gateways,
        Self::Systems,
        Self::National,
        Self::Agencies,
        Self::Own,
    ];

    /// Returns the heading.
    pub fn heading(self) -> &'static str {
        match self {
            Self::Radios => "Radios",
            Self::Gateways => "Gateways",
            Self::Systems => "Systems",
            Self::National => "National channels",
            Self::Agencies => "Agencies",
            Self::Own => "Own things",
        }
    }
}

/// Where a ready-made thing lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Source {
    /// Among those that come with the program.
    Shipped(ThingId),
    /// In the national table, by its name there.
    National(&'static str),
    /// Among the person's own.
    Own(ThingId),
}

/// A ready-made thing as a shelf shows it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Item {
    /// Where it lies.
    pub source: Source,
    /// Name.
    pub name: String,
    /// What it is, in a few words.
    pub about: String,
}

/// Lists what a section holds.
pub fn items(section: Section, own: Option<&Excerpt>) -> Vec<Item> {
    if section == Section::National {
        return published::all()
            .map(|channel| Item {
                source: Source::National(channel.name),
                name: channel.name.to_owned(),
                about: national::about(channel),
            })
            .collect();
    }
    if section == Section::Own {
        let Some(own) = own else {
            return Vec::new();
        };
        return listed(own, Source::Own, |_| true);
    }
    let s = &shipped().scenario;
    listed(shipped(), Source::Shipped, |thing| match (section, thing) {
        (Section::Radios, ThingId::Radio(id)) => {
            s.radios.get(id).is_some_and(|r| r.held_by.is_none())
        }
        (Section::Radios, ThingId::Telephone(_) | ThingId::Headset(_))
        | (Section::Gateways, ThingId::Gateway(_) | ThingId::Cable(_))
        | (Section::Systems, ThingId::System(_))
        | (Section::Agencies, ThingId::Agency(_)) => true,
        _ => false,
    })
}

fn listed(
    from: &Excerpt,
    source: impl Fn(ThingId) -> Source,
    wanted: impl Fn(ThingId) -> bool,
) -> Vec<Item> {
    let things = from.chosen.iter().copied().filter(|t| wanted(*t));
    things
        .map(|thing| Item {
            source: source(thing),
            name: from.scenario.name(thing),
            about: about(&from.scenario, thing),
        })
        .collect()
}

/// Says in a few words what a ready-made thing is.
fn about(s: &Scenario, thing: ThingId) -> String {
    match thing {
        ThingId::Agency(id) => {
            let units = s.units.iter().filter(|u| u.agency == Some(id));
            let names: Vec<&str> = units.map(|u| u.name.as_str()).collect();
            names.join(", ")
        }
        ThingId::Unit(id) => {
            let heads = s.units.get(id).map_or(0, |u| u.heads);
            format!("unit of {heads}")
        }
        ThingId::Radio(id) => s.radios.get(id).map_or_else(String::new, |radio| {
            let bands: Vec<String> = radio.bands.iter().map(ToString::to_string).collect();
            format!("{}, {} W", bands.join(", "), radio.power_w)
        }),
        ThingId::Gateway(id) => s.gateways.get(id).map_or_else(String::new, |gateway| {
            let (ports, groups) = (gateway.ports.len(), gateway.talk_groups.len());
            format!("{ports} ports, {groups} talk groups")
        }),
        ThingId::System(id) => s.systems.get(id).map_or_else(String::new, |system| {
            format!(
                "access {} ms, delay {} ms",
                system.access_ms, system.latency_ms
            )
        }),
        ThingId::Cable(id) => s.cables.get(id).map_or_else(String::new, |cable| {
            format!("{} to {}", cable.radio_connector, cable.port_connector)
        }),
        ThingId::Telephone(id) => s.telephones.get(id).map_or_else(String::new, |telephone| {
            let kind = match telephone.kind {
                TelephoneKind::Cellular => "cellular",
                TelephoneKind::Satellite => "satellite",
                TelephoneKind::Landline => "landline",
            };
            format!("{kind}, delay {} ms", telephone.latency_ms)
        }),
        ThingId::Channel(id) => s.channels.get(id).map_or_else(String::new, |channel| {
            channel.conventional().map_or_else(
                || "a group of its system".to_owned(),
                |c| national::frequencies(c.rx, c.tx),
            )
        }),
        other => other.kind().word().to_owned(),
    }
}

/// Returns the edits that add a ready-made thing, and what they make of it.
///
/// # Errors
///
/// A sentence, when the thing is not there or the gate refuses it.
pub fn put(
    source: Source,
    own: Option<&Excerpt>,
    s: &Scenario,
    phase: PhaseId,
) -> Result<Grafted, String> {
    match source {
        Source::Shipped(thing) => Ok(put_of(shipped(), thing, s, phase)),
        Source::Own(thing) => {
            let own = own.ok_or("there are no own things")?;
            Ok(put_of(own, thing, s, phase))
        }
        Source::National(name) => {
            let channel = published::find(name).ok_or_else(|| format!("no channel {name}"))?;
            let (edits, id) = national::add(s, channel);
            let thing = ThingId::from(id);
            let is_new = !s.contains(thing);
            Ok(Grafted {
                edits,
                became: std::iter::once((thing, thing)).collect(),
                fresh: is_new.then_some(thing).into_iter().collect(),
                asked: vec![thing],
            })
        }
    }
}

fn put_of(from: &Excerpt, thing: ThingId, s: &Scenario, phase: PhaseId) -> Grafted {
    let things = BTreeSet::from([thing]);
    let cutting = Cutting {
        origin: &from.scenario,
        phase: from.phase,
        things: &things,
        attached: true,
    };
    let bed = Bed {
        phase,
        shift: Place::default(),
        // A channel that is there already is that channel; a box or a repeater is one more.
        sharing: match thing {
            ThingId::Channel(_) | ThingId::Cable(_) => Sharing::Everything,
            _ => Sharing::Companions,
        },
        same: false,
    };
    let mut grafted = graft(&cutting, s, &bed);
    // A ready-made thing stands where it is dropped, not where it stood when it was kept.
    grafted.edits.retain(|e| !matches!(e, Edit::Place { .. }));
    grafted
}

/// Returns the edits that add the ready-made cable for a radio at a port connector, when there is one
/// and the scenario has none that fits.
pub fn cable_for(s: &Scenario, radio_connector: &str, port_connector: &str) -> Vec<Edit> {
    if s.cables
        .iter()
        .any(|c| c.fits(radio_connector, port_connector))
    {
        return Vec::new();
    }
    let cables = shipped().scenario.cables.iter();
    let fitting = cables
        .filter(|c| c.fits(radio_connector, port_connector))
        .map(|c| ThingId::from(c.id))
        .next();
    let phase = s.phases.first().map_or(PhaseId(0), |p| p.id);
    fitting.map_or_else(Vec::new, |cable| put_of(shipped(), cable, s, phase).edits)
}

/// Returns the shipped system of a kind; of several the first by key.
fn system_of(kind: SystemKind) -> Option<ThingId> {
    let systems = shipped().scenario.systems.iter();
    let found = systems.filter(|s| s.kind == kind).map(|s| s.id.into());
    found.min()
}
