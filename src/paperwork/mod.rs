//! Paper: what is handed over when the plan leaves the computer.

pub mod diagram;
pub mod set;
