//! The order in which a person would draw a plan: lines that cross little, read from left to right.
//!
//! People, air and gear are three layers, each of blocks (agencies, systems, gateways) with members
//! in them (units, channels). Blocks and members change places within their layer, members never
//! leave their block. First each thing goes to the mean height of what it is joined with, sweep by
//! sweep; then neighbours change places for as long as that helps.
//!
//! Complexity: a sweep is n log n; looking for crossings is the square of the lines, and is done only
//! as often as [`WORK`] allows. Determinism: ties keep the order they had; nothing depends on ids but
//! through the order of the file.
//! Source: K. Sugiyama, S. Tagawa and M. Toda, "Methods for visual understanding of hierarchical
//! system structures", 1981 (layers and mean heights), from memory.

use std::ops::Range;

use emath::{Pos2, Rect, Vec2, pos2, vec2};

use super::flow::{Growth, frame_size, settle, slots};
use super::size::{COLUMNS, FRAME_HEAD, FRAME_PAD, GUTTER, INNER, VIEW};
use crate::model::ThingId;

/// Pairs of lines that may be looked at for crossings, all in all.
const WORK: usize = 6_000_000;
/// Sweeps for plans in which crossings can be counted after each.
const SWEEPS: usize = 8;

/// A unit, a channel, or the inside of a gateway.
#[derive(Debug, Clone)]
pub(super) struct Member {
    pub thing: ThingId,
    pub size: Vec2,
    /// Height of each line's end below the member's top, and the number of the channel it goes to.
    ///
    /// A channel has one end, with its own number.
    pub ends: Vec<(f32, usize)>,
}

/// An agency, a system or a gateway.
#[derive(Debug, Clone)]
pub(super) struct Block {
    pub thing: ThingId,
    pub members: Vec<Member>,
    /// Members stand in a frame of at least this width; a gateway is its own only member.
    pub frame: Option<f32>,
}

/// The three layers.
#[derive(Debug, Clone, Default)]
pub(super) struct Sketch {
    pub people: Vec<Block>,
    pub air: Vec<Block>,
    pub gear: Vec<Block>,
    /// How many channels there are.
    pub channels: usize,
    /// Height at which columns break; set when it is arranged.
    pub most: f32,
}

/// Where a block and its members stand, in the order of the sketch.
pub(super) struct Stand {
    pub at: Pos2,
    pub size: Vec2,
    pub members: Vec<Pos2>,
}

/// What is worse first: crossings, then the length of lines up and down.
type Cost = (usize, f32);

#[derive(Debug, Clone, Copy)]
struct Segment {
    from: Pos2,
    to: Pos2,
    channel: usize,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Layer {
    People,
    Air,
    Gear,
}

impl Sketch {
    /// Puts everything into the best order found.
    pub(super) fn arrange(&mut self) {
        let most = self.best_height();
        self.most = most;
        let lines: usize = self.lines(most).iter().map(Vec::len).sum();
        let pairs = (lines * lines / 2).max(1);
        // Moving things costs too, however few the lines.
        let mut left = (WORK / pairs).min(2_000);
        if left < 3 {
            // Too many lines to count crossings: one sweep, and trust it.
            self.sweep(most);
            return;
        }
        let mut best = (self.cost(most), self.clone());
        for _ in 0..SWEEPS.min(left / 2) {
            self.sweep(most);
            let cost = self.cost(most);
            left -= 1;
            if is_less(cost, best.0) {
                best = (cost, self.clone());
            }
        }
        let mut cost = best.0;
        *self = best.1;
        while left > 0 {
            let before = cost;
            for layer in [Layer::People, Layer::Air, Layer::Gear] {
                self.exchange(layer, most, &mut cost, &mut left);
            }
            if !is_less(cost, before) {
                break;
            }
        }
    }

    /// Returns the height of columns at which everything is seen largest in a window.
    fn best_height(&self) -> f32 {
        let shown = |most: f32| {
            let around = [Layer::People, Layer::Air, Layer::Gear]
                .into_iter()
                .flat_map(|layer| self.stands(layer, most))
                .fold(Rect::NOTHING, |all, s| {
                    all.union(Rect::from_min_size(s.at, s.size))
                });
            if around.is_positive() {
                (VIEW.x / around.width()).min(VIEW.y / around.height())
            } else {
                1.0
            }
        };
        COLUMNS
            .into_iter()
            .map(|most| (most, shown(most).min(1.0)))
            .reduce(|best, next| if next.1 > best.1 { next } else { best })
            .map_or(COLUMNS[0], |(most, _)| most)
    }

    /// Returns where the blocks of each layer stand: people, air, gear.
    pub(super) fn places(&self) -> [(&[Block], Vec<Stand>); 3] {
        [
            (&self.people, self.stands(Layer::People, self.most)),
            (&self.air, self.stands(Layer::Air, self.most)),
            (&self.gear, self.stands(Layer::Gear, self.most)),
        ]
    }

    fn blocks(&self, layer: Layer) -> &[Block] {
        match layer {
            Layer::People => &self.people,
            Layer::Air => &self.air,
            Layer::Gear => &self.gear,
        }
    }

    fn blocks_mut(&mut self, layer: Layer) -> &mut Vec<Block> {
        match layer {
            Layer::People => &mut self.people,
            Layer::Air => &mut self.air,
            Layer::Gear => &mut self.gear,
        }
    }

    fn stands(&self, layer: Layer, most: f32) -> Vec<Stand> {
        let growth = match layer {
            Layer::People => Growth::Left,
            Layer::Air => Growth::Right(GUTTER),
            Layer::Gear => {
                let air = self.stands(Layer::Air, most);
                let right = air
                    .iter()
                    .map(|s| s.at.x + s.size.x)
                    .fold(GUTTER + super::flow::framed(super::PILL_W), f32::max);
                Growth::Right(right + GUTTER)
            }
        };
        let blocks = self.blocks(layer);
        let inner: Vec<(Vec2, Vec<Rect>)> = blocks
            .iter()
            .map(|block| {
                let sizes: Vec<Vec2> = block.members.iter().map(|m| m.size).collect();
                if let Some(least) = block.frame {
                    let slots = slots(&sizes, INNER);
                    (frame_size(&slots, least), slots)
                } else {
                    let size = sizes.first().copied().unwrap_or_default();
                    (size, vec![Rect::from_min_size(Pos2::ZERO, size)])
                }
            })
            .collect();
        let sizes: Vec<Vec2> = inner.iter().map(|(size, _)| *size).collect();
        let spots = settle(&sizes, &vec![None; sizes.len()], most, growth);
        blocks
            .iter()
            .zip(inner)
            .zip(spots)
            .map(|((block, (size, slots)), at)| {
                let corner = match block.frame {
                    Some(_) => at + vec2(FRAME_PAD, FRAME_HEAD),
                    None => at,
                };
                Stand {
                    at,
                    size,
                    members: slots.iter().map(|s| corner + s.min.to_vec2()).collect(),
                }
            })
            .collect()
    }

    /// Returns the lines of people and of gear, as they go straight from end to end.
    fn lines(&self, most: f32) -> [Vec<Segment>; 2] {
        let mut pills: Vec<Option<Rect>> = vec![None; self.channels];
        self.each_end(Layer::Air, most, |channel, rect, y| {
            if let Some(pill) = pills.get_mut(channel) {
                *pill = Some(Rect::from_x_y_ranges(rect.x_range(), y..=y));
            }
        });
        let side = |layer| {
            let mut out = Vec::new();
            self.each_end(layer, most, |channel, rect, y| {
                let Some(Some(pill)) = pills.get(channel) else {
                    return;
                };
                let (from, to) = match layer {
                    Layer::People => (pos2(rect.max.x, y), pos2(pill.min.x, pill.min.y)),
                    Layer::Air | Layer::Gear => (pos2(pill.max.x, pill.min.y), pos2(rect.min.x, y)),
                };
                out.push(Segment { from, to, channel });
            });
            out
        };
        [side(Layer::People), side(Layer::Gear)]
    }

    fn each_end(&self, layer: Layer, most: f32, mut each: impl FnMut(usize, Rect, f32)) {
        let stands = self.stands(layer, most);
        for (block, stand) in self.blocks(layer).iter().zip(&stands) {
            for (member, at) in block.members.iter().zip(&stand.members) {
                for (down, channel) in &member.ends {
                    let rect = Rect::from_min_size(*at, member.size);
                    each(*channel, rect, at.y + down);
                }
            }
        }
    }

    fn cost(&self, most: f32) -> Cost {
        let lines = self.lines(most);
        let crossings = lines.iter().map(|side| crossings(side)).sum();
        let climb = lines
            .iter()
            .flatten()
            .map(|l| (l.from.y - l.to.y).abs())
            .sum();
        (crossings, climb)
    }

    /// Puts each layer, from the air outward and back, to the mean heights of what it is joined with.
    fn sweep(&mut self, most: f32) {
        let mut sums = vec![(0.0, 0.0); self.channels];
        for layer in [Layer::People, Layer::Gear] {
            self.each_end(layer, most, |channel, _, y| {
                if let Some((sum, count)) = sums.get_mut(channel) {
                    *sum += y;
                    *count += 1.0;
                }
            });
        }
        self.settle_layer(Layer::Air, most, &means(&sums));
        let mut sums = vec![(0.0, 0.0); self.channels];
        self.each_end(Layer::Air, most, |channel, _, y| {
            if let Some(sum) = sums.get_mut(channel) {
                *sum = (y, 1.0);
            }
        });
        let heights = means(&sums);
        self.settle_layer(Layer::People, most, &heights);
        self.settle_layer(Layer::Gear, most, &heights);
    }

    /// Sorts a layer by the mean height of the channels its members are joined with.
    fn settle_layer(&mut self, layer: Layer, most: f32, heights: &[Option<f32>]) {
        let sizes: Vec<f32> = self.stands(layer, most).iter().map(|s| s.size.y).collect();
        let blocks = self.blocks_mut(layer);
        let mut sorted: Vec<(f32, f32, Block)> = std::mem::take(blocks)
            .into_iter()
            .zip(sizes)
            .map(|(mut block, height)| {
                let of = |m: &Member| mean(m.ends.iter().filter_map(|(_, c)| *heights.get(*c)?));
                if block.frame.is_some() {
                    block
                        .members
                        .sort_by(|a, b| or_last(of(a)).total_cmp(&or_last(of(b))));
                }
                let own = mean(
                    block
                        .members
                        .iter()
                        .flat_map(|m| &m.ends)
                        .filter_map(|(_, c)| *heights.get(*c)?),
                );
                (or_last(own), height, block)
            })
            .collect();
        sorted.sort_by(|a, b| a.0.total_cmp(&b.0));
        *blocks = dealt(sorted, most);
    }

    /// Lets blocks, and members of a block, change places while that makes the drawing better.
    fn exchange(&mut self, layer: Layer, most: f32, cost: &mut Cost, left: &mut usize) {
        let count = self.blocks(layer).len();
        for i in 0..count {
            for j in i + 1..count {
                self.attempt(most, cost, left, |s| s.blocks_mut(layer).swap(i, j));
            }
            let members = self.blocks(layer).get(i).map_or(0, |b| b.members.len());
            for m in 1..members {
                self.attempt(most, cost, left, |s| {
                    if let Some(block) = s.blocks_mut(layer).get_mut(i) {
                        block.members.swap(m - 1, m);
                    }
                });
            }
        }
    }

    /// Makes a change that is its own opposite, and takes it back unless it helps.
    fn attempt(
        &mut self,
        most: f32,
        cost: &mut Cost,
        left: &mut usize,
        change: impl Fn(&mut Self),
    ) {
        if *left == 0 {
            return;
        }
        *left -= 1;
        change(self);
        let now = self.cost(most);
        if is_less(now, *cost) {
            *cost = now;
        } else {
            change(self);
        }
    }
}

/// Deals sorted blocks into columns so that each column runs from top to bottom, one after another.
fn dealt(sorted: Vec<(f32, f32, Block)>, most: f32) -> Vec<Block> {
    let total: f32 = sorted.iter().map(|(_, h, _)| h).sum();
    let columns = (total / most).ceil().max(1.0) as usize;
    let mut piles: Vec<(f32, Vec<Block>)> = (0..columns).map(|_| (0.0, Vec::new())).collect();
    for (_, height, block) in sorted {
        let lowest = piles
            .iter_mut()
            .reduce(|a, b| if b.0 < a.0 { b } else { a });
        if let Some((filled, pile)) = lowest {
            *filled += height;
            pile.push(block);
        }
    }
    piles.into_iter().flat_map(|(_, pile)| pile).collect()
}

fn is_less(a: Cost, b: Cost) -> bool {
    a.0 < b.0 || (a.0 == b.0 && a.1 < b.1 - 0.5)
}

fn means(sums: &[(f32, f32)]) -> Vec<Option<f32>> {
    sums.iter()
        .map(|(sum, count)| (*count > 0.0).then(|| sum / count))
        .collect()
}

fn mean(values: impl Iterator<Item = f32>) -> Option<f32> {
    let (sum, count) = values.fold((0.0, 0.0), |(s, n), v| (s + v, n + 1.0));
    (count > 0.0).then(|| sum / count)
}

/// What is joined with nothing goes last.
fn or_last(height: Option<f32>) -> f32 {
    height.unwrap_or(f32::MAX)
}

/// Counts the pairs of lines that cross; lines of one channel meet at it and do not count.
///
/// Nearly all of the work of tidying is here. Coordinates lie side by side and nothing branches, so that
/// several pairs are looked at at once.
fn crossings(lines: &[Segment]) -> usize {
    let all = |of: fn(&Segment) -> f32| lines.iter().map(of).collect::<Vec<f32>>();
    let (from_x, from_y) = (all(|l| l.from.x), all(|l| l.from.y));
    let (to_x, to_y) = (all(|l| l.to.x), all(|l| l.to.y));
    let channels: Vec<u32> = lines.iter().map(|l| l.channel as u32).collect();
    let mut count = 0;
    for (i, a) in lines.iter().enumerate() {
        let rest = i + 1..lines.len();
        let from = zipped(&from_x, &from_y, &rest);
        let others = from.zip(zipped(&to_x, &to_y, &rest));
        let others = others.zip(channels.get(rest).unwrap_or_default());
        let along = a.to - a.from;
        let own = a.channel as u32;
        let crossed = others.map(|(((fx, fy), (tx, ty)), channel)| {
            // On which side of `a` the other begins and ends, and the other way round.
            let begins = along.x * (fy - a.from.y) - along.y * (fx - a.from.x);
            let ends = along.x * (ty - a.from.y) - along.y * (tx - a.from.x);
            let (x, y) = (tx - fx, ty - fy);
            let first = x * (a.from.y - fy) - y * (a.from.x - fx);
            let second = x * (a.to.y - fy) - y * (a.to.x - fx);
            let is_met = [begins * ends < 0.0, first * second < 0.0, *channel != own];
            is_met.into_iter().map(u32::from).product::<u32>()
        });
        let crossed: u32 = crossed.sum();
        count += crossed as usize;
    }
    count
}

/// Walks a stretch of two lists side by side.
fn zipped<'a>(
    first: &'a [f32],
    second: &'a [f32],
    stretch: &Range<usize>,
) -> impl Iterator<Item = (&'a f32, &'a f32)> + use<'a> {
    let first = first.get(stretch.clone()).unwrap_or_default();
    first
        .iter()
        .zip(second.get(stretch.clone()).unwrap_or_default())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_cross_where_each_has_its_ends_on_both_sides_of_the_other() {
        let line = |from: (f32, f32), to: (f32, f32), channel| Segment {
            from: from.into(),
            to: to.into(),
            channel,
        };
        let all = [
            line((0.0, 0.0), (10.0, 10.0), 0),
            line((0.0, 10.0), (10.0, 0.0), 1),
            // Crosses the first alone, and one of its own channel that does not count.
            line((0.0, 3.0), (4.0, 0.0), 2),
            line((0.0, 0.0), (4.0, 4.0), 2),
            // Ends before it gets to any.
            line((20.0, 0.0), (30.0, 9.0), 3),
            // Begins where the first begins.
            line((0.0, 0.0), (10.0, 40.0), 4),
        ];
        let pairs: Vec<usize> = (0..all.len())
            .flat_map(|i| (i + 1..all.len()).map(move |j| (i, j)))
            .map(|(i, j)| crossings(&[all[i], all[j]]))
            .collect();
        // The first crosses two; the second the long one as well; the third the long one.
        assert_eq!(pairs, [1, 1, 0, 0, 0, 0, 0, 0, 1, 0, 0, 1, 0, 0, 0]);
        assert_eq!(crossings(&all), pairs.iter().sum::<usize>());
    }
}
