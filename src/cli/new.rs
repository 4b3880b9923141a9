//! `denib new`: a first job, led through on the wall; without a terminal its file, to be filled in.
//!
//! Invariant: no file is ever overwritten.

use super::begin;
use super::context::Context;
use super::exit::Exit;
use super::failure::Failure;
use super::files::write_new;
use super::options::{JobOptions, LookOptions};
use super::wall::{may_start, show};
use super::{End, bench::Bench};
use clap::Args;
use std::path::PathBuf;

/// Begin a job: the wall leads through title, room, hours and parts.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  denib new desk\n  denib new desk.toml\n\nWithout a terminal the file is written with \
everything but its parts; `denib check` says what is still wanted. With `sample_boards = true` in it a sample board of \
each finish is made and signed off before the first coat."
)]
pub struct New {
    /// Name of the file to make.
    #[arg(value_name = "NAME")]
    name: PathBuf,
    /// A folder of your own finish schedules, used before those in your configuration folder.
    #[arg(long, value_name = "DIR")]
    schedules: Option<PathBuf>,
    #[command(flatten)]
    look: LookOptions,
}

impl New {
    pub(super) fn run(self, context: &mut Context<'_>) -> Result<End, Failure> {
        let path = if self.name.extension().is_some_and(|ending| ending == "toml") {
            self.name
        } else {
            let mut name = self.name.into_os_string();
            name.push(".toml");
            PathBuf::from(name)
        };
        let title = path
            .file_stem()
            .map(|name| name.to_string_lossy().replace(['-', '_'], " "));
        let text = begin::text(context.around.zone.as_deref(), (context.clock)(), title.as_deref())?;
        write_new(&path, &text)?;
        let options = JobOptions {
            job: path,
            schedules: self.schedules,
            now: None,
        };
        if may_start(&context.around).is_err() {
            let path = options.job.display();
            context.print(&format!("{path}\n"))?;
            context.tell(&format!("Next: add its parts, then denib check {path}\n"))?;
            return Ok(End::Exit(Exit::DONE));
        }
        let bench = Bench::open_begun(&options, self.look, context)?;
        show(bench, self.look, context)
    }
}
