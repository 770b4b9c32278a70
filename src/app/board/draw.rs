//! One frame of the board: what the pointer did, then everything drawn in order.

use std::collections::{BTreeMap, BTreeSet};

use egui::accesskit::Role;
use egui::{Color32, Id, Rect, Sense, Ui, WidgetInfo};

use super::cards;
use super::far;
use super::folded;
use super::gateways;
use super::hit::{Hit, Part, handle};
use super::interact;
use super::join;
use super::keys;
use super::layout::{HANDLE, Layout, Line, LineKind};
use super::menu;
use super::needs;
use super::nodes;
use super::overlay;
use super::pen::{Pen, Strength, flatten};
use super::reconnect;
use super::rename;
use super::state::{BoardState, Drag, Targets};
use super::talk::TalkView;
use super::talk_draw;
use crate::app::theme::Tokens;
use crate::app::view::ViewCtx;
use crate::model::{ChannelId, Phase, Scenario, Severity, TalkGroupRef, ThingId, UnitId};

/// Most things in view that are drawn with all their text and exposed by name.
const NEAR: usize = 400;

/// What the drawing functions look up.
pub(super) struct Scene<'a> {
    pub(super) scenario: &'a Scenario,
    pub(super) phase: &'a Phase,
    pub(super) layout: &'a Layout,
    pub(super) talk: Option<&'a TalkView>,
    /// Seconds since the talking began.
    pub(super) now: f32,
    pub(super) hovered: Option<Hit>,
    selection: &'a BTreeSet<ThingId>,
    worst: &'a BTreeMap<ThingId, Severity>,
    colours: BTreeMap<ChannelId, Color32>,
    /// The needs are drawn, and other lines step back.
    needs: bool,
    /// Talk groups that are part of a loop.
    pub(super) loops: BTreeSet<TalkGroupRef>,
    targets: Option<(ThingId, &'a Targets)>,
}

impl Scene<'_> {
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
        match self.talk {
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
        if self.talk.is_some() || self.targets.is_some() {
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

    /// Returns the colour of a channel.
    pub(super) fn channel_colour(&self, channel: ChannelId) -> Color32 {
        self.colours
            .get(&channel)
            .copied()
            .unwrap_or(Color32::TRANSPARENT)
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
            && self.talk.is_none()
            && self.targets.is_none()
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
    let pen = Pen::new(painter, state.camera, ctx.tokens);
    grid(&pen);
    let scenario = std::sync::Arc::clone(ctx.scenario);
    let Some(phase) = scenario.phases.get(ctx.shared.phase) else {
        return;
    };
    let now = ctx
        .shared
        .talk
        .map_or(0.0, |t| (ui.input(|i| i.time) - t.since) as f32);
    let targets = match &state.drag {
        Drag::Connect { from, targets, .. } => Some((*from, targets)),
        _ => None,
    };
    let scene = Scene {
        scenario: &scenario,
        phase,
        layout,
        talk: derived.talk.as_ref(),
        now,
        hovered: state.hovered,
        selection: &ctx.shared.selection,
        worst: &derived.worst,
        colours: layout
            .pills
            .iter()
            .map(|p| (p.id, ctx.tokens.channel(p.turn)))
            .collect(),
        needs: ctx.shared.show_needs,
        loops: derived
            .picture
            .hearing()
            .loops()
            .iter()
            .flat_map(|l| l.groups.iter().copied())
            .collect(),
        targets,
    };
    let seen = layout.things().filter(|(_, r)| pen.sees(*r)).count();
    if seen > NEAR || state.camera.zoom < 0.22 {
        far::draw(&pen, &scene);
    } else {
        near(&pen, &scene);
        nodes::expose(ui, &scene, &pen, ctx);
    }
    folded::draw(&pen, &scene);
    if ctx.shared.show_needs && scene.talk.is_none() {
        needs::draw(&pen, &scene, derived.picture.hearing());
    }
    if let Some(talk) = scene.talk {
        talk_draw::path(&pen, &scene, talk);
        if now < talk.length + 0.3 {
            ui.ctx().request_repaint();
        }
    }
    handles(&pen, &scene);
    overlay::ends(&pen, &scene, state);
    overlay::drags(&pen, &scene, state, ui);
    overlay::tooltips(ctx, ui, &scene, state, &response);
    drop(scene);
    overlay::tools(ctx, ui, state);
    overlay::talk_strip(ctx, ui, view);
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

fn near(pen: &Pen, scene: &Scene<'_>) {
    let layout = scene.layout;
    for frame in layout.frames.iter().filter(|f| pen.sees(f.rect)) {
        cards::frame(pen, scene, frame);
    }
    let mut kept: Vec<(bool, &Line)> = layout
        .lines
        .iter()
        .filter(|line| pen.sees(line.bounds().expand(4.0)))
        .map(|line| (is_of_interest(scene, line), line))
        .collect();
    // Lines of what is selected or under the pointer come last, above the others.
    kept.sort_by_key(|(keen, _)| *keen);
    for (keen, line) in kept {
        draw_line(pen, scene, line, keen);
    }
    for pill in layout.pills.iter().filter(|p| pen.sees(p.rect)) {
        cards::pill(pen, scene, pill);
    }
    for gateway in layout.boxes.iter().filter(|b| pen.sees(b.rect)) {
        gateways::gateway(pen, scene, gateway);
    }
    for chip in layout.loose.iter().filter(|c| pen.sees(c.rect)) {
        cards::loose(pen, scene, chip);
    }
    for card in layout.cards.iter().filter(|c| pen.sees(c.rect)) {
        cards::unit(pen, scene, card);
    }
    pen.set(Strength::Full);
}

fn is_of_interest(scene: &Scene<'_>, line: &Line) -> bool {
    [line.from, line.to].into_iter().any(|thing| {
        scene.is_hovered(thing) || scene.is_selected(thing) || {
            let holder = match thing {
                ThingId::Radio(id) => scene
                    .scenario
                    .radios
                    .get(id)
                    .and_then(|r| r.held_by)
                    .map(ThingId::from),
                _ => None,
            };
            holder.is_some_and(|h| scene.is_hovered(h) || scene.is_selected(h))
        }
    })
}

fn draw_line(pen: &Pen, scene: &Scene<'_>, line: &Line, keen: bool) {
    let t = pen.t;
    let strength = match (scene.talk, scene.targets) {
        (None, None) if !scene.needs => Strength::Full,
        _ => Strength::Dim,
    };
    pen.set(strength);
    let colour = line.channel.map_or(t.soft, |c| scene.channel_colour(c));
    let width = pen.line_width(if keen { 3.2 } else { 2.0 });
    let share = if keen { 1.0 } else { 0.72 };
    let ink = match line.kind {
        LineKind::Tuned | LineKind::Donor => colour.gamma_multiply(share),
        LineKind::Tie => t.soft,
        LineKind::Held => {
            for curve in &line.curves {
                pen.dashes(&flatten(*curve), width * 0.8, 6.0, t.faint);
            }
            return;
        }
    };
    // A thin edge in the ground's colour keeps crossing lines apart.
    for curve in &line.curves {
        pen.curve(*curve, width + 2.5, t.canvas);
    }
    for curve in &line.curves {
        pen.curve(*curve, width, ink);
    }
    if let Some((a, b)) = line.ends() {
        pen.spot(a, 3.2, ink);
        pen.spot(b, 3.2, ink);
    }
    pen.set(Strength::Full);
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
    if scene.talk.is_some() {
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
