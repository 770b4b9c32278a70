//! Grabbing the end of a line to put it elsewhere: which end lies under the pointer, what each thing
//! says to it, and what taking the line away means.

use egui::{Area, Id, Order, Pos2, Rect, Ui, Vec2};

use super::state::{BoardState, Targets};
use crate::app::action::Action;
use crate::app::view::ViewCtx;
use crate::layout::{Layout, Line, LineKind};
use crate::model::connect::{Connection, connect};
use crate::model::{Attachment, Edit, Phase, Scenario, ThingId, TieId};

/// How near the pointer must be to a line's end, in window points.
const GRIP: f32 = 8.0;
/// Below this scale ends lie too close to be told apart.
const LEAST_ZOOM: f32 = 0.35;

/// The end of a line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct End {
    /// What the line stays joined with.
    pub fixed: ThingId,
    /// What the grabbed end is joined with now.
    pub loose: ThingId,
    /// Where the fixed end lies.
    pub root: Pos2,
    /// Where the grabbed end lies.
    pub at: Pos2,
}

/// A line taken off.
#[derive(Debug, Clone)]
pub(super) struct Cut {
    /// The end that was grabbed.
    pub end: End,
    /// What is said when it is let go over nothing.
    pub title: String,
    /// What takes the line away.
    pub edits: Vec<Edit>,
}

/// A line let go over nothing, until somebody says what to do with it.
#[derive(Debug, Clone)]
pub(crate) struct Offered {
    at: Pos2,
    title: String,
    edits: Vec<Edit>,
}

/// Returns the end of a line under a spot of the board, the nearest.
pub(super) fn end_at(layout: &Layout, at: Pos2, zoom: f32) -> Option<End> {
    if zoom < LEAST_ZOOM {
        return None;
    }
    let reach = GRIP / zoom;
    let mut best: Option<(f32, End)> = None;
    let near = layout.lines_in(Rect::from_center_size(at, Vec2::splat(2.0 * reach)));
    for line in near.filter(|l| is_one_line(layout, l)) {
        let Some((a, b)) = line.ends() else { continue };
        let ends = [(line.from, a, line.to, b), (line.to, b, line.from, a)];
        for (loose, spot, fixed, root) in ends {
            let far = spot.distance(at);
            if far <= reach && best.is_none_or(|(d, _)| far < d) {
                let end = End {
                    fixed,
                    loose,
                    root,
                    at: spot,
                };
                best = Some((far, end));
            }
        }
    }
    best.map(|(_, end)| end)
}

/// Merged lines of a collapsed agency stand for many and cannot be grabbed.
fn is_one_line(layout: &Layout, line: &Line) -> bool {
    layout.shown(line.from) == line.from
        && !matches!(line.from, ThingId::Agency(_))
        && matches!(
            line.kind,
            LineKind::Tuned | LineKind::Donor | LineKind::Tie | LineKind::Held
        )
}

/// Takes the line of an end off; returns what each thing on the board says to it then.
pub(super) fn cut(
    s: &Scenario,
    phase: &Phase,
    layout: &Layout,
    end: End,
) -> Option<(Cut, Targets)> {
    let edits = taking_off(phase, end)?;
    let without = s.apply(&edits).ok()?;
    let cut = Cut {
        end,
        title: format!(
            "Disconnect {} from {}",
            s.name(end.fixed),
            s.name(end.loose)
        ),
        edits: edits.clone(),
    };
    let tie = tie_at(phase, end);
    let targets = layout
        .things()
        .filter(|(thing, _)| *thing != end.fixed)
        .map(|(thing, _)| {
            let answer = connect(&without, phase.id, end.fixed, thing);
            let whole = answer.and_then(|c| {
                // The same tie goes to another port; no second one is made.
                let more = match (tie, thing) {
                    (None, _) => c.edits,
                    (Some(tie), ThingId::Port(port)) => {
                        let ThingId::Port(fixed) = end.fixed else {
                            return Err("a tie ends at a port".to_owned());
                        };
                        [fixed, port]
                            .map(|port| Edit::Attach {
                                phase: phase.id,
                                port,
                                attachment: Some(Attachment::Tie(tie)),
                            })
                            .to_vec()
                    }
                    (Some(_), _) => return Err("a tie ends at a port".to_owned()),
                };
                Ok(Connection {
                    title: c.title,
                    edits: edits.iter().cloned().chain(more).collect(),
                })
            });
            (thing, whole)
        })
        .collect();
    Some((cut, targets))
}

fn tie_at(phase: &Phase, end: End) -> Option<TieId> {
    let ThingId::Port(port) = end.loose else {
        return None;
    };
    match phase.attachments.get(&port)? {
        Attachment::Tie(tie) => Some(*tie),
        Attachment::Radio { .. } | Attachment::Telephone(_) | Attachment::Headset(_) => None,
    }
}

/// Returns the edits that take a line away.
fn taking_off(phase: &Phase, end: End) -> Option<Vec<Edit>> {
    let empty = |port| Edit::Attach {
        phase: phase.id,
        port,
        attachment: None,
    };
    Some(match (end.fixed, end.loose) {
        (ThingId::Radio(radio), ThingId::Channel(_))
        | (ThingId::Channel(_), ThingId::Radio(radio)) => vec![Edit::Select {
            phase: phase.id,
            radio,
            channel: None,
        }],
        (ThingId::Port(a), ThingId::Port(b)) => vec![empty(a), empty(b)],
        (_, ThingId::Port(port)) | (ThingId::Port(port), _) => vec![empty(port)],
        _ => return None,
    })
}

impl Cut {
    /// Offers to take the line away for good, where it was let go.
    pub(super) fn offered(self, at: Pos2) -> Offered {
        Offered {
            at,
            title: self.title,
            edits: self.edits,
        }
    }
}

/// Shows the offer to take a line away.
pub(super) fn offer_ui(ctx: &mut ViewCtx<'_>, ui: &Ui, state: &mut BoardState) {
    let Some(offered) = &state.offered else {
        return;
    };
    let mut answer = None;
    let shown = Area::new(Id::unique("board-offer"))
        .order(Order::Foreground)
        .fixed_pos(offered.at + egui::vec2(6.0, 6.0))
        .constrain(true)
        .show(ui.ctx(), |ui| {
            egui::Frame::popup(ui.style()).show(ui, |ui| {
                ui.set_max_width(320.0);
                let name = egui::RichText::new(&offered.title);
                if ui
                    .button(name)
                    .on_hover_text("Takes the line away; Ctrl+Z brings it back")
                    .clicked()
                {
                    answer = Some(true);
                }
                if ui.button("Leave it as it was").clicked() {
                    answer = Some(false);
                }
            });
        });
    let elsewhere = ui.input(|i| {
        i.pointer.any_pressed()
            && i.pointer
                .interact_pos()
                .is_some_and(|at| !shown.response.rect.contains(at))
    });
    if answer == Some(true) {
        ctx.push(Action::Apply {
            label: offered.title.clone(),
            edits: offered.edits.clone(),
        });
    }
    if answer.is_some() || elsewhere {
        state.offered = None;
    }
}
