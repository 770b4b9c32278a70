//! Work on a thread of its own, so that the window never stands still: what it is called, since when
//! it runs, what it has answered so far, and how it is told to stop.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, Sender, TryRecvError, channel};

use egui::Context;

/// Work under way that answers with one `T` or several.
#[derive(Debug)]
pub(super) struct Work<T> {
    /// What it does, for the status bar.
    pub name: String,
    /// When it began, in seconds of the window's clock.
    pub since: f64,
    answers: Receiver<T>,
    stop: Arc<AtomicBool>,
}

/// What the thread sees of its work.
pub(super) struct Desk<T> {
    send: Sender<T>,
    stop: Arc<AtomicBool>,
    ctx: Context,
}

impl<T> Desk<T> {
    /// Tells whether nobody wants the rest any more.
    pub(super) fn is_stopped(&self) -> bool {
        self.stop.load(Ordering::Relaxed)
    }

    /// Hands an answer to the window.
    pub(super) fn answer(&self, answer: T) {
        self.send.send(answer).ok();
        self.ctx.request_repaint();
    }
}

/// What there is to be had of work under way.
#[derive(Debug)]
pub(super) enum Got<T> {
    /// An answer.
    Answer(T),
    /// Nothing yet.
    Nothing,
    /// It has ended, and all its answers were taken.
    Ended,
}

impl<T: Send + 'static> Work<T> {
    /// Starts work on a thread.
    pub(super) fn start(
        ctx: &Context,
        name: impl Into<String>,
        work: impl FnOnce(&Desk<T>) + Send + 'static,
    ) -> Self {
        let (send, answers) = channel();
        let stop = Arc::new(AtomicBool::new(false));
        let desk = Desk {
            send,
            stop: Arc::clone(&stop),
            ctx: ctx.clone(),
        };
        std::thread::spawn(move || {
            work(&desk);
            let ctx = desk.ctx.clone();
            // The end is seen by the window only once the sender is gone.
            drop(desk);
            ctx.request_repaint();
        });
        Self {
            name: name.into(),
            since: ctx.input(|i| i.time),
            answers,
            stop,
        }
    }

    /// Returns the next answer, without waiting.
    pub(super) fn got(&self) -> Got<T> {
        match self.answers.try_recv() {
            Ok(answer) => Got::Answer(answer),
            Err(TryRecvError::Empty) => Got::Nothing,
            Err(TryRecvError::Disconnected) => Got::Ended,
        }
    }

    /// Waits until it has ended; its answers are thrown away.
    pub(super) fn wait(self) {
        while self.answers.recv().is_ok() {}
    }

    /// Says that nobody wants the rest.
    pub(super) fn stop(&self) {
        self.stop.store(true, Ordering::Relaxed);
    }

    /// Tells whether it was told to stop.
    pub(super) fn is_stopped(&self) -> bool {
        self.stop.load(Ordering::Relaxed)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn answers_come_in_order_and_then_the_end() {
        let work = Work::start(&Context::default(), "Counting", |desk: &Desk<u32>| {
            desk.answer(1);
            desk.answer(2);
        });
        let mut seen = Vec::new();
        loop {
            match work.got() {
                Got::Answer(n) => seen.push(n),
                Got::Nothing => std::thread::yield_now(),
                Got::Ended => break,
            }
        }
        assert_eq!(seen, [1, 2]);
    }

    #[test]
    fn stopped_work_can_see_that_it_is() {
        let (go, wait) = channel();
        let work = Work::start(&Context::default(), "Waiting", move |desk: &Desk<bool>| {
            wait.recv().ok();
            desk.answer(desk.is_stopped());
        });
        work.stop();
        go.send(()).unwrap();
        let answer = loop {
            match work.got() {
                Got::Answer(answer) => break answer,
                Got::Nothing => std::thread::yield_now(),
                Got::Ended => panic!("no answer"),
            }
        };
        assert!(answer && work.is_stopped());
    }
}
