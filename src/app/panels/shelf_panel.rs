//! The shelf: basic and ready-made things to drag onto the board, and a field that finds them.

use std::sync::Arc;

use egui::accesskit::Role;
use egui::{
    CornerRadius, CursorIcon, Key, Rect, Response, RichText, ScrollArea, Sense, Stroke, StrokeKind,
    TextEdit, Ui, WidgetInfo, vec2,
};

use crate::app::action::Action;
use crate::app::command::Command;
use crate::app::shelf::Article;
use crate::app::theme::{Sign, kind_sign, paint_sign, semibold, sign_button, text_button};
use crate::app::view::ViewCtx;
use crate::app::words::sentence;
use crate::library::{Item, Section, Source, items};

/// Height of a row, in points.
const ROW: f32 = 32.0;

/// What the shelf remembers.
#[derive(Debug, Default)]
pub(crate) struct ShelfState {
    /// What is looked for.
    search: String,
}

/// Shows the shelf.
pub(crate) fn shelf_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, state: &mut ShelfState) {
    let t = ctx.tokens;
    let heading = ui.label(RichText::new("Shelf").font(semibold(15.0)).color(t.text));
    ui.label(
        RichText::new("Drag onto the board")
            .size(11.5)
            .color(t.faint),
    );
    ui.add_space(4.0);
    let field = TextEdit::singleline(&mut state.search)
        .hint_text("Find on the shelf")
        .desired_width(f32::INFINITY)
        .show(ui);
    field.response.response.labelled_by(heading.id);
    ui.add_space(4.0);
    let wanted = state.search.trim().to_lowercase();
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 4.0;
        let mut shown = basic(ctx, ui, &wanted);
        for section in Section::ALL {
            shown += section_ui(ctx, ui, section, &wanted);
        }
        if shown == 0 {
            ui.label(
                RichText::new("Nothing on the shelf is called so. Try a band, a use or a channel.")
                    .color(t.soft),
            );
        }
        ui.add_space(8.0);
    });
}

/// The things everything is made of.
fn basic(ctx: &mut ViewCtx<'_>, ui: &mut Ui, wanted: &str) -> usize {
    let articles: Vec<Article> = Article::SHELF
        .into_iter()
        .filter(|a| matches(wanted, a.word(), a.tip()))
        .collect();
    if articles.is_empty() {
        return 0;
    }
    let fold = if wanted.is_empty() {
        Fold::Open
    } else {
        Fold::Searched
    };
    folded(ui, "Basic things", fold, |ui| {
        for article in &articles {
            article_ui(ctx, ui, *article);
        }
    });
    articles.len()
}

fn section_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, section: Section, wanted: &str) -> usize {
    let own = Arc::clone(&ctx.shared.own);
    let is_searched = !wanted.is_empty();
    let found = || -> Vec<Item> {
        items(section, Some(&own))
            .into_iter()
            .filter(|item| matches(wanted, &item.name, &item.about))
            .collect()
    };
    let n = if is_searched { found().len() } else { 1 };
    if n == 0 {
        return 0;
    }
    // A part that is folded is not even listed.
    let fold = if is_searched {
        Fold::Searched
    } else {
        Fold::Shut
    };
    folded(ui, section.heading(), fold, |ui| {
        let found = found();
        for item in &found {
            item_ui(ctx, ui, section, item);
        }
        if section == Section::Own && !is_searched {
            own_buttons(ctx, ui, found.is_empty());
        }
    });
    n
}

fn matches(wanted: &str, name: &str, about: &str) -> bool {
    let text = format!("{name} {about}").to_lowercase();
    wanted.split_whitespace().all(|word| text.contains(word))
}

/// How a part of the shelf is shown at first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Fold {
    Open,
    Shut,
    /// It holds what is looked for.
    Searched,
}

/// A part of the shelf that folds; while something is looked for, all are open.
fn folded(ui: &mut Ui, heading: &str, fold: Fold, contents: impl FnOnce(&mut Ui)) {
    egui::CollapsingHeader::new(RichText::new(heading).font(semibold(12.5)))
        .id_salt((heading, fold == Fold::Searched))
        .default_open(fold != Fold::Shut)
        .show_unindented(ui, contents);
}

/// What can be done with one's own things as a whole.
fn own_buttons(ctx: &mut ViewCtx<'_>, ui: &mut Ui, is_empty: bool) {
    let t = ctx.tokens;
    if is_empty {
        ui.label(
            RichText::new("Select something on the board and keep it here, for other scenarios.")
                .size(12.0)
                .color(t.soft),
        );
    }
    let has_selection = !ctx.shared.selection.is_empty();
    for (command, words, enabled) in [
        (Command::Keep, "Keep the selection", has_selection),
        (Command::ExportKept, "Export…", !is_empty),
        (Command::ImportKept, "Import…", true),
    ] {
        let clicked = ui
            .add_enabled_ui(enabled, |ui| text_button(ui, t, words))
            .inner
            .on_hover_text(command.tip())
            .clicked();
        if clicked {
            ctx.command(command);
        }
    }
}

fn article_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, article: Article) {
    let name = format!("add {}", article.word());
    let words = sentence(article.word());
    let response = row(ctx, ui, ui.available_width(), article.sign(), &words, &name);
    response.dnd_set_drag_payload(article);
    if is_asked_for(ui, &response) {
        ctx.push(Action::Add {
            article,
            at: None,
            on: None,
        });
    }
    told(ctx, response, article.tip());
}

fn item_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, section: Section, item: &Item) {
    let sign = match item.source {
        Source::Shipped(thing) | Source::Own(thing) => kind_sign(thing.kind()),
        Source::National(_) => Sign::Channel,
    };
    let name = match section {
        Section::Own => format!("add own {}", item.name),
        _ => format!("add {}", item.name),
    };
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 2.0;
        let is_own = section == Section::Own;
        let width = ui.available_width() - if is_own { 30.0 } else { 0.0 };
        let response = row(ctx, ui, width, sign, &item.name, &name);
        response.dnd_set_drag_payload(item.clone());
        if is_asked_for(ui, &response) {
            ctx.push(Action::AddReady {
                source: item.source,
                at: None,
                on: None,
            });
        }
        let tip = match section {
            Section::National => format!("{}. Verify against the current guide", item.about),
            _ => sentence(&item.about),
        };
        told(ctx, response, &tip);
        if let Source::Own(thing) = item.source {
            let name = format!("Take {} out of my things", item.name);
            if sign_button(ui, ctx.tokens, Sign::Cross, &name, true).clicked() {
                ctx.push(Action::Unkeep(thing));
            }
        }
    });
}

/// Tells whether a row was double-clicked, or Enter pressed on it.
fn is_asked_for(ui: &Ui, response: &Response) -> bool {
    let by_key = response.has_focus() && ui.input(|i| i.key_pressed(Key::Enter));
    response.double_clicked() || by_key
}

fn told(ctx: &mut ViewCtx<'_>, response: Response, tip: &str) {
    if response.hovered() {
        *ctx.hint = format!("{tip}. Drag it onto the board, or double-click.");
    }
    response
        .on_hover_cursor(CursorIcon::Grab)
        .on_hover_text(tip);
}

/// One thing on the shelf; painted only where it is seen.
fn row(
    ctx: &ViewCtx<'_>,
    ui: &mut Ui,
    width: f32,
    sign: Sign,
    words: &str,
    name: &str,
) -> Response {
    let t = ctx.tokens;
    let (rect, response) = ui.allocate_exact_size(vec2(width, ROW), Sense::click_and_drag());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, name));
    if !ui.is_rect_visible(rect) {
        return response;
    }
    let lit = response.hovered() || response.has_focus() || response.dragged();
    let ground = if lit { t.hover } else { t.card };
    let painter = ui.painter();
    painter.rect_filled(rect, CornerRadius::same(8), ground);
    let edge = if response.has_focus() {
        Stroke::new(1.6, t.accent.ink)
    } else {
        Stroke::new(1.0, t.card_edge)
    };
    painter.rect_stroke(rect, CornerRadius::same(8), edge, StrokeKind::Inside);
    let sign_at = rect.left_center() + vec2(18.0, 0.0);
    paint_sign(painter, sign, sign_at, 16.0, t.accent.ink);
    let text = Rect::from_min_max(rect.min + vec2(34.0, 0.0), rect.max - vec2(6.0, 0.0));
    let galley = egui::WidgetText::from(RichText::new(words).size(12.5).color(t.text)).into_galley(
        ui,
        Some(egui::TextWrapMode::Truncate),
        text.width(),
        egui::FontSelection::Default,
    );
    let at = egui::pos2(text.min.x, text.center().y - galley.size().y / 2.0);
    ui.painter().galley(at, galley, t.text);
    response
}
