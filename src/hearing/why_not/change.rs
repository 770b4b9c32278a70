//! One broken rule in words, and the change that mends it.

use crate::hearing::rules::{Fault, Spot};
use crate::model::{
    AccessCode, Attachment, CableId, Carrier, ChannelId, Edit, Grade, KeyRef, Mode, PhaseId,
    PortRef, Programmed, Protection, Radio, RadioId, Scenario, SystemId, ThingId, UnitId,
};

/// One broken rule and the change that mends it.
#[derive(Debug, Clone, PartialEq)]
pub struct Change {
    /// What is wrong, in a sentence without a full stop.
    pub reason: String,
    /// What mends it, as an order.
    pub title: String,
    /// The things concerned, the first of all first.
    pub things: Vec<ThingId>,
    /// The edits that do it; empty when only hands can.
    pub edits: Vec<Edit>,
    /// Safe when it only puts back what is defined or at hand; otherwise to be asked about.
    pub grade: Grade,
    /// How much it disturbs; decides between equally few changes.
    pub(super) weight: u32,
}

impl Change {
    /// Marks a change that puts an entry back to the channel's definition.
    fn putting_back(mut self, puts_back: bool) -> Self {
        if puts_back {
            self.grade = Grade::Safe;
            self.weight = 1;
        }
        self
    }
}

/// Which deviation of an entry is taken back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Deviation {
    Rx,
    Tx,
    RxCode,
    TxCode,
    Mode,
    Group,
    Protection,
    EncryptedOnly,
}

impl Deviation {
    pub(super) const SENDING: [Self; 5] = [
        Self::Tx,
        Self::TxCode,
        Self::Mode,
        Self::Group,
        Self::Protection,
    ];
    pub(super) const LISTENING: [Self; 5] = [
        Self::Rx,
        Self::RxCode,
        Self::Mode,
        Self::Group,
        Self::EncryptedOnly,
    ];

    /// Takes the deviation back; tells whether there was one.
    pub(super) fn clear(self, entry: &mut Programmed) -> bool {
        match self {
            Self::Rx => entry.rx.take().is_some(),
            Self::Tx => entry.tx.take().is_some(),
            Self::RxCode => entry.rx_code.take().is_some(),
            Self::TxCode => entry.tx_code.take().is_some(),
            Self::Mode => entry.mode.take().is_some(),
            Self::Group => entry.group.take().is_some(),
            Self::Protection => entry.protection.take().is_some(),
            Self::EncryptedOnly => entry.encrypted_only.take().is_some(),
        }
    }

    fn found(self, entry: &Programmed) -> (&'static str, String) {
        let text = |value: Option<String>| value.unwrap_or_default();
        match self {
            Self::Rx => ("receive frequency", text(entry.rx.map(|f| f.to_string()))),
            Self::Tx => ("transmit frequency", text(entry.tx.map(|f| f.to_string()))),
            Self::RxCode => ("receive code", text(entry.rx_code.map(|c| c.to_string()))),
            Self::TxCode => ("transmit code", text(entry.tx_code.map(|c| c.to_string()))),
            Self::Mode => ("mode", text(entry.mode.map(|m| m.to_string()))),
            Self::Group => ("group number", text(entry.group.map(|g| g.to_string()))),
            Self::Protection => ("encryption", text(entry.protection.map(|p| p.to_string()))),
            Self::EncryptedOnly => (
                "setting for clear traffic",
                if entry.encrypted_only == Some(true) {
                    "mute"
                } else {
                    "open"
                }
                .to_owned(),
            ),
        }
    }
}

/// Makes changes in the words of one scenario and phase.
#[derive(Clone, Copy)]
pub(super) struct Maker<'a> {
    pub(super) scenario: &'a Scenario,
    pub(super) phase: PhaseId,
}

impl Maker<'_> {
    fn name(&self, thing: impl Into<ThingId>) -> String {
        let thing = thing.into();
        let name = self.scenario.name(thing);
        let ThingId::Channel(id) = thing else {
            return name;
        };
        // Two channels that read alike are told apart by where they are on the air.
        let is_shared = self
            .scenario
            .channels
            .iter()
            .any(|c| c.id != id && c.name.eq_ignore_ascii_case(&name));
        match self.scenario.channels.get(id).map(|c| c.carrier) {
            Some(Carrier::Conventional(c)) if is_shared => format!("{name} ({})", c.rx),
            Some(Carrier::Grouped { group, .. }) if is_shared => format!("{name} (group {group})"),
            _ => name,
        }
    }

    /// Takes a deviation back; `entry` becomes the mended entry.
    pub(super) fn undeviate(
        &self,
        radio: &Radio,
        entry: &mut Programmed,
        deviation: Deviation,
    ) -> Option<Change> {
        let (what, found) = deviation.found(entry);
        if !deviation.clear(entry) {
            return None;
        }
        let channel = self.name(entry.channel);
        Some(Change {
            reason: format!(
                "{} has {channel} with {what} {found}, not as the channel is defined",
                radio.name
            ),
            title: format!(
                "Program the {what} of {channel} in {} as the channel is defined",
                radio.name
            ),
            things: vec![radio.id.into(), entry.channel.into()],
            edits: vec![Edit::Program {
                radio: radio.id,
                entry: entry.clone(),
            }],
            grade: Grade::Safe,
            weight: 1,
        })
    }

    pub(super) fn select(&self, radio: &Radio, channel: ChannelId, is_donor: bool) -> Change {
        let now = self
            .scenario
            .phases
            .get(self.phase)
            .and_then(|p| self.scenario.selected_channel(p, radio));
        let wanted = self.name(channel);
        let reason = match now {
            Some(now) => format!("{} is on {}, not on {wanted}", radio.name, self.name(now)),
            None => format!("{} has no channel selected", radio.name),
        };
        Change {
            reason,
            title: format!("Select {wanted} on {}", radio.name),
            things: vec![radio.id.into(), channel.into()],
            edits: vec![Edit::Select {
                phase: self.phase,
                radio: radio.id,
                channel: Some(channel),
            }],
            grade: Grade::Safe,
            weight: if is_donor { 4 } else { 2 },
        }
    }

    pub(super) fn program(&self, radio: &Radio, entry: &Programmed) -> Change {
        let wanted = self.name(entry.channel);
        Change {
            reason: format!("{} does not have {wanted} programmed", radio.name),
            title: format!("Program {wanted} in {}", radio.name),
            things: vec![radio.id.into(), entry.channel.into()],
            edits: vec![Edit::Program {
                radio: radio.id,
                entry: entry.clone(),
            }],
            grade: Grade::Safe,
            weight: 3,
        }
    }

    pub(super) fn load_key(radio: &Radio, key: KeyRef) -> Change {
        Change {
            reason: format!("{} does not hold {key}", radio.name),
            title: format!("Load {key} into {}", radio.name),
            things: vec![radio.id.into()],
            edits: vec![Edit::LoadKey {
                radio: radio.id,
                key,
            }],
            grade: Grade::Ask,
            weight: 2,
        }
    }

    /// Turns the secure switch of an entry; `entry` becomes the mended entry.
    pub(super) fn turn_secure(&self, radio: &Radio, entry: &mut Programmed, on: bool) -> Change {
        entry.secure = on;
        let (now, then) = if on {
            ("clear", "on")
        } else {
            ("encrypted", "off")
        };
        Self::entry_change(
            radio,
            entry,
            format!("{} sends {} {now}", radio.name, self.name(entry.channel)),
            format!("Turn the secure switch of {} {then}", radio.name),
        )
    }

    /// Mends a fault of sending or listening in an entry, if programming can.
    pub(super) fn mend(
        &self,
        radio: &Radio,
        entry: &mut Programmed,
        fault: Fault,
    ) -> Option<Change> {
        let channel = self.name(entry.channel);
        match fault {
            Fault::ReceiveOnly => {
                entry.receive_only = false;
                Some(Self::entry_change(
                    radio,
                    entry,
                    format!("{} only listens on {channel}", radio.name),
                    format!("Let {} transmit on {channel}", radio.name),
                ))
            }
            Fault::NoKeyToSend(key) | Fault::NoKey(key) => Some(Self::load_key(radio, key)),
            Fault::OtherCode { sent, heard } => {
                entry.rx_code = self.unless_defined(entry.channel, sent);
                let puts_back = entry.rx_code.is_none();
                Some(
                    Self::entry_change(
                        radio,
                        entry,
                        format!(
                            "{} asks for {heard} on {channel} and gets {sent}",
                            radio.name
                        ),
                        format!(
                            "Set the receive code of {channel} in {} to {sent}",
                            radio.name
                        ),
                    )
                    .putting_back(puts_back),
                )
            }
            Fault::OtherMode { sent, heard } => {
                if !radio.modes.contains(&sent) {
                    return None;
                }
                entry.mode = self.mode_unless_defined(entry.channel, sent);
                let puts_back = entry.mode.is_none();
                Some(
                    Self::entry_change(
                        radio,
                        entry,
                        format!(
                            "{} is set to {heard} on {channel} and gets {sent}",
                            radio.name
                        ),
                        format!("Set {channel} in {} to {sent}", radio.name),
                    )
                    .putting_back(puts_back),
                )
            }
            Fault::MutesClear => {
                entry.encrypted_only = Some(false);
                Some(Self::entry_change(
                    radio,
                    entry,
                    format!("{} stays mute on clear traffic on {channel}", radio.name),
                    format!("Let {} open on clear traffic on {channel}", radio.name),
                ))
            }
            Fault::NoTalkPath(system) => Some(Self::by_hand(
                system,
                format!("{} has no talk path", self.name(system)),
                format!("Get a talk path on {}", self.name(system)),
            )),
            Fault::NoCoverage(system) => Some(self.uncovered(system)),
            Fault::NoMode(_) | Fault::OutOfBand(_) | Fault::Elsewhere { .. } => None,
        }
    }

    /// Asks for a system that covers nothing to be brought within reach.
    pub(super) fn uncovered(&self, system: SystemId) -> Change {
        Self::by_hand(
            system,
            format!("{} covers nothing of the working area", self.name(system)),
            format!("Bring {} within reach", self.name(system)),
        )
    }

    pub(super) fn switch(&self, port: PortRef, group: u8, now: Option<u8>) -> Change {
        let reason = match now {
            Some(now) => format!("{} is in talk group {now}, not in {group}", self.name(port)),
            None => format!("{} is on no talk group", self.name(port)),
        };
        Change {
            reason,
            title: format!("Switch {} to talk group {group}", self.name(port)),
            things: vec![port.into()],
            edits: vec![Edit::Switch {
                phase: self.phase,
                port,
                group: Some(group),
            }],
            grade: Grade::Safe,
            weight: 3,
        }
    }

    pub(super) fn plug(&self, port: PortRef, attachment: Attachment) -> Change {
        let thing: ThingId = match attachment {
            Attachment::Radio { radio, .. } => radio.into(),
            Attachment::Telephone(id) => id.into(),
            Attachment::Headset(id) => id.into(),
            Attachment::Tie(id) => id.into(),
        };
        Change {
            reason: format!("{} is not plugged into a gateway", self.name(thing)),
            title: format!("Plug {} into {}", self.name(thing), self.name(port)),
            things: vec![thing, port.into()],
            edits: vec![Edit::Attach {
                phase: self.phase,
                port,
                attachment: Some(attachment),
            }],
            grade: Grade::Safe,
            weight: 4,
        }
    }

    /// Takes another cable, or asks for one that is not in the scenario.
    pub(super) fn recable(&self, port: PortRef, radio: RadioId, cable: Option<CableId>) -> Change {
        let title = match cable {
            Some(cable) => format!(
                "Use cable {} between {} and {}",
                self.name(cable),
                self.name(radio),
                self.name(port)
            ),
            None => format!(
                "Find a cable between {} and {}",
                self.name(radio),
                self.name(port)
            ),
        };
        let attachment = Attachment::Radio { radio, cable };
        Change {
            reason: format!(
                "the cable between {} and {} does not fit",
                self.name(radio),
                self.name(port)
            ),
            title,
            things: vec![port.into(), radio.into()],
            edits: cable
                .map(|_| Edit::Attach {
                    phase: self.phase,
                    port,
                    attachment: Some(attachment),
                })
                .into_iter()
                .collect(),
            grade: Grade::Safe,
            weight: 3,
        }
    }

    /// Gives a unit a copy of a radio the other side works.
    pub(super) fn lend(&self, unit: UnitId, model: &Radio, offset: u32) -> Change {
        let mut radio = model.clone();
        radio.id = RadioId(self.scenario.mint(offset));
        radio.key = String::new();
        radio.held_by = Some(unit);
        radio.selected = self
            .scenario
            .phases
            .get(self.phase)
            .and_then(|p| self.scenario.selected_channel(p, model));
        let title = format!("Lend {} a radio like {}", self.name(unit), model.name);
        Change {
            reason: self.lacking(unit),
            title,
            things: vec![unit.into(), model.id.into()],
            edits: vec![Edit::Add(radio.into())],
            grade: Grade::Ask,
            weight: 20,
        }
    }

    /// Says why a unit's own radios do not do.
    fn lacking(&self, unit: UnitId) -> String {
        let name = self.name(unit);
        let phase = self.scenario.phases.get(self.phase);
        let port_of = |radio: &Radio| phase.and_then(|p| p.port_of_radio(radio.id));
        let radios: Vec<&Radio> = self.scenario.radios_of(unit).collect();
        match radios.first() {
            None => format!("{name} carries no radio"),
            Some(first) => match port_of(first) {
                Some(port) if radios.iter().all(|r| port_of(r).is_some()) => format!(
                    "{} of {name} is cabled to {}, and nobody talks at a donor",
                    first.name,
                    self.name(port)
                ),
                _ => format!("no radio of {name} can be brought onto a common channel"),
            },
        }
    }

    fn entry_change(radio: &Radio, entry: &Programmed, reason: String, title: String) -> Change {
        Change {
            reason,
            title,
            things: vec![radio.id.into(), entry.channel.into()],
            edits: vec![Edit::Program {
                radio: radio.id,
                entry: entry.clone(),
            }],
            grade: Grade::Ask,
            weight: 6,
        }
    }

    fn by_hand(system: SystemId, reason: String, title: String) -> Change {
        Change {
            reason,
            title,
            things: vec![system.into()],
            edits: Vec::new(),
            grade: Grade::Ask,
            weight: 50,
        }
    }

    /// Returns the code as a deviation, or none where the channel defines it so.
    fn unless_defined(&self, channel: ChannelId, code: AccessCode) -> Option<AccessCode> {
        let defined = self.scenario.channels.get(channel)?.conventional()?.rx_code;
        (defined != code).then_some(code)
    }

    fn mode_unless_defined(&self, channel: ChannelId, mode: Mode) -> Option<Mode> {
        let defined = self.scenario.channels.get(channel)?.mode();
        (defined != mode).then_some(mode)
    }
}

/// Tells whether an entry's own deviation explains that a radio is elsewhere on the air.
pub(super) fn moved(entry: &Programmed, spot: Spot) -> Option<Deviation> {
    match spot {
        Spot::Frequency(_) if entry.rx.is_some() => Some(Deviation::Rx),
        Spot::Group { .. } if entry.group.is_some() => Some(Deviation::Group),
        Spot::Frequency(_) | Spot::Group { .. } => None,
    }
}

/// Returns the key an entry could be switched to send with.
pub(super) fn optional_key(protection: Protection) -> Option<KeyRef> {
    match protection {
        Protection::Optional(key) => Some(key),
        Protection::Clear | Protection::Always(_) => None,
    }
}
