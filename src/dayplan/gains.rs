//! What would bring the end forward: one thing about the shop changed, and the job planned again.
//!
//! Invariant: every gain is the difference of two real plans that both keep every rule; the changed plan begins
//! from the order of the plan it is measured against. The job itself is never touched.

use super::document::{Plan, Stamp};
use super::history::History;
use super::make::{Means, Settings, plan_by};
use crate::job::{Job, WhatIf};

/// What a change brings.
#[derive(Clone, Debug)]
pub struct Gain {
    /// The change.
    pub change: WhatIf,
    /// When everything would be ready to glue; `None` where no plan was found.
    pub ready: Option<Stamp>,
    /// Minutes earlier than without; negative or zero where no sooner plan was found.
    pub minutes: i64,
}

/// The changes worth asking about: hands, heat, places, dust, hours.
fn changes(job: &Job) -> [WhatIf; 5] {
    [
        WhatIf::Hands(job.hands.len() + 1),
        WhatIf::WarmerNights(2.0),
        WhatIf::MorePlaces(10),
        WhatIf::DustApart,
        WhatIf::LaterEvening(60),
    ]
}

/// What each change would bring, the greatest gain first; what is so already is left out. `go_on` is asked
/// between the plans and inside them.
pub fn gains(
    job: &Job,
    history: &History,
    settings: Settings,
    plan: &Plan,
    go_on: &mut dyn FnMut() -> bool,
) -> Vec<Gain> {
    let mut gains = Vec::new();
    for change in changes(job) {
        let Some(changed) = change.of(job).filter(|_| go_on()) else {
            continue;
        };
        // what was accepted for the shop as it is says nothing about the changed one
        let free = History {
            plan: None,
            ..history.clone()
        };
        let means = Means {
            begin: Some(plan),
            ..Means::default()
        };
        let ready = plan_by(&changed, &free, settings, means, go_on)
            .ok()
            .map(|made| made.ready);
        gains.push(Gain {
            change,
            ready,
            minutes: ready.map_or(0, |ready| (plan.ready - ready).num_minutes()),
        });
    }
    gains.sort_by_key(|gain| std::cmp::Reverse(gain.minutes));
    gains
}
