//! A directed graph whose vertices and edges are items, as an oracle.
//!
//! An item may stand at several places, and a place may have none (a wire that is not counted). A
//! failed item takes every place it stands at out of the graph.
//!
//! Everything here is deterministic: edges are walked in the order in which they were added.

use super::{Failed, Works};

/// A directed graph with items on vertices and on edges.
#[derive(Debug, Clone, Default)]
pub struct Graph {
    pub(super) vertices: Vec<Option<u32>>,
    /// Both ends are vertices.
    pub(super) edges: Vec<Edge>,
    /// Numbers of the edges that leave each vertex.
    leaving: Vec<Vec<usize>>,
}

/// Room for walks one after the other, which spares making and clearing it for each.
#[derive(Debug, Clone, Default)]
pub struct Room {
    round: u32,
    /// The walk in which each vertex was last reached.
    reached: Vec<u32>,
    /// The edge by which each vertex was reached.
    by: Vec<usize>,
    waiting: Vec<usize>,
}

impl Room {
    /// Makes room for a walk through so many vertices, none of them reached.
    fn clear(&mut self, vertices: usize) {
        if self.reached.len() < vertices || self.round == u32::MAX {
            self.reached = vec![0; vertices];
            self.by = vec![0; vertices];
            self.round = 0;
        }
        self.round += 1;
        self.waiting.clear();
    }

    /// Notes that a vertex is reached; false if it was before.
    fn reach(&mut self, vertex: usize, by: usize) -> bool {
        let is_new = self.reached[vertex] != self.round;
        if is_new {
            self.reached[vertex] = self.round;
            self.by[vertex] = by;
            self.waiting.push(vertex);
        }
        is_new
    }
}

#[derive(Debug, Clone, Copy)]
pub(super) struct Edge {
    pub(super) from: usize,
    pub(super) to: usize,
    pub(super) item: Option<u32>,
}

impl Graph {
    /// Makes a graph without vertices.
    pub const fn new() -> Self {
        Self {
            vertices: Vec::new(),
            edges: Vec::new(),
            leaving: Vec::new(),
        }
    }

    /// Adds a vertex and returns its number; the first is 0, the next 1.
    pub fn add_vertex(&mut self, item: Option<u32>) -> usize {
        self.vertices.push(item);
        self.leaving.push(Vec::new());
        self.vertices.len() - 1
    }

    /// Adds an edge; false, and nothing added, if an end is not a vertex.
    #[must_use = "an edge to no vertex is not added"]
    pub fn add_edge(&mut self, from: usize, to: usize, item: Option<u32>) -> bool {
        if from.max(to) >= self.vertices.len() {
            return false;
        }
        self.leaving[from].push(self.edges.len());
        self.edges.push(Edge { from, to, item });
        true
    }

    /// Returns the items of a way with the fewest edges, both ends' items among them.
    ///
    /// # Arguments
    ///
    /// `from` and `to` are vertices, and may be the same; a number that is no vertex is reached by
    /// nothing. What is in `failed` is avoided.
    ///
    /// # Returns
    ///
    /// The items ascending, each once; `None` when no way is left.
    ///
    /// # Complexity
    ///
    /// Linear in vertices and edges: a breadth-first walk.
    pub fn way(&self, from: usize, to: usize, failed: &Failed) -> Option<Vec<u32>> {
        let mut items = Vec::new();
        self.walk(&mut Room::default(), from, to, failed, &mut items)?;
        items.sort_unstable();
        items.dedup();
        Some(items)
    }

    /// Adds the items of a way, in no order, some perhaps twice; `None` when no way is left.
    fn walk(
        &self,
        room: &mut Room,
        from: usize,
        to: usize,
        failed: &Failed,
        items: &mut Vec<u32>,
    ) -> Option<()> {
        let is_up = |item: Option<u32>| item.is_none_or(|item| !failed.contains(item));
        let start = *self.vertices.get(from)?;
        if to >= self.vertices.len() || !is_up(start) {
            return None;
        }
        room.clear(self.vertices.len());
        room.reach(from, usize::MAX);
        let mut next = 0;
        let mut is_there = from == to;
        while !is_there {
            let vertex = *room.waiting.get(next)?;
            next += 1;
            for number in &self.leaving[vertex] {
                let edge = self.edges[*number];
                if is_up(edge.item)
                    && is_up(self.vertices[edge.to])
                    && room.reach(edge.to, *number)
                    && edge.to == to
                {
                    is_there = true;
                    break;
                }
            }
        }
        items.extend(start);
        let mut at = to;
        while at != from {
            let edge = self.edges[room.by[at]];
            items.extend(self.vertices[at]);
            items.extend(edge.item);
            at = edge.from;
        }
        Some(())
    }

    /// Returns the items of ways for all the pairs at once, or `None` when a pair has none left.
    ///
    /// The union of the ways is sufficient, yet not always the smallest such set.
    ///
    /// Complexity: one walk for each pair. No pairs are met by no items.
    pub fn all_pairs(&self, pairs: &[(usize, usize)], failed: &Failed) -> Option<Vec<u32>> {
        self.all_pairs_in(&mut Room::default(), pairs, failed)
    }

    /// Returns the same as [`Graph::all_pairs`], walking in a room that was walked in before.
    pub fn all_pairs_in(
        &self,
        room: &mut Room,
        pairs: &[(usize, usize)],
        failed: &Failed,
    ) -> Option<Vec<u32>> {
        let mut items = Vec::new();
        for (from, to) in pairs {
            self.walk(room, *from, *to, failed, &mut items)?;
        }
        items.sort_unstable();
        items.dedup();
        Some(items)
    }

    /// Returns the oracle of the need that one vertex reaches another.
    pub fn pair(&self, from: usize, to: usize) -> impl Works {
        move |failed: &Failed| self.way(from, to, failed)
    }

    /// Returns the items on every way, ascending, or `None` when there is no way.
    ///
    /// These are the single points of failure of the pair, the ends' items among them. In a graph
    /// where each item stands once they are the dominators of the target; the answer holds where an
    /// item stands at several places too.
    ///
    /// Complexity: one walk for each item of a shortest way, since an item on every way is on that.
    pub fn articulation(&self, from: usize, to: usize) -> Option<Vec<u32>> {
        let mut items = self.way(from, to, &Failed::new())?;
        items.retain(|item| self.way(from, to, &Failed::new().with(*item)).is_none());
        Some(items)
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use petgraph::algo::articulation_points::articulation_points;
    use petgraph::algo::dominators::simple_fast;
    use petgraph::graph::{DiGraph, NodeIndex, UnGraph};

    use super::*;
    use crate::engineering::reliability::brute::{self, Items};
    use crate::engineering::reliability::cuts;
    use crate::engineering::reliability::seeded::SplitMix64;

    /// Tells which vertices reach which by closing the relation, without any walk.
    fn reaches(graph: &Graph, failed: &Failed) -> Vec<Vec<bool>> {
        let is_up = |item: Option<u32>| item.is_none_or(|item| !failed.contains(item));
        let n = graph.vertices.len();
        let mut reach = vec![vec![false; n]; n];
        for (vertex, item) in graph.vertices.iter().enumerate() {
            reach[vertex][vertex] = is_up(*item);
        }
        for edge in &graph.edges {
            let ends = [edge.from, edge.to].map(|v| is_up(graph.vertices[v]));
            reach[edge.from][edge.to] |= is_up(edge.item) && ends == [true; 2];
        }
        for middle in 0..n {
            for from in 0..n {
                for to in 0..n {
                    reach[from][to] |= reach[from][middle] && reach[middle][to];
                }
            }
        }
        reach
    }

    #[test]
    fn a_way_is_found_just_when_there_is_one_and_is_sufficient() {
        let mut random = SplitMix64::new(21);
        let mut answers = [0; 2];
        for round in 0..400 {
            let items = [Items::Once, Items::Anywhere][round % 2];
            let graph = brute::graph(&mut random, items);
            let failed: Failed = (0..random.below(5)).map(|_| random.below(12)).collect();
            let reach = reaches(&graph, &failed);
            for (from, row) in reach.iter().enumerate() {
                for (to, expected) in row.iter().enumerate() {
                    let way = graph.way(from, to, &failed);
                    assert_eq!(way.is_some(), *expected, "{from} to {to}: {graph:?}");
                    answers[usize::from(*expected)] += 1;
                    let Some(way) = way else { continue };
                    assert!(way.is_sorted_by(|a, b| a < b), "{way:?}");
                    assert!(!Failed::from(&way[..]).meets(&failed));
                    let rest: Failed = (0..12).filter(|item| !way.contains(item)).collect();
                    assert!(reaches(&graph, &rest)[from][to], "{way:?} suffices");
                }
            }
        }
        assert!(answers.iter().all(|n| *n > 500), "{answers:?}");
    }

    #[test]
    fn the_way_has_the_fewest_edges_and_ends_count() {
        let mut graph = Graph::new();
        let [a, b, c, d] = [Some(0), None, Some(2), Some(3)].map(|item| graph.add_vertex(item));
        for (from, to, item) in [(a, b, None), (b, d, Some(9)), (a, c, None), (c, b, None)] {
            assert!(graph.add_edge(from, to, item));
        }
        assert_eq!(graph.way(a, d, &Failed::new()), Some(vec![0, 3, 9]));
        assert_eq!(graph.way(a, a, &Failed::new()), Some(vec![0]));
        for cut in [0, 3, 9] {
            assert_eq!(graph.way(a, d, &Failed::new().with(cut)), None, "{cut}");
        }
        assert_eq!(graph.way(d, a, &Failed::new()), None, "edges are directed");
        assert!(!graph.add_edge(a, 4, None));
        assert_eq!(graph.way(a, 4, &Failed::new()), None);
        assert_eq!(graph.way(4, a, &Failed::new()), None);
    }

    #[test]
    fn all_pairs_need_every_pair() {
        let mut random = SplitMix64::new(22);
        let mut met = 0;
        for _ in 0..100 {
            let graph = brute::graph(&mut random, Items::Anywhere);
            let n = graph.vertices.len() as u32;
            let pairs: Vec<(usize, usize)> = (0..random.below(4))
                .map(|_| (random.below(n) as usize, random.below(n) as usize))
                .collect();
            let mut need = |failed: &Failed| graph.all_pairs(&pairs, failed);
            let expected = brute::minimal_cuts(12, |failed| {
                let reach = reaches(&graph, failed);
                pairs.iter().all(|(from, to)| reach[*from][*to])
            });
            assert_eq!(cuts::smallest(12, &mut need, 12, 100_000).cuts, expected);
            met += u32::from(need(&Failed::new()).is_some());
        }
        assert!((20..80).contains(&met), "{met}");
    }

    #[test]
    fn articulation_is_the_cuts_of_one() {
        let mut random = SplitMix64::new(23);
        let mut found = 0;
        for round in 0..400 {
            let items = [Items::Once, Items::Anywhere][round % 2];
            let graph = brute::graph(&mut random, items);
            let (from, to) = (0, graph.vertices.len() - 1);
            let Some(ours) = graph.articulation(from, to) else {
                assert!(!reaches(&graph, &Failed::new())[from][to]);
                continue;
            };
            let cuts = cuts::smallest(12, &mut graph.pair(from, to), 1, 1000);
            assert_eq!(cuts.single_points(), ours, "{graph:?}");
            let expected: Vec<u32> = (0..12)
                .filter(|item| !reaches(&graph, &Failed::new().with(*item))[from][to])
                .collect();
            assert_eq!(ours, expected, "{graph:?}");
            found += ours.len();
        }
        assert!(found > 200, "{found}");
    }

    #[test]
    fn articulation_is_the_dominators_that_petgraph_finds() {
        let mut random = SplitMix64::new(24);
        let mut compared = 0;
        for _ in 0..400 {
            let graph = brute::graph(&mut random, Items::Once);
            // An edge becomes a vertex of its own, since it may be an item.
            let mut theirs: DiGraph<Option<u32>, ()> = DiGraph::new();
            let vertices: Vec<NodeIndex> = graph
                .vertices
                .iter()
                .map(|item| theirs.add_node(*item))
                .collect();
            for edge in &graph.edges {
                let middle = theirs.add_node(edge.item);
                theirs.add_edge(vertices[edge.from], middle, ());
                theirs.add_edge(middle, vertices[edge.to], ());
            }
            let dominators = simple_fast(&theirs, vertices[0]);
            for (to, vertex) in vertices.iter().enumerate() {
                let expected = dominators.dominators(*vertex).map(|nodes| {
                    nodes
                        .filter_map(|node| theirs[node])
                        .collect::<BTreeSet<u32>>()
                });
                let ours = graph.articulation(0, to).map(BTreeSet::from_iter);
                assert_eq!(ours, expected, "to {to}: {graph:?}");
                compared += u32::from(ours.is_some_and(|items| items.len() > 1));
            }
        }
        assert!(compared > 200, "{compared}");
    }

    #[test]
    fn articulation_of_all_pairs_is_the_articulation_points_that_petgraph_finds() {
        let mut random = SplitMix64::new(25);
        let mut compared = 0;
        for _ in 0..300 {
            let count = 3 + random.below(8);
            let mut theirs: UnGraph<u32, ()> = UnGraph::new_undirected();
            let mut graph = Graph::new();
            let nodes: Vec<NodeIndex> = (0..count).map(|item| theirs.add_node(item)).collect();
            for item in 0..count {
                graph.add_vertex(Some(item));
            }
            let ends: BTreeSet<(u32, u32)> = (0..count + random.below(count))
                .map(|_| (random.below(count), random.below(count)))
                .filter(|(a, b)| a < b)
                .collect();
            for (a, b) in ends {
                theirs.add_edge(nodes[a as usize], nodes[b as usize], ());
                for (from, to) in [(a, b), (b, a)] {
                    assert!(graph.add_edge(from as usize, to as usize, None));
                }
            }
            let mut ours = BTreeSet::new();
            for from in 0..count {
                for to in 0..from {
                    let between = graph.articulation(from as usize, to as usize);
                    let inner = between.into_iter().flatten();
                    ours.extend(inner.filter(|item| *item != from && *item != to));
                }
            }
            let expected: BTreeSet<u32> = articulation_points(&theirs)
                .into_iter()
                .map(|node| theirs[node])
                .collect();
            assert_eq!(ours, expected, "{graph:?}");
            compared += expected.len();
        }
        assert!(compared > 200, "{compared}");
    }
}
