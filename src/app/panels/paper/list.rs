//! The papers of the set by name, to go to.

use egui::{Button, RichText, ScrollArea, Ui, vec2};

use super::PaperState;
use crate::app::theme::semibold;
use crate::app::view::ViewCtx;
use crate::app::words::counted;
use crate::paperwork::Kind;

/// Shows the list.
pub(super) fn list_ui(ctx: &ViewCtx<'_>, ui: &mut Ui, state: &mut PaperState) {
    let t = ctx.tokens;
    ui.label(
        RichText::new("In this set")
            .font(semibold(13.5))
            .color(t.text),
    );
    let Some(set) = &state.setting.set else {
        let words = "Listed here as soon as the pages are set";
        ui.label(RichText::new(words).size(12.0).color(t.faint));
        return;
    };
    let files = counted(set.pieces.len(), "paper", "papers");
    let pages = counted(set.pages.len(), "page", "pages");
    let words = format!("{files}, {pages}");
    ui.label(RichText::new(words).size(12.0).color(t.faint));
    ui.add_space(4.0);
    let shown = set.pages.get(state.page).map(|(piece, _)| *piece);
    let mut go = None;
    ScrollArea::vertical()
        .id_salt("paper-list")
        .auto_shrink(false)
        .show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 2.0;
            for (i, piece) in set.pieces.iter().enumerate() {
                let pages = counted(piece.document.pages.len(), "page", "pages");
                let mut words = egui::text::LayoutJob::default();
                let head = RichText::new(short(piece.kind)).font(semibold(13.0));
                let below = format!("\n{}, {pages}", piece.stem);
                let below = RichText::new(below).size(12.0).color(t.soft);
                let style = ui.style();
                let (font, align) = (egui::FontSelection::Default, egui::Align::Center);
                head.color(t.text)
                    .append_to(&mut words, style, font.clone(), align);
                below.append_to(&mut words, style, font, align);
                words.wrap.max_width = ui.available_width() - 16.0;
                let button = Button::selectable(shown == Some(i), words);
                let response = ui.add(button.min_size(vec2(ui.available_width(), 40.0)));
                let label = format!("Go to {}", piece.document.title);
                if response
                    .on_hover_text(&label)
                    .accessible_name(label)
                    .clicked()
                {
                    go = set.pages.iter().position(|(piece, _)| *piece == i);
                }
            }
        });
    if let Some(page) = go {
        state.page = page;
        state.wants_keys |= ui.input(|i| i.pointer.any_click());
    }
}

/// Returns the title of a paper without what explains it.
fn short(kind: Kind) -> &'static str {
    let title = kind.title();
    title.split([',', ':']).next().unwrap_or(title)
}
