//! The view for the pre-check on the spot: what is to be looked at and tried out, with large ticks, one
//! gateway or agency at a time. What stands on the list is the picture's; every tick is an edit.

mod pairs;
mod set;

use std::collections::BTreeMap;
use std::sync::Arc;

use egui::{Align, Layout, ProgressBar, RichText, ScrollArea, TextEdit, Ui, vec2};

use crate::app::theme::{Sign, kind_sign, semibold, sign_label};
use crate::app::view::ViewCtx;
use crate::app::views::named_field;
use crate::model::{Kind, Party, PhaseId, Scenario, ThingId, Verified};
use crate::picture::Picture;
use crate::picture::precheck::{Part, PreCheck, Progress, Whose};

/// Width of the list of parts, in points.
const PARTS: f32 = 230.0;
/// Height of what a finger is to hit, in points.
const TOUCH: f32 = 40.0;

/// What the view remembers.
#[derive(Debug, Default)]
pub(super) struct PrecheckState {
    /// Who signs.
    by: String,
    open_only: bool,
    shown: Shown,
    known: Option<Known>,
    /// How high each card was when last drawn.
    heights: BTreeMap<ThingId, f32>,
    /// What is being written about a port.
    heard: Option<(ThingId, String)>,
    /// How late somebody was heard, while it is being written.
    late: Option<((Party, Party), String)>,
}

/// Which part of the list is shown.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
enum Shown {
    /// The first one.
    #[default]
    First,
    /// The sets of a gateway or an agency.
    Of(Whose),
    /// Who should be heard by whom.
    Pairs,
}

/// What was worked out for a picture.
#[derive(Debug)]
struct Known {
    scenario: Arc<Scenario>,
    phase: PhaseId,
    list: PreCheck,
}

impl Known {
    fn of(picture: &Picture) -> Self {
        Self {
            scenario: Arc::clone(picture.scenario_arc()),
            phase: picture.phase_id(),
            list: PreCheck::of(picture),
        }
    }

    fn fits(&self, picture: &Picture) -> bool {
        Arc::ptr_eq(&self.scenario, picture.scenario_arc()) && self.phase == picture.phase_id()
    }
}

/// Shows the pre-check of the phase shown.
pub(super) fn precheck_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, state: &mut PrecheckState) {
    let picture = ctx.derived.plan();
    let known = match state.known.take() {
        Some(known) if known.fits(picture) => known,
        _ => Known::of(picture),
    };
    if known.list.parts.is_empty() {
        empty(ctx, ui);
    } else {
        head(ctx, ui, state, &known.list);
        ui.add_space(6.0);
        ui.with_layout(Layout::left_to_right(Align::Min), |ui| {
            ui.vertical(|ui| {
                ui.set_width(PARTS);
                parts(ctx, ui, state, &known.list);
            });
            ui.add_space(10.0);
            ui.vertical(|ui| shown(ctx, ui, state, &known.list));
        });
    }
    state.known = Some(known);
}

fn empty(ctx: &ViewCtx<'_>, ui: &mut Ui) {
    let t = ctx.tokens;
    ui.add_space(8.0);
    let words = RichText::new("No radio is in use yet").font(semibold(15.0));
    ui.label(words.color(t.text));
    let words = "Give units radios, or plug donors into a gateway, and everything that is to be looked \
                 at on the spot stands here to be ticked off.";
    ui.add(egui::Label::new(RichText::new(words).color(t.soft)).wrap());
}

/// How far it is, and who signs.
fn head(ctx: &ViewCtx<'_>, ui: &mut Ui, state: &mut PrecheckState, list: &PreCheck) {
    let t = ctx.tokens;
    let (facts, steps, heard) = (list.facts(), list.steps(), list.heard());
    ui.horizontal_wrapped(|ui| {
        let name = ctx.scenario.name(ctx.shared.phase.into());
        let words = RichText::new(format!("Pre-check of {name}")).font(semibold(16.0));
        ui.label(words.color(t.text));
        ui.add_space(12.0);
        let words = format!("{} of {} facts verified", facts.done, facts.all);
        ui.label(RichText::new(words).color(t.text));
        if steps.all > 0 {
            let words = format!("{} of {} steps at ports done", steps.done, steps.all);
            ui.label(RichText::new(words).color(t.text));
        }
        if heard.all > 0 {
            let words = format!("{} of {} pairs heard", heard.done, heard.all);
            ui.label(RichText::new(words).color(t.text));
        }
    });
    let all = facts.all + steps.all + heard.all;
    if all > 0 {
        let share = (facts.done + steps.done + heard.done) as f32 / all as f32;
        ui.add(ProgressBar::new(share).desired_height(8.0).fill(t.good.ink));
    }
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().interact_size.y = TOUCH;
        sign_label(ui, Sign::Tick, 16.0, t.soft);
        ui.label(RichText::new("Signed by").color(t.text));
        let field = TextEdit::singleline(&mut state.by)
            .hint_text("name")
            .desired_width(200.0)
            .align(egui::Align2::LEFT_CENTER)
            .margin(vec2(8.0, 9.0));
        named_field(ui, "Name of who signs", field);
        let when = format!("on {} {}", ctx.today, ctx.time);
        ui.label(RichText::new(when.trim_end()).color(t.soft));
        ui.add_space(12.0);
        larger(ui);
        ui.checkbox(&mut state.open_only, "Only what is open")
            .on_hover_text("Hides every radio of which all is ticked");
        if state.by.trim().is_empty() {
            let words = "Write who signs, then tick";
            ui.label(RichText::new(words).color(t.warns.ink));
        }
    });
}

/// Makes ticks large enough for fingers and gloves.
fn larger(ui: &mut Ui) {
    let spacing = ui.spacing_mut();
    spacing.icon_width = 26.0;
    spacing.icon_width_inner = 16.0;
    spacing.icon_spacing = 8.0;
    spacing.interact_size.y = TOUCH;
}

/// Who signs now; nobody while no name is written.
fn signer(ctx: &ViewCtx<'_>, state: &PrecheckState) -> Option<Verified> {
    let by = state.by.trim();
    (!by.is_empty()).then(|| Verified {
        by: by.to_owned(),
        on: ctx.today.to_owned(),
        at: ctx.time.to_owned(),
    })
}

fn progress_of(part: &Part) -> Progress {
    part.sets
        .iter()
        .flat_map(|set| [set.facts_done(), set.steps_done()])
        .sum()
}

fn is_shown(state: &PrecheckState, list: &PreCheck, part: &Part) -> bool {
    match state.shown {
        Shown::First => list.parts.first() == Some(part),
        Shown::Of(whose) => whose == part.whose,
        Shown::Pairs => false,
    }
}

/// The list of gateways and agencies.
fn parts(ctx: &ViewCtx<'_>, ui: &mut Ui, state: &mut PrecheckState, list: &PreCheck) {
    // What was shown may be gone.
    if let Shown::Of(whose) = state.shown
        && list.parts.iter().all(|p| p.whose != whose)
    {
        state.shown = Shown::First;
    }
    ScrollArea::vertical().id_salt("parts").show(ui, |ui| {
        ui.set_width(PARTS - 12.0);
        for part in &list.parts {
            let Progress { done, all } = progress_of(part);
            let sign = match part.whose {
                _ if all > 0 && done == all => Sign::Tick,
                Whose::Gateway(_) => kind_sign(Kind::Gateway),
                Whose::Agency(_) | Whose::Nobody => kind_sign(Kind::Agency),
            };
            let count = format!("{done} of {all}");
            let is_on = is_shown(state, list, part);
            if part_row(ctx, ui, sign, (&part.title, &count), is_on) {
                state.shown = Shown::Of(part.whose);
            }
        }
        if !list.pairs.is_empty() {
            let Progress { done, all } = list.heard();
            let count = format!("{done} of {all} pairs heard");
            let is_on = state.shown == Shown::Pairs;
            if part_row(ctx, ui, Sign::Ear, ("Who should be heard", &count), is_on) {
                state.shown = Shown::Pairs;
            }
        }
    });
}

fn part_row(
    ctx: &ViewCtx<'_>,
    ui: &mut Ui,
    sign: Sign,
    (title, count): (&str, &str),
    is_on: bool,
) -> bool {
    let t = ctx.tokens;
    ui.horizontal(|ui| {
        sign_label(ui, sign, 16.0, if is_on { t.accent.ink } else { t.soft });
        let width = ui.available_width();
        let words = RichText::new(format!("{title}\n{count}"));
        let button = egui::Button::selectable(is_on, words)
            .wrap()
            // Something to the right keeps the words on the left.
            .right_text("")
            .min_size(vec2(width, TOUCH + 4.0));
        let response = ui.add(button);
        let label = format!("Pre-check part: {title}, {count}");
        ui.ctx()
            .accesskit_node_builder(response.id, |node| node.set_label(label));
        response.on_hover_text(format!("Shows {title}")).clicked()
    })
    .inner
}

/// The part that was chosen.
fn shown(ctx: &mut ViewCtx<'_>, ui: &mut Ui, state: &mut PrecheckState, list: &PreCheck) {
    if state.shown == Shown::Pairs {
        pairs::pairs_ui(ctx, ui, state, list);
        return;
    }
    let part = list.parts.iter().find(|part| is_shown(state, list, part));
    let Some(part) = part else { return };
    let by = signer(ctx, state);
    ScrollArea::vertical()
        .id_salt(("sets", part.title.as_str()))
        .auto_shrink(false)
        .show(ui, |ui| {
            larger(ui);
            let mut any = false;
            for each in &part.sets {
                let open = [each.facts_done(), each.steps_done()].into_iter().sum();
                let Progress { done, all } = open;
                if state.open_only && done == all {
                    continue;
                }
                any = true;
                set::set_ui(ctx, ui, state, each, by.as_ref());
                ui.add_space(8.0);
            }
            if !any {
                let words = format!("Everything of {} is ticked", part.title);
                ui.label(RichText::new(words).color(ctx.tokens.good.ink));
            }
        });
}
