//! The dialogs for tables: which one to write, and what the rows of one that was read become.

use std::sync::Arc;

use egui::{ComboBox, Grid, RichText, ScrollArea, Ui};

use super::dialogs::title;
use crate::app::action::Action;
use crate::app::state::{Importing, TableKind};
use crate::app::theme::{Sign, primary_button, semibold, sign_label, text_button};
use crate::app::view::ViewCtx;
use crate::app::words::{counted, sentence};
use crate::exchange::{Column, Import, import};

/// Rows shown at most; all are imported.
const MOST_ROWS: usize = 200;

const TABLES: [(TableKind, &str, &str); 6] = [
    (
        TableKind::Ics217a,
        "All channels, as on an ICS 217A",
        "What there is, to fill in before an incident",
    ),
    (
        TableKind::Ics205,
        "Channels in use, as on an ICS 205",
        "The channels selected in the phase shown, with who uses them",
    ),
    (
        TableKind::Matrix,
        "Who hears whom, as a table",
        "Speakers down, hearers across, in the phase shown",
    ),
    (
        TableKind::Findings,
        "Findings, as a table",
        "What will go wrong in the phase shown, with numbers and what to do",
    ),
    (
        TableKind::MatrixJson,
        "Who hears whom, as JSON",
        "For other programs: every pair that is heard in the phase shown, with its delay",
    ),
    (
        TableKind::FindingsJson,
        "Findings, as JSON",
        "For other programs: what will go wrong in the phase shown, as the verb check writes it",
    ),
];

/// Asks which table to write.
pub(super) fn export_ui(
    ctx: &mut ViewCtx<'_>,
    ui: &mut Ui,
    table: &mut TableKind,
    close: &mut bool,
) {
    let t = ctx.tokens;
    ui.set_width(460.0);
    title(ctx, ui, Sign::Paper, "Export a table");
    for (kind, name, about) in TABLES {
        ui.radio_value(table, kind, name).on_hover_text(about);
        ui.indent(name, |ui| {
            ui.label(RichText::new(about).size(12.5).color(t.soft));
        });
    }
    ui.horizontal(|ui| {
        if primary_button(ui, t, "Export").clicked() {
            ctx.push(Action::ExportTable(*table));
        }
        if text_button(ui, t, "Cancel").clicked() {
            *close = true;
        }
    });
}

/// Shows what columns are taken for, and what each row becomes.
pub(super) fn import_ui(
    ctx: &mut ViewCtx<'_>,
    ui: &mut Ui,
    importing: &mut Importing,
    close: &mut bool,
) {
    let t = ctx.tokens;
    ui.set_width(720.0);
    let head = format!("Import channels from {}", importing.file);
    title(ctx, ui, Sign::Channel, &head);
    let result = worked_out(ctx, importing);
    ScrollArea::vertical().max_height(480.0).show(ui, |ui| {
        mapping_ui(ctx, ui, importing);
        ui.add_space(6.0);
        problems_ui(ctx, ui, &result);
        rows_ui(ctx, ui, &result);
    });
    if !result.problems.is_empty() {
        ui.checkbox(
            &mut importing.skip_bad,
            "Leave out the rows that cannot be imported",
        )
        .on_hover_text("Otherwise nothing is imported while a row is wrong");
    }
    let added = result.added();
    let may = added > 0 && (result.problems.is_empty() || importing.skip_bad);
    ui.horizontal(|ui| {
        let words = format!("Import {}", counted(added, "channel", "channels"));
        let button = ui
            .add_enabled_ui(may, |ui| primary_button(ui, t, &words))
            .inner;
        let why = if added == 0 {
            "No row is a channel the plan does not have"
        } else {
            "Repair the rows, or leave them out"
        };
        if button.on_disabled_hover_text(why).clicked() {
            ctx.apply(words, result.edits.clone());
            *close = true;
        }
        if text_button(ui, t, "Cancel").clicked() {
            *close = true;
        }
    });
}

/// Returns what the table would become, worked out anew when the plan or a column's meaning changed.
fn worked_out(ctx: &ViewCtx<'_>, importing: &mut Importing) -> Import {
    if let Some((of, mapping, result)) = &importing.known
        && Arc::ptr_eq(of, ctx.scenario)
        && *mapping == importing.mapping
    {
        return result.clone();
    }
    let result = import(ctx.scenario, &importing.source, &importing.mapping);
    let of = Arc::clone(ctx.scenario);
    importing.known = Some((of, importing.mapping.clone(), result.clone()));
    result
}

fn mapping_ui(ctx: &ViewCtx<'_>, ui: &mut Ui, importing: &mut Importing) {
    let t = ctx.tokens;
    ui.label(RichText::new("What each column holds").font(semibold(13.5)));
    let mut change = None;
    Grid::new("columns")
        .num_columns(2)
        .spacing([14.0, 4.0])
        .show(ui, |ui| {
            let columns = importing.source.headings.iter();
            for (place, (heading, now)) in columns.zip(&importing.mapping.columns).enumerate() {
                let label = ui.label(RichText::new(heading).color(t.text));
                let words =
                    |column: Option<Column>| sentence(column.map_or("left out", Column::shown));
                ComboBox::from_id_salt(("column", place))
                    .selected_text(words(*now))
                    .width(190.0)
                    .show_ui(ui, |ui| {
                        for column in [None].into_iter().chain(Column::ALL.map(Some)) {
                            if ui.selectable_label(*now == column, words(column)).clicked() {
                                change = Some((place, column));
                            }
                        }
                    })
                    .response
                    .labelled_by(label.id);
                ui.end_row();
            }
        });
    if let Some((place, column)) = change {
        importing.mapping.set(place, column);
    }
}

fn problems_ui(ctx: &ViewCtx<'_>, ui: &mut Ui, result: &Import) {
    let t = ctx.tokens;
    if result.problems.is_empty() {
        return;
    }
    let count = counted(result.problems.len(), "row is wrong", "rows are wrong");
    ui.label(RichText::new(count).font(semibold(13.5)).color(t.stops.ink));
    for problem in result.problems.iter().take(MOST_ROWS) {
        line(
            ui,
            Sign::Stops,
            t.stops.ink,
            &sentence(&problem.to_string()),
            t.text,
        );
    }
}

fn rows_ui(ctx: &ViewCtx<'_>, ui: &mut Ui, result: &Import) {
    let t = ctx.tokens;
    for note in result.notes.iter().take(MOST_ROWS) {
        line(ui, Sign::Notes, t.notes.ink, &sentence(note), t.text);
    }
    if result.rows.is_empty() {
        return;
    }
    let count = counted(result.added(), "new channel", "new channels");
    ui.label(RichText::new(count).font(semibold(13.5)).color(t.text));
    for row in result.rows.iter().take(MOST_ROWS) {
        let (sign, ink, there) = if row.is_there {
            (Sign::Tick, t.soft, ", is there already")
        } else {
            (Sign::Plus, t.good.ink, "")
        };
        let words = format!("{} {}{there}", row.name, row.words);
        line(ui, sign, ink, &words, t.text);
    }
    let more = result.rows.len().saturating_sub(MOST_ROWS);
    if more > 0 {
        ui.label(RichText::new(format!("and {more} more")).color(t.soft));
    }
}

fn line(ui: &mut Ui, sign: Sign, ink: egui::Color32, words: &str, colour: egui::Color32) {
    ui.horizontal_top(|ui| {
        sign_label(ui, sign, 14.0, ink);
        ui.add(egui::Label::new(RichText::new(words).size(12.5).color(colour)).wrap());
    });
}
