//! Donors as their ports key them, and the edits that change a port.

use crate::model::{
    Channel, Edit, Fix, Grade, Keying, Port, PortRef, Radio, Scenario, System, TalkGroupRef,
};
use crate::picture::Picture;

/// A donor that its port can key.
#[derive(Debug, Clone, Copy)]
pub(super) struct Keyed<'a> {
    /// The talk group the port is switched to.
    pub(super) group: TalkGroupRef,
    /// The port.
    pub(super) port: PortRef,
    /// The port as it is set.
    pub(super) socket: &'a Port,
    /// The donor.
    pub(super) radio: &'a Radio,
    /// The channel selected on it.
    pub(super) channel: &'a Channel,
    /// What carries the channel.
    pub(super) system: &'a System,
}

/// Lists the donors that can be keyed, by talk group and port.
pub(super) fn all(picture: &Picture) -> impl Iterator<Item = Keyed<'_>> {
    picture.talk_groups().flat_map(move |group| {
        let sent = picture.hearing().sendings(group);
        sent.into_iter()
            .filter_map(move |sending| {
                let scenario = picture.scenario();
                let channel = scenario.channels.get(sending.channel)?;
                Some(Keyed {
                    group,
                    port: sending.port,
                    socket: scenario.port(sending.port)?,
                    radio: scenario.radios.get(sending.radio)?,
                    channel,
                    system: scenario.systems.get(channel.system)?,
                })
            })
            .collect::<Vec<_>>()
    })
}

/// Returns the time that keying itself takes, in milliseconds.
pub(super) fn attack_ms(socket: &Port) -> u32 {
    match socket.keying {
        Keying::PttLine => 0,
        Keying::VoiceOperated { attack_ms, .. } => attack_ms,
    }
}

/// Makes the fix that changes one port of a gateway.
pub(super) fn change_port(
    scenario: &Scenario,
    port: PortRef,
    title: String,
    grade: Grade,
    change: impl FnOnce(&mut Port),
) -> Option<Fix> {
    let mut gateway = scenario.gateways.get(port.gateway)?.clone();
    let socket = gateway.ports.iter_mut().find(|p| p.number == port.port)?;
    change(socket);
    Some(Fix {
        title,
        grade,
        edits: vec![Edit::Replace(gateway.into())],
    })
}
