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
pub const SHIPPED: &[Sample] = &[
    Sample {
        name: "Harrow Junction",
        file_name: "incident.ron",
        about: "A multi-agency incident planned in a hurry: find the mistakes and mend them.",
        text: include_str!("../../scenarios/incident.ron"),
    },
    Sample {
        name: "Harrow Junction, repaired",
        file_name: "incident-repaired.ron",
        about: "The same incident with every mistake mended.",
        text: include_str!("../../scenarios/incident-repaired.ron"),
    },
    Sample {
        name: "Talk groups",
        file_name: "talk-groups.ron",
        about: "Teaches talk groups in three short steps on one gateway.",
        text: include_str!("../../scenarios/talk-groups.ron"),
    },
    Sample {
        name: "Large exercise",
        file_name: "large.ron",
        about: "A generated exercise of 200 units, to see how a crowded plan behaves.",
        text: include_str!("../../scenarios/large.ron"),
    },
];

/// The size and seed of the shipped large scenario; a test holds the file to them.
pub const LARGE: (Size, u64) = (
    Size {
        units: 200,
        channels: 24,
        gateways: 5,
    },
    7,
);
