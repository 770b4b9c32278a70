//! Answers worked out when somebody asks, and kept until the plan moves: at once for a small plan, on a
//! thread for a large one. What an answer is made of, and where it is shown, is not known here.

use std::cell::{Cell, RefCell};
use std::collections::BTreeMap;
use std::sync::Arc;

use egui::Context;

use super::work::{Got, Work};

/// A kind of question, whatever it asks and answers.
pub(super) trait Question {
    /// Returns what a thread works out for somebody who still waits, and since when.
    fn working(&self) -> Option<(&'static str, f64)>;

    /// Begins nothing more until the plan moves, or `take_up`.
    fn give_up(&self);

    /// Works out after all what was given up.
    fn take_up(&self);
}

/// Answers to questions of one kind.
#[derive(Debug)]
pub(super) struct Later<K, V> {
    /// What is done, for the status bar.
    name: &'static str,
    known: RefCell<BTreeMap<K, Arc<V>>>,
    work: RefCell<Option<Working<K, V>>>,
    /// Somebody stopped it: nothing is begun until the plan moves or somebody asks anew.
    is_given_up: Cell<bool>,
}

/// The question a thread is at.
#[derive(Debug)]
struct Working<K, V> {
    key: K,
    work: Work<V>,
    /// The plan has moved since: the answer is thrown away.
    is_stale: bool,
}

impl<K: Ord + Clone, V: Send + Sync + 'static> Later<K, V> {
    /// Begins without an answer.
    pub(super) fn new(name: &'static str) -> Self {
        Self {
            name,
            known: RefCell::default(),
            work: RefCell::default(),
            is_given_up: Cell::default(),
        }
    }

    /// Returns an answer. With a `thread`, there is none until a thread is through with it; one thread
    /// is at work at a time.
    pub(super) fn get(
        &self,
        thread: Option<&Context>,
        key: &K,
        answer: impl FnOnce() -> V + Send + 'static,
    ) -> Option<Arc<V>> {
        self.take_answer();
        if let Some(known) = self.known.borrow().get(key) {
            return Some(Arc::clone(known));
        }
        let Some(ctx) = thread else {
            let answer = Arc::new(answer());
            self.known
                .borrow_mut()
                .insert(key.clone(), Arc::clone(&answer));
            return Some(answer);
        };
        let mut work = self.work.borrow_mut();
        if work.is_none() && !self.is_given_up.get() {
            *work = Some(Working {
                key: key.clone(),
                work: Work::start(ctx, self.name, |desk| desk.answer(answer())),
                is_stale: false,
            });
        }
        None
    }

    /// Forgets every answer: the plan has moved.
    pub(super) fn forget(&mut self) {
        self.known.get_mut().clear();
        self.is_given_up.set(false);
        if let Some(working) = self.work.get_mut() {
            working.is_stale = true;
        }
    }

    fn take_answer(&self) {
        let mut slot = self.work.borrow_mut();
        let Some(working) = slot.as_ref() else { return };
        match working.work.got() {
            Got::Answer(answer) => {
                if !working.is_stale {
                    let key = working.key.clone();
                    self.known.borrow_mut().insert(key, Arc::new(answer));
                }
                *slot = None;
            }
            Got::Nothing => {}
            Got::Ended => *slot = None,
        }
    }
}

impl<K: Ord + Clone, V: Send + Sync + 'static> Question for Later<K, V> {
    fn working(&self) -> Option<(&'static str, f64)> {
        self.take_answer();
        let work = self.work.borrow();
        let working = work.as_ref().filter(|working| !working.is_stale)?;
        let is_wanted = !self.is_given_up.get();
        is_wanted.then_some((self.name, working.work.since))
    }

    fn give_up(&self) {
        if self.working().is_some() {
            self.is_given_up.set(true);
        }
    }

    fn take_up(&self) {
        self.is_given_up.set(false);
    }
}

#[cfg(test)]
mod tests {
    use std::sync::mpsc::channel;

    use super::*;

    fn wait(later: &Later<u32, u32>, key: u32) -> Arc<u32> {
        loop {
            let answer = later.get(Some(&Context::default()), &key, move || key * 2);
            if let Some(answer) = answer {
                return answer;
            }
            std::thread::yield_now();
        }
    }

    #[test]
    fn a_small_plan_is_answered_at_once_and_only_once() {
        let later = Later::new("Doubling");
        assert_eq!(later.get(None, &4, || 8).as_deref(), Some(&8));
        let again = later.get(None, &4, || panic!("it is known"));
        assert_eq!(again.as_deref(), Some(&8));
    }

    #[test]
    fn a_large_plan_is_answered_by_a_thread() {
        let later = Later::new("Doubling");
        assert_eq!(*wait(&later, 4), 8);
        assert_eq!(*wait(&later, 5), 10);
        assert_eq!(*wait(&later, 4), 8, "kept");
        assert_eq!(later.working(), None);
    }

    #[test]
    fn an_answer_about_an_older_plan_is_thrown_away() {
        let mut later = Later::new("Doubling");
        let (go, held) = channel();
        let ctx = Context::default();
        let old = later.get(Some(&ctx), &4, move || {
            held.recv().ok();
            1
        });
        assert_eq!(old, None);
        assert!(later.working().is_some());
        later.forget();
        assert_eq!(later.working(), None, "nobody waits for it");
        go.send(()).unwrap();
        assert_eq!(*wait(&later, 4), 8);
    }

    #[test]
    fn what_was_given_up_is_begun_only_when_taken_up() {
        let later: Later<u32, u32> = Later::new("Doubling");
        let (go, held) = channel();
        let ctx = Context::default();
        later.get(Some(&ctx), &4, move || {
            held.recv().ok();
            8
        });
        later.give_up();
        assert_eq!(later.working(), None);
        assert_eq!(later.get(Some(&ctx), &5, || 10), None);
        go.send(()).unwrap();
        while later.work.borrow().is_some() {
            later.take_answer();
            std::thread::yield_now();
        }
        assert_eq!(later.get(Some(&ctx), &5, || 10), None);
        assert!(later.work.borrow().is_none(), "nothing was begun");
        later.take_up();
        assert_eq!(*wait(&later, 5), 10);
    }
}
