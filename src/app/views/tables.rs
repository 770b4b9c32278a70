//! The view of everything as tables.

use egui::ScrollArea;
use egui::Ui;

use crate::app::panels::{DetailsState, details};
use crate::app::view::ViewCtx;

/// What the view remembers.
#[derive(Debug, Default)]
pub(super) struct TablesState {
    inner: DetailsState,
}

/// Shows everything as tables.
pub(super) fn tables_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, state: &mut TablesState) {
    ScrollArea::vertical()
        .auto_shrink(false)
        .show(ui, |ui| details::overview_ui(ctx, ui, &mut state.inner));
}
