//! How a plan differs from another: what a replan writes instead of the whole of it.
//!
//! Invariant: a difference laid over the plan it was made from gives the other plan, byte for byte as a document;
//! laid over any other it is refused. Nothing here knows what the fields of a plan mean, but which of its lists
//! are long and what their items are known by.

use crate::dayplan::Plan;
use crate::dayplan::document::{Operation, Round, WaitLine};
use chrono::{DateTime, SecondsFormat, TimeDelta};
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use std::collections::{BTreeMap, HashMap, HashSet, VecDeque};

/// What makes one plan of another.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Difference {
    /// Mark of the plan it is laid over.
    of: String,
    pieces: Vec<Step>,
    rounds: Vec<Step>,
    operations: Vec<Step>,
    waits: Vec<Step>,
    cautions: Vec<Step>,
    /// All other parts of the document; `null` where they are the same.
    rest: Option<Change>,
}

/// How one value becomes another.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum Change {
    /// It is this.
    Is(Value),
    /// A time, so many minutes later.
    Later(i64),
    /// Some of its fields.
    In(BTreeMap<String, Change>),
    /// A list: its items in order.
    List(Vec<Step>),
}

/// Items of a list, one after the other.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum Step {
    /// From this item of the other list on, so many as they are.
    Keep(usize, usize),
    /// From this item of the other list on, so many, each with this change.
    Change(usize, usize, Change),
    /// An item of its own.
    New(Value),
}

/// Why a difference cannot be laid over a plan.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Misfit {
    /// It was made from another plan.
    #[error("it was made from another plan")]
    Other,
    /// What comes of it is no plan.
    #[error("what comes of it is no plan: {0}")]
    NoPlan(String),
}

impl From<serde_json::Error> for Misfit {
    fn from(error: serde_json::Error) -> Self {
        Self::NoPlan(error.to_string())
    }
}

impl Difference {
    /// What makes `plan` of `base`; an error where one of them is no document (a figure that is no number).
    pub fn between(base: &Plan, plan: &Plan) -> Result<Self, serde_json::Error> {
        Ok(Self {
            of: mark(base),
            pieces: steps(&base.pieces, &plan.pieces, |piece| Some(piece.id.clone()))?,
            rounds: steps(&base.rounds, &plan.rounds, round_key)?,
            operations: steps(&base.operations, &plan.operations, operation_key)?,
            waits: steps(&base.waits, &plan.waits, wait_key)?,
            cautions: steps(&base.cautions, &plan.cautions, |_| None)?,
            rest: change(
                &serde_json::to_value(without_lists(base))?,
                &serde_json::to_value(without_lists(plan))?,
            )?,
        })
    }

    /// The plan it makes of the one it was made from.
    pub fn applied(&self, base: &Plan) -> Result<Plan, Misfit> {
        if self.of != mark(base) {
            return Err(Misfit::Other);
        }
        let rest = without_lists(base);
        let rest = match &self.rest {
            Some(change) => serde_json::from_value(changed(serde_json::to_value(rest)?, change)?)?,
            None => rest,
        };
        Ok(Plan {
            pieces: listed(&base.pieces, &self.pieces)?,
            rounds: listed(&base.rounds, &self.rounds)?,
            operations: listed(&base.operations, &self.operations)?,
            waits: listed(&base.waits, &self.waits)?,
            cautions: listed(&base.cautions, &self.cautions)?,
            ..rest
        })
    }
}

/// By this a plan is told from others: a CRC-32 of what is done when. Not of all its bytes, since a log of a week
/// has hundreds of plans to be told apart each time it is opened.
fn mark(plan: &Plan) -> String {
    let mut sum = crc32fast::Hasher::new();
    for time in [plan.now, plan.ready, plan.ends] {
        sum.update(&time.timestamp().to_le_bytes());
    }
    for operation in &plan.operations {
        sum.update(operation.id.as_bytes());
        sum.update(&operation.start.timestamp().to_le_bytes());
        sum.update(&operation.end.timestamp().to_le_bytes());
    }
    for round in &plan.rounds {
        sum.update(round.id.as_bytes());
    }
    format!("{:08x}", sum.finalize())
}

/// A round is known by what it begins with: its id is only its place in the day.
#[allow(clippy::unnecessary_wraps)] // one of several keys, not all of which there are
fn round_key(round: &Round) -> Option<String> {
    Some(round.operations.first().unwrap_or(&round.id).clone())
}

#[allow(clippy::unnecessary_wraps)] // likewise
fn operation_key(operation: &Operation) -> Option<String> {
    Some(operation.id.clone())
}

#[allow(clippy::unnecessary_wraps)] // likewise
fn wait_key(wait: &WaitLine) -> Option<String> {
    Some(format!("{}\t{}\t{}", wait.before, wait.after, wait.rule))
}

/// A plan but for its long lists.
fn without_lists(plan: &Plan) -> Plan {
    Plan {
        schema: plan.schema,
        job: plan.job.clone(),
        zone: plan.zone.clone(),
        seed: plan.seed,
        tries: plan.tries,
        now: plan.now,
        starts: plan.starts,
        ready: plan.ready,
        ends: plan.ends,
        finished: plan.finished,
        bound: plan.bound,
        gap_percent: plan.gap_percent,
        wide_over_mm: plan.wide_over_mm,
        hands: plan.hands.clone(),
        climate: plan.climate.clone(),
        sections: plan.sections.clone(),
        assemblies: plan.assemblies.clone(),
        pieces: Vec::new(),
        products: plan.products.clone(),
        mixes: plan.mixes.clone(),
        changeovers: plan.changeovers.clone(),
        places: plan.places.clone(),
        rounds: Vec::new(),
        operations: Vec::new(),
        waits: Vec::new(),
        keep_apart: plan.keep_apart.clone(),
        air: plan.air.clone(),
        balance: plan.balance.clone(),
        stores: plan.stores.clone(),
        cautions: Vec::new(),
    }
}

/// The change that makes `new` of `base`; `None` where they are the same.
fn change(base: &Value, new: &Value) -> Result<Option<Change>, serde_json::Error> {
    if base == new {
        return Ok(None);
    }
    Ok(Some(match (base, new) {
        (Value::Object(one), Value::Object(other)) if one.keys().eq(other.keys()) => {
            let mut fields = BTreeMap::new();
            for (name, value) in other {
                if let Some(change) = change(one.get(name).unwrap_or(&Value::Null), value)? {
                    fields.insert(name.clone(), change);
                }
            }
            Change::In(fields)
        }
        (Value::Array(one), Value::Array(other)) => Change::List(steps(one, other, |_| None)?),
        (Value::String(one), Value::String(other)) => match minutes_later(one, other) {
            Some(minutes) => Change::Later(minutes),
            None => Change::Is(new.clone()),
        },
        _ => Change::Is(new.clone()),
    }))
}

/// How many whole minutes one time is after another, where it is written the same way.
fn minutes_later(base: &str, new: &str) -> Option<i64> {
    let at = |text| DateTime::parse_from_rfc3339(text).ok();
    let minutes = (at(new)? - at(base)?).num_minutes();
    (moved(base, minutes).as_deref() == Some(new)).then_some(minutes)
}

/// A time so many minutes later, as documents write times.
fn moved(time: &str, minutes: i64) -> Option<String> {
    let at = DateTime::parse_from_rfc3339(time).ok()?;
    let later = at.checked_add_signed(TimeDelta::try_minutes(minutes)?)?;
    Some(later.to_rfc3339_opts(SecondsFormat::AutoSi, true))
}

/// The steps that make one list of another. Items are the same by their key, by all they say where they have none.
fn steps<T: Serialize>(
    base: &[T],
    new: &[T],
    key: impl Fn(&T) -> Option<String>,
) -> Result<Vec<Step>, serde_json::Error> {
    let text = |items: &[T]| items.iter().map(serde_json::to_string).collect::<Result<Vec<_>, _>>();
    let (texts, others) = (text(base)?, text(new)?);
    let known_by = |item: &T, text: &str| key(item).unwrap_or_else(|| text.to_owned());
    let mut there: HashMap<String, VecDeque<usize>> = HashMap::new();
    for (index, (item, text)) in base.iter().zip(&texts).enumerate() {
        there.entry(known_by(item, text)).or_default().push_back(index);
    }
    let stay: HashSet<&str> = others.iter().map(String::as_str).collect();
    let mut steps: Vec<Step> = Vec::new();
    let mut next = 0;
    for (item, text) in new.iter().zip(&others) {
        let same = there
            .get_mut(&known_by(item, text))
            .and_then(VecDeque::pop_front)
            // without a key: what stands in the same place and is nowhere else any more
            .or_else(|| {
                (key(item).is_none() && texts.get(next).is_some_and(|old| !stay.contains(old.as_str()))).then_some(next)
            });
        let Some(at) = same else {
            steps.push(Step::New(serde_json::to_value(item)?));
            continue;
        };
        next = at + 1;
        if texts.get(at) == Some(text) {
            keep(&mut steps, at);
            continue;
        }
        let value = serde_json::to_value(item)?;
        let old = base.get(at).map(serde_json::to_value).transpose()?.unwrap_or_default();
        match change(&old, &value)? {
            Some(change @ Change::In(_)) => change_one(&mut steps, at, change),
            _ => steps.push(Step::New(value)),
        }
    }
    Ok(steps)
}

fn keep(steps: &mut Vec<Step>, at: usize) {
    match steps.last_mut() {
        Some(Step::Keep(from, count)) if *from + *count == at => *count += 1,
        _ => steps.push(Step::Keep(at, 1)),
    }
}

fn change_one(steps: &mut Vec<Step>, at: usize, change: Change) {
    match steps.last_mut() {
        Some(Step::Change(from, count, alike)) if *from + *count == at && *alike == change => *count += 1,
        _ => steps.push(Step::Change(at, 1, change)),
    }
}

/// The list that steps make of another.
fn listed<T: Clone + Serialize + DeserializeOwned>(base: &[T], steps: &[Step]) -> Result<Vec<T>, Misfit> {
    let run = |from: usize, count: usize| {
        let items = from.checked_add(count).and_then(|until| base.get(from..until));
        items.ok_or_else(|| Misfit::NoPlan("a list is shorter than it should be".to_owned()))
    };
    let mut list = Vec::new();
    for step in steps {
        match step {
            Step::Keep(from, count) => list.extend_from_slice(run(*from, *count)?),
            Step::Change(from, count, change) => {
                for item in run(*from, *count)? {
                    list.push(serde_json::from_value(changed(serde_json::to_value(item)?, change)?)?);
                }
            }
            Step::New(value) => list.push(T::deserialize(value)?),
        }
    }
    Ok(list)
}

/// A value with a change made.
fn changed(value: Value, change: &Change) -> Result<Value, Misfit> {
    let wrong = |what: &str| Misfit::NoPlan(format!("{what} was to be changed and is none"));
    match (change, value) {
        (Change::Is(new), _) => Ok(new.clone()),
        (Change::Later(minutes), Value::String(time)) => {
            let later = moved(&time, *minutes).ok_or_else(|| wrong("a time"))?;
            Ok(Value::String(later))
        }
        (Change::Later(_), _) => Err(wrong("a time")),
        (Change::In(fields), Value::Object(mut value)) => {
            for (name, change) in fields {
                let field = value.get_mut(name).ok_or_else(|| wrong(name))?;
                *field = changed(field.take(), change)?;
            }
            Ok(Value::Object(value))
        }
        (Change::In(_), _) => Err(wrong("a table")),
        (Change::List(steps), Value::Array(items)) => Ok(Value::Array(listed(&items, steps)?)),
        (Change::List(_), _) => Err(wrong("a list")),
    }
}
