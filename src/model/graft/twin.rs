//! When a thing of one scenario is the same as a thing of another: equal in all that matters on the air.
//!
//! Names count, because people go by them; notes, keys, counts and places do not.

use crate::model::air::{Channel, System, SystemKind};
use crate::model::gear::{Cable, Site};
use crate::model::id::ThingId;
use crate::model::people::Agency;
use crate::model::scenario::Scenario;

/// Finds the target's own thing that is the same as one of the origin.
///
/// Only what several others may lean on is shared: agencies, systems, channels, cables and sites.
pub(super) fn twin(origin: &Scenario, target: &Scenario, thing: ThingId) -> Option<ThingId> {
    Some(match thing {
        ThingId::Agency(id) => {
            let agency = origin.agencies.get(id)?;
            let found = target.agencies.iter().find(|a| same_agency(agency, a))?;
            found.id.into()
        }
        ThingId::System(id) => {
            let system = origin.systems.get(id)?;
            let found = target.systems.iter().find(|s| same_system(system, s))?;
            found.id.into()
        }
        ThingId::Channel(id) => {
            let channel = origin.channels.get(id)?;
            let system = origin.systems.get(channel.system)?;
            let is_it = |c: &&Channel| {
                same_channel(channel, c)
                    && target
                        .systems
                        .get(c.system)
                        .is_some_and(|other| same_system(system, other))
            };
            target.channels.iter().find(is_it)?.id.into()
        }
        ThingId::Cable(id) => {
            let cable = origin.cables.get(id)?;
            target
                .cables
                .iter()
                .find(|c| same_cable(cable, c))?
                .id
                .into()
        }
        ThingId::Site(id) => {
            let site = origin.sites.get(id)?;
            target.sites.iter().find(|s| same_site(site, s))?.id.into()
        }
        _ => return None,
    })
}

fn same_agency(a: &Agency, b: &Agency) -> bool {
    (&a.name, &a.short, a.discipline, a.level) == (&b.name, &b.short, b.discipline, b.level)
}

/// Plain air is plain air, whatever it is called.
fn same_system(a: &System, b: &System) -> bool {
    let times = |s: &System| (s.kind, s.access_ms, s.latency_ms, s.hang_ms);
    times(a) == times(b)
        && a.coverage.to_bits() == b.coverage.to_bits()
        && (a.kind == SystemKind::Simplex || (&a.name, a.talk_paths) == (&b.name, b.talk_paths))
}

fn same_channel(a: &Channel, b: &Channel) -> bool {
    (&a.name, a.carrier, a.protection, a.encrypted_only)
        == (&b.name, b.carrier, b.protection, b.encrypted_only)
}

fn same_cable(a: &Cable, b: &Cable) -> bool {
    a.name == b.name && a.fits(&b.radio_connector, &b.port_connector)
}

/// Antennas do not count: they come and go with the radios.
fn same_site(a: &Site, b: &Site) -> bool {
    (&a.name, a.contaminated, a.temperature_c, a.supply_v)
        == (&b.name, b.contaminated, b.temperature_c, b.supply_v)
}
