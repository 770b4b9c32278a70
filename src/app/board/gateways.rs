//! How a gateway looks: a row for each port, its switch, and the talk groups as buses beside them.

use egui::{Rect, pos2, vec2};

use super::cards::{chip_contents, left_words};
use super::draw::Scene;
use super::hit::Part;
use super::pen::{Pen, Strength, Weight};
use crate::app::theme::Sign;
use crate::app::words::{after, seconds, sentence};
use crate::layout::{Chip, GATEWAY_HEAD, GatewayBox, Row};
use crate::model::{Gateway, Party, PortKind, ThingId};

/// Draws a gateway.
pub(super) fn gateway(pen: &Pen, scene: &Scene<'_>, b: &GatewayBox) {
    let Some(g) = scene.scenario.gateways.get(b.id) else {
        return;
    };
    let t = pen.t;
    let thing = ThingId::from(b.id);
    // A box stays readable as soon as one of its ports is concerned.
    let concerned = scene
        .talk
        .is_none_or(|talk| b.rows.iter().any(|row| talk.concerns(row.port.into())));
    let own = if concerned {
        Strength::Full
    } else {
        Strength::Dim
    };
    pen.set(own);
    pen.shadow(b.rect, 12.0);
    let selected = scene.is_selected(thing);
    let (width, edge) = if selected {
        (2.0, t.accent.ink)
    } else if scene.is_hovered(thing) {
        (1.5, t.soft)
    } else {
        (1.0, t.card_edge)
    };
    pen.plate(b.rect, 12.0, t.card, width, edge);
    head(pen, scene, g, b);
    for lane in &b.lanes {
        let group = ThingId::from(lane.group);
        pen.set(scene.strength(group));
        let colour = t.bus(lane.group.group);
        let lit = scene.talk.is_some() && scene.has_arrived(group);
        pen.path(
            &[pos2(lane.x, lane.y.0 - 2.0), pos2(lane.x, lane.y.1)],
            pen.line_width(if lit { 6.0 } else { 4.0 }),
            colour.gamma_multiply(if lit { 1.0 } else { 0.55 }),
        );
        let is_near = scene.is_hovered(group) || scene.is_selected(group);
        pen.spot(
            lane.label.center(),
            11.0,
            if is_near { colour } else { t.card },
        );
        pen.ring(lane.label.center(), 11.0, 1.8, colour);
        pen.text_mid(
            lane.label.center(),
            &lane.group.group.to_string(),
            12.0,
            Weight::Strong,
            if is_near { t.card } else { colour },
        );
        if scene.loops.contains(&lane.group) {
            // Audio that goes round: its sign at the foot of the bus.
            let foot = pos2(lane.x, lane.y.1);
            pen.spot(foot, 10.0, t.stops.ground);
            pen.ring(foot, 10.0, 1.4, t.stops.ink);
            pen.sign(foot, Sign::Loop, 14.0, t.stops.ink);
        }
        scene.mark_at(pen, &[group], lane.label.center() - vec2(0.0, 16.0));
    }
    for (i, row) in b.rows.iter().enumerate() {
        port(pen, scene, g, row, b, i == 0);
    }
    pen.set(Strength::Full);
    scene.mark(pen, Some(thing), b.rect);
}

fn head(pen: &Pen, scene: &Scene<'_>, g: &Gateway, b: &GatewayBox) {
    let t = pen.t;
    let top = b.rect.min;
    pen.sign(top + vec2(24.0, 24.0), Sign::Gateway, 20.0, t.soft);
    let site = g
        .site
        .and_then(|id| scene.scenario.sites.get(id))
        .map_or_else(|| "no site yet".to_owned(), |s| format!("at {}", s.name));
    pen.text(
        top + vec2(44.0, 17.0),
        &g.name,
        15.0,
        Weight::Strong,
        t.text,
        b.rect.width() - 60.0,
    );
    pen.text(
        top + vec2(44.0, 34.0),
        &site,
        11.0,
        Weight::Plain,
        t.faint,
        b.rect.width() - 60.0,
    );
    pen.path(
        &[
            pos2(b.rect.min.x + 8.0, top.y + GATEWAY_HEAD),
            pos2(b.rect.max.x - 8.0, top.y + GATEWAY_HEAD),
        ],
        1.0,
        t.group_edge,
    );
    // What the talk groups are called, in the strip between the line and the first port.
    let mut x = b.rect.min.x + 16.0;
    let y = top.y + GATEWAY_HEAD + 16.0;
    let end = b.lanes.first().map_or(b.rect.max.x, |l| l.label.min.x) - 12.0;
    let share = (end - x) / g.talk_groups.len().max(1) as f32;
    for group in &g.talk_groups {
        let colour = t.bus(group.number);
        pen.spot(pos2(x + 4.0, y), 4.0, colour);
        pen.text(
            pos2(x + 14.0, y),
            &format!("{} {}", group.number, group.name),
            11.5,
            Weight::Strong,
            t.soft,
            share - 22.0,
        );
        x += share;
    }
}

fn port(pen: &Pen, scene: &Scene<'_>, g: &Gateway, row: &Row, b: &GatewayBox, is_first: bool) {
    let Some(port) = g.port(row.port.port) else {
        return;
    };
    let t = pen.t;
    let thing = ThingId::from(row.port);
    let talked = scene.talk.is_some_and(|talk| talk.concerns(thing));
    let strength = scene.strength(thing);
    pen.set(strength);
    let mid = row.rect.center().y;
    let text_end = row.cells.first().map_or(row.rect.max.x, |(_, r)| r.min.x) - 6.0;
    if !is_first {
        pen.path(
            &[
                pos2(row.rect.min.x + 4.0, row.rect.min.y),
                pos2(text_end, row.rect.min.y),
            ],
            1.0,
            t.group_edge.gamma_multiply(0.7),
        );
    }
    let near = scene.is_hovered(thing);
    if near || scene.is_selected(thing) {
        let zone = Rect::from_min_max(
            row.rect.min + vec2(0.0, 1.0),
            pos2(text_end, row.rect.max.y - 1.0),
        );
        pen.fill(zone, 6.0, t.hover);
    }
    if scene.is_selected(thing) {
        pen.outline(row.rect.expand2(vec2(2.0, -1.0)), 6.0, 2.0, t.accent.ink);
    }
    // The join between the switch and its bus.
    if let Some(lane) = row
        .group
        .and_then(|n| b.lanes.iter().find(|l| l.group.group == n))
    {
        let colour = t.bus(lane.group.group);
        let from = row.cells.last().map_or(row.rect.max.x, |(_, r)| r.max.x);
        let (width, share) = if talked { (3.5, 1.0) } else { (2.0, 0.8) };
        pen.path(
            &[pos2(from + 3.0, mid), pos2(lane.x, mid)],
            pen.line_width(width),
            colour.gamma_multiply(share),
        );
        pen.spot(pos2(lane.x, mid), 4.5, colour);
        pen.spot(pos2(lane.x, mid), 1.8, t.card);
    }
    pen.text_mid(
        pos2(row.rect.min.x + 14.0, mid),
        &port.number.to_string(),
        12.5,
        Weight::Strong,
        t.soft,
    );
    if let Some(chip) = row.attached {
        attached(pen, scene, row, chip, text_end);
        pen.set(strength);
    } else {
        pen.sign(
            pos2(row.rect.min.x + 38.0, mid),
            kind_sign(port.kind),
            15.0,
            t.faint,
        );
        pen.text(
            pos2(row.rect.min.x + 50.0, mid),
            &sentence(&format!("{} port, empty", port.kind.word())),
            12.0,
            Weight::Plain,
            t.faint,
            text_end - row.rect.min.x - 54.0,
        );
    }
    switch(pen, scene, row);
    let mut about = vec![thing];
    about.extend(row.attached.map(|c| c.thing));
    scene.mark_at(pen, &about, pos2(row.rect.min.x + 38.0, mid));
}

/// Writes what is plugged into a port, and whether it hears while somebody talks.
fn attached(pen: &Pen, scene: &Scene<'_>, row: &Row, chip: Chip, text_end: f32) {
    let t = pen.t;
    let mid = row.rect.center().y;
    let rect = Rect::from_min_max(
        pos2(row.rect.min.x + 24.0, row.rect.min.y),
        pos2(text_end, row.rect.max.y),
    );
    if scene.is_hovered(chip.thing) {
        pen.fill(rect.shrink2(vec2(0.0, 2.0)), 6.0, t.hover);
    }
    if scene.is_selected(chip.thing) {
        pen.outline(rect.shrink2(vec2(0.0, 2.0)), 6.0, 2.0, t.accent.ink);
    }
    let party = match chip.thing {
        ThingId::Telephone(id) => Some(Party::Telephone(id)),
        ThingId::Headset(id) => Some(Party::Headset(id)),
        _ => None,
    };
    match party.and_then(|p| heard(scene, p)) {
        Some((sign, words, hears)) => {
            if !hears {
                pen.set(Strength::Half);
            }
            let ink = if hears { t.good.ink } else { t.soft };
            pen.sign(pos2(rect.min.x + 14.0, mid), sign, 16.0, ink);
            let name = scene.scenario.name(chip.thing);
            let taken = pen.text(
                pos2(rect.min.x + 26.0, mid),
                &name,
                12.0,
                Weight::Plain,
                t.soft,
                100.0,
            );
            pen.text(
                pos2(rect.min.x + 34.0 + taken, mid),
                &words,
                11.5,
                Weight::Strong,
                ink,
                rect.width() - taken - 44.0,
            );
        }
        None => chip_contents(pen, scene, chip, rect),
    }
}

fn heard(scene: &Scene<'_>, party: Party) -> Option<(Sign, String, bool)> {
    let talk = scene.talk?;
    if scene.talks(party) {
        return Some((Sign::Mic, "talks".to_owned(), true));
    }
    if let Some(left) = left_words(scene, party) {
        return Some(left);
    }
    if talk.silent.contains(&party) {
        return Some((Sign::EarCrossed, "does not hear".to_owned(), false));
    }
    let arrival = talk.hearers.get(&party)?;
    let lost = if arrival.clipped_ms > 0 {
        format!(", first {} lost", seconds(arrival.clipped_ms))
    } else {
        String::new()
    };
    Some((
        Sign::Ear,
        format!("{}{lost}", after(arrival.delay_ms)),
        true,
    ))
}

fn switch(pen: &Pen, scene: &Scene<'_>, row: &Row) {
    let t = pen.t;
    let Some(all) = row.cells.iter().map(|(_, r)| *r).reduce(Rect::union) else {
        return;
    };
    pen.plate(all, 12.0, t.sunken, 1.0, t.card_edge);
    for (group, cell) in &row.cells {
        let is_on = row.group == *group;
        let is_near = scene
            .hovered
            .is_some_and(|h| h.thing == row.port.into() && h.part == Part::Switch(*group));
        let spot = match scene.glide {
            Some(glide) if is_on => glide.knob(row.port, &row.cells, cell.center()),
            _ => cell.center(),
        };
        let knob = Rect::from_center_size(spot, vec2(20.0, 20.0));
        let (ground, ink) = match (is_on, group) {
            (true, Some(n)) => (Some(t.bus(*n)), t.card),
            (true, None) => (Some(t.faint), t.card),
            (false, _) if is_near => (Some(t.hover), t.text),
            (false, _) => (None, t.faint),
        };
        if let Some(ground) = ground {
            pen.fill(knob, 10.0, ground);
        }
        match group {
            Some(n) => pen.text_mid(cell.center(), &n.to_string(), 12.0, Weight::Strong, ink),
            None => pen.sign(cell.center(), Sign::Minus, 11.0, ink),
        }
    }
}

fn kind_sign(kind: PortKind) -> Sign {
    match kind {
        PortKind::Radio => Sign::Radio,
        PortKind::Telephone => Sign::Telephone,
        PortKind::Headset => Sign::Headset,
        PortKind::Wire => Sign::Wire,
        PortKind::Ip => Sign::Ip,
    }
}
