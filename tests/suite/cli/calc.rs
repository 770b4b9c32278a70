//! `calc`: every kind against a published value, its keys, and what it says of numbers that cannot be.

use std::collections::BTreeSet;

use clap::CommandFactory as _;
use crosspatch::cli::{Args, Kind, Outcome};
use crosspatch::engineering::calculators::ALL;
use serde_json::{Value, json as value};

use super::{fails, fields, json, keys, ok, program};

/// Runs a calculator, given as a line, for programs.
fn answer(line: &str) -> Value {
    let args: Vec<&str> = line.split_whitespace().collect();
    let (outcome, answer) = json(&[&["calc"], args.as_slice()].concat());
    assert_eq!(outcome, Outcome::Clean, "{line}");
    answer
}

/// Runs a calculator, given as a line, for people.
fn text(line: &str) -> String {
    let args: Vec<&str> = line.split_whitespace().collect();
    ok(&[&["calc"], args.as_slice()].concat()).1
}

/// Compares the numbers of an answer, which has these keys and no others, with a source.
#[track_caller]
fn agrees(source: &str, line: &str, tolerance: f64, published: &[(&str, f64)]) {
    let answer = answer(line);
    let names: BTreeSet<&str> = fields(&answer).into_iter().collect();
    let wanted: BTreeSet<&str> = published.iter().map(|(key, _)| *key).collect();
    assert_eq!(names, wanted, "{line}");
    for (key, theirs) in published {
        let ours = answer[*key].as_f64().expect("a number");
        assert!(
            (ours - theirs).abs() <= tolerance,
            "{source}, {line}: {key} is {ours}, published {theirs}"
        );
    }
}

#[test]
fn traffic_is_as_published() {
    agrees(
        "a published calculator's manual: 15 channels at 1 % carry 8.108 erlangs",
        "erlang-b --load 8.108 --servers 15",
        5e-6,
        &[("blocking", 0.01)],
    );
    agrees(
        "a published calculator's example table",
        "erlang-b --load 8 --servers 10",
        5.1e-6,
        &[("blocking", 0.121_66)],
    );
    // The wait is computed from the same figures: C H / (N - A).
    agrees(
        "Erlang C, computed by hand: 8.667 erlangs on 12 channels, 5.2 s",
        "erlang-c --load 8.666666667 --servers 12 --hold 5.2",
        5.1e-4,
        &[
            ("wait_probability", 0.218),
            ("mean_wait_s", 0.218 * 5.2 / (12.0 - 26.0 / 3.0)),
        ],
    );
    agrees(
        "M/M/1, textbook: as often as the channel is busy",
        "erlang-c --load 0.6 --servers 1 --hold 5",
        1e-9,
        &[("wait_probability", 0.6), ("mean_wait_s", 7.5)],
    );
    agrees(
        "machine repair, textbook, by hand: two users, quiet as long as they talk",
        "finite-source --users 2 --think-s 5 --hold-s 5",
        1e-12,
        &[
            ("utilisation", 0.8),
            ("wait_probability", 0.5),
            ("mean_wait_s", 2.5),
        ],
    );
}

#[test]
fn a_queue_without_end_is_said_and_not_counted() {
    for load in ["3", "4.5"] {
        let line = format!("erlang-c --load {load} --servers 3 --hold 5");
        assert_eq!(
            answer(&line),
            value!({"wait_probability": 1.0, "mean_wait_s": null})
        );
        let said = text(&line);
        assert!(said.contains("grows without end"), "{said}");
        assert!(said.contains("100.00 %"), "{said}");
    }
}

#[test]
fn radio_is_as_published() {
    agrees(
        "Recommendation ITU-R P.525-5, exact form",
        "free-space-loss --mhz 155.7525 --km 10",
        0.005,
        &[("loss_db", 96.30)],
    );
    agrees(
        "antenna isolation, published formulas: isotropic, 3 m beside each other",
        "isolation --mhz 155.7525 --horizontal-m 3 --vertical-m 0",
        0.0055,
        &[("isolation_db", 25.85)],
    );
    agrees(
        "antenna isolation, published formulas: two dipoles",
        "isolation --mhz 155.7525 --horizontal-m 3 --vertical-m 0 --gain-dbi 2.15 2.15",
        0.0055,
        &[("isolation_db", 21.55)],
    );
    agrees(
        "antenna isolation, published formulas: one above the other",
        "isolation --mhz 155.7525 --horizontal-m 0 --vertical-m 3 --gain-dbi 0 0",
        0.0055,
        &[("isolation_db", 35.71)],
    );
    let exposure = "exposure --watts 50 --gain-dbi 2.15 --mhz 155.7525";
    for (line, occupational, public) in [
        (exposure.to_owned(), 1.293, 2.891),
        (
            format!("{exposure} --duty 1 --reflection typical"),
            1.293,
            2.891,
        ),
        (format!("{exposure} --reflection free"), 0.808, 1.807),
    ] {
        agrees(
            "FCC OET Bulletin 65 and 47 CFR 1.1310, worked distances",
            &line,
            0.000_55,
            &[("occupational_m", occupational), ("public_m", public)],
        );
    }
    // Full reflection doubles the field and so the distance.
    agrees(
        "FCC OET Bulletin 65: twice the distance of free space",
        &format!("{exposure} --reflection full"),
        0.001_1,
        &[("occupational_m", 2.0 * 0.808), ("public_m", 2.0 * 1.807)],
    );
}

#[test]
fn products_of_national_channels_fall_where_published() {
    // Recommendation ITU-R SM.1134-1, 2 A - B and textbook 3 A - 2 B, worked on UHF channels.
    let line = "intermod --tx 453.2125 453.4625 --rx 453.7125 452.9625 453.9625 452.7125 \
                460.0 --bandwidth-khz 12.5";
    let hit = |order: u8, terms: [(i8, f64); 2], mhz: f64| {
        let signals = terms.map(|(n, mhz)| value!({"coefficient": n, "mhz": mhz}));
        value!({
            "order": order,
            "signals": signals,
            "product_mhz": mhz,
            "rx_mhz": mhz,
            "offset_khz": 0.0,
        })
    };
    let (a, b) = (453.2125, 453.4625);
    assert_eq!(
        answer(line),
        value!({"hits": [
            hit(3, [(2, b), (-1, a)], 453.7125),
            hit(3, [(2, a), (-1, b)], 452.9625),
            hit(5, [(3, b), (-2, a)], 453.9625),
            hit(5, [(3, a), (-2, b)], 452.7125),
        ]})
    );
    let said = text(line);
    assert!(
        said.contains("order 3: 2 x 453.4625 - 453.2125 = 453.7125 MHz, on 453.7125 MHz exactly"),
        "{said}"
    );
    // A receiver beside the product: offsets have a sign.
    let beside = answer("intermod --tx 453.2125 453.4625 --rx 453.715 --bandwidth-khz 12.5");
    assert_eq!(beside["hits"][0]["offset_khz"], -2.5);
    let quiet = answer("intermod --tx 453.2125 453.4625 --rx 460");
    assert_eq!(quiet, value!({"hits": []}));
}

#[test]
fn timing_is_as_published() {
    agrees(
        "ITU-T G.107 (06/2015), computed by hand from its equations: 400 ms",
        "rating --delay-ms 400 --ie 0 --loss-percent 0 --bpl 4.3",
        0.005_1,
        &[("r", 69.13), ("mos", 3.556)],
    );
    agrees(
        "ITU-T G.107 (06/2015), computed by hand: 250 ms, G.729A, 1 % lost",
        "rating --delay-ms 250 --ie 11 --loss-percent 1 --bpl 19",
        0.005_1,
        &[("r", 69.08), ("mos", 3.554)],
    );
    agrees(
        "geometry on WGS 84, computed by hand: geostationary, overhead",
        "satellite --altitude-km 35786 --elevation-deg 90",
        0.005_1,
        &[("slant_km", 35_786.0), ("hop_ms", 238.74)],
    );
    agrees(
        "geometry on WGS 84, computed by hand: 780 km, 8.2 degrees",
        "satellite --altitude-km 780 --elevation-deg 8.2",
        0.051,
        &[("slant_km", 2464.6), ("hop_ms", 16.44)],
    );
}

#[test]
fn run_times_are_as_in_practice() {
    let set = "runtime --chemistry alkaline --cells 8 --drain-ma 85";
    agrees(
        "common practice, no source: a gateway at 85 mA runs about 30 h",
        &format!("{set} --celsius 20"),
        0.5,
        &[("hours", 30.0)],
    );
    let hours = |line: &str| answer(line)["hours"].as_f64().expect("a number");
    let usual = hours(set);
    // Frost takes more than half of alkaline cells, from memory; a high cut-off takes some.
    assert!(hours(&format!("{set} --celsius -10")) < usual / 2.0);
    assert!(hours(&format!("{set} --end-v 9.6")) < usual);
    assert!(hours(&format!("{set} --capacity-mah 1000")) < usual);
    agrees(
        "label of a lead-acid battery: 7 Ah over 20 h",
        "runtime --chemistry lead-acid --cells 6 --drain-ma 350 --capacity-mah 7000",
        1e-9,
        &[("hours", 20.0)],
    );
}

#[test]
fn a_number_that_cannot_be_is_refused_on_one_line() {
    let loss = "free-space-loss --km 10 --mhz";
    let mut tried = 0;
    for (line, said) in [
        (
            format!("{loss} -1"),
            "--mhz is -1; it must be 0.1 to 100000 MHz",
        ),
        (
            format!("{loss} NaN"),
            "--mhz is NaN; it must be 0.1 to 100000 MHz",
        ),
        (
            format!("{loss} inf"),
            "--mhz is inf; it must be 0.1 to 100000 MHz",
        ),
        (
            format!("{loss} -inf"),
            "--mhz is -inf; it must be 0.1 to 100000 MHz",
        ),
        (
            format!("{loss} 155,7"),
            "--mhz is '155,7'; it must be 0.1 to 100000 MHz",
        ),
        (
            format!("{loss} -x"),
            "--mhz is '-x'; it must be 0.1 to 100000 MHz",
        ),
        (
            "erlang-b --load 1 --servers 2.5".to_owned(),
            "--servers is 2.5; it must be a whole number, 0 to 100000",
        ),
        (
            "runtime --chemistry zinc --cells 8 --drain-ma 85".to_owned(),
            "--chemistry is 'zinc'; it must be one of alkaline, nimh, lithium-ion, \
             lithium-iron-phosphate, lead-acid, lithium-primary",
        ),
        (
            "runtime --chemistry alkaline --cells 8 --drain-ma 85 --celsius -21".to_owned(),
            "--celsius is -21; it must be -20 to 54 °C",
        ),
        (
            "runtime --chemistry lithium-ion --cells 3 --drain-ma 85".to_owned(),
            "--capacity-mah is missing; no capacity is usual for lithium-ion cells, so it must be \
             1 to 1000000 mAh",
        ),
        (
            "isolation --mhz 155 --horizontal-m 0 --vertical-m 0".to_owned(),
            "--horizontal-m is 0; with --vertical-m it must make 0.01 to 100000 m",
        ),
        (
            "isolation --mhz 155 --horizontal-m 3 --vertical-m 0 --gain-dbi 3".to_owned(),
            "--gain-dbi is 1 number; it must be 2 numbers, each -40 to 60 dBi",
        ),
        (
            "intermod --tx 453.2 -5 --rx 453.7".to_owned(),
            "--tx is -5; it must be 2 to 200 numbers, each 0.1 to 100000 MHz",
        ),
        (
            "free-space-loss --mhz 0.1 --km 0.2".to_owned(),
            "--km is 0.2; it must be 0.238567",
        ),
    ] {
        for json in [false, true] {
            let mut args: Vec<&str> = vec!["calc"];
            args.extend(line.split_whitespace());
            args.extend(json.then_some("--json"));
            let printed = fails(&args, Kind::Usage);
            assert!(printed.starts_with(&format!("error: {said}")), "{printed}");
            assert_eq!(printed.lines().count(), 1, "{printed}");
            tried += 1;
        }
    }
    assert_eq!(tried, 28);
}

#[test]
fn negative_values_are_taken_where_they_may_be() {
    let set = "runtime --chemistry alkaline --cells 8 --drain-ma 85";
    let cold = answer(&format!("{set} --celsius -10"));
    assert_eq!(cold, answer(&format!("{set} --celsius=-10")));
    let two = "isolation --mhz 155 --horizontal-m 3 --vertical-m 0";
    let decibels = |line: &str| answer(line)["isolation_db"].as_f64().expect("a number");
    let less = decibels(&format!("{two} --gain-dbi -3 0"));
    assert!((less - decibels(two) - 3.0).abs() < 1e-9, "{less}");
    let order = "isolation --gain-dbi -3 0 --mhz 155 --horizontal-m 3 --vertical-m 0";
    assert!((less - decibels(order)).abs() < 1e-12);
}

#[test]
fn the_program_exits_with_0_or_2_and_prints_nothing_beside_a_refusal() {
    for (args, code) in [
        (vec!["calc"], 0),
        (vec!["calc", "--json"], 0),
        (vec!["calc", "satellite", "--help"], 0),
        (vec!["calc", "erlang-b", "--load", "1", "--servers", "2"], 0),
        (
            vec![
                "calc",
                "erlang-b",
                "--load",
                "-1",
                "--servers",
                "2",
                "--json",
            ],
            2,
        ),
        (vec!["calc", "erlang-b", "--load", "1"], 2),
        (vec!["calc", "erlang-b", "--load", "--servers", "2"], 2),
        (
            vec!["calc", "erlang-b", "--load", "1", "--servers", "2", "3"],
            2,
        ),
        (vec!["calc", "erlang-d"], 2),
        (vec!["clac"], 2),
    ] {
        let output = program(&args);
        assert_eq!(output.status.code(), Some(code), "{args:?}");
        assert_eq!(output.stdout.is_empty(), code == 2, "{args:?}");
        assert_eq!(output.stderr.is_empty(), code == 0, "{args:?}");
    }
    let said = String::from_utf8(program(&["clac"]).stderr).unwrap();
    assert!(said.contains("did you mean `crosspatch calc`?"), "{said}");
    let missing = program(&["calc", "erlang-b", "--load", "--servers", "2"]);
    let said = String::from_utf8(missing.stderr).unwrap();
    assert!(said.contains("--load <A>"), "{said}");
}

#[test]
fn an_unknown_kind_is_answered_with_the_nearest() {
    for (word, kind) in [
        ("erlangb", "erlang-b"),
        ("isolaton", "isolation"),
        ("loss", "free-space-loss"),
    ] {
        let said = fails(&["calc", word, "--load", "1"], Kind::Usage);
        assert!(said.contains(&format!("there is no calculator '{word}'")));
        assert!(said.contains(&format!("did you mean '{kind}'?")), "{said}");
    }
}

#[test]
fn all_kinds_are_listed_with_their_examples_and_help() {
    let (_, list) = ok(&["calc"]);
    let (_, listed) = json(&["calc"]);
    assert_eq!(listed["calculators"].as_array().unwrap().len(), ALL.len());
    let mut command = Args::command();
    let verb = command.find_subcommand_mut("calc").expect("it is a verb");
    for calculator in &ALL {
        let example = calculator.example();
        assert!(list.contains(calculator.kind) && list.contains(&example));
        let kind = verb.find_subcommand_mut(calculator.kind).expect("a kind");
        let help = kind.render_long_help().to_string();
        assert!(help.contains(&format!("Example:\n  {example}")), "{help}");
        assert!(help.contains(calculator.source), "{help}");
        // The example runs as printed, and its keys are in the help.
        let words: Vec<&str> = example.split_whitespace().skip(1).collect();
        let (_, answer) = json(&words);
        let mut found = BTreeSet::new();
        keys(&answer, &mut found);
        let documented: BTreeSet<String> = help
            .split('"')
            .skip(1)
            .step_by(2)
            .map(str::to_owned)
            .collect();
        assert_eq!(found, documented, "{}", calculator.kind);
        let said = ok(&words).1;
        for line in ["given", "source", "caution"] {
            assert!(said.contains(line), "{said}");
        }
        for output in calculator.outputs {
            assert!(said.contains(output.label), "{said}");
        }
    }
}

#[test]
fn the_text_has_the_number_with_its_unit_and_what_was_assumed() {
    let said = text("exposure --watts 50 --gain-dbi 2.15 --mhz 155.7525");
    assert!(
        said.contains("1.293 m") && said.contains("2.891 m"),
        "{said}"
    );
    assert!(said.contains("47 CFR 1.1310"), "{said}");
    let assumed = "transmit duty 1, ground reflection typical";
    let flat: Vec<&str> = said.split_whitespace().collect();
    assert!(flat.join(" ").contains(assumed), "{said}");
    let near = text("isolation --mhz 155.7525 --horizontal-m 1.9 --vertical-m 0");
    assert!(near.contains("less than a wavelength apart"), "{near}");
    let poor = text("rating --delay-ms 1000");
    assert!(poor.contains("Band of quality: not recommended."), "{poor}");
}
