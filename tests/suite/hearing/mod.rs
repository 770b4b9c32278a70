//! Who hears whom: the rules, the traps, the laws, and an independent reference.

mod laws;
mod random;
mod reference;
mod rules;
mod traps;
mod why_not;
