//! Options that several commands share.
//!
//! Invariant: an option means the same in every command that has it.

use super::colour::Colour;
use super::context::Context;
use crate::report::Paper;
use crate::source::Look;
use clap::{Args, ValueEnum};
use std::path::PathBuf;

/// How results look.
#[derive(Clone, Copy, Debug, Args)]
pub struct LookOptions {
    /// ASCII characters only.
    #[arg(long)]
    pub ascii: bool,
    /// Colour.
    #[arg(long, value_name = "WHEN", default_value = "auto")]
    pub color: Colour,
}

impl LookOptions {
    /// The paper for a report.
    pub fn paper(self, context: &Context<'_>) -> Paper {
        Paper {
            width: context.width(),
            ascii: self.ascii,
        }
    }

    /// How problems of files are shown.
    pub fn problems(self, context: &Context<'_>) -> Look {
        Look {
            colour: super::use_colour(self.color, &context.around),
            ascii: self.ascii,
            width: context.width().max(60),
        }
    }
}

/// How figures are given.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// To read.
    #[default]
    Text,
    /// As a document for other programs.
    Json,
}

/// A job and the schedules it may use.
#[derive(Clone, Debug, Args)]
pub struct JobOptions {
    /// The job file.
    #[arg(value_name = "JOB")]
    pub job: PathBuf,
    /// A folder of your own finish schedules, used before those in your configuration folder.
    #[arg(long, value_name = "DIR")]
    pub schedules: Option<PathBuf>,
    /// Take this for the present instant.
    #[arg(long, value_name = "TIME", hide = true)]
    pub now: Option<String>,
}
