//! What stands before the window until it is answered.

use std::path::{Path, PathBuf};

use egui::{Context, Id, Key, Modal, RichText, ScrollArea, TextEdit, Ui};

use super::{exchange, help, recovery};
use crate::app::action::{Action, PaperAction};
use crate::app::effects::Ask;
use crate::app::files::FileProblem;
use crate::app::state::Dialog;
use crate::app::theme::{Sign, primary_button, semibold, sign_label, text_button};
use crate::app::view::ViewCtx;
use crate::app::words::sentence;
use crate::model::{Acceptance, Edit, FindingId, PhaseId};

/// Shows the dialog, if there is one.
pub(crate) fn dialogs_ui(
    ctx: &mut ViewCtx<'_>,
    egui: &Context,
    dialog: &mut Option<Dialog>,
    planner: &mut String,
) {
    let Some(open) = dialog else { return };
    let mut close = false;
    let response = Modal::new(Id::unique("dialog"))
        .backdrop_color(ctx.tokens.veil)
        .frame(egui::Frame::window(&egui.global_style()))
        .show(egui, |ui| {
            ui.spacing_mut().item_spacing.y = 10.0;
            match open {
                Dialog::Unsaved(_) => unsaved(ctx, ui, &mut close),
                Dialog::Problems { file, problems } => {
                    problems_ui(ctx, ui, file, problems, &mut close);
                }
                Dialog::Failed { title, reason } => failed(ctx, ui, title, reason, &mut close),
                Dialog::Accept {
                    finding,
                    facts,
                    headline,
                    reason,
                    by,
                    until,
                } => {
                    if by.is_empty() {
                        by.clone_from(planner);
                    }
                    let about = (&*finding, *facts, headline.as_str());
                    if accept(ctx, ui, about, (reason, by), until, &mut close) {
                        planner.clone_from(by);
                    }
                }
                Dialog::Path { asked, text } => path_ui(ctx, ui, asked, text, &mut close),
                Dialog::ExportTable { table } => exchange::export_ui(ctx, ui, table, &mut close),
                Dialog::ImportChannels(importing) => {
                    exchange::import_ui(ctx, ui, importing, &mut close);
                }
                Dialog::Replace { path } => replace_ui(ctx, ui, path, &mut close),
                Dialog::ReplacePapers { folder, count } => {
                    replace_papers_ui(ctx, ui, folder, *count);
                }
                Dialog::ChangedOutside { path, save } => {
                    recovery::changed_ui(ctx, ui, path, *save, &mut close);
                }
                Dialog::Recover { kept } => recovery::recover_ui(ctx, ui, kept, &mut close),
                Dialog::Opening { file } => recovery::opening_ui(ctx, ui, file, &mut close),
                Dialog::HowTo { topic } => help::how_to(ctx, ui, topic, &mut close),
                Dialog::Cautions => help::cautions(ctx, ui, &mut close),
                Dialog::Handbook { code } => help::handbook(ctx, ui, code, &mut close),
            }
        });
    // A dialog takes a few frames to find its size; they come at once, not with the next move.
    let (id, size) = (Id::unique("dialog-size"), response.response.rect.size());
    let before = egui.data(|d| d.get_temp::<egui::Vec2>(id));
    if before != Some(size) {
        egui.data_mut(|d| d.insert_temp(id, size));
        egui.request_repaint();
    }
    let escaped = egui.input(|i| i.key_pressed(Key::Escape));
    // A click beside it closes only what is for reading.
    let reading = matches!(
        open,
        Dialog::HowTo { .. } | Dialog::Cautions | Dialog::Handbook { .. }
    );
    if close || escaped || (reading && response.backdrop_response.clicked()) {
        *dialog = None;
    }
}

/// The head of a dialog.
pub(super) fn title(ctx: &ViewCtx<'_>, ui: &mut Ui, sign: Sign, text: &str) {
    let t = ctx.tokens;
    ui.horizontal(|ui| {
        sign_label(ui, sign, 20.0, t.accent.ink);
        ui.label(RichText::new(text).font(semibold(17.0)).color(t.text));
    });
}

fn unsaved(ctx: &mut ViewCtx<'_>, ui: &mut Ui, close: &mut bool) {
    let t = ctx.tokens;
    ui.set_width(420.0);
    title(ctx, ui, Sign::Warns, "Save the changes first?");
    ui.label(
        RichText::new("What was changed since the last save is lost otherwise.").color(t.soft),
    );
    ui.horizontal(|ui| {
        if primary_button(ui, t, "Save").clicked() {
            ctx.push(Action::GoOn { save: true });
        }
        if text_button(ui, t, "Do not save").clicked() {
            ctx.push(Action::GoOn { save: false });
        }
        if text_button(ui, t, "Cancel").clicked() {
            *close = true;
        }
    });
}

fn problems_ui(
    ctx: &ViewCtx<'_>,
    ui: &mut Ui,
    file: &str,
    problems: &[FileProblem],
    close: &mut bool,
) {
    let t = ctx.tokens;
    ui.set_width(620.0);
    let text = match problems.len() {
        1 => format!("{file} was not opened: one thing is wrong"),
        n => format!("{file} was not opened: {n} things are wrong"),
    };
    title(ctx, ui, Sign::Stops, &text);
    ScrollArea::vertical().max_height(420.0).show(ui, |ui| {
        for problem in problems {
            ui.horizontal_top(|ui| {
                let place = format!("line {}, column {}", problem.line, problem.column);
                ui.allocate_ui(egui::vec2(140.0, 18.0), |ui| {
                    ui.set_min_width(140.0);
                    ui.label(RichText::new(place).size(12.5).color(t.faint));
                });
                ui.vertical(|ui| {
                    ui.spacing_mut().item_spacing.y = 2.0;
                    ui.add(egui::Label::new(sentence(&problem.message)).wrap());
                    if let Some(hint) = &problem.hint {
                        ui.add(
                            egui::Label::new(RichText::new(sentence(hint)).color(t.good.ink))
                                .wrap(),
                        );
                    }
                });
            });
        }
    });
    if primary_button(ui, t, "Close").clicked() {
        *close = true;
    }
}

fn failed(ctx: &ViewCtx<'_>, ui: &mut Ui, head: &str, reason: &str, close: &mut bool) {
    let t = ctx.tokens;
    ui.set_width(460.0);
    title(ctx, ui, Sign::Stops, head);
    ui.add(egui::Label::new(sentence(reason)).wrap());
    if primary_button(ui, t, "Close").clicked() {
        *close = true;
    }
}

/// Asks for a reason and a name; returns whether the finding was accepted.
fn accept(
    ctx: &mut ViewCtx<'_>,
    ui: &mut Ui,
    (finding, facts, headline): (&FindingId, u64, &str),
    (reason, by): (&mut String, &mut String),
    until: &mut Option<PhaseId>,
    close: &mut bool,
) -> bool {
    let t = ctx.tokens;
    ui.set_width(460.0);
    let (sign, head, verb) = match until {
        Some(_) => (Sign::Later, "Put this finding aside for now", "Put aside"),
        None => (Sign::Tick, "Accept this finding", "Accept"),
    };
    title(ctx, ui, sign, head);
    ui.add(egui::Label::new(RichText::new(sentence(headline)).color(t.soft)).wrap());
    ui.label(
        RichText::new("It comes back by itself when its facts change.")
            .size(12.5)
            .color(t.faint),
    );
    if let Some(phase) = until {
        until_ui(ctx, ui, phase);
    }
    let label = ui.label("Reason");
    let field = TextEdit::multiline(reason)
        .desired_rows(2)
        .desired_width(f32::INFINITY);
    let field = ui.add(field).labelled_by(label.id);
    // Whoever begins to type means the reason.
    if ui.memory(|m| m.focused().is_none()) {
        field.request_focus();
    }
    let label = ui.label("Name");
    ui.add(TextEdit::singleline(by).desired_width(f32::INFINITY))
        .labelled_by(label.id);
    ui.label(RichText::new(format!("Date: {}", ctx.today)).color(t.soft));
    let complete = !reason.trim().is_empty() && !by.trim().is_empty();
    let mut done = false;
    ui.horizontal(|ui| {
        ui.add_enabled_ui(complete, |ui| {
            if primary_button(ui, t, verb).clicked() {
                let acceptance = Acceptance {
                    finding: finding.clone(),
                    facts,
                    reason: reason.trim().to_owned(),
                    by: by.trim().to_owned(),
                    on: ctx.today.to_owned(),
                    until: *until,
                };
                let label = match until {
                    Some(_) => "Put a finding aside",
                    None => "Accept a finding",
                };
                ctx.apply(label, vec![Edit::Accept(acceptance)]);
                *close = true;
                done = true;
            }
        });
        if text_button(ui, t, "Cancel").clicked() {
            *close = true;
        }
    });
    done
}

/// Chooses the phase that brings a finding back: one after the phase shown.
fn until_ui(ctx: &ViewCtx<'_>, ui: &mut Ui, phase: &mut PhaseId) {
    let s = ctx.scenario;
    ui.horizontal(|ui| {
        let label = ui.label("Until this phase begins");
        egui::ComboBox::from_id_salt("until-phase")
            .selected_text(s.name((*phase).into()))
            .show_ui(ui, |ui| {
                for later in ctx.later_phases() {
                    ui.selectable_value(phase, later, s.name(later.into()));
                }
            })
            .response
            .labelled_by(label.id);
    });
}

fn replace_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, path: &Path, close: &mut bool) {
    let t = ctx.tokens;
    ui.set_width(460.0);
    title(ctx, ui, Sign::Warns, "Replace the file?");
    let text = format!(
        "{} is there already. What is in it now is lost.",
        path.display()
    );
    ui.add(egui::Label::new(text).wrap());
    ui.horizontal(|ui| {
        if primary_button(ui, t, "Replace").clicked() {
            ctx.push(Action::ReplaceFile(path.to_owned()));
        }
        if text_button(ui, t, "Cancel").clicked() {
            *close = true;
        }
    });
}

/// Asks about papers that are in the folder already.
fn replace_papers_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, folder: &Path, count: usize) {
    let t = ctx.tokens;
    ui.set_width(460.0);
    let (head, replace, keep) = if count == 1 {
        ("1 file exists already".to_owned(), "Replace it", "Keep it")
    } else {
        let head = format!("{count} files exist already");
        (head, "Replace them", "Keep them")
    };
    title(ctx, ui, Sign::Warns, &head);
    let text = format!(
        "In {}. Where they are kept, nothing is saved: old and new papers in one folder would not \
         belong together.",
        folder.display()
    );
    ui.add(egui::Label::new(text).wrap());
    ui.horizontal(|ui| {
        if primary_button(ui, t, replace).clicked() {
            ctx.push(Action::Paper(PaperAction::Replace(true)));
        }
        if text_button(ui, t, keep).clicked() {
            ctx.push(Action::Paper(PaperAction::Replace(false)));
        }
    });
}

fn path_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, asked: &Ask, text: &mut String, close: &mut bool) {
    let t = ctx.tokens;
    ui.set_width(520.0);
    let (head, verb) = match asked {
        Ask::Save { .. } => ("Save the scenario as", "Save"),
        Ask::Open => ("Open a scenario", "Open"),
        Ask::Export { .. } => ("Export your things to", "Save"),
        Ask::Import => ("Import things from", "Open"),
        Ask::Compare => ("Compare with a scenario", "Open"),
        Ask::ImportChannels => ("Import channels from", "Open"),
        Ask::ExportTable { .. } => ("Export a table to", "Save"),
        Ask::Folder => ("Save the papers into a folder", "Save"),
        Ask::Logo => ("Choose a logo", "Open"),
    };
    let what = if *asked == Ask::Folder {
        "folder"
    } else {
        "file"
    };
    title(ctx, ui, Sign::Paper, head);
    let words = format!("This desktop has no file chooser; write the path of the {what}.");
    ui.label(RichText::new(words).size(12.5).color(t.faint));
    let label = ui.label("Path");
    let field = ui
        .add(TextEdit::singleline(text).desired_width(f32::INFINITY))
        .labelled_by(label.id);
    if !field.has_focus() && !field.lost_focus() {
        field.request_focus();
    }
    let entered = field.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter));
    let path = text.trim().to_owned();
    ui.horizontal(|ui| {
        ui.add_enabled_ui(!path.is_empty(), |ui| {
            if primary_button(ui, t, verb).clicked() || (entered && !path.is_empty()) {
                ctx.push(Action::TypedPath(PathBuf::from(&path)));
            }
        });
        if text_button(ui, t, "Cancel").clicked() {
            *close = true;
        }
    });
}
