//! The figures, the practice they rest on, and taking things out of service, by what they are called.

use std::sync::Arc;

use crosspatch::hearing::Item;
use crosspatch::model::{Edit, Practice, Scenario};
use crosspatch::picture::{Picture, exposure, what_if};
use egui_kittest::kittest::Queryable as _;

use crate::app::{Window, click, enter, scenario, shipped, window};

fn picture(scenario: &Scenario) -> Picture {
    let phase = scenario.phases.first().expect("a phase").id;
    Picture::new(Arc::new(scenario.clone()), phase)
}

#[test]
fn the_figures_on_screen_are_those_of_the_picture() {
    let plan = shipped("incident.ron");
    let picture = picture(&plan);
    let mut window = window(plan);
    click(&mut window, "Figures");
    for (id, net) in picture
        .traffic()
        .channels
        .iter()
        .filter(|(_, n)| n.all_erl > 0.0)
    {
        let name = picture.scenario().name((*id).into());
        let label = format!(
            "Load of {name}: {:.2} erlang, {:.2} of its own",
            net.all_erl, net.own_erl
        );
        let there = window.query_all_by_label(&label).count();
        assert!(there >= 1, "{label}");
    }
    let site = picture.sites().first().expect("a site with donors");
    let noted = site.sets.iter().filter(|s| s.antenna.is_some()).count();
    let plan = format!(
        "Plan of {}: {noted} antennas, public limit met beyond {:.2} m",
        picture.scenario().name(site.site.into()),
        exposure::keep_m(site.exposure.public_m)
    );
    assert!(window.query_by_label(&plan).is_some(), "{plan}");
}

#[test]
fn taking_a_thing_out_says_who_loses_whom_and_changes_nothing() {
    let plan = shipped("incident.ron");
    let picture = picture(&plan);
    let (need, item) = plan
        .needs
        .iter()
        .find_map(|need| {
            let singles = picture.need_ways().singles(&plan, need);
            let gateway = singles
                .into_iter()
                .find(|i| matches!(i, Item::PowerOf(_)))?;
            Some((need.clone(), gateway))
        })
        .expect("a need that hangs on a gateway's power");
    let lost = what_if::without(&plan, picture.hearing(), picture.phase_id(), &[item]);
    let before = plan.clone();
    let mut window = window(plan);
    click(&mut window, "Figures");
    scroll_to(&mut window, &need.name);
    click(&mut window, &need.name);
    let take_out = format!("Take out {}", item.name(&before));
    scroll_to(&mut window, &take_out);
    click(&mut window, &take_out);
    for need in &lost.needs {
        let words = format!("{} is no longer met", before.name((*need).into()));
        assert!(window.query_by_label(&words).is_some(), "{words}");
    }
    assert_eq!(scenario(&window), &before);
    scroll_to(&mut window, "Put it back");
    click(&mut window, "Put it back");
    assert!(window.query_by_label("Put it back").is_none());
}

/// Brings a part of the side panel into view, as focus by keyboard does.
fn scroll_to(window: &mut Window, label: &str) {
    window.get_by_label(label).scroll_to_me();
    window.run_ok();
    window.run_ok();
}

#[test]
fn a_figure_of_practice_is_changed_and_one_out_of_range_is_refused() {
    let plan = shipped("talk-groups.ron");
    let mut window = window(plan);
    click(&mut window, "Details");
    scroll_to(&mut window, "Traffic");
    click(&mut window, "Traffic");
    let setting = Practice::setting("load_strained_erl").expect("a figure");
    scroll_to(&mut window, setting.label);
    enter(&mut window, setting.label, "0.4");
    assert_eq!(
        scenario(&window).practice.load_strained_erl.to_bits(),
        0.4_f64.to_bits()
    );
    enter(&mut window, setting.label, "1.4");
    assert_eq!(
        scenario(&window).practice.load_strained_erl.to_bits(),
        0.4_f64.to_bits()
    );
    let refused = scenario(&window).apply(&[Edit::SetPractice(Box::new(Practice {
        load_strained_erl: 1.4,
        ..Practice::default()
    }))]);
    assert!(refused.is_err());
}
