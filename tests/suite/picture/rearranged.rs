//! A picture kept through an edit says what one derived again says, and is kept only through edits that
//! move things on the board.

use std::sync::Arc;

use crosspatch::checks;
use crosspatch::model::{Edit, Place, Scenario, ThingId};
use crosspatch::picture::Picture;
use crosspatch::samples::{Size, generate};

/// Numbers that look random and are the same in every run.
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, end: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1);
        (self.0 >> 33) as usize % end.max(1)
    }
}

fn any_edit(s: &Scenario, numbers: &mut Numbers) -> Edit {
    let unit = s.units.ids().nth(numbers.below(s.units.len()));
    let radio = s.radios.iter().nth(numbers.below(s.radios.len()));
    let (unit, radio) = (unit.expect("a unit"), radio.expect("a radio"));
    let phase = s.phases.first().expect("a phase");
    let port = phase
        .switches
        .keys()
        .nth(numbers.below(phase.switches.len()));
    let thing = ThingId::from(unit);
    match numbers.below(8) {
        0 => Edit::Hold {
            radio: radio.id,
            unit: Some(unit),
        },
        1 => Edit::Select {
            phase: phase.id,
            radio: radio.id,
            channel: radio.programmed.last().map(|p| p.channel),
        },
        2 => Edit::Switch {
            phase: phase.id,
            port: *port.expect("a port on a talk group"),
            group: Some(1 + numbers.below(2) as u8),
        },
        3 => Edit::Rate {
            thing,
            availability: Some(0.5),
        },
        _ => Edit::Place {
            thing,
            place: (numbers.below(4) > 0).then(|| Place {
                x: i32::try_from(numbers.below(900)).expect("small"),
                y: i32::try_from(numbers.below(900)).expect("small"),
            }),
        },
    }
}

#[test]
fn a_kept_picture_says_what_a_new_one_says() {
    let mut scenario = Arc::new(generate(Size::for_units(60), 3));
    let phase = scenario.phases.first().expect("a phase").id;
    let mut picture = Picture::new(Arc::clone(&scenario), phase);
    let mut numbers = Numbers(1);
    let (mut kept, mut made) = (0, 0);
    for _ in 0..120 {
        let edit = any_edit(&scenario, &mut numbers);
        let Ok(after) = scenario.apply(std::slice::from_ref(&edit)) else {
            continue;
        };
        let mut plain = after.clone();
        plain.places.clone_from(&scenario.places);
        let after = Arc::new(after);
        let fresh = Picture::new(Arc::clone(&after), phase);
        let again = picture.rearranged(&after);
        if matches!(edit, Edit::Place { .. }) {
            assert!(again.is_some(), "{edit:?} moves a thing and no more");
        }
        if again.is_some() {
            assert_eq!(plain, *scenario, "{edit:?}");
            kept += 1;
        } else {
            made += 1;
        }
        picture = again.unwrap_or_else(|| fresh.clone());
        assert_eq!(picture.scenario(), &*after);
        assert_eq!(
            checks::run_all(&picture),
            checks::run_all(&fresh),
            "{edit:?}"
        );
        assert_eq!(picture.traffic(), fresh.traffic());
        assert_eq!(picture.sites(), fresh.sites());
        scenario = after;
    }
    assert!(kept > 30 && made > 30, "{kept} kept, {made} made");
}
