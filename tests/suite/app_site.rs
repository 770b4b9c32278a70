//! The view of a site from above, by what its parts are called: rings, moving antennas, products.

use std::sync::Arc;

use crosspatch::model::{Scenario, Site};
use crosspatch::picture::site::{Disturbed, Product, SiteView};
use crosspatch::picture::{Picture, exposure};
use egui::{Key, Modifiers, Pos2, vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};

use crate::picture::figures::row_of_donors;

use crate::app::{Window, click, click_at, drag, drop_at, scenario, shipped, window};

fn picture(s: &Scenario) -> Picture {
    Picture::new(Arc::new(s.clone()), s.phases.first().expect("a phase").id)
}

fn show(window: &mut Window) {
    click(window, "View: Site plan");
    window.run_ok();
}

/// The site that is shown at first, and what is on the air there.
fn first(s: &Scenario, picture: &Picture) -> (Site, SiteView) {
    let view = picture.sites().first().expect("a site with donors");
    let site = s.sites.get(view.site).expect("the site").clone();
    (site, SiteView::clone(view))
}

fn spot(window: &Window, words: &str) -> Pos2 {
    let found = window.query_all_by_label_contains(words).next();
    found.expect(words).rect().center()
}

fn labels(window: &Window, words: &str) -> Vec<String> {
    window
        .query_all_by_label_contains(words)
        .filter_map(|n| n.accesskit_node().label())
        .collect()
}

fn positions(s: &Scenario, site: &Site) -> Vec<(f64, f64)> {
    let found = s.sites.get(site.id).expect("the site");
    found
        .antennas
        .iter()
        .map(|a| (a.east_m, a.north_m))
        .collect()
}

/// Three donors whose mixing products fall on each other.
fn mixing() -> Scenario {
    let (lab, _) = row_of_donors(&[453.2125, 453.4625, 453.7125]);
    lab.scenario
}

#[test]
fn the_rings_are_those_of_the_picture() {
    let plan = shipped("incident.ron");
    let picture = picture(&plan);
    let mut window = window(plan.clone());
    show(&mut window);
    let (site, view) = first(&plan, &picture);
    let together = format!(
        "Plan of {} from above: {} antennas, public limit of all together met beyond {:.2} m",
        site.name,
        site.antennas.len(),
        exposure::keep_m(view.exposure.public_m)
    );
    assert!(window.query_by_label(&together).is_some(), "{together}");
    assert!(!view.exposure.rings.is_empty());
    for ring in &view.exposure.rings {
        let set = view.sets.iter().find(|s| s.port == ring.port).unwrap();
        let antenna = set.antenna.as_ref().expect("noted");
        let label = format!("Antenna {}, port {} of", antenna.name, ring.port.port);
        let distances = format!(
            "public limit met beyond {:.2} m, occupational beyond {:.2} m",
            exposure::keep_m(ring.public_m),
            exposure::keep_m(ring.occupational_m)
        );
        let found = labels(&window, &label);
        assert!(found.iter().any(|l| l.contains(&distances)), "{found:?}");
    }
    assert!(window.query_by_label(exposure::CAUTION).is_some());
}

#[test]
fn dragging_an_antenna_moves_it_by_half_metres_and_one_key_takes_it_back() {
    let plan = shipped("incident.ron");
    let picture = picture(&plan);
    let (site, _) = first(&plan, &picture);
    let mut window = window(plan.clone());
    show(&mut window);
    let antenna = site.antennas.first().unwrap();
    let label = format!("Antenna {}, ", antenna.name);
    let from = spot(&window, &label);
    let to = from + vec2(37.0, -61.0);
    drag(&mut window, from, to);
    assert_eq!(
        *scenario(&window),
        plan,
        "nothing moves before it is let go"
    );
    drop_at(&mut window, to);
    let before = positions(&plan, &site);
    let after = positions(scenario(&window), &site);
    assert!(
        after[0].0 > before[0].0 && after[0].1 > before[0].1,
        "east and north: {after:?}"
    );
    for metres in [after[0].0, after[0].1] {
        assert!(
            (metres * 2.0).fract().abs() < 1e-9,
            "{metres} is no half metre"
        );
    }
    assert_eq!(after[1..], before[1..]);
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    window.run_ok();
    assert_eq!(*scenario(&window), plan);
}

#[test]
fn escape_lets_an_antenna_go_where_it_stood() {
    let plan = shipped("incident.ron");
    let (site, _) = first(&plan, &picture(&plan));
    let mut window = window(plan.clone());
    show(&mut window);
    let from = spot(&window, &format!("Antenna {}, ", site.antennas[0].name));
    let to = from + vec2(50.0, 40.0);
    drag(&mut window, from, to);
    window.key_press(Key::Escape);
    window.run_ok();
    drop_at(&mut window, to);
    assert_eq!(*scenario(&window), plan);
}

#[test]
fn arrow_keys_nudge_an_antenna_and_all_nudges_are_one_step() {
    let plan = shipped("incident.ron");
    let (site, _) = first(&plan, &picture(&plan));
    let mut window = window(plan.clone());
    show(&mut window);
    let label = format!("Antenna {}, ", site.antennas[0].name);
    let node = window.query_all_by_label_contains(&label).next();
    node.expect("the antenna").focus();
    window.run_ok();
    window.run_ok();
    for key in [Key::ArrowRight, Key::ArrowRight, Key::ArrowDown] {
        window.key_press(key);
        window.run_ok();
    }
    let before = positions(&plan, &site)[0];
    let after = positions(scenario(&window), &site)[0];
    assert_eq!(after, (before.0 + 1.0, before.1 - 0.5));
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    window.run_ok();
    assert_eq!(*scenario(&window), plan);
}

#[test]
fn choosing_a_product_lights_its_antennas() {
    let plan = mixing();
    let picture = picture(&plan);
    let in_donor = |p: &&Product| matches!(p.disturbed, Disturbed::Donor(_));
    let found = picture
        .sites()
        .iter()
        .find_map(|v| Some((v, v.products.iter().find(in_donor)?)));
    let (view, product) = found.expect("a product in a donor");
    let mut window = window(plan);
    show(&mut window);
    let sends = ", sends in the product chosen";
    assert!(labels(&window, sends).is_empty());
    let row = format!("Order {} product at {}", product.order, product.at);
    let at = spot(&window, &row);
    click_at(&mut window, at);
    let noted = |port| {
        let set = view.sets.iter().find(|s| s.port == port);
        set.is_some_and(|s| s.antenna.is_some())
    };
    let senders = product
        .terms
        .iter()
        .filter(|(_, port)| noted(*port))
        .count();
    assert_eq!(labels(&window, sends).len(), senders);
    assert_eq!(labels(&window, ", hit by the product chosen").len(), 1);
    click_at(&mut window, at);
    assert!(
        labels(&window, sends).is_empty(),
        "a second click lets it go"
    );
}

#[test]
fn the_table_of_products_is_sorted_by_its_heads() {
    let plan = mixing();
    let picture = picture(&plan);
    let most = picture.sites().iter().max_by_key(|v| v.products.len());
    let view = most.expect("a site");
    assert!(view.products.len() > 1, "something to sort");
    let mut window = window(plan);
    show(&mut window);
    let frequencies = |window: &Window| -> Vec<f64> {
        let mut rows: Vec<(f32, f64)> = window
            .query_all_by_label_contains(" product at ")
            .filter_map(|n| {
                let label = n.accesskit_node().label()?;
                let words = label.split(" product at ").nth(1)?;
                Some((n.rect().min.y, words.split(' ').next()?.parse().ok()?))
            })
            .collect();
        rows.sort_by(|a, b| a.0.total_cmp(&b.0));
        rows.into_iter().map(|r| r.1).collect()
    };
    click(&mut window, "Sort by falls at");
    let up = frequencies(&window);
    assert!(up.len() > 1 && up.is_sorted(), "{up:?}");
    click(&mut window, "Sort by falls at, smallest first");
    let down = frequencies(&window);
    assert!(down.iter().rev().is_sorted(), "{down:?}");
}

#[test]
fn a_donor_without_an_antenna_is_given_one() {
    let plan = shipped("talk-groups.ron");
    let picture = picture(&plan);
    let (site, view) = first(&plan, &picture);
    let bare: Vec<_> = view.sets.iter().filter(|s| s.antenna.is_none()).collect();
    let Some(set) = bare.first() else {
        unreachable!("the lesson notes no antennas");
    };
    let mut window = window(plan.clone());
    show(&mut window);
    let gateway = plan.name(set.port.gateway.into());
    click(
        &mut window,
        &format!("Add the antenna of port {} of {gateway}", set.port.port),
    );
    let now = scenario(&window).sites.get(site.id).unwrap().clone();
    assert_eq!(now.antennas.len(), site.antennas.len() + 1);
    assert_eq!(now.antennas.last().unwrap().radio, Some(set.radio));
    let label = format!("port {} of {gateway}: ", set.port.port);
    assert_eq!(labels(&window, &label).len(), 1, "it stands on the plan");
}

#[test]
fn another_site_is_chosen_by_name() {
    let plan = shipped("incident.ron");
    let mut window = window(plan.clone());
    show(&mut window);
    let shown = |window: &Window, site: &Site| {
        let label = format!("Plan of {} from above", site.name);
        window.query_all_by_label_contains(&label).next().is_some()
    };
    let (here, _) = first(&plan, &picture(&plan));
    let there = plan.sites.iter().find(|s| s.id != here.id).unwrap();
    assert!(shown(&window, &here) && !shown(&window, there));
    click(&mut window, "Site on the plan");
    let offered = window.get_all_by_label(&there.name).last().unwrap();
    let at = offered.rect().center();
    click_at(&mut window, at);
    assert!(shown(&window, there) && !shown(&window, &here));
}

#[test]
fn a_plan_without_a_site_offers_to_add_one() {
    let mut window = window(Scenario::new("Empty"));
    show(&mut window);
    click(&mut window, "Add a site");
    assert_eq!(scenario(&window).sites.len(), 1);
    assert!(
        window
            .query_all_by_label_contains("No antenna at ")
            .next()
            .is_some()
    );
}

#[test]
fn the_plan_comes_closer_and_fits_again() {
    let plan = shipped("incident.ron");
    let (site, _) = first(&plan, &picture(&plan));
    let mut window = window(plan);
    show(&mut window);
    let apart = |window: &Window| {
        let at = |i: usize| spot(window, &format!("Antenna {}, ", site.antennas[i].name));
        at(0).distance(at(1))
    };
    let fitted = apart(&window);
    click(&mut window, "Plan further away");
    let far = apart(&window);
    assert!((far / fitted - 0.8).abs() < 0.02, "{far} {fitted}");
    click(&mut window, "Fit the plan");
    assert!((apart(&window) - fitted).abs() < 0.5);
}

#[test]
fn arrow_keys_move_the_plan_while_no_antenna_has_the_focus() {
    let plan = shipped("incident.ron");
    let (site, _) = first(&plan, &picture(&plan));
    let mut window = window(plan.clone());
    show(&mut window);
    let label = format!("Antenna {}, ", site.antennas[0].name);
    let before = spot(&window, &label);
    window
        .query_all_by_label_contains("Plan of ")
        .next()
        .expect("the plan")
        .focus();
    window.run_ok();
    for key in [Key::ArrowLeft, Key::ArrowDown] {
        window.key_press(key);
        window.run_ok();
    }
    let after = spot(&window, &label);
    assert!(
        (after - before - vec2(60.0, -60.0)).length() < 1.0,
        "{before} {after}"
    );
    for key in [Key::ArrowRight, Key::ArrowUp] {
        window.key_press(key);
        window.run_ok();
    }
    assert!(spot(&window, &label).distance(before) < 1.0);
    assert_eq!(*scenario(&window), plan, "looking around changes nothing");
}
