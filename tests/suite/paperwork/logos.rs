//! Pictures that head the pages: shown whole on every kind of page, or refused before a page is made.

use std::sync::Arc;

use crosspatch::paperwork::Kind;
use crosspatch::paperwork::set::face::Faces;
use crosspatch::paperwork::set::ink::Ink;
use crosspatch::paperwork::set::logo::Logo;
use crosspatch::paperwork::set::{pdf, png};
use resvg::tiny_skia::{Color, Pixmap};

use super::{ask, pieces, read, shipped};

/// A small picture with text in it.
pub(super) fn shield() -> Vec<u8> {
    vector(
        "<rect width='200' height='80' fill='#ddd'/><text x='10' y='40' font-family='sans-serif' \
            font-size='24' fill='black'>SHIELD TEXT</text>",
    )
}

fn vector(inside: &str) -> Vec<u8> {
    format!("<svg xmlns='http://www.w3.org/2000/svg' width='200' height='80'>{inside}</svg>")
        .into_bytes()
}

fn raster(width: u32, height: u32) -> Vec<u8> {
    let mut dots = Pixmap::new(width, height).expect("it has a size");
    dots.fill(Color::from_rgba8(10, 60, 120, 255));
    dots.encode_png().expect("it can be written")
}

#[track_caller]
fn refused(bytes: Vec<u8>, why: &str) {
    let reason = Logo::read(bytes).map(|_| ()).expect_err(why);
    assert!(reason.contains(why), "{reason}");
    assert!(!reason.contains("Image("), "{reason}");
}

#[test]
fn agency_and_logo_head_the_first_page_of_forms_and_every_page_of_drawings() {
    for bytes in [raster(40, 20), shield()] {
        let logo = Logo::read(bytes).expect("it is a picture");
        let kinds = [Kind::Ics205, Kind::Card, Kind::Diagram];
        let mut ask = ask(shipped("talk-groups.ron"), &kinds);
        ask.given.agency = "Corbel County Fire".to_owned();
        ask.given.logo = Some(Arc::new(logo));
        for piece in pieces(&ask) {
            let pages = match piece.kind {
                Kind::Diagram => piece.document.pages.len(),
                _ => 1,
            };
            let form = read(&piece);
            for (number, page) in (1..).zip(piece.document.pages.iter().take(pages)) {
                assert!(
                    form.page(number).contains("Corbel County Fire"),
                    "{}",
                    piece.stem
                );
                let inks = page.items.iter().flat_map(|i| &i.inks);
                let pictures = inks.filter(|i| matches!(i, Ink::Picture { .. })).count();
                assert_eq!(pictures, 1, "{} page {number}", piece.stem);
            }
        }
    }
}

#[test]
fn text_in_a_vector_picture_is_drawn_read_and_told() {
    let families = ["sans-serif", "serif", "monospace", "Comic Fancy", "cursive"];
    for family in families {
        let text = "<text x='10' y='40' font-size='24'>SHIELD</text>";
        let with = text.replace("<text", &format!("<text font-family='{family}'"));
        let logo = Logo::read(vector(&with)).unwrap_or_else(|e| panic!("{family}: {e}"));
        let mut ask = ask(shipped("talk-groups.ron"), &[Kind::Ics214]);
        ask.phases.truncate(1);
        ask.given.logo = Some(Arc::new(logo.clone()));
        let piece = &pieces(&ask)[0];
        // In the text layer, and in words for whoever does not see it.
        let form = read(piece);
        let squeezed: String = form.stream.chars().filter(|c| !c.is_whitespace()).collect();
        assert!(
            squeezed.contains("SHIELD"),
            "{family} is not in the text layer"
        );
        assert_eq!(logo.says("Corbel"), "Logo of Corbel: SHIELD");
        // And as dots: the page with it has more ink than the page without.
        let faces = Faces::default();
        let ink = |document: &crosspatch::paperwork::set::sheet::Document| {
            let dots = png::dots(&faces, &document.pages[0], 2.0).expect("it is small");
            dots.rgba.chunks(4).filter(|p| p[0] < 100).count()
        };
        let mut without = ask.clone();
        without.given.logo = Some(Arc::new(
            Logo::read(vector("<rect width='1' height='1'/>")).expect("a dot"),
        ));
        let (more, less) = (ink(&piece.document), ink(&pieces(&without)[0].document));
        assert!(more > less + 100, "{family}: {more} and {less} dark dots");
        // What is put into an SVG file carries the text as outlines.
        let address = logo.address();
        assert!(address.starts_with("data:image/svg+xml;base64,"));
    }
}

#[test]
fn text_that_would_vanish_is_refused() {
    let text = "<rect width='9' height='9'/><text x='10' y='40' font-size='24'>\u{c5}gency \u{6f22}</text>";
    refused(vector(text), "the letter \u{6f22}");
    let foreign = "<rect width='9' height='9'/><foreignObject width='90' height='40'>\
        <p xmlns='http://www.w3.org/1999/xhtml'>County</p></foreignObject>";
    refused(vector(foreign), "would not be printed");
    let hidden =
        "<rect width='9' height='9'/><text display='none' x='1' y='9'>never \u{6f22}</text>";
    assert!(
        Logo::read(vector(hidden)).is_ok(),
        "what is not shown may be anything"
    );
}

#[test]
fn a_vector_picture_gets_no_other_file() {
    let file = tempfile::NamedTempFile::with_suffix(".png").expect("a file");
    std::fs::write(file.path(), raster(8, 8)).expect("it can be written");
    let path = file.path().display();
    for attribute in ["href", "xlink:href"] {
        let inside = format!(
            "<rect width='9' height='9'/><image xmlns:xlink='http://www.w3.org/1999/xlink' \
             {attribute}='{path}' width='50' height='50'/>"
        );
        refused(vector(&inside), "it asks for another file");
    }
    refused(
        vector(
            "<rect width='9' height='9'/><image href='data:image/png;base64,AAAA' width='5' height='5'/>",
        ),
        "a picture inside it",
    );
}

#[test]
fn broken_and_empty_pictures_are_refused_in_a_sentence() {
    refused(
        b"not a picture".to_vec(),
        "it is no PNG, JPEG or SVG picture",
    );
    refused(b"\x89PNG\r\n\x1a\nbroken".to_vec(), "broken or not whole");
    let whole = raster(300, 200);
    for part in [20, 60, whole.len() - 20] {
        refused(whole[..part].to_vec(), "broken or not whole");
    }
    refused(vector(""), "nothing is drawn on it");
    refused(
        vector("<rect width='9' height='9' fill='none'/>"),
        "nothing is drawn on it",
    );
    let clear = Pixmap::new(20, 20)
        .expect("a size")
        .encode_png()
        .expect("written");
    refused(clear, "nothing is drawn on it");
    refused(
        b"<svg xmlns='http://www.w3.org/2000/svg' width='0' height='0'></svg>".to_vec(),
        "it cannot be read",
    );
}

/// A JPEG of one grey block, eight dots wide and high, made by hand from ISO/IEC 10918-1: quantisation
/// table of ones, the Huffman tables with the fewest codes, one block with no difference.
fn jpeg() -> Vec<u8> {
    let mut bytes = vec![0xff, 0xd8, 0xff, 0xdb, 0, 67, 0];
    bytes.extend([1; 64]);
    bytes.extend([0xff, 0xc0, 0, 11, 8, 0, 8, 0, 8, 1, 1, 0x11, 0]);
    for class in [0x00, 0x10] {
        bytes.extend([0xff, 0xc4, 0, 20, class, 1]);
        bytes.extend([0; 15]);
        bytes.push(0);
    }
    bytes.extend([0xff, 0xda, 0, 8, 1, 1, 0, 0, 63, 0, 0x3f, 0xff, 0xd9]);
    bytes
}

#[test]
fn a_jpeg_is_read_to_its_end() {
    let whole = jpeg();
    let read = Logo::read(whole.clone());
    assert!(read.is_ok(), "{:?}", read.err());
    refused(whole[..60].to_vec(), "broken or not whole");
}

#[test]
fn very_many_dots_are_made_fewer() {
    let logo = Logo::read(raster(3000, 1500)).expect("it is a picture");
    assert_eq!((logo.size().x, logo.size().y), (800.0, 400.0));
    let mut ask = ask(shipped("talk-groups.ron"), &[Kind::Ics214]);
    ask.phases.truncate(1);
    ask.given.logo = Some(Arc::new(logo));
    let bytes = pdf::write(&pieces(&ask)[0].document).expect("it can be written");
    assert!(bytes.len() < 400_000, "{} bytes", bytes.len());
    // A header may say anything; nothing is set aside for a picture no printer can use.
    let mut huge = raster(8, 8);
    huge[16..24].copy_from_slice(&[0, 0, 0xff, 0xff, 0, 0, 0xff, 0xff]);
    refused(huge, "more than can be printed");
}
