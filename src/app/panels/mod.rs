//! The panels around the board. Each file draws one; none changes anything.

mod asked;
mod dialogs;
mod findings;
mod help;
mod matrix;
mod shelf_panel;
mod side;
mod status_bar;
mod toast;
mod top_bar;

pub mod details;

pub use details::DetailsState;
pub use dialogs::dialogs_ui;
pub use findings::FindingsState;
pub use matrix::MatrixState;
pub use shelf_panel::shelf_ui;
pub use side::side_ui;
pub use status_bar::status_bar_ui;
pub use toast::toast_ui;
pub use top_bar::top_bar_ui;
