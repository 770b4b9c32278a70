//! The drawings: everything is on them, in its place, and can be read.

use std::collections::BTreeSet;
use std::sync::Arc;

use crosspatch::format::{Syntax, read};
use crosspatch::model::{Attachment, Edit, PhaseId, Scenario};
use crosspatch::paperwork::diagram::{CAUTION, READABLE, board, groups, matrix, sound_sign};
use crosspatch::paperwork::given::Given;
use crosspatch::paperwork::set::face::{Face, Faces};
use crosspatch::paperwork::set::ink::{Ink, Step, Text, Tint};
use crosspatch::paperwork::set::sheet::{Child, Document, Element, Item, Page, Paper, Role};
use crosspatch::paperwork::set::{pdf, png, svg};
use crosspatch::paperwork::{Go, Kind};
use crosspatch::picture::Picture;
use crosspatch::picture::sounds::Sound;
use crosspatch::samples::{SHIPPED, Size, generate};
use emath::{Pos2, Rect, Vec2, pos2};
use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg;

fn scenario(file_name: &str) -> Scenario {
    let sample = SHIPPED.iter().find(|s| s.file_name == file_name);
    let text = sample.expect("shipped").text;
    read(text, Syntax::Ron).unwrap_or_else(|problems| panic!("{file_name}: {problems}"))
}

fn pictures(scenario: Scenario) -> Vec<Picture> {
    let scenario = Arc::new(scenario);
    let phases: Vec<PhaseId> = scenario.phases.ids().collect();
    let of = |phase| Picture::new(Arc::clone(&scenario), phase);
    phases.into_iter().map(of).collect()
}

fn first(scenario: Scenario) -> Picture {
    let mut all = pictures(scenario).into_iter();
    all.next().expect("a phase")
}

fn drawings(faces: &Faces, picture: &Picture, size: Vec2) -> [(&'static str, Document); 3] {
    [
        ("board", board(faces, picture, size, &Given::default())),
        ("groups", groups(faces, picture, size, &Given::default())),
        ("matrix", matrix(faces, picture, size, &Given::default())),
    ]
}

/// All that a drawing says, without spaces, so that names on two lines are found.
fn said(document: &Document) -> String {
    squeezed(&document.texts().concat().concat())
}

fn squeezed(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace()).collect()
}

fn texts(page: &Page) -> impl Iterator<Item = &Text> {
    let inks = page.items.iter().flat_map(|item| &item.inks);
    inks.filter_map(|ink| match ink {
        Ink::Text(text) => Some(text),
        Ink::Shape { .. } | Ink::Picture { .. } => None,
    })
}

/// The items that are parts of drawings, with their pages.
fn figure_items(document: &Document) -> Vec<(usize, &Item)> {
    fn walk(element: &Element, is_figure: bool, found: &mut Vec<(usize, usize)>) {
        let is_figure = is_figure || matches!(element.role, Role::Figure(_));
        for child in &element.children {
            match child {
                Child::Element(element) => walk(element, is_figure, found),
                Child::Item { page, item } if is_figure => found.push((*page, *item)),
                Child::Item { .. } => {}
            }
        }
    }
    let mut found = Vec::new();
    for element in &document.tree {
        walk(element, false, &mut found);
    }
    let item = |(page, item): (usize, usize)| {
        let of = document.pages.get(page).and_then(|p| p.items.get(item));
        (page, of.expect("an item of the tree"))
    };
    found.into_iter().map(item).collect()
}

/// Points all along an ink.
fn spots(ink: &Ink) -> Vec<Pos2> {
    let Ink::Shape { steps, .. } = ink else {
        let around = ink.bounds();
        return vec![around.min, around.max];
    };
    let mut at = Pos2::ZERO;
    let mut all = Vec::new();
    for step in steps {
        match *step {
            Step::Move(p) | Step::Line(p) => {
                at = p;
                all.push(p);
            }
            Step::Curve(b, c, d) => {
                for i in 0..=10 {
                    let t = i as f32 / 10.0;
                    let (ab, bc, cd) = (at.lerp(b, t), b.lerp(c, t), c.lerp(d, t));
                    all.push(ab.lerp(bc, t).lerp(bc.lerp(cd, t), t));
                }
                at = d;
            }
            Step::Close => {}
        }
    }
    all
}

/// Checks that every text stays inside its card, that nothing leaves the page, and that no text lies
/// on another.
fn check_places(what: &str, document: &Document) {
    for (number, page) in document.pages.iter().enumerate() {
        let whole = Rect::from_min_size(Pos2::ZERO, page.size);
        for ink in page.items.iter().flat_map(|item| &item.inks) {
            for spot in spots(ink) {
                assert!(whole.contains(spot), "{what} page {number}: {ink:?}");
            }
        }
        let boxes: Vec<(&str, Rect)> = texts(page)
            .map(|text| {
                (
                    text.line.text.as_str(),
                    text.bounds().shrink(text.size * 0.12),
                )
            })
            .collect();
        for (i, (one, a)) in boxes.iter().enumerate() {
            for (other, b) in boxes.iter().skip(i + 1) {
                let both = a.intersect(*b);
                assert!(
                    both.width() <= 0.0 || both.height() <= 0.0,
                    "{what} page {number}: {one:?} at {a:?} lies on {other:?} at {b:?}"
                );
            }
        }
    }
    for (page, item) in figure_items(document) {
        let outline = item.inks.first().expect("no empty item").bounds();
        for ink in &item.inks {
            if let Ink::Text(text) = ink {
                let around = text.bounds();
                assert!(
                    outline.expand(0.6).contains_rect(around),
                    "{what} page {page}: {:?} at {around:?} leaves {outline:?}",
                    text.line.text
                );
            }
        }
    }
}

fn letter() -> Vec2 {
    Paper::Letter.lying()
}

#[test]
fn the_board_names_every_thing_that_stands_on_it() {
    let faces = Faces::default();
    for picture in pictures(scenario("incident.ron")) {
        let s = picture.scenario();
        for size in [letter(), Paper::A1.lying()] {
            let document = board(&faces, &picture, size, &Given::default());
            let said = said(&document);
            let units = s.units.iter().map(|x| &x.name);
            let channels = s.channels.iter().map(|x| &x.name);
            let radios = s.radios.iter().map(|x| &x.name);
            let gateways = s.gateways.iter().map(|x| &x.name);
            let sites = s.sites.iter().map(|x| &x.name);
            let all = units.chain(channels).chain(radios).chain(gateways);
            for name in all.chain(sites) {
                assert!(said.contains(&squeezed(name)), "{name} is missing");
            }
            for group in s.gateways.iter().flat_map(|g| &g.talk_groups) {
                let label = squeezed(&format!("{}{}", group.number, group.name));
                assert!(said.contains(&label), "{label} is missing");
            }
            for agency in s.agencies.iter() {
                assert!(said.contains(&squeezed(&agency.name)), "{}", agency.name);
            }
            assert!(!said.contains('\u{2026}'), "nothing is cut short");
        }
    }
}

#[test]
fn a_switch_is_filled_where_it_stands_and_nowhere_else() {
    let faces = Faces::default();
    for picture in pictures(scenario("incident.ron")) {
        let document = board(&faces, &picture, Paper::A1.lying(), &Given::default());
        let on = figure_items(&document)
            .into_iter()
            .flat_map(|(_, item)| &item.inks);
        let white: Vec<&str> = on
            .filter_map(|ink| match ink {
                Ink::Text(text) if text.tint == Tint::WHITE => Some(text.line.text.trim_end()),
                _ => None,
            })
            .collect();
        let phase = picture.phase().expect("a phase");
        let ports = picture
            .scenario()
            .gateways
            .iter()
            .flat_map(crosspatch::model::Gateway::port_refs);
        let mut expected: Vec<String> = ports
            .map(|port| {
                let group = phase.group_of(port);
                group.map_or_else(|| "\u{2013}".to_owned(), |g| g.group.to_string())
            })
            .collect();
        let mut found: Vec<String> = white.into_iter().map(str::to_owned).collect();
        expected.sort();
        found.sort();
        assert_eq!(found, expected);
    }
}

#[test]
fn the_talk_groups_name_every_port_channel_and_load() {
    let faces = Faces::default();
    for picture in pictures(scenario("incident.ron")) {
        let s = picture.scenario();
        let phase = picture.phase().expect("a phase");
        for size in [letter(), Paper::Letter.upright(), Paper::A1.lying()] {
            let document = groups(&faces, &picture, size, &Given::default());
            let said = said(&document);
            for gateway in s.gateways.iter() {
                assert!(said.contains(&squeezed(&gateway.name)), "{}", gateway.name);
                for group in &gateway.talk_groups {
                    assert!(said.contains(&squeezed(&group.name)), "{}", group.name);
                }
            }
            for attachment in phase.attachments.values() {
                let name = s.name(attachment.thing());
                assert!(said.contains(&squeezed(&name)), "{name}");
                if let Attachment::Radio { radio, .. } = attachment {
                    let radio = s.radios.get(*radio).expect("plugged in");
                    let channel = s.selected_channel(phase, radio).expect("selected");
                    let name = s.name(channel.into());
                    assert!(said.contains(&squeezed(&format!("{name}:"))), "{name}");
                }
            }
            let nets = picture.traffic().groups.values();
            for net in nets.filter(|net| !net.units.is_empty()) {
                let load = squeezed(&format!("Load {:.2} of at most", net.all_erl));
                assert!(said.contains(&load), "{load}");
            }
            assert!(!said.contains('\u{2026}'), "nothing is cut short");
        }
        assert_eq!(
            groups(&faces, &picture, letter(), &Given::default())
                .pages
                .len(),
            s.gateways.len()
        );
        assert_eq!(
            groups(&faces, &picture, Paper::A1.lying(), &Given::default())
                .pages
                .len(),
            1
        );
    }
}

/// What tells signs apart: how each ink is filled and drawn, and of how many steps it is.
fn shape(inks: &[&Ink]) -> Vec<(bool, bool, usize)> {
    inks.iter()
        .filter_map(|ink| match ink {
            Ink::Shape { steps, fill, pen } => Some((fill.is_some(), pen.is_some(), steps.len())),
            _ => None,
        })
        .collect()
}

/// What stands in a cell: the sign, whether a need frames it, whether it is crossed out.
type InCell = (Vec<(bool, bool, usize)>, bool, bool);

/// Reads the cells of a row of which the columns stand at these places.
fn read_cell(row: &Item, x: f32) -> InCell {
    let whole = row.inks.first().expect("a row has an outline").bounds();
    let half = whole.height() / 2.0;
    let here: Vec<&Ink> = row
        .inks
        .iter()
        .skip(1)
        .filter(|ink| (ink.bounds().center().x - x).abs() < half * 0.8)
        .collect();
    let is_frame =
        |ink: &&&Ink| matches!(ink, Ink::Shape { steps, fill: None, .. } if steps.len() == 5);
    let is_cross = |ink: &&&Ink| {
        matches!(ink, Ink::Shape { pen: Some(pen), .. }
            if pen.tint != Tint::BLACK && pen.tint != Tint::RULE)
    };
    let sign: Vec<&Ink> = here
        .iter()
        .filter(|ink| !is_frame(ink) && !is_cross(ink))
        .copied()
        .collect();
    let framed = here.iter().any(|ink| is_frame(&ink));
    let crossed = here.iter().any(|ink| is_cross(&ink));
    (shape(&sign), framed, crossed)
}

fn check_signs(picture: &Picture, document: &Document) -> usize {
    let (s, hearing, sounds) = (picture.scenario(), picture.hearing(), picture.sounds());
    let parties = hearing.parties();
    let names: Vec<String> = parties.iter().map(|p| s.name((*p).into())).collect();
    let items = figure_items(document);
    let mut seen = BTreeSet::new();
    for (number, page) in document.pages.iter().enumerate() {
        let columns: Vec<(usize, f32)> = texts(page)
            .filter(|text| text.is_turned)
            .filter_map(|text| {
                let to = names
                    .iter()
                    .position(|name| *name == text.line.text.trim_end())?;
                Some((to, text.bounds().center().x))
            })
            .collect();
        for (from, name) in names.iter().enumerate() {
            let begins = format!("{name} speaks.");
            let row = items.iter().find(|(page, item)| {
                let says = item.says.as_deref();
                *page == number && says.is_some_and(|says| says.starts_with(&begins))
            });
            let Some((_, row)) = row else { continue };
            let whole = row.inks.first().expect("an outline").bounds();
            let mut beside =
                texts(page).filter(|text| !text.is_turned && text.line.text.trim_end() == *name);
            let is_beside = beside.any(|text| {
                let middle = text.bounds().center();
                whole.y_range().contains(middle.y) && middle.x < whole.min.x
            });
            assert!(is_beside, "{name} stands beside its row");
            for (to, x) in &columns {
                seen.insert((from, *to));
                let (sign, framed, crossed) = read_cell(row, *x);
                let Some(expected) = sounds.at(hearing, from, *to) else {
                    assert!(sign.is_empty(), "{name} and itself");
                    continue;
                };
                let drawn = sound_sign(expected, Pos2::ZERO, 4.0);
                let drawn: Vec<&Ink> = drawn.iter().collect();
                assert_eq!(
                    sign,
                    shape(&drawn),
                    "{name} to {}: {expected:?}",
                    names[*to]
                );
                let wanted = sounds.wanted(from, *to);
                assert_eq!(framed, wanted.is_some(), "{name} to {}", names[*to]);
                assert_eq!(crossed, wanted.is_some_and(|w| !w.met), "{name}");
            }
        }
    }
    seen.len()
}

#[test]
fn every_sign_of_the_matrix_is_what_the_picture_says() {
    let shapes: BTreeSet<_> = Sound::ALL
        .iter()
        .map(|sound| {
            let sign = sound_sign(*sound, Pos2::ZERO, 4.0);
            shape(&sign.iter().collect::<Vec<_>>())
        })
        .collect();
    assert_eq!(
        shapes.len(),
        Sound::ALL.len(),
        "each can be told from the others"
    );
    let faces = Faces::default();
    for file in ["incident.ron", "talk-groups.ron"] {
        for picture in pictures(scenario(file)) {
            let all = picture.hearing().parties().len();
            for size in [letter(), Paper::Letter.upright(), Paper::A1.lying()] {
                let document = matrix(&faces, &picture, size, &Given::default());
                assert_eq!(check_signs(&picture, &document), all * all, "{file}");
            }
        }
    }
}

#[test]
fn the_matrix_of_a_large_plan_goes_on_over_pages_that_can_be_read() {
    let faces = Faces::default();
    let picture = first(scenario("large.ron"));
    let all = picture.hearing().parties().len();
    let document = matrix(&faces, &picture, Paper::A3.lying(), &Given::default());
    assert!(document.pages.len() > 1, "{all} parties");
    assert_eq!(check_signs(&picture, &document), all * all);
    check_places("matrix", &document);
    for (_, item) in figure_items(&document) {
        if item.says.is_some() {
            let row = item.inks.first().expect("an outline").bounds();
            assert!(row.height() >= 9.0, "{}", row.height());
        }
    }
}

#[test]
fn six_hundred_units_are_drawn_and_what_is_left_out_is_said() {
    let faces = Faces::default();
    let picture = first(generate(Size::for_units(600), 3));
    let [(_, board), (_, groups), (_, matrix)] = drawings(&faces, &picture, letter());
    assert_eq!(board.pages.len(), 1);
    assert!(
        said(&board).contains("Collapsed,because"),
        "{:?}",
        board.texts()
    );
    assert!(matrix.pages.len() <= 12, "{} pages", matrix.pages.len());
    let count = picture.hearing().parties().len();
    let shown = squeezed(&format!("of {count} are shown: those"));
    assert!(said(&matrix).contains(&shown), "{shown}");
    for (what, document) in [("board", &board), ("groups", &groups), ("matrix", &matrix)] {
        check_places(what, document);
        assert!(pdf::write(document).is_ok(), "{what}");
    }
    let wall = crosspatch::paperwork::diagram::board(
        &faces,
        &picture,
        Paper::A0.lying(),
        &Given::default(),
    );
    let collapsed = |document: &Document| {
        let said = said(document);
        picture
            .scenario()
            .units
            .iter()
            .filter(|unit| !said.contains(&squeezed(&unit.name)))
            .count()
    };
    assert!(collapsed(&wall) < collapsed(&board), "more on a wall");
    check_places("wall", &wall);
}

#[test]
fn nothing_leaves_its_card_or_the_page_or_lies_on_another_text() {
    let faces = Faces::default();
    for sample in SHIPPED.iter().filter(|s| s.file_name != "large.ron") {
        let picture = first(scenario(sample.file_name));
        for paper in [Paper::Letter, Paper::A3, Paper::ArchE] {
            for size in [paper.upright(), paper.lying()] {
                for (what, document) in drawings(&faces, &picture, size) {
                    let what = format!("{} {what} on {}", sample.file_name, paper.word());
                    check_places(&what, &document);
                }
            }
        }
    }
}

#[test]
fn every_page_has_its_title_its_caution_and_a_drawing_in_words() {
    let faces = Faces::default();
    let picture = first(scenario("incident.ron"));
    let phase = &picture.phase().expect("a phase").name;
    for (what, document) in drawings(&faces, &picture, letter()) {
        for page in document.texts() {
            let said = squeezed(&page.concat());
            assert!(said.contains(&squeezed(CAUTION)), "{what}");
            assert!(said.contains(&squeezed(phase)), "{what}");
            let incident = &picture.scenario().header.incident;
            assert!(said.contains(&squeezed(incident)), "{what}");
        }
        let roles: Vec<&Role> = document
            .tree
            .iter()
            .flat_map(|section| &section.children)
            .filter_map(|child| match child {
                Child::Element(element) => Some(&element.role),
                Child::Item { .. } => None,
            })
            .collect();
        assert!(
            matches!(roles.first(), Some(Role::Heading(1, _))),
            "{what}: {roles:?}"
        );
        let figures = roles.iter().filter_map(|role| match role {
            Role::Figure(says) => Some(says),
            _ => None,
        });
        let figures: Vec<&String> = figures.collect();
        assert_eq!(figures.len(), document.pages.len(), "{what}");
        assert!(
            figures.iter().all(|says| says.len() > 60),
            "{what}: {figures:?}"
        );
    }
}

#[test]
fn the_same_scenario_gives_the_same_bytes_in_every_format() {
    let written = || {
        let faces = Faces::default();
        let picture = first(scenario("incident.ron"));
        drawings(&faces, &picture, letter()).map(|(what, document)| {
            let page = document.pages.first().expect("a page");
            let dots = png::write(&faces, page, 0.7).expect("small enough");
            let pdf = pdf::write(&document).unwrap_or_else(|error| panic!("{what}: {error}"));
            (pdf, svg::write(page, &document.title), dots)
        })
    };
    let (once, again) = (written(), written());
    for (a, b) in once.iter().zip(&again) {
        assert!(a.0 == b.0, "PDF");
        assert!(a.1 == b.1, "SVG");
        assert!(a.2 == b.2, "PNG");
        assert!(a.0.starts_with(b"%PDF-"), "PDF");
    }
}

#[test]
fn every_phase_of_the_shipped_scenarios_passes_the_check_of_the_standard() {
    let faces = Faces::default();
    for sample in SHIPPED {
        let all = pictures(scenario(sample.file_name));
        for picture in &all {
            for (what, document) in drawings(&faces, picture, letter()) {
                let pdf = pdf::write(&document);
                assert!(pdf.is_ok(), "{} {what}: {:?}", sample.file_name, pdf.err());
            }
        }
    }
}

/// The page without its texts.
fn mute(page: &Page) -> Page {
    let mut page = page.clone();
    for item in &mut page.items {
        item.inks.retain(|ink| !matches!(ink, Ink::Text(_)));
    }
    page
}

fn rendered(text: &str, scale: f32) -> Pixmap {
    let mut options = usvg::Options::default();
    for face in Face::ALL {
        options.fontdb_mut().load_font_data(face.bytes().to_vec());
    }
    let tree = usvg::Tree::from_str(text, &options).expect("an SVG");
    // The page is measured in points of 1/72 inch, the picture in dots of 1/96.
    let to_points = 72.0 / 96.0 * scale;
    let size = tree.size();
    let side = |length: f32| (length * to_points).round() as u32;
    let mut pixmap = Pixmap::new(side(size.width()), side(size.height())).expect("a size");
    let scale = Transform::from_scale(to_points, to_points);
    resvg::render(&tree, scale, &mut pixmap.as_mut());
    pixmap
}

/// Counts the dots of a box that differ.
fn differing(a: &[u8], b: &[u8], width: u32, room: Rect) -> usize {
    let mut count = 0;
    for y in room.min.y.max(0.0) as u32..=room.max.y as u32 {
        for x in room.min.x.max(0.0) as u32..=room.max.x as u32 {
            let at = ((y * width + x) * 4) as usize;
            let dot = |bytes: &[u8]| bytes.get(at..at + 3).map(<[u8]>::to_vec);
            count += usize::from(dot(a) != dot(b));
        }
    }
    count
}

#[test]
fn every_text_is_seen_in_svg_and_in_dots_turned_or_not() {
    let faces = Faces::default();
    let picture = first(scenario("incident.ron"));
    let scale = 2.0;
    for (what, document) in drawings(&faces, &picture, letter()) {
        let page = document.pages.first().expect("a page");
        let with = rendered(&svg::write(page, "x"), scale);
        let without = rendered(&svg::write(&mute(page), "x"), scale);
        let dots = png::dots(&faces, page, scale).expect("small enough");
        let empty = png::dots(&faces, &mute(page), scale).expect("small enough");
        assert_eq!((with.width(), with.height()), (dots.width, dots.height));
        let mut turned = 0;
        for text in texts(page) {
            let room = text.bounds();
            let room = Rect::from_min_max(
                (room.min.to_vec2() * scale).to_pos2(),
                (room.max.to_vec2() * scale).to_pos2(),
            );
            let in_svg = differing(with.data(), without.data(), with.width(), room);
            let in_dots = differing(&dots.rgba, &empty.rgba, dots.width, room);
            let said = &text.line.text;
            assert!(
                in_svg > 0 && in_dots > 0,
                "{what}: {said} {in_svg} {in_dots}"
            );
            // Both draw the same letters at the same place.
            let (less, more) = (in_svg.min(in_dots), in_svg.max(in_dots));
            assert!(less * 2 + 12 > more, "{what}: {said} {in_svg} {in_dots}");
            turned += usize::from(text.is_turned);
        }
        assert_eq!(turned > 0, what == "matrix", "{what}: {turned} read upward");
    }
}

#[test]
fn long_names_stay_in_their_cards() {
    let sample = SHIPPED.iter().find(|s| s.file_name == "incident.ron");
    let text = sample.expect("shipped").text;
    let mut number = 0;
    let lines: Vec<String> = text
        .lines()
        .map(|line| {
            let is_name = ["name: ", "short: ", "incident: "]
                .iter()
                .any(|field| line.trim_start().starts_with(field));
            if !is_name {
                return line.to_owned();
            }
            number += 1;
            let (field, _) = line.split_once(": ").expect("a field");
            let name = if number % 2 == 0 {
                format!("{number}{}", "x".repeat(197))
            } else {
                format!("{number} {}", "long name ".repeat(20).trim_end())
            };
            format!("{field}: \"{name}\",")
        })
        .collect();
    let scenario = read(&lines.join("\n"), Syntax::Ron)
        .unwrap_or_else(|problems| panic!("long names are no problem: {problems}"));
    assert!(number > 50, "{number} names");
    let faces = Faces::default();
    let picture = first(scenario);
    for size in [letter(), Paper::Letter.half(), Paper::A1.lying()] {
        for (what, document) in drawings(&faces, &picture, size) {
            check_places(what, &document);
            assert!(pdf::write(&document).is_ok(), "{what}");
        }
    }
}

#[test]
fn an_empty_plan_says_that_there_is_nothing_yet() {
    let faces = Faces::default();
    let with_phase = first(Scenario::new("Nothing"));
    let blank = Scenario::blank(with_phase.scenario().header.clone());
    let without = Picture::new(Arc::new(blank), with_phase.phase_id());
    for (picture, words) in [
        (
            &with_phase,
            [
                "Nothing stands on the board",
                "No gateway is planned",
                "Nobody is planned",
            ],
        ),
        (
            &without,
            [
                "The plan has no phase",
                "The plan has no phase",
                "Nobody is planned",
            ],
        ),
    ] {
        for ((what, document), words) in drawings(&faces, picture, letter()).iter().zip(words) {
            assert!(said(document).contains(&squeezed(words)), "{what}: {words}");
            assert!(said(document).contains(&squeezed(CAUTION)), "{what}");
            check_places(what, document);
            assert!(pdf::write(document).is_ok(), "{what}");
        }
    }
}

#[test]
fn text_that_reads_upward_lies_above_where_it_begins() {
    let faces = Faces::default();
    let picture = first(scenario("talk-groups.ron"));
    let document = matrix(&faces, &picture, letter(), &Given::default());
    let page = document.pages.first().expect("a page");
    let turned: Vec<&Text> = texts(page).filter(|text| text.is_turned).collect();
    assert!(!turned.is_empty());
    for text in turned {
        let around = text.bounds();
        assert!((around.height() - text.width()).abs() < 1e-3, "{text:?}");
        assert!((around.max.y - text.at.y).abs() < 1e-3, "{text:?}");
        assert!(
            around.contains(pos2(text.at.x - 1.0, text.at.y - 1.0)),
            "{text:?}"
        );
    }
}

/// A board of the incident on a sheet of letter paper has letters that only a larger sheet makes readable.
#[test]
fn a_page_with_small_letters_says_so_and_a_wall_does_not() {
    let faces = Faces::default();
    let picture = first(scenario("incident.ron"));
    for size in [letter(), Paper::A0.lying()] {
        for (what, document) in drawings(&faces, &picture, size) {
            for page in &document.pages {
                let figure = texts(page).filter(|t| !t.line.text.contains("page"));
                let smallest = figure.map(|t| t.size).fold(f32::MAX, f32::min);
                let said: Vec<&str> = texts(page).map(|t| t.line.text.as_str()).collect();
                let says = said.iter().any(|t| t.contains("Letters here go down to"));
                assert_eq!(says, smallest < READABLE, "{what}: {smallest} points");
            }
        }
    }
    let on_letter = said(&board(&faces, &picture, letter(), &Given::default()));
    assert!(on_letter.contains("Lettersheregodownto"), "{on_letter}");
    assert!(on_letter.contains("orlarger"), "{on_letter}");
}

/// Rows whose names begin alike are told apart by their ends.
#[test]
fn very_long_names_are_whole_on_drawings() {
    let faces = Faces::default();
    let plain = scenario("incident.ron");
    let long = "of the Upper Llanfair-pwllgwyngyllgogerychwyrndrobwllllantysiliogogogoch Brigade";
    let edits: Vec<Edit> = plain
        .units
        .iter()
        .map(|unit| {
            let mut unit = unit.clone();
            unit.name = format!("Crew {long}, {}", unit.name);
            Edit::Replace(unit.into())
        })
        .collect();
    let picture = first(plain.apply(&edits).expect("long names are legal"));
    for size in [letter(), Paper::A3.lying()] {
        for (what, document) in drawings(&faces, &picture, size) {
            let said = said(&document);
            if what != "groups" {
                for unit in picture.scenario().units.iter() {
                    assert!(
                        said.contains(&squeezed(&unit.name)),
                        "{what}: {}",
                        unit.name
                    );
                }
            }
            assert!(!said.contains('\u{2026}'), "{what}: something is cut short");
            check_places(what, &document);
        }
    }
}

#[test]
fn an_svg_carries_its_letters_and_has_a_title_of_its_own() {
    let faces = Faces::default();
    let ask = crate::paperwork::ask(scenario("talk-groups.ron"), &[Kind::Diagram]);
    let pieces = ask.set(&mut |_| Go::On).expect("nobody stops it");
    let piece = pieces.first().expect("a paper");
    let mut titles = BTreeSet::new();
    for output in piece.outputs(&faces).expect("it can be written") {
        if output.name.rsplit('.').next() != Some("svg") {
            continue;
        }
        let text = String::from_utf8(output.bytes).expect("it is text");
        assert!(text.contains("@font-face"), "{}", output.name);
        assert!(text.contains("data:font/ttf;base64,"), "{}", output.name);
        assert!(
            text.len() < 1_500_000,
            "{} has {} bytes",
            output.name,
            text.len()
        );
        let title = text
            .split_once("<title>")
            .and_then(|(_, rest)| rest.split_once("</title>"));
        let title = title.expect("it has a title").0.to_owned();
        assert!(!title.contains("Diagrams"), "{title}");
        assert!(titles.insert(title), "two drawings of one title");
    }
    assert!(titles.len() >= 3, "{titles:?}");
    let starts = |word: &str| titles.iter().any(|t| t.starts_with(word));
    assert!(
        starts("Board:") && starts("Talk groups:") && starts("Who hears whom:"),
        "{titles:?}"
    );
    let texts = piece.document.texts().concat().join(" ");
    assert!(
        !texts.contains(", from 20"),
        "dates as the forms write them"
    );
}
