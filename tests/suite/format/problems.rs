//! Everything wrong with a file is said at once, each with its line and column.

use crosspatch::format::Syntax;

use super::wrong;

fn shown(text: &str) -> Vec<String> {
    let syntax = if text.trim_start().starts_with('{') {
        Syntax::Json
    } else {
        Syntax::Ron
    };
    let line = |p: &crosspatch::format::Problem| match &p.hint {
        Some(hint) => format!("{p} ({hint})"),
        None => p.to_string(),
    };
    wrong(text, syntax).list.iter().map(line).collect()
}

#[track_caller]
fn check(text: &str, expected: &[&str]) {
    assert_eq!(shown(text), expected, "{text}");
}

#[test]
fn several_problems_are_reported_in_the_order_of_the_file() {
    check(
        r#"(
    format: 1,
    titel: "x",
    agencies: [(key: "fire", discipline: Fyre)],
    units: [
        (key: "engine-7", agency: "fier", heads: 0),
        (key: "engine-8", haeds: 3),
        (key: "engine-7"),
        (key: "medic", heads: -3),
        (name: "nobody"),
    ],
    channels: [(key: "tac", system: "direct", carrier: Frequencies(rx_mhz: 15428.0))],
    systems: [(key: "direct")],
)"#,
        &[
            "3:5: there is no field \"titel\" here (did you mean 'title'?)",
            "4:42: agencies[\"fire\"].discipline: found \"Fyre\", expected Fire, Law, Medical, PublicWorks, Military, Relief, Transport or Other (did you mean 'Fire'?)",
            "6:35: units[\"engine-7\"].agency: there is no agency \"fier\" (did you mean 'fire'?)",
            "6:50: units[\"engine-7\"].heads: found 0, expected 1 to 100000",
            "7:27: units[\"engine-8\"]: there is no field \"haeds\" here (did you mean 'heads'?)",
            "8:15: units: the key \"engine-7\" stands here twice",
            "9:31: units[\"medic\"].heads: found -3, expected a whole number from 0 to 4294967295",
            "10:9: units[2]: the field `key` is missing",
            "12:76: channels[\"tac\"].carrier.rx_mhz: found 15428, expected a frequency from 0.1 to 6000 MHz",
        ],
    );
}

#[test]
fn figures_of_practice_and_chances_are_looked_at_too() {
    check(
        r#"(
    format: 1,
    practice: {"load_straned_erl": 0.4},
    sites: [(key: "hill", temperature_c: 99.0, supply_v: (16.0, 9.0))],
    gateways: [(key: "box", cells: (count: 0))],
    availability: [(thing: Gateway("box"), works: 1.5), (thing: Radio("set"), works: 0.5)],
)"#,
        &[
            "3:15: practice: there is no figure of practice \"load_straned_erl\"; did you mean 'load_strained_erl'?",
            "4:42: sites[\"hill\"].temperature_c: found 99, expected -60 to 70",
            "4:58: sites[\"hill\"].supply_v: found 16, expected 0 to 9",
            "5:44: gateways[\"box\"].count: found 0, expected 1 to 1000",
            "6:65: availability[1].thing: there is no radio \"set\"",
        ],
    );
    check(
        "(format: 1, practice: {\"load_strained_erl\": 4.0})",
        &["1:23: practice: found 4 for load_strained_erl, expected 0.01 to 1"],
    );
    check(
        "(format: 1, gateways: [(key: \"box\")], availability: [(thing: Gateway(\"box\"), works: 1.5)])",
        &["1:85: availability[0]: box: availability is 1.5; it must be 0 to 1"],
    );
}

#[test]
fn a_reference_to_a_broken_thing_is_no_second_problem() {
    check(
        "(format: 1, agencies: [(key: \"a\", level: 3)], units: [(key: \"u\", agency: \"a\")])",
        &[
            "1:42: agencies[\"a\"].level: found 3, expected Local, County, State, Federal or Volunteer",
        ],
    );
}

#[test]
fn references_name_the_nearest_key() {
    check(
        r#"(format: 1,
    units: [(key: "engine-7")],
    telephones: [(key: "desk", held_by: "engine7")],
    needs: [(key: "n", from: [Unit("engine-7"), Unit("engine-17")], to: [Headset("desk")])],
    sites: [(key: "s", antennas: [(height_m: 3), (radio: "r", height_m: 3)])],
    agreements: [(key: "a", agencies: ["x"], channels: [])],
)"#,
        &[
            "3:41: telephones[\"desk\"].held_by: there is no unit \"engine7\" (did you mean 'engine-7'?)",
            "4:49: needs[\"n\"].from[1]: there is no unit \"engine-17\" (did you mean 'engine-7'?)",
            "4:74: needs[\"n\"].to[0]: there is no headset \"desk\"",
            "5:58: sites[\"s\"].antennas[1].radio: there is no radio \"r\"",
            "6:40: agreements[\"a\"].agencies[0]: there is no agency \"x\"",
        ],
    );
}

#[test]
fn entries_of_a_phase_are_judged_one_by_one() {
    check(
        r#"(format: 1,
    systems: [(key: "s")],
    channels: [(key: "c", system: "s", carrier: Frequencies(rx_mhz: 155.0))],
    radios: [(key: "r", programmed: ["c"]), (key: "q")],
    headsets: [(key: "h")],
    gateways: [(key: "box", ports: [(number: 1), (number: 2), (number: 3, kind: Headset)])],
    phases: [
        (
            key: "p",
            attachments: {
                "box/1": Radio(radio: "r"),
                "box/2": Radio(radio: "r"),
                "box/3": Radio(radio: "q"),
            },
            selected: {"q": "c"},
        ),
    ],
)"#,
        &[
            "12:17: phases[\"p\"].attachments[\"box/2\"]: r is plugged into box port 1 already",
            "13:17: phases[\"p\"].attachments[\"box/3\"]: box port 3 is a headset port and does not take a radio",
            "15:24: phases[\"p\"].selected[\"q\"]: q has no c programmed",
        ],
    );
    check(
        "(format: 1, gateways: [(key: \"box\", ports: [(number: 1)])],
 phases: [(key: \"p\", switches: {\"box/1\": 3, \"bax/1\": 1, \"box/2\": 1})])",
        &[
            "2:42: phases[\"p\"].switches[\"box/1\"]: \"box\" has no talk group 3 (it has talk group 1, 2)",
            "2:45: phases[\"p\"].switches[\"bax/1\"]: there is no gateway \"bax\" (did you mean 'box'?)",
            "2:57: phases[\"p\"].switches[\"box/2\"]: \"box\" has no port 2 (it has port 1)",
        ],
    );
}

#[test]
fn the_programming_of_a_radio_is_judged_at_its_entry() {
    check(
        r#"(format: 1, systems: [(key: "s")],
    channels: [
        (key: "a", system: "s", carrier: Frequencies(rx_mhz: 155.0)),
        (key: "b", system: "s", carrier: Group(number: 4)),
    ],
    radios: [
        (key: "r", programmed: ["a", (channel: "a", secure: true)], selected: "b", scans: ["b"], bands_mhz: [(174.0, 136.0)]),
    ],
)"#,
        &[
            "7:48: radios[\"r\"].programmed[1]: \"a\" is programmed twice",
            "7:79: radios[\"r\"].selected: \"b\" is not programmed in this radio",
            "7:91: radios[\"r\"].scans: \"b\" is not programmed in this radio",
            "7:109: radios[\"r\"].bands_mhz: found 174 to 136 MHz, expected low end first",
        ],
    );
    check(
        "(format: 1, systems: [(key: \"s\")], channels: [(key: \"b\", system: \"s\", carrier: Group(number: 4))])",
        &[
            "1:80: channels[\"b\"].carrier: b and its system s do not go together: simplex, repeater and \
             voter systems carry frequencies, trunked and satellite systems carry group numbers",
        ],
    );
}

#[test]
fn values_are_judged_where_they_stand() {
    check(
        r#"(format: 1, next_id: 0,
    systems: [(key: "s", coverage: 1.5, hang_ms: 70000)],
    channels: [
        (key: "a", system: "s", carrier: Frequencies(rx_mhz: 155.0, rx_code: Ctcss(20))),
        (key: "b", system: "s", carrier: Frequencies(rx_mhz: 155.0, rx_code: Dcs("888"))),
        (key: "c", system: "s", carrier: Frequencies(rx_mhz: 155.0), encryption: Always(algorithm: "ROT-13", number: 1)),
        (key: "d", system: "s", carrier: Frequencies(rx_mhz: 155.0), encryption: Always(algorithm: "$80", number: 1)),
        (key: "e", system: "s", carrier: Group(number: 0)),
        (key: "f", system: "s", carrier: Frequencies(155.0)),
        (key: "g", system: "s", carrier: Frequencys(rx_mhz: 155.0)),
    ],
    gateways: [(key: "box", ports: [(number: 1), (number: 1), (number: 0)], supply_v: (9.0,))],
    sites: [(key: "x", antennas: [(height_m: 5.0), (height_m: 5000.0)], at: (1, 2, 3))],
    phases: [(key: "p", switches: {"box-1": 1}, hours: "many")],
    accepted: [(code: "R01", things: [], facts: "12", reason: "", by: "")],
)"#,
        &[
            "1:22: next_id: found 0, expected 1 to 1000000000",
            "2:36: systems[\"s\"].coverage: found 1.5, expected 0 to 1",
            "2:50: systems[\"s\"].hang_ms: found 70000, expected 0 to 60000",
            "4:84: channels[\"a\"].carrier.rx_code: found 20, expected a tone from 60 to 260 Hz",
            "5:82: channels[\"b\"].carrier.rx_code: found \"888\", expected three octal digits such as \"023\"",
            "6:100: channels[\"c\"].encryption.algorithm: found \"ROT-13\", expected \"AES-256\", \"DES-OFB\" or a P25 algorithm number such as \"$84\"",
            "7:100: channels[\"d\"].encryption.algorithm: found \"$80\", which is the P25 number for clear; expected a cipher, or Clear in place of the key",
            "8:56: channels[\"e\"].carrier.number: found 0, expected 1 to 16777215",
            "9:42: channels[\"f\"].carrier: found Frequencies with other contents, expected Frequencies(rx_mhz: value, tx_mhz: value, rx_code: value, tx_code: value, mode: value, mixed: value, bandwidth_khz: value)",
            "10:42: channels[\"g\"].carrier: found \"Frequencys\", expected Frequencies or Group (did you mean 'Frequencies'?)",
            "12:87: gateways[\"box\"].supply_v: found one value, expected two values (low, high)",
            "13:84: sites[\"x\"].at: found more than the 2 values expected here",
            "14:36: phases[\"p\"].switches: found \"box-1\", expected a gateway's key, a slash and the number of a port such as \"box-a/3\"",
            "15:49: accepted[0].facts: found \"12\", expected sixteen hexadecimal digits",
        ],
    );
}

#[test]
fn ranges_inside_lists_are_judged_at_the_item() {
    check(
        r#"(format: 1,
    gateways: [(key: "box", ports: [(number: 1), (number: 2), (number: 1), (number: 0)])],
    sites: [(key: "x", antennas: [(height_m: 5.0), (height_m: 5000.0)])],
    units: [(key: "u", name: " ")],
    phases: [(key: "p", hours: -1.0)],
    needs: [(key: "n", from: [], to: [Unit("u")], max_delay_ms: 0)],
    accepted: [(code: "R01", things: [], facts: "0000000000000012", reason: "", by: "")],
)"#,
        &[
            "2:72: gateways[\"box\"].ports.number: found 1, expected a number no other port of the gateway has",
            "2:85: gateways[\"box\"].ports.number: found 0, expected 1 to 255",
            "3:63: sites[\"x\"].height_m: found 5000, expected 0 to 1000",
            "4:30: units[\"u\"].name: found empty, expected at least one letter",
            "5:32: phases[\"p\"].hours: found -1, expected 0 to 10000",
            "6:65: needs[\"n\"].max_delay_ms: found 0, expected 1 to 60000",
            "7:38: accepted[0].things: found an empty list, expected the things concerned",
        ],
    );
    check(
        r#"(format: 1,
    units: [(key: "u")],
    needs: [(key: "n", from: [], to: [Unit("u")])],
    accepted: [(code: "R01", things: [Unit("u")], facts: "0000000000000012", reason: "", by: "")],
)"#,
        &[
            "3:13: needs[\"n\"]: n must name somebody on both sides",
            "4:16: accepted[0]: accepting a finding takes a reason and a name",
        ],
    );
}

#[test]
fn a_port_is_a_box_and_a_number() {
    for key in [
        "box", "box/", "/1", "box/x", "box/1000", "box/-1", "box/01", "box/1.0",
    ] {
        let text = format!("(format: 1, phases: [(key: \"p\", switches: {{{key:?}: 1}})])");
        let problems = shown(&text);
        assert_eq!(problems.len(), 1, "{problems:?}");
        assert!(
            problems[0].starts_with("1:44: phases[\"p\"].switches: found "),
            "{problems:?}"
        );
    }
}

#[test]
fn syntax_errors_say_what_was_found_and_expected() {
    let open = "the '(' that started on line 1, column 1 is still open";
    let two = |text: &str, problem: &str| check(text, &[problem]);
    two("", "1:1: found the end of the file, expected a value");
    two(
        "(format: 1",
        &format!("1:11: found the end of the file, expected ',' or ')' ({open})"),
    );
    two(
        "(format: 1\n units: [])",
        &format!("2:2: found 'units', expected ',' or ')' ({open})"),
    );
    two(
        "(format: 1, units)",
        "1:18: found ')', expected ':' after the name of a field",
    );
    two(
        "(format 1)",
        "1:9: found '1', expected ',' or ')' (the '(' that started on line 1, column 1 is still open)",
    );
    two(
        "(format: 1, title: \"x)",
        "1:20: this text is not closed; expected \"",
    );
    two(
        "(format: 1, title: \"\\q\")",
        "1:21: found \\ before something that needs none, expected \\\\",
    );
    two(
        "(format: 1, title: 'x')",
        "1:20: found '\\'', expected text in double quotes",
    );
    two(
        "(format: 1) x",
        "1:13: found 'x', expected the end of the file",
    );
    two(
        "(format: 1, next_id: 99999999999999999999)",
        "1:22: the number 99999999999999999999 is larger than any this file holds",
    );
    two(
        "(format: 1, next_id: 1e999)",
        "1:22: the number 1e999 is larger than any this file holds",
    );
    two(
        "(format: 1, next_id: NaN)",
        "1:22: found NaN, expected a number that can be counted to",
    );
    two(
        "(format: 1, next_id: 1-2)",
        "1:22: found 1-2, expected a number",
    );
    two(
        "/* (format: 1)",
        "1:1: this comment is not closed; expected */",
    );
    two(
        "#![enable(unwrap_newtypes)] (format: 1)",
        "1:11: found the extension 'unwrap_newtypes', expected implicit_some",
    );
    two(
        "[1]",
        "1:1: found a list, expected a scenario, (format: 1, …)",
    );
    check(
        " {\"format\": 1, }",
        &[
            "1:16: found '}', expected the name of a field in double quotes (the '{' that started on line 1, column 2 is still open)",
        ],
    );
    check(
        "{\"format\": 1} // done",
        &[
            "1:15: found a comment, which JSON does not have (put it into the list `comments`, or use RON)",
        ],
    );
    check(
        "{\"format\": 1, \"units\": [{\"key\": \"a\",}]}",
        &[
            "1:37: found '}', expected the name of a field in double quotes (the '{' that started on line 1, column 25 is still open)",
        ],
    );
    let json_in_ron = wrong("{\"format\": 1}", Syntax::Ron);
    assert_eq!(
        json_in_ron.list[0].hint.as_deref(),
        Some("a file in JSON needs a name that ends in .json")
    );
}

#[test]
fn columns_count_characters_and_lines_count_feeds() {
    check(
        "\u{feff}(format: 1, title: \"消防署\", nots: \"\")",
        &["1:27: there is no field \"nots\" here (did you mean 'notes'?)"],
    );
    check(
        "(\r\n  format: 1,\r\n  nots: \"\",\r\n)",
        &["3:3: there is no field \"nots\" here (did you mean 'notes'?)"],
    );
}

#[test]
fn deep_nesting_is_refused_and_does_not_overflow() {
    for (open, syntax) in [
        ("[", Syntax::Json),
        ("(", Syntax::Ron),
        ("Some(", Syntax::Ron),
        ("(a:", Syntax::Ron),
    ] {
        let text = open.repeat(100_000);
        let problems = wrong(&text, syntax);
        assert!(problems.to_string().contains("levels deep"), "{problems}");
    }
    let comment = "/*".repeat(100_000);
    assert_eq!(wrong(&comment, Syntax::Ron).list.len(), 1);
}

#[test]
fn a_json_file_is_judged_alike() {
    check(
        r#"{
  "format": 1,
  "units": [
    {"key": "a", "heads": 1.5},
    {"key": "b", "role": {"Command": 1}},
    {"key": "c", "key": "c"}
  ],
  "phases": [{"key": "p", "switches": {"box/1": 1, "box/1": 2}}]
}"#,
        &[
            "4:27: units[\"a\"].heads: found 1.5, expected a whole number from 0 to 4294967295",
            "5:26: units[\"b\"].role: found Command with other contents, expected Command alone",
            "6:18: units[\"c\"]: the field `key` stands here twice",
            "8:52: phases[\"p\"].switches: \"box/1\" stands here twice",
        ],
    );
}
