//! The coats of a piece: passes, wipes, de-nibs, and what has to dry between them.
//!
//! Invariant: the operations of all groups form one line, coat level by coat level, the hidden side first,
//! so a piece is never wanted in two positions at once; both faces of a panel get their n-th coat one
//! after the other.

use super::groups::{self, Group, Pass};
use super::minutes;
use super::operation::{Delay, Place, Span, Wait, Window, WorkOperation};
use super::writer::{Writer, campaign, makes_dust, on_piece};
use crate::finish::{Method, Opening, Phase, Prepare, Product, Stage, Step, StepKind};
use crate::job::{Holding, Piece, PlaceKind, rates};

/// One coat of a group with what the schedule wants done to it before the next.
struct Level<'a> {
    coat: &'a Step,
    number: u8,
    product: &'a Product,
    between: Vec<&'a Step>,
}

/// A coat operation already written.
#[derive(Clone)]
pub(super) struct Laid {
    /// Its index.
    pub operation: usize,
    /// Its surfaces.
    pub surfaces: Vec<usize>,
    /// The last hand work on the film before it is left to dry: wiping an oil off, else the coat itself.
    left: usize,
    /// Lies face down afterwards.
    far: bool,
}

/// Films of a piece while its coats are written.
struct Films<'a> {
    /// By group: the passes of its latest coat.
    latest: Vec<Vec<Laid>>,
    /// By group: the last coat's product and number.
    last: Vec<Option<(&'a Product, u8)>>,
    first: Option<usize>,
}

/// Minutes after which a piece that was dusted off is dusted off again (common practice, no source).
const DUST_OFF_LASTS: f64 = 1440.0;

/// Writes every coat of one piece; hands back the films it ends with, group by group.
pub(super) fn write<'a>(writer: &mut Writer<'a>, piece: usize, groups: &[Group<'a>]) -> Vec<Vec<Laid>> {
    let job = writer.job;
    let Some(of) = job.pieces.get(piece) else {
        return Vec::new();
    };
    let levels: Vec<Vec<Level>> = groups.iter().map(levels).collect();
    let mut films = Films {
        latest: vec![Vec::new(); groups.len()],
        last: vec![None; groups.len()],
        first: None,
    };
    for stage in stages(&levels) {
        // one pass after the other, far sides of all groups first, so the piece is turned once a level
        let mut due: Vec<(usize, usize, Pass)> = Vec::new();
        for &(index, depth) in &stage {
            let (Some(group), Some(level)) = (groups.get(index), levels[index].get(depth)) else {
                continue;
            };
            due.extend(
                passes(writer, of, group, level)
                    .into_iter()
                    .map(|pass| (index, depth, pass)),
            );
        }
        due.sort_by_key(|(_, _, pass)| !pass.far);
        let before = films.latest.clone();
        for (index, _, _) in &due {
            films.latest[*index] = Vec::new();
        }
        for (index, depth, pass) in due {
            let (Some(group), Some(level)) = (groups.get(index), levels[index].get(depth)) else {
                continue;
            };
            let split = is_part(of, group, &pass.surfaces);
            let laid = coat(writer, piece, level, &pass, split);
            if films.first.is_none() {
                films.first = Some(laid.operation);
            }
            if level.number == 1 {
                stale(writer, piece, group, &films.latest, &laid);
            }
            tape_renewed(writer, piece, &before, laid.operation);
            after_films(writer, of, &films.latest, &laid);
            recoat(writer, piece, index, groups, &before, &films, &laid);
            films.latest[index].push(laid);
            films.last[index] = Some((level.product, level.number));
        }
        pair(writer, of, &films.latest);
        for (index, depth) in stage {
            let Some(level) = levels[index].get(depth) else {
                continue;
            };
            for step in &level.between {
                let at = abrade(writer, piece, step, level, &films.latest[index], groups.len() > 1);
                lain_on(writer, of, at, &films.latest);
            }
        }
    }
    finish(writer, piece, of, &films);
    films.latest
}

/// Which coats of which groups go on together: coat by coat, so that one side dries while the other is
/// coated, and the two sides of a wide panel stand unequal as shortly as can be.
fn stages(levels: &[Vec<Level>]) -> Vec<Vec<(usize, usize)>> {
    let deepest = levels.iter().map(Vec::len).max().unwrap_or(0);
    let at = |depth: usize| {
        let due = (0..levels.len()).filter(move |&index| levels[index].len() > depth);
        due.map(move |index| (index, depth)).collect()
    };
    (0..deepest).map(at).collect()
}

/// The coats of a schedule, each with the loose steps up to the next one.
fn levels<'a>(group: &Group<'a>) -> Vec<Level<'a>> {
    let mut levels: Vec<Level> = Vec::new();
    let schedule = group.schedule;
    for step in schedule.steps.iter().filter(|step| step.phase == Phase::Loose) {
        match step.kind {
            StepKind::Seal | StepKind::Coat => {
                let Some(product) = step.product.as_deref().and_then(|id| schedule.product(id)) else {
                    continue;
                };
                let number = u8::try_from(levels.len() + 1).unwrap_or(u8::MAX);
                levels.push(Level {
                    coat: step,
                    number,
                    product,
                    between: Vec::new(),
                });
            }
            StepKind::Denib | StepKind::Scuff | StepKind::Flat => {
                if let Some(level) = levels.last_mut() {
                    level.between.push(step);
                }
            }
            _ => {}
        }
    }
    // what follows the last coat is finishing, not recoating
    if let Some(level) = levels.last_mut() {
        level.between.retain(|step| step.kind == StepKind::Denib);
    }
    levels
}

fn passes(writer: &Writer, of: &Piece, group: &Group, level: &Level) -> Vec<Pass> {
    let Some(wipe) = &level.product.wipe else {
        return groups::passes(of, &group.surfaces);
    };
    let whole = groups::one_pass(of, &group.surfaces);
    // oil goes on all over, in lots small enough to be wiped inside the limit
    let fits = |surfaces: &[usize]| {
        let area = minutes::area(of, surfaces);
        let flood = minutes::handling(writer.job, 1) + minutes::coating(writer.job, method(level), area);
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
fn is_part(of: &Piece, group: &Group, surfaces: &[usize]) -> bool {
    let finished = of.surfaces.iter().filter(|surface| surface.schedule.is_some()).count();
    surfaces.len() < group.surfaces.len().max(finished)
}

fn method(level: &Level) -> Method {
    level.coat.method.unwrap_or(if level.product.wipe.is_some() {
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

fn coat(writer: &mut Writer, piece: usize, level: &Level, pass: &Pass, split: bool) -> Laid {
    let job = writer.job;
    let of = &job.pieces[piece];
    let area = minutes::area(of, &pass.surfaces);
    let product = level.product;
    let number = level.number;
    let place = split
        .then(|| pass.surfaces.last().map(|&last| format!("/{}", of.surfaces[last].id)))
        .flatten();
    let place = place.unwrap_or_default();
    let film = product.wet_film.get(&method(level)).map(crate::finish::Figure::middle);
    let seal = if level.coat.kind == StepKind::Seal {
        "seal"
    } else {
        "coat"
    };
    let order = product_order(job, &product.id);
    let flood = minutes::handling(job, pass.turns) + minutes::coating(job, method(level), area);
    let heavy = of.heavy && pass.turns > 0;
    let slow_hand = product
        .open_time
        .as_ref()
        .is_some_and(|open| largest(of, &pass.surfaces, job, level) > open.low);
    let at = writer.push(WorkOperation {
        coat: Some(number),
        product: Some(product.id.clone()),
        surfaces: pass.surfaces.clone(),
        minutes: flood,
        crew: if heavy || slow_hand { 2 } else { 1 },
        family: Some(product.family.clone()),
        // 1 m² of 1 µm is 1 mL
        volume: film.map(|microns| crate::units::Millilitres(area.square_metres() * microns * drinks(product, number))),
        campaign: campaign::coat(u64::from(number), u64::from(!pass.far), order),
        ..on_piece(piece, of, level.coat.kind, &format!("{seal}-{number}{place}"))
    });
    let mut left = at;
    if let Some(wipe) = &product.wipe {
        let off = minutes::handling(job, pass.turns) + minutes::over(job, StepKind::WipeBack, area);
        let back = writer.push(WorkOperation {
            coat: Some(number),
            product: Some(product.id.clone()),
            surfaces: pass.surfaces.clone(),
            minutes: off,
            family: Some(product.family.clone()),
            film_from: Some(at),
            campaign: campaign::coat(u64::from(number), 2, order),
            ..on_piece(piece, of, StepKind::WipeBack, &format!("wipe-back-{number}{place}"))
        });
        let soak = wipe.soak.low + (flood - off).max(0.0);
        writer.work.waits.push(Wait {
            before: at,
            from_start: true,
            after: back,
            min: Delay::Minutes(soak.ceil() as i64),
            max: Some(wipe_latest(flood, off, wipe.within.low) as i64),
            rule: "the excess soaks, and comes off inside its limit",
        });
        let mut bundle = vec![at, back];
        left = back;
        if let Some(again) = &wipe.again_after {
            let second = writer.push(WorkOperation {
                coat: Some(number),
                product: Some(product.id.clone()),
                surfaces: pass.surfaces.clone(),
                minutes: minutes::handling(job, 0) + minutes::over(job, StepKind::ReWipe, area),
                family: Some(product.family.clone()),
                film_from: Some(at),
                campaign: campaign::coat(u64::from(number), 3, order),
                ..on_piece(piece, of, StepKind::ReWipe, &format!("re-wipe-{number}{place}"))
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
    }
}

/// Minutes over the largest single surface: what has to stay open.
fn largest(of: &Piece, surfaces: &[usize], job: &crate::job::Job, level: &Level) -> f64 {
    let each = surfaces.iter().filter_map(|&surface| of.surfaces.get(surface));
    each.map(|surface| minutes::coating(job, method(level), surface.area))
        .fold(0.0, f64::max)
}

/// The first coat on bare wood drinks more.
fn drinks(product: &Product, number: u8) -> f64 {
    match (&product.first_coat_extra, number) {
        (Some(extra), 1) => 1.0 + extra.middle() / 100.0,
        _ => 1.0,
    }
}

/// A stable number for a product within the job, to keep rounds of different products apart.
pub(super) fn product_order(job: &crate::job::Job, id: &str) -> u64 {
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

/// Sanding and grain raising go stale: past their limit the last grit is gone over again before the first
/// coat of each side, and dusted off again.
fn stale(writer: &mut Writer, piece: usize, group: &Group, others: &[Vec<Laid>], laid: &Laid) {
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
    let place = line[laid.operation]
        .id
        .split('/')
        .nth(2)
        .map(|at| format!("/{at}"))
        .unwrap_or_default();
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
    let dust = dusted.map(|at| (at, part(at, "dust-off-again", 2)));
    let step = sanded.map(|at| line[at].step);
    let limit = group.schedule.steps.iter().filter(|line| Some(line.kind) == step);
    let limit = limit
        .filter_map(|line| line.stale_after.as_ref())
        .map(|figure| figure.low)
        .reduce(f64::min);
    let again = sanded.zip(limit).map(|(at, limit)| {
        let name = if step == Some(StepKind::CutBack) {
            "cut-back-again"
        } else {
            "sand-again"
        };
        (at, limit, part(at, name, 1))
    });
    let dust = dust.map(|(at, operation)| (at, writer.push_aside(operation)));
    if let Some((at, limit, operation)) = again {
        let again = writer.push_aside(operation);
        let rule = "sanding goes stale before the first coat";
        // not on a piece dusted off for its other side: when that side is coated and dry to touch
        for film in others.iter().flatten() {
            let dry = Delay::Film(Stage::DryToTouch);
            writer.wait(film.operation, again, dry, "the side coated first is dry to touch");
        }
        writer.work.windows.push(within(at, limit, again, rule));
        // what was sanded again is dusted off again
        if let Some((_, dust)) = dust {
            writer.wait(again, dust, Delay::Minutes(0), "dusted off after the last dust");
            writer.work.windows.push(within(at, limit, dust, rule));
        }
    }
    if let Some((at, dust)) = dust {
        writer
            .work
            .windows
            .push(within(at, DUST_OFF_LASTS, dust, "dust settles again within a day"));
    }
}

/// A coat goes on only over tape that is still good: past its life it is changed first.
fn tape_renewed(writer: &mut Writer, piece: usize, beneath: &[Vec<Laid>], coat: usize) {
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
    writer.work.windows.push(Window {
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
                via: Some(renew),
                prepare,
            },
        ],
        rule: "tape past its life is changed before the next coat",
    });
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

/// On bearers a piece lies on what was coated last: that must be dry to touch before it is laid over.
fn after_films(writer: &mut Writer, of: &Piece, latest: &[Vec<Laid>], laid: &Laid) {
    if of.holding != Holding::Bearers {
        return;
    }
    for film in latest.iter().flatten() {
        if film.operation != laid.operation && !(wiped(writer, film) && wiped(writer, laid)) {
            writer.wait(
                film.left,
                laid.operation,
                Delay::Film(Stage::DryToTouch),
                "not laid over on bearers before the down side is dry to touch",
            );
        }
    }
}

/// A wiped oil leaves no film that marks: it may be laid over at once.
fn wiped(writer: &Writer, film: &Laid) -> bool {
    let product = writer.work.operations[film.operation].product.as_deref();
    product
        .and_then(|id| writer.job.product(id))
        .is_some_and(|product| product.wipe.is_some())
}

/// The next coat of a group goes on inside a window of the film beneath.
fn recoat(
    writer: &mut Writer,
    piece: usize,
    index: usize,
    groups: &[Group],
    before: &[Vec<Laid>],
    films: &Films,
    laid: &Laid,
) {
    let Some((under, number)) = films.last.get(index).copied().flatten() else {
        return;
    };
    let over = writer.work.operations[laid.operation]
        .product
        .clone()
        .unwrap_or_default();
    let beneath: Vec<Laid> = before
        .get(index)
        .map(|films| {
            films
                .iter()
                .filter(|film| film.surfaces.iter().any(|at| laid.surfaces.contains(at)))
                .cloned()
                .collect()
        })
        .unwrap_or_default();
    let done = prepared_by_schedule(groups.get(index), number);
    for film in beneath {
        writer.work.operations[laid.operation].film_from = Some(film.operation);
        let mut spans = Vec::new();
        let fits = |next: &Option<String>| next.as_deref().map_or(over == under.id, |next| next == over);
        for window in under.windows.iter().filter(|window| fits(&window.next)) {
            let via = (window.prepare > done).then(|| scuff(writer, piece, window.prepare, &film, laid, number));
            if let Some(via) = via {
                // to scuff one side on bearers the piece lies on the other, which must bear it
                let on_bearers = writer.job.pieces[piece].holding == Holding::Bearers;
                for down in before.iter().chain(&films.latest).flatten().filter(|_| on_bearers) {
                    let touch = Delay::Film(Stage::DryToTouch);
                    let rule = "the down side is dry to touch before it is lain on";
                    writer.wait(down.left, via, touch, rule);
                }
            }
            spans.push(Span {
                opens: match &window.opens {
                    Opening::Stage(stage) => Delay::Film(*stage),
                    Opening::After(figure) => Delay::Dried(figure.high),
                },
                closes: window.closes.as_ref().map(|figure| Delay::Dried(figure.low)),
                via,
                prepare: window.prepare,
            });
        }
        if spans.is_empty() {
            // no window stated for this pair: when dry to recoat, for ever
            let opens = Delay::Film(Stage::DryToRecoat);
            spans.push(Span {
                opens,
                closes: None,
                via: None,
                prepare: Prepare::None,
            });
        }
        let rule = "the next coat goes on inside a recoat window";
        writer.work.windows.push(Window {
            before: film.operation,
            after: laid.operation,
            spans,
            rule,
        });
        // laid over for the next coat on the far side: everything under it must bear it
        for other in before
            .iter()
            .flatten()
            .filter(|other| other.operation != film.operation)
        {
            let both_wiped = wiped(writer, other) && wiped(writer, laid);
            if writer.job.pieces[piece].holding == Holding::Bearers && !both_wiped {
                let touch = Delay::Film(Stage::DryToTouch);
                writer.wait(
                    other.left,
                    laid.operation,
                    touch,
                    "the down side is dry to touch before it is lain on",
                );
            }
        }
    }
}

/// What the schedule itself does between this coat and the next.
fn prepared_by_schedule(group: Option<&Group>, number: u8) -> Prepare {
    let Some(group) = group else { return Prepare::None };
    let levels = levels(group);
    let Some(level) = levels.get(usize::from(number).saturating_sub(1)) else {
        return Prepare::None;
    };
    let best = |step: &&Step| match step.kind {
        StepKind::Scuff | StepKind::Flat => Prepare::Scuff,
        StepKind::Denib => Prepare::Denib,
        _ => Prepare::None,
    };
    level.between.iter().map(best).max().unwrap_or(Prepare::None)
}

/// An optional preparation, done only when its window is used.
fn scuff(writer: &mut Writer, piece: usize, prepare: Prepare, film: &Laid, laid: &Laid, number: u8) -> usize {
    let job = writer.job;
    let of = &job.pieces[piece];
    let step = if prepare == Prepare::Scuff {
        StepKind::Scuff
    } else {
        StepKind::Denib
    };
    let name = if step == StepKind::Scuff {
        "scuff"
    } else {
        "denib-by-need"
    };
    let place = writer.work.operations[laid.operation]
        .id
        .split('/')
        .nth(2)
        .map(|at| format!("/{at}"))
        .unwrap_or_default();
    let area = minutes::area(of, &laid.surfaces);
    let campaign = writer.work.operations[film.operation].campaign + 40_000;
    let operation = WorkOperation {
        surfaces: laid.surfaces.clone(),
        minutes: minutes::handling(job, 0) + minutes::over(job, step, area),
        dusty: true,
        film_from: Some(film.operation),
        coat: Some(number),
        optional: true,
        campaign,
        ..on_piece(piece, of, step, &format!("{name}-{number}{place}"))
    };
    let at = writer.push_aside(operation);
    writer.wait(
        film.operation,
        at,
        Delay::Film(Stage::DryToSand),
        "abraded only when the film is dry to sand",
    );
    at
}

/// De-nib, scuff or flat as the schedule has it, over all of the group in one go.
fn abrade(
    writer: &mut Writer,
    piece: usize,
    step: &Step,
    level: &Level,
    films: &[Laid],
    several: bool,
) -> Option<usize> {
    let job = writer.job;
    let of = &job.pieces[piece];
    let surfaces: Vec<usize> = films.iter().flat_map(|film| film.surfaces.iter().copied()).collect();
    if surfaces.is_empty() {
        return None;
    }
    let name = match step.kind {
        StepKind::Denib => "denib",
        StepKind::Scuff => "scuff-all",
        _ => "flat",
    };
    let place = if several {
        format!("/{}", of.surfaces[surfaces[surfaces.len() - 1]].id)
    } else {
        String::new()
    };
    let area = minutes::area(of, &surfaces);
    let turns = u32::from(surfaces.len() > 1).min(minutes::turns_all_round(of));
    let at = writer.push(WorkOperation {
        coat: Some(level.number),
        grit: step.grit,
        minutes: minutes::handling(job, turns) + minutes::over(job, step.kind, area),
        family: step.grit.map(|grit| grit.to_string()),
        dusty: makes_dust(step.grit),
        film_from: films.last().map(|film| film.operation),
        surfaces,
        campaign: campaign::coat(u64::from(level.number), 4, product_order(job, &level.product.id)),
        ..on_piece(piece, of, step.kind, &format!("{name}-{}{place}", level.number))
    });
    for film in films {
        writer.wait(
            film.operation,
            at,
            Delay::Film(Stage::DryToSand),
            "abraded only when the film is dry to sand",
        );
    }
    Some(at)
}

/// To abrade one side on bearers the piece lies on the others, which must bear it.
fn lain_on(writer: &mut Writer, of: &Piece, at: Option<usize>, latest: &[Vec<Laid>]) {
    let Some(at) = at.filter(|_| of.holding == Holding::Bearers) else {
        return;
    };
    for film in latest.iter().flatten() {
        let touch = Delay::Film(Stage::DryToTouch);
        writer.wait(
            film.operation,
            at,
            touch,
            "the down side is dry to touch before it is lain on",
        );
    }
}

/// On a wide panel the two faces' coats of one level lie close together.
fn pair(writer: &mut Writer, of: &Piece, latest: &[Vec<Laid>]) {
    if !writer.job.is_wide(of) {
        return;
    }
    let far = latest.iter().flatten().find(|film| film.far).map(|film| film.operation);
    let near = latest
        .iter()
        .flatten()
        .rfind(|film| !film.far)
        .map(|film| film.operation);
    if let (Some(far), Some(near)) = (far, near) {
        writer.work.pairs.push((far, near));
    }
}

/// The place the piece stands on, and when its films let it be glued.
fn finish(writer: &mut Writer, piece: usize, of: &Piece, films: &Films) {
    let last: Vec<usize> = films.latest.iter().flatten().map(|film| film.operation).collect();
    if let Some(first) = films.first {
        let kind = match of.holding {
            Holding::Bearers => PlaceKind::Bearers,
            Holding::Points => PlaceKind::Points,
            Holding::Hung => PlaceKind::Hooks,
        };
        writer.work.places.push(Place {
            piece,
            kind,
            slots: of.slots,
            first,
            last: last.clone(),
        });
    }
    if let Some(ready) = writer.work.ready.get_mut(piece) {
        ready.extend(last.into_iter().map(|film| (film, Delay::Film(Stage::DryHard))));
    }
}
