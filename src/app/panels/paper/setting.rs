//! The pages are set on a thread, some moments after the last change; the pages before stay until the
//! new ones are there. Making the files of a set is work of its own.

use std::collections::BTreeSet;
use std::path::PathBuf;
use std::sync::Arc;

use egui::Context;

use super::choice::is_same;
use crate::app::effects::Sheet;
use crate::app::work::{Desk, Got, Work};
use crate::paperwork::set::face::Faces;
use crate::paperwork::{Ask, Go, Piece, Progress};

/// Seconds without a change before the pages are set anew.
const STILL: f64 = 0.4;

/// Papers that were set.
#[derive(Debug)]
pub(super) struct Set {
    pub(super) of: Ask,
    pub(super) pieces: Arc<Vec<Piece>>,
    /// The pages in their order: which paper, and which page of it, from 0.
    pub(super) pages: Vec<(usize, usize)>,
    /// Letters no face has, with their numbers: the window may not have them either.
    pub(super) missing: String,
}

impl Set {
    fn new(of: Ask, pieces: Vec<Piece>) -> Self {
        let mut pages = Vec::new();
        let mut missing = BTreeSet::new();
        for (i, piece) in pieces.iter().enumerate() {
            pages.extend((0..piece.document.pages.len()).map(|page| (i, page)));
            missing.extend(piece.document.missing.iter().copied());
        }
        Self {
            of,
            pieces: Arc::new(pieces),
            pages,
            missing: letters(&missing),
        }
    }
}

/// Names letters, the first ones of many.
fn letters(missing: &BTreeSet<char>) -> String {
    const MOST: usize = 12;
    let first = missing.iter().take(MOST);
    let mut names: Vec<String> = first
        .map(|c| format!("{c} (U+{:04X})", u32::from(*c)))
        .collect();
    if missing.len() > MOST {
        names.push(format!("and {} more", missing.len() - MOST));
    }
    names.join(", ")
}

/// Why no pages are being set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Halt {
    /// Somebody stopped it.
    Stopped,
    /// It ended without pages.
    Failed,
}

enum Told {
    Progress(Progress),
    Done(Vec<Piece>),
}

/// The setting of pages.
#[derive(Default)]
pub(super) struct Setting {
    pub(super) set: Option<Set>,
    /// Counts the sets.
    pub(super) number: u64,
    work: Option<(Ask, Work<Told>)>,
    pub(super) progress: Option<Progress>,
    /// What is asked for since when, in seconds of the window's clock.
    moved: Option<(Ask, f64)>,
    halted: Option<(Ask, Halt)>,
}

impl Setting {
    /// Takes what the thread has told, and sets what is asked for if that is something else.
    pub(super) fn refresh(&mut self, ctx: &Context, wanted: &Ask) {
        self.take();
        if self.is_of(wanted) {
            self.moved = None;
            self.end();
            return;
        }
        let is_for = |of: &Ask| is_same(of, wanted);
        if self.work.as_ref().is_some_and(|(of, _)| is_for(of))
            || self.halted.as_ref().is_some_and(|(of, _)| is_for(of))
        {
            return;
        }
        let now = ctx.input(|i| i.time);
        let is_first = self.set.is_none() && self.moved.is_none();
        if !self.moved.as_ref().is_some_and(|(of, _)| is_for(of)) {
            self.moved = Some((wanted.clone(), now));
        }
        let since = self.moved.as_ref().map_or(now, |(_, since)| *since);
        let wait = STILL - (now - since);
        if wait > 0.0 && !is_first {
            ctx.request_repaint_after_secs(wait as f32);
            return;
        }
        self.start(ctx, wanted);
    }

    fn start(&mut self, ctx: &Context, wanted: &Ask) {
        self.end();
        self.halted = None;
        let ask = wanted.clone();
        let work = Work::start(ctx, "Setting the pages", move |desk: &Desk<Told>| {
            if let Some(pieces) = ask.set(&mut |progress| {
                desk.answer(Told::Progress(progress.clone()));
                go(desk)
            }) {
                desk.answer(Told::Done(pieces));
            }
        });
        self.work = Some((wanted.clone(), work));
    }

    fn take(&mut self) {
        while let Some((_, work)) = &self.work {
            match work.got() {
                Got::Answer(Told::Progress(progress)) => self.progress = Some(progress),
                Got::Answer(Told::Done(pieces)) => {
                    if let Some((of, _)) = self.work.take() {
                        self.set = Some(Set::new(of, pieces));
                        self.number += 1;
                        self.progress = None;
                    }
                }
                Got::Nothing => return,
                Got::Ended => {
                    self.progress = None;
                    self.halted = self.work.take().map(|(of, _)| (of, Halt::Failed));
                }
            }
        }
    }

    fn end(&mut self) {
        if let Some((_, work)) = self.work.take() {
            work.stop();
        }
        self.progress = None;
    }

    /// Sets no more until something changes or somebody asks for it.
    pub(super) fn stop(&mut self) {
        let of = self.work.as_ref().map(|(of, _)| of.clone());
        self.end();
        self.halted = of.map(|of| (of, Halt::Stopped));
    }

    /// Sets again what was stopped.
    pub(super) fn go_on(&mut self) {
        self.halted = None;
    }

    /// Returns why the pages asked for are not being set.
    pub(super) fn halt(&self, wanted: &Ask) -> Option<Halt> {
        let (of, halt) = self.halted.as_ref()?;
        is_same(of, wanted).then_some(*halt)
    }

    /// Tells whether the pages are those asked for.
    pub(super) fn is_of(&self, wanted: &Ask) -> bool {
        self.set
            .as_ref()
            .is_some_and(|set| is_same(&set.of, wanted))
    }

    /// Forgets the pages.
    pub(super) fn clear(&mut self) {
        self.end();
        let number = self.number + 1;
        *self = Self {
            number,
            ..Self::default()
        };
    }
}

impl std::fmt::Debug for Setting {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Setting")
            .field("number", &self.number)
            .field("progress", &self.progress)
            .finish_non_exhaustive()
    }
}

fn go<T: Send + 'static>(desk: &Desk<T>) -> Go {
    if desk.is_stopped() { Go::Stop } else { Go::On }
}

/// What the thread tells that makes or writes files.
#[derive(Debug)]
pub(crate) enum Made {
    /// How far it is, and what it does.
    Progress(&'static str, Progress),
    /// All files are made, in memory.
    Files(Vec<Sheet>),
    /// They are in the folder.
    Written,
    /// Why they are not, in a sentence.
    Refused(String),
}

/// Files on their way into a folder.
#[derive(Debug)]
pub(crate) struct Making {
    /// The folder.
    pub(crate) folder: PathBuf,
    pub(crate) work: Work<Made>,
    pub(super) progress: Option<(&'static str, Progress)>,
    /// They are being written: there is no way back.
    pub(crate) is_writing: bool,
    /// Somebody is asked whether to write over others.
    pub(crate) is_asked: bool,
    /// The files, once they are made.
    pub(crate) files: Arc<Vec<Sheet>>,
}

impl Making {
    /// Begins to make the files of papers; `set` are the papers where they were set already.
    fn start(ctx: &Context, folder: PathBuf, ask: Ask, set: Option<Arc<Vec<Piece>>>) -> Self {
        let work = Work::start(ctx, "Making files", move |desk: &Desk<Made>| {
            if let Some(made) = make(desk, &ask, set) {
                desk.answer(made);
            }
        });
        Self {
            folder,
            work,
            progress: None,
            is_writing: false,
            is_asked: false,
            files: Arc::default(),
        }
    }

    /// Takes what there is to take; progress is kept.
    pub(crate) fn got(&mut self) -> Got<Made> {
        loop {
            match self.work.got() {
                Got::Answer(Made::Progress(what, progress)) => {
                    self.progress = Some((what, progress));
                }
                other => return other,
            }
        }
    }
}

fn make(desk: &Desk<Made>, ask: &Ask, set: Option<Arc<Vec<Piece>>>) -> Option<Made> {
    let pieces = match set {
        Some(set) => set,
        None => Arc::new(ask.set(&mut |progress| {
            desk.answer(Made::Progress("Setting the pages", progress.clone()));
            go(desk)
        })?),
    };
    let faces = Faces::default();
    let mut files = Vec::new();
    for (done, piece) in pieces.iter().enumerate() {
        if desk.is_stopped() {
            return None;
        }
        let progress = Progress {
            done,
            all: pieces.len(),
            next: piece.stem.clone(),
        };
        desk.answer(Made::Progress("Making files", progress));
        match piece.outputs(&faces) {
            Ok(outputs) => files.extend(outputs.into_iter().map(|o| (o.name, o.bytes))),
            Err(reason) => {
                let stem = &piece.stem;
                return Some(Made::Refused(format!(
                    "the paper {stem} cannot be made: {reason}"
                )));
            }
        }
    }
    Some(Made::Files(files))
}

impl super::PaperState {
    /// Begins to make the files of what is asked for, for a folder.
    pub(crate) fn make(&mut self, ctx: &Context, folder: PathBuf, ask: Ask) {
        let set = self.setting.set.as_ref();
        let set = set
            .filter(|set| is_same(&set.of, &ask))
            .map(|set| Arc::clone(&set.pieces));
        self.making = Some(Making::start(ctx, folder, ask, set));
    }
}
