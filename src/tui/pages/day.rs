//! How the day runs: the rounds of the plan in time, the films that dry, the hours that are worked.
//!
//! Invariant: worked out from one plan alone; rounds stand in order of start; nothing here is an estimate of
//! its own, all times are those of the plan.

use super::super::bench::Sheet;
use super::super::words;
use super::chain::{self, Link};
use crate::dayplan::Plan;
use crate::dayplan::document::{Dry, Operation, Round, Stamp};
use crate::finish::StepKind;
use crate::units::Moment;
use std::collections::{BTreeSet, HashMap};
use std::sync::Arc;

/// The page *Day*.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct DayPage {
    /// The round the cursor is on, by id; `None` before the first move: the one hands are on or come to next.
    pub picked: Option<String>,
    /// How much time a stick holds.
    pub zoom: Zoom,
}

/// How much time one stick holds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Zoom {
    /// A day a line: hands only.
    Days,
    /// A day.
    #[default]
    Day,
    /// Six hours.
    Quarter,
    /// An hour.
    Hour,
}

impl Zoom {
    /// All, from the widest to the closest.
    pub const ALL: [Self; 4] = [Self::Days, Self::Day, Self::Quarter, Self::Hour];

    /// One step closer (or wider).
    #[must_use]
    pub fn step(self, closer: bool) -> Self {
        let at = Self::ALL.iter().position(|one| *one == self).unwrap_or(1);
        let to = if closer { at + 1 } else { at.saturating_sub(1) };
        Self::ALL.get(to).copied().unwrap_or(self)
    }

    /// Minutes a stick holds.
    pub const fn minutes(self) -> i64 {
        match self {
            Self::Days | Self::Day => 1440,
            Self::Quarter => 360,
            Self::Hour => 60,
        }
    }
}

/// A round in time.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// Index in the plan's rounds.
    pub round: usize,
    /// From.
    pub start: Moment,
    /// Until.
    pub end: Moment,
    /// Its letter or digit.
    pub sign: char,
    /// Minutes of hands in it, by the clock.
    pub minutes: i64,
    /// Part of what sets the end.
    pub in_chain: bool,
}

/// A film in time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Film {
    /// It is laid.
    pub from: Moment,
    /// Dry to touch.
    pub touch: Moment,
    /// It may be carried; the end of its touch where the plan does not say.
    pub handle: Moment,
}

/// The days of a plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Days {
    /// Rounds, in order of start.
    pub marks: Vec<Mark>,
    /// Films, in order of start.
    pub films: Vec<Film>,
    /// By when each mark and all before it are over.
    over_by: Vec<Moment>,
    /// Stretches in which some film is wet, joined.
    pub wet: Vec<(Moment, Moment)>,
    /// Stretches in which some film is wet or may not be carried yet, joined.
    pub held: Vec<(Moment, Moment)>,
    /// Stretches somebody works in, joined.
    pub shifts: Vec<(Moment, Moment)>,
    /// What the end waits for, from the first to the last.
    pub chain: Vec<Link>,
    /// When the chain ends: every section is ready to glue.
    pub ready: Moment,
    /// First instant of the plan.
    pub from: Moment,
    /// Last.
    pub until: Moment,
}

impl Days {
    /// The days of a plan.
    pub fn of(plan: &Plan) -> Self {
        let by_id: HashMap<&str, &Operation> = plan.operations.iter().map(|one| (one.id.as_str(), one)).collect();
        let chain = chain::of(plan, &by_id);
        let mut marks: Vec<Mark> = plan.rounds.iter().enumerate().map(mark).collect();
        for mark in &mut marks {
            let round = plan.rounds.get(mark.round);
            mark.in_chain = round.is_some_and(|round| chain.iter().any(|link| link.round == Some(round.id.as_str())));
        }
        marks.sort_by_key(|mark| (mark.start, mark.round));
        let over_by = marks.iter().scan(Moment(i64::MIN), |latest, mark| {
            *latest = mark.end.max(*latest);
            Some(*latest)
        });
        let mut films: Vec<Film> = plan.operations.iter().filter_map(film).collect();
        films.sort_by_key(|film| film.from);
        let links = chain.into_iter().map(chain::Found::owned).collect();
        let shifts = plan.hands.iter().flat_map(|hand| &hand.shifts);
        let shifts = shifts.map(|(from, until)| (Moment::of(from), Moment::of(until)));
        let ends = [plan.ready, plan.ends].into_iter().chain(plan.finished);
        let last = ends.map(|end| Moment::of(&end)).max().unwrap_or_default();
        Self {
            from: marks
                .iter()
                .map(|mark| mark.start)
                .min()
                .unwrap_or(Moment::of(&plan.starts)),
            until: marks
                .iter()
                .map(|mark| mark.end)
                .max()
                .map_or(last, |end| end.max(last)),
            shifts: joined(shifts.collect()),
            wet: joined(films.iter().map(|film| (film.from, film.touch)).collect()),
            held: joined(films.iter().map(|film| (film.from, film.handle)).collect()),
            ready: Moment::of(&plan.ready),
            chain: links,
            over_by: over_by.collect(),
            marks,
            films,
        }
    }

    /// The marks that may touch a stretch, with their places in the list.
    pub fn marks_in(&self, from: Moment, until: Moment) -> impl Iterator<Item = (usize, &Mark)> {
        let first = self.over_by.partition_point(|end| *end < from);
        let last = self.marks.partition_point(|mark| mark.start < until);
        self.marks.iter().enumerate().take(last).skip(first)
    }

    /// The mark of a round by its id.
    pub fn position(&self, plan: &Plan, id: &str) -> Option<usize> {
        let has = |mark: &Mark| plan.rounds.get(mark.round).is_some_and(|round| round.id == id);
        self.marks.iter().position(has)
    }

    /// Somebody works at that instant.
    pub fn worked(&self, at: Moment) -> bool {
        self.shifts.iter().any(|shift| shift.0 <= at && at < shift.1)
    }

    /// Films wet at one instant of a stretch, at the most.
    pub fn wet_at_most(&self, from: Moment, until: Moment) -> usize {
        let in_it = self.films.iter().filter(|film| film.from < until && film.touch > from);
        let mut dry: Vec<Moment> = in_it.clone().map(|film| film.touch).collect();
        dry.sort_unstable();
        let mut dry = dry.into_iter().peekable();
        let (mut wet, mut most) = (0_usize, 0);
        // films stand in order of start: what is dry by then is taken off before the next one is laid
        for film in in_it {
            while dry.next_if(|dry| *dry <= film.from.max(from)).is_some() {
                wet = wet.saturating_sub(1);
            }
            wet += 1;
            most = most.max(wet);
        }
        most
    }
}

fn mark((index, round): (usize, &Round)) -> Mark {
    let (start, end) = (Moment::of(&round.start), Moment::of(&round.end));
    Mark {
        round: index,
        start,
        end,
        sign: words::sign(round.step, round.coat),
        minutes: (end - start).0.max(0),
        in_chain: false,
    }
}

fn film(operation: &Operation) -> Option<Film> {
    let dry = operation.dry.as_ref()?;
    let touch = dry.dry_to_touch.or(dry.dry_to_turn).or(dry.dry_to_sand)?;
    let touch = Moment::of(&touch);
    Some(Film {
        from: Moment::of(&operation.start),
        touch,
        handle: dry.dry_to_handle.map_or(touch, |at| Moment::of(&at)).max(touch),
    })
}

/// Stretches put in order, those that meet made one.
fn joined(mut all: Vec<(Moment, Moment)>) -> Vec<(Moment, Moment)> {
    all.sort_unstable();
    let mut joined: Vec<(Moment, Moment)> = Vec::new();
    for (from, until) in all {
        match joined.last_mut() {
            Some(last) if from <= last.1 => last.1 = last.1.max(until),
            _ => joined.push((from, until)),
        }
    }
    joined
}

/// The film a round lays, from the one of its operations that is dry last: when it was laid, what dries, and
/// the operation's line why it is not earlier.
pub fn last_film<'a>(sheet: &Sheet, plan: &'a Plan, round: &Round) -> Option<(&'a Operation, &'a Dry)> {
    let at = round.operations.iter().filter_map(|id| sheet.operation(id));
    let of_round = at.filter_map(|at| plan.operations.get(at));
    let dry: fn(&Dry) -> Option<Stamp> = |dry| dry.dry_to_recoat.or(dry.dry_to_touch);
    of_round
        .filter_map(|operation| Some((operation, operation.dry.as_ref()?)))
        .max_by_key(|(operation, film)| (dry(film), operation.end))
}

/// The steps that have a sign among these marks, in the order of the marks: sign and step. Coats stand together, each
/// number there is; `0` is the seal.
pub fn legend(plan: &Plan, marks: &[&Mark]) -> Vec<(String, &'static str)> {
    let mut seen: Vec<(StepKind, BTreeSet<char>)> = Vec::new();
    for mark in marks {
        let Some(round) = plan.rounds.get(mark.round) else {
            continue;
        };
        // some steps share a sign: the first of them is told
        let known = |(step, signs): &(StepKind, BTreeSet<char>)| *step == round.step || signs.contains(&mark.sign);
        let at = seen.iter().position(known).unwrap_or_else(|| {
            seen.push((round.step, BTreeSet::new()));
            seen.len() - 1
        });
        seen[at].1.insert(mark.sign);
    }
    let told = |(step, signs): (StepKind, BTreeSet<char>)| {
        let signs: Vec<String> = signs.iter().map(char::to_string).collect();
        (signs.join(" "), words::short_step(step))
    };
    seen.into_iter().map(told).collect()
}

/// The days of a plan, shared.
pub fn shared(plan: &Plan) -> Arc<Days> {
    Arc::new(Days::of(plan))
}
