//! The pages of the help, as data: one for the board, one for each kind of thing, one for each view.

use crate::app::state::View;
use crate::app::theme::{Sign, kind_sign};
use crate::model::{Kind, ThingId};

/// A page of the help.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Topic {
    /// The board at a glance.
    Board,
    /// A kind of thing.
    Kind(Kind),
    /// A view in the middle.
    View(View),
    /// Keys.
    Keys,
    /// The papers.
    Paper,
}

const KINDS: [Kind; 17] = [
    Kind::Agency,
    Kind::Unit,
    Kind::Radio,
    Kind::Channel,
    Kind::System,
    Kind::Gateway,
    Kind::Port,
    Kind::TalkGroup,
    Kind::Telephone,
    Kind::Headset,
    Kind::Tie,
    Kind::Cable,
    Kind::Site,
    Kind::Need,
    Kind::Agreement,
    Kind::Stock,
    Kind::Phase,
];

impl Topic {
    /// Every page, in the order of the list.
    pub(crate) fn all() -> impl Iterator<Item = Self> {
        let views = [
            View::Matrix,
            View::Needs,
            View::Groups,
            View::Site,
            View::Tables,
            View::Precheck,
        ];
        [Self::Board, Self::Keys]
            .into_iter()
            .chain(KINDS.into_iter().map(Self::Kind))
            .chain(views.into_iter().map(Self::View))
            .chain([Self::Paper])
    }

    /// Returns the page about what is selected, or about the view where nothing is.
    pub(crate) fn about(selected: Option<ThingId>, view: View) -> Self {
        match (selected, view) {
            (Some(thing), _) => Self::Kind(thing.kind()),
            (None, View::Board) => Self::Board,
            (None, view) => Self::View(view),
        }
    }

    /// Returns its sign.
    pub(crate) fn sign(self) -> Sign {
        match self {
            Self::Board => Sign::Logo,
            Self::Kind(kind) => kind_sign(kind),
            Self::View(View::Needs) => Sign::Need,
            Self::View(View::Groups) => Sign::Gateway,
            Self::View(View::Site) => Sign::Site,
            Self::View(_) | Self::Keys | Self::Paper => Sign::Paper,
        }
    }

    /// Returns its title.
    pub(crate) fn title(self) -> &'static str {
        match self {
            Self::Board => "The board",
            Self::Keys => "Keys",
            Self::Paper => "Printing",
            Self::View(view) => match view {
                View::Board => "The board",
                View::Matrix => "View: matrix",
                View::Needs => "View: needs",
                View::Groups => "View: talk groups",
                View::Site => "View: site plan",
                View::Tables => "View: tables",
                View::Precheck => "View: pre-check",
            },
            Self::Kind(kind) => match kind {
                Kind::Agency => "Agency",
                Kind::Unit => "Unit",
                Kind::Radio => "Radio and donor",
                Kind::Channel => "Channel",
                Kind::System => "Radio system",
                Kind::Gateway => "Gateway",
                Kind::Port => "Port",
                Kind::TalkGroup => "Talk group",
                Kind::Telephone => "Telephone",
                Kind::Headset => "Headset",
                Kind::Tie => "Tie",
                Kind::Cable => "Cable",
                Kind::Site => "Site",
                Kind::Need => "Need",
                Kind::Agreement => "Agreement",
                Kind::Stock => "Stock",
                Kind::Phase => "Phase",
            },
        }
    }

    /// Returns its paragraphs.
    pub(crate) fn text(self) -> &'static [&'static str] {
        match self {
            Self::Board | Self::Keys | Self::View(View::Board) => &[],
            Self::Paper => &PAPER,
            Self::View(view) => of_view(view),
            Self::Kind(kind) => of_kind(kind),
        }
    }
}

const PAPER: [&str; 4] = [
    "File, Print… (Ctrl+P) shows the papers of the plan as they will be: the forms ICS 205, 205A, \
     217A and 214, a card for each gateway, the pre-check sheet, drawings up to the size of a wall, \
     and the briefing. Tick what you want, for all phases or for one.",
    "Turn the pages with PageUp and PageDown or the arrow keys. They are set again by themselves when \
     the plan changes. A letter that cannot be printed is named above the page.",
    "Save papers… writes all of them into a folder, or none. Nothing there is replaced before you say \
     so. Print the PDF files with whatever shows them; drawings come as SVG and PNG too.",
    "Names and logo are kept on this computer and not in the plan. The date is yours to write: Now \
     takes it from this computer's clock, in UTC. Read the papers before you hand them out.",
];

fn of_view(view: View) -> &'static [&'static str] {
    match view {
        View::Board => &[],
        View::Matrix => &[
            "One row for everybody who speaks, one column for everybody who listens. The sign in a \
             cell says how the one hears the other.",
            "Click a cell to read the path step by step, or why there is none and what would join \
             the two. Group by agency or role to see the plan of hundreds of units at a glance.",
        ],
        View::Needs => &[
            "Each need with its state in the phase shown: met, met in part, or not; by which route, \
             how late, and what it can fall back on when that route fails.",
            "Write the needs first. Without them nothing can tell whether a silence matters, nor whether \
             two who hear each other should.",
        ],
        View::Groups => &[
            "Each gateway with its talk groups as lanes. What stands in one lane hears each other; \
             what stands in the lane 'none' is silent both ways.",
            "Drag a port to another lane, or press the number of a talk group with it selected: that is \
             the switch on the box. Keep tactical and command traffic in lanes of their own.",
            "The plot under a lane is its load in erlang, the share of the time in which somebody speaks: \
             0.25 is 15 minutes of an hour. A joined talk group carries the sum of all its channels, \
             and one message at a time.",
        ],
        View::Site => &[
            "The antennas of a site from above. Rings are the distances people must keep while it \
             transmits; they are estimates, and local safety rules come first.",
            "Products of several transmitters that fall on a receiver of the site are listed beside \
             the plan. More distance between antennas helps most.",
            "Drag the ground or press an arrow key to look around.",
        ],
        View::Tables => &[
            "Everything as rows, for typing much at once. Copy from here into a spreadsheet and \
             paste back: columns are found by their headings.",
            "Nothing is taken from a paste before you have seen what it changes, and what of it \
             cannot be read.",
        ],
        View::Precheck => &[
            "Everything to be looked at before the phase begins, one gateway or agency at a time: the \
             facts of each radio as they should read on the set, and what is to be tried out at each \
             port: the donor with its own agency while the cable is out, then the rest. Write who signs, \
             then tick what you have seen on the set itself.",
            "Under \"Who should be heard\" tick each pair as it is heard, with its quality and its delay. \
             Such a tick counts only while the message takes the path it was heard by.",
            "A tick says who and when, is kept in the file, and clears the findings about what is \
             only assumed. What was tried out at a port is forgotten as soon as its radio, cable, \
             switch, settings or programming change: try it out again.",
        ],
    }
}

fn of_kind(kind: Kind) -> &'static [&'static str] {
    match kind {
        Kind::Agency => &[
            "An organisation that sends units. Its discipline and level say what it is; which \
             agencies may be joined is in the agreements.",
            "Dragging its frame moves everything in it.",
        ],
        Kind::Unit => &[
            "People who share one radio habit: the same radios, set the same way. Split a unit when \
             some of its people listen elsewhere.",
            "Messages an hour and seconds a message give the load of every net the unit speaks on. \
             Press and hold a unit to let it talk.",
        ],
        Kind::Radio => &[
            "A radio somebody holds, or one cabled to a port: then it is a donor, its own \
             loudspeaker and microphone are dead, and it belongs to the gateway for as long as the \
             cable is in.",
            "What counts is what is programmed in the set, not what the channel is called. Every \
             programmed fact is assumed until somebody has looked at the set; mark it verified \
             with name and date.",
            "A donor must have the band, the mode, the tone and the key of its channel, a cable \
             that fits, and somebody who may lend it.",
        ],
        Kind::Channel => &[
            "A channel as it reads on the radio. Two radios can show the same name and be on \
             different frequencies: each radio's own programming decides.",
            "Transmit only where you are licensed and coordinated. National channels carry the \
             edition they were taken from: verify them against the current guide.",
        ],
        Kind::System => &[
            "What carries channels: plain air (simplex), a repeater, a voter, a trunked system, a \
             satellite, the telephone network.",
            "Access is the time from pressing the key until speech gets through. A gateway port \
             needs a buffer at least as long, or the front of each message is lost.",
        ],
        Kind::Gateway => &[
            "The box that joins radios: ports for donors, a telephone, a headset, and talk groups \
             as audio buses inside.",
            "Try without it first: one shared channel in everybody's hand is simpler and safer than \
             a patch.",
            "A box is one point of failure. Look at its battery hours, at what the controls ask of \
             the lid, and at what each need can fall back on.",
        ],
        Kind::Port => &[
            "A socket of a gateway. It is switched into one talk group or into none; on none it is \
             silent both ways.",
            "What comes in at a port leaves by every other port of its talk group. The buffer holds \
             speech back until the donor's channel is open: too short clips the start, too long \
             only delays.",
        ],
        Kind::TalkGroup => &[
            "One audio bus inside one gateway. Everybody on it shares one message at a time, so its \
             load is the sum of all its channels.",
            "Give each a purpose. Tactical and command in one talk group disturb each other, and so do \
             tactical units of different trades; an encrypted channel joined to a clear one goes out \
             in clear.",
        ],
        Kind::Telephone => &[
            "A telephone at a port or in somebody's hand. Say who is at the far end and whether it \
             answers by itself: a patch that waits for somebody to pick up is silence. Its number stands \
             on the ICS 205A.",
        ],
        Kind::Headset => &[
            "A headset at a gateway, for whoever minds it. On a talk group it hears and speaks with \
             everybody there.",
        ],
        Kind::Tie => &[
            "A wire or IP trunk between two ports of two gateways. Two gateways that join the same \
             two channels make a loop: audio goes round and the channels never fall silent.",
        ],
        Kind::Cable => &[
            "A kind of cable: which accessory connector of a radio, which connector of a port, and \
             how many there are. Without the right cable a donor is only a radio.",
        ],
        Kind::Site => &[
            "Where a gateway and its antennas stand. Heights and spacing decide whether the radios \
             deafen each other, and how far people must stay away.",
        ],
        Kind::Need => &[
            "Who must reach whom, one way or both, how late at most, and whether it must stay \
             encrypted. Findings, the needs view and the fixes are all measured by needs.",
            "A need can also keep two sides apart: then neither may hear the other, and the way by \
             which they do is shown. Choose Kept apart as its way.",
        ],
        Kind::Agreement => &[
            "Which agencies may be joined, and who may use which channel. A patch without an \
             agreement is found, and so is a channel nobody allowed.",
        ],
        Kind::Stock => &[
            "What is at hand: gateways, donor radios, cables, batteries. The plan may not use more \
             than there is.",
        ],
        Kind::Phase => &[
            "An operational period, or a step of a lesson. Switches, what is plugged in and \
             selected channels may differ from phase to phase; everything else is the same.",
            "Add a phase like the one shown, change what changes, and compare the two. Its menu moves \
             it earlier or later, and so do Alt+PageUp and Alt+PageDown.",
        ],
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn every_page_has_a_title_of_its_own_and_something_to_say() {
        let mut titles = BTreeSet::new();
        for topic in Topic::all() {
            assert!(titles.insert(topic.title()), "{topic:?} stands twice");
            let is_drawn = matches!(topic, Topic::Board | Topic::Keys);
            assert_eq!(topic.text().is_empty(), is_drawn, "{topic:?}");
            for text in topic.text() {
                assert!(text.ends_with('.'), "{topic:?}: {text}");
            }
        }
    }

    #[test]
    fn help_opens_at_what_is_selected_and_else_at_the_view() {
        let unit = ThingId::Unit(crate::model::UnitId(3));
        assert_eq!(
            Topic::about(Some(unit), View::Site),
            Topic::Kind(Kind::Unit)
        );
        assert_eq!(Topic::about(None, View::Site), Topic::View(View::Site));
        assert_eq!(Topic::about(None, View::Board), Topic::Board);
    }
}
