//! The whole plan: the days' work with the air of the room, the panels, the shelf and every caution.
//!
//! Invariant: whoever prints, shows, exports or records a plan has it from here, so that all say the same; a
//! part that the job gives too little for is `null`, and a caution says what is missing.

mod cautions;
mod lived;
mod pages;

pub use lived::as_lived;
pub use pages::{AirPage, BalancePage, Flash, StoresPage, air_page, balance_page, stores_page};

use crate::dayplan::{self, History, Means, NoPlan, Plan, Settings};
use crate::job::Job;
use crate::{air, stores};

/// Plans a job from its facts and fills in all that follows from the plan.
pub fn plan(job: &Job, history: &History, settings: Settings, go_on: &mut dyn FnMut() -> bool) -> Result<Plan, NoPlan> {
    plan_by(job, history, settings, Means::default(), go_on)
}

/// The same with several lines of search, or with what an earlier planning left.
pub fn plan_by(
    job: &Job,
    history: &History,
    settings: Settings,
    means: Means,
    go_on: &mut dyn FnMut() -> bool,
) -> Result<Plan, NoPlan> {
    dayplan::plan_by(job, history, settings, means, go_on).map(|plan| complete(job, history, plan))
}

/// Fills in air, stores, mixes and cautions.
pub fn complete(job: &Job, history: &History, mut plan: Plan) -> Plan {
    let settings = air::Settings::of(job);
    let room_air = air::with(job, &plan, &settings);
    let needs = stores::of_shelf(job, &plan, Some(history));
    plan.air = room_air.as_ref().map(air::line);
    plan.stores = Some(stores::document(&needs));
    for mix in &mut plan.mixes {
        // as much as has to be mixed, not only what lands
        if let Some(need) = stores::mixes(&needs).into_iter().find(|need| need.id == mix.id) {
            mix.volume = need.volume;
        }
    }
    plan.cautions = cautions::gathered(job, &plan, room_air.as_ref(), &settings, &needs, history);
    plan
}
