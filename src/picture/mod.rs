//! All that is derived of one scenario in one phase; immutable, what everyone above reads.

use std::sync::Arc;

use crate::hearing::Hearing;
use crate::model::{PhaseId, Scenario};

/// The derived picture. (stub)
#[derive(Debug, Clone)]
pub struct Picture {
    /// The scenario it was derived from.
    pub scenario: Arc<Scenario>,
    /// The phase.
    pub phase: PhaseId,
    /// Who hears whom.
    pub hearing: Hearing,
}

impl Picture {
    /// Derives the picture.
    pub fn new(scenario: Arc<Scenario>, phase: PhaseId) -> Self {
        let hearing = Hearing::derive(&scenario, phase);
        Self {
            scenario,
            phase,
            hearing,
        }
    }
}
