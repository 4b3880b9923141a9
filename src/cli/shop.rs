//! The shop as the command line changes it for one plan: a later start, other hands.
//!
//! Invariant: the job file is not touched; what cannot be (hands nobody knows, a heavy piece for one pair) is
//! refused before anything is planned.

use super::failure::Failure;
use super::time;
use crate::job::{Hand, Job, WhatIf};
use crate::source::nearest;
use crate::units::Moment;
use clap::Args;

/// Other hands and another start.
#[derive(Clone, Debug, Default, Args)]
pub struct ShopOptions {
    /// Plan as if nothing could begin before this.
    #[arg(long, value_name = "TIME")]
    start_after: Option<String>,
    /// Plan with so many pairs of hands, or with those named: `--hands 2`, `--hands "Wren, Robin"`.
    #[arg(long, value_name = "N|NAMES")]
    hands: Option<String>,
}

impl ShopOptions {
    /// Whether the plan would need hands the job does not have.
    pub fn invents_hands(&self, job: &Job) -> bool {
        let asked = self
            .hands
            .as_deref()
            .and_then(|hands| hands.trim().parse::<usize>().ok());
        asked.is_some_and(|asked| asked > job.hands.len())
    }

    /// Nothing may begin before this.
    pub fn start_after(&self, job: &Job) -> Result<Option<Moment>, Failure> {
        let Some(written) = &self.start_after else {
            return Ok(None);
        };
        let stamp = time::instant(written, job.zone).map_err(|why| Failure::usage(format!("--start-after: {why}")))?;
        Ok(Some(Moment::of(&stamp)))
    }

    /// The job with the hands asked for, begun no earlier than asked.
    pub fn of(&self, job: &Job) -> Result<Job, Failure> {
        let mut changed = job.clone();
        if let Some(start) = self.start_after(job)? {
            changed.start = changed.start.max(start);
        }
        if let Some(hands) = &self.hands {
            changed.hands = chosen(hands, job)?;
            enough(&changed)?;
        }
        Ok(changed)
    }
}

/// The hands a number or a list of names stands for.
fn chosen(written: &str, job: &Job) -> Result<Vec<Hand>, Failure> {
    if let Ok(count) = written.trim().parse::<usize>() {
        if !(1..=64).contains(&count) {
            return Err(Failure::usage(format!(
                "--hands {count}: from 1 to 64 pairs of hands can be planned"
            )));
        }
        // hands the job does not name work in its own hours
        let changed = WhatIf::Hands(count).of(job);
        return Ok(changed.map_or_else(|| job.hands.clone(), |changed| changed.hands));
    }
    let names = job.hands.iter().map(|hand| hand.name.as_str());
    let mut hands: Vec<Hand> = Vec::new();
    for name in written.split(',').map(str::trim).filter(|name| !name.is_empty()) {
        let Some(found) = job.hands.iter().find(|hand| hand.name.eq_ignore_ascii_case(name)) else {
            let known: Vec<&str> = names.clone().collect();
            let close = nearest(name, names).map_or_else(String::new, |close| format!(" Did you mean {close}?"));
            let text = format!("--hands: nobody called \"{name}\" works on this job.{close}");
            return Err(Failure::usage(text).hint(format!("Its hands: {}; or a number of pairs.", known.join(", "))));
        };
        if !hands.iter().any(|hand| hand.name == found.name) {
            hands.push(found.clone());
        }
    }
    if hands.is_empty() {
        return Err(Failure::usage("--hands wants a number of pairs, or names"));
    }
    Ok(hands)
}

/// Work that takes two is not planned for one.
fn enough(job: &Job) -> Result<(), Failure> {
    let heavy = job.pieces.iter().find(|piece| piece.heavy);
    if let (Some(piece), 1) = (heavy, job.hands.len()) {
        let text = format!("--hands: {} is heavy and takes two to turn", piece.name);
        return Err(Failure::no_plan(text).hint("With one pair of hands there is no sound plan for it."));
    }
    let glued = job.assemblies.iter().filter(|assembly| assembly.minutes.is_some());
    if let Some(assembly) = glued.max_by_key(|assembly| assembly.hands)
        && assembly.hands as usize > job.hands.len()
    {
        let text = format!(
            "--hands: the glue-up of {} takes {} pairs of hands",
            assembly.name, assembly.hands
        );
        return Err(Failure::no_plan(text));
    }
    Ok(())
}
