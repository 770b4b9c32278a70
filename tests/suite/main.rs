//! The one test binary.

mod architecture;
mod checks;
mod cli;
mod format;
mod hearing;
mod lab;
mod model;
mod samples;
mod shipped;
