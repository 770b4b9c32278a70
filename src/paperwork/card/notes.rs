//! What is done with a gateway, step by step, and the notes at the foot of its card: power, lid and care.

use crate::model::{Control, Gateway};
use crate::paperwork::forms::ics205::capital;
use crate::paperwork::on::On;
use crate::paperwork::period::Period;
use crate::paperwork::set::composer::Composer;
use crate::picture::power::GatewayPower;
use crate::sheets::Choice as _;

use super::{Setting, is_contaminated};

/// The order of bringing it up.
pub(super) fn bring_up(gateway: &Gateway, setting: Setting) -> Vec<String> {
    let first = gateway.cells.map_or_else(
        || "Check the battery or the supply. Power on. All switches NONE.".to_owned(),
        |cells| {
            format!(
                "{} fresh {} cells of one kind. Power on. All switches NONE.",
                cells.count,
                cells.chemistry.words()
            )
        },
    );
    let mut second =
        "Each radio, cable out, first with its own agency: frequency, tone, key; count \
                      both ways."
            .to_owned();
    if setting.is_full() {
        second.push_str(
            " Low power where the repeater still hears it; scan, power save and beeps off.",
        );
    }
    vec![
        first,
        second,
        "Cable in; level and buffer as above. Port by port, with the headset: count out, count in."
            .to_owned(),
        "Switch to the groups above one by one; listen after each.".to_owned(),
        "Tell each group who is on it and how long to wait. Note the time.".to_owned(),
    ]
}

/// How the patch is taken down.
pub(super) fn take_down() -> Vec<String> {
    vec![
        "Announce it on every group; wait for the answers.".to_owned(),
        "All switches NONE; listen that nothing crosses.".to_owned(),
        "Cables out; radios back to their agencies and own channels. Note the time.".to_owned(),
    ]
}

/// Sets the notes.
pub(super) fn notes(on: &On<'_>, gateway: &Gateway, page: &mut Composer<'_>, setting: Setting) {
    let size = setting.body();
    let indent = size * 3.6;
    page.gap(size * 0.3);
    let mut label = "Power";
    for line in power(on, gateway) {
        page.marked(label, &line, size, indent);
        label = "";
    }
    page.marked("Lid", &lid(gateway), size, indent);
    page.marked("Care", care(), size, indent);
}

/// A line for the box, and one for each donor that runs out.
fn power(on: &On<'_>, gateway: &Gateway) -> Vec<String> {
    let shut = is_contaminated(on, gateway);
    let power = on.picture.power();
    let own = power.gateways.iter().find(|p| p.gateway == gateway.id);
    let mut lines: Vec<String> = own
        .map(|own| of_box(on, gateway, own, shut))
        .into_iter()
        .collect();
    let donors = power.donors.iter();
    let donors: Vec<_> = donors
        .filter(|d| d.port.gateway == gateway.id && !d.is_supplied && !d.changes_h.is_empty())
        .collect();
    if shut {
        let inside = own.filter(|own| !own.is_supplied());
        let changes = donors.iter().map(|d| &d.changes_h);
        let changes = changes.chain(inside.map(|own| &own.changes_h));
        let first = changes.filter_map(|c| c.first().copied());
        if let Some(first) = first.reduce(f64::min) {
            lines.push(format!(
                "Change nothing at the site. Give what runs down power from outside before the lid is \
                 shut, or have the box brought out by {} at the latest.",
                clock(on, first)
            ));
        }
    } else if !donors.is_empty() {
        lines.push("Fresh radio batteries:".to_owned());
    }
    for donor in donors {
        let port = donor.port.port;
        let (Some(first), Some(count)) = (donor.changes_h.first(), donor.batteries) else {
            continue;
        };
        lines.push(if shut {
            format!("Port {port}: its battery lasts until {}", clock(on, *first))
        } else {
            let word = if count == 1 { "battery" } else { "batteries" };
            format!(
                "Port {port}: {count} {word}, {}",
                when(on, &donor.changes_h)
            )
        });
    }
    lines.push("Times are estimates: change early.".to_owned());
    lines
}

fn of_box(on: &On<'_>, gateway: &Gateway, own: &GatewayPower, shut: bool) -> String {
    let inside = gateway.cells.map_or_else(
        || "battery inside".to_owned(),
        |cells| format!("{} {} cells", cells.count, cells.chemistry.words()),
    );
    let words = match (own.is_supplied(), own.inside_h) {
        (true, Some(hours)) => {
            format!("supply of the site; {inside} to fall back on, about {hours:.0} h")
        }
        (true, None) => format!("supply of the site; {inside} to fall back on"),
        (false, None) => format!("{inside}, hours unknown: test before"),
        (false, Some(hours)) => {
            let mut text = format!("{inside}, about {hours:.0} h");
            if let Some(sets) = own.sets.filter(|s| *s > 1 && !shut) {
                text.push_str(&format!("; {sets} sets for the period"));
            }
            match own.changes_h.first() {
                Some(first) if shut => {
                    text.push_str(&format!(", enough until {}", clock(on, *first)));
                }
                Some(_) => text.push_str(&format!("; change {}", when(on, &own.changes_h))),
                None => {}
            }
            text
        }
    };
    format!("{}.", capital(&words))
}

fn clock(on: &On<'_>, hours: f64) -> String {
    let period = on.period.as_ref();
    period.map_or_else(|| format!("{hours:.1} h"), |p| p.after(hours))
}

/// Says when to change, once or again and again: "by 20:40", "every 1:40 h from 20:40".
pub(super) fn when(on: &On<'_>, hours: &[f64]) -> String {
    let Some(first) = hours.first() else {
        return String::new();
    };
    let start = clock(on, *first);
    let is_even = (1..)
        .zip(hours)
        .all(|(n, at)| (at - first * f64::from(n)).abs() < 1e-6);
    match hours {
        [_] => format!("by {start}"),
        _ if is_even => {
            // Rounded down, so that nobody changes late.
            let minutes = (first * 60.0).floor() as i64;
            let every = format!("every {}:{:02} h", minutes / 60, minutes % 60);
            let has_start = on.period.as_ref().is_some_and(Period::has_start);
            if has_start {
                format!("{every} from {start}")
            } else {
                format!("{every} from the start")
            }
        }
        _ => {
            let times: Vec<String> = hours.iter().map(|at| clock(on, *at)).collect();
            format!("by {}", times.join(", "))
        }
    }
}

fn lid(gateway: &Gateway) -> String {
    let all = Control::ALL;
    let words = |reach: bool| -> Vec<&str> {
        let controls = all.iter().filter(|c| gateway.lid_shut.contains(c) == reach);
        controls.map(|c| c.words()).collect()
    };
    let (within, open) = (words(true), words(false));
    let mut text = String::new();
    if within.is_empty() {
        text.push_str("Shut, nothing is within reach.");
    } else {
        text.push_str(&format!("Shut, within reach: {}.", within.join(", ")));
    }
    if !open.is_empty() {
        text.push_str(&format!(" Open it for: {}.", open.join(", ")));
    }
    if !gateway.ingress.is_empty() {
        text.push_str(&format!(" {} only with the lid shut.", gateway.ingress));
    }
    text
}

fn care() -> &'static str {
    "Decontaminate lid shut, as maker and hazardous-materials officer say. Never change batteries in a \
     hazardous atmosphere. Wiring and supplies by the maker's manual and local safety rules."
}
