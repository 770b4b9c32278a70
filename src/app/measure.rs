//! What a bench asks the window for: counts, spots, and the board without its panels.
//!
//! Nothing here changes the scenario.

use egui::Pos2;

use super::application::Application;
use crate::model::ThingId;

impl Application {
    /// Hides shelf and side panel, so that the board has the window for itself.
    pub fn hide_panels(&mut self) {
        self.ui.look.shelf = false;
        self.ui.look.side = false;
    }

    /// Returns how many things stand on the board, what they carry and what is in them not counted,
    /// and how many lines join them.
    pub fn counted(&self) -> (usize, usize) {
        let layout = &self.derived.layout;
        let things =
            layout.cards.len() + layout.pills.len() + layout.boxes.len() + layout.loose.len();
        (things, layout.lines.len())
    }

    /// Brings a thing into view in the next frame, large enough to read.
    pub fn look_at(&mut self, thing: ThingId) {
        self.ui.board.frame = Some(vec![thing]);
    }

    /// Returns the middle of a thing in the window, if it stands on the board.
    pub fn spot_of(&self, thing: ThingId) -> Option<Pos2> {
        let rect = self.derived.layout.rect(thing)?;
        Some(self.ui.board.camera.out(rect.center()))
    }

    /// Returns the thing under a spot of the window.
    pub fn thing_at(&self, spot: Pos2) -> Option<ThingId> {
        let spot = self.ui.board.camera.board_spot(spot);
        super::board::thing_at(&self.derived.layout, spot, self.ui.board.camera.zoom)
    }
}
