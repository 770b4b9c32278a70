//! The gateway card: one half page for each gateway and phase, for the lid of a wet, closed box.
//!
//! Everything on it is as large as one page allows; only a gateway with very many ports takes a second.
//! The order of bringing up is common practice, no source.

mod notes;

use emath::{Rect, pos2, vec2};

use crate::model::{
    Attachment, Finding, Gateway, Keying, LevelSetting, PortKind, PortRef, Severity, TalkGroupRef,
    ThingId,
};
use crate::sheets::Choice as _;

use super::on::On;
use super::set::composer::{Composer, Margin, Pad, leading};
use super::set::face::Face;
use super::set::ink::{Ink, Pen, Tint};
use super::set::sheet::{Document, Role};
use super::set::table::{Cell, Column, Table};
use notes::{care, lid, power};

/// Findings that stop the plan, told on a card.
const MOST_STOPS: usize = 3;
/// Sizes tried in percent of the usual card's, from the largest down in even steps.
const LARGEST: u32 = 160;
const SMALLEST: u32 = 78;
const STEP: usize = 2;

const MARGIN: Margin = Margin {
    side: 18.0,
    top: 16.0,
    bottom: 28.0,
};

/// Sets a card for each gateway that has something plugged in, and for each that has not.
pub fn set(on: &On<'_>) -> Document {
    let cards: Vec<Document> = on
        .scenario()
        .gateways
        .iter()
        .map(|gateway| card(on, gateway))
        .collect();
    let title = format!("Gateway cards: {}, {}", on.incident(), on.phase_name());
    Document::joined(&title, cards)
}

/// Sets the card of one gateway.
pub fn card(on: &On<'_>, gateway: &Gateway) -> Document {
    let composed = (SMALLEST..=LARGEST)
        .rev()
        .step_by(STEP)
        .map(|percent| composed(on, gateway, percent as f32 / 100.0))
        .find(|composer| composer.page_count() == 1)
        .unwrap_or_else(|| composed(on, gateway, SMALLEST as f32 / 100.0));
    let title = format!("Gateway card: {}, {}", gateway.name, on.phase_name());
    composed.finish(&title, |pad, page, count| {
        foot(pad, page, count);
    })
}

/// The foot of a card, on one line.
fn foot(pad: &mut Pad<'_>, page: usize, count: usize) {
    const CAUTION: &str = "Planning aid. Test before relying on it; local procedures come first.";
    let (left, right, top) = (pad.area.min.x, pad.area.max.x, pad.area.min.y);
    let pen = Pen::new(Tint::RULE, 0.5);
    pad.inks
        .push(Ink::rule(pos2(left, top), pos2(right, top), pen));
    let mut end = right;
    if count > 1 {
        let line = pad.faces.line(Face::Bold, &format!("{page} of {count}"));
        end -= line.width(7.5);
        pad.line(pos2(end, top + 2.5), Face::Bold, 7.5, Tint::BLACK, line);
    }
    let at = pos2(left, top + 2.5);
    pad.fitted(
        at,
        end - at.x - 8.0,
        Face::Regular,
        7.5,
        Tint::BLACK,
        CAUTION,
    );
}

fn composed<'a>(on: &On<'a>, gateway: &'a Gateway, scale: f32) -> Composer<'a> {
    let mut page = Composer::new(on.faces, on.given.paper.half(), MARGIN);
    on.letterhead(&mut page);
    head(on, gateway, &mut page, scale);
    warnings(on, gateway, &mut page, scale);
    page.table(&ports(on, gateway, scale));
    page.gap(5.0 * scale);
    for group in &gateway.talk_groups {
        let reference = TalkGroupRef {
            gateway: gateway.id,
            group: group.number,
        };
        group_block(on, gateway, reference, &mut page, scale);
    }
    steps(&mut page, "Bring it up", &bring_up(gateway), scale);
    steps(&mut page, "Take it down", &take_down(), scale);
    notes(on, gateway, &mut page, scale);
    page
}

fn head(on: &On<'_>, gateway: &Gateway, page: &mut Composer<'_>, scale: f32) {
    page.heading_sized(1, &gateway.name, 17.0 * scale);
    let mut words = vec![on.phase_name().to_owned()];
    if let Some(site) = gateway.site {
        words.push(on.name(site));
    }
    words.retain(|w| !w.is_empty());
    page.paragraph(&words.join("; "), Face::Bold, 8.5 * scale);
    if let Some(period) = &on.period {
        page.paragraph(&period.words(), Face::Regular, 8.0 * scale);
    }
    page.gap(3.0 * scale);
}

/// What must be read before anything is switched: what stops the plan here, and contamination.
fn warnings(on: &On<'_>, gateway: &Gateway, page: &mut Composer<'_>, scale: f32) {
    let stops: Vec<&str> = on
        .report
        .open
        .iter()
        .filter(|f| f.severity == Severity::Stops && is_about(on, f, gateway))
        .map(|f| f.headline.as_str())
        .collect();
    let mut lines = Vec::new();
    if !stops.is_empty() {
        let mut text = format!(
            "NOT READY: {}.",
            stops
                .iter()
                .take(MOST_STOPS)
                .copied()
                .collect::<Vec<_>>()
                .join("; ")
        );
        if stops.len() > MOST_STOPS {
            text.push_str(&format!(
                " And {} more: see the briefing.",
                stops.len() - MOST_STOPS
            ));
        }
        lines.push(text);
    }
    if is_contaminated(on, gateway) {
        lines.push(
            "CONTAMINATED SITE: set, charge and test outside, shut the lid, then carry it in. Opening, \
             moving and return are for the hazardous-materials officer."
                .to_owned(),
        );
    }
    let size = 8.5 * scale;
    for line in lines {
        let wrapped = page.faces.wrap(Face::Bold, &line, size, page.width() - 8.0);
        let height = wrapped.len() as f32 * leading(size) + 5.0;
        page.need(height);
        page.begin(Role::Paragraph);
        let mut pad = page.pad();
        let rect = Rect::from_min_size(pad.area.min, vec2(pad.area.width(), height));
        let pen = Pen::new(Tint::BLACK, 1.8);
        pad.inks.push(Ink::rect(rect, None, Some(pen)));
        for (i, line) in wrapped.into_iter().enumerate() {
            let at = rect.min + vec2(4.0, 2.0 + i as f32 * leading(size));
            pad.line(at, Face::Bold, size, Tint::BLACK, line);
        }
        page.draw(pad.inks);
        page.end();
        page.y += height + 3.0 * scale;
    }
}

fn is_about(on: &On<'_>, finding: &Finding, gateway: &Gateway) -> bool {
    let things = std::iter::once(&finding.subject).chain(&finding.related);
    things.copied().any(|thing| match thing {
        ThingId::Gateway(id) => id == gateway.id,
        ThingId::Port(port) => port.gateway == gateway.id,
        ThingId::TalkGroup(group) => group.gateway == gateway.id,
        ThingId::Radio(radio) => on
            .picture
            .port_of(radio)
            .is_some_and(|p| p.gateway == gateway.id),
        _ => false,
    })
}

fn is_contaminated(on: &On<'_>, gateway: &Gateway) -> bool {
    let site = gateway.site.and_then(|s| on.scenario().sites.get(s));
    site.is_some_and(|s| s.contaminated)
}

fn ports(on: &On<'_>, gateway: &Gateway, scale: f32) -> Table {
    let mut table = Table::new(
        vec![
            Column::centred("Port", 1.0),
            Column::new("Plugged in", 4.2),
            Column::new("Cable", 2.2),
            Column::centred("Group", 1.25),
            Column::centred("Buffer", 1.5),
            Column::centred("Level", 1.2),
            Column::centred("Keys by", 1.5),
        ],
        9.0 * scale,
    );
    table.head_size = 7.5 * scale;
    for port in &gateway.ports {
        let reference = PortRef {
            gateway: gateway.id,
            port: port.number,
        };
        let phase = on.picture.phase();
        let attachment = phase.and_then(|p| p.attachments.get(&reference)).copied();
        let group = phase.and_then(|p| p.switches.get(&reference));
        let keying = match (port.keying, port.kind) {
            _ if attachment.is_none() => String::new(),
            (_, PortKind::Telephone | PortKind::Headset | PortKind::Wire | PortKind::Ip) => {
                "\u{2013}".to_owned()
            }
            (Keying::PttLine, PortKind::Radio) => "PTT line".to_owned(),
            (Keying::VoiceOperated { .. }, PortKind::Radio) => "voice".to_owned(),
        };
        let or_dash = |text: String| {
            if attachment.is_some() {
                text
            } else {
                String::new()
            }
        };
        table.row(vec![
            Cell::bold(port.number.to_string()),
            Cell::bold(plugged(on, attachment, port.kind)),
            Cell::text(cable(on, attachment)),
            Cell::bold(group.map_or_else(|| "NONE".to_owned(), u8::to_string)),
            Cell::text(or_dash(format!("{} ms", port.buffer_ms))),
            Cell::text(or_dash(match port.level {
                LevelSetting::Mid => "mid".to_owned(),
                other => other.words().to_uppercase(),
            })),
            Cell::text(keying),
        ]);
    }
    table
}

fn plugged(on: &On<'_>, attachment: Option<Attachment>, kind: PortKind) -> String {
    match attachment {
        None => format!("({})", kind.words()),
        Some(Attachment::Radio { radio, .. }) => {
            let Some(radio) = on.scenario().radios.get(radio) else {
                return String::new();
            };
            match on.picture.tuned(radio) {
                Some(tuned) => {
                    let channel = tuned.entry.label(tuned.channel);
                    if radio.name.contains(channel) {
                        radio.name.clone()
                    } else {
                        format!("{}\non {channel}", radio.name)
                    }
                }
                None => format!("{}\nNO CHANNEL SELECTED", radio.name),
            }
        }
        Some(other) => on.name(other.thing()),
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

/// A talk group: its number large in a box, what it is for, who is on it, and what to tell them.
fn group_block(
    on: &On<'_>,
    gateway: &Gateway,
    group: TalkGroupRef,
    page: &mut Composer<'_>,
    scale: f32,
) {
    let Some(named) = gateway.talk_group(group.group) else {
        return;
    };
    let mut lines = vec![(Face::Bold, group_title(named.name.as_str(), named.purpose))];
    let on_it: Vec<(PortRef, Attachment)> = on.ports_on(gateway, Some(group.group)).collect();
    if on_it.is_empty() {
        lines.push((Face::Regular, "Nobody is switched to it.".to_owned()));
    } else {
        let names: Vec<String> = on_it
            .iter()
            .map(|(port, attachment)| format!("{} {}", port.port, on.plugged_words(*attachment)))
            .collect();
        lines.push((Face::Regular, names.join("  +  ")));
        let waits = on_it.iter().filter_map(|(_, attachment)| {
            let Attachment::Radio { radio, .. } = attachment else {
                return None;
            };
            let radio = on.scenario().radios.get(*radio)?;
            on.wait_tenths(on.picture.tuned(radio)?.channel.id)
        });
        let has_radio = on_it
            .iter()
            .any(|(_, attachment)| matches!(attachment, Attachment::Radio { .. }));
        let tell = match waits.max() {
            Some(tenths) => format!(
                "Tell users: press, wait {tenths} tenths of a second, then speak (longest here)."
            ),
            None if has_radio => "Tell users: press, then speak.".to_owned(),
            None => "No radio is on this group.".to_owned(),
        };
        lines.push((Face::Bold, tell));
    }
    let size = 8.5 * scale;
    let (mark, inner) = (26.0 * scale, page.width() - 26.0 * scale - 10.0);
    let wrapped: Vec<_> = lines
        .iter()
        .flat_map(|(face, text)| {
            let lines = page.faces.wrap(*face, text, size, inner);
            lines
                .into_iter()
                .map(|line| (*face, line))
                .collect::<Vec<_>>()
        })
        .collect();
    let height = (wrapped.len() as f32 * leading(size) + 5.0).max(mark);
    page.need(height);
    page.begin(Role::Paragraph);
    let mut pad = page.pad();
    let rect = Rect::from_min_size(pad.area.min, vec2(pad.area.width(), height));
    let pen = Pen::new(Tint::BLACK, 1.0);
    pad.inks.push(Ink::rect(rect, None, Some(pen)));
    let square = Rect::from_min_size(rect.min, vec2(mark, height));
    pad.inks.push(Ink::rect(square, None, Some(pen)));
    let number_size = 17.0 * scale;
    pad.centred(
        pos2(square.center().x, square.center().y - number_size * 0.6),
        Face::Bold,
        number_size,
        Tint::BLACK,
        &group.group.to_string(),
    );
    for (i, (face, line)) in wrapped.into_iter().enumerate() {
        let at = pos2(
            rect.min.x + mark + 5.0,
            rect.min.y + 2.0 + i as f32 * leading(size),
        );
        pad.line(at, face, size, Tint::BLACK, line);
    }
    page.draw(pad.inks);
    page.end();
    page.y += height + 3.0 * scale;
}

fn group_title(name: &str, purpose: Option<crate::model::Role>) -> String {
    let purpose = purpose.map(|p| p.words().to_owned());
    match (name.trim(), purpose) {
        ("", None) => "Talk group".to_owned(),
        ("", Some(purpose)) => format!("For {purpose}"),
        (name, Some(purpose)) if !name.to_lowercase().contains(&purpose) => {
            format!("{name}: for {purpose}")
        }
        (name, _) => name.to_owned(),
    }
}

fn steps(page: &mut Composer<'_>, title: &str, steps: &[String], scale: f32) {
    let size = 7.8 * scale;
    page.need(leading(size) * 3.0);
    page.gap(1.5 * scale);
    page.heading_sized(2, title, 9.0 * scale);
    for (i, step) in steps.iter().enumerate() {
        page.marked(&format!("{}.", i + 1), step, size, 13.0 * scale);
    }
}

fn bring_up(gateway: &Gateway) -> Vec<String> {
    let mut steps = Vec::new();
    if let Some(cells) = gateway.cells {
        steps.push(format!(
            "{} fresh {} cells, all of one kind. Power on.",
            cells.count,
            cells.chemistry.words()
        ));
    } else {
        steps.push("Check the battery or the supply. Power on.".to_owned());
    }
    steps.push("All switches to NONE.".to_owned());
    steps.push(
        "Each radio, cable out, first with its own agency: frequency, tone, key; count both ways. Low \
         power where the repeater still hears it; scan, power save and beeps off."
            .to_owned(),
    );
    steps.push("Cable in. Level mid, buffer as above.".to_owned());
    steps.push("Port by port with the headset: count out, count in.".to_owned());
    steps.push("Switch to the groups above one by one; listen after each.".to_owned());
    steps.push("Tell each group who is on it and how long to wait. Note the time.".to_owned());
    steps
}

fn take_down() -> Vec<String> {
    vec![
        "Announce it on every group; wait for the answers.".to_owned(),
        "All switches to NONE; listen that nothing crosses.".to_owned(),
        "Cables out; radios back to their agencies and own channels. Note the time.".to_owned(),
    ]
}

fn notes(on: &On<'_>, gateway: &Gateway, page: &mut Composer<'_>, scale: f32) {
    let size = 7.8 * scale;
    page.gap(2.0 * scale);
    let mut label = "Power";
    for line in power(on, gateway) {
        page.marked(label, &line, size, 30.0 * scale);
        label = "";
    }
    page.marked("Lid", &lid(gateway), size, 30.0 * scale);
    page.marked("Care", care(), size, 30.0 * scale);
}
