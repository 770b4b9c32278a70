//! The switch that parts people who hear each other though a need keeps them apart. It is searched for
//! when somebody looks at the finding, and proposed only where it cures it and costs no need.

use crate::hearing::StepKind;
use crate::model::{Edit, Fix, Grade, Need, PortRef, ThingId};
use crate::picture::Picture;
use crate::picture::resilience::is_met;
use crate::picture::what_if;

/// Most ports that are tried.
const MOST_PORTS: usize = 6;

/// Returns the one switch of a port on the way that parts a need, if there is one: that which joins the
/// fewest others, then that which cuts off the fewest.
pub(super) fn parting(picture: &Picture, need: &Need) -> Option<Fix> {
    let (scenario, hearing) = (picture.scenario(), picture.hearing());
    if is_met(hearing, need) {
        return None;
    }
    let phase = picture.phase_id();
    let mut best: Option<((usize, usize), PortRef, Option<u8>)> = None;
    for port in on_the_way(picture, need).into_iter().take(MOST_PORTS) {
        let gateway = scenario.gateways.get(port.gateway)?;
        let now = picture.phase().and_then(|p| p.switches.get(&port).copied());
        let groups = gateway.talk_groups.iter().map(|group| Some(group.number));
        for group in std::iter::once(None).chain(groups) {
            if group == now {
                continue;
            }
            let Some(moved) = what_if::switched(scenario, hearing, phase, port, group) else {
                continue;
            };
            let cost = (moved.gained.len(), moved.lost.len());
            let cures = moved.met.contains(&need.id) && moved.unmet.is_empty();
            if cures && best.as_ref().is_none_or(|(least, ..)| cost < *least) {
                best = Some((cost, port, group));
            }
        }
    }
    let (_, port, group) = best?;
    let to = group.map_or_else(
        || "none".to_owned(),
        |group| {
            let group = crate::model::TalkGroupRef {
                gateway: port.gateway,
                group,
            };
            scenario.name(group.into())
        },
    );
    Some(Fix {
        title: format!("Switch {} to {to}", scenario.name(port.into())),
        grade: Grade::Ask,
        edits: vec![Edit::Switch { phase, port, group }],
    })
}

/// Lists the ports by which those hear each other who are to be kept apart, in the order of the ways.
fn on_the_way(picture: &Picture, need: &Need) -> Vec<PortRef> {
    let (scenario, hearing) = (picture.scenario(), picture.hearing());
    let mut ports = Vec::new();
    for (from, to) in need.pairs_apart() {
        let Some(path) = hearing.path(scenario, from, to) else {
            continue;
        };
        for step in path.steps {
            if let ThingId::Port(port) = step.at
                && matches!(step.what, StepKind::EntersPort | StepKind::LeavesPort)
                && !ports.contains(&port)
            {
                ports.push(port);
            }
        }
        if ports.len() >= MOST_PORTS {
            break;
        }
    }
    ports
}
