//! The view of each gateway's talk groups as lanes, with their load.

use egui::ScrollArea;
use egui::Ui;

use crate::app::panels::figures;
use crate::app::view::ViewCtx;

/// What the view remembers.
#[derive(Debug, Default)]
pub(super) struct GroupsViewState {}

/// Shows each gateway's talk groups as lanes, with their load.
pub(super) fn groups_view_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, _state: &mut GroupsViewState) {
    ScrollArea::vertical()
        .auto_shrink(false)
        .show(ui, |ui| figures::nets_ui(ctx, ui));
}
