//! What views ask for. They push these; `run` drains them in one place.

use std::path::PathBuf;

use egui::Pos2;

use super::command::Command;
use super::shelf::Article;
use super::state::{Dialog, Tab};
use crate::model::{Edit, Party, PhaseId, ThingId};

/// One request, with all it needs.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Action {
    /// Applies edits as one step.
    Apply {
        /// Name of the step.
        label: String,
        /// The edits.
        edits: Vec<Edit>,
    },
    /// Applies edits made by typing in a field.
    Type {
        /// Name of the step.
        label: String,
        /// The field.
        field: String,
        /// The edits.
        edits: Vec<Edit>,
    },
    /// Ends the joining of typed edits.
    Seal,
    /// Does a command.
    Command(Command),
    /// Selects exactly these things.
    Select(Vec<ThingId>),
    /// Takes a thing into the selection, or out of it.
    Toggle(ThingId),
    /// Selects these things and brings them into view.
    Show(Vec<ThingId>),
    /// Adds a thing from the shelf; `at` is a spot on the board and what lies there.
    Add {
        /// What to add.
        article: Article,
        /// Where it was dropped, in board points, if it was dropped.
        at: Option<Pos2>,
        /// What it was dropped on.
        on: Option<ThingId>,
    },
    /// Shows another phase.
    Phase(PhaseId),
    /// Lets a party talk.
    Talk(Party, Hold),
    /// Ends the talking.
    Quiet,
    /// Opens the card that says why one does not hear another, or how.
    Ask(Party, Party),
    /// Shows a tab of the side panel.
    Tab(Tab),
    /// Opens a file.
    Open(PathBuf),
    /// Opens a shipped scenario, by its place in the list.
    OpenSample(usize),
    /// Opens a dialog.
    Dialog(Dialog),
    /// Goes on with what waited for the answer about unsaved changes.
    GoOn {
        /// Save first.
        save: bool,
    },
    /// Uses a path typed in the window in place of the system's chooser.
    TypedPath(PathBuf),
    /// Saves over a file that is there already.
    ReplaceFile(PathBuf),
    /// Says something in passing.
    Say(String),
    /// Goes to a thing wherever it is shown: the phase, the board, or its details.
    GoTo(ThingId),
}

/// What keeps a party talking.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Hold {
    /// The mouse button.
    Pointer,
    /// The key.
    Key,
    /// Nothing: until it is ended.
    Latched,
}
