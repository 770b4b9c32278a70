//! One page of the matrix: names beside and above, and a cell for every pair.

use std::collections::BTreeMap;
use std::ops::Range;

use emath::{Pos2, Rect, Vec2, pos2, vec2};

use super::fit::{Side, Type, fit, write, write_upward};
use super::marks::{frame_pen, sound, unmet};
use super::matrix::{Plan, name_type};
use super::page::Part;
use super::roll::{Entry, Group, Roll};
use super::words::counted;
use crate::paperwork::set::composer::Pad;
use crate::paperwork::set::face::Faces;
use crate::paperwork::set::ink::{Ink, Pen, Tint};
use crate::picture::Picture;
use crate::picture::sounds::Sound;

/// Some rows and columns that share a page.
pub(super) struct Tile<'a> {
    pub(super) faces: &'a Faces,
    pub(super) picture: &'a Picture,
    pub(super) roll: &'a Roll,
    pub(super) plan: Plan,
    pub(super) rows: Range<usize>,
    pub(super) columns: Range<usize>,
}

impl Tile<'_> {
    /// Draws the page into a place.
    pub(super) fn parts(&self, place: Rect) -> Vec<Part> {
        let plan = self.plan;
        let heads = vec2(plan.band + plan.names_wide, plan.band + plan.names_high);
        let size = vec2(self.columns.len() as f32, self.rows.len() as f32) * plan.cell;
        let spare = (place.width() - heads.x - size.x).max(0.0) / 2.0;
        let grid = Rect::from_min_size(place.min + vec2(spare, 0.0) + heads, size);
        let mut parts = vec![self.ground(grid).into(), self.corner(grid).into()];
        let across = self.groups(&self.columns);
        let down = self.groups(&self.rows);
        parts.extend(
            across
                .iter()
                .map(|(g, r)| self.column_band(grid, g, r).into()),
        );
        parts.extend(down.iter().map(|(g, r)| self.row_band(grid, g, r).into()));
        for (i, entry) in self.listed(&self.columns).iter().enumerate() {
            parts.push(self.column_name(grid, i, entry).into());
        }
        for (i, entry) in self.listed(&self.rows).iter().enumerate() {
            parts.push(self.row_name(grid, i, entry).into());
        }
        for (i, entry) in self.listed(&self.rows).iter().enumerate() {
            parts.push(self.row(grid, i, entry));
        }
        parts.push(self.rules(grid, &across, &down).into());
        parts
    }

    fn listed(&self, range: &Range<usize>) -> &[Entry] {
        self.roll.entries.get(range.clone()).unwrap_or(&[])
    }

    /// Lists the agencies of a stretch with their places in it.
    fn groups(&self, stretch: &Range<usize>) -> Vec<(&Group, Range<usize>)> {
        let within = self.roll.groups.iter().filter_map(|group| {
            let from = group.members.start.max(stretch.start);
            let to = group.members.end.min(stretch.end);
            (from < to).then(|| (group, from - stretch.start..to - stretch.start))
        });
        within.collect()
    }

    fn thin(&self) -> Pen {
        Pen::new(Tint::RULE, 0.3 * self.plan.unit)
    }

    /// Stripes, the thin rules between columns, and where somebody meets themselves.
    fn ground(&self, grid: Rect) -> Vec<Ink> {
        let cell = self.plan.cell;
        let mut inks = vec![Ink::rect(grid, Some(Tint::WHITE), None)];
        let stripe = vec2(grid.width(), cell);
        for i in (1..self.rows.len()).step_by(2) {
            let at = pos2(grid.min.x, grid.min.y + i as f32 * cell);
            inks.push(Ink::rect(
                Rect::from_min_size(at, stripe),
                Some(Tint::PALE),
                None,
            ));
        }
        for i in 1..self.columns.len() {
            let x = grid.min.x + i as f32 * cell;
            inks.push(Ink::rule(
                pos2(x, grid.min.y),
                pos2(x, grid.max.y),
                self.thin(),
            ));
        }
        for (row, from) in self.rows.clone().enumerate() {
            if self.columns.contains(&from) {
                let own = self.cell(grid, row, from - self.columns.start);
                inks.push(Ink::rect(own, Some(Tint::RULE), None));
            }
        }
        inks
    }

    fn cell(&self, grid: Rect, row: usize, column: usize) -> Rect {
        let at = grid.min + vec2(column as f32, row as f32) * self.plan.cell;
        Rect::from_min_size(at, Vec2::splat(self.plan.cell))
    }

    fn corner(&self, grid: Rect) -> Vec<Ink> {
        let plan = self.plan;
        let size = vec2(plan.band + plan.names_wide, plan.band + plan.names_high);
        let room = Rect::from_min_max(grid.min - size, grid.min - Vec2::splat(3.0 * plan.unit));
        let mut pad = Pad::new(self.faces, room);
        pad.inks.push(Ink::rect(room, Some(Tint::WHITE), None));
        let kind = Type::bold(9.0 * plan.unit, 5.0 * plan.unit);
        let middle = room.center().y;
        let upper = Rect::from_min_max(room.min, pos2(room.max.x, middle));
        write(
            &mut pad,
            upper,
            kind,
            Side::Right,
            "Columns listen \u{2192}",
        );
        let lower = Rect::from_min_max(pos2(room.min.x, middle), room.max);
        write(&mut pad, lower, kind, Side::Right, "Rows speak \u{2193}");
        pad.inks
    }

    /// Begins a box with a ground.
    fn boxed(&self, room: Rect, ground: Tint) -> Pad<'_> {
        let mut pad = Pad::new(self.faces, room);
        pad.inks
            .push(Ink::rect(room, Some(ground), Some(self.thin())));
        pad
    }

    fn column_band(&self, grid: Rect, group: &Group, range: &Range<usize>) -> Vec<Ink> {
        let plan = self.plan;
        let at = |i: usize| grid.min.x + i as f32 * plan.cell;
        let top = grid.min.y - plan.names_high - plan.band;
        let room = Rect::from_min_max(
            pos2(at(range.start), top),
            pos2(at(range.end), top + plan.band),
        );
        let mut pad = self.boxed(room, Tint::SHADE);
        self.band_name(&mut pad, room, group, false);
        pad.inks
    }

    fn row_band(&self, grid: Rect, group: &Group, range: &Range<usize>) -> Vec<Ink> {
        let plan = self.plan;
        let at = |i: usize| grid.min.y + i as f32 * plan.cell;
        let left = grid.min.x - plan.names_wide - plan.band;
        let room = Rect::from_min_max(
            pos2(left, at(range.start)),
            pos2(left + plan.band, at(range.end)),
        );
        let mut pad = self.boxed(room, Tint::SHADE);
        self.band_name(&mut pad, room, group, true);
        pad.inks
    }

    /// Writes an agency's name along its band, or what is short for it, or that across.
    fn band_name(&self, pad: &mut Pad<'_>, room: Rect, group: &Group, is_upward: bool) {
        let unit = self.plan.unit;
        let kind = Type::bold(8.0 * unit, 5.5 * unit);
        let inner = room.shrink(0.8 * unit);
        let along = if is_upward {
            inner.size().yx()
        } else {
            inner.size()
        };
        let single = |text: &str, along: Vec2| {
            let line = self.faces.line(kind.face, text);
            line.width(kind.least) <= along.x && along.y >= kind.least * 1.2
        };
        let wraps = |text: &str| {
            let fitted = fit(self.faces, text, inner.size(), kind);
            !is_upward && text.split_whitespace().count() > 1 && {
                let said: Vec<&str> = fitted.lines.iter().map(|l| l.text.trim_end()).collect();
                fitted.size >= kind.least && said.join(" ") == text
            }
        };
        let words = if single(&group.name, along) || wraps(&group.name) {
            &group.name
        } else {
            &group.short
        };
        let is_along = single(words, along);
        if is_upward && is_along || !is_upward && !is_along && !wraps(words) {
            write_upward(pad, inner, kind, Side::Middle, words);
        } else {
            let least = Type {
                least: kind.least * 0.7,
                ..kind
            };
            write(pad, inner, least, Side::Middle, words);
        }
    }

    fn column_name(&self, grid: Rect, column: usize, entry: &Entry) -> Vec<Ink> {
        let plan = self.plan;
        let left = grid.min.x + column as f32 * plan.cell;
        let room = Rect::from_min_max(
            pos2(left, grid.min.y - plan.names_high),
            pos2(left + plan.cell, grid.min.y),
        );
        let mut pad = self.boxed(room, Tint::WHITE);
        let inner = room.shrink2(vec2(0.3, 2.0 * plan.unit));
        let kind = name_type(plan.cell, plan.unit);
        write_upward(&mut pad, inner, kind, Side::Left, &entry.name);
        pad.inks
    }

    fn row_name(&self, grid: Rect, row: usize, entry: &Entry) -> Vec<Ink> {
        let plan = self.plan;
        let top = grid.min.y + row as f32 * plan.cell;
        let room = Rect::from_min_max(
            pos2(grid.min.x - plan.names_wide, top),
            pos2(grid.min.x, top + plan.cell),
        );
        let ground = if row % 2 == 1 {
            Tint::PALE
        } else {
            Tint::WHITE
        };
        let mut pad = self.boxed(room, ground);
        let inner = room.shrink2(vec2(2.0 * plan.unit, 0.3));
        let kind = name_type(plan.cell, plan.unit);
        write(&mut pad, inner, kind, Side::Right, &entry.name);
        pad.inks
    }

    /// The signs of one who speaks, which say in words what they show.
    fn row(&self, grid: Rect, row: usize, from: &Entry) -> Part {
        let plan = self.plan;
        let (sounds, hearing) = (self.picture.sounds(), self.picture.hearing());
        let whole = Rect::from_min_size(
            pos2(grid.min.x, grid.min.y + row as f32 * plan.cell),
            vec2(grid.width(), plan.cell),
        );
        let mut inks = vec![Ink::rect(whole, None, Some(self.thin()))];
        let mut said: BTreeMap<Sound, Vec<&str>> = BTreeMap::new();
        for (column, to) in self.listed(&self.columns).iter().enumerate() {
            let Some(found) = sounds.at(hearing, from.place, to.place) else {
                continue;
            };
            let cell = self.cell(grid, row, column);
            let at: Pos2 = cell.center();
            inks.extend(sound(found, at, plan.cell * 0.3));
            if let Some(wanted) = sounds.wanted(from.place, to.place) {
                let edge = frame_pen(plan.cell, !wanted.apart.is_empty());
                let frame = cell.shrink(plan.cell * 0.08);
                inks.push(Ink::rect(frame, None, Some(edge)));
                if !wanted.met {
                    inks.extend(unmet(at, plan.cell * 0.3));
                }
            }
            said.entry(found).or_default().push(&to.name);
        }
        Part {
            inks,
            says: Some(said_of(&from.name, &said)),
        }
    }

    /// Thick rules between agencies and around all.
    fn rules(
        &self,
        grid: Rect,
        across: &[(&Group, Range<usize>)],
        down: &[(&Group, Range<usize>)],
    ) -> Vec<Ink> {
        let plan = self.plan;
        let pen = Pen::new(Tint::BLACK, 0.9 * plan.unit);
        let (left, top) = (
            grid.min.x - plan.names_wide - plan.band,
            grid.min.y - plan.names_high - plan.band,
        );
        let whole = Rect::from_min_max(pos2(left, top), grid.max);
        let mut inks = vec![Ink::rect(grid, None, Some(pen))];
        for (_, range) in across {
            let x = grid.min.x + range.start as f32 * plan.cell;
            inks.push(Ink::rule(pos2(x, whole.min.y), pos2(x, whole.max.y), pen));
        }
        for (_, range) in down {
            let y = grid.min.y + range.start as f32 * plan.cell;
            inks.push(Ink::rule(pos2(whole.min.x, y), pos2(whole.max.x, y), pen));
        }
        inks
    }
}

/// Says how one sounds to the others; whoever does not hear is only counted.
fn said_of(name: &str, said: &BTreeMap<Sound, Vec<&str>>) -> String {
    let parts = said.iter().map(|(sound, names)| match sound {
        Sound::Silent => format!("not heard by {}", counted(names.len(), "party", "parties")),
        sound => format!("{}: {}", sound.word(), names.join(", ")),
    });
    let parts: Vec<String> = parts.collect();
    format!("{name} speaks. {}", parts.join("; "))
}
