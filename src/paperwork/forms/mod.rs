//! The forms of the incident command system, with the blocks and columns of the open federal forms.
//!
//! Source: FEMA 502-2, NIMS ICS Forms Booklet (September 2010), and the fillable forms of the same numbers.

pub mod ics205;
pub mod ics205a;
pub mod ics214;
pub mod ics217a;
