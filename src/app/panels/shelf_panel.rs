//! The shelf: things to drag onto the board.

use egui::accesskit::Role;
use egui::{
    CornerRadius, CursorIcon, Key, RichText, ScrollArea, Sense, Stroke, StrokeKind, Ui, WidgetInfo,
    vec2,
};

use crate::app::action::Action;
use crate::app::shelf::Article;
use crate::app::theme::{paint_sign, semibold};
use crate::app::view::ViewCtx;
use crate::app::words::sentence;

/// Shows the shelf.
pub(crate) fn shelf_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui) {
    let t = ctx.tokens;
    ui.label(RichText::new("Shelf").font(semibold(15.0)).color(t.text));
    ui.label(
        RichText::new("Drag onto the board")
            .size(11.5)
            .color(t.faint),
    );
    ui.add_space(6.0);
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 6.0;
        for article in Article::SHELF {
            article_ui(ctx, ui, article);
        }
    });
}

fn article_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, article: Article) {
    let t = ctx.tokens;
    let size = vec2(ui.available_width(), 40.0);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click_and_drag());
    let name = format!("add {}", article.word());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
    response.dnd_set_drag_payload(article);
    let lit = response.hovered() || response.has_focus() || response.dragged();
    let ground = if lit { t.hover } else { t.card };
    let painter = ui.painter();
    painter.rect_filled(rect, CornerRadius::same(9), ground);
    let edge = if response.has_focus() {
        Stroke::new(1.6, t.accent.ink)
    } else {
        Stroke::new(1.0, t.card_edge)
    };
    painter.rect_stroke(rect, CornerRadius::same(9), edge, StrokeKind::Inside);
    let sign_at = rect.left_center() + vec2(21.0, 0.0);
    paint_sign(painter, article.sign(), sign_at, 18.0, t.accent.ink);
    painter.text(
        rect.left_center() + vec2(40.0, 0.0),
        egui::Align2::LEFT_CENTER,
        sentence(article.word()),
        egui::FontId::proportional(13.0),
        t.text,
    );
    let by_key = response.has_focus() && ui.input(|i| i.key_pressed(Key::Enter));
    if response.double_clicked() || by_key {
        ctx.push(Action::Add {
            article,
            at: None,
            on: None,
        });
    }
    if response.hovered() {
        *ctx.hint = format!(
            "{}. Drag it onto the board, or double-click.",
            article.tip()
        );
    }
    response
        .on_hover_cursor(CursorIcon::Grab)
        .on_hover_text(article.tip());
}
