//! A finished document: pages of ink, and the tree that says what the ink is.
//!
//! The tree is what a screen reader walks; what repeats on every page (running heads, page numbers,
//! rules) stands outside it.

use std::collections::BTreeSet;

use emath::{Vec2, vec2};

use super::ink::Ink;

/// Sizes of paper, upright.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Paper {
    /// 8.5 by 11 inches.
    #[default]
    Letter,
    /// 210 by 297 mm.
    A4,
    /// 11 by 17 inches.
    Tabloid,
    /// 297 by 420 mm.
    A3,
    /// 420 by 594 mm.
    A2,
    /// 594 by 841 mm.
    A1,
    /// 841 by 1189 mm.
    A0,
    /// 36 by 48 inches.
    ArchE,
}

impl Paper {
    /// All sizes.
    pub const ALL: [Self; 8] = [
        Self::Letter,
        Self::A4,
        Self::Tabloid,
        Self::A3,
        Self::A2,
        Self::A1,
        Self::A0,
        Self::ArchE,
    ];

    /// Returns the word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Letter => "letter",
            Self::A4 => "a4",
            Self::Tabloid => "tabloid",
            Self::A3 => "a3",
            Self::A2 => "a2",
            Self::A1 => "a1",
            Self::A0 => "a0",
            Self::ArchE => "arch-e",
        }
    }

    /// Returns its name, as it is said.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Letter => "letter paper",
            Self::A4 => "A4",
            Self::Tabloid => "tabloid paper",
            Self::A3 => "A3",
            Self::A2 => "A2",
            Self::A1 => "A1",
            Self::A0 => "A0",
            Self::ArchE => "Arch E",
        }
    }

    /// Returns its size upright, in points.
    ///
    /// Source: ISO 216 in whole millimetres; ANSI/ASME Y14.1 for the sizes in inches (from memory).
    pub fn upright(self) -> Vec2 {
        let inches = |w: f32, h: f32| vec2(w * 72.0, h * 72.0);
        let mm = |w: f32, h: f32| inches(w / 25.4, h / 25.4);
        match self {
            Self::Letter => inches(8.5, 11.0),
            Self::A4 => mm(210.0, 297.0),
            Self::Tabloid => inches(11.0, 17.0),
            Self::A3 => mm(297.0, 420.0),
            Self::A2 => mm(420.0, 594.0),
            Self::A1 => mm(594.0, 841.0),
            Self::A0 => mm(841.0, 1189.0),
            Self::ArchE => inches(36.0, 48.0),
        }
    }

    /// Returns its size lying on its long side, in points.
    pub fn lying(self) -> Vec2 {
        let size = self.upright();
        vec2(size.y, size.x)
    }

    /// Returns half of it upright, in points: half-letter of letter, A5 of A4.
    pub fn half(self) -> Vec2 {
        let size = self.upright();
        vec2(size.y / 2.0, size.x)
    }
}

/// What an element of a document is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Role {
    /// A part of the document.
    Section,
    /// A heading and its level, from 1.
    Heading(u16, String),
    /// A paragraph, or a labelled box of a form.
    Paragraph,
    /// A table.
    Table,
    /// The head of a table.
    TableHead,
    /// The rows of a table.
    TableBody,
    /// A row.
    Row,
    /// A cell that heads its column.
    HeadCell,
    /// A cell that heads its row.
    RowHead,
    /// A cell.
    Cell,
    /// A drawing, and what it shows in words.
    Figure(String),
}

/// An element and what it holds, in the order it is read.
#[derive(Debug, Clone, PartialEq)]
pub struct Element {
    /// What it is.
    pub role: Role,
    /// What it holds.
    pub children: Vec<Child>,
}

impl Element {
    fn move_pages(&mut self, by: usize) {
        for child in &mut self.children {
            match child {
                Child::Element(element) => element.move_pages(by),
                Child::Item { page, .. } => *page += by,
            }
        }
    }
}

/// What an element holds.
#[derive(Debug, Clone, PartialEq)]
pub enum Child {
    /// Another element.
    Element(Element),
    /// Something drawn.
    Item {
        /// The page, from 0.
        page: usize,
        /// The item on the page.
        item: usize,
    },
}

/// Some ink that belongs together.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// Repeated or decorative: no part of the tree.
    pub is_artifact: bool,
    /// What it says, where the ink is no text.
    pub says: Option<String>,
    /// The ink, what is behind first.
    pub inks: Vec<Ink>,
}

/// A page.
#[derive(Debug, Clone, PartialEq)]
pub struct Page {
    /// Width and height, in points.
    pub size: Vec2,
    /// What is drawn, what is behind first.
    pub items: Vec<Item>,
}

/// A document.
#[derive(Debug, Clone, PartialEq)]
pub struct Document {
    /// What it is called.
    pub title: String,
    /// Its pages; never none.
    pub pages: Vec<Page>,
    /// What they say, in the order it is read.
    pub tree: Vec<Element>,
    /// Letters of the scenario that the faces do not have; a box stands for each.
    pub missing: BTreeSet<char>,
}

impl Document {
    /// Puts documents behind each other as one.
    pub fn joined(title: &str, documents: Vec<Self>) -> Self {
        let mut whole = Self {
            title: title.to_owned(),
            pages: Vec::new(),
            tree: Vec::new(),
            missing: BTreeSet::new(),
        };
        for mut document in documents {
            let from = whole.pages.len();
            for element in &mut document.tree {
                element.move_pages(from);
            }
            whole.pages.append(&mut document.pages);
            whole.tree.append(&mut document.tree);
            whole.missing.append(&mut document.missing);
        }
        whole
    }

    /// Returns all that its texts say, page by page, in the order it is drawn; for tests and search.
    pub fn texts(&self) -> Vec<Vec<&str>> {
        self.pages
            .iter()
            .map(|page| {
                let inks = page.items.iter().flat_map(|item| &item.inks);
                inks.filter_map(|ink| match ink {
                    // A line that goes on ends with a space.
                    Ink::Text(text) => Some(text.line.text.trim_end()),
                    Ink::Shape { .. } | Ink::Picture { .. } => None,
                })
                .collect()
            })
            .collect()
    }
}
