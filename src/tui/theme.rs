//! Colours and weights. Whether there is colour at all is decided in [`crate::cli::use_colour`].
//!
//! Invariant: no meaning hangs on a colour: the mono theme has none at all, only bold, dim, underline and
//! reverse. The usual colours are the sixteen of the terminal, so the reader's own palette holds; a theme that
//! sets colours sets the ground too, and every one of them stands out from it by 4.5 to 1 or more.

pub use crate::cli::Look;
use ratatui::style::{Color, Modifier, Style};

/// Styles by what they are for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)] // each is named after what it is for
pub struct Theme {
    /// Below everything; empty where the terminal's own ground holds.
    pub ground: Style,
    pub text: Style,
    pub strong: Style,
    pub quiet: Style,
    pub title: Style,
    pub leave: Style,
    pub turn: Style,
    pub test: Style,
    pub carry: Style,
    pub glue: Style,
    pub alarm: Style,
    pub cursor: Style,
}

impl Look {
    /// All, in the order the key goes through them.
    pub const ALL: [Self; 5] = [Self::Terminal, Self::Light, Self::Dark, Self::Contrast, Self::Mono];

    /// Its name on the command line and on the screen.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Terminal => "terminal",
            Self::Light => "light",
            Self::Dark => "dark",
            Self::Contrast => "contrast",
            Self::Mono => "mono",
        }
    }

    /// Its styles.
    pub const fn theme(self) -> &'static Theme {
        match self {
            Self::Terminal => &COLOUR,
            Self::Light => &LIGHT,
            Self::Dark => &DARK,
            Self::Contrast => &CONTRAST,
            Self::Mono => &MONO,
        }
    }

    /// Which one a theme is.
    pub fn of(theme: &Theme) -> Self {
        Self::ALL
            .into_iter()
            .find(|look| look.theme() == theme)
            .unwrap_or_default()
    }

    /// The next one, from the last to the first again.
    #[must_use]
    pub fn next(self) -> Self {
        let at = Self::ALL.iter().position(|look| *look == self).unwrap_or(0);
        Self::ALL.get((at + 1) % Self::ALL.len()).copied().unwrap_or_default()
    }
}

const BOLD: Style = Style::new().add_modifier(Modifier::BOLD);
const TITLE: Style = Style::new()
    .add_modifier(Modifier::BOLD)
    .add_modifier(Modifier::UNDERLINED);
const CURSOR: Style = Style::new().add_modifier(Modifier::REVERSED);

/// Without colour.
pub const MONO: Theme = Theme {
    ground: Style::new(),
    text: Style::new(),
    strong: BOLD,
    quiet: Style::new().add_modifier(Modifier::DIM),
    title: TITLE,
    leave: BOLD,
    turn: Style::new(),
    test: Style::new().add_modifier(Modifier::UNDERLINED),
    carry: Style::new(),
    glue: Style::new(),
    alarm: TITLE,
    cursor: CURSOR,
};

/// With the sixteen colours of the terminal.
pub const COLOUR: Theme = Theme {
    leave: BOLD.fg(Color::Yellow),
    turn: Style::new().fg(Color::Cyan),
    test: BOLD.fg(Color::Magenta),
    carry: Style::new().fg(Color::Green),
    glue: BOLD.fg(Color::Green),
    alarm: BOLD.fg(Color::Red),
    ..MONO
};

/// A colour of the fixed part of the 256-colour table: every terminal that has it shows the same.
const fn fixed(index: u8) -> Style {
    Style::new().fg(Color::Indexed(index))
}

/// Dark on light.
pub const LIGHT: Theme = Theme {
    ground: fixed(235).bg(Color::Indexed(231)),
    quiet: fixed(240),
    leave: fixed(94).add_modifier(Modifier::BOLD),
    turn: fixed(24),
    test: fixed(90).add_modifier(Modifier::BOLD),
    carry: fixed(22),
    glue: fixed(22).add_modifier(Modifier::BOLD),
    alarm: fixed(124).add_modifier(Modifier::BOLD),
    ..MONO
};

/// Light on dark.
pub const DARK: Theme = Theme {
    ground: fixed(252).bg(Color::Indexed(234)),
    quiet: fixed(247),
    leave: fixed(220).add_modifier(Modifier::BOLD),
    turn: fixed(80),
    test: fixed(213).add_modifier(Modifier::BOLD),
    carry: fixed(114),
    glue: fixed(114).add_modifier(Modifier::BOLD),
    alarm: fixed(210).add_modifier(Modifier::BOLD),
    ..MONO
};

/// White and plain colours on black.
pub const CONTRAST: Theme = Theme {
    ground: fixed(231).bg(Color::Indexed(16)),
    quiet: fixed(253),
    leave: fixed(226).add_modifier(Modifier::BOLD),
    turn: fixed(51),
    test: fixed(219).add_modifier(Modifier::BOLD),
    carry: fixed(46),
    glue: fixed(46).add_modifier(Modifier::BOLD),
    alarm: fixed(217).add_modifier(Modifier::BOLD),
    ..MONO
};
