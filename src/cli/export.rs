//! `denib export`: the plan as files for the wall, a spreadsheet, a calendar or another program.
//!
//! Invariant: a file that is there is never written over unless that was asked for, and then whole or not at all.

use super::bench::Bench;
use super::context::Context;
use super::exit::Exit;
use super::failure::Failure;
use super::files::{replace, write_new};
use super::options::{JobOptions, LookOptions};
use crate::dayplan::{Plan, Settings};
use crate::job::Job;
use crate::report::{Paper, calendar, plan_json, plan_text, table, wall_sheet};
use crate::source::visible;
use crate::units::Moment;
use clap::Args;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Write the plan into files: the ending says as what.
///
/// `.html` is the wall sheet (one file to print), `.csv` a table of all operations, `.ics` a calendar of the
/// rounds, `.json` the plan document, `.txt` the printed plan. The plan in force is written; where there is none,
/// one is made.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  denib export linen-press.toml wall-sheet.html\n  \
denib export linen-press.toml rounds.ics operations.csv --replace")]
pub struct Export {
    #[command(flatten)]
    job: JobOptions,
    /// The files to write.
    #[arg(value_name = "FILE", required = true)]
    files: Vec<PathBuf>,
    #[command(flatten)]
    look: LookOptions,
    /// Write over files that are there.
    #[arg(long)]
    replace: bool,
    /// Seed of the search, where a plan must be made.
    #[arg(long, value_name = "N", default_value_t = Settings::default().seed)]
    seed: u64,
    /// How many orders of the work to try, where a plan must be made.
    #[arg(long, value_name = "N", default_value_t = Settings::default().tries)]
    tries: u32,
}

/// What a file is to hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    WallSheet,
    Table,
    Calendar,
    Document,
    Text,
}

/// The endings and what they stand for.
const ENDINGS: [(&str, Kind); 5] = [
    ("html", Kind::WallSheet),
    ("csv", Kind::Table),
    ("ics", Kind::Calendar),
    ("json", Kind::Document),
    ("txt", Kind::Text),
];

impl Kind {
    fn of(path: &Path) -> Result<Self, Failure> {
        let ending = path.extension().map(|ending| ending.to_string_lossy().to_lowercase());
        let known = ENDINGS.iter().find(|(name, _)| ending.as_deref() == Some(name));
        known.map(|&(_, kind)| kind).ok_or_else(|| {
            let name = visible(&path.display().to_string());
            Failure::usage(format!("{name}: the ending does not say what to write"))
                .hint("Endings: .html (wall sheet), .csv (table), .ics (calendar), .json (plan document), .txt (text).")
        })
    }

    fn write(self, plan: &Plan, job: &Job, paper: Paper) -> Result<String, Failure> {
        let cannot = |error: &dyn std::fmt::Display| Failure::usage(format!("cannot write the plan: {error}"));
        match self {
            Self::WallSheet => Ok(wall_sheet(plan, job)),
            Self::Table => table(plan, job).map_err(|error| cannot(&error)),
            Self::Calendar => Ok(calendar(plan, job)),
            Self::Document => plan_json(plan).map_err(|error| cannot(&error)),
            Self::Text => Ok(plan_text(plan, job, paper)),
        }
    }
}

impl Export {
    pub(super) fn run(self, context: &mut Context<'_>) -> Result<Exit, Failure> {
        let kinds: Vec<Kind> = self.files.iter().map(|file| Kind::of(file)).collect::<Result<_, _>>()?;
        if let Some(there) = self.files.iter().find(|file| !self.replace && file.exists()) {
            let failure = Failure::usage(format!("{} is there already", there.display()));
            return Err(failure.hint("Nothing was written. `--replace` writes over it."));
        }
        let bench = Bench::open(&self.job, self.look, context)?;
        let now = bench.now(&self.job, context)?;
        let plan = if let Some(plan) = &bench.plan {
            Arc::clone(plan)
        } else {
            let settings = Settings {
                seed: self.seed,
                tries: self.tries,
            };
            let stopped = context.stopped;
            Arc::new(bench.make_plan(Moment::of(&now), settings, &mut || !stopped())?)
        };
        if (context.stopped)() {
            context.tell("Stopped: nothing was written.\n")?;
            return Ok(Exit::INTERRUPTED);
        }
        let paper = Paper {
            width: 80,
            ascii: self.look.ascii,
        };
        for (file, kind) in self.files.iter().zip(kinds) {
            let text = kind.write(&plan, &bench.job, paper)?;
            if self.replace && file.exists() {
                replace(file, &text)?;
            } else {
                write_new(file, &text)?;
            }
            context.tell(&format!("Written: {}\n", file.display()))?;
        }
        Ok(Exit::DONE)
    }
}
