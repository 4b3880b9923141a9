//! The wall sheet: the plan on paper, to be pinned up and ticked with a pencil (one HTML file, nothing loaded from
//! elsewhere).
//!
//! Invariant: every round that is not over stands on it once with a box to tick; every piece has a box for each
//! coat due on each of its surfaces, filled where the coat is on; text is escaped by the library.

use super::STANDING_LINE;
use super::names::Names;
use super::paper::{JOIN, clean};
use super::stretch::{Kind, Stretch, stretches};
use super::times::{clock, day, full_day, span};
use super::words;
use crate::dayplan::Plan;
use crate::dayplan::document::{Severity, Stamp, State};
use crate::finish::StepKind;
use crate::job::Job;
use chrono::NaiveDate;
use maud::{DOCTYPE, Markup, PreEscaped, html};
use std::collections::BTreeMap;

/// What the sheet looks like: black on white, nothing said by colour alone.
const STYLE: &str = "
@page { size: A4; margin: 14mm 12mm; }
* { box-sizing: border-box; }
body { font: 11pt/1.35 Georgia, 'Times New Roman', serif; color: #000; background: #fff; max-width: 186mm; margin: 8mm auto; }
h1 { font-size: 21pt; margin: 0 0 1mm; }
h2 { font-size: 15pt; margin: 7mm 0 1mm; border-bottom: 0.6mm solid #000; break-after: avoid; }
p { margin: 1mm 0; }
.air { font-style: italic; }
table { border-collapse: collapse; width: 100%; }
td, th { text-align: left; vertical-align: top; padding: 1.1mm 2mm 1.1mm 0; border-bottom: 0.15mm solid #777; }
tr { break-inside: avoid; }
td.time { white-space: nowrap; width: 27mm; font-variant-numeric: tabular-nums; }
td.box { width: 8mm; }
.tick { display: inline-block; width: 4.2mm; height: 4.2mm; border: 0.35mm solid #000; margin-right: 1.2mm; vertical-align: -0.6mm; }
.on { background: #000; print-color-adjust: exact; -webkit-print-color-adjust: exact; }
.what { font-weight: bold; }
.small { font-size: 9.5pt; }
.ready { border: 0.5mm solid #000; padding: 0.5mm 2mm; font-weight: bold; }
.stop { border: 0.8mm solid #000; padding: 2mm 3mm; margin: 3mm 0; }
ul { margin: 1mm 0 1mm 5mm; padding: 0; }
footer { margin-top: 6mm; border-top: 0.6mm solid #000; padding-top: 1mm; }
";

/// The wall sheet of a plan.
pub fn wall_sheet(plan: &Plan, job: &Job) -> String {
    let title = clean(&job.title);
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width";
                title { (title) }
                style { (PreEscaped(STYLE)) }
            }
            body {
                h1 { (title) }
                (head(plan, job))
                (stops(plan))
                @for (date, work) in by_day(plan, job) { (one_day(date, &work)) }
                (pieces(plan, job))
                (cautions(plan))
                footer { p { (STANDING_LINE) } p.small { "Planned " (when(plan.now)) ". Times of drying are slow estimates; the tin's label comes first." } }
            }
        }
    };
    page.into_string()
}

fn when(at: Stamp) -> String {
    format!("{} {}", day(at.date_naive()), clock(at)).replace(JOIN, " ")
}

fn head(plan: &Plan, job: &Job) -> Markup {
    let names = Names::of(job);
    html! {
        p {
            (plan.pieces.len()) " pieces, " (plan.rounds.len()) " rounds. Starts " (when(plan.starts))
            "; ready to glue " (when(plan.ready)) "."
            @if let Some(finished) = plan.finished { " All done " (when(finished)) "." }
        }
        @if plan.sections.len() > 1 {
            ul { @for section in &plan.sections { li { (names.section(&section.id)) ": ready to glue " (when(section.ready)) } } }
        }
    }
}

fn stops(plan: &Plan) -> Markup {
    let stops = plan
        .cautions
        .iter()
        .filter(|caution| caution.severity == Severity::Stop);
    html! {
        @for caution in stops {
            div.stop { b { "STOP. " } (clean(&caution.text)) }
        }
    }
}

fn by_day(plan: &Plan, job: &Job) -> BTreeMap<NaiveDate, Vec<Stretch>> {
    let mut days: BTreeMap<NaiveDate, Vec<Stretch>> = BTreeMap::new();
    for stretch in stretches(plan, job) {
        days.entry(stretch.from.date_naive()).or_default().push(stretch);
    }
    days
}

fn one_day(date: NaiveDate, work: &[Stretch]) -> Markup {
    html! {
        h2 { (full_day(date)) }
        table {
            @for stretch in work {
                tr {
                    @match stretch.kind {
                        Kind::Work => {
                            td.time { (span(stretch.from, stretch.until).replace(JOIN, " ")) }
                            td.box { span.tick {} }
                            td {
                                div.what { (stretch.title.replace(JOIN, " ")) }
                                @for line in &stretch.lines { div.small { (line.replace(JOIN, " ")) } }
                            }
                        }
                        Kind::Ready => {
                            td.time { (clock(stretch.from)) }
                            td.box {}
                            td { span.ready { (stretch.title) } }
                        }
                    }
                }
            }
        }
    }
}

/// Every piece with a box a coat for each surface.
fn pieces(plan: &Plan, job: &Job) -> Markup {
    let mut on: BTreeMap<(&str, &str), usize> = BTreeMap::new();
    let coats = plan.operations.iter().filter(|operation| {
        matches!(operation.step, StepKind::Coat | StepKind::Seal) && operation.state == State::Done
    });
    for operation in coats {
        for surface in &operation.surfaces {
            if let Some(piece) = &operation.piece {
                *on.entry((piece, surface)).or_default() += 1;
            }
        }
    }
    let names = Names::of(job);
    html! {
        h2 { "Every piece, coat by coat" }
        table {
            @for piece in &plan.pieces {
                tr {
                    td { div.what { (names.piece(&piece.id).map_or_else(|| clean(&piece.id), |piece| clean(&piece.name))) }
                        @if !piece.joints.is_empty() { div.small { "joints stay bare: " (piece.joints.len()) } }
                    }
                    td.small {
                        @for surface in piece.surfaces.iter().filter(|surface| !surface.due.is_empty()) {
                            div {
                                @let done = on.get(&(piece.id.as_str(), surface.id.as_str())).copied().unwrap_or(0);
                                @for coat in 0..surface.due.len() { span.tick.on[coat < done] {} }
                                " " (clean(&surface.label))
                            }
                        }
                        @if piece.surfaces.iter().all(|surface| surface.due.is_empty()) { "stays bare" }
                    }
                }
            }
        }
    }
}

fn cautions(plan: &Plan) -> Markup {
    html! {
        @if !plan.cautions.is_empty() {
            h2 { "Cautions" }
            ul {
                @for caution in &plan.cautions {
                    li { b { (words::severity(caution.severity)) ": " } (clean(&caution.text))
                        @if let Some(source) = &caution.source { span.small { " (" (clean(source)) ")" } }
                    }
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::sample;
    use super::*;

    #[test]
    fn every_round_and_every_coat_has_its_box() {
        let (plan, job) = (sample::plan(), sample::job());
        let text = wall_sheet(&plan, &job);
        let work = stretches(&plan, &job)
            .iter()
            .filter(|one| one.kind == Kind::Work)
            .count();
        let surfaces = plan.pieces.iter().flat_map(|piece| &piece.surfaces);
        let coats: usize = surfaces.map(|surface| surface.due.len()).sum();
        assert!(work > 0 && coats > 0);
        assert_eq!(text.matches("class=\"tick").count(), work + coats);
    }

    #[test]
    fn a_coat_that_is_on_is_filled() {
        let (mut plan, job) = (sample::plan(), sample::job());
        assert!(!wall_sheet(&plan, &job).contains("tick on"));
        let coat = plan
            .operations
            .iter_mut()
            .find(|one| matches!(one.step, StepKind::Coat | StepKind::Seal));
        let coat = coat.unwrap();
        coat.state = State::Done;
        let surfaces = coat.surfaces.len();
        assert_eq!(wall_sheet(&plan, &job).matches("tick on").count(), surfaces);
    }

    #[test]
    fn nothing_a_maker_writes_becomes_markup() {
        let (plan, mut job) = (sample::plan(), sample::job());
        job.title = "<script>alert(1)</script> & \u{1b}[2J".to_owned();
        let text = wall_sheet(&plan, &job);
        assert!(!text.contains("<script>") && !text.contains('\u{1b}'));
        assert!(text.contains("&lt;script&gt;alert(1)&lt;/script&gt; &amp;"));
        assert!(!text.contains("http"), "nothing is loaded from elsewhere");
    }
}
