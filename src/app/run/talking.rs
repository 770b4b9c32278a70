//! Letting somebody talk, letting a second one talk at the same time, and how fast it is shown.

use egui::Context;

use crate::app::action::Hold;
use crate::app::application::Application;
use crate::app::board;
use crate::app::pace::Pace;
use crate::app::state::Talk;
use crate::model::Party;

impl Application {
    /// Lets a party talk, and nobody else.
    pub(in crate::app) fn talk(&mut self, ctx: &Context, party: Party, hold: Hold) {
        let now = ctx.input(|i| i.time);
        let since = match self.ui.shared.talk {
            Some(talk) if talk.party == party => talk.since,
            _ => now,
        };
        self.ui.shared.talk = Some(Talk { party, since, hold });
        self.ui.shared.second = None;
    }

    /// Lets a party talk while another goes on; alone when nobody is kept talking.
    pub(in crate::app) fn talk_over(&mut self, ctx: &Context, party: Party, hold: Hold) {
        match self.ui.shared.talk {
            Some(first) if first.hold == Hold::Latched && first.party != party => {
                let since = ctx.input(|i| i.time);
                self.ui.shared.second = Some(Talk { party, since, hold });
            }
            _ => self.talk(ctx, party, hold),
        }
    }

    /// Ends what the pointer or the key held; in a lesson both go on.
    pub(in crate::app) fn let_go(&mut self, hold: Hold) {
        let shared = &mut self.ui.shared;
        if shared.lesson
            && let Some(second) = &mut shared.second
            && second.hold == hold
        {
            second.hold = Hold::Latched;
        }
        shared.second = shared.second.filter(|t| t.hold != hold);
        if let Some(talk) = &mut shared.talk
            && talk.hold == hold
        {
            if shared.lesson {
                talk.hold = Hold::Latched;
            } else {
                shared.talk = None;
            }
        }
    }

    /// Ends all talking; returns whether somebody talked.
    pub(in crate::app) fn quiet(&mut self) -> bool {
        self.ui.shared.second = None;
        self.ui.shared.talk.take().is_some()
    }

    /// Keeps the selected party talking, or lets it talk beside the one who is kept talking; ends the
    /// talking when it talks already.
    pub(in crate::app) fn latch(&mut self, ctx: &Context) {
        let selected = self.selected_party();
        if let Some(talk) = &mut self.ui.shared.talk {
            if talk.hold != Hold::Latched {
                talk.hold = Hold::Latched;
                return;
            }
            let first = talk.party;
            let second = self.ui.shared.second.map(|t| t.party);
            match selected {
                Some(party) if party != first && second != Some(party) => {
                    self.talk_over(ctx, party, Hold::Latched);
                }
                _ => drop(self.quiet()),
            }
            return;
        }
        match selected {
            Some(party) => self.talk(ctx, party, Hold::Latched),
            None => self.say("Select a unit first, then let it talk".to_owned()),
        }
    }

    /// Turns the lesson on or off; whoever talks as it is turned on goes on.
    pub(in crate::app) fn lesson(&mut self, on: bool) {
        self.ui.shared.lesson = on;
        self.say(if on {
            "Lesson: whoever is pressed stays talking, until Escape".to_owned()
        } else {
            "Whoever is pressed talks until let go".to_owned()
        });
        if on && let Some(talk) = &mut self.ui.shared.talk {
            talk.hold = Hold::Latched;
        }
    }

    /// Changes how fast the talk is shown, from where it is now.
    pub(in crate::app) fn pace(&mut self, ctx: &Context, pace: Pace) {
        let now = ctx.input(|i| i.time);
        let shared = &mut self.ui.shared;
        let change = shared.pace.factor() / pace.factor();
        for talk in [&mut shared.talk, &mut shared.second].into_iter().flatten() {
            talk.since = now - (now - talk.since) * change;
        }
        shared.pace = pace;
    }

    fn selected_party(&self) -> Option<Party> {
        let scenario = self.document.scenario();
        let phase = scenario.phases.get(self.ui.shared.phase)?;
        let mut selection = self.ui.shared.selection.iter();
        selection.find_map(|t| board::party_of(scenario, phase, *t))
    }
}
