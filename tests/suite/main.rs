//! The one test binary.

mod checks;
mod format;
mod hearing;
mod lab;
mod samples;
