//! A first job: what its file holds before the maker has said anything.
//!
//! Invariant: whatever the first forms do not ask for stands in the file, where it is seen and can be changed.

use super::bench::Bench;
use super::context::Context;
use super::failure::Failure;
use super::file::JobFile;
use super::options::LookOptions;
use super::schedules::{gather, own_folders};
use crate::job::edit::{Edit, Place, apply, value};
use crate::job::read_begun;
use crate::source::SourceFile;
use chrono::{DateTime, Timelike, Utc};
use chrono_tz::Tz;
use std::path::{Path, PathBuf};

/// The file of a job that is only begun.
const BEGUN: &str = include_str!("begin.toml");

/// The text of a job that is only begun, for a zone and an instant, under a title where one is known.
pub fn text(zone: Option<&str>, now: DateTime<Utc>, title: Option<&str>) -> Result<String, Failure> {
    let known = zone.and_then(|zone| zone.parse::<Tz>().ok()).unwrap_or(Tz::UTC);
    let now = now.with_timezone(&known).naive_local();
    // at the next five minutes, so that work can begin
    let ahead = chrono::TimeDelta::minutes(i64::from(5 - now.minute() % 5));
    let start = now.checked_add_signed(ahead).unwrap_or(now).format("%Y-%m-%d %H:%M");
    let set = |key: &str, value: String| Edit::Set {
        place: Place::Job,
        key: key.to_owned(),
        value,
    };
    let mut edits = vec![
        set("zone", value::text(known.name())),
        set("start", value::text(&start.to_string())),
    ];
    edits.extend(title.map(|title| set("title", value::text(title))));
    apply(BEGUN, &edits).map_err(|cannot| Failure::usage(cannot.to_string()))
}

/// A job that is only begun, on the bench; its file is written when it gets its title.
pub fn bench(schedules: Option<&Path>, look: LookOptions, context: &mut Context<'_>) -> Result<Bench, Failure> {
    let all = gather(schedules, look, context)?;
    let text = text(context.around.zone.as_deref(), (context.clock)(), None)?;
    let (job, problems) = read_begun(&SourceFile::new("", text.as_str()), &all);
    let Some(job) = job else {
        let first = problems.first().map_or("", |problem| problem.message.as_str());
        return Err(Failure::usage(format!("a first job cannot be begun: {first}")));
    };
    let file = JobFile::begun(Path::new(""), &text, all, own_folders(schedules, context));
    Bench::of(job, file, context)
}

/// The job files of the folder one stands in.
pub fn jobs_here() -> Result<Vec<PathBuf>, Failure> {
    let mut jobs = Vec::new();
    for path in super::files::list_toml(Path::new("."))? {
        // a job has a room; other files of the same kind (schedules among them) have not
        let (file, no_text) = super::files::read_text(&path)?;
        if no_text.is_none() && file.text.lines().any(|line| line.trim_start().starts_with("[room]")) {
            jobs.push(path.strip_prefix(".").map(Path::to_owned).unwrap_or(path));
        }
    }
    Ok(jobs)
}
