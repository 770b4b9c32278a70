//! What is true of one ordered pair, and the one word for it: the worst of all that is true. Must not
//! know of the rest of the scenario.

use crate::engineering::timing::delay_class::NOTICEABLE_UP_TO_MS;
use crate::hearing::Arrival;
use crate::model::Need;

/// How one party sounds to another.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sound {
    /// Heard, and nothing is wrong with it.
    Heard,
    /// Heard, and the hearer has no way back although it could send.
    OneWay,
    /// Heard without the start of the message.
    Clipped,
    /// Heard by a scanning receiver only.
    ByScan,
    /// Heard later than the need accepts, or than ITU-T G.114 allows where no need says so.
    Late,
    /// Heard in clear where a need must stay encrypted, or where the message began encrypted.
    InClear,
    /// Not heard.
    Silent,
}

impl Sound {
    /// All, from good to bad.
    pub const ALL: [Self; 7] = [
        Self::Heard,
        Self::OneWay,
        Self::Clipped,
        Self::ByScan,
        Self::Late,
        Self::InClear,
        Self::Silent,
    ];

    /// Returns its word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Heard => "heard",
            Self::OneWay => "one-way",
            Self::Clipped => "start lost",
            Self::ByScan => "by scan",
            Self::Late => "late",
            Self::InClear => "in clear",
            Self::Silent => "not heard",
        }
    }
}

/// What is asked of a pair.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Asked {
    /// Every hop must stay encrypted.
    pub encrypted: bool,
    /// Longest delay from mouth to ear, in milliseconds.
    pub limit_ms: u32,
}

impl Default for Asked {
    fn default() -> Self {
        Self {
            encrypted: false,
            limit_ms: NOTICEABLE_UP_TO_MS as u32,
        }
    }
}

impl Asked {
    /// Returns what a need asks of each of its pairs.
    pub fn by(need: &Need) -> Self {
        Self {
            encrypted: need.encrypted,
            limit_ms: need.max_delay_ms.unwrap_or(Self::default().limit_ms),
        }
    }

    /// Returns the strictest of both.
    pub(super) fn and(self, other: Self) -> Self {
        Self {
            encrypted: self.encrypted || other.encrypted,
            limit_ms: self.limit_ms.min(other.limit_ms),
        }
    }
}

/// All that is true of one ordered pair.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Facts {
    /// What arrives, if anything does.
    pub arrival: Option<Arrival>,
    /// It is heard, and the hearer has no way back although it could send.
    pub one_way: bool,
    /// It begins encrypted and leaves in clear on the way.
    pub opened: bool,
}

impl Facts {
    /// Lists every word that is true of the pair, worst first; never empty.
    pub fn words(&self, asked: Asked) -> Vec<Sound> {
        let Some(arrival) = self.arrival else {
            return vec![Sound::Silent];
        };
        let in_clear = self.opened || (asked.encrypted && !arrival.encrypted);
        let all = [
            (Sound::InClear, in_clear),
            (Sound::Late, arrival.delay_ms > asked.limit_ms),
            (Sound::ByScan, arrival.by_scan),
            (Sound::Clipped, arrival.clipped_ms > 0),
            (Sound::OneWay, self.one_way),
        ];
        let mut words: Vec<Sound> = all.iter().filter(|(_, is)| *is).map(|(s, _)| *s).collect();
        if words.is_empty() {
            words.push(Sound::Heard);
        }
        words
    }

    /// Returns the worst word that is true of the pair.
    pub fn sound(&self, asked: Asked) -> Sound {
        self.words(asked).first().copied().unwrap_or(Sound::Silent)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn arrival(delay_ms: u32, clipped_ms: u32) -> Arrival {
        Arrival {
            by_scan: false,
            delay_ms,
            clipped_ms,
            codec_passes: 0,
            encrypted: false,
        }
    }

    fn scanned(delay_ms: u32, clipped_ms: u32) -> Arrival {
        Arrival {
            by_scan: true,
            ..arrival(delay_ms, clipped_ms)
        }
    }

    fn facts(arrival: Option<Arrival>) -> Facts {
        Facts {
            arrival,
            one_way: false,
            opened: false,
        }
    }

    #[test]
    fn a_pair_is_called_by_the_worst_that_is_true_of_it() {
        let plain = Asked::default();
        let secret = Asked {
            encrypted: true,
            ..plain
        };
        let quick = Asked {
            limit_ms: 100,
            ..plain
        };
        let one_way = Facts {
            one_way: true,
            ..facts(Some(arrival(50, 0)))
        };
        let opened = Facts {
            opened: true,
            ..facts(Some(scanned(900, 80)))
        };
        for (facts, asked, expected) in [
            (facts(None), plain, Sound::Silent),
            (facts(Some(arrival(400, 0))), plain, Sound::Heard),
            (facts(Some(arrival(401, 0))), plain, Sound::Late),
            (facts(Some(scanned(101, 9))), quick, Sound::Late),
            (facts(Some(scanned(100, 9))), quick, Sound::ByScan),
            (facts(Some(arrival(0, 1))), plain, Sound::Clipped),
            (facts(Some(arrival(0, 0))), secret, Sound::InClear),
            (
                facts(Some(Arrival {
                    encrypted: true,
                    ..arrival(0, 0)
                })),
                secret,
                Sound::Heard,
            ),
            (one_way, plain, Sound::OneWay),
            (opened, plain, Sound::InClear),
        ] {
            assert_eq!(facts.sound(asked), expected, "{facts:?} {asked:?}");
        }
    }

    #[test]
    fn every_word_that_is_true_is_listed_worst_first() {
        let all = Facts {
            arrival: Some(scanned(900, 80)),
            one_way: true,
            opened: true,
        };
        let words = all.words(Asked::default());
        let expected = [
            Sound::InClear,
            Sound::Late,
            Sound::ByScan,
            Sound::Clipped,
            Sound::OneWay,
        ];
        assert_eq!(words, expected);
        assert!(words.windows(2).all(|w| w[0] > w[1]), "worst first");
    }

    #[test]
    fn the_strictest_of_two_needs_counts() {
        let one = Asked {
            encrypted: true,
            limit_ms: 500,
        };
        let two = Asked {
            encrypted: false,
            limit_ms: 300,
        };
        let both = Asked {
            encrypted: true,
            limit_ms: 300,
        };
        assert_eq!(one.and(two), both);
        assert_eq!(two.and(one), both);
    }
}
