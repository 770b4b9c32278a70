//! How a gateway looks on paper: a row for each port, its switch, and the talk groups as buses beside it.

use emath::{Pos2, Rect, pos2, vec2};

use super::board::Scene;
use super::cards::named;
use super::fit::{Side, Type, write};
use super::look::bus_tint;
use super::marks::{Gear, gear, position};
use super::words;
use crate::layout::{GATEWAY_HEAD, GatewayBox, Row};
use crate::model::{Attachment, Gateway};
use crate::paperwork::set::composer::Pad;
use crate::paperwork::set::ink::{Ink, Tint};

/// Draws a gateway.
pub(super) fn gateway(scene: &Scene<'_>, b: &GatewayBox) -> Vec<Ink> {
    let Some(g) = scene.s.gateways.get(b.id) else {
        return Vec::new();
    };
    let mut pad = scene.pad(b.rect);
    let area = pad.area;
    let edge = scene.pen(Tint::BLACK, 2.2);
    let ground = Some(Tint::WHITE);
    pad.inks
        .push(Ink::rounded(area, scene.len(8.0), ground, Some(edge)));
    head(&mut pad, scene, g, b);
    for lane in &b.lanes {
        bus(
            &mut pad,
            scene,
            lane.label.center(),
            lane.group.group,
            lane.y.1,
        );
    }
    for (i, row) in b.rows.iter().enumerate() {
        port(&mut pad, scene, g, b, row, i == 0);
    }
    if b.rows.is_empty() {
        let room = Rect::from_min_max(b.rect.left_bottom() - vec2(-12.0, 38.0), b.rect.max);
        let kind = Type::plain(scene.len(13.0), scene.len(8.0)).soft();
        write(&mut pad, scene.rect(room), kind, Side::Left, "No ports yet");
    }
    pad.inks
}

fn head(pad: &mut Pad<'_>, scene: &Scene<'_>, g: &Gateway, b: &GatewayBox) {
    let top = b.rect.min.y;
    let (left, right) = (b.rect.min.x + 12.0, b.rect.max.x - 12.0);
    let line = |from: f32, to: f32| {
        scene.rect(Rect::from_min_max(
            pos2(left, top + from),
            pos2(right, top + to),
        ))
    };
    let kind = Type::bold(scene.len(19.0), scene.len(9.0));
    write(pad, line(3.0, 28.0), kind, Side::Left, &g.name);
    let site = g.site.and_then(|id| scene.s.sites.get(id));
    let site = site.map_or_else(|| "no site yet".to_owned(), |s| format!("at {}", s.name));
    let kind = Type::plain(scene.len(13.0), scene.len(8.0)).soft();
    write(
        pad,
        line(28.0, 45.0),
        kind,
        Side::Left,
        &format!("Gateway {site}"),
    );
    let y = top + GATEWAY_HEAD;
    pad.inks.push(Ink::rule(
        scene.at(pos2(b.rect.min.x, y)),
        scene.at(pos2(b.rect.max.x, y)),
        scene.pen(Tint::BLACK, 0.8),
    ));
    // What the talk groups are called, in the strip between the line and the first port.
    let end = b.lanes.first().map_or(right, |lane| lane.label.min.x - 8.0);
    let share = (end - left) / g.talk_groups.len().max(1) as f32;
    for (i, group) in g.talk_groups.iter().enumerate() {
        let x = left + share * i as f32;
        let room = Rect::from_min_max(pos2(x, y + 1.5), pos2(x + share - 8.0, y + 30.5));
        let purpose = group.purpose.map_or_else(String::new, |purpose| {
            format!(" ({})", words::role(purpose))
        });
        let name = format!("{} {}{purpose}", group.number, group.name);
        let kind = Type::bold(scene.len(14.0), scene.len(7.5)).inked(bus_tint(group.number));
        write(pad, scene.rect(room), kind, Side::Left, &name);
    }
}

/// Draws the bus of a talk group below its number.
fn bus(pad: &mut Pad<'_>, scene: &Scene<'_>, label: Pos2, number: u8, foot: f32) {
    let tint = bus_tint(number);
    pad.inks.push(Ink::rule(
        scene.at(label),
        scene.at(pos2(label.x, foot)),
        scene.pen(tint, 3.4),
    ));
    let disc = Ink::circle(
        scene.at(label),
        scene.len(11.0),
        Some(Tint::WHITE),
        Some(scene.pen(tint, 2.0)),
    );
    pad.inks.push(disc);
    let room = scene.rect(Rect::from_center_size(label, vec2(18.0, 20.0)));
    let kind = Type::bold(scene.len(14.0), scene.len(6.0)).inked(tint);
    write(pad, room, kind, Side::Middle, &number.to_string());
}

fn port(
    pad: &mut Pad<'_>,
    scene: &Scene<'_>,
    g: &Gateway,
    b: &GatewayBox,
    row: &Row,
    is_first: bool,
) {
    let Some(port) = g.port(row.port.port) else {
        return;
    };
    let (rect, mid) = (row.rect, row.rect.center().y);
    let text_end = row.cells.first().map_or(rect.max.x, |(_, r)| r.min.x) - 6.0;
    if !is_first {
        pad.inks.push(Ink::rule(
            scene.at(pos2(rect.min.x, rect.min.y)),
            scene.at(pos2(text_end, rect.min.y)),
            scene.pen(Tint::RULE, 0.7),
        ));
    }
    let lane = row
        .group
        .and_then(|n| b.lanes.iter().find(|l| l.group.group == n));
    if let Some(lane) = lane {
        let tint = bus_tint(lane.group.group);
        let from = row.cells.last().map_or(rect.max.x, |(_, r)| r.max.x);
        pad.inks.push(Ink::rule(
            scene.at(pos2(from + 2.0, mid)),
            scene.at(pos2(lane.x, mid)),
            scene.pen(tint, 2.4),
        ));
        let spot = scene.at(pos2(lane.x, mid));
        pad.inks
            .push(Ink::circle(spot, scene.len(5.0), Some(tint), None));
    }
    let number = Rect::from_min_max(
        pos2(rect.min.x, rect.min.y),
        pos2(rect.min.x + 24.0, rect.max.y),
    );
    let kind = Type::bold(scene.len(15.0), scene.len(7.0));
    write(
        pad,
        scene.rect(number),
        kind,
        Side::Middle,
        &port.number.to_string(),
    );
    let thing = row.attached.map(|chip| chip.thing);
    let kind = thing.map_or_else(|| Gear::of_port(port.kind), Gear::of);
    let sign = scene.at(pos2(rect.min.x + 35.0, mid));
    pad.inks.extend(gear(kind, sign, scene.len(9.0)));
    let room = Rect::from_min_max(
        pos2(rect.min.x + 49.0, rect.min.y + 1.0),
        pos2(text_end, rect.max.y - 1.0),
    );
    plugged(pad, scene, row, port.kind, room);
    switch(pad, scene, row);
}

/// Writes what is plugged in, its channel and its cable.
fn plugged(
    pad: &mut Pad<'_>,
    scene: &Scene<'_>,
    row: &Row,
    kind: crate::model::PortKind,
    room: Rect,
) {
    let words = words::plugged(scene.s, scene.phase, row.port, kind);
    let small = Type::plain(scene.len(11.5), scene.len(7.5)).soft();
    if words.under.is_empty() {
        write(pad, scene.rect(room), small, Side::Left, &words.name);
        return;
    }
    let split = room.min.y + 20.0;
    let upper = Rect::from_min_max(room.min, pos2(room.max.x, split));
    let lower = Rect::from_min_max(pos2(room.min.x, split), room.max);
    if let Some(Attachment::Radio { radio, .. }) = scene.phase.attachments.get(&row.port) {
        let radio = scene.s.radios.get(*radio);
        let channel = radio.and_then(|r| scene.s.selected_channel(scene.phase, r));
        named(pad, scene, scene.rect(upper), &words.name, channel);
    } else {
        let kind = Type::plain(scene.len(15.0), scene.len(8.0));
        write(pad, scene.rect(upper), kind, Side::Left, &words.name);
    }
    write(pad, scene.rect(lower), small, Side::Left, &words.under);
}

/// Draws the positions of a switch, the one it is in filled.
fn switch(pad: &mut Pad<'_>, scene: &Scene<'_>, row: &Row) {
    for (group, cell) in &row.cells {
        let is_on = row.group == *group;
        let at = scene.at(cell.center());
        pad.inks.push(position(at, scene.len(9.5), is_on));
        let tint = if is_on { Tint::WHITE } else { Tint::SOFT };
        let kind = Type::bold(scene.len(13.0), scene.len(6.0)).inked(tint);
        let room = scene.rect(Rect::from_center_size(cell.center(), vec2(16.0, 18.0)));
        let number = group.map_or_else(|| "\u{2013}".to_owned(), |n| n.to_string());
        write(pad, room, kind, Side::Middle, &number);
    }
}
