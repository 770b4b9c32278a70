//! Agencies and systems collapsed to one chip: what is inside, and the lines that merge.
//!
//! What is inside has no place of its own; asked for its place, the layout answers with the chip's.

use std::collections::{BTreeMap, BTreeSet};

use emath::{Rect, pos2};

use super::Layout;
use super::lines::{Line, LineKind, curve};
use crate::model::{Attachment, ChannelId, Phase, Scenario, ThingId, UnitId};

/// What is collapsed, by agency and system.
pub type Folded = BTreeSet<ThingId>;

/// A collapsed agency or system.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fold {
    /// The agency or system.
    pub thing: ThingId,
    /// Where its chip stands.
    pub rect: Rect,
    /// The units of an agency.
    pub units: Vec<UnitId>,
    /// The channels of a system.
    pub channels: Vec<ChannelId>,
    /// Radios, telephones and headsets of the units.
    pub gear: Vec<ThingId>,
}

impl Fold {
    /// Says what is inside: "12 units, 19 radios".
    pub fn contents(&self) -> String {
        let count = |n: usize, one: &str, many: &str| match n {
            1 => format!("1 {one}"),
            n => format!("{n} {many}"),
        };
        if let ThingId::System(_) = self.thing {
            return count(self.channels.len(), "channel", "channels");
        }
        let is_radio = |t: &&ThingId| matches!(t, ThingId::Radio(_));
        let radios = self.gear.iter().filter(is_radio).count();
        format!(
            "{}, {}",
            count(self.units.len(), "unit", "units"),
            count(radios, "radio", "radios")
        )
    }

    /// Walks everything inside.
    pub fn inside(&self) -> impl Iterator<Item = ThingId> + '_ {
        let units = self.units.iter().map(|u| ThingId::from(*u));
        let channels = self.channels.iter().map(|c| ThingId::from(*c));
        units.chain(channels).chain(self.gear.iter().copied())
    }
}

/// Returns what is collapsed, with what is inside.
pub(super) fn folds(layout: &Layout, s: &Scenario, phase: &Phase, folded: &Folded) -> Vec<Fold> {
    if folded.is_empty() {
        return Vec::new();
    }
    let mut units: BTreeMap<ThingId, Vec<UnitId>> = BTreeMap::new();
    for unit in s.units.iter() {
        if let Some(agency) = unit.agency {
            units.entry(agency.into()).or_default().push(unit.id);
        }
    }
    let mut channels: BTreeMap<ThingId, Vec<ChannelId>> = BTreeMap::new();
    for channel in s.channels.iter() {
        let system = channel.system.into();
        channels.entry(system).or_default().push(channel.id);
    }
    let carried = super::columns::carried(s, phase);
    layout
        .frames
        .iter()
        .filter_map(|frame| Some((frame.thing?, frame.rect)))
        .filter(|(thing, _)| folded.contains(thing))
        .map(|(thing, rect)| {
            let units = units.remove(&thing).unwrap_or_default();
            let gear = units.iter().filter_map(|u| carried.get(u)).flatten();
            Fold {
                thing,
                rect,
                gear: gear.copied().collect(),
                channels: channels.remove(&thing).unwrap_or_default(),
                units,
            }
        })
        .collect()
}

/// Returns the lines of collapsed agencies: one to each channel, chip or port, however many radios.
pub(super) fn lines(layout: &Layout, s: &Scenario, phase: &Phase) -> Vec<Line> {
    let mut out = Vec::new();
    for fold in &layout.folds {
        let mut ends: BTreeMap<ThingId, (Rect, ThingId, Option<ChannelId>)> = BTreeMap::new();
        for thing in &fold.gear {
            let Some((to, channel)) = far_end(s, phase, *thing) else {
                continue;
            };
            let shown = layout.shown(to);
            if let Some(rect) = layout.rect(shown) {
                ends.entry(shown).or_insert((rect, to, channel));
            }
        }
        let mut ends: Vec<_> = ends.into_values().collect();
        ends.sort_by(|a, b| a.0.center().y.total_cmp(&b.0.center().y));
        let step = (24.0 / ends.len().max(1) as f32).min(6.0);
        let first = -step * (ends.len() as f32 - 1.0) / 2.0;
        for (i, (rect, to, channel)) in ends.into_iter().enumerate() {
            let is_left = fold.rect.center().x <= rect.center().x;
            let (a, b) = if is_left {
                (fold.rect.max.x, rect.min.x)
            } else {
                (fold.rect.min.x, rect.max.x)
            };
            let kind = match channel {
                Some(_) => LineKind::Tuned,
                None => LineKind::Held,
            };
            let way = curve(
                pos2(a, fold.rect.center().y + first + step * i as f32),
                pos2(b, rect.center().y),
                if is_left { 1.0 } else { -1.0 },
            );
            out.push(Line::merged((fold.thing, to), way, channel, kind));
        }
    }
    out
}

/// Returns where the line of something carried ends.
fn far_end(s: &Scenario, phase: &Phase, thing: ThingId) -> Option<(ThingId, Option<ChannelId>)> {
    match thing {
        ThingId::Radio(id) => {
            let channel = s.selected_channel(phase, s.radios.get(id)?)?;
            Some((channel.into(), Some(channel)))
        }
        ThingId::Telephone(_) | ThingId::Headset(_) => {
            let port = phase.attachments.iter().find_map(|(port, a)| {
                let plugged = match a {
                    Attachment::Telephone(id) => ThingId::from(*id),
                    Attachment::Headset(id) => (*id).into(),
                    Attachment::Radio { .. } | Attachment::Tie(_) => return None,
                };
                (plugged == thing).then_some(*port)
            })?;
            Some((port.into(), None))
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::Overlay;
    use crate::samples::{Size, generate};

    fn crowd() -> (Scenario, Folded) {
        let s = generate(Size::for_units(600), 3);
        let agencies = s.agencies.ids().map(ThingId::from);
        let systems = s.systems.ids().map(ThingId::from);
        let folded = agencies.chain(systems).collect();
        (s, folded)
    }

    fn layout(s: &Scenario, folded: &Folded) -> Layout {
        let phase = s.phases.first().expect("a phase").id;
        Layout::folded(s, phase, &Overlay::new(), folded)
    }

    #[test]
    fn collapsed_agencies_take_little_room_and_hold_everybody() {
        let (s, folded) = crowd();
        let open = layout(&s, &Folded::new());
        let shut = layout(&s, &folded);
        assert!(shut.cards.is_empty() && shut.pills.is_empty());
        assert!(shut.bounds.area() * 3.0 < open.bounds.area());
        let held: usize = shut.folds.iter().map(|f| f.units.len()).sum();
        assert_eq!(held, s.units.iter().filter(|u| u.agency.is_some()).count());
        for fold in &shut.folds {
            for thing in fold.inside() {
                assert_eq!(shut.rect(thing), Some(fold.rect), "it stands for {thing:?}");
                assert!(shut.things().all(|(t, _)| t != thing), "it is not shown");
            }
        }
    }

    #[test]
    fn lines_merge_and_join_what_was_joined() {
        let (s, folded) = crowd();
        let phase = s.phases.first().unwrap();
        let shut = layout(&s, &folded);
        let mut wanted: BTreeSet<(ThingId, ThingId)> = BTreeSet::new();
        for radio in s.radios.iter().filter(|r| !Scenario::is_donor(phase, r.id)) {
            let agency = radio.held_by.and_then(|u| s.units.get(u)?.agency);
            let channel = s.selected_channel(phase, radio);
            if let (Some(agency), Some(channel)) = (agency, channel) {
                let system = s.channels.get(channel).unwrap().system;
                wanted.insert((agency.into(), system.into()));
            }
        }
        let lines = shut.lines.iter().filter(|l| l.kind == LineKind::Tuned);
        let found: Vec<(ThingId, ThingId)> = lines
            .map(|l| (shut.shown(l.from), shut.shown(l.to)))
            .collect();
        assert_eq!(found.len(), wanted.len(), "each pair once");
        assert_eq!(found.into_iter().collect::<BTreeSet<_>>(), wanted);
    }
}
