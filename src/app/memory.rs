//! What the window remembers from one start to the next: size, panels, colours, the size of letters.
//!
//! Kept as lines of a word and a value. What cannot be read is as it is at the first start; a plan is
//! never in here.

use std::path::PathBuf;

use super::state::{Tab, View};
use super::theme::Colours;
use crate::paperwork::set::sheet::Paper;

/// Everything remembered.
#[derive(Debug, Clone, PartialEq)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is a switch of its own, on or off in any order"
)]
pub(super) struct Memory {
    /// The colours, once somebody chose them.
    pub colours: Option<Colours>,
    /// How much larger than usual everything is shown, from [`SCALE`].
    pub scale: f32,
    /// Controls are large enough for fingers and gloves.
    pub touch: bool,
    /// Nothing glides or pulses.
    pub less_motion: bool,
    /// The shelf is shown.
    pub shelf: bool,
    /// The side panel is shown.
    pub side: bool,
    /// Width of the side panel, in points.
    pub side_width: f32,
    /// The board stays in sight beside another view.
    pub beside: bool,
    /// The tab of the side panel.
    pub tab: Tab,
    /// The view in the middle.
    pub view: View,
    /// Size of the window, in points.
    pub size: (f32, f32),
    /// The window fills the screen.
    pub maximized: bool,
    /// The tour was seen, or declined.
    pub toured: bool,
    /// What was given for paper.
    pub paper: PaperMemory,
}

/// What was given for paper the last time. When it was prepared is not in here: it would be wrong.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct PaperMemory {
    /// Paper of forms, sheets and briefing.
    pub paper: Paper,
    /// Paper of the drawings, where it is another.
    pub wall: Option<Paper>,
    /// Agency that heads the pages.
    pub agency: String,
    /// Its logo.
    pub logo: Option<PathBuf>,
    /// Who prepared it.
    pub by: String,
    /// In what position.
    pub position: String,
}

impl PaperMemory {
    fn lines(&self) -> Vec<String> {
        let Self {
            paper,
            wall,
            agency,
            logo,
            by,
            position,
        } = self;
        let wall = wall.map_or("", Paper::word).to_owned();
        let logo = logo.as_ref().map(|p| p.display().to_string());
        let all = [
            ("paper", paper.word().to_owned()),
            ("paper-wall", wall),
            ("paper-agency", agency.clone()),
            ("paper-logo", logo.unwrap_or_default()),
            ("paper-by", by.clone()),
            ("paper-position", position.clone()),
        ];
        let kept = all.into_iter().filter(|(_, value)| !value.is_empty());
        kept.map(|(word, value)| format!("{word} {}", value.replace(char::is_control, " ")))
            .collect()
    }

    fn take(&mut self, word: &str, rest: &str) {
        let paper = || Paper::ALL.into_iter().find(|p| p.word() == rest);
        match word {
            "paper" => self.paper = paper().unwrap_or(self.paper),
            "paper-wall" => self.wall = paper(),
            "paper-agency" => rest.clone_into(&mut self.agency),
            "paper-logo" => self.logo = Some(PathBuf::from(rest)),
            "paper-by" => rest.clone_into(&mut self.by),
            "paper-position" => rest.clone_into(&mut self.position),
            _ => {}
        }
    }
}

/// Smallest and largest scale.
pub(super) const SCALE: (f32, f32) = (0.6, 3.0);
/// Narrowest and widest side panel, in points.
pub(super) const SIDE: (f32, f32) = (320.0, 640.0);
/// Smallest and largest window remembered, in points.
const SIZE: (f32, f32) = (600.0, 10_000.0);

impl Default for Memory {
    fn default() -> Self {
        Self {
            colours: None,
            scale: 1.0,
            touch: false,
            less_motion: false,
            shelf: true,
            side: true,
            side_width: 392.0,
            beside: false,
            tab: Tab::default(),
            view: View::default(),
            size: (1560.0, 960.0),
            maximized: false,
            toured: false,
            paper: PaperMemory::default(),
        }
    }
}

const TABS: [(Tab, &str); 4] = [
    (Tab::Findings, "findings"),
    (Tab::Details, "details"),
    (Tab::Matrix, "hearing"),
    (Tab::Figures, "figures"),
];

const VIEWS: [(View, &str); 7] = [
    (View::Board, "board"),
    (View::Matrix, "matrix"),
    (View::Needs, "needs"),
    (View::Groups, "talk-groups"),
    (View::Site, "site"),
    (View::Tables, "tables"),
    (View::Precheck, "pre-check"),
];

fn word_of<T: Copy + PartialEq>(table: &[(T, &'static str)], value: T) -> &'static str {
    table
        .iter()
        .find(|(known, _)| *known == value)
        .map_or("", |(_, word)| word)
}

impl Memory {
    /// Writes it as text.
    pub(super) fn text(&self) -> String {
        let Self {
            colours,
            scale,
            touch,
            less_motion,
            shelf,
            side,
            side_width,
            beside,
            tab,
            view,
            size,
            maximized,
            toured,
            paper,
        } = self;
        let mut lines = vec![
            format!("scale {scale:.2}"),
            format!("touch {touch}"),
            format!("less-motion {less_motion}"),
            format!("shelf {shelf}"),
            format!("side {side}"),
            format!("side-width {side_width:.0}"),
            format!("beside {beside}"),
            format!("tab {}", word_of(&TABS, *tab)),
            format!("view {}", word_of(&VIEWS, *view)),
            format!("size {:.0} {:.0}", size.0, size.1),
            format!("maximized {maximized}"),
            format!("toured {toured}"),
        ];
        if let Some(colours) = colours {
            lines.insert(0, format!("colours {}", colours.word()));
        }
        lines.extend(paper.lines());
        lines.push(String::new());
        lines.join("\n")
    }

    /// Reads it from text; what cannot be read stays as it is at the first start.
    pub(super) fn of(text: &str) -> Self {
        let mut memory = Self::default();
        for line in text.lines() {
            if let Some((word, rest)) = line.split_once(' ') {
                memory.paper.take(word, rest);
            }
            let mut words = line.split_whitespace();
            if let (Some(word), Some(value)) = (words.next(), words.next()) {
                memory.take(word, value, words.next());
            }
        }
        memory
    }

    fn take(&mut self, word: &str, value: &str, second: Option<&str>) {
        let flag = |old: bool| value.parse().unwrap_or(old);
        match word {
            "colours" => self.colours = Colours::of_word(value).or(self.colours),
            "scale" => self.scale = number(value, SCALE).unwrap_or(self.scale),
            "touch" => self.touch = flag(self.touch),
            "less-motion" => self.less_motion = flag(self.less_motion),
            "shelf" => self.shelf = flag(self.shelf),
            "side" => self.side = flag(self.side),
            "side-width" => self.side_width = number(value, SIDE).unwrap_or(self.side_width),
            "beside" => self.beside = flag(self.beside),
            "tab" => {
                if let Some((tab, _)) = TABS.iter().find(|(_, w)| *w == value) {
                    self.tab = *tab;
                }
            }
            "view" => {
                if let Some((view, _)) = VIEWS.iter().find(|(_, w)| *w == value) {
                    self.view = *view;
                }
            }
            "size" => {
                let height = second.and_then(|h| number(h, SIZE));
                if let (Some(width), Some(height)) = (number(value, SIZE), height) {
                    self.size = (width, height);
                }
            }
            "maximized" => self.maximized = flag(self.maximized),
            "toured" => self.toured = flag(self.toured),
            _ => {}
        }
    }
}

/// Reads a number inside a range.
fn number(text: &str, (low, high): (f32, f32)) -> Option<f32> {
    text.parse().ok().filter(|n: &f32| (low..=high).contains(n))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_written_is_read_again() {
        let memory = Memory {
            colours: Some(Colours::Night),
            scale: 1.5,
            touch: true,
            less_motion: true,
            shelf: false,
            side: false,
            side_width: 500.0,
            beside: true,
            tab: Tab::Figures,
            view: View::Tables,
            size: (1200.0, 700.0),
            maximized: true,
            toured: true,
            paper: PaperMemory {
                paper: Paper::A4,
                wall: Some(Paper::ArchE),
                agency: "Corbel County Fire".to_owned(),
                logo: Some(PathBuf::from("/pictures/a shield.svg")),
                by: "N. Aldred".to_owned(),
                position: "Communications Unit Leader".to_owned(),
            },
        };
        assert_eq!(Memory::of(&memory.text()), memory);
        let first = Memory::default();
        assert_eq!(Memory::of(&first.text()), first);
    }

    #[test]
    fn what_cannot_be_read_changes_nothing() {
        let odd = "scale nine\nscale 90\nsize 5 5\nsize 1200\npalette mauve\nview\ntab x\n\
                   touch perhaps\nside-width NaN\nelse 1\n\u{0}";
        assert_eq!(Memory::of(odd), Memory::default());
    }

    #[test]
    fn every_view_and_tab_has_a_word() {
        for (view, word) in VIEWS {
            assert!(!word.is_empty());
            assert_eq!(word_of(&VIEWS, view), word);
        }
        for (tab, word) in TABS {
            assert_eq!(word_of(&TABS, tab), word);
        }
    }
}
