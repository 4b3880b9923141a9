//! Colours and weights, and who decides about them.
//!
//! Invariant: no meaning hangs on a colour: the mono theme has none at all, only bold, dim, underline and
//! reverse. The usual colours are the sixteen of the terminal, so the reader's own palette holds; a theme that
//! sets colours sets the ground too, and every one of them stands out from it by 4.5 to 1 or more.

use ratatui::style::{Color, Modifier, Style};

/// What was asked for on the command line or in the settings.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum ColourChoice {
    /// Whatever fits.
    #[default]
    Auto,
    /// Colour.
    Always,
    /// None.
    Never,
}

/// What the surroundings say about colour.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Surroundings {
    /// `NO_COLOR`.
    pub no_color: Option<String>,
    /// `CLICOLOR_FORCE`.
    pub clicolor_force: Option<String>,
    /// `TERM`.
    pub term: Option<String>,
    /// Both ends are a terminal.
    pub tty: bool,
}

/// Whether to use colour: flag, then settings, then `NO_COLOR` (set and not empty), then
/// `CLICOLOR_FORCE` (set, not empty, not 0), then a terminal that is not dumb.
pub fn use_colour(flag: ColourChoice, settings: ColourChoice, around: &Surroundings) -> bool {
    for choice in [flag, settings] {
        match choice {
            ColourChoice::Always => return true,
            ColourChoice::Never => return false,
            ColourChoice::Auto => {}
        }
    }
    let set = |value: &Option<String>| value.as_deref().is_some_and(|value| !value.is_empty());
    if set(&around.no_color) {
        return false;
    }
    if set(&around.clicolor_force) && around.clicolor_force.as_deref() != Some("0") {
        return true;
    }
    around.tty
        && around
            .term
            .as_deref()
            .is_some_and(|term| !term.is_empty() && term != "dumb")
}

/// Whether the wall can be shown at all; the sentence says what to use instead.
pub fn may_start(around: &Surroundings) -> Result<(), String> {
    let instead = "The plain commands say the same: `denib plan`, `denib status`, `denib tick`.";
    if !around.tty {
        return Err(format!("The wall needs a terminal, and this is not one.\n{instead}"));
    }
    match around.term.as_deref() {
        None | Some("dumb" | "") => Err(format!(
            "The wall needs a terminal that can place text (TERM is dumb or not set).\n{instead}"
        )),
        Some(_) => Ok(()),
    }
}

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

/// A theme by name.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Look {
    /// The terminal's own sixteen colours.
    #[default]
    Terminal,
    /// Dark on light.
    Light,
    /// Light on dark.
    Dark,
    /// White and plain colours on black.
    Contrast,
    /// No colour.
    Mono,
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
