//! Putting one film on: its passes, the flood and its wipes, how much it takes and how long.
//!
//! Invariant: a flooded film is never written without the wipe that takes its excess off inside the limit.

use super::film::Laid;
use super::groups::{self, Group, Pass};
use super::levels::Level;
use super::minutes;
use super::operation::{Delay, Wait, WorkOperation};
use super::writer::{Writer, on_piece};
use crate::finish::{Method, Prepare, StepKind, Wipe};
use crate::job::{Holding, Job, Piece};
use crate::units::SquareMillimetres;

/// How a piece is held for a film: as it was before its holding was changed, for the films laid by then.
pub(super) fn holding(job: &Job, piece: usize, level: &Level) -> Holding {
    let of = job.pieces.get(piece).map_or(Holding::Bearers, |of| of.holding);
    let before = job.since_written.held.get(&piece);
    let before = before.filter(|held| !level.is_coat() || level.number <= held.until_coat);
    before.map_or(of, |held| held.holding)
}

/// The passes of a film over some surfaces of a piece.
pub(super) fn passes(writer: &Writer, piece: usize, surfaces: &[usize], level: &Level) -> Vec<Pass> {
    let Some(of) = writer.job.pieces.get(piece) else {
        return Vec::new();
    };
    let Some(wipe) = &level.product.wipe else {
        return groups::passes(of, holding(writer.job, piece, level), surfaces);
    };
    let whole = groups::one_pass(of, surfaces);
    // oil goes on all over, in lots small enough to be wiped inside the limit
    let fits = |surfaces: &[usize]| {
        let area = minutes::area(of, surfaces);
        let flood = minutes::handling(writer.job, 1) + put_on(writer.job, level, area);
        let off = minutes::handling(writer.job, 1) + minutes::over(writer.job, StepKind::WipeBack, area);
        wipe_latest(flood, off, wipe.within.low) >= flood.ceil().max(wipe.soak.low)
    };
    if fits(&whole.surfaces) || whole.surfaces.len() < 2 {
        return vec![whole];
    }
    let mut lots: Vec<Vec<usize>> = Vec::new();
    for &surface in &whole.surfaces {
        let joined = lots
            .last()
            .map(|lot| [lot.as_slice(), &[surface]].concat())
            .filter(|lot| fits(lot));
        match (joined, lots.last_mut()) {
            (Some(joined), Some(lot)) => *lot = joined,
            _ => lots.push(vec![surface]),
        }
    }
    lots.into_iter()
        .enumerate()
        .map(|(at, surfaces)| Pass {
            surfaces,
            turns: u32::from(at > 0),
            far: false,
        })
        .collect()
}

/// Whether the pass leaves out finished surfaces of the piece, so its id has to name where it is.
pub(super) fn is_part(of: &Piece, group: &Group, surfaces: &[usize]) -> bool {
    let finished = of.surfaces.iter().filter(|surface| surface.schedule.is_some()).count();
    surfaces.len() < group.surfaces.len().max(finished)
}

fn method(level: &Level) -> Method {
    level.step.method.unwrap_or(if level.product.wipe.is_some() {
        Method::Wipe
    } else {
        Method::Brush
    })
}

/// Latest start of the wipe after the start of the flood, so that no spot stays wet longer than `within`:
/// both go over the piece in the same order, so a spot waits between `start` and `start + wipe − flood`.
fn wipe_latest(flood: f64, wipe: f64, within: f64) -> f64 {
    (within - (wipe - flood).max(0.0)).floor()
}

/// How a flooded surface is worked: all of it flooded, then all of it wiped; or, where that takes longer than it
/// may stand, in bands, each flooded and wiped before the next.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Worked {
    /// Minutes of the flood, with the wipes of all bands but the last.
    flood: f64,
    /// Minutes of the wipe that is left.
    off: f64,
    /// Counted from the start of the flood, or from its end.
    from_start: bool,
    /// The wipe starts so long after it at the earliest.
    soak: f64,
    /// ...and at the latest.
    latest: f64,
}

/// Bands narrower than a tenth of a surface are no way to work.
const MOST_BANDS: u32 = 10;

fn worked(flood: f64, off: f64, wipe: &Wipe, one_surface: bool) -> Worked {
    let within = wipe.within.low;
    let whole = Worked {
        flood,
        off,
        from_start: true,
        soak: wipe.soak.low + (flood - off).max(0.0),
        latest: wipe_latest(flood, off, within),
    };
    if !one_surface || whole.latest >= flood.ceil().max(wipe.soak.low) {
        return whole;
    }
    let banded = |bands: u32| {
        let (put, taken) = (flood / f64::from(bands), off / f64::from(bands));
        Worked {
            flood: flood + off - taken,
            off: taken,
            from_start: false,
            soak: (wipe.soak.low - put.min(taken)).max(0.0),
            // a minute is kept back, since operations lie on whole minutes
            latest: (within - put.max(taken).ceil() - 1.0).floor(),
        }
    };
    let fits = |way: &Worked| way.latest >= way.soak.ceil() && way.flood > within + 1.0;
    (2..=MOST_BANDS).map(banded).find(fits).unwrap_or(whole)
}

/// Writes one pass of a film; `mend` is the id of the fault it makes good, where it is no coat of its own.
pub(super) fn coat(
    writer: &mut Writer,
    piece: usize,
    level: &Level,
    pass: &Pass,
    split: bool,
    mend: Option<&str>,
) -> Laid {
    let job = writer.job;
    let of = &job.pieces[piece];
    let area = minutes::area(of, &pass.surfaces);
    let product = level.product;
    let place = split
        .then(|| pass.surfaces.last().map(|&last| format!("/{}", of.surfaces[last].id)))
        .flatten();
    let place = place.unwrap_or_default();
    let film = product.wet_film.get(&method(level)).map(crate::finish::Figure::middle);
    let order = product_order(job, &product.id);
    let flood = minutes::handling(job, pass.turns) + put_on(job, level, area);
    let off = minutes::handling(job, pass.turns) + minutes::over(job, StepKind::WipeBack, area);
    let way = product
        .wipe
        .as_ref()
        .map(|wipe| worked(flood, off, wipe, pass.surfaces.len() == 1));
    let banded = way.is_some_and(|way| !way.from_start);
    let heavy = of.heavy && pass.turns > 0;
    let slow_hand = product
        .open_time
        .as_ref()
        .is_some_and(|open| largest(of, &pass.surfaces, job, level) > open.low);
    let (name, tail) = match mend {
        Some(id) => (format!("mend-coat-{id}"), format!("mend-{id}")),
        None => (level.name(), level.tail()),
    };
    // what makes a fault good only puts back what was taken off: it is no coat more
    let number = level.coat().filter(|_| mend.is_none());
    let held = holding(job, piece, level);
    let part = |normal: u64| if mend.is_some() { 8 } else { normal };
    let at = writer.push(WorkOperation {
        holding: Some(held),
        coat: number,
        product: Some(product.id.clone()),
        surfaces: pass.surfaces.clone(),
        minutes: way.map_or(flood, |way| way.flood),
        crew: if heavy || slow_hand || banded { 2 } else { 1 },
        family: Some(product.family.clone()),
        // 1 m² of 1 µm is 1 mL
        volume: film.map(|microns| crate::units::Millilitres(area.square_metres() * microns * drinks(level))),
        campaign: level.campaign(part(u64::from(!pass.far)), order),
        ..on_piece(piece, of, level.step.kind, &format!("{name}{place}"))
    });
    let mut left = at;
    if let (Some(wipe), Some(way)) = (&product.wipe, way) {
        let back = writer.push(WorkOperation {
            holding: Some(held),
            coat: number,
            product: Some(product.id.clone()),
            surfaces: pass.surfaces.clone(),
            minutes: way.off,
            family: Some(product.family.clone()),
            film_from: Some(at),
            campaign: level.campaign(part(2), order),
            ..on_piece(piece, of, StepKind::WipeBack, &format!("wipe-back-{tail}{place}"))
        });
        writer.work.waits.push(Wait {
            before: at,
            from_start: way.from_start,
            after: back,
            min: Delay::Minutes(way.soak.ceil() as i64),
            max: Some(way.latest as i64),
            rule: "the excess soaks, and comes off inside its limit",
        });
        let mut bundle = vec![at, back];
        left = back;
        if let Some(again) = &wipe.again_after {
            let second = writer.push(WorkOperation {
                holding: Some(held),
                coat: number,
                product: Some(product.id.clone()),
                surfaces: pass.surfaces.clone(),
                minutes: minutes::handling(job, 0) + minutes::over(job, StepKind::ReWipe, area),
                family: Some(product.family.clone()),
                film_from: Some(at),
                campaign: level.campaign(part(3), order),
                ..on_piece(piece, of, StepKind::ReWipe, &format!("re-wipe-{tail}{place}"))
            });
            writer.work.waits.push(Wait {
                before: back,
                from_start: false,
                after: second,
                min: Delay::Minutes(again.low.ceil() as i64),
                max: wipe.again_within.as_ref().map(|limit| limit.low.floor() as i64),
                rule: "oil bleeds back out of the pores: wipe again",
            });
            bundle.push(second);
        }
        writer.work.bundles.push(bundle);
    }
    Laid {
        operation: at,
        surfaces: pass.surfaces.clone(),
        left,
        far: pass.far,
        prepared: if mend.is_some() {
            Prepare::None
        } else {
            level.prepared()
        },
        tail,
    }
}

/// Minutes of putting it on: filler and colour have rates of their own, coats go by how they are put on.
fn put_on(job: &Job, level: &Level, area: SquareMillimetres) -> f64 {
    if level.is_coat() {
        minutes::coating(job, method(level), area)
    } else {
        minutes::over(job, level.step.kind, area)
    }
}

/// Minutes over the largest single surface: what has to stay open.
fn largest(of: &Piece, surfaces: &[usize], job: &Job, level: &Level) -> f64 {
    let each = surfaces.iter().filter_map(|&surface| of.surfaces.get(surface));
    each.map(|surface| put_on(job, level, surface.area)).fold(0.0, f64::max)
}

/// Whatever goes on first of its kind drinks more: filler and colour go on bare wood.
fn drinks(level: &Level) -> f64 {
    match (&level.product.first_coat_extra, level.number) {
        (Some(extra), 1) => 1.0 + extra.middle() / 100.0,
        _ => 1.0,
    }
}

/// A stable number for a product within the job, to keep rounds of different products apart.
pub(super) fn product_order(job: &Job, id: &str) -> u64 {
    let mut ids: Vec<&str> = job
        .schedules
        .values()
        .flat_map(|schedule| schedule.products.iter())
        .map(|product| product.id.as_str())
        .collect();
    ids.sort_unstable();
    ids.dedup();
    ids.iter().position(|known| *known == id).unwrap_or(0) as u64
}
