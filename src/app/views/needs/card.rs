//! One need as a card.

use std::collections::BTreeSet;
use std::sync::Arc;

use egui::accesskit::Role;
use egui::{
    Align, ComboBox, CornerRadius, Label, Layout, Response, RichText, Sense, Stroke, StrokeKind,
    Ui, Vec2, WidgetInfo, vec2,
};

use super::breaks::breaks_ui;
use super::chain::chain_ui;
use super::{Known, NeedsViewState};
use crate::app::action::Action;
use crate::app::pairs;
use crate::app::panels::{step_sign, step_words, why_ui};
use crate::app::state::Tab;
use crate::app::theme::{
    Pair, Sign, Tokens, card, paint_sign, quiet_button, semibold, sign_label, text_button,
};
use crate::app::view::ViewCtx;
use crate::app::words::{Choice as _, after, seconds, sentence};
use crate::model::{Need, Party, Priority, Scenario, ThingId, Way};
use crate::picture::sounds::Sound;
use crate::picture::standing::{NeedState, Standing};

/// Names listed before the list is cut.
pub(super) const MOST_NAMES: usize = 6;
/// Width from which the marks of the phases stand beside the name, in points.
const WIDE: f32 = 560.0;

/// Shows a need; returns whether something slow was worked out in this frame.
pub(super) fn card_ui(
    ctx: &mut ViewCtx<'_>,
    ui: &mut Ui,
    state: &mut NeedsViewState,
    known: &mut Known,
    (need, number): (&Need, usize),
    worked_out: bool,
) -> bool {
    let t = ctx.tokens;
    let Some(found) = known.states.get(number).cloned() else {
        return worked_out;
    };
    let scenario = Arc::clone(&known.scenario);
    let mut worked_out = worked_out;
    card(ui, t, |ui| {
        ui.spacing_mut().item_spacing.y = 6.0;
        title_ui(ctx, ui, state, need, &found);
        who_ui(ui, t, &scenario, need);
        facts_ui(ctx, ui, &scenario, need, &found);
        route_ui(ctx, ui, state, known, need, &found);
        // Nothing that fails joins those who are kept apart.
        if !need.keeps_apart() {
            worked_out = breaks_ui(ctx, ui, state, known, need, worked_out);
        }
        buttons_ui(ctx, ui, state, need, &found);
        if state.why.contains(&need.id) && !need.keeps_apart() {
            mend_ui(ctx, ui, &scenario, need, &found);
        }
    });
    worked_out
}

/// Returns the sign and colours of how a need stands.
fn look(t: &Tokens, standing: Standing) -> (Sign, Pair) {
    match standing {
        Standing::Met => (Sign::Tick, t.good),
        Standing::MetWithFaults => (Sign::Warns, t.warns),
        Standing::PartlyMet => (Sign::Stops, t.stops),
        Standing::Unmet => (Sign::Cross, t.stops),
        Standing::NamesNobody => (Sign::Notes, t.notes),
    }
}

fn title_ui(
    ctx: &mut ViewCtx<'_>,
    ui: &mut Ui,
    state: &NeedsViewState,
    need: &Need,
    found: &NeedState,
) {
    let t = ctx.tokens;
    let (sign, pair) = look(t, found.standing);
    // Where the view is narrow the marks have a row of their own.
    let is_wide = ui.available_width() >= WIDE;
    ui.horizontal(|ui| {
        sign_label(ui, sign, 18.0, pair.ink);
        let name = RichText::new(&need.name).font(semibold(15.0)).color(t.text);
        ui.label(name);
        pill(
            ui,
            &sentence(found.standing.words(need.keeps_apart())),
            pair,
        );
        let pair = match need.priority {
            Priority::LifeSafety => t.stops,
            Priority::High => t.warns,
            Priority::Routine => t.notes,
        };
        let words = format!("Priority: {}", need.priority.words());
        ui.label(RichText::new(words).size(12.0).color(pair.ink));
        if is_wide {
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                marks_ui(ctx, ui, state, need);
            });
        }
    });
    if !is_wide {
        let row = vec2(ui.available_width(), 22.0);
        ui.allocate_ui_with_layout(row, Layout::right_to_left(Align::Center), |ui| {
            marks_ui(ctx, ui, state, need);
        });
    }
}

fn pill(ui: &mut Ui, words: &str, pair: Pair) {
    egui::Frame::new()
        .fill(pair.ground)
        .corner_radius(CornerRadius::same(9))
        .inner_margin(egui::Margin::symmetric(8, 2))
        .show(ui, |ui| {
            ui.label(RichText::new(words).font(semibold(12.0)).color(pair.ink));
        });
}

/// One mark a phase: met there or not; a click shows the phase.
fn marks_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, state: &NeedsViewState, need: &Need) {
    let t = ctx.tokens;
    let scenario = Arc::clone(ctx.scenario);
    if scenario.phases.len() < 2 {
        return;
    }
    ui.spacing_mut().item_spacing.x = 3.0;
    for phase in scenario.phases.iter().rev() {
        let Some(is_met) = state.phases.is_met(phase.id, need.id) else {
            continue;
        };
        let (rect, response) = ui.allocate_exact_size(Vec2::splat(22.0), Sense::click());
        let (sign, pair) = if is_met {
            (Sign::Tick, t.good)
        } else {
            (Sign::Cross, t.stops)
        };
        let standing = if is_met {
            Standing::Met
        } else {
            Standing::Unmet
        };
        let verb = standing.words(need.keeps_apart());
        let label = format!("{}: {verb} in {}", need.name, phase.name);
        response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &label));
        let painter = ui.painter();
        let round = CornerRadius::same(6);
        painter.rect_filled(rect.shrink(1.0), round, pair.ground);
        if phase.id == ctx.shared.phase || response.has_focus() {
            let line = Stroke::new(1.5, pair.ink);
            painter.rect_stroke(rect.shrink(1.0), round, line, StrokeKind::Inside);
        }
        paint_sign(painter, sign, rect.center(), 12.0, pair.ink);
        if response.on_hover_text(&label).clicked() {
            ctx.push(Action::Phase(phase.id));
        }
    }
    ui.label(RichText::new("Phases").size(11.5).color(t.faint));
}

fn who_ui(ui: &mut Ui, t: &Tokens, scenario: &Scenario, need: &Need) {
    ui.horizontal(|ui| {
        let names = |parties: &BTreeSet<Party>| names(scenario, parties.iter().copied());
        let (from, to) = (names(&need.from), names(&need.to));
        let secret = if need.encrypted {
            ", must stay encrypted"
        } else {
            ""
        };
        let words = match need.way {
            Way::TwoWay => format!("{from} to {to}, and back{secret}"),
            Way::ListenOnly => format!("{from} to {to}, listen only{secret}"),
            Way::Apart => format!("{from} and {to} must not hear each other"),
        };
        ui.add(Label::new(RichText::new(words).color(t.soft)).wrap());
    });
}

fn names(scenario: &Scenario, parties: impl Iterator<Item = Party>) -> String {
    let all: Vec<String> = parties.map(|p| scenario.name(p.into())).collect();
    match all.len() {
        0 => "nobody".to_owned(),
        n if n <= MOST_NAMES => all.join(", "),
        n => {
            let some = all.get(..MOST_NAMES).unwrap_or_default();
            format!("{} and {} more", some.join(", "), n - MOST_NAMES)
        }
    }
}

fn facts_ui(
    ctx: &mut ViewCtx<'_>,
    ui: &mut Ui,
    scenario: &Scenario,
    need: &Need,
    found: &NeedState,
) {
    let t = ctx.tokens;
    if need.keeps_apart() {
        joined_ui(ctx, ui, scenario, found);
        return;
    }
    let name = |party: Party| scenario.name(party.into());
    let heard = found.pairs - found.with(Sound::Silent).len();
    let mut words = format!("{heard} of {} pairs heard", found.pairs);
    if let Some((from, to, ms)) = found.latest {
        words = format!(
            "{words}; latest {} to {}: {}",
            name(from),
            name(to),
            after(ms)
        );
    }
    let bound = seconds(found.asked.limit_ms);
    words = match need.max_delay_ms {
        Some(_) => format!("{words}; the need accepts {bound}"),
        None => format!("{words}; planning should stay within {bound}"),
    };
    ui.add(Label::new(RichText::new(words).color(t.soft)).wrap());
    for (fault, some) in found.faults.iter().rev() {
        ui.horizontal_wrapped(|ui| {
            let (rect, _) = ui.allocate_exact_size(Vec2::splat(16.0), Sense::hover());
            if *fault == Sound::Silent {
                pairs::paint_unmet(ui.painter(), t, rect.center(), 6.0);
            } else {
                pairs::paint(ui.painter(), t, *fault, rect.center(), 5.5);
            }
            let ink = match fault {
                Sound::Silent => t.stops.ink,
                _ => pairs::colours(t, *fault).ink,
            };
            let pair = if some.len() == 1 { "pair" } else { "pairs" };
            let words = format!("{} {pair} {}:", some.len(), fault.word());
            ui.label(RichText::new(words).color(ink));
            // A fourth takes no more room than the words that it is left out.
            let shown = if some.len() == 4 { 4 } else { 3 };
            for (from, to) in some.iter().take(shown) {
                let words = format!("{} to {}", name(*from), name(*to));
                let link = ui.add(egui::Link::new(words));
                if link.on_hover_text("Explain this pair").clicked() {
                    ctx.push(Action::Ask(*from, *to));
                }
            }
            if some.len() > shown {
                let words = format!("and {} more", some.len() - shown);
                ui.label(RichText::new(words).color(t.faint));
            }
        });
    }
}

/// Whether those kept apart hear each other, with the pairs that do.
fn joined_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, scenario: &Scenario, found: &NeedState) {
    let t = ctx.tokens;
    if found.joined.is_empty() {
        let words = format!("None of {} pairs hear each other", found.pairs);
        ui.label(RichText::new(words).color(t.soft));
        return;
    }
    ui.horizontal_wrapped(|ui| {
        sign_label(ui, Sign::Ear, 14.0, t.stops.ink);
        let words = format!(
            "{} of {} pairs hear each other:",
            found.joined.len(),
            found.pairs
        );
        ui.label(RichText::new(words).color(t.stops.ink));
        for (from, to) in found.joined.iter().take(MOST_NAMES) {
            let name = |party: Party| scenario.name(party.into());
            let words = format!("{} hears {}", name(*to), name(*from));
            let link = ui.add(egui::Link::new(words));
            if link.on_hover_text("Explain this pair").clicked() {
                ctx.push(Action::Ask(*from, *to));
            }
        }
        let more = found.joined.len().saturating_sub(MOST_NAMES);
        if more > 0 {
            ui.label(RichText::new(format!("and {more} more")).color(t.faint));
        }
    });
}

/// The pairs of which a route may be shown: all that must be heard, or those that hear and must not.
fn pairs_shown(need: &Need, found: &NeedState) -> Vec<(Party, Party)> {
    if need.keeps_apart() {
        found.joined.clone()
    } else {
        need.pairs_to_hear()
    }
}

/// The pair whose route is shown: the one chosen, else the latest that is heard.
fn shown_pair(state: &NeedsViewState, need: &Need, found: &NeedState) -> Option<(Party, Party)> {
    let chosen = state.pair.get(&need.id).copied();
    let latest = found.latest.map(|(from, to, _)| (from, to));
    let all = pairs_shown(need, found);
    chosen
        .filter(|pair| all.contains(pair))
        .or(latest)
        .or_else(|| all.first().copied())
}

fn route_ui(
    ctx: &mut ViewCtx<'_>,
    ui: &mut Ui,
    state: &mut NeedsViewState,
    known: &Known,
    need: &Need,
    found: &NeedState,
) {
    let t = ctx.tokens;
    let Some((from, to)) = shown_pair(state, need, found) else {
        return;
    };
    let scenario = &known.scenario;
    let pair_words = |(from, to): (Party, Party)| {
        let (from, to) = (scenario.name(from.into()), scenario.name(to.into()));
        format!("{from} to {to}")
    };
    let all = pairs_shown(need, found);
    ui.horizontal(|ui| {
        ui.label(RichText::new("Route of").size(12.0).color(t.faint));
        if all.len() < 2 {
            ui.label(
                RichText::new(pair_words((from, to)))
                    .size(12.0)
                    .color(t.soft),
            );
            return;
        }
        ui.name_inputs(format!("Route of a pair of {}", need.name), |ui| {
            ComboBox::from_id_salt(("route", need.id))
                .selected_text(RichText::new(pair_words((from, to))).color(t.text))
                .width(280.0)
                .truncate()
                .show_ui(ui, |ui| {
                    for pair in all.iter().take(60) {
                        let words = pair_words(*pair);
                        if ui.selectable_label(*pair == (from, to), words).clicked() {
                            state.pair.insert(need.id, *pair);
                        }
                    }
                });
        });
    });
    match known.route(&ctx.derived.picture, from, to) {
        Some(path) => {
            chain_ui(ctx, ui, &path, &need.name);
            if state.open.contains(&need.id) {
                for step in &path.steps {
                    ui.horizontal(|ui| {
                        sign_label(ui, step_sign(step.what), 13.0, t.faint);
                        let words = step_words(scenario, step.at, step.what);
                        let late = match step.delay_ms {
                            0 => String::new(),
                            ms => format!(", {ms} ms"),
                        };
                        let words = format!("{}{late}", sentence(&words));
                        ui.label(RichText::new(words).size(12.5).color(t.soft));
                    });
                }
            }
        }
        None => {
            ui.horizontal(|ui| {
                sign_label(ui, Sign::EarCrossed, 15.0, t.stops.ink);
                let (from, to) = (scenario.name(from.into()), scenario.name(to.into()));
                let words = format!("No route: {to} does not hear {from}");
                ui.label(RichText::new(words).color(t.stops.ink));
            });
        }
    }
}

/// Gives a button whose words recur on every card a name of its own.
pub(super) fn named(button: Response, name: &str) -> Response {
    button.widget_info(|| WidgetInfo::labeled(Role::Button, true, name));
    button
}

fn buttons_ui(
    ctx: &mut ViewCtx<'_>,
    ui: &mut Ui,
    state: &mut NeedsViewState,
    need: &Need,
    found: &NeedState,
) {
    let t = ctx.tokens;
    let name = &need.name;
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(6.0, 4.0);
        let show = named(
            text_button(ui, t, "Show on the board"),
            &format!("Show {name} on the board"),
        );
        if show.on_hover_text("Selects everybody it names").clicked() {
            let parties: BTreeSet<ThingId> = need
                .from
                .iter()
                .chain(&need.to)
                .map(|p| (*p).into())
                .collect();
            ctx.push(Action::Show(parties.into_iter().collect()));
        }
        if let Some((from, to)) = shown_pair(state, need, found) {
            let explain = named(text_button(ui, t, "Explain"), &format!("Explain {name}"));
            let tip = "Opens the card about the pair shown, in the panel on the right";
            if explain.on_hover_text(tip).clicked() {
                ctx.push(Action::Ask(from, to));
            }
        }
        let is_silent = !found.standing.is_met() && found.standing != Standing::NamesNobody;
        if is_silent && !need.keeps_apart() {
            let is_on = state.why.contains(&need.id);
            let words = if is_on { "Hide why not" } else { "Why not" };
            let why = named(text_button(ui, t, words), &format!("{words}: {name}"));
            let tip = "Says what is in the way and the fewest changes that would mend it";
            if why.on_hover_text(tip).clicked() && !state.why.remove(&need.id) {
                state.why.insert(need.id);
            }
        }
        if !need.keeps_apart() || !found.joined.is_empty() {
            let is_open = state.open.contains(&need.id);
            let words = if is_open { "Less" } else { "More" };
            let more = named(quiet_button(ui, t, words), &format!("{words} about {name}"));
            let tip = "The route in words, and all that cuts it";
            if more.on_hover_text(tip).clicked() && !state.open.remove(&need.id) {
                state.open.insert(need.id);
            }
        }
        let edit = named(quiet_button(ui, t, "Change"), &format!("Change {name}"));
        if edit.on_hover_text("Opens its fields").clicked() {
            ctx.push(Action::Select(vec![need.id.into()]));
            ctx.push(Action::Tab(Tab::Details));
        }
    });
}

/// Why the first pair that is not heard is not, with the fewest changes and a button for them.
fn mend_ui(
    ctx: &mut ViewCtx<'_>,
    ui: &mut Ui,
    scenario: &Scenario,
    need: &Need,
    found: &NeedState,
) {
    let t = ctx.tokens;
    let Some((from, to)) = found.with(Sound::Silent).first().copied() else {
        let words = "Every pair is heard, but in clear. The findings say where it leaves in clear.";
        ui.label(RichText::new(words).color(t.stops.ink));
        if quiet_button(ui, t, "Show the findings").clicked() {
            ctx.push(Action::Tab(Tab::Findings));
        }
        return;
    };
    let (speaker, hearer) = (scenario.name(from.into()), scenario.name(to.into()));
    egui::Frame::new()
        .fill(t.sunken)
        .corner_radius(CornerRadius::same(8))
        .inner_margin(egui::Margin::same(10))
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            let words = format!("For {}: {hearer} does not hear {speaker}, since", need.name);
            ui.label(RichText::new(words).font(semibold(13.0)).color(t.text));
            why_ui(ctx, ui, scenario, from, to);
        });
}
