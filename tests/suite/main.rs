//! The one test binary.

mod architecture;
mod format;
mod hearing;
mod lab;
mod model;
mod samples;
mod shipped;
