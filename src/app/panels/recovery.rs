//! Questions about files: one that changed outside, what was kept when a window did not end well, one
//! that is being read.

use std::path::Path;

use egui::{RichText, ScrollArea, Spinner, Ui};

use super::dialogs::title;
use crate::app::action::Action;
use crate::app::effects::Kept;
use crate::app::theme::{Sign, card, primary_button, quiet_button, semibold, text_button};
use crate::app::view::ViewCtx;

/// Asks what counts: the file that changed outside, or what is here.
pub(super) fn changed_ui(
    ctx: &mut ViewCtx<'_>,
    ui: &mut Ui,
    path: &Path,
    save: bool,
    close: &mut bool,
) {
    let t = ctx.tokens;
    ui.set_width(520.0);
    title(ctx, ui, Sign::Warns, "The file was changed outside");
    let name = path.file_name().unwrap_or(path.as_os_str());
    let mut text = format!(
        "{} is no longer the one that was opened or saved here. Somebody else, or another program, \
         has written it.",
        name.to_string_lossy()
    );
    if !ctx.derived.is_saved {
        text.push_str(" Reading it again loses what was changed here since the last save.");
    }
    ui.add(egui::Label::new(RichText::new(text).color(t.soft)).wrap());
    ui.horizontal_wrapped(|ui| {
        if primary_button(ui, t, "Read it again").clicked() {
            ctx.push(Action::ChangedOutside { read: true });
        }
        let mine = if save {
            "Save over it"
        } else {
            "Keep what is here"
        };
        if text_button(ui, t, mine).clicked() {
            ctx.push(Action::ChangedOutside { read: false });
        }
        if save && text_button(ui, t, "Cancel").clicked() {
            *close = true;
        }
    });
}

/// Offers what windows that did not end well have kept.
pub(super) fn recover_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, kept: &[Kept], close: &mut bool) {
    let t = ctx.tokens;
    ui.set_width(560.0);
    title(ctx, ui, Sign::Notes, "Not saved the last time");
    let text = "The window was closed before these plans were saved. They were kept as they were a \
                moment before.";
    ui.add(egui::Label::new(RichText::new(text).color(t.soft)).wrap());
    ScrollArea::vertical().max_height(320.0).show(ui, |ui| {
        for one in kept {
            card(ui, t, |ui| {
                let name = if one.title.is_empty() {
                    "A plan without a title"
                } else {
                    &one.title
                };
                ui.label(RichText::new(name).font(semibold(13.5)).color(t.text));
                let of = one.of.as_ref().map_or_else(
                    || "it had no file of its own yet".to_owned(),
                    |path| path.display().to_string(),
                );
                ui.add(egui::Label::new(RichText::new(of).size(12.0).color(t.faint)).wrap());
                ui.horizontal(|ui| {
                    let label = format!("Open what was kept of {name}");
                    let open = primary_button(ui, t, "Open it").accessible_name(label);
                    if open.clicked() {
                        ctx.push(Action::Recover(one.clone()));
                    }
                    let label = format!("Throw away what was kept of {name}");
                    let drop = quiet_button(ui, t, "Throw it away").accessible_name(label);
                    if drop.clicked() {
                        ctx.push(Action::DropKept(one.clone()));
                    }
                });
            });
        }
    });
    if text_button(ui, t, "Ask again the next time").clicked() {
        *close = true;
    }
}

/// Shows that a file is being read.
pub(super) fn opening_ui(ctx: &ViewCtx<'_>, ui: &mut Ui, file: &str, close: &mut bool) {
    let t = ctx.tokens;
    ui.set_width(360.0);
    title(ctx, ui, Sign::Paper, &format!("Opening {file}"));
    ui.horizontal(|ui| {
        ui.add(Spinner::new().color(t.accent.ink));
        ui.label(RichText::new("Reading and checking every line").color(t.soft));
    });
    if text_button(ui, t, "Stop").clicked() {
        *close = true;
    }
}
