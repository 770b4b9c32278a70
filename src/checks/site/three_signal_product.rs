//! Three transmitters of a site mix into a frequency that a receiver is on.
//!
//! ## What it flags
//! A third-order product of three signals, the sum of two less a third, that falls on the receiver of a
//! donor of the site, or on a channel that people listen to.
//!
//! ## Why it matters
//! It is 6 dB stronger than the product of two signals, and a talk group with four donors makes many of
//! them at every message. The receiver hears a mixture of the voices over the wanted one.
//!
//! ## How it decides
//! As for two signals: sums in whole hertz, three times as wide as a signal, levels by the receiver's
//! rejection of intermodulation, together when one talk group keys all three. One finding for a
//! receiver, with the worst product; one for all listeners of a site.
//!
//! ## Severity
//! Warns when one talk group keys all three and the level reaches the receiver's sensitivity, or is too
//! strong for the law of levels. Notes when two talk groups must speak at once, when the level is
//! below, and for listeners.
//!
//! ## Example
//! Four channels a multiple of the same step apart are on one talk group, as the five national channels
//! of the 800 MHz band are.
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
    code: "I03",
    name: "three-signal-product",
    severity: Severity::Warns,
    text: include_str!("three_signal_product.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    products::find(out, picture, &CHECK, |p| p.order == 3 && p.terms.len() == 3);
}
