//! Dialogs.
use egui::Context;
use crate::app::state::Dialog;
use crate::app::view::ViewCtx;
/// Shows them.
pub fn dialogs_ui(_ctx: &mut ViewCtx<'_>, _egui: &Context, _dialog: &mut Option<Dialog>, _planner: &mut String) {}
