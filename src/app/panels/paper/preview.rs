//! One page as it will be, large enough to read, with ways to turn and to come closer.

use egui::accesskit::Role;
use egui::{
    CornerRadius, EventFilter, Frame, Id, Key, Margin, Modifiers, Popup, Rect, Response, RichText,
    ScrollArea, Sense, Shadow, Spinner, Stroke, StrokeKind, Ui, Vec2, WidgetInfo, pos2, vec2,
};

use super::PaperState;
use super::setting::{Halt, Set};
use super::sheets::page_size;
use crate::app::theme::{
    Colours, Sign, quiet_button, semibold, sign_button, sign_label, text_button,
};
use crate::app::view::ViewCtx;
use crate::paperwork::Ask;

/// Room around the page, in points.
const ROOM: f32 = 18.0;
/// Smallest and largest zoom; 1 is a point of the page for a point of the screen.
const ZOOM: (f32, f32) = (0.1, 6.0);
/// One step closer.
const STEP: f32 = 1.25;

/// How large the page is shown.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) enum Zoom {
    /// All of it.
    #[default]
    Page,
    /// As wide as there is room.
    Width,
    /// So many points of the screen for one of the page.
    Times(f32),
}

impl Zoom {
    fn factor(self, page: Vec2, room: Vec2) -> f32 {
        let room = (room - Vec2::splat(2.0 * ROOM)).max(Vec2::splat(40.0));
        let factor = match self {
            Self::Page => (room.x / page.x).min(room.y / page.y),
            Self::Width => room.x / page.x,
            Self::Times(factor) => factor,
        };
        factor.clamp(ZOOM.0.min(room.min_elem() / page.max_elem()), ZOOM.1)
    }
}

/// Shows the page looked at.
pub(super) fn preview_ui(ctx: &ViewCtx<'_>, ui: &mut Ui, state: &mut PaperState, ask: &Ask) {
    let t = ctx.tokens;
    if let Some(set) = &state.setting.set {
        state.page = state.page.min(set.pages.len().saturating_sub(1));
    }
    let band = Frame::new()
        .fill(t.panel)
        .inner_margin(Margin::symmetric(12, 6));
    band.show(ui, |ui| {
        ui.set_min_height(30.0);
        ui.set_width(ui.available_width());
        let was = (state.page, state.zoom);
        toolbar(ctx, ui, state, ask);
        // Who turned with the pointer turns on with the keys; who came by Tab stays at the button.
        state.wants_keys |= was != (state.page, state.zoom) && ui.input(|i| i.pointer.any_click());
    });
    warning(ctx, ui, state);
    let room = ui.available_rect_before_wrap();
    let is_empty = state
        .setting
        .set
        .as_ref()
        .is_none_or(|set| set.pages.is_empty());
    if is_empty {
        nothing(ctx, ui, state, ask);
    } else {
        keys(ui, state);
        page_ui(ctx, ui, state, room);
    }
}

fn toolbar(ctx: &ViewCtx<'_>, ui: &mut Ui, state: &mut PaperState, ask: &Ask) {
    let t = ctx.tokens;
    let count = state.setting.set.as_ref().map_or(0, |set| set.pages.len());
    if count == 0 {
        ui.label(RichText::new("No page yet").color(t.faint));
        return;
    }
    ui.horizontal(|ui| {
        let can = state.page > 0;
        let back = sign_button(ui, t, Sign::ChevronLeft, "Previous page", can);
        if back.on_hover_text("PageUp").clicked() {
            state.page -= 1;
        }
        let words = format!("Page {} of {count}", (state.page + 1).min(count));
        ui.label(RichText::new(words).font(semibold(13.0)).color(t.text));
        let can = state.page + 1 < count;
        let on = sign_button(ui, t, Sign::ChevronRight, "Next page", can);
        if on.on_hover_text("PageDown").clicked() {
            state.page += 1;
        }
        ui.add_space(10.0);
        let mut choose = |ui: &mut Ui, zoom: Zoom, text: &str, tip: &str| {
            let is_on = state.zoom == zoom;
            if ui
                .selectable_label(is_on, text)
                .on_hover_text(tip)
                .clicked()
            {
                state.zoom = zoom;
            }
        };
        choose(ui, Zoom::Page, "Fit page", "Shows all of the page");
        choose(
            ui,
            Zoom::Width,
            "Fit width",
            "Shows the page as wide as there is room",
        );
        let now = ui.data(|d| d.get_temp::<f32>(factor_id())).unwrap_or(1.0);
        if sign_button(ui, t, Sign::Minus, "Page smaller", now > ZOOM.0).clicked() {
            state.zoom = Zoom::Times((now / STEP).max(ZOOM.0));
        }
        if sign_button(ui, t, Sign::Plus, "Page larger", now < ZOOM.1).clicked() {
            state.zoom = Zoom::Times((now * STEP).min(ZOOM.1));
        }
        ui.label(RichText::new(format!("{:.0} %", now * 100.0)).color(t.soft));
        ui.add_space(10.0);
        note(ctx, ui, state, ask);
    });
}

/// Says quietly that the pages shown are those of a moment ago.
fn note(ctx: &ViewCtx<'_>, ui: &mut Ui, state: &mut PaperState, ask: &Ask) {
    let t = ctx.tokens;
    if let Some(halt) = state.setting.halt(ask) {
        let words = match halt {
            Halt::Stopped => "These pages are of a moment ago",
            Halt::Failed => "The new pages could not be set; these are of a moment ago",
        };
        ui.label(RichText::new(words).size(12.0).color(t.warns.ink));
        if quiet_button(ui, t, "Set the pages again").clicked() {
            state.setting.go_on();
        }
    } else if !state.setting.is_of(ask) {
        working(ctx, ui, state);
    }
}

fn working(ctx: &ViewCtx<'_>, ui: &mut Ui, state: &mut PaperState) {
    let t = ctx.tokens;
    ui.add(Spinner::new().size(14.0).color(t.accent.ink));
    let words = match &state.setting.progress {
        Some(p) => format!("Setting the pages, {} of {}: {}", p.done + 1, p.all, p.next),
        None => "Setting the pages".to_owned(),
    };
    ui.label(RichText::new(words).size(12.0).color(t.soft));
    if quiet_button(ui, t, "Stop")
        .accessible_name("Stop setting the pages")
        .clicked()
    {
        state.setting.stop();
    }
}

/// Names the letters that no face has.
fn warning(ctx: &ViewCtx<'_>, ui: &mut Ui, state: &PaperState) {
    let t = ctx.tokens;
    let Some(set) = &state.setting.set else {
        return;
    };
    if set.missing.is_empty() {
        return;
    }
    Frame::new()
        .fill(t.warns.ground)
        .inner_margin(Margin::symmetric(12, 5))
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.horizontal_top(|ui| {
                sign_label(ui, Sign::Warns, 14.0, t.warns.ink);
                let words = format!(
                    "These letters cannot be printed, a box stands for each: {}",
                    set.missing
                );
                ui.add(egui::Label::new(RichText::new(words).color(t.warns.ink)).wrap());
            });
        });
}

/// What stands where there is no page.
fn nothing(ctx: &ViewCtx<'_>, ui: &mut Ui, state: &mut PaperState, ask: &Ask) {
    let t = ctx.tokens;
    ui.vertical_centered(|ui| {
        ui.add_space((ui.available_height() / 3.0).max(20.0));
        if ask.kinds.is_empty() {
            let words = RichText::new("No paper is chosen").font(semibold(15.0));
            ui.label(words.color(t.text));
            let words = "Tick what to print on the left.";
            ui.label(RichText::new(words).color(t.soft));
        } else if let Some(halt) = state.setting.halt(ask) {
            let words = match halt {
                Halt::Stopped => "The setting of the pages was stopped",
                Halt::Failed => "The pages could not be set",
            };
            ui.label(RichText::new(words).font(semibold(15.0)).color(t.text));
            ui.add_space(6.0);
            if text_button(ui, t, "Set the pages again").clicked() {
                state.setting.go_on();
            }
        } else {
            // In a line of its own width, so that it stands in the middle.
            ui.scope(|ui| working(ctx, ui, state));
        }
    });
}

fn page_id() -> Id {
    Id::unique("paper-page")
}

fn factor_id() -> Id {
    Id::unique("paper-factor")
}

/// Turns by keys, unless something else has them.
fn keys(ui: &Ui, state: &mut PaperState) {
    let egui = ui.ctx();
    let is_covered = Popup::is_any_open(egui) || egui.memory(|m| m.top_modal_layer().is_some());
    if is_covered {
        return;
    }
    let focused = egui.memory(egui::Memory::focused);
    let has_arrows = focused.is_none_or(|id| id == page_id());
    let last = state
        .setting
        .set
        .as_ref()
        .map_or(0, |set| set.pages.len().saturating_sub(1));
    let pressed = |keys: &[Key]| {
        egui.input_mut(|i| keys.iter().any(|key| i.consume_key(Modifiers::NONE, *key)))
    };
    let is_whole = state.zoom == Zoom::Page;
    let (mut on, mut back) = (pressed(&[Key::PageDown]), pressed(&[Key::PageUp]));
    if has_arrows {
        on |= pressed(&[Key::ArrowRight]) || (is_whole && pressed(&[Key::ArrowDown]));
        back |= pressed(&[Key::ArrowLeft]) || (is_whole && pressed(&[Key::ArrowUp]));
        if pressed(&[Key::Home]) {
            state.page = 0;
        }
        if pressed(&[Key::End]) {
            state.page = last;
        }
    }
    if on {
        state.page = (state.page + 1).min(last);
    }
    if back {
        state.page = state.page.saturating_sub(1);
    }
}

fn page_ui(ctx: &ViewCtx<'_>, ui: &mut Ui, state: &mut PaperState, room: Rect) {
    let Some(set) = &state.setting.set else {
        return;
    };
    let Some(&(piece, leaf)) = set.pages.get(state.page) else {
        return;
    };
    let Some(size) = page_size(&set.pieces, piece, leaf) else {
        return;
    };
    let factor = state.zoom.factor(size, room.size());
    // The toolbar above has the factor of a frame ago, which is seen by nobody.
    ui.data_mut(|d| d.insert_temp(factor_id(), factor));
    let dots = ui.ctx().pixels_per_point();
    let scale = factor * dots;
    let number = state.setting.number;
    state
        .sheets
        .refresh(ui.ctx(), (set, number), state.page, scale);
    let shown = size * factor;
    ScrollArea::both()
        // Another page begins at its top.
        .id_salt(("paper-page", state.page))
        .auto_shrink(false)
        .show(ui, |ui| {
            let area = (shown + Vec2::splat(2.0 * ROOM)).max(ui.available_size());
            let (area, _) = ui.allocate_exact_size(area, Sense::hover());
            let left_top = area.center() - shown / 2.0;
            // On whole dots of the screen, so that letters stay sharp.
            let snap = |x: f32| (x * dots).round() / dots;
            let rect = Rect::from_min_size(pos2(snap(left_top.x), snap(left_top.y)), shown);
            let response = ui.interact(rect, page_id(), Sense::click());
            describe(&response, set, (piece, leaf));
            draw(ctx, ui, rect, &response, state.sheets.of(state.page, size));
            arrows(ui, &response);
        });
    if std::mem::take(&mut state.wants_keys) {
        ui.memory_mut(|m| m.request_focus(page_id()));
    }
}

/// Keeps the arrow keys with the page, and moves a page larger than its room by them.
fn arrows(ui: &Ui, response: &Response) {
    let filter = EventFilter {
        horizontal_arrows: true,
        vertical_arrows: true,
        ..EventFilter::default()
    };
    if response.clicked() {
        response.request_focus();
    }
    if response.has_focus() {
        ui.memory_mut(|m| m.set_focus_lock_filter(page_id(), filter));
    }
    let focused = ui.memory(egui::Memory::focused);
    if focused.is_none_or(|id| id == page_id()) {
        const LINE: f32 = 60.0;
        let (up, down) = ui.input(|i| (i.key_pressed(Key::ArrowUp), i.key_pressed(Key::ArrowDown)));
        let by = f32::from(i8::from(up)) - f32::from(i8::from(down));
        if by.abs() > 0.0 {
            ui.scroll_with_delta(vec2(0.0, by * LINE));
        }
    }
}

/// Says to a screen reader which page it is and what stands on it.
fn describe(response: &Response, set: &Set, (piece, leaf): (usize, usize)) {
    let Some(piece) = set.pieces.get(piece) else {
        return;
    };
    let document = &piece.document;
    let (number, count) = (leaf + 1, document.pages.len());
    let name = format!("{}, page {number} of {count}", document.title);
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &name));
    response.ctx.accesskit_node_builder(response.id, |node| {
        if let Some(texts) = document.texts().get(leaf) {
            node.set_description(texts.join("\n"));
        }
    });
}

fn draw(
    ctx: &ViewCtx<'_>,
    ui: &Ui,
    rect: Rect,
    response: &Response,
    texture: Option<&egui::TextureHandle>,
) {
    let t = ctx.tokens;
    // A white page would blind eyes that are used to the dark.
    let tint = if ctx.look.colours == Colours::Night {
        t.text.lerp_to_gamma(t.canvas, 0.5)
    } else {
        egui::Color32::WHITE
    };
    let painter = ui.painter();
    let shadow = Shadow {
        offset: [0, 2],
        blur: 12,
        spread: 0,
        color: t.shadow,
    };
    painter.add(shadow.as_shape(rect, CornerRadius::ZERO));
    painter.rect_filled(rect, CornerRadius::ZERO, tint);
    if let Some(texture) = texture {
        let all = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
        painter.image(texture.id(), rect, all, tint);
    }
    let edge = if response.has_focus() {
        Stroke::new(2.0, t.accent.ink)
    } else {
        Stroke::new(1.0, t.card_edge)
    };
    painter.rect_stroke(rect, CornerRadius::ZERO, edge, StrokeKind::Outside);
}
