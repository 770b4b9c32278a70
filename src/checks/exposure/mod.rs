//! Exposure: how near people come to transmitting antennas.

pub mod operator_too_near;
pub mod public_too_near;
mod rings;
