//! The one test binary.

mod architecture;
mod hearing;
mod lab;
mod model;
