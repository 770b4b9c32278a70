//! How fast a message moves on screen. It slows the clock of the talk and nothing else.

/// A speed of the talk.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub(super) enum Pace {
    /// As on the air.
    #[default]
    Full,
    /// Half as fast.
    Half,
    /// A quarter.
    Quarter,
    /// A tenth.
    Tenth,
    /// A twentieth: 250 ms take five seconds.
    Twentieth,
}

impl Pace {
    /// Every pace, the slowest first.
    pub(super) const ALL: [Self; 5] = [
        Self::Twentieth,
        Self::Tenth,
        Self::Quarter,
        Self::Half,
        Self::Full,
    ];

    /// Returns how many seconds of the talk pass in a second of the window's clock.
    pub(super) fn factor(self) -> f64 {
        match self {
            Self::Full => 1.0,
            Self::Half => 0.5,
            Self::Quarter => 0.25,
            Self::Tenth => 0.1,
            Self::Twentieth => 0.05,
        }
    }

    /// Returns it as people write it.
    pub(super) fn words(self) -> &'static str {
        match self {
            Self::Full => "1×",
            Self::Half => "1/2",
            Self::Quarter => "1/4",
            Self::Tenth => "1/10",
            Self::Twentieth => "1/20",
        }
    }

    /// Returns the pace so many steps faster; slower where `by` is negative.
    pub(super) fn step(self, by: isize) -> Self {
        let here = self.place();
        let most = Self::ALL.len().saturating_sub(1);
        let at = here.saturating_add_signed(by).min(most);
        Self::ALL.get(at).copied().unwrap_or_default()
    }

    /// Returns its place in [`Pace::ALL`].
    pub(super) fn place(self) -> usize {
        Self::ALL.iter().position(|p| *p == self).unwrap_or(0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_end_at_both_ends() {
        assert_eq!(Pace::Full.step(1), Pace::Full);
        assert_eq!(Pace::Full.step(-1), Pace::Half);
        assert_eq!(Pace::Twentieth.step(-1), Pace::Twentieth);
        assert!(Pace::ALL.is_sorted_by(|a, b| a.factor() < b.factor()));
    }
}
