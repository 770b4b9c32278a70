//! Where every distinct message gets, kept small: what is on the air, not who listens.
//!
//! For each source the emissions it ends up on are kept; who hears follows from what each habit
//! hears off the air. Beside it stands one bit for each source and habit, so that questions about
//! all pairs are quick.

use super::network::{EmissionIx, EntryIx, HabitIx, Hearer, Network};
use super::reach::{Cost, Node, Source, Walker};

/// Where one source gets.
#[derive(Debug, Clone, Default)]
struct Reached {
    /// Emissions on the air; sorted.
    air: Vec<(EmissionIx, Cost)>,
    /// Habits that hear by a telephone or headset; sorted.
    people: Vec<(HabitIx, Cost)>,
    /// Ports by which it gets onto a talk group; sorted.
    entries: Vec<EntryIx>,
}

/// Where all sources get.
#[derive(Debug, Clone, Default)]
pub(super) struct Reach {
    reached: Vec<Reached>,
    /// The sources of each habit, as indices into `reached`.
    sources: Vec<Vec<u32>>,
    /// For each habit the sources it hears.
    heard: Bits,
    is_heard: Vec<bool>,
    hears_anybody: Vec<bool>,
}

impl Reach {
    /// Walks every distinct source once.
    pub(super) fn of(net: &Network) -> Self {
        // Sources by place: those on the air, then those at a port.
        let mut numbers: Vec<Option<u32>> = vec![None; net.emissions.len() + net.entries.len()];
        let place = |source: Source| match source {
            Source::Radio(emission) => emission as usize,
            Source::Person(entry) => net.emissions.len() + entry as usize,
        };
        let mut order: Vec<(u32, Source)> = Vec::new();
        let mut senders: Vec<Vec<HabitIx>> = Vec::new();
        let mut sources: Vec<Vec<u32>> = Vec::with_capacity(net.habits.len());
        for habit in 0..net.habits.len() as HabitIx {
            let mine = net.sources(habit).map(|source| {
                let next = order.len() as u32;
                let number = *numbers[place(source)].get_or_insert(next);
                if number == next {
                    senders.push(Vec::new());
                    order.push((number, source));
                }
                senders[number as usize].push(habit);
                number
            });
            sources.push(mine.collect());
        }
        let reached = walk_all(net, &order);
        let mut all = Self {
            heard: Bits::new(net.habits.len(), reached.len()),
            is_heard: vec![false; net.habits.len()],
            hears_anybody: vec![false; net.habits.len()],
            reached,
            sources,
        };
        for (number, senders) in senders.iter().enumerate() {
            all.note_hearers(net, number, senders);
        }
        all
    }

    fn note_hearers(&mut self, net: &Network, number: usize, senders: &[HabitIx]) {
        let reached = &self.reached[number];
        let by_air = reached.air.iter().flat_map(|(emission, _)| {
            net.hearers[*emission as usize]
                .iter()
                .filter_map(|(hearer, _)| match hearer {
                    Hearer::Habit(habit) => Some(*habit),
                    Hearer::Entry(_) => None,
                })
        });
        let by_person = reached.people.iter().map(|(habit, _)| *habit);
        // With several habits sending it, each hearer hears somebody else; with one, itself only
        // counts when the habit has other members.
        let (mut heard_by_one, mut heard_by_two) = (None, false);
        for habit in by_air.chain(by_person) {
            let alone = net.habits[habit as usize].members.len() < 2;
            let only_itself = alone && senders == [habit];
            self.heard.set(habit as usize, number);
            self.hears_anybody[habit as usize] |= !only_itself;
            match heard_by_one {
                None => heard_by_one = Some(habit),
                Some(one) => heard_by_two |= one != habit,
            }
        }
        for sender in senders {
            let alone = net.habits[*sender as usize].members.len() < 2;
            let by_other = heard_by_two || heard_by_one.is_some_and(|one| one != *sender || !alone);
            self.is_heard[*sender as usize] |= by_other;
        }
    }

    /// Returns the price of the cheapest way from one habit to another.
    pub(super) fn cost(&self, net: &Network, from: HabitIx, to: HabitIx) -> Option<Cost> {
        let hears = &net.habits[to as usize].hears;
        self.sources_of(from)
            .flat_map(|reached| {
                let by_air = hears.iter().filter_map(|(emission, by_scan)| {
                    let place = reached
                        .air
                        .binary_search_by_key(emission, |(e, _)| *e)
                        .ok()?;
                    Some(reached.air[place].1.then(Cost::hearing(*by_scan)))
                });
                let by_person = reached
                    .people
                    .binary_search_by_key(&to, |(habit, _)| *habit)
                    .ok()
                    .map(|place| reached.people[place].1);
                by_air.chain(by_person)
            })
            .min()
    }

    /// Lists the habits that hear a habit, each with the price of the cheapest way; sorted.
    pub(super) fn habits_hearing(&self, net: &Network, from: HabitIx) -> Vec<(HabitIx, Cost)> {
        let mut all: Vec<(HabitIx, Cost)> = Vec::new();
        for reached in self.sources_of(from) {
            all.extend_from_slice(&reached.people);
            for (emission, cost) in &reached.air {
                for (hearer, by_scan) in &net.hearers[*emission as usize] {
                    if let Hearer::Habit(habit) = hearer {
                        all.push((*habit, cost.then(Cost::hearing(*by_scan))));
                    }
                }
            }
        }
        all.sort_unstable();
        all.dedup_by_key(|(habit, _)| *habit);
        all
    }

    /// Lists what each source of each habit reaches.
    pub(super) fn walks<'a>(&'a self, net: &'a Network) -> impl Iterator<Item = Walked<'a>> {
        let habits = self.sources.iter().enumerate();
        habits.flat_map(move |(habit, numbers)| {
            let sources = net.sources(habit as HabitIx).zip(numbers);
            sources.map(move |(source, number)| {
                let reached = &self.reached[*number as usize];
                Walked {
                    habit: habit as HabitIx,
                    among: numbers.len(),
                    source,
                    air: &reached.air,
                    entries: &reached.entries,
                }
            })
        })
    }

    pub(super) fn is_heard(&self, habit: HabitIx) -> bool {
        self.is_heard.get(habit as usize).copied().unwrap_or(false)
    }

    pub(super) fn hears_anybody(&self, habit: HabitIx) -> bool {
        self.hears_anybody
            .get(habit as usize)
            .copied()
            .unwrap_or(false)
    }

    /// Lists pairs of habits of which the second hears the first, not by scanning, and the first
    /// does not hear the second.
    ///
    /// Complexity: linear in the pairs that are heard.
    pub(super) fn one_way_pairs(&self, net: &Network) -> Vec<(usize, usize)> {
        let mut pairs = Vec::new();
        for (from, sources) in self.sources.iter().enumerate() {
            for number in sources {
                let reached = &self.reached[*number as usize];
                let by_air = reached.air.iter().flat_map(|(emission, cost)| {
                    let hearers = &net.hearers[*emission as usize];
                    hearers.iter().filter_map(|(hearer, by_scan)| match hearer {
                        Hearer::Habit(habit) if !by_scan && cost.scans == 0 => Some(*habit),
                        Hearer::Habit(_) | Hearer::Entry(_) => None,
                    })
                });
                let by_person = reached
                    .people
                    .iter()
                    .filter(|(_, c)| c.scans == 0)
                    .map(|(h, _)| *h);
                for to in by_air.chain(by_person) {
                    let back = &self.sources[to as usize];
                    let answered = back.iter().any(|s| self.heard.get(from, *s as usize));
                    if !answered && to as usize != from {
                        pairs.push((from, to as usize));
                    }
                }
            }
        }
        pairs.sort_unstable();
        pairs.dedup();
        pairs
    }

    fn sources_of(&self, habit: HabitIx) -> impl Iterator<Item = &Reached> {
        let numbers = self
            .sources
            .get(habit as usize)
            .map_or(&[][..], Vec::as_slice);
        numbers.iter().map(|number| &self.reached[*number as usize])
    }
}

/// What one source of one habit reaches.
pub(super) struct Walked<'a> {
    pub(super) habit: HabitIx,
    /// How many sources the habit has.
    pub(super) among: usize,
    pub(super) source: Source,
    pub(super) air: &'a [(EmissionIx, Cost)],
    pub(super) entries: &'a [EntryIx],
}

/// From how many sources on the walks are shared out among processors.
const SHARE_FROM: usize = 512;

/// Walks each source, in order.
fn walk_all(net: &Network, order: &[(u32, Source)]) -> Vec<Reached> {
    let walk = |part: &[(u32, Source)]| -> Vec<Reached> {
        let mut walker = Walker::new(net, false);
        part.iter()
            .map(|(_, source)| Reached::of(&mut walker, *source))
            .collect()
    };
    let processors = std::thread::available_parallelism().map_or(1, usize::from);
    if order.len() < SHARE_FROM || processors < 2 {
        return walk(order);
    }
    std::thread::scope(|scope| {
        let workers: Vec<_> = order
            .chunks(order.len().div_ceil(processors))
            .map(|part| scope.spawn(move || walk(part)))
            .collect();
        workers
            .into_iter()
            .flat_map(|worker| match worker.join() {
                Ok(reached) => reached,
                Err(panic) => std::panic::resume_unwind(panic),
            })
            .collect()
    })
}

impl Reached {
    fn of(walker: &mut Walker<'_>, source: Source) -> Self {
        walker.walk([source]);
        let mut reached = Self::default();
        for node in walker.touched() {
            let Some(label) = walker.label(*node) else {
                continue;
            };
            match node {
                Node::Air(emission) => reached.air.push((*emission, label.cost)),
                Node::Ear(habit) => reached.people.push((*habit, label.cost)),
                Node::In(entry) => reached.entries.push(*entry),
            }
        }
        reached.entries.sort_unstable();
        reached.air.sort_unstable_by_key(|(emission, _)| *emission);
        reached.people.sort_unstable_by_key(|(habit, _)| *habit);
        reached
    }
}

/// A table of bits.
#[derive(Debug, Clone, Default)]
struct Bits {
    words_a_row: usize,
    words: Vec<u64>,
}

impl Bits {
    fn new(rows: usize, columns: usize) -> Self {
        let words_a_row = columns.div_ceil(64);
        Self {
            words_a_row,
            words: vec![0; rows * words_a_row],
        }
    }

    fn set(&mut self, row: usize, column: usize) {
        if let Some(word) = self.words.get_mut(row * self.words_a_row + column / 64) {
            *word |= 1 << (column % 64);
        }
    }

    fn get(&self, row: usize, column: usize) -> bool {
        self.words
            .get(row * self.words_a_row + column / 64)
            .is_some_and(|word| word >> (column % 64) & 1 == 1)
    }
}
