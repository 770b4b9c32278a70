//! Where the blocks of the gateways lie, one below the other, so that only those in view are drawn.

use crate::model::{Gateway, GatewayId, Phase};

/// Height of a gateway's own line, in points.
pub(super) const HEAD: f32 = 32.0;
/// Height of a lane above its tiles, in points.
pub(super) const TOP: f32 = 296.0;
/// Height of a tile with the gap below it, in points.
pub(super) const TILE: f32 = 66.0;
/// Space below a block, in points.
pub(super) const GAP: f32 = 22.0;
/// Space between two lanes, in points.
pub(super) const BETWEEN: f32 = 10.0;
/// Narrowest and widest lane, in points.
const LANE: (f32, f32) = (206.0, 330.0);
/// How far beyond the window blocks are drawn, so that the keyboard walks on into them, in points.
const BEYOND: f32 = 240.0;

/// Where one gateway's block lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Block {
    /// The gateway.
    pub(super) gateway: GatewayId,
    /// From the top of the list, in points.
    pub(super) top: f32,
    /// With the space below it, in points.
    pub(super) height: f32,
    /// Its talk groups and the lane of none.
    pub(super) lanes: usize,
}

/// Lays the blocks of gateways one below the other.
pub(super) fn stack<'a>(gateways: impl Iterator<Item = &'a Gateway>, phase: &Phase) -> Vec<Block> {
    let mut top = 0.0;
    let blocks = gateways.map(|gateway| {
        // Lane 0 is that of none; numbers of talk groups begin with 1.
        let mut counts = [0_usize; 256];
        for port in gateway.port_refs() {
            let lane = phase.group_of(port).map_or(0, |g| g.group);
            if let Some(count) = counts.get_mut(usize::from(lane)) {
                *count += 1;
            }
        }
        // An empty lane still has room for a tile to be dropped.
        let most = counts.into_iter().max().unwrap_or(0).max(1);
        let height = HEAD + TOP + most as f32 * TILE + 8.0 + GAP;
        let block = Block {
            gateway: gateway.id,
            top,
            height,
            lanes: gateway.talk_groups.len() + 1,
        };
        top += height;
        block
    });
    blocks.collect()
}

/// Lists the blocks between two heights, and those just beyond.
pub(super) fn seen(stack: &[Block], from: f32, to: f32) -> &[Block] {
    let first = stack.partition_point(|b| b.top + b.height < from - BEYOND);
    let last = stack.partition_point(|b| b.top <= to + BEYOND);
    stack.get(first..last).unwrap_or(&[])
}

/// Returns the width of one of several lanes that share some room.
pub(super) fn lane_width(lanes: usize, room: f32) -> f32 {
    let count = lanes.max(1) as f32;
    ((room - (count - 1.0) * BETWEEN) / count).clamp(LANE.0, LANE.1)
}

/// Returns the width of all lanes together.
pub(super) fn width(lanes: usize, room: f32) -> f32 {
    let count = lanes.max(1) as f32;
    count * lane_width(lanes, room) + (count - 1.0) * BETWEEN
}

#[cfg(test)]
mod tests {
    use super::*;

    fn blocks(heights: &[f32]) -> Vec<Block> {
        let mut top = 0.0;
        let mut out = Vec::new();
        for (i, height) in heights.iter().enumerate() {
            out.push(Block {
                gateway: GatewayId(i as u32),
                top,
                height: *height,
                lanes: 3,
            });
            top += height;
        }
        out
    }

    #[test]
    fn only_blocks_near_the_window_are_drawn() {
        let all = blocks(&[500.0; 100]);
        let ids: Vec<u32> = seen(&all, 25_000.0, 25_900.0)
            .iter()
            .map(|b| b.gateway.0)
            .collect();
        assert_eq!(ids, [49, 50, 51, 52]);
        assert_eq!(seen(&all, 0.0, 100.0).len(), 1);
        assert!(seen(&[], 0.0, 100.0).is_empty());
    }

    #[test]
    fn lanes_share_the_room_within_their_limits() {
        assert!((lane_width(3, 800.0) - 260.0).abs() < 1e-3);
        assert!((lane_width(3, 300.0) - LANE.0).abs() < 1e-3);
        assert!((lane_width(1, 3_000.0) - LANE.1).abs() < 1e-3);
        assert!(width(3, 800.0) <= 800.0 + 1e-3);
    }
}
