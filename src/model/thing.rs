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
/// Rows are shared between copies, so that a snapshot for undo costs a pointer a row.
/// Invariant: no id stands twice, and `is_sorted` tells whether `rows` is sorted by id.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Table<T> {
    rows: Vec<Arc<T>>,
    is_sorted: bool,
}

impl<T> Default for Table<T> {
    fn default() -> Self {
        Self {
            rows: Vec::new(),
            is_sorted: true,
        }
    }
}

impl<T: Listed> Table<T> {
    /// Returns the thing with this id.
    pub fn get(&self, id: T::Id) -> Option<&T> {
        self.place(id)
            .ok()
            .and_then(|i| self.rows.get(i))
            .map(AsRef::as_ref)
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
        self.rows.iter().map(AsRef::as_ref)
    }

    /// Walks the ids in their order.
    pub fn ids(&self) -> impl Iterator<Item = T::Id> + '_ {
        self.iter().map(Listed::id)
    }

    /// Returns the first thing.
    pub fn first(&self) -> Option<&T> {
        self.rows.first().map(AsRef::as_ref)
    }

    /// Returns how many there are.
    pub fn len(&self) -> usize {
        self.rows.len()
    }

    /// Tells whether there is none.
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// Tells whether another table is a copy of this one in which nothing was changed since.
    ///
    /// Tables that are equal without one being a copy of the other are not looked into.
    pub fn is_shared_with(&self, other: &Self) -> bool {
        let rows = self.rows.iter().zip(&other.rows);
        self.rows.len() == other.rows.len() && { rows }.all(|(a, b)| Arc::ptr_eq(a, b))
    }

    pub(super) fn put(&mut self, thing: T) {
        match self.place(thing.id()) {
            Ok(i) => {
                if let Some(row) = self.rows.get_mut(i) {
                    *row = Arc::new(thing);
                }
            }
            Err(i) => self.rows.insert(i, Arc::new(thing)),
        }
    }

    pub(super) fn take(&mut self, id: T::Id) {
        if let Ok(i) = self.place(id) {
            self.rows.remove(i);
            self.is_sorted = self.is_sorted || self.rows.is_sorted_by_key(|row| row.id());
        }
    }

    /// Changes each thing that `wants` it; the others stay shared with older snapshots.
    pub(super) fn change_where(&mut self, wants: impl Fn(&T) -> bool, change: impl Fn(&mut T)) {
        for row in &mut self.rows {
            if wants(row) {
                change(Arc::make_mut(row));
            }
        }
    }

    pub(super) fn change(&mut self, id: T::Id, change: impl FnOnce(&mut T)) {
        if let Ok(i) = self.place(id)
            && let Some(row) = self.rows.get_mut(i)
        {
            change(Arc::make_mut(row));
        }
    }

    /// Puts a thing elsewhere in the order, counted from 0; past the end it comes last.
    ///
    /// What was moved is looked for row by row from then on, so this is for short tables.
    pub(super) fn move_to(&mut self, id: T::Id, place: usize) {
        if let Ok(i) = self.place(id) {
            let row = self.rows.remove(i);
            self.rows.insert(place.min(self.rows.len()), row);
            self.is_sorted = self.rows.is_sorted_by_key(|row| row.id());
        }
    }

    fn place(&self, id: T::Id) -> Result<usize, usize> {
        if self.is_sorted {
            return self.rows.binary_search_by_key(&id, |row| row.id());
        }
        let found = self.rows.iter().position(|row| row.id() == id);
        found.ok_or(self.rows.len())
    }
}
