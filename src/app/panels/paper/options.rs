//! What to print, on what paper, in whose name; and the button that saves it.

use egui::{ComboBox, Label, ProgressBar, RichText, ScrollArea, TextEdit, Ui};

use super::PaperState;
use super::choice::Choice;
use crate::app::action::{Action, PaperAction};
use crate::app::command::Command;
use crate::app::theme::{
    Sign, primary_button, quiet_button, semibold, sign_button, sign_label, text_button,
};
use crate::app::view::ViewCtx;
use crate::app::words::sentence;
use crate::paperwork::Kind;
use crate::paperwork::set::sheet::Paper;

/// Height kept for the button that saves, in points.
const FOOT: f32 = 84.0;

/// Shows what can be chosen.
pub(super) fn options_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, state: &mut PaperState) {
    head(ctx, ui);
    let height = (ui.available_height() - FOOT).max(80.0);
    ScrollArea::vertical()
        .id_salt("paper-options")
        .auto_shrink(false)
        .max_height(height)
        .show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 5.0;
            kinds(ctx, ui, &mut state.choice);
            phases(ctx, ui, &mut state.choice);
            papers(ctx, ui, &mut state.choice);
            names(ctx, ui, &mut state.choice);
        });
    ui.add_space(8.0);
    save(ctx, ui, state);
}

fn head(ctx: &mut ViewCtx<'_>, ui: &mut Ui) {
    let t = ctx.tokens;
    ui.horizontal(|ui| {
        sign_label(ui, Sign::Paper, 20.0, t.accent.ink);
        let words = RichText::new("Print").font(semibold(17.0));
        ui.label(words.color(t.text));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if sign_button(ui, t, Sign::Cross, "Close the papers", true).clicked() {
                ctx.command(Command::SelectNone);
            }
        });
    });
    ui.add_space(2.0);
}

fn section(ctx: &ViewCtx<'_>, ui: &mut Ui, text: &str) {
    ui.add_space(8.0);
    let words = RichText::new(text).font(semibold(13.5));
    ui.label(words.color(ctx.tokens.text));
}

fn kinds(ctx: &ViewCtx<'_>, ui: &mut Ui, choice: &mut Choice) {
    let t = ctx.tokens;
    ui.horizontal(|ui| {
        let words = RichText::new("Papers").font(semibold(13.5));
        ui.label(words.color(t.text));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if quiet_button(ui, t, "None")
                .accessible_name("No paper")
                .clicked()
            {
                choice.kinds.clear();
            }
            if quiet_button(ui, t, "All")
                .accessible_name("All papers")
                .clicked()
            {
                choice.kinds = Kind::ALL.into_iter().collect();
            }
        });
    });
    for kind in Kind::ALL {
        let mut is_on = choice.kinds.contains(&kind);
        if ui.checkbox(&mut is_on, kind.title()).changed() {
            if is_on {
                choice.kinds.insert(kind);
            } else {
                choice.kinds.remove(&kind);
            }
        }
    }
}

fn phases(ctx: &mut ViewCtx<'_>, ui: &mut Ui, choice: &mut Choice) {
    let scenario = ctx.scenario;
    if scenario.phases.len() < 2 {
        return;
    }
    section(ctx, ui, "Phases");
    ui.radio_value(&mut choice.all_phases, true, "All phases");
    let mut asked = None;
    ui.horizontal(|ui| {
        ui.radio_value(&mut choice.all_phases, false, "Only")
            .accessible_name("Only one phase")
            .on_hover_text("Prints the papers of one phase, which is the one shown on the board");
        let shown = ctx.shared.phase;
        ComboBox::from_id_salt("paper-phase")
            .selected_text(scenario.name(shown.into()))
            .width(ui.available_width())
            .truncate()
            .show_ui(ui, |ui| {
                for phase in scenario.phases.iter() {
                    if ui
                        .selectable_label(phase.id == shown, &phase.name)
                        .clicked()
                    {
                        asked = Some(phase.id);
                    }
                }
            })
            .response
            .accessible_name("Phase to print")
            .on_hover_text("The phase whose papers are printed");
    });
    if let Some(phase) = asked {
        choice.all_phases = false;
        ctx.push(Action::Phase(phase));
    }
}

fn papers(ctx: &ViewCtx<'_>, ui: &mut Ui, choice: &mut Choice) {
    section(ctx, ui, "Size of paper");
    let label = ui.label(RichText::new("Forms, sheets and briefing").color(ctx.tokens.soft));
    ComboBox::from_id_salt("paper-size")
        .selected_text(size_name(choice.paper))
        .width(ui.available_width())
        .show_ui(ui, |ui| {
            for paper in [Paper::Letter, Paper::A4] {
                ui.selectable_value(&mut choice.paper, paper, size_name(paper));
            }
        })
        .response
        .labelled_by(label.id)
        .on_hover_text("Gateway cards are half of it");
    let label = ui.label(RichText::new("Drawings, up to a wall").color(ctx.tokens.soft));
    let same = "As the forms";
    ComboBox::from_id_salt("wall-size")
        .selected_text(choice.wall.map_or(same, size_name))
        .width(ui.available_width())
        .show_ui(ui, |ui| {
            ui.selectable_value(&mut choice.wall, None, same);
            for paper in Paper::ALL {
                ui.selectable_value(&mut choice.wall, Some(paper), size_name(paper));
            }
        })
        .response
        .labelled_by(label.id)
        .on_hover_text("Board, talk groups and matrix are drawn to fill it");
}

/// Returns the name of a paper with its size.
fn size_name(paper: Paper) -> &'static str {
    match paper {
        Paper::Letter => "Letter, 8.5 × 11 in",
        Paper::A4 => "A4, 210 × 297 mm",
        Paper::Tabloid => "Tabloid, 11 × 17 in",
        Paper::A3 => "A3, 297 × 420 mm",
        Paper::A2 => "A2, 420 × 594 mm",
        Paper::A1 => "A1, 594 × 841 mm",
        Paper::A0 => "A0, 841 × 1189 mm",
        Paper::ArchE => "Arch E, 36 × 48 in",
    }
}

fn field(ctx: &ViewCtx<'_>, ui: &mut Ui, label: &str, hint: &str, text: &mut String) {
    let label = ui.label(RichText::new(label).color(ctx.tokens.soft));
    ui.add(
        TextEdit::singleline(text)
            .hint_text(hint)
            .desired_width(f32::INFINITY),
    )
    .labelled_by(label.id);
}

fn names(ctx: &mut ViewCtx<'_>, ui: &mut Ui, choice: &mut Choice) {
    section(ctx, ui, "At the head of the pages");
    field(ctx, ui, "Agency", "", &mut choice.agency);
    logo(ctx, ui, choice);
    section(ctx, ui, "Prepared");
    field(ctx, ui, "Prepared by", "", &mut choice.by);
    let usual = "Communications Unit Leader";
    field(ctx, ui, "Position", usual, &mut choice.position);
    let t = ctx.tokens;
    let label = ui.label(RichText::new("Date and time prepared").color(t.soft));
    ui.horizontal(|ui| {
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let now = text_button(ui, t, "Now")
                .accessible_name("Prepared now")
                .on_hover_text("Fills in date and time by this computer's clock");
            if now.clicked() {
                ctx.push(Action::Paper(PaperAction::Now));
            }
            ui.add(
                TextEdit::singleline(&mut choice.prepared)
                    .hint_text("written in by hand")
                    .desired_width(f32::INFINITY),
            )
            .labelled_by(label.id);
        });
    });
}

fn logo(ctx: &mut ViewCtx<'_>, ui: &mut Ui, choice: &Choice) {
    let t = ctx.tokens;
    ui.label(RichText::new("Logo").color(t.soft));
    ui.horizontal(|ui| {
        let choose = text_button(ui, t, "Choose…")
            .accessible_name("Choose a logo")
            .on_hover_text("A PNG, JPEG or SVG file");
        if choose.clicked() {
            ctx.push(Action::Paper(PaperAction::ChooseLogo));
        }
        if choice.logo_path.is_some() {
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                if sign_button(ui, t, Sign::Cross, "No logo", true).clicked() {
                    ctx.push(Action::Paper(PaperAction::NoLogo));
                }
                let path = choice
                    .logo_path
                    .as_deref()
                    .unwrap_or(std::path::Path::new(""));
                let name = path.file_name().unwrap_or_default().to_string_lossy();
                ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| {
                    let ink = if choice.logo.is_some() {
                        t.text
                    } else {
                        t.faint
                    };
                    ui.add(Label::new(RichText::new(name).color(ink)).truncate())
                        .on_hover_text(path.display().to_string());
                });
            });
        }
    });
    if let Some(refused) = &choice.logo_refused {
        ui.horizontal_top(|ui| {
            sign_label(ui, Sign::Warns, 13.0, t.warns.ink);
            let words = RichText::new(sentence(refused)).size(12.5);
            ui.add(Label::new(words.color(t.warns.ink)).wrap());
        });
    }
}

fn save(ctx: &mut ViewCtx<'_>, ui: &mut Ui, state: &PaperState) {
    let t = ctx.tokens;
    let Some(making) = &state.making else {
        let can = !state.choice.kinds.is_empty();
        ui.add_enabled_ui(can, |ui| {
            let button = primary_button(ui, t, "Save papers…")
                .on_hover_text("Writes every chosen paper into a folder as a file to print")
                .on_disabled_hover_text("Tick a paper first");
            if button.clicked() {
                ctx.push(Action::Paper(PaperAction::Save));
            }
        });
        let words = "PDF files; drawings as SVG and PNG too.";
        ui.label(RichText::new(words).size(12.0).color(t.faint));
        return;
    };
    if making.is_writing {
        ui.horizontal(|ui| {
            ui.add(egui::Spinner::new().size(16.0).color(t.accent.ink));
            ui.label(RichText::new("Writing the files").color(t.text));
        });
        return;
    }
    let (words, share) = match &making.progress {
        Some((what, p)) => {
            let share = p.done as f32 / p.all.max(1) as f32;
            let words = format!("{what}, {} of {}: {}", p.done + 1, p.all, p.next);
            (words, share)
        }
        None => ("Setting the pages".to_owned(), 0.0),
    };
    ui.add(Label::new(RichText::new(&words).size(12.5).color(t.text)).truncate());
    ui.add(
        ProgressBar::new(share)
            .desired_height(6.0)
            .fill(t.accent.ink),
    );
    if text_button(ui, t, "Cancel")
        .accessible_name("Cancel saving")
        .clicked()
    {
        ctx.push(Action::Paper(PaperAction::Cancel));
    }
}
