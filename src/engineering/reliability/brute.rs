//! Small systems and the longest way to judge them, for the tests of this layer.

use super::graph::Graph;
use super::seeded::SplitMix64;
use super::{Failed, Works};

/// A system given by its ways; works while all items of one of them are up.
#[derive(Debug, Clone)]
pub(super) struct System {
    ways: Vec<Vec<u32>>,
}

impl System {
    pub(super) fn new(ways: &[&[u32]]) -> Self {
        Self {
            ways: ways.iter().map(|way| way.to_vec()).collect(),
        }
    }

    /// Makes a system of up to seven ways, some of them longer than they need be.
    pub(super) fn random(random: &mut SplitMix64, count: u32) -> Self {
        let longest = 1 + random.below(5);
        let ways = (0..random.below(8))
            .map(|_| {
                let items: Failed = (0..=random.below(longest))
                    .map(|_| random.below(count))
                    .collect();
                items.iter().collect()
            })
            .collect();
        Self { ways }
    }
}

impl Works for System {
    fn way(&mut self, failed: &Failed) -> Option<Vec<u32>> {
        let is_up = |way: &&Vec<u32>| way.iter().all(|item| !failed.contains(*item));
        self.ways.iter().find(is_up).cloned()
    }
}

/// Lists all minimal cuts by trying every set, small ones first.
pub(super) fn minimal_cuts(count: u32, mut works: impl FnMut(&Failed) -> bool) -> Vec<Vec<u32>> {
    let mut sets: Vec<u32> = (0..1 << count).collect();
    sets.sort_by_key(|bits| bits.count_ones());
    let mut cuts: Vec<u32> = Vec::new();
    for bits in sets {
        let has_smaller = cuts.iter().any(|cut| cut & bits == *cut);
        if !has_smaller && !works(&items(bits).collect()) {
            cuts.push(bits);
        }
    }
    let mut cuts: Vec<Vec<u32>> = cuts.into_iter().map(|cut| items(cut).collect()).collect();
    cuts.sort_by(|a, b| a.len().cmp(&b.len()).then_with(|| a.cmp(b)));
    cuts
}

/// Sums the probability of every state in which the system works.
pub(super) fn probability(availability: &[f64], mut works: impl FnMut(&Failed) -> bool) -> f64 {
    (0..1_u32 << availability.len())
        .map(|bits| items(bits).collect())
        .filter(|failed| works(failed))
        .map(|failed: Failed| {
            let each = (0..).zip(availability);
            each.map(|(item, a)| if failed.contains(item) { 1.0 - a } else { *a })
                .product::<f64>()
        })
        .sum()
}

/// Answers for pairs in series: items `2 i` and `2 i + 1` stand in for each other.
pub(super) fn pairs_in_series(pairs: u32, failed: &Failed) -> Option<Vec<u32>> {
    (0..pairs)
        .map(|pair| {
            [2 * pair, 2 * pair + 1]
                .into_iter()
                .find(|item| !failed.contains(*item))
        })
        .collect()
}

/// Lists the items whose bits are set.
fn items(bits: u32) -> impl Iterator<Item = u32> {
    (0..u32::BITS).filter(move |item| bits >> item & 1 == 1)
}

/// Makes a graph of two to seven vertices with at most twelve items, each once or anywhere; the
/// first and the last vertex as a rule have none.
pub(super) fn graph(random: &mut SplitMix64, items: Items) -> Graph {
    const MOST: u32 = 12;
    let mut given = 0;
    let mut item = |random: &mut SplitMix64, percent: u32| {
        if random.below(100) >= percent {
            return None;
        }
        match items {
            Items::Anywhere => Some(random.below(MOST)),
            Items::Once if given < MOST => {
                given += 1;
                Some(given - 1)
            }
            Items::Once => None,
        }
    };
    let mut graph = Graph::new();
    let vertices = 2 + random.below(6);
    for vertex in 0..vertices {
        let is_end = vertex == 0 || vertex + 1 == vertices;
        let item = item(random, if is_end { 20 } else { 80 });
        graph.add_vertex(item);
    }
    for _ in 0..vertices + random.below(2 * vertices) {
        let [from, to] = [(); 2].map(|()| random.below(vertices));
        let is_straight = from == 0 && to + 1 == vertices;
        let item = item(random, if is_straight { 90 } else { 30 });
        assert!(
            graph.add_edge(from as usize, to as usize, item),
            "both are vertices"
        );
    }
    graph
}

/// Where an item may stand in a graph.
#[derive(Debug, Clone, Copy)]
pub(super) enum Items {
    Once,
    Anywhere,
}
