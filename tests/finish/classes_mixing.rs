//! Two parts are mixed by hands, right before the round that uses them, and used within their pot life.
//!
//! That mixing takes its minutes each time, and how many, is common practice, no source.

#![allow(clippy::panic, reason = "a check stops where a value is missing")]

use crate::classes::{WARM, planned, read, text, under};
use denib::dayplan::document::{Operation, Plan, State};
use denib::dayplan::verify;
use denib::dayplan::verify::Rule;
use denib::finish::StepKind;

const MIXED: [&str; 2] = ["conversion-varnish", "waterborne-two-part"];

fn mixings(plan: &Plan) -> Vec<&Operation> {
    plan.operations.iter().filter(|one| one.step == StepKind::Mix).collect()
}

/// The films that use a mix, in order.
fn users<'p>(plan: &'p Plan, mix: Option<&String>) -> Vec<&'p Operation> {
    let uses = |one: &&Operation| one.dry.is_some() && one.mix.as_ref() == mix;
    plan.operations.iter().filter(uses).collect()
}

#[test]
fn each_mix_takes_hands_right_before_the_round_that_uses_it() {
    for finish in MIXED {
        let plan = under(finish, WARM);
        let mixings = mixings(&plan);
        assert!(!mixings.is_empty(), "{finish}");
        for one in &mixings {
            let mix = plan.mixes.iter().find(|mix| Some(&mix.id) == one.mix.as_ref());
            let mix = mix.unwrap_or_else(|| panic!("{} names no mix", one.id));
            assert_eq!(
                (mix.at, one.hands_minutes, one.hands.len()),
                (one.start, 5.0, 1),
                "{finish}"
            );
            assert_eq!(one.state, State::Planned);
            let users = users(&plan, one.mix.as_ref());
            assert!(users.first().is_some_and(|first| first.start == one.end), "{}", one.id);
            assert!(users.iter().all(|user| user.end <= mix.until), "{}", one.id);
            let set_out = plan
                .operations
                .iter()
                .find(|other| other.end == one.start && other.hands == one.hands);
            assert!(
                set_out.is_some_and(|set_out| set_out.step == StepKind::ChangeOver),
                "{}",
                one.id
            );
        }
        // here every mix is one that was set out
        assert_eq!(plan.mixes.len(), mixings.len(), "{finish}");
        let job = read(&text(finish, WARM, "points"));
        let words = denib::report::plan_text(&plan, &job, denib::report::Paper::default());
        let line = format!(
            "  Mix, {}: 5 min",
            job.product(&plan.mixes[0].product).map_or("", |one| &one.name)
        );
        assert!(words.replace('\n', " ").contains(line.trim()), "{words}");
    }
    // nothing else is mixed by the day, a cut of shellac least of all
    for finish in ["dewaxed-shellac", "precatalysed-lacquer", "stained-waterborne"] {
        assert!(mixings(&under(finish, WARM)).is_empty(), "{finish}");
    }
}

#[test]
fn the_makers_own_minutes_count() {
    let slow = text("conversion-varnish", WARM, "points").replacen("[room]", "[rates]\nmix = 12\n[room]", 1);
    let plan = planned(&read(&slow)).unwrap_or_else(|no| panic!("{no}"));
    assert!(!mixings(&plan).is_empty());
    assert!(mixings(&plan).iter().all(|one| (one.hands_minutes - 12.0).abs() < 1e-9));
}

#[test]
fn a_plan_that_does_not_mix_or_mixes_too_early_is_refused() {
    for finish in MIXED {
        let job = read(&text(finish, WARM, "points"));
        let good = under(finish, WARM);
        assert!(verify(&good, &job).is_empty());
        let breaks = |plan: &Plan, rule: Rule| verify(plan, &job).iter().any(|breach| breach.rule == rule);
        let first = mixings(&good)[0].id.clone();
        let mut bad = good.clone();
        bad.operations.retain(|one| one.id != first);
        assert!(breaks(&bad, Rule::Mixed), "{finish}: nobody mixes");
        let mut bad = good.clone();
        for one in bad.operations.iter_mut().filter(|one| one.id == first) {
            one.start = one.end - chrono::TimeDelta::minutes(1);
        }
        assert!(breaks(&bad, Rule::Mixed), "{finish}: in no time");
        // poured together the evening before, and said to last until now
        let mut bad = good.clone();
        for mix in bad
            .mixes
            .iter_mut()
            .filter(|mix| Some(&mix.id) == mixings(&good)[0].mix.as_ref())
        {
            mix.at -= chrono::TimeDelta::hours(15);
        }
        assert!(breaks(&bad, Rule::PotLife), "{finish}: over its life");
    }
}
