//! Answers that are worked out when somebody asks, and kept until the plan moves.

use std::cell::{OnceCell, RefCell};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use egui::Context;

use super::derived::{Derived, is_large};
use super::later::{Later, Question};
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

/// Findings by phase.
type ByPhase = Vec<(PhaseId, Vec<Finding>)>;

/// A snapshot as a key, for as long as somebody holds it.
type Snapshot = usize;

/// What differs, with the scenario it was compared with, so that no other takes its place in memory.
#[derive(Debug)]
struct Compared {
    comparison: Arc<Comparison>,
    _with: Arc<Scenario>,
}

/// Answers about hearing as it is shown, without what is out of service.
#[derive(Debug)]
pub(super) struct OfHearing {
    why: Later<(Party, Party), WhyNot>,
    waits: OnceCell<BTreeMap<ChannelId, PressAndWait>>,
    breaks: RefCell<BTreeMap<NeedId, Arc<Breaks>>>,
    lost: Later<Item, Lost>,
    moved: RefCell<BTreeMap<Trial, Option<Arc<Moved>>>>,
}

impl Default for OfHearing {
    fn default() -> Self {
        Self {
            why: Later::new("Working out why they do not hear each other"),
            waits: OnceCell::new(),
            breaks: RefCell::default(),
            lost: Later::new(LOSING),
            moved: RefCell::default(),
        }
    }
}

impl OfHearing {
    /// Forgets every answer.
    pub(super) fn forget(&mut self) {
        self.why.forget();
        self.waits = OnceCell::new();
        self.breaks.get_mut().clear();
        self.lost.forget();
        self.moved.get_mut().clear();
    }
}

/// Answers about the plan with everything in service.
#[derive(Debug)]
pub(super) struct OfPlan {
    fixes: Later<FindingId, Vec<Fix>>,
    elsewhere: Later<(), ByPhase>,
    compared: Later<(Snapshot, PhaseId), Compared>,
    /// Hearing without what is out of service, and what is lost.
    without: Later<BTreeSet<Item>, (Arc<Picture>, Lost)>,
}

impl Default for OfPlan {
    fn default() -> Self {
        Self {
            fixes: Later::new("Looking for what cures it"),
            elsewhere: Later::new("Checking the other phases"),
            compared: Later::new("Comparing"),
            without: Later::new(LOSING),
        }
    }
}

impl OfPlan {
    /// Forgets every answer.
    pub(super) fn forget(&mut self) {
        self.fixes.forget();
        self.elsewhere.forget();
        self.compared.forget();
        self.without.forget();
    }

    /// Tells whether a thread works out hearing without something.
    pub(super) fn is_taking_out(&self) -> bool {
        self.without.working().is_some()
    }
}

const LOSING: &str = "Working out who loses whom";

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

    /// Returns who loses whom without an item; worked out once, and `None` while a thread is at it.
    pub(super) fn without(&self, item: Item) -> Option<Arc<Lost>> {
        let picture = Arc::clone(&self.picture);
        self.of_hearing.lost.get(self.thread(), &item, move || {
            let (scenario, phase) = (picture.scenario(), picture.phase_id());
            what_if::without(scenario, picture.hearing(), phase, &[item])
        })
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

    /// Returns the fewest changes that let one hear another; worked out once, and `None` while a thread
    /// is at it.
    pub(super) fn why_not(&self, from: Party, to: Party) -> Option<Arc<WhyNot>> {
        let picture = Arc::clone(&self.picture);
        let pair = (from, to);
        self.of_hearing.why.get(self.thread(), &pair, move || {
            let (scenario, phase) = (picture.scenario(), picture.phase_id());
            why_not_given(scenario, picture.hearing(), phase, from, to)
        })
    }

    /// Returns every fix of a finding; worked out once, and `None` while a thread is at it.
    pub(super) fn fixes(&self, finding: &Finding) -> Option<Arc<Vec<Fix>>> {
        let (plan, about) = (Arc::clone(self.whole()), finding.clone());
        let work = move || checks::fixes(&about, &plan);
        self.of_plan.fixes.get(self.thread(), &finding.id(), work)
    }

    /// Returns the open findings of each other phase that the one shown does not have; worked out once,
    /// and `None` while a thread is at it.
    pub(super) fn elsewhere(&self) -> Option<Arc<ByPhase>> {
        let scenario = Arc::clone(&self.of.0);
        let here = self.report.open.clone();
        let shown = self.of.1;
        self.of_plan.elsewhere.get(self.thread(), &(), move || {
            let here: BTreeSet<FindingId> = here.iter().map(Finding::id).collect();
            let others = scenario.phases.ids().filter(|phase| *phase != shown);
            others
                .map(|phase| {
                    let picture = Picture::new(Arc::clone(&scenario), phase);
                    let open = checks::run_all(&picture).open.into_iter();
                    (phase, open.filter(|f| !here.contains(&f.id())).collect())
                })
                .collect()
        })
    }

    /// Returns what differs from the phase shown to another; worked out once, and `None` while a thread
    /// is at it.
    pub(super) fn compared(&self, other: PhaseId) -> Option<Arc<Comparison>> {
        self.compared_with(&self.of.0, other)
    }

    /// Returns what differs from the phase shown to a phase of another scenario; worked out once, and
    /// `None` while a thread is at it.
    pub(super) fn compared_with(
        &self,
        scenario: &Arc<Scenario>,
        phase: PhaseId,
    ) -> Option<Arc<Comparison>> {
        let key = (Arc::as_ptr(scenario).addr(), phase);
        let (before, with) = (Arc::clone(self.whole()), Arc::clone(scenario));
        let thread = self.thread().or_else(|| self.thread_for(scenario));
        let compared = self.of_plan.compared.get(thread, &key, move || {
            let after = Picture::new(Arc::clone(&with), phase);
            Compared {
                comparison: Arc::new(compare(&before, &after)),
                _with: with,
            }
        })?;
        Some(Arc::clone(&compared.comparison))
    }

    /// Returns hearing without some items and what is lost then; `None` while a thread is at it.
    pub(super) fn hearing_without(
        &self,
        plan: &Arc<Picture>,
        out: &BTreeSet<Item>,
    ) -> Option<Arc<(Arc<Picture>, Lost)>> {
        let (plan, items) = (Arc::clone(plan), out.iter().copied().collect::<Vec<_>>());
        self.of_plan.without.get(self.thread(), out, move || {
            let (scenario, phase) = (plan.scenario(), plan.phase_id());
            let without = what_if::scenario_without(scenario, phase, &items);
            let picture = Arc::new(Picture::new(Arc::new(without), phase));
            let lost = what_if::between(scenario, plan.hearing(), picture.hearing(), &items);
            (picture, lost)
        })
    }

    /// Returns what threads work out for somebody who waits, and since when.
    pub(super) fn asked_for(&self) -> Option<(&'static str, f64)> {
        self.questions().into_iter().find_map(Question::working)
    }

    /// Waits for none of them any more.
    pub(super) fn ask_no_more(&self) {
        self.questions().into_iter().for_each(Question::give_up);
    }

    /// Works out again what somebody asks for.
    pub(super) fn ask_again(&self) {
        self.questions().into_iter().for_each(Question::take_up);
    }

    /// Lists all that threads may be asked, the first to be told of first.
    fn questions(&self) -> [&dyn Question; 6] {
        let (hearing, plan) = (&self.of_hearing, &self.of_plan);
        [
            &hearing.why,
            &hearing.lost,
            &plan.fixes,
            &plan.elsewhere,
            &plan.compared,
            &plan.without,
        ]
    }

    /// Returns where to start a thread, if the plan is too large to be asked between two frames.
    fn thread(&self) -> Option<&Context> {
        self.thread_for(&self.of.0)
    }

    fn thread_for(&self, scenario: &Scenario) -> Option<&Context> {
        self.ctx.as_ref().filter(|_| is_large(scenario))
    }
}
