//! Sentences about gear: gateways, systems, telephones, headsets, sites and radios for the pool.

use crate::library::shipped;
use crate::model::{
    Gateway, GatewayId, Headset, HeadsetId, Port, PortKind, Site, SiteId, System, SystemId,
    Telephone, TelephoneId,
};

use super::make::{Maker, counted, free, with_article};
use super::words::{Words, radio};

type Said = Option<Result<String, String>>;

/// Most of one thing that one sentence adds.
const MOST: u32 = 50;

/// "gateway 5", "trunked", "satphone", "3 headsets", "VHF mobile".
pub(super) fn gear(maker: &mut Maker, words: &mut Words) -> Said {
    gateway(maker, words)
        .or_else(|| system(maker, words))
        .or_else(|| site(maker, words))
        .or_else(|| counted_gear(maker, words))
}

fn gateway(maker: &mut Maker, words: &mut Words) -> Said {
    let size = ["small", "medium", "large"]
        .into_iter()
        .find(|size| words.first() == Some(size) && words.ahead(1) == Some("gateway"));
    if size.is_some() {
        words.skip(1);
    }
    if !words.take(&["gateway"]) {
        return None;
    }
    let size = size.or_else(|| {
        let sizes = ["small", "medium", "large"];
        let found = sizes.into_iter().find(|size| words.first() == Some(size))?;
        words.skip(1);
        Some(found)
    });
    let radios = words.number(200);
    words.take(&["port", "ports", "radio", "radios"]);
    Some(made_gateway(maker, words, size, radios))
}

/// Makes the smallest ready-made gateway with so many radio ports, or one with exactly so many.
fn made_gateway(
    maker: &mut Maker,
    words: &mut Words,
    size: Option<&str>,
    radios: Option<u32>,
) -> Result<String, String> {
    let library = &shipped().scenario;
    let radio_ports =
        |g: &Gateway| g.ports.iter().filter(|p| p.kind == PortKind::Radio).count() as u32;
    let mut boxes: Vec<&Gateway> = library.gateways.iter().collect();
    boxes.sort_by_key(|g| g.ports.len());
    let by_size = size.and_then(|size| library.gateways.by_key(&format!("gateway-{size}")));
    let by_ports = radios.and_then(|n| boxes.iter().find(|g| radio_ports(g) >= n).copied());
    let largest = boxes.last().copied().filter(|_| radios.is_some());
    let template = by_size.or(by_ports).or(largest).or(boxes.first().copied());
    let template = template.ok_or("There is no ready-made gateway")?;
    let id = GatewayId(maker.s.mint(0));
    let ports = with_radio_ports(template, radios);
    let name = words.named();
    let wanted = name.unwrap_or_else(|| "Gateway 1".to_owned());
    let gateway = Gateway {
        id,
        key: String::new(),
        name: free(&wanted, &maker.s.gateways),
        ports,
        ..template.clone()
    };
    let count = radio_ports(&gateway);
    let count_of = |kind| gateway.ports.iter().filter(|p| p.kind == kind).count() as u32;
    let others: Vec<String> = [PortKind::Telephone, PortKind::Headset, PortKind::Ip]
        .into_iter()
        .filter(|kind| count_of(*kind) > 0)
        .map(|kind| format!("{} {}", counted(count_of(kind)), kind.word()))
        .collect();
    let sentence = format!(
        "Adds {} with {} radio, {} ports and {} talk groups",
        gateway.name,
        counted(count),
        others.join(", "),
        counted(gateway.talk_groups.len() as u32)
    );
    maker.add(gateway)?;
    maker.show(id);
    Ok(sentence)
}

/// Returns the ports of a gateway with another number of radio ports, numbered anew.
fn with_radio_ports(template: &Gateway, radios: Option<u32>) -> Vec<Port> {
    let Some(wanted) = radios else {
        return template.ports.clone();
    };
    let is_radio = |p: &&Port| p.kind == PortKind::Radio;
    let radio = template.ports.iter().find(is_radio);
    let others = template.ports.iter().filter(|p| !is_radio(p));
    let radios = radio
        .into_iter()
        .flat_map(|p| std::iter::repeat_n(p, wanted as usize));
    radios
        .chain(others)
        .zip(1..=u8::MAX)
        .map(|(port, number)| Port {
            number,
            ..port.clone()
        })
        .collect()
}

fn system(maker: &mut Maker, words: &mut Words) -> Said {
    let kinds: [(&str, &str); 12] = [
        ("p25 repeater", "p25-repeater"),
        ("analogue repeater", "analogue-repeater"),
        ("repeater", "analogue-repeater"),
        ("trunked system", "trunked"),
        ("trunked", "trunked"),
        ("voted repeaters", "voted"),
        ("voted", "voted"),
        ("simulcast", "voted"),
        ("satellite push-to-talk", "satellite-talk"),
        ("satellite system", "satellite-talk"),
        ("simplex", "simplex"),
        ("telephone network", "telephone-network"),
    ];
    let key = kinds.iter().find(|(said, _)| words.take_all(said))?.1;
    Some(made_system(maker, words, key))
}

fn made_system(maker: &mut Maker, words: &mut Words, key: &str) -> Result<String, String> {
    let template = shipped().scenario.systems.by_key(key);
    let template = template.ok_or("There is no ready-made system of that kind")?;
    let id = SystemId(maker.s.mint(0));
    let wanted = words.named().unwrap_or_else(|| template.name.clone());
    let system = System {
        id,
        key: String::new(),
        name: free(&wanted, &maker.s.systems),
        ..template.clone()
    };
    let sentence = format!(
        "Adds system {}, access {} ms, delay {} ms",
        system.name, system.access_ms, system.latency_ms
    );
    maker.add(system)?;
    maker.show(id);
    Ok(sentence)
}

fn site(maker: &mut Maker, words: &mut Words) -> Said {
    if !words.take(&["site"]) {
        return None;
    }
    words.take(&["named", "called"]);
    let name = words.rest();
    let wanted = if name.is_empty() { "Site 1" } else { &name };
    let name = free(wanted, &maker.s.sites);
    let id = SiteId(maker.s.mint(0));
    let added = maker.add(Site {
        id,
        key: String::new(),
        name: name.clone(),
        contaminated: false,
        temperature_c: None,
        supply_v: None,
        antennas: Vec::new(),
        notes: String::new(),
    });
    maker.show(id);
    Some(added.map(|()| format!("Adds site {name}")))
}

/// Telephones, headsets and radios, with or without a number before or behind.
fn counted_gear(maker: &mut Maker, words: &mut Words) -> Said {
    let mut ahead = words.clone();
    let before = is_count(&ahead).then(|| ahead.number(MOST)).flatten();
    if before.is_some() {
        ahead.take(&["x"]);
    }
    let kinds: [(&[&str], &str); 4] = [
        (
            &[
                "satphone",
                "satphones",
                "sat phone",
                "satellite telephone",
                "satellite phone",
            ],
            "satellite-telephone",
        ),
        (&["landline", "landlines"], "landline"),
        (
            &[
                "phone",
                "phones",
                "telephone",
                "telephones",
                "cellphone",
                "cellphones",
                "cell phone",
                "cellular telephone",
                "mobile phone",
                "cell",
            ],
            "cellular-telephone",
        ),
        (&["headset", "headsets"], "headset"),
    ];
    let found = kinds
        .iter()
        .find(|(said, _)| said.iter().any(|said| ahead.take_all(said)))
        .map(|(_, key)| Ok(*key));
    let found = found.or_else(|| pool_radio(&mut ahead));
    let key = match found? {
        Ok(key) => key,
        Err(why) => return Some(Err(why)),
    };
    ahead.take(&["x"]);
    let count = before.or_else(|| ahead.number(MOST)).unwrap_or(1);
    let name = ahead.named();
    *words = ahead;
    Some(made_gear(maker, key, count, name.as_deref()))
}

/// Tells whether a number comes next that is no band.
fn is_count(words: &Words) -> bool {
    words
        .first()
        .is_some_and(|word| !["700", "800"].contains(&word))
}

/// A radio of some band, or just "radio".
fn pool_radio(words: &mut Words) -> Option<Result<&'static str, String>> {
    let said = words.take(&["radio", "radios"]);
    radio(words).or_else(|| {
        let plain = said || words.take(&["portable", "portables"]);
        plain.then_some(Ok("vhf-portable"))
    })
}

fn made_gear(
    maker: &mut Maker,
    key: &str,
    count: u32,
    named: Option<&str>,
) -> Result<String, String> {
    let library = &shipped().scenario;
    let mut name = String::new();
    for _ in 0..count {
        if let Some(template) = library.telephones.by_key(key) {
            let id = TelephoneId(maker.s.mint(0));
            name.clone_from(&template.name);
            maker.add(Telephone {
                id,
                key: String::new(),
                name: free(named.unwrap_or(&template.name), &maker.s.telephones),
                ..template.clone()
            })?;
            maker.show(id);
        } else if let Some(template) = library.headsets.by_key(key) {
            let id = HeadsetId(maker.s.mint(0));
            name.clone_from(&template.name);
            maker.add(Headset {
                id,
                key: String::new(),
                name: free(named.unwrap_or(&template.name), &maker.s.headsets),
                ..template.clone()
            })?;
            maker.show(id);
        } else {
            let id = maker.radio(key, None, None)?;
            let template = library.radios.by_key(key);
            name = template.map_or_else(String::new, |r| r.name.clone());
            maker.show(id);
        }
    }
    let name = small_start(&name);
    Ok(if count == 1 {
        format!("Adds {}", with_article(&name))
    } else {
        format!("Adds {} {name}s", counted(count))
    })
}

/// Writes a name inside a sentence: a capital stays only in an abbreviation.
fn small_start(name: &str) -> String {
    let is_abbreviation = name.chars().nth(1).is_some_and(|c| !c.is_lowercase());
    if is_abbreviation {
        return name.to_owned();
    }
    let mut chars = name.chars();
    chars
        .next()
        .map_or_else(String::new, |c| c.to_lowercase().chain(chars).collect())
}
