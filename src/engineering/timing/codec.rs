//! Codecs: what each takes from the rating and how long it holds the voice.
//!
//! Formula: impairments of codecs in a chain add.
//!
//! Units: Ie and Bpl are plain numbers of the E-model, delays milliseconds.
//!
//! Valid range: narrow-band telephone codecs as tested.
//!
//! When it is wrong: two low-rate vocoders in tandem can be worse than the sum, since the second
//! codes the faults of the first. **For the P25 vocoder no published impairment exists**; its
//! entries hold none, and a path through it has no rating by this model.
//!
//! Source: ITU-T G.113, Appendix I, for Ie and Bpl, and the codecs' own recommendations for delays.
//! Bpl of G.711 with and without concealment is as printed in public code that cites the appendix;
//! all other figures are from memory. Each entry says which.
//!
//! Worked example: G.729 (10) after GSM full rate (20) takes 30.

/// A codec.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Codec {
    /// Name.
    pub name: &'static str,
    /// Equipment impairment without loss; `None` where no value is published.
    pub ie: Option<f64>,
    /// Robustness against random packet loss; `None` where none is recorded.
    pub bpl: Option<f64>,
    /// Frame plus look-ahead, without packets, in milliseconds; `None` where none is recorded.
    pub algorithmic_ms: Option<f64>,
    /// Where the figures come from.
    pub source: &'static str,
}

const RECALLED: &str = "ITU-T G.113 Appendix I and the codec's recommendation, from memory";
const NO_VALUE: &str = "no published impairment was found";

/// Every codec known, in order of use: telephone, cellular, radio.
pub const ALL: [Codec; 14] = [
    Codec {
        name: "G.711",
        ie: Some(0.0),
        bpl: Some(4.3),
        algorithmic_ms: Some(0.125),
        source: "ITU-T G.113 Appendix I, found; delay from memory",
    },
    Codec {
        name: "G.711 with concealment",
        ie: Some(0.0),
        bpl: Some(25.1),
        algorithmic_ms: Some(3.875),
        source: "ITU-T G.113 Appendix I, found; delay with the 3.75 ms of G.711 Appendix I, from memory",
    },
    entry("G.726 32 kbit/s", Some(7.0), None, Some(0.125), RECALLED),
    entry("G.728 16 kbit/s", Some(7.0), None, Some(0.625), RECALLED),
    entry("G.729 8 kbit/s", Some(10.0), None, Some(15.0), RECALLED),
    Codec {
        name: "G.729A with silence suppression",
        ie: Some(11.0),
        bpl: Some(19.0),
        algorithmic_ms: Some(15.0),
        source: RECALLED,
    },
    Codec {
        name: "G.723.1 6.3 kbit/s",
        ie: Some(15.0),
        bpl: Some(16.1),
        algorithmic_ms: Some(37.5),
        source: RECALLED,
    },
    entry("G.723.1 5.3 kbit/s", Some(19.0), None, Some(37.5), RECALLED),
    entry("GSM full rate", Some(20.0), None, None, RECALLED),
    entry("GSM half rate", Some(23.0), None, None, RECALLED),
    Codec {
        name: "GSM enhanced full rate",
        ie: Some(5.0),
        bpl: Some(10.0),
        algorithmic_ms: None,
        source: RECALLED,
    },
    entry("AMR", None, None, Some(25.0), RECALLED),
    entry("P25 full rate", None, None, None, NO_VALUE),
    entry("P25 half rate", None, None, None, NO_VALUE),
];

/// Finds the codec of that name.
pub fn find(name: &str) -> Option<&'static Codec> {
    ALL.iter().find(|codec| codec.name == name)
}

/// Returns the impairment of codecs one after the other: their sum.
pub fn chain_impairment(impairments: &[f64]) -> f64 {
    impairments.iter().sum()
}

const fn entry(
    name: &'static str,
    ie: Option<f64>,
    bpl: Option<f64>,
    algorithmic_ms: Option<f64>,
    source: &'static str,
) -> Codec {
    Codec {
        name,
        ie,
        bpl,
        algorithmic_ms,
        source,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engineering::published::agrees;

    #[test]
    fn impairments_are_as_published() {
        let ie = |name: &str| find(name).and_then(|c| c.ie).unwrap();
        let bpl = |name: &str| find(name).and_then(|c| c.bpl).unwrap();
        let concealed = "G.711 with concealment";
        let silence = "G.729A with silence suppression";
        let enhanced = "GSM enhanced full rate";
        let rows = [
            ("G.711", ie("G.711"), 0.0),
            ("G.711 Bpl", bpl("G.711"), 4.3),
            ("G.711 concealed Bpl", bpl(concealed), 25.1),
            ("G.726", ie("G.726 32 kbit/s"), 7.0),
            ("G.728", ie("G.728 16 kbit/s"), 7.0),
            ("G.729", ie("G.729 8 kbit/s"), 10.0),
            ("G.729A", ie(silence), 11.0),
            ("G.729A Bpl", bpl(silence), 19.0),
            ("G.723.1 high", ie("G.723.1 6.3 kbit/s"), 15.0),
            ("G.723.1 high Bpl", bpl("G.723.1 6.3 kbit/s"), 16.1),
            ("G.723.1 low", ie("G.723.1 5.3 kbit/s"), 19.0),
            ("GSM full", ie("GSM full rate"), 20.0),
            ("GSM half", ie("GSM half rate"), 23.0),
            ("GSM enhanced", ie(enhanced), 5.0),
            ("GSM enhanced Bpl", bpl(enhanced), 10.0),
        ];
        agrees("ITU-T G.113 Appendix I, in part from memory", 0.0, &rows);
    }

    #[test]
    fn delays_are_frame_and_look_ahead() {
        let delay = |name: &str| find(name).and_then(|c| c.algorithmic_ms).unwrap();
        let rows = [
            ("G.711", delay("G.711"), 0.125),
            ("G.726", delay("G.726 32 kbit/s"), 0.125),
            ("G.729", delay("G.729 8 kbit/s"), 10.0 + 5.0),
            ("G.723.1", delay("G.723.1 6.3 kbit/s"), 30.0 + 7.5),
            ("AMR", delay("AMR"), 20.0 + 5.0),
        ];
        agrees("the codecs' recommendations, from memory", 1e-12, &rows);
    }

    #[test]
    fn the_radio_vocoder_has_no_value() {
        for codec in ALL.iter().filter(|c| c.name.starts_with("P25")) {
            assert_eq!(
                (codec.ie, codec.bpl, codec.algorithmic_ms),
                (None, None, None)
            );
            assert_eq!(codec.source, NO_VALUE);
        }
        assert_eq!(ALL.iter().filter(|c| c.name.starts_with("P25")).count(), 2);
    }

    #[test]
    fn entries_have_names_of_their_own_and_a_source() {
        for codec in &ALL {
            assert_eq!(find(codec.name), Some(codec));
            let tagged = ["found", "from memory"]
                .iter()
                .any(|tag| codec.source.contains(tag));
            assert!(tagged, "{}", codec.name);
        }
        assert_eq!(find("none such"), None);
    }

    #[test]
    fn a_chain_adds() {
        let rows = [
            ("two", chain_impairment(&[10.0, 20.0]), 30.0),
            ("one", chain_impairment(&[11.0]), 11.0),
            ("none", chain_impairment(&[]), 0.0),
        ];
        agrees("ITU-T G.113, addition of impairments", 0.0, &rows);
    }
}
