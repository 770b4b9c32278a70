//! All that follows from the scenario and the phase, kept until one of them moves.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use egui::Context;

use super::answers::{OfHearing, OfPlan};
use super::board::TalkView;
use super::work::{Got, Work};
use crate::checks::{Found, Report, report};
use crate::hearing::{Item, Together};
use crate::history::Document;
use crate::layout::{Folded, Layout, Overlay};
use crate::model::{Party, PhaseId, Scenario, Severity, TalkGroupRef, ThingId};
use crate::picture::Picture;
use crate::picture::what_if::Lost;

/// What is derived; views only read it.
///
/// The layout always fits the document. Hearing and findings of a large plan are worked out on a
/// thread; until they are there, views read the ones before.
#[derive(Debug)]
pub(super) struct Derived {
    /// What the picture was derived of; another document may have the same revision.
    pub(super) of: Of,
    /// Who hears whom, and the rest.
    pub picture: Arc<Picture>,
    /// What will go wrong.
    pub report: Report,
    /// Where everything stands.
    pub layout: Layout,
    laid_out: Of,
    overlay: Overlay,
    folded: Folded,
    /// Talk groups that are part of a loop.
    pub looped: BTreeSet<TalkGroupRef>,
    /// The picture with everything in service, where something is out.
    plan: Option<Arc<Picture>>,
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
    /// What a thread works out.
    work: Option<Work<Stage>>,
    /// Of what the thread works it out.
    working_on: Option<Of>,
    /// Of what the findings are.
    reported: Option<Of>,
    /// What was found last, from which an edit's findings are worked out.
    known: Known,
    /// What somebody chose not to have worked out.
    given_up: Option<Of>,
    /// What was asked for and worked out since, of hearing as it is shown.
    pub(super) of_hearing: OfHearing,
    /// The same of the plan with everything in service.
    pub(super) of_plan: OfPlan,
    /// The window, for threads to wake.
    pub(super) ctx: Option<Context>,
}

/// What something was derived of.
#[derive(Debug, Clone)]
pub(super) struct Of(pub Arc<Scenario>, pub PhaseId);

impl PartialEq for Of {
    /// The same snapshot, not one that happens to be equal.
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.0, &other.0) && self.1 == other.1
    }
}

/// What a thread answers, in this order.
#[derive(Debug)]
enum Stage {
    /// Who hears whom.
    Picture(Arc<Picture>),
    /// What will go wrong, and the worst of each thing.
    Report(Report, BTreeMap<ThingId, Severity>, Known),
}

/// A picture and what the checks found in it: what an edit leaves as it is need not be worked out again.
#[derive(Debug, Clone)]
struct Known {
    picture: Arc<Picture>,
    found: Found,
}

impl Known {
    fn new(picture: Arc<Picture>) -> Self {
        let found = Found::of(&picture);
        Self { picture, found }
    }

    /// Derives the picture of a snapshot.
    fn picture_of(&self, Of(scenario, phase): &Of) -> Arc<Picture> {
        Arc::new(if self.picture.phase_id() == *phase {
            self.picture.after(scenario)
        } else {
            Picture::new(Arc::clone(scenario), *phase)
        })
    }

    /// Runs the checks on a picture.
    fn check(&self, picture: &Arc<Picture>) -> Self {
        Self {
            found: self.found.after(&self.picture, picture),
            picture: Arc::clone(picture),
        }
    }

    fn report(&self) -> Report {
        report(&self.picture, &self.found)
    }
}

/// Units beyond which a plan is worked out on a thread of its own.
const LARGE: usize = 2_000;

impl Derived {
    /// Derives everything, or for a large plan only the layout: the rest follows with `refresh`.
    pub(super) fn new(document: &Document, phase: PhaseId, folded: &Folded) -> Self {
        let scenario = Arc::clone(document.scenario());
        let layout = Layout::folded(&scenario, phase, &Overlay::new(), folded);
        let small = if is_large(&scenario) {
            Arc::new(Scenario::default())
        } else {
            Arc::clone(&scenario)
        };
        let of = Of(Arc::clone(&small), phase);
        let picture = Arc::new(Picture::new(small, phase));
        let known = Known::new(Arc::clone(&picture));
        let report = known.report();
        Self {
            known,
            worst: worst_of(&report),
            reported: Some(of.clone()),
            of,
            layout,
            laid_out: Of(scenario, phase),
            looped: looped(&picture),
            picture,
            report,
            folded: folded.clone(),
            overlay: Overlay::new(),
            plan: None,
            out: BTreeSet::new(),
            missed: None,
            talk: None,
            over: None,
            is_saved: document.is_saved(),
            work: None,
            working_on: None,
            given_up: None,
            of_hearing: OfHearing::default(),
            of_plan: OfPlan::default(),
            ctx: None,
        }
    }

    /// Derives again what no longer fits.
    pub(super) fn refresh(
        &mut self,
        ctx: &Context,
        document: &Document,
        phase: PhaseId,
        (overlay, folded): (&Overlay, &Folded),
        out: &BTreeSet<Item>,
        (talker, second): (Option<Party>, Option<Party>),
    ) {
        if self.ctx.is_none() {
            self.ctx = Some(ctx.clone());
        }
        let now = Of(Arc::clone(document.scenario()), phase);
        if self.laid_out == now && self.folded == *folded {
            if self.overlay != *overlay {
                if !self.layout.carry(&now.0, &self.overlay, overlay) {
                    self.layout = Layout::folded(&now.0, phase, overlay, folded);
                }
                self.overlay.clone_from(overlay);
            }
        } else {
            self.layout = Layout::folded(&now.0, phase, overlay, folded);
            self.overlay.clone_from(overlay);
            self.folded.clone_from(folded);
            self.is_saved = document.is_saved();
            self.rearrange(&now);
            self.laid_out = now.clone();
        }
        self.take_answers();
        if !self.is_about(&now) {
            if is_large(&now.0) {
                self.start(ctx, &now);
            } else {
                if let Some(work) = self.work.take() {
                    work.stop();
                }
                self.show(self.known.picture_of(&now), &now);
                self.known = self.known.check(&self.picture);
                self.report = self.known.report();
                self.worst = worst_of(&self.report);
                self.reported = Some(now);
            }
        }
        if self.out != *out {
            self.take_out(out);
        }
        self.listen(talker, second);
    }

    /// Follows the message of the one who talks, and that of the one who talks at the same time.
    fn listen(&mut self, talker: Option<Party>, second: Option<Party>) {
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
    ///
    /// While a thread is at it, hearing stays as it was shown before.
    fn take_out(&mut self, out: &BTreeSet<Item>) {
        let plan = Arc::clone(self.whole());
        if out.is_empty() {
            self.picture = plan;
            self.plan = None;
            self.missed = None;
        } else {
            let Some(without) = self.hearing_without(&plan, out) else {
                return;
            };
            self.picture = Arc::clone(&without.0);
            self.missed = Some(without.1.clone());
            self.plan = Some(plan);
        }
        self.out.clone_from(out);
        self.looped = looped(&self.picture);
        self.forget();
    }

    /// Tells whether a thread works out hearing without what is out of service.
    pub(super) fn is_taking_out(&self) -> bool {
        self.of_plan.is_taking_out()
    }

    /// Returns the picture with everything in service, to share.
    pub(super) fn whole(&self) -> &Arc<Picture> {
        self.plan.as_ref().unwrap_or(&self.picture)
    }

    /// Returns the picture with everything in service.
    pub(super) fn plan(&self) -> &Picture {
        self.whole()
    }

    /// Tells whether picture and findings are those of a snapshot.
    fn is_about(&self, of: &Of) -> bool {
        self.of == *of && self.reported.as_ref() == Some(of)
    }

    /// Shows another picture; what was worked out of the one before is forgotten.
    fn show(&mut self, picture: Arc<Picture>, of: &Of) {
        self.of = of.clone();
        self.looped = looped(&picture);
        self.picture = picture;
        // What is out of service is taken out of the new picture anew.
        self.plan = None;
        self.missed = None;
        self.out.clear();
        self.of_plan.forget();
        self.forget();
    }

    /// Forgets what was worked out of the hearing shown before.
    fn forget(&mut self) {
        self.talk = None;
        self.over = None;
        self.of_hearing.forget();
    }

    /// Keeps all that is derived, if nothing but places on the board has changed.
    fn rearrange(&mut self, now: &Of) {
        if self.is_about(&self.laid_out)
            && self.of.1 == now.1
            && let Some(picture) = self.plan().rearranged(&now.0)
        {
            // What was worked out without something stays as it is: it has no places.
            match &mut self.plan {
                Some(plan) => *plan = Arc::new(picture),
                None => self.picture = Arc::new(picture),
            }
            self.of = now.clone();
            self.reported = Some(now.clone());
        }
    }

    /// Takes what the thread has answered.
    fn take_answers(&mut self) {
        loop {
            let (Some(work), Some(of)) = (&self.work, self.working_on.clone()) else {
                return;
            };
            match work.got() {
                Got::Answer(_) if work.is_stopped() => {}
                Got::Answer(Stage::Picture(picture)) => self.show(picture, &of),
                Got::Answer(Stage::Report(report, worst, known)) => {
                    self.known = known;
                    self.report = report;
                    self.worst = worst;
                    self.of_plan.forget();
                    self.reported = Some(of);
                }
                Got::Nothing => return,
                Got::Ended => self.work = None,
            }
        }
    }

    /// Lets a thread derive, unless one is at it.
    ///
    /// A thread that is at something older is told to stop, and the next begins when it has: there is
    /// never more than one.
    fn start(&mut self, ctx: &Context, now: &Of) {
        if let Some(work) = &self.work {
            if self.working_on.as_ref() != Some(now) {
                work.stop();
            }
            return;
        }
        if self.given_up.as_ref() == Some(now) {
            return;
        }
        self.given_up = None;
        self.working_on = Some(now.clone());
        let (known, now) = (self.known.clone(), now.clone());
        let name = "Working out who hears whom and what will go wrong";
        self.work = Some(Work::start(ctx, name, move |desk| {
            let picture = known.picture_of(&now);
            desk.answer(Stage::Picture(Arc::clone(&picture)));
            if !desk.is_stopped() {
                let known = known.check(&picture);
                let report = known.report();
                let worst = worst_of(&report);
                desk.answer(Stage::Report(report, worst, known));
            }
        }));
    }

    /// Returns what is being worked out, and since when; views read older answers until it is there.
    pub(super) fn working(&self) -> Option<(&str, f64)> {
        let work = self.work.as_ref();
        work.map(|work| (work.name.as_str(), work.since))
            .or_else(|| self.asked_for())
    }

    /// Tells whether hearing and findings are those of the plan as it was last laid out.
    pub(super) fn is_current(&self) -> bool {
        self.is_about(&self.laid_out)
    }

    /// Tells whether the answers shown are older than the plan and nothing is done about it.
    pub(super) fn is_given_up(&self) -> bool {
        self.work.is_none() && self.given_up.is_some() && !self.is_current()
    }

    /// Stops working out the plan as it is now, or what somebody asked about it.
    pub(super) fn give_up(&mut self) {
        self.ask_no_more();
        if let Some(work) = &self.work {
            work.stop();
            self.given_up = self.working_on.clone();
        }
    }

    /// Works the plan out after all.
    pub(super) fn take_up(&mut self) {
        self.ask_again();
        self.given_up = None;
    }

    /// Looks again whether the scenario is the one in the file.
    pub(super) fn saved_moved(&mut self, document: &Document) {
        self.is_saved = document.is_saved();
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

fn looped(picture: &Picture) -> BTreeSet<TalkGroupRef> {
    let loops = picture.hearing().loops().iter();
    loops
        .flat_map(|found| found.groups.iter().copied())
        .collect()
}

fn worst_of(report: &Report) -> BTreeMap<ThingId, Severity> {
    let mut worst = BTreeMap::new();
    for finding in &report.open {
        let entry = worst.entry(finding.subject).or_insert(finding.severity);
        *entry = (*entry).min(finding.severity);
    }
    worst
}

pub(super) fn is_large(scenario: &Scenario) -> bool {
    scenario.units.len() > LARGE
}
