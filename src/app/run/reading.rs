//! Asking about two, and putting things out of service to see what then holds.

use egui::Context;

use crate::app::action::Action;
use crate::app::application::Application;
use crate::app::board;
use crate::hearing::Item;
use crate::model::{Kind, Party, ThingId};

impl Application {
    /// Asks about the two that are selected; with one, waits for the other to be clicked.
    pub(in crate::app) fn ask_two(&mut self, ctx: &Context) {
        let scenario = self.document.scenario();
        let mut parties: Vec<Party> = Vec::new();
        if let Some(phase) = scenario.phases.get(self.ui.shared.phase) {
            for thing in &self.ui.shared.selection {
                parties.extend(board::party_of(scenario, phase, *thing));
            }
        }
        parties.dedup();
        match parties.as_slice() {
            [] => self.say("Select one unit or two first, then ask about them".to_owned()),
            [one] => self.asking(*one),
            [from, to, ..] => self.act(ctx, Action::Ask(*from, *to)),
        }
    }

    /// Waits for the hearer of a question to be clicked.
    pub(in crate::app) fn asking(&mut self, party: Party) {
        self.quiet();
        self.ui.shared.asked = None;
        self.ui.shared.asking = Some(party);
    }

    /// Takes an item out of service, or puts it back.
    pub(in crate::app) fn out_of_service(&mut self, item: Item) {
        let out = &mut self.ui.shared.out;
        if !out.remove(&item) {
            out.insert(item);
        }
    }

    /// Takes what is selected out of service; puts it back where all of it is out.
    pub(in crate::app) fn selection_out_of_service(&mut self) {
        let selection = &self.ui.shared.selection;
        let items: Vec<Item> = selection.iter().copied().filter_map(item_of).collect();
        if items.is_empty() {
            self.say("Select a radio, channel, system, gateway, port or unit first".to_owned());
            return;
        }
        let out = &mut self.ui.shared.out;
        if items.iter().all(|item| out.contains(item)) {
            out.retain(|item| !items.contains(item));
        } else {
            out.extend(items);
        }
    }
}

/// Returns a thing as something that can be out of service.
pub(in crate::app) fn item_of(thing: ThingId) -> Option<Item> {
    let can_fail = matches!(
        thing.kind(),
        Kind::Unit
            | Kind::System
            | Kind::Channel
            | Kind::Radio
            | Kind::Gateway
            | Kind::Port
            | Kind::TalkGroup
            | Kind::Tie
            | Kind::Telephone
            | Kind::Headset
            | Kind::Site
    );
    can_fail.then_some(Item::Thing(thing))
}
