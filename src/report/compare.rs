//! The same job several ways, side by side.
//!
//! Invariant: a figure that could not be computed is absent, never nought; the ways stand in the order they were
//! asked for, and one that has no plan says why.

use super::STANDING_LINE;
use super::paper::{JOIN, Paper, Sheet, clean};
use super::times::{clock, day};
use super::volumes;
use crate::air;
use crate::dayplan::Plan;
use crate::dayplan::document::{Severity, Stamp};
use crate::job::{Job, ShownIn};
use crate::stores;
use crate::units::Span;
use serde::Serialize;
use std::collections::BTreeSet;
use std::fmt::Write as _;

/// What one way of doing the job comes to.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Outcome {
    /// The first start.
    pub starts: Stamp,
    /// Everything ready to glue.
    pub ready: Stamp,
    /// All done, the work on assemblies too; `null` where there is none.
    pub finished: Option<Stamp>,
    /// From the first start until ready to glue, minutes by the clock.
    pub elapsed_minutes: f64,
    /// Minutes of hands.
    pub hands_minutes: f64,
    /// Rounds.
    pub rounds: usize,
    /// Days on which somebody has to be there.
    pub days_with_work: usize,
    /// mL out of the tins; `null` where no product's volume is known.
    pub out_of_tins_ml: Option<f64>,
    /// What the tins for it cost, in the job's money; `null` where not all of them are priced.
    pub cost: Option<f64>,
    /// Solvent given off, g; `null` where none could be computed.
    pub solvent_g: Option<f64>,
    /// Highest share of the lower explosive limit, %; `null` where the job does not give the room.
    pub peak_percent_lel: Option<f64>,
    /// When.
    pub peak_at: Option<Stamp>,
    /// Cautions that must be settled before work begins, by code.
    pub stops: Vec<String>,
    /// Warnings, by code.
    pub warnings: Vec<String>,
    /// 100 · (ready − bound) / (bound − starts): how far the plan could be from the best there is.
    pub gap_percent: f64,
}

/// One way of doing the job.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Way {
    /// What is otherwise.
    pub name: String,
    /// What it comes to; `null` where there is no plan.
    pub outcome: Option<Outcome>,
    /// Why there is no plan.
    pub refused: Option<String>,
}

impl Outcome {
    /// Reads a plan.
    pub fn of(job: &Job, plan: &Plan) -> Self {
        let air = air::with(job, plan, &air::Settings::of(job));
        let stores = stores::of_shelf(job, plan, None);
        let volumes: Vec<f64> = stores
            .products
            .iter()
            .filter_map(|product| product.needed_ml.map(|[_, reckoned, _]| reckoned))
            .collect();
        let worked = plan.operations.iter().filter(|operation| operation.hands_minutes > 0.0);
        let days: BTreeSet<_> = worked.map(|operation| operation.start.date_naive()).collect();
        let with = |severity| {
            let codes: BTreeSet<&str> = plan
                .cautions
                .iter()
                .filter(|caution| caution.severity == severity)
                .map(|caution| caution.code.as_ref())
                .collect();
            codes.into_iter().map(ToOwned::to_owned).collect()
        };
        let grams = air.as_ref().map(|air| air.substances.iter().map(|one| one.grams).sum());
        Self {
            starts: plan.starts,
            ready: plan.ready,
            finished: plan.finished,
            elapsed_minutes: minutes(plan.starts, plan.ready),
            hands_minutes: plan.operations.iter().map(|operation| operation.hands_minutes).sum(),
            rounds: plan.rounds.len(),
            days_with_work: days.len(),
            out_of_tins_ml: (!volumes.is_empty()).then(|| volumes.iter().sum()),
            cost: stores.cost,
            solvent_g: grams,
            peak_percent_lel: air.as_ref().map(|air| air.peak_percent_lel),
            peak_at: air.as_ref().and_then(|air| air.peak_at),
            stops: with(Severity::Stop),
            warnings: with(Severity::Warning),
            gap_percent: plan.gap_percent,
        }
    }
}

fn minutes(from: Stamp, until: Stamp) -> f64 {
    until.signed_duration_since(from).num_seconds() as f64 / 60.0
}

/// The ways side by side, on paper.
pub fn comparison(job: &Job, ways: &[Way], paper: Paper) -> String {
    let mut sheet = Sheet::new(paper);
    sheet.heading(&format!("{}, {} ways", clean(&job.title), ways.len()));
    let letters: Vec<String> = (0..ways.len()).map(letter).collect();
    let legend = letters.iter().zip(ways);
    let legend: Vec<Vec<String>> = legend
        .map(|(letter, way)| vec![letter.clone(), clean(&way.name)])
        .collect();
    sheet.table(0, &legend);
    sheet.blank();
    let mut rows = vec![HEAD.map(str::to_owned).to_vec()];
    rows.extend(
        letters
            .into_iter()
            .zip(ways)
            .map(|(letter, way)| row(letter, way, job.shown_in)),
    );
    let cost = |way: &Way| way.outcome.as_ref().and_then(|outcome| outcome.cost);
    if let Some(money) = job
        .shelf
        .money
        .as_ref()
        .filter(|_| ways.iter().any(|way| cost(way).is_some()))
    {
        for (row, way) in rows.iter_mut().zip(std::iter::once(None).chain(ways.iter().map(Some))) {
            let cell = match way {
                None => clean(money),
                Some(way) => cost(way).map_or_else(|| "–".to_owned(), |cost| format!("{cost:.0}")),
            };
            if way.is_none_or(|way| way.outcome.is_some()) {
                row.push(cell);
            }
        }
    }
    sheet.table(0, &rows);
    sheet.blank();
    best(&mut sheet, ways);
    notes(&mut sheet, ways);
    sheet.blank();
    sheet.line(&format!(
        "Tins: {} out of the tin, waste in it. Solvent: all that is given off. Air: the highest share of the lower \
         explosive limit in a well-mixed room; close to wet work it is richer.",
        if job.shown_in.us_volume { "US quarts" } else { "litres" }
    ));
    sheet.blank();
    sheet.line(STANDING_LINE);
    sheet.finish()
}

const HEAD: [&str; 7] = ["", "ready to glue", "days", "hands", "tins", "solvent", "air"];

/// What a way is called in the table: A, B, C ... and numbers beyond Z.
fn letter(at: usize) -> String {
    u8::try_from(at)
        .ok()
        .filter(|at| *at < 26)
        .map_or_else(|| (at + 1).to_string(), |at| char::from(b'A' + at).to_string())
}

fn row(letter: String, way: &Way, shown: ShownIn) -> Vec<String> {
    let Some(outcome) = &way.outcome else {
        return vec![letter, "no plan".to_owned()];
    };
    let or_dash = |value: Option<String>| value.unwrap_or_else(|| "–".to_owned());
    vec![
        letter,
        format!("{} {}", day(outcome.ready.date_naive()), clock(outcome.ready)),
        format!("{:.1}", outcome.elapsed_minutes / 1440.0),
        format!("{:.0}{JOIN}h", outcome.hands_minutes / 60.0),
        or_dash(outcome.out_of_tins_ml.map(|volume| volumes::by_the_tin(volume, shown))),
        or_dash(outcome.solvent_g.map(mass)),
        or_dash(outcome.peak_percent_lel.map(|peak| format!("{peak:.1}{JOIN}%"))),
    ]
}

fn mass(grams: f64) -> String {
    if grams < 1000.0 {
        format!("{grams:.0}{JOIN}g")
    } else {
        format!("{:.1}{JOIN}kg", grams / 1000.0)
    }
}

/// Which is ready first and which takes the fewest hands.
fn best(sheet: &mut Sheet, ways: &[Way]) {
    let planned: Vec<(&Way, &Outcome)> = ways
        .iter()
        .filter_map(|way| way.outcome.as_ref().map(|outcome| (way, outcome)))
        .collect();
    if planned.len() < 2 {
        return;
    }
    let soonest = planned.iter().min_by_key(|(_, outcome)| outcome.ready);
    let lightest = planned
        .iter()
        .min_by(|one, other| one.1.hands_minutes.total_cmp(&other.1.hands_minutes));
    let (Some((soonest, ready)), Some((lightest, hands)), Some((first, as_first))) =
        (soonest, lightest, planned.first())
    else {
        return;
    };
    let mut line = format!("Ready first: {}", clean(&soonest.name));
    if soonest.name != first.name {
        let sooner = Span(minutes(ready.ready, as_first.ready).round() as i64);
        _ = write!(line, ", {sooner} before {}", clean(&first.name));
    }
    _ = write!(line, ". Fewest hands: {}", clean(&lightest.name));
    if lightest.name != first.name {
        let fewer = Span((as_first.hands_minutes - hands.hands_minutes).round() as i64);
        _ = write!(line, ", {fewer} less than {}", clean(&first.name));
    }
    line.push('.');
    sheet.line(&line);
}

/// What stands against a way: no plan, stops, warnings the first way has not.
fn notes(sheet: &mut Sheet, ways: &[Way]) {
    let known: BTreeSet<&str> = ways
        .first()
        .and_then(|way| way.outcome.as_ref())
        .map(|outcome| outcome.warnings.iter().map(String::as_str).collect())
        .unwrap_or_default();
    let mut rows = Vec::new();
    for (at, way) in ways.iter().enumerate() {
        let mut said = Vec::new();
        if let Some(refused) = &way.refused {
            said.push(clean(refused));
        }
        if let Some(outcome) = &way.outcome {
            if !outcome.stops.is_empty() {
                said.push(format!("STOP: {}", outcome.stops.join(", ")));
            }
            let more: Vec<&str> = outcome
                .warnings
                .iter()
                .map(String::as_str)
                .filter(|code| at == 0 || !known.contains(code))
                .collect();
            if !more.is_empty() {
                let lead = if at == 0 { "warnings" } else { "more warnings" };
                said.push(format!("{lead}: {}", more.join(", ")));
            }
        }
        if !said.is_empty() {
            rows.push(vec![clean(&way.name), said.join("; ")]);
        }
    }
    if !rows.is_empty() {
        sheet.blank();
        sheet.table(0, &rows);
        sheet.line("`denib plan` of a job written that way says each in full.");
    }
}

/// The ways as a document, schema 1, with a line feed at the end.
pub fn comparison_json(job: &Job, ways: &[Way]) -> Result<String, serde_json::Error> {
    let document = serde_json::json!({ "schema": 1, "job": job.title, "ways": ways });
    let mut text = serde_json::to_string_pretty(&document)?;
    text.push('\n');
    Ok(text)
}
