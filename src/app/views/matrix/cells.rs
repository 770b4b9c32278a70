//! The cells in sight: one shape a pair, or how many of several pairs are heard.

use egui::epaint::Mesh;
use egui::{
    Align2, CornerRadius, FontId, Painter, Pos2, Rect, Stroke, StrokeKind, Vec2, pos2, vec2,
};
use std::ops::Range;

use super::axes::{Axes, Line, Wish};
use crate::app::pairs;
use crate::app::theme::{Tokens, semibold};
use crate::app::words::after;
use crate::picture::Picture;
use crate::picture::sounds::{Sound, Wanted};

/// Cells smaller than this are drawn as one mesh.
pub(super) const TINY: f32 = 10.0;
/// Cells of at least this size say their word too.
pub(super) const WORDY: f32 = 44.0;

/// What is needed to draw the cells.
pub(super) struct Cells<'a> {
    pub(super) t: &'a Tokens,
    pub(super) picture: &'a Picture,
    pub(super) axes: &'a Axes,
    pub(super) wish: &'a Wish,
    pub(super) painter: &'a Painter,
    /// Where the first cell begins.
    pub(super) origin: Pos2,
    pub(super) size: f32,
}

/// What one cell shows.
pub(super) enum Shown<'a> {
    /// A party and itself.
    Itself,
    /// A pair, with what needs ask of it.
    Pair(Sound, Option<&'a Wanted>),
    /// Several pairs: how many are heard, of how many.
    Several(usize, usize),
    /// A pair that is filtered out.
    Nothing,
}

impl<'a> Cells<'a> {
    /// Returns the place of a cell on screen.
    pub(super) fn rect(&self, row: usize, column: usize) -> Rect {
        let at = vec2(column as f32, row as f32) * self.size;
        Rect::from_min_size(self.origin + at, Vec2::splat(self.size))
    }

    /// Returns what a cell shows.
    pub(super) fn shown(&self, row: usize, column: usize) -> Shown<'a> {
        let (hearing, sounds) = (self.picture.hearing(), self.picture.sounds());
        match (self.axes.rows.get(row), self.axes.columns.get(column)) {
            (Some(Line::Party(from)), Some(Line::Party(to))) => {
                let Some(sound) = sounds.at(hearing, *from, *to) else {
                    return Shown::Itself;
                };
                let wanted = sounds.wanted(*from, *to);
                let is_out = self.wish.only.is_some_and(|only| only != sound)
                    || (self.wish.needs_only && wanted.is_none());
                if is_out {
                    Shown::Nothing
                } else {
                    Shown::Pair(sound, wanted)
                }
            }
            (Some(_), Some(_)) => {
                let (heard, all) = self.axes.sum(self.picture, row, column);
                if all == 0 {
                    Shown::Nothing
                } else {
                    Shown::Several(heard, all)
                }
            }
            _ => Shown::Nothing,
        }
    }

    /// Draws the cells of some rows and columns.
    pub(super) fn draw(&self, rows: Range<usize>, columns: Range<usize>) {
        let mut mesh = Mesh::default();
        for row in rows {
            for column in columns.clone() {
                let rect = self.rect(row, column);
                match self.shown(row, column) {
                    Shown::Nothing => {}
                    Shown::Itself => self.itself(rect),
                    Shown::Several(heard, all) => self.several(rect, heard, all),
                    Shown::Pair(sound, wanted) if self.size < TINY => {
                        self.tiny(&mut mesh, rect, sound, wanted);
                    }
                    Shown::Pair(sound, wanted) => self.pair(rect, sound, wanted, (row, column)),
                }
            }
        }
        if !mesh.is_empty() {
            self.painter.add(mesh);
        }
    }

    fn itself(&self, rect: Rect) {
        let arm = Vec2::splat(self.size * 0.18);
        let (at, line) = (rect.center(), Stroke::new(1.0, self.t.card_edge));
        self.painter.line_segment([at - arm, at + arm], line);
    }

    fn tiny(&self, mesh: &mut Mesh, rect: Rect, sound: Sound, wanted: Option<&Wanted>) {
        let ink = pairs::colours(self.t, sound).ink;
        let cell = rect.shrink(0.5);
        if wanted.is_some_and(|w| !w.met) {
            // A frame of the colour of what stops, so that it is found among thousands.
            mesh.add_colored_rect(rect, self.t.stops.ink);
            mesh.add_colored_rect(rect.shrink(self.size * 0.25), self.t.stops.ground);
            return;
        }
        pairs::tiny(mesh, sound, cell, ink);
    }

    fn pair(
        &self,
        rect: Rect,
        sound: Sound,
        wanted: Option<&Wanted>,
        (row, column): (usize, usize),
    ) {
        let t = self.t;
        let is_wordy = self.size >= WORDY;
        let mut at = rect.center();
        if is_wordy {
            at.y -= self.size * 0.14;
        }
        let radius = (self.size * 0.27).min(11.0);
        if let Some(wanted) = wanted {
            let pair = if wanted.met { t.good } else { t.stops };
            let box_ = rect.shrink(1.5);
            let round = CornerRadius::same((self.size * 0.18).min(8.0) as u8);
            if !wanted.met {
                self.painter.rect_filled(box_, round, pair.ground);
            }
            let width = if wanted.met { 1.0 } else { 1.6 };
            let line = Stroke::new(width, pair.ink);
            self.painter
                .rect_stroke(box_, round, line, StrokeKind::Inside);
        }
        let is_unmet = sound == Sound::Silent && wanted.is_some_and(|w| !w.met);
        if is_unmet {
            pairs::paint_unmet(self.painter, t, at, radius);
        } else {
            pairs::paint(self.painter, t, sound, at, radius);
        }
        if is_wordy {
            let words = self.words(sound, row, column);
            let spot = pos2(rect.center().x, rect.max.y - self.size * 0.24);
            let font = FontId::proportional(10.5);
            let ink = match sound {
                _ if is_unmet => t.stops.ink,
                Sound::Silent => t.faint,
                _ => t.soft,
            };
            self.painter
                .text(spot, Align2::CENTER_CENTER, words, font, ink);
        }
    }

    /// Returns the word of a cell, or the delay where nothing else is to be said.
    fn words(&self, sound: Sound, row: usize, column: usize) -> String {
        let place = |line: Option<&Line>| line.and_then(|l| l.members().first().copied());
        let from = place(self.axes.rows.get(row));
        let to = place(self.axes.columns.get(column));
        let (hearing, sounds) = (self.picture.hearing(), self.picture.sounds());
        let arrival = from
            .zip(to)
            .and_then(|(from, to)| sounds.facts(hearing, from, to).arrival);
        match (sound, arrival) {
            (Sound::Heard | Sound::Late, Some(arrival)) => after(arrival.delay_ms),
            _ => sound.word().to_owned(),
        }
    }

    /// A cell that stands for several pairs is filled from below, as far as they are heard.
    fn several(&self, rect: Rect, heard: usize, all: usize) {
        let t = self.t;
        let cell = rect.shrink((self.size * 0.12).clamp(0.5, 4.0));
        let round = CornerRadius::same((self.size * 0.12).min(5.0) as u8);
        let part = heard as f32 / all.max(1) as f32;
        self.painter.rect_filled(cell, round, t.sunken);
        if heard > 0 {
            // A few of many are still to be seen.
            let height = (cell.height() * part).max(1.5);
            let full = Rect::from_min_max(pos2(cell.min.x, cell.max.y - height), cell.max);
            self.painter.rect_filled(full, round, t.good.ground);
            let line = Stroke::new(1.2, t.good.ink);
            self.painter.hline(full.x_range(), full.min.y, line);
        }
        if self.size >= TINY {
            let edge = Stroke::new(1.0, t.card_edge);
            self.painter
                .rect_stroke(cell, round, edge, StrokeKind::Inside);
        }
        if self.size >= 28.0 {
            let font = semibold((self.size * 0.28).clamp(9.0, 12.0));
            let words = if all < 100 && self.size >= 34.0 {
                format!("{heard}/{all}")
            } else {
                format!("{:.0}%", 100.0 * part)
            };
            let middle = rect.center();
            self.painter
                .text(middle, Align2::CENTER_CENTER, words, font, t.text);
        }
    }
}
