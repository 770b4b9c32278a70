//! The columns of the two channel forms, and which heading of a file means which of them.

/// What a column holds, on an ICS 217A or an ICS 205; frequencies and codes from the mobile's side.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Column {
    /// Zone or group in the radio.
    Zone,
    /// Number in that zone.
    Number,
    /// Configuration: simplex, repeater, trunked.
    Configuration,
    /// Function.
    Function,
    /// Name as the radio shows it, for a trunked one with its group number.
    Name,
    /// Eligible users or assignment.
    Assignment,
    /// Receive frequency, with N or W.
    Rx,
    /// Receive tone or NAC.
    RxCode,
    /// Transmit frequency, with N or W.
    Tx,
    /// Transmit tone or NAC.
    TxCode,
    /// A, D or M.
    Mode,
    /// Bandwidth, where it has a column of its own.
    Width,
    /// Group number, where it has a column of its own.
    Group,
    /// Remarks.
    Remarks,
}

impl Column {
    /// All columns.
    pub const ALL: [Self; 14] = [
        Self::Name,
        Self::Rx,
        Self::RxCode,
        Self::Tx,
        Self::TxCode,
        Self::Mode,
        Self::Configuration,
        Self::Function,
        Self::Assignment,
        Self::Width,
        Self::Group,
        Self::Remarks,
        Self::Zone,
        Self::Number,
    ];

    /// Returns the word for it, as `--map` takes it and lists show it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Zone => "zone",
            Self::Number => "number",
            Self::Configuration => "configuration",
            Self::Function => "function",
            Self::Name => "name",
            Self::Assignment => "assignment",
            Self::Rx => "receive frequency",
            Self::RxCode => "receive tone",
            Self::Tx => "transmit frequency",
            Self::TxCode => "transmit tone",
            Self::Mode => "mode",
            Self::Width => "bandwidth",
            Self::Group => "group number",
            Self::Remarks => "remarks",
        }
    }

    /// Returns what becomes of the column: its word, or that a plan keeps no such thing.
    pub fn shown(self) -> &'static str {
        match self {
            Self::Zone => "zone, which a plan does not keep",
            Self::Number => "number in a zone, which a plan does not keep",
            Self::Assignment => "assignment, which a plan derives",
            other => other.word(),
        }
    }

    /// Returns the column a word means, in any case; hyphens count as spaces.
    pub fn of_word(word: &str) -> Option<Self> {
        let word = word.trim().to_lowercase().replace(['-', '_'], " ");
        Self::ALL.into_iter().find(|c| c.word() == word)
    }

    /// Guesses what a heading means, however it is spelt.
    fn of_heading(heading: &str) -> Option<Self> {
        let lower = heading.to_lowercase();
        let words: Vec<&str> = lower
            .split(|c: char| !c.is_alphanumeric())
            .filter(|w| !w.is_empty())
            .collect();
        let any = |list: &[&str]| words.iter().any(|w| list.contains(w));
        let rx = any(&[
            "rx", "receive", "receiver", "rcv", "recv", "rxfreq", "rxtone",
        ]);
        let tx = any(&["tx", "transmit", "transmitter", "xmit", "txfreq", "txtone"]);
        let code = any(&[
            "tone", "tones", "nac", "ctcss", "dcs", "pl", "dpl", "squelch", "code", "rxtone",
            "txtone",
        ]);
        let frequency = any(&[
            "freq",
            "frequency",
            "frequencies",
            "mhz",
            "rxfreq",
            "txfreq",
        ]);
        let width =
            any(&["bandwidth", "width", "khz", "bw"]) || any(&["n"]) && any(&["w"]) && !frequency;
        Some(match (rx, tx) {
            (true, true) => return None,
            (true, false) if code => Self::RxCode,
            (false, true) if code => Self::TxCode,
            (true | false, true | false) if width => Self::Width,
            (true, false) => Self::Rx,
            (false, true) => Self::Tx,
            (false, false) => {
                let talk_group =
                    any(&["talkgroup", "tg", "tgid"]) || any(&["talk"]) && any(&["group"]);
                match () {
                    () if any(&["tgid"])
                        || (talk_group || any(&["group"])) && any(&["id", "number"]) =>
                    {
                        Self::Group
                    }
                    () if any(&["name"]) || talk_group => Self::Name,
                    () if any(&["configuration", "config", "type"]) => Self::Configuration,
                    () if any(&["function", "use", "purpose"]) => Self::Function,
                    () if any(&["assignment", "assignments", "eligible", "users", "user"]) => {
                        Self::Assignment
                    }
                    () if any(&["mode"]) => Self::Mode,
                    () if any(&["remark", "remarks", "note", "notes", "comment", "comments"]) => {
                        Self::Remarks
                    }
                    () if any(&["zone", "grp"]) => Self::Zone,
                    () if frequency => Self::Rx,
                    () if any(&["ch"]) || any(&["channel"]) && any(&["no", "number"]) => {
                        Self::Number
                    }
                    () if any(&["channel"]) => Self::Name,
                    () => return None,
                }
            }
        })
    }
}

/// Which column of a file means which.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Mapping {
    /// For each column of the file, what it holds; `None` where it is left out.
    pub columns: Vec<Option<Column>>,
}

impl Mapping {
    /// Guesses by the headings; of two that mean the same, the first counts.
    pub fn guess(headings: &[String]) -> Self {
        let mut this = Self {
            columns: Vec::with_capacity(headings.len()),
        };
        for heading in headings {
            let column = Column::of_heading(heading).filter(|c| this.place(*c).is_none());
            this.columns.push(column);
        }
        this
    }

    /// Lets a column of the file mean another, or be left out; no other column keeps that meaning.
    pub fn set(&mut self, place: usize, column: Option<Column>) {
        for (i, slot) in self.columns.iter_mut().enumerate() {
            if i == place {
                *slot = column;
            } else if slot.is_some() && *slot == column {
                *slot = None;
            }
        }
    }

    /// Returns where a column stands in the file.
    pub fn place(&self, column: Column) -> Option<usize> {
        self.columns.iter().position(|c| *c == Some(column))
    }

    /// Returns how many columns are known.
    pub fn known(&self) -> usize {
        self.columns.iter().flatten().count()
    }

    /// Returns the cell of a column in a row; empty where there is none.
    pub(super) fn cell<'r>(&self, row: &'r [String], column: Column) -> &'r str {
        let place = self.place(column);
        place.and_then(|i| row.get(i)).map_or("", String::as_str)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn guessed(headings: &[&str]) -> Vec<Option<Column>> {
        let headings: Vec<String> = headings.iter().map(|h| (*h).to_owned()).collect();
        Mapping::guess(&headings).columns
    }

    #[test]
    fn the_headings_of_both_forms_are_known_in_any_case_and_order() {
        use Column as C;
        let printed_217a = [
            ("Channel Configuration", C::Configuration),
            ("Channel Name/Trunked Radio System Talkgroup", C::Name),
            ("Eligible Users / Assignments", C::Assignment),
            ("Rx Freq N or W", C::Rx),
            ("Rx Tone/NAC", C::RxCode),
            ("Tx Freq N or W", C::Tx),
            ("Tx Tone/NAC", C::TxCode),
            ("Mode A, D or M", C::Mode),
            ("Remarks", C::Remarks),
        ];
        let printed_205 = [
            ("Zone Grp.", C::Zone),
            ("Ch #", C::Number),
            ("Function", C::Function),
            ("Channel Name / Trunked Radio System Talkgroup", C::Name),
            ("Assignment", C::Assignment),
            ("RX Freq N or W", C::Rx),
            ("RX Tone/NAC", C::RxCode),
            ("TX Freq N or W", C::Tx),
            ("TX Tone/NAC", C::TxCode),
            ("Mode (A, D or M)", C::Mode),
            ("Remarks", C::Remarks),
        ];
        let otherwise = [
            ("COMMENTS", C::Remarks),
            ("transmit ctcss", C::TxCode),
            ("Transmit Frequency (MHz)", C::Tx),
            ("receive squelch", C::RxCode),
            ("RECEIVE FREQUENCY", C::Rx),
            ("N/W", C::Width),
            ("TGID", C::Group),
            ("channel", C::Name),
        ];
        for headings in [&printed_217a[..], &printed_205, &otherwise] {
            let (names, columns): (Vec<&str>, Vec<Column>) = headings.iter().copied().unzip();
            let expected: Vec<Option<Column>> = columns.into_iter().map(Some).collect();
            assert_eq!(guessed(&names), expected, "{names:?}");
        }
        assert_eq!(
            guessed(&["Rx Freq", "Rx Freq", "Colour"]),
            [Some(C::Rx), None, None]
        );
    }

    #[test]
    fn a_meaning_given_by_hand_is_taken_from_whoever_had_it() {
        let headings = ["Name", "Rx Freq", "Other"].map(str::to_owned);
        let mut mapping = Mapping::guess(&headings);
        mapping.set(2, Some(Column::Name));
        assert_eq!(
            mapping.columns,
            [None, Some(Column::Rx), Some(Column::Name)]
        );
        assert_eq!(Column::of_word("Receive-Tone"), Some(Column::RxCode));
        assert_eq!(Column::of_word("colour"), None);
    }
}
