//! Finding things and commands by what is typed: folding of letters, an index of everything a plan
//! says, and matching with letters left out. Pure: no window, no clock.

mod fold;
mod fuzzy;
mod gather;
mod index;

pub(super) use fold::{fold, spans};
pub(super) use fuzzy::{Match, fuzzy};
pub(super) use index::{Field, Found, Index};
