//! Who hears whom: the rules, the traps, the laws, and an independent reference.

mod laws;
pub(crate) mod random;
mod reference;
mod rules;
mod together;
mod traps;
mod why_not;
