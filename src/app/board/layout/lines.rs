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
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// One end: the radio, the first port, or the telephone in somebody's hand.
    pub from: ThingId,
    /// The other end: the channel or the port.
    pub to: ThingId,
    /// The curve, from one to the other.
    pub curve: [Pos2; 4],
    /// The channel whose colour it has.
    pub channel: Option<ChannelId>,
    /// What it stands for.
    pub kind: LineKind,
}

impl Line {
    /// Returns the box around the curve.
    pub fn bounds(&self) -> Rect {
        Rect::from_points(&self.curve)
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
    for chip in layout.cards.iter().flat_map(|c| &c.chips).chain(&layout.loose) {
        tune(chip.thing, chip.rect, LineKind::Tuned);
    }
    for row in layout.boxes.iter().flat_map(|b| &b.rows) {
        if let Some(chip) = row.attached {
            tune(chip.thing, row.rect, LineKind::Donor);
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
                curve: curve(
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

fn curve(a: Pos2, b: Pos2, direction: f32) -> [Pos2; 4] {
    let reach = ((b.x - a.x).abs() * 0.5).clamp(40.0, 220.0) * direction;
    [a, pos2(a.x + reach, a.y), pos2(b.x - reach, b.y), b]
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
            curve: [p, pos2(out, p.y), pos2(out, q.y), q],
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
                curve: curve(
                    pos2(a, chip.rect.center().y),
                    pos2(b, row.center().y),
                    if is_left { 1.0 } else { -1.0 },
                ),
                channel: None,
                kind: LineKind::Held,
            })
        })
}
