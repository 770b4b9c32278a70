//! Everything a plan says, by thing and field, ready to be searched.
//!
//! Built once for a scenario and searched for each letter typed: a walk over folded texts, which is
//! fast enough for plans of any size people make and cannot miss what a cleverer table would.

use super::fold::fold;
use crate::model::{Kind, ThingId};

/// Which of a thing's texts matched.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Field {
    /// Its name.
    Name,
    /// Its short name, or the label a radio shows.
    Short,
    /// A frequency.
    Frequency,
    /// An access code.
    Code,
    /// A group number.
    Group,
    /// An encryption key.
    Encryption,
    /// A connector.
    Connector,
    /// Anything else it says of itself: family of set, far end, antenna.
    Other,
    /// Its notes.
    Notes,
    /// The word files and commands use for it.
    Word,
}

impl Field {
    /// Returns the word for it on screen.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Name => "name",
            Self::Short => "short name",
            Self::Frequency => "frequency",
            Self::Code => "access code",
            Self::Group => "group number",
            Self::Encryption => "encryption key",
            Self::Connector => "connector",
            Self::Other => "description",
            Self::Notes => "notes",
            Self::Word => "word in files",
        }
    }
}

/// A thing that matched, by the text that matched best.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Found {
    /// The thing.
    pub thing: ThingId,
    /// Which text matched.
    pub field: Field,
    /// That text.
    pub text: String,
    fit: Fit,
}

/// How well a text fits; less is better.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Fit {
    Whole,
    Start,
    Word,
    Inside,
}

#[derive(Debug)]
struct Entry {
    thing: ThingId,
    field: Field,
    text: String,
    /// The text and other spellings of it, folded, a line each.
    folded: String,
}

/// Everything a scenario says.
#[derive(Debug, Default)]
pub(crate) struct Index {
    /// All entries of one thing stand together.
    entries: Vec<Entry>,
}

impl Index {
    /// Walks all names, for going there.
    pub(crate) fn names(&self) -> impl Iterator<Item = (ThingId, &str)> {
        self.entries
            .iter()
            .filter(|e| e.field == Field::Name)
            .map(|e| (e.thing, e.text.as_str()))
    }

    /// Lists the things that say everything asked for in one of their texts, by kind, the best of
    /// each kind first, each thing once.
    pub(crate) fn search(&self, query: &str) -> Vec<Found> {
        let words = words(query);
        if words.is_empty() {
            return Vec::new();
        }
        let whole = words.join(" ");
        let mut found: Vec<(Fit, &Entry)> = Vec::new();
        for entry in &self.entries {
            let Some(fit) = fit(&entry.folded, &words, &whole) else {
                continue;
            };
            match found.last_mut() {
                Some((best, known)) if known.thing == entry.thing => {
                    if (fit, entry.field) < (*best, known.field) {
                        (*best, *known) = (fit, entry);
                    }
                }
                _ => found.push((fit, entry)),
            }
        }
        found.sort_by_key(|(fit, entry)| (turn(entry.thing.kind()), *fit, entry.field));
        found
            .into_iter()
            .map(|(fit, entry)| Found {
                thing: entry.thing,
                field: entry.field,
                text: entry.text.clone(),
                fit,
            })
            .collect()
    }

    pub(super) fn put(&mut self, thing: ThingId, field: Field, text: &str, other: &str) {
        if !text.trim().is_empty() {
            self.entries.push(entry(thing, field, text, other));
        }
    }
}

impl Found {
    /// Returns where the words of a query stand in its text, as ranges of bytes.
    pub(crate) fn marked(&self, query: &str) -> Vec<std::ops::Range<usize>> {
        super::fold::spans(&self.text, &words(query))
    }
}

fn entry(thing: ThingId, field: Field, text: &str, other: &str) -> Entry {
    let mut folded = fold(text);
    if !other.is_empty() {
        folded.push('\n');
        folded.push_str(other);
    }
    Entry {
        thing,
        field,
        text: text.to_owned(),
        folded,
    }
}

/// Splits a query into folded words; numbers lose what people write differently.
fn words(query: &str) -> Vec<String> {
    fold(query).split_whitespace().map(number).collect()
}

/// Turns "155,475" and "155.47500" into "155.475"; any other word stays.
fn number(word: &str) -> String {
    let word = if word.chars().all(|c| c.is_ascii_digit() || c == ',') {
        word.replace(',', ".")
    } else {
        word.to_owned()
    };
    let mut parts = word.split('.');
    if let (Some(whole), Some(part), None) = (parts.next(), parts.next(), parts.next())
        && [whole, part]
            .iter()
            .all(|p| p.chars().all(|c| c.is_ascii_digit()))
    {
        // Frequencies print four decimals or more; three tell them all but for what follows.
        let mut part = part.to_owned();
        while part.len() > 3 && part.ends_with('0') {
            part.pop();
        }
        return format!("{whole}.{part}");
    }
    word
}

/// Tells how words fit a folded text, all of them, the worst deciding.
fn fit(folded: &str, words: &[String], whole: &str) -> Option<Fit> {
    if folded.lines().any(|line| line == whole) {
        return Some(Fit::Whole);
    }
    let mut worst = Fit::Start;
    for word in words {
        let at = folded.find(word.as_str())?;
        let begins = at == 0
            || folded
                .get(..at)
                .and_then(|before| before.chars().next_back())
                .is_some_and(|c| !c.is_alphanumeric());
        let fit = match (at, begins) {
            (0, _) => Fit::Start,
            (_, true) => Fit::Word,
            (_, false) => Fit::Inside,
        };
        worst = worst.max(fit);
    }
    Some(worst)
}

/// The turn of a kind in a list: people, air, gear, paper.
fn turn(kind: Kind) -> u8 {
    match kind {
        Kind::Unit => 0,
        Kind::Agency => 1,
        Kind::Channel => 2,
        Kind::System => 3,
        Kind::Radio => 4,
        Kind::Gateway => 5,
        Kind::TalkGroup => 6,
        Kind::Port => 7,
        Kind::Tie => 8,
        Kind::Telephone => 9,
        Kind::Headset => 10,
        Kind::Cable => 11,
        Kind::Site => 12,
        Kind::Need => 13,
        Kind::Phase => 14,
        Kind::Stock => 15,
        Kind::Agreement => 16,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::files;
    use crate::model::{AccessCode, Algorithm, Conventional, Edit, KeyRef, Scenario, Thing};

    fn incident() -> Scenario {
        files::first_scenario()
    }

    fn found(s: &Scenario, query: &str) -> Vec<(Kind, String, Field)> {
        Index::of(s)
            .search(query)
            .into_iter()
            .map(|f| (f.thing.kind(), s.name(f.thing), f.field))
            .collect()
    }

    /// The same channels by another way: straight from what they hold.
    fn channels(s: &Scenario, wants: impl Fn(&Conventional) -> bool) -> Vec<String> {
        let mut names: Vec<String> = s
            .channels
            .iter()
            .filter(|c| c.conventional().is_some_and(&wants))
            .map(|c| c.name.clone())
            .collect();
        names.sort();
        names
    }

    fn found_channels(s: &Scenario, query: &str) -> Vec<String> {
        let mut names: Vec<String> = found(s, query)
            .into_iter()
            .filter(|(kind, _, _)| *kind == Kind::Channel)
            .map(|(_, name, _)| name)
            .collect();
        names.sort();
        names
    }

    #[test]
    fn frequencies_are_found_however_they_are_written() {
        let s = incident();
        let c = s.channels.iter().find_map(|c| c.conventional()).unwrap();
        let wanted = channels(&s, |x| x.rx == c.rx || x.tx == c.rx);
        assert!(!wanted.is_empty());
        let plain = format!("{}", c.rx.mhz());
        for query in [
            plain.clone(),
            format!("{:.4}", c.rx.mhz()),
            format!("{:.5}", c.rx.mhz()),
            plain.replace('.', ","),
            c.rx.to_string(),
        ] {
            assert_eq!(found_channels(&s, &query), wanted, "{query}");
        }
    }

    #[test]
    fn codes_are_found_by_the_names_people_give_them() {
        let s = incident();
        let tone = |x: &Conventional, hz: f64| {
            [x.rx_code, x.tx_code]
                .iter()
                .any(|c| matches!(c, AccessCode::Ctcss(t) if (t.hz() - hz).abs() < 0.01))
        };
        let wanted = channels(&s, |x| tone(x, 156.7));
        assert!(!wanted.is_empty());
        assert_eq!(found_channels(&s, "ctcss 156.7"), wanted);
        let dcs = channels(&s, |x| {
            matches!(x.rx_code, AccessCode::Dcs { code: 0o23, .. })
        });
        assert!(!dcs.is_empty());
        for query in ["D023", "dcs 023"] {
            assert_eq!(found_channels(&s, query), dcs, "{query}");
        }
        let nac = channels(&s, |x| x.rx_code == AccessCode::Nac(0x293));
        for query in ["NAC 293", "$293"] {
            assert_eq!(found_channels(&s, query), nac, "{query}");
        }
    }

    #[test]
    fn notes_names_keys_and_connectors_are_found_without_accents() {
        let mut s = incident();
        let mut unit = s.units.first().unwrap().clone();
        unit.name = "Équipe Nord".to_owned();
        unit.notes = "Meets at the Łódź gate".to_owned();
        let id = ThingId::from(unit.id);
        s = s.apply(&[Edit::Replace(Thing::from(unit))]).unwrap();
        for (query, field) in [
            ("equipe", Field::Name),
            ("NORD equi", Field::Name),
            ("lodz gate", Field::Notes),
        ] {
            let index = Index::of(&s);
            let hits = index.search(query);
            let hit = hits.iter().find(|f| f.thing == id).unwrap();
            assert_eq!(hit.field, field, "{query}");
            assert!(!hit.marked(query).is_empty(), "{query} is marked");
        }
        let radio = s.radios.first().unwrap();
        let plugs = s
            .radios
            .iter()
            .filter(|r| r.connector == radio.connector)
            .count();
        let hits = found(&s, &radio.connector);
        let radios = hits
            .iter()
            .filter(|(kind, _, field)| *kind == Kind::Radio && *field == Field::Connector);
        assert_eq!(radios.count(), plugs);
        assert!(found(&s, "no such thing anywhere").is_empty());
        assert!(found(&s, "   ").is_empty());
    }

    #[test]
    fn a_thing_comes_once_and_the_best_fit_first() {
        let s = incident();
        let index = Index::of(&s);
        let hits = index.search("e");
        let mut things: Vec<ThingId> = hits.iter().map(|f| f.thing).collect();
        let all = things.len();
        things.sort();
        things.dedup();
        assert_eq!(things.len(), all);
        let kinds: Vec<u8> = hits.iter().map(|f| turn(f.thing.kind())).collect();
        assert!(kinds.is_sorted(), "by kind");
        let key = KeyRef {
            algorithm: Algorithm::AES_256,
            number: 40_321,
        };
        let mut radio = s.radios.first().unwrap().clone();
        radio.keys.insert(key);
        let id = ThingId::from(radio.id);
        let s = s.apply(&[Edit::Replace(Thing::from(radio))]).unwrap();
        for query in ["40321", "kid 40321", "aes 40321"] {
            let hits = Index::of(&s).search(query);
            assert_eq!(hits.iter().map(|f| f.thing).collect::<Vec<_>>(), [id]);
        }
    }
}
