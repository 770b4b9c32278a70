//! The one test binary.

mod format;
mod hearing;
mod lab;
mod samples;
