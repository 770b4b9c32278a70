//! Traffic: how much a net carries, and how long people wait for it.

pub mod duty;
pub mod erlang_b;
pub mod erlang_c;
#[cfg(test)]
mod exact;
pub mod finite_source;
pub mod offered;
