//! Scenarios that come with the program, and a generator of large ones.
//!
//! The shipped scenarios are files of the repository's `scenarios` folder, built in; everything in
//! them is invented. [`generate`] makes an incident of any size from a seed: same seed, same bytes.

mod generate;

pub use generate::{Size, generate};

/// A scenario that comes with the program.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sample {
    /// Name, as a menu shows it.
    pub name: &'static str,
    /// Name of its file.
    pub file_name: &'static str,
    /// What it is for, in one sentence.
    pub about: &'static str,
    /// The file itself, in RON.
    pub text: &'static str,
}

/// The shipped scenarios, the best one to begin with first.
pub const SHIPPED: &[Sample] = &[Sample {
    name: "Talk groups",
    file_name: "talk-groups.ron",
    about: "Teaches talk groups in three short steps on one gateway.",
    text: include_str!("../../scenarios/talk-groups.ron"),
}];
