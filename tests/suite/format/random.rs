//! Random scenarios survive; random damage never panics.

use crosspatch::format::{self, Syntax};
use crosspatch::model::{Edit, Place, Scenario, ThingId};
use crosspatch::samples::{SHIPPED, Size, generate};
use proptest::prelude::{Strategy, any, prop_assert_eq, prop_oneof, proptest};

use super::round_trip::EVERYTHING;
use crate::draws::cases;

/// A generated scenario with strange words and numbers in it.
fn scenarios() -> impl Strategy<Value = Scenario> {
    let words = prop_oneof!["[a-z ]{0,12}", "\\PC{0,12}", any::<String>()];
    let parts = (
        2_u32..40,
        any::<u64>(),
        words,
        any::<(i32, i32)>(),
        any::<(f64, u32)>(),
    );
    parts.prop_map(|(units, seed, words, (x, y), (number, count))| {
        let scenario = generate(Size::for_units(units), seed);
        let mut edits: Vec<Edit> = Vec::new();
        for (i, unit) in scenario.units.iter().enumerate().take(5) {
            let mut unit = unit.clone();
            unit.notes.clone_from(&words);
            if i == 0 && !words.trim().is_empty() {
                unit.name.clone_from(&words);
            }
            unit.messages_per_hour = number.abs() % 3600.0;
            if !unit.messages_per_hour.is_finite() {
                unit.messages_per_hour = 0.1 + 0.2;
            }
            unit.heads = count % 100_000 + 1;
            edits.push(Edit::Replace(unit.into()));
            let thing = ThingId::from(scenario.units.ids().nth(i).expect("it is there"));
            edits.push(Edit::Place {
                thing,
                place: Some(Place { x, y }),
            });
        }
        let mut header = scenario.header.clone();
        header.comments = vec![words.clone(), String::new(), words];
        edits.push(Edit::SetHeader(header));
        scenario.apply(&edits).expect("the edits keep the rules")
    })
}

proptest! {
    #![proptest_config(cases(60))]

    #[test]
    fn what_is_written_is_read_and_written_again(scenario in scenarios()) {
        let ron = format::write(&scenario, Syntax::Ron);
        let read = format::read(&ron, Syntax::Ron);
        let read = read.unwrap_or_else(|problems| panic!("{problems}\n{ron}"));
        prop_assert_eq!(&format::write(&read, Syntax::Ron), &ron);
        let json = format::write(&read, Syntax::Json);
        let back = format::read(&json, Syntax::Json);
        let back = back.unwrap_or_else(|problems| panic!("{problems}\n{json}"));
        prop_assert_eq!(&format::write(&back, Syntax::Ron), &ron);
    }
}

proptest! {
    #![proptest_config(cases(400))]

    #[test]
    fn damage_is_refused_or_read_but_never_panics(
        is_json in any::<bool>(),
        hits in proptest::collection::vec((any::<proptest::sample::Index>(), any::<u8>(), 0_u8..4), 1..6),
    ) {
        let scenario = format::read(EVERYTHING, Syntax::Ron).expect("it is valid");
        let syntax = if is_json { Syntax::Json } else { Syntax::Ron };
        let mut bytes = format::write(&scenario, syntax).into_bytes();
        for (index, byte, how) in hits {
            if bytes.is_empty() {
                break;
            }
            let at = index.index(bytes.len());
            match how {
                0 => bytes[at] = byte,
                1 => bytes.insert(at, byte),
                2 => drop(bytes.remove(at)),
                _ => bytes.truncate(at),
            }
        }
        let text = String::from_utf8_lossy(&bytes);
        if let Err(problems) = format::read(&text, syntax) {
            assert!(!problems.list.is_empty());
            for problem in problems.list {
                let lines = text.split('\n').count();
                assert!((1..=lines).contains(&problem.line), "{problem}");
                assert!(problem.column >= 1 && !problem.message.is_empty(), "{problem}");
            }
        }
    }

    #[test]
    fn noise_is_refused_and_never_panics(noise in any::<String>(), is_json in any::<bool>()) {
        let syntax = if is_json { Syntax::Json } else { Syntax::Ron };
        assert!(format::read(&noise, syntax).is_err());
    }
}

#[test]
fn a_file_cut_anywhere_is_refused() {
    for (text, step) in [(EVERYTHING, 11), (SHIPPED[0].text, 1501)] {
        for at in (0..text.len() - 2)
            .filter(|at| text.is_char_boundary(*at))
            .step_by(step)
        {
            let problems = format::read(&text[..at], Syntax::Ron);
            assert!(problems.is_err(), "cut at {at}");
        }
    }
}
