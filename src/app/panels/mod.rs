//! The panels around the board. Each file draws one; none changes anything.

mod asked;
mod calculators;
mod dialogs;
pub(super) mod figures;
mod findings;
mod help;
mod matrix;
mod shelf_panel;
mod side;
mod status_bar;
mod toast;
mod top_bar;

pub(super) mod details;

pub(super) use asked::{step_sign, step_words, why_ui};
pub(super) use calculators::{CalculatorsState, calculators_ui};
pub(super) use details::DetailsState;
pub(super) use dialogs::dialogs_ui;
pub(super) use figures::FiguresState;
pub(super) use findings::FindingsState;
pub(super) use matrix::MatrixState;
pub(super) use shelf_panel::shelf_ui;
pub(super) use side::side_ui;
pub(super) use status_bar::status_bar_ui;
pub(super) use toast::toast_ui;
pub(super) use top_bar::top_bar_ui;
