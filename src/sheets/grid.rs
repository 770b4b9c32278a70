//! Text of the clipboard as rows of cells, and back: tab-separated as spreadsheets write it, with
//! quoted cells; comma or semicolon only where every row has the same number of them.

/// Rows of cells.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Grid {
    /// The cells, row by row; rows may differ in length.
    pub rows: Vec<Vec<String>>,
    /// What stood between the cells.
    pub separator: char,
}

impl Grid {
    /// Reads a text; any text is one.
    pub fn read(text: &str) -> Self {
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let tabs = split(text, '\t');
        if tabs.iter().any(|row| row.len() > 1) {
            return Self {
                rows: tabs,
                separator: '\t',
            };
        }
        for separator in [';', ','] {
            let rows = split(text, separator);
            let cells = rows.first().map_or(0, Vec::len);
            if rows.len() > 1 && cells > 1 && rows.iter().all(|row| row.len() == cells) {
                return Self { rows, separator };
            }
        }
        Self {
            rows: tabs,
            separator: '\t',
        }
    }

    /// Returns the only cell, where there is only one.
    pub fn single(&self) -> Option<&str> {
        match self.rows.as_slice() {
            [row] => match row.as_slice() {
                [cell] => Some(cell),
                _ => None,
            },
            _ => None,
        }
    }

    /// Returns what stood between the cells, in words.
    pub fn separator_word(&self) -> &'static str {
        match self.separator {
            ',' => "commas",
            ';' => "semicolons",
            _ => "tabs",
        }
    }
}

/// Splits by one separator; a quote that never ends is a letter like others.
fn split(text: &str, separator: char) -> Vec<Vec<String>> {
    let letters: Vec<char> = text.chars().collect();
    let mut rows = Vec::new();
    let mut row = Vec::new();
    let mut cell = String::new();
    let mut at = 0;
    while let Some(c) = letters.get(at).copied() {
        at += 1;
        match c {
            '"' if cell.is_empty() => match quoted(&letters, at, separator) {
                Some((inside, next)) => {
                    cell = inside;
                    at = next;
                }
                None => cell.push('"'),
            },
            '\r' if letters.get(at) == Some(&'\n') => {}
            '\n' | '\r' => {
                row.push(std::mem::take(&mut cell));
                rows.push(std::mem::take(&mut row));
            }
            c if c == separator => row.push(std::mem::take(&mut cell)),
            c => cell.push(c),
        }
    }
    if !cell.is_empty() || !row.is_empty() {
        row.push(cell);
        rows.push(row);
    }
    rows
}

/// Reads a quoted cell from behind its first quote; `None` where what follows is no end of a cell.
fn quoted(letters: &[char], from: usize, separator: char) -> Option<(String, usize)> {
    let mut inside = String::new();
    let mut at = from;
    loop {
        let c = *letters.get(at)?;
        at += 1;
        if c != '"' {
            inside.push(c);
            continue;
        }
        match letters.get(at) {
            Some('"') => {
                inside.push('"');
                at += 1;
            }
            None | Some('\n' | '\r') => return Some((inside, at)),
            Some(next) if *next == separator => return Some((inside, at)),
            Some(_) => return None,
        }
    }
}

/// Writes rows of cells with tabs between, quoted where a cell would be taken apart.
pub fn text_of<'a, R>(rows: impl IntoIterator<Item = R>) -> String
where
    R: IntoIterator<Item = &'a str>,
{
    let mut out = String::new();
    for row in rows {
        for (i, cell) in row.into_iter().enumerate() {
            if i > 0 {
                out.push('\t');
            }
            if cell.contains(['\t', '\n', '\r', '"']) {
                out.push('"');
                out.push_str(&cell.replace('"', "\"\""));
                out.push('"');
            } else {
                out.push_str(cell);
            }
        }
        out.push('\n');
    }
    out
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn read(text: &str) -> Vec<Vec<String>> {
        Grid::read(text).rows
    }

    #[test]
    fn spreadsheets_and_plain_texts_are_taken_apart() {
        assert_eq!(read("a\tb\r\nc\td\r\n"), [["a", "b"], ["c", "d"]]);
        assert_eq!(read("\"a\tb\"\t\"c\nd\"\n"), [["a\tb", "c\nd"]]);
        assert_eq!(read("\"say \"\"on\"\"\"\tx"), [["say \"on\"", "x"]]);
        assert_eq!(read("a;1,5\nb;2,5"), [["a", "1,5"], ["b", "2,5"]]);
        assert_eq!(read("a,b\n\"c,d\",e\n"), [["a", "b"], ["c,d", "e"]]);
        assert_eq!(read("Engine 1, Engine 2"), [["Engine 1, Engine 2"]]);
        assert_eq!(read("a, b\nc"), [["a, b"], ["c"]]);
        assert_eq!(read("\"never ends\tx"), [["\"never ends", "x"]]);
        assert_eq!(read("a\t\n\tb"), [["a", ""], ["", "b"]]);
        assert!(read("").is_empty());
        assert_eq!(Grid::read("one").single(), Some("one"));
    }

    proptest! {
        #[test]
        fn what_is_written_is_read_back(
            rows in prop::collection::vec(prop::collection::vec("[a-c\t\n\r\", ;]{0,6}", 2..4), 1..5)
        ) {
            let text = text_of(rows.iter().map(|row| row.iter().map(String::as_str)));
            prop_assert_eq!(read(&text), rows);
        }

        #[test]
        fn any_text_is_a_grid(text in any::<String>()) {
            let rows = read(&text);
            prop_assert!(rows.len() <= text.len() + 1);
        }
    }
}
