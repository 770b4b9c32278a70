//! The briefing: what is wrong, what each need hangs on, how loaded the nets are, and what changed.

use emath::{Rect, pos2, vec2};

use crate::engineering::traffic::erlang_c::Waiting;
use crate::model::{Finding, Grade, Severity, ThingId};
use crate::picture::Picture;
use crate::picture::compare::{self, About};
use crate::picture::resilience::{self, Breaks};
use crate::picture::standing::NeedState;
use crate::picture::traffic::Net;
use crate::sheets::Choice as _;

use super::forms::ics205::capital;
use super::on::On;
use super::period::day_words;
use super::set::blocks::Field;
use super::set::composer::{Composer, Pad, leading};
use super::set::face::Face;
use super::set::ink::{Ink, Pen, Tint};
use super::set::sheet::Document;
use super::set::table::{Cell, Column, Table};

/// Nets in the plot of loads.
const MOST_NETS: usize = 40;
/// Share of the width for the names in the plot of loads, and the size of their letters.
const NAME: f32 = 0.33;
const NAME_SIZE: f32 = 8.5;
/// Needs beyond which what each hangs on is not looked for one by one.
const MOST_NEEDS: usize = 400;

/// Sets the briefing; `before` is the phase before, if there is one.
pub fn set(on: &On<'_>, before: Option<&Picture>) -> Document {
    let top = vec![
        Field::new("Incident", on.incident(), 5.0),
        Field::new("Operational period", on.period_words(), 5.0),
    ];
    let mut page = on.begin("Communications briefing", on.given.paper.upright(), top);
    page.gap(6.0);
    summary(on, &mut page);
    let needs = resilience::to_be_heard(on.scenario()).take(MOST_NEEDS);
    let breaks: Vec<Breaks> = needs
        .map(|need| on.picture.need_ways().breaks(on.picture, need))
        .collect();
    needs_table(on, &breaks, &mut page);
    findings_table(on, &mut page);
    accepted_table(on, &mut page);
    points(on, &breaks, &mut page);
    loads(on, &mut page);
    if let Some(before) = before {
        changes(on, before, &mut page);
    }
    on.finish(page, "Briefing", "Briefing")
}

fn summary(on: &On<'_>, page: &mut Composer<'_>) {
    let count = |severity| on.report.count(severity);
    let (stops, warns, notes) = (
        count(Severity::Stops),
        count(Severity::Warns),
        count(Severity::Notes),
    );
    let s = on.scenario();
    let is_empty = s.units.is_empty() && s.radios.is_empty() && s.gateways.is_empty();
    let verdict = match (stops, warns) {
        _ if is_empty => "The plan is empty: there is nothing to judge yet.",
        (0, 0) => "Nothing stops the plan and nothing warns of it.",
        (0, _) => "Nothing stops the plan; read the warnings.",
        _ => "NOT READY: the plan does not work as it is.",
    };
    page.paragraph(verdict, Face::Bold, 11.0);
    page.paragraph(
        &format!(
            "{stops} stop it, {warns} warn, {notes} are worth knowing; {} accepted, {} put aside until a \
             later phase.",
            on.report.accepted.len(),
            on.report.aside.len()
        ),
        Face::Regular,
        9.5,
    );
    page.gap(6.0);
}

fn needs_table(on: &On<'_>, breaks: &[Breaks], page: &mut Composer<'_>) {
    const TITLE: &str = "Needs: who must reach whom";
    if on.scenario().needs.is_empty() {
        page.heading(2, TITLE);
        page.paragraph("The plan names no needs.", Face::Regular, 9.0);
        page.gap(6.0);
        return;
    }
    let mut table = Table::new(
        vec![
            Column::new("Need", 4.0),
            Column::new("Priority", 1.3),
            Column::new("State", 2.6),
            Column::new("Latest pair", 1.3),
            Column::new("Ways", 0.9),
            Column::new("Hangs alone on", 4.0),
        ],
        8.5,
    );
    for need in on.scenario().needs.iter() {
        let state = NeedState::of(on.picture, need);
        let broken = breaks.iter().find(|b| b.need == need.id);
        let singles: Vec<String> = broken
            .into_iter()
            .flat_map(|b| &b.singles)
            .map(|item| item.name(on.scenario()))
            .collect();
        let latest = state
            .latest
            .map_or_else(String::new, |(_, _, ms)| format!("{ms} ms"));
        table.row(vec![
            Cell::head(need.name.clone()),
            Cell::text(capital(need.priority.words())),
            Cell::text(state.standing.words(need.keeps_apart())),
            Cell::text(latest),
            Cell::text(broken.map_or_else(String::new, |b| b.depth().to_string())),
            Cell::text(singles.join(", ")),
        ]);
    }
    page.heading_over(2, TITLE, &table);
    page.gap(3.0);
    page.paragraph(
        "Ways: how many ways that share nothing on the way, spare channels counted, from 0 to 4 (primary, \
         alternate, contingency, emergency).",
        Face::Regular,
        8.0,
    );
    page.gap(8.0);
}

fn findings_table(on: &On<'_>, page: &mut Composer<'_>) {
    const TITLE: &str = "Findings";
    if on.report.open.is_empty() {
        page.heading(2, TITLE);
        page.paragraph("None is open.", Face::Regular, 9.0);
        page.gap(6.0);
        return;
    }
    let mut table = Table::new(
        vec![
            Column::new("How bad", 1.1),
            Column::new("Code", 0.8),
            Column::new("What is wrong", 6.0),
            Column::new("What to do", 5.0),
        ],
        8.5,
    );
    for finding in &on.report.open {
        table.row(vec![
            Cell::bold(capital(finding.severity.word())),
            Cell::text(finding.code),
            Cell::text(finding.headline.clone()),
            Cell::text(cure(finding)),
        ]);
    }
    page.heading_over(2, TITLE, &table);
    page.gap(8.0);
}

/// What somebody has accepted or put aside: it holds all the same, so it is told with who, when and why.
fn accepted_table(on: &On<'_>, page: &mut Composer<'_>) {
    let report = on.report;
    if report.accepted.is_empty() && report.aside.is_empty() {
        return;
    }
    let mut table = Table::new(
        vec![
            Column::new("", 1.5),
            Column::new("Code", 0.8),
            Column::new("What holds all the same", 5.0),
            Column::new("Why it was accepted", 3.6),
            Column::new("By, on", 2.0),
        ],
        8.5,
    );
    for finding in report.accepted.iter().chain(report.aside.iter()) {
        let id = finding.id();
        let mut all = on.scenario().accepted.iter();
        let Some(acceptance) = all.rfind(|a| a.finding == id) else {
            continue;
        };
        let state = acceptance.until.map_or_else(
            || "Accepted".to_owned(),
            |until| format!("Put aside until {}", on.name(until)),
        );
        table.row(vec![
            Cell::bold(state),
            Cell::text(finding.code),
            Cell::text(format!(
                "{} ({})",
                finding.headline,
                finding.severity.word()
            )),
            Cell::text(acceptance.reason.clone()),
            Cell::text(format!("{}, {}", acceptance.by, day_words(&acceptance.on))),
        ]);
    }
    page.heading_over(2, "Accepted and put aside", &table);
    page.gap(8.0);
}

/// What a person can do: the hint, and a fix only where it changes nothing but what is wrong.
fn cure(finding: &Finding) -> String {
    if let Some(hint) = finding.hints.first() {
        return hint.clone();
    }
    let mut safe = finding.fixes.iter().filter(|f| f.grade == Grade::Safe);
    if let Some(fix) = safe.next() {
        return fix.title.clone();
    }
    "Look at it on the board and decide there: every cure has a price.".to_owned()
}

fn points(on: &On<'_>, breaks: &[Breaks], page: &mut Composer<'_>) {
    const TITLE: &str = "Single points of failure";
    let singles = breaks.iter().map(|b| (b.need, b.singles.as_slice()));
    let worst = resilience::worst(singles);
    if worst.is_empty() {
        page.heading(2, TITLE);
        page.paragraph(
            "No need that is met hangs on one thing alone.",
            Face::Regular,
            9.0,
        );
        page.gap(6.0);
        return;
    }
    let mut table = Table::new(
        vec![
            Column::new("If this fails", 4.0),
            Column::centred("Needs lost", 1.0),
            Column::new("Which", 7.0),
        ],
        8.5,
    );
    for (item, needs) in worst {
        let names: Vec<String> = needs.iter().map(|n| on.name(*n)).collect();
        table.row(vec![
            Cell::head(item.name(on.scenario())),
            Cell::text(needs.len().to_string()),
            Cell::text(names.join(", ")),
        ]);
    }
    page.heading_over(2, TITLE, &table);
    page.gap(8.0);
}

/// Bars of the loads, with the ceilings of practice.
fn loads(on: &On<'_>, page: &mut Composer<'_>) {
    page.need(110.0);
    page.heading(2, "Loads");
    let traffic = on.picture.traffic();
    let groups = traffic
        .groups
        .iter()
        .map(|(id, net)| (ThingId::from(*id), net));
    let channels = traffic
        .channels
        .iter()
        .map(|(id, net)| (ThingId::from(*id), net));
    let mut nets: Vec<(ThingId, &Net)> = groups
        .chain(channels)
        .filter(|(_, n)| n.all_erl > 0.0)
        .collect();
    nets.sort_by(|a, b| b.1.all_erl.total_cmp(&a.1.all_erl).then(a.0.cmp(&b.0)));
    if nets.is_empty() {
        page.paragraph("Nobody is planned to speak.", Face::Regular, 9.0);
        return;
    }
    let practice = &on.scenario().practice;
    page.paragraph(
        &format!(
            "Share of time a net is busy in the busiest hour. Dashed: {} is comfortable, {} is the most.",
            practice.load_comfortable_erl, practice.load_most_erl
        ),
        Face::Regular,
        8.5,
    );
    page.gap(2.0);
    let most = nets.iter().map(|(_, n)| n.all_erl).fold(1.0, f64::max);
    for (id, net) in nets.into_iter().take(MOST_NETS) {
        let words = format!("{:.2}, {}", net.all_erl, waiting(net.now));
        let name = on.name(id);
        let says = format!("Load of {name}: {words}");
        let ceilings = [practice.load_comfortable_erl, practice.load_most_erl];
        let lines = page
            .faces
            .wrap(Face::Bold, &name, NAME_SIZE, page.width() * NAME - 6.0);
        let size = vec2(page.width(), lines.len() as f32 * leading(NAME_SIZE) + 5.0);
        page.figure(&says, size, |pad| {
            bar(pad, &name, net, &words, most, ceilings);
        });
    }
    page.gap(8.0);
}

fn bar(pad: &mut Pad<'_>, name: &str, net: &Net, words: &str, most: f64, ceilings: [f64; 2]) {
    let area = pad.area;
    let name_width = area.width() * NAME;
    let words_width = area.width() * 0.27;
    pad.wrapped(
        area.min + vec2(0.0, 2.0),
        name_width - 6.0,
        Face::Bold,
        NAME_SIZE,
        Tint::BLACK,
        name,
    );
    let plot = Rect::from_min_max(
        pos2(area.min.x + name_width, area.min.y + 2.0),
        pos2(area.max.x - words_width, area.min.y + 12.0),
    );
    let at = |erlangs: f64| plot.min.x + plot.width() * (erlangs / most) as f32;
    pad.inks
        .push(Ink::rect(plot, None, Some(Pen::new(Tint::RULE, 0.5))));
    let all = Rect::from_min_max(plot.min, pos2(at(net.all_erl), plot.max.y));
    pad.inks.push(Ink::rect(
        all,
        Some(Tint(150, 150, 150)),
        Some(Pen::new(Tint::BLACK, 0.5)),
    ));
    for ceiling in ceilings {
        let x = at(ceiling);
        let pen = Pen::new(Tint::BLACK, 0.8).dashed(2.0, 1.5);
        pad.inks.push(Ink::rule(
            pos2(x, plot.min.y - 2.0),
            pos2(x, plot.max.y + 2.0),
            pen,
        ));
    }
    let at = pos2(plot.max.x + 6.0, area.min.y + 2.0);
    pad.fitted(
        at,
        words_width - 6.0,
        Face::Regular,
        8.0,
        Tint::BLACK,
        words,
    );
}

fn waiting(waiting: Waiting) -> String {
    match waiting {
        Waiting::Settles { mean_wait_s, .. } => format!("mean wait {mean_wait_s:.1} s"),
        Waiting::GrowsWithoutEnd => "overloaded: waits grow without end".to_owned(),
    }
}

fn changes(on: &On<'_>, before: &Picture, page: &mut Composer<'_>) {
    let name = before
        .phase()
        .map_or("the phase before", |p| p.name.as_str());
    page.heading(2, &format!("Changed since {name}"));
    let comparison = compare::compare(before, on.picture);
    // Two phases of one plan differ in their periods by nature: each is named with its own.
    let own = comparison.differences.iter();
    let told: Vec<String> = own
        .filter(|d| d.about != About::Period)
        .map(|d| capital(&d.words))
        .collect();
    if let Some(period) = &on.period {
        let words = format!("{}: {}", on.phase_name(), period.words());
        page.marked("\u{2022}", &words, 9.0, 10.0);
    }
    if told.is_empty() {
        page.marked("\u{2022}", "Nothing else", 9.0, 10.0);
    }
    for words in &told {
        page.marked("\u{2022}", words, 9.0, 10.0);
    }
}
