//! The view of everyone by everyone, as large as the window allows.

use crate::app::panels::{MatrixState, matrix_ui};
use crate::app::view::ViewCtx;
use egui::Ui;

/// What the view remembers.
#[derive(Debug, Default)]
pub(super) struct MatrixViewState {
    inner: MatrixState,
}

/// Shows everyone by everyone, as large as the window allows.
pub(super) fn matrix_view_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, state: &mut MatrixViewState) {
    matrix_ui(ctx, ui, &mut state.inner)
}
