//! Copies and ready-made things: the clipboard, the shelf's ready-made ones, one's own, and what is typed.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use egui::{Context, Pos2};

use crate::app::application::Application;
use crate::app::effects::Ask;
use crate::app::files;
use crate::app::shelf::{self, Ground, Landed};
use crate::app::state::{Dialog, Tab};
use crate::app::words::sentence;
use crate::format::excerpt::Excerpt;
use crate::library::Source;
use crate::library::typed::Offer;
use crate::model::ThingId;
use crate::model::graft::Sharing;

impl Application {
    fn ground(&self) -> Ground<'_> {
        Ground {
            s: self.document.scenario(),
            phase: self.ui.shared.phase,
            layout: &self.derived.layout,
        }
    }

    /// Adds a ready-made thing of the shelf.
    pub(in crate::app) fn add_ready(
        &mut self,
        source: Source,
        at: Option<Pos2>,
        on: Option<ThingId>,
    ) {
        let own = Arc::clone(&self.ui.shared.own);
        match shelf::add_ready(&self.ground(), &own, source, at, on) {
            Ok(landed) if landed.edits.is_empty() => {
                self.say("That is there already".to_owned());
                self.shown(landed.things, at.is_none());
            }
            Ok(landed) => self.land(landed, at.is_none()),
            Err(reason) => self.say(sentence(&reason)),
        }
    }

    /// Adds what was typed, and shows it.
    pub(in crate::app) fn add_offer(&mut self, offer: Offer) {
        if offer.edits.is_empty() {
            self.shown(offer.things, true);
            return;
        }
        self.say(offer.sentence);
        let landed = Landed {
            label: offer.label,
            edits: offer.edits,
            things: offer.things,
        };
        self.land(landed, true);
    }

    /// Makes the edits one step and selects what came of them.
    fn land(&mut self, landed: Landed, bring_into_view: bool) {
        self.document.seal();
        let edits = self.with_room(landed.edits);
        match self.document.apply(&landed.label, &edits) {
            Ok(_) => self.shown(landed.things, bring_into_view),
            Err(error) => self.say(sentence(&error.to_string())),
        }
    }

    fn shown(&mut self, things: Vec<ThingId>, bring_into_view: bool) {
        self.ui.shared.selection = things.iter().copied().collect();
        self.ui.shared.tab = Tab::Details;
        if bring_into_view {
            self.ui.board.frame = Some(things);
        }
    }

    /// Copies the selection as text; tells whether there was any.
    pub(in crate::app) fn copy(&mut self, ctx: &Context) -> bool {
        let Some(excerpt) = self.excerpt() else {
            self.say("Select something first, then copy it".to_owned());
            return false;
        };
        let n = excerpt.chosen.len();
        ctx.copy_text(excerpt.write());
        self.say(match n {
            1 => "Copied one thing with all it needs".to_owned(),
            n => format!("Copied {n} things with all they need"),
        });
        true
    }

    /// Returns the selection as an excerpt; `None` when nothing of it can be copied.
    fn excerpt(&self) -> Option<Excerpt> {
        let scenario = self.document.scenario();
        let excerpt = Excerpt::of(scenario, self.ui.shared.phase, &self.ui.shared.selection);
        (!excerpt.chosen.is_empty()).then_some(excerpt)
    }

    /// Pastes a text where the pointer is, or where the board puts it.
    pub(in crate::app) fn paste(&mut self, ctx: &Context, text: &str) {
        if text.trim().is_empty() {
            self.say("The clipboard is empty".to_owned());
            return;
        }
        let excerpt = match Excerpt::read(text) {
            Ok(excerpt) if excerpt.chosen.is_empty() => {
                self.say("The clipboard holds a scenario without things".to_owned());
                return;
            }
            Ok(excerpt) => excerpt,
            Err(_problems) => {
                self.say("The clipboard holds no things copied from a board".to_owned());
                return;
            }
        };
        let camera = &self.ui.board.camera;
        let pointer = ctx.input(|i| i.pointer.hover_pos());
        let at = pointer
            .filter(|at| camera.view.contains(*at))
            .map(|at| camera.board_spot(at));
        let landed = shelf::paste(&self.ground(), &excerpt, at);
        self.land(landed, true);
    }

    /// Puts a copy of the selection beside it.
    pub(in crate::app) fn duplicate(&mut self) {
        if self.ui.shared.selection.is_empty() {
            self.say("Select something first, then duplicate it".to_owned());
            return;
        }
        let landed = shelf::doubled(&self.ground(), &self.ui.shared.selection);
        if landed.things.is_empty() {
            self.say("A phase is added from the menu, and begins like the one shown".to_owned());
            return;
        }
        self.land(landed, true);
    }

    /// Puts the selection among the person's own things.
    pub(in crate::app) fn keep(&mut self) {
        let scenario = Arc::clone(self.document.scenario());
        let things = self.ui.shared.selection.clone();
        let phase = self.ui.shared.phase;
        self.change_own("Kept in your things, on the shelf", |own| {
            own.take_in(&scenario, phase, &things, Sharing::Companions)
                .len()
        });
    }

    /// Takes a thing out of the person's own ones.
    pub(in crate::app) fn unkeep(&mut self, thing: ThingId) {
        let name = self.ui.shared.own.scenario.name(thing);
        // The file may have been changed by another window; a thing is known by kind and name.
        self.change_own(&format!("{name} is no longer among your things"), |own| {
            let gone: BTreeSet<ThingId> = own
                .chosen
                .iter()
                .copied()
                .filter(|t| t.kind() == thing.kind() && own.scenario.name(*t) == name)
                .collect();
            *own = own.without(&gone);
            gone.len()
        });
    }

    /// Changes the person's own things as they are on the disk, and writes them back.
    fn change_own(&mut self, done: &str, change: impl FnOnce(&mut Excerpt) -> usize) {
        let kept = match self.effects.kept_things() {
            Ok(kept) => kept,
            // What cannot be read is not written over.
            Err(reason) => {
                self.ask(Dialog::Failed {
                    title: "Your things could not be read".to_owned(),
                    reason,
                });
                return;
            }
        };
        let mut own = match kept.as_deref().map(Excerpt::read) {
            Some(Ok(own)) => own,
            Some(Err(problems)) => {
                self.ask(Dialog::Failed {
                    title: "Your things could not be read".to_owned(),
                    reason: problems.to_string(),
                });
                return;
            }
            None if self.effects.remembers() => Excerpt::empty(files::OWN_TITLE),
            None => (*self.ui.shared.own).clone(),
        };
        if change(&mut own) == 0 {
            self.say("Nothing of the selection can be kept".to_owned());
            return;
        }
        match self.effects.keep_things(&own.write()) {
            Ok(()) => {
                self.ui.shared.own = Arc::new(own);
                self.say(done.to_owned());
            }
            Err(reason) => self.ask(Dialog::Failed {
                title: "Your things were not written".to_owned(),
                reason: format!("{reason}. They are as they were before."),
            }),
        }
    }

    /// Asks where to write the person's own things.
    pub(in crate::app) fn export_kept(&mut self, ctx: &Context) {
        if self.ui.shared.own.chosen.is_empty() {
            self.say("There is nothing among your things yet".to_owned());
            return;
        }
        let name = "my-things.ron".to_owned();
        self.effects.ask(ctx, Ask::Export { name });
    }

    /// Writes the person's own things to a file.
    pub(in crate::app) fn export_kept_to(&mut self, path: PathBuf) {
        let path = files::with_ending(path);
        match self.effects.write(&path, &self.ui.shared.own.write()) {
            Ok(()) => self.say(format!("Your things are in {}", path.display())),
            Err(reason) => self.ask(Dialog::Failed {
                title: "Your things were not exported".to_owned(),
                reason,
            }),
        }
    }

    /// Takes the things of a file in among the person's own; any scenario will do.
    pub(in crate::app) fn import_kept(&mut self, path: &Path) {
        let read = self
            .effects
            .read(path)
            .and_then(|text| Excerpt::read(&text).map_err(|problems| problems.to_string()));
        match read {
            Ok(other) => {
                let n = other.chosen.len();
                self.change_own(&format!("{n} things are now among yours"), |own| {
                    own.take_in(
                        &other.scenario,
                        other.phase,
                        &other.chosen,
                        Sharing::Everything,
                    )
                    .len()
                });
            }
            Err(reason) => self.ask(Dialog::Failed {
                title: "The things could not be imported".to_owned(),
                reason,
            }),
        }
    }
}
