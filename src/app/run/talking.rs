//! Letting somebody talk.

use egui::Context;

use crate::app::action::Hold;
use crate::app::application::Application;
use crate::app::board;
use crate::app::state::Talk;
use crate::model::Party;

impl Application {
    pub(in crate::app) fn talk(&mut self, ctx: &Context, party: Party, hold: Hold) {
        let now = ctx.input(|i| i.time);
        let since = match self.ui.shared.talk {
            Some(talk) if talk.party == party => talk.since,
            _ => now,
        };
        self.ui.shared.talk = Some(Talk { party, since, hold });
    }

    pub(in crate::app) fn latch(&mut self, ctx: &Context) {
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
                .find_map(|t| board::party_of(scenario, phase, *t))
        });
        match party {
            Some(party) => self.talk(ctx, party, Hold::Latched),
            None => self.say("Select a unit first, then let it talk".to_owned()),
        }
    }
}
