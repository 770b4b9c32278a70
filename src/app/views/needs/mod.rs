//! The view of each need: how it stands, the route it takes, what breaks it, and what would mend it.

mod add;
mod breaks;
mod card;
mod chain;
mod phases;

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use egui::{ComboBox, RichText, ScrollArea, TextEdit, Ui, vec2};

use crate::app::theme::{primary_button, quiet_button, semibold, text_button};
use crate::app::view::ViewCtx;
use crate::app::views::named_field;
use crate::app::words::{Choice as _, sentence};
use crate::hearing::Path;
use crate::model::{Need, NeedId, Party, PhaseId, Priority, Scenario};
use crate::picture::Picture;
use crate::picture::standing::{NeedState, Standing};

use add::Draft;
use phases::Phases;

/// What the view remembers.
#[derive(Debug, Default)]
pub(super) struct NeedsViewState {
    unmet_only: bool,
    priority: Option<Priority>,
    text: String,
    known: Option<Known>,
    phases: Phases,
    /// Needs whose further facts are open.
    open: BTreeSet<NeedId>,
    /// Needs of which it is shown why they are not met.
    why: BTreeSet<NeedId>,
    /// The pair whose route is shown, where somebody chose one.
    pair: BTreeMap<NeedId, (Party, Party)>,
    /// How high each card was when last drawn.
    heights: BTreeMap<NeedId, f32>,
    draft: Option<Draft>,
}

/// The path of each pair asked for, or that there is none.
type Routes = BTreeMap<(Party, Party), Option<Arc<Path>>>;

/// What was worked out for a picture.
#[derive(Debug)]
struct Known {
    scenario: Arc<Scenario>,
    phase: PhaseId,
    /// The needs, those that stand worst first, then the most urgent.
    states: Vec<NeedState>,
    routes: RefCell<Routes>,
    /// Needs of which it is known what breaks them.
    broken: BTreeSet<NeedId>,
}

impl Known {
    fn of(picture: &Picture) -> Self {
        let scenario = Arc::clone(picture.scenario_arc());
        let mut states: Vec<(Priority, NeedState)> = scenario
            .needs
            .iter()
            .map(|need| (need.priority, NeedState::of(picture, need)))
            .collect();
        states.sort_by_key(|(priority, state)| (std::cmp::Reverse(state.standing), *priority));
        Self {
            scenario,
            phase: picture.phase_id(),
            states: states.into_iter().map(|(_, state)| state).collect(),
            routes: RefCell::default(),
            broken: BTreeSet::new(),
        }
    }

    fn fits(&self, picture: &Picture) -> bool {
        Arc::ptr_eq(&self.scenario, picture.scenario_arc()) && self.phase == picture.phase_id()
    }

    /// Returns the path of a pair; worked out once.
    fn route(&self, picture: &Picture, from: Party, to: Party) -> Option<Arc<Path>> {
        let mut routes = self.routes.borrow_mut();
        let path = routes.entry((from, to)).or_insert_with(|| {
            let path = picture.hearing().path(picture.scenario(), from, to);
            path.map(Arc::new)
        });
        path.clone()
    }
}

/// Shows each need with its state now, the route it takes and what it can fall back on.
pub(super) fn needs_view_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, state: &mut NeedsViewState) {
    let t = ctx.tokens;
    let derived = ctx.derived;
    let picture = &derived.picture;
    let mut known = match state.known.take() {
        Some(known) if known.fits(picture) => known,
        _ => Known::of(picture),
    };
    if state.phases.step(picture) {
        ui.ctx().request_repaint();
    }
    if known.states.is_empty() && state.draft.is_none() {
        ui.add_space(8.0);
        ui.label(
            RichText::new("No needs yet")
                .font(semibold(15.0))
                .color(t.text),
        );
        let words = "A need says who must reach whom, how urgent it is and how late is too late, or \
                     who must not hear whom. \
                     Write down what the people count on, and this view says whether it holds.";
        ui.add(egui::Label::new(RichText::new(words).color(t.soft)).wrap());
        if primary_button(ui, t, "Add a need").clicked() {
            state.draft = Some(Draft::default());
        }
        state.known = Some(known);
        return;
    }
    head_ui(ctx, ui, state, &known);
    ScrollArea::vertical()
        .id_salt("needs")
        .auto_shrink(false)
        .show(ui, |ui| {
            ui.set_max_width(ui.available_width() - 12.0);
            if let Some(draft) = &mut state.draft {
                let done = add::add_ui(ctx, ui, draft);
                ui.add_space(8.0);
                if done {
                    state.draft = None;
                }
            }
            cards_ui(ctx, ui, state, &mut known);
        });
    state.known = Some(known);
}

fn head_ui(ctx: &ViewCtx<'_>, ui: &mut Ui, state: &mut NeedsViewState, known: &Known) {
    let t = ctx.tokens;
    let met = known.states.iter().filter(|s| s.standing.is_met()).count();
    let faulty = known
        .states
        .iter()
        .filter(|s| s.standing == Standing::MetWithFaults)
        .count();
    ui.horizontal_wrapped(|ui| {
        let all = known.states.len();
        let mut words = format!("{met} of {all} needs are met");
        if faulty > 0 {
            words = format!("{words}, {faulty} of them with faults");
        }
        ui.label(RichText::new(words).font(semibold(15.0)).color(t.text));
        ui.add_space(10.0);
        ui.checkbox(&mut state.unmet_only, "Only what is not met");
        ui.name_inputs("Needs by priority", |ui| {
            let shown = state
                .priority
                .map_or_else(|| "Every priority".to_owned(), |p| sentence(p.words()));
            ComboBox::from_id_salt("needs-priority")
                .selected_text(RichText::new(shown).color(t.text))
                .show_ui(ui, |ui| {
                    let mut option = |priority: Option<Priority>, words: String| {
                        if ui
                            .selectable_label(state.priority == priority, words)
                            .clicked()
                        {
                            state.priority = priority;
                        }
                    };
                    option(None, "Every priority".to_owned());
                    for priority in Priority::ALL {
                        option(Some(*priority), sentence(priority.words()));
                    }
                });
        });
        let field = TextEdit::singleline(&mut state.text)
            .hint_text(RichText::new("Need, or who is in it").color(t.faint))
            .desired_width(170.0)
            .margin(vec2(8.0, 5.0));
        named_field(ui, "Needs with this text", field);
        if state.draft.is_none() && text_button(ui, t, "Add a need").clicked() {
            state.draft = Some(Draft::default());
        }
    });
    let is_large = ctx.derived.picture.hearing().parties().len() > phases::MOST;
    if is_large && ctx.scenario.phases.len() > 1 {
        let words = "This plan is too large to show here how the needs stand in other phases.";
        ui.label(RichText::new(words).size(12.0).color(t.faint));
    }
    ui.add_space(4.0);
}

impl NeedsViewState {
    fn is_shown(&self, scenario: &Scenario, need: &Need, standing: Standing) -> bool {
        let text = self.text.trim().to_lowercase();
        let has = |name: &str| name.to_lowercase().contains(&text);
        let names_it = || {
            let mut parties = need.from.iter().chain(&need.to);
            parties.any(|p| has(&scenario.name((*p).into())))
        };
        (!self.unmet_only || !standing.is_met())
            && self.priority.is_none_or(|p| p == need.priority)
            && (text.is_empty() || has(&need.name) || names_it())
    }

    fn is_filtered(&self) -> bool {
        self.unmet_only || self.priority.is_some() || !self.text.trim().is_empty()
    }
}

fn cards_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, state: &mut NeedsViewState, known: &mut Known) {
    let t = ctx.tokens;
    let scenario = Arc::clone(&known.scenario);
    let shown: Vec<(&Need, usize)> = known
        .states
        .iter()
        .enumerate()
        .filter_map(|(number, found)| Some((scenario.needs.get(found.need)?, number, found)))
        .filter(|(need, _, found)| state.is_shown(&scenario, need, found.standing))
        .map(|(need, number, _)| (need, number))
        .collect();
    if shown.is_empty() && state.is_filtered() {
        ui.label(RichText::new("No need is like that.").color(t.soft));
        if quiet_button(ui, t, "Show all needs").clicked() {
            state.unmet_only = false;
            state.priority = None;
            state.text.clear();
        }
    }
    let sight = ui.clip_rect();
    let mut worked_out = false;
    for (need, number) in shown {
        let top = ui.cursor().min.y;
        // A card out of sight only keeps its room.
        if let Some(height) = state.heights.get(&need.id)
            && (top > sight.max.y || top + height < sight.min.y)
        {
            ui.add_space(*height);
            continue;
        }
        worked_out = card::card_ui(ctx, ui, state, known, (need, number), worked_out);
        ui.add_space(8.0);
        let height = ui.cursor().min.y - top;
        state.heights.insert(need.id, height);
    }
}
