//! The strip over the board while somebody talks: who hears, what two at once do to each other, how
//! fast it is shown, and whether it goes on.

use egui::{Align2, Area, Id, Order, Rect, RichText, Slider, Ui, pos2};

use super::overlay::floating;
use crate::app::action::{Action, Hold};
use crate::app::pace::Pace;
use crate::app::theme::{Sign, primary_button, semibold, sign_label};
use crate::app::view::ViewCtx;
use crate::app::words::seconds;
use crate::hearing::{Left, Meeting, Place, Together};
use crate::model::{Party, Scenario};

/// From this width of the board on, in points, everything stands in one row.
const WIDE: f32 = 960.0;
/// Width the speed and the lesson take, in points.
const CONTROLS: f32 = 335.0;
/// Most width the list of meetings takes, in points.
const MEETINGS: f32 = 430.0;
/// Most meetings that are listed one by one.
const MOST: usize = 4;

/// Shows the strip and the legend while somebody talks; returns where the next strip may begin.
pub(super) fn talk_strip(ctx: &mut ViewCtx<'_>, ui: &Ui, view: Rect) -> f32 {
    let top = view.min.y + 14.0;
    if ctx.derived.talk.is_none() || ctx.shared.talk.is_none() {
        return top;
    }
    let t = ctx.tokens;
    let is_wide = view.width() >= WIDE;
    let width = (view.width() - 60.0).clamp(240.0, if is_wide { 980.0 } else { 760.0 });
    let shown = Area::new(Id::unique("talk-strip"))
        .order(Order::Middle)
        .pivot(Align2::CENTER_TOP)
        .fixed_pos(pos2(view.center().x, top))
        .show(ui.ctx(), |ui| {
            floating(t).show(ui, |ui| {
                ui.set_max_width(width);
                ui.spacing_mut().item_spacing.y = 3.0;
                ui.spacing_mut().interact_size.y = 18.0;
                ui.horizontal(|ui| {
                    speakers(ctx, ui, if is_wide { CONTROLS } else { 0.0 });
                    if is_wide {
                        ui.add_space(10.0);
                        controls(ctx, ui);
                    }
                });
                if !is_wide {
                    ui.separator();
                    ui.horizontal_wrapped(|ui| controls(ctx, ui));
                }
            });
        });
    let legend = legend(ctx, ui, view);
    // What two do to each other stands in the corner, where it covers the least.
    if ctx.derived.over.is_some() {
        let at = pos2(view.min.x + 16.0, legend.min.y - 8.0);
        Area::new(Id::unique("talk-meetings"))
            .order(Order::Middle)
            .pivot(Align2::LEFT_BOTTOM)
            .fixed_pos(at)
            .interactable(false)
            .show(ui.ctx(), |ui| {
                floating(t).show(ui, |ui| {
                    ui.set_max_width((view.width() - 60.0).clamp(200.0, MEETINGS));
                    ui.spacing_mut().item_spacing.y = 3.0;
                    both(ctx, ui);
                });
            });
    }
    shown.response.rect.max.y + 8.0
}

/// The sentence about who hears, and the way to end it; `keep` points of the row are left free.
fn speakers(ctx: &mut ViewCtx<'_>, ui: &mut Ui, keep: f32) {
    let (Some(talk), Some(held)) = (&ctx.derived.talk, ctx.shared.talk) else {
        return;
    };
    let t = ctx.tokens;
    let s = ctx.scenario;
    let latched = held.hold == Hold::Latched;
    let text = match ctx.shared.second {
        Some(second) => format!(
            "{} and {} talk at the same time",
            s.name(held.party.into()),
            s.name(second.party.into())
        ),
        None => talk.summary(|thing| s.name(thing), 3),
    };
    let wait = talk.paths.iter().map(|p| p.wait_ms).max().unwrap_or(0);
    let under = match (latched, ctx.shared.second) {
        (_, Some(second)) if second.hold == Hold::Latched => {
            "Press another to hear it in place of the second. Escape ends both."
        }
        (_, Some(_)) => "Let go to hear the first alone again.",
        (true, None) => {
            "Click one who does not hear to see why. Press another to let both talk at once."
        }
        (false, None) => "Let go to end. Shift+T keeps it talking.",
    };
    let under = if wait > 0 {
        format!("Wait {} before speaking. {under}", seconds(wait))
    } else {
        under.to_owned()
    };
    let (sign, ink) = if ctx.shared.second.is_some() {
        (Sign::Collide, t.stops.ink)
    } else {
        (Sign::Mic, t.accent.ink)
    };
    sign_label(ui, sign, 18.0, ink);
    ui.vertical(|ui| {
        ui.set_max_width(ui.available_width() - keep - 60.0);
        ui.spacing_mut().item_spacing.y = 2.0;
        ui.label(RichText::new(text).font(semibold(14.0)).color(t.text));
        ui.label(RichText::new(under).size(12.0).color(t.faint));
    });
    if latched && primary_button(ui, t, "End").clicked() {
        ctx.push(Action::Quiet);
    }
}

/// What two messages at once do to each other.
fn both(ctx: &ViewCtx<'_>, ui: &mut Ui) {
    let Some((_, together)) = &ctx.derived.over else {
        return;
    };
    let t = ctx.tokens;
    let s = ctx.scenario;
    let mut line = |sign: Sign, ink, words: String| {
        ui.horizontal(|ui| {
            sign_label(ui, sign, 14.0, ink);
            ui.add(egui::Label::new(RichText::new(words).size(12.5).color(t.text)).wrap());
        });
    };
    if together.meetings.is_empty() {
        line(
            Sign::Tick,
            t.good.ink,
            "They meet nowhere: both go on undisturbed".to_owned(),
        );
    }
    for meeting in together.meetings.iter().take(MOST) {
        let (sign, ink) = match meeting.place {
            Place::Channel { .. } | Place::Busy(_) => (Sign::Collide, t.stops.ink),
            Place::Deaf(_) | Place::Held(_) => (Sign::EarCrossed, t.warns.ink),
            Place::TalkGroup(_) => (Sign::Ear, t.notes.ink),
        };
        line(sign, ink, meeting_words(s, together, meeting));
    }
    let more = together.meetings.len().saturating_sub(MOST);
    let rest = if more > 0 {
        format!("They meet at {more} more places. ")
    } else {
        String::new()
    };
    line(
        Sign::Notes,
        t.faint,
        format!("{rest}{}", ears_words(s, together)),
    );
}

/// Says what happens where two messages meet.
pub(super) fn meeting_words(s: &Scenario, both: &Together, meeting: &Meeting) -> String {
    let second = s.name(both.second.into());
    let first = s.name(both.first.into());
    match meeting.place {
        Place::Channel { channel, repeater } => {
            let at = match repeater {
                Some(system) => format!(" at {}", s.name(system.into())),
                None => String::new(),
            };
            format!(
                "Both at once on {}{at}: garbled for {}",
                s.name(channel.into()),
                meeting.garbled.len()
            )
        }
        Place::Busy(channel) => format!(
            "{} is taken: {second} gets a busy there",
            s.name(channel.into())
        ),
        Place::Deaf(port) => format!(
            "{} sends {first}, so it does not take in {second}",
            s.name(port.into())
        ),
        Place::Held(port) => format!(
            "{} takes in {first}, so it does not send {second}",
            s.name(port.into())
        ),
        Place::TalkGroup(group) => format!(
            "Both are mixed on {} and heard one over the other",
            s.name(group.into())
        ),
    }
}

/// Counts the ears: "Garbled for 5; 3 hear only Engine 1; …".
fn ears_words(s: &Scenario, both: &Together) -> String {
    let count = |left: Left| {
        let who = both.who(left);
        who.iter()
            .filter(|p| **p != both.first && **p != both.second)
            .count()
    };
    let mut parts = Vec::new();
    let mut part = |n: usize, one: &str, many: &str, what: &str| {
        if n > 0 {
            parts.push(format!("{n} {} {what}", if n == 1 { one } else { many }));
        }
    };
    let name = |party: Party| s.name(party.into());
    part(
        count(Left::Garbled),
        "makes",
        "make",
        "out neither, or only the stronger",
    );
    part(
        count(Left::First),
        "hears",
        "hear",
        &format!("only {}", name(both.first)),
    );
    part(
        count(Left::Second),
        "hears",
        "hear",
        &format!("only {}", name(both.second)),
    );
    part(count(Left::Both), "hears", "hear", "both");
    part(count(Left::Nothing), "hears", "hear", "nothing");
    let duplex = [both.first, both.second].into_iter().filter(|p| {
        let left = both.ears.get(p).copied();
        left.is_some_and(|l| l != Left::Nothing)
    });
    for party in duplex {
        parts.push(format!("{} hears while it talks", name(party)));
    }
    parts.join("; ")
}

/// How fast it is shown, and whether it goes on.
fn controls(ctx: &mut ViewCtx<'_>, ui: &mut Ui) {
    let t = ctx.tokens;
    let label = ui.label(RichText::new("Speed").size(12.5).color(t.soft));
    let mut place = ctx.shared.pace.place();
    let most = Pace::ALL.len() - 1;
    let visuals = &mut ui.visuals_mut().widgets.inactive;
    visuals.bg_fill = t.card_edge;
    let slider = Slider::new(&mut place, 0..=most)
        .step_by(1.0)
        .show_value(false);
    let response = ui.add(slider).labelled_by(label.id).on_hover_text(
        "Shows the talk slower, so that a quarter of a second can be seen (, and .)",
    );
    if response.changed()
        && let Some(pace) = Pace::ALL.get(place)
    {
        ctx.push(Action::Pace(*pace));
    }
    ui.label(
        RichText::new(ctx.shared.pace.words())
            .font(semibold(12.5))
            .color(t.text),
    );
    ui.add_space(14.0);
    let mut lesson = ctx.shared.lesson;
    let switch = ui
        .checkbox(&mut lesson, "Lesson: stays talking")
        .on_hover_text("Whoever was pressed talks on until it is ended (L)");
    if switch.changed() {
        ctx.push(Action::Lesson(lesson));
    }
}

/// Shows what the signs mean; returns where it stands.
fn legend(ctx: &ViewCtx<'_>, ui: &Ui, view: Rect) -> Rect {
    let t = ctx.tokens;
    let is_two = ctx.derived.over.is_some();
    let shown = Area::new(Id::unique("talk-legend"))
        .order(Order::Middle)
        .pivot(Align2::LEFT_BOTTOM)
        .fixed_pos(pos2(view.min.x + 16.0, view.max.y - 16.0))
        .interactable(false)
        .show(ui.ctx(), |ui| {
            floating(t).show(ui, |ui| {
                ui.horizontal(|ui| {
                    let mut item = |sign, colour, words: &str| {
                        sign_label(ui, sign, 15.0, colour);
                        ui.label(RichText::new(words).size(12.0).color(t.soft));
                        ui.add_space(4.0);
                    };
                    if is_two {
                        item(Sign::Ear, t.good.ink, "hears");
                        item(Sign::Collide, t.stops.ink, "garbled, or a busy");
                    } else {
                        item(Sign::Ear, t.good.ink, "hears, after so long");
                        item(Sign::ClippedFront, t.warns.ink, "start lost");
                    }
                    item(Sign::EarCrossed, t.soft, "does not hear");
                    item(Sign::Lock, t.good.ink, "sent encrypted");
                    item(Sign::LockOpen, t.notes.ink, "sent in clear");
                });
            });
        });
    shown.response.rect
}
