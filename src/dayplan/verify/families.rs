//! Change-overs: setting up for a family of products and cleaning out after it.
//!
//! Invariant: judged person by person, along the operations that name a family; brushes and rags of wet work
//! are never left overnight (common practice, no source; rags of oils can heat themselves).

use super::rule::{Breaches, Rule};
use super::sheet::{Op, Sheet};
use crate::finish::StepKind;
use crate::job::rates;
use crate::units::Moment;
use std::collections::BTreeSet;

pub(super) fn check(sheet: &Sheet<'_>, found: &mut Breaches) {
    let products = sheet.job.schedules.values().flat_map(|schedule| &schedule.products);
    let wet: BTreeSet<&str> = products.map(|product| product.family.as_str()).collect();
    family_said(sheet, found);
    stated(sheet, &wet, found);
    for hand in &sheet.job.hands {
        let mine = |op: &&Op<'_>| op.hands.contains(&hand.name);
        let ops: Vec<&Op<'_>> = sheet.ops.iter().filter(mine).collect();
        one_person(sheet, &hand.name, &ops, &wet, found);
    }
}

fn is_set_up(op: &Op<'_>) -> bool {
    matches!(op.step, StepKind::ChangeOver | StepKind::CleanUp | StepKind::Mix)
}

/// A coat is of its product's family.
fn family_said(sheet: &Sheet<'_>, found: &mut Breaches) {
    for op in sheet.ops.iter().filter(|op| op.lays_film()) {
        let family = sheet.product(op).map(|product| product.family.as_str());
        if family.is_some() && op.family.as_deref() != family {
            let text = format!(
                "{} belongs to {}; the plan says {}",
                op.id,
                family.unwrap_or_default(),
                op.line().family.as_deref().unwrap_or("none")
            );
            found.by(Rule::ChangeOver, &[op], text);
        }
    }
}

/// Stated change-overs are not shorter than the job's own rates for setting up and cleaning out.
fn stated(sheet: &Sheet<'_>, wet: &BTreeSet<&str>, found: &mut Breaches) {
    let (open, close) = (sheet.job.rate(rates::OPEN), sheet.job.rate(rates::CLOSE));
    for line in &sheet.plan.changeovers {
        let least = if wet.contains(line.from.as_str()) { close } else { 0.0 }
            + if wet.contains(line.to.as_str()) { open } else { 0.0 };
        if line.from != line.to && f64::from(line.minutes) < least - 1.0 {
            let text = format!(
                "from {} to {} in {} min; the job's rates say {least:.0} min",
                line.from, line.to, line.minutes
            );
            found.document(Rule::ChangeOver, text);
        }
    }
}

fn one_person(sheet: &Sheet<'_>, name: &str, ops: &[&Op<'_>], wet: &BTreeSet<&str>, found: &mut Breaches) {
    let work: Vec<&Op<'_>> = ops
        .iter()
        .filter(|op| op.family.is_some() && !is_set_up(op))
        .copied()
        .collect();
    let is_wet = |op: &Op<'_>| op.family.as_deref().is_some_and(|family| wet.contains(family));
    let set_up = |from: Option<&Op<'_>>, until: Option<&Op<'_>>| -> Vec<&Op<'_>> {
        // in order of start
        let first = from.map_or(0, |from| ops.partition_point(|op| op.from < from.until));
        let soon = ops
            .iter()
            .skip(first)
            .take_while(|op| until.is_none_or(|until| op.from <= until.from));
        let before = |op: &&&Op<'_>| until.is_none_or(|until| op.until <= until.from);
        soon.filter(|op| is_set_up(op)).filter(before).copied().collect()
    };
    let minutes = |ops: &[&Op<'_>], step: Option<StepKind>| -> f64 {
        let counted = ops.iter().filter(|op| step.is_none_or(|step| op.step == step));
        counted.map(|op| (op.until - op.from).0 as f64).sum()
    };
    let (open, close) = (sheet.job.rate(rates::OPEN), sheet.job.rate(rates::CLOSE));
    if let Some(first) = work.first().filter(|op| is_wet(op)) {
        let opened = set_up(None, Some(first));
        if minutes(&opened, Some(StepKind::ChangeOver)) < open - 1.0 {
            found.by(
                Rule::ChangeOver,
                &[first],
                format!("{name} starts {} without {open:.0} min to set up", first.id),
            );
        }
    }
    let day = |at: Moment| at.in_zone(sheet.job.zone).date_naive();
    for (index, op) in work.iter().enumerate().filter(|(_, op)| is_wet(op)) {
        let next = work.get(index + 1).copied();
        if next.is_some_and(|next| day(next.from) == day(op.until)) {
            continue;
        }
        // the last of the day: brushes and rags are seen to before anybody leaves
        let mut closed = set_up(Some(op), next);
        closed.retain(|close| day(close.from) == day(op.until));
        if minutes(&closed, Some(StepKind::CleanUp)) < close - 1.0 {
            let text = format!("{name} leaves {} without {close:.0} min to clean out that day", op.id);
            found.by(Rule::ChangeOver, &[op], text);
        }
    }
    for (before, after) in work.iter().zip(work.iter().skip(1)) {
        let between = set_up(Some(before), Some(after));
        if before.family == after.family {
            if is_wet(before) && !laid_by(sheet, (before, after)) {
                let taken = minutes(&between, None);
                if taken < open + close - 1.0 {
                    let text = format!(
                        "{name} leaves brushes and rags of {} lying until {}; cleaning out and setting up take {:.0} min",
                        before.id,
                        sheet.clock(after.from),
                        open + close
                    );
                    found.by(Rule::ChangeOver, &[after, before], text);
                }
            }
            continue;
        }
        let line = sheet
            .plan
            .changeovers
            .iter()
            .find(|line| Some(&line.from) == before.family.as_ref() && Some(&line.to) == after.family.as_ref());
        let least = match line {
            Some(line) => f64::from(line.minutes),
            None if is_wet(before) && is_wet(after) => {
                let text = format!(
                    "no change-over is stated between the families of {} and {}",
                    before.id, after.id
                );
                found.by(Rule::ChangeOver, &[after, before], text);
                continue;
            }
            None => 0.0,
        };
        let taken = minutes(&between, None);
        if taken < least - 0.5 {
            let text = format!(
                "{name} changes over from {} to {} in {taken:.0} min; it takes {least:.0}",
                before.id, after.id
            );
            found.by(Rule::ChangeOver, &[after, before], text);
        }
    }
}

/// Whether a wet brush may lie wrapped from one operation to the next: not for longer than the job says, and
/// never overnight.
fn laid_by(sheet: &Sheet<'_>, (before, after): (&Op<'_>, &Op<'_>)) -> bool {
    let day = |at: Moment| at.in_zone(sheet.job.zone).date_naive();
    let idle = (after.from - before.until).0 as f64;
    idle <= sheet.job.rate(rates::KEEPS) && day(before.until) == day(after.from)
}
