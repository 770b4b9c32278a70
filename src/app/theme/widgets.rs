//! Small building blocks shared by the panels: headings, cards, buttons with a sign.

use egui::{
    Button, CornerRadius, Frame, InnerResponse, Margin, Response, RichText, Sense, Shadow, Stroke,
    StrokeKind, Ui, Vec2, WidgetInfo, vec2,
};

use super::{Pair, Sign, Tokens, paint_sign, semibold};
use crate::model::{Kind, Severity};

/// Puts contents on a card with a soft shadow.
pub(crate) fn card<R>(
    ui: &mut Ui,
    t: &Tokens,
    contents: impl FnOnce(&mut Ui) -> R,
) -> InnerResponse<R> {
    Frame::new()
        .fill(t.card)
        .stroke(Stroke::new(1.0, t.card_edge))
        .corner_radius(CornerRadius::same(10))
        .inner_margin(Margin::same(12))
        .shadow(Shadow {
            offset: [0, 1],
            blur: 5,
            spread: 0,
            color: t.shadow.gamma_multiply(0.6),
        })
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            contents(ui)
        })
}

/// A button that shows only a sign; `name` is what screen readers and the tooltip say.
pub(crate) fn sign_button(
    ui: &mut Ui,
    t: &Tokens,
    sign: Sign,
    name: &str,
    enabled: bool,
) -> Response {
    let sense = if enabled {
        Sense::click()
    } else {
        Sense::hover()
    };
    let (rect, response) = ui.allocate_exact_size(Vec2::splat(28.0), sense);
    let name_owned = name.to_owned();
    response
        .widget_info(|| WidgetInfo::labeled(egui::accesskit::Role::Button, enabled, &name_owned));
    let lit = enabled && (response.hovered() || response.has_focus());
    if lit {
        ui.painter()
            .rect_filled(rect, CornerRadius::same(7), t.hover);
    }
    if response.has_focus() {
        ui.painter().rect_stroke(
            rect,
            CornerRadius::same(7),
            Stroke::new(1.5, t.accent.ink),
            StrokeKind::Inside,
        );
    }
    let colour = match (enabled, lit) {
        (false, _) => t.faint.gamma_multiply(0.5),
        (true, true) => t.text,
        (true, false) => t.soft,
    };
    paint_sign(ui.painter(), sign, rect.center(), 16.0, colour);
    response.on_hover_text(name)
}

/// The button of the one thing to do here.
pub(crate) fn primary_button(ui: &mut Ui, t: &Tokens, text: &str) -> Response {
    ui.add(
        Button::new(RichText::new(text).font(semibold(13.0)).color(t.on_accent))
            .fill(t.accent.ink)
            .stroke(Stroke::NONE)
            .corner_radius(CornerRadius::same(8))
            .wrap(),
    )
}

/// A button of second rank.
pub(crate) fn text_button(ui: &mut Ui, t: &Tokens, text: &str) -> Response {
    ui.add(
        Button::new(RichText::new(text).color(t.text))
            .fill(t.card)
            .stroke(Stroke::new(1.0, t.card_edge))
            .corner_radius(CornerRadius::same(8))
            .wrap(),
    )
}

/// A button that is only its words until the pointer is over it.
pub(crate) fn quiet_button(ui: &mut Ui, t: &Tokens, text: &str) -> Response {
    ui.add(
        Button::new(RichText::new(text).color(t.accent.ink))
            .frame_when_inactive(false)
            .corner_radius(CornerRadius::same(7)),
    )
}

/// Puts a sign into a line of widgets.
pub(crate) fn sign_label(ui: &mut Ui, sign: Sign, size: f32, colour: egui::Color32) -> Response {
    let (rect, response) = ui.allocate_exact_size(vec2(size, size.max(16.0)), Sense::hover());
    paint_sign(ui.painter(), sign, rect.center(), size, colour);
    response
}

/// Returns the sign of a severity.
pub(crate) fn severity_sign(severity: Severity) -> Sign {
    match severity {
        Severity::Stops => Sign::Stops,
        Severity::Warns => Sign::Warns,
        Severity::Notes => Sign::Notes,
    }
}

/// Returns the colours of a severity.
pub(crate) fn severity_pair(t: &Tokens, severity: Severity) -> Pair {
    match severity {
        Severity::Stops => t.stops,
        Severity::Warns => t.warns,
        Severity::Notes => t.notes,
    }
}

/// Returns the sign of a kind of thing.
pub(crate) fn kind_sign(kind: Kind) -> Sign {
    match kind {
        Kind::Phase => Sign::Phase,
        Kind::Agency => Sign::Agency,
        Kind::Unit => Sign::Unit,
        Kind::System => Sign::System,
        Kind::Channel => Sign::Channel,
        Kind::Radio => Sign::Radio,
        Kind::Gateway | Kind::Port | Kind::TalkGroup => Sign::Gateway,
        Kind::Tie => Sign::Wire,
        Kind::Telephone => Sign::Telephone,
        Kind::Headset => Sign::Headset,
        Kind::Cable => Sign::Cable,
        Kind::Site => Sign::Site,
        Kind::Need => Sign::Need,
        Kind::Stock => Sign::Stock,
        Kind::Agreement => Sign::Paper,
    }
}
