//! Frequencies, access codes and bandwidths as they are typed and shown in fields and cells.

use crate::model::{AccessCode, Algorithm, Frequency, Tone};

/// Reads a frequency in MHz.
pub fn frequency(text: &str) -> Result<Frequency, String> {
    let digits = text.trim().trim_end_matches("MHz").trim().replace(',', ".");
    digits
        .parse()
        .ok()
        .and_then(Frequency::from_mhz)
        .ok_or_else(|| "A frequency in MHz from 0.1 to 6000, such as 155.7525".to_owned())
}

/// Writes a frequency without its unit.
pub fn frequency_text(f: Frequency) -> String {
    f.to_string().trim_end_matches(" MHz").to_owned()
}

/// Reads an access code: "none", a tone in Hz, "D023N", "D023I" or "$293".
pub fn code(text: &str) -> Result<AccessCode, String> {
    let wrong = || {
        "none, a tone such as 156.7, D023N for DCS (D023I inverted), or $293 for a NAC".to_owned()
    };
    let upper = text.trim().to_uppercase();
    let word = upper.trim_start_matches("CTCSS").trim();
    if matches!(word, "" | "NONE" | "NO CODE" | "CSQ") {
        return Ok(AccessCode::None);
    }
    if let Some(hex) = word.strip_prefix('$').or_else(|| {
        word.strip_prefix("NAC")
            .map(|w| w.trim().trim_start_matches('$'))
    }) {
        let nac = u16::from_str_radix(hex.trim(), 16).map_err(|_digits| wrong())?;
        return if nac < 0x1000 {
            Ok(AccessCode::Nac(nac))
        } else {
            Err("A NAC has three hexadecimal digits, 000 to FFF".to_owned())
        };
    }
    if let Some(octal) = word
        .strip_prefix("DCS")
        .or_else(|| word.strip_prefix("DPL"))
        .or_else(|| word.strip_prefix('D'))
    {
        let octal = octal.trim().trim_end_matches("NVERTED");
        let (digits, inverted) = match octal.strip_suffix('I') {
            Some(rest) => (rest.trim(), true),
            None => (octal.trim_end_matches('N').trim(), false),
        };
        let code = u16::from_str_radix(digits, 8).map_err(|_digits| wrong())?;
        return if code < 0o1000 {
            Ok(AccessCode::Dcs { code, inverted })
        } else {
            Err("A DCS code has three octal digits, 000 to 777".to_owned())
        };
    }
    let hz = word.trim_end_matches("HZ").trim().replace(',', ".");
    hz.parse()
        .ok()
        .and_then(Tone::from_hz)
        .map(AccessCode::Ctcss)
        .ok_or_else(|| format!("{}; tones go from 60 to 260 Hz", wrong()))
}

/// Writes an access code as it is typed.
pub fn code_text(code: AccessCode) -> String {
    match code {
        AccessCode::None => "none".to_owned(),
        AccessCode::Ctcss(tone) => tone.to_string(),
        AccessCode::Dcs { code, inverted } => {
            format!("D{code:03o}{}", if inverted { "I" } else { "N" })
        }
        AccessCode::Nac(nac) => format!("${nac:03X}"),
    }
}

/// The ciphers a list offers; any other is typed by its number.
pub const ALGORITHMS: [Algorithm; 2] = [Algorithm::AES_256, Algorithm::DES_OFB];

/// Reads a bandwidth in kHz and returns it in hertz.
pub fn bandwidth(text: &str) -> Result<u32, String> {
    let khz: f64 = text
        .trim()
        .trim_end_matches("kHz")
        .trim()
        .replace(',', ".")
        .parse()
        .map_err(|_number| "A bandwidth in kHz, such as 12.5".to_owned())?;
    if (1.0..=200.0).contains(&khz) {
        Ok((khz * 1000.0).round() as u32)
    } else {
        Err("A bandwidth from 1 to 200 kHz".to_owned())
    }
}

/// Writes a bandwidth in kHz without its unit.
pub fn bandwidth_text(hz: u32) -> String {
    format!("{}", f64::from(hz) / 1000.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_are_read_as_people_write_them() {
        let tone = |hz| AccessCode::Ctcss(Tone::from_hz(hz).unwrap());
        for (text, expected) in [
            ("none", AccessCode::None),
            ("", AccessCode::None),
            ("156.7", tone(156.7)),
            ("CTCSS 156.7 Hz", tone(156.7)),
            ("100,0", tone(100.0)),
            ("$293", AccessCode::Nac(0x293)),
            ("NAC f7e", AccessCode::Nac(0xF7E)),
            (
                "D023",
                AccessCode::Dcs {
                    code: 0o23,
                    inverted: false,
                },
            ),
            (
                "D023I",
                AccessCode::Dcs {
                    code: 0o23,
                    inverted: true,
                },
            ),
            (
                "dcs 754 inverted",
                AccessCode::Dcs {
                    code: 0o754,
                    inverted: true,
                },
            ),
        ] {
            assert_eq!(code(text), Ok(expected), "{text}");
            assert_eq!(code(&code_text(expected)), Ok(expected), "{text}");
        }
        for text in ["300", "59", "$1000", "$XYZ", "D999", "D1000", "tone"] {
            assert!(code(text).is_err(), "{text}");
        }
    }

    #[test]
    fn frequencies_and_bandwidths_go_back_and_forth() {
        let f = frequency("155.7525 MHz").unwrap();
        assert_eq!(frequency_text(f), "155.7525");
        assert_eq!(frequency(&frequency_text(f)), Ok(f));
        assert!(frequency("0").is_err() && frequency("abc").is_err());
        assert_eq!(bandwidth("12.5"), Ok(12_500));
        assert_eq!(bandwidth_text(12_500), "12.5");
        assert!(bandwidth("900").is_err());
    }
}
