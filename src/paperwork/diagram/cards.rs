//! How frames, units, channels and loose gear look on paper.

use emath::{Rect, pos2, vec2};

use super::board::Scene;
use super::fit::{Side, Type, write};
use super::look::channel_pen;
use super::marks::{Gear, gear, sample};
use super::words;
use crate::layout::{Chip, Fold, FrameRole, GroupFrame, Pill, UnitCard};
use crate::model::{ChannelId, ThingId};
use crate::paperwork::set::composer::Pad;
use crate::paperwork::set::ink::{Ink, Tint};

/// Draws the ground of a frame.
pub(super) fn frame(scene: &Scene<'_>, frame: &GroupFrame) -> Vec<Ink> {
    let edge = scene.pen(Tint::RULE, 1.2);
    let edge = match frame.role {
        FrameRole::Site => edge.dashed(scene.len(8.0), scene.len(5.0)),
        _ => edge,
    };
    let rect = scene.rect(frame.rect);
    vec![Ink::rounded(
        rect,
        scene.len(12.0),
        Some(Tint::PALE),
        Some(edge),
    )]
}

/// Writes what a frame is called, on a ground of its own.
pub(super) fn frame_head(scene: &Scene<'_>, frame: &GroupFrame) -> Vec<Ink> {
    let s = scene.s;
    let (title, under) = match (frame.role, frame.thing) {
        (FrameRole::Agency, Some(ThingId::Agency(id))) => match s.agencies.get(id) {
            Some(a) if a.short.is_empty() || a.short == a.name => {
                (a.name.clone(), words::discipline(a.discipline).to_owned())
            }
            Some(a) => (
                a.name.clone(),
                format!("{}, {}", a.short, words::discipline(a.discipline)),
            ),
            None => return Vec::new(),
        },
        (FrameRole::System, Some(ThingId::System(id))) => {
            let Some(system) = s.systems.get(id) else {
                return Vec::new();
            };
            (system.name.clone(), words::system(system.kind).to_owned())
        }
        (FrameRole::Site, Some(ThingId::Site(id))) => (s.name(id.into()), "site".to_owned()),
        (FrameRole::NoAgency, _) => ("No agency yet".to_owned(), String::new()),
        _ => ("Not in use".to_owned(), String::new()),
    };
    let head = Rect::from_min_size(
        frame.rect.min + vec2(10.0, 3.0),
        vec2(frame.rect.width() - 20.0, 26.0),
    );
    let mut pad = scene.pad(head);
    let area = pad.area;
    pad.inks.push(Ink::rect(area, Some(Tint::PALE), None));
    let share = if under.is_empty() { 1.0 } else { 0.68 };
    let kind = Type::bold(scene.len(17.0), scene.len(9.0));
    let split = area.min.x + area.width() * share;
    let title_room = Rect::from_min_max(area.min, pos2(split, area.max.y));
    write(&mut pad, title_room, kind, Side::Left, &title);
    let kind = Type::plain(scene.len(13.0), scene.len(8.0)).soft();
    let under_room = Rect::from_min_max(pos2(split + scene.len(6.0), area.min.y), area.max);
    write(&mut pad, under_room, kind, Side::Right, &under);
    pad.inks
}

/// Draws a unit with what it carries.
pub(super) fn unit(scene: &Scene<'_>, card: &UnitCard) -> Vec<Ink> {
    let Some(unit) = scene.s.units.get(card.id) else {
        return Vec::new();
    };
    let mut pad = scene.pad(card.rect);
    let edge = scene.pen(Tint::BLACK, 1.4);
    let ground = Some(Tint::WHITE);
    let area = pad.area;
    pad.inks
        .push(Ink::rounded(area, scene.len(9.0), ground, Some(edge)));
    let (left, right) = (card.rect.min.x + 10.0, card.rect.max.x - 10.0);
    let line = |from: f32, to: f32| {
        let top = card.rect.min.y;
        scene.rect(Rect::from_min_max(
            pos2(left, top + from),
            pos2(right, top + to),
        ))
    };
    let kind = Type::bold(scene.len(18.0), scene.len(8.5));
    write(&mut pad, line(2.0, 25.0), kind, Side::Left, &unit.name);
    let agency = words::agency_of(scene.s, unit).filter(|_| card.apart);
    let agency = agency.map_or_else(String::new, |a| format!("{}, ", words::short(a)));
    let about = format!("{agency}{}", words::unit(unit));
    let kind = Type::plain(scene.len(13.0), scene.len(8.0)).soft();
    write(&mut pad, line(25.0, 41.0), kind, Side::Left, &about);
    for chip in &card.chips {
        let room = scene.rect(chip.rect);
        let ground = Some(Tint::PALE);
        let thin = scene.pen(Tint::RULE, 0.6);
        pad.inks
            .push(Ink::rounded(room, scene.len(5.0), ground, Some(thin)));
        contents(&mut pad, scene, *chip, room);
    }
    pad.inks
}

/// Draws gear that lies loose, or a site.
pub(super) fn loose(scene: &Scene<'_>, chip: Chip) -> Vec<Ink> {
    let mut pad = scene.pad(chip.rect);
    let area = pad.area;
    let edge = scene.pen(Tint::BLACK, 1.0);
    let ground = Some(Tint::WHITE);
    pad.inks
        .push(Ink::rounded(area, scene.len(6.0), ground, Some(edge)));
    contents(&mut pad, scene, chip, area);
    pad.inks
}

/// Writes sign, name and channel of a piece of gear into a room on the page.
fn contents(pad: &mut Pad<'_>, scene: &Scene<'_>, chip: Chip, room: Rect) {
    let s = scene.s;
    let sign = pos2(room.min.x + scene.len(14.0), room.center().y);
    pad.inks
        .extend(gear(Gear::of(chip.thing), sign, scene.len(9.0)));
    let inner = Rect::from_min_max(
        pos2(room.min.x + scene.len(27.0), room.min.y + scene.len(1.0)),
        room.max - vec2(scene.len(7.0), scene.len(1.0)),
    );
    let under = match chip.thing {
        ThingId::Radio(id) => {
            let radio = s.radios.get(id);
            let channel = radio.and_then(|radio| s.selected_channel(scene.phase, radio));
            named(pad, scene, inner, &s.name(chip.thing), channel);
            return;
        }
        ThingId::Telephone(id) => s.telephones.get(id).map(|t| words::telephone(t.kind)),
        ThingId::Tie(id) => s.ties.get(id).map(|t| words::tie(t.kind)),
        ThingId::Site(_) => Some("site"),
        _ => Some("headset"),
    };
    beside(pad, scene, inner, &s.name(chip.thing), under.unwrap_or(""));
}

/// Writes a name and what it is, side by side.
fn beside(pad: &mut Pad<'_>, scene: &Scene<'_>, room: Rect, name: &str, under: &str) {
    let split = room.min.x + room.width() * if under.is_empty() { 1.0 } else { 0.62 };
    let kind = Type::plain(scene.len(15.0), scene.len(8.0));
    let left = Rect::from_min_max(room.min, pos2(split, room.max.y));
    write(pad, left, kind, Side::Left, name);
    let kind = Type::plain(scene.len(12.0), scene.len(8.0)).soft();
    let right = Rect::from_min_max(pos2(split + scene.len(4.0), room.min.y), room.max);
    write(pad, right, kind, Side::Right, under);
}

/// Writes the name of a radio and the channel it has selected, with a sample of the channel's line.
pub(super) fn named(
    pad: &mut Pad<'_>,
    scene: &Scene<'_>,
    room: Rect,
    name: &str,
    channel: Option<ChannelId>,
) {
    let split = room.min.x + room.width() * 0.5;
    let kind = Type::plain(scene.len(15.0), scene.len(8.0));
    let left = Rect::from_min_max(room.min, pos2(split, room.max.y));
    write(pad, left, kind, Side::Left, name);
    let right = Rect::from_min_max(pos2(split + scene.len(6.0), room.min.y), room.max);
    let Some(channel) = channel else {
        let kind = Type::plain(scene.len(12.0), scene.len(8.0)).soft();
        write(pad, right, kind, Side::Right, "no channel");
        return;
    };
    let kind = Type::bold(scene.len(15.0), scene.len(8.0));
    let words = Rect::from_min_max(right.min, pos2(right.max.x, right.max.y - scene.len(4.5)));
    let name = scene.s.name(channel.into());
    let taken = write(pad, words, kind, Side::Right, &name);
    if let Some(turn) = scene.layout.turn(channel.into()) {
        let under = Rect::from_min_max(
            pos2(
                right.max.x - taken.max(scene.len(20.0)),
                right.max.y - scene.len(5.0),
            ),
            right.max,
        );
        let pen = channel_pen(turn, scene.len(2.2));
        pad.inks.push(sample(under, pen));
    }
}

/// Draws a channel.
pub(super) fn pill(scene: &Scene<'_>, pill: &Pill) -> Vec<Ink> {
    let Some(channel) = scene.s.channels.get(pill.id) else {
        return Vec::new();
    };
    let mut pad = scene.pad(pill.rect);
    let area = pad.area;
    let edge = scene.pen(Tint::BLACK, 1.8);
    let ground = Some(Tint::WHITE);
    pad.inks
        .push(Ink::rounded(area, scene.len(22.0), ground, Some(edge)));
    let (left, right) = (pill.rect.min.x + 18.0, pill.rect.max.x - 18.0);
    let line = |from: f32, to: f32| {
        let top = pill.rect.min.y;
        scene.rect(Rect::from_min_max(
            pos2(left, top + from),
            pos2(right, top + to),
        ))
    };
    let pen = channel_pen(pill.turn, scene.len(3.4));
    let name_room = line(1.0, 21.0);
    let swatch = Rect::from_min_max(
        pos2(name_room.max.x - scene.len(38.0), name_room.min.y),
        name_room.max,
    );
    pad.inks.push(sample(swatch, pen));
    let name_room = Rect::from_min_max(
        name_room.min,
        pos2(swatch.min.x - scene.len(5.0), name_room.max.y),
    );
    let kind = Type::bold(scene.len(16.5), scene.len(8.5));
    write(&mut pad, name_room, kind, Side::Left, &channel.name);
    let kind = Type::plain(scene.len(13.0), scene.len(8.0));
    let about = words::channel(channel);
    write(&mut pad, line(21.0, 42.0), kind, Side::Left, &about);
    pad.inks
}

/// Draws a collapsed agency or system as a pile of cards.
pub(super) fn fold(scene: &Scene<'_>, fold: &Fold) -> Vec<Ink> {
    let mut pad = scene.pad(fold.rect);
    let area = pad.area;
    let edge = scene.pen(Tint::BLACK, 1.4);
    let ground = Some(Tint::SHADE);
    pad.inks
        .push(Ink::rounded(area, scene.len(10.0), ground, Some(edge)));
    let inner = Rect::from_min_max(area.min, area.max - vec2(0.0, scene.len(4.0)));
    let ground = Some(Tint::WHITE);
    pad.inks
        .push(Ink::rounded(inner, scene.len(10.0), ground, Some(edge)));
    let room = inner.shrink2(vec2(scene.len(10.0), scene.len(2.0)));
    let split = room.min.y + room.height() * 0.58;
    let kind = Type::bold(scene.len(17.0), scene.len(8.5));
    let upper = Rect::from_min_max(room.min, pos2(room.max.x, split));
    write(&mut pad, upper, kind, Side::Left, &scene.s.name(fold.thing));
    let kind = Type::plain(scene.len(13.0), scene.len(8.0));
    let lower = Rect::from_min_max(pos2(room.min.x, split), room.max);
    write(&mut pad, lower, kind, Side::Left, &fold.contents());
    pad.inks
}
