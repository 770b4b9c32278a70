//! Something said in passing, at the bottom of the board; it goes away by itself.

use egui::{Align2, Area, Context, CornerRadius, Frame, Id, Margin, Order, RichText, vec2};

use crate::app::state::Toast;
use crate::app::view::ViewCtx;

/// How long it stays, in seconds.
const STAYS: f64 = 4.0;

/// Shows what is said in passing.
pub(crate) fn toast_ui(ctx: &ViewCtx<'_>, egui: &Context, toast: &mut Option<Toast>) {
    let Some(said) = toast else { return };
    let now = egui.input(|i| i.time);
    let until = *said.until.get_or_insert(now + STAYS);
    if now >= until {
        *toast = None;
        return;
    }
    egui.request_repaint_after_secs((until - now) as f32);
    let t = ctx.tokens;
    Area::new(Id::unique("toast"))
        .order(Order::Foreground)
        .anchor(Align2::CENTER_BOTTOM, vec2(-100.0, -56.0))
        .interactable(false)
        .show(egui, |ui| {
            Frame::new()
                .fill(t.text)
                .corner_radius(CornerRadius::same(10))
                .inner_margin(Margin::symmetric(16, 9))
                .show(ui, |ui| {
                    ui.set_max_width(520.0);
                    ui.label(RichText::new(&said.text).color(t.panel));
                });
        });
}
