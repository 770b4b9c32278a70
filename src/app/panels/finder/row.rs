//! One row of a list of offers: a sign, words with what matched set off, and a remark at the right.

use std::ops::Range;

use egui::text::{CCursor, CCursorRange, LayoutJob, TextFormat};
use egui::{
    Align2, Color32, CornerRadius, FontId, Id, Response, Sense, Ui, WidgetInfo, pos2, vec2,
};

use crate::app::theme::{Sign, Tokens, paint_sign, semibold};

/// A row: a heading, a remark, or something that can be taken.
#[derive(Debug, Clone)]
pub(crate) enum Row<O> {
    /// A heading over the rows below it.
    Head(String),
    /// A sentence where there is nothing to take.
    Note(String),
    /// Something to take.
    Offer {
        /// What is taken; `None` when it cannot be now.
        offer: Option<O>,
        /// What it is called by screen readers.
        label: String,
        /// Its sign.
        sign: Sign,
        /// Its words.
        words: String,
        /// The parts of the words that matched, in bytes.
        marked: Vec<Range<usize>>,
        /// What stands at the right, and which parts of it matched.
        remark: (String, Vec<Range<usize>>),
    },
}

impl<O: Copy> Row<O> {
    /// Tells whether the arrows stop here.
    pub(crate) fn can_be_chosen(&self) -> bool {
        self.offer().is_some()
    }

    /// Returns what is taken.
    pub(crate) fn offer(&self) -> Option<O> {
        match self {
            Self::Offer { offer, .. } => *offer,
            Self::Head(_) | Self::Note(_) => None,
        }
    }
}

/// Shows a row.
pub(crate) fn row_ui<O: Copy>(ui: &mut Ui, t: &Tokens, row: &Row<O>, chosen: bool) -> Response {
    let Row::Offer {
        offer,
        label,
        sign,
        words,
        marked,
        remark,
    } = row
    else {
        return plain(ui, t, row);
    };
    let enabled = offer.is_some();
    let sense = if enabled {
        Sense::click()
    } else {
        Sense::hover()
    };
    let size = vec2(ui.available_width(), 28.0);
    let (rect, response) = ui.allocate_exact_size(size, sense);
    response.widget_info(|| {
        WidgetInfo::selected(egui::accesskit::Role::ListItem, enabled, chosen, label)
    });
    if !ui.is_rect_visible(rect) {
        return response;
    }
    if chosen {
        ui.painter()
            .rect_filled(rect, CornerRadius::same(7), t.accent.ground);
    } else if enabled && response.hovered() {
        ui.painter()
            .rect_filled(rect, CornerRadius::same(7), t.hover);
    }
    let ink = if enabled { t.text } else { t.faint };
    let sign_ink = if enabled { t.soft } else { t.faint };
    let middle = rect.center().y;
    paint_sign(
        ui.painter(),
        *sign,
        pos2(rect.min.x + 16.0, middle),
        15.0,
        sign_ink,
    );
    let (remark, remarked) = remark;
    let right = set(ui, t, remark, remarked, 11.5, t.faint, size.x * 0.66);
    let at = pos2(
        rect.max.x - 10.0 - right.size().x,
        middle - right.size().y / 2.0,
    );
    let taken = right.size().x;
    ui.painter().galley(at, right, t.faint);
    let left = set(ui, t, words, marked, 13.5, ink, size.x - taken - 60.0);
    let at = pos2(rect.min.x + 32.0, middle - left.size().y / 2.0);
    ui.painter().galley(at, left, ink);
    response
}

fn plain<O>(ui: &mut Ui, t: &Tokens, row: &Row<O>) -> Response {
    let (text, height, font) = match row {
        Row::Head(text) => (text, 26.0, semibold(11.5)),
        Row::Note(text) => (text, 34.0, FontId::proportional(13.0)),
        Row::Offer { words, .. } => (words, 28.0, FontId::proportional(13.0)),
    };
    let (rect, response) =
        ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(egui::accesskit::Role::Label, true, text));
    ui.painter().text(
        pos2(rect.min.x + 8.0, rect.max.y - 5.0),
        Align2::LEFT_BOTTOM,
        text,
        font,
        t.soft,
    );
    response
}

/// Sets one line with the marked parts heavier and underlined, cut off at a width.
fn set(
    ui: &Ui,
    t: &Tokens,
    text: &str,
    marked: &[Range<usize>],
    size: f32,
    ink: Color32,
    width: f32,
) -> std::sync::Arc<egui::Galley> {
    let mut job = LayoutJob::default();
    let plain = TextFormat::simple(FontId::proportional(size), ink);
    let mark = TextFormat {
        underline: egui::Stroke::new(1.0, t.accent.ink),
        ..TextFormat::simple(semibold(size), t.accent.ink)
    };
    let mut at = 0;
    // Only the first line; notes may have many.
    let text = text.lines().next().unwrap_or_default();
    for range in marked {
        let (Some(before), Some(part)) = (text.get(at..range.start), text.get(range.clone()))
        else {
            break;
        };
        job.append(before, 0.0, plain.clone());
        job.append(part, 0.0, mark.clone());
        at = range.end;
    }
    job.append(text.get(at..).unwrap_or_default(), 0.0, plain);
    job.wrap.max_width = width.max(20.0);
    job.wrap.max_rows = 1;
    job.wrap.break_anywhere = true;
    ui.painter().layout_job(job)
}

/// Selects all that a text field holds.
pub(crate) fn select_text(ui: &Ui, id: Id, letters: usize) {
    let mut state = egui::text_edit::TextEditState::load(ui.ctx(), id).unwrap_or_default();
    let all = CCursorRange::two(CCursor::new(0), CCursor::new(letters));
    state.cursor.set_char_range(Some(all));
    state.store(ui.ctx(), id);
}
