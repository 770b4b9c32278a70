//! Whether each need is met in each phase: worked out one phase a frame and kept, for plans small enough
//! to do that between two frames.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::model::{NeedId, PhaseId, Scenario};
use crate::picture::Picture;
use crate::picture::standing::{met_by, met_in};

/// Parties up to which the other phases are worked out too.
pub(super) const MOST: usize = 1_000;

/// What is known of each phase.
#[derive(Debug, Default)]
pub(super) struct Phases {
    scenario: Option<Arc<Scenario>>,
    met: BTreeMap<PhaseId, BTreeMap<NeedId, bool>>,
}

impl Phases {
    /// Works out at most one phase more; returns whether some are still to be done.
    pub(super) fn step(&mut self, picture: &Picture) -> bool {
        let scenario = picture.scenario_arc();
        let is_same = self
            .scenario
            .as_ref()
            .is_some_and(|known| Arc::ptr_eq(known, scenario));
        if !is_same {
            self.scenario = Some(Arc::clone(scenario));
            self.met.clear();
        }
        self.met
            .entry(picture.phase_id())
            .or_insert_with(|| met_by(scenario, picture.hearing()));
        if picture.hearing().parties().len() > MOST {
            return false;
        }
        let mut missing = scenario.phases.ids().filter(|p| !self.met.contains_key(p));
        let Some(phase) = missing.next() else {
            return false;
        };
        let more = missing.next().is_some();
        self.met.insert(phase, met_in(scenario, phase));
        more
    }

    /// Tells whether a need is met in a phase, where that is known.
    pub(super) fn is_met(&self, phase: PhaseId, need: NeedId) -> Option<bool> {
        self.met.get(&phase)?.get(&need).copied()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples::SHIPPED;

    #[test]
    fn every_phase_is_known_after_as_many_steps_and_a_new_scenario_begins_anew() {
        let sample = SHIPPED.first().unwrap();
        let syntax = crate::format::Syntax::of_name(sample.file_name);
        let scenario = Arc::new(crate::format::read(sample.text, syntax).unwrap());
        let ids: Vec<PhaseId> = scenario.phases.ids().collect();
        let picture = Picture::new(Arc::clone(&scenario), ids[0]);
        let mut phases = Phases::default();
        let mut steps = 0;
        while phases.step(&picture) {
            steps += 1;
        }
        assert!(steps < ids.len());
        for phase in &ids {
            for (need, met) in met_in(&scenario, *phase) {
                assert_eq!(phases.is_met(*phase, need), Some(met));
            }
        }
        let other = Picture::new(Arc::new(Scenario::new("Other")), ids[0]);
        phases.step(&other);
        let need = scenario.needs.first().unwrap().id;
        assert_eq!(phases.is_met(ids[0], need), None);
    }
}
