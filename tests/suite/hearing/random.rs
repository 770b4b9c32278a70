//! Random small scenarios, dense enough that most of them join somebody with somebody.

use std::collections::BTreeSet;

use crosspatch::model::{
    AccessCode, Attachment, Band, Cable, CableId, Carrier, Conventional, Edit, GatewayId, Mode,
    PortRef, Programmed, Protection, SystemKind, TieKind,
};
use proptest::prelude::{Strategy, any};

use crate::lab::{Lab, aes, mhz, tone};

/// A source of small numbers, drawn from the bytes that proptest shrinks.
struct Dice<'a> {
    bytes: &'a [u8],
    at: usize,
}

impl Dice<'_> {
    fn below(&mut self, n: usize) -> usize {
        let byte = self.bytes.get(self.at).copied().unwrap_or(0);
        self.at += 1;
        usize::from(byte) % n
    }

    fn one_in(&mut self, n: usize) -> bool {
        self.below(n) == n - 1
    }
}

/// A strategy for scenarios; the bytes are kept so that a failure can be replayed.
pub(crate) fn scenarios() -> impl Strategy<Value = Vec<u8>> {
    proptest::collection::vec(any::<u8>(), 40..400)
}

fn code(dice: &mut Dice<'_>, mode: Mode) -> AccessCode {
    match (mode, dice.below(4)) {
        (Mode::P25, 0) => AccessCode::Nac(AccessCode::NAC_RECEIVE_ANY),
        (Mode::P25, 1) => AccessCode::Nac(AccessCode::NAC_REPEAT_ANY),
        (Mode::P25, n) => AccessCode::Nac(0x290 + n as u16),
        (_, 0 | 1) => AccessCode::None,
        (_, n) => tone([100.0, 156.7][n - 2]),
    }
}

/// Lays a scenario by the dice.
pub(crate) fn lay(bytes: &[u8]) -> Lab {
    let mut dice = Dice { bytes, at: 0 };
    let mut lab = Lab::new();
    let systems = [
        lab.system("Direct", SystemKind::Simplex, 0, 5),
        lab.system("Hill", SystemKind::Repeater, 100, 30),
        lab.system("Trunk", SystemKind::Trunked, 350, 120),
    ];
    if dice.one_in(8) {
        lab.change_system(systems[1], |s| s.coverage = 0.0);
    }
    if dice.one_in(8) {
        lab.change_system(systems[2], |s| s.talk_paths = 0);
    }
    let spots = [150.0, 151.0, 152.0, 453.0];
    let mut channels = Vec::new();
    for number in 0..3 + dice.below(3) {
        let kind = dice.below(4);
        let protection = match dice.below(6) {
            0 => Protection::Always(aes(1)),
            1 => Protection::Optional(aes(dice.below(2) as u16)),
            _ => Protection::Clear,
        };
        let mode = if dice.one_in(3) { Mode::P25 } else { Mode::Fm };
        let (system, carrier) = if kind == 3 {
            let group = 1 + dice.below(2) as u32;
            (
                systems[2],
                Carrier::Grouped {
                    group,
                    mode: Mode::P25,
                },
            )
        } else {
            let rx = mhz(spots[dice.below(4)]);
            let tx = if kind == 2 {
                mhz(spots[dice.below(4)])
            } else {
                rx
            };
            let c = Conventional {
                rx,
                tx,
                rx_code: code(&mut dice, mode),
                tx_code: code(&mut dice, mode),
                mode,
                mixed: dice.one_in(4),
                bandwidth_hz: 12_500,
            };
            (systems[usize::from(kind == 2)], Carrier::Conventional(c))
        };
        channels.push(lab.channel_of(&format!("C{number}"), system, carrier, protection));
    }
    let radio = |lab: &mut Lab, dice: &mut Dice<'_>, name: &str, unit| {
        let set: BTreeSet<_> = (0..=dice.below(3))
            .map(|_| channels[dice.below(channels.len())])
            .collect();
        let list: Vec<_> = set.into_iter().collect();
        let id = lab.radio(name, unit, &list);
        let selected = list[dice.below(list.len())];
        let (scan, keys, bands, modes, bare) = (
            dice.one_in(4),
            dice.below(4),
            dice.one_in(5),
            dice.one_in(6),
            dice.one_in(10),
        );
        let scanned = list[dice.below(list.len())];
        lab.change_radio(id, |r| {
            r.selected = (!bare).then_some(selected);
            if scan {
                r.scans.insert(scanned);
            }
            for key in 0..2 {
                if keys >> key & 1 == 1 {
                    r.keys.insert(aes(key));
                }
            }
            if bands {
                r.bands = vec![Band {
                    low: mhz(100.0),
                    high: mhz(200.0),
                }];
            }
            if modes {
                r.modes.remove(&Mode::P25);
            }
        });
        let mut entry = Programmed::as_defined(selected);
        if dice.one_in(4) {
            entry.rx = Some(mhz(spots[dice.below(4)]));
        }
        if dice.one_in(4) {
            entry.tx = Some(mhz(spots[dice.below(4)]));
        }
        if dice.one_in(4) {
            entry.rx_code = Some(code(dice, Mode::Fm));
        }
        if dice.one_in(4) {
            entry.tx_code = Some(code(dice, Mode::Fm));
        }
        if dice.one_in(6) {
            entry.mode = Some(if dice.one_in(2) { Mode::Fm } else { Mode::P25 });
        }
        if dice.one_in(6) {
            entry.group = Some(2);
        }
        if dice.one_in(8) {
            entry.protection = Some(Protection::Always(aes(0)));
        }
        if dice.one_in(8) {
            entry.encrypted_only = Some(true);
        }
        entry.secure = dice.one_in(3);
        entry.receive_only = dice.one_in(10);
        lab.apply(&[Edit::Program { radio: id, entry }]);
        id
    };
    for number in 0..3 + dice.below(3) {
        let unit = lab.unit(&format!("U{number}"));
        for extra in 0..=usize::from(dice.one_in(3)) {
            radio(
                &mut lab,
                &mut dice,
                &format!("U{number} set {extra}"),
                Some(unit),
            );
        }
    }
    let wrong = CableId(lab.scenario.mint(0));
    lab.apply(&[Edit::Add(
        Cable {
            id: wrong,
            key: String::new(),
            name: "wrong end".to_owned(),
            radio_connector: "other".to_owned(),
            port_connector: "box-socket".to_owned(),
            count: 1,
            notes: String::new(),
        }
        .into(),
    )]);
    let gateways: Vec<GatewayId> = (0..=dice.below(3))
        .map(|n| lab.gateway(&format!("Box {n}")))
        .collect();
    let unit = lab.scenario.units.first().expect("laid above").id;
    for gateway in &gateways {
        let place = |lab: &mut Lab, dice: &mut Dice<'_>, port: u8, attachment| {
            let port = PortRef {
                gateway: *gateway,
                port,
            };
            let group = [None, Some(1), Some(1), Some(2)][dice.below(4)];
            lab.apply(&[
                Edit::Attach {
                    phase: lab.phase,
                    port,
                    attachment: Some(attachment),
                },
                Edit::Switch {
                    phase: lab.phase,
                    port,
                    group,
                },
            ]);
        };
        for port in 1..=2 + dice.below(3) as u8 {
            let donor = radio(&mut lab, &mut dice, &format!("donor {port}"), None);
            let cable = dice.one_in(9).then_some(wrong);
            place(
                &mut lab,
                &mut dice,
                port,
                Attachment::Radio {
                    radio: donor,
                    cable,
                },
            );
            lab.change_port(*gateway, port, |p| p.buffer_ms = 50 * u32::from(port));
        }
        if dice.one_in(2) {
            let telephone = lab.telephone("Telephone", 90);
            if dice.one_in(4) {
                let mut held = lab
                    .scenario
                    .telephones
                    .get(telephone)
                    .expect("just added")
                    .clone();
                held.held_by = Some(unit);
                lab.apply(&[Edit::Replace(held.into())]);
            }
            place(&mut lab, &mut dice, 6, Attachment::Telephone(telephone));
        }
        if dice.one_in(3) {
            let headset = lab.headset("Headset");
            place(&mut lab, &mut dice, 7, Attachment::Headset(headset));
        }
    }
    if let [a, b, ..] = gateways[..]
        && dice.one_in(2)
    {
        let tie = lab.tie(TieKind::Wire, 10);
        lab.plug(a, 8, Attachment::Tie(tie), 1);
        lab.plug(b, 8, Attachment::Tie(tie), 1 + dice.below(2) as u8);
    }
    lab
}
