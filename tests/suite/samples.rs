//! Shipped and generated scenarios.

use std::collections::BTreeSet;

use crosspatch::format::{self, Syntax};
use crosspatch::samples::{SHIPPED, Size, generate};

#[test]
fn every_shipped_scenario_opens() {
    for sample in SHIPPED {
        let scenario = format::read(sample.text, Syntax::of_name(sample.file_name));
        let scenario = scenario.unwrap_or_else(|p| panic!("{}: {p}", sample.file_name));
        assert!(!scenario.phases.is_empty(), "{}", sample.name);
        assert!(scenario.parties().count() > 1, "{}", sample.name);
    }
}

#[test]
fn shipped_names_are_unique_and_files_end_in_ron() {
    let names: BTreeSet<_> = SHIPPED.iter().map(|s| s.name).collect();
    let files: BTreeSet<_> = SHIPPED.iter().map(|s| s.file_name).collect();
    assert_eq!((names.len(), files.len()), (SHIPPED.len(), SHIPPED.len()));
    for sample in SHIPPED {
        assert_eq!(Syntax::of_name(sample.file_name), Syntax::Ron);
        assert!(sample.about.ends_with('.') && !sample.name.is_empty());
    }
}

#[test]
fn a_seed_gives_the_same_scenario_and_another_seed_another() {
    let size = Size::for_units(120);
    let text = |seed| format::write(&generate(size, seed), Syntax::Ron);
    assert_eq!(text(7), text(7));
    assert_ne!(text(7), text(8));
}

#[test]
fn a_generated_scenario_has_the_size_asked_for() {
    for units in [2, 30, 600] {
        let size = Size::for_units(units);
        let scenario = generate(size, 1);
        assert_eq!(scenario.units.len(), units as usize);
        assert_eq!(scenario.channels.len(), size.channels as usize);
        assert_eq!(scenario.gateways.len(), size.gateways as usize);
        assert!(!scenario.needs.is_empty());
        let joined = scenario.phases.iter().all(|p| !p.switches.is_empty());
        assert!(joined, "every phase joins something");
    }
}
