//! Single values between the file's types and the model's, both ways.
//!
//! Where a value has one spelling the two functions stand side by side. Nothing here refers to a key.

use crate::model;

use super::v1::{self, Khz, Mhz};

pub(super) fn carrier(carrier: &v1::Carrier) -> model::Carrier {
    match *carrier {
        v1::Carrier::Frequencies {
            rx_mhz,
            tx_mhz,
            rx_code,
            tx_code,
            mode,
            mixed,
            bandwidth_khz,
        } => model::Carrier::Conventional(model::Conventional {
            rx: rx_mhz.0,
            tx: tx_mhz.unwrap_or(rx_mhz).0,
            rx_code: access_code(rx_code),
            tx_code: access_code(tx_code),
            mode: mode.into(),
            mixed,
            bandwidth_hz: bandwidth_khz.hertz,
        }),
        v1::Carrier::Group { number, mode } => model::Carrier::Grouped {
            group: number,
            mode: mode.into(),
        },
    }
}

pub(super) fn access_code(code: v1::AccessCode) -> model::AccessCode {
    match code {
        v1::AccessCode::NoCode => model::AccessCode::None,
        v1::AccessCode::Ctcss(tone) => model::AccessCode::Ctcss(tone.0),
        v1::AccessCode::Dcs(code) => model::AccessCode::Dcs {
            code: code.0,
            inverted: false,
        },
        v1::AccessCode::DcsInverted(code) => model::AccessCode::Dcs {
            code: code.0,
            inverted: true,
        },
        v1::AccessCode::Nac(nac) => model::AccessCode::Nac(nac.0),
    }
}

pub(super) fn key_ref(cipher: v1::Cipher, number: u16) -> model::KeyRef {
    model::KeyRef {
        algorithm: cipher.0,
        number,
    }
}

pub(super) fn protection(encryption: v1::Encryption) -> model::Protection {
    match encryption {
        v1::Encryption::Clear => model::Protection::Clear,
        v1::Encryption::Optional { algorithm, number } => {
            model::Protection::Optional(key_ref(algorithm, number))
        }
        v1::Encryption::Always { algorithm, number } => {
            model::Protection::Always(key_ref(algorithm, number))
        }
    }
}

pub(super) fn programmed(entry: v1::Programmed, channel: model::ChannelId) -> model::Programmed {
    model::Programmed {
        channel,
        label: entry.label,
        rx: entry.rx_mhz.map(|f| f.0),
        tx: entry.tx_mhz.map(|f| f.0),
        rx_code: entry.rx_code.map(access_code),
        tx_code: entry.tx_code.map(access_code),
        mode: entry.mode.map(Into::into),
        bandwidth_hz: entry.bandwidth_khz.map(|w| w.hertz),
        group: entry.group,
        protection: entry.encryption.map(protection),
        encrypted_only: entry.encrypted_only,
        secure: entry.secure,
        receive_only: entry.receive_only,
        verified: entry
            .verified
            .into_iter()
            .map(|(fact, v)| (fact.into(), verified(v)))
            .collect(),
    }
}

pub(super) fn verified(v: v1::Verified) -> model::Verified {
    model::Verified {
        by: v.by,
        on: v.on,
        at: v.at,
    }
}

pub(super) fn verified_of(v: &model::Verified) -> v1::Verified {
    v1::Verified {
        by: v.by.clone(),
        on: v.on.clone(),
        at: v.at.clone(),
    }
}

pub(super) fn tested(tested: v1::Tested) -> model::Tested {
    let steps = tested.steps.into_iter();
    model::Tested {
        steps: steps.map(|(step, v)| (step.into(), verified(v))).collect(),
        heard: tested.heard,
    }
}

pub(super) fn tested_of(tested: &model::Tested) -> v1::Tested {
    let steps = tested.steps.iter();
    let steps = steps.map(|(step, v)| ((*step).into(), verified_of(v)));
    v1::Tested {
        steps: steps.collect(),
        heard: tested.heard.clone(),
    }
}

pub(super) fn heard_pair(pair: v1::HeardPair) -> model::HeardPair {
    model::HeardPair {
        noted: verified(pair.noted),
        daq: pair.daq,
        delay_ms: pair.delay_ms,
        path: pair.path,
    }
}

pub(super) fn heard_pair_of(
    heard: &model::HeardPair,
    from: v1::Party,
    to: v1::Party,
) -> v1::HeardPair {
    v1::HeardPair {
        from,
        to,
        noted: verified_of(&heard.noted),
        daq: heard.daq,
        delay_ms: heard.delay_ms,
        path: heard.path.clone(),
    }
}

pub(super) fn carrier_of(carrier: model::Carrier) -> v1::Carrier {
    match carrier {
        model::Carrier::Conventional(c) => v1::Carrier::Frequencies {
            rx_mhz: Mhz(c.rx),
            tx_mhz: (c.tx != c.rx).then_some(Mhz(c.tx)),
            rx_code: access_code_of(c.rx_code),
            tx_code: access_code_of(c.tx_code),
            mode: c.mode.into(),
            mixed: c.mixed,
            bandwidth_khz: Khz {
                hertz: c.bandwidth_hz,
            },
        },
        model::Carrier::Grouped { group, mode } => v1::Carrier::Group {
            number: group,
            mode: mode.into(),
        },
    }
}

pub(super) fn access_code_of(code: model::AccessCode) -> v1::AccessCode {
    match code {
        model::AccessCode::None => v1::AccessCode::NoCode,
        model::AccessCode::Ctcss(tone) => v1::AccessCode::Ctcss(v1::Hz(tone)),
        model::AccessCode::Dcs { code, inverted } => {
            let code = v1::Octal(code);
            if inverted {
                v1::AccessCode::DcsInverted(code)
            } else {
                v1::AccessCode::Dcs(code)
            }
        }
        model::AccessCode::Nac(nac) => v1::AccessCode::Nac(v1::Hex(nac)),
    }
}

pub(super) fn encryption_of(protection: model::Protection) -> v1::Encryption {
    let cipher = |key: model::KeyRef| v1::Cipher(key.algorithm);
    match protection {
        model::Protection::Clear => v1::Encryption::Clear,
        model::Protection::Optional(key) => v1::Encryption::Optional {
            algorithm: cipher(key),
            number: key.number,
        },
        model::Protection::Always(key) => v1::Encryption::Always {
            algorithm: cipher(key),
            number: key.number,
        },
    }
}

/// Reads how a port keys its donor.
pub(super) fn keying(keying: v1::Keying) -> model::Keying {
    match keying {
        v1::Keying::PttLine => model::Keying::PttLine,
        v1::Keying::VoiceOperated { attack_ms, hang_ms } => {
            model::Keying::VoiceOperated { attack_ms, hang_ms }
        }
    }
}

/// Spells how a port keys its donor.
pub(super) fn keying_of(keying: model::Keying) -> v1::Keying {
    match keying {
        model::Keying::PttLine => v1::Keying::PttLine,
        model::Keying::VoiceOperated { attack_ms, hang_ms } => {
            v1::Keying::VoiceOperated { attack_ms, hang_ms }
        }
    }
}
