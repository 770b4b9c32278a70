//! Two transmitters of a site make a fifth-order product on a frequency that a receiver is on.
//!
//! ## What it flags
//! A product of two signals, three times the one less twice the other, that falls on the receiver of a
//! donor of the site, or on a channel that people listen to.
//!
//! ## Why it matters
//! With antennas as near to each other as those of donors are, the fifth order is heard too: a rough
//! voice over the wanted one whenever both transmitters are on.
//!
//! ## How it decides
//! Sums in whole hertz; a product is five times as wide as a signal. No level is worked out, since no
//! figure of a receiver's fifth order is known. One finding for a receiver, with the product nearest to
//! its channel; one for all listeners of a site. Products of three signals are left out.
//!
//! ## Severity
//! Warns when one talk group keys both and the product falls inside the channel of a donor: its level
//! is unknown, and it comes at every message. Notes otherwise: weaker than the third order, to be
//! listened for on the site.
//!
//! ## Example
//! 154.1300 and 154.4300 MHz are on one talk group; three times the first less twice the second is
//! 153.5300 MHz, where the works donor listens.
//!
//! ## Source
//! Orders and widths textbook, from memory.

use crate::checks::Check;
use crate::checks::site::products;
use crate::model::{Finding, Severity};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "I04",
    name: "fifth-order-product",
    severity: Severity::Warns,
    text: include_str!("fifth_order_product.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    products::find(out, picture, &CHECK, |p| p.order == 5);
}
