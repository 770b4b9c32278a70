//! Where every action is done, and nowhere else.

use std::path::{Path, PathBuf};

use egui::{Context, ViewportCommand};

use super::action::{Action, Hold};
use super::application::{Application, first_phase};
use super::command::Command;
use super::effects::{Answer, Ask};
use super::files;
use super::shelf;
use super::state::{Dialog, Next, Tab, Talk, Toast};
use crate::history::Document;
use crate::model::{Edit, EditError, Kind, Party, Scenario, ThingId};

impl Application {
    /// Does one action.
    pub(super) fn act(&mut self, ctx: &Context, action: Action) {
        match action {
            Action::Apply { label, edits } => {
                self.document.seal();
                let answer = self.document.apply(&label, &edits);
                self.told(answer);
            }
            Action::Type {
                label,
                field,
                edits,
            } => {
                let answer = self.document.apply_typed(&label, &field, &edits);
                self.told(answer);
            }
            Action::Seal => self.document.seal(),
            Action::Command(command) => self.do_command(ctx, command),
            Action::Select(things) => {
                self.ui.shared.selection = things.into_iter().collect();
            }
            Action::Toggle(thing) => {
                let selection = &mut self.ui.shared.selection;
                if !selection.remove(&thing) {
                    selection.insert(thing);
                }
            }
            Action::Show(things) => {
                self.ui.shared.selection = things.iter().copied().collect();
                self.ui.board.frame = Some(self.on_board(&things));
            }
            Action::Add { article, at, on } => self.add(article, at, on),
            Action::Phase(phase) => self.ui.shared.phase = phase,
            Action::Talk(party, hold) => self.talk(ctx, party, hold),
            Action::Quiet => self.ui.shared.talk = None,
            Action::Ask(from, to) => {
                self.ui.shared.asked = Some((from, to));
                self.ui.shared.tab = Tab::Matrix;
                self.ui.look.side = true;
            }
            Action::Tab(tab) => {
                self.ui.shared.tab = tab;
                self.ui.look.side = true;
            }
            Action::Open(path) => self.next(ctx, Next::Open(path)),
            Action::OpenSample(i) => self.next(ctx, Next::Sample(i)),
            Action::Dialog(dialog) => self.ask(dialog),
            Action::GoOn { save } => self.go_on(ctx, save),
            Action::TypedPath(path) => self.typed_path(ctx, path),
            Action::ReplaceFile(path) => {
                self.ui.dialog = None;
                self.save_to(ctx, &path);
            }
            Action::Say(text) => self.say(text),
        }
    }

    /// Says why an edit was refused.
    fn told(&mut self, answer: Result<bool, EditError>) {
        if let Err(error) = answer {
            self.say(super::words::sentence(&error.to_string()));
        }
    }

    fn say(&mut self, text: String) {
        self.ui.toast = Some(Toast { text, until: None });
    }

    /// Lists what of these things stands on the board, or what stands for them there.
    fn on_board(&self, things: &[ThingId]) -> Vec<ThingId> {
        let layout = &self.derived.layout;
        things
            .iter()
            .copied()
            .filter(|t| layout.rect(*t).is_some())
            .collect()
    }

    fn add(&mut self, article: shelf::Article, at: Option<egui::Pos2>, on: Option<ThingId>) {
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
                match self.document.apply(&added.label, &added.edits) {
                    Ok(_) => {
                        self.ui.shared.selection = [added.thing].into();
                        if let ThingId::Phase(phase) = added.thing {
                            self.ui.shared.phase = phase;
                        }
                        if at.is_none() {
                            self.ui.board.frame = Some(vec![added.thing]);
                        }
                        self.ui.shared.tab = Tab::Details;
                    }
                    Err(error) => self.say(super::words::sentence(&error.to_string())),
                }
            }
            Err(reason) => self.say(super::words::sentence(&reason)),
        }
    }

    fn talk(&mut self, ctx: &Context, party: Party, hold: Hold) {
        let now = ctx.input(|i| i.time);
        let since = match self.ui.shared.talk {
            Some(talk) if talk.party == party => talk.since,
            _ => now,
        };
        self.ui.shared.talk = Some(Talk { party, since, hold });
    }

    /// Does one command.
    pub(super) fn do_command(&mut self, ctx: &Context, command: Command) {
        match command {
            Command::New => self.next(ctx, Next::New),
            Command::Open => self.next(ctx, Next::Choose),
            Command::Save => self.save(ctx),
            Command::SaveAs => self.save_as(ctx),
            Command::Quit => self.next(ctx, Next::Quit),
            Command::Undo => {
                if let Some(label) = self.document.undo() {
                    self.say(format!("Undone: {label}"));
                }
            }
            Command::Redo => {
                if let Some(label) = self.document.redo() {
                    self.say(format!("Done again: {label}"));
                }
            }
            Command::SelectAll => {
                self.ui.shared.selection = self
                    .derived
                    .layout
                    .things()
                    .map(|(thing, _)| thing)
                    .filter(|t| matches!(t.kind(), Kind::Unit | Kind::Channel | Kind::Gateway))
                    .collect();
            }
            Command::SelectNone => self.escape(),
            Command::Delete => self.delete(),
            Command::Talk => self.latch(ctx),
            Command::Quiet => self.ui.shared.talk = None,
            Command::Fit => self.ui.board.moved = false,
            Command::FitSelection => {
                let things: Vec<ThingId> = self.ui.shared.selection.iter().copied().collect();
                self.ui.board.frame = Some(self.on_board(&things));
            }
            Command::ZoomIn => self.zoom(1.25),
            Command::ZoomOut => self.zoom(0.8),
            Command::Tidy => {
                let edits: Vec<Edit> = self
                    .document
                    .scenario()
                    .places
                    .keys()
                    .map(|thing| Edit::Place {
                        thing: *thing,
                        place: None,
                    })
                    .collect();
                let answer = self.document.apply("Tidy the board", &edits);
                self.told(answer);
                self.ui.board.moved = false;
            }
            Command::Needs => self.ui.shared.show_needs = !self.ui.shared.show_needs,
            Command::Shelf => self.ui.look.shelf = !self.ui.look.shelf,
            Command::Side => self.ui.look.side = !self.ui.look.side,
            Command::Calculators => self.ui.calculators.open = !self.ui.calculators.open,
            Command::Theme => {
                self.ui.look.dark = !self.ui.look.dark;
                self.effects.remember_dark(self.ui.look.dark);
            }
            Command::Findings => self.act(ctx, Action::Tab(Tab::Findings)),
            Command::Details => self.act(ctx, Action::Tab(Tab::Details)),
            Command::Matrix => self.act(ctx, Action::Tab(Tab::Matrix)),
            Command::Figures => self.act(ctx, Action::Tab(Tab::Figures)),
            Command::NextPhase => {
                let ids: Vec<_> = self.document.scenario().phases.ids().collect();
                let now = ids.iter().position(|p| *p == self.ui.shared.phase);
                let next = now.map_or(0, |i| (i + 1) % ids.len().max(1));
                if let Some(phase) = ids.get(next) {
                    self.ui.shared.phase = *phase;
                }
            }
            Command::HowTo => self.ask(Dialog::HowTo),
            Command::Handbook => self.ask(Dialog::Handbook { code: None }),
            Command::Cautions => self.ask(Dialog::Cautions),
        }
    }

    pub(super) fn zoom(&mut self, factor: f32) {
        self.ui.board.moved = true;
        let camera = &mut self.ui.board.camera;
        camera.zoom_at(camera.view.center(), factor);
    }

    /// Ends what is under way, the nearest first.
    fn escape(&mut self) {
        let was_busy = self.ui.board.give_up();
        if self.ui.shared.talk.take().is_some() || was_busy {
            return;
        }
        if self.ui.shared.asked.take().is_some() || self.ui.calculators.close() {
            return;
        }
        self.ui.shared.selection.clear();
    }

    fn latch(&mut self, ctx: &Context) {
        if let Some(talk) = &mut self.ui.shared.talk {
            if talk.hold == Hold::Latched {
                self.ui.shared.talk = None;
            } else {
                talk.hold = Hold::Latched;
            }
            return;
        }
        let scenario = self.document.scenario();
        let party = scenario.phases.get(self.ui.shared.phase).and_then(|phase| {
            self.ui
                .shared
                .selection
                .iter()
                .find_map(|t| super::board::party_of(scenario, phase, *t))
        });
        match party {
            Some(party) => self.talk(ctx, party, Hold::Latched),
            None => self.say("Select a unit first, then let it talk".to_owned()),
        }
    }

    fn delete(&mut self) {
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
        for thing in things {
            edits.push(Edit::Remove(thing));
            // What vanished with something else needs no removing.
            if scenario.apply(&edits).is_err() && edits.len() > 1 {
                edits.pop();
            }
        }
        let answer = self.document.apply(&label, &edits);
        if answer.is_ok() {
            self.ui.shared.selection.clear();
        }
        self.told(answer);
    }

    /// Goes on with something that replaces the scenario, after asking about unsaved changes.
    fn next(&mut self, ctx: &Context, next: Next) {
        self.derived.saved_moved(&self.document);
        if self.document.is_saved() {
            self.go(ctx, next);
        } else {
            self.ask(Dialog::Unsaved(next));
        }
    }

    fn go_on(&mut self, ctx: &Context, save: bool) {
        let Some(Dialog::Unsaved(next)) = self.ui.dialog.take() else {
            return;
        };
        if save {
            self.ui.after_save = Some(next);
            self.save(ctx);
        } else {
            self.go(ctx, next);
        }
    }

    fn go(&mut self, ctx: &Context, next: Next) {
        match next {
            Next::New => self.replace(Document::opened(Scenario::new("New scenario")), None),
            Next::Choose => self.effects.ask(ctx, Ask::Open),
            Next::Open(path) => self.open_path(&path),
            Next::Sample(i) => {
                if let Some(sample) = files::shipped().into_iter().nth(i) {
                    match files::read(sample.text, sample.file_name) {
                        Ok(scenario) => self.replace(Document::opened(scenario), None),
                        Err(problems) => self.ask(Dialog::Problems {
                            file: sample.name.to_owned(),
                            problems,
                        }),
                    }
                }
            }
            Next::Quit => {
                self.ui.may_quit = true;
                ctx.send_viewport_cmd(ViewportCommand::Close);
            }
        }
    }

    fn replace(&mut self, document: Document, file: Option<PathBuf>) {
        self.document = document;
        let phase = first_phase(self.document.scenario());
        self.ui.start_over(phase);
        self.ui.shared.file = file;
    }

    /// Opens a file.
    pub(super) fn open_path(&mut self, path: &Path) {
        let name = file_name(path);
        match self.effects.read(path) {
            Ok(text) => match files::read(&text, &name) {
                Ok(scenario) => {
                    self.replace(Document::opened(scenario), Some(path.to_owned()));
                    self.ui.shared.recent = self.effects.remember(path);
                }
                Err(problems) => self.ask(Dialog::Problems {
                    file: name,
                    problems,
                }),
            },
            Err(reason) => self.ask(Dialog::Failed {
                title: format!("{name} could not be opened"),
                reason,
            }),
        }
    }

    fn save(&mut self, ctx: &Context) {
        match self.ui.shared.file.clone() {
            Some(path) => self.save_to(ctx, &path),
            None => self.save_as(ctx),
        }
    }

    fn save_as(&mut self, ctx: &Context) {
        let name = self.ui.shared.file.as_deref().map_or_else(
            || files::suggested_name(&self.document.scenario().header.title),
            file_name,
        );
        self.effects.ask(ctx, Ask::Save { name });
    }

    fn save_to(&mut self, ctx: &Context, path: &Path) {
        let name = file_name(path);
        let text = files::write(self.document.scenario(), &name);
        match self.effects.write(path, &text) {
            Ok(()) => {
                self.document.seal();
                self.document.mark_saved();
                self.derived.saved_moved(&self.document);
                self.ui.shared.file = Some(path.to_owned());
                self.ui.shared.recent = self.effects.remember(path);
                self.say(format!("Saved {name}"));
                if let Some(next) = self.ui.after_save.take() {
                    self.go(ctx, next);
                }
            }
            Err(reason) => {
                self.ui.after_save = None;
                self.ask(Dialog::Failed {
                    title: format!("{name} was not saved"),
                    reason: format!("{reason}. The file is as it was before."),
                });
            }
        }
    }

    /// Takes the answer of the file chooser.
    pub(super) fn answered(&mut self, ctx: &Context, answer: Answer) {
        match answer {
            Answer::Path(Ask::Open, path) => self.open_path(&path),
            Answer::Path(Ask::Save { .. }, path) => {
                let path = files::with_ending(path);
                self.save_to(ctx, &path);
            }
            Answer::Nothing => self.ui.after_save = None,
            Answer::NoChooser(asked) => {
                let (save, name) = match asked {
                    Ask::Open => (false, String::new()),
                    Ask::Save { name } => (true, name),
                };
                let folder = match self.ui.shared.file.as_deref().and_then(Path::parent) {
                    Some(folder) => folder.to_owned(),
                    None => self.effects.home(),
                };
                let text = folder.join(name).display().to_string();
                self.ask(Dialog::Path { save, text });
            }
        }
    }

    fn typed_path(&mut self, ctx: &Context, path: PathBuf) {
        let Some(Dialog::Path { save, .. }) = self.ui.dialog.take() else {
            return;
        };
        if save {
            let path = files::with_ending(path);
            let is_open_one = self.ui.shared.file.as_deref() == Some(path.as_path());
            if self.effects.exists(&path) && !is_open_one {
                self.ask(Dialog::Replace { path });
            } else {
                self.save_to(ctx, &path);
            }
        } else {
            self.open_path(&path);
        }
    }
}

fn file_name(path: &Path) -> String {
    path.file_name().map_or_else(
        || path.display().to_string(),
        |n| n.to_string_lossy().into_owned(),
    )
}
