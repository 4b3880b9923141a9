//! `denib demo`: the shipped job on a private copy.
//!
//! Invariant: nothing is left behind unless a folder was asked for, and no file is ever overwritten.

use super::bench::Bench;
use super::context::Context;
use super::exit::Exit;
use super::failure::Failure;
use super::files::{make_folder, write_new};
use super::manner::Manner;
use super::options::{JobOptions, LookOptions};
use super::wall::{Screen, Showing, may_start};
use super::{End, use_colour};
use crate::dayplan::Settings;
use crate::report::plan_text;
use clap::Args;
use std::path::{Path, PathBuf};

/// The shipped job: file name and text.
const DEMO: (&str, &str) = ("linen-press.toml", include_str!("../../demo/linen-press.toml"));

/// Try denib on an invented job: the wall on a terminal, the printed plan otherwise.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  denib demo\n  denib demo --plan | less\n  denib demo --into my-demo\n\nThe demo works \
on a copy of its own. On the wall its clock begins on the job's first morning."
)]
pub struct Demo {
    #[command(flatten)]
    look: LookOptions,
    /// Print the plan, on a terminal too.
    #[arg(long)]
    plan: bool,
    /// Put the demo's file into this folder, to keep and change.
    #[arg(long, value_name = "DIR", conflicts_with = "plan")]
    into: Option<PathBuf>,
}

impl Demo {
    pub(super) fn run(self, context: &mut Context<'_>) -> Result<End, Failure> {
        if let Some(folder) = &self.into {
            return keep(folder, context).map(End::Exit);
        }
        let folder = tempfile::Builder::new()
            .prefix("denib-demo-")
            .tempdir()
            .map_err(|error| Failure::usage(format!("cannot make a folder for the demo: {error}")))?;
        let options = JobOptions {
            job: folder.path().join(DEMO.0),
            schedules: None,
            now: None,
        };
        write_new(&options.job, DEMO.1)?;
        let bench = Bench::open(&options, self.look, context)?;
        let begins = bench.job.start.with_offset(bench.job.zone);
        if self.plan || may_start(&context.around).is_err() {
            let stopped = context.stopped;
            let plan = bench.make_plan(bench.job.start, Settings::default(), &mut || !stopped())?;
            let text = plan_text(&plan, &bench.job, self.look.paper(context));
            context.print(&text)?;
            let code = if (context.stopped)() {
                Exit::INTERRUPTED
            } else {
                Exit::DONE
            };
            return Ok(End::Exit(code));
        }
        // the wall goes up at once and plans behind it
        let who = super::tick::who(None, &bench.job)?;
        let shift = begins.signed_duration_since(context.now());
        Ok(End::Wall(Box::new(Showing {
            bench,
            who,
            now: begins,
            shift,
            screen: Screen::Terminal,
            color: self.look.color,
            colour: use_colour(self.look.color, &context.around),
            ascii: self.look.ascii,
            read_only: false,
            manner: Manner::default(),
            folder: Some(folder),
        })))
    }
}

fn keep(folder: &Path, context: &mut Context<'_>) -> Result<Exit, Failure> {
    make_folder(folder)?;
    let path = folder.join(DEMO.0);
    write_new(&path, DEMO.1)?;
    let path = path.display();
    context.print(&format!("{path}\n"))?;
    context.tell(&format!("Next: denib plan {path} --take, then denib wall {path}\n"))?;
    Ok(Exit::DONE)
}
