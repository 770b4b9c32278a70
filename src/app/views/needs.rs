//! The view of each need with its state now, the route it takes and what it can fall back on.

use egui::ScrollArea;
use egui::Ui;

use crate::app::panels::{FiguresState, figures};
use crate::app::view::ViewCtx;

/// What the view remembers.
#[derive(Debug, Default)]
pub(super) struct NeedsViewState {
    inner: FiguresState,
}

/// Shows each need with its state now, the route it takes and what it can fall back on.
pub(super) fn needs_view_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, state: &mut NeedsViewState) {
    ScrollArea::vertical()
        .auto_shrink(false)
        .show(ui, |ui| figures::needs_ui(ctx, ui, &mut state.inner));
}
