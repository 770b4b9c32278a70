//! Tables for spreadsheets: comma-separated text out of a scenario and into it.
//!
//! Pure: text in, text and edits out. It knows of no disk and no window, and changes nothing itself; what
//! is read becomes edits that the gate takes, and every row that cannot be is named with its reason.

mod assigned;
mod checked;
mod columns;
mod findings;
mod forms;
mod heard;
mod import;
mod matrix;
mod row;
mod text;
mod values;

pub use assigned::{Assigned, assigned, eligible};
pub use checked::{Checked, Entry, grade_word, why};
pub use columns::{Column, Mapping};
pub use findings::findings;
pub use forms::{configuration, ics_205, ics_217a};
pub use heard::{Heard, heard_json, json_text, thing_json};
pub use import::{Import, Row, RowProblem, import};
pub use matrix::{MOST_PARTIES, matrix};
pub use text::{Sheet, Source, Unreadable};
pub use values::{code_text, frequency_text, letter_text};
