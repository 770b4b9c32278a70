//! The tables of cables and of stock.

use super::cells::{count, shown};
use super::column::{Heading, Row, choice_column, text_column, value_column};
use super::offer::{Table, put};
use crate::model::{Cable, CableId, Kind, Stock, StockId, StockKind, ThingId};

const NOTES: Heading = Heading::new("Notes", "notes", 30, "Free text");
const COUNT: Heading = Heading::new("Count", "count", 8, "How many there are");

pub(super) static CABLES: Table<Cable> = Table {
    name: "Cables",
    kind: Kind::Cable,
    row_word: "cable",
    columns: &[
        text_column!(
            Heading::new("Name", "name", 26, "Name or mark on the cable").needed(),
            name
        ),
        text_column!(
            Heading::new(
                "Radio connector",
                "radio_connector",
                22,
                "Connector it fits at the radio"
            ),
            radio_connector
        ),
        text_column!(
            Heading::new(
                "Port connector",
                "port_connector",
                22,
                "Connector it fits at the gateway"
            ),
            port_connector
        ),
        value_column!(COUNT, count, shown, count),
        text_column!(NOTES, notes),
    ],
    rows: |book| {
        let ids = book.scenario.cables.ids();
        ids.map(|id| Row::Thing(id.into())).collect()
    },
    draft: |book, row| match row {
        Row::Thing(ThingId::Cable(id)) => book.scenario.cables.get(id).cloned(),
        _ => None,
    },
    fresh: |book, offset| Cable {
        id: CableId(book.scenario.mint(offset)),
        key: String::new(),
        name: String::new(),
        radio_connector: String::new(),
        port_connector: String::new(),
        count: 1,
        notes: String::new(),
    },
    edits: put,
};

pub(super) static STOCK: Table<Stock> = Table {
    name: "Stock",
    kind: Kind::Stock,
    row_word: "line of stock",
    columns: &[
        text_column!(
            Heading::new("Name", "name", 30, "What it is").needed(),
            name
        ),
        choice_column!(
            Heading::new("Kind", "kind", 14, "What the line counts"),
            StockKind,
            kind
        ),
        value_column!(COUNT, count, shown, count),
        text_column!(NOTES, notes),
    ],
    rows: |book| {
        let ids = book.scenario.stock.ids();
        ids.map(|id| Row::Thing(id.into())).collect()
    },
    draft: |book, row| match row {
        Row::Thing(ThingId::Stock(id)) => book.scenario.stock.get(id).cloned(),
        _ => None,
    },
    fresh: |book, offset| Stock {
        id: StockId(book.scenario.mint(offset)),
        key: String::new(),
        name: String::new(),
        kind: StockKind::default(),
        count: 1,
        notes: String::new(),
    },
    edits: put,
};
