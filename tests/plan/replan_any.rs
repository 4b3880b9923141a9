//! Replanning from whatever has happened: the checks stay silent, what is done stays, what is arranged stays.
//!
//! The jobs and what happens to them are invented by a seeded generator; nothing here claims to be a real shop.

#![allow(clippy::panic, clippy::expect_used, clippy::print_stdout)] // a check that fails says why

use crate::generated::{self, Dice};
use crate::happens::Shop;
use crate::planned::from_text;
use denib::clock::Air;
use denib::dayplan::document::{Operation, State};
use denib::dayplan::history::Decided;
use denib::dayplan::verify::{Breach, Rule, verify_in};
use denib::dayplan::{History, Plan, Settings, plan};
use denib::finish::StepKind;
use denib::job::Job;
use denib::units::{Moment, Span};
use std::collections::HashMap;
use std::sync::Arc;

/// People have arranged themselves for this long ahead.
const ARRANGED: Span = Span::hours(4);

fn read(text: &str) -> Job {
    from_text("any.toml", text)
}

fn made(job: &Job, history: &History) -> Result<Plan, String> {
    let settings = Settings { seed: 1, tries: 0 };
    plan(job, history, settings, &mut || true).map_err(|no| no.to_string())
}

/// Breaches that the plan could have avoided. One kind is left aside: a wipe or re-wipe that comes too late on a film
/// laid already, where hands do nothing else from now on, or from when it is due, until they are at it: they were away,
/// or the day was over, or all of them wipe.
fn breaches(shop: &Shop, job: &Job, plan: &Plan) -> Vec<Breach> {
    let last = plan.operations.iter().map(|one| Moment::of(&one.end)).max();
    let until = last.unwrap_or(job.start).max(shop.history.now) + Span::days(120);
    let air = Air::of(job, &shop.history.readings, job.start + Span::days(-1), until);
    let mut found = verify_in(plan, job, &air);
    found.retain(|breach| !by_fact(shop, job, plan, breach));
    found
}

fn by_fact(shop: &Shop, job: &Job, plan: &Plan, breach: &Breach) -> bool {
    let named = |at: usize| {
        let id = breach.operations.get(at);
        plan.operations.iter().find(|one| Some(&one.id) == id)
    };
    let (true, Some(wipe), Some(coat)) = (matches!(breach.rule, Rule::WipeBack | Rule::ReWipe), named(0), named(1))
    else {
        return false;
    };
    if coat.state == State::Planned {
        return false;
    }
    // what bleeds out is wiped no sooner than it has
    let product = coat.product.as_deref().and_then(|id| job.product(id));
    let bleeds = product.and_then(|product| Some(product.wipe.as_ref()?.again_after.as_ref()?.low));
    let before = plan
        .operations
        .iter()
        .filter(|one| one.step == StepKind::WipeBack && one.piece == wipe.piece && one.end <= wipe.start);
    let due = match (breach.rule, before.map(|one| Moment::of(&one.end)).max()) {
        (Rule::ReWipe, Some(end)) => end + Span(bleeds.unwrap_or(0.0).ceil() as i64),
        _ => Moment::of(&coat.start),
    };
    let (from, until) = (due.max(shop.history.now), Moment::of(&wipe.start));
    let within = |(one, other): (Moment, Moment)| (other.min(until) - one.max(from)).0.max(0);
    let wiping = [
        StepKind::WipeBack,
        StepKind::ReWipe,
        StepKind::ChangeOver,
        StepKind::CleanUp,
        StepKind::Mix,
    ];
    // the best placed of the hands: how long it is there for, and does not wipe
    let idle = plan.hands.iter().map(|hand| {
        let shifts = hand
            .shifts
            .iter()
            .map(|(from, until)| (Moment::of(from), Moment::of(until)));
        let there: i64 = shifts
            .map(|shift| within(shift) - away(shop, &hand.name, shift, (from, until)))
            .sum();
        let own = plan
            .operations
            .iter()
            .filter(|one| one.hands.contains(&hand.name) && wiping.contains(&one.step));
        let wiped: i64 = own
            .map(|one| within((Moment::of(&one.start), Moment::of(&one.end))))
            .sum();
        there - wiped
    });
    // a piece that fits no more before the break leaves minutes over
    idle.min().unwrap_or(0) <= 20
}

/// Minutes of a shift, between two instants, for which a pair of hands is away.
fn away(shop: &Shop, hand: &str, shift: (Moment, Moment), (from, until): (Moment, Moment)) -> i64 {
    let away = shop.history.changes.iter().filter_map(|change| match &change.what {
        Decided::Away { hands, from, until } if hands.is_empty() || hands.iter().any(|one| one == hand) => {
            Some((*from, *until))
        }
        _ => None,
    });
    away.map(|away| {
        (away.1.min(shift.1).min(until) - away.0.max(shift.0).max(from))
            .0
            .max(0)
    })
    .sum()
}

/// What is wrong with a plan made from what has happened.
fn wrong(shop: &Shop, job: &Job, plan: &Plan) -> Vec<String> {
    let mut wrong: Vec<String> = breaches(shop, job, plan).iter().map(ToString::to_string).collect();
    for one in &plan.operations {
        let start = Moment::of(&one.start);
        match shop.history.done(&one.id) {
            Some(done) => {
                let stays = start == done.start && Moment::of(&one.end) == done.end && one.state == State::Done;
                if !stays {
                    wrong.push(format!(
                        "{} was done and is now {:?} at {}",
                        one.id, one.state, one.start
                    ));
                }
            }
            None if one.state == State::Planned && start < shop.history.now => {
                wrong.push(format!("{} is planned for {}, which is over", one.id, one.start));
            }
            None => {}
        }
    }
    let named: HashMap<&str, &Operation> = plan.operations.iter().map(|one| (one.id.as_str(), one)).collect();
    let lost = shop
        .history
        .operations
        .keys()
        .filter(|id| !named.contains_key(id.as_str()));
    // a change of holding may do away with the operations of the old one
    let lost = lost.filter(|id| shop.history.done(id).is_some() && shop.history.changes.is_empty());
    wrong.extend(lost.map(|id| format!("{id} was done and is gone")));
    wrong
}

/// What moves after everything went by the plan for a while: all that does, and what was due soon.
fn moved(shop: &Shop, job: &Job, until: Moment) -> Result<(usize, Vec<String>), String> {
    let again = made(job, &shop.on_time(until))?;
    let new: HashMap<&str, &Operation> = again.operations.iter().map(|one| (one.id.as_str(), one)).collect();
    let worked = shop.plan.operations.iter().filter(|old| old.round.is_some());
    let to_come = worked.filter(|old| Moment::of(&old.start) >= until);
    let moved: Vec<&Operation> = to_come
        .filter(|old| new.get(old.id.as_str()).is_none_or(|new| new.start != old.start))
        .collect();
    let soon = moved.iter().filter(|old| Moment::of(&old.start) < until + ARRANGED);
    let soon = soon.map(|old| {
        let now = new.get(old.id.as_str()).map(|new| new.start.to_rfc3339());
        format!("{} moved from {} to {now:?}", old.id, old.start)
    });
    Ok((moved.len(), soon.collect()))
}

/// How many plans were made, and how many of them moved something after an on-time tick.
#[derive(Default, Debug)]
struct Count {
    plans: usize,
    quiet: usize,
    moved: usize,
}

/// One job and a few stretches of what may happen to it; the first thing that is wrong.
fn case(text: &str, seed: u64, count: &mut Count) -> Result<(), String> {
    let dice = &mut Dice(seed);
    let written = read(text);
    let history = History::none(written.start);
    let plan = made(&written, &history)?;
    let mut shop = Shop {
        written,
        history,
        plan,
        told: Vec::new(),
    };
    for _ in 0..dice.within(2, 7) {
        shop.history.plan = Some(Arc::new(shop.plan.clone()));
        if !shop.work(dice) {
            break;
        }
        shop.decide(dice);
        let job = shop.job();
        let told = |shop: &Shop, what: String| format!("{}\n  {what}", shop.told.join("\n  "));
        let plan = made(&job, &shop.history).map_err(|no| told(&shop, no))?;
        count.plans += 1;
        let found = wrong(&shop, &job, &plan);
        if !found.is_empty() {
            return Err(told(
                &shop,
                format!(
                    "{} things: {}",
                    found.len(),
                    found.iter().take(4).cloned().collect::<Vec<_>>().join("\n    ")
                ),
            ));
        }
        if dice.within(0, 4) == 0 && made(&job, &shop.history).map_err(|no| told(&shop, no))? != plan {
            return Err(told(&shop, "another plan from the same facts".to_owned()));
        }
        shop.plan = plan;
        if let Some(until) = shop.soon(dice) {
            let (all, soon) =
                moved(&shop, &job, until).map_err(|no| told(&shop, format!("on time until {until:?}: {no}")))?;
            count.quiet += usize::from(all == 0);
            count.moved += all;
            if !soon.is_empty() {
                return Err(told(
                    &shop,
                    format!("on time until {}: {}", until.in_zone(job.zone), soon.join("\n    ")),
                ));
            }
        }
    }
    Ok(())
}

fn asked(name: &str) -> Option<u64> {
    std::env::var(name).ok().and_then(|asked| asked.parse().ok())
}

/// The cases of one kind: so many that all stay under a minute on two cores, or as many as `DENIB_REPLAN_CASES` says;
/// or one alone, by `DENIB_REPLAN_SEED`.
fn seeds(from: u64, count: u64) -> std::ops::Range<u64> {
    match asked("DENIB_REPLAN_SEED") {
        Some(one) if (from..from + 1_000_000).contains(&one) => one..one + 1,
        Some(_) => 0..0,
        None => from..from + asked("DENIB_REPLAN_CASES").unwrap_or(count),
    }
}

fn all(seeds: std::ops::Range<u64>, text: impl Fn(u64) -> String) {
    let mut failed = Vec::new();
    let mut count = Count::default();
    for seed in seeds.clone() {
        if let Err(why) = case(&text(seed), seed, &mut count) {
            failed.push(format!("seed {seed}: {why}"));
        }
    }
    println!("{count:?}");
    assert!(
        failed.is_empty(),
        "{} of {seeds:?}:\n{}",
        failed.len(),
        failed.join("\n")
    );
}

#[test]
fn small_jobs() {
    all(seeds(0, 40), |seed| generated::job(5 + seed % 8, seed));
}

#[test]
fn middling_jobs() {
    all(seeds(1_000_000, 10), |seed| generated::job(13 + seed % 28, seed));
}

#[test]
fn the_demo() {
    all(seeds(2_000_000, 4), |_| {
        include_str!("../../demo/linen-press.toml").to_owned()
    });
}
