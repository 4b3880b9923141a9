//! The printed plan: a note by day and round, as a foreman would leave it on the bench.
//!
//! Invariant: every round and every operation outside a round is on the sheet once; what is over already
//! is counted, not repeated.

use super::STANDING_LINE;
use super::caution_list;
use super::day::{closing, in_short, opening, shifts_on};
use super::names::Names;
use super::paper::{JOIN, Paper, Sheet, clean};
use super::round::{View, measure, sentence};
use super::stretch::title_alone;
use super::times::{day, full_day, span};
use crate::dayplan::Plan;
use crate::dayplan::chain::{self, chain};
use crate::dayplan::document::{BalanceLine, BecauseKind, Operation, Round, SectionReady, Severity, Stamp, State};
use crate::job::Job;
use crate::units::Span;
use chrono::NaiveDate;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

/// So many rounds of the chain that sets the end stand on the sheet; `--why` has them all.
const LAST_STAGES: usize = 4;
/// Column of the text beside the times.
const MARGIN: usize = 13;

/// What stands on the sheet under a day, in order of time.
enum Entry<'a> {
    Round(&'a Round),
    Alone(&'a Operation),
    Ready(&'a SectionReady),
}

impl Entry<'_> {
    fn at(&self) -> Stamp {
        match self {
            Self::Round(round) => round.start,
            Self::Alone(operation) => operation.start,
            Self::Ready(section) => section.ready,
        }
    }
}

/// The plan on paper.
pub fn plan_text(plan: &Plan, job: &Job, paper: Paper) -> String {
    let view = View::of(plan, Names::of(job));
    let mut sheet = Sheet::new(paper);
    top(&mut sheet, &view);
    days(&mut sheet, &view);
    end(&mut sheet, &view);
    balance(&mut sheet, &view);
    caution_list::cautions(&mut sheet, &view.names, &plan.cautions);
    if plan.cautions.is_empty() {
        sheet.blank();
        sheet.line(STANDING_LINE);
    }
    sheet.finish()
}

fn top(sheet: &mut Sheet, view: &View<'_>) {
    let plan = view.plan;
    sheet.heading(&clean(&plan.job));
    let pieces = plan.pieces.len();
    let hands: f64 = plan.operations.iter().map(|operation| operation.hands_minutes).sum();
    let done = plan
        .operations
        .iter()
        .filter(|operation| matches!(operation.state, State::Done))
        .count();
    let mut line = format!(
        "{pieces} pieces, {} rounds, {} of hands. Starts {}; ready to glue {}.",
        plan.rounds.len(),
        working_hours(hands),
        when_dated(plan.starts),
        when_dated(plan.ready)
    );
    if let Some(finished) = plan.finished {
        _ = write!(line, " All done, last wax too, {}.", when_dated(finished));
    }
    sheet.line(&line);
    if done > 0 {
        sheet.line(&format!(
            "Done already: {done} of {} operations.",
            plan.operations.len()
        ));
    }
    let rows: Vec<Vec<String>> = plan
        .sections
        .iter()
        .map(|section| vec![view.names.section(&section.id), section_line(section)])
        .collect();
    if rows.len() > 1 || plan.sections.iter().any(|section| section.due.is_some()) {
        sheet.table(2, &rows);
    }
    let stops = plan
        .cautions
        .iter()
        .filter(|caution| caution.severity == Severity::Stop)
        .count();
    if stops > 0 {
        sheet.line(&format!(
            "STOP: {stops} under Cautions below must be settled before work begins."
        ));
    }
}

/// Hands' minutes in hours, since a working day is no day of 24.
fn working_hours(minutes: f64) -> String {
    if minutes < 120.0 {
        Span(minutes.round() as i64).to_string()
    } else {
        format!("{:.0}{JOIN}h", minutes / 60.0)
    }
}

pub(super) fn when_dated(at: Stamp) -> String {
    format!("{}{JOIN}{}", day(at.date_naive()), super::times::clock(at))
}

fn section_line(section: &SectionReady) -> String {
    let ready = format!("ready to glue {}", when_dated(section.ready));
    match section.due {
        None => ready,
        Some(due) => {
            let spare = due.signed_duration_since(section.ready).num_minutes();
            let wanted = when_dated(due);
            if spare < 0 {
                format!("{ready}, LATE by {}: wanted {wanted}", Span(-spare))
            } else {
                format!("{ready}, wanted {wanted}, {} in hand", Span(spare))
            }
        }
    }
}

fn days(sheet: &mut Sheet, view: &View<'_>) {
    let mut entries: Vec<Entry<'_>> = Vec::new();
    for round in &view.plan.rounds {
        let over = view
            .of_round(round)
            .iter()
            .all(|operation| matches!(operation.state, State::Done | State::Skipped));
        if !over || round.operations.is_empty() {
            entries.push(Entry::Round(round));
        }
    }
    let in_rounds: BTreeSet<&str> = view
        .plan
        .rounds
        .iter()
        .flat_map(|round| round.operations.iter().map(String::as_str))
        .collect();
    let alone = view
        .plan
        .operations
        .iter()
        .filter(|operation| !in_rounds.contains(operation.id.as_str()));
    entries.extend(
        alone
            .filter(|operation| !matches!(operation.state, State::Done | State::Skipped))
            .map(Entry::Alone),
    );
    entries.extend(
        view.plan
            .sections
            .iter()
            .filter(|section| section.ready >= view.plan.now)
            .map(Entry::Ready),
    );
    let mut by_day: BTreeMap<NaiveDate, Vec<Entry<'_>>> = BTreeMap::new();
    for entry in entries {
        by_day.entry(entry.at().date_naive()).or_default().push(entry);
    }
    let mut said = BTreeSet::new();
    let mut before: Option<NaiveDate> = None;
    for (date, mut entries) in by_day {
        entries.sort_by_key(Entry::at);
        sheet.blank();
        if let Some(idle) = before.and_then(|before| idle(before, date)) {
            sheet.line(&idle);
            sheet.blank();
        }
        before = Some(date);
        sheet.heading(&full_day(date));
        for line in opening(view, date) {
            sheet.line(&line);
        }
        if let Some(line) = in_short(view, date) {
            sheet.line(&line);
        }
        let works = entries.iter().any(|entry| !matches!(entry, Entry::Ready(_)));
        let mut free_from: Option<Stamp> = shifts_on(view, date).first().map(|shift| shift.0);
        for entry in &entries {
            sheet.blank();
            write_entry(sheet, view, entry, free_from, &mut said);
            match entry {
                Entry::Round(round) => free_from = free_from.max(Some(round.end)),
                Entry::Alone(operation) => free_from = free_from.max(Some(operation.end)),
                Entry::Ready(_) => {}
            }
        }
        if works {
            let closing = closing(view, date);
            if !closing.is_empty() {
                sheet.blank();
                for (index, line) in closing.iter().enumerate() {
                    sheet.hanging(if index == 0 { "Day's end" } else { "" }, MARGIN, line);
                }
            }
        }
    }
}

/// `Sat 5 and Sun 6 Dec: no hands; films dry.`
fn idle(before: NaiveDate, date: NaiveDate) -> Option<String> {
    let first = before.succ_opt()?;
    let last = date.pred_opt()?;
    match last.signed_duration_since(first).num_days() {
        ..=-1 => None,
        0 => Some(format!("{}: nothing for hands to do.", day(first))),
        _ => Some(format!("{} to {}: nothing for hands to do.", day(first), day(last))),
    }
}

fn write_entry<'a>(
    sheet: &mut Sheet,
    view: &View<'a>,
    entry: &Entry<'a>,
    free_from: Option<Stamp>,
    said: &mut BTreeSet<&'a str>,
) {
    let crew = view.plan.hands.len();
    match entry {
        Entry::Round(round) => {
            let operations = view.of_round(round);
            let measure = measure(&operations, &round.hands, crew);
            let title = format!("{}: {measure} ({})", view.title(round), clean(&round.id));
            sheet.hanging(&span(round.start, round.end), MARGIN, &title);
            for line in view.body(round, said) {
                sheet.indented(MARGIN, &line);
            }
            // hands stand idle before this round: say what they wait for
            let first = operations
                .first()
                .filter(|operation| free_from.is_some_and(|free| operation.start > free));
            if let Some(reason) = first.and_then(|operation| reason(operation)) {
                sheet.indented(MARGIN, &sentence(&format!("Not earlier: {reason}")));
            }
        }
        Entry::Alone(operation) => {
            let title = title_alone(view, operation);
            let title = format!("{title}: {}", measure(&[operation], &operation.hands, crew));
            sheet.hanging(&span(operation.start, operation.end), MARGIN, &title);
            let objects = view.objects(&[operation]);
            if !objects.is_empty() {
                sheet.indented(MARGIN, &sentence(&objects));
            }
        }
        Entry::Ready(section) => {
            let name = view.names.section(&section.id);
            let text = format!("READY TO GLUE: {name}. Every part hard dry, joints bare.");
            sheet.hanging(&super::times::clock(section.ready), MARGIN, &text);
        }
    }
}

/// Why an operation is not earlier, where that says more than "the hands were busy".
fn reason(operation: &Operation) -> Option<String> {
    match operation.because.kind {
        BecauseKind::Hands | BecauseKind::Hours | BecauseKind::Fact => None,
        _ => Some(clean(&operation.because.text)),
    }
}

/// Why the end is where it is, and how far it could come forward at best.
fn end(sheet: &mut Sheet, view: &View<'_>) {
    let plan = view.plan;
    sheet.blank();
    sheet.heading("Why it ends when it does");
    let over = plan.ready.signed_duration_since(plan.bound).num_minutes();
    let ready = when_dated(plan.ready);
    if over <= 0 {
        sheet.line(&format!(
            "Everything is ready to glue {ready}. No plan for this job can be ready sooner."
        ));
    } else {
        sheet.line(&format!(
            "Everything is ready to glue {ready}. No plan can be ready before {}; between the two lie {} ({:.0}{JOIN}%).",
            when_dated(plan.bound),
            Span(over),
            plan.gap_percent
        ));
    }
    let links = chain(plan);
    let stages = chain::stages(&links);
    let shown = stages.len().saturating_sub(LAST_STAGES);
    if let Some(last) = stages.get(shown..).filter(|last| !last.is_empty()) {
        sheet.line("What leads up to it, the last of it:");
        super::why::stages(sheet, view, last);
    }
}

fn balance(sheet: &mut Sheet, view: &View<'_>) {
    if view.plan.balance.is_empty() {
        return;
    }
    sheet.blank();
    sheet.heading("Equal coats on wide solid panels");
    // panels that read the same are one line
    let mut lines: Vec<(String, Vec<&str>)> = Vec::new();
    for line in &view.plan.balance {
        let words = balance_words(line);
        match lines.iter_mut().find(|(known, _)| *known == words) {
            Some((_, pieces)) => pieces.push(&line.piece),
            None => lines.push((words, vec![&line.piece])),
        }
    }
    for (words, pieces) in lines {
        sheet.hanging("", 0, &sentence(&format!("{}: {words}", view.names.in_words(pieces))));
    }
}

fn balance_words(line: &BalanceLine) -> String {
    let counts = format!("{} coats on the face, {} on the back", line.coats_face, line.coats_back);
    let apart = format!(
        "unequal for {} on the way",
        Span((line.hours_apart * 60.0).round() as i64)
    );
    match (&line.accepted, line.ok) {
        (_, true) if line.hours_apart > 0.0 => format!("{counts}; {apart}"),
        (_, true) => format!("{counts}, never unequal"),
        (Some(reason), false) => format!("{counts}; accepted: {}", clean(reason)),
        (None, false) => format!("{counts}: NOT EQUAL"),
    }
}

#[cfg(test)]
mod tests {
    use super::super::sample;
    use super::*;
    use crate::finish::StepKind;

    #[test]
    fn eighty_columns() {
        insta::assert_snapshot!(plan_text(&sample::plan(), &sample::job(), Paper::default()));
    }

    #[test]
    fn narrow_and_plain() {
        let text = plan_text(&sample::plan(), &sample::job(), Paper { width: 48, ascii: true });
        assert!(text.is_ascii());
        assert!(text.lines().all(|line| line.len() <= 48), "{text}");
        insta::assert_snapshot!(text);
    }

    #[test]
    fn every_round_is_on_the_sheet_until_it_is_over() {
        let mut plan = sample::plan();
        let job = sample::job();
        let titles = |text: &str| {
            text.lines()
                .filter(|line| line.contains("Coat 1 of 2, brushing"))
                .count()
        };
        assert_eq!(titles(&plan_text(&plan, &job, Paper::default())), 2);
        for operation in &mut plan.operations {
            if operation.round.as_deref() == Some("r2") {
                operation.state = State::Done;
            }
        }
        let text = plan_text(&plan, &job, Paper::default());
        assert_eq!(titles(&text), 1, "{text}");
        assert!(text.contains("Done already: 3 of 11 operations."), "{text}");
    }

    #[test]
    fn a_wait_that_is_no_film_drying_is_said() {
        let mut plan = sample::plan();
        assert!(!plan_text(&plan, &sample::job(), Paper::default()).contains("Then leave them"));
        for operation in &mut plan.operations {
            if operation.round.as_deref() == Some("r1") {
                operation.step = StepKind::RaiseGrain;
            }
        }
        let text = plan_text(&plan, &sample::job(), Paper::default());
        assert!(
            text.contains("Then leave them at least 45 min before the next coat."),
            "{text}"
        );
    }

    #[test]
    fn names_cannot_steer_the_terminal() {
        let mut job = sample::job();
        job.parts[0].name = "leg\u{1b}[31m\u{7}".to_owned();
        let mut plan = sample::plan();
        plan.job = "Hall\u{1b}]0;table\u{7}".to_owned();
        plan.cautions[0].text = "a\u{9b}2Jb".to_owned();
        let text = plan_text(&plan, &job, Paper::default());
        assert!(
            text.chars().all(|letter| letter == '\n' || !letter.is_control()),
            "{text:?}"
        );
    }

    #[test]
    fn late_sections_and_stops_are_said_at_the_top() {
        let mut plan = sample::plan();
        plan.sections[0].due = Some(sample::stamp("2026-12-02T12:00:00Z"));
        plan.cautions[0].severity = Severity::Stop;
        let text = plan_text(&plan, &sample::job(), Paper::default());
        assert!(text.contains("LATE by 2 h 20: wanted Wed 2 Dec 12:00"), "{text}");
        assert!(text.contains("STOP: 1 under Cautions"), "{text}");
    }
}
