//! When a room is above a film's drying floor: the known minutes as a few runs that are alike.
//!
//! Invariant: says of every minute what [`above`] says of it; before the first and after the last minute of the
//! known air there is nothing to say.
//!
//! A look at a thousand films asks this of weeks of minutes each: the runs answer without walking through them.

use super::air::{Air, Minute};
use super::drying::above;
use crate::units::Celsius;

/// Parts of a minute that shares above the floor are counted in.
const PARTS: f64 = 1e6;

/// How a minute stands to the floor.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    /// Above it at both ends.
    Warm,
    /// Below it at its end only.
    Falling,
    /// Below it at its beginning only.
    Rising,
    /// Below it at both ends.
    Cold,
}

impl Kind {
    fn of(minute: Minute, floor: Celsius) -> Self {
        match (
            minute.begin.temperature.0 >= floor.0,
            minute.end.temperature.0 >= floor.0,
        ) {
            (true, true) => Self::Warm,
            (true, false) => Self::Falling,
            (false, true) => Self::Rising,
            (false, false) => Self::Cold,
        }
    }
}

/// Minutes that stand to the floor alike.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Run {
    /// The first of them.
    from: usize,
    kind: Kind,
    /// What of each of them is above the floor, in parts of a minute.
    share: u64,
    /// What was above the floor in all minutes before, in parts of a minute.
    before: u64,
}

/// The known minutes against one floor.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct AboveFloor {
    /// In order of time; none where there is no floor.
    runs: Vec<Run>,
}

impl AboveFloor {
    /// Of these minutes.
    pub fn new(air: &Air, floor: Option<Celsius>) -> Self {
        let mut runs: Vec<Run> = Vec::new();
        let Some(floor) = floor else { return Self { runs } };
        // a room that is never so cold is one warm run
        let minutes = air.minutes();
        let looked_at = if air.dips_below(floor) {
            minutes
        } else {
            &minutes[..minutes.len().min(1)]
        };
        for (index, minute) in looked_at.iter().enumerate() {
            let kind = Kind::of(*minute, floor);
            let share = match kind {
                Kind::Warm => PARTS as u64,
                Kind::Cold => 0,
                Kind::Falling | Kind::Rising => (above(*minute, Some(floor)).0 * PARTS).round() as u64,
            };
            match runs.last() {
                Some(last) if (last.kind, last.share) == (kind, share) => {}
                last => {
                    let before = last.map_or(0, |last| last.before + last.share * (index - last.from) as u64);
                    runs.push(Run {
                        from: index,
                        kind,
                        share,
                        before,
                    });
                }
            }
        }
        Self { runs }
    }

    /// Minutes above the floor between two minutes.
    pub fn between(&self, from: usize, until: usize) -> f64 {
        if self.runs.is_empty() {
            return until.saturating_sub(from) as f64;
        }
        self.until(until).saturating_sub(self.until(from)) as f64 / PARTS
    }

    /// Parts of minutes above the floor before a minute.
    fn until(&self, minute: usize) -> u64 {
        let run = self.run_at(minute).and_then(|at| self.runs.get(at));
        run.map_or(0, |run| run.before + run.share * (minute - run.from) as u64)
    }

    /// The run a minute lies in.
    fn run_at(&self, minute: usize) -> Option<usize> {
        self.runs.partition_point(|run| run.from <= minute).checked_sub(1)
    }

    /// The first minute from this one on in which the room is below the floor.
    pub fn falls(&self, from: usize) -> Option<usize> {
        self.first(from, |kind| kind != Kind::Warm)
    }

    /// The first minute from this one on that begins below the floor.
    pub fn begins_below(&self, from: usize) -> Option<usize> {
        self.first(from, |kind| matches!(kind, Kind::Rising | Kind::Cold))
    }

    fn first(&self, from: usize, wanted: impl Fn(Kind) -> bool) -> Option<usize> {
        let runs = self.runs.get(self.run_at(from)?..)?;
        let found = runs.iter().find(|run| wanted(run.kind))?;
        Some(found.from.max(from))
    }
}
