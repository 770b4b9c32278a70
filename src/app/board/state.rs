//! What the board remembers between frames.

use std::collections::BTreeMap;

use egui::Pos2;

use super::camera::Camera;
use super::far::Far;
use super::hit::Hit;
use super::layout::Overlay;
use super::phase_change::PhaseChange;
use crate::model::connect::Connection;
use crate::model::{PhaseId, Place, ThingId};

/// The board's camera, pointer and drags.
#[derive(Debug, Default)]
pub(crate) struct BoardState {
    /// How the board lies in the window.
    pub camera: Camera,
    /// The board was moved by hand; until then it keeps everything in view by itself.
    pub moved: bool,
    /// What is to be brought into view next.
    pub frame: Option<Vec<ThingId>>,
    /// Places that stand in for the saved ones during a drag.
    pub overlay: Overlay,
    /// What lies under the pointer.
    pub(super) hovered: Option<Hit>,
    /// What the pointer is doing.
    pub(super) drag: Drag,
    /// The list of who loses whom is open.
    pub(super) list_open: bool,
    /// What a list over the board points at.
    pub(super) pointed: Vec<ThingId>,
    /// The phase shown in the last frame.
    pub(super) shown: Option<PhaseId>,
    /// The change of phase under way.
    pub(super) change: Option<PhaseChange>,
    /// What the context menu is about.
    pub(super) menu: Option<Hit>,
    /// The board from far away, as it was last drawn.
    pub(super) far: Far,
}

/// What joining the dragged thing with another would do, or why it cannot be.
pub(super) type Targets = BTreeMap<ThingId, Result<Connection, String>>;

/// What the pointer is doing.
#[derive(Debug, Default)]
pub(super) enum Drag {
    /// Nothing.
    #[default]
    Idle,
    /// It is down and has not moved.
    Pressed {
        /// On what.
        hit: Option<Hit>,
        /// Where, in the window.
        at: Pos2,
        /// Since when.
        since: f64,
    },
    /// It moves the board.
    Pan,
    /// It draws a box around things.
    Band {
        /// Where it began, on the board.
        from: Pos2,
    },
    /// It moves things.
    Move {
        /// Where they stood.
        things: BTreeMap<ThingId, Pos2>,
        /// Where it began, on the board.
        from: Pos2,
    },
    /// It draws a connection.
    Connect {
        /// From what.
        from: ThingId,
        /// What each other thing says to it.
        targets: Targets,
    },
    /// It lets somebody talk.
    Talk,
}

impl BoardState {
    /// Gives up what the pointer is doing; returns whether it did something.
    pub(crate) fn give_up(&mut self) -> bool {
        let was_busy = !matches!(self.drag, Drag::Idle | Drag::Pressed { .. });
        self.drag = Drag::Idle;
        self.overlay.clear();
        was_busy
    }

    /// Tells whether the pointer is in the middle of something.
    pub(crate) fn is_busy(&self) -> bool {
        !matches!(self.drag, Drag::Idle)
    }

    /// Puts a thing somewhere for as long as the drag lasts.
    pub(super) fn overlay_put(&mut self, thing: ThingId, place: Place) {
        self.overlay.insert(thing, place);
    }
}
