//! Errands: what takes long on a large plan is done by a thread, and what follows is done here when it
//! is through. On a small plan both are done at once.

use egui::Context;

use crate::app::application::Application;
use crate::app::work::{Got, Work};

/// What follows, in the window.
type Landing = Box<dyn FnOnce(&mut Application, &Context) + Send>;

/// What an errand is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::app) enum Purpose {
    /// Writes the scenario's file.
    Save,
    /// Writes the recovery file.
    Keep,
    /// Looks whether the file changed outside.
    Look,
    /// Something a person asked for that writes no scenario.
    Other,
}

impl Purpose {
    /// Tells whether a person waits for it.
    fn is_shown(self) -> bool {
        matches!(self, Self::Save | Self::Other)
    }
}

/// What a thread is out for.
pub(in crate::app) struct Errand {
    purpose: Purpose,
    work: Work<Landing>,
}

impl std::fmt::Debug for Errand {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Errand")
            .field("purpose", &self.purpose)
            .finish_non_exhaustive()
    }
}

impl Application {
    /// Does `part`, on a thread if it `is_long`, and then `landing` in the window.
    ///
    /// `part` is given a question it may ask: whether it is still wanted. It answers `None` when it
    /// stopped because it is not.
    pub(in crate::app) fn run_errand<T: Send + 'static>(
        &mut self,
        ctx: &Context,
        (purpose, name): (Purpose, String),
        is_long: bool,
        part: impl FnOnce(&dyn Fn() -> bool) -> Option<T> + Send + 'static,
        landing: impl FnOnce(&mut Self, &Context, Option<T>) + Send + 'static,
    ) {
        if !is_long {
            let answer = part(&|| true);
            landing(self, ctx, answer);
            return;
        }
        let work = Work::start(ctx, name, move |desk| {
            let answer = part(&|| !desk.is_stopped());
            desk.answer(Box::new(move |application: &mut Self, ctx: &Context| {
                landing(application, ctx, answer);
            }) as Landing);
        });
        self.errands.push(Errand { purpose, work });
    }

    /// Does what follows from errands that are through.
    pub(in crate::app) fn take_errands(&mut self, ctx: &Context) {
        let mut at = 0;
        while let Some(errand) = self.errands.get(at) {
            match errand.work.got() {
                Got::Nothing => at += 1,
                Got::Ended => drop(self.errands.remove(at)),
                Got::Answer(landing) => {
                    drop(self.errands.remove(at));
                    landing(self, ctx);
                }
            }
        }
        let mut shown = self.errands.iter().filter(|e| e.purpose.is_shown());
        let shown = shown.next().map(|e| (e.work.name.clone(), e.work.since));
        self.ui.shared.errand = shown;
    }

    /// Tells whether a thread is out for something.
    pub(in crate::app) fn is_out_for(&self, purpose: Purpose) -> bool {
        self.errands.iter().any(|errand| errand.purpose == purpose)
    }

    /// Says that what a person waits for is not wanted any more.
    pub(in crate::app) fn stop_errands(&self) {
        for errand in self.errands.iter().filter(|e| e.purpose.is_shown()) {
            errand.work.stop();
        }
    }

    /// Stops every errand of a purpose, and waits for its end: no file is left half kept.
    pub(in crate::app) fn end_errands(&mut self, is_meant: impl Fn(Purpose) -> bool) {
        let (ended, on): (Vec<Errand>, Vec<Errand>) = std::mem::take(&mut self.errands)
            .into_iter()
            .partition(|errand| is_meant(errand.purpose));
        self.errands = on;
        for errand in &ended {
            errand.work.stop();
        }
        for errand in ended {
            errand.work.wait();
        }
    }
}
