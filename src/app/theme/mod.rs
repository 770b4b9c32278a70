//! How everything looks: colours, type, spacing, and the signs that are drawn instead of glyphs.
//!
//! Colours are written down here and nowhere else. Meaning is never in a colour alone: whoever uses
//! a colour of meaning puts a [`Sign`] or a word beside it.

mod colours;
mod elide;
mod fonts;
mod sign_shapes;
mod signs;
mod style;
mod tokens;
mod widgets;

pub(super) use elide::{elided, laid_out, shortened_to};
pub(super) use fonts::{SEMIBOLD, semibold};
pub(super) use signs::{Sign, paint_sign};
pub(super) use style::dress;
pub use style::install;
pub(super) use tokens::{Colours, Pair, Tokens};
pub(super) use widgets::{
    card, kind_sign, primary_button, quiet_button, severity_pair, severity_sign, sign_button,
    sign_label, text_button,
};
