//! Every caution of a plan in one list.
//!
//! Invariant: the standing line stands first and once; then the gravest first, in the order of the rooms that
//! say them; no caution stands twice.

use crate::air::{self, RoomAir};
use crate::balance::{self, AirStep};
use crate::dayplan::document::{Caution, Severity};
use crate::dayplan::history::Accepted;
use crate::dayplan::{History, Plan, standing_line};
use crate::job::Job;
use crate::stores::{self, Stores};

/// The cautions of the work (as the plan has them), the air, the panels and the shelf.
pub(super) fn gathered(
    job: &Job,
    plan: &Plan,
    room_air: Option<&RoomAir>,
    settings: &air::Settings,
    needs: &Stores,
    history: &History,
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
    weigh_accepted(history, &mut said);
    said.sort_by_key(|caution| std::cmp::Reverse(caution.severity));
    if !said.is_empty() {
        said.insert(0, standing_line());
    }
    said
}

/// A caution that was accepted weighs one step less and says why; it is never hidden.
fn weigh_accepted(history: &History, found: &mut [Caution]) {
    for caution in found {
        let about = |one: &&Accepted| {
            one.code == caution.code
                && (one.refers == caution.refers || one.refers.iter().any(|id| caution.refers.contains(id)))
        };
        if let Some(accepted) = history.accepted.iter().rev().find(about) {
            caution.severity = match caution.severity {
                Severity::Stop => Severity::Warning,
                Severity::Warning | Severity::Note => Severity::Note,
            };
            caution.text = format!("{} Accepted: {}", caution.text, accepted.reason);
        }
    }
}
