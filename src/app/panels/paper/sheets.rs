//! Pages as textures: the page looked at and its neighbours, drawn on a thread, and no others kept.

use std::sync::Arc;

use egui::{ColorImage, Context, TextureHandle, TextureOptions, Vec2};

use crate::app::work::{Desk, Got, Work};
use crate::paperwork::Piece;
use crate::paperwork::set::face::Faces;
use crate::paperwork::set::png;

use super::setting::Set;

/// Most dots of a page on the screen; a larger one is drawn coarser.
const MOST_DOTS: f32 = 8_000_000.0;

/// Which page of which set, at how many dots a point.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Which {
    set: u64,
    page: usize,
    scale: f32,
}

struct Sheet {
    which: Which,
    /// Size of the page, in points.
    size: Vec2,
    texture: TextureHandle,
}

/// The pages that are drawn.
#[derive(Default)]
pub(super) struct Sheets {
    drawn: Vec<Sheet>,
    work: Option<(Which, Work<(Vec2, ColorImage)>)>,
    /// What could not be drawn; tried once.
    failed: Vec<Which>,
}

impl Sheets {
    /// Takes what was drawn, and draws what is missing: the page looked at first, then its neighbours.
    pub(super) fn refresh(
        &mut self,
        ctx: &Context,
        (set, number): (&Set, u64),
        page: usize,
        scale: f32,
    ) {
        while let Some((which, work)) = &self.work {
            let which = *which;
            match work.got() {
                Got::Answer((size, image)) => self.keep(ctx, which, size, image),
                Got::Nothing => return,
                Got::Ended => {
                    self.work = None;
                    if !self.is_drawn(which) {
                        self.failed.push(which);
                    }
                }
            }
        }
        self.failed.retain(|which| which.set == number);
        self.drawn
            .retain(|sheet| sheet.which.page.abs_diff(page) <= 1);
        let near = [Some(page), page.checked_add(1), page.checked_sub(1)];
        for page in near.into_iter().flatten() {
            let Some(&(piece, leaf)) = set.pages.get(page) else {
                continue;
            };
            let Some(size) = page_size(&set.pieces, piece, leaf) else {
                continue;
            };
            let which = Which {
                set: number,
                page,
                scale: within(ctx, size, scale),
            };
            if self.is_drawn(which) || self.failed.contains(&which) {
                continue;
            }
            let pieces = Arc::clone(&set.pieces);
            let work = Work::start(ctx, "Drawing", move |desk: &Desk<_>| {
                let page = pieces.get(piece).and_then(|p| p.document.pages.get(leaf));
                if let Some(page) = page
                    && let Ok(dots) = png::dots(&Faces::default(), page, which.scale)
                {
                    let size = [dots.width as usize, dots.height as usize];
                    let image = ColorImage::from_rgba_premultiplied(size, &dots.rgba);
                    desk.answer((page.size, image));
                }
            });
            self.work = Some((which, work));
            return;
        }
    }

    fn is_drawn(&self, which: Which) -> bool {
        self.drawn.iter().any(|sheet| sheet.which == which)
    }

    fn keep(&mut self, ctx: &Context, which: Which, size: Vec2, image: ColorImage) {
        // Whatever was drawn of this page before has served its time.
        self.drawn.retain(|sheet| sheet.which.page != which.page);
        let name = format!("page-{}", which.page);
        self.drawn.push(Sheet {
            which,
            size,
            texture: ctx.load_texture(name, image, TextureOptions::LINEAR),
        });
    }

    /// Returns the best there is of a page: as it is now, or as it was a moment ago.
    pub(super) fn of(&self, page: usize, size: Vec2) -> Option<&TextureHandle> {
        let found = self.drawn.iter().find(|s| s.which.page == page)?;
        (found.size == size).then_some(&found.texture)
    }

    /// Forgets all of them.
    pub(super) fn clear(&mut self) {
        *self = Self::default();
    }
}

impl std::fmt::Debug for Sheets {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Sheets")
            .field("drawn", &self.drawn.len())
            .finish_non_exhaustive()
    }
}

/// Returns the size of a page, in points.
pub(super) fn page_size(pieces: &[Piece], piece: usize, page: usize) -> Option<Vec2> {
    Some(pieces.get(piece)?.document.pages.get(page)?.size)
}

/// Returns a number of dots a point at which a page is not larger than textures may be.
fn within(ctx: &Context, size: Vec2, scale: f32) -> f32 {
    let side = ctx.input(|i| i.max_texture_side) as f32;
    // One dot less: sides are rounded.
    let by_side = (side - 1.0) / size.max_elem();
    let by_area = (MOST_DOTS / (size.x * size.y)).sqrt();
    scale.min(by_side).min(by_area)
}
