//! What is to be printed and what was given for it. Belongs to the window and to no scenario.

use std::collections::BTreeSet;
use std::path::PathBuf;
use std::sync::Arc;

use crate::app::memory::PaperMemory;
use crate::model::{PhaseId, Scenario};
use crate::paperwork::given::Given;
use crate::paperwork::set::logo::Logo;
use crate::paperwork::set::sheet::Paper;
use crate::paperwork::{Ask, Kind};

/// What was chosen.
#[derive(Debug)]
pub(crate) struct Choice {
    pub(super) kinds: BTreeSet<Kind>,
    /// Every phase, and not only the one shown.
    pub(super) all_phases: bool,
    pub(super) paper: Paper,
    /// Paper of the drawings, where it is another.
    pub(super) wall: Option<Paper>,
    pub(super) agency: String,
    pub(super) by: String,
    pub(super) position: String,
    pub(crate) prepared: String,
    /// Where the logo lies, whether or not it could be read.
    pub(crate) logo_path: Option<PathBuf>,
    pub(crate) logo: Option<Arc<Logo>>,
    /// Why a picture cannot head the pages.
    pub(crate) logo_refused: Option<String>,
}

impl Choice {
    /// Begins with all papers of all phases, and with what was given the last time.
    pub(super) fn new(memory: PaperMemory) -> Self {
        let PaperMemory {
            paper,
            wall,
            agency,
            logo,
            by,
            position,
        } = memory;
        Self {
            kinds: Kind::ALL.into_iter().collect(),
            all_phases: true,
            paper,
            wall,
            agency,
            by,
            position,
            prepared: String::new(),
            logo_path: logo,
            logo: None,
            logo_refused: None,
        }
    }

    /// Returns what is kept for the next start.
    pub(crate) fn memory(&self) -> PaperMemory {
        PaperMemory {
            paper: self.paper,
            wall: self.wall,
            agency: self.agency.clone(),
            logo: self.logo_path.clone(),
            by: self.by.clone(),
            position: self.position.clone(),
        }
    }

    /// Heads the pages without a logo.
    pub(crate) fn drop_logo(&mut self) {
        self.logo_path = None;
        self.logo = None;
        self.logo_refused = None;
    }

    /// Returns what is to be set of a scenario.
    pub(crate) fn ask(&self, scenario: &Arc<Scenario>, phase: PhaseId) -> Ask {
        let phases = if self.all_phases {
            scenario.phases.ids().collect()
        } else {
            vec![phase]
        };
        Ask {
            scenario: Arc::clone(scenario),
            kinds: self.kinds.clone(),
            phases,
            given: Given {
                paper: self.paper,
                wall: self.wall.unwrap_or(self.paper),
                agency: self.agency.clone(),
                logo: self.logo.clone(),
                by: self.by.clone(),
                position: self.position.clone(),
                prepared: self.prepared.clone(),
            },
        }
    }
}

/// Tells whether two ask for the same pages, without looking into the scenario: an edit makes another.
pub(super) fn is_same(a: &Ask, b: &Ask) -> bool {
    let without_logo = |given: &Given| Given {
        logo: None,
        ..given.clone()
    };
    let logo = match (&a.given.logo, &b.given.logo) {
        (Some(a), Some(b)) => Arc::ptr_eq(a, b),
        (None, None) => true,
        _ => false,
    };
    logo && Arc::ptr_eq(&a.scenario, &b.scenario)
        && a.kinds == b.kinds
        && a.phases == b.phases
        && without_logo(&a.given) == without_logo(&b.given)
}
