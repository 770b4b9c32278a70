//! Joining makes the people of a channel wait several times as long as before.
//!
//! ## What it flags
//! A talk group with a load between the comfortable and the strained ceiling, of which at least one
//! channel's mean wait is three times what it was before it was joined, or more.
//!
//! ## Why it matters
//! The people of the quiet channel did not become busier; others came in. They are used to a free
//! channel, press at once, and cover somebody.
//!
//! ## How it decides
//! The mean wait of each channel of the group, Erlang C on one channel, is compared before and after
//! joining. Above the strained ceiling the load itself is told, and below the comfortable one nobody
//! notices.
//!
//! ## Severity
//! Notes: the net still carries it; people must be told that it is no longer theirs alone.
//!
//! ## Example
//! A rescue channel with 0.05 erlang is joined to an attack channel with 0.35: the mean wait goes from
//! 0.3 to 3.5 s.
//!
//! ## Source
//! Erlang C: textbook. That a factor of three is worth telling: common practice, no source.

use super::nets::{self, settled};
use crate::checks::{Check, say};
use crate::model::{Evidence, Finding, Severity, ThingId};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "G09",
    name: "merge-multiplies-waiting",
    severity: Severity::Notes,
    text: include_str!("merge_multiplies_waiting.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let scenario = picture.scenario();
    let practice = &scenario.practice;
    let told =
        practice.load_comfortable_erl..practice.load_strained_erl.min(practice.load_most_erl);
    for joined in nets::groups(picture) {
        if !told.contains(&joined.net.all_erl) {
            continue;
        }
        let multiplied = joined.multiplied(&picture.scenario().practice);
        let Some((worst, net, factor)) = multiplied.first() else {
            continue;
        };
        let (Some((_, before_s)), Some((chance, now_s))) = (settled(net.before), settled(net.now))
        else {
            continue;
        };
        let name = scenario.name(joined.thing);
        let others = match multiplied.len() {
            1 => String::new(),
            n => format!(", the most of {n} channels"),
        };
        let headline = format!(
            "On {name} people of {} wait {} times as long as before joining, {} s instead of {} s \
             on average{others}",
            scenario.name((*worst).into()),
            say::tenths(*factor),
            say::tenths(now_s),
            say::tenths(before_s)
        );
        let mut finding = CHECK.finding(Severity::Notes, joined.thing, headline);
        finding.related = joined.same.iter().map(|group| (*group).into()).collect();
        finding.related.extend(
            multiplied
                .iter()
                .map(|(channel, _, _)| ThingId::from(*channel)),
        );
        finding.evidence = vec![
            Evidence::number(
                "load of the channel before joining",
                say::hundredths(net.own_erl),
                "erlang",
            ),
            Evidence::number("load now", say::hundredths(net.all_erl), "erlang"),
            Evidence::number("mean wait before joining", say::tenths(before_s), "s"),
            Evidence::number("mean wait now", say::tenths(now_s), "s"),
            Evidence::number("chance to wait now", say::percent(chance), "%"),
        ];
        finding.hints = vec![
            format!(
                "Tell the people of {} that others are on it: listen before pressing",
                scenario.name((*worst).into())
            ),
            "Take the join down as soon as nobody needs it".to_owned(),
        ];
        out.push(finding);
    }
}
