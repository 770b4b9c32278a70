//! What menus and shortcuts offer: a name, a tip and a shortcut each, and nothing to carry.

use egui::{Key, KeyboardShortcut, Modifiers};

/// A command without anything to say beside its name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Command {
    New,
    Open,
    Save,
    SaveAs,
    Quit,
    Undo,
    Redo,
    SelectAll,
    SelectNone,
    Delete,
    Talk,
    Quiet,
    Fit,
    FitSelection,
    ZoomIn,
    ZoomOut,
    Tidy,
    Needs,
    Shelf,
    Side,
    Calculators,
    Theme,
    Findings,
    Details,
    Matrix,
    Figures,
    NextPhase,
    HowTo,
    Handbook,
    Cautions,
}

const PLAIN: Modifiers = Modifiers::NONE;
const CTRL: Modifiers = Modifiers::COMMAND;
const CTRL_SHIFT: Modifiers = Modifiers {
    shift: true,
    ..Modifiers::COMMAND
};

impl Command {
    /// Every command.
    pub(super) const ALL: [Self; 30] = [
        Self::New,
        Self::Open,
        Self::Save,
        Self::SaveAs,
        Self::Quit,
        Self::Undo,
        Self::Redo,
        Self::SelectAll,
        Self::SelectNone,
        Self::Delete,
        Self::Talk,
        Self::Quiet,
        Self::Fit,
        Self::FitSelection,
        Self::ZoomIn,
        Self::ZoomOut,
        Self::Tidy,
        Self::Needs,
        Self::Shelf,
        Self::Side,
        Self::Calculators,
        Self::Theme,
        Self::Findings,
        Self::Details,
        Self::Matrix,
        Self::Figures,
        Self::NextPhase,
        Self::HowTo,
        Self::Handbook,
        Self::Cautions,
    ];

    /// Returns the name in menus.
    pub(super) fn name(self) -> &'static str {
        match self {
            Self::New => "New",
            Self::Open => "Open…",
            Self::Save => "Save",
            Self::SaveAs => "Save as…",
            Self::Quit => "Quit",
            Self::Undo => "Undo",
            Self::Redo => "Redo",
            Self::SelectAll => "Select all",
            Self::SelectNone => "Select nothing",
            Self::Delete => "Delete",
            Self::Talk => "Let it talk",
            Self::Quiet => "End the talking",
            Self::Fit => "Show everything",
            Self::FitSelection => "Show the selection",
            Self::ZoomIn => "Closer",
            Self::ZoomOut => "Further away",
            Self::Tidy => "Tidy the board",
            Self::Needs => "Needs on the board",
            Self::Shelf => "Shelf",
            Self::Side => "Side panel",
            Self::Calculators => "Calculators",
            Self::Theme => "Light or dark",
            Self::Findings => "Findings",
            Self::Details => "Details",
            Self::Matrix => "Who hears whom",
            Self::Figures => "Figures",
            Self::NextPhase => "Next phase",
            Self::HowTo => "How to use the board",
            Self::Handbook => "Handbook of checks",
            Self::Cautions => "Cautions",
        }
    }

    /// Returns what it does, in a sentence without a full stop.
    pub(super) fn tip(self) -> &'static str {
        match self {
            Self::New => "Begins an empty scenario",
            Self::Open => "Opens a scenario from a file",
            Self::Save => "Writes the scenario to its file",
            Self::SaveAs => "Writes the scenario to another file",
            Self::Quit => "Closes the window, after asking about unsaved changes",
            Self::Undo => "Takes the last change back",
            Self::Redo => "Does again what was taken back",
            Self::SelectAll => "Selects every unit, channel and gateway on the board",
            Self::SelectNone => "Selects nothing, and ends what is under way",
            Self::Delete => "Takes the selection out of the scenario",
            Self::Talk => "Lets the selected unit talk until it is ended",
            Self::Quiet => "Ends the talking",
            Self::Fit => "Moves the board until everything is in view",
            Self::FitSelection => "Moves the board until the selection is in view",
            Self::ZoomIn => "Makes the board larger",
            Self::ZoomOut => "Makes the board smaller",
            Self::Tidy => "Puts everything back into its columns",
            Self::Needs => "Shows or hides who needs whom as lines",
            Self::Shelf => "Shows or hides the shelf on the left",
            Self::Side => "Shows or hides the panel on the right",
            Self::Calculators => {
                "Shows or hides the calculators: losses, waits, run times, distances"
            }
            Self::Theme => "Changes between the light and the dark theme",
            Self::Findings => "Shows what will go wrong",
            Self::Details => "Shows the fields of what is selected",
            Self::Matrix => "Shows who hears whom, one row a speaker",
            Self::Figures => "Shows loads, hours, the radio site and what needs hang on",
            Self::NextPhase => "Shows the next phase, and after the last the first",
            Self::HowTo => "Explains the board on one page",
            Self::Handbook => "Lists every check with its reason and its source",
            Self::Cautions => "Says what a plan on this board does not prove",
        }
    }

    /// Returns the shortcut.
    pub(super) fn shortcut(self) -> Option<KeyboardShortcut> {
        let (modifiers, key) = match self {
            Self::New => (CTRL, Key::N),
            Self::Open => (CTRL, Key::O),
            Self::Save => (CTRL, Key::S),
            Self::SaveAs => (CTRL_SHIFT, Key::S),
            Self::Quit => (CTRL, Key::Q),
            Self::Undo => (CTRL, Key::Z),
            Self::Redo => (CTRL_SHIFT, Key::Z),
            Self::SelectAll => (CTRL, Key::A),
            Self::Delete => (PLAIN, Key::Delete),
            Self::Talk => (Modifiers::SHIFT, Key::T),
            Self::Fit => (PLAIN, Key::F),
            Self::FitSelection => (Modifiers::SHIFT, Key::F),
            Self::ZoomIn => (PLAIN, Key::Plus),
            Self::ZoomOut => (PLAIN, Key::Minus),
            Self::Needs => (PLAIN, Key::N),
            Self::Shelf => (CTRL, Key::Num1),
            Self::Side => (CTRL, Key::Num2),
            Self::Calculators => (CTRL, Key::K),
            Self::Theme => (CTRL_SHIFT, Key::L),
            Self::Findings => (PLAIN, Key::Num1),
            Self::Details => (PLAIN, Key::Num2),
            Self::Matrix => (PLAIN, Key::Num3),
            Self::Figures => (PLAIN, Key::Num4),
            Self::NextPhase => (PLAIN, Key::P),
            Self::HowTo => (PLAIN, Key::F1),
            Self::SelectNone => (PLAIN, Key::Escape),
            Self::Quiet | Self::Tidy | Self::Handbook | Self::Cautions => return None,
        };
        Some(KeyboardShortcut::new(modifiers, key))
    }

    /// Tells whether the shortcut is a bare key that a text field would want.
    pub(super) fn is_bare(self) -> bool {
        self.shortcut()
            .is_some_and(|s| !s.modifiers.command && !s.modifiers.ctrl)
    }

    /// Lists all commands with those first whose shortcut needs more keys.
    pub(super) fn by_modifiers() -> Vec<Self> {
        let mut all = Self::ALL.to_vec();
        all.sort_by_key(|c| {
            std::cmp::Reverse(c.shortcut().map_or(0, |s| {
                u8::from(s.modifiers.shift) + u8::from(s.modifiers.command)
            }))
        });
        all
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn every_command_has_words_and_a_shortcut_of_its_own() {
        let mut names = BTreeSet::new();
        let mut shortcuts = BTreeSet::new();
        for command in Command::ALL {
            assert!(!command.name().is_empty() && names.insert(command.name()));
            assert!(command.tip().len() > 10, "{command:?}");
            assert!(!command.tip().ends_with('.'), "{command:?}");
            if let Some(shortcut) = command.shortcut() {
                let keys = format!("{:?} {:?}", shortcut.modifiers, shortcut.logical_key);
                assert!(shortcuts.insert(keys.clone()), "{keys} is taken twice");
            }
        }
        assert_eq!(Command::ALL.len(), names.len());
    }

    #[test]
    fn shift_is_asked_before_plain() {
        let order = Command::by_modifiers();
        let place = |wanted| order.iter().position(|c| *c == wanted).unwrap();
        assert!(place(Command::Redo) < place(Command::Undo));
        assert!(place(Command::SaveAs) < place(Command::Save));
        assert!(place(Command::FitSelection) < place(Command::Fit));
    }
}
