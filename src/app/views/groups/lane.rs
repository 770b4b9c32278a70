//! One lane: what the talk group is for and what meets in it, who is heard there, its load, and the
//! tiles of its ports. It takes tiles that are dropped on it.

use std::collections::BTreeSet;

use egui::accesskit::Role as NodeRole;
use egui::{
    Align, CornerRadius, DragAndDrop, Label, Layout, Rect, RichText, Sense, Stroke, StrokeKind, Ui,
    UiBuilder, WidgetInfo, pos2, vec2,
};

use super::load;
use super::preview;
use super::stack::TILE;
use super::tile;
use super::{InHand, Now, switch};
use crate::app::action::Action;
use crate::app::theme::{
    Sign, elided, paint_sign, semibold, severity_pair, severity_sign, sign_label,
};
use crate::app::view::ViewCtx;
use crate::app::words::{Choice as _, ERLANG, sentence};
use crate::checks::talk_groups::{command_mixed_with_tactical, tactical_nets_joined};
use crate::model::{AgencyId, Finding, Gateway, PortRef, Role, Severity, ThingId, UnitId};
use crate::picture::lanes::{self, Lane};

/// The checks that say what should not meet on a talk group.
const MIXED: [&str; 2] = [
    command_mixed_with_tactical::CHECK.code,
    tactical_nets_joined::CHECK.code,
];
/// Units named in a lane before they are only counted.
const MOST: usize = 8;
/// Space between a lane's edge and what is in it, in points.
const PAD: f32 = 10.0;
/// Height of the plot, in points.
const PLOT: f32 = 112.0;

/// Shows one lane of a gateway.
pub(super) fn lane_ui(
    ctx: &mut ViewCtx<'_>,
    ui: &mut Ui,
    gateway: &Gateway,
    all: &[Lane],
    lane: &Lane,
    now: Now,
) {
    let t = ctx.tokens;
    let rect = ui.max_rect();
    let pointer = ui.input(|i| i.pointer.latest_pos());
    let takes = now
        .in_hand
        .filter(|port| port.gateway == gateway.id && !lane.ports.contains(port));
    let over = pointer.filter(|at| rect.contains(*at) && ui.clip_rect().contains(*at));
    let welcome = match (takes, over) {
        (Some(_), Some(_)) => Welcome::Here,
        (Some(_), None) => Welcome::Open,
        (None, _) => Welcome::No,
    };
    ground(ctx, ui, rect, lane, welcome);
    let carries = carries(ctx, lane);
    let dimmed = now.in_hand.is_some() && takes.is_none() && !is_home(lane, now.in_hand)
        || ctx.derived.talk.is_some() && carries.is_none();
    if dimmed {
        ui.multiply_opacity(0.55);
    }
    let mut row = Rows {
        left: rect.min.x + PAD,
        right: rect.max.x - PAD,
        y: rect.min.y + 8.0,
    };
    let arrived = carries.is_some_and(|at| at <= now.talked);
    title(ctx, ui, row.next(26.0), gateway, lane, arrived);
    if lane.group.is_some() {
        about(ctx, ui, &mut row, lane);
    } else {
        let words = if lane.ports.is_empty() {
            "Ports on no talk group stand here: none"
        } else {
            "Ports here hear nobody and are heard by nobody"
        };
        wrapped(ui, row.next(36.0), words, t.faint);
    }
    let top = rect.min.y + super::stack::TOP;
    for (i, port) in lane.ports.iter().enumerate() {
        let place = Rect::from_min_size(
            pos2(row.left - 2.0, top + i as f32 * TILE),
            vec2(row.right - row.left + 4.0, TILE - 6.0),
        );
        tile::tile_ui(ctx, ui, place, all, lane, *port, now);
    }
    if lane.ports.is_empty() && lane.group.is_some() {
        let place =
            Rect::from_min_size(pos2(row.left, top + 6.0), vec2(row.right - row.left, 36.0));
        wrapped(ui, place, "No port is switched here: drag one in", t.faint);
    }
    if let (Some(port), Some(at)) = (takes, over) {
        drop_here(ctx, ui, at, lane, port);
    }
}

fn is_home(lane: &Lane, port: Option<PortRef>) -> bool {
    port.is_some_and(|port| lane.ports.contains(&port))
}

/// Returns when the message on its way gets to a lane, in seconds on screen.
fn carries(ctx: &ViewCtx<'_>, lane: &Lane) -> Option<f32> {
    let talk = ctx.derived.talk.as_ref()?;
    talk.lit.get(&lane.group?.into()).copied()
}

fn drop_here(ctx: &mut ViewCtx<'_>, ui: &Ui, at: egui::Pos2, lane: &Lane, port: PortRef) {
    let group = lane.group.map(|g| g.group);
    if ui.input(|i| i.pointer.any_released()) {
        if DragAndDrop::take_payload::<InHand>(ui.ctx()).is_some() {
            switch(ctx, port, group);
        }
    } else {
        preview::note(ctx, ui, at, port, group);
    }
}

/// Whether a lane may take the tile in hand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Welcome {
    /// Nothing is in hand, or nothing that may come here.
    No,
    /// It may.
    Open,
    /// It may, and the pointer is here.
    Here,
}

fn ground(ctx: &ViewCtx<'_>, ui: &Ui, rect: Rect, lane: &Lane, welcome: Welcome) {
    let t = ctx.tokens;
    let round = CornerRadius::same(12);
    let selected = lane.group.is_some_and(|g| ctx.is_selected(g.into()));
    let (fill, edge) = match welcome {
        Welcome::Here => (t.good.ground, Stroke::new(2.5, t.good.ink)),
        Welcome::Open => (t.group, Stroke::new(1.8, t.good.ink)),
        Welcome::No if selected => (t.group, Stroke::new(2.0, t.accent.ink)),
        Welcome::No => (t.group, Stroke::new(1.0, t.group_edge)),
    };
    let painter = ui.painter();
    painter.rect(rect, round, fill, edge, StrokeKind::Inside);
    if let Some(group) = lane.group {
        let band = Rect::from_min_size(rect.min + vec2(12.0, 0.0), vec2(rect.width() - 24.0, 4.0));
        painter.rect_filled(band, CornerRadius::same(2), t.bus(group.group));
    }
}

/// The rows of a lane, from the top down.
struct Rows {
    left: f32,
    right: f32,
    y: f32,
}

impl Rows {
    /// Takes the next row.
    fn next(&mut self, height: f32) -> Rect {
        let rect = Rect::from_min_max(pos2(self.left, self.y), pos2(self.right, self.y + height));
        self.y += height;
        rect
    }
}

fn title(
    ctx: &mut ViewCtx<'_>,
    ui: &Ui,
    rect: Rect,
    gateway: &Gateway,
    lane: &Lane,
    arrived: bool,
) {
    let t = ctx.tokens;
    let response = ui.interact(
        rect,
        egui::Id::unique(("lane-title", gateway.id, lane.group)),
        Sense::click(),
    );
    let name = lane
        .group
        .and_then(|g| gateway.talk_group(g.group))
        .map_or("None", |g| g.name.as_str());
    let number = lane.group.map(|g| g.group);
    let message = if arrived { ", carries the message" } else { "" };
    let label = match number {
        Some(n) => format!("Lane {n} of {}: {name}{message}", gateway.name),
        None => format!("Lane of {} for ports on none", gateway.name),
    };
    response.widget_info(|| WidgetInfo::labeled(NodeRole::Button, true, &label));
    let painter = ui.painter();
    if response.hovered() || response.has_focus() {
        painter.rect_filled(rect, CornerRadius::same(7), t.hover);
    }
    if response.has_focus() {
        let edge = Stroke::new(1.5, t.accent.ink);
        painter.rect_stroke(rect, CornerRadius::same(7), edge, StrokeKind::Inside);
    }
    let centre = rect.left_center() + vec2(13.0, 0.0);
    let colour = number.map_or(t.faint, |n| t.bus(n));
    painter.circle_filled(centre, 11.0, if arrived { colour } else { t.card });
    painter.circle_stroke(centre, 11.0, Stroke::new(1.8, colour));
    let ink = if arrived { t.card } else { colour };
    match number {
        Some(n) => {
            let middle = egui::Align2::CENTER_CENTER;
            painter.text(centre, middle, n.to_string(), semibold(12.5), ink);
        }
        None => paint_sign(painter, Sign::Minus, centre, 12.0, ink),
    }
    let thing = lane.group.map(ThingId::from);
    let worst = thing.and_then(|thing| ctx.derived.worst.get(&thing).copied());
    let mut right = rect.max.x - 10.0;
    if let Some(severity) = worst.filter(|s| *s != Severity::Notes) {
        let ink = severity_pair(t, severity).ink;
        paint_sign(
            painter,
            severity_sign(severity),
            pos2(right, centre.y),
            17.0,
            ink,
        );
        right -= 22.0;
    }
    if arrived {
        paint_sign(painter, Sign::Mic, pos2(right, centre.y), 16.0, colour);
        right -= 20.0;
    }
    let galley = elided(
        ui.painter(),
        name,
        semibold(14.0),
        t.text,
        right - rect.min.x - 36.0,
    );
    let at = pos2(rect.min.x + 32.0, centre.y - galley.size().y / 2.0);
    ui.painter().galley(at, galley, t.text);
    if let Some(group) = lane.group
        && response
            .on_hover_text(format!("{name}. Selects the talk group"))
            .clicked()
    {
        ctx.push(Action::Select(vec![group.into()]));
    }
}

/// What the talk group is for, what meets in it, who is heard there, and its load.
fn about(ctx: &mut ViewCtx<'_>, ui: &mut Ui, row: &mut Rows, lane: &Lane) {
    let t = ctx.tokens;
    let Some(group) = lane.group else { return };
    let purpose = ctx.scenario.talk_group(group).and_then(|g| g.purpose);
    let words = purpose.map_or_else(
        || "No purpose noted".to_owned(),
        |role| format!("For {}", role.words()),
    );
    one_line(ui, row.next(18.0), None, &words, t.soft);
    mix(ctx, ui, row.next(20.0), lane, purpose);
    let derived = ctx.derived;
    let net = lane.net(&derived.picture);
    let agencies = net.map(|n| agencies(ctx, &n.agencies));
    let words = agencies.unwrap_or_else(|| "No agency".to_owned());
    one_line(
        ui,
        row.next(18.0),
        Some((Sign::Agency, t.faint)),
        &words,
        t.soft,
    );
    let heard: Vec<UnitId> = net.map_or_else(Vec::new, |n| n.units.iter().copied().collect());
    let place = row.next(40.0);
    heard_ui(ctx, ui, place, &heard);
    let place = row.next(PLOT);
    let name = ctx.scenario.name(group.into());
    match net.filter(|n| n.all_erl > 0.0) {
        Some(net) => {
            let mut child = ui.new_child(UiBuilder::new().id_salt("plot").max_rect(place));
            load::plot(ctx, &mut child, lane, net, &name);
            let practice = &ctx.scenario.practice;
            let (sign, pair) = if net.all_erl >= practice.load_most_erl {
                (Sign::Stops, t.stops)
            } else if net.all_erl >= practice.load_strained_erl {
                (Sign::Warns, t.warns)
            } else {
                (Sign::Tick, t.good)
            };
            let words = format!(
                "Busy {:.0} %: {:.2} erlang, ceiling {}",
                net.all_erl * 100.0,
                net.all_erl,
                practice.load_most_erl
            );
            let shown = Some((sign, pair.ink));
            one_line(ui, row.next(18.0), shown, &words, t.text).on_hover_text(ERLANG);
            let words = load::waiting(net.now, lane.longest_before_s());
            wrapped(ui, row.next(32.0), &words, t.soft);
        }
        None => wrapped(ui, place, "Nobody speaks here: no load to show", t.faint),
    }
}

/// The kinds of traffic that meet; a warning where a check says they should not.
fn mix(ctx: &ViewCtx<'_>, ui: &mut Ui, rect: Rect, lane: &Lane, purpose: Option<Role>) {
    let t = ctx.tokens;
    let mut roles: BTreeSet<Role> = lane.purposes.clone();
    roles.extend(purpose);
    let picture = &ctx.derived.picture;
    let crews = lane
        .net(picture)
        .map_or(0, |net| lanes::tactical(picture, net).len());
    let names: Vec<&str> = roles.iter().map(|r| r.words()).collect();
    let names = sentence(&names.join(" and "));
    let tactical = format!("Tactical of {crews} agencies");
    let is_tactical = crews > 1 && roles.iter().all(|r| *r == Role::Tactical);
    let words = match roles.len() {
        0 | 1 if is_tactical => tactical.clone(),
        0 => "No purpose noted with its channels".to_owned(),
        1 => format!("{names} alone"),
        _ => names.clone(),
    };
    let meet = |f: &Finding| match f.code {
        code if code == tactical_nets_joined::CHECK.code => format!("{tactical} meet here"),
        _ => format!("{names} meet here"),
    };
    let is_it =
        |f: &&Finding| MIXED.contains(&f.code) && lane.group.is_some_and(|g| f.subject == g.into());
    let report = &ctx.derived.report;
    if let Some(finding) = report.open.iter().find(is_it) {
        let pair = severity_pair(t, finding.severity);
        let sign = severity_sign(finding.severity);
        let response = one_line(ui, rect, Some((sign, pair.ink)), &meet(finding), pair.ink);
        response.on_hover_text(&finding.headline);
    } else if let Some(finding) = report.accepted.iter().find(is_it) {
        let words = format!("{}, accepted", meet(finding));
        one_line(ui, rect, Some((Sign::Tick, t.good.ink)), &words, t.soft);
    } else if roles.is_empty() && !is_tactical {
        one_line(ui, rect, None, &words, t.faint);
    } else {
        one_line(ui, rect, Some((Sign::Tick, t.good.ink)), &words, t.soft);
    }
}

fn agencies(ctx: &ViewCtx<'_>, present: &BTreeSet<AgencyId>) -> String {
    let short = |id: &AgencyId| {
        let agency = ctx.scenario.agencies.get(*id)?;
        let has_short = !agency.short.is_empty();
        Some(
            if has_short {
                &agency.short
            } else {
                &agency.name
            }
            .as_str(),
        )
    };
    let names: Vec<&str> = present.iter().filter_map(short).collect();
    match names.len() {
        0 => "No agency".to_owned(),
        1 => names.concat(),
        n => format!("{n} agencies: {}", names.join(", ")),
    }
}

/// The units heard in a lane, as links.
fn heard_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, rect: Rect, heard: &[UnitId]) {
    let mut child = ui.new_child(UiBuilder::new().id_salt("heard").max_rect(rect));
    child.set_clip_rect(rect.intersect(ui.clip_rect()));
    child.spacing_mut().item_spacing = vec2(6.0, 1.0);
    child.spacing_mut().interact_size.y = 16.0;
    child.horizontal_wrapped(|ui| names_ui(ctx, ui, heard, rect.width()));
}

fn names_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, heard: &[UnitId], width: f32) {
    let t = ctx.tokens;
    sign_label(ui, Sign::Ear, 13.0, t.faint);
    if heard.is_empty() {
        ui.label(
            RichText::new("Nobody is heard here")
                .size(12.0)
                .color(t.faint),
        );
        return;
    }
    let names: Vec<String> = heard
        .iter()
        .map(|id| ctx.scenario.name((*id).into()))
        .collect();
    let fitting = fitting(&names, width);
    for (id, name) in heard.iter().zip(&names).take(fitting) {
        let words = RichText::new(name).size(12.0);
        let words = if ctx.is_selected((*id).into()) {
            words.color(t.accent.ink).underline()
        } else {
            words.color(t.text)
        };
        let link = ui.add(egui::Link::new(words));
        if link
            .on_hover_text("Heard here. Click selects it; Shift+T then lets it talk")
            .clicked()
        {
            ctx.push(Action::Select(vec![(*id).into()]));
        }
    }
    let more = names.get(fitting..).unwrap_or(&[]);
    if !more.is_empty() {
        let words = format!("and {} more", more.len());
        let some: Vec<&str> = more.iter().take(60).map(String::as_str).collect();
        ui.label(RichText::new(words).size(12.0).color(t.faint))
            .on_hover_text(some.join(", "));
    }
}

/// Returns how many names fit two lines of a width, at the width letters have on average.
fn fitting(names: &[String], width: f32) -> usize {
    /// Width of a letter at this size, and of what stands between two names, in points.
    const LETTER: f32 = 6.4;
    const SPACE: f32 = 5.0;
    let mut lines = [width - 24.0, width - 78.0].into_iter();
    let mut left = lines.next().unwrap_or(0.0);
    let mut count = 0;
    for name in names.iter().take(MOST) {
        let wants = name.chars().count() as f32 * LETTER + SPACE;
        if wants > left {
            match lines.next() {
                Some(next) if wants <= next => left = next,
                _ => break,
            }
        }
        left -= wants;
        count += 1;
    }
    count
}

/// One line of text with a sign before it, cut where it does not fit.
fn one_line(
    ui: &mut Ui,
    rect: Rect,
    sign: Option<(Sign, egui::Color32)>,
    words: &str,
    ink: egui::Color32,
) -> egui::Response {
    let layout = Layout::left_to_right(Align::Center);
    let mut child = ui.new_child(UiBuilder::new().max_rect(rect).layout(layout));
    child.spacing_mut().item_spacing.x = 5.0;
    if let Some((sign, ink)) = sign {
        sign_label(&mut child, sign, 14.0, ink);
    }
    child.add(Label::new(RichText::new(words).size(12.5).color(ink)).truncate())
}

/// A text of up to two lines.
fn wrapped(ui: &mut Ui, rect: Rect, words: &str, ink: egui::Color32) {
    let mut child = ui.new_child(UiBuilder::new().max_rect(rect));
    child.set_clip_rect(rect.intersect(ui.clip_rect()));
    child.add(Label::new(RichText::new(words).size(12.0).color(ink)).wrap());
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn as_many_names_are_written_as_two_lines_hold() {
        let names = |count: usize| vec!["Fire Attack".to_owned(); count];
        assert_eq!(fitting(&names(2), 240.0), 2);
        let some = fitting(&names(20), 240.0);
        assert!((3..=5).contains(&some), "{some}");
        assert_eq!(fitting(&names(20), 10_000.0), MOST);
        assert_eq!(fitting(&[], 240.0), 0);
    }
}
