//! A picture of the agency's own that heads the pages: PNG, JPEG or SVG, from bytes in memory.
//!
//! What cannot be drawn whole is refused when it is read, before any page is made: a broken or empty
//! picture, one that asks for other files, text in letters the paper does not have.

use std::sync::{Arc, Mutex};

use base64::Engine as _;
use emath::{Vec2, vec2};
use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg;

use super::dots;
use super::face::Face;

/// Most dots along a side that are kept: a heading on a wall is two inches high, at 400 dots an inch.
const MOST_SIDE: u32 = 800;
/// Dots along a side of the trial drawing of a vector picture.
const TRIAL: f32 = 200.0;

/// The kinds of picture that can be brought along.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LogoKind {
    /// Portable Network Graphics.
    Png,
    /// JPEG.
    Jpeg,
    /// Scalable Vector Graphics.
    Svg,
}

/// A picture and its size.
#[derive(Debug, Clone)]
pub struct Logo {
    bytes: Vec<u8>,
    kind: LogoKind,
    size: Vec2,
    tree: usvg::Tree,
    text: String,
}

impl PartialEq for Logo {
    fn eq(&self, other: &Self) -> bool {
        self.bytes == other.bytes
    }
}

impl Logo {
    /// Reads a picture; its kind is told by its first bytes. One with very many dots is made smaller.
    ///
    /// # Errors
    ///
    /// In a sentence: what the bytes are not, or what is wrong with them.
    pub fn read(bytes: Vec<u8>) -> Result<Self, String> {
        if bytes.starts_with(b"\x89PNG\r\n") {
            let pixmap = dots::png(&bytes)?;
            Self::raster(bytes, LogoKind::Png, &pixmap)
        } else if bytes.starts_with(&[0xff, 0xd8, 0xff]) {
            let pixmap = dots::jpeg(&bytes)?;
            Self::raster(bytes, LogoKind::Jpeg, &pixmap)
        } else if std::str::from_utf8(&bytes).is_ok_and(|text| text.contains("<svg")) {
            Self::vector(bytes)
        } else {
            Err("it is no PNG, JPEG or SVG picture".to_owned())
        }
    }

    fn raster(bytes: Vec<u8>, kind: LogoKind, pixmap: &Pixmap) -> Result<Self, String> {
        if dots::is_empty(pixmap) {
            return Err(EMPTY.to_owned());
        }
        let (bytes, kind, width, height) = match dots::smaller(pixmap, MOST_SIDE) {
            Some(small) => {
                let coded = small.encode_png().map_err(|error| error.to_string())?;
                (coded, LogoKind::Png, small.width(), small.height())
            }
            None => (bytes, kind, pixmap.width(), pixmap.height()),
        };
        let tree = tree(framed(&bytes, kind, width, height).as_bytes())?;
        Ok(Self {
            size: vec2(width as f32, height as f32),
            text: String::new(),
            bytes,
            kind,
            tree,
        })
    }

    fn vector(bytes: Vec<u8>) -> Result<Self, String> {
        let tree = tree(&bytes)?;
        let mut text = Vec::new();
        has_all_text(&bytes, &tree, &mut text)?;
        let size = vec2(tree.size().width(), tree.size().height());
        let scale = TRIAL / size.max_elem();
        let side = |length: f32| (length * scale).ceil().max(1.0) as u32;
        let mut trial = Pixmap::new(side(size.x), side(size.y)).ok_or(EMPTY)?;
        resvg::render(
            &tree,
            Transform::from_scale(scale, scale),
            &mut trial.as_mut(),
        );
        if dots::is_empty(&trial) {
            return Err(EMPTY.to_owned());
        }
        Ok(Self {
            bytes,
            kind: LogoKind::Svg,
            size,
            tree,
            text: text.join(" "),
        })
    }

    /// Returns the bytes that are printed: as they were brought, unless they were too many.
    pub fn bytes(&self) -> &[u8] {
        &self.bytes
    }

    /// Returns the kind.
    pub fn kind(&self) -> LogoKind {
        self.kind
    }

    /// Returns its size, in its own units.
    pub fn size(&self) -> Vec2 {
        self.size
    }

    /// Returns it as a vector picture, whatever it was.
    pub fn tree(&self) -> &usvg::Tree {
        &self.tree
    }

    /// Says in words what it is, for whoever does not see it: whose it is, and the text in it.
    pub fn says(&self, agency: &str) -> String {
        let whose = match agency {
            "" => "Logo".to_owned(),
            agency => format!("Logo of {agency}"),
        };
        if self.text.is_empty() {
            whose
        } else {
            format!("{whose}: {}", self.text)
        }
    }

    /// Returns it as an address that holds the picture itself. A vector picture is written anew, with
    /// its text as outlines, so that it looks the same in every viewer.
    pub fn address(&self) -> String {
        match self.kind {
            LogoKind::Svg => {
                let written = self.tree.to_string(&usvg::WriteOptions::default());
                address(written.as_bytes(), self.kind)
            }
            LogoKind::Png | LogoKind::Jpeg => address(&self.bytes, self.kind),
        }
    }
}

const EMPTY: &str = "nothing is drawn on it";

fn address(bytes: &[u8], kind: LogoKind) -> String {
    let media = match kind {
        LogoKind::Png => "image/png",
        LogoKind::Jpeg => "image/jpeg",
        LogoKind::Svg => "image/svg+xml",
    };
    let coded = base64::engine::general_purpose::STANDARD.encode(bytes);
    format!("data:{media};base64,{coded}")
}

fn framed(bytes: &[u8], kind: LogoKind, width: u32, height: u32) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\">\
         <image width=\"{width}\" height=\"{height}\" href=\"{}\"/></svg>",
        address(bytes, kind)
    )
}

/// Reads a vector picture, which gets nothing but what is inside it.
fn tree(bytes: &[u8]) -> Result<usvg::Tree, String> {
    let refused: Arc<Mutex<Option<String>>> = Arc::default();
    let refuse = |reason: String| {
        let refused = Arc::clone(&refused);
        if let Ok(mut first) = refused.lock() {
            first.get_or_insert(reason);
        }
    };
    let (elsewhere, broken) = (refuse, refuse);
    let inside = usvg::ImageHrefResolver::default_data_resolver();
    let mut options = usvg::Options {
        image_href_resolver: usvg::ImageHrefResolver {
            resolve_data: Box::new(move |media, data, options| {
                let found = inside(media, data, options);
                let is_whole = match &found {
                    Some(usvg::ImageKind::PNG(data)) => dots::png(data).is_ok(),
                    Some(usvg::ImageKind::JPEG(data)) => dots::jpeg(data).is_ok(),
                    Some(_) => true,
                    None => false,
                };
                if !is_whole {
                    broken(format!(
                        "a picture inside it, of the kind {media}, cannot be read"
                    ));
                }
                found
            }),
            resolve_string: Box::new(move |address, _| {
                let short: String = address.chars().take(60).collect();
                elsewhere(format!(
                    "it asks for another file, {short}; put that picture inside it"
                ));
                None
            }),
        },
        ..usvg::Options::default()
    };
    let fonts = options.fontdb_mut();
    for face in Face::ALL {
        fonts.load_font_data(face.bytes().to_vec());
    }
    // Text in a picture vanishes where its family is not loaded, so ours stands in for all, by the
    // name it has in its own file.
    let own = fonts.faces().next().and_then(|face| face.families.first());
    let family = own.map_or_else(|| Face::FAMILY.to_owned(), |(name, _)| name.clone());
    fonts.set_sans_serif_family(&family);
    fonts.set_serif_family(&family);
    fonts.set_monospace_family(&family);
    fonts.set_cursive_family(&family);
    fonts.set_fantasy_family(&family);
    options.font_family = family;
    let tree = usvg::Tree::from_data(bytes, &options)
        .map_err(|error| format!("it cannot be read: {error}"))?;
    drop(options);
    let reason = refused.lock().ok().and_then(|mut reason| reason.take());
    reason.map_or(Ok(tree), Err)
}

/// Tells whether all text of a vector picture is drawn; gathers it.
fn has_all_text(bytes: &[u8], tree: &usvg::Tree, text: &mut Vec<String>) -> Result<(), String> {
    let source = std::str::from_utf8(bytes).map_err(|error| error.to_string())?;
    let options = usvg::roxmltree::ParsingOptions {
        allow_dtd: true,
        ..usvg::roxmltree::ParsingOptions::default()
    };
    let document = usvg::roxmltree::Document::parse_with_options(source, options)
        .map_err(|error| format!("it cannot be read: {error}"))?;
    let letters = |text: &str| text.chars().filter(|c| !c.is_whitespace()).count();
    let mut asked = 0;
    for node in document
        .descendants()
        .filter(usvg::roxmltree::Node::is_text)
    {
        if is_drawn_text(node) {
            asked += node.text().map_or(0, letters);
        }
    }
    let lacking = drawn_text(tree.root(), text);
    if let Some(lacking) = lacking {
        return Err(format!(
            "its text has the letter {lacking}, which the paper does not have; turn its text into outlines"
        ));
    }
    let drawn: usize = text.iter().map(|text| letters(text)).sum();
    if drawn < asked {
        return Err(
            "some of its text would not be printed; turn its text into outlines".to_owned(),
        );
    }
    Ok(())
}

/// Tells whether a piece of source text is meant to be seen.
fn is_drawn_text(node: usvg::roxmltree::Node<'_, '_>) -> bool {
    let mut is_text = false;
    for above in node.ancestors().filter(usvg::roxmltree::Node::is_element) {
        let style = above.attribute("style").unwrap_or_default();
        let is_hidden = above.attribute("display") == Some("none")
            || style
                .split_whitespace()
                .collect::<String>()
                .contains("display:none");
        match above.tag_name().name() {
            "text" | "foreignObject" => is_text = true,
            "defs" | "symbol" | "clipPath" | "mask" | "pattern" | "marker" | "title" | "desc"
            | "style" => return false,
            _ => {}
        }
        if is_hidden {
            return false;
        }
    }
    is_text
}

/// Gathers the text that is drawn; returns the first letter that would not be.
fn drawn_text(group: &usvg::Group, text: &mut Vec<String>) -> Option<char> {
    group.children().iter().find_map(|node| match node {
        usvg::Node::Group(group) => drawn_text(group, text),
        usvg::Node::Text(found) => {
            let said: String = found.chunks().iter().map(usvg::TextChunk::text).collect();
            let lacking = said.chars().find(|c| !Face::Regular.has(*c));
            text.push(said);
            lacking
        }
        usvg::Node::Path(_) | usvg::Node::Image(_) => None,
    })
}
