//! What views ask for. They push these; `run` drains them in one place.

use std::path::PathBuf;

use egui::Pos2;

use super::command::Command;
use super::effects::Kept;
use super::pace::Pace;
use super::shelf::Article;
use super::state::{Dialog, Tab, TableKind};
use crate::hearing::Item;
use crate::library::Source;
use crate::library::typed::Offer;
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
    /// Adds a ready-made thing; `at` is a spot on the board and what lies there.
    AddReady {
        /// Where it lies.
        source: Source,
        /// Where it was dropped, in board points, if it was dropped.
        at: Option<Pos2>,
        /// What it was dropped on.
        on: Option<ThingId>,
    },
    /// Adds what was typed.
    AddOffer(Offer),
    /// Pastes a text from the clipboard onto the board.
    Paste(String),
    /// Takes a thing out of the person's own ones.
    Unkeep(ThingId),
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
    /// Answers the question about a file that changed outside: read it, or keep what is here.
    ChangedOutside {
        /// Read it.
        read: bool,
    },
    /// Opens what a window that did not end well has kept.
    Recover(Kept),
    /// Throws away what such a window has kept.
    DropKept(Kept),
    /// Closes the card about a pair.
    Unask,
    /// The tour is over.
    Toured,
    /// Stops what a thread works out, or lets it be worked out after all.
    Work {
        /// Stop it.
        stop: bool,
    },
    /// Stops what a person waits for: saving, exporting, reading.
    StopErrand,
    /// Lets a party talk beside the one who is kept talking; alone when nobody is.
    TalkOver(Party, Hold),
    /// Ends what was held by the pointer or the key.
    LetGo(Hold),
    /// Whether a talk goes on when it is let go.
    Lesson(bool),
    /// Shows the talk faster or slower.
    Pace(Pace),
    /// Takes an item out of service, or puts it back.
    OutOfService(Item),
    /// Sets another phase against the one shown, or none.
    Compare(Option<PhaseId>),
    /// Ends comparing with another file.
    EndComparing,
    /// Asks where to write a table for spreadsheets.
    ExportTable(TableKind),
    /// Asks about a speaker and whoever is chosen next on the board.
    Asking(Party),
    /// Goes to a thing wherever it is shown: the phase, the board, or its details.
    GoTo(ThingId),
    /// Does something with the papers.
    Paper(PaperAction),
    /// Shows a file or folder in the system's own viewer.
    ShowFile(PathBuf),
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

/// What the papers ask for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum PaperAction {
    /// Asks for a folder, to write the papers there.
    Save,
    /// Ends the making of files.
    Cancel,
    /// Writes over what is in the way, or leaves it all as it is.
    Replace(bool),
    /// Asks for a logo.
    ChooseLogo,
    /// Heads the pages without one.
    NoLogo,
    /// Takes date and time from the clock.
    Now,
}
