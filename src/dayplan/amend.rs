//! The job as what was decided at the bench has changed it.
//!
//! Invariant: a pure function of the job as written and the facts; without a decision the job is as written.

use super::document::Operation;
use super::history::{Change, Decided, Fate, History};
use super::sample;
use crate::finish::schedule::trunk;
use crate::finish::{Phase, Schedule, Step, StepKind};
use crate::job::{Away, Held, Job, Mend, SurfaceRole};
use crate::units::Moment;
use crate::work::fresh;
use std::collections::BTreeMap;

/// The job with the decisions laid over it; `None` when there are none.
pub fn amended(job: &Job, history: &History) -> Option<Job> {
    let boards = sample::signed_off_earlier(job, history);
    let again = done_again(history);
    if history.changes.is_empty() && boards.is_empty() && again.is_empty() {
        return None;
    }
    let coats = Coats::of(history);
    let mut job = job.clone();
    job.since_written.again = again;
    for board in boards {
        // nothing more is done to it
        for surface in job
            .pieces
            .get_mut(board)
            .into_iter()
            .flat_map(|board| &mut board.surfaces)
        {
            surface.schedule = None;
        }
    }
    for change in &history.changes {
        take(&mut job, history, &coats, change);
    }
    Some(job)
}

/// How often what had gone stale was done again, by the id of the first time: after the last it may go stale once more.
fn done_again(history: &History) -> BTreeMap<String, u32> {
    let mut again: BTreeMap<String, u32> = BTreeMap::new();
    for (id, fate) in &history.operations {
        let since = match fate {
            Fate::Done(done) => done.end,
            Fate::Begun { start, .. } => *start,
            Fate::Skipped { .. } => continue,
        };
        let bare = |piece: &str| {
            history
                .strips
                .iter()
                .any(|strip| strip.piece == piece && strip.at >= since)
        };
        if let Some((piece, first, time)) = fresh::time_of(id).filter(|(piece, ..)| !bare(piece)) {
            let known = again.entry(format!("{piece}/{first}")).or_default();
            *known = time.max(*known);
        }
    }
    again
}

fn take(job: &mut Job, history: &History, coats: &Coats, change: &Change) {
    match &change.what {
        Decided::ExtraCoat {
            piece,
            surfaces,
            reason,
        } => {
            let Some((at, surfaces)) = find(job, history, piece, surfaces, change.at) else {
                return;
            };
            for surface in surfaces {
                lengthen(job, at, surface);
            }
            accept_unequal(job, at, reason);
        }
        Decided::Mend {
            piece,
            surfaces,
            fault,
            coat,
        } => {
            let Some((at, surfaces)) = find(job, history, piece, surfaces, change.at) else {
                return;
            };
            let names = surfaces
                .iter()
                .filter_map(|&surface| job.pieces.get(at)?.surfaces.get(surface));
            let after = names.map(|surface| coats.on(piece, Some(&surface.id), change.at)).max();
            let mend = Mend {
                id: change.record.clone(),
                fault: *fault,
                surfaces,
                coat: *coat,
                after: after.unwrap_or(0),
            };
            job.since_written.mends.entry(at).or_default().push(mend);
        }
        Decided::Holding { piece, holding } => {
            let Some(at) = job.pieces.iter().position(|one| one.id == *piece) else {
                return;
            };
            let laid = coats.on(piece, None, change.at);
            let any = coats.any(piece, change.at);
            if let Some(piece) = job.pieces.get_mut(at) {
                let before = piece.holding;
                piece.holding = *holding;
                piece
                    .or_on
                    .retain(|&kind| holding.may_stand_on(kind) && kind != holding.place());
                if any {
                    let held = Held {
                        holding: before,
                        until_coat: laid,
                    };
                    // of two changes the films before the first were laid as the file says
                    job.since_written.held.entry(at).or_insert(held).until_coat = laid;
                }
            }
        }
        Decided::Away { hands, from, until } => {
            let away = |hand| Away {
                hand,
                from: *from,
                until: *until,
            };
            if hands.is_empty() {
                job.since_written.away.push(away(None));
            }
            for name in hands {
                let hand = job.hands.iter().position(|hand| hand.name == *name);
                job.since_written.away.extend(hand.map(|hand| away(Some(hand))));
            }
        }
    }
}

/// A piece and its finished surfaces that are meant and have not been taken back to bare wood since.
fn find(job: &Job, history: &History, piece: &str, named: &[String], at: Moment) -> Option<(usize, Vec<usize>)> {
    let index = job.pieces.iter().position(|one| one.id == piece)?;
    let surfaces = job.pieces.get(index)?.surfaces.iter().enumerate();
    let meant = surfaces.filter(|(_, surface)| {
        surface.schedule.is_some()
            && (named.is_empty() || named.contains(&surface.id))
            && !history.stripped_since(piece, &surface.id, at)
    });
    let meant: Vec<usize> = meant.map(|(at, _)| at).collect();
    (!meant.is_empty()).then_some((index, meant))
}

/// Gives a surface a schedule with one coat more.
fn lengthen(job: &mut Job, piece: usize, surface: usize) {
    let Some(surface) = job
        .pieces
        .get_mut(piece)
        .and_then(|piece| piece.surfaces.get_mut(surface))
    else {
        return;
    };
    let Some(old) = surface.schedule.as_deref().and_then(|id| job.schedules.get(id)) else {
        return;
    };
    let more = old
        .id
        .split_once('+')
        .and_then(|(_, more)| more.parse::<u32>().ok())
        .unwrap_or(0)
        + 1;
    let id = format!("{}+{more}", trunk(&old.id));
    let Some(steps) = with_a_coat_more(&old.steps) else {
        return;
    };
    let longer = Schedule {
        id: id.clone(),
        steps,
        ..old.clone()
    };
    job.schedules.entry(id.clone()).or_insert(longer);
    surface.schedule = Some(id);
}

/// The steps with the last coat once more, and before it whatever stands between the last two.
fn with_a_coat_more(steps: &[Step]) -> Option<Vec<Step>> {
    let coat = |step: &Step| step.phase == Phase::Loose && Schedule::is_coat(step.kind);
    let last = steps.iter().rposition(coat)?;
    let before = steps.get(..last)?.iter().rposition(coat);
    let abrades = |step: &&Step| {
        step.phase == Phase::Loose && matches!(step.kind, StepKind::Denib | StepKind::Scuff | StepKind::Flat)
    };
    let between = before
        .and_then(|before| steps.get(before + 1..last))
        .unwrap_or_default();
    let mut more: Vec<Step> = between.iter().filter(abrades).cloned().collect();
    more.push(Step {
        note: None,
        ..steps.get(last)?.clone()
    });
    let (head, tail) = steps.split_at_checked(last + 1)?;
    Some([head, more.as_slice(), tail].concat())
}

/// Where the faces of a wide panel end with unequal coats by a decision, its reason is the maker's consent.
fn accept_unequal(job: &mut Job, piece: usize, reason: &str) {
    let Some(of) = job.pieces.get(piece) else { return };
    let due = |role: SurfaceRole| {
        let surface = of.surfaces.iter().find(|surface| surface.role == role);
        let schedule = surface.and_then(|surface| job.schedules.get(surface.schedule.as_deref()?));
        schedule.map_or(0, |schedule| schedule.coats_due().count())
    };
    if job.is_wide(of) && due(SurfaceRole::Face) != due(SurfaceRole::Back) {
        let id = of.id.clone();
        job.accepted_imbalance.entry(id).or_insert_with(|| reason.to_owned());
    }
}

/// Coats that were done, by piece.
struct Coats<'a>(BTreeMap<&'a str, Vec<(Moment, &'a Operation)>>);

impl<'a> Coats<'a> {
    fn of(history: &'a History) -> Self {
        let mut coats: BTreeMap<&str, Vec<(Moment, &Operation)>> = BTreeMap::new();
        let planned = history.plan.iter().flat_map(|plan| &plan.operations);
        for operation in planned.chain(history.earlier.values()) {
            let film = Schedule::is_coat(operation.step) || matches!(operation.step, StepKind::Fill | StepKind::Colour);
            let (true, Some(piece)) = (film, operation.piece.as_deref()) else {
                continue;
            };
            let at = match history.operations.get(&operation.id) {
                Some(Fate::Done(done)) => done.end,
                Some(Fate::Begun { start, .. }) => *start,
                _ => continue,
            };
            let bare = |surface: &String| history.stripped_since(piece, surface, at);
            if !operation.surfaces.iter().all(bare) {
                coats.entry(piece).or_default().push((at, operation));
            }
        }
        Self(coats)
    }

    fn by(&self, piece: &str, at: Moment) -> impl Iterator<Item = &'a Operation> {
        let coats = self.0.get(piece).map_or(&[][..], Vec::as_slice);
        coats
            .iter()
            .filter(move |(end, _)| *end <= at)
            .map(|(_, operation)| *operation)
    }

    /// The number of the last coat on a surface, or anywhere on the piece.
    fn on(&self, piece: &str, surface: Option<&String>, at: Moment) -> u8 {
        let here = |operation: &&Operation| surface.is_none_or(|surface| operation.surfaces.contains(surface));
        self.by(piece, at)
            .filter(here)
            .filter_map(|operation| operation.coat)
            .max()
            .unwrap_or(0)
    }

    /// Whether any film is on.
    fn any(&self, piece: &str, at: Moment) -> bool {
        self.by(piece, at).next().is_some()
    }
}
