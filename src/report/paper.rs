//! The sheet a report is written on: width, wrapping, plain or full characters.
//!
//! Invariant: no control character but the line feed leaves a [`Sheet`], and no line is wider than the
//! paper unless one word alone is.

use unicode_width::UnicodeWidthStr;

/// What a report is written for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Paper {
    /// Columns.
    pub width: usize,
    /// ASCII only.
    pub ascii: bool,
}

impl Default for Paper {
    fn default() -> Self {
        Self {
            width: 80,
            ascii: false,
        }
    }
}

/// A name from a file made harmless: control and direction-changing characters become spaces.
pub fn clean(text: &str) -> String {
    text.chars()
        .map(|letter| if steers(letter) { ' ' } else { letter })
        .collect()
}

/// Characters that move a cursor or turn the reading direction instead of showing something.
fn steers(letter: char) -> bool {
    letter.is_control()
        || matches!(letter, '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}')
}

/// A report being written.
#[derive(Clone, Debug)]
pub struct Sheet {
    paper: Paper,
    text: String,
}

impl Sheet {
    /// An empty sheet.
    pub fn new(paper: Paper) -> Self {
        Self {
            paper,
            text: String::new(),
        }
    }

    /// A heading, underlined over its own length.
    pub fn heading(&mut self, text: &str) {
        self.line(text);
        let last = self.text.trim_end_matches('\n').rsplit('\n').next().unwrap_or_default();
        let length = last.width();
        let rule = if self.paper.ascii { "-" } else { "─" };
        self.text.push_str(&rule.repeat(length));
        self.text.push('\n');
    }

    /// An empty line, never two together.
    pub fn blank(&mut self) {
        if !self.text.is_empty() && !self.text.ends_with("\n\n") {
            self.text.push('\n');
        }
    }

    /// A paragraph from the left edge.
    pub fn line(&mut self, text: &str) {
        self.hanging("", 0, text);
    }

    /// A paragraph set in by `indent`.
    pub fn indented(&mut self, indent: usize, text: &str) {
        self.hanging("", indent, text);
    }

    /// A paragraph whose first line starts with `lead` and whose text stands at column `indent`.
    pub fn hanging(&mut self, lead: &str, indent: usize, text: &str) {
        let lead = self.plain(lead);
        let body = tied(&self.plain(text));
        // A narrow paper has no room for a margin: the lead takes a line of its own.
        let narrow = self.paper.width < indent + 24;
        let indent = if narrow { indent.min(2) } else { indent };
        let mut line = lead.clone();
        let used = lead.width();
        if used < indent {
            line.push_str(&" ".repeat(indent - used));
        } else if used > 0 && !lead.ends_with(' ') {
            if used + 1 > indent && !body.is_empty() && narrow {
                self.push(&line);
                line = " ".repeat(indent);
            } else {
                line.push(' ');
            }
        }
        let mut at = line.width();
        let mut fresh = true;
        for word in body.split(breaks).filter(|word| !word.is_empty()) {
            let wide = word.width();
            if !fresh && at + 1 + wide > self.paper.width {
                self.push(&line);
                line = " ".repeat(indent);
                at = indent;
                fresh = true;
            }
            if !fresh {
                line.push(' ');
                at += 1;
            }
            // A hard space keeps two words on one line and is an ordinary one on paper.
            line.push_str(&word.replace(JOIN, " "));
            at += wide;
            fresh = false;
        }
        self.push(&line);
    }

    /// A line whose spaces stand as they are, for drawings; wider than the paper it is cut.
    pub(super) fn exact(&mut self, text: &str) {
        let plain = self.plain(text).replace(JOIN, " ");
        let mut line = String::new();
        let mut at = 0;
        for letter in plain.chars() {
            at += letter.to_string().width();
            if at > self.paper.width {
                break;
            }
            line.push(letter);
        }
        self.push(&line);
    }

    /// Rows in columns: every column as wide as its widest cell, the last one wrapping.
    pub fn table(&mut self, indent: usize, rows: &[Vec<String>]) {
        let rows: Vec<Vec<String>> = rows
            .iter()
            .map(|row| row.iter().map(|cell| self.plain(cell).replace(JOIN, " ")).collect())
            .collect();
        let count = rows.iter().map(Vec::len).max().unwrap_or(0);
        let widths: Vec<usize> = (0..count)
            .map(|column| {
                rows.iter()
                    .filter_map(|row| row.get(column))
                    .map(|cell| cell.width())
                    .max()
                    .unwrap_or(0)
            })
            .collect();
        for row in &rows {
            let mut lead = " ".repeat(indent);
            let last = row.len().saturating_sub(1);
            for (column, cell) in row.iter().take(last).enumerate() {
                let wide = widths.get(column).copied().unwrap_or(0);
                lead.push_str(cell);
                lead.push_str(&" ".repeat(wide.saturating_sub(cell.width()) + 2));
            }
            let at = lead.width();
            let tail = row.last().map(String::as_str).unwrap_or_default();
            let left = self.paper.width.saturating_sub(at);
            if at + tail.width() > self.paper.width && left < LEAST_COLUMN {
                // too narrow a column to read down: the last cell goes under its row
                self.push(&lead);
                self.hanging("", indent + 4, tail);
            } else {
                self.hanging(&lead, at, tail);
            }
        }
    }

    /// The text so far.
    pub fn finish(self) -> String {
        self.text
    }

    fn push(&mut self, line: &str) {
        self.text.push_str(line.trim_end());
        self.text.push('\n');
    }

    fn plain(&self, text: &str) -> String {
        let clean = clean(text);
        if self.paper.ascii { to_ascii(&clean) } else { clean }
    }
}

/// Units that stay on the line of their number.
const UNITS: [&str; 10] = ["%", "°C", "C", "m³", "m3", "mg/m³", "mg/m3", "ppm", "mm", "mL"];

/// The text with every number joined to its unit.
fn tied(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut words = text.split(' ').peekable();
    while let Some(word) = words.next() {
        out.push_str(word);
        let Some(next) = words.peek() else { break };
        let number = word.ends_with(|letter: char| letter.is_ascii_digit());
        let unit = next.trim_end_matches(['.', ',', ';', ':', ')']);
        out.push(if number && UNITS.contains(&unit) { JOIN } else { ' ' });
    }
    out
}

/// Where a line may be broken.
fn breaks(letter: char) -> bool {
    letter.is_whitespace() && letter != JOIN
}

/// A last column narrower than this is hard to read when it wraps.
const LEAST_COLUMN: usize = 34;

/// Joins two words that must stay on one line.
pub(super) const JOIN: char = '\u{a0}';

/// Plain characters for those that a bare terminal may not have.
fn to_ascii(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            // kept: `hanging` turns it into a space once lines are broken
            JOIN => out.push(JOIN),
            plain if plain.is_ascii() => out.push(plain),
            '–' | '—' | '‑' | '−' | '─' => out.push('-'),
            '°' => {}
            '²' => out.push('2'),
            '³' => out.push('3'),
            'µ' | 'μ' => out.push('u'),
            '×' => out.push('x'),
            '·' => out.push('*'),
            '…' => out.push_str("..."),
            '≤' => out.push_str("<="),
            '≥' => out.push_str(">="),
            '‘' | '’' => out.push('\''),
            '“' | '”' => out.push('"'),
            'ß' => out.push_str("ss"),
            'æ' => out.push_str("ae"),
            'ø' => out.push('o'),
            other => out.push(base_letter(other)),
        }
    }
    out
}

/// The letter under an accent, for the accents of western alphabets; `?` otherwise.
fn base_letter(letter: char) -> char {
    const FOLDS: [(&str, char); 18] = [
        ("àáâãäåāăą", 'a'),
        ("çćč", 'c'),
        ("ďđð", 'd'),
        ("èéêëēęě", 'e'),
        ("ìíîïī", 'i'),
        ("ł", 'l'),
        ("ñńň", 'n'),
        ("òóôõöőō", 'o'),
        ("ř", 'r'),
        ("śšş", 's'),
        ("ťţ", 't'),
        ("ùúûüűůū", 'u'),
        ("ýÿ", 'y'),
        ("źžż", 'z'),
        ("ÀÁÂÃÄÅ", 'A'),
        ("ÈÉÊË", 'E'),
        ("ÒÓÔÕÖØ", 'O'),
        ("ÙÚÛÜ", 'U'),
    ];
    FOLDS
        .iter()
        .find(|(set, _)| set.contains(letter))
        .map_or('?', |&(_, base)| base)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn written(width: usize, ascii: bool, text: &str) -> String {
        let mut sheet = Sheet::new(Paper { width, ascii });
        sheet.hanging("08:00–08:25", 13, text);
        sheet.finish()
    }

    #[test]
    fn wraps_under_the_hanging_column() {
        let text = written(40, false, "four legs, two long aprons and the top of it");
        assert_eq!(
            text,
            "08:00–08:25  four legs, two long aprons\n             and the top of it\n"
        );
    }

    #[test]
    fn narrow_paper_gives_the_lead_its_own_line() {
        let text = written(20, true, "four legs, two long aprons");
        assert_eq!(text, "08:00-08:25\n  four legs, two\n  long aprons\n");
    }

    #[test]
    fn control_characters_never_reach_the_paper() {
        let text = written(60, false, "leg\u{1b}[2J\u{9b}31m\u{202e}gel\r\n");
        assert!(text.trim_end().chars().all(|letter| !steers(letter)), "{text:?}");
        assert!(text.contains("gel"));
    }

    #[test]
    fn plain_paper_is_ascii() {
        let text = written(60, true, "Inés: 18 °C, 120 µm × 2 — ‘done’ 漆");
        assert!(text.is_ascii(), "{text:?}");
        assert!(text.contains("Ines: 18 C, 120 um x 2 - 'done' ?"), "{text:?}");
    }

    #[test]
    fn a_number_keeps_its_unit() {
        let mut sheet = Sheet::new(Paper {
            width: 24,
            ascii: false,
        });
        sheet.line("under the cap of ten, 10 %, and of 25 °C; 25 parts");
        assert_eq!(sheet.finish(), "under the cap of ten,\n10 %, and of 25 °C; 25\nparts\n");
    }

    #[test]
    fn joined_words_stay_together() {
        let mut sheet = Sheet::new(Paper { width: 30, ascii: true });
        sheet.line("touch dry about 13:40, sand from Tue\u{a0}15:10");
        assert_eq!(sheet.finish(), "touch dry about 13:40, sand\nfrom Tue 15:10\n");
    }
}
