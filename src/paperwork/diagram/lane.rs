//! One talk group on paper: what it is for, who is heard there, its load, and its ports from top to bottom.

use std::collections::BTreeMap;
use std::ops::Range;

use emath::{Pos2, Rect, pos2, vec2};

use super::fit::{Side, Type, fit, put, write};
use super::look::bus_tint;
use super::marks::{Gear, gear};
use super::page::Part;
use super::words::{self, counted};
use crate::engineering::traffic::erlang_c::Waiting;
use crate::model::{AgencyId, Phase, PortRef, Role, Scenario, UnitId};
use crate::paperwork::set::composer::{Pad, leading};
use crate::paperwork::set::face::Faces;
use crate::paperwork::set::ink::{Ink, Pen, Tint};
use crate::picture::Picture;
use crate::picture::lanes::{Lane, Share};
use crate::picture::traffic::Net;

/// Units of one agency named in a lane before they are counted.
const MOST_NAMED: usize = 10;
/// Agencies named in a lane before the others are counted.
const MOST_AGENCIES: usize = 9;

/// What drawing a lane looks up.
#[derive(Clone, Copy)]
pub(super) struct Scene<'a> {
    pub(super) faces: &'a Faces,
    pub(super) picture: &'a Picture,
    pub(super) phase: &'a Phase,
    /// Points on the page for a point of the drawing.
    pub(super) scale: f32,
}

/// Some of the ports of a lane, from its first on or continued.
#[derive(Debug, Clone)]
pub(super) struct Piece<'a> {
    pub(super) lane: &'a Lane,
    pub(super) ports: Range<usize>,
}

impl<'a> Scene<'a> {
    fn s(&self) -> &'a Scenario {
        self.picture.scenario()
    }

    fn len(&self, length: f32) -> f32 {
        length * self.scale
    }

    fn plain(&self, size: f32) -> Type {
        Type::plain(self.len(size), self.len(size * 0.75))
    }

    fn bold(&self, size: f32) -> Type {
        Type::bold(self.len(size), self.len(size * 0.7))
    }

    /// Draws a piece of a lane down from a corner, so wide on the page; returns its height.
    pub(super) fn lane(&self, corner: Pos2, width: f32, piece: &Piece<'_>) -> (Vec<Part>, f32) {
        let lane = piece.lane;
        let area = Rect::from_min_size(corner, vec2(width, 0.0));
        let mut flow = Flow {
            pad: Pad::new(self.faces, area),
            left: area.min.x + self.len(7.0),
            right: area.max.x - self.len(7.0),
            y: area.min.y,
        };
        self.band(&mut flow, area, lane);
        flow.y += self.len(4.0);
        self.title(&mut flow, piece);
        if piece.ports.start == 0 {
            self.about(&mut flow, lane);
        }
        let mut tiles = Vec::new();
        let ports = lane.ports.get(piece.ports.clone()).unwrap_or(&[]);
        for port in ports {
            flow.y += self.len(4.0);
            tiles.push(self.tile(&mut flow, lane, *port).into());
        }
        if lane.ports.is_empty() {
            flow.text(self.plain(8.5).soft(), 2.0, "No port is switched here");
        }
        flow.y += self.len(7.0);
        let whole = Rect::from_min_max(area.min, pos2(area.max.x, flow.y));
        let edge = Pen::new(Tint::BLACK, self.len(1.0));
        let edge = if lane.group.is_none() {
            edge.dashed(self.len(5.0), self.len(3.0))
        } else {
            edge
        };
        let mut inks = vec![Ink::rect(whole, Some(Tint::WHITE), Some(edge))];
        inks.append(&mut flow.pad.inks);
        let mut parts: Vec<Part> = vec![inks.into()];
        parts.append(&mut tiles);
        (parts, flow.y - corner.y)
    }

    /// A band that tells at a glance what the talk group is for.
    fn band(&self, flow: &mut Flow<'_>, area: Rect, lane: &Lane) {
        let room = Rect::from_min_size(area.min, vec2(area.width(), self.len(17.0)));
        flow.y = room.max.y;
        let purpose = lane
            .group
            .and_then(|group| self.s().talk_group(group)?.purpose);
        let edge = Pen::new(Tint::BLACK, self.len(1.0));
        let (ground, ink, word) = match (lane.group, purpose) {
            (None, _) => (Tint::WHITE, Tint::SOFT, "on no talk group".to_owned()),
            (_, None) => (Tint::WHITE, Tint::SOFT, "purpose not noted".to_owned()),
            (_, Some(Role::Tactical)) => (Tint::BLACK, Tint::WHITE, "TACTICAL".to_owned()),
            (_, Some(Role::Command)) => (Tint::WHITE, Tint::BLACK, "COMMAND".to_owned()),
            (_, Some(other)) => (Tint::SHADE, Tint::BLACK, words::role(other).to_uppercase()),
        };
        flow.pad
            .inks
            .push(Ink::rect(room, Some(ground), Some(edge)));
        if purpose == Some(Role::Command) {
            // Ruled twice, so that it is known from afar and on a bad copy.
            let inner = room.shrink(self.len(2.2));
            flow.pad.inks.push(Ink::rect(inner, None, Some(edge)));
        }
        let room = room.shrink2(vec2(self.len(7.0), self.len(1.5)));
        write(
            &mut flow.pad,
            room,
            self.bold(8.5).inked(ink),
            Side::Middle,
            &word,
        );
    }

    fn title(&self, flow: &mut Flow<'_>, piece: &Piece<'_>) {
        let group = piece.lane.group;
        let name = group.and_then(|group| self.s().talk_group(group));
        let name = name.map_or("Switched to none", |group| group.name.as_str());
        let continued = if piece.ports.start > 0 {
            " (continued)"
        } else {
            ""
        };
        let (left, top) = (flow.left, flow.y);
        let disc = self.len(9.0);
        flow.left += disc * 2.0 + self.len(6.0);
        flow.text(self.bold(12.5), 2.0, &format!("{name}{continued}"));
        flow.left = left;
        flow.y = flow.y.max(top + disc * 2.0);
        let at = pos2(left + disc, f32::midpoint(top, flow.y));
        let tint = group.map_or(Tint::SOFT, |g| bus_tint(g.group));
        let ring = Pen::new(tint, self.len(1.6));
        flow.pad
            .inks
            .push(Ink::circle(at, disc, Some(Tint::WHITE), Some(ring)));
        let number = group.map_or_else(|| "\u{2013}".to_owned(), |g| g.group.to_string());
        let room = Rect::from_center_size(at, vec2(disc * 1.6, disc * 1.8));
        let kind = self.bold(12.0).inked(tint);
        write(&mut flow.pad, room, kind, Side::Middle, &number);
        flow.y += self.len(3.0);
    }

    /// What meets there, who is heard, and the load.
    fn about(&self, flow: &mut Flow<'_>, lane: &Lane) {
        if lane.group.is_none() {
            let words = "Ports here hear nobody and are heard by nobody.";
            flow.text(self.plain(8.5).soft(), 3.0, words);
            return;
        }
        let purposes: Vec<&str> = lane.purposes.iter().map(|p| words::role(*p)).collect();
        if !purposes.is_empty() {
            let words = format!("Joins channels for: {}", purposes.join(", "));
            flow.text(self.plain(8.5), 3.0, &words);
        }
        let Some(net) = lane.net(self.picture).filter(|net| !net.units.is_empty()) else {
            flow.text(self.plain(8.5).soft(), 2.0, "Nobody is heard here");
            return;
        };
        let people = counted(net.people as usize, "person", "people");
        flow.text(self.bold(8.5), 1.0, &format!("Heard here: {people}"));
        for line in self.by_agency(net.units.iter().copied()) {
            flow.text(self.plain(8.5), 4.0, &line);
        }
        flow.y += self.len(4.0);
        self.load(flow, net);
    }

    /// Lists units by agency, the first ones by name.
    fn by_agency(&self, units: impl Iterator<Item = UnitId>) -> Vec<String> {
        let s = self.s();
        let mut by: BTreeMap<Option<AgencyId>, Vec<&str>> = BTreeMap::new();
        for unit in units.filter_map(|unit| s.units.get(unit)) {
            by.entry(unit.agency).or_default().push(&unit.name);
        }
        let count = by.len();
        let lines = by.into_iter().map(|(agency, names)| {
            let agency = agency.and_then(|agency| s.agencies.get(agency));
            let agency = agency.map_or("No agency", words::short);
            if names.len() > MOST_NAMED {
                format!("{agency}: {}", counted(names.len(), "unit", "units"))
            } else {
                format!("{agency}: {}", names.join(", "))
            }
        });
        let mut lines: Vec<String> = lines.take(MOST_AGENCIES).collect();
        if count > MOST_AGENCIES {
            let others = counted(count - MOST_AGENCIES, "agency more", "agencies more");
            lines.push(format!("and {others}"));
        }
        lines
    }

    /// The load as a bar against the ceilings of practice, and the same in words.
    fn load(&self, flow: &mut Flow<'_>, net: &Net) {
        let practice = &self.s().practice;
        let (most, strained) = (practice.load_most_erl, practice.load_strained_erl);
        let room = Rect::from_min_max(
            pos2(flow.left, flow.y + self.len(3.0)),
            pos2(flow.right, flow.y + self.len(12.0)),
        );
        let top = (net.all_erl.max(most) * 1.15).max(1e-6);
        let x = |erl: f64| room.min.x + room.width() * (erl / top).clamp(0.0, 1.0) as f32;
        let filled = Rect::from_min_max(room.min, pos2(x(net.all_erl), room.max.y));
        let edge = Pen::new(Tint::BLACK, self.len(0.7));
        let inks = &mut flow.pad.inks;
        inks.push(Ink::rect(room, Some(Tint::WHITE), Some(edge)));
        inks.push(Ink::rect(filled, Some(Tint::RULE), None));
        let reach = self.len(3.0);
        let mut ceiling = |erl: f64, pen: Pen| {
            let at = x(erl);
            let from = pos2(at, room.min.y - reach);
            inks.push(Ink::rule(from, pos2(at, room.max.y + reach), pen));
        };
        let dash = self.len(1.6);
        ceiling(
            strained,
            Pen::new(Tint::BLACK, self.len(1.0)).dashed(dash, dash),
        );
        ceiling(most, Pen::new(Tint::BLACK, self.len(2.0)));
        flow.y = room.max.y + self.len(4.0);
        let waiting = match net.now {
            Waiting::Settles {
                probability,
                mean_wait_s,
            } => format!(
                "{:.0} % of messages wait, {mean_wait_s:.1} s on average",
                probability * 100.0
            ),
            Waiting::GrowsWithoutEnd => "the queue grows without end".to_owned(),
        };
        let words = format!(
            "Load {:.2} of at most {most} erlang; {waiting}",
            net.all_erl
        );
        flow.text(self.plain(8.5), 3.0, &words);
    }

    /// One port: what is plugged in, its channel, who speaks there.
    fn tile(&self, flow: &mut Flow<'_>, lane: &Lane, port: PortRef) -> Vec<Ink> {
        let s = self.s();
        let kind = s.port(port).map(|p| p.kind).unwrap_or_default();
        let plugged = words::plugged(s, self.phase, port, kind);
        let thing = self.phase.attachments.get(&port).map(|a| a.thing());
        let sign = thing.map_or_else(|| Gear::of_port(kind), Gear::of);
        let share = lane.shares.iter().find(|share| share.port == port);
        let mut tile = Flow {
            pad: Pad::new(self.faces, flow.pad.area),
            left: flow.left + self.len(34.0),
            right: flow.right - self.len(4.0),
            y: flow.y + self.len(3.0),
        };
        let first = tile.y;
        let name = if thing.is_some() {
            self.bold(9.5)
        } else {
            self.plain(9.0).soft()
        };
        tile.text(name, 2.0, &plugged.name);
        let middle = f32::midpoint(first, tile.y);
        let channel = self.channel(port).unwrap_or(plugged.channel);
        tile.text(self.plain(8.5), 3.0, &channel);
        tile.text(self.plain(8.0).soft(), 2.0, &plugged.under);
        if let Some(share) = share {
            self.there(&mut tile, lane, share);
        }
        tile.y += self.len(3.0);
        let room = Rect::from_min_max(pos2(flow.left, flow.y), pos2(flow.right, tile.y));
        let edge = Pen::new(Tint::RULE, self.len(0.7));
        let number = Rect::from_min_max(
            pos2(room.min.x + self.len(1.0), middle - self.len(7.0)),
            pos2(room.min.x + self.len(17.0), middle + self.len(7.0)),
        );
        write(
            &mut tile.pad,
            number,
            self.bold(10.0),
            Side::Middle,
            &port.port.to_string(),
        );
        let at = pos2(room.min.x + self.len(25.0), middle);
        let mut inks = vec![Ink::rounded(
            room,
            self.len(3.0),
            Some(Tint::PALE),
            Some(edge),
        )];
        inks.extend(gear(sign, at, self.len(6.0)));
        inks.append(&mut tile.pad.inks);
        flow.y = room.max.y;
        inks
    }

    /// Says the channel selected on the donor at a port with its frequencies.
    fn channel(&self, port: PortRef) -> Option<String> {
        let donor = self
            .picture
            .donors_of(port.gateway)
            .find(|d| d.port == port)?;
        let channel = donor.tuned?.channel;
        Some(format!("{}: {}", channel.name, words::channel(channel)))
    }

    /// Who speaks on the channel at a port themselves, and its load alone and joined.
    fn there(&self, tile: &mut Flow<'_>, lane: &Lane, share: &Share) {
        if let Some(net) = self.picture.traffic().channels.get(&share.channel) {
            let own = self.by_agency(net.own_units.iter().copied());
            let words = if own.is_empty() {
                "Nobody speaks there".to_owned()
            } else {
                format!("Speak there: {}", own.join("; "))
            };
            tile.text(self.plain(8.0), 4.0, &words);
        }
        let words = if lane.group.is_some() {
            format!(
                "{:.2} erlang alone, {:.2} joined",
                share.own_erl, share.all_erl
            )
        } else {
            format!("{:.2} erlang", share.own_erl)
        };
        tile.text(self.plain(8.0), 1.0, &words);
    }
}

/// Texts below each other.
struct Flow<'a> {
    pad: Pad<'a>,
    left: f32,
    right: f32,
    y: f32,
}

impl Flow<'_> {
    /// Sets a text in so many lines at most, in letters as small as that takes, and goes on below it.
    fn text(&mut self, kind: Type, lines: f32, text: &str) {
        if text.is_empty() {
            return;
        }
        let room = vec2(self.right - self.left, lines * leading(kind.most));
        let fitted = fit(self.pad.faces, text, room, kind);
        let height = fitted.height();
        let place = Rect::from_min_size(pos2(self.left, self.y), vec2(room.x, height));
        put(&mut self.pad, place, kind, Side::Left, &fitted);
        self.y += height;
    }
}
