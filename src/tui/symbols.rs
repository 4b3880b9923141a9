//! The signs on the screen, in one table that `--ascii` swaps.
//!
//! Invariant: every sign is one column wide, and no two that can stand in the same place are alike.

/// A table of signs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)] // each is named after where it stands
pub struct Symbols {
    pub leave: char,
    pub coat: char,
    pub turn: char,
    pub test: char,
    pub carry: char,
    pub glue: char,
    pub spoiled: char,
    pub left_out: char,
    pub cursor: char,
    pub rule: char,
    pub warn: char,
    pub dash: char,
    pub cut: char,
    pub in_parts: char,
    pub shift: char,
    pub work: char,
    pub drying: char,
    pub place: char,
    pub choice: char,
    pub now: char,
    pub open: char,
    pub gap: char,
    pub block: char,
    pub free: char,
    pub films: [char; 3],
    pub wood: char,
    pub bars: [char; 8],
}

/// Signs of Unicode.
pub const UNICODE: Symbols = Symbols {
    leave: '≈',
    coat: '◌',
    turn: '◔',
    test: '?',
    carry: '●',
    glue: '■',
    spoiled: '×',
    left_out: '–',
    cursor: '›',
    rule: '─',
    warn: '!',
    dash: '–',
    cut: '…',
    in_parts: '+',
    shift: '·',
    work: '▬',
    drying: '-',
    place: '□',
    choice: ':',
    now: '▲',
    open: '○',
    gap: '!',
    block: '█',
    free: '_',
    films: ['─', '═', '≡'],
    wood: '░',
    bars: ['▁', '▂', '▃', '▄', '▅', '▆', '▇', '█'],
};

/// Signs of ASCII only.
pub const ASCII: Symbols = Symbols {
    leave: '~',
    coat: '=',
    turn: '/',
    test: '?',
    carry: '*',
    glue: '#',
    spoiled: 'x',
    left_out: '-',
    cursor: '>',
    rule: '-',
    warn: '!',
    dash: '-',
    cut: '~',
    in_parts: '+',
    shift: '.',
    work: '=',
    drying: '-',
    place: 'p',
    choice: ':',
    now: '^',
    open: 'o',
    gap: '!',
    block: '#',
    free: '_',
    films: ['-', '=', '#'],
    wood: '%',
    bars: ['.', '.', '.', ':', ':', ':', '#', '#'],
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
            '…' | '≈' => Some('~'),
            '↑' => Some('^'),
            '↓' => Some('v'),
            '←' => Some('<'),
            '→' => Some('>'),
            '▬' => Some('='),
            '□' => Some('p'),
            '○' => Some('o'),
            '█' => Some('#'),
            '×' => Some('x'),
            '²' => Some('2'),
            '³' => Some('3'),
            '½' | '¼' | '¾' => Some('.'),
            '°' => None,
            c if c.is_ascii() => Some(c),
            _ => Some('?'),
        };
        text.chars().filter_map(in_ascii).collect()
    }
}
