//! The route of one pair as a chain: the places a message passes, with what each adds to the delay.

use egui::accesskit::Role;
use egui::text::{LayoutJob, TextWrapping};
use egui::{
    CornerRadius, FontId, Rect, ScrollArea, Sense, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2,
};

use crate::app::action::Action;
use crate::app::panels::step_sign;
use crate::app::theme::{Sign, kind_sign, paint_sign};
use crate::app::view::ViewCtx;
use crate::app::words::seconds;
use crate::hearing::{Path, StepKind};
use crate::model::ThingId;

/// One place of a chain.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Link {
    /// The thing.
    pub(super) at: ThingId,
    /// What happens there.
    pub(super) what: StepKind,
    /// Delay since the link before, its own in it, in milliseconds.
    pub(super) delay_ms: u32,
    /// Speech lost since the link before, in milliseconds.
    pub(super) clipped_ms: u32,
}

/// Lists the places of a path that a person would name: who speaks, each channel, donor, talk group,
/// tie or telephone, and who hears. What the others add is put to the next.
pub(super) fn links(path: &Path) -> Vec<Link> {
    let mut links = Vec::new();
    let (mut delay_ms, mut clipped_ms) = (0, 0);
    for (number, step) in path.steps.iter().enumerate() {
        delay_ms += step.delay_ms;
        clipped_ms += step.clipped_ms;
        let next = path.steps.get(number + 1).map(|s| s.what);
        let before = number.checked_sub(1).and_then(|n| path.steps.get(n));
        let is_named = match step.what {
            StepKind::EntersPort | StepKind::LeavesPort => false,
            // A set in hand is its unit; a donor has a place of its own.
            StepKind::Transmits { .. } => before.map(|s| s.what) == Some(StepKind::LeavesPort),
            StepKind::Receives { .. } => next == Some(StepKind::EntersPort),
            _ => true,
        };
        if is_named {
            links.push(Link {
                at: step.at,
                what: step.what,
                delay_ms,
                clipped_ms,
            });
            (delay_ms, clipped_ms) = (0, 0);
        }
    }
    links
}

/// Height of a link, widest and narrowest, and the room for an arrow.
const HIGH: f32 = 44.0;
const WIDE: (f32, f32) = (74.0, 150.0);
const ARROW: f32 = 46.0;

/// Draws the chain of a path; a click on a link shows it on the board.
pub(super) fn chain_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, path: &Path, route: &str) {
    let links = links(path);
    let count = links.len().max(1) as f32;
    let room = ui.available_width() - ARROW * (count - 1.0) - 4.0;
    let wide = (room / count).clamp(WIDE.0, WIDE.1);
    let total = count * wide + (count - 1.0) * ARROW;
    ScrollArea::horizontal()
        .id_salt(("chain", route))
        .auto_shrink([false, true])
        .show(ui, |ui| {
            let (rect, _) = ui.allocate_exact_size(vec2(total, HIGH + 12.0), Sense::hover());
            for (number, link) in links.iter().enumerate() {
                let left = rect.min.x + number as f32 * (wide + ARROW);
                let spot = Rect::from_min_size(pos2(left, rect.min.y + 2.0), vec2(wide, HIGH));
                if number > 0 {
                    arrow(ctx, ui, spot, *link);
                }
                link_ui(ctx, ui, spot, *link, (number + 1, route));
            }
        });
}

fn arrow(ctx: &ViewCtx<'_>, ui: &Ui, before: Rect, link: Link) {
    let t = ctx.tokens;
    let painter = ui.painter();
    let (from, to) = (before.min.x - ARROW + 4.0, before.min.x - 4.0);
    let y = before.center().y;
    let line = Stroke::new(1.3, t.soft);
    painter.hline(from..=to, y, line);
    painter.line_segment([pos2(to - 5.0, y - 4.0), pos2(to, y)], line);
    painter.line_segment([pos2(to - 5.0, y + 4.0), pos2(to, y)], line);
    let font = FontId::proportional(10.5);
    let middle = f32::midpoint(from, to);
    if link.delay_ms >= 5 {
        let at = pos2(middle, y - 4.0);
        let words = seconds(link.delay_ms);
        painter.text(at, egui::Align2::CENTER_BOTTOM, words, font.clone(), t.soft);
    }
    if link.clipped_ms > 0 {
        let at = pos2(middle + 6.0, y + 4.0);
        let words = seconds(link.clipped_ms);
        paint_sign(
            painter,
            Sign::ClippedFront,
            pos2(from, y + 11.0),
            11.0,
            t.warns.ink,
        );
        painter.text(at, egui::Align2::CENTER_TOP, words, font, t.warns.ink);
    }
}

fn link_ui(ctx: &mut ViewCtx<'_>, ui: &Ui, rect: Rect, link: Link, (number, route): (usize, &str)) {
    let t = ctx.tokens;
    let name = ctx.scenario.name(link.at);
    let id = ui.scope_id().with(("link", route, number));
    let response = ui.interact(rect, id, Sense::click());
    let label = format!("Step {number} of {route}: {name}");
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &label));
    let is_end = matches!(link.what, StepKind::Speaks | StepKind::Hears);
    let (fill, edge) = if is_end {
        (t.accent.ground, t.accent.ink)
    } else {
        (t.sunken, t.card_edge)
    };
    let lit = response.hovered() || response.has_focus();
    let painter = ui.painter();
    let round = CornerRadius::same(8);
    painter.rect_filled(rect, round, if lit { t.hover } else { fill });
    let width = if response.has_focus() { 2.0 } else { 1.0 };
    painter.rect_stroke(rect, round, Stroke::new(width, edge), StrokeKind::Inside);
    let sign = match link.what {
        StepKind::Carries => Sign::Channel,
        StepKind::Transmits { .. } | StepKind::Receives { .. } => kind_sign(link.at.kind()),
        what => step_sign(what),
    };
    let is_open = matches!(link.what, StepKind::Transmits { key: None, .. });
    let ink = if is_end { t.accent.ink } else { t.soft };
    paint_sign(
        painter,
        sign,
        pos2(rect.min.x + 14.0, rect.center().y),
        14.0,
        ink,
    );
    let mut job = LayoutJob::simple(
        name.clone(),
        FontId::proportional(11.5),
        t.text,
        rect.width() - 30.0,
    );
    job.wrap = TextWrapping {
        max_rows: 2,
        break_anywhere: false,
        ..TextWrapping::truncate_at_width(rect.width() - 30.0)
    };
    let galley = painter.layout_job(job);
    let at = pos2(rect.min.x + 25.0, rect.center().y - galley.size().y / 2.0);
    painter.galley(at, galley, t.text);
    let how = if is_open { ", in clear" } else { "" };
    if response
        .on_hover_text(format!("{name}{how}. Click to show it on the board"))
        .clicked()
    {
        ctx.push(Action::Show(vec![link.at]));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hearing::Hearing;
    use crate::samples::SHIPPED;

    #[test]
    fn a_chain_adds_up_to_the_delay_of_its_path() {
        let mut long = 0;
        for sample in SHIPPED.iter().take(3) {
            let syntax = crate::format::Syntax::of_name(sample.file_name);
            let scenario = crate::format::read(sample.text, syntax).unwrap();
            let phase = scenario.phases.first().unwrap().id;
            let hearing = Hearing::derive(&scenario, phase);
            for from in hearing.parties() {
                for path in hearing.message(&scenario, *from) {
                    let links = links(&path);
                    let delay: u32 = links.iter().map(|l| l.delay_ms).sum();
                    let clipped: u32 = links.iter().map(|l| l.clipped_ms).sum();
                    assert_eq!(delay, path.arrival.delay_ms);
                    assert_eq!(clipped, path.arrival.clipped_ms);
                    let ends = (links[0].what, links[links.len() - 1].what);
                    assert_eq!(ends, (StepKind::Speaks, StepKind::Hears));
                    let groups = |what: &StepKind| *what == StepKind::OnTalkGroup;
                    let on_path = path.steps.iter().filter(|s| groups(&s.what)).count();
                    let drawn = links.iter().filter(|l| groups(&l.what)).count();
                    assert_eq!(drawn, on_path, "every talk group has a place");
                    long = long.max(links.len());
                }
            }
        }
        assert!(long >= 7, "some route goes by way of a gateway");
    }
}
