//! What the records amount to: the facts so far.
//!
//! Invariant: a pure function of the set of records; their order of reading does not matter.
//!
//! What counts when records disagree:
//! - a record that is taken back does not count; one that takes back can be taken back itself;
//! - of two ticks for one operation the one that ended later counts, so that a film is never taken to be
//!   older than anybody says (take the wrong one back to correct it);
//! - done counts before skipped and begun, whatever was said last: the film is on; only a piece taken back
//!   to bare wood since then is begun again;
//! - between skipped and begun the one said last counts.

use super::record::{Purpose, Record, What};
use crate::dayplan::Plan;
use crate::dayplan::document::{Operation, Stamp};
use crate::dayplan::history::{Accepted, Bound, Change, Decided, Done, Fate, History, Strip};
use crate::finish::Stage;
use crate::job::Reading;
use crate::units::{Celsius, Moment, Percent};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// Gathers the facts. `minutes` gives the planned hand minutes of an operation, by which a record's time is
/// spread over its operations; where it gives none, the plans in the log do.
pub fn history(records: &[Record], now: Moment, minutes: &dyn Fn(&str) -> Option<f64>) -> History {
    history_with(
        records,
        now,
        minutes,
        taken_on(records).map(|(_, plan)| Arc::clone(plan)),
    )
}

/// The same with the plan in force at hand, which is large and need not be copied again.
pub fn history_with(
    records: &[Record],
    now: Moment,
    minutes: &dyn Fn(&str) -> Option<f64>,
    plan: Option<Arc<Plan>>,
) -> History {
    let live = live(records);
    let mut facts = History::none(now);
    facts.plan = plan;
    let named = named(&live);
    let plans: Vec<&Plan> = live.iter().rev().filter_map(|record| plan_in(record)).collect();
    let known = known(&plans, &named);
    let planned = |id: &str| minutes(id).or_else(|| known.get(id).map(|operation| hand_minutes(operation)));
    for record in &live {
        take(&mut facts, record, &known, &planned);
    }
    facts.ahead = ahead(&live, now);
    let in_force: BTreeSet<&str> = facts
        .plan
        .iter()
        .flat_map(|plan| &plan.operations)
        .map(|operation| operation.id.as_str())
        .collect();
    let earlier = known
        .iter()
        .filter(|(id, _)| facts.operations.contains_key(**id) && !in_force.contains(*id));
    facts.earlier = earlier
        .map(|(id, operation)| ((*id).to_owned(), (*operation).clone()))
        .collect();
    facts
}

/// The same facts at another instant, with what is then said to lie ahead.
#[must_use]
pub fn at_instant(facts: &History, records: &[Record], now: Moment) -> History {
    let late = records.last().is_some_and(|record| Moment::of(&record.at) > now);
    History {
        now,
        // in order of time: where the last is not ahead nothing is
        ahead: if late { ahead(&live(records), now) } else { Vec::new() },
        ..facts.clone()
    }
}

/// Ids of the records said after an instant.
fn ahead(live: &[&Record], now: Moment) -> Vec<String> {
    let late = live.iter().filter(|record| Moment::of(&record.at) > now);
    late.map(|record| record.id.clone()).collect()
}

/// The plan in force with the id of the record that took it on.
pub fn taken_on(records: &[Record]) -> Option<(&str, &Arc<Plan>)> {
    let live = live(records);
    live.iter().rev().find_map(|record| match &record.what {
        What::AcceptedPlan { plan } => Some((record.id.as_str(), plan)),
        _ => None,
    })
}

/// The plan in force: the one accepted last, by time, then id.
pub fn plan_in_force(records: &[Record]) -> Option<&Plan> {
    plan_of(&live(records))
}

/// Records said by an instant, for a look at the past.
pub fn said_by(records: &[Record], at: &Stamp) -> Vec<Record> {
    records.iter().filter(|record| record.at <= *at).cloned().collect()
}

/// The rung of the ladder a purpose asks for.
pub const fn rung(purpose: Purpose) -> Stage {
    match purpose {
        Purpose::Turn => Stage::DryToTouch,
        Purpose::Sand => Stage::DryToSand,
        Purpose::Recoat => Stage::DryToRecoat,
        Purpose::Handle => Stage::DryToHandle,
        Purpose::Glue => Stage::DryHard,
        Purpose::Stack => Stage::DryToStack,
        Purpose::Rub => Stage::DryThrough,
    }
}

/// The records that count, in order of time, then id, each once.
fn live(records: &[Record]) -> Vec<&Record> {
    let taken_back = taken_back(records);
    let mut live: Vec<&Record> = records
        .iter()
        .filter(|record| !taken_back.contains(record.id.as_str()))
        .collect();
    live.sort_by(|a, b| a.at.cmp(&b.at).then_with(|| a.id.cmp(&b.id)));
    live.dedup_by(|later, earlier| later == earlier);
    live
}

/// Ids of records that are taken back. A record is taken back when a record that takes it back counts; that
/// one counts when everything that takes it back is itself taken back. Records that take each other back in
/// a ring, which only a hand-edited file can hold, have no effect.
pub fn taken_back(records: &[Record]) -> BTreeSet<&str> {
    let pairs: Vec<(&str, &str)> = records
        .iter()
        .filter_map(|record| match &record.what {
            What::Undone { record: target } => Some((record.id.as_str(), target.as_str())),
            _ => None,
        })
        .collect();
    let mut counts: BTreeSet<&str> = BTreeSet::new();
    let mut gone: BTreeSet<&str> = BTreeSet::new();
    loop {
        let before = counts.len();
        for (by, _) in &pairs {
            if pairs
                .iter()
                .filter(|(_, target)| target == by)
                .all(|(other, _)| gone.contains(other))
            {
                counts.insert(by);
            }
        }
        gone = pairs
            .iter()
            .filter(|(by, _)| counts.contains(by))
            .map(|(_, target)| *target)
            .collect();
        if counts.len() == before {
            return gone;
        }
    }
}

/// The plan a record takes on.
fn plan_in(record: &Record) -> Option<&Plan> {
    match &record.what {
        What::AcceptedPlan { plan } => Some(plan),
        _ => None,
    }
}

/// The last plan taken on.
fn plan_of<'a>(live: &[&'a Record]) -> Option<&'a Plan> {
    live.iter().rev().find_map(|record| plan_in(record))
}

/// Ids of operations that any record says something of.
fn named<'a>(live: &[&'a Record]) -> BTreeSet<&'a str> {
    let lists = live.iter().filter_map(|record| match &record.what {
        What::Done { operations, .. } | What::Begun { operations, .. } | What::Skipped { operations, .. } => {
            Some(operations)
        }
        _ => None,
    });
    lists.flatten().map(String::as_str).collect()
}

/// Those operations as the last plan that names them has them; `plans` stand latest first.
fn known<'a>(plans: &[&'a Plan], named: &BTreeSet<&'a str>) -> BTreeMap<&'a str, &'a Operation> {
    let mut known = BTreeMap::new();
    for plan in plans {
        if known.len() == named.len() {
            break;
        }
        for operation in plan
            .operations
            .iter()
            .filter(|operation| named.contains(operation.id.as_str()))
        {
            known.entry(operation.id.as_str()).or_insert(operation);
        }
    }
    known
}

/// Planned minutes of the work on one piece.
fn hand_minutes(operation: &Operation) -> f64 {
    operation.hands_minutes / (operation.hands.len().max(1) as f64)
}

/// Takes in what one record says.
fn take(
    facts: &mut History,
    record: &Record,
    known: &BTreeMap<&str, &Operation>,
    planned: &dyn Fn(&str) -> Option<f64>,
) {
    let at = Moment::of(&record.at);
    match &record.what {
        What::Done { operations, start, end } => {
            let start = Moment::of(start);
            let end = Moment::of(end).max(start);
            for (id, start, end) in spread(operations, start, end, planned) {
                let done = Done {
                    start,
                    end,
                    by: record.who.clone(),
                    record: record.id.clone(),
                };
                let older = facts.done(id).is_some_and(|other| other.end > done.end);
                if !older {
                    facts.operations.insert(id.to_owned(), Fate::Done(done));
                }
            }
        }
        What::Begun { operations, start } => {
            let fate = Fate::Begun {
                start: Moment::of(start),
                by: record.who.clone(),
            };
            unless_done(facts, operations, known, &fate);
        }
        What::Skipped { operations, reason } => {
            let fate = Fate::Skipped {
                at,
                reason: reason.clone(),
            };
            unless_done(facts, operations, known, &fate);
        }
        What::NotYetDry { operation, purpose } => {
            facts.bounds.push(Bound {
                operation: operation.clone(),
                stage: rung(*purpose),
                at,
                dry: false,
            });
        }
        What::DryAlready { operation, purpose } => {
            facts.bounds.push(Bound {
                operation: operation.clone(),
                stage: rung(*purpose),
                at,
                dry: true,
            });
        }
        What::Reading { temperature, humidity } => {
            let humidity = humidity.map(Percent);
            facts.readings.push(Reading {
                at,
                temperature: Celsius(*temperature),
                humidity,
            });
        }
        What::StripBack {
            piece,
            surfaces,
            reason,
        } => {
            let (piece, surfaces, reason) = (piece.clone(), surfaces.clone(), reason.clone());
            facts.strips.push(Strip {
                piece,
                surfaces,
                at,
                reason,
            });
        }
        What::AcceptedCaution { code, refers, reason } => {
            let (code, refers, reason) = (code.clone(), refers.clone(), reason.clone());
            facts.accepted.push(Accepted {
                code,
                refers,
                reason,
                at,
            });
        }
        What::Undone { .. } | What::AcceptedPlan { .. } | What::Event { .. } | What::Note { .. } => {}
        _ => facts.changes.extend(decided(&record.what).map(|what| Change {
            record: record.id.clone(),
            at,
            what,
        })),
    }
}

/// What a record changes in what has to be done.
fn decided(what: &What) -> Option<Decided> {
    Some(match what.clone() {
        What::ExtraCoat {
            piece,
            surfaces,
            reason,
        } => Decided::ExtraCoat {
            piece,
            surfaces,
            reason,
        },
        What::Mend {
            piece,
            surfaces,
            fault,
            coat,
            ..
        } => Decided::Mend {
            piece,
            surfaces,
            fault,
            coat,
        },
        What::HoldingChanged { piece, holding } => Decided::Holding { piece, holding },
        What::Away { hands, from, until, .. } => Decided::Away {
            hands,
            from: Moment::of(&from),
            until: Moment::of(&until),
        },
        _ => return None,
    })
}

/// Gives operations a fate, except those that were done and still stand.
fn unless_done(facts: &mut History, operations: &[String], known: &BTreeMap<&str, &Operation>, fate: &Fate) {
    for id in operations {
        let piece = known.get(id.as_str()).and_then(|operation| operation.piece.as_deref());
        let stands = facts.done(id).is_some_and(|done| {
            !facts
                .strips
                .iter()
                .any(|strip| Some(strip.piece.as_str()) == piece && strip.at >= done.end)
        });
        if !stands {
            facts.operations.insert(id.clone(), fate.clone());
        }
    }
}

/// Spreads a stretch of time over operations in their order, in proportion to their planned minutes.
/// Operations nothing is planned for get the mean of the others.
fn spread<'a>(
    operations: &'a [String],
    start: Moment,
    end: Moment,
    planned: &dyn Fn(&str) -> Option<f64>,
) -> Vec<(&'a str, Moment, Moment)> {
    let minutes: Vec<Option<f64>> = operations
        .iter()
        .map(|id| planned(id).filter(|minutes| minutes.is_finite() && *minutes >= 0.0))
        .collect();
    let given: Vec<f64> = minutes.iter().flatten().copied().collect();
    let sum: f64 = given.iter().sum();
    let mean = if sum > 0.0 { sum / given.len() as f64 } else { 1.0 };
    let shares: Vec<f64> = if sum > 0.0 {
        minutes.iter().map(|one| one.unwrap_or(mean)).collect()
    } else {
        vec![1.0; minutes.len()]
    };
    let all: f64 = shares.iter().sum();
    let length = (end - start).0 as f64;
    let mut gone = 0.0;
    let mut at = start;
    let mut times = Vec::with_capacity(operations.len());
    for (id, share) in operations.iter().zip(shares) {
        gone += share;
        let until = start + crate::units::Span((length * gone / all).round() as i64);
        times.push((id.as_str(), at, until.min(end)));
        at = until.min(end);
    }
    times
}
