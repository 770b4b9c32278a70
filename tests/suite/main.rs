//! The one test binary.

mod hearing;
mod lab;
