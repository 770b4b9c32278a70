//! One frame of the board: what the pointer did, then everything drawn in order.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use egui::accesskit::Role;
use egui::{Color32, Id, Rect, Sense, Ui, WidgetInfo};

use super::cards;
use super::comparing;
use super::folded;
use super::hit::{Hit, Part, handle};
use super::interact;
use super::join;
use super::keys;
use super::line_draw::{self, Woven};
use super::menu;
use super::needs;
use super::nodes;
use super::obstacle::{self, Asked};
use super::out_of_service;
use super::overlay;
use super::pen::{Pen, Strength};
use super::phase_change::{self, Glide};
use super::pieces::Pieces;
use super::reconnect;
use super::rename;
use super::state::{BoardState, Drag, Targets};
use super::talk::TalkView;
use super::talk_draw;
use super::talk_labels;
use super::talk_strip;
use crate::app::theme::Tokens;
use crate::app::view::ViewCtx;
use crate::hearing::Together;
use crate::layout::{HANDLE, Layout, Piece};
use crate::model::{ChannelId, Party, Phase, Scenario, Severity, TalkGroupRef, ThingId, UnitId};
use crate::picture::Picture;

/// Most things in view that are drawn with all their text and exposed by name.
const NEAR: usize = 400;

/// What the drawing functions look up.
pub(super) struct Scene<'a> {
    pub(super) scenario: &'a Arc<Scenario>,
    /// What was worked out of it.
    pub(super) picture: &'a Arc<Picture>,
    pub(super) phase: &'a Phase,
    pub(super) layout: &'a Layout,
    pub(super) talk: Option<&'a TalkView>,
    /// Seconds of the talk since it began.
    pub(super) now: f32,
    /// Who talks at the same time, and what comes of both.
    pub(super) over: Option<&'a (TalkView, Together)>,
    /// How far the change from another phase is.
    pub(super) glide: Option<Glide<'a>>,
    /// The way between two that are asked about, with what breaks it.
    pub(super) asked: Option<Asked>,
    /// Seconds of the talk since the second one began.
    over_now: f32,
    pub(super) hovered: Option<Hit>,
    pub(super) selection: &'a BTreeSet<ThingId>,
    worst: &'a BTreeMap<ThingId, Severity>,
    t: &'a Tokens,
    /// The needs are drawn, and other lines step back.
    pub(super) needs: bool,
    /// Talk groups that are part of a loop.
    pub(super) loops: &'a BTreeSet<TalkGroupRef>,
    pub(super) targets: Option<(ThingId, &'a Targets)>,
}

/// What the drawing of a thing follows from, beside what it is and what lies under the pointer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Seen {
    strength: Strength,
    is_selected: bool,
    has_arrived: bool,
    is_looped: bool,
    worst: Option<Severity>,
}

impl Scene<'_> {
    /// Returns what the drawing of a thing follows from.
    pub(super) fn seen(&self, thing: ThingId) -> Seen {
        Seen {
            strength: self.strength(thing),
            is_selected: self.is_selected(thing),
            has_arrived: self.has_arrived(thing),
            is_looped: matches!(thing, ThingId::TalkGroup(group) if self.loops.contains(&group)),
            worst: self.worst.get(&thing).copied(),
        }
    }

    /// Returns who talks, first and second.
    pub(super) fn talkers(&self) -> [Option<Party>; 2] {
        let second = self.over.map(|(talk, _)| talk.party);
        [self.talk.map(|talk| talk.party), second]
    }

    /// Tells whether things carry the signs of their findings: not while something else is looked at.
    pub(super) fn is_marked(&self) -> bool {
        self.talk.is_none() && self.targets.is_none() && self.asked.is_none()
    }

    /// Returns how strongly a thing is drawn.
    pub(super) fn strength(&self, thing: ThingId) -> Strength {
        if let Some((from, targets)) = self.targets {
            let is_open = thing == from || matches!(targets.get(&thing), Some(Ok(_)));
            return if is_open {
                Strength::Full
            } else {
                Strength::Dim
            };
        }
        let is_lit_by_other = self
            .over
            .is_some_and(|(talk, _)| talk.lit.get(&thing).is_some_and(|at| *at <= self.over_now));
        if let Some(asked) = &self.asked {
            return if asked.concerns(thing) {
                Strength::Full
            } else {
                Strength::Dim
            };
        }
        match self.talk {
            _ if is_lit_by_other => Strength::Full,
            Some(talk) => match talk.lit.get(&thing) {
                Some(at) if *at <= self.now => Strength::Full,
                Some(_) => Strength::Half,
                None => Strength::Dim,
            },
            None => Strength::Full,
        }
    }

    /// Returns how strongly frames are drawn.
    pub(super) fn backdrop(&self) -> Strength {
        if self.talk.is_some() || self.targets.is_some() || self.asked.is_some() {
            Strength::Half
        } else {
            Strength::Full
        }
    }

    pub(super) fn is_selected(&self, thing: ThingId) -> bool {
        self.selection.contains(&thing)
    }

    pub(super) fn is_hovered(&self, thing: ThingId) -> bool {
        self.hovered
            .is_some_and(|h| h.thing == thing && h.part != Part::Mic)
    }

    pub(super) fn is_mic_hovered(&self, unit: UnitId) -> bool {
        self.hovered.is_some_and(|h| h.thing == unit.into())
    }

    /// Tells whether the message has reached a thing by now.
    pub(super) fn has_arrived(&self, thing: ThingId) -> bool {
        self.talk
            .and_then(|t| t.lit.get(&thing))
            .is_some_and(|at| *at <= self.now)
    }

    /// Tells whether a party talks, first or second.
    pub(super) fn talks(&self, party: Party) -> bool {
        self.talk.is_some_and(|t| t.party == party)
            || self.over.is_some_and(|(t, _)| t.party == party)
    }

    /// Returns the colour of a channel.
    pub(super) fn channel_colour(&self, channel: ChannelId) -> Color32 {
        let turn = self.layout.turn(channel.into());
        turn.map_or(Color32::TRANSPARENT, |turn| self.t.channel(turn))
    }

    /// Returns what a connection is being dragged from.
    pub(super) fn connects(&self) -> Option<ThingId> {
        self.targets.map(|(from, _)| from)
    }

    /// Puts the sign of the worst finding on the corner of a thing.
    pub(super) fn mark(&self, pen: &Pen, thing: Option<ThingId>, rect: Rect) {
        if let Some(thing) = thing {
            self.mark_at(pen, &[thing], rect.min + egui::vec2(2.0, 2.0));
        }
    }

    /// Puts the sign of the worst finding about some things at a spot.
    pub(super) fn mark_at(&self, pen: &Pen, things: &[ThingId], at: egui::Pos2) {
        let worst = things.iter().filter_map(|t| self.worst.get(t)).min();
        if let Some(severity) = worst.filter(|s| **s != Severity::Notes)
            && self.is_marked()
        {
            cards::finding_mark(pen, *severity, at);
        }
    }
}

/// Shows the board and does what the pointer asks.
pub(crate) fn board_ui(ctx: &mut ViewCtx<'_>, ui: &Ui, state: &mut BoardState) {
    let view = ui.available_rect_before_wrap();
    let response = ui.interact(view, Id::unique("board"), Sense::click_and_drag());
    response.widget_info(|| WidgetInfo::labeled(Role::Canvas, true, "plan of the incident"));
    state.camera.view = view;
    let derived = ctx.derived;
    let layout = &derived.layout;
    if !state.moved && !state.is_busy() && view.width() > 60.0 && view.height() > 60.0 {
        state.camera.fit(layout.bounds, 1.0);
    }
    if let Some(things) = state.frame.take() {
        frame(state, layout, &things);
    }
    interact::pointer(ctx, ui, state, &response);
    keys::keys(ctx, ui, state, &response);

    let painter = ui.painter_at(view);
    painter.rect_filled(view, 0.0, ctx.tokens.canvas);
    let pen = Pen::new(
        painter,
        state.camera,
        ctx.tokens,
        std::mem::take(&mut state.texts),
    );
    grid(&pen);
    let scenario = Arc::clone(ctx.scenario);
    let Some(phase) = scenario.phases.get(ctx.shared.phase) else {
        return;
    };
    let time = ui.input(|i| i.time);
    phase_change::notice(state, ctx.shared.phase, time, ctx.shared.less_motion);
    let now = ctx.shared.talk.map_or(0.0, |t| ctx.shared.talked(t, time));
    let over_now = ctx
        .shared
        .second
        .map_or(0.0, |t| ctx.shared.talked(t, time));
    let mut far = std::mem::take(&mut state.far);
    let mut woven = std::mem::take(&mut state.woven);
    let mut kept = std::mem::take(&mut state.pieces);
    let targets = match &state.drag {
        Drag::Connect { from, targets, .. } => Some((*from, targets)),
        _ => None,
    };
    let scene = Scene {
        scenario: &scenario,
        picture: &derived.picture,
        phase,
        layout,
        talk: derived.talk.as_ref(),
        now,
        over: derived.over.as_ref(),
        over_now,
        glide: phase_change::glide(state, &scenario, time),
        asked: obstacle::asked(ctx),
        hovered: state.hovered,
        selection: &ctx.shared.selection,
        worst: &derived.worst,
        t: ctx.tokens,
        needs: ctx.shared.show_needs,
        loops: &derived.looped,
        targets,
    };
    match in_view(&pen, layout) {
        None => far.draw(&pen, &scene),
        Some(pieces) => {
            near(&pen, &scene, &pieces, (&mut woven, &mut kept));
            nodes::expose(ui, &scene, &pen, &pieces, ctx);
        }
    }
    folded::draw(&pen, &scene);
    if ctx.shared.show_needs && scene.talk.is_none() {
        needs::draw(&pen, &scene, derived.picture.hearing());
    }
    if let Some(talk) = scene.talk {
        talk_draw::path(&pen, &scene, talk, now);
        let mut is_moving = now < talk.length + 0.3;
        if let Some((second, _)) = scene.over {
            talk_draw::path(&pen, &scene, second, over_now);
            is_moving |= over_now < second.length + 0.3;
        }
        talk_labels::draw(&pen, &scene, talk);
        if is_moving {
            ui.ctx().request_repaint();
        }
    }
    if let Some(asked) = &scene.asked {
        obstacle::draw(&pen, &scene, asked, ctx.lit);
    }
    if let Some(glide) = scene.glide {
        phase_change::pulses(&pen, &scene, glide);
        ui.ctx().request_repaint();
    }
    if let Some(comparison) = comparing::of(ctx) {
        let other = ctx.shared.compare;
        comparing::draw(&pen, &scene, (other, comparison.as_ref()), &state.pointed);
    }
    out_of_service::draw(&pen, &scene, &ctx.shared.out);
    handles(&pen, &scene);
    overlay::ends(&pen, &scene, state);
    overlay::drags(&pen, &scene, state, ui);
    overlay::tooltips(ctx, ui, &scene, state, &response);
    state.far = far;
    state.woven = woven;
    state.pieces = kept;
    state.texts = pen.into_texts();
    overlay::tools(ctx, ui, state);
    let below = talk_strip::talk_strip(ctx, ui, view);
    let below = obstacle::asking(ctx, ui, view, below);
    out_of_service::banner(ctx, ui, state, view, below);
    comparing::list(ctx, ui, state, view);
    rename::rename_ui(ctx, ui, state);
    reconnect::offer_ui(ctx, ui, state);
    menu::menu_by_key(ctx, ui, state);
    join::join_ui(ctx, ui, state);
    if layout.bounds.is_negative() {
        overlay::welcome(ctx, ui, view);
    }
}

fn frame(state: &mut BoardState, layout: &Layout, things: &[ThingId]) {
    let rect = things
        .iter()
        .filter_map(|t| layout.rect(*t))
        .fold(Rect::NOTHING, Rect::union);
    if !rect.is_positive() {
        return;
    }
    // A selection already in view at a readable size does not move the board.
    let inside = state
        .camera
        .view
        .shrink(40.0)
        .contains_rect(state.camera.rect(rect));
    if !inside || state.camera.zoom < 0.5 {
        state.moved = true;
        state.camera.fit(rect.expand(80.0), 1.1);
    }
}

/// Dots on a grid, so that a moved board shows that it moved.
fn grid(pen: &Pen) {
    let mut step = 32.0;
    while pen.z(step) < 20.0 {
        step *= 2.0;
    }
    let seen = pen.camera.seen();
    let size = pen.z(1.0).clamp(0.9, 1.5);
    let mut mesh = egui::Mesh::default();
    let mut y = (seen.min.y / step).floor() * step;
    while y < seen.max.y {
        let mut x = (seen.min.x / step).floor() * step;
        while x < seen.max.x {
            let at = pen.camera.out(egui::pos2(x, y));
            mesh.add_colored_rect(
                Rect::from_center_size(at, egui::Vec2::splat(size * 2.0)),
                pen.t.dot,
            );
            x += step;
        }
        y += step;
    }
    pen.painter().add(mesh);
}

/// Lists the pieces in view; `None` when they are too many or too small for their text.
fn in_view(pen: &Pen, layout: &Layout) -> Option<Vec<Piece>> {
    if pen.camera.zoom < 0.22 {
        return None;
    }
    let pieces = layout.pieces_in(pen.camera.seen().expand(8.0 / pen.camera.zoom));
    let weight: usize = pieces.iter().map(|piece| layout.weight(*piece)).sum();
    (weight <= NEAR).then_some(pieces)
}

fn near(pen: &Pen, scene: &Scene<'_>, pieces: &[Piece], (woven, kept): (&mut Woven, &mut Pieces)) {
    for frame in scene.layout.frames().filter(|f| pen.sees(f.rect)) {
        cards::frame(pen, scene, frame);
    }
    line_draw::lines(pen, scene, woven);
    kept.draw(pen, scene, pieces);
}

/// Returns the things whose rings are shown: under the pointer and selected.
pub(super) fn ringed(state: &BoardState, selection: &BTreeSet<ThingId>) -> Vec<ThingId> {
    let mut things: Vec<ThingId> = state.hovered.map(|h| h.thing).into_iter().collect();
    if selection.len() <= 8 {
        things.extend(selection.iter().copied());
    }
    things.sort_unstable();
    things.dedup();
    things
}

fn handles(pen: &Pen, scene: &Scene<'_>) {
    if scene.talk.is_some() || scene.asked.is_some() {
        return;
    }
    let t: &Tokens = pen.t;
    let show = |thing: ThingId, near: bool| {
        if let Some(at) = handle(scene.layout, thing) {
            // The ring keeps its size on the screen.
            let radius = HANDLE / pen.camera.zoom.clamp(0.6, 1.6);
            pen.spot(at, radius + 1.0, t.card);
            pen.ring(at, radius, 2.0, t.accent.ink);
            if near {
                pen.spot(at, radius * 0.5, t.accent.ink);
            }
        }
    };
    if let Some((from, _)) = scene.targets {
        show(from, true);
        return;
    }
    if let Some(hovered) = scene.hovered {
        show(hovered.thing, hovered.part == Part::Handle);
    }
    if scene.selection.len() <= 8 {
        for thing in scene.selection {
            if scene.hovered.is_none_or(|h| h.thing != *thing) {
                show(*thing, false);
            }
        }
    }
}
