//! `denib wall`: what the caller needs to put the wall up.
//!
//! Invariant: nothing is drawn here; the job is read and sound before the terminal is touched.

use super::begin;
use super::bench::Bench;
use super::context::{Context, Surroundings};
use super::failure::Failure;
use super::options::{JobOptions, LookOptions};
use super::{Colour, End, Manner, use_colour};
use crate::dayplan::document::Stamp;
use chrono::TimeDelta;
use clap::Args;
use std::path::PathBuf;
use tempfile::TempDir;

/// Put up the wall: the live screens with what to do now and where every piece stands.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  denib wall linen-press.toml\n  denib wall linen-press.toml --read-only\n  denib wall\n\nWithout a \
job the one in this folder is taken; where there is none the wall leads through a first one. Press ? on the wall for its keys. Without a terminal, \
`denib status` and `denib tick` do the same."
)]
pub struct Wall {
    /// The job file; the one in this folder where it is left out.
    #[arg(value_name = "JOB")]
    job: Option<PathBuf>,
    /// A folder of your own finish schedules, used before those in your configuration folder.
    #[arg(long, value_name = "DIR")]
    schedules: Option<PathBuf>,
    /// Take this for the present instant.
    #[arg(long, value_name = "TIME", hide = true)]
    now: Option<String>,
    /// Only show: a second screen that follows what the first one writes.
    #[arg(long)]
    read_only: bool,
    #[command(flatten)]
    look: LookOptions,
    #[command(flatten)]
    manner: Manner,
    /// Who is at the bench, where several people are.
    #[arg(long, value_name = "NAME")]
    who: Option<String>,
    /// Play these keys on a screen in memory.
    #[arg(long, value_name = "KEYS", hide = true)]
    keys: Option<String>,
    /// Print the screen in memory instead of putting the wall up.
    #[arg(long, hide = true)]
    print: bool,
    /// Size of the screen in memory.
    #[arg(long, value_name = "COLSxROWS", default_value = "80x24", value_parser = size, hide = true)]
    size: (u16, u16),
}

/// Where the wall is shown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Screen {
    /// On the terminal.
    Terminal,
    /// In memory, played with these keys and printed.
    Memory {
        /// The keys.
        keys: String,
        /// Columns and rows.
        size: (u16, u16),
    },
}

/// Everything the wall is put up with.
#[derive(Debug)]
pub struct Showing {
    /// The job and its log.
    pub bench: Bench,
    /// Who ticks.
    pub who: String,
    /// The instant it begins at.
    pub now: Stamp,
    /// Added to the clock to get the wall's time; zero but for the demo and for `--now`.
    pub shift: TimeDelta,
    /// Where it is shown.
    pub screen: Screen,
    /// Colour, as asked for.
    pub color: Colour,
    /// In colour, where it is shown in memory.
    pub colour: bool,
    /// ASCII only.
    pub ascii: bool,
    /// Only show.
    pub read_only: bool,
    /// Theme, quiet hours, the far wall.
    pub manner: Manner,
    /// A folder that goes away with the wall.
    pub folder: Option<TempDir>,
}

fn size(written: &str) -> Result<(u16, u16), String> {
    let sides = written
        .split_once('x')
        .and_then(|(columns, rows)| Some((columns.parse().ok()?, rows.parse().ok()?)));
    match sides {
        Some((columns, rows)) if columns > 0 && rows > 0 => Ok((columns, rows)),
        _ => Err("write columns and rows, such as 80x24".to_owned()),
    }
}

impl Wall {
    pub(super) fn run(self, context: &mut Context<'_>) -> Result<End, Failure> {
        let in_memory = self.print || self.keys.is_some();
        if !in_memory {
            may_start(&context.around)?;
        }
        let (bench, options) = self.bench(context)?;
        let now = match &options {
            Some(options) => bench.now(options, context)?,
            None => context.now().with_timezone(&bench.job.zone).fixed_offset(),
        };
        let shift = now.signed_duration_since(context.now());
        let who = if self.read_only {
            String::new()
        } else {
            super::tick::who(self.who.as_deref(), &bench.job)?
        };
        Ok(End::Wall(Box::new(Showing {
            who,
            bench,
            now,
            shift: if self.now.is_some() { shift } else { TimeDelta::zero() },
            screen: if in_memory {
                Screen::Memory {
                    keys: self.keys.unwrap_or_default(),
                    size: self.size,
                }
            } else {
                Screen::Terminal
            },
            color: self.look.color,
            colour: use_colour(self.look.color, &context.around),
            ascii: self.look.ascii,
            read_only: self.read_only,
            manner: self.manner,
            folder: None,
        })))
    }

    /// The job named, else the only one here, else a first one.
    fn bench(&self, context: &mut Context<'_>) -> Result<(Bench, Option<JobOptions>), Failure> {
        let job = match &self.job {
            Some(job) => Some(job.clone()),
            None => match begin::jobs_here()?.as_slice() {
                [] => None,
                [only] => Some(only.clone()),
                several => {
                    let names: Vec<String> = several.iter().map(|job| job.display().to_string()).collect();
                    let failure = Failure::usage("there are several jobs here: say which");
                    return Err(failure.hint(format!("They are: {}.", names.join(", "))));
                }
            },
        };
        let Some(job) = job else {
            if self.read_only {
                return Err(Failure::usage("there is no job here to show"));
            }
            return Ok((begin::bench(self.schedules.as_deref(), self.look, context)?, None));
        };
        let options = JobOptions {
            job,
            schedules: self.schedules.clone(),
            now: self.now.clone(),
        };
        Ok((Bench::open_begun(&options, self.look, context)?, Some(options)))
    }
}

/// The wall on a job, on the terminal, at the present instant.
pub(super) fn show(bench: Bench, look: LookOptions, context: &mut Context<'_>) -> Result<End, Failure> {
    let now = context.now().with_timezone(&bench.job.zone).fixed_offset();
    Ok(End::Wall(Box::new(Showing {
        who: super::tick::who(None, &bench.job)?,
        bench,
        now,
        shift: TimeDelta::zero(),
        screen: Screen::Terminal,
        color: look.color,
        colour: use_colour(look.color, &context.around),
        ascii: look.ascii,
        read_only: false,
        manner: Manner::default(),
        folder: None,
    })))
}

/// Whether there is a terminal that can show it.
pub(super) fn may_start(around: &Surroundings) -> Result<(), Failure> {
    refuses(around).map_or(Ok(()), |why| Err(Failure::usage(why).hint(INSTEAD)))
}

/// What to use where the wall does not start.
pub const INSTEAD: &str = "Without it: `denib plan`, `denib status` and `denib tick` do the same in plain text.";

/// Why the wall cannot be shown there; `None`: it can.
pub fn refuses(around: &Surroundings) -> Option<&'static str> {
    let dumb = around
        .term
        .as_deref()
        .is_none_or(|term| term.is_empty() || term == "dumb");
    if !(around.output_is_terminal && around.input_is_terminal) {
        Some("the wall needs a terminal, and this is not one")
    } else if dumb {
        Some("the wall needs a terminal that can place text, and TERM is dumb or not set")
    } else {
        None
    }
}
