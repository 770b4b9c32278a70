//! The panel on the right and its tabs.

use egui::Ui;

use super::{DetailsState, FindingsState, MatrixState};
use crate::app::view::ViewCtx;

/// Shows the side panel.
pub fn side_ui(
    _ctx: &mut ViewCtx<'_>,
    ui: &mut Ui,
    _findings: &mut FindingsState,
    _details: &mut DetailsState,
    _matrix: &mut MatrixState,
) {
    ui.label("side");
}
