//! The radio site: what transmitters of one site do to receivers beside them.

pub mod antenna_not_noted;
pub mod antennas_too_near;
pub mod donors_without_frequency;
pub mod fifth_order_product;
pub mod gateway_without_site;
pub mod harmonic_in_receiver;
mod products;
pub mod receiver_desensitised;
mod sets;
pub mod three_signal_product;
pub mod transmits_on_a_protected_frequency;
pub mod two_signal_product;
