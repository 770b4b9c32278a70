//! Who hears whom: one row a speaker, one column a listener, one shape a cell.

use egui::accesskit::Role;
use egui::epaint::TextShape;
use egui::{
    Color32, FontId, Id, Pos2, Rect, RichText, ScrollArea, Sense, Stroke, Ui, Vec2, WidgetInfo,
    pos2, vec2,
};

use super::asked::asked_ui;
use crate::app::action::Action;
use crate::app::pairs;
use crate::app::theme::{Sign, Tokens, elided, paint_sign};
use crate::app::view::ViewCtx;
use crate::model::{Need, Party};
use crate::picture::Picture;
use crate::picture::sounds::Sound;

/// Largest and smallest size of a cell, in points.
const CELL: (f32, f32) = (20.0, 13.0);
/// Width of the names of the rows.
const NAMES: f32 = 118.0;
/// Height of the names of the columns.
const HEADS: f32 = 96.0;
/// Most cells exposed by name.
const NAMED: usize = 900;

/// What the matrix remembers.
#[derive(Debug, Default)]
pub(crate) struct MatrixState {
    hovered: Option<(usize, usize)>,
    cell: f32,
}

/// Shows the card about a pair, if one is asked about, and the matrix.
pub(crate) fn matrix_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, state: &mut MatrixState) {
    let t = ctx.tokens;
    ScrollArea::vertical()
        .id_salt("matrix-tab")
        .auto_shrink(false)
        .show(ui, |ui| {
            ui.set_max_width(ui.available_width() - 4.0);
            if let Some((from, to)) = ctx.shared.asked {
                asked_ui(ctx, ui, from, to);
            }
            let parties: Vec<Party> = ctx.derived.picture.hearing().parties().to_vec();
            if parties.len() < 2 {
                ui.label(
                    RichText::new("Add two units or more to see who hears whom.").color(t.faint),
                );
                return;
            }
            let keeps_apart = ctx.scenario.needs.iter().any(Need::keeps_apart);
            legend(ui, t, keeps_apart);
            let place = ui.available_size_before_wrap();
            let room = (place.x - NAMES - 16.0) / parties.len() as f32;
            state.cell = room.clamp(CELL.1, CELL.0);
            let height = HEADS + state.cell * parties.len() as f32 + 8.0;
            ScrollArea::horizontal()
                .id_salt("matrix")
                .max_width(place.x)
                .show(ui, |ui| {
                    let width = NAMES + state.cell * parties.len() as f32 + 16.0;
                    let (rect, response) =
                        ui.allocate_exact_size(vec2(width, height), Sense::click());
                    cells(ctx, ui, state, rect, &parties, &response);
                });
            ui.add_space(24.0);
        });
}

fn legend(ui: &mut Ui, t: &Tokens, keeps_apart: bool) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(8.0, 2.0);
        for sound in Sound::ALL {
            let meaning = pairs::meaning(sound);
            entry(ui, (sound.word(), t.soft), meaning, |painter, rect| {
                pairs::paint(painter, t, sound, rect.center(), 5.0);
            });
        }
        let meaning = "A need asks that this pair is heard, and it is not";
        let words = ("needed and not heard", t.stops.ink);
        entry(ui, words, meaning, |painter, rect| {
            pairs::paint_unmet(painter, t, rect.center(), 5.0);
        });
        if keeps_apart {
            let meaning = "A need keeps this pair apart, and it is heard";
            let words = ("heard and to be kept apart", t.stops.ink);
            entry(ui, words, meaning, |painter, rect| {
                pairs::paint_joined(painter, t, rect);
            });
        }
    });
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(8.0, 2.0);
        for (sign, words) in [
            (Sign::Mic, "a row speaks"),
            (Sign::Ear, "a column hears; click a cell for the reason"),
        ] {
            entry(ui, (words, t.faint), words, |painter, rect| {
                paint_sign(painter, sign, rect.center(), 13.0, t.faint);
            });
        }
    });
}

/// A sign and its words as one piece, so that a row of them wraps between two and never within one.
fn entry(
    ui: &mut Ui,
    (words, ink): (&str, Color32),
    meaning: &str,
    paint: impl FnOnce(&egui::Painter, Rect),
) {
    let font = FontId::proportional(12.0);
    let galley = ui.painter().layout_no_wrap(words.to_owned(), font, ink);
    let size = vec2(20.0 + galley.size().x, 16.0);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, words));
    response.on_hover_text(meaning);
    paint(
        ui.painter(),
        Rect::from_min_size(rect.min, Vec2::splat(16.0)),
    );
    let at = pos2(rect.min.x + 20.0, rect.center().y - galley.size().y / 2.0);
    ui.painter().galley(at, galley, ink);
}

fn cells(
    ctx: &mut ViewCtx<'_>,
    ui: &Ui,
    state: &mut MatrixState,
    rect: Rect,
    parties: &[Party],
    response: &egui::Response,
) {
    let t = ctx.tokens;
    let origin = rect.min + vec2(NAMES, HEADS);
    let at = |row: usize, column: usize| {
        origin
            + vec2(
                (column as f32 + 0.5) * state.cell,
                (row as f32 + 0.5) * state.cell,
            )
    };
    let place = |p: Pos2| {
        let d = p - origin;
        let (row, column) = ((d.y / state.cell).floor(), (d.x / state.cell).floor());
        let most = parties.len() as f32;
        ((0.0..most).contains(&row) && (0.0..most).contains(&column))
            .then_some((row as usize, column as usize))
    };
    state.hovered = response.hover_pos().and_then(place);
    let names: Vec<String> = parties
        .iter()
        .map(|p| ctx.scenario.name((*p).into()))
        .collect();
    let clip = ui.clip_rect();
    heads(ui, t, state, origin, &names);
    let picture = &ctx.derived.picture;
    let (hearing, sounds) = (picture.hearing(), picture.sounds());
    let asked = ctx.shared.asked;
    let mut asked_now = None;
    let named = parties.len() * parties.len() <= NAMED;
    for (row, from) in parties.iter().enumerate() {
        let y = at(row, 0).y;
        if y < clip.min.y - state.cell || y > clip.max.y + state.cell {
            continue;
        }
        if state.hovered.is_some_and(|(r, _)| r == row) || row % 2 == 1 {
            let band = Rect::from_min_size(
                pos2(rect.min.x, y - state.cell / 2.0),
                vec2(NAMES + state.cell * parties.len() as f32, state.cell),
            );
            let strength = if row % 2 == 1 { 0.45 } else { 1.0 };
            ui.painter()
                .rect_filled(band, 3.0, t.hover.gamma_multiply(strength));
        }
        row_name(ui, t, pos2(rect.min.x, y), names.get(row), state, row);
        for (column, to) in parties.iter().enumerate() {
            let spot = at(row, column);
            if spot.x < clip.min.x - state.cell || spot.x > clip.max.x + state.cell {
                continue;
            }
            if row == column {
                ui.painter().line_segment(
                    [spot - Vec2::splat(3.0), spot + Vec2::splat(3.0)],
                    Stroke::new(1.0, t.card_edge),
                );
                continue;
            }
            let sound = sounds.at(hearing, row, column).unwrap_or(Sound::Silent);
            let radius = state.cell * 0.28;
            let wanted = sounds.wanted(row, column);
            let is_unmet = wanted.is_some_and(|w| !w.met);
            if sound != Sound::Silent && wanted.is_some_and(|w| !w.apart.is_empty()) {
                let cell = Rect::from_center_size(spot, Vec2::splat(state.cell - 2.0));
                pairs::paint_joined(ui.painter(), t, cell);
            }
            if is_unmet && sound == Sound::Silent {
                pairs::paint_unmet(ui.painter(), t, spot, radius);
            } else {
                pairs::paint(ui.painter(), t, sound, spot, radius);
            }
            if asked == Some((*from, *to)) {
                ui.painter().rect_stroke(
                    Rect::from_center_size(spot, Vec2::splat(state.cell - 2.0)),
                    4.0,
                    Stroke::new(1.6, t.accent.ink),
                    egui::StrokeKind::Inside,
                );
            }
            if named {
                let label = cell_label(picture, &names, row, column);
                let id = Id::unique(("matrix", *from, *to));
                let cell = Rect::from_center_size(spot, Vec2::splat(state.cell));
                let node = ui.interact(cell, id, Sense::hover());
                node.widget_info(|| WidgetInfo::labeled(Role::Cell, true, &label));
            }
        }
    }
    if let Some((row, column)) = state.hovered
        && row != column
        && let (Some(from), Some(to)) = (parties.get(row), parties.get(column))
    {
        *ctx.hint = cell_label(picture, &names, row, column);
        if response.clicked() {
            asked_now = Some((*from, *to));
        }
    }
    if let Some((from, to)) = asked_now {
        ctx.push(Action::Ask(from, to));
    }
}

fn cell_label(picture: &Picture, names: &[String], row: usize, column: usize) -> String {
    let (Some(from), Some(to)) = (names.get(row), names.get(column)) else {
        return String::new();
    };
    let (hearing, sounds) = (picture.hearing(), picture.sounds());
    let wanted = sounds.wanted(row, column);
    let facts = sounds.facts(hearing, row, column);
    let asked = wanted.map(|w| w.asked).unwrap_or_default();
    let said = pairs::sentence((from, to), &facts, asked);
    if wanted.is_some_and(|w| !w.apart.is_empty()) {
        format!("{said}; to be kept apart")
    } else {
        said
    }
}

/// Letters no higher than a cell.
fn letters(state: &MatrixState) -> f32 {
    (state.cell * 0.85).min(12.0)
}

fn row_name(ui: &Ui, t: &Tokens, at: Pos2, name: Option<&String>, state: &MatrixState, row: usize) {
    let Some(name) = name else { return };
    let lit = state.hovered.is_some_and(|(r, _)| r == row);
    let ink = if lit { t.text } else { t.soft };
    let galley = elided(
        ui.painter(),
        name,
        FontId::proportional(letters(state)),
        ink,
        NAMES - 10.0,
    );
    let spot = pos2(at.x, at.y - galley.size().y / 2.0);
    ui.painter().galley(spot, galley, ink);
}

fn heads(ui: &Ui, t: &Tokens, state: &MatrixState, origin: Pos2, names: &[String]) {
    let clip = ui.clip_rect();
    for (column, name) in names.iter().enumerate() {
        let middle = origin.x + (column as f32 + 0.5) * state.cell;
        if middle < clip.min.x - state.cell || middle > clip.max.x + state.cell {
            continue;
        }
        let lit = state.hovered.is_some_and(|(_, c)| c == column);
        let ink = if lit { t.text } else { t.soft };
        let galley = elided(
            ui.painter(),
            name,
            FontId::proportional(letters(state)),
            ink,
            HEADS - 8.0,
        );
        let height = galley.size().y;
        let x = middle - height / 2.0;
        let shape = TextShape::new(pos2(x, origin.y - 6.0), galley, ink)
            .with_angle(-std::f32::consts::FRAC_PI_2);
        ui.painter().add(shape);
    }
}
