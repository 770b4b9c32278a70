//! Pictures of dots that are brought along: read whole, and made smaller where they have too many.

use resvg::tiny_skia::{IntSize, Pixmap};
use zune_jpeg::JpegDecoder;
use zune_jpeg::zune_core::bytestream::ZCursor;
use zune_jpeg::zune_core::colorspace::ColorSpace;
use zune_jpeg::zune_core::options::DecoderOptions;

/// Most dots a picture may have before it is read: 100 million take 400 MB.
const MOST_DOTS: u64 = 100_000_000;

const BROKEN: &str = "it is broken or not whole; save it anew";

/// Reads a PNG picture to its last dot.
///
/// # Errors
///
/// In a sentence: it is broken, or has too many dots.
pub fn png(bytes: &[u8]) -> Result<Pixmap, String> {
    // Width and height stand at bytes 16 and 20, highest byte first (ISO/IEC 15948, chunk IHDR).
    let side = |at: usize| {
        let four = bytes
            .get(at..at + 4)
            .and_then(|b| <[u8; 4]>::try_from(b).ok());
        four.map(u32::from_be_bytes).ok_or(BROKEN)
    };
    is_no_larger(side(16)?, side(20)?)?;
    Pixmap::decode_png(bytes).map_err(|_why| BROKEN.to_owned())
}

/// Reads a JPEG picture to its last dot.
///
/// # Errors
///
/// As [`png`].
pub fn jpeg(bytes: &[u8]) -> Result<Pixmap, String> {
    let options = DecoderOptions::default()
        .set_strict_mode(true)
        .set_max_width(65_535)
        .set_max_height(65_535)
        .jpeg_set_out_colorspace(ColorSpace::RGBA);
    let mut decoder = JpegDecoder::new_with_options(ZCursor::new(bytes), options);
    decoder.decode_headers().map_err(|_why| BROKEN.to_owned())?;
    let (width, height) = decoder.dimensions().ok_or(BROKEN)?;
    let (width, height) = (width as u32, height as u32);
    is_no_larger(width, height)?;
    let dots = decoder.decode().map_err(|_why| BROKEN.to_owned())?;
    let size = IntSize::from_wh(width, height).ok_or(BROKEN)?;
    Pixmap::from_vec(dots, size).ok_or_else(|| BROKEN.to_owned())
}

fn is_no_larger(width: u32, height: u32) -> Result<(), String> {
    if u64::from(width) * u64::from(height) > MOST_DOTS {
        return Err(format!(
            "it has {width} by {height} dots, more than can be printed; make it smaller"
        ));
    }
    Ok(())
}

/// Tells whether nothing is to be seen on a picture.
pub fn is_empty(picture: &Pixmap) -> bool {
    picture.pixels().iter().all(|dot| dot.alpha() == 0)
}

/// Returns a picture with at most so many dots along a side, each the mean of those it stands for;
/// `None` where it has no more.
pub fn smaller(picture: &Pixmap, most: u32) -> Option<Pixmap> {
    let (width, height) = (picture.width(), picture.height());
    let longest = width.max(height);
    if longest <= most {
        return None;
    }
    let side = |length: u32| {
        let kept = u64::from(length) * u64::from(most) / u64::from(longest);
        (kept as u32).max(1)
    };
    let (across, down) = (side(width), side(height));
    let mut dots = Vec::with_capacity(across as usize * down as usize * 4);
    let stretch = |i: u32, all: u32, kept: u32| {
        let at = |i: u32| (u64::from(i) * u64::from(all) / u64::from(kept)) as usize;
        at(i)..at(i + 1).max(at(i) + 1)
    };
    for y in 0..down {
        for x in 0..across {
            let mut sum = [0_u64; 4];
            let mut count = 0_u64;
            for row in stretch(y, height, down) {
                let row = row * width as usize;
                let columns = stretch(x, width, across);
                let found = picture.pixels().get(row + columns.start..row + columns.end);
                for dot in found.unwrap_or(&[]) {
                    let parts = [dot.red(), dot.green(), dot.blue(), dot.alpha()];
                    for (sum, part) in sum.iter_mut().zip(parts) {
                        *sum += u64::from(part);
                    }
                    count += 1;
                }
            }
            dots.extend(sum.map(|sum| (sum / count.max(1)) as u8));
        }
    }
    Pixmap::from_vec(dots, IntSize::from_wh(across, down)?)
}
