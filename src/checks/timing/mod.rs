//! Timing and voice: speech that is clipped, late or spoilt, and carriers that stay up too long.

pub mod clipped_start;
pub mod hang_ping_pong;
mod keyed;
pub mod late_need;
pub mod late_path;
pub mod long_press_and_wait;
mod need_pairs;
pub mod needless_buffer;
pub mod poor_voice;
pub mod vocoders_in_tandem;
pub mod voice_keying_cuts_replies;
