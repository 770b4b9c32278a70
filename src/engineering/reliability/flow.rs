//! The smallest cut of one pair in a graph, by flow.
//!
//! Where each item stands once, the fewest items that cut a pair are as many as the most ways that
//! share no item (Menger), and both are found without trying sets.
//!
//! Formula: each vertex is split into an entrance and an exit; the step between them, and each edge,
//! carries one unit if it is an item and any number if not. Units are sent by shortest augmenting
//! paths until none is left; the full steps out of what is still reached are the cut.
//!
//! Units: none; items are counted.
//!
//! Valid range: graphs in which no item stands at two places; others are refused.
//!
//! When it is wrong: never inside its range. It names one smallest cut of several;
//! [`smallest`](super::cuts::smallest) lists all, and takes items that stand anywhere.
//!
//! Source: Menger 1927; Ford and Fulkerson 1956 (maximum flow equals minimum cut); Edmonds and Karp
//! 1972 (shortest augmenting paths). All from memory.
//!
//! Worked example: the bridge of five lines between bare ends is cut by two of them.

use std::collections::VecDeque;

use super::Failed;
use super::graph::Graph;

/// An item that stands at more than one place, where it may stand at one only.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("item {item} stands at more than one place of the graph")]
pub struct Repeated {
    /// The lowest such item.
    pub item: u32,
}

impl Graph {
    /// Returns the items of one smallest cut between two vertices, the ends' own items among those
    /// that may be cut.
    ///
    /// # Returns
    ///
    /// The items ascending; none of them when there is no way in the first place; `None` when a way
    /// has no item, so that nothing cuts it.
    ///
    /// # Errors
    ///
    /// An item stands at two places of the graph, be they on a way or not.
    ///
    /// # Complexity
    ///
    /// One breadth-first walk for each item of the cut, and two more. Deterministic.
    pub fn minimum_vertex_cut(&self, from: usize, to: usize) -> Result<Option<Vec<u32>>, Repeated> {
        let all = self.items_once()?;
        if self.way(from, to, &all).is_some() {
            return Ok(None);
        }
        if from.max(to) >= self.vertices.len() {
            return Ok(Some(Vec::new()));
        }
        let mut net = Net::new(self);
        let (source, sink) = (entrance(from), exit(to));
        // No way is without items, so each path has a step of one unit.
        let reached = loop {
            let by = net.walk(source);
            if by[sink].is_none() {
                break by;
            }
            net.send_one(source, sink, &by);
        };
        let is_reached = |node: usize| node == source || reached[node].is_some();
        let mut items: Vec<u32> = (net.steps.iter())
            .filter(|step| is_reached(step.from) && !is_reached(step.to))
            .filter_map(|step| step.item)
            .collect();
        items.sort_unstable();
        Ok(Some(items))
    }

    /// Returns all items, if each stands once.
    fn items_once(&self) -> Result<Failed, Repeated> {
        let on_edges = self.edges.iter().filter_map(|edge| edge.item);
        let mut items: Vec<u32> = self
            .vertices
            .iter()
            .flatten()
            .copied()
            .chain(on_edges)
            .collect();
        items.sort_unstable();
        match items.windows(2).find(|pair| pair[0] == pair[1]) {
            Some(pair) => Err(Repeated { item: pair[0] }),
            None => Ok(items.into_iter().collect()),
        }
    }
}

/// The split graph; steps come in pairs, there and back, each holding what it can still carry.
struct Net {
    steps: Vec<Step>,
    /// Numbers of the steps that leave each node.
    leaving: Vec<Vec<usize>>,
}

struct Step {
    from: usize,
    to: usize,
    left: u32,
    /// Absent on the way back.
    item: Option<u32>,
}

const fn entrance(vertex: usize) -> usize {
    2 * vertex
}

const fn exit(vertex: usize) -> usize {
    2 * vertex + 1
}

impl Net {
    fn new(graph: &Graph) -> Self {
        let mut net = Self {
            steps: Vec::new(),
            leaving: vec![Vec::new(); 2 * graph.vertices.len()],
        };
        for (vertex, item) in graph.vertices.iter().enumerate() {
            net.add(entrance(vertex), exit(vertex), *item);
        }
        for edge in &graph.edges {
            net.add(exit(edge.from), entrance(edge.to), edge.item);
        }
        net
    }

    fn add(&mut self, from: usize, to: usize, item: Option<u32>) {
        // More than any flow: that is at most one unit for each item.
        let left = if item.is_some() { 1 } else { u32::MAX };
        for (from, to, left, item) in [(from, to, left, item), (to, from, 0, None)] {
            self.leaving[from].push(self.steps.len());
            self.steps.push(Step {
                from,
                to,
                left,
                item,
            });
        }
    }

    /// Walks breadth first; returns the step by which each node was reached.
    fn walk(&self, source: usize) -> Vec<Option<usize>> {
        let mut by: Vec<Option<usize>> = vec![None; self.leaving.len()];
        let mut waiting = VecDeque::from([source]);
        while let Some(node) = waiting.pop_front() {
            for number in &self.leaving[node] {
                let step = &self.steps[*number];
                if step.left > 0 && step.to != source && by[step.to].is_none() {
                    by[step.to] = Some(*number);
                    waiting.push_back(step.to);
                }
            }
        }
        by
    }

    fn send_one(&mut self, source: usize, sink: usize, by: &[Option<usize>]) {
        let mut at = sink;
        while at != source {
            let Some(number) = by[at] else { return };
            self.steps[number].left -= 1;
            // The way back of an even step is the odd one after it.
            self.steps[number ^ 1].left += 1;
            at = self.steps[number].from;
        }
    }
}

#[cfg(test)]
mod tests {
    use petgraph::algo::ford_fulkerson;
    use petgraph::graph::{DiGraph, NodeIndex};

    use super::*;
    use crate::engineering::reliability::brute::{self, Items};
    use crate::engineering::reliability::cuts;
    use crate::engineering::reliability::seeded::SplitMix64;

    /// The largest flow from entrance to exit that petgraph finds.
    fn flow_by_petgraph(graph: &Graph, from: usize, to: usize) -> u32 {
        const ANY: u32 = 1000;
        let carries = |item: Option<u32>| if item.is_some() { 1 } else { ANY };
        let mut theirs: DiGraph<(), u32> = DiGraph::new();
        let nodes: Vec<[NodeIndex; 2]> = graph
            .vertices
            .iter()
            .map(|_| [(); 2].map(|()| theirs.add_node(())))
            .collect();
        for (node, item) in nodes.iter().zip(&graph.vertices) {
            theirs.add_edge(node[0], node[1], carries(*item));
        }
        for edge in &graph.edges {
            theirs.add_edge(nodes[edge.from][1], nodes[edge.to][0], carries(edge.item));
        }
        ford_fulkerson(&theirs, nodes[from][0], nodes[to][1]).0
    }

    #[test]
    fn the_cut_is_as_small_as_flow_search_and_brute_force_say() {
        let mut random = SplitMix64::new(31);
        let mut sizes = [0; 13];
        let mut without = 0;
        for _ in 0..300 {
            let graph = brute::graph(&mut random, Items::Once);
            let (from, to) = (0, graph.vertices.len() - 1);
            let all = brute::minimal_cuts(12, |failed| graph.way(from, to, failed).is_some());
            let searched = cuts::minimum(12, &mut graph.pair(from, to), 12, 100_000);
            let flow = flow_by_petgraph(&graph, from, to);
            let Some(cut) = graph.minimum_vertex_cut(from, to).unwrap() else {
                assert!(
                    all.is_empty() && searched.is_none() && flow >= 1000,
                    "{graph:?}"
                );
                without += 1;
                continue;
            };
            assert!(all.contains(&cut), "{cut:?} of {all:?}: {graph:?}");
            assert_eq!(cut.len(), all[0].len(), "{graph:?}");
            assert_eq!(cut.len() as u32, flow, "{graph:?}");
            assert_eq!(searched, Some(cut.len()), "{graph:?}");
            sizes[cut.len()] += 1;
        }
        assert!(
            without > 10 && sizes[..3].iter().all(|n| *n > 10),
            "{sizes:?}, {without}"
        );
    }

    #[test]
    fn wide_graphs_agree_with_petgraph() {
        let mut random = SplitMix64::new(32);
        let mut widest = 0;
        for _ in 0..100 {
            let mut graph = Graph::new();
            graph.add_vertex(None);
            for item in 0..30 {
                graph.add_vertex(Some(item));
            }
            let to = graph.add_vertex(None);
            for _ in 0..120 {
                let from = random.below(31) as usize;
                let next = 1 + random.below(31) as usize;
                // A line straight across would leave nothing to cut.
                assert!(from == 0 && next == to || graph.add_edge(from, next, None));
            }
            for vertex in 1..6 {
                assert!(graph.add_edge(0, vertex, None) && graph.add_edge(to - vertex, to, None));
            }
            let cut = graph.minimum_vertex_cut(0, to).unwrap().unwrap();
            assert_eq!(cut.len() as u32, flow_by_petgraph(&graph, 0, to));
            assert_eq!(graph.way(0, to, &Failed::from(&cut[..])), None);
            widest = widest.max(cut.len());
        }
        assert!(widest >= 5, "{widest}");
    }

    #[test]
    fn the_bridge_is_cut_by_two_lines_and_ends_by_one() {
        let bridge = |end: Option<u32>| {
            let mut graph = Graph::new();
            let [s, a, b, t] = [end, None, None, None].map(|item| graph.add_vertex(item));
            for (from, to, item) in [(s, a, 1), (s, b, 2), (a, t, 4), (b, t, 5)] {
                assert!(graph.add_edge(from, to, Some(item)));
            }
            assert!(graph.add_edge(a, b, Some(3)));
            graph
        };
        assert_eq!(bridge(None).minimum_vertex_cut(0, 3), Ok(Some(vec![1, 2])));
        assert_eq!(bridge(Some(7)).minimum_vertex_cut(0, 3), Ok(Some(vec![7])));
        assert_eq!(bridge(Some(7)).minimum_vertex_cut(0, 0), Ok(Some(vec![7])));
        assert_eq!(bridge(None).minimum_vertex_cut(0, 0), Ok(None));
        assert_eq!(bridge(None).minimum_vertex_cut(3, 0), Ok(Some(vec![])));
        assert_eq!(bridge(None).minimum_vertex_cut(0, 9), Ok(Some(vec![])));
        let refused = bridge(Some(3)).minimum_vertex_cut(0, 3).unwrap_err();
        assert_eq!(
            refused.to_string(),
            "item 3 stands at more than one place of the graph"
        );
    }
}
