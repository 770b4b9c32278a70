//! What the board remembers between frames.

use std::collections::{BTreeMap, BTreeSet};

use egui::{Pos2, Rect};

use super::camera::Camera;
use super::far::Far;
use super::hit::Hit;
use super::line_draw::Woven;
use super::phase_change::PhaseChange;
use super::pieces::Pieces;
use super::reconnect::{Cut, End, Offered};
use super::rename::Rename;
use super::snap::Guide;
use super::texts::Texts;
use crate::layout::{Folded, Overlay};
use crate::model::connect::Connection;
use crate::model::{PhaseId, Place, ThingId};

/// The board's camera, pointer and drags.
#[derive(Debug, Default)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is a switch of its own, on or off in any order"
)]
pub(crate) struct BoardState {
    /// How the board lies in the window.
    pub camera: Camera,
    /// The board was moved by hand; until then it keeps everything in view by itself.
    pub moved: bool,
    /// What is to be brought into view next.
    pub frame: Option<Vec<ThingId>>,
    /// Places that stand in for the saved ones during a drag.
    pub overlay: Overlay,
    /// Agencies and systems collapsed to one chip.
    pub folded: Folded,
    /// Dragged things come to rest where the pointer has them, not on the grid.
    pub free: bool,
    /// A list of what the selected thing can be joined with is open.
    pub joining: Option<Joining>,
    /// The menu of the selection is to open, or is open, by the keyboard.
    pub menu_by_key: Option<ThingId>,
    /// Where the keys walk; it may be away from what is selected.
    pub(super) cursor: Option<ThingId>,
    /// The keys walked past the end: the next Tab leads to the panels.
    pub(super) leaving: bool,
    /// What was selected when the keys last walked; a selection made otherwise takes them along.
    pub(super) cursor_of: BTreeSet<ThingId>,
    /// The end of a line under the pointer.
    pub(super) end: Option<End>,
    /// A line let go over nothing.
    pub(super) offered: Option<Offered>,
    /// Lines along which a dragged thing lies level with a neighbour.
    pub(super) guides: Vec<Guide>,
    /// The name being changed.
    pub rename: Option<Rename>,
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
    /// The lines near by, as they were last drawn.
    pub(super) woven: Woven,
    /// The pieces in full, as they were last drawn.
    pub(super) pieces: Pieces,
    /// The text, as it was last laid out.
    pub(super) texts: Texts,
}

/// What a dragged thing may come to rest at.
#[derive(Debug, Clone, Default)]
pub(super) struct Rest {
    /// Around everything that is moved, where it stood.
    pub around: Option<Rect>,
    /// Everything that stays.
    pub others: Vec<Rect>,
}

/// A list of what a thing can be joined with.
#[derive(Debug, Clone)]
pub(crate) struct Joining {
    /// The thing.
    pub(super) from: ThingId,
    /// What it can be joined with, and what that does.
    pub(super) targets: Vec<(ThingId, Connection)>,
    /// What was typed to find a target.
    pub(super) wish: String,
    /// The row chosen.
    pub(super) chosen: usize,
    /// Just opened.
    pub(super) fresh: bool,
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
        /// Around what it moves, and what that may lie level with.
        rest: Rest,
    },
    /// It draws a connection.
    Connect {
        /// From what.
        from: ThingId,
        /// What each other thing says to it.
        targets: Targets,
        /// The line that was taken off for it.
        cut: Option<Cut>,
    },
    /// It lets somebody talk.
    Talk,
}

impl BoardState {
    /// Gives up what the pointer is doing; returns whether it did something.
    pub(crate) fn give_up(&mut self) -> bool {
        self.guides.clear();
        let was_busy = self.rename.take().is_some()
            | self.offered.take().is_some()
            | self.joining.take().is_some()
            | self.menu_by_key.take().is_some()
            || !matches!(self.drag, Drag::Idle | Drag::Pressed { .. });
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
