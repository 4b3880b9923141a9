//! What may happen in a shop between two plans, invented from a seed.
//!
//! Invariant: the same job and dice give the same history for ever; whatever is said to be done is in the plan in
//! force, and nothing is said to be done after now.

use denib::dayplan::document::{Operation, State};
use denib::dayplan::history::{Change, Decided, Done, Fate};
use denib::dayplan::{History, Plan, amended};
use denib::finish::{Schedule, StepKind};
use denib::job::{Fault, Holding, Job, Reading};
use denib::units::{Celsius, Moment, Percent, Span};
use std::sync::Arc;

use crate::generated::Dice;

/// A job as written, what has happened to it, and the plan in force.
pub struct Shop {
    pub written: Job,
    pub history: History,
    pub plan: Plan,
    /// What has happened, in words, for a check that fails.
    pub told: Vec<String>,
}

/// Setting out, mixing and cleaning out are not ticked.
fn is_ticked(one: &Operation) -> bool {
    !matches!(one.step, StepKind::ChangeOver | StepKind::Mix | StepKind::CleanUp)
}

impl Shop {
    /// The job with what was decided laid over it.
    pub fn job(&self) -> Job {
        amended(&self.written, &self.history).unwrap_or_else(|| self.written.clone())
    }

    /// What is still to be done, in order of its starts.
    fn to_come(&self) -> Vec<&Operation> {
        let open = |one: &&Operation| is_ticked(one) && !self.history.is_over(&one.id);
        let mut open: Vec<&Operation> = self.plan.operations.iter().filter(open).collect();
        open.sort_by_key(|one| (one.start, one.id.clone()));
        open
    }

    /// The end of the round that is so many rounds ahead; `None` when nothing is left to do.
    fn end_ahead(&self, rounds: u64) -> Option<Moment> {
        let now = self.history.now;
        let ends = self.plan.rounds.iter().map(|round| Moment::of(&round.end));
        let mut ends: Vec<Moment> = ends.filter(|end| *end > now).collect();
        ends.sort_unstable();
        ends.get((rounds as usize).min(ends.len().checked_sub(1)?)).copied()
    }

    fn put_down(&mut self, one: &Operation, start: Moment, end: Moment, now: Moment) {
        let by = one.hands.first().cloned().unwrap_or_default();
        // what was on the bench already began when it was said to have begun
        let start = self.history.begun(&one.id).unwrap_or(start);
        let fate = if end <= now {
            let record = "worked".to_owned();
            Fate::Done(Done {
                start,
                end: end.max(start),
                by,
                record,
            })
        } else {
            Fate::Begun { start, by }
        };
        self.history.operations.insert(one.id.clone(), fate);
    }

    /// All that begins before an instant is done, so much later than planned, and begun where it is not over by then.
    fn work_until(&mut self, until: Moment, late: Span) {
        let now = until + late;
        let due: Vec<Operation> = self.to_come().into_iter().cloned().collect();
        for one in due.iter().filter(|one| Moment::of(&one.start) < until) {
            self.put_down(one, Moment::of(&one.start) + late, Moment::of(&one.end) + late, now);
        }
        self.history.now = now;
    }

    /// What happens when everything goes by the plan in force until an instant.
    pub fn on_time(&self, until: Moment) -> History {
        let mut shop = Self {
            written: self.written.clone(),
            history: self.history.clone(),
            plan: self.plan.clone(),
            told: Vec::new(),
        };
        shop.work_until(until, Span(0));
        shop.history.plan = Some(Arc::new(self.plan.clone()));
        shop.history
    }

    /// The end of one of the next rounds.
    pub fn soon(&self, dice: &mut Dice) -> Option<Moment> {
        self.end_ahead(dice.within(0, 3))
    }

    /// A few rounds of work, as they may go; whether there was any left to do.
    pub fn work(&mut self, dice: &mut Dice) -> bool {
        let Some(until) = self.end_ahead(dice.within(0, 8)) else {
            return false;
        };
        match dice.within(0, 10) {
            0..=3 => {
                self.work_until(until, Span(0));
                self.tell("on time");
            }
            4..=5 => {
                let late = Span(dice.within(1, 90) as i64);
                self.work_until(until, late);
                self.tell(&format!("{} minutes late", late.0));
            }
            6..=7 => self.work_slowly(until, dice),
            8 => self.work_in_part(until, dice),
            _ => {
                let lost = match dice.within(0, 3) {
                    0 => dice.within(5, 240),
                    1 => dice.within(240, 1440),
                    _ => dice.within(1440, 6 * 1440),
                };
                self.history.now += Span(lost as i64);
                self.tell(&format!("nothing for {lost} minutes"));
            }
        }
        true
    }

    /// The last of the work takes longer than planned, and all else waits for it.
    fn work_slowly(&mut self, until: Moment, dice: &mut Dice) {
        let last = self.plan.rounds.iter().filter(|round| Moment::of(&round.end) == until);
        let last: Vec<String> = last.map(|round| round.id.clone()).collect();
        let own = |one: &&Operation| one.round.as_ref().is_some_and(|round| last.contains(round));
        let due: Vec<Operation> = self.to_come().into_iter().cloned().collect();
        let Some(from) = due.iter().filter(own).map(|one| Moment::of(&one.start)).min() else {
            return self.work_until(until, Span(0));
        };
        let percent = dice.within(110, 400) as i64;
        let slowly = |at: Moment| from + Span((at - from).0 * percent / 100);
        let now = slowly(until);
        for one in due.iter().filter(|one| Moment::of(&one.start) < until) {
            let (start, end) = (Moment::of(&one.start), Moment::of(&one.end));
            // all that comes after the first of it waits, so that nothing is done before what it follows
            if start >= from {
                self.put_down(one, slowly(start), slowly(end), now);
            } else {
                self.put_down(one, start, end, now);
            }
        }
        self.history.now = now;
        self.tell(&format!("a round took {percent} %"));
    }

    /// Only the first pieces of the last round are done.
    fn work_in_part(&mut self, until: Moment, dice: &mut Dice) {
        let last = self.plan.rounds.iter().find(|round| Moment::of(&round.end) == until);
        let last = last.map(|round| round.id.clone());
        let due = self.to_come();
        let own: Vec<&&Operation> = due.iter().filter(|one| one.round == last).collect();
        let stop = match own.len() {
            0 => until,
            count => Moment::of(&own[dice.within(0, count as u64) as usize].end),
        };
        self.work_until(stop.max(self.history.now), Span(0));
        self.tell("the first pieces of a round");
    }

    /// Now and then something is decided or found.
    pub fn decide(&mut self, dice: &mut Dice) {
        let now = self.history.now;
        let record = format!("r{}", self.told.len());
        let job = self.job();
        let piece = &job.pieces[dice.within(0, job.pieces.len() as u64) as usize];
        let what = match dice.within(0, 12) {
            0 => return self.skip(dice),
            1 => {
                let hand = &job.hands[dice.within(0, job.hands.len() as u64) as usize];
                let hands = if dice.within(0, 2) == 0 {
                    Vec::new()
                } else {
                    vec![hand.name.clone()]
                };
                let from = now + Span(dice.within(0, 600) as i64);
                let until = from + Span(dice.within(60, 4000) as i64);
                Decided::Away { hands, from, until }
            }
            2 if self.has_film(&piece.id) => Decided::ExtraCoat {
                piece: piece.id.clone(),
                surfaces: Vec::new(),
                reason: "thin".to_owned(),
            },
            3 if self.has_film(&piece.id) => {
                let fault = Fault::ALL[dice.within(0, 4) as usize];
                Decided::Mend {
                    piece: piece.id.clone(),
                    surfaces: Vec::new(),
                    fault,
                    coat: fault.takes_a_coat(),
                }
            }
            4 => {
                let all = [Holding::Bearers, Holding::Points, Holding::Hung];
                let holding = all[dice.within(0, 3) as usize];
                Decided::Holding {
                    piece: piece.id.clone(),
                    holding,
                }
            }
            5 => {
                self.history.readings.push(Reading {
                    at: now,
                    temperature: Celsius(dice.within(15, 25) as f64),
                    humidity: Some(Percent(dice.within(35, 65) as f64)),
                });
                return self.tell("a reading of the air");
            }
            _ => return,
        };
        self.tell(&format!("{what:?}"));
        self.history.changes.push(Change { record, at: now, what });
    }

    /// Something that lays no film is left out; what a coat left out does to a plan is not judged here.
    fn skip(&mut self, dice: &mut Dice) {
        let due = self.to_come().into_iter().filter(|one| one.dry.is_none());
        let due: Vec<String> = due.take(40).map(|one| one.id.clone()).collect();
        let at = self.history.now;
        if let Some(id) = due.get(dice.within(0, due.len() as u64) as usize)
            && self.history.begun(id).is_none()
        {
            let reason = "not needed".to_owned();
            self.history.operations.insert(id.clone(), Fate::Skipped { at, reason });
            self.tell(&format!("{id} left out"));
        }
    }

    fn has_film(&self, piece: &str) -> bool {
        let film = |one: &Operation| Schedule::is_coat(one.step) && one.piece.as_deref() == Some(piece);
        let done = |one: &Operation| matches!(one.state, State::Done) || self.history.done(&one.id).is_some();
        self.plan.operations.iter().any(|one| film(one) && done(one))
    }

    fn tell(&mut self, what: &str) {
        let now = self.history.now.in_zone(self.written.zone);
        self.told.push(format!("{} {what}", now.format("%a %-d %b %H:%M")));
    }
}
