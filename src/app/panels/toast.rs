//! Something said in passing, at the bottom of the board; it goes away by itself. What tells of a step
//! offers to take it back, for as long as it is the last one.

use egui::{
    Align2, Area, Button, Context, CornerRadius, Frame, Id, Margin, Order, Rect, RichText, Ui, vec2,
};

use crate::app::action::Action;
use crate::app::command::Command;
use crate::app::state::Toast;
use crate::app::theme::{Tokens, semibold};
use crate::app::view::ViewCtx;

/// How long it stays, in seconds.
const STAYS: f64 = 4.0;
/// How long it stays when there is something to decide.
const STAYS_LONGER: f64 = 7.0;

/// Shows what is said in passing.
pub(crate) fn toast_ui(
    ctx: &mut ViewCtx<'_>,
    egui: &Context,
    toast: &mut Option<Toast>,
    middle: Rect,
) {
    let Some(said) = toast else { return };
    let now = egui.input(|i| i.time);
    let can_undo = said.step == Some(ctx.document.revision());
    let can_open = said.opens.clone();
    let stays = if can_undo || can_open.is_some() {
        STAYS_LONGER
    } else {
        STAYS
    };
    let until = *said.until.get_or_insert(now + stays);
    // A step that is no longer the last one is no news either.
    let is_old = said.step.is_some() && !can_undo;
    if now >= until || is_old {
        *toast = None;
        return;
    }
    egui.request_repaint_after_secs((until - now) as f32);
    let t = ctx.tokens;
    Area::new(Id::unique("toast"))
        .order(Order::Foreground)
        .pivot(Align2::CENTER_BOTTOM)
        .fixed_pos(middle.center_bottom() - vec2(60.0, 16.0))
        .interactable(can_undo || can_open.is_some())
        .show(egui, |ui| {
            Frame::new()
                .fill(t.text)
                .corner_radius(CornerRadius::same(10))
                .inner_margin(Margin::symmetric(16, 9))
                .show(ui, |ui| {
                    ui.set_max_width((middle.width() - 360.0).clamp(220.0, 520.0));
                    ui.horizontal(|ui| {
                        let words = RichText::new(&said.text).color(t.panel);
                        ui.add(egui::Label::new(words).truncate());
                        if can_undo {
                            let label = format!("Take back: {}", said.text);
                            if button(t, ui, "Undo", label) {
                                ctx.command(Command::Undo);
                            }
                        }
                        if let Some(path) = can_open {
                            let label = format!("Open {}", path.display());
                            if button(t, ui, "Open", label) {
                                ctx.push(Action::ShowFile(path));
                            }
                        }
                    });
                });
        });
}

fn button(t: &Tokens, ui: &mut Ui, text: &str, label: String) -> bool {
    let words = RichText::new(text).font(semibold(13.0)).color(t.panel);
    let button = Button::new(words)
        .fill(t.text)
        .stroke(egui::Stroke::new(1.0, t.panel));
    ui.add(button).accessible_name(label).clicked()
}
