//! The four sets of colours, colour by colour. Nothing else in the program writes a colour down.

use egui::Color32;

use super::tokens::{Pair, Tokens};

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

pub(super) static LIGHT: Tokens = Tokens {
    dark: false,
    weight: 1.0,
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
    faint: hex(0x005e_6572),
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

pub(super) static DARK: Tokens = Tokens {
    dark: true,
    weight: 1.0,
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

pub(super) static SUNLIGHT: Tokens = Tokens {
    dark: false,
    weight: 1.35,
    canvas: hex(0x00ff_ffff),
    dot: hex(0x00c4_c4c4),
    panel: hex(0x00ff_ffff),
    panel_edge: hex(0x0040_4040),
    sunken: hex(0x00f2_f2f2),
    card: hex(0x00ff_ffff),
    card_edge: hex(0x0020_2020),
    hover: hex(0x00e8_e8e8),
    group: hex(0x00f6_f6f6),
    group_edge: hex(0x0030_3030),
    text: hex(0x0000_0000),
    soft: hex(0x0016_1616),
    faint: hex(0x0030_3030),
    accent: pair(0x0000_3a66, 0x00cf_e6ff),
    on_accent: hex(0x00ff_ffff),
    stops: pair(0x008a_1000, 0x00ff_e4da),
    warns: pair(0x0052_3700, 0x00ff_f0b8),
    notes: pair(0x0000_3a66, 0x00dc_ecff),
    good: pair(0x0000_432c, 0x00d2_f5e4),
    channels: [
        hex(0x0000_4a80),
        hex(0x007d_3000),
        hex(0x0000_553a),
        hex(0x0074_205a),
        hex(0x0054_4000),
        hex(0x0033_338a),
        hex(0x0000_5268),
        hex(0x0033_3c48),
    ],
    buses: [
        hex(0x001c_3560),
        hex(0x007a_3000),
        hex(0x0000_4d40),
        hex(0x0052_1f70),
    ],
    shadow: Color32::from_black_alpha(0),
    veil: Color32::from_black_alpha(120),
};

pub(super) static NIGHT: Tokens = Tokens {
    dark: true,
    weight: 1.0,
    canvas: hex(0x000a_0100),
    dot: hex(0x002c_0c06),
    panel: hex(0x0012_0302),
    panel_edge: hex(0x003a_1008),
    sunken: hex(0x000c_0201),
    card: hex(0x001a_0603),
    card_edge: hex(0x0058_190c),
    hover: hex(0x0020_0704),
    group: hex(0x0010_0201),
    group_edge: hex(0x003d_1209),
    text: hex(0x00ee_7a55),
    soft: hex(0x00dc_6a48),
    faint: hex(0x00cc_5c3c),
    accent: pair(0x00ff_8f58, 0x0032_1008),
    on_accent: hex(0x0012_0302),
    stops: pair(0x00ff_7a50, 0x003a_0c06),
    warns: pair(0x00ff_a548, 0x002c_1204),
    notes: pair(0x00e8_7854, 0x0024_0905),
    good: pair(0x00f0_a058, 0x002a_1206),
    channels: [
        hex(0x00ff_7a50),
        hex(0x00ff_a040),
        hex(0x00e8_6a58),
        hex(0x00f0_a058),
        hex(0x00d8_6838),
        hex(0x00ff_8c70),
        hex(0x00e0_904c),
        hex(0x00c8_6a50),
    ],
    buses: [
        hex(0x00ff_8a5c),
        hex(0x00f4_a850),
        hex(0x00e0_7a60),
        hex(0x00f0_986c),
    ],
    shadow: Color32::from_black_alpha(160),
    veil: Color32::from_black_alpha(170),
};
