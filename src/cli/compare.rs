//! `denib compare`: the same job under other finishes, rooms, hours or hands, side by side.
//!
//! Invariant: every line is a real plan that passed every check; the same files, seed and tries give the same
//! bytes, however many threads worked on them.

use super::bench::read_job;
use super::context::Context;
use super::exit::Exit;
use super::failure::Failure;
use super::options::{Format, JobOptions, LookOptions};
use super::schedules::{Schedules, gather};
use crate::dayplan::{History, Means, Settings};
use crate::job::{Job, WhatIf};
use crate::report::{Outcome, Way, comparison, comparison_json};
use crate::source::{nearest, visible};
use crate::whole;
use clap::Args;
use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::time::Duration;

/// Orders tried for each way: what a few seconds hold on the demo; `benches/README.md` has what a longer search gains.
const TRIES: u32 = 500;
/// How long the comparison waits for a plan before it looks whether it was told to stop.
const LOOK_UP: Duration = Duration::from_millis(50);

/// Plan the job several ways and lay what they come to side by side.
///
/// The first line is the job as it is written; every option adds lines with one thing otherwise. Nothing that
/// is already done counts: each way is planned from the job's start.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  denib compare linen-press.toml --finish brushed-lacquer,hardwax-oil\n  \
denib compare linen-press.toml --hands 2 --dust-apart --warmer-nights 3\n  \
denib compare linen-press.toml --with linen-press-in-may.toml --format json"
)]
#[allow(clippy::struct_excessive_bools)] // switches of a command line
pub struct Compare {
    #[command(flatten)]
    job: JobOptions,
    #[command(flatten)]
    look: LookOptions,
    /// Other finishes in place of the job's main one.
    #[arg(long, value_name = "SCHEDULE", value_delimiter = ',')]
    finish: Vec<String>,
    /// Which finish of the job the others take the place of; else the one on most of its area.
    #[arg(long, value_name = "SCHEDULE", requires = "finish")]
    instead_of: Option<String>,
    /// So many pairs of hands.
    #[arg(long, value_name = "N", value_delimiter = ',')]
    hands: Vec<usize>,
    /// Nights warmer by so many kelvin.
    #[arg(long, value_name = "K", value_delimiter = ',')]
    warmer_nights: Vec<f64>,
    /// So many more places of every kind that is limited.
    #[arg(long, value_name = "N", value_delimiter = ',')]
    more_places: Vec<u32>,
    /// The last shift of every day longer by so many minutes.
    #[arg(long, value_name = "MINUTES", value_delimiter = ',')]
    later_evening: Vec<u32>,
    /// Dust made in another room.
    #[arg(long)]
    dust_apart: bool,
    /// Another job file, such as a copy with another room or other hours.
    #[arg(long = "with", value_name = "FILE")]
    others: Vec<PathBuf>,
    /// Seed of the search.
    #[arg(long, value_name = "N", default_value_t = Settings::default().seed)]
    seed: u64,
    /// How many orders of the work to try for each way.
    #[arg(long, value_name = "N", default_value_t = TRIES)]
    tries: u32,
    /// How the comparison is given.
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    format: Format,
}

/// A way still to be planned.
struct Asked {
    name: String,
    job: Result<Job, String>,
}

impl Compare {
    pub(super) fn run(self, context: &mut Context<'_>) -> Result<Exit, Failure> {
        let schedules = gather(self.job.schedules.as_deref(), self.look, context)?;
        let job = self.read(&self.job, context)?;
        let asked = self.asked(&job, &schedules, context)?;
        let settings = Settings {
            seed: self.seed,
            tries: self.tries,
        };
        let Some(ways) = plan_all(&asked, settings, context.stopped) else {
            return Ok(Exit::INTERRUPTED);
        };
        let text = match self.format {
            Format::Text => comparison(&job, &ways, self.look.paper(context)),
            Format::Json => comparison_json(&job, &ways)
                .map_err(|error| Failure::usage(format!("cannot write the comparison: {error}")))?,
        };
        context.print(&text)?;
        let none = ways.iter().all(|way| way.outcome.is_none());
        Ok(if none { Exit::NO_PLAN } else { Exit::DONE })
    }

    fn read(&self, options: &JobOptions, context: &mut Context<'_>) -> Result<Job, Failure> {
        let reading = read_job(options, self.look, context)?;
        context.tell(&reading.report)?;
        reading.job.ok_or_else(|| {
            let text = format!("{} cannot be planned: {}", options.job.display(), reading.count);
            Failure::no_plan(text)
        })
    }

    /// The ways asked for, the job as written first.
    fn asked(&self, job: &Job, schedules: &Schedules, context: &mut Context<'_>) -> Result<Vec<Asked>, Failure> {
        let main = self.main_finish(job)?;
        let mut changes: Vec<(String, WhatIf)> = Vec::new();
        for id in &self.finish {
            let Some(to) = schedules.get(id) else {
                return Err(no_schedule(id, schedules.keys().map(String::as_str)));
            };
            let (from, to) = (main.clone(), Box::new(to.clone()));
            changes.push((to.name.clone(), WhatIf::Finish { from, to }));
        }
        for &count in &self.hands {
            if count == 0 {
                return Err(Failure::usage("--hands 0: nothing is done without hands"));
            }
            changes.push((format!("{count} pairs of hands"), WhatIf::Hands(count)));
        }
        for &by in &self.warmer_nights {
            if !(by > 0.0 && by <= 40.0) {
                let text = format!("--warmer-nights {by}: more than 0 and at most 40 kelvin");
                return Err(Failure::usage(text));
            }
            changes.push((format!("nights {by} K warmer"), WhatIf::WarmerNights(by)));
        }
        let more = self.more_places.iter();
        changes.extend(more.map(|&more| (format!("{more} more places"), WhatIf::MorePlaces(more))));
        let later = self.later_evening.iter();
        changes.extend(later.map(|&more| (format!("{more} min later evening"), WhatIf::LaterEvening(more))));
        if self.dust_apart {
            changes.push(("dust made elsewhere".to_owned(), WhatIf::DustApart));
        }
        if changes.is_empty() && self.others.is_empty() {
            let failure = Failure::usage("nothing to compare with: the job as it is written is one way only");
            return Err(failure.hint(
                "Name other ways with --finish, --hands, --warmer-nights, --more-places, --later-evening, \
                 --dust-apart or --with; `denib finishes` lists the finishes.",
            ));
        }
        let as_written = job
            .schedules
            .get(&main)
            .map_or(main.as_str(), |schedule| &schedule.name);
        let mut asked = vec![Asked {
            name: if self.finish.is_empty() {
                "as written".to_owned()
            } else {
                format!("{as_written} (as written)")
            },
            job: Ok(job.clone()),
        }];
        asked.extend(changes.into_iter().map(|(name, change)| {
            let job = change.of(job).ok_or_else(|| "it is so as written".to_owned());
            Asked { name, job }
        }));
        for path in &self.others {
            let options = JobOptions {
                job: path.clone(),
                ..self.job.clone()
            };
            asked.push(Asked {
                name: path.file_stem().unwrap_or(path.as_os_str()).display().to_string(),
                job: Ok(self.read(&options, context)?),
            });
        }
        Ok(asked)
    }

    /// The finish the others take the place of.
    fn main_finish(&self, job: &Job) -> Result<String, Failure> {
        if let Some(id) = &self.instead_of {
            return if job.schedules.contains_key(id) {
                Ok(id.clone())
            } else {
                Err(no_schedule(id, job.schedules.keys().map(String::as_str)))
            };
        }
        let mut areas: BTreeMap<&str, f64> = BTreeMap::new();
        for surface in job.pieces.iter().flat_map(|piece| &piece.surfaces) {
            if let Some(id) = &surface.schedule {
                *areas.entry(id).or_default() += surface.area.0;
            }
        }
        let most = areas.iter().max_by(|one, other| one.1.total_cmp(other.1));
        Ok(most.map_or_else(String::new, |(id, _)| (*id).to_owned()))
    }
}

fn no_schedule<'a>(id: &str, words: impl Iterator<Item = &'a str>) -> Failure {
    let known: Vec<&str> = words.collect();
    let failure = Failure::usage(format!("there is no finish schedule \"{}\" here", visible(id)));
    match nearest(id, known.iter().copied()) {
        Some(word) => failure.hint(format!("The nearest is {word}.")),
        None => failure.hint(format!("There are {}.", known.join(", "))),
    }
}

/// Plans every way, as many at a time as there are cores; `None` where it was told to stop.
fn plan_all(asked: &[Asked], settings: Settings, stopped: &dyn Fn() -> bool) -> Option<Vec<Way>> {
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    let (next, stop) = (AtomicUsize::new(0), AtomicBool::new(false));
    let (to, from) = channel();
    let mut ways: BTreeMap<usize, Way> = BTreeMap::new();
    std::thread::scope(|scope| {
        for _ in 0..threads.min(asked.len()) {
            let (to, next, stop) = (to.clone(), &next, &stop);
            scope.spawn(move || {
                while let Some(one) = asked.get(next.fetch_add(1, Ordering::Relaxed)) {
                    let at = asked.iter().position(|other| std::ptr::eq(other, one));
                    let way = plan(one, settings, &mut || !stop.load(Ordering::Relaxed));
                    let (Some(at), false) = (at, stop.load(Ordering::Relaxed)) else {
                        return;
                    };
                    if to.send((at, way)).is_err() {
                        return;
                    }
                }
            });
        }
        drop(to);
        loop {
            match from.recv_timeout(LOOK_UP) {
                Ok((at, way)) => _ = ways.insert(at, way),
                Err(RecvTimeoutError::Timeout) if stopped() => stop.store(true, Ordering::Relaxed),
                Err(RecvTimeoutError::Timeout) => {}
                Err(RecvTimeoutError::Disconnected) => return,
            }
        }
    });
    (ways.len() == asked.len()).then(|| ways.into_values().collect())
}

fn plan(asked: &Asked, settings: Settings, go_on: &mut dyn FnMut() -> bool) -> Way {
    let planned = asked.job.as_ref().map_err(Clone::clone).and_then(|job| {
        // the cores have their ways already
        let means = Means {
            alone: true,
            ..Means::default()
        };
        let plan = whole::plan_by(job, &History::none(job.start), settings, means, go_on);
        let plan = plan.map_err(|no| no.to_string())?;
        Ok(Outcome::of(job, &plan))
    });
    let (outcome, refused) = match planned {
        Ok(outcome) => (Some(outcome), None),
        Err(why) => (None, Some(why)),
    };
    Way {
        name: asked.name.clone(),
        outcome,
        refused,
    }
}
