//! Why an operation is not earlier, in one line.
//!
//! Invariant: the reason was tried by the planner: relax that one thing, and the operation can move.

use super::document::{Because, BecauseKind};
use super::tell::Told;
use crate::finish::StepKind;
use crate::planner::{self, Cause, Kind, Setup};
use crate::units::Moment;
use crate::work::WorkOperation;

/// The reason for an operation that starts at `start`.
pub(super) fn of(told: &Told, operation: usize, start: Moment, reason: &planner::Because) -> Because {
    let mut named = reason.task;
    let (kind, text) = match reason.kind {
        Kind::One(cause) => {
            named = named.or(task_of(cause));
            (kind_of(cause), words(told, operation, cause, reason.task))
        }
        Kind::Together(one, other) => {
            named = task_of(one).or(task_of(other)).or(named);
            let text = format!(
                "{}, and {}",
                words(told, operation, one, None),
                words(told, operation, other, None)
            );
            (BecauseKind::Together, text)
        }
        Kind::Several => (BecauseKind::Together, "several things at once hold it back".to_owned()),
        Kind::FollowsNothing => return fact(told, operation, start),
        Kind::Choice => (
            BecauseKind::Choice,
            "it could be earlier, but the plan as a whole would be worse".to_owned(),
        ),
    };
    Because {
        kind,
        op: named
            .and_then(|task| told.frame.work.operations.get(task as usize))
            .map(|operation| operation.id.clone()),
        at: told.stamp_tick(reason.at),
        text,
    }
}

/// What is said of an operation that nothing holds back.
pub(super) fn fact(told: &Told, operation: usize, start: Moment) -> Because {
    let (kind, text) = if told.frame.fate(operation).is_some() {
        (BecauseKind::Fact, "it has happened".to_owned())
    } else {
        (
            BecauseKind::NotThere,
            "nothing stands before it: it starts as early as the job allows".to_owned(),
        )
    };
    Because {
        kind,
        op: None,
        at: told.stamp(start),
        text,
    }
}

/// The reason for setting up or cleaning out.
pub(super) fn of_set_up(told: &Told, setup: &Setup, start: Moment) -> Because {
    let of = told.frame.work.operations.get(setup.task as usize);
    let id = of.map(|operation| operation.id.clone());
    let family = told
        .named
        .families
        .get(setup.family as usize)
        .cloned()
        .unwrap_or_default();
    let text = if setup.opens {
        format!("set out {family} just before {}", id.clone().unwrap_or_default())
    } else {
        format!("clean out {family} right after {}", id.clone().unwrap_or_default())
    };
    Because {
        kind: BecauseKind::ChangeOver,
        op: id,
        at: told.stamp(start),
        text,
    }
}

fn task_of(cause: Cause) -> Option<u32> {
    match cause {
        Cause::Wait(task) | Cause::Window(task) | Cause::Bundle(task) => Some(task),
        _ => None,
    }
}

fn kind_of(cause: Cause) -> BecauseKind {
    match cause {
        Cause::Wait(_) => BecauseKind::Wait,
        Cause::Window(_) => BecauseKind::Window,
        Cause::Hands => BecauseKind::Hands,
        Cause::Shift => BecauseKind::Hours,
        Cause::SetUp => BecauseKind::ChangeOver,
        Cause::Place(_) => BecauseKind::Place,
        Cause::DustSettle | Cause::DustWet => BecauseKind::Dust,
        Cause::StartSet => BecauseKind::Room,
        Cause::Release => BecauseKind::NotThere,
        Cause::Budget(_) => BecauseKind::Vapour,
        Cause::Bundle(_) => BecauseKind::Wipe,
    }
}

fn words(told: &Told, operation: usize, cause: Cause, task: Option<u32>) -> String {
    let work = &told.frame.work;
    let other = |task: Option<u32>| {
        task.and_then(|task| work.operations.get(task as usize))
            .map_or_else(|| "other work".to_owned(), short)
    };
    match cause {
        Cause::Wait(before) => {
            let into = told.waits_into.get(operation).into_iter().flatten();
            let rules = into
                .filter_map(|&wait| work.waits.get(wait as usize))
                .filter(|wait| wait.before == before as usize);
            // of several waits between the two, the one with something to say
            let rule = rules.max_by_key(|wait| u8::from(wait.rule != "one thing at a time on a piece"));
            format!(
                "{}: {}",
                other(Some(before)),
                rule.map_or("comes first", |wait| wait.rule)
            )
        }
        Cause::Window(before) => {
            let into = told.windows_into.get(operation).into_iter().flatten();
            let rule = into
                .filter_map(|&window| work.windows.get(window as usize))
                .find(|window| window.before == before as usize);
            format!(
                "{}: {}",
                other(Some(before)),
                rule.map_or("what was done again has to be fresh still", |window| window.rule)
            )
        }
        Cause::Hands => format!("hands are on {}", other(task)),
        Cause::Shift => "outside working hours, or too little of the stretch is left".to_owned(),
        Cause::SetUp => "setting out or cleaning out takes the time before".to_owned(),
        Cause::Place(pool) => match told.named.pools.get(pool as usize) {
            Some(kind) => format!("no {} free for its whole wet run", super::tell::place_id(*kind)),
            None => "the piece is in other hands".to_owned(),
        },
        Cause::DustSettle => format!("dust has to settle first ({})", other(task)),
        Cause::DustWet => format!("dust and wet work would meet ({})", other(task)),
        Cause::StartSet => "the room is too cold or damp, or would be before the film is far enough".to_owned(),
        Cause::Release => {
            let piece = work.operations.get(operation).and_then(|operation| operation.piece);
            let piece = piece.and_then(|piece| told.frame.job.pieces.get(piece));
            let later = piece.is_some_and(|piece| piece.available > told.frame.now.max(told.frame.job.start));
            let text = if later {
                "the piece is not there before"
            } else {
                "work begins no earlier"
            };
            text.to_owned()
        }
        Cause::Budget(_) => "the vapour cap of the room is reached".to_owned(),
        Cause::Bundle(_) => "its wipe and re-wipe would not fit".to_owned(),
    }
}

/// An operation in few words: `top, coat 2`.
fn short(operation: &WorkOperation) -> String {
    let mut words = operation.id.split('/');
    let piece = words.next().unwrap_or_default();
    let rest: Vec<&str> = words.collect();
    match operation.step {
        StepKind::Coat | StepKind::Seal => format!("{piece}, coat {}", operation.coat.unwrap_or(1)),
        _ => format!("{piece}, {}", rest.join(" ").replace('-', " ")),
    }
}
