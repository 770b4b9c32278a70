//! The scenario with its past and its future.
//!
//! Snapshots share their rows, so that a step costs little more than what it changed. A step is
//! named by the label of the change, for the menu. It must not read files or the clock.

use std::collections::VecDeque;
use std::sync::Arc;

use crate::model::{Edit, EditError, Scenario};

/// How many steps are kept.
pub const CAP: usize = 100;

/// A snapshot and the change that lies between it and its neighbour nearer to now.
#[derive(Debug, Clone)]
struct Step {
    label: String,
    scenario: Arc<Scenario>,
    /// The field whose typing made the step; further typing there joins it.
    field: Option<String>,
}

/// A change under way, such as a drag: its edits show at once and make one step in the end.
#[derive(Debug, Clone)]
struct Gesture {
    label: String,
    before: Arc<Scenario>,
}

/// A scenario with its history.
///
/// Invariants: two snapshots next to each other are never equal; `past` and `future` hold [`CAP`]
/// steps at most; while a gesture is under way `future` may still hold what it would undo to.
#[derive(Debug, Clone)]
pub struct Document {
    now: Arc<Scenario>,
    past: VecDeque<Step>,
    future: Vec<Step>,
    saved: Option<Arc<Scenario>>,
    gesture: Option<Gesture>,
    revision: u64,
}

impl Document {
    /// Makes a document that was never saved.
    pub fn new(scenario: Scenario) -> Self {
        Self {
            now: Arc::new(scenario),
            past: VecDeque::new(),
            future: Vec::new(),
            saved: None,
            gesture: None,
            revision: 1,
        }
    }

    /// Makes a document as it was just read from a file.
    pub fn opened(scenario: Scenario) -> Self {
        let mut document = Self::new(scenario);
        document.mark_saved();
        document
    }

    /// Returns the scenario as it is now.
    pub fn scenario(&self) -> &Arc<Scenario> {
        &self.now
    }

    /// Returns a number that moves with every change of the scenario, back and forth alike.
    pub fn revision(&self) -> u64 {
        self.revision
    }

    /// Applies edits as one step, or as part of the gesture under way.
    ///
    /// Returns whether anything changed; without a change there is no step.
    ///
    /// # Errors
    ///
    /// The first edit that the scenario refuses; nothing is changed then.
    pub fn apply(&mut self, label: &str, edits: &[Edit]) -> Result<bool, EditError> {
        self.change(label, edits, None)
    }

    /// Applies edits made by typing in one field; they join the step the same field made before.
    ///
    /// # Errors
    ///
    /// The first edit that the scenario refuses; nothing is changed then.
    pub fn apply_typed(
        &mut self,
        label: &str,
        field: &str,
        edits: &[Edit],
    ) -> Result<bool, EditError> {
        self.change(label, edits, Some(field))
    }

    /// Ends the joining of typed edits: the next ones make a step of their own.
    pub fn seal(&mut self) {
        if let Some(last) = self.past.back_mut() {
            last.field = None;
        }
    }

    /// Begins a gesture, and commits the one under way if there is one.
    pub fn begin(&mut self, label: &str) {
        self.commit();
        self.gesture = Some(Gesture {
            label: label.to_owned(),
            before: Arc::clone(&self.now),
        });
    }

    /// Ends the gesture under way; what it changed becomes one step.
    ///
    /// Returns whether there is such a step.
    pub fn commit(&mut self) -> bool {
        let Some(gesture) = self.gesture.take() else {
            return false;
        };
        if *gesture.before == *self.now {
            return false;
        }
        self.push(gesture.label, gesture.before, None);
        true
    }

    /// Gives the gesture under way up; the scenario is as it was before.
    pub fn cancel(&mut self) {
        if let Some(gesture) = self.gesture.take()
            && !Arc::ptr_eq(&gesture.before, &self.now)
        {
            self.now = gesture.before;
            self.revision += 1;
        }
    }

    /// Tells whether a gesture is under way.
    pub fn in_gesture(&self) -> bool {
        self.gesture.is_some()
    }

    /// Goes one step back; returns the label of what was undone.
    pub fn undo(&mut self) -> Option<String> {
        self.cancel();
        let step = self.past.pop_back()?;
        let after = std::mem::replace(&mut self.now, step.scenario);
        self.future.push(Step {
            label: step.label.clone(),
            scenario: after,
            field: None,
        });
        self.seal();
        self.revision += 1;
        Some(step.label)
    }

    /// Goes one step forward; returns the label of what was done again.
    pub fn redo(&mut self) -> Option<String> {
        self.cancel();
        let step = self.future.pop()?;
        let before = std::mem::replace(&mut self.now, step.scenario);
        self.past.push_back(Step {
            label: step.label.clone(),
            scenario: before,
            field: None,
        });
        self.revision += 1;
        Some(step.label)
    }

    /// Returns the label of what undo would take back.
    pub fn undo_label(&self) -> Option<&str> {
        self.past.back().map(|s| s.label.as_str())
    }

    /// Returns the label of what redo would do again.
    pub fn redo_label(&self) -> Option<&str> {
        self.future.last().map(|s| s.label.as_str())
    }

    /// Remembers the scenario of now as the one in the file.
    pub fn mark_saved(&mut self) {
        self.saved = Some(Arc::clone(&self.now));
    }

    /// Remembers a snapshot as the one in the file: a thread has written it, and more may have changed.
    pub fn mark_saved_as(&mut self, scenario: Arc<Scenario>) {
        self.saved = Some(scenario);
    }

    /// Forgets what is in the file, because somebody else changed it.
    pub fn mark_unsaved(&mut self) {
        self.saved = None;
    }

    /// Tells whether the scenario is the one in the file.
    pub fn is_saved(&self) -> bool {
        self.saved
            .as_ref()
            .is_some_and(|saved| Arc::ptr_eq(saved, &self.now) || **saved == *self.now)
    }

    fn change(
        &mut self,
        label: &str,
        edits: &[Edit],
        field: Option<&str>,
    ) -> Result<bool, EditError> {
        let after = self.now.apply(edits)?;
        if after == *self.now {
            return Ok(false);
        }
        let before = std::mem::replace(&mut self.now, Arc::new(after));
        self.revision += 1;
        if self.gesture.is_some() {
            return Ok(true);
        }
        let joins = field.is_some()
            && self.future.is_empty()
            && self
                .past
                .back()
                .is_some_and(|last| last.field.as_deref() == field);
        if joins {
            // Typing that ends where it began leaves no step.
            if self
                .past
                .back()
                .is_some_and(|last| *last.scenario == *self.now)
            {
                self.past.pop_back();
            }
        } else {
            self.push(label.to_owned(), before, field.map(str::to_owned));
        }
        Ok(true)
    }

    fn push(&mut self, label: String, before: Arc<Scenario>, field: Option<String>) {
        self.future.clear();
        self.past.push_back(Step {
            label,
            scenario: before,
            field,
        });
        if self.past.len() > CAP {
            self.past.pop_front();
        }
    }
}
