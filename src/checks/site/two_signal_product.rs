//! Two transmitters of a site mix into a frequency that a receiver is on.
//!
//! ## What it flags
//! A third-order product of two signals, twice the one less the other, that falls on the receiver of a
//! donor of the site, or on a channel that people listen to.
//!
//! ## Why it matters
//! While both transmitters are on, the receiver hears a mixture of both voices that nobody sent there.
//! It covers the wanted signal, and in the same talk group it keeps the group keyed.
//!
//! ## How it decides
//! Frequencies are added in whole hertz. A product counts when it comes nearer to the receive frequency
//! than half the receiver's bandwidth and one and a half of the signal's, since it is three times as
//! wide. Which transmitters are on together follows from the switches: a talk group keys all its
//! donors. The level is that made in the receiver, by its rejection of intermodulation. One finding for
//! a receiver, with the worst product; one for all listeners of a site.
//!
//! ## Severity
//! Warns when one talk group keys both and the level reaches the receiver's sensitivity, or is too
//! strong for the law of levels: it then happens at every message. Notes when two talk groups must
//! speak at once, when the level is below, and for listeners, who are mostly farther off.
//!
//! ## Example
//! 154.1300 and 154.1900 MHz are on one talk group; twice the second less the first is 154.2500 MHz,
//! where the medical donor listens.
//!
//! ## Source
//! Recommendation ITU-R SM.1134-1 (2007) for third order in land mobile receivers; levels and widths
//! textbook, from memory.

use crate::checks::Check;
use crate::checks::site::products;
use crate::model::{Finding, Severity};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "I02",
    name: "two-signal-product",
    severity: Severity::Warns,
    text: include_str!("two_signal_product.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    products::find(out, picture, &CHECK, |p| p.order == 3 && p.terms.len() == 2);
}
