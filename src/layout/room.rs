//! Room for what has grown: a placed frame that takes in one more thing must not lie upon its
//! neighbour. Nothing moves that was not met.

use std::collections::BTreeMap;

use emath::Rect;

use super::size::FRAME_GAP;
use super::{FrameRole, Layout, place_of, snap};
use crate::model::{Edit, Scenario, ThingId};

impl Layout {
    /// Returns edits that move down what grown frames have come to lie upon, and what that meets in
    /// turn; `before` is the layout before they grew, `s` the scenario of now.
    ///
    /// Blocks that overlapped before stay as somebody put them.
    pub fn room(&self, before: &Self, s: &Scenario) -> Vec<Edit> {
        let mut rects: BTreeMap<ThingId, Rect> = self.blocks().collect();
        let was: BTreeMap<ThingId, Rect> = before.blocks().collect();
        let mut grown: Vec<ThingId> = rects
            .iter()
            .filter(|(thing, now)| {
                let then = was.get(thing);
                then.is_some_and(|then| then.height() < now.height() || then.width() < now.width())
            })
            .map(|(thing, _)| *thing)
            .collect();
        let mut moved: BTreeMap<ThingId, Rect> = BTreeMap::new();
        // Every block can push every other one once on its way down.
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
                    return Vec::new();
                }
                rounds -= 1;
                let top = snap(emath::pos2(0.0, by.max.y + FRAME_GAP)).y;
                let below = r.translate(emath::vec2(0.0, top - r.min.y));
                rects.insert(thing, below);
                moved.insert(thing, below);
                grown.push(thing);
            }
        }
        if moved.is_empty() {
            return Vec::new();
        }
        // Once one block has a place the others no longer flow: they are held where they stand.
        let mut edits = self.pins(s);
        edits.extend(moved.into_iter().map(|(thing, rect)| Edit::Place {
            thing,
            place: Some(place_of(rect.min)),
        }));
        edits
    }

    /// Walks the agencies, systems and gateways with their places.
    fn blocks(&self) -> impl Iterator<Item = (ThingId, Rect)> + '_ {
        let frames = self.frames().filter(|f| f.role != FrameRole::Site);
        let frames = frames.filter_map(|f| Some((f.thing?, f.rect)));
        frames.chain(self.boxes.iter().map(|b| (b.id.into(), b.rect)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::Overlay;
    use crate::model::{Agency, AgencyId, Discipline, Level, Place, Role, Thing, Unit, UnitId};

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
}
