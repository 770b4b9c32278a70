//! The tour: a few cards that point at the parts of the window. It stands beside the work, never in
//! its way: everything can be tried while a card is shown.

use egui::{
    Align2, Area, Color32, Context, CornerRadius, Frame, Id, Key, LayerId, Margin, Modifiers,
    Order, Pos2, Rect, RichText, Stroke, StrokeKind, Vec2, pos2, vec2,
};

use crate::app::action::Action;
use crate::app::state::{Tab, View};
use crate::app::theme::{Tokens, primary_button, quiet_button, semibold, text_button};
use crate::app::view::ViewCtx;

/// Where the parts of the window are in this frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Landmarks {
    /// The bar at the top.
    pub top: Rect,
    /// The shelf, if it is shown.
    pub shelf: Option<Rect>,
    /// The side panel, if it is shown.
    pub side: Option<Rect>,
    /// The strip of views and phases.
    pub strip: Rect,
    /// The middle.
    pub middle: Rect,
}

/// What a card points at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Part {
    Top,
    Shelf,
    Side,
    Strip,
    Middle,
}

struct Stop {
    part: Part,
    head: &'static str,
    text: &'static str,
    /// The tab of the side panel it speaks of.
    tab: Option<Tab>,
}

const STOPS: [Stop; 8] = [
    Stop {
        part: Part::Middle,
        head: "An incident on the board",
        text: "Units with their radios on the left, channels in the middle, gateways with their \
               donor radios and talk groups on the right. Lines show what is tuned and cabled. \
               This plan was made in a hurry and holds mistakes.",
        tab: None,
    },
    Stop {
        part: Part::Middle,
        head: "Let somebody talk",
        text: "Press a unit and hold it. Its message lights up hop by hop: an ear with the delay \
               for whoever hears, a crossed ear for whoever does not. Let go to end it.",
        tab: None,
    },
    Stop {
        part: Part::Side,
        head: "What will go wrong",
        text: "Findings follow every change. Stops: the plan does not work. Warns: it works badly, \
               or by luck. Open one for the reason, the numbers and the cure.",
        tab: Some(Tab::Findings),
    },
    Stop {
        part: Part::Side,
        head: "Why do they not hear each other?",
        text: "One row a speaker, one column a listener. Click a silent pair: the card names what \
               is in the way and the fewest changes that would join them.",
        tab: Some(Tab::Matrix),
    },
    Stop {
        part: Part::Middle,
        head: "Flip a switch",
        text: "Click a position of a port's switch on a gateway. Hearing and findings follow at \
               once, and every step can be undone.",
        tab: None,
    },
    Stop {
        part: Part::Strip,
        head: "Other views, other phases",
        text: "The same plan as a matrix, by needs, by talk groups, as a site plan or as tables. On \
               the right the phases: switches may differ from one to the next.",
        tab: None,
    },
    Stop {
        part: Part::Shelf,
        head: "Your own plan",
        text: "File, New begins an empty one. Drag things from the shelf onto the board, then drag \
               from the ring at a thing's edge to what it is to be joined with.",
        tab: None,
    },
    Stop {
        part: Part::Top,
        head: "Help at hand",
        text: "F1 explains what is selected. Every command stands in a menu with its key. The sun or \
               moon on the right changes the colours: light, dark, sunlight, night. Test \
               every link on the air before anybody relies on it.",
        tab: None,
    },
];

/// Width of a card, in points.
const WIDTH: f32 = 330.0;

/// Shows the card of the tour's stop, if the tour is on.
pub(crate) fn tour_ui(
    ctx: &mut ViewCtx<'_>,
    egui: &Context,
    tour: &mut Option<usize>,
    marks: &Landmarks,
) {
    let Some(number) = *tour else { return };
    let Some(stop) = STOPS.get(number) else {
        *tour = None;
        return;
    };
    let t = ctx.tokens;
    // A part that is hidden is spoken of in the middle.
    let rect = match stop.part {
        Part::Top => Some(marks.top),
        Part::Shelf => marks.shelf,
        Part::Side => marks.side,
        Part::Strip => Some(marks.strip),
        Part::Middle => Some(marks.middle),
    };
    let part = if rect.is_some() {
        stop.part
    } else {
        Part::Middle
    };
    let rect = rect.unwrap_or(marks.middle);
    // Enter goes on, while nothing else has the keys.
    let is_free = egui.memory(|m| m.focused().is_none());
    if is_free && egui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Enter)) {
        let next = (number + 1 < STOPS.len()).then_some(number + 1);
        go(ctx, tour, next);
        return;
    }
    outline(egui, t, rect);
    let (pivot, at) = spot(part, rect);
    Area::new(Id::unique("tour"))
        .order(Order::Foreground)
        .pivot(pivot)
        .fixed_pos(at)
        .constrain(true)
        .show(egui, |ui| {
            Frame::new()
                .fill(t.card)
                .stroke(Stroke::new(2.0, t.accent.ink))
                .corner_radius(CornerRadius::same(12))
                .inner_margin(Margin::same(16))
                .show(ui, |ui| {
                    ui.set_width(WIDTH);
                    ui.spacing_mut().item_spacing.y = 8.0;
                    let count = format!("{} of {}", number + 1, STOPS.len());
                    ui.label(RichText::new(count).size(12.0).color(t.faint));
                    ui.label(RichText::new(stop.head).font(semibold(16.0)).color(t.text));
                    ui.add(egui::Label::new(RichText::new(stop.text).color(t.soft)).wrap());
                    ui.horizontal(|ui| {
                        let is_last = number + 1 == STOPS.len();
                        if is_last {
                            if primary_button(ui, t, "Begin").clicked() {
                                go(ctx, tour, None);
                            }
                        } else if primary_button(ui, t, "Next stop").clicked() {
                            go(ctx, tour, Some(number + 1));
                        }
                        if number > 0 && text_button(ui, t, "Back").clicked() {
                            go(ctx, tour, Some(number - 1));
                        }
                        if !is_last && quiet_button(ui, t, "End the tour").clicked() {
                            go(ctx, tour, None);
                        }
                    });
                });
        });
}

/// Goes to a stop, and shows the tab it speaks of; nowhere means the tour is over.
fn go(ctx: &mut ViewCtx<'_>, tour: &mut Option<usize>, number: Option<usize>) {
    *tour = number;
    let Some(stop) = number.and_then(|n| STOPS.get(n)) else {
        ctx.push(Action::Toured);
        return;
    };
    if let Some(tab) = stop.tab {
        ctx.push(Action::Tab(tab));
    }
    if stop.part == Part::Middle && ctx.shared.view != View::Board {
        ctx.command(crate::app::command::Command::ViewBoard);
    }
}

fn outline(egui: &Context, t: &Tokens, rect: Rect) {
    let layer = LayerId::new(Order::Foreground, Id::unique("tour-outline"));
    let painter = egui.layer_painter(layer);
    let radius = CornerRadius::same(6);
    painter.rect(
        rect.shrink(2.0),
        radius,
        Color32::TRANSPARENT,
        Stroke::new(3.0, t.accent.ink),
        StrokeKind::Inside,
    );
}

/// Returns which corner of the card stands where.
fn spot(part: Part, rect: Rect) -> (Align2, Pos2) {
    let gap = Vec2::splat(14.0);
    match part {
        Part::Top | Part::Strip => (
            Align2::CENTER_TOP,
            pos2(rect.center().x, rect.max.y + gap.y),
        ),
        Part::Shelf => (
            Align2::LEFT_CENTER,
            pos2(rect.max.x + gap.x, rect.center().y),
        ),
        Part::Side => (
            Align2::RIGHT_CENTER,
            pos2(rect.min.x - gap.x, rect.center().y),
        ),
        Part::Middle => (
            Align2::LEFT_BOTTOM,
            rect.left_bottom() + vec2(gap.x, -gap.y - 44.0),
        ),
    }
}
