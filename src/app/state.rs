//! What the window remembers that is no part of the scenario: never saved with it, never undone.

use std::collections::BTreeSet;
use std::path::PathBuf;
use std::sync::Arc;

use super::action::Hold;
use super::board::BoardState;
use super::effects::{Ask, Kept};
use super::files::FileProblem;
use super::memory::Memory;
use super::pace::Pace;
use super::panels::{
    AdderState, CalculatorsState, DetailsState, FiguresState, FinderState, FindingsState,
    MatrixState, PaperState, ShelfState, Topic,
};
use super::theme::Colours;
use super::views::ViewsState;
use crate::exchange::{Import, Mapping, Source};
use crate::format::excerpt::Excerpt;
use crate::hearing::Item;
use crate::model::{FindingId, Party, PhaseId, Scenario, ThingId};

/// What all views see of the window's state.
#[derive(Debug, Clone)]
pub(super) struct Shared {
    /// The phase shown.
    pub phase: PhaseId,
    /// What is selected.
    pub selection: BTreeSet<ThingId>,
    /// Who talks.
    pub talk: Option<Talk>,
    /// The pair asked about.
    pub asked: Option<(Party, Party)>,
    /// What lies under the pointer, in words, for the status bar.
    pub hint: String,
    /// The tab shown in the side panel.
    pub tab: Tab,
    /// What is shown in the middle.
    pub view: View,
    /// The scenario's file.
    pub file: Option<PathBuf>,
    /// Files opened lately.
    pub recent: Vec<PathBuf>,
    /// Draw the needs as lines.
    pub show_needs: bool,
    /// The person's own ready-made things.
    pub own: Arc<Excerpt>,
    /// Who talks while the first one goes on.
    pub second: Option<Talk>,
    /// A talk goes on when it is let go.
    pub lesson: bool,
    /// How fast the talk is shown.
    pub pace: Pace,
    /// The phase that is set against the one shown.
    pub compare: Option<PhaseId>,
    /// The other file that the plan is set against.
    pub against: Option<Against>,
    /// Nothing glides or pulses.
    pub less_motion: bool,
    /// What is out of service, to see what then holds. It is no part of the scenario.
    pub out: BTreeSet<Item>,
    /// Who speaks in a question whose hearer is still to be chosen on the board.
    pub asking: Option<Party>,
    /// What a thread is out for that a person waits for, and since when.
    pub errand: Option<(String, f64)>,
}

impl Shared {
    /// Tells whether anybody talks by the pointer or by the key.
    pub(super) fn is_held(&self, hold: Hold) -> bool {
        [self.talk, self.second]
            .into_iter()
            .flatten()
            .any(|talk| talk.hold == hold)
    }

    /// Tells whether a party may begin to talk now.
    pub(super) fn may_begin(&self, party: Party) -> bool {
        match self.talk {
            None => true,
            Some(first) => {
                let may_follow = |talk: Talk| talk.hold == Hold::Latched && talk.party != party;
                may_follow(first) && self.second.is_none_or(may_follow)
            }
        }
    }

    /// Returns how long somebody has talked, in seconds of the talk, at a time of the window's clock.
    pub(super) fn talked(&self, talk: Talk, now: f64) -> f32 {
        ((now - talk.since) * self.pace.factor()) as f32
    }
}

/// Somebody who talks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Talk {
    /// Who.
    pub party: Party,
    /// Since when, in seconds of the window's clock.
    pub since: f64,
    /// What keeps them talking.
    pub hold: Hold,
}

/// The tabs of the side panel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) enum Tab {
    /// What will go wrong.
    #[default]
    Findings,
    /// The fields of what is selected.
    Details,
    /// Who hears whom.
    Matrix,
    /// The numbers behind the findings.
    Figures,
}

/// What the middle of the window shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) enum View {
    /// The board.
    #[default]
    Board,
    /// Everyone by everyone.
    Matrix,
    /// Each need with its state.
    Needs,
    /// Each gateway's talk groups as lanes.
    Groups,
    /// The antennas of a site from above.
    Site,
    /// Everything as tables.
    Tables,
    /// What is to be ticked off on the spot.
    Precheck,
}

/// What stands before the window until it is answered.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Dialog {
    /// Unsaved changes, and what waits for the answer.
    Unsaved(Next),
    /// A file that could not be read, with everything wrong in it.
    Problems {
        /// Name of the file.
        file: String,
        /// What is wrong, where.
        problems: Vec<FileProblem>,
    },
    /// Something that failed.
    Failed {
        /// What was tried.
        title: String,
        /// Why it failed.
        reason: String,
    },
    /// A finding to be accepted.
    Accept {
        /// Which.
        finding: FindingId,
        /// Its facts.
        facts: u64,
        /// Its headline.
        headline: String,
        /// The reason typed so far.
        reason: String,
        /// The name typed so far.
        by: String,
        /// Put it aside only, until this phase begins.
        until: Option<PhaseId>,
    },
    /// Papers that are there already.
    ReplacePapers {
        /// The folder.
        folder: PathBuf,
        /// How many files are in the way.
        count: usize,
    },
    /// A path to be typed, where the system has no file chooser.
    Path {
        /// What it is for.
        asked: Ask,
        /// The path typed so far.
        text: String,
    },
    /// A table to be written for spreadsheets.
    ExportTable {
        /// Which.
        table: TableKind,
    },
    /// Channels of a table to be taken in.
    ImportChannels(Box<Importing>),
    /// A file that is there already and is not the open one.
    Replace {
        /// Its path.
        path: PathBuf,
    },
    /// The open file changed outside.
    ChangedOutside {
        /// Its path.
        path: PathBuf,
        /// It was about to be saved.
        save: bool,
    },
    /// What windows that did not end well have kept.
    Recover {
        /// Each recovery file.
        kept: Vec<Kept>,
    },
    /// A file being read.
    Opening {
        /// Its name.
        file: String,
    },
    /// The help, opened at a page.
    HowTo {
        /// The page.
        topic: Topic,
    },
    /// What a plan does not prove.
    Cautions,
    /// The handbook of checks, opened at a code.
    Handbook {
        /// The code to begin at.
        code: Option<String>,
    },
}

/// A table of channels, and what it would become.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Importing {
    /// Name of the file.
    pub file: String,
    /// The table.
    pub source: Source,
    /// What each column is taken for.
    pub mapping: Mapping,
    /// Leave out the rows that cannot be imported.
    pub skip_bad: bool,
    /// What it would become, of the scenario and the mapping it was worked out for.
    pub known: Option<(Arc<Scenario>, Mapping, Import)>,
}

/// The tables that are written for spreadsheets and programs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum TableKind {
    /// Every channel, in the columns of ICS 217A.
    Ics217a,
    /// The channels in use, in the columns of ICS 205.
    Ics205,
    /// Who hears whom.
    Matrix,
    /// What will go wrong.
    Findings,
    /// Who hears whom, for programs.
    MatrixJson,
    /// What will go wrong, for programs.
    FindingsJson,
}

/// Another scenario that the one shown is compared with.
#[derive(Debug, Clone)]
pub(super) struct Against {
    /// Name of its file.
    pub file: String,
    /// The scenario.
    pub scenario: Arc<Scenario>,
    /// The phase of it.
    pub phase: PhaseId,
}

/// What waits for the answer about unsaved changes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Next {
    /// A new scenario.
    New,
    /// The file chooser.
    Choose,
    /// A file.
    Open(PathBuf),
    /// A shipped scenario.
    Sample(usize),
    /// The end.
    Quit,
}

/// Something said in passing.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Toast {
    /// What.
    pub text: String,
    /// Until when, in seconds of the window's clock; `None` until it was first shown.
    pub until: Option<f64>,
    /// It tells of this step, which can be undone as long as it is the last.
    pub step: Option<u64>,
    /// It tells of this file or folder, which can be opened.
    pub opens: Option<PathBuf>,
}

/// Which panels are shown, and how.
#[derive(Debug, Clone, Copy, PartialEq)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is a switch of its own, on or off in any order"
)]
pub(super) struct Look {
    /// The shelf is shown.
    pub shelf: bool,
    /// The side panel is shown.
    pub side: bool,
    /// The colours.
    pub colours: Colours,
    /// Somebody chose the colours.
    pub is_chosen: bool,
    /// How much larger than usual everything is shown.
    pub scale: f32,
    /// Controls are large enough for fingers and gloves.
    pub touch: bool,
    /// Width of the side panel, in points.
    pub side_width: f32,
    /// The board stays in sight beside another view.
    pub beside: bool,
}

/// Everything the window remembers.
#[derive(Debug)]
pub(super) struct UiState {
    /// What all views see.
    pub shared: Shared,
    /// The board's camera, pointer and drags.
    pub board: BoardState,
    /// The list of findings.
    pub findings: FindingsState,
    /// Fields being typed in.
    pub details: DetailsState,
    /// The matrix.
    pub matrix: MatrixState,
    /// The figures.
    pub figures: FiguresState,
    /// The calculators; what is typed there belongs to no scenario.
    pub calculators: CalculatorsState,
    /// The shelf: what is looked for there.
    pub shelf: ShelfState,
    /// The field in which one types what to add.
    pub adder: AdderState,
    /// Finding, and the palette of commands.
    pub finder: FinderState,
    /// The views in the middle.
    pub views: ViewsState,
    /// What must be answered first.
    pub dialog: Option<Dialog>,
    /// The stop of the tour, while it is on.
    pub tour: Option<usize>,
    /// What is said in passing.
    pub toast: Option<Toast>,
    /// The table that is being written.
    pub exporting: TableKind,
    /// What waits for a save to end.
    pub after_save: Option<Next>,
    /// Which panels are shown, and how.
    pub look: Look,
    /// Quit without asking.
    pub may_quit: bool,
    /// Name of the planner, remembered from one acceptance to the next.
    pub planner: String,
    /// What is printed, and what is given for it.
    pub paper: PaperState,
}

impl UiState {
    /// Makes the state for a scenario just opened.
    ///
    /// `dark` is the desktop's theme, which counts until somebody chose colours here.
    pub(super) fn new(phase: PhaseId, dark: bool, memory: Memory) -> Self {
        let desktop = if dark { Colours::Dark } else { Colours::Light };
        Self {
            shared: Shared {
                phase,
                selection: BTreeSet::new(),
                talk: None,
                asked: None,
                hint: String::new(),
                tab: memory.tab,
                view: memory.view,
                file: None,
                recent: Vec::new(),
                show_needs: false,
                own: Arc::new(Excerpt::empty("")),
                second: None,
                lesson: false,
                pace: Pace::default(),
                compare: None,
                against: None,
                less_motion: memory.less_motion,
                out: BTreeSet::new(),
                asking: None,
                errand: None,
            },
            board: BoardState::default(),
            findings: FindingsState::default(),
            details: DetailsState::default(),
            matrix: MatrixState::default(),
            figures: FiguresState::default(),
            calculators: CalculatorsState::default(),
            shelf: ShelfState::default(),
            adder: AdderState::default(),
            finder: FinderState::default(),
            views: ViewsState::default(),
            dialog: None,
            tour: None,
            toast: None,
            exporting: TableKind::Ics217a,
            after_save: None,
            look: Look {
                shelf: memory.shelf,
                side: memory.side,
                colours: memory.colours.unwrap_or(desktop),
                is_chosen: memory.colours.is_some(),
                scale: memory.scale,
                touch: memory.touch,
                side_width: memory.side_width,
                beside: memory.beside,
            },
            may_quit: false,
            planner: String::new(),
            paper: PaperState::new(memory.paper),
        }
    }

    /// Forgets what belonged to the scenario before.
    pub(super) fn start_over(&mut self, phase: PhaseId) {
        self.shared.phase = phase;
        self.shared.selection.clear();
        self.shared.talk = None;
        self.shared.second = None;
        self.shared.asking = None;
        self.shared.out.clear();
        self.shared.compare = None;
        self.shared.against = None;
        self.shared.asked = None;
        self.board = BoardState::default();
        self.findings = FindingsState::default();
        self.details = DetailsState::default();
        self.matrix = MatrixState::default();
        self.figures = FiguresState::default();
        self.views = ViewsState::default();
        self.adder = AdderState::default();
        self.finder.start_over();
        self.paper.start_over();
    }
}
