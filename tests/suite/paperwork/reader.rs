//! Reads a PDF back with a library that had no part in writing it (the crate `pdf-extract`).

use pdf_extract::{Document, MediaBox, OutputDev, OutputError, Transform};

/// A letter where it stands, in points right of and below the page's corner.
#[derive(Debug, Clone, PartialEq)]
struct Letter {
    x: f64,
    y: f64,
    width: f64,
    text: String,
}

/// Text on one base line of a page; parts that stand apart are separated by " | ".
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Row {
    /// Page, from 1.
    pub(crate) page: u32,
    /// Height of the base line, in points below the page's upper edge.
    pub(crate) y: f64,
    /// Left end of the first letter.
    pub(crate) left: f64,
    /// Right end of the last letter.
    pub(crate) right: f64,
    /// What it says.
    pub(crate) text: String,
}

#[derive(Default)]
struct Reader {
    page: u32,
    height: f64,
    letters: Vec<(u32, Letter)>,
    sizes: Vec<(f64, f64)>,
}

impl OutputDev for Reader {
    fn begin_page(
        &mut self,
        page: u32,
        media: &MediaBox,
        _art: Option<(f64, f64, f64, f64)>,
    ) -> Result<(), OutputError> {
        self.page = page;
        self.height = media.ury - media.lly;
        self.sizes.push((media.urx - media.llx, self.height));
        Ok(())
    }

    fn end_page(&mut self) -> Result<(), OutputError> {
        Ok(())
    }

    fn output_character(
        &mut self,
        at: &Transform,
        width: f64,
        _spacing: f64,
        size: f64,
        text: &str,
    ) -> Result<(), OutputError> {
        let letter = Letter {
            x: at.m31,
            y: self.height - at.m32,
            width: width * size * at.m11.hypot(at.m12),
            text: text.to_owned(),
        };
        self.letters.push((self.page, letter));
        Ok(())
    }

    fn begin_word(&mut self) -> Result<(), OutputError> {
        Ok(())
    }

    fn end_word(&mut self) -> Result<(), OutputError> {
        Ok(())
    }

    fn end_line(&mut self) -> Result<(), OutputError> {
        Ok(())
    }
}

/// What was read of a PDF.
#[derive(Debug)]
pub(crate) struct Read {
    /// Every base line of every page, from the top.
    pub(crate) rows: Vec<Row>,
    /// Width and height of every page, in points.
    pub(crate) sizes: Vec<(f64, f64)>,
    /// All letters in the order in which they stand in the file.
    pub(crate) stream: String,
}

impl Read {
    /// Reads a file.
    pub(crate) fn of(bytes: &[u8]) -> Self {
        let document = Document::load_mem(bytes).expect("it is a PDF");
        let mut reader = Reader::default();
        pdf_extract::output_doc(&document, &mut reader).expect("its text can be read");
        let stream = reader.letters.iter().map(|(_, l)| l.text.as_str());
        let stream = stream.collect();
        let mut letters = reader.letters;
        letters.sort_by(|(p, a), (q, b)| {
            let line = |letter: &Letter| (letter.y * 4.0).round() as i64;
            (p, line(a)).cmp(&(q, line(b))).then(a.x.total_cmp(&b.x))
        });
        let mut rows: Vec<Row> = Vec::new();
        for (page, letter) in letters {
            let right = letter.x + letter.width;
            match rows.last_mut() {
                Some(row) if row.page == page && (row.y - letter.y).abs() < 0.3 => {
                    // A wrapped line ends with a space, which may reach into the gap to the next part.
                    let gap = if row.text.ends_with(' ') { 1.0 } else { 3.5 };
                    if letter.x - row.right > gap {
                        row.text = format!("{} | ", row.text.trim_end());
                    }
                    row.text.push_str(&letter.text);
                    row.right = right;
                }
                _ => rows.push(Row {
                    page,
                    y: letter.y,
                    left: letter.x,
                    right,
                    text: letter.text,
                }),
            }
        }
        for row in &mut rows {
            row.text = row.text.trim().to_owned();
        }
        Self {
            rows,
            sizes: reader.sizes,
            stream,
        }
    }

    /// Lists the texts of the rows that hold a text.
    pub(crate) fn with(&self, text: &str) -> Vec<&str> {
        let rows = self.rows.iter().filter(|r| r.text.contains(text));
        rows.map(|r| r.text.as_str()).collect()
    }

    /// Tells whether a row's parts are these, others between them or not, in this order.
    #[track_caller]
    pub(crate) fn has_row(&self, parts: &[&str]) {
        let is_it = |row: &Row| {
            let mut cells = row.text.split(" | ");
            parts.iter().all(|part| cells.any(|cell| cell == *part))
        };
        assert!(
            self.rows.iter().any(is_it),
            "no row has {parts:?}; those with the first are {:#?}",
            self.with(parts.first().copied().unwrap_or_default())
        );
    }

    /// Returns the whole text of a page on one line.
    pub(crate) fn flat(&self, page: u32) -> String {
        self.page(page).replace('\n', " ")
    }

    /// Returns the whole text of a page, a row a line.
    pub(crate) fn page(&self, page: u32) -> String {
        let rows = self.rows.iter().filter(|r| r.page == page);
        rows.map(|r| r.text.as_str()).collect::<Vec<_>>().join("\n")
    }
}
