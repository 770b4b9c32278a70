//! Tidying: places for everything, or for what is selected, so that lines cross little.
//!
//! Columns at rest keep the order of the file, so that no edit moves anything else. The fine order is
//! worked out only when somebody asks for it, and it is places in the document: one step, undone as
//! one, and nothing is reshuffled behind anybody's back.

use std::collections::{BTreeMap, BTreeSet};

use emath::{Rect, vec2};

use super::size::{
    CARD_HEAD, CARD_W, CHIP_GAP, CHIP_H, FRAME_GAP, GAP, GATEWAY_HEAD, LANE_HEAD, PILL_H, PILL_W,
    ROW_H, SNAP,
};
use super::sketch::{Block, Member, Sketch};
use super::{Layout, columns, is_block, place_of, size, snap};
use crate::model::{
    AgencyId, Attachment, ChannelId, Edit, Phase, Place, PortRef, Scenario, SystemId, ThingId, Unit,
};

/// Returns the edits that put every agency, unit, system, channel and gateway where lines cross
/// little, as they are in a phase; what has no home stays where the layout puts it.
pub fn tidy_all(s: &Scenario, phase: &Phase) -> Vec<Edit> {
    let mut sketch = sketch(s, phase);
    sketch.arrange();
    let mut places: BTreeMap<ThingId, Place> = BTreeMap::new();
    for (blocks, stands) in sketch.places() {
        for (block, stand) in blocks.iter().zip(stands) {
            places.insert(block.thing, place_of(stand.at));
            if block.frame.is_some() {
                for (member, at) in block.members.iter().zip(&stand.members) {
                    places.insert(member.thing, place_of(*at));
                }
            }
        }
    }
    changes(s, places)
}

/// Returns the edits between the places there are and those there should be.
fn changes(s: &Scenario, places: BTreeMap<ThingId, Place>) -> Vec<Edit> {
    let freed = s
        .places
        .keys()
        .filter(|thing| !places.contains_key(thing))
        .map(|thing| Edit::Place {
            thing: *thing,
            place: None,
        });
    let freed: Vec<Edit> = freed.collect();
    places
        .into_iter()
        .filter(|(thing, place)| s.places.get(thing) != Some(place))
        .map(|(thing, place)| Edit::Place {
            thing,
            place: Some(place),
        })
        .chain(freed)
        .collect()
}

fn sketch(s: &Scenario, phase: &Phase) -> Sketch {
    let carried = columns::carried(s, phase);
    let turns: BTreeMap<ChannelId, usize> =
        s.channels.ids().enumerate().map(|(i, c)| (c, i)).collect();
    let turn_of = |thing: ThingId| match thing {
        ThingId::Radio(id) => {
            let channel = s.selected_channel(phase, s.radios.get(id)?)?;
            turns.get(&channel).copied()
        }
        _ => None,
    };
    let card = |unit: &Unit| {
        let things = carried.get(&unit.id).map_or(&[][..], Vec::as_slice);
        let ends = things.iter().enumerate().filter_map(|(i, thing)| {
            let down = CARD_HEAD + i as f32 * (CHIP_H + CHIP_GAP) + CHIP_H / 2.0;
            Some((down, turn_of(*thing)?))
        });
        Member {
            thing: unit.id.into(),
            size: size::card(things.len()),
            ends: ends.collect(),
        }
    };
    let mut units: BTreeMap<AgencyId, Vec<Member>> = BTreeMap::new();
    for unit in s.units.iter() {
        if let Some(agency) = unit.agency {
            units.entry(agency).or_default().push(card(unit));
        }
    }
    let mut channels: BTreeMap<SystemId, Vec<Member>> = BTreeMap::new();
    for channel in s.channels.iter() {
        let end = turns.get(&channel.id).map(|turn| (PILL_H / 2.0, *turn));
        channels.entry(channel.system).or_default().push(Member {
            thing: channel.id.into(),
            size: vec2(PILL_W, PILL_H),
            ends: end.into_iter().collect(),
        });
    }
    let people = s.agencies.ids().map(|id| Block {
        thing: id.into(),
        members: units.remove(&id).unwrap_or_default(),
        frame: Some(CARD_W),
    });
    let people = people.collect();
    let air = s.systems.ids().map(|id| Block {
        thing: id.into(),
        members: channels.remove(&id).unwrap_or_default(),
        frame: Some(PILL_W),
    });
    let air = air.collect();
    let gear = s.gateways.iter().map(|g| {
        let rows = g.port_refs().enumerate().filter_map(|(i, port)| {
            let down = GATEWAY_HEAD + LANE_HEAD + (i as f32 + 0.5) * ROW_H;
            Some((down, turn_of(donor_at(phase, port)?)?))
        });
        Block {
            thing: g.id.into(),
            members: vec![Member {
                thing: g.id.into(),
                size: size::gateway(g),
                ends: rows.collect(),
            }],
            frame: None,
        }
    });
    Sketch {
        people,
        air,
        gear: gear.collect(),
        channels: turns.len(),
        most: 0.0,
    }
}

fn donor_at(phase: &Phase, port: PortRef) -> Option<ThingId> {
    match phase.attachments.get(&port)? {
        Attachment::Radio { radio, .. } => Some((*radio).into()),
        Attachment::Telephone(_) | Attachment::Headset(_) | Attachment::Tie(_) => None,
    }
}

/// Returns places for some things within the area they take: each column keeps its left edge and its
/// top, and in it things stand by the mean height of what they are joined with, one below the other.
pub fn tidy_some(layout: &Layout, things: &BTreeSet<ThingId>) -> BTreeMap<ThingId, Place> {
    let wishes = wishes(layout, things);
    let mut standing: Vec<(ThingId, Rect)> = things
        .iter()
        .filter_map(|thing| Some((*thing, layout.rect(*thing)?)))
        .collect();
    standing.sort_by(|a, b| a.1.min.x.total_cmp(&b.1.min.x));
    let mut columns: Vec<Vec<(ThingId, Rect)>> = Vec::new();
    for (thing, rect) in standing {
        match columns.last_mut() {
            Some(column)
                if column
                    .first()
                    .is_some_and(|(_, first)| rect.min.x < first.center().x) =>
            {
                column.push((thing, rect));
            }
            _ => columns.push(vec![(thing, rect)]),
        }
    }
    let mut places = BTreeMap::new();
    for mut column in columns {
        let around = column
            .iter()
            .fold(Rect::NOTHING, |all, (_, r)| all.union(*r));
        let wish =
            |(thing, rect): &(ThingId, Rect)| wishes.get(thing).copied().unwrap_or(rect.center().y);
        column.sort_by(|a, b| wish(a).total_cmp(&wish(b)));
        let mut at = snap(around.min);
        for (thing, rect) in column {
            places.insert(thing, place_of(at));
            let gap = if is_block(thing) { FRAME_GAP } else { GAP };
            // Up to the next line of the grid, so that two things never stand too near.
            at.y = ((at.y + rect.height() + gap) / SNAP).ceil() * SNAP;
        }
    }
    places
}

/// Returns places that gather the gateways of each site below its chip, site below site; gateways
/// without a site come last. Empty when no gateway stands at a site.
pub fn gather_sites(s: &Scenario, layout: &Layout) -> BTreeMap<ThingId, Place> {
    let mut places = BTreeMap::new();
    if s.gateways.iter().all(|g| g.site.is_none()) {
        return places;
    }
    let boxes = layout.boxes.iter().map(|b| b.rect);
    let mut at = snap(boxes.fold(Rect::NOTHING, Rect::union).min);
    let mut put = |thing: ThingId, gap: f32| {
        let height = layout.rect(thing).map_or(0.0, |r| r.height());
        places.insert(thing, place_of(at));
        at.y = ((at.y + height + gap) / SNAP).ceil() * SNAP;
    };
    let sites = s.sites.iter().map(|site| Some(site.id)).chain([None]);
    for site in sites {
        let gateways: Vec<ThingId> = s
            .gateways
            .iter()
            .filter(|g| g.site == site)
            .map(|g| g.id.into())
            .collect();
        let things: Vec<ThingId> = site
            .map(ThingId::from)
            .into_iter()
            .chain(gateways)
            .collect();
        for (i, thing) in things.iter().enumerate() {
            // Room for the frame of this site and the head of the next.
            let is_last = i + 1 == things.len();
            put(*thing, if is_last { 3.0 * FRAME_GAP } else { GAP });
        }
    }
    places
}

/// Returns for each thing the mean height of the far ends of its lines.
fn wishes(layout: &Layout, things: &BTreeSet<ThingId>) -> BTreeMap<ThingId, f32> {
    let mut owner: BTreeMap<ThingId, ThingId> = BTreeMap::new();
    for card in &layout.cards {
        for chip in &card.chips {
            owner.insert(chip.thing, card.id.into());
        }
    }
    for gateway in &layout.boxes {
        for row in &gateway.rows {
            owner.insert(row.port.into(), gateway.id.into());
            if let Some(chip) = row.attached {
                owner.insert(chip.thing, gateway.id.into());
            }
        }
    }
    let mut sums: BTreeMap<ThingId, (f32, f32)> = BTreeMap::new();
    for line in &layout.lines {
        let Some((a, b)) = line.ends() else { continue };
        for (near, far) in [(line.from, b), (line.to, a)] {
            let near = owner.get(&near).copied().unwrap_or(near);
            if things.contains(&near) {
                let sum = sums.entry(near).or_default();
                sum.0 += far.y;
                sum.1 += 1.0;
            }
        }
    }
    sums.into_iter().map(|(t, (y, n))| (t, y / n)).collect()
}

#[cfg(test)]
mod tests {
    use emath::Pos2;

    use super::*;
    use crate::format::{Syntax, read};
    use crate::samples::SHIPPED;

    fn shipped() -> Vec<(&'static str, Scenario)> {
        SHIPPED
            .iter()
            .map(|s| {
                let scenario = read(s.text, Syntax::Ron).expect("shipped scenarios open");
                (s.file_name, scenario)
            })
            .collect()
    }

    fn first(s: &Scenario) -> &Phase {
        s.phases.first().expect("a phase")
    }

    fn laid_out(s: &Scenario) -> Layout {
        Layout::of(s, first(s).id, &super::super::Overlay::new())
    }

    fn in_columns(s: &Scenario) -> Scenario {
        let edits: Vec<Edit> = s
            .places
            .keys()
            .map(|thing| Edit::Place {
                thing: *thing,
                place: None,
            })
            .collect();
        s.apply(&edits).expect("places may go")
    }

    fn tidied(s: &Scenario) -> Scenario {
        s.apply(&tidy_all(s, first(s))).expect("places are taken")
    }

    /// Counts crossings the long way: by solving for the spot where two lines meet.
    fn crossings(layout: &Layout) -> usize {
        let ends: Vec<(Pos2, Pos2, Option<ChannelId>)> = layout
            .lines
            .iter()
            .filter(|l| l.channel.is_some())
            .filter_map(|l| l.ends().map(|(a, b)| (a, b, l.channel)))
            .collect();
        let meet = |(a, b): (Pos2, Pos2), (c, d): (Pos2, Pos2)| {
            let (r, s) = (b - a, d - c);
            let cross = r.x * s.y - r.y * s.x;
            if cross.abs() < 1e-6 {
                return false;
            }
            let q = c - a;
            let t = (q.x * s.y - q.y * s.x) / cross;
            let u = (q.x * r.y - q.y * r.x) / cross;
            (0.0..=1.0).contains(&t) && (0.0..=1.0).contains(&u)
        };
        let mut count = 0;
        for (i, a) in ends.iter().enumerate() {
            for b in &ends[i + 1..] {
                count += usize::from(a.2 != b.2 && meet((a.0, a.1), (b.0, b.1)));
            }
        }
        count
    }

    #[test]
    fn tidied_lines_never_cross_more_than_in_the_order_of_the_file() {
        for (name, s) in shipped() {
            let before = crossings(&laid_out(&in_columns(&s)));
            let after = crossings(&laid_out(&tidied(&s)));
            assert!(after <= before, "{name}: {before} then {after}");
            if name == "incident.ron" {
                assert!(after * 3 <= before * 2, "{name}: {before} then {after}");
            }
        }
    }

    #[test]
    fn tidying_gives_the_same_twice_and_again_changes_nothing() {
        for (name, s) in shipped() {
            let once = tidied(&s);
            assert_eq!(once.places, tidied(&s).places, "{name}");
            assert!(tidy_all(&once, first(&once)).is_empty(), "{name}");
        }
    }

    #[test]
    fn nothing_overlaps_and_members_stand_in_their_frames() {
        for (name, s) in shipped() {
            let s = tidied(&s);
            let layout = laid_out(&s);
            let solid: Vec<Rect> = layout
                .cards
                .iter()
                .map(|c| c.rect)
                .chain(layout.pills.iter().map(|p| p.rect))
                .chain(layout.boxes.iter().map(|b| b.rect))
                .chain(layout.loose.iter().map(|l| l.rect))
                .collect();
            let frames: Vec<Rect> = layout.frames.iter().map(|f| f.rect).collect();
            for all in [&solid, &frames] {
                for (i, a) in all.iter().enumerate() {
                    for b in &all[i + 1..] {
                        let both = a.shrink(0.5).intersect(b.shrink(0.5));
                        assert!(!both.is_positive(), "{name}: {a:?} and {b:?}");
                    }
                }
            }
            for card in &layout.cards {
                let agency = s.units.get(card.id).and_then(|u| u.agency);
                if let Some(frame) = agency.and_then(|a| layout.rect(a.into())) {
                    assert!(frame.contains_rect(card.rect), "{name}");
                }
            }
        }
    }

    #[test]
    fn gateways_are_gathered_by_site_in_frames_of_their_own() {
        let (_, s) = shipped().remove(0);
        let layout = laid_out(&s);
        let places = gather_sites(&s, &layout);
        let edits = places.into_iter().map(|(thing, place)| Edit::Place {
            thing,
            place: Some(place),
        });
        let s = s.apply(&edits.collect::<Vec<Edit>>()).unwrap();
        let layout = laid_out(&s);
        let mut framed = 0;
        for site in s.sites.iter() {
            let boxes: Vec<Rect> = layout
                .boxes
                .iter()
                .filter(|b| s.gateways.get(b.id).and_then(|g| g.site) == Some(site.id))
                .map(|b| b.rect)
                .collect();
            let id = ThingId::from(site.id);
            let frame = layout
                .frames
                .iter()
                .find(|f| f.role == super::super::FrameRole::Site && f.thing == Some(id));
            assert_eq!(frame.is_some(), !boxes.is_empty(), "{}", site.name);
            let Some(frame) = frame else { continue };
            framed += 1;
            for b in &layout.boxes {
                let is_inside = frame.rect.contains_rect(b.rect);
                let is_of_site = boxes.contains(&b.rect);
                assert_eq!(is_inside, is_of_site);
                assert!(is_of_site || !frame.rect.intersects(b.rect));
            }
        }
        assert!(framed > 0);
    }

    #[test]
    fn a_selection_is_tidied_within_the_columns_it_stands_in() {
        let (_, s) = shipped().remove(0);
        let layout = laid_out(&s);
        let things: BTreeSet<ThingId> = s.channels.ids().map(ThingId::from).collect();
        let places = tidy_some(&layout, &things);
        assert_eq!(places.len(), things.len());
        let lefts = |rects: &mut dyn Iterator<Item = i32>| -> BTreeSet<i32> { rects.collect() };
        let after = lefts(&mut places.values().map(|p| p.x));
        let before = lefts(&mut layout.pills.iter().map(|p| snap(p.rect.min).x as i32));
        assert_eq!(after, before, "no column is made or lost");
        for (a, p) in &places {
            for (b, q) in places.iter().filter(|(b, _)| *b > a) {
                let is_apart = p.x != q.x || (p.y - q.y).abs() >= PILL_H as i32;
                assert!(is_apart, "{a:?} and {b:?}");
            }
        }
    }
}
