//! How frames, units, channels and loose gear look.

use egui::{Color32, Pos2, Rect, pos2};

use super::draw::Scene;
use super::pen::{Pen, Strength, Weight};
use crate::app::theme::{Sign, Tokens, severity_pair, severity_sign};
use crate::app::words::{Choice as _, after, seconds};
use crate::hearing::Left;
use crate::layout::{Chip, FrameRole, GroupFrame, Pill, UnitCard};
use crate::model::{Carrier, ChannelId, Party, Protection, Scenario, ThingId};

/// Draws a frame with its head.
pub(super) fn frame(pen: &Pen, scene: &Scene<'_>, frame: &GroupFrame) {
    let t = pen.t;
    let s = scene.scenario;
    pen.set(scene.backdrop());
    pen.fill(frame.rect, 14.0, t.group);
    let is_lit = frame.thing.is_some_and(|thing| scene.is_selected(thing));
    let edge = if is_lit { t.accent.ink } else { t.group_edge };
    pen.outline(frame.rect, 14.0, if is_lit { 2.0 } else { 1.0 }, edge);
    let (sign, title, under) = match (frame.role, frame.thing) {
        (FrameRole::Agency, Some(ThingId::Agency(id))) => match s.agencies.get(id) {
            Some(a) => (Sign::Agency, a.name.as_str(), a.discipline.words()),
            None => return,
        },
        (FrameRole::System, Some(ThingId::System(id))) => match s.systems.get(id) {
            Some(x) => (Sign::System, x.name.as_str(), x.kind.words()),
            None => return,
        },
        (FrameRole::Site, Some(ThingId::Site(id))) => match s.sites.get(id) {
            Some(site) => (Sign::Site, site.name.as_str(), "site"),
            None => return,
        },
        (FrameRole::NoAgency, _) => (Sign::Unit, "No agency yet", ""),
        _ => (Sign::Stock, "Not in use", ""),
    };
    let mid = frame.rect.min.y + 17.0;
    pen.sign(pos2(frame.rect.min.x + 20.0, mid), sign, 15.0, t.faint);
    let taken = pen.text_right(
        pos2(frame.rect.max.x - 14.0, mid),
        under,
        11.0,
        Weight::Plain,
        t.faint,
        140.0_f32.min(frame.rect.width() - 60.0),
    );
    pen.text(
        pos2(frame.rect.min.x + 34.0, mid),
        title,
        12.5,
        Weight::Strong,
        t.soft,
        frame.rect.width() - 58.0 - taken,
    );
    scene.mark(pen, frame.thing, frame.rect);
}

/// What a party's ear says while somebody talks.
struct Ear {
    sign: Sign,
    words: String,
    clipped: Option<String>,
    hears: bool,
    /// Two talk, and what is left of both is known at once.
    at_once: bool,
}

impl Ear {
    fn ink(&self, t: &Tokens) -> Color32 {
        match (self.hears, self.sign) {
            (true, _) => t.good.ink,
            (false, Sign::Collide) => t.stops.ink,
            (false, _) => t.soft,
        }
    }
}

/// What is left in an ear while two talk.
fn both(scene: &Scene<'_>, party: Party) -> Option<Ear> {
    let (sign, words, hears) = left_words(scene, party)?;
    Some(Ear {
        sign,
        words,
        clipped: None,
        hears,
        at_once: true,
    })
}

/// Says what is left of two messages for a party: sign, words and whether it makes out anything.
pub(super) fn left_words(scene: &Scene<'_>, party: Party) -> Option<(Sign, String, bool)> {
    let (_, both) = scene.over?;
    let name = |party: Party| scene.scenario.name(party.into());
    Some(match both.ears.get(&party)? {
        Left::Both => (Sign::Ear, "hears both, mixed".to_owned(), true),
        Left::First => (Sign::Ear, format!("hears {}", name(both.first)), true),
        Left::Second => (Sign::Ear, format!("hears {}", name(both.second)), true),
        Left::Garbled => (Sign::Collide, "garbled".to_owned(), false),
        Left::Nothing => (Sign::EarCrossed, "does not hear".to_owned(), false),
    })
}

fn ear(scene: &Scene<'_>, party: Party) -> Option<Ear> {
    let talk = scene.talk?;
    if scene.talks(party) {
        return None;
    }
    if let Some(ear) = both(scene, party) {
        return Some(ear);
    }
    Some(match talk.hearers.get(&party) {
        Some(arrival) => {
            let scan = if arrival.by_scan {
                ", by scan only"
            } else {
                ""
            };
            Ear {
                sign: Sign::Ear,
                words: format!("{}{scan}", after(arrival.delay_ms)),
                clipped: (arrival.clipped_ms > 0)
                    .then(|| format!("first {} lost", seconds(arrival.clipped_ms))),
                hears: true,
                at_once: false,
            }
        }
        None => Ear {
            sign: Sign::EarCrossed,
            words: "does not hear".to_owned(),
            clipped: None,
            hears: false,
            at_once: false,
        },
    })
}

/// Draws a unit's card.
pub(super) fn unit(pen: &Pen, scene: &Scene<'_>, card: &UnitCard) {
    let Some(unit) = scene.scenario.units.get(card.id) else {
        return;
    };
    let t = pen.t;
    let thing = ThingId::from(card.id);
    let party = Party::Unit(card.id);
    let ear = ear(scene, party);
    let talks = scene.talks(party);
    let arrived = scene.has_arrived(thing) || ear.as_ref().is_some_and(|e| e.at_once);
    pen.set(match &ear {
        Some(ear) if !ear.hears && ear.sign != Sign::Collide => Strength::Half,
        _ => scene.strength(thing),
    });
    pen.shadow(card.rect, 10.0);
    let selected = scene.is_selected(thing);
    let (width, edge) = match &ear {
        _ if talks => (2.5, t.accent.ink),
        Some(ear) if ear.hears && arrived => (2.5, t.good.ink),
        _ if selected => (2.0, t.accent.ink),
        _ if scene.is_hovered(thing) => (1.5, t.soft),
        _ => (1.0, t.card_edge),
    };
    pen.plate(card.rect, 10.0, t.card, width, edge);
    let left = card.rect.min.x + 12.0;
    let room = card.mic.min.x - left - 6.0;
    pen.text(
        pos2(left, card.rect.min.y + 15.0),
        &unit.name,
        14.0,
        Weight::Strong,
        t.text,
        room,
    );
    let second = card.rect.min.y + 32.0;
    match &ear {
        Some(ear) if !ear.hears || arrived => {
            let colour = ear.ink(t);
            let taken = pen.text(
                pos2(left, second),
                &ear.words,
                11.5,
                Weight::Strong,
                colour,
                room,
            );
            if let Some(clipped) = &ear.clipped {
                let x = left + taken + 14.0;
                pen.sign(pos2(x, second), Sign::ClippedFront, 13.0, t.warns.ink);
                pen.text(
                    pos2(x + 9.0, second),
                    clipped,
                    11.5,
                    Weight::Strong,
                    t.warns.ink,
                    room - taken - 24.0,
                );
            }
        }
        _ => {
            let agency = if card.apart {
                unit.agency
                    .and_then(|a| scene.scenario.agencies.get(a))
                    .map(|a| format!("{} · ", a.short))
            } else {
                None
            };
            let people = if unit.heads == 1 {
                "1 person".to_owned()
            } else {
                format!("{} people", unit.heads)
            };
            let words = format!(
                "{}{} · {people}",
                agency.unwrap_or_default(),
                unit.role.words()
            );
            pen.text(
                pos2(left, second),
                &words,
                11.0,
                Weight::Plain,
                t.faint,
                room,
            );
        }
    }
    mic(pen, scene, card, ear.as_ref());
    for chip in &card.chips {
        chip_row(pen, scene, *chip, scene.strength(chip.thing), ear.is_some());
    }
    pen.set(Strength::Full);
    scene.mark(pen, Some(thing), card.rect);
}

fn mic(pen: &Pen, scene: &Scene<'_>, card: &UnitCard, ear: Option<&Ear>) {
    let thing = ThingId::from(card.id);
    let arrived = scene.has_arrived(thing) || ear.is_some_and(|e| e.at_once);
    let talks = scene.talks(Party::Unit(card.id));
    let t = pen.t;
    let at = card.mic.center();
    match ear {
        Some(ear) if ear.hears && arrived => {
            pen.spot(at, 13.0, t.good.ground);
            pen.ring(at, 13.0, 1.6, t.good.ink);
            pen.sign(at, ear.sign, 17.0, t.good.ink);
        }
        Some(ear) if !ear.hears => {
            pen.ring(at, 13.0, 1.2, ear.ink(t));
            pen.sign(at, ear.sign, 17.0, ear.ink(t));
        }
        _ if talks => {
            pen.spot(at, 13.0, t.accent.ink);
            pen.sign(at, Sign::Mic, 17.0, t.on_accent);
        }
        _ => {
            let is_near = scene.is_mic_hovered(card.id);
            if is_near {
                pen.spot(at, 13.0, t.accent.ground);
            }
            let colour = if is_near { t.accent.ink } else { t.faint };
            pen.sign(at, Sign::Mic, 17.0, colour);
        }
    }
}

/// Draws a chip: a radio with its channel, a telephone, a headset.
fn chip_row(pen: &Pen, scene: &Scene<'_>, chip: Chip, strength: Strength, keep: bool) {
    let t = pen.t;
    if keep && strength == Strength::Dim {
        // Inside a card that hears or does not, the card's own strength rules.
        pen.set(Strength::Half);
    } else {
        pen.set(strength);
    }
    pen.fill(chip.rect, 7.0, t.sunken);
    chip_contents(pen, scene, chip, chip.rect);
    if scene.is_selected(chip.thing) {
        pen.outline(chip.rect, 7.0, 2.0, t.accent.ink);
    } else if scene.is_hovered(chip.thing) {
        pen.outline(chip.rect, 7.0, 1.5, t.soft);
    }
    scene.mark_at(
        pen,
        &[chip.thing],
        pos2(chip.rect.min.x + 14.0, chip.rect.center().y),
    );
}

/// Writes a chip's sign, name and channel into a rectangle.
pub(super) fn chip_contents(pen: &Pen, scene: &Scene<'_>, chip: Chip, rect: Rect) {
    let t = pen.t;
    let s = scene.scenario;
    let mid = rect.center().y;
    let left = rect.min.x + 26.0;
    let sign_at = pos2(rect.min.x + 14.0, mid);
    match chip.thing {
        ThingId::Radio(id) => {
            let Some(radio) = s.radios.get(id) else {
                return;
            };
            pen.sign(sign_at, Sign::Radio, 15.0, t.faint);
            let channel = s.selected_channel(scene.phase, radio);
            let taken = channel_tag(pen, scene, channel, rect);
            pen.text(
                pos2(left, mid),
                &radio.name,
                12.0,
                Weight::Plain,
                t.soft,
                rect.max.x - left - taken - 18.0,
            );
        }
        ThingId::Telephone(id) => {
            let Some(telephone) = s.telephones.get(id) else {
                return;
            };
            pen.sign(sign_at, Sign::Telephone, 15.0, t.faint);
            gear_name(pen, rect, &telephone.name, telephone.kind.words());
        }
        ThingId::Headset(id) => {
            let Some(headset) = s.headsets.get(id) else {
                return;
            };
            pen.sign(sign_at, Sign::Headset, 15.0, t.faint);
            gear_name(pen, rect, &headset.name, "");
        }
        ThingId::Site(id) => {
            let Some(site) = s.sites.get(id) else { return };
            pen.sign(sign_at, Sign::Site, 15.0, t.faint);
            let antennas = match site.antennas.len() {
                0 => String::new(),
                1 => "1 antenna".to_owned(),
                n => format!("{n} antennas"),
            };
            gear_name(pen, rect, &site.name, &antennas);
        }
        ThingId::Tie(id) => {
            let Some(tie) = s.ties.get(id) else { return };
            pen.sign(sign_at, Sign::Wire, 15.0, t.faint);
            gear_name(pen, rect, &tie.name, tie.kind.words());
        }
        _ => {}
    }
}

fn gear_name(pen: &Pen, rect: Rect, name: &str, under: &str) {
    let t = pen.t;
    let mid = rect.center().y;
    let taken = pen.text_right(
        pos2(rect.max.x - 10.0, mid),
        under,
        11.0,
        Weight::Plain,
        t.faint,
        80.0,
    );
    pen.text(
        pos2(rect.min.x + 26.0, mid),
        name,
        12.0,
        Weight::Plain,
        t.soft,
        rect.width() - taken - 46.0,
    );
}

/// Writes the channel a radio has selected at the right of its chip; returns the width taken.
fn channel_tag(pen: &Pen, scene: &Scene<'_>, channel: Option<ChannelId>, rect: Rect) -> f32 {
    let t = pen.t;
    let mid = rect.center().y;
    let Some(channel) = channel.and_then(|c| scene.scenario.channels.get(c)) else {
        return pen.text_right(
            pos2(rect.max.x - 10.0, mid),
            "no channel",
            11.5,
            Weight::Plain,
            t.faint,
            90.0,
        );
    };
    let colour = scene.channel_colour(channel.id);
    pen.spot(pos2(rect.max.x - 12.0, mid), 4.0, colour);
    pen.text_right(
        pos2(rect.max.x - 22.0, mid),
        &channel.name,
        12.0,
        Weight::Strong,
        t.text,
        rect.width() * 0.5,
    ) + 16.0
}

/// Draws a channel's pill.
pub(super) fn pill(pen: &Pen, scene: &Scene<'_>, pill: &Pill) {
    let Some(channel) = scene.scenario.channels.get(pill.id) else {
        return;
    };
    let t = pen.t;
    let thing = ThingId::from(pill.id);
    let colour = scene.channel_colour(pill.id);
    pen.set(scene.strength(thing));
    pen.shadow(pill.rect, 22.0);
    let selected = scene.is_selected(thing);
    let lit = scene.talk.is_some() && scene.has_arrived(thing);
    let (width, edge) = if lit {
        (2.5, colour)
    } else if selected {
        (2.0, t.accent.ink)
    } else if scene.is_hovered(thing) {
        (1.5, t.soft)
    } else {
        (1.0, t.card_edge)
    };
    pen.plate(pill.rect, 22.0, t.card, width, edge);
    let dot = pos2(pill.rect.min.x + 22.0, pill.rect.center().y);
    pen.spot(dot, 8.0, colour);
    pen.spot(dot, 3.0, t.card);
    let left = pill.rect.min.x + 38.0;
    let lock = match channel.protection {
        Protection::Clear => None,
        Protection::Optional(_) => Some(Sign::LockOpen),
        Protection::Always(_) => Some(Sign::Lock),
    };
    let room = pill.rect.max.x - left - if lock.is_some() { 34.0 } else { 16.0 };
    pen.text(
        pos2(left, pill.rect.min.y + 15.0),
        &channel.name,
        13.0,
        Weight::Strong,
        t.text,
        room,
    );
    pen.text(
        pos2(left, pill.rect.min.y + 31.0),
        &channel_line(scene.scenario, pill.id),
        11.0,
        Weight::Plain,
        t.faint,
        room,
    );
    if let Some(lock) = lock {
        pen.sign(
            pos2(pill.rect.max.x - 20.0, pill.rect.center().y),
            lock,
            15.0,
            t.soft,
        );
    }
    scene.mark(pen, Some(thing), pill.rect);
}

/// Returns the second line of a channel: frequency and code, or group number.
pub(super) fn channel_line(s: &Scenario, channel: ChannelId) -> String {
    let Some(channel) = s.channels.get(channel) else {
        return String::new();
    };
    match &channel.carrier {
        Carrier::Conventional(c) => {
            let code = match c.tx_code {
                crate::model::AccessCode::None => String::new(),
                crate::model::AccessCode::Ctcss(tone) => format!(" · {tone}"),
                code => format!(" · {code}"),
            };
            format!("{}{code}", c.rx)
        }
        Carrier::Grouped { group, .. } => format!("group {group}"),
    }
}

/// Draws gear that lies loose.
pub(super) fn loose(pen: &Pen, scene: &Scene<'_>, chip: &Chip) {
    let t = pen.t;
    pen.set(scene.strength(chip.thing));
    pen.shadow(chip.rect, 8.0);
    let selected = scene.is_selected(chip.thing);
    let edge = if selected { t.accent.ink } else { t.card_edge };
    let width = if selected { 2.0 } else { 1.0 };
    pen.plate(chip.rect, 8.0, t.card, width, edge);
    chip_contents(pen, scene, *chip, chip.rect);
    scene.mark(pen, Some(chip.thing), chip.rect);
}

/// Draws the sign of the worst finding at a spot.
pub(super) fn finding_mark(pen: &Pen, severity: crate::model::Severity, at: Pos2) {
    let pair = severity_pair(pen.t, severity);
    pen.spot(at, 8.5, pair.ground);
    pen.ring(at, 8.5, 1.0, pair.ink);
    pen.sign(at, severity_sign(severity), 11.0, pair.ink);
}
