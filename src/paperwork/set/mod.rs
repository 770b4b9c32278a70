//! Type-setting: ink, letters, pages, and the formats they are written in.
//!
//! `composer` sets blocks from top to bottom, `blocks` and `table` say what they look like; `pdf`, `svg`
//! and `png` write what was set. Nothing here knows what a page is about.

pub mod blocks;
pub mod composer;
pub mod dots;
pub mod face;
pub mod ink;
pub mod logo;
pub mod pdf;
pub mod png;
pub mod sheet;
pub mod subset;
pub mod svg;
pub mod table;
pub mod tick;
