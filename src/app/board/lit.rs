//! Which lines belong to what is selected or under the pointer. Asked of every line near the view, so that
//! flags by the number of a piece answer for nearly all of them.

use std::collections::BTreeSet;

use super::draw::Scene;
use crate::layout::{Line, LineKind, Piece, Stand};
use crate::model::ThingId;

/// What is lit, by where it stands.
pub(super) struct Lit<'a> {
    scene: &'a Scene<'a>,
    cards: Vec<bool>,
    pills: Vec<bool>,
    /// All else that is lit.
    others: BTreeSet<ThingId>,
    /// Some unit is lit.
    any_unit: bool,
}

impl<'a> Lit<'a> {
    /// Returns what is lit; `None` when nothing is.
    pub(super) fn of(scene: &'a Scene<'a>) -> Option<Self> {
        let hovered = scene.hovered.map(|hit| hit.thing);
        let hovered = hovered.filter(|thing| scene.is_hovered(*thing));
        let lit = scene.selection.iter().copied().chain(hovered);
        let mut all = Self {
            scene,
            cards: vec![false; scene.layout.cards.len()],
            pills: vec![false; scene.layout.pills.len()],
            others: BTreeSet::new(),
            any_unit: false,
        };
        let mut any = false;
        for thing in lit {
            any = true;
            all.any_unit |= matches!(thing, ThingId::Unit(_));
            let flag = match scene.layout.stand(thing) {
                Some(Stand::Whole(Piece::Card(i))) => all.cards.get_mut(i as usize),
                Some(Stand::Whole(Piece::Pill(i))) => all.pills.get_mut(i as usize),
                _ => None,
            };
            if let Some(flag) = flag {
                *flag = true;
            } else {
                all.others.insert(thing);
            }
        }
        any.then_some(all)
    }

    /// Tells whether a line belongs to something lit: an end of it, or who holds its radio.
    pub(super) fn is_lit(&self, line: &Line) -> bool {
        let [first, second] = line.pieces;
        self.is_end(first, line.from) || self.is_end(second, line.to) || self.holds(line)
    }

    fn is_end(&self, piece: Option<Piece>, thing: ThingId) -> bool {
        let is_flagged = match piece {
            Some(Piece::Card(i)) => self.cards.get(i as usize).copied().unwrap_or(false),
            Some(Piece::Pill(i)) => self.pills.get(i as usize).copied().unwrap_or(false),
            Some(Piece::Box(_) | Piece::Loose(_)) => false,
            // The end of a line that stands for many may be anything.
            None => self.scene.is_selected(thing) || self.scene.is_hovered(thing),
        };
        is_flagged || (!self.others.is_empty() && self.others.contains(&thing))
    }

    fn holds(&self, line: &Line) -> bool {
        let ThingId::Radio(id) = line.from else {
            return false;
        };
        if !self.any_unit || line.kind != LineKind::Donor {
            return false;
        }
        let radio = self.scene.scenario.radios.get(id);
        let holder = radio.and_then(|r| r.held_by).map(ThingId::from);
        holder.is_some_and(|unit| self.scene.is_selected(unit) || self.scene.is_hovered(unit))
    }
}
