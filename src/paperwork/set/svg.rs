//! A page as SVG: text stays text, in letters the file carries, and keeps its width in a viewer that
//! does not take them.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

use base64::Engine as _;

use super::face::Face;
use super::ink::{Ink, Pen, Step, Tint};
use super::sheet::Page;
use super::subset::subset;

/// Writes a page.
pub fn write(page: &Page, title: &str) -> String {
    let mut out = String::new();
    let (w, h) = (number(page.size.x), number(page.size.y));
    let title = escaped(title);
    // Writing to a string cannot fail.
    let _ok = write!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}pt\" height=\"{h}pt\" \
         viewBox=\"0 0 {w} {h}\">\n<title>{title}</title>\n\
         <rect width=\"{w}\" height=\"{h}\" fill=\"#ffffff\"/>\n"
    );
    out.push_str(&letters(page));
    for ink in page.items.iter().flat_map(|item| &item.inks) {
        element(&mut out, ink);
    }
    out.push_str("</svg>\n");
    out
}

/// The letters of a page, as fonts inside the file.
fn letters(page: &Page) -> String {
    let mut used: BTreeMap<Face, BTreeSet<u16>> = BTreeMap::new();
    for ink in page.items.iter().flat_map(|item| &item.inks) {
        if let Ink::Text(text) = ink {
            let glyphs = text.line.glyphs.iter().map(|glyph| glyph.id);
            used.entry(text.face).or_default().extend(glyphs);
        }
    }
    let rules = used.into_iter().filter_map(|(face, glyphs)| {
        let weight = match face {
            Face::Regular => "normal",
            Face::Bold => "bold",
        };
        let coded = base64::engine::general_purpose::STANDARD.encode(subset(face, &glyphs)?);
        Some(format!(
            "@font-face {{ font-family: \"{}\"; font-weight: {weight}; \
             src: url(\"data:font/ttf;base64,{coded}\"); }}\n",
            Face::FAMILY
        ))
    });
    let rules: String = rules.collect();
    if rules.is_empty() {
        rules
    } else {
        format!("<style>\n{rules}</style>\n")
    }
}

fn element(out: &mut String, ink: &Ink) {
    match ink {
        Ink::Text(text) => {
            let weight = match text.face {
                Face::Regular => "",
                Face::Bold => " font-weight=\"bold\"",
            };
            let turn = if text.is_turned {
                let (x, y) = (number(text.at.x), number(text.at.y));
                format!(" transform=\"rotate(-90 {x} {y})\"")
            } else {
                String::new()
            };
            let _ok = writeln!(
                out,
                "<text x=\"{}\" y=\"{}\" font-family=\"{}, DejaVu Sans, sans-serif\" \
                 font-stretch=\"condensed\" font-size=\"{}\"{weight} \
                 fill=\"{}\" textLength=\"{}\" lengthAdjust=\"spacingAndGlyphs\"{turn}>{}</text>",
                number(text.at.x),
                number(text.at.y),
                Face::FAMILY,
                number(text.size),
                hex(text.tint),
                number(text.width()),
                escaped(text.line.text.trim_end())
            );
        }
        Ink::Shape { steps, fill, pen } => {
            out.push_str("<path d=\"");
            for step in steps {
                let _ok = match step {
                    Step::Move(p) => write!(out, "M{} {}", number(p.x), number(p.y)),
                    Step::Line(p) => write!(out, "L{} {}", number(p.x), number(p.y)),
                    Step::Curve(a, b, p) => write!(
                        out,
                        "C{} {} {} {} {} {}",
                        number(a.x),
                        number(a.y),
                        number(b.x),
                        number(b.y),
                        number(p.x),
                        number(p.y)
                    ),
                    Step::Close => write!(out, "Z"),
                };
            }
            let fill = fill.map_or_else(|| "none".to_owned(), hex);
            let _ok = writeln!(
                out,
                "\" fill=\"{fill}\"{}/>",
                pen.map(stroke).unwrap_or_default()
            );
        }
        Ink::Picture { rect, logo } => {
            let _ok = writeln!(
                out,
                "<image x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" href=\"{}\"/>",
                number(rect.min.x),
                number(rect.min.y),
                number(rect.width()),
                number(rect.height()),
                logo.address()
            );
        }
    }
}

fn stroke(pen: Pen) -> String {
    let dash = pen.dash.map_or_else(String::new, |(on, off)| {
        format!(" stroke-dasharray=\"{} {}\"", number(on), number(off))
    });
    format!(
        " stroke=\"{}\" stroke-width=\"{}\"{dash}",
        hex(pen.tint),
        number(pen.width)
    )
}

fn hex(tint: Tint) -> String {
    format!("#{:02x}{:02x}{:02x}", tint.0, tint.1, tint.2)
}

/// Hundredths of a point are finer than any printer.
fn number(value: f32) -> String {
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" {
        "0".to_owned()
    } else {
        text.to_owned()
    }
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}
