//! Laying the board out: tidying, lining up, spacing out, collapsing.

use std::collections::{BTreeMap, BTreeSet};

use egui::{Context, Pos2, Rect};

use crate::app::application::Application;
use crate::app::board::{Joining, moves_with};
use crate::app::command::Command;
use crate::layout::{
    Edge, align, distribute, gather_sites, is_block, place_of, tidy_all, tidy_some,
};
use crate::model::{Edit, Place, ThingId};

impl Application {
    pub(in crate::app) fn arrange(&mut self, ctx: &Context, command: Command) {
        match command {
            Command::Tidy => self.tidy(),
            Command::TidySelection => {
                let things: BTreeSet<ThingId> = self.movers().into_iter().map(|m| m.0).collect();
                let places = tidy_some(&self.derived.layout, &things);
                self.put("Tidy the selection", places);
            }
            Command::BackToColumns => {
                let places = self.document.scenario().places.keys();
                let edits: Vec<Edit> = places
                    .map(|thing| Edit::Place {
                        thing: *thing,
                        place: None,
                    })
                    .collect();
                let answer = self
                    .document
                    .apply("Put everything back into its columns", &edits);
                self.told(answer);
                self.ui.board.moved = false;
            }
            Command::GatherSites => {
                let places = gather_sites(self.document.scenario(), &self.derived.layout);
                if places.is_empty() {
                    self.say("No gateway stands at a site yet".to_owned());
                } else {
                    self.put("Gather by site", places);
                }
            }
            Command::AlignLeft => self.align("Align left", Edge::Left),
            Command::AlignRight => self.align("Align right", Edge::Right),
            Command::AlignTop => self.align("Align top", Edge::Top),
            Command::AlignBottom => self.align("Align bottom", Edge::Bottom),
            Command::AlignCentre => self.align("Align centres", Edge::Centre),
            Command::AlignMiddle => self.align("Align middles", Edge::Middle),
            Command::SpaceAcross => self.space("Space out across", false),
            Command::SpaceDown => self.space("Space out down", true),
            Command::Snap => {
                self.ui.board.free = !self.ui.board.free;
                self.say(if self.ui.board.free {
                    "Dragged things stay where they are let go".to_owned()
                } else {
                    "Dragged things rest on the grid and level with their neighbours".to_owned()
                });
            }
            Command::Fold => self.fold_selection(),
            Command::FoldAll => {
                let agencies = self.document.scenario().agencies.ids();
                self.ui.board.folded.extend(agencies.map(ThingId::from));
                self.ui.board.moved = false;
            }
            Command::UnfoldAll => {
                self.ui.board.folded.clear();
                self.ui.board.moved = false;
            }
            Command::Join => self.join(),
            Command::Menu => self.ui.board.menu_by_key = self.one_selected(),
            _ => {}
        }
        ctx.request_repaint();
    }

    fn tidy(&mut self) {
        let scenario = self.document.scenario();
        let Some(phase) = scenario.phases.get(self.ui.shared.phase) else {
            return;
        };
        let edits = tidy_all(scenario, phase);
        if edits.is_empty() {
            self.say("The board is tidy already".to_owned());
        }
        let answer = self.document.apply("Tidy the board", &edits);
        self.told(answer);
        self.ui.board.moved = false;
    }

    /// Lists what moves when the selection is moved, with where it stands.
    fn movers(&self) -> Vec<(ThingId, Rect)> {
        let scenario = self.document.scenario();
        let Some(phase) = scenario.phases.get(self.ui.shared.phase) else {
            return Vec::new();
        };
        let selected = &self.ui.shared.selection;
        let movers: BTreeSet<ThingId> = selected
            .iter()
            .filter_map(|t| moves_with(scenario, phase, *t))
            .collect();
        // What stands in a selected frame goes along with it.
        let goes_along = |thing: &ThingId| {
            let frame: Option<ThingId> = match thing {
                ThingId::Unit(id) => scenario
                    .units
                    .get(*id)
                    .and_then(|u| u.agency)
                    .map(Into::into),
                ThingId::Channel(id) => scenario.channels.get(*id).map(|c| c.system.into()),
                _ => None,
            };
            frame.is_some_and(|f| movers.contains(&f))
        };
        movers
            .iter()
            .filter(|thing| !goes_along(thing))
            .filter_map(|thing| Some((*thing, self.derived.layout.rect(*thing)?)))
            .collect()
    }

    fn align(&mut self, label: &str, edge: Edge) {
        let movers = self.movers();
        if movers.len() < 2 {
            self.say("Select two things first".to_owned());
            return;
        }
        self.put_at(label, align(&movers, edge));
    }

    fn space(&mut self, label: &str, down: bool) {
        let movers = self.movers();
        if movers.len() < 3 {
            self.say("Select three things first".to_owned());
            return;
        }
        self.put_at(label, distribute(&movers, down));
    }

    fn put_at(&mut self, label: &str, spots: Vec<(ThingId, Pos2)>) {
        let places = spots.into_iter().map(|(thing, at)| (thing, place_of(at)));
        self.put(label, places.collect());
    }

    /// Puts things somewhere as one step; what would flow into a gap is held where it stands, and
    /// what was placed in a frame goes along with it.
    fn put(&mut self, label: &str, places: BTreeMap<ThingId, Place>) {
        let scenario = self.document.scenario();
        let layout = &self.derived.layout;
        let mut edits: Vec<Edit> = Vec::new();
        if places.keys().any(|t| is_block(*t)) {
            edits.extend(layout.pins(scenario));
        }
        for (thing, place) in &places {
            let Some(rect) = layout.rect(*thing) else {
                continue;
            };
            let before = place_of(rect.min);
            let (x, y) = (place.x - before.x, place.y - before.y);
            let members = scenario.places.iter().filter(|(member, _)| {
                !places.contains_key(member) && self.belongs(**member) == Some(*thing)
            });
            edits.extend(members.map(|(member, at)| Edit::Place {
                thing: *member,
                place: Some(Place {
                    x: at.x + x,
                    y: at.y + y,
                }),
            }));
        }
        edits.extend(places.into_iter().map(|(thing, place)| Edit::Place {
            thing,
            place: Some(place),
        }));
        let answer = self.document.apply(label, &edits);
        self.told(answer);
    }

    /// Returns the agency or system a thing belongs to, by whom or what it is carried.
    fn belongs(&self, thing: ThingId) -> Option<ThingId> {
        let s = self.document.scenario();
        let of_unit = |id| Some(ThingId::from(s.units.get(id)?.agency?));
        match thing {
            ThingId::Unit(id) => of_unit(id),
            ThingId::Channel(id) => Some(s.channels.get(id)?.system.into()),
            ThingId::Radio(id) => of_unit(s.radios.get(id)?.held_by?),
            ThingId::Telephone(id) => of_unit(s.telephones.get(id)?.held_by?),
            ThingId::Headset(id) => of_unit(s.headsets.get(id)?.held_by?),
            ThingId::Agency(_) | ThingId::System(_) => Some(thing),
            _ => None,
        }
    }

    /// Collapses the agencies and systems of the selection, or expands them when all are collapsed.
    fn fold_selection(&mut self) {
        let selection: Vec<ThingId> = self.ui.shared.selection.iter().copied().collect();
        let frames: BTreeSet<ThingId> = selection.iter().filter_map(|t| self.belongs(*t)).collect();
        if frames.is_empty() {
            self.say("Select an agency, a unit, a system or a channel first".to_owned());
            return;
        }
        let folded = &mut self.ui.board.folded;
        if frames.is_subset(folded) {
            folded.retain(|t| !frames.contains(t));
        } else {
            folded.extend(frames.iter().copied());
            // What is selected is what can be seen.
            self.ui.shared.selection = frames;
        }
    }

    /// Expands what hides a thing.
    pub(in crate::app) fn uncover(&mut self, thing: ThingId) {
        if let Some(frame) = self.belongs(thing).filter(|f| *f != thing) {
            self.ui.board.folded.remove(&frame);
        }
    }

    fn one_selected(&mut self) -> Option<ThingId> {
        let mut selected = self.ui.shared.selection.iter().copied();
        let one = selected.next();
        if one.is_none() || selected.next().is_some() {
            self.say("Select one thing first".to_owned());
            return None;
        }
        one
    }

    fn join(&mut self) {
        if let Some(from) = self.one_selected() {
            let scenario = self.document.scenario();
            let joining = Joining::of(scenario, self.ui.shared.phase, &self.derived.layout, from);
            self.ui.board.joining = Some(joining);
        }
    }
}
