//! What stands above the matrix: order, groups, filters, size, and the legend that filters too.

use egui::accesskit::Role;
use egui::{
    ComboBox, CornerRadius, RichText, Sense, Slider, Stroke, StrokeKind, TextEdit, Ui, WidgetInfo,
    pos2, vec2,
};

use super::axes::{Axes, Grouping, Line};
use super::grid::fitting;
use super::{CELL, MatrixViewState};
use crate::app::pairs;
use crate::app::theme::{Tokens, quiet_button};
use crate::app::views::named_field;
use crate::app::words::{Choice, sentence};
use crate::picture::sounds::Sound;

/// Shows the choices and filters.
pub(super) fn toolbar_ui(ui: &mut Ui, t: &Tokens, state: &mut MatrixViewState, axes: &Axes) {
    ui.horizontal_wrapped(|ui| {
        let wish = &mut state.wish;
        choice(ui, t, "Order", &mut wish.order, 158.0);
        choice(ui, t, "Groups", &mut wish.grouping, 124.0);
        if wish.grouping != Grouping::None {
            let names: Vec<String> = group_names(axes);
            let all_closed = names.iter().all(|n| wish.closed.contains(n));
            let words = if all_closed { "Open all" } else { "Close all" };
            let tip = "Shows each group as one row and column, or its members too";
            if quiet_button(ui, t, words).on_hover_text(tip).clicked() {
                wish.closed = if all_closed {
                    [].into()
                } else {
                    names.into_iter().collect()
                };
            }
        }
        text(ui, t, "Who speaks", &mut wish.speakers);
        text(ui, t, "Who hears", &mut wish.hearers);
        ui.checkbox(&mut wish.needs_only, "Only pairs of needs")
            .on_hover_text("Leaves out every pair that no need asks for");
        ui.label(RichText::new("Size").size(12.0).color(t.faint));
        ui.spacing_mut().slider_width = 90.0;
        ui.name_inputs("Size of the cells", |ui| {
            // The rail would be of the colour of the panel else.
            ui.visuals_mut().widgets.inactive.bg_fill = t.card_edge;
            let slider = Slider::new(&mut state.cell, CELL.0..=CELL.2).show_value(false);
            ui.add(slider)
                .on_hover_text("Also Ctrl with the mouse wheel over the cells");
        });
        let tip = "Makes the cells as large as they can be with all of them in sight";
        if quiet_button(ui, t, "Fit").on_hover_text(tip).clicked() {
            state.cell = fitting(axes, state.sight).clamp(CELL.0, CELL.2);
        }
    });
}

fn group_names(axes: &Axes) -> Vec<String> {
    let lines = axes.rows.iter().chain(&axes.columns);
    lines
        .filter_map(|line| match line {
            Line::Group { name, .. } => Some(name.clone()),
            Line::Party(_) => None,
        })
        .collect()
}

fn choice<C: Choice>(ui: &mut Ui, t: &Tokens, label: &str, now: &mut C, width: f32) {
    ui.name_inputs(label, |ui| {
        ComboBox::from_id_salt(("matrix", label))
            .selected_text(RichText::new(sentence(now.words())).color(t.text))
            .width(width)
            .show_ui(ui, |ui| {
                for option in C::ALL {
                    let words = sentence(option.words());
                    if ui.selectable_label(*option == *now, words).clicked() {
                        *now = *option;
                    }
                }
            });
    });
}

fn text(ui: &mut Ui, t: &Tokens, label: &str, now: &mut String) {
    let field = TextEdit::singleline(now)
        .hint_text(RichText::new(label).color(t.faint))
        .desired_width(100.0)
        .margin(vec2(8.0, 5.0));
    named_field(ui, &format!("{label}: name or agency"), field)
        .on_hover_text("Keeps those whose name or agency has this text in it");
}

/// Shows each word with its sign and how many pairs have it; a click shows only those.
pub(super) fn legend_ui(ui: &mut Ui, t: &Tokens, state: &mut MatrixViewState, axes: &Axes) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(4.0, 4.0);
        for sound in Sound::ALL {
            let count = axes.tally.as_ref().and_then(|tally| tally.get(&sound));
            let is_on = state.wish.only == Some(sound);
            if chip(ui, t, sound, count.copied(), is_on) {
                state.wish.only = if is_on { None } else { Some(sound) };
            }
        }
        if axes.tally.is_none() {
            let words = "Too many pairs to count";
            ui.label(RichText::new(words).size(12.0).color(t.faint));
        }
        // Where no pair is left, the button stands in place of the cells.
        let is_empty = axes.rows.is_empty() || axes.columns.is_empty();
        if state.wish.is_filtered() && !is_empty {
            ui.add_space(6.0);
            if quiet_button(ui, t, "Show all pairs").clicked() {
                state.wish.show_all();
            }
        }
    });
}

/// One word of the legend; returns whether it was clicked.
fn chip(ui: &mut Ui, t: &Tokens, sound: Sound, count: Option<usize>, is_on: bool) -> bool {
    let words = count.map_or_else(
        || sound.word().to_owned(),
        |n| format!("{} {n}", sound.word()),
    );
    let font = egui::FontId::proportional(12.5);
    let galley = ui.painter().layout_no_wrap(words.clone(), font, t.text);
    let size = vec2(galley.size().x + 36.0, 26.0);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    let label = format!("Only pairs that are {words}");
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, is_on, &label));
    let painter = ui.painter();
    let lit = response.hovered() || response.has_focus();
    let round = CornerRadius::same(13);
    if is_on {
        painter.rect_filled(rect, round, t.accent.ground);
        painter.rect_stroke(
            rect,
            round,
            Stroke::new(1.5, t.accent.ink),
            StrokeKind::Inside,
        );
    } else {
        painter.rect_filled(rect, round, if lit { t.hover } else { t.card });
        let edge = if response.has_focus() {
            Stroke::new(1.5, t.accent.ink)
        } else {
            Stroke::new(1.0, t.card_edge)
        };
        painter.rect_stroke(rect, round, edge, StrokeKind::Inside);
    }
    let sign = pos2(rect.min.x + 15.0, rect.center().y);
    pairs::paint(painter, t, sound, sign, 5.5);
    let at = pos2(rect.min.x + 27.0, rect.center().y - galley.size().y / 2.0);
    let ink = if count == Some(0) { t.faint } else { t.text };
    painter.galley_with_override_text_color(at, galley, ink);
    response.on_hover_text(pairs::meaning(sound)).clicked()
}
