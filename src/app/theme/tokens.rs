//! The colour tokens, light and dark, as data.
//!
//! The hues start from the colour-blind-safe set of Okabe and Ito and are darkened or lightened
//! until text and lines keep a contrast of at least 4.5 to 1 on their ground.

use egui::Color32;

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
    /// Whether this is the dark theme.
    pub dark: bool,
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
    /// Talk groups, by number in turn.
    pub buses: [Color32; 4],
    /// Shadow under cards.
    pub shadow: Color32,
    /// Veil behind dialogs.
    pub veil: Color32,
}

impl Tokens {
    /// Returns the tokens of a theme.
    pub(crate) fn of(dark: bool) -> &'static Self {
        if dark { &DARK } else { &LIGHT }
    }

    /// Returns the colour of the line of a channel, by its turn.
    pub(crate) fn channel(&self, turn: usize) -> Color32 {
        self.channels
            .get(turn % self.channels.len())
            .copied()
            .unwrap_or(self.soft)
    }

    /// Returns the colour of a talk group, by its number.
    pub(crate) fn bus(&self, number: u8) -> Color32 {
        self.buses
            .get((usize::from(number).max(1) - 1) % self.buses.len())
            .copied()
            .unwrap_or(self.soft)
    }
}

#[expect(
    clippy::disallowed_methods,
    reason = "this is the one place where colours are written down"
)]
const fn hex(rgb: u32) -> Color32 {
    Color32::from_rgb((rgb >> 16) as u8, (rgb >> 8) as u8, rgb as u8)
}

const fn pair(ink: u32, ground: u32) -> Pair {
    Pair {
        ink: hex(ink),
        ground: hex(ground),
    }
}

static LIGHT: Tokens = Tokens {
    dark: false,
    canvas: hex(0x00f2_f0ea),
    dot: hex(0x00d9_d5ca),
    panel: hex(0x00fb_faf7),
    panel_edge: hex(0x00e2_ded5),
    sunken: hex(0x00f1_eee8),
    card: hex(0x00ff_ffff),
    card_edge: hex(0x00d3_cec3),
    hover: hex(0x00ee_ebe4),
    group: hex(0x00ea_e7df),
    group_edge: hex(0x00d8_d3c8),
    text: hex(0x001d_2430),
    soft: hex(0x004c_5463),
    faint: hex(0x0065_6c79),
    accent: pair(0x0012_5d86, 0x00d9_eaf4),
    on_accent: hex(0x00ff_ffff),
    stops: pair(0x00a8_3c12, 0x00fa_e6dc),
    warns: pair(0x007c_5800, 0x00f8_edcb),
    notes: pair(0x0012_5d86, 0x00de_edf6),
    good: pair(0x0000_6b50, 0x00d8_f0e8),
    channels: [
        hex(0x0000_6ba8),
        hex(0x00bf_5000),
        hex(0x0000_7d5c),
        hex(0x00a0_4a78),
        hex(0x0085_6500),
        hex(0x0055_58a6),
        hex(0x0019_7f99),
        hex(0x0061_6874),
    ],
    buses: [
        hex(0x0030_4a78),
        hex(0x009a_4a1c),
        hex(0x0016_6b5a),
        hex(0x006d_4785),
    ],
    shadow: Color32::from_black_alpha(26),
    veil: Color32::from_black_alpha(90),
};

static DARK: Tokens = Tokens {
    dark: true,
    canvas: hex(0x0011_151b),
    dot: hex(0x0026_2e39),
    panel: hex(0x0018_1d25),
    panel_edge: hex(0x002a_323e),
    sunken: hex(0x0011_161d),
    card: hex(0x0020_2731),
    card_edge: hex(0x0038_4352),
    hover: hex(0x0028_303c),
    group: hex(0x0016_1b23),
    group_edge: hex(0x002b_3440),
    text: hex(0x00e9_ebef),
    soft: hex(0x00b1_b9c6),
    faint: hex(0x0092_9cac),
    accent: pair(0x006c_bdec, 0x001c_3648),
    on_accent: hex(0x000b_1219),
    stops: pair(0x00f6_976b, 0x003b_241b),
    warns: pair(0x00e9_c158, 0x0036_2d16),
    notes: pair(0x0078_bfea, 0x0019_3040),
    good: pair(0x0053_cfa8, 0x0014_352c),
    channels: [
        hex(0x0056_b4e9),
        hex(0x00f0_8e50),
        hex(0x0036_c59b),
        hex(0x00e0_8fbe),
        hex(0x00e2_c148),
        hex(0x00a3_a8f2),
        hex(0x0066_cfdd),
        hex(0x00b1_b9c6),
    ],
    buses: [
        hex(0x008f_adde),
        hex(0x00ea_a070),
        hex(0x006a_cdb3),
        hex(0x00c9_a2dd),
    ],
    shadow: Color32::from_black_alpha(110),
    veil: Color32::from_black_alpha(150),
};

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
        for t in [Tokens::of(false), Tokens::of(true)] {
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
}
