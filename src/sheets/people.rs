//! The tables of units, agencies, needs and agreements.

use std::collections::BTreeSet;

use super::cells::{count, milliseconds, per_hour, seconds, shown};
use super::column::{
    Heading, Row, choice_column, link_column, links_column, optional_column, text_column,
    value_column, yes_column,
};
use super::offer::{Table, put};
use crate::model::{
    Agency, AgencyId, Agreement, AgreementId, Discipline, Kind, Level, Need, NeedId, Priority,
    Role, ThingId, Unit, UnitId, Way,
};

const NAME: Heading = Heading::new("Name", "name", 22, "At least one letter").needed();
const NOTES: Heading = Heading::new("Notes", "notes", 26, "Free text");

pub(super) static UNITS: Table<Unit> = Table {
    name: "Units",
    kind: Kind::Unit,
    row_word: "unit",
    columns: &[
        text_column!(
            Heading::new("Name", "name", 22, "Name as spoken on the air").needed(),
            name
        ),
        link_column!(
            Heading::new("Agency", "agency", 22, "Name or key of an agency, or empty"),
            agencies,
            agency
        ),
        value_column!(
            Heading::new("Heads", "heads", 7, "How many people, from 1"),
            heads,
            shown,
            count
        ),
        choice_column!(
            Heading::new("Role", "role", 10, "What it does at the incident"),
            Role,
            role
        ),
        value_column!(
            Heading::new(
                "Messages",
                "messages_per_hour",
                10,
                "Messages each person sends in an hour, 0 to 3600"
            )
            .in_unit("/h"),
            messages_per_hour,
            shown,
            per_hour
        ),
        value_column!(
            Heading::new(
                "Message length",
                "seconds_per_message",
                10,
                "Length of one message in seconds, 0 to 3600"
            )
            .in_unit("s"),
            seconds_per_message,
            shown,
            seconds
        ),
        text_column!(NOTES, notes),
    ],
    rows: |book| {
        let ids = book.scenario.units.ids();
        ids.map(|id| Row::Thing(id.into())).collect()
    },
    draft: |book, row| match row {
        Row::Thing(ThingId::Unit(id)) => book.scenario.units.get(id).cloned(),
        _ => None,
    },
    fresh: |book, offset| Unit {
        id: UnitId(book.scenario.mint(offset)),
        key: String::new(),
        name: String::new(),
        agency: None,
        heads: 1,
        role: Role::default(),
        messages_per_hour: 6.0,
        seconds_per_message: 5.0,
        notes: String::new(),
    },
    edits: put,
};

pub(super) static AGENCIES: Table<Agency> = Table {
    name: "Agencies",
    kind: Kind::Agency,
    row_word: "agency",
    columns: &[
        text_column!(NAME, name),
        text_column!(
            Heading::new("Short name", "short", 12, "For tight places on the board"),
            short
        ),
        choice_column!(
            Heading::new("Discipline", "discipline", 12, "The trade it works in"),
            Discipline,
            discipline
        ),
        choice_column!(
            Heading::new("Level", "level", 10, "The level of government"),
            Level,
            level
        ),
        text_column!(NOTES, notes),
    ],
    rows: |book| {
        let ids = book.scenario.agencies.ids();
        ids.map(|id| Row::Thing(id.into())).collect()
    },
    draft: |book, row| match row {
        Row::Thing(ThingId::Agency(id)) => book.scenario.agencies.get(id).cloned(),
        _ => None,
    },
    fresh: |book, offset| Agency {
        id: AgencyId(book.scenario.mint(offset)),
        key: String::new(),
        name: String::new(),
        short: String::new(),
        discipline: Discipline::default(),
        level: Level::default(),
        notes: String::new(),
    },
    edits: put,
};

pub(super) static NEEDS: Table<Need> = Table {
    name: "Needs",
    kind: Kind::Need,
    row_word: "need",
    columns: &[
        text_column!(
            Heading::new("Name", "name", 28, "What it is for, in a few words").needed(),
            name
        ),
        links_column!(
            Heading::new(
                "From",
                "from",
                26,
                "Those who must be heard, or one side of those kept apart: units, telephones, headsets, with commas between"
            )
            .needed(),
            parties,
            from
        ),
        links_column!(
            Heading::new(
                "To",
                "to",
                26,
                "Those who must hear them, or the other side: units, telephones, headsets, with commas between"
            )
            .needed(),
            parties,
            to
        ),
        choice_column!(
            Heading::new(
                "Way",
                "way",
                11,
                "Both ways, listen only, or kept apart: neither side may hear the other"
            ),
            Way,
            way
        ),
        choice_column!(
            Heading::new("Priority", "priority", 11, "How urgent it is"),
            Priority,
            priority
        ),
        yes_column!(
            Heading::new(
                "Encrypted",
                "encrypted",
                9,
                "Must every hop stay encrypted, yes or no"
            ),
            encrypted
        ),
        optional_column!(
            Heading::new(
                "Longest delay",
                "max_delay_ms",
                12,
                "Longest delay from mouth to ear, in milliseconds, or empty"
            )
            .in_unit("ms"),
            max_delay_ms,
            shown,
            milliseconds
        ),
        text_column!(NOTES, notes),
    ],
    rows: |book| {
        let ids = book.scenario.needs.ids();
        ids.map(|id| Row::Thing(id.into())).collect()
    },
    draft: |book, row| match row {
        Row::Thing(ThingId::Need(id)) => book.scenario.needs.get(id).cloned(),
        _ => None,
    },
    fresh: |book, offset| Need {
        id: NeedId(book.scenario.mint(offset)),
        key: String::new(),
        name: String::new(),
        from: BTreeSet::new(),
        to: BTreeSet::new(),
        way: Way::default(),
        priority: Priority::default(),
        encrypted: false,
        max_delay_ms: None,
        notes: String::new(),
    },
    edits: put,
};

pub(super) static AGREEMENTS: Table<Agreement> = Table {
    name: "Agreements",
    kind: Kind::Agreement,
    row_word: "agreement",
    columns: &[
        text_column!(
            Heading::new("Name", "name", 30, "Title of the paper").needed(),
            name
        ),
        links_column!(
            Heading::new(
                "Agencies",
                "agencies",
                34,
                "Those who may be joined with each other, with commas between"
            ),
            agencies,
            agencies
        ),
        links_column!(
            Heading::new(
                "Channels",
                "channels",
                34,
                "The channels they may use, with commas between"
            ),
            channels,
            channels
        ),
        text_column!(NOTES, notes),
    ],
    rows: |book| {
        let ids = book.scenario.agreements.ids();
        ids.map(|id| Row::Thing(id.into())).collect()
    },
    draft: |book, row| match row {
        Row::Thing(ThingId::Agreement(id)) => book.scenario.agreements.get(id).cloned(),
        _ => None,
    },
    fresh: |book, offset| Agreement {
        id: AgreementId(book.scenario.mint(offset)),
        key: String::new(),
        name: String::new(),
        agencies: BTreeSet::new(),
        channels: BTreeSet::new(),
        notes: String::new(),
    },
    edits: put,
};
