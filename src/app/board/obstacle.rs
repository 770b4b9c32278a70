//! Two that are asked about: the way between them drawn on the board, with what breaks it marked at the
//! thing where it breaks. The facts are those of the card; nothing is worked out here.

use std::collections::BTreeSet;

use egui::{Align2, Area, Id, Order, Rect, RichText, Ui, pos2};

use super::draw::Scene;
use super::overlay::floating;
use super::pen::{Pen, Strength};
use super::talk::TalkView;
use super::talk_draw::points;
use super::talk_labels::{Label, place};
use crate::app::command::Command;
use crate::app::state::Tab;
use crate::app::theme::{Sign, semibold, sign_label, text_button};
use crate::app::view::ViewCtx;
use crate::app::words::sentence;
use crate::hearing::Path;
use crate::model::{Party, ThingId};

/// Longest reason that is written on the board, in letters; the card has all of it.
const LETTERS: usize = 64;

/// The way between two, and what breaks it.
pub(super) struct Asked {
    /// The way's hops, as far as they can be drawn.
    view: Option<TalkView>,
    /// What breaks it, in the order of the way: the things concerned and the reason.
    breaks: Vec<(Vec<ThingId>, String)>,
    /// Everything concerned.
    things: BTreeSet<ThingId>,
}

impl Asked {
    /// Returns everything concerned.
    pub(super) fn things(&self) -> &BTreeSet<ThingId> {
        &self.things
    }

    /// Tells whether a thing is concerned.
    pub(super) fn concerns(&self, thing: ThingId) -> bool {
        self.things.contains(&thing)
    }
}

/// Returns what is asked about, while its card is shown and nobody talks.
pub(super) fn asked(ctx: &ViewCtx<'_>) -> Option<Asked> {
    let (from, to) = ctx.shared.asked?;
    if ctx.shared.talk.is_some() || ctx.shared.tab != Tab::Matrix {
        return None;
    }
    let picture = &ctx.derived.picture;
    let open = picture.hearing().path(picture.scenario(), from, to);
    let (way, breaks) = if let Some(path) = open {
        (Some(path), Vec::new())
    } else {
        let why = ctx.derived.why_not(from, to)?;
        let breaks = why.changes.iter();
        let breaks = breaks.map(|c| (c.things.clone(), c.reason.clone()));
        (why.way.clone(), breaks.collect())
    };
    let mut things: BTreeSet<ThingId> = [from.into(), to.into()].into();
    things.extend(breaks.iter().flat_map(|(things, _)| things.iter().copied()));
    let way = way.map(|way| on_board(ctx, way));
    things.extend(way.iter().flat_map(|w| w.steps.iter().map(|s| s.at)));
    Some(Asked {
        view: way.map(|way| TalkView::along_way(picture, way)),
        breaks,
        things,
    })
}

/// Leaves out what is not on the board, as a radio is that is only to be lent.
fn on_board(ctx: &ViewCtx<'_>, mut way: Path) -> Path {
    way.steps
        .retain(|step| ctx.derived.layout.rect(step.at).is_some());
    way
}

/// Draws the way: whole where it is open, in dashes where something breaks it. `lit` is what the card
/// points at.
pub(super) fn draw(pen: &Pen, scene: &Scene<'_>, asked: &Asked, lit: &[ThingId]) {
    pen.set(Strength::Full);
    let t = pen.t;
    let is_open = asked.breaks.is_empty();
    let broken: BTreeSet<ThingId> = asked
        .breaks
        .iter()
        .filter_map(|(things, _)| things.first().copied())
        .collect();
    for leg in asked.view.iter().flat_map(|view| &view.legs) {
        let way = points(scene.layout, leg);
        let [_, _, ..] = way.as_slice() else {
            continue;
        };
        if is_open {
            pen.path(&way, pen.line_width(9.0), t.good.ink.gamma_multiply(0.22));
            pen.path(&way, pen.line_width(3.6), t.good.ink);
        } else if broken.contains(&leg.from) || broken.contains(&leg.to) {
            pen.dashes(&way, pen.line_width(3.0), 5.0, t.stops.ink);
        } else {
            pen.dashes(&way, pen.line_width(3.0), 9.0, t.accent.ink);
        }
    }
    for thing in lit {
        if let Some(rect) = scene.layout.rect(*thing) {
            pen.outline(rect.expand(4.0), 12.0, 3.0, t.accent.ink);
        }
    }
    let mut labels = Vec::new();
    for (number, (things, reason)) in asked.breaks.iter().enumerate() {
        let mut drawn = things.iter().copied();
        let Some(thing) = drawn.find(|thing| scene.layout.rect(*thing).is_some()) else {
            continue;
        };
        if let Some(rect) = scene.layout.rect(thing) {
            pen.outline(rect.expand(3.0), 10.0, 2.5, t.stops.ink);
        }
        labels.push(Label {
            thing,
            sign: Some(Sign::Broken),
            words: format!("{}. {}", number + 1, shortened(&sentence(reason))),
            ink: t.stops.ink,
        });
    }
    place(pen, scene, labels);
}

fn shortened(text: &str) -> String {
    if text.chars().count() <= LETTERS {
        return text.to_owned();
    }
    let short: String = text.chars().take(LETTERS).collect();
    format!("{}…", short.trim_end())
}

/// Shows what to click while a question waits for its hearer; returns where the next strip may begin.
pub(super) fn asking(ctx: &mut ViewCtx<'_>, ui: &Ui, view: Rect, top: f32) -> f32 {
    let Some(party) = ctx.shared.asking else {
        return top;
    };
    let t = ctx.tokens;
    let words = format!("Click who should hear {}", name(ctx, party));
    let mut cancel = false;
    let shown = Area::new(Id::unique("asking"))
        .order(Order::Middle)
        .pivot(Align2::CENTER_TOP)
        .fixed_pos(pos2(view.center().x, top))
        .show(ui.ctx(), |ui| {
            floating(t).show(ui, |ui| {
                ui.horizontal(|ui| {
                    sign_label(ui, Sign::Path, 17.0, t.accent.ink);
                    ui.label(RichText::new(words).font(semibold(14.0)).color(t.text));
                    cancel = text_button(ui, t, "Cancel the question").clicked();
                });
            });
        });
    if cancel {
        ctx.command(Command::SelectNone);
    }
    shown.response.rect.max.y + 8.0
}

fn name(ctx: &ViewCtx<'_>, party: Party) -> String {
    ctx.scenario.name(party.into())
}
