//! What is derived beside hearing: loads, timing, ways, sites, power; each against an independent
//! count or a published value.

mod figures;
mod sounds;
mod ways;
