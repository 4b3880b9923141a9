//! The films of a piece: filler, colour and coats, de-nibs, and what has to dry between them.
//!
//! Invariant: the operations of all groups form one line, level by level, the hidden side first, so a piece
//! is never wanted in two positions at once; both faces of a panel get their n-th film one after the other.

use super::fresh::{stale, tape_renewed};
use super::groups::{Group, Pass};
use super::lay::{coat, is_part, passes, product_order};
use super::levels::{self, Level, stages};
use super::mend;
use super::minutes;
use super::operation::{Delay, Place, Span, Window, WorkOperation};
use super::writer::{Writer, makes_dust, on_piece};
use crate::finish::{Opening, Prepare, Stage, Step, StepKind};
use crate::job::{Holding, Piece};

/// A film operation already written.
#[derive(Clone)]
pub(super) struct Laid {
    /// Its index.
    pub operation: usize,
    /// Its surfaces.
    pub surfaces: Vec<usize>,
    /// The last hand work on the film before it is left to dry: wiping an oil off, else the coat itself.
    pub left: usize,
    /// Lies face down afterwards.
    pub far: bool,
    /// What is done to it anyway before the next film.
    pub prepared: Prepare,
    /// What its operations' ids end in.
    pub tail: String,
}

/// Films of a piece while they are written.
pub(super) struct Films {
    /// By group: the passes of its latest film.
    pub latest: Vec<Vec<Laid>>,
    /// By group: coats written so far.
    pub coats: Vec<u8>,
    /// By group: any film written.
    pub begun: Vec<bool>,
    /// The first film of the piece.
    pub first: Option<usize>,
}

/// A pass of a film that is due.
pub(super) struct Due<'l, 'a> {
    /// The group it belongs to.
    pub group: usize,
    /// The film.
    pub level: &'l Level<'a>,
    /// The pass.
    pub pass: Pass,
    /// The fault it makes good.
    pub mend: Option<&'l str>,
}

/// Writes every film of one piece; hands back the films it ends with, group by group.
pub(super) fn write<'a>(writer: &mut Writer<'a>, piece: usize, groups: &[Group<'a>]) -> Vec<Vec<Laid>> {
    let job = writer.job;
    let Some(of) = job.pieces.get(piece) else {
        return Vec::new();
    };
    let levels: Vec<Vec<Level>> = groups.iter().map(levels::of).collect();
    let mut films = Films {
        latest: vec![Vec::new(); groups.len()],
        coats: vec![0; groups.len()],
        begun: vec![false; groups.len()],
        first: None,
    };
    let mut mends = mend::Mends::of(job, piece);
    for stage in stages(&levels) {
        // one pass after the other, far sides of all groups first, so the piece is turned once a level
        let mut due: Vec<Due> = Vec::new();
        for &(index, depth) in &stage {
            let (Some(group), Some(level)) = (groups.get(index), levels[index].get(depth)) else {
                continue;
            };
            let passes = passes(writer, piece, &group.surfaces, level);
            due.extend(passes.into_iter().map(|pass| Due {
                group: index,
                level,
                pass,
                mend: None,
            }));
        }
        lay(writer, piece, groups, &mut films, due);
        pair(writer, of, &films.latest);
        for (index, depth) in stage {
            let Some(level) = levels[index].get(depth) else {
                continue;
            };
            if let Some(coat) = level.coat() {
                films.coats[index] = coat;
            }
            for step in &level.between {
                let at = abrade(writer, piece, step, level, &films.latest[index], groups.len() > 1);
                lain_on(writer, of, at, &films.latest);
            }
        }
        mends.write(writer, piece, groups, &levels, &mut films, false);
    }
    mend::more_coats(writer, piece, groups, &levels, &mut films);
    mends.write(writer, piece, groups, &levels, &mut films, true);
    finish(writer, piece, of, &films);
    films.latest
}

/// Lays the passes of a film down, the far sides first, each inside the windows of what it goes over.
pub(super) fn lay(writer: &mut Writer, piece: usize, groups: &[Group], films: &mut Films, mut due: Vec<Due>) {
    let job = writer.job;
    let Some(of) = job.pieces.get(piece) else { return };
    due.sort_by_key(|due| !due.pass.far);
    let before = films.latest.clone();
    for due in &due {
        // what is gone over lies beneath from now on
        if let Some(latest) = films.latest.get_mut(due.group) {
            for film in latest.iter_mut() {
                film.surfaces.retain(|surface| !due.pass.surfaces.contains(surface));
            }
            latest.retain(|film| !film.surfaces.is_empty());
        }
    }
    let mut last: Vec<(usize, usize, Option<&crate::finish::Figure>)> = Vec::new();
    for due in &due {
        let Some(group) = groups.get(due.group) else { continue };
        let split = is_part(of, group, &due.pass.surfaces);
        let laid = coat(writer, piece, due.level, &due.pass, split, due.mend);
        if films.first.is_none() {
            films.first = Some(laid.operation);
        }
        if !films.begun[due.group] {
            let others: Vec<&Laid> = before.iter().chain(&films.latest).flatten().collect();
            stale(writer, piece, group, &others, &laid);
        }
        tape_renewed(writer, piece, &before, laid.operation);
        after_films(writer, of, &before, &films.latest, &laid);
        recoat(writer, piece, due.group, &before, films, &laid);
        last.retain(|(index, _, _)| *index != due.group);
        last.push((due.group, laid.operation, due.level.step.wait.as_ref()));
        films.latest[due.group].push(laid);
    }
    for (index, operation, wait) in last {
        films.begun[index] = true;
        // a step's own wait runs from its last pass to whatever comes next on the piece
        if let Some(wait) = wait {
            let delay = Delay::Minutes(wait.high.ceil() as i64);
            writer.hold_next(operation, delay, "the step has its own wait");
        }
    }
}

/// On bearers a piece lies on what it is not coated on just then: that must be dry to touch first.
fn after_films(writer: &mut Writer, of: &Piece, before: &[Vec<Laid>], latest: &[Vec<Laid>], laid: &Laid) {
    if of.holding != Holding::Bearers {
        return;
    }
    let elsewhere = |film: &&Laid| film.surfaces.iter().any(|at| !laid.surfaces.contains(at));
    for film in before.iter().chain(latest).flatten().filter(elsewhere) {
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
pub(super) fn wiped(writer: &Writer, film: &Laid) -> bool {
    let product = writer.work.operations[film.operation].product.as_deref();
    product
        .and_then(|id| writer.job.product(id))
        .is_some_and(|product| product.wipe.is_some())
}

/// The next film of a group goes on inside a window of the film beneath.
fn recoat(writer: &mut Writer, piece: usize, index: usize, before: &[Vec<Laid>], films: &Films, laid: &Laid) {
    let job = writer.job;
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
    for film in beneath {
        let id = writer.work.operations[film.operation].product.as_deref();
        let Some(under) = id.and_then(|id| job.product(id)) else {
            continue;
        };
        writer.work.operations[laid.operation].film_from = Some(film.operation);
        let mut spans = Vec::new();
        let fits = |next: &Option<String>| next.as_deref().map_or(over == under.id, |next| next == over);
        for window in under.windows.iter().filter(|window| fits(&window.next)) {
            let via = (window.prepare > film.prepared).then(|| scuff(writer, piece, window.prepare, &film, laid));
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
                closes: window.closes.as_ref().map(|figure| Delay::Sooner(figure.low)),
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
    }
}

/// An optional preparation, done only when its window is used.
fn scuff(writer: &mut Writer, piece: usize, prepare: Prepare, film: &Laid, laid: &Laid) -> usize {
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
        coat: writer.work.operations[film.operation].coat,
        optional: true,
        campaign,
        ..on_piece(piece, of, step, &format!("{name}-{}{place}", film.tail))
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
pub(super) fn abrade(
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
        coat: level.coat(),
        grit: step.grit,
        minutes: minutes::handling(job, turns) + minutes::over(job, step.kind, area),
        family: step.grit.map(|grit| grit.to_string()),
        dusty: makes_dust(step.grit),
        film_from: films.last().map(|film| film.operation),
        surfaces,
        campaign: level.campaign(4, product_order(job, &level.product.id)),
        ..on_piece(piece, of, step.kind, &format!("{name}-{}{place}", level.tail()))
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
pub(super) fn lain_on(writer: &mut Writer, of: &Piece, at: Option<usize>, latest: &[Vec<Laid>]) {
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
        writer.work.places.push(Place {
            piece,
            kind: of.holding.place(),
            or_on: of.or_on.clone(),
            slots: of.slots,
            first,
            last: last.clone(),
        });
    }
    if let Some(ready) = writer.work.ready.get_mut(piece) {
        ready.extend(last.into_iter().map(|film| (film, Delay::Film(Stage::DryHard))));
    }
}
