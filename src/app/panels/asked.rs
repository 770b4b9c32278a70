//! The card about one pair: the path step by step, or why there is none and what would make one.

use std::sync::Arc;

use egui::{RichText, Spinner, Ui};

use crate::app::action::{Action, Hold};
use crate::app::theme::{
    Sign, card, primary_button, quiet_button, semibold, sign_button, sign_label,
};
use crate::app::view::ViewCtx;
use crate::app::words::{seconds, sentence};
use crate::hearing::{Path, Secrecy, StepKind};
use crate::model::{Party, Scenario, ThingId};

/// Shows the card about a pair.
pub(super) fn asked_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, from: Party, to: Party) {
    let t = ctx.tokens;
    let s = Arc::clone(ctx.scenario);
    let (speaker, hearer) = (s.name(from.into()), s.name(to.into()));
    let path = ctx.derived.picture.hearing().path(&s, from, to);
    card(ui, t, |ui| {
        ui.spacing_mut().item_spacing.y = 6.0;
        ui.horizontal(|ui| {
            let (sign, ink, words) = if path.is_some() {
                (Sign::Ear, t.good.ink, format!("{hearer} hears {speaker}"))
            } else {
                (
                    Sign::EarCrossed,
                    t.stops.ink,
                    format!("Why {hearer} does not hear {speaker}"),
                )
            };
            sign_label(ui, sign, 20.0, ink);
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                if sign_button(ui, t, Sign::Cross, "Close this card", true).clicked() {
                    ctx.push(Action::Unask);
                }
                ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| {
                    ui.add(egui::Label::new(RichText::new(words).font(semibold(14.5))).wrap());
                });
            });
        });
        match &path {
            Some(path) => path_ui(ctx, ui, &s, path),
            None => why_ui(ctx, ui, &s, from, to),
        }
        ui.horizontal_wrapped(|ui| {
            if quiet_button(ui, t, &format!("Let {speaker} talk")).clicked() {
                ctx.push(Action::Talk(from, Hold::Latched));
            }
            if quiet_button(ui, t, "The other way round").clicked() {
                ctx.push(Action::Ask(to, from));
            }
        });
    });
    ui.add_space(8.0);
}

fn path_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, s: &Scenario, path: &Path) {
    let t = ctx.tokens;
    let a = path.arrival;
    let mut words = if a.delay_ms < 5 {
        "At once".to_owned()
    } else {
        format!("After {}", seconds(a.delay_ms))
    };
    if path.wait_ms > 0 {
        words = format!(
            "{words}, once {} has waited {} for access",
            s.name(path.from.into()),
            seconds(path.wait_ms)
        );
    }
    ui.add(egui::Label::new(RichText::new(words).color(t.soft)).wrap());
    if a.clipped_ms > 0 {
        ui.horizontal(|ui| {
            sign_label(ui, Sign::ClippedFront, 15.0, t.warns.ink);
            ui.label(
                RichText::new(format!("The first {} are lost", seconds(a.clipped_ms)))
                    .color(t.warns.ink),
            );
        });
    }
    if a.by_scan {
        ui.horizontal(|ui| {
            sign_label(ui, Sign::Scan, 15.0, t.warns.ink);
            ui.label(RichText::new("Only by scanning: no answer is sure").color(t.warns.ink));
        });
    }
    secrecy_ui(ctx, ui, s, path);
    for step in &path.steps {
        ui.horizontal_top(|ui| {
            sign_label(ui, step_sign(step.what), 14.0, t.faint);
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Min), |ui| {
                if step.delay_ms > 0 {
                    ui.label(
                        RichText::new(format!("{} ms", step.delay_ms))
                            .size(12.0)
                            .color(t.faint),
                    );
                }
                ui.with_layout(egui::Layout::left_to_right(egui::Align::Min), |ui| {
                    let words = step_words(s, step.at, step.what);
                    let label = egui::Label::new(RichText::new(words).size(12.5))
                        .wrap()
                        .sense(egui::Sense::click());
                    let words = ui.add(label);
                    if words.clicked() {
                        ctx.push(Action::Show(vec![step.at]));
                    }
                    if words.hovered() {
                        ctx.lit.push(step.at);
                    }
                });
            });
        });
    }
}

fn secrecy_ui(ctx: &ViewCtx<'_>, ui: &mut Ui, s: &Scenario, path: &Path) {
    let t = ctx.tokens;
    let (sign, ink, words) = match &path.secrecy {
        Secrecy::Clear => (
            Sign::LockOpen,
            t.notes.ink,
            "In clear all the way".to_owned(),
        ),
        Secrecy::Kept { opened_in } if opened_in.is_empty() => {
            (Sign::Lock, t.good.ink, "Encrypted all the way".to_owned())
        }
        Secrecy::Kept { opened_in } => {
            let names: Vec<String> = opened_in.iter().map(|g| s.name((*g).into())).collect();
            (
                Sign::Lock,
                t.good.ink,
                format!("Encrypted on the air; in clear inside {}", names.join(", ")),
            )
        }
        Secrecy::Ends {
            port, listeners, ..
        } => {
            let names: Vec<String> = listeners
                .iter()
                .take(4)
                .map(|p| s.name((*p).into()))
                .collect();
            let heard = if names.is_empty() {
                String::new()
            } else {
                format!("; then heard by {}", names.join(", "))
            };
            (
                Sign::LockOpen,
                t.stops.ink,
                format!(
                    "Encryption ends: it leaves {} in clear{heard}",
                    s.name((*port).into())
                ),
            )
        }
    };
    ui.horizontal_top(|ui| {
        sign_label(ui, sign, 15.0, ink);
        ui.add(egui::Label::new(RichText::new(words).color(ink)).wrap());
    });
}

/// Returns the sign of what happens at a step of a path.
pub(in crate::app) fn step_sign(what: StepKind) -> Sign {
    match what {
        StepKind::Speaks => Sign::Mic,
        StepKind::Transmits { key: Some(_), .. } => Sign::Lock,
        StepKind::Transmits { key: None, .. } => Sign::LockOpen,
        StepKind::Carries => Sign::Channel,
        StepKind::Receives { by_scan: true, .. } => Sign::Scan,
        StepKind::Receives { by_scan: false, .. } => Sign::Radio,
        StepKind::EntersPort | StepKind::OnTalkGroup | StepKind::LeavesPort => Sign::Gateway,
        StepKind::Tied => Sign::Wire,
        StepKind::Called => Sign::Telephone,
        StepKind::Worn => Sign::Headset,
        StepKind::Hears => Sign::Ear,
    }
}

/// Says what happens at a step of a path.
pub(in crate::app) fn step_words(s: &Scenario, at: ThingId, what: StepKind) -> String {
    let name = s.name(at);
    match what {
        StepKind::Speaks => format!("{name} speaks"),
        StepKind::Transmits { channel, key } => {
            let how = key.map_or_else(|| "in clear".to_owned(), |k| format!("encrypted, {k}"));
            format!("{name} sends on {}, {how}", s.name(channel.into()))
        }
        StepKind::Carries | StepKind::Called => format!("{name} carries it"),
        StepKind::Receives { channel, by_scan } => {
            let how = if by_scan { " by scanning" } else { "" };
            format!("{name} receives it on {}{how}", s.name(channel.into()))
        }
        StepKind::EntersPort => format!("it enters by {name}"),
        StepKind::OnTalkGroup => format!("it is on {name}"),
        StepKind::LeavesPort => format!("it leaves by {name}"),
        StepKind::Tied => format!("{name} carries it to the other gateway"),
        StepKind::Worn => format!("{name} gives it to an ear"),
        StepKind::Hears => format!("{name} hears it"),
    }
}

/// Says that something is being worked out, or that it was stopped; its Stop is in the status bar.
pub(in crate::app) fn pending(ctx: &mut ViewCtx<'_>, ui: &mut Ui) {
    let t = ctx.tokens;
    ui.horizontal(|ui| {
        if ctx.derived.asked_for().is_some() {
            ui.add(Spinner::new().size(14.0).color(t.accent.ink));
            ui.label(RichText::new("Being worked out").color(t.soft));
        } else {
            ui.label(RichText::new("Not worked out: it was stopped").color(t.soft));
            if quiet_button(ui, t, "Work it out").clicked() {
                ctx.push(Action::Work { stop: false });
            }
        }
    });
}

/// Shows why a pair is not heard, with the fewest changes that would join it and a button for them.
pub(in crate::app) fn why_ui(
    ctx: &mut ViewCtx<'_>,
    ui: &mut Ui,
    s: &Scenario,
    from: Party,
    to: Party,
) {
    let t = ctx.tokens;
    let Some(why) = ctx.derived.why_not(from, to) else {
        pending(ctx, ui);
        return;
    };
    if why.changes.is_empty() {
        ui.label("No change of settings or gear joins them in this phase.");
        return;
    }
    for (i, change) in why.changes.iter().enumerate() {
        ui.horizontal_top(|ui| {
            sign_label(ui, Sign::Cross, 13.0, t.stops.ink);
            let label = egui::Label::new(sentence(&change.reason))
                .wrap()
                .sense(egui::Sense::click());
            let reason = ui.add(label);
            if reason.clicked() {
                ctx.push(Action::Show(change.things.clone()));
            }
            if reason.hovered() {
                ctx.lit.extend(&change.things);
            }
        });
        ui.horizontal_top(|ui| {
            sign_label(ui, Sign::ArrowRight, 13.0, t.good.ink);
            let words = RichText::new(format!("{}. {}", i + 1, change.title)).color(t.good.ink);
            if ui.add(egui::Label::new(words).wrap()).hovered() {
                ctx.lit.extend(&change.things);
            }
        });
    }
    if !why.cuts.is_empty() {
        let names: Vec<String> = why
            .cuts
            .iter()
            .take(4)
            .map(|(a, b)| format!("{} to {}", s.name((*a).into()), s.name((*b).into())))
            .collect();
        let more = if why.cuts.len() > 4 { " and more" } else { "" };
        ui.horizontal_top(|ui| {
            sign_label(ui, Sign::Warns, 14.0, t.warns.ink);
            let words = format!("No longer heard then: {}{more}", names.join(", "));
            ui.add(egui::Label::new(RichText::new(words).color(t.warns.ink)).wrap());
        });
    }
    for need in &why.joins {
        ui.horizontal_top(|ui| {
            sign_label(ui, Sign::Stops, 14.0, t.stops.ink);
            let words = format!("No longer kept apart then: {}", s.name((*need).into()));
            ui.add(egui::Label::new(RichText::new(words).color(t.stops.ink)).wrap());
        });
    }
    let edits = why.edits();
    if edits.is_empty() {
        ui.label(RichText::new("Only hands can do this.").color(t.faint));
        return;
    }
    let apply = match why.changes.len() {
        1 => "Apply this change".to_owned(),
        n => format!("Apply these {n} changes"),
    };
    if primary_button(ui, t, &apply).clicked() {
        let label = format!("Let {} hear {}", s.name(to.into()), s.name(from.into()));
        ctx.apply_derived(label, edits);
    }
}
