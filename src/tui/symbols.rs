//! The signs on the screen, in one table that `--ascii` swaps.
//!
//! Invariant: every sign is one column wide, and no two that can stand in the same place are alike.

/// A table of signs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)] // each is named after where it stands
pub struct Symbols {
    pub leave: char,
    pub turn: char,
    pub test: char,
    pub carry: char,
    pub glue: char,
    pub spoiled: char,
    pub in_round: char,
    pub left_out: char,
    pub cursor: char,
    pub folded: char,
    pub unfolded: char,
    pub rule: char,
    pub warn: char,
    pub dash: char,
    pub dot: char,
    pub cut: char,
    pub more: char,
}

/// Signs of Unicode.
pub const UNICODE: Symbols = Symbols {
    leave: '≈',
    turn: '◔',
    test: '?',
    carry: '●',
    glue: '■',
    spoiled: '×',
    in_round: '·',
    left_out: '–',
    cursor: '›',
    folded: '+',
    unfolded: '−',
    rule: '─',
    warn: '!',
    dash: '–',
    dot: '·',
    cut: '…',
    more: '↓',
};

/// Signs of ASCII only.
pub const ASCII: Symbols = Symbols {
    leave: '~',
    turn: '/',
    test: '?',
    carry: '*',
    glue: '#',
    spoiled: 'x',
    in_round: '.',
    left_out: '-',
    cursor: '>',
    folded: '+',
    unfolded: '-',
    rule: '-',
    warn: '!',
    dash: '-',
    dot: ',',
    cut: '~',
    more: 'v',
};

impl Symbols {
    /// Text with the signs that ASCII does not have put into ASCII; other text (names) becomes `?` there.
    pub fn plain(&self, text: &str) -> String {
        if *self != ASCII {
            return text.to_owned();
        }
        let in_ascii = |c| match c {
            '–' | '−' => Some('-'),
            '·' => Some(','),
            '…' => Some('~'),
            '°' => None,
            c if c.is_ascii() => Some(c),
            _ => Some('?'),
        };
        text.chars().filter_map(in_ascii).collect()
    }
}
