//! What the middle of the window shows: the board, or one of the views that read the same plan
//! another way. Each file draws one; none changes anything and none computes a fact.

mod groups;
mod matrix;
mod needs;
mod precheck;
mod site;
mod strip;
mod tables;

use egui::{CentralPanel, Frame, Margin, Panel, Response, TextEdit, Ui};

use super::board::{BoardState, board_ui};
use super::state::View;
use super::view::ViewCtx;

pub(super) use matrix::has_keys as matrix_has_keys;
pub(super) use strip::strip_ui;
pub(super) use tables::{in_cells, is_for_cells};

/// What the views remember.
#[derive(Debug, Default)]
pub(crate) struct ViewsState {
    matrix: matrix::MatrixViewState,
    needs: needs::NeedsViewState,
    groups: groups::GroupsViewState,
    site: site::SiteViewState,
    tables: tables::TablesState,
    precheck: precheck::PrecheckState,
}

/// Shows what the middle of the window shows.
pub(crate) fn middle_ui(
    ctx: &mut ViewCtx<'_>,
    ui: &mut Ui,
    state: &mut ViewsState,
    board: &mut BoardState,
    beside: bool,
) {
    let t = ctx.tokens;
    let view = ctx.shared.view;
    let canvas = Frame::new().fill(t.canvas);
    if view == View::Board {
        CentralPanel::default()
            .frame(canvas)
            .show(ui, |ui| board_ui(ctx, ui, board));
        return;
    }
    if beside {
        let half = ui.available_width() / 2.0;
        Panel::left("board-beside")
            .frame(canvas)
            .default_size(half)
            .size_range(200.0..=(2.0 * half - 200.0).max(201.0))
            .show(ui, |ui| {
                // The board paints and allocates nothing; without this the panel would close up.
                ui.expand_to_include_rect(ui.max_rect());
                board_ui(ctx, ui, board);
            });
    }
    CentralPanel::default()
        .frame(
            Frame::new()
                .fill(t.panel)
                .inner_margin(Margin::symmetric(16, 12)),
        )
        .show(ui, |ui| match view {
            View::Board => {}
            View::Matrix => matrix::matrix_view_ui(ctx, ui, &mut state.matrix),
            View::Needs => needs::needs_view_ui(ctx, ui, &mut state.needs),
            View::Groups => groups::groups_view_ui(ctx, ui, &mut state.groups),
            View::Site => site::site_view_ui(ctx, ui, &mut state.site),
            View::Tables => tables::tables_ui(ctx, ui, &mut state.tables),
            View::Precheck => precheck::precheck_ui(ctx, ui, &mut state.precheck),
        });
}

/// Adds a text field with a name of its own: the hint in it is gone as soon as somebody types.
fn named_field(ui: &mut Ui, label: &str, field: TextEdit<'_>) -> Response {
    let response = ui.add(field);
    ui.ctx()
        .accesskit_node_builder(response.id, |node| node.set_label(label));
    response
}
