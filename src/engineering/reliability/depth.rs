//! Primary, alternate, contingency and emergency: how many ways of a need share nothing.
//!
//! Ways are found one after the other, each avoiding all that those before it use, save the items
//! that do not count: the speaker's and the hearer's own radios are on every way.
//!
//! Formula: `way 1 = way(nothing failed)`, `way n+1 = way(items of ways 1 to n, less the free ones,
//! failed)`, until there is none or four are found.
//!
//! Units: none; ways are counted.
//!
//! Valid range: any oracle and any free items.
//!
//! When it is wrong: it can be too low, never too high. It takes the ways as the oracle offers them,
//! and one way may use up items of two others: with `s-a-b-t` taken first, `s-a-c-d-t` and
//! `s-e-f-b-t` are both lost, although they share nothing with each other. An oracle whose ways have
//! items they could do without makes it lower still. The smallest cut of items that are not free
//! ([`minimum`](super::cuts::minimum)) is an upper bound.
//!
//! Source: the four ranks are common practice of emergency communications planning (from memory);
//! taking disjoint ways greedily is a textbook heuristic.
//!
//! Worked example: two talk groups and a telephone that share no item give a depth of three.

use super::{Failed, Works};

/// The names of the ranks, first choice first.
pub const RANKS: [&str; 4] = ["primary", "alternate", "contingency", "emergency"];

/// Lists ways that share none but free items, at most four, in the order of [`RANKS`].
///
/// Each way is ascending. A way of free items alone can always be used again, so it is listed once
/// and the list ends.
///
/// Complexity: at most four oracle calls. Which ways are listed depends on which the oracle offers
/// first.
pub fn depth(works: &mut impl Works, free: &Failed) -> Vec<Vec<u32>> {
    let mut ways: Vec<Vec<u32>> = Vec::new();
    let mut used = Failed::new();
    while ways.len() < RANKS.len() {
        let Some(mut way) = works.way(&used) else {
            break;
        };
        way.sort_unstable();
        way.dedup();
        let before = used.len();
        used.extend(way.iter().copied().filter(|item| !free.contains(*item)));
        ways.push(way);
        if used.len() == before {
            break;
        }
    }
    ways
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engineering::reliability::brute::{self, Items, System};
    use crate::engineering::reliability::graph::Graph;
    use crate::engineering::reliability::{cuts, seeded::SplitMix64};

    #[test]
    fn ways_are_ranked_and_at_most_four() {
        let free = Failed::from(&[0, 9][..]);
        let mut three = System::new(&[&[0, 1, 9], &[0, 3, 2, 9], &[0, 2, 4, 9], &[0, 5, 9]]);
        let ways: [&[u32]; 3] = [&[0, 1, 9], &[0, 2, 3, 9], &[0, 5, 9]];
        assert_eq!(depth(&mut three, &free), ways);
        assert_eq!(
            depth(&mut three, &Failed::new()),
            ways[..1],
            "0 and 9 are on all"
        );

        let mut six = System::new(&[&[0], &[1], &[2], &[3], &[4], &[5]]);
        assert_eq!(depth(&mut six, &free), [[0]]);
        assert_eq!(depth(&mut six, &Failed::new()), [[0], [1], [2], [3]]);
        assert!(depth(&mut System::new(&[]), &free).is_empty());
    }

    #[test]
    fn a_way_of_free_items_alone_ends_the_list() {
        let free = Failed::from(&[0, 1][..]);
        let mut system = System::new(&[&[0, 2], &[0, 1], &[3]]);
        let ways: [&[u32]; 2] = [&[0, 2], &[0, 1]];
        assert_eq!(depth(&mut system, &free), ways);
    }

    #[test]
    fn the_greedy_choice_can_be_too_low() {
        // s-a-b-t is shortest and spoils both s-a-c-d-t and s-e-f-b-t.
        let mut graph = Graph::new();
        let [s, t] = [None, None].map(|item| graph.add_vertex(item));
        let [a, b, c, d, e, f] = [0, 1, 2, 3, 4, 5].map(|item| graph.add_vertex(Some(item)));
        let lines = [
            (s, a),
            (a, b),
            (b, t),
            (a, c),
            (c, d),
            (d, t),
            (s, e),
            (e, f),
            (f, b),
        ];
        for (from, to) in lines {
            assert!(graph.add_edge(from, to, None));
        }
        assert_eq!(depth(&mut graph.pair(s, t), &Failed::new()), [[0, 1]]);
        assert_eq!(graph.minimum_vertex_cut(s, t).unwrap().unwrap().len(), 2);
    }

    #[test]
    fn ways_share_nothing_and_are_no_more_than_the_smallest_cut() {
        let mut random = SplitMix64::new(41);
        let mut depths = [0; 5];
        for _ in 0..400 {
            let graph = brute::graph(&mut random, Items::Anywhere);
            let mut need = graph.pair(0, graph.vertices.len() - 1);
            let ways = depth(&mut need, &Failed::new());
            for (index, way) in ways.iter().enumerate() {
                assert!(
                    ways[..index]
                        .iter()
                        .flatten()
                        .all(|item| !way.contains(item))
                );
            }
            if let Some(cut) = cuts::minimum(12, &mut need, 12, 100_000) {
                assert!(ways.len() <= cut, "{ways:?}, cut of {cut}: {graph:?}");
            }
            depths[ways.len()] += 1;
        }
        assert!(depths[..3].iter().all(|n| *n > 10), "{depths:?}");
    }
}
