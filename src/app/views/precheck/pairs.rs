//! Who should be heard by whom, with a tick, a quality and a delay for each pair that the plan says is
//! heard. Every tick is an edit that the picture makes.

use egui::{ComboBox, RichText, ScrollArea, TextEdit, Ui, vec2};

use super::set::tick;
use super::{PrecheckState, larger, signer};
use crate::app::theme::{Sign, semibold, sign_label};
use crate::app::view::ViewCtx;
use crate::app::views::named_field;
use crate::app::words::{after, sentence};
use crate::model::{HeardPair, Verified};
use crate::picture::precheck::{Pair, PreCheck, note_heard};

/// Pairs listed at most; the matrix has all.
const MOST_PAIRS: usize = 300;
/// Longest delay that can be written, in seconds.
const LONGEST_S: f64 = 60.0;

/// Shows every pair, need by need.
pub(super) fn pairs_ui(
    ctx: &mut ViewCtx<'_>,
    ui: &mut Ui,
    state: &mut PrecheckState,
    list: &PreCheck,
) {
    let t = ctx.tokens;
    let words = "Let each of these speak a test count and be answered, and tick who is heard. What is not \
                 heard by the plan is not heard on the air either.";
    ui.add(egui::Label::new(RichText::new(words).color(t.soft)).wrap());
    let by = signer(ctx, state);
    let is_open = |pair: &&Pair| !state.open_only || pair.heard.is_none();
    let shown: Vec<&Pair> = list.pairs.iter().filter(is_open).collect();
    ScrollArea::vertical()
        .id_salt("pairs")
        .auto_shrink(false)
        .show(ui, |ui| {
            larger(ui);
            let mut need = None;
            for pair in shown.iter().take(MOST_PAIRS) {
                if need.replace(pair.need) != Some(pair.need) {
                    ui.add_space(6.0);
                    let name = sentence(&ctx.scenario.name(pair.need.into()));
                    ui.label(RichText::new(name).font(semibold(13.5)).color(t.text));
                }
                pair_ui(ctx, ui, state, pair, by.as_ref());
            }
            if shown.is_empty() && !list.pairs.is_empty() {
                let words = "Every pair was heard";
                ui.label(RichText::new(words).color(t.good.ink));
            }
            let more = shown.len().saturating_sub(MOST_PAIRS);
            if more > 0 {
                let words = format!("and {more} more: see the matrix");
                ui.label(RichText::new(words).color(t.soft));
            }
        });
}

fn pair_ui(
    ctx: &mut ViewCtx<'_>,
    ui: &mut Ui,
    state: &mut PrecheckState,
    pair: &Pair,
    by: Option<&Verified>,
) {
    let t = ctx.tokens;
    let name = |party: crate::model::Party| ctx.scenario.name(party.into());
    let names = format!("{} to {}", name(pair.from), name(pair.to));
    let Some(ms) = pair.delay_ms else {
        ui.horizontal(|ui| {
            sign_label(ui, Sign::EarCrossed, 15.0, t.stops.ink);
            let words = format!("{names}: not heard by the plan");
            ui.label(RichText::new(words).color(t.text));
        });
        return;
    };
    let plan = match (&pair.heard, pair.is_outdated) {
        (None, true) => "was heard by another path, try it again".to_owned(),
        _ => format!("heard by the plan, {}", after(ms)),
    };
    let label = format!("{names} heard");
    let done = pair.heard.as_ref().map(|h| &h.noted);
    if let Some(on) = tick(ctx, ui, &label, (&names, &plan), done, by) {
        let noted = by.filter(|_| on);
        let verb = if on { "Note" } else { "No longer note" };
        note(
            ctx,
            format!("{verb} {names} as heard"),
            pair,
            noted,
            (None, None),
        );
    }
    if let Some(heard) = &pair.heard {
        quality(ctx, ui, state, (pair, &names), heard, by);
    }
}

/// How well and how late it was heard.
fn quality(
    ctx: &mut ViewCtx<'_>,
    ui: &mut Ui,
    state: &mut PrecheckState,
    (pair, names): (&Pair, &str),
    heard: &HeardPair,
    by: Option<&Verified>,
) {
    let t = ctx.tokens;
    // Who judges it signs it; while nobody is written it stays with who heard it.
    let noted = by.unwrap_or(&heard.noted);
    ui.horizontal(|ui| {
        ui.add_space(34.0);
        let label = ui.label(RichText::new("Quality").color(t.soft));
        let words = |daq: Option<u8>| daq.map_or("not judged".to_owned(), |n| format!("DAQ {n}"));
        let mut chosen = None;
        let response = ComboBox::from_id_salt(("daq", pair.from, pair.to))
            .selected_text(words(heard.daq))
            .width(110.0)
            .show_ui(ui, |ui| {
                for daq in [None].into_iter().chain((1..=5).map(Some)) {
                    if ui.selectable_label(heard.daq == daq, words(daq)).clicked() {
                        chosen = Some(daq);
                    }
                }
            })
            .response
            .on_hover_text("1 cannot be made out, 3 with slight effort, 5 without any noise")
            .labelled_by(label.id);
        let name = format!("Quality of {names}");
        ui.ctx()
            .accesskit_node_builder(response.id, |node| node.set_label(name));
        if let Some(daq) = chosen {
            let title = format!("Judge {names}");
            note(ctx, title, pair, Some(noted), (daq, heard.delay_ms));
        }
        ui.label(RichText::new("late by").color(t.soft));
        let key = (pair.from, pair.to);
        let now = heard
            .delay_ms
            .map_or_else(String::new, |ms| format!("{}", f64::from(ms) / 1000.0));
        let mut text = match &state.late {
            Some((other, text)) if *other == key => text.clone(),
            _ => now.clone(),
        };
        let field = TextEdit::singleline(&mut text)
            .hint_text("such as 0.5")
            .desired_width(90.0)
            .margin(vec2(8.0, 9.0));
        let response = named_field(ui, &format!("Delay of {names} in seconds"), field);
        ui.label(RichText::new("s").color(t.soft));
        if response.changed() {
            state.late = Some((key, text));
        }
        if response.lost_focus()
            && let Some((_, text)) = state.late.take_if(|(other, _)| *other == key)
            && text.trim() != now
        {
            match seconds(&text) {
                Ok(delay_ms) => {
                    let title = format!("Note how late {names} is");
                    note(ctx, title, pair, Some(noted), (heard.daq, delay_ms));
                }
                Err(words) => ctx.push(crate::app::action::Action::Say(words.to_owned())),
            }
        }
    });
}

/// Reads seconds, or nothing, as milliseconds.
fn seconds(text: &str) -> Result<Option<u32>, &'static str> {
    let text = text.trim().trim_end_matches('s').trim().replace(',', ".");
    if text.is_empty() {
        return Ok(None);
    }
    match text.parse::<f64>() {
        Ok(s) if (0.0..=LONGEST_S).contains(&s) => Ok(Some((s * 1000.0).round() as u32)),
        _ => Err("A delay in seconds from 0 to 60, such as 0.5"),
    }
}

fn note(
    ctx: &mut ViewCtx<'_>,
    title: String,
    pair: &Pair,
    noted: Option<&Verified>,
    how: (Option<u8>, Option<u32>),
) {
    let edit = note_heard(ctx.derived.plan(), (pair.from, pair.to), noted, how);
    if let Some(edit) = edit {
        ctx.apply(title, vec![edit]);
    }
}
