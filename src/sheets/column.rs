//! One column of a table: its heading, how a cell reads, how what is typed goes into a thing.

use super::book::Book;
use crate::model::{ChannelId, RadioId, ThingId};

/// What a row is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Row {
    /// A thing with fields of its own, or a port.
    Thing(ThingId),
    /// One channel in one radio.
    Entry(RadioId, ChannelId),
}

impl Row {
    /// Returns the thing to select and to mark for the row.
    pub fn thing(self) -> ThingId {
        match self {
            Self::Thing(thing) => thing,
            Self::Entry(radio, _) => radio.into(),
        }
    }
}

/// Lists the words a cell offers.
pub(super) type Offers = fn(&Book) -> Vec<String>;

/// What a column is called and how its cells are typed.
#[derive(Debug, Clone, Copy)]
pub struct Heading {
    /// What it is called.
    pub name: &'static str,
    /// Unit of its numbers; empty for words.
    pub unit: &'static str,
    /// The field, as files spell it and the gate names it.
    pub field: &'static str,
    /// What may be typed, in a sentence without a full stop.
    pub hint: &'static str,
    /// Letters of a usual cell, for its width.
    pub letters: u8,
    /// Whether a new row cannot do without it.
    pub needed: bool,
    /// Whether it says which row this is, and so cannot change once it is there.
    pub fixed: bool,
    /// Whether a cell holds several with commas between.
    pub several: bool,
    offers: Option<Offers>,
}

impl Heading {
    /// Makes a heading of words.
    pub(super) const fn new(
        name: &'static str,
        field: &'static str,
        letters: u8,
        hint: &'static str,
    ) -> Self {
        Self {
            name,
            unit: "",
            field,
            hint,
            letters,
            needed: false,
            fixed: false,
            several: false,
            offers: None,
        }
    }

    /// Gives it a unit.
    pub(super) const fn in_unit(mut self, unit: &'static str) -> Self {
        self.unit = unit;
        self
    }

    /// Makes it one that a new row cannot do without.
    pub(super) const fn needed(mut self) -> Self {
        self.needed = true;
        self
    }

    /// Makes it one that says which row this is.
    pub(super) const fn fixed(mut self) -> Self {
        self.fixed = true;
        self.needed = true;
        self
    }

    /// Makes it hold several with commas between.
    pub(super) const fn several(mut self) -> Self {
        self.several = true;
        self
    }

    /// Gives it words to choose from.
    pub(super) const fn offering(mut self, offers: Offers) -> Self {
        self.offers = Some(offers);
        self
    }

    /// Returns name and unit, as they stand above the column.
    pub fn title(&self) -> String {
        if self.unit.is_empty() {
            self.name.to_owned()
        } else {
            format!("{} {}", self.name, self.unit)
        }
    }

    /// Tells whether there are words to choose from.
    pub fn has_choices(&self) -> bool {
        self.offers.is_some()
    }

    /// Lists the words to choose from.
    pub fn choices(&self, book: &Book) -> Vec<String> {
        self.offers.map_or_else(Vec::new, |offers| offers(book))
    }
}

/// A column of things of one type.
pub(super) struct Column<D> {
    /// What it is called.
    pub(super) heading: Heading,
    /// Returns the text of a cell.
    pub(super) read: fn(&Book, &D) -> String,
    /// Puts a text into a thing, or says why it cannot be.
    pub(super) write: fn(&Book, &mut D, &str) -> Result<(), String>,
}

/// A column that holds a field of text.
macro_rules! text_column {
    ($heading:expr, $($field:ident).+) => {
        $crate::sheets::column::Column {
            heading: $heading,
            read: |_, d| d.$($field).+.clone(),
            write: |_, d, text| {
                d.$($field).+ = text.trim().to_owned();
                Ok(())
            },
        }
    };
}

/// A column that holds one of fixed words.
macro_rules! choice_column {
    ($heading:expr, $kind:ty, $($field:ident).+) => {
        $crate::sheets::column::Column {
            heading: $heading.offering(|_| $crate::sheets::cells::words::<$kind>()),
            read: |_, d| <$kind as $crate::sheets::Choice>::words(d.$($field).+).to_owned(),
            write: |_, d, text| {
                d.$($field).+ = $crate::sheets::cells::choice::<$kind>(text)?;
                Ok(())
            },
        }
    };
}

/// A column that holds a value with a reader and a writer of its own.
macro_rules! value_column {
    ($heading:expr, $($field:ident).+, $write:expr, $read:expr) => {
        $crate::sheets::column::Column {
            heading: $heading,
            read: |_, d| $write(d.$($field).+),
            write: |_, d, text| {
                d.$($field).+ = $read(text)?;
                Ok(())
            },
        }
    };
}

/// A column that holds a value which may be left out.
macro_rules! optional_column {
    ($heading:expr, $($field:ident).+, $write:expr, $read:expr) => {
        $crate::sheets::column::Column {
            heading: $heading,
            read: |_, d| $crate::sheets::cells::optional_text(d.$($field).+, $write),
            write: |_, d, text| {
                d.$($field).+ = $crate::sheets::cells::optional(text, $read)?;
                Ok(())
            },
        }
    };
}

/// A column that names another thing, or none.
macro_rules! link_column {
    ($heading:expr, $labels:ident, $($field:ident).+) => {
        $crate::sheets::column::Column {
            heading: $heading.offering(|book| book.$labels.all()),
            read: |book, d| {
                $crate::sheets::cells::optional_text(d.$($field).+, |id| book.$labels.of(id))
            },
            write: |book, d, text| {
                d.$($field).+ = $crate::sheets::cells::optional(text, |t| book.$labels.find(t))?;
                Ok(())
            },
        }
    };
}

/// A column that names several other things.
macro_rules! links_column {
    ($heading:expr, $labels:ident, $($field:ident).+) => {
        $crate::sheets::column::Column {
            heading: $heading.several().offering(|book| book.$labels.all()),
            read: |book, d| {
                $crate::sheets::cells::list_text(
                    d.$($field).+.iter().map(|id| book.$labels.of(*id)),
                )
            },
            write: |book, d, text| {
                let found = $crate::sheets::cells::list(text, |t| book.$labels.find(t))?;
                d.$($field).+ = found.into_iter().collect();
                Ok(())
            },
        }
    };
}

/// A column that holds yes or no.
macro_rules! yes_column {
    ($heading:expr, $($field:ident).+) => {
        $crate::sheets::column::Column {
            heading: $heading.offering(|_| vec!["yes".to_owned(), "no".to_owned()]),
            read: |_, d| $crate::sheets::cells::yes_text(d.$($field).+),
            write: |_, d, text| {
                d.$($field).+ = $crate::sheets::cells::yes(text)?;
                Ok(())
            },
        }
    };
}

pub(super) use {
    choice_column, link_column, links_column, optional_column, text_column, value_column,
    yes_column,
};
