//! What a view is given to read, and where it puts what it asks for.

use std::sync::Arc;

use super::action::Action;
use super::command::Command;
use super::derived::Derived;
use super::state::{Look, Shared};
use super::theme::Tokens;
use crate::history::Document;
use crate::model::{Edit, Phase, PhaseId, Scenario, ThingId};

/// Shared facts for a view, and the list of its requests.
pub(super) struct ViewCtx<'a> {
    /// The scenario.
    pub scenario: &'a Arc<Scenario>,
    /// Its history, for labels.
    pub document: &'a Document,
    /// What follows from it.
    pub derived: &'a Derived,
    /// What the window remembers for all views.
    pub shared: &'a Shared,
    /// Which panels are shown, and how.
    pub look: Look,
    /// Colours.
    pub tokens: &'static Tokens,
    /// Today's date, as YYYY-MM-DD.
    pub today: &'a str,
    /// The time of day, as HH:MM and the zone; empty where there is no clock.
    pub time: &'a str,
    /// What is asked for.
    pub actions: &'a mut Vec<Action>,
    /// What lies under the pointer, in words.
    pub hint: &'a mut String,
    /// What a panel points at in this frame, for the board to light.
    pub lit: &'a mut Vec<ThingId>,
}

impl ViewCtx<'_> {
    /// Asks for something.
    pub(super) fn push(&mut self, action: Action) {
        self.actions.push(action);
    }

    /// Asks for a command.
    pub(super) fn command(&mut self, command: Command) {
        self.actions.push(Action::Command(command));
    }

    /// Asks for edits as one step.
    pub(super) fn apply(&mut self, label: impl Into<String>, edits: Vec<Edit>) {
        self.actions.push(Action::Apply {
            label: label.into(),
            edits,
        });
    }

    /// Asks for edits that follow from what was derived, unless that is of another state of the plan.
    pub(super) fn apply_derived(&mut self, label: impl Into<String>, edits: Vec<Edit>) {
        if !self.derived.is_current() {
            let words = "This is being worked out anew: wait until it is there";
            self.push(Action::Say(words.to_owned()));
        } else if !self.shared.out.is_empty() {
            let words = "Put everything back in service first: this is of the plan without it";
            self.push(Action::Say(words.to_owned()));
        } else {
            self.apply(label, edits);
        }
    }

    /// Returns the phase shown.
    pub(super) fn phase(&self) -> Option<&Phase> {
        self.scenario.phases.get(self.shared.phase)
    }

    /// Lists the phases after the one shown, in the order of the plan.
    pub(super) fn later_phases(&self) -> Vec<PhaseId> {
        let mut phases = self.scenario.phases.ids();
        let here = phases.find(|phase| *phase == self.shared.phase);
        here.map(|_| phases.collect()).unwrap_or_default()
    }

    /// Tells whether a thing is selected.
    pub(super) fn is_selected(&self, thing: ThingId) -> bool {
        self.shared.selection.contains(&thing)
    }
}
