//! The table of mixing products that fall into a receiver, in the order asked for.

use std::cmp::Ordering;

use egui::accesskit::Role;
use egui::{
    CornerRadius, FontId, Rect, Response, RichText, ScrollArea, Sense, Stroke, StrokeKind, Ui,
    WidgetInfo, pos2, vec2,
};

use super::SiteViewState;
use crate::app::plan::{disturbed_words, short, terms_words};
use crate::app::theme::{Sign, paint_sign, semibold};
use crate::app::view::ViewCtx;
use crate::app::words::sentence;
use crate::picture::site::{Product, SiteView};

/// Height of a row, in points.
const ROW: f32 = 42.0;
/// Rows in view at a time.
const SEEN: usize = 9;
/// Where the columns begin, as a share of the width.
const COLUMNS: [(Column, f32, &str); 4] = [
    (Column::Order, 0.06, "Order"),
    (Column::At, 0.22, "Falls at"),
    (Column::Offset, 0.54, "Off by"),
    (Column::Level, 0.77, "Level"),
];

/// What a product is sorted by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) enum Column {
    /// As the picture lists them: those that are always on first.
    #[default]
    Worst,
    /// Third before fifth.
    Order,
    /// Where it falls.
    At,
    /// How far from the receiver.
    Offset,
    /// Level in the receiver.
    Level,
    /// The words for its transmitters.
    Transmitters,
    /// The words for whose receiver.
    Receiver,
}

/// The order of the table.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Order {
    /// By what.
    pub(super) by: Column,
    /// The largest first.
    pub(super) down: bool,
}

impl Order {
    /// Asks for a column: the same one again turns the order.
    pub(super) fn ask(&mut self, by: Column) {
        *self = if self.by == by {
            Self {
                by,
                down: !self.down,
            }
        } else {
            Self { by, down: false }
        };
    }
}

/// A product with its words.
pub(super) struct Row<'a> {
    pub(super) product: &'a Product,
    pub(super) transmitters: String,
    pub(super) receiver: String,
}

/// Puts rows into an order; an unknown level comes last either way.
pub(super) fn sort(rows: &mut [Row<'_>], order: Order) {
    let turn = |o: Ordering| if order.down { o.reverse() } else { o };
    rows.sort_by(|a, b| {
        let (p, q) = (a.product, b.product);
        match order.by {
            Column::Worst => Ordering::Equal,
            Column::Order => turn(p.order.cmp(&q.order)),
            Column::At => turn(p.at.cmp(&q.at)),
            Column::Offset => turn(p.offset_hz.unsigned_abs().cmp(&q.offset_hz.unsigned_abs())),
            Column::Level => match (p.level, q.level) {
                (Some(x), Some(y)) => turn(x.0.total_cmp(&y.0)),
                (x, y) => y.is_some().cmp(&x.is_some()),
            },
            Column::Transmitters => turn(a.transmitters.cmp(&b.transmitters)),
            Column::Receiver => turn(a.receiver.cmp(&b.receiver)),
        }
    });
}

/// Shows the table.
pub(super) fn products_ui(
    ctx: &ViewCtx<'_>,
    ui: &mut Ui,
    state: &mut SiteViewState,
    view: &SiteView,
) {
    let t = ctx.tokens;
    if view.products.is_empty() {
        let words = "No mixing product of this site falls into a receiver that the plan knows of.";
        ui.add(egui::Label::new(RichText::new(words).size(12.5).color(t.soft)).wrap());
        return;
    }
    let mut rows: Vec<Row<'_>> = view
        .products
        .iter()
        .map(|product| Row {
            product,
            transmitters: terms_words(ctx, view, product),
            receiver: disturbed_words(ctx, product.disturbed),
        })
        .collect();
    heads(ctx, ui, state);
    sort(&mut rows, state.order);
    let height = ROW * rows.len().min(SEEN) as f32;
    ui.spacing_mut().item_spacing.y = 0.0;
    ScrollArea::vertical()
        .id_salt("products")
        .max_height(height)
        .auto_shrink([false, true])
        .show_rows(ui, ROW, rows.len(), |ui, seen| {
            for row in rows.get(seen).unwrap_or(&[]) {
                let chosen = state.product.as_ref() == Some(row.product);
                if row_ui(ctx, ui, row, chosen).clicked() {
                    state.product = (!chosen).then(|| row.product.clone());
                }
            }
        });
}

fn heads(ctx: &ViewCtx<'_>, ui: &mut Ui, state: &mut SiteViewState) {
    let width = ui.available_width();
    let (rect, _) = ui.allocate_exact_size(vec2(width, 44.0), Sense::hover());
    let second = [
        (Column::Transmitters, 0.06, "Transmitters"),
        (Column::Receiver, 0.54, "Receiver"),
    ];
    for (line, columns) in [(0, &COLUMNS[..]), (1, &second[..])] {
        for (column, share, words) in columns {
            let at = rect.min + vec2(share * width - 4.0, line as f32 * 22.0);
            if sort_head(ctx, ui, at, state.order, *column, words).clicked() {
                state.order.ask(*column);
            }
        }
    }
    ui.painter().hline(
        rect.x_range(),
        rect.max.y,
        Stroke::new(1.0, ctx.tokens.panel_edge),
    );
}

fn sort_head(
    ctx: &ViewCtx<'_>,
    ui: &Ui,
    at: egui::Pos2,
    order: Order,
    column: Column,
    words: &str,
) -> Response {
    let t = ctx.tokens;
    let is_on = order.by == column;
    let ink = if is_on { t.accent.ink } else { t.soft };
    let galley = ui
        .painter()
        .layout_no_wrap(words.to_owned(), semibold(12.0), ink);
    let rect = Rect::from_min_size(at, vec2(galley.size().x + 22.0, 21.0));
    let response = ui.interact(rect, egui::Id::unique(("sort", words)), Sense::click());
    let now = match (is_on, order.down) {
        (false, _) => "",
        (true, false) => ", smallest first",
        (true, true) => ", largest first",
    };
    let label = format!("Sort by {}{now}", words.to_lowercase());
    response.widget_info(|| WidgetInfo::labeled(Role::ColumnHeader, true, &label));
    let painter = ui.painter();
    if response.hovered() || response.has_focus() {
        painter.rect_filled(rect, CornerRadius::same(5), t.hover);
    }
    if response.has_focus() {
        let edge = Stroke::new(1.5, t.accent.ink);
        painter.rect_stroke(rect, CornerRadius::same(5), edge, StrokeKind::Inside);
    }
    if is_on {
        let tip = if order.down { 4.0 } else { -4.0 };
        let centre = pos2(rect.max.x - 9.0, rect.center().y);
        let points = vec![
            centre + vec2(-4.0, -tip * 0.6),
            centre + vec2(4.0, -tip * 0.6),
            centre + vec2(0.0, tip),
        ];
        painter.add(egui::Shape::convex_polygon(points, ink, Stroke::NONE));
    }
    let y = rect.center().y - galley.size().y / 2.0;
    painter.galley(pos2(rect.min.x + 4.0, y), galley, ink);
    response
}

fn row_ui(ctx: &ViewCtx<'_>, ui: &mut Ui, row: &Row<'_>, chosen: bool) -> Response {
    let t = ctx.tokens;
    let p = row.product;
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), ROW), Sense::click());
    let level = p
        .level
        .map_or_else(|| "not known".to_owned(), |l| l.to_string());
    let offset = format!("{} kHz", short(p.offset_hz as f64 / 1e3));
    let when = if p.together.is_some() {
        "whenever the talk group speaks"
    } else {
        "when two talk groups speak at once"
    };
    let label = format!(
        "Order {} product at {}, {offset} off {}, level {level}, {when}: {}",
        p.order, p.at, row.receiver, row.transmitters
    );
    response.widget_info(|| WidgetInfo::selected(Role::Row, true, chosen, &label));
    let painter = ui.painter_at(rect);
    let inner = rect.shrink2(vec2(0.0, 1.0));
    if chosen {
        painter.rect_filled(inner, CornerRadius::same(6), t.accent.ground);
    } else if response.hovered() {
        painter.rect_filled(inner, CornerRadius::same(6), t.hover);
    }
    if response.has_focus() {
        let edge = Stroke::new(1.5, t.accent.ink);
        painter.rect_stroke(inner, CornerRadius::same(6), edge, StrokeKind::Inside);
    }
    if response.gained_focus() {
        response.scroll_to_me(None);
    }
    let sign = p
        .together
        .map_or((Sign::Notes, t.notes), |_| (Sign::Warns, t.warns));
    let place = pos2(rect.min.x + 9.0, rect.min.y + 12.0);
    paint_sign(&painter, sign.0, place, 13.0, sign.1.ink);
    let texts = [p.order.to_string(), p.at.to_string(), offset, level];
    for ((_, share, _), words) in COLUMNS.iter().zip(texts) {
        let at = pos2(rect.min.x + share * rect.width(), rect.min.y + 12.0);
        let font = FontId::proportional(12.5);
        painter.text(at, egui::Align2::LEFT_CENTER, words, font, t.text);
    }
    let small = FontId::proportional(12.0);
    let half = rect.min.x + 0.54 * rect.width();
    let y = rect.min.y + 22.0;
    for (x, end, words) in [
        (
            rect.min.x + 0.06 * rect.width(),
            half - 6.0,
            row.transmitters.clone(),
        ),
        (half, rect.max.x - 4.0, sentence(&row.receiver)),
    ] {
        let mut job = egui::text::LayoutJob::simple_singleline(words, small.clone(), t.soft);
        job.wrap = egui::text::TextWrapping::truncate_at_width(end - x);
        let galley = painter.layout_job(job);
        painter.galley(pos2(x, y), galley, t.soft);
    }
    response.on_hover_text(label)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::{ChannelId, Dbm, Frequency};
    use crate::picture::site::Disturbed;

    fn product(order: u8, hertz: u64, offset_hz: i64, level: Option<f64>) -> Product {
        Product {
            order,
            terms: Vec::new(),
            at: Frequency::from_hertz(hertz),
            disturbed: Disturbed::Listeners(ChannelId(1)),
            offset_hz,
            together: None,
            level: level.map(Dbm),
        }
    }

    fn places(by: Column, down: bool) -> Vec<u64> {
        let all = [
            product(5, 1, -900, None),
            product(3, 2, 200, Some(-110.0)),
            product(3, 3, -50, Some(-80.5)),
        ];
        let mut rows: Vec<Row<'_>> = all
            .iter()
            .map(|product| Row {
                product,
                transmitters: String::new(),
                receiver: String::new(),
            })
            .collect();
        sort(&mut rows, Order { by, down });
        rows.iter().map(|r| r.product.at.hertz()).collect()
    }

    #[test]
    fn products_come_in_the_order_asked_for() {
        assert_eq!(places(Column::Worst, false), [1, 2, 3]);
        assert_eq!(places(Column::Order, false), [2, 3, 1]);
        assert_eq!(places(Column::Order, true), [1, 2, 3]);
        assert_eq!(places(Column::Offset, false), [3, 2, 1]);
        assert_eq!(places(Column::At, true), [3, 2, 1]);
    }

    #[test]
    fn an_unknown_level_comes_last_either_way() {
        assert_eq!(places(Column::Level, false), [2, 3, 1]);
        assert_eq!(places(Column::Level, true), [3, 2, 1]);
    }

    #[test]
    fn asking_twice_turns_the_order() {
        let mut order = Order::default();
        order.ask(Column::Level);
        assert_eq!((order.by, order.down), (Column::Level, false));
        order.ask(Column::Level);
        assert!(order.down);
        order.ask(Column::At);
        assert_eq!((order.by, order.down), (Column::At, false));
    }
}
