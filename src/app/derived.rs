//! All that follows from the scenario and the phase, kept until one of them moves.

use std::cell::{OnceCell, RefCell};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::board::TalkView;
use super::board::layout::{Layout, Overlay};
use crate::checks::{self, Report};
use crate::hearing::why_not::why_not_given;
use crate::hearing::{Item, Together, WhyNot};
use crate::history::Document;
use crate::model::{
    ChannelId, Finding, FindingId, Fix, NeedId, Party, PhaseId, Scenario, Severity, ThingId,
};
use crate::picture::Picture;
use crate::picture::compare::{Comparison, compare};
use crate::picture::resilience::Breaks;
use crate::picture::timing::{self, PressAndWait};
use crate::picture::what_if::{self, Lost};

/// What is derived; views only read it.
#[derive(Debug)]
pub(super) struct Derived {
    /// What everything was derived of; another document may have the same revision.
    scenario: Arc<Scenario>,
    phase: PhaseId,
    /// Who hears whom, and the rest.
    pub picture: Picture,
    /// What will go wrong.
    pub report: Report,
    /// Where everything stands.
    pub layout: Layout,
    overlay: Overlay,
    /// The picture with everything in service, where something is out.
    plan: Option<Picture>,
    out: BTreeSet<Item>,
    /// What is lost by what is out of service.
    pub missed: Option<Lost>,
    /// The path of the one who talks.
    pub talk: Option<TalkView>,
    /// Who talks at the same time, as far as that message gets, and what comes of both.
    pub over: Option<(TalkView, Together)>,
    /// Whether the scenario is the one in the file.
    pub is_saved: bool,
    /// The worst open finding of each thing.
    pub worst: BTreeMap<ThingId, Severity>,
    why: RefCell<BTreeMap<(Party, Party), Arc<WhyNot>>>,
    waits: OnceCell<BTreeMap<ChannelId, PressAndWait>>,
    breaks: RefCell<BTreeMap<NeedId, Arc<Breaks>>>,
    lost: RefCell<BTreeMap<Item, Arc<Lost>>>,
    fixes: RefCell<BTreeMap<FindingId, Arc<Vec<Fix>>>>,
    elsewhere: OnceCell<Vec<(PhaseId, Vec<Finding>)>>,
    compared: RefCell<Option<(PhaseId, Arc<Comparison>)>>,
}

impl Derived {
    /// Derives everything.
    pub(super) fn new(document: &Document, phase: PhaseId) -> Self {
        let picture = Picture::new(Arc::clone(document.scenario()), phase);
        let report = checks::run_all(&picture);
        let overlay = Overlay::new();
        Self {
            scenario: Arc::clone(document.scenario()),
            phase,
            layout: Layout::of(document.scenario(), phase, &overlay),
            worst: worst_of(&report),
            picture,
            report,
            overlay,
            plan: None,
            out: BTreeSet::new(),
            missed: None,
            talk: None,
            over: None,
            is_saved: document.is_saved(),
            why: RefCell::default(),
            waits: OnceCell::new(),
            breaks: RefCell::default(),
            lost: RefCell::default(),
            fixes: RefCell::default(),
            elsewhere: OnceCell::new(),
            compared: RefCell::default(),
        }
    }

    /// Derives again what no longer fits.
    pub(super) fn refresh(
        &mut self,
        document: &Document,
        phase: PhaseId,
        overlay: &Overlay,
        out: &BTreeSet<Item>,
        (talker, second): (Option<Party>, Option<Party>),
    ) {
        let is_same = Arc::ptr_eq(&self.scenario, document.scenario());
        if !is_same || self.phase != phase {
            *self = Self::new(document, phase);
        }
        if self.out != *out {
            self.take_out(out);
        }
        if self.overlay != *overlay {
            self.overlay.clone_from(overlay);
            self.layout = Layout::of(document.scenario(), phase, overlay);
        }
        if self.talk.as_ref().map(|t| t.party) != talker {
            self.talk = talker.map(|party| TalkView::new(&self.picture, party));
        }
        let over = self.over.as_ref().map(|(_, t)| (t.first, t.second));
        if over != talker.zip(second) {
            self.over = talker.zip(second).and_then(|(first, second)| {
                let picture = &self.picture;
                let together = picture
                    .hearing()
                    .together(picture.scenario(), first, second)?;
                let talk = TalkView::over(picture, second, &together);
                Some((talk, together))
            });
        }
    }

    /// Derives who hears whom without what is out of service. Findings stay those of the plan: that a
    /// thing is missing which the plan has would only raise findings about the gap itself.
    fn take_out(&mut self, out: &BTreeSet<Item>) {
        let plan = self.plan.take().unwrap_or_else(|| self.picture.clone());
        self.out.clone_from(out);
        if out.is_empty() {
            self.picture = plan;
            self.missed = None;
        } else {
            let items: Vec<Item> = out.iter().copied().collect();
            let (scenario, phase) = (plan.scenario(), plan.phase_id());
            let without = what_if::scenario_without(scenario, phase, &items);
            self.picture = Picture::new(Arc::new(without), phase);
            let (now, then) = (plan.hearing(), self.picture.hearing());
            self.missed = Some(what_if::between(scenario, now, then, &items));
            self.plan = Some(plan);
        }
        self.why = RefCell::default();
        self.waits = OnceCell::new();
        self.breaks = RefCell::default();
        self.lost = RefCell::default();
        self.talk = None;
        self.over = None;
    }

    /// Returns the picture with everything in service.
    pub(super) fn plan(&self) -> &Picture {
        self.plan.as_ref().unwrap_or(&self.picture)
    }

    /// Looks again whether the scenario is the one in the file.
    pub(super) fn saved_moved(&mut self, document: &Document) {
        self.is_saved = document.is_saved();
    }

    /// Returns how long the people of each channel wait before speaking; empty for a plan too large
    /// to work it out between two frames.
    pub(super) fn press_and_wait(&self) -> &BTreeMap<ChannelId, PressAndWait> {
        /// Parties beyond which it takes too long.
        const MOST: usize = 1_000;
        self.waits.get_or_init(|| {
            if self.picture.hearing().parties().len() > MOST {
                BTreeMap::new()
            } else {
                timing::press_and_wait(&self.picture)
            }
        })
    }

    /// Returns what breaks a need; worked out once.
    pub(super) fn breaks(&self, need: NeedId) -> Option<Arc<Breaks>> {
        if let Some(known) = self.breaks.borrow().get(&need) {
            return Some(Arc::clone(known));
        }
        let found = self.picture.scenario().needs.get(need)?;
        let breaks = Arc::new(self.picture.need_ways().breaks(&self.picture, found));
        self.breaks.borrow_mut().insert(need, Arc::clone(&breaks));
        Some(breaks)
    }

    /// Returns who loses whom without an item; worked out once.
    pub(super) fn without(&self, item: Item) -> Arc<Lost> {
        if let Some(known) = self.lost.borrow().get(&item) {
            return Arc::clone(known);
        }
        let picture = &self.picture;
        let (scenario, phase) = (picture.scenario(), picture.phase_id());
        let lost = what_if::without(scenario, picture.hearing(), phase, &[item]);
        let lost = Arc::new(lost);
        self.lost.borrow_mut().insert(item, Arc::clone(&lost));
        lost
    }

    /// Returns the fewest changes that let one hear another; worked out once.
    pub(super) fn why_not(&self, from: Party, to: Party) -> Arc<WhyNot> {
        let mut known = self.why.borrow_mut();
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
        let mut known = self.fixes.borrow_mut();
        Arc::clone(
            known
                .entry(finding.id())
                .or_insert_with(|| Arc::new(checks::fixes(finding, self.plan()))),
        )
    }

    /// Returns the open findings of each other phase that the one shown does not have; worked out once.
    pub(super) fn elsewhere(&self) -> &[(PhaseId, Vec<Finding>)] {
        self.elsewhere.get_or_init(|| {
            let here: BTreeSet<FindingId> = self.report.open.iter().map(Finding::id).collect();
            let others = self.scenario.phases.ids().filter(|p| *p != self.phase);
            others
                .map(|phase| {
                    let picture = Picture::new(Arc::clone(&self.scenario), phase);
                    let mut open = checks::run_all(&picture).open;
                    open.retain(|f| !here.contains(&f.id()));
                    (phase, open)
                })
                .collect()
        })
    }

    /// Returns what differs from the phase shown to another; worked out once.
    pub(super) fn compared(&self, other: PhaseId) -> Arc<Comparison> {
        let mut known = self.compared.borrow_mut();
        if let Some((phase, comparison)) = known.as_ref()
            && *phase == other
        {
            return Arc::clone(comparison);
        }
        let after = Picture::new(Arc::clone(&self.scenario), other);
        let comparison = Arc::new(compare(self.plan(), &after));
        *known = Some((other, Arc::clone(&comparison)));
        comparison
    }

    /// Counts the open findings of a severity.
    pub(super) fn count(&self, severity: Severity) -> usize {
        self.report
            .open
            .iter()
            .filter(|f| f.severity == severity)
            .count()
    }
}

fn worst_of(report: &Report) -> BTreeMap<ThingId, Severity> {
    let mut worst = BTreeMap::new();
    for finding in &report.open {
        let things: BTreeSet<ThingId> = [finding.subject].into();
        for thing in things {
            let entry = worst.entry(thing).or_insert(finding.severity);
            *entry = (*entry).min(finding.severity);
        }
    }
    worst
}
