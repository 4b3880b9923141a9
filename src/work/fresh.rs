//! What must be fresh when a film goes on: sanding, dusting off, tape.
//!
//! Invariant: what has gone stale is done again by an optional operation, planned only where it is needed.

use super::film::{Laid, wiped};
use super::groups::Group;
use super::minutes;
use super::operation::{Delay, Span, Window, WorkOperation};
use super::writer::{Writer, campaign, on_piece};
use crate::finish::{Prepare, Stage, StepKind};
use crate::job::rates;

/// Minutes after which a piece that was dusted off is dusted off again (common practice, no source).
const DUST_OFF_LASTS: f64 = 1440.0;

/// What is done again.
const AGAIN: [&str; 3] = ["sand-again", "cut-back-again", "dust-off-again"];

/// More often nothing is told apart: a record by hand may name any number.
const MOST: u32 = 99;

/// The name of an operation by need, each time it is done a name of its own.
fn timed(name: &str, time: u32) -> String {
    if time > 1 {
        format!("{name}-{time}")
    } else {
        name.to_owned()
    }
}

/// The piece of an operation by need, the rest of its id without the number, and which time it is; `None` for any other
/// operation.
pub fn time_of(id: &str) -> Option<(&str, String, u32)> {
    let (piece, name) = id.split_once('/')?;
    let (name, place) = name
        .split_once('/')
        .map_or((name, None), |(name, place)| (name, Some(place)));
    let first = AGAIN.into_iter().find(|first| name.starts_with(first))?;
    let time = match name.strip_prefix(first)? {
        "" => 1,
        number => number.strip_prefix('-')?.parse().ok()?,
    };
    let place = place.map_or_else(String::new, |place| format!("/{place}"));
    Some((piece, format!("{first}{place}"), time))
}

/// Sanding and grain raising go stale: past their limit the last grit is gone over again before the first
/// coat of each side, and dusted off again.
pub(super) fn stale(writer: &mut Writer, piece: usize, group: &Group, others: &[&Laid], laid: &Laid) {
    let of = &writer.job.pieces[piece];
    let line = &writer.work.operations;
    let last = |kinds: &[StepKind]| {
        line.iter().rposition(|operation| {
            operation.piece == Some(piece)
                && kinds.contains(&operation.step)
                && !operation.optional
                && operation.surfaces.iter().any(|surface| laid.surfaces.contains(surface))
        })
    };
    let (sanded, dusted) = (last(&[StepKind::Sand, StepKind::CutBack]), last(&[StepKind::DustOff]));
    let place = line[laid.operation].id.split('/').nth(2);
    let place = place.map(|at| format!("/{at}")).unwrap_or_default();
    let first = laid.operation;
    let span = |opens: f64, closes: Option<f64>, via| Span {
        opens: Delay::Minutes(opens as i64),
        closes: closes.map(|minutes| Delay::Minutes(minutes as i64)),
        via,
        prepare: Prepare::None,
    };
    let within = |before: usize, limit: f64, via: usize, rule| Window {
        before,
        after: first,
        spans: vec![span(0.0, Some(limit), None), span(limit, None, Some(via))],
        rule,
    };
    let part = |at: usize, name: &str, later: u64| WorkOperation {
        optional: true,
        id: format!("{}/{name}{place}", of.id),
        surfaces: laid.surfaces.clone(),
        minutes: minutes::handling(writer.job, 0)
            + minutes::over(writer.job, line[at].step, minutes::area(of, &laid.surfaces)),
        campaign: campaign::prepare(StepKind::DustOff, None) + later,
        ..line[at].clone()
    };
    // every time it has been done, and once more: what counts is the last
    let times = |at: usize, name: &str, later: u64| -> Vec<WorkOperation> {
        let first = format!("{}/{name}{place}", of.id);
        let again = &writer.job.since_written.again;
        let done = again.get(&first).copied().unwrap_or(0).min(MOST);
        (1..=done + 1).map(|time| part(at, &timed(name, time), later)).collect()
    };
    let dust = dusted.map(|at| (at, times(at, "dust-off-again", 2)));
    let step = sanded.map(|at| line[at].step);
    let again = sanded.zip(stale_after(group, step)).map(|(at, limit)| {
        let name = if step == Some(StepKind::CutBack) {
            "cut-back-again"
        } else {
            "sand-again"
        };
        (at, limit, times(at, name, 1))
    });
    let mut last_of = |first: usize, times: Vec<WorkOperation>| {
        let all = times.into_iter().map(|operation| writer.push_aside(operation));
        let all: Vec<usize> = all.collect();
        let done = all.iter().rev().nth(1).copied().unwrap_or(first);
        (done, all.last().copied().unwrap_or(first))
    };
    let dust = dust.map(|(at, times)| last_of(at, times));
    let again = again.map(|(at, limit, times)| (last_of(at, times), limit));
    if let Some((at, dust)) = dust {
        writer.wait(at, dust, Delay::Minutes(0), "got ready once before it is done again");
    }
    let last_dusted = dust.map(|(last, _)| last);
    if let Some(((at, again), limit)) = again {
        // only what has been got ready to the end is got ready once more
        let ready = dust.as_ref().map_or(at, |(dusted, _)| *dusted);
        writer.wait(
            ready,
            again,
            Delay::Minutes(0),
            "got ready once before it is done again",
        );
        let rule = "sanding goes stale before the first coat";
        // not on a piece dusted off for its other side: when that side is coated and dry to touch
        for film in others {
            let dry = Delay::Film(Stage::DryToTouch);
            writer.wait(film.left, again, dry, "the side coated first is dry to touch");
        }
        writer.work.windows.push(within(at, limit, again, rule));
        // what was sanded again is dusted off again
        if let Some((_, dust)) = dust {
            writer.wait(again, dust, Delay::Minutes(0), "dusted off after the last dust");
            writer.work.windows.push(within(at, limit, dust, rule));
            if Some(at) != sanded {
                dusted_after(writer, (at, first), last_dusted, dust);
            }
        }
    }
    if let Some((at, dust)) = dust {
        writer
            .work
            .windows
            .push(within(at, DUST_OFF_LASTS, dust, "dust settles again within a day"));
    }
}

/// The shortest time after which a step of the schedule is stale, minutes.
fn stale_after(group: &Group, step: Option<StepKind>) -> Option<f64> {
    let limits = group.schedule.steps.iter().filter(|line| Some(line.kind) == step);
    let limits = limits.filter_map(|line| line.stale_after.as_ref());
    limits.map(|figure| figure.low).reduce(f64::min)
}

/// What was sanded again is dusted off after that, by the last time it was done or once more.
fn dusted_after(writer: &mut Writer, (sanded, coat): (usize, usize), dusted: Option<usize>, again: usize) {
    let by = |via: usize| Span {
        opens: Delay::Minutes(0),
        closes: None,
        via: Some(via),
        prepare: Prepare::None,
    };
    writer.work.windows.push(Window {
        before: sanded,
        after: coat,
        spans: dusted.into_iter().chain([again]).map(by).collect(),
        rule: "dusted off after the last dust",
    });
}

/// A coat goes on only over tape that is still good: past its life it is changed first.
pub(super) fn tape_renewed(writer: &mut Writer, piece: usize, beneath: &[Vec<Laid>], coat: usize) {
    let job = writer.job;
    let of = &job.pieces[piece];
    if of.joints.is_empty() {
        return;
    }
    let line = &writer.work.operations;
    let is_mask = |operation: &WorkOperation| {
        operation.piece == Some(piece) && operation.step == StepKind::Mask && !operation.optional
    };
    let Some(mask) = line.iter().rposition(is_mask) else {
        return;
    };
    let name = line[coat]
        .id
        .split_once('/')
        .map_or_else(String::new, |(_, name)| name.replace('/', "-"));
    let renew = WorkOperation {
        minutes: minutes::handling(job, 0) + of.joints.len() as f64 * job.rate(rates::MASK_JOINT),
        optional: true,
        campaign: line[coat].campaign.saturating_sub(5_000),
        ..on_piece(piece, of, StepKind::Mask, &format!("mask-again-{name}"))
    };
    let renew = writer.push_aside(renew);
    let tape = Delay::Minutes(job.tape_life);
    let prepare = Prepare::None;
    let window = |via: usize, rule| Window {
        before: mask,
        after: coat,
        spans: vec![
            Span {
                opens: Delay::Minutes(0),
                closes: Some(tape),
                via: None,
                prepare,
            },
            Span {
                opens: tape,
                closes: None,
                via: Some(via),
                prepare,
            },
        ],
        rule,
    };
    // before the first film of a side the piece is dusted off once more after its tape was changed
    let same = writer.work.windows.iter().rev().take_while(|other| other.after == coat);
    let dust = same
        .flat_map(|other| other.spans.iter().filter_map(|span| span.via))
        .find(|&via| writer.work.operations[via].step == StepKind::DustOff);
    if let Some(dust) = dust {
        writer.wait(renew, dust, Delay::Minutes(0), "dusted off after the last dust");
        let rule = "fresh tape is dusted off before the first coat";
        writer.work.windows.push(window(dust, rule));
    }
    let rule = "tape past its life is changed before the next coat";
    writer.work.windows.push(window(renew, rule));
    // between the coats, on films that bear it
    for film in beneath.iter().flatten() {
        let dry = if wiped(writer, film) {
            Delay::Minutes(0)
        } else {
            Delay::Film(Stage::DryToTouch)
        };
        writer.wait(
            film.operation,
            renew,
            dry,
            "tape is changed on a film that is dry to touch",
        );
    }
}
