//! The rows and columns of the matrix: who stands where, by order, group and filter. Worked out once and
//! kept until something it depends on moves.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::app::words::{Choice, sentence};
use crate::model::{Party, PhaseId, Scenario};
use crate::picture::Picture;
use crate::picture::sounds::Sound;

/// The order of the parties.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub(super) enum Order {
    #[default]
    File,
    Name,
    Agency,
    HeardBy,
    Role,
}

impl Choice for Order {
    const ALL: &'static [Self] = &[
        Self::File,
        Self::Name,
        Self::Agency,
        Self::HeardBy,
        Self::Role,
    ];

    fn words(self) -> &'static str {
        match self {
            Self::File => "as in the file",
            Self::Name => "by name",
            Self::Agency => "by agency",
            Self::HeardBy => "by how many hear them",
            Self::Role => "by role",
        }
    }
}

/// What the parties are grouped by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub(super) enum Grouping {
    #[default]
    None,
    Agency,
    Role,
}

impl Choice for Grouping {
    const ALL: &'static [Self] = &[Self::None, Self::Agency, Self::Role];

    fn words(self) -> &'static str {
        match self {
            Self::None => "no groups",
            Self::Agency => "groups by agency",
            Self::Role => "groups by role",
        }
    }
}

/// What is asked of the matrix.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Wish {
    pub(super) order: Order,
    pub(super) grouping: Grouping,
    /// Names of the groups that are closed.
    pub(super) closed: BTreeSet<String>,
    /// Part of the name or agency of those who speak.
    pub(super) speakers: String,
    /// Part of the name or agency of those who hear.
    pub(super) hearers: String,
    /// Only pairs of this word.
    pub(super) only: Option<Sound>,
    /// Only pairs that some need asks for.
    pub(super) needs_only: bool,
}

impl Wish {
    /// Tells whether some pairs are left out.
    pub(super) fn is_filtered(&self) -> bool {
        self.only.is_some()
            || self.needs_only
            || !self.speakers.trim().is_empty()
            || !self.hearers.trim().is_empty()
    }

    /// Shows every pair again.
    pub(super) fn show_all(&mut self) {
        self.only = None;
        self.needs_only = false;
        self.speakers.clear();
        self.hearers.clear();
    }
}

/// One party, with what it is sorted by.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Person {
    pub(super) party: Party,
    pub(super) name: String,
    pub(super) agency: String,
    pub(super) role: String,
    pub(super) heard_by: usize,
}

impl Person {
    fn group(&self, grouping: Grouping) -> &str {
        match grouping {
            Grouping::None => "",
            Grouping::Agency => &self.agency,
            Grouping::Role => &self.role,
        }
    }

    fn matches(&self, text: &str) -> bool {
        let text = text.trim().to_lowercase();
        text.is_empty()
            || self.name.to_lowercase().contains(&text)
            || self.agency.to_lowercase().contains(&text)
    }
}

/// One row or column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Line {
    /// A group, with the places of its members.
    Group {
        name: String,
        members: Arc<[usize]>,
        open: bool,
    },
    /// A party, by its place.
    Party(usize),
}

impl Line {
    /// Lists the places of those it stands for.
    pub(super) fn members(&self) -> &[usize] {
        match self {
            Self::Group { members, .. } => members,
            Self::Party(place) => std::slice::from_ref(place),
        }
    }
}

/// The rows and columns, and what was counted for them.
#[derive(Debug)]
pub(super) struct Axes {
    scenario: Arc<Scenario>,
    phase: PhaseId,
    wish: Wish,
    pub(super) people: Vec<Person>,
    pub(super) rows: Vec<Line>,
    pub(super) columns: Vec<Line>,
    /// Pairs of each word, of all or of those that needs ask for; `None` where there are too many.
    pub(super) tally: Option<BTreeMap<Sound, usize>>,
    sums: RefCell<BTreeMap<(usize, usize), (usize, usize)>>,
}

impl Axes {
    /// Lays out the rows and columns of a picture.
    pub(super) fn of(picture: &Picture, wish: &Wish) -> Self {
        let people = people(picture);
        let (rows, columns) = lines(picture, &people, wish);
        Self {
            scenario: Arc::clone(picture.scenario_arc()),
            phase: picture.phase_id(),
            wish: wish.clone(),
            tally: tally(picture, wish.needs_only),
            people,
            rows,
            columns,
            sums: RefCell::default(),
        }
    }

    /// Tells whether they still fit.
    pub(super) fn fit(&self, picture: &Picture, wish: &Wish) -> bool {
        Arc::ptr_eq(&self.scenario, picture.scenario_arc())
            && self.phase == picture.phase_id()
            && self.wish == *wish
    }

    /// Returns the name of a row or column.
    pub(super) fn name<'a>(&'a self, line: &'a Line) -> &'a str {
        match line {
            Line::Group { name, .. } => name,
            Line::Party(place) => self.people.get(*place).map_or("", |p| p.name.as_str()),
        }
    }

    /// Returns how many pairs of a cell that stands for several are heard, and how many there are.
    pub(super) fn sum(&self, picture: &Picture, row: usize, column: usize) -> (usize, usize) {
        if let Some(known) = self.sums.borrow().get(&(row, column)) {
            return *known;
        }
        let members = |lines: &[Line], at: usize| -> Vec<usize> {
            lines
                .get(at)
                .map_or_else(Vec::new, |l| l.members().to_vec())
        };
        let (from, to) = (members(&self.rows, row), members(&self.columns, column));
        let (hearing, sounds) = (picture.hearing(), picture.sounds());
        let sum = if self.wish.needs_only {
            let (from, to): (BTreeSet<usize>, BTreeSet<usize>) =
                (from.into_iter().collect(), to.into_iter().collect());
            let wanted: Vec<bool> = sounds
                .all_wanted()
                .filter(|((a, b), _)| from.contains(a) && to.contains(b))
                .map(|(_, wanted)| wanted.met)
                .collect();
            (wanted.iter().filter(|met| **met).count(), wanted.len())
        } else {
            sounds.heard_between(hearing, &from, &to)
        };
        self.sums.borrow_mut().insert((row, column), sum);
        sum
    }
}

fn tally(picture: &Picture, needs_only: bool) -> Option<BTreeMap<Sound, usize>> {
    let (hearing, sounds) = (picture.hearing(), picture.sounds());
    if !needs_only {
        return sounds.tally(hearing);
    }
    let mut tally: BTreeMap<Sound, usize> = Sound::ALL.iter().map(|s| (*s, 0)).collect();
    for ((from, to), _) in sounds.all_wanted() {
        if let Some(sound) = sounds.at(hearing, from, to) {
            *tally.entry(sound).or_default() += 1;
        }
    }
    Some(tally)
}

fn people(picture: &Picture) -> Vec<Person> {
    let (scenario, hearing, sounds) = (picture.scenario(), picture.hearing(), picture.sounds());
    let parties = hearing.parties().iter().enumerate();
    parties
        .map(|(place, party)| {
            let unit = match party {
                Party::Unit(unit) => scenario.units.get(*unit),
                Party::Telephone(_) | Party::Headset(_) => None,
            };
            let agency = unit.and_then(|u| scenario.agencies.get(u.agency?));
            Person {
                party: *party,
                name: scenario.name((*party).into()),
                agency: agency.map_or_else(|| "No agency".to_owned(), |a| a.name.clone()),
                role: match (party, unit) {
                    (_, Some(unit)) => sentence(unit.role.words()),
                    (Party::Telephone(_), None) => "Telephones".to_owned(),
                    (Party::Headset(_), None) => "Headsets".to_owned(),
                    (Party::Unit(_), None) => String::new(),
                },
                heard_by: sounds.hearers(hearing, place),
            }
        })
        .collect()
}

fn lines(picture: &Picture, people: &[Person], wish: &Wish) -> (Vec<Line>, Vec<Line>) {
    let sorted = sorted(people, wish.order);
    let side = |text: &str| -> Vec<usize> {
        let places = sorted.iter().copied();
        places
            .filter(|place| people.get(*place).is_some_and(|p| p.matches(text)))
            .collect()
    };
    let (mut speakers, mut hearers) = (side(&wish.speakers), side(&wish.hearers));
    if wish.needs_only || wish.only.is_some() {
        let (from, to) = kept(picture, &speakers, &hearers, wish);
        speakers.retain(|place| from.contains(place));
        hearers.retain(|place| to.contains(place));
    }
    (
        grouped(people, &speakers, wish),
        grouped(people, &hearers, wish),
    )
}

/// Tells whose rows and columns have a cell that is shown.
fn kept(
    picture: &Picture,
    speakers: &[usize],
    hearers: &[usize],
    wish: &Wish,
) -> (BTreeSet<usize>, BTreeSet<usize>) {
    let (hearing, sounds) = (picture.hearing(), picture.sounds());
    let (mut from, mut to) = (BTreeSet::new(), BTreeSet::new());
    let fits = |a, b| {
        wish.only
            .is_none_or(|only| sounds.at(hearing, a, b) == Some(only))
    };
    if wish.needs_only {
        let (some, others): (BTreeSet<&usize>, BTreeSet<&usize>) =
            (speakers.iter().collect(), hearers.iter().collect());
        for ((a, b), _) in sounds.all_wanted() {
            if some.contains(&a) && others.contains(&b) && fits(a, b) {
                from.insert(a);
                to.insert(b);
            }
        }
    } else if sounds.is_whole() {
        for a in speakers {
            for b in hearers {
                if fits(*a, *b) {
                    from.insert(*a);
                    to.insert(*b);
                }
            }
        }
    } else {
        // Too many pairs to look at each: the cells that do not fit are left blank.
        from.extend(speakers);
        to.extend(hearers);
    }
    (from, to)
}

fn sorted(people: &[Person], order: Order) -> Vec<usize> {
    let mut places: Vec<usize> = (0..people.len()).collect();
    // A stable sort: what is alike stays as in the file.
    match order {
        Order::File => {}
        Order::Name => places.sort_by_key(|p| people.get(*p).map(|p| natural(&p.name))),
        Order::Agency => places.sort_by_key(|p| people.get(*p).map(|p| natural(&p.agency))),
        Order::Role => places.sort_by(|a, b| {
            let role = |place: &usize| people.get(*place).map(|p| p.role.as_str());
            role(a).cmp(&role(b))
        }),
        Order::HeardBy => {
            places.sort_by_key(|p| {
                let heard_by = people.get(*p).map_or(0, |p| p.heard_by);
                std::cmp::Reverse(heard_by)
            });
        }
    }
    places
}

/// Takes a name apart so that "Engine 9" comes before "Engine 10".
fn natural(name: &str) -> Vec<(u64, String)> {
    let mut parts: Vec<(u64, String)> = Vec::new();
    let mut rest = name.to_lowercase();
    while !rest.is_empty() {
        let word: String = rest.chars().take_while(|c| !c.is_ascii_digit()).collect();
        let digits: String = rest
            .chars()
            .skip(word.chars().count())
            .take_while(char::is_ascii_digit)
            .collect();
        rest = rest.split_off(word.len() + digits.len());
        // A word before a number sorts by itself first.
        parts.push((0, word));
        if let Ok(number) = digits.parse() {
            parts.push((number, String::new()));
        }
    }
    parts
}

fn grouped(people: &[Person], places: &[usize], wish: &Wish) -> Vec<Line> {
    if wish.grouping == Grouping::None {
        return places.iter().map(|place| Line::Party(*place)).collect();
    }
    let mut groups: Vec<(&str, Vec<usize>)> = Vec::new();
    for place in places {
        let Some(person) = people.get(*place) else {
            continue;
        };
        let name = person.group(wish.grouping);
        match groups.iter_mut().find(|(known, _)| *known == name) {
            Some((_, members)) => members.push(*place),
            None => groups.push((name, vec![*place])),
        }
    }
    let mut lines = Vec::new();
    for (name, members) in groups {
        let open = !wish.closed.contains(name);
        lines.push(Line::Group {
            name: name.to_owned(),
            members: members.as_slice().into(),
            open,
        });
        if open {
            lines.extend(members.into_iter().map(Line::Party));
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::UnitId;

    fn person(number: u32, name: &str, agency: &str, role: &str, heard_by: usize) -> Person {
        Person {
            party: Party::Unit(UnitId(number)),
            name: name.to_owned(),
            agency: agency.to_owned(),
            role: role.to_owned(),
            heard_by,
        }
    }

    fn some() -> Vec<Person> {
        vec![
            person(0, "Engine 10", "North Fire", "Tactical", 1),
            person(1, "Engine 9", "North Fire", "Command", 3),
            person(2, "Patrol 1", "County Police", "Tactical", 2),
        ]
    }

    #[test]
    fn people_stand_in_the_order_asked_for() {
        for (order, expected) in [
            (Order::File, [0, 1, 2]),
            (Order::Name, [1, 0, 2]),
            (Order::Agency, [2, 0, 1]),
            (Order::HeardBy, [1, 2, 0]),
            (Order::Role, [1, 0, 2]),
        ] {
            assert_eq!(sorted(&some(), order), expected, "{order:?}");
        }
    }

    #[test]
    fn a_closed_group_is_one_line_and_an_open_one_heads_its_members() {
        let wish = Wish {
            grouping: Grouping::Agency,
            closed: ["North Fire".to_owned()].into(),
            ..Wish::default()
        };
        let lines = grouped(&some(), &[0, 1, 2], &wish);
        let expected = [
            Line::Group {
                name: "North Fire".to_owned(),
                members: vec![0, 1].into(),
                open: false,
            },
            Line::Group {
                name: "County Police".to_owned(),
                members: vec![2].into(),
                open: true,
            },
            Line::Party(2),
        ];
        assert_eq!(lines, expected);
    }

    #[test]
    fn numbers_in_names_count_as_numbers() {
        let mut names = ["Unit 10b", "Unit 9", "Team", "Unit 10", "9 Unit"];
        names.sort_by_key(|n| natural(n));
        assert_eq!(names, ["9 Unit", "Team", "Unit 9", "Unit 10", "Unit 10b"]);
    }

    #[test]
    fn a_text_is_looked_for_in_names_and_agencies() {
        let people = some();
        let found = |text: &str| people.iter().filter(|p| p.matches(text)).count();
        for (text, expected) in [("", 3), ("ENGINE", 2), (" police ", 1), ("nobody", 0)] {
            assert_eq!(found(text), expected, "{text}");
        }
    }
}
