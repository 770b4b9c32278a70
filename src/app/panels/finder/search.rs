//! The search through everything a plan says, by kind, with what matched.

use std::ops::Range;

use super::FinderState;
use super::palette::Offer;
use super::row::Row;
use crate::app::find::{Field, Found};
use crate::app::theme::kind_sign;
use crate::app::view::ViewCtx;
use crate::app::words::sentence;
use crate::model::Kind;

/// Most rows of one kind; whoever finds more types on.
const MOST: usize = 40;

/// Lists what was found.
pub(super) fn rows(ctx: &ViewCtx<'_>, state: &mut FinderState) -> Vec<Row<Offer>> {
    if state.query.trim().is_empty() {
        return vec![Row::Note(
            "Type what you look for: every word must stand in the same place".to_owned(),
        )];
    }
    let found = state.found(ctx.scenario);
    if found.is_empty() {
        return vec![Row::Note("Nothing in the plan says that".to_owned())];
    }
    let mut rows = Vec::new();
    for group in found.chunk_by(|a, b| a.thing.kind() == b.thing.kind()) {
        let Some(first) = group.first() else { continue };
        rows.push(Row::Head(head(first.thing.kind(), group.len())));
        rows.extend(group.iter().take(MOST).map(|f| row(ctx, f, &state.query)));
        if group.len() > MOST {
            rows.push(Row::Note(format!(
                "{} more; type on to find fewer",
                group.len() - MOST
            )));
        }
    }
    rows
}

fn head(kind: Kind, count: usize) -> String {
    let word = sentence(&kind.to_string());
    format!("{word}, {count} found")
}

fn row(ctx: &ViewCtx<'_>, found: &Found, query: &str) -> Row<Offer> {
    let name = ctx.scenario.name(found.thing);
    let kind = found.thing.kind();
    let marked = found.marked(query);
    let (marked, remark) = if found.field == Field::Name {
        (marked, (String::new(), Vec::new()))
    } else {
        let lead = format!("{}  ", found.field.word());
        let (text, marked) = around(&found.text, marked);
        let moved = marked
            .into_iter()
            .map(|r| r.start + lead.len()..r.end + lead.len())
            .collect();
        (Vec::new(), (format!("{lead}{text}"), moved))
    };
    Row::Offer {
        offer: Some(Offer::Thing(found.thing)),
        label: format!("found {kind} {name}"),
        sign: kind_sign(kind),
        words: name,
        marked,
        remark,
    }
}

/// Cuts a long text to what stands around its first mark.
fn around(text: &str, marked: Vec<Range<usize>>) -> (String, Vec<Range<usize>>) {
    /// Bytes shown before the first mark.
    const BEFORE: usize = 24;
    let first = marked.first().map_or(0, |r| r.start);
    let line = text
        .get(..first)
        .and_then(|t| t.rfind('\n'))
        .map_or(0, |at| at + 1);
    let near = first.saturating_sub(BEFORE);
    let word = text
        .char_indices()
        .map(|(at, c)| (at + c.len_utf8(), c))
        .find(|(at, c)| *at > near && c.is_whitespace())
        .map_or(near, |(at, _)| at);
    let from = if near == 0 {
        line
    } else {
        line.max(word.min(first))
    };
    let end = text
        .get(first..)
        .and_then(|t| t.find('\n'))
        .map_or(text.len(), |at| first + at);
    let lead = if from > line { "…" } else { "" };
    let shown = format!("{lead}{}", text.get(from..end).unwrap_or_default());
    let moved = marked
        .into_iter()
        .filter(|r| r.start >= from && r.end <= end)
        .map(|r| r.start - from + lead.len()..r.end - from + lead.len())
        .collect();
    (shown, moved)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_note_is_shown_around_what_matched() {
        let text = "The first line.\nKeep the relay on the roof of the water tower dry, always.";
        let at = text.find("tower").unwrap();
        let (shown, marked) = around(text, std::iter::once(at..at + 5).collect());
        assert!(
            shown.starts_with('…') && shown.ends_with("always."),
            "{shown}"
        );
        let first = marked.first().unwrap().clone();
        assert_eq!(&shown[first], "tower");
        let first = 0..2;
        let (shown, marked) = around("short", Vec::from([first.clone()]));
        assert_eq!((shown.as_str(), marked.first()), ("short", Some(&first)));
    }
}
