//! Every kind of thing seen the same way: the [`Listed`] trait, the [`Thing`] sum and the ordered
//! [`Table`] that a scenario keeps for each kind.

use std::sync::Arc;

use super::air::{Channel, System};
use super::gear::{Cable, Gateway, Headset, Site, Stock, Telephone, Tie};
use super::id::{
    AgencyId, AgreementId, CableId, ChannelId, GatewayId, HeadsetId, Kind, NeedId, PhaseId,
    RadioId, SiteId, StockId, SystemId, TelephoneId, ThingId, ThingKey, TieId, UnitId,
};
use super::people::{Agency, Agreement, Need, Unit};
use super::phase::Phase;
use super::radio::Radio;

/// What all things have in common.
pub trait Listed: Clone {
    /// The typed id.
    type Id: ThingKey;
    /// The kind.
    const KIND: Kind;

    /// Returns the identity.
    fn id(&self) -> Self::Id;
    /// Returns the word files and commands use.
    fn key(&self) -> &str;
    /// Returns the name people use.
    fn name(&self) -> &str;
    /// Replaces the key; only the gate does, when it gives a new thing its first one.
    fn set_key(&mut self, key: String);
}

macro_rules! things {
    ($($kind:ident: $id:ident, $doc:literal;)+) => {
        $(
            impl Listed for $kind {
                type Id = $id;
                const KIND: Kind = Kind::$kind;

                fn id(&self) -> $id {
                    self.id
                }
                fn key(&self) -> &str {
                    &self.key
                }
                fn name(&self) -> &str {
                    &self.name
                }
                fn set_key(&mut self, key: String) {
                    self.key = key;
                }
            }

            impl From<$kind> for Thing {
                fn from(thing: $kind) -> Self {
                    Self::$kind(thing)
                }
            }
        )+

        /// Any one thing with everything in it, as an edit carries it.
        #[derive(Debug, Clone, PartialEq)]
        pub enum Thing {
            $(
                #[doc = $doc]
                $kind($kind),
            )+
        }

        impl Thing {
            /// Returns the identity.
            pub fn id(&self) -> ThingId {
                match self {
                    $(Self::$kind(thing) => thing.id.into(),)+
                }
            }

            /// Returns the key.
            pub fn key(&self) -> &str {
                match self {
                    $(Self::$kind(thing) => &thing.key,)+
                }
            }

            /// Returns the name.
            pub fn name(&self) -> &str {
                match self {
                    $(Self::$kind(thing) => &thing.name,)+
                }
            }

            /// Returns the name for changing it; the change still has to pass the gate.
            pub fn name_mut(&mut self) -> &mut String {
                match self {
                    $(Self::$kind(thing) => &mut thing.name,)+
                }
            }
        }
    };
}

things! {
    Phase: PhaseId, "A phase.";
    Agency: AgencyId, "An agency.";
    Unit: UnitId, "A unit.";
    System: SystemId, "A radio system.";
    Channel: ChannelId, "A channel.";
    Radio: RadioId, "A radio.";
    Gateway: GatewayId, "A gateway.";
    Tie: TieId, "A tie.";
    Telephone: TelephoneId, "A telephone.";
    Headset: HeadsetId, "A headset.";
    Cable: CableId, "A kind of cable.";
    Site: SiteId, "A site.";
    Need: NeedId, "A need.";
    Stock: StockId, "A line of stock.";
    Agreement: AgreementId, "An agreement.";
}

/// The things of one kind, in the order of their ids unless somebody moved one.
///
/// Rows are shared between copies, and all together until one is changed, so that a snapshot for undo
/// costs next to nothing.
#[derive(Debug, Clone)]
pub struct Table<T> {
    rows: Arc<Rows<T>>,
}

/// Invariant: no id stands twice, `numbers` has those of the ids in the order of `all`, and `is_sorted`
/// tells whether they rise.
#[derive(Debug)]
struct Rows<T> {
    all: Vec<Arc<T>>,
    /// Side by side, so that looking for an id looks into no row.
    numbers: Vec<u32>,
    is_sorted: bool,
}

impl<T> Clone for Rows<T> {
    fn clone(&self) -> Self {
        Self {
            all: self.all.clone(),
            numbers: self.numbers.clone(),
            is_sorted: self.is_sorted,
        }
    }
}

impl<T> Default for Table<T> {
    fn default() -> Self {
        Self {
            rows: Arc::new(Rows {
                all: Vec::new(),
                numbers: Vec::new(),
                is_sorted: true,
            }),
        }
    }
}

impl<T: PartialEq> PartialEq for Table<T> {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.rows, &other.rows) || self.rows.all == other.rows.all
    }
}

impl<T: Eq> Eq for Table<T> {}

impl<T: Listed> Table<T> {
    /// Returns the thing with this id.
    pub fn get(&self, id: T::Id) -> Option<&T> {
        self.place(id).ok().and_then(|i| self.at(i))
    }

    /// Returns the thing with this key; the first, though the gate lets no two share one.
    pub fn by_key(&self, key: &str) -> Option<&T> {
        self.iter().find(|thing| thing.key() == key)
    }

    /// Tells whether the id is in use.
    pub fn contains(&self, id: T::Id) -> bool {
        self.place(id).is_ok()
    }

    /// Walks the things in their order.
    pub fn iter(&self) -> impl DoubleEndedIterator<Item = &T> + ExactSizeIterator {
        self.rows.all.iter().map(AsRef::as_ref)
    }

    /// Walks the ids in their order.
    pub fn ids(&self) -> impl Iterator<Item = T::Id> + '_ {
        self.iter().map(Listed::id)
    }

    /// Returns the first thing.
    pub fn first(&self) -> Option<&T> {
        self.at(0)
    }

    /// Returns the thing at a place in the order, counted from 0.
    pub fn at(&self, place: usize) -> Option<&T> {
        self.rows.all.get(place).map(AsRef::as_ref)
    }

    /// Returns the place of a thing in the order, counted from 0.
    pub fn place_of(&self, id: T::Id) -> Option<usize> {
        self.place(id).ok()
    }

    /// Returns how many there are.
    pub fn len(&self) -> usize {
        self.rows.all.len()
    }

    /// Tells whether there is none.
    pub fn is_empty(&self) -> bool {
        self.rows.all.is_empty()
    }

    /// Tells whether another table is a copy of this one in which nothing was changed since.
    ///
    /// Tables that are equal without one being a copy of the other are not looked into.
    pub fn is_shared_with(&self, other: &Self) -> bool {
        let rows = self.rows.all.iter().zip(&other.rows.all);
        Arc::ptr_eq(&self.rows, &other.rows)
            || self.len() == other.len() && { rows }.all(|(a, b)| Arc::ptr_eq(a, b))
    }

    pub(super) fn put(&mut self, thing: T) {
        let place = self.place(thing.id());
        let table = Arc::make_mut(&mut self.rows);
        match place {
            Ok(i) => {
                if let Some(row) = table.all.get_mut(i) {
                    *row = Arc::new(thing);
                }
            }
            Err(i) => {
                table.numbers.insert(i, thing.id().number());
                table.all.insert(i, Arc::new(thing));
            }
        }
    }

    pub(super) fn take(&mut self, id: T::Id) {
        if let Ok(i) = self.place(id) {
            let table = Arc::make_mut(&mut self.rows);
            table.all.remove(i);
            table.numbers.remove(i);
            table.is_sorted = table.is_sorted || table.numbers.is_sorted();
        }
    }

    /// Changes each thing that `wants` it; the others stay shared with older snapshots.
    pub(super) fn change_where(&mut self, wants: impl Fn(&T) -> bool, change: impl Fn(&mut T)) {
        if !self.iter().any(&wants) {
            return;
        }
        for row in &mut Arc::make_mut(&mut self.rows).all {
            if wants(row) {
                change(Arc::make_mut(row));
            }
        }
    }

    pub(super) fn change(&mut self, id: T::Id, change: impl FnOnce(&mut T)) {
        if let Ok(i) = self.place(id)
            && let Some(row) = Arc::make_mut(&mut self.rows).all.get_mut(i)
        {
            change(Arc::make_mut(row));
        }
    }

    /// Puts a thing elsewhere in the order, counted from 0; past the end it comes last.
    ///
    /// What was moved is looked for id by id from then on, so this is for short tables.
    pub(super) fn move_to(&mut self, id: T::Id, place: usize) {
        if let Ok(i) = self.place(id) {
            let table = Arc::make_mut(&mut self.rows);
            let row = table.all.remove(i);
            let number = table.numbers.remove(i);
            let place = place.min(table.all.len());
            table.all.insert(place, row);
            table.numbers.insert(place, number);
            table.is_sorted = table.numbers.is_sorted();
        }
    }

    fn place(&self, id: T::Id) -> Result<usize, usize> {
        let (numbers, number) = (&self.rows.numbers, id.number());
        if self.rows.is_sorted {
            return numbers.binary_search(&number);
        }
        let found = numbers.iter().position(|other| *other == number);
        found.ok_or(numbers.len())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_table_finds_what_a_list_finds() {
        let mut seed = 3_u64;
        let mut below = |end: u64| {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            ((seed >> 33) % end) as u32
        };
        let mut table: Table<Cable> = Table::default();
        let mut list: Vec<Cable> = Vec::new();
        for _ in 0..2_000 {
            let before = table.clone();
            let was = list.clone();
            let id = CableId(below(40));
            let place = list.iter().position(|c| c.id == id);
            match below(4) {
                0 => {
                    table.take(id);
                    list.retain(|c| c.id != id);
                }
                1 if place.is_some() => {
                    let to = below(45) as usize;
                    table.move_to(id, to);
                    let cable = list.remove(place.unwrap());
                    list.insert(to.min(list.len()), cable);
                }
                _ => {
                    let cable = Cable {
                        id,
                        key: format!("cable-{}", below(9)),
                        name: String::new(),
                        radio_connector: String::new(),
                        port_connector: String::new(),
                        count: 0,
                        notes: String::new(),
                    };
                    let rises = list.is_sorted_by_key(|c| c.id);
                    let end = list.len();
                    match place {
                        Some(place) => list[place] = cable.clone(),
                        None if rises => {
                            list.insert(list.partition_point(|c| c.id < id), cable.clone());
                        }
                        None => list.insert(end, cable.clone()),
                    }
                    table.put(cable);
                }
            }
            assert!(table.iter().eq(&list));
            assert!(before.iter().eq(&was), "a copy stays as it was");
            for number in 0..40 {
                let id = CableId(number);
                let place = list.iter().position(|c| c.id == id);
                assert_eq!(table.place_of(id), place);
                assert_eq!(table.get(id), place.map(|p| &list[p]));
            }
        }
        assert!(list.len() > 5);
    }
}
