//! All that follows from the scenario and the phase, kept until one of them moves.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::board::TalkView;
use super::board::layout::{Layout, Overlay};
use crate::checks::{self, Report};
use crate::hearing::WhyNot;
use crate::hearing::why_not::why_not_given;
use crate::history::Document;
use crate::model::{Finding, FindingId, Fix, Party, PhaseId, Severity, ThingId};
use crate::picture::Picture;

/// What is derived; views only read it.
#[derive(Debug)]
pub(super) struct Derived {
    key: (u64, PhaseId),
    /// Who hears whom, and the rest.
    pub picture: Picture,
    /// What will go wrong.
    pub report: Report,
    /// Where everything stands.
    pub layout: Layout,
    overlay: Overlay,
    /// The path of the one who talks.
    pub talk: Option<TalkView>,
    /// Whether the scenario is the one in the file.
    pub is_saved: bool,
    /// The worst open finding of each thing.
    pub worst: BTreeMap<ThingId, Severity>,
    why: RefCell<BTreeMap<(Party, Party), Arc<WhyNot>>>,
    fixes: RefCell<BTreeMap<FindingId, Arc<Vec<Fix>>>>,
}

impl Derived {
    /// Derives everything.
    pub(super) fn new(document: &Document, phase: PhaseId) -> Self {
        let picture = Picture::new(Arc::clone(document.scenario()), phase);
        let report = checks::run_all(&picture);
        let overlay = Overlay::new();
        Self {
            key: (document.revision(), phase),
            layout: Layout::of(document.scenario(), phase, &overlay),
            worst: worst_of(&report),
            picture,
            report,
            overlay,
            talk: None,
            is_saved: document.is_saved(),
            why: RefCell::default(),
            fixes: RefCell::default(),
        }
    }

    /// Derives again what no longer fits.
    pub(super) fn refresh(
        &mut self,
        document: &Document,
        phase: PhaseId,
        overlay: &Overlay,
        talker: Option<Party>,
    ) {
        let key = (document.revision(), phase);
        if self.key != key {
            *self = Self::new(document, phase);
        }
        if self.overlay != *overlay {
            self.overlay.clone_from(overlay);
            self.layout = Layout::of(document.scenario(), phase, overlay);
        }
        if self.talk.as_ref().map(|t| t.party) != talker {
            self.talk = talker.map(|party| TalkView::new(&self.picture, party));
        }
    }

    /// Looks again whether the scenario is the one in the file.
    pub(super) fn saved_moved(&mut self, document: &Document) {
        self.is_saved = document.is_saved();
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
