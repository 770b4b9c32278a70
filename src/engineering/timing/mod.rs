//! Timing: what is lost and what is late on the way from mouth to ear.

pub mod clipping;
