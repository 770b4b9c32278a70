//! Tables of a scenario as text: what each column is called, how a cell reads, and which edits follow
//! from what is typed or pasted into cells.
//!
//! Pure: it knows the model and nothing of windows, files or the clipboard itself. Nothing is changed
//! here; [`Sheet::offer`] answers with edits that the gate takes, and says of every other cell what
//! was found and what is expected.

mod air;
mod book;
mod cells;
mod choice;
pub mod codes;
mod column;
mod gear;
mod grid;
mod offer;
mod paste;
mod people;
mod ports;
mod programming;
mod radios;

pub use book::{Book, Labels};
pub use choice::Choice;
pub use column::{Heading, Row};
pub use grid::{Grid, text_of};
pub use offer::{CellProblem, Offer, Target, Write};
pub use paste::{Paste, is_headed};

use crate::model::{Edit, Kind};

/// A table of one kind of thing.
pub trait Sheet: Sync {
    /// Returns its name, such as "Units".
    fn name(&self) -> &'static str;

    /// Returns the kind of thing in a row.
    fn kind(&self) -> Kind;

    /// Returns the word for what one row holds.
    fn row_word(&self) -> &'static str;

    /// Returns how many columns there are.
    fn columns(&self) -> usize;

    /// Returns what a column is called and how it is typed.
    fn heading(&self, column: usize) -> Option<&Heading>;

    /// Lists the rows in the order of the file.
    fn rows(&self, book: &Book) -> Vec<Row>;

    /// Returns the text of every cell of a row; empty when the row is gone.
    fn cells(&self, book: &Book, row: Row) -> Vec<String>;

    /// Writes the text of every cell of a row into a blank one, and reads the cells again.
    ///
    /// What is read is what was written, or a column writes what it cannot read.
    ///
    /// # Errors
    ///
    /// The column that did not take its own text, and the reason.
    fn read_back(&self, book: &Book, row: Row) -> Result<Vec<String>, (usize, String)>;

    /// Answers what writing cells would do, row by row.
    fn offer(&self, book: &Book, writes: &[Write]) -> Offer;

    /// Returns the edits that take a row away.
    fn removal(&self, row: Row) -> Vec<Edit>;
}

/// Every table, in the order of its tabs.
pub static SHEETS: [&dyn Sheet; 11] = [
    &people::UNITS,
    &air::CHANNELS,
    &radios::RADIOS,
    &programming::PROGRAMMED,
    &ports::PORTS,
    &gear::CABLES,
    &people::NEEDS,
    &people::AGREEMENTS,
    &people::AGENCIES,
    &air::SYSTEMS,
    &gear::STOCK,
];
