//! Room for what has grown: a unit with one more radio, a placed frame that takes in one more thing
//! must not lie upon its neighbour. Nothing moves that was not met.

use std::collections::BTreeMap;

use emath::{Pos2, Rect};

use super::size::{FRAME_GAP, GAP};
use super::{FrameRole, Layout, place_of, snap};
use crate::model::{Edit, Scenario, ThingId, UnitId};

impl Layout {
    /// Returns edits that move down what has come to lie under what grew or is new, and what that meets
    /// in turn; `before` is the layout before, `s` the scenario of now.
    ///
    /// Cards make room for cards first: the frames around them follow. What overlapped before stays as
    /// somebody put it.
    pub fn room(&self, before: &Self, s: &Scenario) -> Vec<Edit> {
        let cards = pushed(&self.placed_cards(), &before.placed_cards(), true);
        if !cards.is_empty() {
            return cards.into_iter().map(placed).collect();
        }
        let moved = pushed(&self.blocks().collect(), &before.blocks().collect(), false);
        if moved.is_empty() {
            return Vec::new();
        }
        // Once one block has a place the others no longer flow: they are held where they stand.
        let mut edits = self.pins(s);
        edits.extend(moved.into_iter().map(placed));
        edits
    }

    /// Returns the spot right below a unit that was put somewhere inside its agency.
    pub fn below(&self, unit: UnitId) -> Option<Pos2> {
        let card = self.cards.iter().find(|card| card.id == unit)?;
        let is_inside = card.is_placed && !card.apart;
        is_inside.then(|| snap(card.rect.left_bottom() + emath::vec2(0.0, GAP)))
    }

    /// Lists the units that were put somewhere, with their places.
    fn placed_cards(&self) -> Rects {
        let cards = self.cards.iter().filter(|card| card.is_placed);
        cards.map(|card| (card.id.into(), card.rect)).collect()
    }

    /// Walks the agencies, systems and gateways with their places.
    fn blocks(&self) -> impl Iterator<Item = (ThingId, Rect)> + '_ {
        let frames = self.frames().filter(|f| f.role != FrameRole::Site);
        let frames = frames.filter_map(|f| Some((f.thing?, f.rect)));
        frames.chain(self.boxes.iter().map(|b| (b.id.into(), b.rect)))
    }
}

type Rects = BTreeMap<ThingId, Rect>;

fn placed((thing, rect): (ThingId, Rect)) -> Edit {
    Edit::Place {
        thing,
        place: Some(place_of(rect.min)),
    }
}

/// Lists what has to move down, and where to, so that nothing lies under what grew; with `fresh`, nor
/// under what was not there before.
fn pushed(now: &Rects, was: &Rects, fresh: bool) -> Rects {
    let mut rects = now.clone();
    let mut grown: Vec<ThingId> = rects
        .iter()
        .filter(|(thing, now)| {
            was.get(thing).map_or(fresh, |then| {
                then.height() < now.height() || then.width() < now.width()
            })
        })
        .map(|(thing, _)| *thing)
        .collect();
    let mut moved = Rects::new();
    // Everything can push everything else once on its way down.
    let mut rounds = rects.len() * rects.len();
    while let Some(pusher) = grown.pop() {
        let Some(by) = rects.get(&pusher).copied() else {
            continue;
        };
        let met: Vec<(ThingId, Rect)> = rects
            .iter()
            .filter(|(thing, r)| {
                let overlapped = match (was.get(&pusher), was.get(thing)) {
                    (Some(a), Some(b)) => a.intersects(*b),
                    _ => false,
                };
                **thing != pusher && r.intersects(by) && !overlapped && r.max.y > by.center().y
            })
            .map(|(thing, r)| (*thing, *r))
            .collect();
        for (thing, r) in met {
            if rounds == 0 {
                return Rects::new();
            }
            rounds -= 1;
            let gap = match thing {
                ThingId::Unit(_) => GAP,
                _ => FRAME_GAP,
            };
            let top = snap(emath::pos2(0.0, by.max.y + gap)).y;
            let below = r.translate(emath::vec2(0.0, top - r.min.y));
            rects.insert(thing, below);
            moved.insert(thing, below);
            grown.push(thing);
        }
    }
    moved
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::Overlay;
    use crate::model::{
        Agency, AgencyId, Discipline, Level, Place, Radio, RadioId, Role, Thing, Unit,
    };

    fn agency(n: u32) -> Thing {
        Agency {
            id: AgencyId(n),
            key: String::new(),
            name: format!("Agency {n}"),
            short: format!("A{n}"),
            discipline: Discipline::Fire,
            level: Level::Local,
            notes: String::new(),
        }
        .into()
    }

    fn unit(n: u32, agency: u32) -> Thing {
        Unit {
            id: UnitId(n),
            key: String::new(),
            name: format!("Unit {n}"),
            agency: Some(AgencyId(agency)),
            heads: 3,
            role: Role::Tactical,
            messages_per_hour: 6.0,
            seconds_per_message: 5.0,
            notes: String::new(),
        }
        .into()
    }

    fn laid_out(s: &Scenario) -> Layout {
        let phase = s.phases.first().unwrap().id;
        Layout::of(s, phase, &Overlay::new())
    }

    fn overlaps(layout: &Layout) -> bool {
        let all: Vec<Rect> = layout.blocks().map(|(_, r)| r).collect();
        (0..all.len()).any(|i| (0..i).any(|j| all[i].intersects(all[j])))
    }

    #[test]
    fn what_a_grown_frame_meets_moves_down_and_nothing_else_does() {
        let empty = Scenario::new("Room");
        let first = empty.mint(0);
        let things = [agency(first), unit(first + 1, first), agency(first + 2)];
        let more = [
            unit(first + 3, first + 2),
            agency(first + 4),
            unit(first + 5, first + 4),
        ];
        let edits: Vec<Edit> = things.into_iter().chain(more).map(Edit::Add).collect();
        let s = empty.apply(&edits).unwrap();
        // One below the other, close together.
        let mut y = 0;
        let mut places = Vec::new();
        for (thing, rect) in laid_out(&s).blocks() {
            let place = Some(Place { x: 0, y });
            places.push(Edit::Place { thing, place });
            y += rect.height() as i32 + 8;
        }
        let s = s.apply(&places).unwrap();
        let before = laid_out(&s);
        assert!(!overlaps(&before));

        let grown = s.apply(&[Edit::Add(unit(s.mint(0), first))]).unwrap();
        let after = laid_out(&grown);
        assert!(overlaps(&after), "it has grown upon the next");
        let room = after.room(&before, &grown);
        let settled = laid_out(&grown.apply(&room).unwrap());
        assert!(!overlaps(&settled));
        let first = ThingId::Agency(AgencyId(first));
        assert_eq!(settled.rect(first), after.rect(first), "what grew stays");
        // Where nothing has grown nothing moves.
        assert!(before.room(&before, &s).is_empty());
    }

    #[test]
    fn a_placed_unit_that_grows_or_is_new_pushes_those_below_it() {
        let empty = Scenario::new("Room");
        let first = empty.mint(0);
        let mut edits = vec![Edit::Add(agency(first))];
        for (n, y) in (1..4).zip([0, 64, 128]) {
            let id = UnitId(first + n);
            edits.push(Edit::Add(unit(id.0, first)));
            let place = Some(Place { x: 0, y });
            let thing = id.into();
            edits.push(Edit::Place { thing, place });
        }
        let s = empty.apply(&edits).unwrap();
        let before = laid_out(&s);
        let radios = (10..13).map(|n| radio(first + n, first + 1)).map(Edit::Add);
        let grown = s.apply(&radios.collect::<Vec<_>>()).unwrap();
        let after = laid_out(&grown);
        assert!(lie_on_each_other(&after), "it has grown upon the next");
        let settled = laid_out(&grown.apply(&after.room(&before, &grown)).unwrap());
        assert!(!lie_on_each_other(&settled));
        let top = ThingId::Unit(UnitId(first + 1));
        assert_eq!(settled.rect(top), after.rect(top), "what grew stays");

        // A copy right below its original.
        let copy = UnitId(s.mint(0));
        let place = before.below(UnitId(first + 1)).map(place_of);
        let thing = copy.into();
        let add = [Edit::Add(unit(copy.0, first)), Edit::Place { thing, place }];
        let more = s.apply(&add).unwrap();
        let after = laid_out(&more);
        assert!(lie_on_each_other(&after));
        let settled = laid_out(&more.apply(&after.room(&before, &more)).unwrap());
        assert!(!lie_on_each_other(&settled));
        assert_eq!(settled.rect(thing), after.rect(thing), "the copy stays");
    }

    fn lie_on_each_other(layout: &Layout) -> bool {
        let all: Vec<Rect> = layout.placed_cards().into_values().collect();
        (0..all.len()).any(|i| (0..i).any(|j| all[i].intersects(all[j])))
    }

    fn radio(n: u32, held_by: u32) -> Thing {
        Radio {
            held_by: Some(UnitId(held_by)),
            ..Radio::bare(RadioId(n), format!("Set {n}"))
        }
        .into()
    }
}
