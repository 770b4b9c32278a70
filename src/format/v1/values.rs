//! Single values of the file, each spelled with its unit and checked as it is read.
//!
//! A value that cannot be held (a tone of 20 Hz, a code of four digits) is refused here, at its own
//! line and column. No value knows where it stands.

use std::fmt;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::model;

/// A frequency in MHz, from 0.1 to 6000.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(try_from = "f64", into = "f64")]
#[schemars(extend("minimum" = 0.1, "maximum" = 6000.0))]
pub struct Mhz(pub model::Frequency);

impl TryFrom<f64> for Mhz {
    type Error = String;

    fn try_from(mhz: f64) -> Result<Self, String> {
        model::Frequency::from_mhz(mhz)
            .map(Self)
            .ok_or_else(|| format!("found {mhz}, expected a frequency from 0.1 to 6000 MHz"))
    }
}

impl From<Mhz> for f64 {
    fn from(value: Mhz) -> Self {
        value.0.mhz()
    }
}

/// A CTCSS tone in Hz, from 60 to 260.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(try_from = "f64", into = "f64")]
#[schemars(extend("minimum" = 60.0, "maximum" = 260.0))]
pub struct Hz(pub model::Tone);

impl TryFrom<f64> for Hz {
    type Error = String;

    fn try_from(hz: f64) -> Result<Self, String> {
        model::Tone::from_hz(hz)
            .map(Self)
            .ok_or_else(|| format!("found {hz}, expected a tone from 60 to 260 Hz"))
    }
}

impl From<Hz> for f64 {
    fn from(value: Hz) -> Self {
        value.0.hz()
    }
}

/// A bandwidth in kHz, from 1 to 200, kept in whole hertz.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(try_from = "f64", into = "f64")]
#[schemars(extend("minimum" = 1.0, "maximum" = 200.0))]
pub struct Khz {
    /// The bandwidth in hertz.
    pub hertz: u32,
}

impl Khz {
    /// The width of a narrow-band channel, taken where a file gives none.
    pub const NARROW: Self = Self { hertz: 12_500 };
}

impl TryFrom<f64> for Khz {
    type Error = String;

    fn try_from(khz: f64) -> Result<Self, String> {
        if (1.0..=200.0).contains(&khz) {
            Ok(Self {
                hertz: (khz * 1000.0).round() as u32,
            })
        } else {
            Err(format!(
                "found {khz}, expected a bandwidth from 1 to 200 kHz"
            ))
        }
    }
}

impl From<Khz> for f64 {
    fn from(value: Khz) -> Self {
        Self::from(value.hertz) / 1000.0
    }
}

/// A DCS code: three octal digits in quotes, as on the radio.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(try_from = "String", into = "String")]
#[schemars(extend("pattern" = "^[0-7]{3}$"))]
pub struct Octal(pub u16);

impl TryFrom<String> for Octal {
    type Error = String;

    fn try_from(text: String) -> Result<Self, String> {
        digits(&text, 3, 8)
            .map(Self)
            .ok_or_else(|| format!("found {text:?}, expected three octal digits such as \"023\""))
    }
}

impl From<Octal> for String {
    fn from(value: Octal) -> Self {
        format!("{:03o}", value.0)
    }
}

/// A P25 network access code: three hexadecimal digits in quotes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(try_from = "String", into = "String")]
#[schemars(extend("pattern" = "^[0-9A-Fa-f]{3}$"))]
pub struct Hex(pub u16);

impl TryFrom<String> for Hex {
    type Error = String;

    fn try_from(text: String) -> Result<Self, String> {
        digits(&text, 3, 16).map(Self).ok_or_else(|| {
            format!("found {text:?}, expected three hexadecimal digits such as \"293\"")
        })
    }
}

impl From<Hex> for String {
    fn from(value: Hex) -> Self {
        format!("{:03X}", value.0)
    }
}

fn digits(text: &str, count: usize, radix: u32) -> Option<u16> {
    (text.len() == count && text.chars().all(|c| c.is_digit(radix)))
        .then(|| u16::from_str_radix(text, radix).ok())
        .flatten()
}

/// A cipher: "AES-256", "DES-OFB", or its P25 algorithm number such as "$84".
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(try_from = "String", into = "String")]
#[schemars(extend("pattern" = "^(AES-256|DES-OFB|\\$[0-9A-Fa-f]{2})$"))]
pub struct Cipher(pub model::Algorithm);

impl TryFrom<String> for Cipher {
    type Error = String;

    fn try_from(text: String) -> Result<Self, String> {
        let number = |hex: &str| digits(hex, 2, 16).and_then(|n| u8::try_from(n).ok());
        match text.as_str() {
            "AES-256" => Ok(Self(model::Algorithm::AES_256)),
            "DES-OFB" => Ok(Self(model::Algorithm::DES_OFB)),
            other => match other.strip_prefix('$').and_then(number) {
                Some(0x80) => Err(
                    "found \"$80\", which is the P25 number for clear; expected a cipher, or \
                     Clear in place of the key"
                        .to_owned(),
                ),
                Some(number) => Ok(Self(model::Algorithm(number))),
                None => Err(format!(
                    "found {text:?}, expected \"AES-256\", \"DES-OFB\" or a P25 algorithm number \
                     such as \"$84\""
                )),
            },
        }
    }
}

impl From<Cipher> for String {
    fn from(value: Cipher) -> Self {
        match value.0 {
            model::Algorithm::AES_256 => "AES-256".to_owned(),
            model::Algorithm::DES_OFB => "DES-OFB".to_owned(),
            model::Algorithm(number) => format!("${number:02X}"),
        }
    }
}

/// The facts a finding had when it was accepted: sixteen hexadecimal digits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(try_from = "String", into = "String")]
#[schemars(extend("pattern" = "^[0-9a-f]{16}$"))]
pub struct Facts(pub u64);

impl TryFrom<String> for Facts {
    type Error = String;

    fn try_from(text: String) -> Result<Self, String> {
        (text.len() == 16 && text.chars().all(|c| c.is_ascii_hexdigit()))
            .then(|| u64::from_str_radix(&text, 16).ok())
            .flatten()
            .map(Self)
            .ok_or_else(|| format!("found {text:?}, expected sixteen hexadecimal digits"))
    }
}

impl From<Facts> for String {
    fn from(value: Facts) -> Self {
        format!("{:016x}", value.0)
    }
}

/// A port: the gateway's key, a slash and the number beside the socket, such as "box-a/3".
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(try_from = "String", into = "String")]
#[schemars(extend("pattern" = "^.+/[0-9]{1,3}$"))]
pub struct PortKey {
    /// Key of the gateway.
    pub gateway: String,
    /// The number beside the socket.
    pub port: u8,
}

impl TryFrom<String> for PortKey {
    type Error = String;

    fn try_from(text: String) -> Result<Self, String> {
        split(&text, '/')
            .map(|(gateway, port)| Self { gateway, port })
            .ok_or_else(|| {
                format!(
                    "found {text:?}, expected a gateway's key, a slash and the number of a port \
                     such as \"box-a/3\""
                )
            })
    }
}

impl From<PortKey> for String {
    fn from(value: PortKey) -> Self {
        value.to_string()
    }
}

impl fmt::Display for PortKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}/{}", self.gateway, self.port)
    }
}

/// A talk group: the gateway's key, a hash sign and the number on the switch, such as "box-a#1".
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(try_from = "String", into = "String")]
#[schemars(extend("pattern" = "^.+#[0-9]{1,3}$"))]
pub struct GroupKey {
    /// Key of the gateway.
    pub gateway: String,
    /// The number on the switch.
    pub group: u8,
}

impl TryFrom<String> for GroupKey {
    type Error = String;

    fn try_from(text: String) -> Result<Self, String> {
        split(&text, '#')
            .map(|(gateway, group)| Self { gateway, group })
            .ok_or_else(|| {
                format!(
                    "found {text:?}, expected a gateway's key, a hash sign and the number of a \
                     talk group such as \"box-a#1\""
                )
            })
    }
}

impl From<GroupKey> for String {
    fn from(value: GroupKey) -> Self {
        value.to_string()
    }
}

impl fmt::Display for GroupKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}#{}", self.gateway, self.group)
    }
}

fn split(text: &str, mark: char) -> Option<(String, u8)> {
    let (gateway, number) = text.rsplit_once(mark)?;
    let parsed: u8 = number.parse().ok()?;
    let is_plain = parsed.to_string() == number && !gateway.is_empty();
    is_plain.then(|| (gateway.to_owned(), parsed))
}
