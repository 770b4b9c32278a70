//! Timing: what is lost and what is late on the way from mouth to ear.

pub mod clipping;
pub mod codec;
pub mod decode;
pub mod delay_class;
pub mod packet;
pub mod press_and_wait;
pub mod rating;
pub mod satellite;
pub mod turnaround;
