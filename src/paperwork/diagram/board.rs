//! The board of a phase on one page: the same places as in the window, drawn for a printer.

use std::collections::BTreeSet;

use emath::{Pos2, Rect, Vec2, pos2, vec2};

use super::boxes::gateway;
use super::cards::{fold, frame, frame_head, loose, pill, unit};
use super::legend::Legend;
use super::look::channel_pen;
use super::marks::{Gear, gear, position, sample};
use super::page::{Map, Part, Sheet};
use super::words::counted;
use crate::layout::{Folded, Layout, Line, LineKind, Overlay};
use crate::model::{Phase, Scenario, ThingId};
use crate::paperwork::given::Given;
use crate::paperwork::set::composer::Pad;
use crate::paperwork::set::face::Faces;
use crate::paperwork::set::ink::{Ink, Pen, Tint};
use crate::paperwork::set::sheet::Document;
use crate::picture::Picture;

/// Smallest scale at which the letters in a card can be read, in points on the page for a board point:
/// names come out at six points there. Common practice, no source.
const LEAST: f32 = 0.33;
/// Largest scale on a letter-size page; a small plan would look like a poster.
const MOST: f32 = 1.25;

/// Draws the board of a phase on one page of a size, in points, headed by what a person gave.
///
/// Where the letters would be too small to read, the largest agencies and then systems are collapsed to
/// one chip each, and the page says so.
pub fn board(faces: &Faces, picture: &Picture, size: Vec2, given: &Given) -> Document {
    let mut sheet = Sheet::new(faces, picture, size, given, "Board");
    let s = picture.scenario();
    let Some(phase) = picture.phase() else {
        sheet.nothing("The plan has no phase, so nothing stands on the board.");
        return sheet.finish();
    };
    let legend = legend();
    let room = sheet.legend_below(&legend);
    // The sentence about what is collapsed takes room from the board.
    let tight = Rect::from_min_max(room.min + vec2(0.0, 30.0 * sheet.unit), room.max);
    let mut folded = Folded::new();
    let mut layout = Layout::folded(s, phase.id, &Overlay::new(), &folded);
    if scale(&layout, room) < LEAST {
        (layout, folded) = collapsed(s, phase, tight);
    }
    if layout.bounds.is_negative() {
        sheet.nothing("Nothing stands on the board in this phase.");
        return sheet.finish();
    }
    if !folded.is_empty() {
        let is_small = scale(&layout, tight) < LEAST;
        sheet.note(&about(&layout, is_small));
    }
    let room = Rect::from_min_max(pos2(room.min.x, sheet.free().min.y), room.max);
    let map = Map::filling(stretch(&layout), room, MOST * sheet.unit);
    let scene = Scene {
        faces,
        s,
        phase,
        layout: &layout,
        map,
    };
    let parts = scene.parts();
    sheet.figure(says(s, phase, &layout), parts);
    sheet.finish()
}

/// What drawing a thing of the board looks up.
pub(super) struct Scene<'a> {
    faces: &'a Faces,
    pub(super) s: &'a Scenario,
    pub(super) phase: &'a Phase,
    pub(super) layout: &'a Layout,
    map: Map,
}

impl Scene<'_> {
    /// Returns where a rectangle of the board lies.
    pub(super) fn rect(&self, rect: Rect) -> Rect {
        self.map.rect(rect)
    }

    /// Returns where a spot of the board lies.
    pub(super) fn at(&self, at: Pos2) -> Pos2 {
        self.map.at(at)
    }

    /// Returns how long a length of the board is, in points.
    pub(super) fn len(&self, length: f32) -> f32 {
        length * self.map.scale
    }

    /// Returns a whole line of a width of the board.
    pub(super) fn pen(&self, tint: Tint, width: f32) -> Pen {
        Pen::new(tint, self.len(width))
    }

    /// Begins to draw in a rectangle of the board.
    pub(super) fn pad(&self, rect: Rect) -> Pad<'_> {
        Pad::new(self.faces, self.rect(rect))
    }

    fn parts(&self) -> Vec<Part> {
        let layout = self.layout;
        let is_fold = |thing: Option<ThingId>| thing.is_some_and(|t| layout.fold(t).is_some());
        let frames = || layout.frames().filter(|f| !is_fold(f.thing));
        let mut parts: Vec<Part> = frames().map(|f| frame(self, f).into()).collect();
        parts.push(lines(self).into());
        // Names of frames stand above the lines that pass behind them.
        parts.extend(frames().map(|f| frame_head(self, f).into()));
        parts.extend(layout.pills.iter().map(|p| pill(self, p).into()));
        parts.extend(layout.boxes.iter().map(|b| gateway(self, b).into()));
        parts.extend(layout.loose.iter().map(|c| loose(self, *c).into()));
        parts.extend(layout.cards.iter().map(|c| unit(self, c).into()));
        parts.extend(layout.folds.iter().map(|f| fold(self, f).into()));
        parts
    }
}

/// Returns the stretch of the board that is drawn: everything, and the lines that bow out of it.
fn stretch(layout: &Layout) -> Rect {
    let points = layout.lines.iter().flat_map(|line| &line.curves);
    let points = points.flat_map(|curve| (0..=16).map(move |i| sampled(*curve, i as f32 / 16.0)));
    let around = points.fold(layout.bounds, |all, p| all.union(Rect::from_pos(p)));
    around.expand(4.0)
}

fn sampled([a, b, c, d]: [Pos2; 4], t: f32) -> Pos2 {
    let (ab, bc, cd) = (a.lerp(b, t), b.lerp(c, t), c.lerp(d, t));
    ab.lerp(bc, t).lerp(bc.lerp(cd, t), t)
}

fn scale(layout: &Layout, room: Rect) -> f32 {
    let stretch = stretch(layout);
    (room.size() / stretch.size().max(Vec2::splat(1.0))).min_elem()
}

/// Collapses agencies and systems, those with the most in them first, until the rest can be read.
fn collapsed(s: &Scenario, phase: &Phase, room: Rect) -> (Layout, Folded) {
    let agencies = s.agencies.iter().map(|agency| {
        let units = s.units.iter().filter(|u| u.agency == Some(agency.id));
        (units.count(), ThingId::from(agency.id))
    });
    let mut agencies: Vec<(usize, ThingId)> = agencies.filter(|(units, _)| *units > 1).collect();
    agencies.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.cmp(&b.1)));
    let systems = s.systems.iter().map(|system| {
        let channels = s.channels.iter().filter(|c| c.system == system.id);
        (channels.count(), ThingId::from(system.id))
    });
    let mut systems: Vec<(usize, ThingId)> =
        systems.filter(|(channels, _)| *channels > 1).collect();
    systems.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.cmp(&b.1)));
    let order: Vec<ThingId> = agencies
        .into_iter()
        .chain(systems)
        .map(|(_, t)| t)
        .collect();
    let with = |count: usize| {
        let folded: Folded = order.iter().take(count).copied().collect();
        (
            Layout::folded(s, phase.id, &Overlay::new(), &folded),
            folded,
        )
    };
    let is_read = |count: usize| scale(&with(count).0, room) >= LEAST;
    // More collapsed is hardly ever larger, so half of them can be ruled out at once.
    let (mut too_few, mut enough) = (0, order.len());
    while too_few + 1 < enough {
        let middle = usize::midpoint(too_few, enough);
        if is_read(middle) {
            enough = middle;
        } else {
            too_few = middle;
        }
    }
    with(enough)
}

fn about(layout: &Layout, is_small: bool) -> String {
    let agencies = layout.folds.iter().filter(|f| f.channels.is_empty());
    let systems = layout.folds.iter().filter(|f| !f.channels.is_empty());
    let mut said = Vec::new();
    let units: usize = agencies.clone().map(|f| f.units.len()).sum();
    if units > 0 {
        let agencies = counted(agencies.count(), "agency", "agencies");
        said.push(format!(
            "{agencies} with {}",
            counted(units, "unit", "units")
        ));
    }
    let channels: usize = systems.clone().map(|f| f.channels.len()).sum();
    if channels > 0 {
        let systems = counted(systems.count(), "system", "systems");
        let channels = counted(channels, "channel", "channels");
        said.push(format!("{systems} with {channels}"));
    }
    let more = if is_small {
        "Even so the letters are small: take larger paper."
    } else {
        "Larger paper shows more of them one by one."
    };
    format!(
        "Collapsed, because the letters would be too small on this paper: {}. {more}",
        said.join(", ")
    )
}

fn says(s: &Scenario, phase: &Phase, layout: &Layout) -> String {
    let names: Vec<&str> = s.gateways.iter().map(|g| g.name.as_str()).collect();
    let gateways = match names.as_slice() {
        [] => "no gateway".to_owned(),
        names => format!("the gateways {}", names.join(", ")),
    };
    format!(
        "The board of the phase {}: {}, {} and {gateways}. Lines join each radio with the channel it has \
         selected; switches show the talk group of every port.",
        phase.name,
        counted(s.units.len(), "unit", "units"),
        counted(layout.pills.len(), "channel", "channels"),
    )
}

/// Draws all lines, each on a white edge that keeps crossing lines apart.
fn lines(scene: &Scene<'_>) -> Vec<Ink> {
    let mut inks = Vec::new();
    let mut seen = BTreeSet::new();
    for line in &scene.layout.lines {
        let curves: Vec<[Pos2; 4]> = line.curves.iter().map(|c| c.map(|p| scene.at(p))).collect();
        let pen = line_pen(scene, line);
        inks.push(Ink::curves(&curves, Pen::new(Tint::WHITE, pen.width * 2.4)));
        inks.push(Ink::curves(&curves, pen));
        if let Some((a, b)) = line.ends() {
            for end in [a, b] {
                // Where many lines end at one spot, one dot is enough.
                let spot = (end.x.round() as i64, end.y.round() as i64);
                if seen.insert((spot, line.channel)) {
                    let dot = Ink::circle(scene.at(end), pen.width * 1.5, Some(pen.tint), None);
                    inks.push(dot);
                }
            }
        }
    }
    inks
}

fn line_pen(scene: &Scene<'_>, line: &Line) -> Pen {
    match line.kind {
        LineKind::Tuned | LineKind::Donor => {
            let turn = line.channel.and_then(|c| scene.layout.turn(c.into()));
            let width = scene.len(2.2);
            match turn {
                Some(turn) => channel_pen(turn, width),
                None => Pen::new(Tint::SOFT, width),
            }
        }
        LineKind::Tie => scene.pen(Tint::BLACK, 3.6),
        LineKind::Held => {
            let width = scene.len(1.8);
            Pen::new(Tint::SOFT, width).dashed(width * 2.0, width * 2.0)
        }
    }
}

fn legend() -> Legend {
    let mut legend = Legend::default();
    let middle = |room: Rect| room.center();
    legend.sign(
        "Radio and its channel: each channel has a line of its own",
        |room| {
            vec![
                sample(
                    Rect::from_min_max(room.min, pos2(room.max.x, room.center().y)),
                    channel_pen(0, room.height() * 0.12),
                ),
                sample(
                    Rect::from_min_max(pos2(room.min.x, room.center().y), room.max),
                    channel_pen(1, room.height() * 0.12),
                ),
            ]
        },
    );
    legend.sign("Tie between two gateways", |room| {
        vec![sample(room, Pen::new(Tint::BLACK, room.height() * 0.2))]
    });
    legend.sign(
        "Telephone or headset of somebody, plugged into a port",
        |room| {
            let width = room.height() * 0.1;
            vec![sample(
                room,
                Pen::new(Tint::SOFT, width).dashed(width * 2.0, width * 2.0),
            )]
        },
    );
    legend.sign(
        "Switch of a port: filled where it stands, first place is none",
        move |room| {
            let step = vec2(room.height() * 0.95, 0.0);
            let at = middle(room);
            let radius = room.height() * 0.4;
            vec![
                position(at - step, radius, false),
                position(at, radius, true),
                position(at + step, radius, false),
            ]
        },
    );
    for (kind, words) in [
        (
            Gear::Radio,
            "Radio: held, or a donor at a port, with its cable",
        ),
        (Gear::Telephone, "Telephone"),
        (Gear::Headset, "Headset"),
        (Gear::Wire, "Tie"),
        (Gear::Site, "Site"),
    ] {
        legend.sign(words, move |room| {
            gear(kind, middle(room), room.height() * 0.48)
        });
    }
    legend
}
