//! The standing without a screen: what hands do now, what comes next, what closes, every piece.
//!
//! Invariant: a piece with a wet surface is never listed as one that may be handled.

use super::STANDING_LINE;
use super::names::Names;
use super::paper::{JOIN, Paper, Sheet, clean};
use super::piece_words::{coats, joints, may, spoiled, stage_now, wet};
use super::round::{View, measure};
use super::times::{full_day, when};
use super::words;
use crate::dayplan::Plan;
use crate::dayplan::document::{Operation, Stamp};
use crate::dayplan::dry_fit::is_dry_fit;
use crate::dayplan::sample::is_sign_off;
use crate::finish::StepKind;
use crate::job::{Job, Piece};
use crate::standing::{May, PieceStanding, RoundState, Standing, When};
use crate::units::Moment;
use chrono::NaiveDate;
use std::collections::BTreeSet;

/// How many coming and closing things are listed.
const LISTED: usize = 8;

/// The standing on paper.
pub fn status(standing: &Standing, job: &Job, plan: Option<&Plan>, paper: Paper) -> String {
    let page = Page {
        standing,
        names: Names::of(job),
        now: standing.now.with_offset(job.zone),
    };
    let mut sheet = Sheet::new(paper);
    let today = page.today();
    sheet.heading(&format!(
        "{}: {} {}",
        clean(&job.title),
        full_day(today),
        super::times::clock(page.now)
    ));
    sheet.line(&page.air());
    sheet.blank();
    match plan {
        Some(plan) => page.rounds(&mut sheet, &View::of(plan, page.names.clone())),
        None => sheet.line("No plan is in force yet."),
    }
    page.coming(&mut sheet);
    page.closing(&mut sheet);
    page.pieces(&mut sheet, plan);
    page.may(&mut sheet);
    sheet.blank();
    sheet.line(STANDING_LINE);
    sheet.finish()
}

struct Page<'a> {
    standing: &'a Standing,
    names: Names<'a>,
    now: Stamp,
}

impl<'a> Page<'a> {
    fn today(&self) -> NaiveDate {
        self.now.date_naive()
    }

    fn time(&self, at: Moment) -> String {
        when(at.with_offset(self.names.job().zone), self.today())
    }

    fn estimate(&self, at: When) -> String {
        if at.early == at.late {
            format!("about {}", self.time(at.late))
        } else {
            format!("{}–{}", self.time(at.early), self.time(at.late))
        }
    }

    fn piece(&self, index: usize) -> Option<&'a Piece> {
        self.names.job().pieces.get(index)
    }

    fn air(&self) -> String {
        let shown = self.names.job().shown_in;
        let (celsius, humidity) = self.standing.air;
        if !celsius.is_finite() {
            return "The air of the room is not known for now.".to_owned();
        }
        let (degrees, unit) = if shown.fahrenheit {
            (celsius * 1.8 + 32.0, "°F")
        } else {
            (celsius, "°C")
        };
        format!("Air {degrees:.0}{JOIN}{unit}, {humidity:.0}{JOIN}%.")
    }

    fn rounds(&self, sheet: &mut Sheet, view: &View<'_>) {
        sheet.heading("Now");
        let mut next = Vec::new();
        let current = self.standing.now_round;
        for (index, round) in self.standing.rounds.iter().enumerate() {
            let Some(planned) = view.plan.rounds.get(round.round) else {
                continue;
            };
            let left: Vec<&Operation> = round
                .left
                .iter()
                .filter_map(|&at| view.plan.operations.get(at))
                .collect();
            if matches!(round.state, RoundState::Over) || left.is_empty() {
                continue;
            }
            if Some(index) != current {
                next.push((round, planned, left));
                continue;
            }
            let standing = match round.state {
                RoundState::Late => format!("late: planned {}", when(planned.start, self.today())),
                RoundState::Running => format!("on the bench since {}", when(planned.start, self.today())),
                _ => format!("from {}", when(planned.start, self.today())),
            };
            let title = format!("{} ({}): {}", view.title(planned), clean(&planned.id), standing);
            sheet.line(&title);
            sheet.indented(2, &measure(&left, &planned.hands, view.plan.hands.len()));
            let mut said = BTreeSet::new();
            for line in view.body(planned, &mut said) {
                sheet.indented(2, &line);
            }
            if round.done > 0 {
                sheet.indented(2, &format!("Left: {}.", view.objects(&left)));
            }
        }
        if current.is_none() {
            let over = next.is_empty();
            sheet.line(if over {
                "Nothing left for hands."
            } else {
                "Nothing for hands at the moment."
            });
        }
        if next.is_empty() {
            return;
        }
        sheet.blank();
        sheet.heading("Next");
        let rows: Vec<Vec<String>> = next
            .iter()
            .take(LISTED)
            .map(|(round, planned, left)| {
                let late = if matches!(round.state, RoundState::Late) {
                    "LATE "
                } else {
                    ""
                };
                let what = format!("{late}{}: {}", view.title(planned), view.objects(left));
                vec![when(planned.start, self.today()), clean(&planned.id), what]
            })
            .collect();
        sheet.table(0, &rows);
        if next.len() > LISTED {
            sheet.line(&format!("and {} rounds more.", next.len() - LISTED));
        }
    }

    fn coming(&self, sheet: &mut Sheet) {
        if self.standing.coming.is_empty() {
            return;
        }
        sheet.blank();
        sheet.heading("Comes ready");
        // pieces that reach the same stage at the same time are one line
        let mut rows: Vec<(String, String, Vec<&str>)> = Vec::new();
        for (piece, stage, at) in &self.standing.coming {
            let Some(piece) = self.piece(*piece) else { continue };
            let (time, stage) = (self.estimate(*at), words::stage(*stage).to_owned());
            match rows
                .iter_mut()
                .find(|(known, what, _)| *known == time && *what == stage)
            {
                Some((_, _, pieces)) => pieces.push(&piece.id),
                None => rows.push((time, stage, vec![&piece.id])),
            }
        }
        let more = rows.len().saturating_sub(LISTED);
        let rows: Vec<Vec<String>> = rows
            .into_iter()
            .take(LISTED)
            .map(|(time, stage, pieces)| vec![time, format!("{stage}: {}", self.names.in_words(pieces))])
            .collect();
        sheet.table(0, &rows);
        if more > 0 {
            sheet.line(&format!("and {more} more."));
        }
    }

    fn closing(&self, sheet: &mut Sheet) {
        if self.standing.closing.is_empty() {
            return;
        }
        sheet.blank();
        sheet.heading("Closes");
        let rows: Vec<Vec<String>> = self
            .standing
            .closing
            .iter()
            .take(LISTED)
            .filter_map(|closing| {
                let piece = self.piece(closing.piece)?;
                Some(vec![
                    self.time(closing.at),
                    format!("{}: {}", clean(&piece.name), clean(&closing.what)),
                ])
            })
            .collect();
        sheet.table(0, &rows);
        let more = self.standing.closing.len().saturating_sub(LISTED);
        if more > 0 {
            sheet.line(&format!("and {more} more."));
        }
    }

    fn pieces(&self, sheet: &mut Sheet, plan: Option<&Plan>) {
        sheet.blank();
        sheet.heading("Every piece");
        let head = ["piece", "coats", "film", "joints", "may handle", "next"];
        let mut rows = vec![head.iter().map(|&word| word.to_owned()).collect()];
        rows.extend(self.standing.pieces.iter().filter_map(|standing| {
            let piece = self.piece(standing.piece)?;
            let next = standing.next.and_then(|index| plan?.operations.get(index));
            Some(vec![
                clean(&piece.name),
                coats(standing),
                stage_now(standing),
                joints(piece, standing).to_owned(),
                self.verdict(standing),
                next.map_or_else(String::new, |operation| self.next(operation)),
            ])
        }));
        sheet.table(0, &rows);
        self.counted(sheet);
        for standing in &self.standing.pieces {
            if let (Some(piece), Some(since)) = (self.piece(standing.piece), standing.unequal_since) {
                let name = clean(&piece.name);
                sheet.line(&format!(
                    "{name}: its two faces have stood unequal since {}.",
                    self.time(since)
                ));
            }
        }
    }

    /// What of the waits under way counts: pieces with the same wait on one line.
    fn counted(&self, sheet: &mut Sheet) {
        let mut waits: Vec<(String, Vec<&str>)> = Vec::new();
        for standing in &self.standing.pieces {
            let films = standing.surfaces.iter().filter_map(|surface| surface.film.as_ref());
            // the film that is longest about it speaks for the piece
            let waiting = films.filter_map(|film| film.next.zip(film.counted));
            let Some(((stage, when), counted)) = waiting.max_by_key(|((_, when), _)| when.late) else {
                continue;
            };
            let Some(piece) = self.piece(standing.piece) else {
                continue;
            };
            let text = format!("{} {}: {counted}", words::stage(stage), self.time(when.late));
            match waits.iter_mut().find(|(known, _)| *known == text) {
                Some((_, pieces)) => pieces.push(&piece.id),
                None => waits.push((text, vec![&piece.id])),
            }
        }
        for (text, pieces) in waits {
            sheet.line(&format!("{}: {text}.", self.names.in_words(pieces)));
        }
    }

    /// In two or three words: may it be touched?
    fn verdict(&self, standing: &PieceStanding) -> String {
        if spoiled(standing) {
            return "SPOILED, sand off".to_owned();
        }
        if may(standing, standing.glue) && standing.loose_done {
            return "ready to glue".to_owned();
        }
        match standing.handle {
            May::Yes if !wet(standing) => "yes".to_owned(),
            May::Yes | May::Held => "leave alone".to_owned(),
            May::Test { late } => format!("test, {}", self.time(late)),
            May::NotYet { when } => format!("from {}", self.estimate(when)),
        }
    }

    fn next(&self, operation: &Operation) -> String {
        let at = when(operation.start, self.today());
        if is_dry_fit(operation) {
            return format!("{at} dry fit");
        }
        if is_sign_off(operation) {
            return format!("{at} sign off");
        }
        let what = words::step_named(operation.step);
        match operation.coat {
            Some(coat) if matches!(operation.step, StepKind::Coat | StepKind::Seal) => format!("{at} coat {coat}"),
            _ => format!("{at} {}", what.strip_prefix("the ").unwrap_or(what)),
        }
    }

    /// Who may be handled, turned, coated and so on, by name.
    fn may(&self, sheet: &mut Sheet) {
        type Asked = fn(&PieceStanding) -> May;
        let questions: [(&str, Asked); 7] = [
            ("handled", |piece| piece.handle),
            ("turned", |piece| piece.turn),
            ("sanded", |piece| piece.sand),
            ("coated again", |piece| piece.recoat),
            ("stacked", |piece| piece.stack),
            ("glued", |piece| piece.glue),
            ("rubbed out", |piece| piece.rub),
        ];
        sheet.blank();
        sheet.heading("May be");
        let coated = |piece: &PieceStanding| piece.surfaces.iter().any(|surface| surface.film.is_some());
        let rows: Vec<Vec<String>> = questions
            .iter()
            .map(|(what, asked)| {
                let yes = self
                    .standing
                    .pieces
                    .iter()
                    .filter(|piece| coated(piece) && may(piece, asked(piece)));
                let ids: Vec<&str> = yes
                    .filter_map(|piece| self.piece(piece.piece))
                    .map(|piece| piece.id.as_str())
                    .collect();
                let words = if ids.is_empty() {
                    "none yet".to_owned()
                } else {
                    self.names.in_words(ids)
                };
                vec![(*what).to_owned(), words]
            })
            .collect();
        sheet.table(0, &rows);
        let bare: Vec<&str> = self
            .standing
            .pieces
            .iter()
            .filter(|piece| !coated(piece))
            .filter_map(|piece| self.piece(piece.piece))
            .map(|piece| piece.id.as_str())
            .collect();
        if !bare.is_empty() {
            sheet.line(&format!("Not coated yet: {}.", self.names.in_words(bare)));
        }
    }
}

#[cfg(test)]
mod tests;
