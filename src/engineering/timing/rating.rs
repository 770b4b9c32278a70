//! The transmission rating R of a voice path, and the opinion score it stands for.
//!
//! Formula: `R = 93.2 - Idd - Ie,eff`, where 93.2 is what every other default leaves.
//! `Idd = 0` for `Ta <= mT`, else `Idd = 25 ((1 + X^6s)^(1/6s) - 3 (1 + (X/3)^6s)^(1/6s) + 2)` with
//! `X = log2(Ta / mT)`. `Ie,eff = Ie + (95 - Ie) Ppl / (Ppl / BurstR + Bpl)`.
//! `MOS = 1 + 0.035 R + R (R - 60) (100 - R) 7e-6`, 1 below `R = 0` and 4.5 above `R = 100`.
//!
//! Units: milliseconds one way, percent of packets lost; R, its impairments and MOS are plain
//! numbers.
//!
//! Valid range: delay 0 to 60 000 ms, loss 0 to 100 %. The recommendation itself permits less
//! (delay to 500 ms, loss to 20 %, Ie to 40, Bpl from 4.3 to 40, burst ratio to 2; from memory), so
//! results beyond that are extrapolated.
//!
//! When it is wrong: it was fitted to telephone calls with clean sound at both ends. Radio noise,
//! codecs without a tested impairment, levels, echo and clipped speech are not in it. The advantage
//! factor A, which forgives users who have no better means, is documented by [`Access`] and **not**
//! added: a plan should not gain quality by being in the woods. The cubic for MOS dips to 0.99 for R
//! between 0 and 6.5; here it is held at 1, the bottom of the scale. A shortcut often met,
//! `Id = 0.024 d + 0.11 (d - 177.3)`, is not this recommendation.
//!
//! Source: ITU-T G.107 (06/2015), clause 7.4 (Idd; from memory), clause 7.5 (Ie,eff), clause 7.7
//! (93.2) and Annex B (MOS); delay-sensitivity classes and advantage factors from its tables, from
//! memory. Bands: ITU-T G.109, from memory.
//!
//! Worked example: 250 ms one way, G.729A, 1 % random loss: Idd 8.917, Ie,eff 15.200, R 69.08,
//! MOS 3.554.

use crate::engineering::{OutOfRange, Range};

/// Rating that all defaults of the recommendation leave.
pub const DEFAULT_RATING: f64 = 93.2;
/// Delays for which the rating may be asked.
pub const DELAY: Range = Range::new("delay", 0.0, 60_000.0, "ms");
/// Impairments of equipment for which the rating may be asked.
pub const IMPAIRMENT: Range = Range::new("equipment impairment", 0.0, 95.0, "");
/// Robustness against loss.
pub const ROBUSTNESS: Range = Range::new("packet-loss robustness", 1.0, 100.0, "");
/// Share of packets lost.
pub const LOSS: Range = Range::new("packet loss", 0.0, 100.0, "%");
/// How much longer bursts of loss are than random loss would make them.
pub const BURST: Range = Range::new("burst ratio", 1.0, 100.0, "");

/// How much a listener minds delay.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sensitivity {
    /// Telephone talk with interruptions; the class that the recommendation asks of carriers.
    Default,
    /// Talk in turns, to which half-duplex press-to-talk comes closest.
    Low,
    /// Talk that hardly waits for answers.
    VeryLow,
}

impl Sensitivity {
    /// Returns `sT` and `mT` in milliseconds (ITU-T G.107 (06/2015); low classes from memory).
    const fn parameters(self) -> (f64, f64) {
        match self {
            Self::Default => (1.0, 100.0),
            Self::Low => (0.55, 120.0),
            Self::VeryLow => (0.4, 150.0),
        }
    }
}

/// How users came to the service, for the advantage factor that [`rating`] leaves out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Access {
    /// By wire.
    Wired,
    /// Moving inside a building.
    InBuilding,
    /// From a moving vehicle.
    Vehicle,
    /// From a place hard to reach, as by several satellite hops.
    HardToReach,
}

impl Access {
    /// Returns the largest advantage factor A (ITU-T G.107, from memory).
    pub const fn advantage(self) -> f64 {
        match self {
            Self::Wired => 0.0,
            Self::InBuilding => 5.0,
            Self::Vehicle => 10.0,
            Self::HardToReach => 20.0,
        }
    }
}

/// Bands of quality, from bad to good.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Quality {
    /// Below 50.
    NotRecommended,
    /// From 50: nearly all dissatisfied.
    Poor,
    /// From 60: many dissatisfied.
    Low,
    /// From 70: some dissatisfied.
    Medium,
    /// From 80.
    High,
    /// From 90.
    Best,
}

impl Quality {
    /// Returns the band in a word or two.
    pub const fn word(self) -> &'static str {
        match self {
            Self::NotRecommended => "not recommended",
            Self::Poor => "poor",
            Self::Low => "low",
            Self::Medium => "medium",
            Self::High => "high",
            Self::Best => "best",
        }
    }
}

/// Returns the impairment by one-way delay, Idd.
///
/// # Errors
///
/// The delay is outside [`DELAY`].
pub fn delay_impairment(ta_ms: f64, sensitivity: Sensitivity) -> Result<f64, OutOfRange> {
    let ta_ms = DELAY.check(ta_ms)?;
    let (s, least_ms) = sensitivity.parameters();
    if ta_ms <= least_ms {
        return Ok(0.0);
    }
    let x = (ta_ms / least_ms).log2();
    let power = 6.0 * s;
    let bend = |x: f64| (1.0 + x.powf(power)).powf(power.recip());
    Ok((25.0 * (bend(x) - 3.0 * bend(x / 3.0) + 2.0)).max(0.0))
}

/// Returns the impairment by codec and lost packets, Ie,eff.
///
/// `burst_r` is 1 for random loss.
///
/// # Errors
///
/// An argument is outside [`IMPAIRMENT`], [`ROBUSTNESS`], [`LOSS`] or [`BURST`].
pub fn effective_impairment(
    ie: f64,
    bpl: f64,
    loss_percent: f64,
    burst_r: f64,
) -> Result<f64, OutOfRange> {
    let (ie, bpl) = (IMPAIRMENT.check(ie)?, ROBUSTNESS.check(bpl)?);
    let (loss, burst_r) = (LOSS.check(loss_percent)?, BURST.check(burst_r)?);
    Ok(ie + (95.0 - ie) * loss / (loss / burst_r + bpl))
}

/// Returns the rating R of a path with random loss, without advantage factor.
///
/// It can fall below 0, which [`mos`] takes as 1.
///
/// # Errors
///
/// An argument is outside its range.
pub fn rating(
    delay_ms: f64,
    ie: f64,
    loss_percent: f64,
    bpl: f64,
    sensitivity: Sensitivity,
) -> Result<f64, OutOfRange> {
    let delay = delay_impairment(delay_ms, sensitivity)?;
    let equipment = effective_impairment(ie, bpl, loss_percent, 1.0)?;
    Ok(DEFAULT_RATING - delay - equipment)
}

/// Returns the mean opinion score, 1 to 4.5, of a rating.
pub fn mos(r: f64) -> f64 {
    if r <= 0.0 {
        1.0
    } else if r >= 100.0 {
        4.5
    } else {
        (1.0 + 0.035 * r + r * (r - 60.0) * (100.0 - r) * 7e-6).max(1.0)
    }
}

/// Returns the band of a rating; what is not a number is not recommended.
pub fn quality(r: f64) -> Quality {
    match r {
        r if r >= 90.0 => Quality::Best,
        r if r >= 80.0 => Quality::High,
        r if r >= 70.0 => Quality::Medium,
        r if r >= 60.0 => Quality::Low,
        r if r >= 50.0 => Quality::Poor,
        _ => Quality::NotRecommended,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engineering::published::agrees;

    const SOURCE: &str = "ITU-T G.107 (06/2015), computed by hand from its equations";

    /// Delay, Idd, R, MOS, Idd of the low and of the very low class; no codec, no loss.
    const DELAYS: [(f64, f64, f64, f64, f64, f64); 11] = [
        (0.0, 0.0, 93.20, 4.409, 0.0, 0.0),
        (100.0, 0.0, 93.20, 4.409, 0.0, 0.0),
        (150.0, 0.164, 93.04, 4.406, 0.16, 0.0),
        (200.0, 3.044, 90.16, 4.343, 2.25, 0.95),
        (250.0, 8.917, 84.28, 4.175, 6.06, 3.38),
        (300.0, 14.761, 78.44, 3.964, 10.09, 6.18),
        (400.0, 24.070, 69.13, 3.556, 16.89, 11.20),
        (500.0, 30.636, 62.56, 3.232, 21.88, 15.07),
        (600.0, 35.247, 57.95, 2.993, 25.54, 18.03),
        (800.0, 40.832, 52.37, 2.700, 30.48, 22.22),
        (1000.0, 43.790, 49.41, 2.544, 33.60, 25.04),
    ];

    /// Codec, loss, Ie, Bpl, Ie,eff, R and MOS at 0 ms, R and MOS at 250 ms.
    type CodecRow = (&'static str, [f64; 8]);
    const CODECS: [CodecRow; 8] = [
        ("G.711", [0.0, 0.0, 4.3, 0.0, 93.20, 4.409, 84.28, 4.175]),
        ("G.711", [1.0, 0.0, 4.3, 17.925, 75.28, 3.834, 66.36, 3.422]),
        ("G.711", [3.0, 0.0, 4.3, 39.041, 54.16, 2.794, 45.24, 2.328]),
        (
            "concealed",
            [1.0, 0.0, 25.1, 3.640, 89.56, 4.328, 80.64, 4.048],
        ),
        (
            "concealed",
            [3.0, 0.0, 25.1, 10.142, 83.06, 4.134, 74.14, 3.785],
        ),
        (
            "G.729A",
            [0.0, 11.0, 19.0, 11.0, 82.20, 4.104, 73.28, 3.747],
        ),
        (
            "G.729A",
            [1.0, 11.0, 19.0, 15.200, 78.00, 3.946, 69.08, 3.554],
        ),
        (
            "G.729A",
            [3.0, 11.0, 19.0, 22.455, 70.75, 3.632, 61.83, 3.194],
        ),
    ];

    #[test]
    fn delay_rows_are_as_published() {
        let none = |ms: f64| rating(ms, 0.0, 0.0, 4.3, Sensitivity::Default).unwrap();
        for (ms, idd, r, opinion, low, very_low) in DELAYS {
            let name = format!("{ms} ms");
            let of = |class| delay_impairment(ms, class).unwrap();
            let fine = [
                (name.as_str(), of(Sensitivity::Default), idd),
                (name.as_str(), mos(none(ms)), opinion),
            ];
            agrees(SOURCE, 0.000_51, &fine);
            let coarse = [
                (name.as_str(), none(ms), r),
                (name.as_str(), of(Sensitivity::Low), low),
                (name.as_str(), of(Sensitivity::VeryLow), very_low),
            ];
            agrees(SOURCE, 0.005_1, &coarse);
        }
    }

    #[test]
    fn codec_rows_are_as_published() {
        for (name, [loss, ie, bpl, effective, r0, mos0, r250, mos250]) in CODECS {
            let of = |ms: f64| rating(ms, ie, loss, bpl, Sensitivity::Default).unwrap();
            let ours = effective_impairment(ie, bpl, loss, 1.0).unwrap();
            let fine = [
                (name, ours, effective),
                (name, mos(of(0.0)), mos0),
                (name, mos(of(250.0)), mos250),
            ];
            agrees(SOURCE, 0.000_51, &fine);
            let coarse = [(name, of(0.0), r0), (name, of(250.0), r250)];
            agrees(SOURCE, 0.005_1, &coarse);
        }
    }

    #[test]
    fn opinion_scores_are_as_published() {
        let rows = [
            ("50", mos(50.0), 2.575),
            ("60", mos(60.0), 3.100),
            ("70", mos(70.0), 3.597),
            ("80", mos(80.0), 4.024),
            ("90", mos(90.0), 4.339),
            ("93.2", mos(93.2), 4.409),
        ];
        agrees("ITU-T G.107 (06/2015), Annex B", 0.000_51, &rows);
        let ends = [
            ("bottom", mos(-5.0), 1.0),
            ("zero", mos(0.0), 1.0),
            ("dip held", mos(3.0), 1.0),
            ("top", mos(100.0), 4.5),
            ("beyond", mos(120.0), 4.5),
        ];
        agrees("ITU-T G.107 (06/2015), Annex B", 0.0, &ends);
    }

    #[test]
    fn the_popular_shortcut_is_another_formula() {
        let shortcut = |d: f64| 0.024 * d + 0.11 * (d - 177.3).max(0.0);
        let ours = delay_impairment(400.0, Sensitivity::Default).unwrap();
        let rows = [
            ("shortcut at 400 ms", shortcut(400.0), 34.1),
            ("recommendation at 400 ms", ours, 24.1),
        ];
        agrees("the shortcut, as printed in public code", 0.051, &rows);
        assert!((shortcut(400.0) - ours).abs() > 9.0);
    }

    #[test]
    fn advantage_factors_are_as_published() {
        let rows = [
            ("wired", Access::Wired.advantage(), 0.0),
            ("building", Access::InBuilding.advantage(), 5.0),
            ("vehicle", Access::Vehicle.advantage(), 10.0),
            ("hard to reach", Access::HardToReach.advantage(), 20.0),
        ];
        agrees("ITU-T G.107, advantage table, from memory", 0.0, &rows);
    }

    #[test]
    fn bands_are_as_published() {
        // ITU-T G.109, from memory.
        for (low, high, word) in [
            (90.0, 100.0, "best"),
            (80.0, 89.99, "high"),
            (70.0, 79.99, "medium"),
            (60.0, 69.99, "low"),
            (50.0, 59.99, "poor"),
            (-20.0, 49.99, "not recommended"),
        ] {
            assert_eq!(quality(low).word(), word);
            assert_eq!(quality(high).word(), word);
        }
        assert_eq!(quality(f64::NAN), Quality::NotRecommended);
    }

    #[test]
    fn more_delay_or_loss_is_never_better() {
        let classes = [Sensitivity::Default, Sensitivity::Low, Sensitivity::VeryLow];
        for class in classes {
            let mut before = f64::INFINITY;
            for step in 0..2000_u32 {
                let now = rating(f64::from(step) * 2.0, 0.0, 0.0, 4.3, class).unwrap();
                assert!(now <= before + 1e-9, "{class:?}, {step}");
                before = now;
            }
        }
        let mut before = -1.0;
        for loss in 0..=100_u32 {
            let now = effective_impairment(10.0, 19.0, f64::from(loss), 1.0).unwrap();
            let in_bursts = effective_impairment(10.0, 19.0, f64::from(loss), 2.0).unwrap();
            assert!(now > before && in_bursts >= now, "{loss} %");
            before = now;
        }
        let scores: Vec<f64> = (0..=1000).map(|r| mos(f64::from(r) / 10.0)).collect();
        assert!(scores.is_sorted());
    }

    #[test]
    fn nonsense_is_refused() {
        let class = Sensitivity::Default;
        for bad in [f64::NAN, f64::INFINITY, -1.0, 60_001.0] {
            assert!(delay_impairment(bad, class).is_err());
            assert!(rating(bad, 0.0, 0.0, 4.3, class).is_err());
        }
        for bad in [f64::NAN, -0.1, 100.1] {
            assert!(rating(0.0, 0.0, bad, 4.3, class).is_err());
            assert!(rating(0.0, bad, 0.0, 4.3, class).is_err());
            assert!(effective_impairment(0.0, 4.3, 1.0, bad).is_err());
        }
        assert!(rating(0.0, 0.0, 0.0, 0.0, class).is_err());
    }
}
