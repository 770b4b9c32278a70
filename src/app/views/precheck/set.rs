//! One radio, telephone, headset or tie of the pre-check: its facts and steps with a tick each.

use egui::{Align, Layout, RichText, TextEdit, Ui, vec2};

use super::{PrecheckState, TOUCH};
use crate::app::action::Action;
use crate::app::theme::{Sign, card, kind_sign, semibold, sign_label, text_button};
use crate::app::view::ViewCtx;
use crate::app::views::named_field;
use crate::app::words::sentence;
use crate::model::{Edit, Radio, Step, Tested, ThingId, Verified};
use crate::picture::precheck::{AtPort, FactLine, Set, StepLine, tried, verify};

/// How far outside of what is seen sets are still drawn, in points.
const BEYOND: f32 = 600.0;

/// Shows one set; far outside what is seen it only keeps its place.
pub(super) fn set_ui(
    ctx: &mut ViewCtx<'_>,
    ui: &mut Ui,
    state: &mut PrecheckState,
    set: &Set,
    by: Option<&Verified>,
) {
    let top = ui.cursor().min.y;
    if let Some(height) = state.heights.get(&set.thing) {
        let seen = ui.clip_rect();
        // Somewhat beyond what is seen, so that Tab finds the next one.
        if top + height + BEYOND < seen.min.y || top > seen.max.y + BEYOND {
            ui.allocate_space(vec2(ui.available_width(), *height));
            return;
        }
    }
    let t = ctx.tokens;
    let response = card(ui, t, |ui| {
        title(ctx, ui, set, by);
        if set.facts.is_empty() && set.channel.is_none() && set.at_port.is_none() {
            let words = "No channel is selected, so there is nothing to verify yet";
            ui.label(RichText::new(words).color(t.warns.ink));
        }
        for line in &set.facts {
            fact(ctx, ui, set, line, by);
        }
        if let Some((at, line)) = set.at_port.as_ref().zip(set.own_agency()) {
            step(ctx, ui, (set, at), line, by);
        }
        if let Some(at) = &set.at_port {
            ui.separator();
            for line in at.steps.iter().filter(|l| l.step != Step::OwnAgency) {
                step(ctx, ui, (set, at), line, by);
            }
            heard(ctx, ui, state, (set, at));
        }
    });
    state
        .heights
        .insert(set.thing, response.response.rect.height());
}

fn title(ctx: &mut ViewCtx<'_>, ui: &mut Ui, set: &Set, by: Option<&Verified>) {
    let t = ctx.tokens;
    ui.horizontal(|ui| {
        sign_label(ui, kind_sign(set.thing.kind()), 20.0, t.accent.ink);
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 1.0;
            let name = RichText::new(&set.name).font(semibold(15.0)).color(t.text);
            let label = egui::Label::new(name).sense(egui::Sense::click());
            if ui.add(label).on_hover_text("Select it").clicked() {
                ctx.push(Action::Select(vec![set.thing]));
            }
            let mut words = sentence(&set.with);
            if !set.reads.is_empty() {
                words.push_str(&format!(", reads {}", set.reads));
            }
            ui.label(RichText::new(words).color(t.soft));
        });
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let is_open = set.facts.iter().any(|line| line.verified.is_none());
            if is_open {
                let button = text_button(ui, t, "Verify all of this radio");
                let label = format!("Verify all of {}", set.name);
                ui.ctx()
                    .accesskit_node_builder(button.id, |node| node.set_label(label));
                if button.clicked() && is_signed(ctx, by) {
                    let all = set.facts.iter().filter(|line| line.verified.is_none());
                    let edit = radio(ctx, set)
                        .zip(set.channel)
                        .and_then(|(radio, channel)| {
                            verify(radio, channel, all.map(|line| line.fact), by)
                        });
                    apply(ctx, format!("Verify all of {}", set.name), edit);
                }
            }
        });
    });
}

fn radio<'s>(ctx: &ViewCtx<'s>, set: &Set) -> Option<&'s Radio> {
    match set.thing {
        ThingId::Radio(id) => ctx.scenario.radios.get(id),
        _ => None,
    }
}

fn apply(ctx: &mut ViewCtx<'_>, label: String, edit: Option<Edit>) {
    if let Some(edit) = edit {
        ctx.apply(label, vec![edit]);
    }
}

/// Tells whether somebody signs, and asks for the name where nobody does.
fn is_signed(ctx: &mut ViewCtx<'_>, by: Option<&Verified>) -> bool {
    if by.is_none() {
        ctx.push(Action::Say("Write who signs first".to_owned()));
    }
    by.is_some()
}

/// A large tick with what it stands for and who made it; answers what it should be from now on.
pub(super) fn tick(
    ctx: &mut ViewCtx<'_>,
    ui: &mut Ui,
    name: &str,
    (what, words): (&str, &str),
    done: Option<&Verified>,
    by: Option<&Verified>,
) -> Option<bool> {
    let t = ctx.tokens;
    let mut on = done.is_some();
    ui.horizontal(|ui| {
        ui.set_min_height(TOUCH);
        // "Cable in: cable C-7" says it twice.
        let first = what.split(' ').next().unwrap_or(what);
        let text = if words.starts_with(first) {
            sentence(words)
        } else {
            format!("{}: {words}", sentence(what))
        };
        let text = RichText::new(text).size(14.5);
        let response = ui.checkbox(&mut on, text.color(t.text));
        ui.ctx()
            .accesskit_node_builder(response.id, |node| node.set_label(name));
        if response.gained_focus() {
            response.scroll_to_me(None);
        }
        if let Some(done) = done {
            let when = Some(done.when()).filter(|when| !when.is_empty());
            let when = when.map_or_else(String::new, |when| format!(", {when}"));
            sign_label(ui, Sign::Tick, 14.0, t.good.ink);
            ui.label(RichText::new(format!("{}{when}", done.by)).color(t.soft));
        }
        // A tick may be taken off without a name; a new one needs one.
        (response.changed() && (!on || is_signed(ctx, by))).then_some(on)
    })
    .inner
}

fn fact(ctx: &mut ViewCtx<'_>, ui: &mut Ui, set: &Set, line: &FactLine, by: Option<&Verified>) {
    let name = format!("{} on {}", sentence(line.fact.word()), set.name);
    let words = if line.differs {
        format!("{} (not as the channel is defined)", line.words)
    } else {
        line.words.clone()
    };
    let what = (line.fact.word(), words.as_str());
    let Some(on) = tick(ctx, ui, &name, what, line.verified.as_ref(), by) else {
        return;
    };
    let edit = radio(ctx, set)
        .zip(set.channel)
        .and_then(|(radio, channel)| verify(radio, channel, [line.fact], by.filter(|_| on)));
    let verb = if on { "Verify" } else { "No longer verify" };
    apply(
        ctx,
        format!("{verb} the {} on {}", line.fact.word(), set.name),
        edit,
    );
}

fn step(
    ctx: &mut ViewCtx<'_>,
    ui: &mut Ui,
    (set, at): (&Set, &AtPort),
    line: &StepLine,
    by: Option<&Verified>,
) {
    let port = ctx.scenario.name(at.port.into());
    let name = format!("{} at {port}", sentence(line.step.word()));
    let what = (line.step.word(), line.words.as_str());
    let Some(on) = tick(ctx, ui, &name, what, line.done.as_ref(), by) else {
        return;
    };
    let edit = ctx
        .phase()
        .map(|phase| tried(phase, at.port, [line.step], by.filter(|_| on)));
    let verb = if on { "Tick" } else { "Untick" };
    apply(
        ctx,
        format!("{verb} {} of {}", line.step.word(), set.name),
        edit,
    );
}

/// A field for what was heard; it is taken when it is left.
fn heard(
    ctx: &mut ViewCtx<'_>,
    ui: &mut Ui,
    state: &mut PrecheckState,
    (set, at): (&Set, &AtPort),
) {
    let t = ctx.tokens;
    let port = ctx.scenario.name(at.port.into());
    let thing = set.thing;
    let mut text = match &state.heard {
        Some((other, text)) if *other == thing => text.clone(),
        _ => at.heard.clone(),
    };
    ui.horizontal(|ui| {
        ui.label(RichText::new("Heard").color(t.text));
        let field = TextEdit::singleline(&mut text)
            .hint_text("such as DAQ 4, half a second late")
            .desired_width(320.0)
            .align(egui::Align2::LEFT_CENTER)
            .margin(vec2(8.0, 9.0));
        let response = named_field(ui, &format!("What was heard at {port}"), field);
        if response.changed() {
            state.heard = Some((thing, text.clone()));
        }
        if response.lost_focus()
            && let Some((_, text)) = state.heard.take_if(|(other, _)| *other == thing)
            && text.trim() != at.heard
            && let Some(phase) = ctx.phase()
        {
            let steps = phase.tested.get(&at.port).map(|t| t.steps.clone());
            let edit = Edit::Test {
                phase: phase.id,
                port: at.port,
                tested: Tested {
                    steps: steps.unwrap_or_default(),
                    heard: text.trim().to_owned(),
                },
            };
            ctx.apply(format!("Note what was heard at {port}"), vec![edit]);
        }
    });
}
