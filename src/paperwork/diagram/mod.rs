//! Drawings of a phase that fill a page of any size: the board, the talk groups, everybody with everybody.
//!
//! Each is a pure function of a picture and a size of page, in points. `page` has what stands around a
//! drawing, `fit` brings texts into their boxes, `look` and `marks` tell things apart without colour,
//! `words` has the words. Nothing here works out who hears whom.

mod board;
mod boxes;
mod cards;
mod cells;
mod fit;
mod groups;
mod lane;
mod legend;
mod look;
mod marks;
mod matrix;
mod page;
mod roll;
mod words;

pub use board::board;
pub use groups::groups;
pub use marks::sound as sound_sign;
pub use matrix::matrix;
pub use page::{CAUTION, READABLE};
