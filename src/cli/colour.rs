//! Whether to print in colour.
//!
//! Invariant: the flag decides; without it `NO_COLOR`, then `CLICOLOR_FORCE`, then the terminal.

use super::context::Surroundings;
use clap::ValueEnum;

/// What was asked for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum Colour {
    /// Whatever fits.
    #[default]
    Auto,
    /// Colour.
    Always,
    /// None.
    Never,
}

/// Decides. `NO_COLOR` and `CLICOLOR_FORCE` count when set and not empty (the latter not when `0`).
pub fn use_colour(asked: Colour, around: &Surroundings) -> bool {
    match asked {
        Colour::Always => return true,
        Colour::Never => return false,
        Colour::Auto => {}
    }
    let set = |value: &Option<String>| value.as_deref().is_some_and(|value| !value.is_empty());
    if set(&around.no_color) {
        return false;
    }
    if set(&around.clicolor_force) && around.clicolor_force.as_deref() != Some("0") {
        return true;
    }
    around.output_is_terminal
        && around
            .term
            .as_deref()
            .is_some_and(|term| !term.is_empty() && term != "dumb")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn around(no_color: Option<&str>, force: Option<&str>, term: Option<&str>, terminal: bool) -> Surroundings {
        Surroundings {
            no_color: no_color.map(str::to_owned),
            clicolor_force: force.map(str::to_owned),
            term: term.map(str::to_owned),
            output_is_terminal: terminal,
            ..Surroundings::default()
        }
    }

    #[test]
    fn the_order_of_precedence() {
        let xterm = Some("xterm");
        let cases = [
            (Colour::Auto, around(None, None, xterm, true), true),
            (Colour::Auto, around(None, None, xterm, false), false),
            (Colour::Auto, around(None, None, Some("dumb"), true), false),
            (Colour::Auto, around(None, None, None, true), false),
            (Colour::Auto, around(Some("1"), None, xterm, true), false),
            (Colour::Auto, around(Some(""), None, xterm, true), true),
            (Colour::Auto, around(Some("1"), Some("1"), xterm, true), false),
            (Colour::Auto, around(None, Some("1"), xterm, false), true),
            (Colour::Auto, around(None, Some("0"), xterm, false), false),
            (Colour::Always, around(Some("1"), None, None, false), true),
            (Colour::Never, around(None, Some("1"), xterm, true), false),
        ];
        for (asked, around, wanted) in cases {
            assert_eq!(use_colour(asked, &around), wanted, "{asked:?} {around:?}");
        }
    }
}
