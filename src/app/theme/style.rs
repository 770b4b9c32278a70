//! The tokens applied to the toolkit's own widgets.

use egui::style::{ScrollStyle, Selection, WidgetVisuals, Widgets};
use egui::{
    Context, CornerRadius, FontFamily, FontId, Margin, Shadow, Stroke, Style, TextStyle, Theme,
    Visuals, vec2,
};

use super::tokens::{Colours, Tokens};
use super::{fonts, semibold};

/// Sets faces and styles; call once at the start.
pub fn install(ctx: &Context) {
    fonts::install(ctx);
    // The program's own commands do that, and remember it.
    ctx.options_mut(|o| o.zoom_with_keyboard = false);
    dress(ctx, Colours::Light, false);
}

/// Shows a set of colours, with controls large enough for fingers and gloves where `touch` asks for it.
pub(crate) fn dress(ctx: &Context, colours: Colours, touch: bool) {
    let tokens = Tokens::of(colours);
    let slot = if tokens.dark {
        Theme::Dark
    } else {
        Theme::Light
    };
    ctx.set_theme(slot);
    ctx.style_mut_of(slot, |style| apply(style, tokens, touch));
}

fn apply(style: &mut Style, t: &Tokens, touch: bool) {
    style.text_styles = [
        (TextStyle::Heading, semibold(17.0)),
        (TextStyle::Body, FontId::new(13.5, FontFamily::Proportional)),
        (
            TextStyle::Button,
            FontId::new(13.5, FontFamily::Proportional),
        ),
        (
            TextStyle::Small,
            FontId::new(11.5, FontFamily::Proportional),
        ),
        (
            TextStyle::Monospace,
            FontId::new(12.5, FontFamily::Monospace),
        ),
    ]
    .into();
    let (gap, padding, least) = if touch {
        (vec2(10.0, 11.0), vec2(14.0, 11.0), vec2(46.0, 44.0))
    } else {
        (vec2(8.0, 8.0), vec2(10.0, 5.0), vec2(32.0, 28.0))
    };
    style.spacing.item_spacing = gap;
    style.spacing.button_padding = padding;
    style.spacing.interact_size = least;
    style.spacing.menu_margin = Margin::same(8);
    style.spacing.window_margin = Margin::same(20);
    style.spacing.icon_width = 16.0;
    style.spacing.icon_width_inner = 10.0;
    style.spacing.combo_width = 120.0;
    style.spacing.tooltip_width = 360.0;
    style.spacing.scroll = if touch {
        ScrollStyle::solid()
    } else {
        ScrollStyle::thin()
    };
    style.interaction.tooltip_delay = 0.35;
    style.interaction.selectable_labels = false;
    style.animation_time = 0.1;
    style.visuals = visuals(t);
}

fn visuals(t: &Tokens) -> Visuals {
    let base = if t.dark {
        Visuals::dark()
    } else {
        Visuals::light()
    };
    let widget = |fill, edge, ink| WidgetVisuals {
        bg_fill: fill,
        weak_bg_fill: fill,
        bg_stroke: Stroke::new(1.0, edge),
        corner_radius: CornerRadius::same(7),
        fg_stroke: Stroke::new(1.2, ink),
        expansion: 0.0,
    };
    Visuals {
        dark_mode: t.dark,
        weak_text_color: Some(t.faint),
        widgets: Widgets {
            noninteractive: widget(t.panel, t.panel_edge, t.text),
            inactive: widget(t.card, t.card_edge, t.text),
            hovered: widget(t.hover, t.soft, t.text),
            active: widget(t.accent.ground, t.accent.ink, t.text),
            open: widget(t.hover, t.accent.ink, t.text),
        },
        selection: Selection {
            bg_fill: t.accent.ground,
            stroke: Stroke::new(1.2, t.accent.ink),
        },
        hyperlink_color: t.accent.ink,
        faint_bg_color: t.sunken,
        extreme_bg_color: t.sunken,
        text_edit_bg_color: Some(t.card),
        code_bg_color: t.sunken,
        warn_fg_color: t.warns.ink,
        error_fg_color: t.stops.ink,
        window_corner_radius: CornerRadius::same(14),
        window_fill: t.panel,
        window_stroke: Stroke::new(1.0, t.panel_edge),
        window_shadow: Shadow {
            offset: [0, 12],
            blur: 40,
            spread: 0,
            color: t.shadow,
        },
        menu_corner_radius: CornerRadius::same(10),
        popup_shadow: Shadow {
            offset: [0, 6],
            blur: 20,
            spread: 0,
            color: t.shadow,
        },
        panel_fill: t.panel,
        indent_has_left_vline: false,
        ..base
    }
}
