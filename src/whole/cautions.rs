//! Every caution of a plan in one list.
//!
//! Invariant: the standing line stands first and once; then the gravest first, in the order of the rooms that
//! say them; no caution stands twice.

use crate::air::{self, RoomAir};
use crate::balance::{self, AirStep};
use crate::dayplan::document::Caution;
use crate::dayplan::{Plan, standing_line};
use crate::job::Job;
use crate::stores::{self, Stores};

/// The cautions of the work (as the plan has them), the air, the panels and the shelf.
pub(super) fn gathered(
    job: &Job,
    plan: &Plan,
    room_air: Option<&RoomAir>,
    settings: &air::Settings,
    needs: &Stores,
) -> Vec<Caution> {
    let panels = balance::of(job, plan, None, &AirStep::default());
    let mut said: Vec<Caution> = Vec::new();
    let all = plan
        .cautions
        .iter()
        .cloned()
        .chain(air::cautions(job, plan, room_air, settings))
        .chain(balance::cautions(&panels))
        .chain(stores::cautions(needs));
    for caution in all.filter(|caution| caution.code != standing_line().code) {
        if !said.contains(&caution) {
            said.push(caution);
        }
    }
    said.sort_by_key(|caution| std::cmp::Reverse(caution.severity));
    if !said.is_empty() {
        said.insert(0, standing_line());
    }
    said
}
