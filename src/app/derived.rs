//! All that follows from the scenario and the phase, kept until one of them moves.

use std::cell::{OnceCell, RefCell};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use egui::Context;

use super::board::TalkView;
use super::board::layout::{Folded, Layout, Overlay};
use super::work::{Got, Work};
use crate::checks::{self, Report};
use crate::hearing::why_not::why_not_given;
use crate::hearing::{Item, Together, WhyNot};
use crate::history::Document;
use crate::model::{
    ChannelId, Finding, FindingId, Fix, NeedId, Party, PhaseId, PortRef, Scenario, Severity,
    TalkGroupRef, ThingId,
};
use crate::picture::Picture;
use crate::picture::compare::{Comparison, compare};
use crate::picture::resilience::Breaks;
use crate::picture::timing::{self, PressAndWait};
use crate::picture::what_if::{self, Lost, Moved};

/// A port with the talk group it is tried out on.
type Trial = (PortRef, Option<u8>);

/// What is derived; views only read it.
///
/// The layout always fits the document. Hearing and findings of a large plan are worked out on a
/// thread; until they are there, views read the ones before.
#[derive(Debug)]
pub(super) struct Derived {
    /// What the picture was derived of; another document may have the same revision.
    of: Of,
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
    /// What somebody chose not to have worked out.
    given_up: Option<Of>,
    why: RefCell<BTreeMap<(Party, Party), Arc<WhyNot>>>,
    waits: OnceCell<BTreeMap<ChannelId, PressAndWait>>,
    breaks: RefCell<BTreeMap<NeedId, Arc<Breaks>>>,
    lost: RefCell<BTreeMap<Item, Arc<Lost>>>,
    fixes: RefCell<BTreeMap<FindingId, Arc<Vec<Fix>>>>,
    moved: RefCell<BTreeMap<Trial, Option<Arc<Moved>>>>,
    elsewhere: OnceCell<Vec<(PhaseId, Vec<Finding>)>>,
    compared: RefCell<Option<(PhaseId, Arc<Comparison>)>>,
}

/// What something was derived of.
#[derive(Debug, Clone)]
struct Of(Arc<Scenario>, PhaseId);

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
    Report(Report, BTreeMap<ThingId, Severity>),
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
        let report = checks::run_all(&picture);
        Self {
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
            why: RefCell::default(),
            waits: OnceCell::new(),
            breaks: RefCell::default(),
            lost: RefCell::default(),
            fixes: RefCell::default(),
            elsewhere: OnceCell::new(),
            compared: RefCell::default(),
            moved: RefCell::default(),
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
                self.work = None;
                self.show(Arc::new(Picture::new(Arc::clone(&now.0), phase)), &now);
                self.report = checks::run_all(&self.picture);
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
    fn take_out(&mut self, out: &BTreeSet<Item>) {
        let plan = self
            .plan
            .take()
            .unwrap_or_else(|| Arc::clone(&self.picture));
        self.out.clone_from(out);
        if out.is_empty() {
            self.picture = plan;
            self.missed = None;
        } else {
            let items: Vec<Item> = out.iter().copied().collect();
            let (scenario, phase) = (plan.scenario(), plan.phase_id());
            let without = what_if::scenario_without(scenario, phase, &items);
            self.picture = Arc::new(Picture::new(Arc::new(without), phase));
            let (now, then) = (plan.hearing(), self.picture.hearing());
            self.missed = Some(what_if::between(scenario, now, then, &items));
            self.plan = Some(plan);
        }
        self.looped = looped(&self.picture);
        self.forget();
    }

    /// Returns the picture with everything in service.
    pub(super) fn plan(&self) -> &Picture {
        self.plan.as_ref().unwrap_or(&self.picture)
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
        self.fixes = RefCell::default();
        self.elsewhere = OnceCell::new();
        self.compared = RefCell::default();
        self.forget();
    }

    /// Forgets what was worked out of the hearing shown before.
    fn forget(&mut self) {
        self.talk = None;
        self.over = None;
        self.why = RefCell::default();
        self.waits = OnceCell::new();
        self.breaks = RefCell::default();
        self.lost = RefCell::default();
        self.moved = RefCell::default();
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
                Got::Answer(Stage::Report(report, worst)) => {
                    self.report = report;
                    self.worst = worst;
                    self.fixes = RefCell::default();
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
        let Of(scenario, phase) = now.clone();
        let name = "Working out who hears whom and what will go wrong";
        self.work = Some(Work::start(ctx, name, move |desk| {
            let picture = Arc::new(Picture::new(scenario, phase));
            desk.answer(Stage::Picture(Arc::clone(&picture)));
            if !desk.is_stopped() {
                let report = checks::run_all(&picture);
                let worst = worst_of(&report);
                desk.answer(Stage::Report(report, worst));
            }
        }));
    }

    /// Returns what is being worked out, and since when; views read older answers until it is there.
    pub(super) fn working(&self) -> Option<(&str, f64)> {
        self.work
            .as_ref()
            .map(|work| (work.name.as_str(), work.since))
    }

    /// Tells whether hearing and findings are those of the plan as it was last laid out.
    pub(super) fn is_current(&self) -> bool {
        self.is_about(&self.laid_out)
    }

    /// Tells whether the answers shown are older than the plan and nothing is done about it.
    pub(super) fn is_given_up(&self) -> bool {
        self.work.is_none() && self.given_up.is_some() && !self.is_current()
    }

    /// Stops working out the plan as it is now.
    pub(super) fn give_up(&mut self) {
        if let Some(work) = &self.work {
            work.stop();
            self.given_up = self.working_on.clone();
        }
    }

    /// Works the plan out after all.
    pub(super) fn take_up(&mut self) {
        self.given_up = None;
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

    /// Returns what switching a port would change, worked out once; `None` where the plan is too large
    /// to try it out between two frames.
    pub(super) fn moved(&self, port: PortRef, group: Option<u8>) -> Option<Arc<Moved>> {
        let mut known = self.moved.borrow_mut();
        let entry = known.entry((port, group)).or_insert_with(|| {
            let picture = &self.picture;
            let (scenario, phase) = (picture.scenario(), picture.phase_id());
            what_if::switched(scenario, picture.hearing(), phase, port, group).map(Arc::new)
        });
        entry.clone()
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

    /// Returns the open findings of each other phase that the one shown does not have; worked out once,
    /// and not for a large plan.
    pub(super) fn elsewhere(&self) -> &[(PhaseId, Vec<Finding>)] {
        self.elsewhere.get_or_init(|| {
            // Too much between two frames.
            if is_large(&self.of.0) {
                return Vec::new();
            }
            let here: BTreeSet<FindingId> = self.report.open.iter().map(Finding::id).collect();
            let others = self.of.0.phases.ids().filter(|p| *p != self.of.1);
            others
                .map(|phase| {
                    let picture = Picture::new(Arc::clone(&self.of.0), phase);
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
        let after = Picture::new(Arc::clone(&self.of.0), other);
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

fn is_large(scenario: &Scenario) -> bool {
    scenario.units.len() > LARGE
}
