//! One line of text in little room: what does not fit gives way in the middle, since names of units, radios
//! and talk groups begin alike and end with what tells them apart.

use std::sync::Arc;

use egui::text::{LayoutJob, TextWrapping};
use egui::{Color32, FontId, Galley, Painter};

/// Share of the room that the end of a name may take.
const END: f32 = 0.5;

/// Lays out one line of text, with dots in its middle where it does not fit a width in window points.
pub(crate) fn elided(
    painter: &Painter,
    text: &str,
    font: FontId,
    ink: Color32,
    width: f32,
) -> Arc<Galley> {
    // The room changes with every step of the scale; text that fits is the same in any room.
    let whole = laid_out(painter, text.to_owned(), font.clone(), ink, f32::INFINITY);
    if whole.size().x <= width {
        return whole;
    }
    shortened_to(painter, &whole, font, ink, width)
}

/// Lays out one line of text, which ends in dots where it does not fit a width in window points.
pub(crate) fn laid_out(
    painter: &Painter,
    text: String,
    font: FontId,
    ink: Color32,
    width: f32,
) -> Arc<Galley> {
    let mut job = LayoutJob::simple_singleline(text, font, ink);
    job.wrap = TextWrapping {
        break_anywhere: true,
        ..TextWrapping::truncate_at_width(width)
    };
    painter.layout_job(job)
}

/// Lays a line of text out again with dots in its middle, so that it fits a width in window points.
pub(crate) fn shortened_to(
    painter: &Painter,
    whole: &Galley,
    font: FontId,
    ink: Color32,
    width: f32,
) -> Arc<Galley> {
    // Dots are about as wide as the letters are high.
    let short = shortened(whole, width - font.size);
    let text = short.unwrap_or_else(|| whole.text().to_owned());
    laid_out(painter, text, font, ink, width.max(1.0))
}

/// Takes letters out of the middle until both ends fit a room; `None` where too little would be left.
fn shortened(whole: &Galley, room: f32) -> Option<String> {
    let glyphs = &whole.rows.first()?.row.glyphs;
    let end_at = glyphs.last().map(|g| g.pos.x + g.advance_width)?;
    let tail = glyphs
        .iter()
        .rposition(|g| end_at - g.pos.x > room * END)
        .map_or(0, |i| i + 1);
    // A word that is cut says less than the number after it alone.
    let begins = |i: &usize| glyphs.get(i.wrapping_sub(1)).is_some_and(|g| g.chr == ' ');
    let word = (tail..glyphs.len()).find(begins);
    let tail = word.filter(|i| glyphs.len() - i >= 2).unwrap_or(tail);
    let left = room - (end_at - glyphs.get(tail)?.pos.x);
    let head = glyphs
        .iter()
        .position(|g| g.pos.x + g.advance_width > left)
        .unwrap_or(tail);
    if head < 2 || tail >= glyphs.len() {
        return None;
    }
    let text =
        |range: &[egui::epaint::text::Glyph]| -> String { range.iter().map(|g| g.chr).collect() };
    let (head, tail) = (text(glyphs.get(..head)?), text(glyphs.get(tail..)?));
    Some(format!("{}…{tail}", head.trim_end()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(text: &str, width: f32) -> String {
        let mut said = String::new();
        let ctx = egui::Context::default();
        let mut output = ctx.run_ui(egui::RawInput::default(), |ui| {
            let font = FontId::proportional(12.0);
            let galley = elided(ui.painter(), text, font, Color32::WHITE, width);
            assert!(galley.size().x <= width.max(30.0), "{text} in {width}");
            let glyphs = galley.rows.iter().flat_map(|row| &row.row.glyphs);
            said = glyphs.map(|g| g.chr).collect();
        });
        // Nobody draws it.
        output.textures_delta.clear();
        said
    }

    #[test]
    fn the_number_at_the_end_stays() {
        assert_eq!(shown("Engine 9", 200.0), "Engine 9");
        let short = shown("Harrow Fire Department Portable VHF 12", 110.0);
        assert!(short.starts_with("Ha") && short.ends_with("12"), "{short}");
        assert!(short.contains('…'), "{short}");
        let other = shown("Harrow Fire Department Portable VHF 13", 110.0);
        assert_ne!(short, other);
    }

    #[test]
    fn in_hardly_any_room_the_beginning_stays() {
        let short = shown("Harrow Fire Department", 24.0);
        assert!(short.starts_with('H') && short.ends_with('…'), "{short}");
    }
}
