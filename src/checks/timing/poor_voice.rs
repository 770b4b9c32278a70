//! A pair of a need is hard to understand by the E-model of telephone planning.
//!
//! ## What it flags
//! A need of which a heard pair rates below the least rating of practice, by delay and speech codecs.
//!
//! ## Why it matters
//! Names, numbers and addresses are what goes wrong first. Every repeat takes air time, and a wrong
//! dose or street that nobody noticed takes more.
//!
//! ## How it decides
//! The E-model's rating is 93.2 less an impairment for delay and one for each codec that has a known
//! figure. A digital radio's vocoder has none unless the practice gives one, so the rating is then the
//! best it can be. Where the delay alone would do it, and the need says nothing of delay or less than
//! this, the lateness is told elsewhere and not here. A need with very many different pairs is judged by
//! those that can be worst.
//!
//! ## Severity
//! Warns: speech arrives, and much of it has to be said twice. The model is of telephone calls and knows
//! nothing of radio noise, so it errs on the kind side.
//!
//! ## Example
//! A cellular telephone at one end and two vocoders on the way, each noted with 20: rating 48.
//!
//! ## Source
//! ITU-T G.107 (06/2015), clauses 7.4, 7.5 and 7.7 and Annex B; bands by ITU-T G.109; both partly from
//! memory. No published impairment of the P25 vocoder was found.

use super::need_pairs::{self, Alike};
use crate::checks::{Check, say};
use crate::engineering::timing::delay_class::NOTICEABLE_UP_TO_MS;
use crate::engineering::timing::rating::{self, Sensitivity};
use crate::hearing::Arrival;
use crate::model::{Evidence, Finding, Need, Party, Practice, Severity};
use crate::picture::timing::Timing;
use crate::picture::{Picture, resilience};

/// The check.
pub const CHECK: Check = Check {
    code: "T06",
    name: "poor-voice",
    severity: Severity::Warns,
    text: include_str!("poor_voice.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let scenario = picture.scenario();
    let alike = Alike::of(picture);
    for need in resilience::to_be_heard(scenario) {
        let mut pairs = need_pairs::heard(picture, need);
        pairs.retain(|(_, _, arrival)| may_be_poor(&scenario.practice, need, arrival));
        pairs.sort_by(|a, b| {
            let least = |arrival: &Arrival| least_rating(&scenario.practice, arrival);
            least(&a.2).total_cmp(&least(&b.2))
        });
        alike.distinct(&mut pairs);
        let poor = pairs.into_iter().filter_map(|(from, to, _)| {
            let timing = need_pairs::walk(picture, from, to)?;
            (timing.rating < scenario.practice.rating_least).then_some((from, to, timing))
        });
        let worst = poor.min_by(|a, b| a.2.rating.total_cmp(&b.2.rating));
        if let Some((from, to, timing)) = worst {
            out.push(tell(picture, need, (from, to), &timing));
        }
    }
}

/// Tells whether a pair can rate too low for a reason that its lateness does not tell already.
fn may_be_poor(practice: &Practice, need: &Need, arrival: &Arrival) -> bool {
    let most_ms = need.max_delay_ms.map_or(NOTICEABLE_UP_TO_MS, f64::from);
    let is_told = f64::from(arrival.delay_ms) > most_ms;
    let by_delay_alone = by_delay(arrival.delay_ms) < practice.rating_least;
    let is_doubled = is_told && by_delay_alone;
    !is_doubled && least_rating(practice, arrival) < practice.rating_least
}

/// Returns the rating that a delay alone leaves.
fn by_delay(delay_ms: u32) -> f64 {
    let delay_ms = f64::from(delay_ms).min(rating::DELAY.high);
    let lost = rating::delay_impairment(delay_ms, Sensitivity::Default).unwrap_or(0.0);
    rating::DEFAULT_RATING - lost
}

/// Returns a rating that a pair cannot fall below, whatever its codecs are.
fn least_rating(practice: &Practice, arrival: &Arrival) -> f64 {
    let each = practice.vocoder_ie.max(practice.telephone_ie);
    by_delay(arrival.delay_ms) - f64::from(arrival.codec_passes) * each
}

fn tell(picture: &Picture, need: &Need, pair: (Party, Party), timing: &Timing) -> Finding {
    let scenario = picture.scenario();
    let least = scenario.practice.rating_least;
    let at_best = if timing.unknown_vocoders > 0 {
        " at best"
    } else {
        ""
    };
    let headline = format!(
        "{}: {} heard by {} rates {}{at_best}, below {least}",
        need.name,
        scenario.name(pair.0.into()),
        scenario.name(pair.1.into()),
        say::tenths(timing.rating)
    );
    let mut finding = CHECK.finding(Severity::Warns, need.id, headline);
    finding.related = vec![pair.0.into(), pair.1.into()];
    let by_delay = rating::DEFAULT_RATING - by_delay(timing.delay_ms);
    finding.evidence = vec![
        Evidence::number("rating", say::tenths(timing.rating), ""),
        Evidence::number("least rating", least, ""),
        Evidence::number("mean opinion score", say::tenths(timing.mos), "of 5"),
        Evidence::text("quality", timing.quality.word()),
        Evidence::number("delay", timing.delay_ms.into(), "ms"),
        Evidence::number("rating lost by delay", say::tenths(by_delay), ""),
        Evidence::number("rating lost by codecs", say::tenths(timing.impairment), ""),
        Evidence::number(
            "vocoders without a figure",
            timing.unknown_vocoders as f64,
            "vocoders",
        ),
    ];
    finding.hints = vec![if timing.impairment >= by_delay {
        "Take a codec out of the way: an analogue leg, a landline, or a patch inside the system"
            .to_owned()
    } else {
        format!(
            "Take delay out of the way: within {NOTICEABLE_UP_TO_MS} ms it would rate {}",
            say::tenths(self::by_delay(NOTICEABLE_UP_TO_MS as u32) - timing.impairment)
        )
    }];
    finding.hints.push(
        "Until then say numbers digit by digit and have them read back; prove it with real voices"
            .to_owned(),
    );
    finding
}
