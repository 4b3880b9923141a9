//! How the wall is put up: its theme, when its bell is silent, whether it hangs on the far wall.
//!
//! Invariant: nothing here changes what is computed or written.

use crate::units::text;
use clap::{Args, ValueEnum};

/// A theme by name.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, ValueEnum)]
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

/// How the wall is put up.
#[derive(Clone, Debug, Default, PartialEq, Eq, Args)]
pub struct Manner {
    /// The theme; T on the wall changes it.
    #[arg(long, value_name = "NAME")]
    pub theme: Option<Look>,
    /// Hours in which the bell is silent, such as 12:30-13:15 or 22:00-07:00; may be given again.
    #[arg(long, value_name = "FROM-UNTIL", value_parser = quiet_hours)]
    pub quiet: Vec<(u32, u32)>,
    /// Begin with the far wall: one round, one time to go, in large letters.
    #[arg(long)]
    pub far: bool,
}

/// Reads quiet hours as written, minutes after midnight; they may go over midnight.
pub fn quiet_hours(written: &str) -> Result<(u32, u32), String> {
    let accepted = "write two clock times, such as 22:00-07:00";
    let (from, until) = written.split_once(['-', '–']).ok_or(accepted)?;
    let clock = |written: &str| text::clock(written.trim()).map_err(|_| accepted.to_owned());
    let (from, until) = (clock(from)?, clock(until)?);
    if from == until {
        return Err(format!("from and until are the same; {accepted}"));
    }
    Ok((from, until))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quiet_hours_are_two_clock_times() {
        assert_eq!(quiet_hours("12:30-13:15"), Ok((750, 795)));
        assert_eq!(quiet_hours("22:00 – 07:00"), Ok((1320, 420)));
        for wrong in ["", "22:00", "22:00-22:00", "25:00-07:00", "ten-seven"] {
            assert!(quiet_hours(wrong).is_err(), "{wrong}");
        }
    }
}
