//! Colours and weights, and who decides about them.
//!
//! Invariant: no meaning hangs on a colour: the mono theme has none at all, only bold, dim, underline and
//! reverse. Colours are the sixteen of the terminal, so the reader's own palette holds.

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

/// Without colour.
pub const MONO: Theme = Theme {
    text: Style::new(),
    strong: Style::new().add_modifier(Modifier::BOLD),
    quiet: Style::new().add_modifier(Modifier::DIM),
    title: Style::new()
        .add_modifier(Modifier::BOLD)
        .add_modifier(Modifier::UNDERLINED),
    leave: Style::new().add_modifier(Modifier::BOLD),
    turn: Style::new(),
    test: Style::new().add_modifier(Modifier::UNDERLINED),
    carry: Style::new(),
    glue: Style::new(),
    alarm: Style::new()
        .add_modifier(Modifier::BOLD)
        .add_modifier(Modifier::UNDERLINED),
    cursor: Style::new().add_modifier(Modifier::REVERSED),
};

/// With the sixteen colours of the terminal.
pub const COLOUR: Theme = Theme {
    text: Style::new(),
    strong: Style::new().add_modifier(Modifier::BOLD),
    quiet: Style::new().add_modifier(Modifier::DIM),
    title: Style::new()
        .add_modifier(Modifier::BOLD)
        .add_modifier(Modifier::UNDERLINED),
    leave: Style::new().fg(Color::Yellow).add_modifier(Modifier::BOLD),
    turn: Style::new().fg(Color::Cyan),
    test: Style::new().fg(Color::Magenta).add_modifier(Modifier::BOLD),
    carry: Style::new().fg(Color::Green),
    glue: Style::new().fg(Color::Green).add_modifier(Modifier::BOLD),
    alarm: Style::new().fg(Color::Red).add_modifier(Modifier::BOLD),
    cursor: Style::new().add_modifier(Modifier::REVERSED),
};
