//! The lines between things: radio to channel, channel to donor, tie to tie, telephone to port.
//!
//! Lines are curves that leave and arrive level. Ends that meet at one pill are fanned out in the
//! order of where they come from, so that lines cross no more than they must.

use std::collections::BTreeMap;

use emath::{Pos2, Rect, pos2};

use super::{Layout, Piece, Stand};
use crate::model::{ChannelId, Phase, PortRef, Scenario, ThingId};

/// What a line stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LineKind {
    /// A radio that somebody holds has the channel selected.
    Tuned,
    /// A donor has the channel selected.
    Donor,
    /// A tie between two ports.
    Tie,
    /// A telephone or headset whose far end somebody holds.
    Held,
}

/// A line.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// One end: the radio, the first port, or the telephone in somebody's hand.
    pub from: ThingId,
    /// The other end: the channel or the port.
    pub to: ThingId,
    /// The curves, one after the other, from one end to the other.
    pub curves: Vec<[Pos2; 4]>,
    /// The channel whose colour it has.
    pub channel: Option<ChannelId>,
    /// What it stands for.
    pub kind: LineKind,
    /// Around the curves.
    pub bounds: Rect,
    /// The pieces it joins.
    pub pieces: [Option<Piece>; 2],
    /// It has moved since the layout was made.
    pub has_moved: bool,
    /// How far above or below the middle of the pill it ends.
    fan: f32,
}

impl Line {
    /// Makes the one line that stands for all lines from a collapsed agency or system to a thing.
    pub(super) fn merged(
        (from, to): (ThingId, ThingId),
        way: [Pos2; 4],
        channel: Option<ChannelId>,
        kind: LineKind,
    ) -> Self {
        let curves = vec![way];
        Self {
            from,
            to,
            bounds: around(&curves),
            curves,
            channel,
            kind,
            pieces: [None, None],
            has_moved: false,
            fan: 0.0,
        }
    }

    /// Draws the way again after what it joins has moved.
    pub(super) fn draw_again(&mut self, layout: &Layout, columns: &Columns) {
        let [first, last] = self.pieces;
        let (Some(from), Some(to)) = (
            end_rect(layout, first, self.from),
            end_rect(layout, last, self.to),
        ) else {
            return;
        };
        self.curves.clear();
        match self.kind {
            LineKind::Tuned => columns.tuned(from, to, self.fan, &mut self.curves),
            LineKind::Donor => {
                let from = across(layout, self.from, from);
                columns.tuned(from, to, self.fan, &mut self.curves);
            }
            LineKind::Tie => self.curves.push(tied(from, to)),
            LineKind::Held => self.curves.push(held_way(from, to)),
        }
        self.bounds = around(&self.curves);
    }

    /// Returns where it begins and where it ends.
    pub fn ends(&self) -> Option<(Pos2, Pos2)> {
        let [first, ..] = self.curves.first()?;
        let [.., last] = self.curves.last()?;
        Some((*first, *last))
    }

    /// Returns the curves of the other direction.
    pub fn turned(&self) -> Vec<[Pos2; 4]> {
        self.curves
            .iter()
            .rev()
            .map(|[a, b, c, d]| [*d, *c, *b, *a])
            .collect()
    }
}

/// Returns the box around curves.
fn around(curves: &[[Pos2; 4]]) -> Rect {
    let points = curves.iter().flatten();
    points.fold(Rect::NOTHING, |all, p| all.union(Rect::from_pos(*p)))
}

/// Returns where the end of a line is. What somebody carries is looked up in its card: a telephone is at a
/// port as well, and among the few of a card a thing is found sooner than among all.
fn end_rect(layout: &Layout, piece: Option<Piece>, thing: ThingId) -> Option<Rect> {
    match piece {
        Some(Piece::Card(i)) => {
            let chips = &layout.cards.get(i as usize)?.chips;
            Some(chips.iter().find(|c| c.thing == thing)?.rect)
        }
        Some(Piece::Pill(_) | Piece::Loose(_)) => layout.piece_rect(piece?),
        Some(Piece::Box(_)) | None => layout.rect(thing),
    }
}

/// Returns where the line of a donor ends: it meets the wall of the box, level with the row.
fn across(layout: &Layout, donor: ThingId, rect: Rect) -> Rect {
    layout.row_of(donor).map_or(rect, |(b, row)| {
        Rect::from_x_y_ranges(b.rect.x_range(), row.rect.y_range())
    })
}

/// One end of a line at a pill.
struct End {
    thing: ThingId,
    rect: Rect,
    channel: ChannelId,
    pill: (u32, Rect),
    kind: LineKind,
    piece: Piece,
}

impl End {
    fn is_left(&self) -> bool {
        self.rect.center().x <= self.pill.1.center().x
    }
}

/// Returns all lines of a layout.
pub(super) fn all(layout: &Layout, s: &Scenario, phase: &Phase) -> Vec<Line> {
    let ends = ends(layout, s, phase);
    // Fan the ends out at each side of each pill.
    let mut sides: BTreeMap<(u32, bool), Vec<usize>> = BTreeMap::new();
    for (i, end) in ends.iter().enumerate() {
        sides
            .entry((end.pill.0, end.is_left()))
            .or_default()
            .push(i);
    }
    let mut fans = vec![0.0; ends.len()];
    for members in sides.values_mut() {
        members.sort_by(|a, b| {
            let y = |i: &usize| ends.get(*i).map_or(0.0, |e| e.rect.center().y);
            y(a).total_cmp(&y(b))
        });
        let step = (24.0 / members.len() as f32).min(7.0);
        let first = -step * (members.len() as f32 - 1.0) / 2.0;
        for (rank, i) in members.iter().enumerate() {
            if let Some(fan) = fans.get_mut(*i) {
                *fan = first + step * rank as f32;
            }
        }
    }
    let mut lines: Vec<Line> = ends
        .into_iter()
        .zip(fans)
        .map(|(end, fan)| {
            let mut curves = Vec::new();
            layout.columns.tuned(end.rect, end.pill.1, fan, &mut curves);
            Line {
                from: end.thing,
                to: end.channel.into(),
                bounds: around(&curves),
                curves,
                channel: Some(end.channel),
                kind: end.kind,
                pieces: [Some(end.piece), Some(Piece::Pill(end.pill.0))],
                has_moved: false,
                fan,
            }
        })
        .collect();
    lines.extend(ties(layout, s, phase));
    lines.extend(held(layout, phase));
    lines
}

/// Lists the radios that have a channel on the board selected.
fn ends(layout: &Layout, s: &Scenario, phase: &Phase) -> Vec<End> {
    let mut ends: Vec<End> = Vec::new();
    let mut tune = |thing: ThingId, rect: Rect, kind: LineKind, piece: Piece| {
        if let ThingId::Radio(id) = thing
            && let Some(radio) = s.radios.get(id)
            && let Some(channel) = s.selected_channel(phase, radio)
            && let Some(Stand::Whole(Piece::Pill(pill))) = layout.stand(channel.into())
            && let Some(at) = layout.pills.get(pill as usize)
        {
            ends.push(End {
                thing,
                rect,
                channel,
                pill: (pill, at.rect),
                kind,
                piece,
            });
        }
    };
    for (i, card) in (0..).zip(&layout.cards) {
        for chip in &card.chips {
            tune(chip.thing, chip.rect, LineKind::Tuned, Piece::Card(i));
        }
    }
    for (i, chip) in (0..).zip(&layout.loose) {
        tune(chip.thing, chip.rect, LineKind::Tuned, Piece::Loose(i));
    }
    for (i, gateway) in (0..).zip(&layout.boxes) {
        for row in &gateway.rows {
            if let Some(chip) = row.attached {
                let across = Rect::from_x_y_ranges(gateway.rect.x_range(), row.rect.y_range());
                tune(chip.thing, across, LineKind::Donor, Piece::Box(i));
            }
        }
    }
    ends
}

pub(super) fn curve(a: Pos2, b: Pos2, direction: f32) -> [Pos2; 4] {
    let reach = ((b.x - a.x).abs() * 0.5).clamp(40.0, 220.0) * direction;
    [a, pos2(a.x + reach, a.y), pos2(b.x - reach, b.y), b]
}

/// Columns of cards that a line has to pass, with the gaps between the cards.
#[derive(Debug, Clone, Default)]
pub(super) struct Columns(Vec<Column>);

#[derive(Debug, Clone)]
struct Column {
    left: f32,
    right: f32,
    gaps: Vec<f32>,
}

impl Column {
    /// Returns the gap nearest to a height; the gaps lie one below the other.
    fn nearest(&self, wish: f32) -> f32 {
        let below = self.gaps.partition_point(|gap| *gap < wish);
        let above = below.checked_sub(1).and_then(|i| self.gaps.get(i)).copied();
        match (above, self.gaps.get(below).copied()) {
            (Some(a), Some(b)) if wish - a <= b - wish => a,
            (_, Some(gap)) | (Some(gap), None) => gap,
            (None, None) => wish,
        }
    }
}

/// Most columns a line winds through; beyond that it goes straight behind the cards.
const WINDINGS: usize = 3;

impl Columns {
    pub(super) fn of(layout: &Layout) -> Self {
        let mut by_left: BTreeMap<i64, Vec<Rect>> = BTreeMap::new();
        for card in &layout.cards {
            by_left
                .entry(card.rect.min.x.round() as i64)
                .or_default()
                .push(card.rect);
        }
        let columns = by_left.into_values().map(|mut rects| {
            rects.sort_by(|a, b| a.min.y.total_cmp(&b.min.y));
            let mut gaps = Vec::new();
            if let (Some(first), Some(last)) = (rects.first(), rects.last()) {
                gaps.push(first.min.y - 44.0);
                gaps.extend(rects.windows(2).filter_map(|pair| {
                    let [a, b] = pair else { return None };
                    (b.min.y > a.max.y).then_some(f32::midpoint(a.max.y, b.min.y))
                }));
                gaps.push(last.max.y + 24.0);
            }
            Column {
                left: rects.first().map_or(0.0, |r| r.min.x),
                right: rects.first().map_or(0.0, |r| r.max.x),
                gaps,
            }
        });
        Self(columns.collect())
    }

    /// Adds the way from a radio to its channel.
    fn tuned(&self, rect: Rect, pill: Rect, fan: f32, out: &mut Vec<[Pos2; 4]>) {
        let (a, b, direction) = if rect.center().x <= pill.center().x {
            (rect.max.x, pill.min.x, 1.0)
        } else {
            (rect.min.x, pill.max.x, -1.0)
        };
        let (from, to) = (rect.center().y, pill.center().y + fan);
        self.way(pos2(a, from), pos2(b, to), direction, out);
    }

    /// Adds the way from a spot to another through the gaps of the columns between them.
    fn way(&self, a: Pos2, b: Pos2, direction: f32, out: &mut Vec<[Pos2; 4]>) {
        // Columns lie from left to right: those between are found without a look at the others.
        let first = self.0.partition_point(|c| c.left <= a.x + 1.0);
        let between = self.0.iter().skip(first);
        let between = between
            .take_while(|c| direction > 0.0 && c.left < b.x)
            .filter(|c| c.right < b.x - 1.0);
        if between.clone().take(WINDINGS + 1).count() > WINDINGS {
            out.push(curve(a, b, direction));
            return;
        }
        let mut at = a;
        for column in between {
            let share = ((column.left - at.x) / (b.x - at.x).max(1.0)).clamp(0.0, 1.0);
            let wish = at.y + (b.y - at.y) * share * 0.5;
            let gap = column.nearest(wish);
            // Lines that share a gap lie a little apart, by where they come from.
            let apart = (a.y / 7.0).rem_euclid(1.0) * 6.0 - 3.0;
            let (enter, leave) = (
                pos2(column.left, gap + apart),
                pos2(column.right, gap + apart),
            );
            let reach = (enter.x - at.x) * 0.5;
            out.push([
                at,
                pos2(at.x + reach, at.y),
                pos2(enter.x - reach, enter.y),
                enter,
            ]);
            let third = (leave.x - enter.x) / 3.0;
            out.push([
                enter,
                pos2(enter.x + third, enter.y),
                pos2(leave.x - third, leave.y),
                leave,
            ]);
            at = leave;
        }
        out.push(curve(at, b, direction));
    }
}

fn ties<'a>(
    layout: &'a Layout,
    s: &'a Scenario,
    phase: &'a Phase,
) -> impl Iterator<Item = Line> + 'a {
    s.ties.iter().filter_map(move |tie| {
        let mut ports = phase.ports_of_tie(tie.id);
        let (a, b): (PortRef, PortRef) = (ports.next()?, ports.next()?);
        let (from, to) = (layout.rect(a.into())?, layout.rect(b.into())?);
        let curves = vec![tied(from, to)];
        Some(Line {
            from: a.into(),
            to: b.into(),
            bounds: around(&curves),
            curves,
            channel: None,
            kind: LineKind::Tie,
            pieces: [a, b].map(|port| box_of(layout, port)),
            has_moved: false,
            fan: 0.0,
        })
    })
}

/// Returns the way of a tie between two rows, which bows out to the right of both boxes.
fn tied(from: Rect, to: Rect) -> [Pos2; 4] {
    let (p, q) = (
        pos2(from.max.x + 8.0, from.center().y),
        pos2(to.max.x + 8.0, to.center().y),
    );
    let reach = 48.0 + (p.y - q.y).abs() * 0.12;
    let out = p.x.max(q.x) + reach;
    [p, pos2(out, p.y), pos2(out, q.y), q]
}

fn box_of(layout: &Layout, port: PortRef) -> Option<Piece> {
    match layout.stand(port.into())? {
        Stand::Row(b, _) => Some(Piece::Box(b)),
        _ => None,
    }
}

/// Lines from a telephone or headset in somebody's card to the port it is plugged into.
fn held<'a>(layout: &'a Layout, phase: &'a Phase) -> impl Iterator<Item = Line> + 'a {
    let cards = (0..).zip(&layout.cards);
    let chips = cards.flat_map(|(i, card)| card.chips.iter().map(move |chip| (i, chip)));
    chips.filter_map(move |(card, chip)| {
        let port = match chip.thing {
            ThingId::Telephone(id) => phase.port_of_telephone(id)?,
            ThingId::Headset(id) => phase.port_of_headset(id)?,
            _ => return None,
        };
        let row = layout.rect(port.into())?;
        let curves = vec![held_way(chip.rect, row)];
        Some(Line {
            from: chip.thing,
            to: port.into(),
            bounds: around(&curves),
            curves,
            channel: None,
            kind: LineKind::Held,
            pieces: [Some(Piece::Card(card)), box_of(layout, port)],
            has_moved: false,
            fan: 0.0,
        })
    })
}

/// Returns the way from what somebody holds to the row it is plugged into.
fn held_way(chip: Rect, row: Rect) -> [Pos2; 4] {
    let (a, b, direction) = if chip.center().x <= row.center().x {
        (chip.max.x, row.min.x, 1.0)
    } else {
        (chip.min.x, row.max.x, -1.0)
    };
    curve(pos2(a, chip.center().y), pos2(b, row.center().y), direction)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_takes_the_gap_nearest_to_where_it_would_pass() {
        let column = |gaps: &[f32]| Column {
            left: 0.0,
            right: 1.0,
            gaps: gaps.to_vec(),
        };
        let leads = |gaps: &[f32], wish: f32, to: f32| {
            assert!((column(gaps).nearest(wish) - to).abs() < 1e-6, "{wish}");
        };
        let gaps = [-4.0, 10.0, 30.0];
        for (wish, to) in [(-9.0, -4.0), (2.9, -4.0), (3.0, -4.0), (3.1, 10.0)] {
            leads(&gaps, wish, to);
        }
        leads(&gaps, 10.0, 10.0);
        leads(&gaps, 99.0, 30.0);
        leads(&[], 7.0, 7.0);
    }
}
