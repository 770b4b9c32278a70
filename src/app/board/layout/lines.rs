//! The lines between things: radio to channel, channel to donor, tie to tie, telephone to port.
//!
//! Lines are curves that leave and arrive level. Ends that meet at one pill are fanned out in the
//! order of where they come from, so that lines cross no more than they must.

use std::collections::BTreeMap;

use egui::{Pos2, Rect, pos2};

use super::Layout;
use crate::model::{Attachment, ChannelId, Phase, PortRef, Scenario, ThingId};

/// What a line stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum LineKind {
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
pub(crate) struct Line {
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
}

impl Line {
    /// Returns the box around the curves.
    pub(crate) fn bounds(&self) -> Rect {
        self.curves
            .iter()
            .flatten()
            .fold(Rect::NOTHING, |all, p| all.union(Rect::from_pos(*p)))
    }

    /// Returns where it begins and where it ends.
    pub(crate) fn ends(&self) -> Option<(Pos2, Pos2)> {
        let [first, ..] = self.curves.first()?;
        let [.., last] = self.curves.last()?;
        Some((*first, *last))
    }

    /// Returns the curves of the other direction.
    pub(crate) fn turned(&self) -> Vec<[Pos2; 4]> {
        self.curves
            .iter()
            .rev()
            .map(|[a, b, c, d]| [*d, *c, *b, *a])
            .collect()
    }
}

/// Returns all lines of a layout.
pub(super) fn all(layout: &Layout, s: &Scenario, phase: &Phase) -> Vec<Line> {
    let mut ends: Vec<(ThingId, Rect, ChannelId, Rect, LineKind)> = Vec::new();
    let mut tune = |thing: ThingId, rect: Rect, kind: LineKind| {
        if let ThingId::Radio(id) = thing
            && let Some(radio) = s.radios.get(id)
            && let Some(channel) = s.selected_channel(phase, radio)
            && let Some(pill) = layout.rect(channel.into())
        {
            ends.push((thing, rect, channel, pill, kind));
        }
    };
    for chip in layout
        .cards
        .iter()
        .flat_map(|c| &c.chips)
        .chain(&layout.loose)
    {
        tune(chip.thing, chip.rect, LineKind::Tuned);
    }
    for gateway in &layout.boxes {
        for row in &gateway.rows {
            if let Some(chip) = row.attached {
                // The line meets the wall of the box, level with the row.
                let across = Rect::from_x_y_ranges(gateway.rect.x_range(), row.rect.y_range());
                tune(chip.thing, across, LineKind::Donor);
            }
        }
    }
    // Fan the ends out at each side of each pill.
    let mut sides: BTreeMap<(ChannelId, bool), Vec<usize>> = BTreeMap::new();
    for (i, (_, rect, channel, pill, _)) in ends.iter().enumerate() {
        let is_left = rect.center().x <= pill.center().x;
        sides.entry((*channel, is_left)).or_default().push(i);
    }
    let mut at_pill: BTreeMap<usize, f32> = BTreeMap::new();
    for members in sides.values_mut() {
        members.sort_by(|a, b| {
            let y = |i: &usize| ends.get(*i).map_or(0.0, |e| e.1.center().y);
            y(a).total_cmp(&y(b))
        });
        let step = (24.0 / members.len() as f32).min(7.0);
        let first = -step * (members.len() as f32 - 1.0) / 2.0;
        for (rank, i) in members.iter().enumerate() {
            at_pill.insert(*i, first + step * rank as f32);
        }
    }
    let columns = Columns::of(layout);
    let mut lines: Vec<Line> = ends
        .iter()
        .enumerate()
        .map(|(i, (thing, rect, channel, pill, kind))| {
            let is_left = rect.center().x <= pill.center().x;
            let (a, b) = if is_left {
                (rect.max.x, pill.min.x)
            } else {
                (rect.min.x, pill.max.x)
            };
            let fan = at_pill.get(&i).copied().unwrap_or(0.0);
            Line {
                from: *thing,
                to: (*channel).into(),
                curves: columns.way(
                    pos2(a, rect.center().y),
                    pos2(b, pill.center().y + fan),
                    if is_left { 1.0 } else { -1.0 },
                ),
                channel: Some(*channel),
                kind: *kind,
            }
        })
        .collect();
    lines.extend(ties(layout, s, phase));
    lines.extend(held(layout, phase));
    lines
}

pub(super) fn curve(a: Pos2, b: Pos2, direction: f32) -> [Pos2; 4] {
    let reach = ((b.x - a.x).abs() * 0.5).clamp(40.0, 220.0) * direction;
    [a, pos2(a.x + reach, a.y), pos2(b.x - reach, b.y), b]
}

/// Columns of cards that a line has to pass, with the gaps between the cards.
struct Columns(Vec<Column>);

struct Column {
    left: f32,
    right: f32,
    gaps: Vec<f32>,
}

/// Most columns a line winds through; beyond that it goes straight behind the cards.
const WINDINGS: usize = 3;

impl Columns {
    fn of(layout: &Layout) -> Self {
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

    /// Returns the way from a spot to another through the gaps of the columns between them.
    fn way(&self, a: Pos2, b: Pos2, direction: f32) -> Vec<[Pos2; 4]> {
        let between: Vec<&Column> = self
            .0
            .iter()
            .filter(|c| direction > 0.0 && c.left > a.x + 1.0 && c.right < b.x - 1.0)
            .collect();
        if between.is_empty() || between.len() > WINDINGS {
            return vec![curve(a, b, direction)];
        }
        let mut out = Vec::new();
        let mut at = a;
        for column in between {
            let share = ((column.left - at.x) / (b.x - at.x).max(1.0)).clamp(0.0, 1.0);
            let wish = at.y + (b.y - at.y) * share * 0.5;
            let gap = column
                .gaps
                .iter()
                .copied()
                .min_by(|p, q| (p - wish).abs().total_cmp(&(q - wish).abs()))
                .unwrap_or(wish);
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
        out
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
        let (p, q) = (
            pos2(from.max.x + 8.0, from.center().y),
            pos2(to.max.x + 8.0, to.center().y),
        );
        let reach = 48.0 + (p.y - q.y).abs() * 0.12;
        let out = p.x.max(q.x) + reach;
        Some(Line {
            from: a.into(),
            to: b.into(),
            curves: vec![[p, pos2(out, p.y), pos2(out, q.y), q]],
            channel: None,
            kind: LineKind::Tie,
        })
    })
}

/// Lines from a telephone or headset in somebody's card to the port it is plugged into.
fn held<'a>(layout: &'a Layout, phase: &'a Phase) -> impl Iterator<Item = Line> + 'a {
    layout
        .cards
        .iter()
        .flat_map(|c| &c.chips)
        .filter_map(move |chip| {
            let port = phase.attachments.iter().find_map(|(port, a)| {
                let thing = match a {
                    Attachment::Telephone(id) => ThingId::from(*id),
                    Attachment::Headset(id) => (*id).into(),
                    Attachment::Radio { .. } | Attachment::Tie(_) => return None,
                };
                (thing == chip.thing).then_some(*port)
            })?;
            let row = layout.rect(port.into())?;
            let is_left = chip.rect.center().x <= row.center().x;
            let (a, b) = if is_left {
                (chip.rect.max.x, row.min.x)
            } else {
                (chip.rect.min.x, row.max.x)
            };
            Some(Line {
                from: chip.thing,
                to: port.into(),
                curves: vec![curve(
                    pos2(a, chip.rect.center().y),
                    pos2(b, row.center().y),
                    if is_left { 1.0 } else { -1.0 },
                )],
                channel: None,
                kind: LineKind::Held,
            })
        })
}
