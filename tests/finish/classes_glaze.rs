//! Colour in layers, in the order of the trade: dye, wash coat, glaze wiped in time, sealed in, toner, clear coats.
//!
//! The order and that a glaze is sealed in before anything else goes over it are common practice, no source; the times
//! are those of the shipped schedule, each with its own status and source.

#![allow(clippy::panic, reason = "a check stops where a value is missing")]

use crate::classes::{WARM, planned, read, text};
use denib::dayplan::document::{Operation, Plan};
use denib::dayplan::verify;
use denib::dayplan::verify::Rule;
use denib::finish::{StepKind, shipped};
use denib::job::Job;

const FINISH: &str = "glazed-cellulose";

fn made(holding: &str) -> (Job, Plan) {
    let job = read(&text(FINISH, WARM, holding));
    let plan = planned(&job).unwrap_or_else(|no| panic!("{holding}: {no}"));
    assert!(verify(&plan, &job).is_empty(), "{holding}");
    (job, plan)
}

/// What lies on the face of the top, from the wood up; or what is done to it between.
fn on_face<'p>(plan: &'p Plan, steps: &[StepKind]) -> Vec<&'p Operation> {
    let ours = |one: &&Operation| one.piece.as_deref() == Some("top") && steps.contains(&one.step);
    let mut found: Vec<&Operation> = plan.operations.iter().filter(ours).collect();
    found.retain(|one| one.surfaces.iter().any(|surface| surface == "face"));
    found.sort_by_key(|one| one.start);
    found
}

fn films(plan: &Plan) -> Vec<&Operation> {
    on_face(plan, &[StepKind::Colour, StepKind::Seal, StepKind::Coat])
}

fn film<'p>(plan: &'p Plan, product: &str) -> &'p Operation {
    let found = films(plan)
        .into_iter()
        .find(|one| one.product.as_deref() == Some(product));
    found.unwrap_or_else(|| panic!("no {product}"))
}

fn breaks(plan: &Plan, job: &Job, rule: Rule) -> bool {
    verify(plan, job).iter().any(|breach| breach.rule == rule)
}

fn moved(plan: &Plan, id: &str, by: chrono::TimeDelta) -> Plan {
    let mut moved = plan.clone();
    for one in moved.operations.iter_mut().filter(|one| one.id == id) {
        (one.start, one.end) = (one.start + by, one.end + by);
    }
    moved
}

#[test]
fn the_layers_lie_in_the_order_of_the_trade() {
    for holding in ["points", "bearers", "hung"] {
        let (_, plan) = made(holding);
        let products: Vec<&str> = films(&plan).iter().filter_map(|one| one.product.as_deref()).collect();
        let wanted = [
            "alcohol-dye",
            "wash-coat",
            "glaze",
            "vinyl-sealer",
            "cellulose-toner",
            "spray-cellulose",
            "spray-cellulose",
        ];
        assert_eq!(products, wanted, "{holding}");
        // no paper on dye, glaze or toner
        for worked in on_face(&plan, &[StepKind::Denib, StepKind::Flat, StepKind::Scuff]) {
            let beneath = films(&plan).into_iter().rfind(|film| film.start < worked.start);
            assert!(
                beneath.is_some_and(|film| film.step != StepKind::Colour),
                "{} in {holding}",
                worked.id
            );
        }
    }
}

#[test]
fn the_glaze_is_wiped_in_time_and_sealed_in_when_it_is_dry() {
    let limit = shipped()[FINISH].product("glaze").and_then(|glaze| glaze.wipe.clone());
    let limit = limit.unwrap_or_else(|| panic!("a glaze is wiped")).within.low;
    for holding in ["points", "bearers", "hung"] {
        let (job, good) = made(holding);
        let glaze = film(&good, "glaze");
        let wipe = good
            .operations
            .iter()
            .find(|one| one.step == StepKind::WipeBack && one.film_from.as_deref() == Some(glaze.id.as_str()))
            .unwrap_or_else(|| panic!("{} is not wiped", glaze.id));
        assert!(
            (wipe.end - glaze.start).num_minutes() as f64 <= limit + 1.0,
            "{holding}"
        );
        let sealer = film(&good, "vinyl-sealer");
        let dry = glaze.dry.as_ref().and_then(|dry| dry.dry_to_recoat);
        assert!(dry.is_some_and(|dry| dry <= sealer.start), "{holding}");
        // sealed in on a glaze that is still wet, or wiped when it has set: refused
        let early = chrono::TimeDelta::minutes(-60) - (sealer.start - dry.unwrap_or(sealer.start));
        assert!(
            breaks(&moved(&good, &sealer.id, early), &job, Rule::RecoatWindow),
            "{holding}"
        );
        let late = moved(&good, &wipe.id, chrono::TimeDelta::minutes(limit as i64));
        assert!(breaks(&late, &job, Rule::WipeBack), "{holding}");
        // not sealed in at all: the toner would lie on the bare glaze
        let mut bare = good.clone();
        bare.operations.retain(|one| one.id != sealer.id);
        assert!(breaks(&bare, &job, Rule::Coats), "{holding}");
    }
}
