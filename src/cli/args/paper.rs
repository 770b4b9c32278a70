//! Arguments of `paperwork`: which papers, of which phases, on which paper, with whose name.

use std::collections::BTreeSet;
use std::ffi::OsStr;
use std::path::PathBuf;

use clap::builder::{EnumValueParser, PossibleValue, TypedValueParser};
use clap::{Arg, Args as ClapArgs, Command, ValueEnum};

use crate::paperwork::Kind as PaperOf;
use crate::paperwork::set::sheet::Paper;

/// Arguments of `paperwork`.
#[derive(Debug, Clone, PartialEq, Eq, ClapArgs)]
#[command(
    after_help = "Example:\n  crosspatch paperwork plan.ron --out paper --only card,precheck"
)]
#[command(after_long_help = "\
Papers: 205, 205a, 217a, 214 (forms of the incident command system), card (a half page for each gateway),
precheck, diagram (board, talk groups and matrix; also as SVG and PNG), briefing. Without --only, all.
Each phase has its own, but for 217a. The same plan gives the same bytes: no clock is read.

Exit codes: 0 written, 2 unreadable file, bad usage, or nothing could be written.

JSON: {\"written\": [{\"file\", \"bytes\"}], \"pages\", \"missing_letters\"}
\"missing_letters\" are in no face of the paper; a box stands for each.
A file that is there and cannot be understood: {\"file\", \"problems\": [{\"line\", \"column\", \"message\", \"hint\"}]}.

Example:
  crosspatch paperwork plan.ron --out paper
  crosspatch paperwork plan.ron --out paper --only card,precheck --phase night --paper a4 --force
  crosspatch paperwork plan.ron --out paper --only diagram --wall a1
  crosspatch paperwork plan.ron --out paper --agency \"Corbel County Fire\" --logo shield.svg --by \"N. Aldred\"")]
pub struct Paperwork {
    /// Scenario.
    pub file: PathBuf,
    /// Folder to write into; made if it is not there.
    #[arg(long, value_name = "DIR")]
    pub out: PathBuf,
    /// Only these papers, with commas between them.
    #[arg(long, value_name = "PAPERS", value_delimiter = ',', value_parser = Trimmed)]
    pub only: Vec<PaperKind>,
    /// Only this phase, by key, name or number; otherwise every phase.
    #[arg(long, value_name = "P")]
    pub phase: Option<String>,
    /// Paper of forms, sheets and briefing; cards are half of it.
    #[arg(long, value_name = "SIZE", default_value = "letter")]
    pub paper: PaperSize,
    /// Paper of the drawings, up to wall size; otherwise as --paper.
    #[arg(long, value_name = "SIZE")]
    pub wall: Option<WallSize>,
    /// Agency that heads the pages.
    #[arg(long, value_name = "NAME")]
    pub agency: Option<String>,
    /// Its logo: a PNG, JPEG or SVG file.
    #[arg(long, value_name = "FILE")]
    pub logo: Option<PathBuf>,
    /// Who prepared it.
    #[arg(long, value_name = "NAME")]
    pub by: Option<String>,
    /// In what position; otherwise Communications Unit Leader.
    #[arg(long, value_name = "TITLE")]
    pub position: Option<String>,
    /// When it was prepared, as it is to read; otherwise left to be written in.
    #[arg(long, value_name = "TEXT")]
    pub prepared: Option<String>,
    /// Write over files that exist.
    #[arg(long)]
    pub force: bool,
    /// Print JSON.
    #[arg(long)]
    pub json: bool,
}

impl Paperwork {
    /// Returns the papers asked for, all of them where none was named.
    pub fn kinds(&self) -> BTreeSet<PaperOf> {
        if self.only.is_empty() {
            return PaperOf::ALL.into_iter().collect();
        }
        self.only.iter().map(|kind| PaperOf::from(*kind)).collect()
    }
}

/// Papers that can be asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum PaperKind {
    /// Incident Radio Communications Plan.
    #[value(name = "205")]
    Ics205,
    /// Communications List.
    #[value(name = "205a")]
    Ics205a,
    /// Communications Resource Availability Worksheet.
    #[value(name = "217a")]
    Ics217a,
    /// Activity Log.
    #[value(name = "214")]
    Ics214,
    /// Gateway cards.
    Card,
    /// Pre-check sheet.
    Precheck,
    /// Board, talk groups and matrix.
    Diagram,
    /// Briefing.
    Briefing,
}

/// Reads the word of a paper with spaces around it, as people write after a comma.
#[derive(Debug, Clone, Copy)]
struct Trimmed;

impl TypedValueParser for Trimmed {
    type Value = PaperKind;

    fn parse_ref(
        &self,
        command: &Command,
        arg: Option<&Arg>,
        value: &OsStr,
    ) -> Result<PaperKind, clap::Error> {
        let text = value.to_string_lossy();
        let word = OsStr::new(text.trim());
        EnumValueParser::new().parse_ref(command, arg, word)
    }

    fn possible_values(&self) -> Option<Box<dyn Iterator<Item = PossibleValue> + '_>> {
        let all = PaperKind::value_variants().iter();
        Some(Box::new(all.filter_map(ValueEnum::to_possible_value)))
    }
}

impl From<PaperKind> for PaperOf {
    fn from(kind: PaperKind) -> Self {
        match kind {
            PaperKind::Ics205 => Self::Ics205,
            PaperKind::Ics205a => Self::Ics205a,
            PaperKind::Ics217a => Self::Ics217a,
            PaperKind::Ics214 => Self::Ics214,
            PaperKind::Card => Self::Card,
            PaperKind::Precheck => Self::PreCheck,
            PaperKind::Diagram => Self::Diagram,
            PaperKind::Briefing => Self::Briefing,
        }
    }
}

/// Paper that goes through a usual printer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum PaperSize {
    /// 8.5 by 11 inches.
    Letter,
    /// 210 by 297 mm.
    A4,
}

impl From<PaperSize> for Paper {
    fn from(size: PaperSize) -> Self {
        match size {
            PaperSize::Letter => Self::Letter,
            PaperSize::A4 => Self::A4,
        }
    }
}

/// Paper up to the size of a wall.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum WallSize {
    /// 8.5 by 11 inches.
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

impl From<WallSize> for Paper {
    fn from(size: WallSize) -> Self {
        match size {
            WallSize::Letter => Self::Letter,
            WallSize::A4 => Self::A4,
            WallSize::Tabloid => Self::Tabloid,
            WallSize::A3 => Self::A3,
            WallSize::A2 => Self::A2,
            WallSize::A1 => Self::A1,
            WallSize::A0 => Self::A0,
            WallSize::ArchE => Self::ArchE,
        }
    }
}
