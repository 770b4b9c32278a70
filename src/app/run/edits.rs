//! Changes of the scenario, and what the window shows then.

use crate::app::application::Application;
use crate::app::board::Rename;
use crate::app::shelf;
use crate::app::state::{Tab, Toast, View};
use crate::app::words::sentence;
use crate::layout::{Layout, Overlay};
use crate::model::{Edit, EditError, PhaseId, Scenario, ThingId};

impl Application {
    /// Says why an edit was refused.
    pub(in crate::app) fn told(&mut self, answer: Result<bool, EditError>) {
        if let Err(error) = answer {
            self.say(sentence(&error.to_string()));
        }
    }

    /// Applies edits as one step and says what was done, with a way back.
    pub(in crate::app) fn apply(&mut self, label: &str, edits: &[Edit]) {
        self.document.seal();
        match self.document.apply(label, edits) {
            Ok(true) => self.say_done(label),
            Ok(false) => {}
            Err(error) => self.say(sentence(&error.to_string())),
        }
    }

    /// Says what was done, with a way back; a move shows itself.
    pub(in crate::app) fn say_done(&mut self, label: &str) {
        if label.starts_with("Move") {
            return;
        }
        self.ui.toast = Some(Toast {
            text: format!("Done: {label}"),
            until: None,
            step: Some(self.document.revision()),
            opens: None,
        });
    }

    /// Puts a phase earlier or later in the order of phases, by so many places.
    pub(in crate::app) fn move_phase(&mut self, phase: PhaseId, by: isize) {
        let scenario = self.document.scenario();
        let count = scenario.phases.len();
        let here = scenario.phases.ids().position(|id| id == phase);
        let there = here.and_then(|at| at.checked_add_signed(by));
        let name = scenario.name(phase.into());
        let is_earlier = by < 0;
        match there.filter(|place| *place < count) {
            Some(place) => {
                let word = if is_earlier { "earlier" } else { "later" };
                let label = format!("Put {name} {word}");
                self.apply(&label, &[Edit::MovePhase { phase, place }]);
            }
            None if is_earlier => self.say(format!("{name} is the first phase")),
            None => self.say(format!("{name} is the last phase")),
        }
    }

    pub(in crate::app) fn say(&mut self, text: String) {
        self.ui.toast = Some(Toast {
            text,
            until: None,
            step: None,
            opens: None,
        });
    }

    /// Lists what of these things stands on the board, or what stands for them there.
    pub(in crate::app) fn on_board(&self, things: &[ThingId]) -> Vec<ThingId> {
        let layout = &self.derived.layout;
        things
            .iter()
            .copied()
            .filter(|t| layout.rect(*t).is_some())
            .collect()
    }

    pub(in crate::app) fn add(
        &mut self,
        article: shelf::Article,
        at: Option<egui::Pos2>,
        on: Option<ThingId>,
    ) {
        let scenario = self.document.scenario();
        let added = shelf::add(
            scenario,
            self.ui.shared.phase,
            &self.derived.layout,
            article,
            at,
            on,
        );
        match added {
            Ok(added) => {
                self.document.seal();
                let edits = self.with_room(added.edits);
                match self.document.apply(&added.label, &edits) {
                    Ok(_) => {
                        self.say_done(&added.label);
                        self.ui.shared.selection = [added.thing].into();
                        if let ThingId::Phase(phase) = added.thing {
                            self.ui.shared.phase = phase;
                        }
                        if at.is_none() {
                            self.ui.board.frame = Some(vec![added.thing]);
                        }
                        self.ui.shared.tab = Tab::Details;
                    }
                    Err(error) => self.say(sentence(&error.to_string())),
                }
            }
            Err(reason) => self.say(sentence(&reason)),
        }
    }

    /// Adds to edits what moves neighbours aside of what has grown by them.
    pub(in crate::app) fn with_room(&self, mut edits: Vec<Edit>) -> Vec<Edit> {
        let scenario = self.document.scenario();
        // Where nothing has a place, everything flows and makes room by itself.
        if scenario.places.is_empty() {
            return edits;
        }
        // First units make room for units, then the frames around them for one another.
        for _ in 0..2 {
            let Ok(after) = scenario.apply(&edits) else {
                break;
            };
            let board = &self.ui.board;
            let phase = self.ui.shared.phase;
            let layout = Layout::folded(&after, phase, &Overlay::new(), &board.folded);
            let room = layout.room(&self.derived.layout, &after);
            if room.is_empty() {
                break;
            }
            edits.extend(room);
        }
        edits
    }

    /// Opens a field over the selected thing's name.
    pub(in crate::app) fn rename(&mut self) {
        let [thing] = *self.selection() else {
            self.say("Select one thing first, then rename it".to_owned());
            return;
        };
        match Rename::of(self.document.scenario(), thing) {
            Some(rename) if self.derived.layout.rect(thing).is_some() => {
                if !self.ui.look.beside {
                    self.ui.shared.view = View::Board;
                }
                self.ui.board.frame = Some(vec![thing]);
                self.ui.board.rename = Some(rename);
            }
            Some(_) => {
                self.ui.shared.tab = Tab::Details;
                self.ui.look.side = true;
            }
            None => self.say(format!(
                "{} is called by its number and its gateway",
                self.document.scenario().name(thing)
            )),
        }
    }

    pub(in crate::app) fn delete(&mut self) {
        let scenario = self.document.scenario();
        // Things go before what they are part of, so that nothing is removed twice.
        let mut things: Vec<ThingId> = self.ui.shared.selection.iter().copied().collect();
        things.sort_by_key(|t| match t {
            ThingId::Port(_) | ThingId::TalkGroup(_) => 0,
            ThingId::System(_) => 2,
            _ => 1,
        });
        let label = match things.as_slice() {
            [] => return,
            [thing] => format!("Remove {}", scenario.name(*thing)),
            several => format!("Remove {} things", several.len()),
        };
        let mut edits = Vec::new();
        let mut left = Scenario::clone(scenario);
        for thing in things {
            let edit = Edit::Remove(thing);
            match left.apply(std::slice::from_ref(&edit)) {
                Ok(after) => left = after,
                // What vanished with something else needs no removing.
                Err(_) if !edits.is_empty() => continue,
                Err(_) => {}
            }
            edits.push(edit);
        }
        let answer = self.document.apply(&label, &edits);
        if answer.is_ok() {
            self.ui.shared.selection.clear();
            self.say_done(&label);
        }
        self.told(answer);
    }
}
