//! ICS 205, Incident Radio Communications Plan: one for each phase.

use std::collections::{BTreeMap, BTreeSet};

use crate::exchange::assigned;
use crate::model::{
    Attachment, Channel, ChannelId, Gateway, PortRef, Protection, RadioId, Role, SystemKind,
    TalkGroupRef, UnitId,
};
use crate::paperwork::columns::{Columns, defined, name};
use crate::paperwork::leak::Opened;
use crate::paperwork::on::{On, lying};
use crate::paperwork::set::blocks::Field;
use crate::paperwork::set::sheet::Document;
use crate::paperwork::set::table::{Cell, Column, Table};
use crate::sheets::Choice as _;

/// Sets the form.
pub fn set(on: &On<'_>) -> Document {
    let title = "Incident Radio Communications Plan (ICS 205)";
    let top = vec![
        Field::new("1. Incident Name", on.incident(), 4.0),
        Field::new("2. Date/Time Prepared", on.given.prepared.as_str(), 2.0),
        Field::new("3. Operational Period", on.period_words(), 4.0),
    ];
    let mut page = on.begin(title, lying(on.given.paper.upright()), top);
    page.gap(5.0);
    page.heading_sized(2, "4. Basic Radio Channel Use", 9.0);
    page.table(&channels(on));
    page.gap(3.0);
    page.text_box("5. Special Instructions", &instructions(on), 60.0);
    page.gap(3.0);
    page.fields(&on.prepared_by(Some(6)));
    on.finish_iap(page, "ICS 205")
}

/// Somebody who uses a channel in the phase.
#[derive(Debug, Default)]
struct Use {
    units: BTreeSet<UnitId>,
    /// Units that have another channel selected and scan this one.
    scanning: BTreeSet<UnitId>,
    ports: BTreeSet<PortRef>,
    /// Radios in use that have it programmed and another channel selected.
    spare: BTreeSet<RadioId>,
    roles: BTreeSet<Role>,
    differing: usize,
}

fn uses(on: &On<'_>) -> BTreeMap<ChannelId, Use> {
    let scenario = on.scenario();
    let mut uses: BTreeMap<ChannelId, Use> = BTreeMap::new();
    for radio in scenario.radios.iter().filter(|r| on.picture.is_in_use(r)) {
        let selected = on.picture.tuned(radio).map(|t| t.channel.id);
        for entry in &radio.programmed {
            let used = uses.entry(entry.channel).or_default();
            if Some(entry.channel) != selected {
                used.spare.insert(radio.id);
                if radio.scans.contains(&entry.channel) {
                    used.scanning.extend(radio.held_by);
                }
                continue;
            }
            if let Some(port) = on.picture.port_of(radio.id) {
                used.ports.insert(port);
            } else if let Some(unit) = radio.held_by.and_then(|u| scenario.units.get(u)) {
                used.units.insert(unit.id);
                used.roles.insert(unit.role);
            }
            let channel = scenario.channels.get(entry.channel);
            if channel.is_some_and(|c| entry.effective(c) != defined(c)) {
                used.differing += 1;
            }
        }
    }
    uses
}

fn channels(on: &On<'_>) -> Table {
    let mut table = Table::new(
        vec![
            Column::new("Zone Grp.", 0.9),
            Column::centred("Ch #", 0.6),
            Column::new("Function", 1.5),
            Column::new("Channel Name / Trunked Radio System Talkgroup", 2.6),
            Column::new("Assignment", 3.6),
            Column::new("RX Freq N or W", 1.7),
            Column::new("RX Tone/NAC", 1.1),
            Column::new("TX Freq N or W", 1.7),
            Column::new("TX Tone/NAC", 1.1),
            Column::centred("Mode A, D or M", 0.8),
            Column::new("Remarks", 3.4),
        ],
        8.0,
    );
    let (uses, assigned) = (uses(on), assigned(on.picture));
    let mut rows: Vec<(&Channel, &Use)> = uses
        .iter()
        .filter_map(|(id, used)| Some((on.scenario().channels.get(*id)?, used)))
        .collect();
    let is_spare =
        |used: &Use| used.units.is_empty() && used.scanning.is_empty() && used.ports.is_empty();
    // In use before spare, command first; otherwise as in the plan.
    rows.sort_by_key(|(channel, used)| {
        let role = role_of(channel, used);
        (is_spare(used), role.is_none(), role)
    });
    for (channel, used) in rows {
        let columns = Columns::of(defined(channel));
        let function = match role_of(channel, used) {
            _ if is_spare(used) => "Spare".to_owned(),
            Some(role) => capital(role.words()),
            None => String::new(),
        };
        table.row(vec![
            // Zones and their channel numbers are a matter of each radio's own programming.
            Cell::blank(),
            Cell::blank(),
            Cell::text(function),
            Cell::head(name(channel, &channel.name)),
            Cell::text(
                assigned
                    .get(&channel.id)
                    .map_or_else(String::new, |a| a.words(on.picture)),
            ),
            Cell::text(columns.rx),
            Cell::text(columns.rx_code),
            Cell::text(columns.tx),
            Cell::text(columns.tx_code),
            Cell::text(columns.mode),
            Cell::text(remarks(on, channel, used)),
        ]);
    }
    table
}

fn role_of(channel: &Channel, used: &Use) -> Option<Role> {
    channel.purpose.or_else(|| used.roles.first().copied())
}

/// Begins with a capital letter.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

fn remarks(on: &On<'_>, channel: &Channel, used: &Use) -> String {
    let mut parts: Vec<String> = Vec::new();
    // That a simplex channel has no system behind it is seen from its frequencies.
    if let Some(system) = on.scenario().systems.get(channel.system)
        && system.kind != SystemKind::Simplex
    {
        parts.push(system.name.clone());
    }
    match channel.protection {
        Protection::Clear => {}
        Protection::Optional(key) => parts.push(format!("{key}, secure switch")),
        Protection::Always(key) => parts.push(format!("{key}, always encrypted")),
    }
    if used.differing > 0 {
        let sets = if used.differing == 1 {
            "set differs"
        } else {
            "sets differ"
        };
        parts.push(format!(
            "{} {sets} from this line: see pre-check",
            used.differing
        ));
    }
    if !channel.notes.trim().is_empty() {
        parts.push(channel.notes.trim().to_owned());
    }
    parts.join("; ")
}

/// What no row can carry: patches, waiting, secrecy, what is not yet verified.
fn instructions(on: &On<'_>) -> Vec<String> {
    let mut lines = Vec::new();
    let stops = on.report.count(crate::model::Severity::Stops);
    if stops > 0 {
        lines.push(format!(
            "NOT READY: {stops} {} the plan as printed; see the briefing.",
            if stops == 1 {
                "finding stops"
            } else {
                "findings stop"
            }
        ));
    }
    let mut all = Opened::all(on);
    // What leaves in clear is read first.
    all.sort_by_key(|o| !o.leaks());
    lines.extend(all.iter().map(|o| opened(on, o)));
    for gateway in on.scenario().gateways.iter() {
        patches(on, gateway, &mut lines);
    }
    let mut told: BTreeMap<u32, Vec<String>> = BTreeMap::new();
    for channel in on.waits.keys() {
        if let Some(tenths) = on.wait_tenths(*channel) {
            told.entry(tenths)
                .or_default()
                .push(on.channel_words(*channel));
        }
    }
    if !told.is_empty() {
        let groups = told.into_iter().rev();
        let groups: Vec<String> = groups
            .map(|(tenths, channels)| format!("{tenths} on {}", channels.join(", ")))
            .collect();
        lines.push(format!(
            "Press, wait so many tenths of a second, then speak: {}.",
            groups.join("; ")
        ));
    }
    lines.push(
        "Use plain language and say the agency before the unit. Test each patch before relying on \
         it; take patches down when they are no longer needed."
            .to_owned(),
    );
    lines
}

/// What becomes of a channel's encrypted traffic: where it leaves in clear, by whatever else is joined
/// on the way, or that it goes on with a key, or that it goes no further than the box.
fn opened(on: &On<'_>, opened: &Opened) -> String {
    let what = format!(
        "encrypted traffic of {} is decrypted at {}",
        opened.what,
        opened.at(on)
    );
    let (clear, kept) = (opened.clear_by(on), opened.kept_by(on));
    if opened.leaks() {
        let listeners = opened.opening.listeners.len();
        let who = match listeners {
            0 => "nobody of this plan listens there, but anybody may".to_owned(),
            1 => "1 of this plan hears it there, and anybody may".to_owned(),
            n => format!("{n} of this plan hear it there, and anybody may"),
        };
        return format!(
            "CAUTION, IN CLEAR: {what} and goes out in clear on {}; {who}.",
            clear.join(", ")
        );
    }
    let after = if kept.is_empty() {
        "it ends in the box, and is clear to whoever listens there".to_owned()
    } else {
        format!("it leaves encrypted again on {}", kept.join(", "))
    };
    format!("GUARD THE BOX: {what}; {after}.")
}

fn patches(on: &On<'_>, gateway: &Gateway, lines: &mut Vec<String>) {
    for group in &gateway.talk_groups {
        let reference = TalkGroupRef {
            gateway: gateway.id,
            group: group.number,
        };
        let on_it: Vec<String> = on
            .ports_on(gateway, Some(group.number))
            .map(|(port, attachment)| format!("{} (port {})", words(on, attachment), port.port))
            .collect();
        if on_it.len() > 1 {
            lines.push(format!(
                "PATCH at {}, talk group {}: {}.",
                gateway.name,
                on.group_words(reference),
                on_it.join(" + ")
            ));
        }
    }
}

fn words(on: &On<'_>, attachment: Attachment) -> String {
    on.plugged_words(attachment)
}
