//! Delay of an IP leg before any network: packets, jitter buffer and codec.
//!
//! Formula: `packet + n packet + algorithmic`, with n the packets that the jitter buffer holds.
//!
//! Units: milliseconds.
//!
//! Valid range: packets of 1 to 500 ms, up to 100 packets held, codec delay 0 to 1000 ms.
//!
//! When it is wrong: the network's own transport comes on top; a codec's frame is counted in its
//! algorithmic delay and again in the packet, which errs on the long side by one frame; an adaptive
//! buffer changes as it runs.
//!
//! Source: textbook (voice over packet networks). That a buffer usually holds one to two packets is
//! from the same.
//!
//! Worked example: G.711 in packets of 20 ms, two held: 20 + 40 + 0.125 = 60.125 ms.

use crate::engineering::{OutOfRange, Range};

/// Speech in one packet.
pub const PACKET: Range = Range::new("packet time", 1.0, 500.0, "ms");
/// Packets that the jitter buffer holds.
pub const HELD: Range = Range::new("jitter buffer", 0.0, 100.0, "packets");
/// Frame and look-ahead of the codec.
pub const ALGORITHMIC: Range = Range::new("algorithmic delay", 0.0, 1000.0, "ms");

/// Returns the delay of an IP leg without its network, in milliseconds.
///
/// # Errors
///
/// An argument is outside [`PACKET`], [`HELD`] or [`ALGORITHMIC`].
pub fn leg_ms(packet_ms: f64, held_packets: u32, algorithmic_ms: f64) -> Result<f64, OutOfRange> {
    let packet_ms = PACKET.check(packet_ms)?;
    let held = HELD.check(f64::from(held_packets))?;
    Ok(packet_ms + held * packet_ms + ALGORITHMIC.check(algorithmic_ms)?)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engineering::published::agrees;
    use crate::engineering::timing::codec;

    #[test]
    fn packets_and_codec_add() {
        let of = |name: &str, held| {
            let own = codec::find(name).and_then(|c| c.algorithmic_ms).unwrap();
            leg_ms(20.0, held, own).unwrap()
        };
        let rows = [
            ("G.711, nothing held", of("G.711", 0), 20.125),
            ("G.711, one held", of("G.711", 1), 40.125),
            ("G.711, two held", of("G.711", 2), 60.125),
            ("G.729, two held", of("G.729 8 kbit/s", 2), 75.0),
        ];
        agrees("textbook, computed by hand", 1e-12, &rows);
    }

    #[test]
    fn nonsense_is_refused() {
        for bad in [f64::NAN, f64::INFINITY, -1.0, 1001.0] {
            assert!(leg_ms(bad, 1, 0.0).is_err());
            assert!(leg_ms(20.0, 1, bad).is_err());
        }
        assert!(leg_ms(20.0, 101, 0.0).is_err());
    }
}
