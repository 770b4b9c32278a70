//! Ready-made things and the sentence that asks for them.

use std::collections::BTreeSet;
use std::sync::LazyLock;

use crosspatch::engineering::rf::national;
use crosspatch::format::excerpt::Excerpt;
use crosspatch::format::{Syntax, read, write};
use crosspatch::library::typed::{Offer, Typed, typed};
use crosspatch::library::{self, SHIPPED, Section, Source, items, put, shipped};
use crosspatch::model::graft::everything;
use crosspatch::model::{
    AccessCode, Carrier, Mode, PhaseId, PortKind, Role, Scenario, SystemKind, ThingId,
};
use crosspatch::samples;
use proptest::prelude::{prop_assert, proptest};

use crate::draws::cases;

static INCIDENT: LazyLock<Scenario> = LazyLock::new(|| {
    let sample = samples::SHIPPED.first().expect("an incident is shipped");
    read(sample.text, Syntax::Ron).expect("shipped")
});

fn phase(s: &Scenario) -> PhaseId {
    s.phases.first().expect("a scenario has a phase").id
}

fn say(s: &Scenario, text: &str) -> Typed {
    typed(s, phase(s), None, text)
}

fn offer(s: &Scenario, text: &str) -> Offer {
    match say(s, text).answer {
        Ok(offer) => offer,
        Err(why) => panic!("{text}: {why}"),
    }
}

fn after(s: &Scenario, text: &str) -> Scenario {
    let offer = offer(s, text);
    s.apply(&offer.edits).expect("an offer passes the gate")
}

#[test]
fn the_shipped_library_is_canonical_and_says_where_figures_come_from() {
    let scenario = read(SHIPPED, Syntax::Ron).unwrap_or_else(|p| panic!("{p}"));
    assert_eq!(write(&scenario, Syntax::Ron), SHIPPED);
    assert!(scenario.agencies.len() >= 8 && scenario.gateways.len() >= 3);
    let has_origin = |notes: &str| {
        [
            "common practice",
            "from memory",
            "computed",
            "arithmetic",
            "on the spot",
        ]
        .iter()
        .any(|origin| notes.contains(origin))
    };
    for radio in scenario.radios.iter() {
        assert!(has_origin(&radio.notes), "{}", radio.name);
    }
    for system in scenario.systems.iter() {
        assert!(has_origin(&system.notes), "{}", system.name);
    }
    for gateway in scenario.gateways.iter() {
        assert!(has_origin(&gateway.notes), "{}", gateway.name);
    }
    for unit in scenario.units.iter() {
        assert!(
            scenario.radios_of(unit.id).next().is_some(),
            "{}",
            unit.name
        );
        assert!(unit.agency.is_some(), "{}", unit.name);
    }
    for kind in [
        SystemKind::Simplex,
        SystemKind::Repeater,
        SystemKind::Voter,
        SystemKind::Trunked,
        SystemKind::Satellite,
        SystemKind::Telephone,
    ] {
        assert!(scenario.systems.iter().any(|s| s.kind == kind), "{kind:?}");
    }
}

#[test]
fn every_ready_made_thing_goes_into_an_empty_and_a_full_scenario() {
    let empty = Scenario::new("Empty");
    let own = Excerpt::of(
        &INCIDENT,
        phase(&INCIDENT),
        &INCIDENT.units.ids().map(ThingId::from).collect(),
    );
    for section in Section::ALL {
        let found = items(section, Some(&own));
        assert!(!found.is_empty(), "{section:?}");
        for item in found {
            assert!(!item.name.is_empty() && !item.about.is_empty(), "{item:?}");
            for s in [&empty, &*INCIDENT] {
                let grafted = put(item.source, Some(&own), s, phase(s)).expect("it is there");
                let done = s.apply(&grafted.edits);
                assert!(done.is_ok(), "{}: {:?}", item.name, done.err());
                let done = done.expect("just looked at");
                assert_eq!(grafted.asked.len(), 1, "{}", item.name);
                assert!(grafted.asked.iter().all(|thing| done.contains(*thing)));
            }
        }
    }
    assert_eq!(items(Section::Own, None), []);
    assert!(
        put(
            Source::Own(ThingId::Agency(crosspatch::model::AgencyId(1))),
            None,
            &empty,
            phase(&empty)
        )
        .is_err()
    );
}

#[test]
fn a_national_channel_is_added_once_as_published() {
    let empty = Scenario::new("Empty");
    let (edits, id) = library::national::add(&empty, national::find("VTAC36").expect("published"));
    let once = empty.apply(&edits).unwrap();
    let channel = once.channels.get(id).unwrap();
    let Carrier::Conventional(c) = channel.carrier else {
        panic!("it has frequencies");
    };
    // Guide 2.02, page 29.
    assert_eq!((c.rx.hertz(), c.tx.hertz()), (151_137_500, 159_472_500));
    assert!(matches!(c.tx_code, AccessCode::Ctcss(tone) if (tone.hz() - 136.5).abs() < 1e-9));
    assert!(channel.notes.contains("NIFOG 2.02") && channel.notes.contains("Verify against"));
    let system = once.systems.get(channel.system).unwrap();
    assert_eq!(
        (system.kind, system.name.as_str()),
        (SystemKind::Repeater, "VTAC36 repeater")
    );
    let (again, same) = library::national::add(&once, national::find("VTAC36").expect("published"));
    assert_eq!((again.len(), same), (0, id));
    // Two simplex channels share plain air.
    let two = after(&after(&once, "VTAC11"), "VFIRE21");
    assert_eq!((two.channels.len(), two.systems.len()), (3, 2));
}

#[test]
fn what_is_typed_is_said_before_it_is_done() {
    let empty = Scenario::new("Empty");
    let cases = [
        (
            "fire 12 VHF",
            "Adds agency Fire with one unit of 12, each with a VHF portable",
        ),
        (
            "police command 700",
            "Adds agency Police with one unit of one person, each with a 700/800 portable",
        ),
        (
            "ambulance 2 x 3 UHF",
            "Adds agency Ambulance with two units of 3, each with a UHF portable",
        ),
        (
            "ambulance 2x3 uhf",
            "Adds agency Ambulance with two units of 3, each with a UHF portable",
        ),
        (
            "FIRE 12 people vhf",
            "Adds agency Fire with one unit of 12, each with a VHF portable",
        ),
        (
            "fire 4 VHF mobile",
            "Adds agency Fire with one unit of 4, each with a VHF mobile",
        ),
        (
            "fire 3 units of 4 VHF",
            "Adds agency Fire with three units of 4, each with a VHF portable",
        ),
        (
            "engine 4 VHF on VFIRE21",
            "Adds agency Fire with one unit of 4, each with a VHF portable on VFIRE21",
        ),
        (
            "helicopter",
            "Adds agency Air Rescue with one unit of 3, each with an airband portable and a multiband portable",
        ),
        (
            "public works 5",
            "Adds agency Public Works with one unit of 5, each with a VHF portable",
        ),
        (
            "gateway 5",
            "Adds Gateway 1 with five radio, one telephone, one headset ports and two talk groups",
        ),
        (
            "gateway large",
            "Adds Gateway 1 with 12 radio, two telephone, two headset, one IP ports and four talk groups",
        ),
        (
            "VTAC11",
            "Adds channel VTAC11 of NIFOG 2.02, 151.1375 MHz; verify against the current guide",
        ),
        (
            "channel VFIRE21",
            "Adds channel VFIRE21 of NIFOG 2.02, 154.2800 MHz; verify against the current guide",
        ),
        (
            "vtac-11",
            "Adds channel VTAC11 of NIFOG 2.02, 151.1375 MHz; verify against the current guide",
        ),
        (
            "repeater 154.400 / 158.700 141.3",
            "Adds repeater channel 154.4000, receives 154.4000 MHz, sends 158.7000 MHz, analogue FM, CTCSS 141.3 Hz",
        ),
        (
            "repeater 154.4/158.7 tone 141.3 named Hill",
            "Adds repeater channel Hill, receives 154.4000 MHz, sends 158.7000 MHz, analogue FM, CTCSS 141.3 Hz",
        ),
        (
            "155.475 tone 156.7",
            "Adds channel 155.4750, 155.4750 MHz, analogue FM, CTCSS 156.7 Hz",
        ),
        (
            "155.475 MHz 100.0",
            "Adds channel 155.4750, 155.4750 MHz, analogue FM, CTCSS 100.0 Hz",
        ),
        (
            "channel TAC 1 453.2125 dcs 023",
            "Adds channel TAC 1, 453.2125 MHz, analogue FM, DCS 023",
        ),
        (
            "channel TAC 1 453.2125 nac 293",
            "Adds channel TAC 1, 453.2125 MHz, P25, NAC $293",
        ),
        ("123.1", "Adds channel 123.1000, 123.1000 MHz, AM, no code"),
        ("satphone", "Adds a satellite telephone"),
        ("phone", "Adds a cellular telephone"),
        ("landline 2", "Adds two landlines"),
        ("3 headsets", "Adds three headsets"),
        ("2 x VHF mobile", "Adds two VHF mobiles"),
        ("low band", "Adds a low-band mobile"),
        ("radio UHF", "Adds a UHF portable"),
        (
            "trunked named State",
            "Adds system State, access 500 ms, delay 250 ms",
        ),
        (
            "repeater",
            "Adds system Analogue repeater, access 100 ms, delay 25 ms",
        ),
        ("site Mill Tower", "Adds site Mill Tower"),
        ("Portable to gateway", "Adds Portable to gateway"),
    ];
    for (text, expected) in cases {
        let offer = offer(&empty, text);
        assert_eq!(offer.sentence, expected, "{text}");
        let done = empty.apply(&offer.edits).expect("an offer passes the gate");
        assert!(
            !offer.things.is_empty() && offer.things.iter().all(|t| done.contains(*t)),
            "{text}"
        );
        assert!(offer.label.starts_with("Add "), "{text}: {}", offer.label);
    }
}

#[test]
fn what_is_not_understood_is_said_with_what_would_be() {
    let cases = [
        ("", "Say what to add"),
        ("   ", "Say what to add"),
        ("blorb", "Does not know \"blorb\""),
        (
            "fire 12 blorb",
            "Does not understand \"blorb\". Behind an agency",
        ),
        ("fire 4 VHF on NOWHERE", "There is no channel \"NOWHERE\""),
        ("fire on", "Say a channel behind \"on\""),
        (
            "fire 4 marine mobile",
            "There is no ready-made marine mobile",
        ),
        ("fire 99 units", "At most 50 units"),
        ("channel NOWHERE", "\"NOWHERE\" is no national channel"),
        ("repeater 154.4", "A repeater has two frequencies"),
        ("155.475 tone 900", "\"900\" is no tone"),
        ("155.475 dcs 999", "\"999\" is no DCS code"),
        ("155.475 nac xyz", "\"xyz\" is no NAC"),
        ("155.475 blorb", "Does not understand \"blorb\" here"),
        ("gateway 5 blorb", "Does not understand \"blorb\" here"),
        ("need", "Say who must reach whom"),
        ("need Nobody -> Engine 1", "Nobody is called \"nobody\""),
        ("need engine -> chief 20", "\"engine\" may be Engine"),
        ("need engine 1 -> engine 1", "two different parties"),
    ];
    for (text, expected) in cases {
        let Err(why) = say(&INCIDENT, text).answer else {
            panic!("{text} is understood");
        };
        assert!(why.contains(expected), "{text}: {why}");
    }
}

#[test]
fn people_join_the_agency_that_is_there() {
    let fire = after(&Scenario::new("Empty"), "fire 12 VHF");
    let two = after(&fire, "fire command VHF");
    assert_eq!((two.agencies.len(), two.units.len()), (1, 2));
    let command = two.units.iter().last().unwrap();
    assert_eq!(
        (command.role, command.name.as_str()),
        (Role::Command, "Fire Command")
    );
    let three = after(&two, "engine 4");
    let names: Vec<&str> = three.units.iter().map(|u| u.name.as_str()).collect();
    assert_eq!(names, ["Engine 1", "Fire Command", "Engine 2"]);
    let with_medics = after(&after(&three, "ambulance 2"), "helicopter");
    assert_eq!(
        with_medics.agencies.len(),
        3,
        "an air rescue is no ambulance"
    );
    // By the name or the short name of an agency of the scenario.
    let by_name = offer(&INCIDENT, "Harrow City Fire 6 UHF");
    assert_eq!(
        by_name.sentence,
        "Adds to agency Harrow City Fire one unit of 6, each with a UHF portable"
    );
    assert_eq!(
        offer(&INCIDENT, "hcf engine 6 UHF").sentence,
        by_name.sentence
    );
}

#[test]
fn radios_on_a_channel_have_it_programmed_and_selected() {
    let s = after(&INCIDENT, "engine 4 VHF on VFIRE22");
    let radio = s.radios.iter().last().unwrap();
    let channel = s.channels.iter().find(|c| c.name == "VFIRE22").unwrap();
    assert_eq!(radio.selected, Some(channel.id));
    assert!(radio.entry(channel.id).is_some());
    let again = after(&s, "engine 4 VHF on vfire22");
    assert_eq!(again.channels.len(), s.channels.len());
}

#[test]
fn a_gateway_has_the_radio_ports_asked_for() {
    for n in [1_u8, 5, 6, 8, 12, 20] {
        let s = after(&Scenario::new("Empty"), &format!("gateway {n}"));
        let gateway = s.gateways.first().unwrap();
        let radios = gateway
            .ports
            .iter()
            .filter(|p| p.kind == PortKind::Radio)
            .count();
        assert_eq!(radios, usize::from(n));
        let numbers: BTreeSet<u8> = gateway.ports.iter().map(|p| p.number).collect();
        assert_eq!(numbers.len(), gateway.ports.len());
    }
}

#[test]
fn a_need_joins_two_by_name() {
    let s = after(&INCIDENT, "need engine 1 -> chief 20 encrypted listen");
    let need = s.needs.iter().last().unwrap();
    assert_eq!(need.name, "Engine 1 to Chief 20");
    assert!(need.encrypted && need.way == crosspatch::model::Way::ListenOnly);
    let typed = "need engine 1 -> chief 20 apart";
    assert!(offer(&INCIDENT, typed).sentence.contains("kept apart"));
    let s = after(&INCIDENT, typed);
    assert!(s.needs.iter().last().unwrap().keeps_apart());
    assert!(
        offer(&INCIDENT, "need Engine 1 to Chief 20")
            .sentence
            .contains("be answered")
    );
}

#[test]
fn a_digital_code_makes_a_digital_channel() {
    let s = after(
        &Scenario::new("Empty"),
        "p25 repeater 453.1 / 458.1 nac 293 named Ridge",
    );
    let channel = s.channels.first().unwrap();
    assert_eq!(
        (channel.mode(), channel.name.as_str()),
        (Mode::P25, "Ridge")
    );
    assert_eq!(s.systems.first().unwrap().kind, SystemKind::Repeater);
}

#[test]
fn completions_are_few_fitting_and_understood() {
    for text in [
        "",
        "f",
        "fire",
        "v",
        "VTAC",
        "gate",
        "need ",
        "need engine 1 -> c",
        "fire 4 on v",
        "sat",
    ] {
        let found = say(&INCIDENT, text).completions;
        assert!((1..=8).contains(&found.len()), "{text}: {found:?}");
        for completion in found {
            assert!(!completion.about.is_empty());
            let is_begun = completion.text.ends_with(' ');
            let answer = say(&INCIDENT, &completion.text).answer;
            assert!(
                is_begun || answer.is_ok() || completion.text == "site",
                "{completion:?}: {answer:?}"
            );
        }
    }
    let first = |text: &str| {
        say(&INCIDENT, text)
            .completions
            .first()
            .map(|c| c.text.clone())
    };
    assert_eq!(first("vtac1").as_deref(), Some("VTAC11"));
    assert_eq!(
        first("need engine 1 -> ch").as_deref(),
        Some("need Engine 1 -> Chief 20")
    );
    assert_eq!(
        first("fire 4 VHF on vfire22").as_deref(),
        Some("fire 4 VHF on VFIRE22")
    );
}

#[test]
fn own_things_are_found_by_name() {
    let unit = INCIDENT
        .units
        .iter()
        .find(|u| u.name == "Entry Team")
        .unwrap();
    let own = Excerpt::of(
        &INCIDENT,
        phase(&INCIDENT),
        &BTreeSet::from([unit.id.into()]),
    );
    let empty = Scenario::new("Empty");
    let typed = typed(&empty, phase(&empty), Some(&own), "entry team");
    let offer = typed.answer.unwrap();
    let done = empty.apply(&offer.edits).unwrap();
    assert_eq!(done.units.first().unwrap().name, "Entry Team");
    assert_eq!(
        typed.completions.first().map(|c| c.text.as_str()),
        Some("Entry Team")
    );
}

proptest! {
    #![proptest_config(cases(400))]

    #[test]
    fn no_text_panics_and_every_offer_passes_the_gate(
        words in proptest::collection::vec(
            proptest::sample::select(vec![
                "fire", "police", "need", "engine", "1", "12", "700", "VHF", "UHF", "x", "2x3", "/",
                "154.4", "158.7/", "156.7", "tone", "dcs", "023", "nac", "gateway", "repeater", "->",
                "on", "VTAC11", "channel", "named", "command", "mobile", "air", "band", "phone",
                "satphone", "to", "Chief", "20", "é", "p25", "0", "99999", "units", "of", "\u{130}",
            ]),
            0..7,
        ),
        free in ".{0,12}",
    ) {
        let joined = words.join(" ");
        for text in [joined.clone(), format!("{joined} {free}"), free.clone(), format!("{free} {joined}")] {
            let typed = say(&INCIDENT, &text);
            prop_assert!(typed.completions.len() <= 8);
            match typed.answer {
                Ok(offer) => {
                    prop_assert!(INCIDENT.apply(&offer.edits).is_ok(), "{}", text);
                    prop_assert!(!offer.sentence.is_empty());
                }
                Err(why) => prop_assert!(!why.is_empty()),
            }
        }
    }
}

#[test]
fn everything_shipped_is_on_the_shelf_or_held_by_somebody() {
    let shown: BTreeSet<ThingId> = Section::ALL
        .into_iter()
        .flat_map(|section| items(section, None))
        .filter_map(|item| match item.source {
            Source::Shipped(thing) => Some(thing),
            Source::National(_) | Source::Own(_) => None,
        })
        .collect();
    let s = &shipped().scenario;
    for thing in everything(s) {
        let is_held = match thing {
            ThingId::Radio(id) => s.radios.get(id).is_some_and(|r| r.held_by.is_some()),
            ThingId::Unit(_) | ThingId::Site(_) => true,
            _ => false,
        };
        assert!(is_held || shown.contains(&thing), "{}", s.name(thing));
    }
}
