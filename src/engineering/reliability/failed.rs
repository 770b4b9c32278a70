//! A set of items, kept as bits: those that have failed.
//!
//! Items are small numbers without gaps, so a word of the machine holds 64 of them. The set takes
//! one bit for each number up to the highest item in it.

const WORD: u32 = u64::BITS;

/// A set of items, as a rule those that have failed.
///
/// Two sets with the same items are equal and print alike, however they came about.
#[derive(Debug, Clone, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Failed {
    /// Item `i` is bit `i % 64` of word `i / 64`. The last word is never zero.
    words: Vec<u64>,
}

impl Failed {
    /// Makes a set without items.
    pub const fn new() -> Self {
        Self { words: Vec::new() }
    }

    /// Returns the set with one item more.
    #[must_use]
    pub fn with(&self, item: u32) -> Self {
        let mut more = self.clone();
        more.insert(item);
        more
    }

    /// Adds an item; tells whether it is new.
    pub fn insert(&mut self, item: u32) -> bool {
        let (word, bit) = place(item);
        if self.words.len() <= word {
            self.words.resize(word + 1, 0);
        }
        let is_new = self.words[word] & bit == 0;
        self.words[word] |= bit;
        is_new
    }

    /// Takes an item out; tells whether it was there.
    pub fn remove(&mut self, item: u32) -> bool {
        let (word, bit) = place(item);
        let Some(held) = self.words.get_mut(word).filter(|held| **held & bit != 0) else {
            return false;
        };
        *held &= !bit;
        while self.words.last() == Some(&0) {
            self.words.pop();
        }
        true
    }

    /// Tells whether an item is in the set.
    pub fn contains(&self, item: u32) -> bool {
        let (word, bit) = place(item);
        self.words.get(word).is_some_and(|held| held & bit != 0)
    }

    /// Returns how many items there are.
    pub fn len(&self) -> usize {
        self.words
            .iter()
            .map(|word| word.count_ones() as usize)
            .sum()
    }

    /// Tells whether there are no items.
    pub const fn is_empty(&self) -> bool {
        self.words.is_empty()
    }

    /// Tells whether the two sets have an item in common.
    pub fn meets(&self, other: &Self) -> bool {
        self.words.iter().zip(&other.words).any(|(a, b)| a & b != 0)
    }

    /// Tells whether every item is in the other set too.
    pub fn is_within(&self, other: &Self) -> bool {
        self.words.len() <= other.words.len()
            && self
                .words
                .iter()
                .zip(&other.words)
                .all(|(a, b)| a & !b == 0)
    }

    /// Returns how many items are not in the other set.
    pub fn count_outside(&self, other: &Self) -> usize {
        let others = other.words.iter().copied().chain(std::iter::repeat(0));
        self.words
            .iter()
            .zip(others)
            .map(|(a, b)| (a & !b).count_ones() as usize)
            .sum()
    }

    /// Lists the items in ascending order.
    pub fn iter(&self) -> impl Iterator<Item = u32> + '_ {
        self.words.iter().enumerate().flat_map(|(index, word)| {
            let first = index as u32 * WORD;
            std::iter::successors(Some(*word), |left| Some(left & left.wrapping_sub(1)))
                .take_while(|left| *left != 0)
                .map(move |left| first + left.trailing_zeros())
        })
    }
}

impl From<&[u32]> for Failed {
    fn from(items: &[u32]) -> Self {
        items.iter().copied().collect()
    }
}

impl FromIterator<u32> for Failed {
    fn from_iter<I: IntoIterator<Item = u32>>(items: I) -> Self {
        let mut set = Self::new();
        set.extend(items);
        set
    }
}

impl Extend<u32> for Failed {
    fn extend<I: IntoIterator<Item = u32>>(&mut self, items: I) {
        for item in items {
            self.insert(item);
        }
    }
}

const fn place(item: u32) -> (usize, u64) {
    ((item / WORD) as usize, 1 << (item % WORD))
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;
    use crate::engineering::reliability::seeded::SplitMix64;

    #[test]
    fn it_does_what_an_ordered_set_does() {
        let mut random = SplitMix64::new(1);
        for round in 0..200 {
            let limit = [3, 64, 65, 300][round % 4];
            let (mut ours, mut theirs) = (Failed::new(), BTreeSet::new());
            for _ in 0..60 {
                let item = random.below(limit);
                if random.below(3) == 0 {
                    assert_eq!(ours.remove(item), theirs.remove(&item));
                } else {
                    assert_eq!(ours.insert(item), theirs.insert(item));
                }
                assert_eq!(ours.len(), theirs.len());
                assert_eq!(ours.is_empty(), theirs.is_empty());
                assert!(ours.iter().eq(theirs.iter().copied()));
                assert!((0..limit + 70).all(|i| ours.contains(i) == theirs.contains(&i)));
            }
            assert_eq!(ours, theirs.iter().copied().collect());
        }
    }

    #[test]
    fn two_sets_compare_as_ordered_sets_do() {
        let mut random = SplitMix64::new(2);
        let mut seen = [false; 2];
        for _ in 0..2000 {
            let [a, b] = [(); 2].map(|()| {
                (0..random.below(6))
                    .map(|_| random.below(5) * 40)
                    .collect::<BTreeSet<u32>>()
            });
            let [ours_a, ours_b] = [&a, &b].map(|set| set.iter().copied().collect::<Failed>());
            assert_eq!(ours_a.meets(&ours_b), !a.is_disjoint(&b));
            assert_eq!(ours_a.is_within(&ours_b), a.is_subset(&b));
            assert_eq!(ours_a.count_outside(&ours_b), a.difference(&b).count());
            seen[usize::from(a.is_subset(&b))] = true;
        }
        assert_eq!(seen, [true; 2], "both answers came up");
    }

    #[test]
    fn equal_items_are_equal_sets() {
        let set = Failed::from(&[3, 130, 3][..]);
        assert_eq!(set.iter().collect::<Vec<_>>(), [3, 130]);
        assert_eq!(set.with(64).iter().collect::<Vec<_>>(), [3, 64, 130]);
        let mut shrunk = set;
        assert!(shrunk.remove(130));
        assert_eq!(shrunk, Failed::from(&[3][..]));
        assert!(shrunk.remove(3) && !shrunk.remove(3));
        assert_eq!(shrunk, Failed::new());
    }
}
