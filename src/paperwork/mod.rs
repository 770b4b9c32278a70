//! Paper: what is handed over when the plan leaves the computer.
//!
//! `set` is the type-setting; `forms`, `card`, `precheck`, `diagram` and `briefing` say what stands on
//! the pages; `on` is what all of them are made from. Invariant: the same scenario gives the same bytes,
//! nothing here reads a clock or a disk, and every fact on paper is one the picture has.

pub mod briefing;
pub mod card;
pub mod columns;
pub mod diagram;
pub mod forms;
pub mod given;
pub mod leak;
pub mod on;
pub mod period;
pub mod precheck;
pub mod set;

use std::collections::BTreeSet;
use std::sync::Arc;

use crate::checks;
use crate::model::{PhaseId, Scenario};
use crate::picture::Picture;

use given::Given;
use on::On;
use set::face::Faces;
use set::sheet::Document;
use set::{pdf, png, svg};

/// Dots for each point of a PNG file: 150 an inch.
const PNG_SCALE: f32 = 150.0 / 72.0;

/// What can be printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// Incident Radio Communications Plan.
    Ics205,
    /// Communications List.
    Ics205a,
    /// Communications Resource Availability Worksheet.
    Ics217a,
    /// Activity Log.
    Ics214,
    /// Gateway cards.
    Card,
    /// Pre-check sheet.
    PreCheck,
    /// Board, talk groups and matrix.
    Diagram,
    /// Briefing.
    Briefing,
}

impl Kind {
    /// Everything that can be printed, in the order of a set.
    pub const ALL: [Self; 8] = [
        Self::Ics205,
        Self::Ics205a,
        Self::Ics217a,
        Self::Ics214,
        Self::Card,
        Self::PreCheck,
        Self::Diagram,
        Self::Briefing,
    ];

    /// Returns the word for it on the command line and in names of files.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Ics205 => "205",
            Self::Ics205a => "205a",
            Self::Ics217a => "217a",
            Self::Ics214 => "214",
            Self::Card => "card",
            Self::PreCheck => "precheck",
            Self::Diagram => "diagram",
            Self::Briefing => "briefing",
        }
    }

    /// Returns what it is, in words.
    pub const fn title(self) -> &'static str {
        match self {
            Self::Ics205 => "ICS 205, radio communications plan",
            Self::Ics205a => "ICS 205A, communications list",
            Self::Ics217a => "ICS 217A, resource worksheet",
            Self::Ics214 => "ICS 214, activity log",
            Self::Card => "Gateway cards",
            Self::PreCheck => "Pre-check sheet",
            Self::Diagram => "Diagrams: board, talk groups, matrix",
            Self::Briefing => "Briefing",
        }
    }

    /// Tells whether each phase has its own.
    const fn is_by_phase(self) -> bool {
        !matches!(self, Self::Ics217a)
    }
}

/// What is to be printed.
#[derive(Debug, Clone, PartialEq)]
pub struct Ask {
    /// The plan.
    pub scenario: Arc<Scenario>,
    /// Which papers.
    pub kinds: BTreeSet<Kind>,
    /// Of which phases.
    pub phases: Vec<PhaseId>,
    /// What is printed beside the plan.
    pub given: Given,
}

/// One document of a set.
#[derive(Debug, Clone, PartialEq)]
pub struct Piece {
    /// What it is.
    pub kind: Kind,
    /// Its name without an ending, such as "205-night".
    pub stem: String,
    /// Its pages.
    pub document: Document,
    /// For a drawing, each page as a file of its own.
    pub drawings: Vec<Drawing>,
}

/// A page of a drawing as a file of its own.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Drawing {
    /// Its name without an ending, such as "board-night".
    pub stem: String,
    /// What it is called, such as "Board: Night".
    pub title: String,
}

/// A file to be written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Output {
    /// Its name.
    pub name: String,
    /// What is in it.
    pub bytes: Vec<u8>,
}

/// How far a long set is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Progress {
    /// Papers done.
    pub done: usize,
    /// Papers asked for.
    pub all: usize,
    /// The one that is next.
    pub next: String,
}

/// Whether to go on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Go {
    /// Yes.
    On,
    /// Somebody wants no more.
    Stop,
}

impl Ask {
    /// Lists the names of the papers, in the order they are set.
    fn names(&self) -> Vec<(Kind, PhaseId, String)> {
        let mut names = Vec::new();
        for phase in &self.phases {
            let key = self.file_word(*phase);
            for kind in self.kinds.iter().filter(|k| k.is_by_phase()) {
                names.push((*kind, *phase, format!("{}-{key}", kind.word())));
            }
        }
        // What is one for all phases comes last: it is the store, and not what is handed out.
        if let Some(first) = self.phases.first() {
            let once = self.kinds.iter().filter(|k| !k.is_by_phase());
            names.extend(once.map(|kind| (*kind, *first, kind.word().to_owned())));
        }
        names
    }

    /// Returns the word of a phase in names of files. Two that differ only in capitals, or in what no
    /// file system takes, get a number: many systems take such names for one.
    fn file_word(&self, phase: PhaseId) -> String {
        let mut taken: BTreeSet<String> = BTreeSet::new();
        for id in self.scenario.phases.ids() {
            let plain = kept(&self.scenario.key(id.into()));
            let mut word = plain.clone();
            let mut number = 2;
            while !taken.insert(word.to_lowercase()) {
                word = format!("{plain}-{number}");
                number += 1;
            }
            if id == phase {
                return word;
            }
        }
        kept(&self.scenario.key(phase.into()))
    }

    /// Sets every paper asked for; nothing where somebody stopped it.
    ///
    /// `tell` hears how far it is before each paper, and says whether to go on.
    pub fn set(&self, tell: &mut dyn FnMut(&Progress) -> Go) -> Option<Vec<Piece>> {
        let names = self.names();
        let all = names.len();
        let mut pieces = Vec::new();
        let mut derived: Option<(PhaseId, Picture, checks::Report)> = None;
        for (done, (kind, phase, stem)) in names.into_iter().enumerate() {
            let progress = Progress {
                done,
                all,
                next: stem.clone(),
            };
            if tell(&progress) == Go::Stop {
                return None;
            }
            if derived.as_ref().is_none_or(|(of, ..)| *of != phase) {
                let picture = Picture::new(Arc::clone(&self.scenario), phase);
                let report = checks::run_all(&picture);
                derived = Some((phase, picture, report));
            }
            let Some((_, picture, report)) = &derived else {
                continue;
            };
            let faces = Faces::default();
            let on = On::new(&faces, picture, report, &self.given);
            let piece = self.piece(kind, &on, phase, stem);
            pieces.push(piece);
        }
        Some(pieces)
    }

    fn piece(&self, kind: Kind, on: &On<'_>, phase: PhaseId, stem: String) -> Piece {
        let document = match kind {
            Kind::Diagram => return drawn(on, stem, &self.file_word(phase)),
            Kind::Ics205 => forms::ics205::set(on),
            Kind::Ics205a => forms::ics205a::set(on),
            Kind::Ics217a => forms::ics217a::set(on),
            Kind::Ics214 => forms::ics214::set(on),
            Kind::Card => card::set(on),
            Kind::PreCheck => precheck::set(on),
            Kind::Briefing => {
                let before = self.phase_before(phase);
                let before = before.map(|p| Picture::new(Arc::clone(&self.scenario), p));
                briefing::set(on, before.as_ref())
            }
        };
        Piece {
            kind,
            stem,
            document,
            drawings: Vec::new(),
        }
    }

    fn phase_before(&self, phase: PhaseId) -> Option<PhaseId> {
        let ids: Vec<PhaseId> = self.scenario.phases.ids().collect();
        let at = ids.iter().position(|p| *p == phase)?;
        ids.get(at.checked_sub(1)?).copied()
    }
}

impl Piece {
    /// Writes the files of a paper: a PDF, and of drawings each page as SVG and PNG too.
    ///
    /// # Errors
    ///
    /// In a sentence: what could not be written, such as a picture larger than dots allow.
    pub fn outputs(&self, faces: &Faces) -> Result<Vec<Output>, String> {
        let mut outputs = vec![Output {
            name: format!("{}.pdf", self.stem),
            bytes: pdf::write(&self.document)?,
        }];
        for (page, drawing) in self.document.pages.iter().zip(&self.drawings) {
            let stem = &drawing.stem;
            let most = png::MOST_DOTS as f32 / page.size.x.max(page.size.y);
            outputs.push(Output {
                name: format!("{stem}.svg"),
                bytes: svg::write(page, &drawing.title).into_bytes(),
            });
            outputs.push(Output {
                name: format!("{stem}.png"),
                bytes: png::write(faces, page, PNG_SCALE.min(most))?,
            });
        }
        Ok(outputs)
    }
}

/// Draws board, talk groups and matrix, on paper that lies on its long side.
fn drawn(on: &On<'_>, stem: String, key: &str) -> Piece {
    let size = on.given.wall.lying();
    let drawings = [
        (
            "board",
            diagram::board(on.faces, on.picture, size, on.given),
        ),
        (
            "groups",
            diagram::groups(on.faces, on.picture, size, on.given),
        ),
        (
            "matrix",
            diagram::matrix(on.faces, on.picture, size, on.given),
        ),
    ];
    let mut names = Vec::new();
    let mut documents = Vec::new();
    for (word, document) in drawings {
        let count = document.pages.len();
        let title = format!("{}, {}", document.title, on.incident());
        names.extend((1..=count).map(|page| match count {
            1 => Drawing {
                stem: format!("{word}-{key}"),
                title: title.clone(),
            },
            _ => Drawing {
                stem: format!("{word}-{key}-{page}"),
                title: format!("{title}, page {page} of {count}"),
            },
        }));
        documents.push(document);
    }
    let title = format!("Diagrams: {}, {}", on.incident(), on.phase_name());
    Piece {
        kind: Kind::Diagram,
        stem,
        document: Document::joined(&title, documents),
        drawings: names,
    }
}

/// Keeps of a key what every file system takes.
fn kept(key: &str) -> String {
    let kept: String = key
        .chars()
        .map(|c| {
            if c.is_alphanumeric() || c == '-' || c == '_' {
                c
            } else {
                '-'
            }
        })
        .collect();
    if kept.is_empty() {
        "phase".to_owned()
    } else {
        kept
    }
}
