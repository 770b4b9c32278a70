//! What menus, the palette and shortcuts offer: one line a command, and nothing to carry.
//!
//! A line names the menu and the group in it, the words, the tip (a sentence without a full stop) and
//! the shortcut. Menus, palette, help and the tests read this table and nothing else.

use egui::{Key, KeyboardShortcut, Modifiers};

/// The menus, in their order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Menu {
    File,
    Edit,
    Go,
    Arrange,
    View,
    Look,
    Talk,
    Help,
}

impl Menu {
    /// Every menu.
    pub(super) const ALL: [Self; 8] = [
        Self::File,
        Self::Edit,
        Self::Go,
        Self::Arrange,
        Self::View,
        Self::Look,
        Self::Talk,
        Self::Help,
    ];

    /// Returns its name in the bar.
    pub(super) fn name(self) -> &'static str {
        match self {
            Self::File => "File",
            Self::Edit => "Edit",
            Self::Go => "Go to",
            Self::Arrange => "Arrange",
            Self::View => "View",
            Self::Look => "Look",
            Self::Talk => "Talk",
            Self::Help => "Help",
        }
    }
}

type Keys = Option<(Modifiers, Key)>;

const NONE: Keys = None;
const CTRL_SHIFT: Modifiers = Modifiers {
    shift: true,
    ..Modifiers::COMMAND
};
const ALT_SHIFT: Modifiers = Modifiers {
    shift: true,
    ..Modifiers::ALT
};

/// One short word for each set of modifiers, so that a line of the table stays one line.
macro_rules! keys {
    ($($word:ident: $modifiers:expr;)+) => {
        $(
            const fn $word(key: Key) -> Keys {
                Some(($modifiers, key))
            }
        )+
    };
}

keys! {
    bare: Modifiers::NONE;
    shift: Modifiers::SHIFT;
    alt: Modifiers::ALT;
    alt_shift: ALT_SHIFT;
    ctrl: Modifiers::COMMAND;
    ctrl_shift: CTRL_SHIFT;
}

macro_rules! commands {
    ($($id:ident: $menu:ident $group:literal, $words:literal, $tip:literal, $keys:expr;)+) => {
        /// A command without anything to say beside its name.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
        pub(super) enum Command {
            $(#[doc = $tip] $id,)+
        }

        impl Command {
            /// Every command, in the order of the menus.
            pub(super) const ALL: &'static [Self] = &[$(Self::$id,)+];

            /// Returns menu, group in the menu, words, tip and keys.
            fn row(self) -> (Menu, u8, &'static str, &'static str, Keys) {
                match self {
                    $(Self::$id => (Menu::$menu, $group, $words, $tip, $keys),)+
                }
            }
        }
    };
}

commands! {
    New: File 1, "New", "Begins an empty scenario", ctrl(Key::N);
    Open: File 1, "Open…", "Opens a scenario from a file", ctrl(Key::O);
    Save: File 2, "Save", "Writes the scenario to its file", ctrl(Key::S);
    SaveAs: File 2, "Save as…", "Writes the scenario to another file", ctrl_shift(Key::S);
    ImportChannels: File 3, "Import channels…", "Takes the channels of a spreadsheet in, after showing what each column and row becomes", NONE;
    ExportTable: File 3, "Export a table…", "Writes channels, hearing or findings for a spreadsheet", NONE;
    CompareFile: File 4, "Compare with file…", "Sets another scenario file against the phase shown", NONE;
    Print: File 5, "Print…", "Shows the forms, cards, sheets and drawings of the plan, and saves them as files to print", ctrl(Key::P);
    Quit: File 9, "Quit", "Closes the window, after asking about unsaved changes", ctrl(Key::Q);

    Undo: Edit 1, "Undo", "Takes the last change back", ctrl(Key::Z);
    Redo: Edit 1, "Redo", "Does again what was taken back", ctrl_shift(Key::Z);
    Delete: Edit 2, "Delete", "Takes the selection out of the scenario", bare(Key::Delete);
    Join: Edit 2, "Join with…", "Lists what the selected thing can be joined with", bare(Key::J);
    Menu: Edit 2, "Menu of the selection", "Opens what can be done with the selected thing", shift(Key::F10);
    Rename: Edit 2, "Rename", "Opens a field over the selected thing for another name", bare(Key::F2);
    Cut: Edit 3, "Cut", "Copies the selection and takes it out of the scenario", ctrl(Key::X);
    Copy: Edit 3, "Copy", "Copies the selection with all it needs, for this window or another", ctrl(Key::C);
    Paste: Edit 3, "Paste", "Puts what was copied on the board, where the pointer is", ctrl(Key::V);
    Duplicate: Edit 3, "Duplicate", "Puts a copy of the selection beside it", ctrl(Key::D);
    SelectAll: Edit 4, "Select all", "Selects every unit, channel and gateway on the board", ctrl(Key::A);
    SelectNone: Edit 4, "Select nothing", "Selects nothing, and ends what is under way", bare(Key::Escape);
    TypeToAdd: Edit 5, "Type to add…", "Adds what a short sentence says, such as: fire 12 VHF", bare(Key::A);
    Keep: Edit 6, "Keep in my things", "Puts the selection among your own things on the shelf, for other scenarios", NONE;
    ExportKept: Edit 6, "Export my things…", "Writes your own things to a file, to share them", NONE;
    ImportKept: Edit 6, "Import my things…", "Takes the things of a file in among your own", NONE;

    Find: Go 1, "Find…", "Finds any name, frequency, code, group number, key, connector or note", ctrl(Key::F);
    FindNext: Go 1, "Find next", "Goes to the next thing found", bare(Key::F3);
    FindPrevious: Go 1, "Find previous", "Goes to the thing found before", shift(Key::F3);
    Palette: Go 2, "Commands and places…", "Runs a command or goes to a thing by a few of its letters", ctrl_shift(Key::P);
    AskTwo: Go 3, "Ask about two", "Shows on the board how one hears another, or where the way breaks", bare(Key::W);

    Tidy: Arrange 1, "Tidy the board", "Puts everything where lines cross little", NONE;
    TidySelection: Arrange 1, "Tidy the selection", "Puts what is selected where its lines cross little, in the columns it stands in", NONE;
    BackToColumns: Arrange 1, "Back to the columns", "Puts everything back into its columns, in the order of the file", NONE;
    GatherSites: Arrange 1, "Gather by site", "Puts the gateways of each site together below it", NONE;
    AlignLeft: Arrange 2, "Align left", "Puts left edges in line with the leftmost", alt_shift(Key::ArrowLeft);
    AlignRight: Arrange 2, "Align right", "Puts right edges in line with the rightmost", alt_shift(Key::ArrowRight);
    AlignTop: Arrange 2, "Align top", "Puts upper edges in line with the topmost", alt_shift(Key::ArrowUp);
    AlignBottom: Arrange 2, "Align bottom", "Puts lower edges in line with the lowest", alt_shift(Key::ArrowDown);
    AlignCentre: Arrange 2, "Align centres", "Puts middles one above the other", alt_shift(Key::C);
    AlignMiddle: Arrange 2, "Align middles", "Puts middles side by side", alt_shift(Key::M);
    SpaceAcross: Arrange 3, "Space out across", "Makes the gaps from left to right equal", alt_shift(Key::H);
    SpaceDown: Arrange 3, "Space out down", "Makes the gaps from top to bottom equal", alt_shift(Key::V);
    Snap: Arrange 3, "Snap while dragging", "Lets dragged things rest on the grid and level with their neighbours, or not; Alt does the other for one drag", alt_shift(Key::G);
    Fold: Arrange 4, "Collapse or expand", "Shows the agency or system of the selection as one chip, or with all that is in it", bare(Key::C);
    FoldAll: Arrange 4, "Collapse all agencies", "Shows each agency as one chip", shift(Key::C);
    UnfoldAll: Arrange 4, "Expand all", "Shows every agency and system with all that is in it", shift(Key::E);

    ViewBoard: View 1, "Board", "Shows the board in the middle", alt(Key::Num1);
    ViewMatrix: View 1, "Matrix", "Shows everyone by everyone in the middle", alt(Key::Num2);
    ViewNeeds: View 1, "Needs", "Shows each need with its state, its route and what it can fall back on", alt(Key::Num3);
    ViewGroups: View 1, "Talk groups", "Shows each gateway's talk groups as lanes, with their load", alt(Key::Num4);
    ViewSite: View 1, "Site plan", "Shows the antennas of a site from above, with distances to keep", alt(Key::Num5);
    ViewTables: View 1, "Tables", "Shows units, channels, radios and the rest as tables to type and paste into", alt(Key::Num6);
    ViewPrecheck: View 1, "Pre-check", "Shows what is to be looked at and tried out on the spot, to tick it off", alt(Key::Num7);
    Beside: View 1, "Board beside", "Keeps the board in sight beside another view", alt(Key::Num0);
    Findings: View 3, "Findings", "Shows what will go wrong", bare(Key::Num1);
    Details: View 3, "Details", "Shows the fields of what is selected", bare(Key::Num2);
    Matrix: View 3, "Who hears whom", "Shows who hears whom, one row a speaker", bare(Key::Num3);
    Figures: View 3, "Figures", "Shows loads, hours, the radio site and what needs hang on", bare(Key::Num4);
    NextPhase: View 4, "Next phase", "Shows the next phase, and after the last the first", bare(Key::P);
    PhaseEarlier: View 4, "Move the phase earlier", "Puts the phase shown before the one that stands before it", alt(Key::PageUp);
    PhaseLater: View 4, "Move the phase later", "Puts the phase shown behind the one that follows it", alt(Key::PageDown);
    OutOfService: View 6, "Put out of service, or back", "Shows what still holds without what is selected; the plan stays as it is", bare(Key::O);
    PutBack: View 6, "Put everything back in service", "Puts everything that is out of service back", shift(Key::O);
    Calculators: View 7, "Calculators", "Shows or hides the calculators: losses, waits, run times, distances", ctrl(Key::K);

    Fit: Look 1, "Show everything", "Moves the board until everything is in view", bare(Key::F);
    FitSelection: Look 1, "Show the selection", "Moves the board until the selection is in view", shift(Key::F);
    ZoomIn: Look 1, "Closer", "Makes the board larger", bare(Key::Plus);
    ZoomOut: Look 1, "Further away", "Makes the board smaller", bare(Key::Minus);
    Needs: Look 1, "Needs on the board", "Shows or hides who needs whom as lines", bare(Key::N);
    Shelf: Look 2, "Shelf", "Shows or hides the shelf on the left", ctrl(Key::Num1);
    Side: Look 2, "Side panel", "Shows or hides the panel on the right", ctrl(Key::Num2);
    Theme: Look 3, "Next colours", "Changes from light to dark, to sunlight, to night and back to light", ctrl_shift(Key::L);
    ThemeLight: Look 3, "Light", "Shows the colours for a room by day", NONE;
    ThemeDark: Look 3, "Dark", "Shows light letters on a dark ground", NONE;
    ThemeSunlight: Look 3, "Sunlight", "Shows black on white with wide lines, for a screen in the sun", NONE;
    ThemeNight: Look 3, "Night", "Shows dim red in all, for eyes that must stay used to the dark", NONE;
    LessMotion: Look 3, "Less motion", "Lets nothing glide or pulse when the phase changes, or lets it again", NONE;
    Larger: Look 4, "Larger letters", "Shows everything larger", ctrl(Key::Plus);
    Smaller: Look 4, "Smaller letters", "Shows everything smaller", ctrl(Key::Minus);
    UsualSize: Look 4, "Usual size", "Shows everything in its usual size", ctrl(Key::Num0);
    Touch: Look 4, "Larger controls", "Makes buttons and fields large enough for fingers and gloves", NONE;

    Talk: Talk 1, "Let it talk", "Lets the selected unit talk until it is ended", shift(Key::T);
    Quiet: Talk 1, "End the talking", "Ends the talking", NONE;
    Lesson: Talk 2, "Lesson: stays talking", "Lets whoever was pressed talk on, so that a second one can talk as well", bare(Key::L);
    Slower: Talk 3, "Slower", "Shows the talk slower, so that a quarter of a second can be seen", bare(Key::Comma);
    Faster: Talk 3, "Faster", "Shows the talk faster, up to as fast as on the air", bare(Key::Period);

    Tour: Help 1, "Tour", "Shows the parts of the window one after the other", NONE;
    HowTo: Help 1, "How to use the board", "Explains what is selected, or the board", bare(Key::F1);
    Handbook: Help 1, "Handbook of checks", "Lists every check with its reason and its source", NONE;
    Cautions: Help 1, "Cautions", "Says what a plan on this board does not prove", NONE;
}

impl Command {
    /// Returns the menu it stands in, and its group there.
    pub(super) fn menu(self) -> (Menu, u8) {
        let (menu, group, ..) = self.row();
        (menu, group)
    }

    /// Returns the name in menus.
    pub(super) fn name(self) -> &'static str {
        self.row().2
    }

    /// Returns what it does, in a sentence without a full stop.
    pub(super) fn tip(self) -> &'static str {
        self.row().3
    }

    /// Returns the shortcut.
    pub(super) fn shortcut(self) -> Option<KeyboardShortcut> {
        let (modifiers, key) = self.row().4?;
        Some(KeyboardShortcut::new(modifiers, key))
    }

    /// Tells whether the shortcut is a key that a text field would want.
    pub(super) fn is_bare(self) -> bool {
        let is_function = |key| matches!(key, Key::F1 | Key::F2 | Key::F3 | Key::F10);
        self.shortcut().is_some_and(|s| {
            let held = s.modifiers.command || s.modifiers.ctrl || s.modifiers.alt;
            !held && !is_function(s.logical_key)
        })
    }

    /// Tells whether it opens a field to type in.
    pub(super) fn opens_field(self) -> bool {
        matches!(
            self,
            Self::TypeToAdd | Self::Find | Self::Palette | Self::Rename | Self::Join
        )
    }

    /// Tells whether the shortcut is a plain digit.
    pub(super) fn is_digit(self) -> bool {
        self.shortcut().is_some_and(|s| {
            s.modifiers.is_none()
                && matches!(s.logical_key, Key::Num1 | Key::Num2 | Key::Num3 | Key::Num4)
        })
    }

    /// Tells whether it can be asked for while the papers are shown; what is of the board is not meant
    /// then.
    pub(super) fn is_for_paper(self) -> bool {
        match self.menu().0 {
            Menu::File | Menu::Help => true,
            Menu::Edit => matches!(self, Self::Undo | Self::Redo | Self::SelectNone),
            Menu::Go => self != Self::AskTwo,
            Menu::View => matches!(self, Self::NextPhase | Self::Calculators),
            Menu::Look => self.menu().1 >= 3,
            Menu::Arrange | Menu::Talk => false,
        }
    }

    /// Tells whether it shows a view in the middle.
    pub(super) fn is_view(self) -> bool {
        matches!(
            self,
            Self::ViewBoard
                | Self::ViewMatrix
                | Self::ViewNeeds
                | Self::ViewGroups
                | Self::ViewSite
                | Self::ViewTables
                | Self::ViewPrecheck
        )
    }

    /// Returns the keys in words, as a menu shows them: "Ctrl+F".
    pub(super) fn keys(self) -> String {
        self.shortcut().map_or_else(String::new, |s| {
            s.format(&egui::ModifierNames::NAMES, false)
        })
    }

    /// Tells whether the shortcut means something else in a field of text.
    pub(super) fn is_of_text(self) -> bool {
        matches!(
            self,
            Self::SelectAll
                | Self::Undo
                | Self::Redo
                | Self::Cut
                | Self::Copy
                | Self::Paste
                | Self::Duplicate
        )
    }

    /// Lists the commands of a menu, in their order.
    pub(super) fn of_menu(menu: Menu) -> impl Iterator<Item = Self> {
        Self::ALL
            .iter()
            .copied()
            .filter(move |c| c.menu().0 == menu)
    }

    /// Lists all commands with those first whose shortcut needs more keys.
    pub(super) fn by_modifiers() -> Vec<Self> {
        let mut all = Self::ALL.to_vec();
        all.sort_by_key(|c| {
            std::cmp::Reverse(c.shortcut().map_or(0, |s| {
                u8::from(s.modifiers.shift)
                    + u8::from(s.modifiers.command)
                    + u8::from(s.modifiers.alt)
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
    fn the_groups_of_a_menu_stand_together() {
        for menu in Menu::ALL {
            let groups: Vec<u8> = Command::of_menu(menu).map(|c| c.menu().1).collect();
            assert!(!groups.is_empty(), "{menu:?} is empty");
            assert!(groups.is_sorted(), "{menu:?}: {groups:?}");
        }
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
