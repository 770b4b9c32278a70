//! Answers that are worked out when somebody asks, and kept until the plan moves.

use std::cell::{OnceCell, RefCell};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::derived::{Derived, is_large};
use crate::checks;
use crate::hearing::why_not::why_not_given;
use crate::hearing::{Item, WhyNot};
use crate::model::{ChannelId, Finding, FindingId, Fix, NeedId, Party, PhaseId, PortRef, Scenario};
use crate::picture::Picture;
use crate::picture::compare::{Comparison, compare};
use crate::picture::resilience::Breaks;
use crate::picture::timing::{self, PressAndWait};
use crate::picture::what_if::{self, Lost, Moved};

/// A port with the talk group it is tried out on.
type Trial = (PortRef, Option<u8>);

/// The scenario and phase compared with, and what differs.
type Compared = (Arc<Scenario>, PhaseId, Arc<Comparison>);

/// Answers about hearing as it is shown, without what is out of service.
#[derive(Debug, Default)]
pub(super) struct OfHearing {
    why: RefCell<BTreeMap<(Party, Party), Arc<WhyNot>>>,
    waits: OnceCell<BTreeMap<ChannelId, PressAndWait>>,
    breaks: RefCell<BTreeMap<NeedId, Arc<Breaks>>>,
    lost: RefCell<BTreeMap<Item, Arc<Lost>>>,
    moved: RefCell<BTreeMap<Trial, Option<Arc<Moved>>>>,
}

/// Answers about the plan with everything in service.
#[derive(Debug, Default)]
pub(super) struct OfPlan {
    fixes: RefCell<BTreeMap<FindingId, Arc<Vec<Fix>>>>,
    elsewhere: OnceCell<Vec<(PhaseId, Vec<Finding>)>>,
    compared: RefCell<Option<Compared>>,
}

impl Derived {
    /// Returns how long the people of each channel wait before speaking; empty for a plan too large
    /// to work it out between two frames.
    pub(super) fn press_and_wait(&self) -> &BTreeMap<ChannelId, PressAndWait> {
        /// Parties beyond which it takes too long.
        const MOST: usize = 1_000;
        self.of_hearing.waits.get_or_init(|| {
            if self.picture.hearing().parties().len() > MOST {
                BTreeMap::new()
            } else {
                timing::press_and_wait(&self.picture)
            }
        })
    }

    /// Returns what breaks a need; worked out once.
    pub(super) fn breaks(&self, need: NeedId) -> Option<Arc<Breaks>> {
        if let Some(known) = self.of_hearing.breaks.borrow().get(&need) {
            return Some(Arc::clone(known));
        }
        let found = self.picture.scenario().needs.get(need)?;
        let breaks = Arc::new(self.picture.need_ways().breaks(&self.picture, found));
        self.of_hearing
            .breaks
            .borrow_mut()
            .insert(need, Arc::clone(&breaks));
        Some(breaks)
    }

    /// Returns who loses whom without an item; worked out once.
    pub(super) fn without(&self, item: Item) -> Arc<Lost> {
        if let Some(known) = self.of_hearing.lost.borrow().get(&item) {
            return Arc::clone(known);
        }
        let picture = &self.picture;
        let (scenario, phase) = (picture.scenario(), picture.phase_id());
        let lost = what_if::without(scenario, picture.hearing(), phase, &[item]);
        let lost = Arc::new(lost);
        self.of_hearing
            .lost
            .borrow_mut()
            .insert(item, Arc::clone(&lost));
        lost
    }

    /// Returns what switching a port would change, worked out once; `None` where the plan is too large
    /// to try it out between two frames.
    pub(super) fn moved(&self, port: PortRef, group: Option<u8>) -> Option<Arc<Moved>> {
        let mut known = self.of_hearing.moved.borrow_mut();
        let entry = known.entry((port, group)).or_insert_with(|| {
            let picture = &self.picture;
            let (scenario, phase) = (picture.scenario(), picture.phase_id());
            what_if::switched(scenario, picture.hearing(), phase, port, group).map(Arc::new)
        });
        entry.clone()
    }

    /// Returns the fewest changes that let one hear another; worked out once.
    pub(super) fn why_not(&self, from: Party, to: Party) -> Arc<WhyNot> {
        let mut known = self.of_hearing.why.borrow_mut();
        Arc::clone(known.entry((from, to)).or_insert_with(|| {
            Arc::new(why_not_given(
                self.picture.scenario(),
                self.picture.hearing(),
                self.picture.phase_id(),
                from,
                to,
            ))
        }))
    }

    /// Returns every fix of a finding; worked out once.
    pub(super) fn fixes(&self, finding: &Finding) -> Arc<Vec<Fix>> {
        let mut known = self.of_plan.fixes.borrow_mut();
        Arc::clone(
            known
                .entry(finding.id())
                .or_insert_with(|| Arc::new(checks::fixes(finding, self.plan()))),
        )
    }

    /// Returns the open findings of each other phase that the one shown does not have; worked out once,
    /// and not for a large plan.
    pub(super) fn elsewhere(&self) -> &[(PhaseId, Vec<Finding>)] {
        self.of_plan.elsewhere.get_or_init(|| {
            // Too much between two frames.
            if is_large(&self.of.0) {
                return Vec::new();
            }
            let here: BTreeSet<FindingId> = self.report.open.iter().map(Finding::id).collect();
            let others = self.of.0.phases.ids().filter(|p| *p != self.of.1);
            others
                .map(|phase| {
                    let picture = Picture::new(Arc::clone(&self.of.0), phase);
                    let open = checks::run_all(&picture).open.into_iter();
                    (phase, open.filter(|f| !here.contains(&f.id())).collect())
                })
                .collect()
        })
    }

    /// Returns what differs from the phase shown to another; worked out once.
    pub(super) fn compared(&self, other: PhaseId) -> Arc<Comparison> {
        self.compared_with(&Arc::clone(&self.of.0), other)
    }

    /// Returns what differs from the phase shown to a phase of another scenario; worked out once.
    pub(super) fn compared_with(
        &self,
        scenario: &Arc<Scenario>,
        phase: PhaseId,
    ) -> Arc<Comparison> {
        let mut known = self.of_plan.compared.borrow_mut();
        if let Some((of, other, comparison)) = known.as_ref()
            && Arc::ptr_eq(of, scenario)
            && *other == phase
        {
            return Arc::clone(comparison);
        }
        let after = Picture::new(Arc::clone(scenario), phase);
        let comparison = Arc::new(compare(self.plan(), &after));
        *known = Some((Arc::clone(scenario), phase, Arc::clone(&comparison)));
        comparison
    }
}
