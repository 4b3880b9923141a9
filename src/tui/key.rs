//! Keys as the pages know them, and scripts of keys.
//!
//! Invariant: every key a page answers to can be written in a script.

use ratatui::crossterm::event::{KeyCode, KeyEvent, KeyEventKind, KeyModifiers};
use std::fmt;

/// A key.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Key {
    /// A character.
    Char(char),
    /// Enter.
    Enter,
    /// Escape.
    Esc,
    /// Tab.
    Tab,
    /// Shift and Tab.
    BackTab,
    /// Backspace.
    Backspace,
    /// Delete.
    Delete,
    /// Arrow up.
    Up,
    /// Arrow down.
    Down,
    /// Arrow left.
    Left,
    /// Arrow right.
    Right,
    /// Page up.
    PageUp,
    /// Page down.
    PageDown,
    /// Home.
    Home,
    /// End.
    End,
    /// Control and a letter.
    Ctrl(char),
}

impl Key {
    /// The key of a terminal event; `None` for releases and keys no page answers to.
    pub fn of(event: &KeyEvent) -> Option<Self> {
        if event.kind == KeyEventKind::Release {
            return None;
        }
        Some(match event.code {
            KeyCode::Char(c) if event.modifiers.contains(KeyModifiers::CONTROL) => Self::Ctrl(c.to_ascii_lowercase()),
            KeyCode::Char(c) if !event.modifiers.contains(KeyModifiers::ALT) => Self::Char(c),
            KeyCode::Enter => Self::Enter,
            KeyCode::Esc => Self::Esc,
            KeyCode::Tab => Self::Tab,
            KeyCode::BackTab => Self::BackTab,
            KeyCode::Backspace => Self::Backspace,
            KeyCode::Delete => Self::Delete,
            KeyCode::Up => Self::Up,
            KeyCode::Down => Self::Down,
            KeyCode::Left => Self::Left,
            KeyCode::Right => Self::Right,
            KeyCode::PageUp => Self::PageUp,
            KeyCode::PageDown => Self::PageDown,
            KeyCode::Home => Self::Home,
            KeyCode::End => Self::End,
            _ => return None,
        })
    }
}

const NAMED: [(&str, Key); 21] = [
    ("enter", Key::Enter),
    ("esc", Key::Esc),
    ("tab", Key::Tab),
    ("backtab", Key::BackTab),
    ("backspace", Key::Backspace),
    ("delete", Key::Delete),
    ("up", Key::Up),
    ("down", Key::Down),
    ("left", Key::Left),
    ("right", Key::Right),
    ("pageup", Key::PageUp),
    ("pagedown", Key::PageDown),
    ("home", Key::Home),
    ("end", Key::End),
    ("space", Key::Char(' ')),
    ("lt", Key::Char('<')),
    ("ctrl-c", Key::Ctrl('c')),
    ("ctrl-l", Key::Ctrl('l')),
    ("ctrl-s", Key::Ctrl('s')),
    ("ctrl-u", Key::Ctrl('u')),
    ("ctrl-z", Key::Ctrl('z')),
];

/// A step of a script.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ScriptStep {
    /// A key.
    Key(Key),
    /// `<paste:some text>`.
    Paste(String),
    /// `<size:100x30>`: the screen gets another size.
    Size(u16, u16),
    /// `<wait:90>`: so many minutes go by (negative: the clock goes back).
    Wait(i64),
}

/// A script that cannot be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BadScript {
    /// The part that is not understood.
    pub what: String,
}

impl fmt::Display for BadScript {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let names: Vec<&str> = NAMED.iter().map(|(name, _)| *name).collect();
        write!(
            f,
            "no such key: <{}>. Names are {}, paste:TEXT, size:80x24, wait:MINUTES",
            self.what,
            names.join(", ")
        )
    }
}

impl std::error::Error for BadScript {}

/// Reads a script: characters stand for themselves, names stand in angle brackets: `jj<enter><esc>`.
pub fn parse_script(text: &str) -> Result<Vec<ScriptStep>, BadScript> {
    let mut steps = Vec::new();
    let mut chars = text.chars();
    while let Some(c) = chars.next() {
        if c != '<' {
            steps.push(ScriptStep::Key(Key::Char(c)));
            continue;
        }
        let name: String = chars.by_ref().take_while(|&c| c != '>').collect();
        steps.push(named_step(&name).ok_or(BadScript { what: name })?);
    }
    Ok(steps)
}

fn named_step(name: &str) -> Option<ScriptStep> {
    if let Some((_, key)) = NAMED.iter().find(|(known, _)| *known == name) {
        return Some(ScriptStep::Key(*key));
    }
    let (kind, rest) = name.split_once(':')?;
    match kind {
        "paste" => Some(ScriptStep::Paste(rest.to_owned())),
        "wait" => rest.parse().ok().map(ScriptStep::Wait),
        "size" => parse_size(rest).map(|(columns, rows)| ScriptStep::Size(columns, rows)),
        _ => None,
    }
}

/// Reads `80x24`.
pub fn parse_size(text: &str) -> Option<(u16, u16)> {
    let (columns, rows) = text.split_once('x')?;
    let size = (columns.parse().ok()?, rows.parse().ok()?);
    (size.0 > 0 && size.1 > 0).then_some(size)
}
