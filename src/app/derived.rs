//! All that follows from the scenario and the phase, kept until one of them moves.

use std::cell::{OnceCell, RefCell};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::board::TalkView;
use super::board::layout::{Folded, Layout, Overlay};
use crate::checks::{self, Report};
use crate::hearing::why_not::why_not_given;
use crate::hearing::{Item, WhyNot};
use crate::history::Document;
use crate::model::{
    ChannelId, Finding, FindingId, Fix, NeedId, Party, PhaseId, Scenario, Severity, ThingId,
};
use crate::picture::Picture;
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
    folded: Folded,
    /// The path of the one who talks.
    pub talk: Option<TalkView>,
    /// Whether the scenario is the one in the file.
    pub is_saved: bool,
    /// The worst open finding of each thing.
    pub worst: BTreeMap<ThingId, Severity>,
    why: RefCell<BTreeMap<(Party, Party), Arc<WhyNot>>>,
    waits: OnceCell<BTreeMap<ChannelId, PressAndWait>>,
    breaks: RefCell<BTreeMap<NeedId, Arc<Breaks>>>,
    lost: RefCell<BTreeMap<Item, Arc<Lost>>>,
    fixes: RefCell<BTreeMap<FindingId, Arc<Vec<Fix>>>>,
}

impl Derived {
    /// Derives everything.
    pub(super) fn new(document: &Document, phase: PhaseId, folded: &Folded) -> Self {
        let picture = Picture::new(Arc::clone(document.scenario()), phase);
        let report = checks::run_all(&picture);
        let overlay = Overlay::new();
        Self {
            scenario: Arc::clone(document.scenario()),
            phase,
            layout: Layout::folded(document.scenario(), phase, &overlay, folded),
            worst: worst_of(&report),
            picture,
            report,
            overlay,
            folded: folded.clone(),
            talk: None,
            is_saved: document.is_saved(),
            why: RefCell::default(),
            waits: OnceCell::new(),
            breaks: RefCell::default(),
            lost: RefCell::default(),
            fixes: RefCell::default(),
        }
    }

    /// Derives again what no longer fits.
    pub(super) fn refresh(
        &mut self,
        document: &Document,
        phase: PhaseId,
        (overlay, folded): (&Overlay, &Folded),
        talker: Option<Party>,
    ) {
        let is_same = Arc::ptr_eq(&self.scenario, document.scenario());
        if !is_same || self.phase != phase {
            *self = Self::new(document, phase, folded);
        }
        if self.overlay != *overlay || self.folded != *folded {
            self.overlay.clone_from(overlay);
            self.folded.clone_from(folded);
            self.layout = Layout::folded(document.scenario(), phase, overlay, folded);
        }
        if self.talk.as_ref().map(|t| t.party) != talker {
            self.talk = talker.map(|party| TalkView::new(&self.picture, party));
        }
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
                .or_insert_with(|| Arc::new(checks::fixes(finding, &self.picture))),
        )
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
