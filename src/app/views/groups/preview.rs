//! What a switch would change, in words: who gains and who loses whom, and which needs turn.

use std::collections::BTreeMap;

use egui::{Area, CornerRadius, Frame, Id, Margin, Order, Pos2, RichText, Stroke, Ui, vec2};

use crate::app::theme::{Sign, Tokens, semibold, sign_label};
use crate::app::view::ViewCtx;
use crate::model::{Need, NeedId, Party, PortRef, ThingId};
use crate::picture::what_if::{MOST_PARTIES, Moved};

/// Lines of one kind before they are only counted.
const MOST: usize = 4;
/// Names in one line before they are only counted.
const NAMES: usize = 3;

/// Which way a line of the preview turns.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Turn {
    /// Somebody or something is won.
    Gain,
    /// Somebody or something is lost.
    Loss,
}

/// Says what a switch changes, losses first.
pub(super) fn lines(
    moved: &Moved,
    name: impl Fn(ThingId) -> String,
    aim: impl Fn(NeedId) -> &'static str,
) -> Vec<(Turn, String)> {
    let mut out = Vec::new();
    for (turn, needs, words) in [
        (Turn::Loss, &moved.unmet, "is no longer"),
        (Turn::Gain, &moved.met, "is"),
    ] {
        let needs = needs
            .iter()
            .map(|n| format!("{} {words} {}", name((*n).into()), aim(*n)));
        cut(&mut out, turn, needs.collect(), "need");
    }
    for (turn, pairs, words) in [
        (Turn::Loss, &moved.lost, "no longer hears"),
        (Turn::Gain, &moved.gained, "then hears"),
    ] {
        let mut by_hearer: BTreeMap<Party, Vec<Party>> = BTreeMap::new();
        for (from, to) in pairs {
            by_hearer.entry(*to).or_default().push(*from);
        }
        let hearers = by_hearer.iter().map(|(to, from)| {
            let some = from.iter().take(NAMES).map(|p| name((*p).into()));
            let some: Vec<String> = some.collect();
            let rest = match from.len().saturating_sub(NAMES) {
                0 => String::new(),
                n => format!(" and {n} more"),
            };
            format!("{} {words} {}{rest}", name((*to).into()), some.join(", "))
        });
        cut(&mut out, turn, hearers.collect(), "listener");
    }
    out
}

fn cut(out: &mut Vec<(Turn, String)>, turn: Turn, all: Vec<String>, word: &str) {
    let more = all.len().saturating_sub(MOST);
    out.extend(all.into_iter().take(MOST).map(|line| (turn, line)));
    if more > 0 {
        let plural = if more == 1 { "" } else { "s" };
        out.push((turn, format!("and {more} more {word}{plural}")));
    }
}

/// Shows beside the pointer what a switch would change.
pub(super) fn note(ctx: &ViewCtx<'_>, ui: &Ui, at: Pos2, port: PortRef, group: Option<u8>) {
    let t = ctx.tokens;
    Area::new(Id::unique("switch-preview"))
        .order(Order::Tooltip)
        .fixed_pos(at + vec2(20.0, 26.0))
        .constrain(true)
        .interactable(false)
        .show(ui.ctx(), |ui| {
            Frame::new()
                .fill(t.panel)
                .stroke(Stroke::new(1.0, t.panel_edge))
                .corner_radius(CornerRadius::same(10))
                .inner_margin(Margin::symmetric(12, 8))
                .show(ui, |ui| {
                    ui.set_max_width(340.0);
                    contents(ctx, ui, t, port, group);
                });
        });
}

/// Shows what a switch would change.
pub(super) fn contents(
    ctx: &ViewCtx<'_>,
    ui: &mut Ui,
    t: &Tokens,
    port: PortRef,
    group: Option<u8>,
) {
    ui.spacing_mut().item_spacing = vec2(6.0, 3.0);
    ui.spacing_mut().interact_size.y = 16.0;
    let name = ctx.scenario.name(port.into());
    let title = match group {
        Some(n) => format!("{name} on talk group {n}"),
        None => format!("{name} on none"),
    };
    ui.label(RichText::new(title).font(semibold(13.0)).color(t.text));
    let Some(moved) = ctx.derived.moved(port, group) else {
        let words = format!("No preview for plans of more than {MOST_PARTIES} parties");
        ui.label(RichText::new(words).size(12.0).color(t.soft));
        return;
    };
    let aim = |need| ctx.scenario.needs.get(need).map_or("met", Need::aim);
    let lines = lines(&moved, |thing| ctx.scenario.name(thing), aim);
    if lines.is_empty() {
        let words = RichText::new("Nobody gains or loses anybody");
        ui.label(words.size(12.0).color(t.soft));
    }
    for (turn, words) in lines {
        let (sign, pair) = match turn {
            Turn::Gain => (Sign::Plus, t.good),
            Turn::Loss => (Sign::Minus, t.stops),
        };
        ui.horizontal(|ui| {
            sign_label(ui, sign, 12.0, pair.ink);
            ui.add(egui::Label::new(RichText::new(words).size(12.0).color(t.text)).wrap());
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::UnitId;

    fn unit(n: u32) -> Party {
        Party::Unit(UnitId(n))
    }

    fn name(thing: ThingId) -> String {
        match thing {
            ThingId::Unit(id) => format!("U{}", id.0),
            ThingId::Need(id) => format!("Need {}", id.0),
            _ => String::new(),
        }
    }

    #[test]
    fn losses_come_first_and_are_told_by_listener() {
        let moved = Moved {
            gained: vec![(unit(1), unit(9))],
            lost: vec![(unit(2), unit(7)), (unit(3), unit(7))],
            met: vec![NeedId(4)],
            unmet: vec![NeedId(5)],
        };
        assert_eq!(
            lines(&moved, name, |_| "met"),
            [
                (Turn::Loss, "Need 5 is no longer met".to_owned()),
                (Turn::Gain, "Need 4 is met".to_owned()),
                (Turn::Loss, "U7 no longer hears U2, U3".to_owned()),
                (Turn::Gain, "U9 then hears U1".to_owned()),
            ]
        );
    }

    #[test]
    fn long_lists_are_counted() {
        let gained: Vec<_> = (0..6)
            .flat_map(|to| (10..15).map(move |from| (unit(from), unit(to))))
            .collect();
        let moved = Moved {
            gained,
            ..Moved::default()
        };
        let lines = lines(&moved, name, |_| "met");
        assert_eq!(lines.len(), MOST + 1);
        let first = lines.first().map(|l| l.1.as_str());
        assert_eq!(first, Some("U0 then hears U10, U11, U12 and 2 more"));
        let last = lines.last().map(|l| l.1.as_str());
        assert_eq!(last, Some("and 2 more listeners"));
    }
}
