//! The talk groups of each gateway as lanes: one gateway a page, or several where the paper is large.

use emath::{Pos2, Rect, Vec2, pos2, vec2};

use super::lane::{Piece, Scene};
use super::legend::Legend;
use super::marks::{Gear, gear};
use super::page::{Part, Sheet};
use super::words::counted;
use crate::model::Gateway;
use crate::paperwork::given::Given;
use crate::paperwork::set::face::Faces;
use crate::paperwork::set::ink::{Ink, Pen, Tint};
use crate::paperwork::set::sheet::Document;
use crate::picture::Picture;
use crate::picture::lanes::{self, Lane};

/// Widths of a lane that are tried, in points of the drawing.
const WIDTHS: [f32; 5] = [170.0, 200.0, 240.0, 290.0, 350.0];
/// Space between lanes, in points of the drawing.
const GAP: f32 = 10.0;
/// Height of a gateway's name where several share a page, in points of the drawing.
const NAME: f32 = 22.0;
/// Smallest scale: letters of six points. Common practice, no source.
const LEAST: f32 = 0.7;
/// Scale from which on gateways share a page.
const SHARED: f32 = 1.0;

/// Draws the talk groups of every gateway, in a phase, on pages of a size, in points.
pub fn groups(faces: &Faces, picture: &Picture, size: Vec2, given: &Given) -> Document {
    let mut sheet = Sheet::new(faces, picture, size, given, "Talk groups");
    let Some(phase) = picture.phase() else {
        sheet.nothing("The plan has no phase, so no port is switched to a talk group.");
        return sheet.finish();
    };
    let gateways: Vec<&Gateway> = picture.scenario().gateways.iter().collect();
    if gateways.is_empty() {
        sheet.nothing("No gateway is planned, so there are no talk groups.");
        return sheet.finish();
    }
    let scene = Scene {
        faces,
        picture,
        phase,
        scale: 1.0,
    };
    let blocks: Vec<Block<'_>> = gateways.iter().map(|g| Block::new(&scene, g)).collect();
    let legend = legend();
    let free = room(&sheet, &legend);
    let together = (2..=blocks.len()).rev().find(|count| {
        let mut chunks = blocks.chunks(*count);
        chunks.all(|chunk| Plan::best(chunk, free.size()).scale >= SHARED)
    });
    for (i, chunk) in blocks.chunks(together.unwrap_or(1)).enumerate() {
        if i > 0 {
            sheet.next_page();
        }
        match chunk {
            [block] => alone(&mut sheet, &scene, &legend, block),
            chunk => several(&mut sheet, &scene, &legend, chunk),
        }
    }
    sheet.finish()
}

/// A gateway with its lanes, and how high they are at each width.
struct Block<'a> {
    gateway: &'a Gateway,
    lanes: Vec<Lane>,
    /// By width tried, then by lane, in points of the drawing.
    heights: Vec<Vec<f32>>,
}

impl<'a> Block<'a> {
    fn new(scene: &Scene<'_>, gateway: &'a Gateway) -> Self {
        let mut lanes = lanes::of(scene.picture, gateway.id);
        // A lane of ports on none says something only where there are such ports.
        lanes.retain(|lane| lane.group.is_some() || !lane.ports.is_empty());
        let heights = WIDTHS.iter().map(|width| {
            let lanes = lanes.iter().map(|lane| height(scene, *width, &whole(lane)));
            lanes.collect()
        });
        Self {
            gateway,
            heights: heights.collect(),
            lanes,
        }
    }

    /// Returns the height of its lanes in rows of so many.
    fn height(&self, width: usize, columns: usize) -> f32 {
        let heights = self.heights.get(width).map_or(&[][..], Vec::as_slice);
        let rows = heights.chunks(columns.max(1));
        rows.map(|row| row.iter().copied().fold(0.0, f32::max) + GAP)
            .sum()
    }
}

fn whole(lane: &Lane) -> Piece<'_> {
    Piece {
        lane,
        ports: 0..lane.ports.len(),
    }
}

fn height(scene: &Scene<'_>, width: f32, piece: &Piece<'_>) -> f32 {
    let (_, height) = scene.lane(Pos2::ZERO, width * scene.scale, piece);
    height / scene.scale
}

/// How some gateways lie on a page.
#[derive(Debug, Clone, Copy)]
struct Plan {
    scale: f32,
    /// Gateways side by side.
    across: usize,
    /// Lanes of a gateway side by side.
    columns: usize,
    /// Width of a lane, in points of the drawing.
    width: f32,
}

impl Plan {
    /// Returns the plan with the largest letters.
    fn best(blocks: &[Block<'_>], room: Vec2) -> Self {
        let most = blocks
            .iter()
            .map(|b| b.lanes.len())
            .max()
            .unwrap_or(1)
            .max(1);
        let mut best = Self {
            scale: 0.0,
            across: 1,
            columns: 1,
            width: WIDTHS[0],
        };
        let name = if blocks.len() > 1 { NAME } else { 0.0 };
        for across in 1..=blocks.len() {
            for columns in 1..=most {
                for (i, width) in WIDTHS.iter().enumerate() {
                    let whole = across as f32 * (columns as f32 * (width + GAP) + GAP) - 2.0 * GAP;
                    let rows = blocks.chunks(across).map(|row| {
                        let heights = row.iter().map(|b| b.height(i, columns) + name);
                        heights.fold(0.0, f32::max)
                    });
                    let high: f32 = rows.sum::<f32>() + 1.0;
                    let scale = (room / vec2(whole, high)).min_elem();
                    if scale > best.scale {
                        best = Self {
                            scale,
                            across,
                            columns,
                            width: *width,
                        };
                    }
                }
            }
        }
        best
    }

    /// Keeps the letters from getting larger than needed, and widens the lanes to what there is.
    fn filling(self, room: Vec2, most: f32) -> Self {
        let scale = self.scale.min(most);
        let share = room.x / scale + 2.0 * GAP;
        let width = (share / self.across as f32 - GAP) / self.columns as f32 - GAP;
        Self {
            scale,
            width: width.clamp(self.width, self.width * 1.6),
            ..self
        }
    }
}

/// Returns what is left of a page under a gateway's name and above the legend.
fn room(sheet: &Sheet<'_>, legend: &Legend) -> Rect {
    let free = sheet.free();
    let below = legend.height(sheet.faces(), free.width(), sheet.unit) + 8.0 * sheet.unit;
    Rect::from_min_max(free.min, pos2(free.max.x, free.max.y - below))
}

/// Largest scale on a page: letters grow with the paper.
fn most(sheet: &Sheet<'_>) -> f32 {
    1.25 * sheet.unit
}

fn name_of(scene: &Scene<'_>, gateway: &Gateway) -> String {
    let site = gateway
        .site
        .and_then(|id| scene.picture.scenario().sites.get(id));
    let site = site.map_or_else(String::new, |site| format!(", at {}", site.name));
    format!("{}{site}", gateway.name)
}

fn says(gateway: &Gateway, lanes: &[Lane]) -> String {
    let ports = |lane: &&Lane| lane.ports.len();
    let on = lanes.iter().filter(|lane| lane.group.is_some());
    let off: usize = lanes
        .iter()
        .filter(|l| l.group.is_none())
        .map(|l| l.ports.len())
        .sum();
    let said: Vec<String> = on
        .filter_map(|lane| {
            let group = gateway.talk_group(lane.group?.group)?;
            let ports = counted(ports(&lane), "port", "ports");
            Some(format!("{} {} with {ports}", group.number, group.name))
        })
        .collect();
    let groups = if said.is_empty() {
        "no talk group".to_owned()
    } else {
        said.join(", ")
    };
    format!(
        "Talk groups of the gateway {}: {groups}; {} on none. Each lane lists its ports with what is \
         plugged in, who is heard and the load.",
        gateway.name,
        counted(off, "port", "ports"),
    )
}

/// Draws one gateway on a page of its own, or on several where it has very many ports.
fn alone(sheet: &mut Sheet<'_>, scene: &Scene<'_>, legend: &Legend, block: &Block<'_>) {
    sheet.subject(&name_of(scene, block.gateway));
    let free = sheet.legend_below(legend);
    if block.lanes.is_empty() {
        sheet.nothing("This gateway has neither talk groups nor ports.");
        return;
    }
    let best = Plan::best(std::slice::from_ref(block), free.size());
    if best.scale < LEAST {
        over_pages(sheet, scene, legend, block, free);
        return;
    }
    let plan = best.filling(free.size(), most(sheet));
    let scene = Scene {
        scale: plan.scale,
        ..*scene
    };
    let whole = plan.columns.min(block.lanes.len()) as f32 * (plan.width + GAP) - GAP;
    let spare = (free.width() - whole * plan.scale).max(0.0) / 2.0;
    let corner = free.min + vec2(spare, 0.0);
    let (parts, _) = rows(&scene, corner, plan, &block.lanes);
    sheet.figure(says(block.gateway, &block.lanes), parts);
}

/// Draws lanes in rows down from a corner; returns where they end.
fn rows(scene: &Scene<'_>, corner: Pos2, plan: Plan, lanes: &[Lane]) -> (Vec<Part>, f32) {
    let (width, gap) = (plan.width * scene.scale, GAP * scene.scale);
    let mut parts = Vec::new();
    let mut y = corner.y;
    for row in lanes.chunks(plan.columns.max(1)) {
        let mut deepest = 0.0_f32;
        for (i, lane) in row.iter().enumerate() {
            let at = pos2(corner.x + i as f32 * (width + gap), y);
            let (drawn, height) = scene.lane(at, width, &whole(lane));
            parts.extend(drawn);
            deepest = deepest.max(height);
        }
        y += deepest + gap;
    }
    (parts, y)
}

/// Draws several gateways on one page.
fn several(sheet: &mut Sheet<'_>, scene: &Scene<'_>, legend: &Legend, blocks: &[Block<'_>]) {
    let free = sheet.legend_below(legend);
    let plan = Plan::best(blocks, free.size()).filling(free.size(), most(sheet));
    let scene = Scene {
        scale: plan.scale,
        ..*scene
    };
    let share = plan.columns as f32 * (plan.width + GAP) + GAP;
    let mut y = free.min.y;
    for row in blocks.chunks(plan.across) {
        let mut deepest = y;
        for (i, block) in row.iter().enumerate() {
            let x = free.min.x + i as f32 * share * plan.scale;
            let width = (share - 2.0 * GAP) * plan.scale;
            let name = Rect::from_min_size(pos2(x, y), vec2(width, (NAME - 4.0) * plan.scale));
            sheet.subject_at(name, &name_of(&scene, block.gateway));
            let corner = pos2(x, y + NAME * plan.scale);
            let (parts, end) = rows(&scene, corner, plan, &block.lanes);
            sheet.figure(says(block.gateway, &block.lanes), parts);
            deepest = deepest.max(end);
        }
        y = deepest;
    }
}

/// Draws a gateway over several pages, its lanes continued where they are too long for one.
fn over_pages(
    sheet: &mut Sheet<'_>,
    scene: &Scene<'_>,
    legend: &Legend,
    block: &Block<'_>,
    first: Rect,
) {
    let scene = Scene {
        scale: LEAST * 1.15,
        ..*scene
    };
    let gap = GAP * scene.scale;
    let columns = ((first.width() + gap) / (200.0 * scene.scale + gap))
        .floor()
        .max(1.0);
    let width = (first.width() + gap) / columns - gap;
    let mut free = first;
    let mut y = free.min.y;
    let mut parts: Vec<Part> = Vec::new();
    let mut next_page = |parts: &mut Vec<Part>| {
        let says = says(block.gateway, &block.lanes);
        sheet.figure(says, std::mem::take(parts));
        sheet.next_page();
        sheet.subject(&format!("{} (continued)", name_of(&scene, block.gateway)));
        sheet.legend_below(legend)
    };
    for row in block.lanes.chunks(columns as usize) {
        let mut rest: Vec<Piece<'_>> = row.iter().map(whole).collect();
        while rest
            .iter()
            .any(|piece| !piece.ports.is_empty() || piece.ports.start == 0)
        {
            let room = free.max.y - y;
            let now: Vec<Piece<'_>> = rest
                .iter()
                .map(|p| that_fits(&scene, width, room, p))
                .collect();
            let is_whole = now
                .iter()
                .zip(&rest)
                .all(|(a, b)| a.ports.end == b.ports.end);
            if !is_whole && y > free.min.y + 1.0 {
                free = next_page(&mut parts);
                y = free.min.y;
                continue;
            }
            let mut deepest = 0.0_f32;
            for (i, piece) in now.iter().enumerate() {
                let begins = piece.ports.start == 0;
                if piece.ports.is_empty() && !begins {
                    continue;
                }
                let at = pos2(free.min.x + i as f32 * (width + gap), y);
                let (drawn, height) = scene.lane(at, width, piece);
                parts.extend(drawn);
                deepest = deepest.max(height);
            }
            y += deepest + gap;
            for (piece, done) in rest.iter_mut().zip(&now) {
                // A lane without ports is done once it was drawn.
                piece.ports = done.ports.end.max(1)..piece.ports.end.max(1);
            }
            if !is_whole {
                free = next_page(&mut parts);
                y = free.min.y;
            }
        }
    }
    let says = says(block.gateway, &block.lanes);
    sheet.figure(says, parts);
}

/// Returns the first ports of a piece that fit a height; at least one.
fn that_fits<'a>(scene: &Scene<'_>, width: f32, room: f32, piece: &Piece<'a>) -> Piece<'a> {
    let with = |end: usize| Piece {
        lane: piece.lane,
        ports: piece.ports.start..end,
    };
    let fits = |end: &usize| scene.lane(Pos2::ZERO, width, &with(*end)).1 <= room;
    let least = (piece.ports.start + 1).min(piece.ports.end);
    let end = (least..=piece.ports.end).rev().find(fits);
    with(end.unwrap_or(least))
}

fn legend() -> Legend {
    let mut legend = Legend::default();
    let line = |room: Rect| room.height() * 0.09;
    legend.sign("Tactical: white on black", move |room| {
        vec![Ink::rect(room, Some(Tint::BLACK), None)]
    });
    legend.sign("Command: ruled twice", move |room| {
        let edge = Some(Pen::new(Tint::BLACK, line(room)));
        let inner = room.shrink(room.height() * 0.2);
        vec![Ink::rect(room, None, edge), Ink::rect(inner, None, edge)]
    });
    legend.sign("Ports on no talk group: dashed", move |room| {
        let dash = room.height() * 0.35;
        let edge = Pen::new(Tint::BLACK, line(room)).dashed(dash, dash * 0.6);
        vec![Ink::rect(room, None, Some(edge))]
    });
    legend.sign(
        "Load; dashed: people are strained; thick: people talk over each other",
        move |room| {
            let bar = room.shrink2(vec2(0.0, room.height() * 0.2));
            let at = |share: f32| bar.min.x + bar.width() * share;
            let filled = Rect::from_min_max(bar.min, pos2(at(0.4), bar.max.y));
            let edge = Pen::new(Tint::BLACK, line(room));
            let upright =
                |x: f32, pen: Pen| Ink::rule(pos2(x, room.min.y), pos2(x, room.max.y), pen);
            let dash = room.height() * 0.17;
            vec![
                Ink::rect(bar, Some(Tint::WHITE), Some(edge)),
                Ink::rect(filled, Some(Tint::RULE), None),
                upright(at(0.7), edge.dashed(dash, dash)),
                upright(at(0.86), Pen::new(Tint::BLACK, line(room) * 2.0)),
            ]
        },
    );
    for (kind, words) in [
        (Gear::Radio, "Donor radio"),
        (Gear::Telephone, "Telephone"),
        (Gear::Headset, "Headset"),
        (Gear::Wire, "Tie"),
    ] {
        legend.sign(words, move |room| {
            gear(kind, room.center(), room.height() * 0.48)
        });
    }
    legend
        .words("Load of a port: of those who speak there themselves, then with all that is joined");
    legend
}
