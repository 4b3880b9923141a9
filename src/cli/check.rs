//! `denib check`: is the job file sound?
//!
//! Invariant: what is found is the result and goes to the output; errors make the code 1, warnings do not.

use super::bench::read_job;
use super::context::Context;
use super::exit::Exit;
use super::failure::Failure;
use super::options::{JobOptions, LookOptions};
use crate::job::Job;
use crate::source::visible;
use clap::Args;
use std::fmt::Write as _;

/// Read a job file and say everything that is wrong with it.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  denib check linen-press.toml")]
pub struct Check {
    #[command(flatten)]
    job: JobOptions,
    #[command(flatten)]
    look: LookOptions,
}

impl Check {
    pub(super) fn run(self, context: &mut Context<'_>) -> Result<Exit, Failure> {
        let reading = read_job(&self.job, self.look, context)?;
        let name = visible(&self.job.job.display().to_string());
        let mut text = reading.report;
        if !text.is_empty() {
            text.push('\n');
        }
        match &reading.job {
            Some(job) if reading.count.is_empty() => _ = writeln!(text, "{name}: {}, no problems", counts(job)),
            Some(job) => _ = writeln!(text, "{name}: {}, {}", counts(job), reading.count),
            None => _ = writeln!(text, "{name}: {}", reading.count),
        }
        context.print(&text)?;
        Ok(if reading.job.is_some() {
            Exit::DONE
        } else {
            Exit::NO_PLAN
        })
    }
}

/// `32 pieces of 18 parts, 3 sections`.
fn counts(job: &Job) -> String {
    let many = |count: usize, word: &str| format!("{count} {word}{}", if count == 1 { "" } else { "s" });
    let boards = job.pieces.iter().filter(|piece| piece.sample.is_some()).count();
    let mut said = format!(
        "{} of {}, {}",
        many(job.pieces.len() - boards, "piece"),
        many(job.parts.len() - boards, "part"),
        many(job.sections.len(), "section")
    );
    if boards > 0 {
        said.push_str(", ");
        said.push_str(&many(boards, "sample board"));
    }
    said
}
