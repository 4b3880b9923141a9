//! What has happened when everything went by the plan.

use denib::dayplan::history::{Done, Fate};
use denib::dayplan::{History, Plan};
use denib::units::Moment;
use std::sync::Arc;

/// A history in which everything planned before `now` was begun, and done, exactly when planned.
pub fn on_time(plan: &Plan, now: Moment) -> History {
    let mut history = History::none(now);
    for operation in plan.operations.iter().filter(|one| Moment::of(&one.start) < now) {
        let by = operation.hands.first().cloned().unwrap_or_default();
        let (start, end) = (Moment::of(&operation.start), Moment::of(&operation.end));
        let fate = if end <= now {
            let record = "on time".to_owned();
            Fate::Done(Done { start, end, by, record })
        } else {
            Fate::Begun { start, by }
        };
        history.operations.insert(operation.id.clone(), fate);
    }
    history.plan = Some(Arc::new(plan.clone()));
    history
}
