//! Pure data: what a scenario holds, and the one gate through which it changes.
//!
//! Nothing here knows of files, screens or clocks. A [`Scenario`] is read freely and changed only by
//! [`Scenario::apply`], which takes [`Edit`]s and keeps the invariants listed in `gate`.

pub mod air;
pub mod connect;
pub mod edit;
pub mod finding;
mod gate;
pub mod gear;
pub mod graft;
pub mod id;
pub mod people;
pub mod phase;
pub mod power;
pub mod practice;
pub mod radio;
pub mod scenario;
pub mod tested;
pub mod thing;
pub mod units;
pub mod validate;

pub use air::{
    AccessCode, Algorithm, Carrier, Channel, Conventional, KeyRef, Mode, Protection, System,
    SystemKind,
};
pub use edit::{Edit, EditError};
pub use finding::{Acceptance, Evidence, Finding, FindingId, Fix, Grade, Severity, Value};
pub use gear::{
    Antenna, Cable, Control, Gateway, Headset, Keying, LevelSetting, Port, PortKind, Site, Stock,
    StockKind, TalkGroup, Telephone, TelephoneKind, Tie, TieKind,
};
pub use id::{
    AgencyId, AgreementId, CableId, ChannelId, GatewayId, HeadsetId, Kind, NeedId, Party, PhaseId,
    PortRef, RadioId, SiteId, StockId, SystemId, TalkGroupRef, TelephoneId, ThingId, TieId, UnitId,
};
pub use people::{Agency, Agreement, Discipline, Level, Need, Priority, Role, Unit, Way};
pub use phase::{Attachment, Phase};
pub use power::{Cells, Chemistry, Draw};
pub use practice::{Practice, Setting, Topic};
pub use radio::{Effective, Fact, Programmed, Radio, Verified};
pub use scenario::{Header, Place, Scenario};
pub use tested::{HeardPair, Step, Tested};
pub use thing::{Table, Thing};
pub use units::{Band, Dbm, Decibels, Frequency, Tone};
