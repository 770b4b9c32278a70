//! What screen readers and tests find on the board: every thing in view by its name.

use egui::accesskit::{Action as Request, Role};
use egui::{Id, Rect, Sense, Ui, Vec2, WidgetInfo};

use super::draw::Scene;
use super::hit::handle;
use super::pen::Pen;
use crate::app::action::{Action, Hold};
use crate::app::board::hit::party_of;
use crate::app::view::ViewCtx;
use crate::layout::Piece;
use crate::model::{Edit, PortRef, ThingId};

/// Exposes everything in view: frames and the pieces named.
pub(super) fn expose(
    ui: &Ui,
    scene: &Scene<'_>,
    pen: &Pen,
    pieces: &[Piece],
    ctx: &mut ViewCtx<'_>,
) {
    // Nobody reads the board's nodes when no screen reader is there, and each of them takes time.
    let board = Id::unique("board");
    if ui.ctx().accesskit_node_builder(board, |_| ()).is_none() {
        return;
    }
    let node = Nodes { ui, scene, pen };
    let layout = scene.layout;
    let mut things: Vec<ThingId> = layout.frames().filter_map(|f| f.thing).collect();
    things.extend(pieces.iter().flat_map(|piece| layout.things_of(*piece)));
    things.sort_unstable();
    things.dedup();
    let things = things
        .into_iter()
        .filter_map(|thing| Some((thing, layout.rect(thing)?)));
    for (thing, rect) in things.filter(|(_, rect)| pen.sees(*rect)) {
        let chosen = match thing {
            ThingId::Port(_) => continue,
            _ => node.thing(thing, rect),
        };
        if chosen {
            ctx.push(Action::Select(vec![thing]));
        }
    }
    let cards = pieces.iter().filter_map(|piece| match piece {
        Piece::Card(i) => layout.cards.get(*i as usize),
        _ => None,
    });
    for card in cards {
        let name = scene.scenario.units.get(card.id).map(|u| u.name.clone());
        let label = format!("let {} talk", name.unwrap_or_default());
        if node.button(("mic", card.id), card.mic, Role::Button, &label, None)
            && let Some(party) = party_of(scene.scenario, scene.phase, card.id.into())
        {
            ctx.push(Action::TalkOver(party, Hold::Latched));
        }
    }
    let boxes = pieces.iter().filter_map(|piece| match piece {
        Piece::Box(i) => layout.boxes.get(*i as usize),
        _ => None,
    });
    let rows = boxes.flat_map(|b| &b.rows);
    for row in rows.filter(|r| pen.sees(r.rect)) {
        if node.button(
            ("port", row.port),
            row.rect,
            Role::ListItem,
            &port_label(scene, row.port, row.group),
            None,
        ) {
            ctx.push(Action::Select(vec![row.port.into()]));
        }
        let port = scene.scenario.name(row.port.into());
        for (group, cell) in &row.cells {
            let label = match group {
                Some(n) => format!("{port} to talk group {n}"),
                None => format!("{port} to none"),
            };
            let is_on = Some(row.group == *group);
            if node.button(
                ("switch", row.port, *group),
                *cell,
                Role::RadioButton,
                &label,
                is_on,
            ) {
                ctx.apply(
                    label,
                    vec![Edit::Switch {
                        phase: scene.phase.id,
                        port: row.port,
                        group: *group,
                    }],
                );
            }
        }
    }
    let mut ringed: Vec<ThingId> = ctx.shared.selection.iter().copied().take(8).collect();
    ringed.extend(scene.hovered.map(|h| h.thing));
    ringed.sort_unstable();
    ringed.dedup();
    for thing in ringed {
        if let Some(at) = handle(layout, thing) {
            let label = format!("connect from {}", scene.scenario.name(thing));
            let rect = Rect::from_center_size(at, Vec2::splat(12.0));
            node.button(("ring", thing), rect, Role::Button, &label, None);
        }
    }
}

/// Returns what a port is called, with its switch: "Box A port 3, talk group 1".
pub(super) fn port_label(scene: &Scene<'_>, port: PortRef, group: Option<u8>) -> String {
    let name = scene.scenario.name(port.into());
    match group {
        Some(n) => format!("{name}, talk group {n}"),
        None => format!("{name}, no talk group"),
    }
}

/// Returns what a thing is called on the board.
pub(super) fn label(scene: &Scene<'_>, thing: ThingId) -> String {
    let name = scene.scenario.name(thing);
    match thing {
        ThingId::Port(port) => port_label(scene, port, scene.phase.group_of(port).map(|g| g.group)),
        ThingId::TalkGroup(group) => {
            let called = scene
                .scenario
                .talk_group(group)
                .map_or_else(String::new, |g| format!(", {}", g.name));
            format!("{name}{called}")
        }
        ThingId::Radio(id) => {
            let channel = scene
                .scenario
                .radios
                .get(id)
                .and_then(|r| scene.scenario.selected_channel(scene.phase, r))
                .and_then(|c| scene.scenario.channels.get(c));
            match channel {
                Some(channel) => format!("radio {name}, on {}", channel.name),
                None => format!("radio {name}, on no channel"),
            }
        }
        other => {
            let inside = scene
                .layout
                .fold(other)
                .map(|f| format!(", {}", f.contents()));
            format!("{} {name}{}", other.kind(), inside.unwrap_or_default())
        }
    }
}

struct Nodes<'a> {
    ui: &'a Ui,
    scene: &'a Scene<'a>,
    pen: &'a Pen,
}

impl Nodes<'_> {
    /// Exposes a thing; returns whether a screen reader chose it.
    fn thing(&self, thing: ThingId, rect: Rect) -> bool {
        let label = label(self.scene, thing);
        self.button(("thing", thing), rect, Role::ListItem, &label, None)
    }

    fn button(
        &self,
        salt: impl std::hash::Hash + std::fmt::Debug,
        rect: Rect,
        role: Role,
        label: &str,
        is_on: Option<bool>,
    ) -> bool {
        if !self.pen.sees(rect) {
            return false;
        }
        let id = Id::unique("board-node").with(salt);
        let response = self
            .ui
            .interact(self.pen.camera.rect(rect), id, Sense::hover());
        response.widget_info(|| match is_on {
            Some(is_on) => WidgetInfo::selected(role, true, is_on, label),
            None => WidgetInfo::labeled(role, true, label),
        });
        self.ui
            .input(|i| i.has_accesskit_action_request(id, Request::Click))
    }
}
