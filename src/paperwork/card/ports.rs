//! The ports of a gateway card: radio, channel with frequency and code, cable, group, buffer, level, keying.

use crate::model::{
    AccessCode, Attachment, Carrier, Gateway, Keying, LevelSetting, Port, PortKind, PortRef,
    Protection,
};
use crate::paperwork::columns::Columns;
use crate::paperwork::on::On;
use crate::paperwork::set::composer::Composer;
use crate::paperwork::set::face::Face;
use crate::paperwork::set::table::{Cell, Column, Table};
use crate::picture::Tuned;
use crate::sheets::Choice as _;

use super::Setting;

/// Sets the table of the ports, and names those that are empty below it.
pub(super) fn ports(on: &On<'_>, gateway: &Gateway, page: &mut Composer<'_>, setting: Setting) {
    let phase = on.picture.phase();
    let mut empty: Vec<String> = Vec::new();
    let mut rows: Vec<Vec<Cell>> = Vec::new();
    for port in &gateway.ports {
        let reference = PortRef {
            gateway: gateway.id,
            port: port.number,
        };
        let attachment = phase.and_then(|p| p.attachments.get(&reference)).copied();
        let group = phase.and_then(|p| p.switches.get(&reference)).copied();
        if attachment.is_none() && group.is_none() {
            empty.push(port.number.to_string());
            continue;
        }
        rows.push(row(on, port, attachment, group));
    }
    if !rows.is_empty() {
        page.table(&table(page, rows, setting));
    }
    if !empty.is_empty() {
        let word = if empty.len() == 1 { "port" } else { "ports" };
        let words = format!("Empty, switched to NONE: {word} {}.", empty.join(", "));
        page.gap(1.0);
        page.paragraph(&words, Face::Regular, setting.body());
    }
}

/// Lays the columns out: those of short words as wide as their widest word, the others share the rest.
fn table(page: &Composer<'_>, rows: Vec<Vec<Cell>>, setting: Setting) -> Table {
    const HEADS: [&str; 7] = [
        "Port",
        "Plugged in, channel",
        "Cable",
        "Group",
        "Buffer, ms",
        "Level",
        "Keys",
    ];
    let size = setting.body();
    let head_size = (size * 0.9).max(9.0);
    let width = |size: f32, text: &str| {
        let words = text.split_whitespace();
        let words = words.map(|word| page.faces.line(Face::Bold, word).width(size));
        words.fold(0.0, f32::max)
    };
    let widest = |column: usize| {
        let cells = rows.iter().filter_map(|row| row.get(column));
        let cells = cells.map(|cell| width(size, &cell.text));
        let head = HEADS.get(column).map_or(0.0, |head| width(head_size, head));
        // What stands left and right in a cell, and a little air.
        cells.fold(head, f32::max) + 7.5
    };
    let short: f32 = [0, 3, 4, 5, 6].map(widest).iter().sum();
    let rest = (page.width() - short).max(page.width() * 0.3);
    let columns = HEADS.iter().enumerate().map(|(i, head)| match i {
        1 => Column::new(head, rest * 0.72),
        2 => Column::new(head, rest * 0.28),
        _ => Column::centred(head, widest(i)),
    });
    let mut table = Table::new(columns.collect(), size);
    table.head_size = head_size;
    for row in rows {
        table.row(row);
    }
    table
}

fn row(on: &On<'_>, port: &Port, attachment: Option<Attachment>, group: Option<u8>) -> Vec<Cell> {
    let keying = match (port.keying, port.kind) {
        _ if attachment.is_none() => "",
        (_, PortKind::Telephone | PortKind::Headset | PortKind::Wire | PortKind::Ip) => "\u{2013}",
        (Keying::PttLine, PortKind::Radio) => "PTT",
        (Keying::VoiceOperated { .. }, PortKind::Radio) => "voice",
    };
    let level = match port.level {
        LevelSetting::Mid => "mid".to_owned(),
        other => other.words().to_uppercase(),
    };
    let if_plugged = |text: String| attachment.map_or_else(String::new, |_| text);
    vec![
        Cell::head(port.number.to_string()),
        Cell::bold(plugged(on, attachment, port.kind)),
        Cell::text(cable(on, attachment)),
        Cell::bold(group.map_or_else(|| "NONE".to_owned(), |g| g.to_string())),
        Cell::text(if_plugged(port.buffer_ms.to_string())),
        Cell::text(if_plugged(level)),
        Cell::text(keying),
    ]
}

fn plugged(on: &On<'_>, attachment: Option<Attachment>, kind: PortKind) -> String {
    match attachment {
        None => format!("({})", kind.words()),
        Some(Attachment::Radio { radio, .. }) => {
            let Some(radio) = on.scenario().radios.get(radio) else {
                return String::new();
            };
            let Some(tuned) = on.picture.tuned(radio) else {
                return format!("{}\nNO CHANNEL SELECTED", radio.name);
            };
            let channel = tuned.entry.label(tuned.channel);
            let on_channel = if radio.name.contains(channel) {
                String::new()
            } else {
                format!(" on {channel}")
            };
            format!("{}{on_channel}\n{}", radio.name, reads(tuned))
        }
        Some(other) => on.name(other.thing()),
    }
}

/// Says what must be set on a donor: frequencies and codes, or the group; the key; listening only.
pub(super) fn reads(tuned: Tuned<'_>) -> String {
    let effective = tuned.entry.effective(tuned.channel);
    let mut parts = Vec::new();
    match effective.carrier {
        Carrier::Conventional(c) => {
            let columns = Columns::of(effective);
            let (rx, tx) = (columns.rx, columns.tx);
            parts.push(match tuned.entry.receive_only {
                true => format!("RX {rx} only"),
                false if rx == tx => rx,
                false => format!("RX {rx}, TX {tx}"),
            });
            parts.push(match (c.rx_code, c.tx_code) {
                (rx, _) if tuned.entry.receive_only => code(rx),
                (rx, tx) if rx == tx => code(rx),
                (rx, tx) => format!("RX {}, TX {}", code(rx), code(tx)),
            });
        }
        Carrier::Grouped { group, .. } => parts.push(format!("talkgroup {group}")),
    }
    match effective.protection {
        Protection::Optional(key) if tuned.entry.secure => parts.push(format!("{key}, secure on")),
        Protection::Always(key) => parts.push(key.to_string()),
        Protection::Optional(_) => parts.push("secure off".to_owned()),
        Protection::Clear => {}
    }
    parts.join("; ")
}

fn code(code: AccessCode) -> String {
    match code {
        AccessCode::None => "no tone".to_owned(),
        AccessCode::Ctcss(tone) => format!("CTCSS {:.1}", tone.hz()),
        code => code.to_string(),
    }
}

fn cable(on: &On<'_>, attachment: Option<Attachment>) -> String {
    match attachment {
        Some(Attachment::Radio {
            cable: Some(cable), ..
        }) => on.name(cable),
        Some(Attachment::Radio { cable: None, .. }) => "NOT CHOSEN".to_owned(),
        Some(Attachment::Telephone(_) | Attachment::Headset(_) | Attachment::Tie(_)) | None => {
            String::new()
        }
    }
}
