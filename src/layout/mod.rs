//! Where everything stands on the board: a pure function of the scenario and the phase.
//!
//! Things with a saved place stand there; the others flow into columns: agencies with their units,
//! systems with their channels, gateways. A thing that was moved keeps its slot in its column, so
//! that moving one never shifts the others. Lengths are board points. Nothing here draws.

mod align;
mod carry;
mod columns;
mod flow;
mod fold;
mod grid;
mod index;
mod lines;
mod placed;
mod room;
mod shift;
mod size;
mod sketch;
mod tidy;

use std::collections::BTreeMap;
use std::sync::OnceLock;
use std::sync::atomic::{AtomicU64, Ordering};

use emath::{Pos2, Rect};

use crate::model::{
    ChannelId, Edit, GatewayId, Kind, Phase, PhaseId, Place, PortRef, Scenario, TalkGroupRef,
    ThingId, UnitId,
};

use grid::Grid;
use lines::Columns;

pub use align::{Edge, align, distribute};
pub use carry::Moves;
pub use fold::{Fold, Folded};
pub use index::{Piece, Stand};
pub use lines::{Line, LineKind};
pub use size::{CARD_W, CHIP_H, GATEWAY_HEAD, HANDLE, PILL_W, SNAP};
pub use tidy::{gather_sites, tidy_all, tidy_some};

/// Places that stand in for the saved ones while things are dragged.
pub type Overlay = BTreeMap<ThingId, Place>;

/// The frame around an agency's units, a system's channels, or what belongs nowhere yet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GroupFrame {
    /// The agency or system; `None` for what belongs nowhere yet.
    pub thing: Option<ThingId>,
    /// Which gathering it is.
    pub role: FrameRole,
    /// Where.
    pub rect: Rect,
    /// Where it stands in its column, whatever its members do.
    slot: Rect,
    /// Around members that lie far apart no frame is shown.
    is_lost: bool,
}

/// What a frame gathers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FrameRole {
    /// Units of an agency.
    Agency,
    /// Units without an agency.
    NoAgency,
    /// Channels of a system.
    System,
    /// Gear nobody holds and no port has.
    Spare,
    /// Gateways that stand at one site.
    Site,
}

/// The card of a unit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnitCard {
    /// The unit.
    pub id: UnitId,
    /// The whole card.
    pub rect: Rect,
    /// The microphone button.
    pub mic: Rect,
    /// What it carries.
    pub chips: Vec<Chip>,
    /// Stands apart from its agency's frame.
    pub apart: bool,
    /// The number of its agency's frame.
    home: Option<u32>,
    /// Somebody has put it where it stands.
    is_placed: bool,
}

/// A radio, telephone or headset: a chip in a card, or one that lies loose.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Chip {
    /// The thing.
    pub thing: ThingId,
    /// Where.
    pub rect: Rect,
}

/// A channel.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Pill {
    /// The channel.
    pub id: ChannelId,
    /// Where.
    pub rect: Rect,
    /// Its turn among all channels, which gives its colour.
    pub turn: usize,
    /// The number of its system's frame.
    home: u32,
    /// Somebody has put it where it stands.
    is_placed: bool,
}

/// A gateway with its ports and talk groups.
#[derive(Debug, Clone, PartialEq)]
pub struct GatewayBox {
    /// The gateway.
    pub id: GatewayId,
    /// The whole box.
    pub rect: Rect,
    /// One row for each port.
    pub rows: Vec<Row>,
    /// One lane for each talk group.
    pub lanes: Vec<Lane>,
}

/// The row of a port.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// The port.
    pub port: PortRef,
    /// The whole row.
    pub rect: Rect,
    /// What is plugged in, and where its name stands.
    pub attached: Option<Chip>,
    /// The positions of the switch: none, then each talk group.
    pub cells: Vec<(Option<u8>, Rect)>,
    /// The position it is in.
    pub group: Option<u8>,
}

/// The bus of a talk group.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lane {
    /// The talk group.
    pub group: TalkGroupRef,
    /// Where the bus runs down.
    pub x: f32,
    /// Where it begins and ends.
    pub y: (f32, f32),
    /// Its label.
    pub label: Rect,
}

/// Everything with its place.
#[derive(Debug, Clone)]
pub struct Layout {
    /// Frames, shown or not, behind all else.
    frames: Vec<GroupFrame>,
    /// Units.
    pub cards: Vec<UnitCard>,
    /// Channels.
    pub pills: Vec<Pill>,
    /// Gateways.
    pub boxes: Vec<GatewayBox>,
    /// Gear that lies loose, and sites.
    pub loose: Vec<Chip>,
    /// Lines between them.
    pub lines: Vec<Line>,
    /// The boxes around the lines, side by side: every frame looks through them all.
    around_lines: Vec<Rect>,
    /// Agencies and systems collapsed to one chip.
    pub folds: Vec<Fold>,
    /// Around everything.
    pub bounds: Rect,
    /// No two layouts have the same, nor has one layout before and after something in it moved.
    pub stamp: u64,
    /// The stamp it was made with; it stays while things are only moved.
    pub made: u64,
    /// How many lines have moved since it was made.
    pub moved_lines: usize,
    /// What moved last.
    pub last: Moves,
    /// Where each thing stands, by thing.
    stands: Vec<(ThingId, Stand)>,
    grid: Grid,
    columns: Columns,
    /// Lines by their ends, sorted when somebody asks.
    by_ends: OnceLock<Vec<(ThingId, ThingId, u32)>>,
    /// The chip that each thing inside one stands for.
    inside: BTreeMap<ThingId, ThingId>,
}

impl Layout {
    /// Lays a scenario out as it is in a phase.
    #[cfg(test)]
    pub fn of(scenario: &Scenario, phase: PhaseId, overlay: &Overlay) -> Self {
        Self::folded(scenario, phase, overlay, &Folded::new())
    }

    /// Lays a scenario out with some agencies and systems collapsed to one chip each.
    pub fn folded(scenario: &Scenario, phase: PhaseId, overlay: &Overlay, folded: &Folded) -> Self {
        let stamp = next_stamp();
        let mut layout = Self {
            frames: Vec::new(),
            cards: Vec::new(),
            pills: Vec::new(),
            boxes: Vec::new(),
            loose: Vec::new(),
            lines: Vec::new(),
            around_lines: Vec::new(),
            folds: Vec::new(),
            inside: BTreeMap::new(),
            bounds: Rect::NOTHING,
            stamp,
            made: stamp,
            moved_lines: 0,
            last: Moves::default(),
            stands: Vec::new(),
            grid: Grid::default(),
            columns: Columns::default(),
            by_ends: OnceLock::new(),
        };
        if let Some(phase) = scenario.phases.get(phase) {
            columns::fill(&mut layout, scenario, phase, overlay, folded);
            layout.index();
            layout.columns = Columns::of(&layout);
            layout.folds = fold::folds(&layout, scenario, phase, folded);
            for fold in &layout.folds {
                layout
                    .inside
                    .extend(fold.inside().map(|thing| (thing, fold.thing)));
            }
            layout.lines = lines::all(&layout, scenario, phase);
            let merged = fold::lines(&layout, scenario, phase);
            layout.lines.extend(merged);
            layout.around_lines = layout.lines.iter().map(|line| line.bounds).collect();
        }
        layout.bound();
        layout
    }

    /// Walks the frames that are shown, those behind first.
    pub fn frames(&self) -> impl DoubleEndedIterator<Item = &GroupFrame> {
        self.frames.iter().filter(|frame| !frame.is_lost)
    }

    /// Returns what is seen of a thing: itself, or the chip it is inside.
    pub fn shown(&self, thing: ThingId) -> ThingId {
        self.inside.get(&thing).copied().unwrap_or(thing)
    }

    /// Returns a collapsed agency or system.
    pub fn fold(&self, thing: ThingId) -> Option<&Fold> {
        self.folds.iter().find(|f| f.thing == thing)
    }

    /// Walks the things that may be lined up with, with their places: no ports and nothing inside.
    pub fn solids(&self) -> impl Iterator<Item = (ThingId, Rect)> + '_ {
        let cards = self.cards.iter().map(|c| (c.id.into(), c.rect));
        let pills = self.pills.iter().map(|p| (p.id.into(), p.rect));
        let boxes = self.boxes.iter().map(|b| (b.id.into(), b.rect));
        let loose = self.loose.iter().map(|l| (l.thing, l.rect));
        let frames = self.frames().filter_map(|f| Some((f.thing?, f.rect)));
        cards.chain(pills).chain(boxes).chain(loose).chain(frames)
    }

    fn bound(&mut self) {
        let frames = self.frames().map(|f| f.rect);
        let cards = self.cards.iter().map(|c| c.rect);
        let pills = self.pills.iter().map(|p| p.rect);
        let boxes = self.boxes.iter().map(|b| b.rect);
        let loose = self.loose.iter().map(|c| c.rect);
        let all = frames.chain(cards).chain(pills).chain(boxes).chain(loose);
        self.bounds = all.fold(Rect::NOTHING, Rect::union);
    }

    /// Returns a free place of a size at or below a spot, on the snapping grid.
    pub fn free_place(&self, wish: Pos2, size: emath::Vec2) -> Place {
        let mut rect = Rect::from_min_size(snap(wish), size);
        let solid = || {
            self.cards
                .iter()
                .map(|c| c.rect)
                .chain(self.pills.iter().map(|p| p.rect))
                .chain(self.boxes.iter().map(|b| b.rect))
                .chain(self.loose.iter().map(|l| l.rect))
        };
        // Every push goes below one more rectangle, so there are no more pushes than rectangles.
        for _ in 0..=solid().count() {
            let Some(hit) = solid().find(|r| r.expand(4.0).intersects(rect)) else {
                break;
            };
            let y = snap(Pos2::new(0.0, hit.max.y + 16.0)).y;
            rect = Rect::from_min_size(Pos2::new(rect.min.x, y), size);
        }
        place_of(rect.min)
    }

    /// Returns edits that hold every agency, system, gateway and site where it stands now.
    ///
    /// Applied before one of them gets a place by hand, so that the others do not move.
    pub fn pins(&self, s: &Scenario) -> Vec<Edit> {
        self.things()
            .filter(|(thing, _)| is_block(*thing) && !s.places.contains_key(thing))
            .map(|(thing, rect)| Edit::Place {
                thing,
                place: Some(place_of(rect.min)),
            })
            .collect()
    }
}

/// Counts up, so that a drawing made of one layout is never taken for that of another.
fn next_stamp() -> u64 {
    static LAST: AtomicU64 = AtomicU64::new(0);
    LAST.fetch_add(1, Ordering::Relaxed) + 1
}

/// Tells whether a thing stands in a column of its kind, beside others that would follow it.
pub fn is_block(thing: ThingId) -> bool {
    matches!(
        thing.kind(),
        Kind::Agency | Kind::System | Kind::Gateway | Kind::Site
    )
}

/// Snaps a spot to the grid.
pub fn snap(at: Pos2) -> Pos2 {
    Pos2::new((at.x / SNAP).round() * SNAP, (at.y / SNAP).round() * SNAP)
}

/// Turns a spot into a place.
pub fn place_of(at: Pos2) -> Place {
    Place {
        x: at.x.round() as i32,
        y: at.y.round() as i32,
    }
}

/// Turns a place into a spot.
pub fn spot_of(place: Place) -> Pos2 {
    Pos2::new(place.x as f32, place.y as f32)
}

/// Tells whether a radio is one that nobody holds and no port has.
fn is_spare(phase: &Phase, radio: &crate::model::Radio) -> bool {
    radio.held_by.is_none() && phase.port_of_radio(radio.id).is_none()
}
