//! The palette: every command, every phase and every thing, by a few letters.

use super::FinderState;
use super::row::Row;
use crate::app::action::Action;
use crate::app::command::Command;
use crate::app::find::{Match, fold, fuzzy, spans};
use crate::app::hindrance::hindrance;
use crate::app::theme::{Sign, kind_sign};
use crate::app::view::ViewCtx;
use crate::model::{PhaseId, ThingId};

/// Most rows in the list.
const MOST: usize = 60;
/// What a match in the tip or the keys is worth, beside one in the name.
const ASIDE: i32 = 12;
/// What a command is worth more than a thing of the same fit: there are few commands.
const COMMAND: i32 = 6;

/// Something the palette offers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Offer {
    Command(Command),
    Phase(PhaseId),
    Thing(ThingId),
}

impl Offer {
    /// Returns what taking it asks for.
    pub(super) fn action(self) -> Action {
        match self {
            Self::Command(command) => Action::Command(command),
            Self::Phase(phase) => Action::Phase(phase),
            Self::Thing(thing) => Action::GoTo(thing),
        }
    }

    pub(super) fn thing(self) -> Option<ThingId> {
        match self {
            Self::Thing(thing) => Some(thing),
            Self::Command(_) | Self::Phase(_) => None,
        }
    }

    /// Tells whether it means the same in every scenario.
    pub(super) fn is_of_any_scenario(&self) -> bool {
        matches!(self, Self::Command(_))
    }
}

/// Lists what fits what was typed; with nothing typed, what was taken lately and all commands.
pub(super) fn rows(ctx: &ViewCtx<'_>, state: &mut FinderState) -> Vec<Row<Offer>> {
    let typed = fold(&state.wish);
    if typed.trim().is_empty() {
        return at_rest(ctx, state);
    }
    let mut fits: Vec<(i32, Offer, Vec<usize>)> = Vec::new();
    for command in Command::ALL {
        if let Some(found) = command_fit(&typed, *command) {
            fits.push((
                found.points + COMMAND,
                Offer::Command(*command),
                found.letters,
            ));
        }
    }
    let index = state.index(ctx.scenario);
    for (thing, name) in index.names() {
        if let Some(found) = fuzzy(&typed, name) {
            let offer = match thing {
                ThingId::Phase(phase) => Offer::Phase(phase),
                _ => Offer::Thing(thing),
            };
            fits.push((found.points, offer, found.letters));
        }
    }
    for (points, offer, _) in &mut fits {
        if state.recent.contains(offer) {
            *points += 3;
        }
    }
    fits.sort_by_key(|(points, _, _)| std::cmp::Reverse(*points));
    if fits.is_empty() {
        return vec![Row::Note(
            "No command, phase or thing fits these letters".to_owned(),
        )];
    }
    fits.truncate(MOST);
    fits.into_iter()
        .map(|(_, offer, letters)| row(ctx, offer, &letters))
        .collect()
}

fn at_rest(ctx: &ViewCtx<'_>, state: &FinderState) -> Vec<Row<Offer>> {
    let mut rows = Vec::new();
    let exists = |offer: &&Offer| match offer {
        Offer::Command(_) => true,
        Offer::Phase(id) => ctx.scenario.phases.contains(*id),
        Offer::Thing(id) => ctx.scenario.contains(*id),
    };
    let recent: Vec<&Offer> = state.recent.iter().filter(exists).collect();
    if !recent.is_empty() {
        rows.push(Row::Head("Lately".to_owned()));
        rows.extend(recent.iter().map(|offer| row(ctx, **offer, &[])));
    }
    rows.push(Row::Head("Phases".to_owned()));
    let phases = ctx.scenario.phases.ids().map(Offer::Phase);
    rows.extend(phases.map(|offer| row(ctx, offer, &[])));
    rows.push(Row::Head("Commands".to_owned()));
    let commands = Command::ALL.iter().map(|c| Offer::Command(*c));
    rows.extend(
        commands
            .filter(|offer| !recent.contains(&offer))
            .map(|offer| row(ctx, offer, &[])),
    );
    rows
}

/// Matches a command by its name, or else by what it does, its menu or its keys.
fn command_fit(typed: &str, command: Command) -> Option<Match> {
    if let Some(found) = fuzzy(typed, command.name()) {
        return Some(found);
    }
    let aside = format!(
        "{} {} {}",
        command.tip(),
        command.menu().0.name(),
        command.keys()
    );
    let words: Vec<String> = typed.split_whitespace().map(str::to_owned).collect();
    let all = words
        .iter()
        .all(|word| !spans(&aside, std::slice::from_ref(word)).is_empty());
    all.then_some(Match {
        points: ASIDE,
        letters: Vec::new(),
    })
}

fn row(ctx: &ViewCtx<'_>, offer: Offer, letters: &[usize]) -> Row<Offer> {
    let plain = |text: String| (text, Vec::new());
    let (label, sign, words, remark, can) = match offer {
        Offer::Command(command) => {
            let why_not = hindrance(ctx, command);
            let remark = match why_not {
                Some(why_not) => why_not.to_owned(),
                None if command.keys().is_empty() => command.tip().to_owned(),
                None => format!("{}   {}", command.tip(), command.keys()),
            };
            (
                format!("run {}", command.name()),
                Sign::ChevronRight,
                command.name().to_owned(),
                remark,
                why_not.is_none(),
            )
        }
        Offer::Phase(id) => {
            let name = ctx.scenario.name(id.into());
            let label = format!("show phase {name}");
            (label, Sign::Phase, name, "phase".to_owned(), true)
        }
        Offer::Thing(thing) => {
            let name = ctx.scenario.name(thing);
            let kind = thing.kind().to_string();
            let label = format!("go to {kind} {name}");
            (label, kind_sign(thing.kind()), name, kind, true)
        }
    };
    let marked = runs(&words, letters);
    Row::Offer {
        offer: can.then_some(offer),
        label,
        sign,
        words,
        marked,
        remark: plain(remark),
    }
}

/// Joins the places of matched letters into ranges of bytes.
fn runs(text: &str, letters: &[usize]) -> Vec<std::ops::Range<usize>> {
    let mut out: Vec<std::ops::Range<usize>> = Vec::new();
    for at in letters {
        let Some(letter) = text.get(*at..).and_then(|rest| rest.chars().next()) else {
            continue;
        };
        let end = at + letter.len_utf8();
        match out.last_mut() {
            Some(last) if last.end == *at => last.end = end,
            _ => out.push(*at..end),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_command_is_within_reach_of_the_keyboard() {
        // The palette itself opens by a shortcut; every other command is the best fit of its name.
        assert!(Command::Palette.shortcut().is_some());
        for wanted in Command::ALL {
            let typed = fold(wanted.name());
            let points = |c: &Command| command_fit(&typed, *c).map(|m| m.points);
            let own = points(wanted).unwrap_or(0);
            let better = Command::ALL
                .iter()
                .filter(|c| points(c) > Some(own))
                .count();
            assert!(own > 0 && better == 0, "{wanted:?} by its name");
        }
    }

    #[test]
    fn a_command_is_found_by_its_keys_and_by_what_it_does() {
        for (typed, wanted) in [
            ("ctrl+f", Command::Find),
            ("crossings", Command::Quit),
            ("left edges", Command::AlignLeft),
        ] {
            let found = command_fit(typed, wanted).is_some();
            assert_eq!(found, typed != "crossings", "{typed}");
        }
        assert_eq!(runs("Tidy the board", &[0, 1, 5]), [0..2, 5..6]);
    }
}
