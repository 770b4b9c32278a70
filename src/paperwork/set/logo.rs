//! A picture of the agency's own that heads the pages: PNG, JPEG or SVG, from bytes in memory.

use base64::Engine as _;
use emath::{Vec2, vec2};
use resvg::usvg;

use super::face::Face;

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
}

impl PartialEq for Logo {
    fn eq(&self, other: &Self) -> bool {
        self.bytes == other.bytes
    }
}

impl Logo {
    /// Reads a picture; its kind is told by its first bytes.
    ///
    /// # Errors
    ///
    /// In a sentence: what the bytes are not, or what is wrong with them.
    pub fn read(bytes: Vec<u8>) -> Result<Self, String> {
        let kind = if bytes.starts_with(b"\x89PNG\r\n") {
            LogoKind::Png
        } else if bytes.starts_with(&[0xff, 0xd8, 0xff]) {
            LogoKind::Jpeg
        } else if std::str::from_utf8(&bytes).is_ok_and(|text| text.contains("<svg")) {
            LogoKind::Svg
        } else {
            return Err("it is no PNG, JPEG or SVG picture".to_owned());
        };
        let tree = match kind {
            LogoKind::Svg => tree(&bytes)?,
            LogoKind::Png | LogoKind::Jpeg => {
                let (width, height) = pixels(&bytes, kind)?;
                tree(framed(&bytes, kind, width, height).as_bytes())?
            }
        };
        let size = vec2(tree.size().width(), tree.size().height());
        Ok(Self {
            bytes,
            kind,
            size,
            tree,
        })
    }

    /// Returns the bytes as they were brought.
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

    /// Returns it as an address that holds the picture itself.
    pub fn address(&self) -> String {
        address(&self.bytes, self.kind)
    }
}

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

fn tree(bytes: &[u8]) -> Result<usvg::Tree, String> {
    // Text in a picture vanishes where its family is not loaded, so ours stands in for all.
    let mut options = usvg::Options {
        font_family: Face::FAMILY.to_owned(),
        ..usvg::Options::default()
    };
    for face in Face::ALL {
        options.fontdb_mut().load_font_data(face.bytes().to_vec());
    }
    let fonts = options.fontdb_mut();
    fonts.set_sans_serif_family(Face::FAMILY);
    fonts.set_serif_family(Face::FAMILY);
    fonts.set_monospace_family(Face::FAMILY);
    usvg::Tree::from_data(bytes, &options).map_err(|error| format!("it cannot be read: {error}"))
}

/// Returns the size of a raster picture, and so tells that it can be decoded.
fn pixels(bytes: &[u8], kind: LogoKind) -> Result<(u32, u32), String> {
    let data: krilla::Data = bytes.to_vec().into();
    let image = match kind {
        LogoKind::Png => krilla::image::Image::from_png(data, true),
        LogoKind::Jpeg | LogoKind::Svg => krilla::image::Image::from_jpeg(data, true),
    };
    image
        .map(|image| image.size())
        .map_err(|error| format!("it cannot be read: {error}"))
}
