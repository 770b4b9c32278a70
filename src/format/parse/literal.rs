//! Texts and numbers, as both spellings write them.

use crate::format::Syntax;
use crate::format::problem::Fault;
use crate::format::tree::Value;

use super::Parser;

impl Parser<'_> {
    pub(super) fn string(&mut self) -> Result<String, Fault> {
        let opened = self.at;
        self.at += 1;
        let mut out = String::new();
        loop {
            out.push_str(self.take_while(|c| c != '"' && c != '\\'));
            let at = self.at;
            match self.next() {
                Some('"') => return Ok(out),
                Some(_) => {
                    if let Some(c) = self.escape(at)? {
                        out.push(c);
                    }
                }
                None => {
                    return Err(Fault::new(opened, "this text is not closed; expected \""));
                }
            }
        }
    }

    /// Reads an escape after its backslash; `None` for one that stands for nothing.
    fn escape(&mut self, at: usize) -> Result<Option<char>, Fault> {
        let wrong = |message: &str| Err(Fault::new(at, message));
        Ok(Some(match self.next() {
            Some(c @ ('"' | '\\' | '/')) => c,
            Some('\'') if self.syntax == Syntax::Ron => '\'',
            Some('n') => '\n',
            Some('r') => '\r',
            Some('t') => '\t',
            Some('b') => '\u{8}',
            Some('f') => '\u{c}',
            Some('0') if self.syntax == Syntax::Ron => '\0',
            Some('\n') if self.syntax == Syntax::Ron => {
                self.take_while(char::is_whitespace);
                return Ok(None);
            }
            Some('x') if self.syntax == Syntax::Ron => match self.hex(2).and_then(char::from_u32) {
                Some(c) => c,
                None => return wrong("found \\x, expected two hexadecimal digits after it"),
            },
            Some('u') if self.syntax == Syntax::Ron && self.eat("{") => {
                let digits = self.take_while(|c| c.is_ascii_hexdigit());
                let c = u32::from_str_radix(digits, 16)
                    .ok()
                    .and_then(char::from_u32);
                match c {
                    Some(c) if self.eat("}") => c,
                    _ => return wrong("found \\u{, expected the number of a character and }"),
                }
            }
            Some('u') => match self.utf16() {
                Some(c) => c,
                None => {
                    return wrong("found \\u, expected the four hexadecimal digits of a character");
                }
            },
            _ => return wrong("found \\ before something that needs none, expected \\\\"),
        }))
    }

    fn hex(&mut self, digits: usize) -> Option<u32> {
        let text = self.rest().get(..digits)?;
        if !text.chars().all(|c| c.is_ascii_hexdigit()) {
            return None;
        }
        self.at += digits;
        u32::from_str_radix(text, 16).ok()
    }

    fn utf16(&mut self) -> Option<char> {
        let first = u16::try_from(self.hex(4)?).ok()?;
        let mut units = vec![first];
        if (0xD800..0xDC00).contains(&first) {
            if !self.eat("\\u") {
                return None;
            }
            units.push(u16::try_from(self.hex(4)?).ok()?);
        }
        let mut chars = char::decode_utf16(units);
        let c = chars.next()?.ok()?;
        chars.next().is_none().then_some(c)
    }

    pub(super) fn is_raw_string(&self) -> bool {
        self.rest()
            .get(1..)
            .is_some_and(|rest| rest.trim_start_matches('#').starts_with('"'))
    }

    pub(super) fn raw_string(&mut self) -> Result<String, Fault> {
        let opened = self.at;
        self.at += 1;
        let hashes = self.take_while(|c| c == '#');
        self.at += 1;
        let close = format!("\"{hashes}");
        let rest = self.rest();
        let Some(end) = rest.find(&close) else {
            return Err(Fault::new(
                opened,
                format!("this text is not closed; expected {close}"),
            ));
        };
        self.at += end + close.len();
        Ok(rest.get(..end).unwrap_or_default().to_owned())
    }

    pub(super) fn number(&mut self) -> Result<Value, Fault> {
        let at = self.at;
        let text =
            self.take_while(|c| c.is_ascii_alphanumeric() || matches!(c, '-' | '+' | '.' | '_'));
        let shown: String = text.chars().take(30).collect();
        let is_ron = self.syntax == Syntax::Ron;
        let clean = if is_ron {
            text.replace('_', "")
        } else {
            text.to_owned()
        };
        let (is_negative, digits) = match clean.strip_prefix('-') {
            Some(digits) => (true, digits),
            None => (
                false,
                clean.strip_prefix('+').filter(|_| is_ron).unwrap_or(&clean),
            ),
        };
        let too_large = || {
            Err(Fault::new(
                at,
                format!("the number {shown} is larger than any this file holds"),
            ))
        };
        for (prefix, radix) in [("0x", 16), ("0o", 8), ("0b", 2)] {
            if let Some(digits) = digits.strip_prefix(prefix).filter(|_| is_ron) {
                return match i64::from_str_radix(digits, radix) {
                    Ok(n) if !digits.starts_with(['+', '-']) => {
                        Ok(Value::Whole(if is_negative { -n } else { n }))
                    }
                    _ => Err(Fault::new(at, format!("found {shown}, expected a number"))),
                };
            }
        }
        let is_decimal = digits.starts_with(|c: char| c.is_ascii_digit() || (is_ron && c == '.'))
            && digits
                .chars()
                .all(|c| c.is_ascii_digit() || matches!(c, '.' | 'e' | 'E' | '-' | '+'));
        if !is_decimal {
            return Err(Fault::new(at, format!("found {shown}, expected a number")));
        }
        if digits.chars().all(|c| c.is_ascii_digit()) {
            let sign = if is_negative { "-" } else { "" };
            return match format!("{sign}{digits}").parse() {
                Ok(n) => Ok(Value::Whole(n)),
                Err(_) => too_large(),
            };
        }
        match digits.parse::<f64>() {
            Ok(n) if n.is_finite() => Ok(Value::Number(if is_negative { -n } else { n })),
            Ok(_) => too_large(),
            Err(_) => Err(Fault::new(at, format!("found {shown}, expected a number"))),
        }
    }
}
