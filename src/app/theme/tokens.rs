//! The colour tokens, light and dark, as data.
//!
//! The hues start from the colour-blind-safe set of Okabe and Ito and are darkened or lightened
//! until text and lines keep a contrast of at least 4.5 to 1 on their ground.

use egui::Color32;

use super::colours;

/// The sets of colours to choose from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub(crate) enum Colours {
    /// For a room by day.
    #[default]
    Light,
    /// For a room by night.
    Dark,
    /// For a screen in the sun: the highest contrast, wider lines.
    Sunlight,
    /// For eyes that must stay used to the dark: dim, and red in all.
    Night,
}

impl Colours {
    /// Every set of colours, in the order in which they follow each other.
    pub(crate) const ALL: [Self; 4] = [Self::Light, Self::Dark, Self::Sunlight, Self::Night];

    /// Returns the word for it, as it is remembered.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Light => "light",
            Self::Dark => "dark",
            Self::Sunlight => "sunlight",
            Self::Night => "night",
        }
    }

    /// Returns the set of a word.
    pub(crate) fn of_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|p| p.word() == word)
    }

    /// Returns the one that follows.
    pub(crate) fn next(self) -> Self {
        match self {
            Self::Light => Self::Dark,
            Self::Dark => Self::Sunlight,
            Self::Sunlight => Self::Night,
            Self::Night => Self::Light,
        }
    }
}

/// How lines are dashed by turns, in window points: no two alike, and neighbours as unlike as can be.
const DASHES: &[&[f32]] = &[
    &[],
    &[14.0, 6.0],
    &[3.0, 5.0],
    &[16.0, 5.0, 3.0, 5.0],
    &[7.0, 7.0],
    &[28.0, 6.0],
    &[16.0, 5.0, 3.0, 5.0, 3.0, 5.0],
    &[7.0, 4.0, 2.0, 4.0],
];

/// A colour for ink and the ground it stands on.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Pair {
    /// For text, signs and lines.
    pub ink: Color32,
    /// For the surface behind them.
    pub ground: Color32,
}

/// All colours of one theme.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Tokens {
    /// Whether light ink stands on dark ground.
    pub dark: bool,
    /// How much wider lines are drawn than usual.
    pub weight: f32,
    /// Ground of the board.
    pub canvas: Color32,
    /// Dots of the board's grid.
    pub dot: Color32,
    /// Ground of panels.
    pub panel: Color32,
    /// Lines between panels.
    pub panel_edge: Color32,
    /// Ground of fields and wells.
    pub sunken: Color32,
    /// Ground of cards.
    pub card: Color32,
    /// Outline of cards.
    pub card_edge: Color32,
    /// Ground under the pointer.
    pub hover: Color32,
    /// Ground of an agency's or system's frame.
    pub group: Color32,
    /// Outline of such a frame.
    pub group_edge: Color32,
    /// Text.
    pub text: Color32,
    /// Text of second rank.
    pub soft: Color32,
    /// Text of third rank, still readable.
    pub faint: Color32,
    /// The one accent: what can be done, what is selected.
    pub accent: Pair,
    /// Ink on a ground of accent ink.
    pub on_accent: Color32,
    /// Findings that stop.
    pub stops: Pair,
    /// Findings that warn.
    pub warns: Pair,
    /// Findings that note.
    pub notes: Pair,
    /// What is heard, joined, in order.
    pub good: Pair,
    /// Lines, by channel in turn.
    pub channels: [Color32; 8],
    /// Whether the colours of channels are so near to each other that their lines are told apart by dashes.
    pub dashed: bool,
    /// Talk groups, by number in turn.
    pub buses: [Color32; 4],
    /// Shadow under cards.
    pub shadow: Color32,
    /// Veil behind dialogs.
    pub veil: Color32,
}

impl Tokens {
    /// Returns the tokens of a set of colours.
    pub(crate) fn of(colours: Colours) -> &'static Self {
        match colours {
            Colours::Light => &colours::LIGHT,
            Colours::Dark => &colours::DARK,
            Colours::Sunlight => &colours::SUNLIGHT,
            Colours::Night => &colours::NIGHT,
        }
    }

    /// Returns the colour of the line of a channel, by its turn.
    pub(crate) fn channel(&self, turn: usize) -> Color32 {
        self.channels
            .get(turn % self.channels.len())
            .copied()
            .unwrap_or(self.soft)
    }

    /// Returns how the line of a channel is dashed, by its turn, as lengths drawn and left out by turns;
    /// empty for a whole line.
    pub(crate) fn dashes(&self, turn: usize) -> &'static [f32] {
        let found = DASHES.get(turn % DASHES.len()).filter(|_| self.dashed);
        found.copied().unwrap_or(&[])
    }

    /// Returns the colour of a talk group, by its number.
    pub(crate) fn bus(&self, number: u8) -> Color32 {
        self.buses
            .get((usize::from(number).max(1) - 1) % self.buses.len())
            .copied()
            .unwrap_or(self.soft)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Contrast by WCAG 2.2, from the relative luminance of two opaque colours.
    fn contrast(a: Color32, b: Color32) -> f64 {
        let light = |c: Color32| {
            let channel = |v: u8| {
                let v = f64::from(v) / 255.0;
                if v <= 0.040_45 {
                    v / 12.92
                } else {
                    ((v + 0.055) / 1.055).powf(2.4)
                }
            };
            0.2126 * channel(c.r()) + 0.7152 * channel(c.g()) + 0.0722 * channel(c.b())
        };
        let (a, b) = (light(a), light(b));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    #[test]
    fn text_and_signs_keep_their_contrast() {
        for colours in Colours::ALL {
            let t = Tokens::of(colours);
            for ground in [t.canvas, t.panel, t.sunken, t.card, t.group, t.hover] {
                for ink in [t.text, t.soft, t.faint] {
                    assert!(contrast(ink, ground) >= 4.5, "{ink:?} on {ground:?}");
                }
            }
            for pair in [t.accent, t.stops, t.warns, t.notes, t.good] {
                assert!(contrast(pair.ink, pair.ground) >= 4.5, "{pair:?}");
                assert!(contrast(pair.ink, t.panel) >= 4.5, "{pair:?} on the panel");
            }
            assert!(contrast(t.on_accent, t.accent.ink) >= 4.5);
            for ink in t.channels.into_iter().chain(t.buses) {
                assert!(contrast(ink, t.card) >= 4.5, "{ink:?} on a card");
                assert!(contrast(ink, t.canvas) >= 4.0, "{ink:?} on the board");
            }
        }
    }

    #[test]
    fn where_hues_are_alike_no_two_channels_in_turn_have_the_same_line() {
        let night = Tokens::of(Colours::Night);
        for one in 0..8 {
            for other in 0..one {
                let is_same = night.dashes(one) == night.dashes(other);
                assert!(!is_same, "{one} and {other}");
            }
            assert!(Tokens::of(Colours::Light).dashes(one).is_empty());
        }
    }

    #[test]
    fn sunlight_has_the_contrast_that_glare_asks_for() {
        // WCAG 2.2, success criterion 1.4.6: 7 to 1 for text.
        let t = Tokens::of(Colours::Sunlight);
        for ground in [t.canvas, t.panel, t.sunken, t.card, t.group, t.hover] {
            for ink in [t.text, t.soft, t.faint] {
                assert!(contrast(ink, ground) >= 7.0, "{ink:?} on {ground:?}");
            }
        }
        for pair in [t.accent, t.stops, t.warns, t.notes, t.good] {
            assert!(contrast(pair.ink, pair.ground) >= 7.0, "{pair:?}");
        }
        for ink in t.channels.into_iter().chain(t.buses) {
            assert!(contrast(ink, t.card) >= 7.0, "{ink:?} on a card");
        }
    }

    #[test]
    fn night_is_red_in_all_and_dim() {
        let t = Tokens::of(Colours::Night);
        let pairs = [t.accent, t.stops, t.warns, t.notes, t.good];
        let grounds = [
            t.canvas,
            t.dot,
            t.panel,
            t.panel_edge,
            t.sunken,
            t.card,
            t.card_edge,
            t.hover,
            t.group,
            t.group_edge,
        ];
        let grounds = grounds.into_iter().chain(pairs.map(|p| p.ground));
        for ground in grounds {
            assert!(ground.r() >= ground.g() && ground.r() >= ground.b());
            assert!(contrast(ground, Color32::BLACK) < 2.0, "{ground:?} glows");
        }
        let inks = [t.text, t.soft, t.faint, t.on_accent].into_iter();
        let inks = inks
            .chain(pairs.map(|p| p.ink))
            .chain(t.channels)
            .chain(t.buses);
        for ink in inks {
            let (r, g, b) = (u32::from(ink.r()), u32::from(ink.g()), u32::from(ink.b()));
            assert!(g * 10 <= r * 7 && b * 2 <= r, "{ink:?} is not red");
            assert!(contrast(ink, Color32::WHITE) > 1.9, "{ink:?} is bright");
        }
    }
}
