//! What is derived beside hearing: loads, timing, ways, sites, power; each against an independent
//! count or a published value.

mod compare;
pub(crate) mod figures;
mod kept;
mod lanes;
mod precheck;
mod reads;
mod rearranged;
mod sounds;
mod ways;
