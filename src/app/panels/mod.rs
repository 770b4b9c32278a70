//! The panels around the board. Each file draws one; none changes anything.

mod adder;
mod asked;
mod calculators;
mod dialogs;
mod exchange;
pub(super) mod figures;
mod finder;
mod findings;
mod findings_card;
mod findings_controls;
mod findings_sieve;
mod help;
mod matrix;
mod menu_bar;
mod paper;
mod recovery;
mod shelf_panel;
mod side;
mod status_bar;
mod toast;
mod top_bar;
mod topics;
mod tour;

pub(super) mod details;

pub(super) use adder::{AdderState, adder_ui};
pub(super) use asked::{pending, step_sign, step_words, why_ui};
pub(super) use calculators::{CalculatorsState, calculators_ui};
pub(super) use details::DetailsState;
pub(super) use dialogs::dialogs_ui;
pub(super) use figures::FiguresState;
pub(super) use finder::{FinderState, Row, finder_ui, row_ui, select_text};
pub(super) use findings::FindingsState;
pub(super) use matrix::MatrixState;
pub(super) use paper::{Made, PaperState, paper_ui};
pub(super) use shelf_panel::{ShelfState, shelf_ui};
pub(super) use side::side_ui;
pub(super) use status_bar::status_bar_ui;
pub(super) use toast::toast_ui;
pub(super) use top_bar::top_bar_ui;
pub(super) use topics::Topic;
pub(super) use tour::{Landmarks, tour_ui};
