//! Everybody with everybody: rows speak, columns listen, a sign for how each sounds to each.

use std::collections::BTreeMap;
use std::ops::Range;

use emath::{Rect, Vec2, pos2, vec2};

use super::cells::Tile;
use super::fit::Type;
use super::legend::Legend;
use super::marks::{frame_pen, sound, unmet};
use super::page::Sheet;
use super::roll::Roll;
use crate::model::Need;
use crate::paperwork::given::Given;
use crate::paperwork::set::face::{Face, Faces};
use crate::paperwork::set::ink::Ink;
use crate::paperwork::set::sheet::Document;
use crate::picture::Picture;
use crate::picture::sounds::Sound;

/// Smallest side of a cell, in points: signs and names can still be read. Common practice, no source.
const LEAST_CELL: f32 = 9.0;
/// Largest side of a cell on a letter-size page, in points.
const MOST_CELL: f32 = 22.0;
/// Most pages; whoever does not fit on them is left out, and the pages say so.
const MOST_PAGES: usize = 12;

/// Draws who hears whom in a phase on pages of a size, in points.
///
/// Parties that do not fit on a page at a size that can be read go on further pages, with the names
/// repeated on each.
pub fn matrix(faces: &Faces, picture: &Picture, size: Vec2, given: &Given) -> Document {
    let mut sheet = Sheet::new(faces, picture, size, given, "Who hears whom");
    if picture.hearing().parties().is_empty() {
        sheet.nothing("Nobody is planned yet who could speak or listen.");
        return sheet.finish();
    }
    let is_beside = sheet.free().width() > sheet.free().height() * 1.2;
    let everybody = Roll::of(picture, usize::MAX);
    let legend = legend(picture, &everybody);
    let spare = |sheet: &Sheet<'_>| {
        let free = sheet.free();
        if is_beside {
            return vec2(free.width() - beside(sheet.unit), free.height());
        }
        let below = legend.height(sheet.faces(), free.width(), sheet.unit) + 8.0 * sheet.unit;
        vec2(free.width(), free.height() - below)
    };
    let mut room = spare(&sheet);
    let mut roll = everybody;
    let mut plan = Plan::of(faces, &roll, room, sheet.unit);
    if plan.pages() > 1 {
        // What heads a page of several takes room as well.
        room.y -= 46.0 * sheet.unit;
        plan = Plan::of(faces, &roll, room, sheet.unit);
    }
    if plan.pages() > MOST_PAGES {
        let most = plan.most(MOST_PAGES);
        roll = Roll::of(picture, most);
        plan = Plan::of(faces, &roll, room, sheet.unit);
    }
    let tiles = plan.tiles(roll.entries.len());
    for (i, (rows, columns)) in tiles.iter().enumerate() {
        if i > 0 {
            sheet.next_page();
        }
        if tiles.len() > 1 {
            sheet.subject(&about(&roll, rows, columns));
        }
        if !roll.left_out.is_empty() {
            sheet.note(&roll.left_out);
        }
        let place = if is_beside {
            let free = sheet.free();
            let left = free.max.x - beside(sheet.unit) + 12.0 * sheet.unit;
            sheet.legend_at(
                &legend,
                Rect::from_min_max(pos2(left, free.min.y), free.max),
            );
            Rect::from_min_max(free.min, pos2(left - 12.0 * sheet.unit, free.max.y))
        } else {
            sheet.legend_below(&legend)
        };
        let tile = Tile {
            faces,
            picture,
            roll: &roll,
            plan,
            rows: rows.clone(),
            columns: columns.clone(),
        };
        let parts = tile.parts(place);
        let says = says(picture, &roll, rows, columns);
        sheet.figure(says, parts);
    }
    sheet.finish()
}

/// Returns the width of a legend beside the cells, in points.
fn beside(unit: f32) -> f32 {
    168.0 * unit
}

/// How cells lie on a page.
#[derive(Debug, Clone, Copy)]
pub(super) struct Plan {
    /// Side of a cell, in points.
    pub(super) cell: f32,
    /// Width of the names of the rows, in points.
    pub(super) names_wide: f32,
    /// Height of the names of the columns, in points.
    pub(super) names_high: f32,
    /// Thickness of the bands with the agencies, in points.
    pub(super) band: f32,
    /// How much larger letters are than on a letter-size page.
    pub(super) unit: f32,
    columns: usize,
    rows: usize,
    across: usize,
    down: usize,
}

impl Plan {
    fn of(faces: &Faces, roll: &Roll, room: Vec2, unit: f32) -> Self {
        let count = roll.entries.len().max(1);
        let widths = roll.entries.iter().map(|entry| {
            let line = faces.line(Face::Regular, &entry.name);
            line.width(1.0)
        });
        let widest = widths.fold(0.0, f32::max);
        let with = |cell: f32| {
            let letters = name_type(cell, unit).most;
            let names = widest * letters * 1.02 + 4.0 * unit;
            Self {
                cell,
                names_wide: names.min(room.x * 0.24),
                names_high: names.min(room.y * 0.26),
                band: 20.0 * unit,
                unit,
                columns: count,
                rows: count,
                across: 1,
                down: 1,
            }
        };
        let left =
            |plan: &Self| room - vec2(plan.names_wide, plan.names_high) - Vec2::splat(plan.band);
        let mut cell = MOST_CELL * unit;
        while cell >= LEAST_CELL {
            let plan = with(cell);
            if left(&plan).min_elem() >= cell * count as f32 {
                return plan;
            }
            cell *= 0.985;
        }
        let plan = with(LEAST_CELL);
        let fit = left(&plan) / LEAST_CELL;
        let (columns, rows) = (fit.x.floor().max(1.0), fit.y.floor().max(1.0));
        let (across, down) = (
            count.div_ceil(columns as usize),
            count.div_ceil(rows as usize),
        );
        let (columns, rows) = (count.div_ceil(across), count.div_ceil(down));
        // Pages that share the parties evenly have room for larger cells.
        let mut cell = MOST_CELL * unit;
        while cell > LEAST_CELL {
            let room = left(&with(cell));
            if room.x >= cell * columns as f32 && room.y >= cell * rows as f32 {
                break;
            }
            cell *= 0.985;
        }
        Self {
            columns,
            rows,
            across,
            down,
            ..with(cell.max(LEAST_CELL))
        }
    }

    fn pages(&self) -> usize {
        self.across * self.down
    }

    /// Returns how many parties so many pages take.
    fn most(&self, pages: usize) -> usize {
        let side = |count: usize, each: usize| count.div_ceil(each.max(1));
        let upper = self.columns.max(self.rows) * pages;
        let fits = |count: &usize| side(*count, self.columns) * side(*count, self.rows) <= pages;
        (1..=upper).rev().find(fits).unwrap_or(1)
    }

    /// Lists the stretches of rows and columns that share a page.
    fn tiles(&self, count: usize) -> Vec<(Range<usize>, Range<usize>)> {
        let cut = |each: usize| -> Vec<Range<usize>> {
            let starts = (0..count).step_by(each.max(1));
            starts
                .map(|from| from..(from + each.max(1)).min(count))
                .collect()
        };
        let columns = cut(self.columns);
        let rows = cut(self.rows).into_iter();
        rows.flat_map(|rows| {
            columns
                .iter()
                .map(move |columns| (rows.clone(), columns.clone()))
        })
        .collect()
    }
}

/// Returns how names stand beside cells of a side.
pub(super) fn name_type(cell: f32, unit: f32) -> Type {
    let most = (cell * 0.7).min(9.0 * unit);
    Type::plain(most, most * 0.7)
}

fn about(roll: &Roll, rows: &Range<usize>, columns: &Range<usize>) -> String {
    let ends = |range: &Range<usize>| {
        let name = |place: usize| roll.entries.get(place).map_or("", |e| e.name.as_str());
        format!(
            "{} to {}",
            name(range.start),
            name(range.end.saturating_sub(1))
        )
    };
    format!("{} speak; {} listen", ends(rows), ends(columns))
}

/// Counts the pairs of each word.
fn tally(
    picture: &Picture,
    roll: &Roll,
    rows: &Range<usize>,
    columns: &Range<usize>,
) -> BTreeMap<Sound, usize> {
    let mut tally = BTreeMap::new();
    for from in roll.entries.get(rows.clone()).unwrap_or(&[]) {
        for to in roll.entries.get(columns.clone()).unwrap_or(&[]) {
            let sound = picture.sounds().at(picture.hearing(), from.place, to.place);
            if let Some(sound) = sound {
                *tally.entry(sound).or_default() += 1;
            }
        }
    }
    tally
}

fn says(picture: &Picture, roll: &Roll, rows: &Range<usize>, columns: &Range<usize>) -> String {
    let tally = tally(picture, roll, rows, columns);
    let all: usize = tally.values().sum();
    let counts: Vec<String> = Sound::ALL
        .iter()
        .filter_map(|sound| {
            let count = tally.get(sound).filter(|count| **count > 0)?;
            Some(format!("{count} {}", sound.word()))
        })
        .collect();
    format!(
        "Who hears whom: {} speak in rows, {} listen in columns. Of {all} pairs: {}.",
        rows.len(),
        columns.len(),
        if counts.is_empty() {
            "none".to_owned()
        } else {
            counts.join(", ")
        }
    )
}

/// Says what a word means.
const fn meaning(sound: Sound) -> &'static str {
    match sound {
        Sound::Heard => "Heard, and nothing is wrong with it",
        Sound::OneWay => "One-way: heard, and the hearer has no way back",
        Sound::Clipped => "Start lost: the beginning of the message is cut off",
        Sound::ByScan => "By scan: heard by a scanning receiver only",
        Sound::Late => "Late: later than a need accepts or planning allows",
        Sound::InClear => "In clear: where it must be or begins encrypted",
        Sound::Silent => "Not heard",
    }
}

fn legend(picture: &Picture, roll: &Roll) -> Legend {
    let mut legend = Legend::default();
    for word in Sound::ALL {
        legend.sign(meaning(word), move |room| {
            sound(word, room.center(), room.height() * 0.42)
        });
    }
    if !picture.scenario().needs.is_empty() {
        let framed = |room: Rect, is_apart: bool| {
            let cell = Rect::from_center_size(room.center(), Vec2::splat(room.height()));
            let edge = frame_pen(room.height() * 1.4, is_apart);
            vec![Ink::rect(cell, None, Some(edge))]
        };
        legend.sign("Framed: a need asks for this pair", move |room| {
            framed(room, false)
        });
        if picture.scenario().needs.iter().any(Need::keeps_apart) {
            legend.sign(
                "Framed in dashes: a need keeps this pair apart",
                move |room| framed(room, true),
            );
        }
        legend.sign(
            "Framed and crossed: a need does not get what it asks",
            move |room| {
                let mut inks = framed(room, false);
                inks.extend(unmet(room.center(), room.height() * 0.34));
                inks
            },
        );
    }
    let shorts: Vec<String> = roll
        .groups
        .iter()
        .filter(|group| group.name != group.short)
        .map(|group| format!("{} {}", group.short, group.name))
        .collect();
    if !shorts.is_empty() {
        legend.paragraph(format!("In short: {}", shorts.join("; ")));
    }
    legend
}
