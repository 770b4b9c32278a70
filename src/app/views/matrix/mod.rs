//! The view of everyone by everyone: rows speak, columns hear. Only what is in sight is drawn, so that
//! hundreds of units are as quick as ten.

mod axes;
mod cells;
mod cursor;
mod grid;
mod heads;
mod toolbar;

use egui::{RichText, Ui, Vec2};

use crate::app::theme::text_button;
use crate::app::view::ViewCtx;

use axes::{Axes, Wish};
pub(in crate::app) use grid::has_keys;

/// Smallest, usual and largest size of a cell, in points.
const CELL: (f32, f32, f32) = (4.0, 22.0, 56.0);

/// What the view remembers.
#[derive(Debug)]
pub(super) struct MatrixViewState {
    wish: Wish,
    axes: Option<Axes>,
    /// Size of a cell, in points.
    cell: f32,
    /// Row and column of the cell the keys are at.
    cursor: (usize, usize),
    /// Row and column under the pointer, one of them where it is over a name.
    hovered: (Option<usize>, Option<usize>),
    /// How far it is scrolled, and how much of it is in sight.
    offset: Vec2,
    sight: Vec2,
    /// Where to scroll to in the next frame.
    jump: Option<Vec2>,
    /// The row whose name is held down, since when.
    held: Option<(usize, f64)>,
}

impl Default for MatrixViewState {
    fn default() -> Self {
        Self {
            wish: Wish::default(),
            axes: None,
            cell: CELL.1,
            cursor: (0, 1),
            hovered: (None, None),
            offset: Vec2::ZERO,
            sight: Vec2::ZERO,
            jump: None,
            held: None,
        }
    }
}

/// Shows everyone by everyone, as large as the window allows.
pub(super) fn matrix_view_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, state: &mut MatrixViewState) {
    let t = ctx.tokens;
    let picture = &ctx.derived.picture;
    if picture.hearing().parties().len() < 2 {
        ui.label(RichText::new("Add two units or more to see who hears whom.").color(t.faint));
        return;
    }
    let axes = match state.axes.take() {
        Some(axes) if axes.fit(picture, &state.wish) => axes,
        _ => Axes::of(picture, &state.wish),
    };
    toolbar::toolbar_ui(ui, t, state, &axes);
    toolbar::legend_ui(ui, t, state, &axes);
    ui.add_space(2.0);
    if axes.rows.is_empty() || axes.columns.is_empty() {
        ui.add_space(16.0);
        ui.label(RichText::new("No pair is like that.").color(t.soft));
        if text_button(ui, t, "Show all pairs").clicked() {
            state.wish.show_all();
        }
    } else {
        grid::grid_ui(ctx, ui, state, &axes);
    }
    state.axes = Some(axes);
}
