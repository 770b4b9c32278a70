//! The view of the antennas of a site from above, with distances to keep and mixing products.

use egui::ScrollArea;
use egui::Ui;

use crate::app::panels::{FiguresState, figures};
use crate::app::view::ViewCtx;

/// What the view remembers.
#[derive(Debug, Default)]
pub(super) struct SiteViewState {
    inner: FiguresState,
}

/// Shows the antennas of a site from above, with distances to keep and mixing products.
pub(super) fn site_view_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, state: &mut SiteViewState) {
    ScrollArea::vertical()
        .auto_shrink(false)
        .show(ui, |ui| figures::site_ui(ctx, ui, &mut state.inner));
}
