//! Glue-ups, and the steps done on the assembled piece: the last rub, wax, buff.
//!
//! Invariant: an assembly is glued only from pieces that are ready and assemblies that are cured; its
//! assembled steps come after the last glue-up it goes into.

use super::minutes;
use super::operation::{Delay, WorkOperation};
use super::writer::{Writer, campaign, makes_dust};
use crate::finish::schedule::trunk;
use crate::finish::{Phase, Schedule, Stage, Step, StepKind};
use crate::job::{Assembly, Job, Show};
use crate::units::SquareMillimetres;

/// Writes glue-ups, then assembled steps on every outermost assembly and on pieces that go into none.
pub(super) fn write(writer: &mut Writer) {
    let job = writer.job;
    let mut glued: Vec<Option<usize>> = vec![None; job.assemblies.len()];
    for index in inner_first(&job.assemblies) {
        glued[index] = glue_up(writer, index, &glued);
    }
    for (index, assembly) in job.assemblies.iter().enumerate() {
        let inside = job
            .assemblies
            .iter()
            .any(|outer| outer.assemblies.contains(&assembly.id));
        // a glue-up the maker does not want planned has no time from which to go on
        if let (false, Some(glue)) = (inside, glued[index]) {
            let pieces = pieces_in(job, index);
            let cured = Delay::Minutes(assembly.cure);
            steps(writer, Some(index), &assembly.id, &pieces, Some((glue, cured)));
        }
    }
    for (index, piece) in job.pieces.iter().enumerate() {
        if !job
            .assemblies
            .iter()
            .any(|assembly| assembly.made_of.contains(&piece.id))
        {
            let after = writer.work.ready.get(index).and_then(|ready| ready.first()).copied();
            steps(writer, None, &piece.id, &[index], after);
        }
    }
}

/// Assemblies ordered so that each comes after those it is made of.
fn inner_first(assemblies: &[Assembly]) -> Vec<usize> {
    let mut order: Vec<usize> = Vec::new();
    let mut rounds = 0;
    while order.len() < assemblies.len() && rounds <= assemblies.len() {
        for (index, assembly) in assemblies.iter().enumerate() {
            let ready = assembly.assemblies.iter().all(|inner| {
                assemblies
                    .iter()
                    .position(|other| other.id == *inner)
                    .is_none_or(|inner| order.contains(&inner))
            });
            if ready && !order.contains(&index) {
                order.push(index);
            }
        }
        rounds += 1;
    }
    order
}

/// Every piece in an assembly, those of inner assemblies included.
fn pieces_in(job: &Job, index: usize) -> Vec<usize> {
    let mut found: Vec<usize> = Vec::new();
    let mut open = vec![index];
    let mut seen = Vec::new();
    while let Some(index) = open.pop() {
        if seen.contains(&index) {
            continue;
        }
        seen.push(index);
        let Some(assembly) = job.assemblies.get(index) else {
            continue;
        };
        found.extend(
            job.pieces
                .iter()
                .enumerate()
                .filter(|(_, piece)| assembly.made_of.contains(&piece.id))
                .map(|(at, _)| at),
        );
        open.extend(
            job.assemblies
                .iter()
                .enumerate()
                .filter(|(_, inner)| assembly.assemblies.contains(&inner.id))
                .map(|(at, _)| at),
        );
    }
    found.sort_unstable();
    found
}

fn blank(id: String, step: StepKind, position: u64) -> WorkOperation {
    WorkOperation {
        id,
        piece: None,
        assembly: None,
        step,
        coat: None,
        grit: None,
        product: None,
        surfaces: Vec::new(),
        minutes: 0.0,
        crew: 1,
        family: None,
        dusty: false,
        holding: None,
        phase: Phase::Assembled,
        volume: None,
        film_from: None,
        optional: false,
        campaign: campaign::assembled(position),
    }
}

fn glue_up(writer: &mut Writer, index: usize, glued: &[Option<usize>]) -> Option<usize> {
    let job = writer.job;
    let assembly = job.assemblies.get(index)?;
    let minutes = assembly.minutes?;
    let at = writer.push_aside(WorkOperation {
        assembly: Some(index),
        minutes: f64::from(minutes),
        crew: assembly.hands,
        ..blank(format!("{}/glue-up", assembly.id), StepKind::GlueUp, index as u64)
    });
    for (piece, _) in job
        .pieces
        .iter()
        .enumerate()
        .filter(|(_, piece)| assembly.made_of.contains(&piece.id))
    {
        for (before, delay) in writer.work.ready.get(piece).cloned().unwrap_or_default() {
            writer.wait(before, at, delay, "glued only when hard dry and its joints are bare");
        }
    }
    for (inner, other) in job.assemblies.iter().enumerate() {
        if let (true, Some(Some(before))) = (assembly.assemblies.contains(&other.id), glued.get(inner)) {
            writer.wait(
                *before,
                at,
                Delay::Minutes(other.cure),
                "the glue of what goes into it is cured",
            );
        }
    }
    Some(at)
}

/// Assembled steps over the pieces of an assembly (or one piece), schedule by schedule.
fn steps(writer: &mut Writer, assembly: Option<usize>, name: &str, pieces: &[usize], after: Option<(usize, Delay)>) {
    let job = writer.job;
    let mut schedules: Vec<&Schedule> = Vec::new();
    for &piece in pieces {
        for id in job.pieces[piece]
            .surfaces
            .iter()
            .filter_map(|surface| surface.schedule.as_deref())
        {
            // coats added at the bench leave what follows the glue-up as it is
            let schedule = job.schedules.get(trunk(id)).or_else(|| job.schedules.get(id));
            if let Some(schedule) = schedule.filter(|one| !schedules.iter().any(|known| known.id == one.id)) {
                schedules.push(schedule);
            }
        }
    }
    schedules.sort_by(|one, other| one.id.cmp(&other.id));
    let several = schedules
        .iter()
        .filter(|schedule| schedule.steps.iter().any(is_assembled))
        .count()
        > 1;
    let mut line = after;
    for schedule in schedules {
        let mut counted = std::collections::BTreeMap::new();
        for (position, step) in schedule.steps.iter().enumerate().filter(|(_, step)| is_assembled(step)) {
            let nth = counted.entry(step.kind).and_modify(|nth| *nth += 1).or_insert(1_u32);
            let word = match step.kind {
                StepKind::Wax => "wax",
                StepKind::Buff => "buff",
                StepKind::RubOut => "rub-out",
                _ => continue,
            };
            let tail = if several {
                format!("/{}", schedule.id)
            } else {
                String::new()
            };
            let area = area_of(job, pieces, schedule, step);
            if area.0 <= 0.0 {
                continue;
            }
            let product = step.product.as_deref().and_then(|id| schedule.product(id));
            let family = product
                .map(|product| product.family.clone())
                .or_else(|| step.grit.map(|grit| grit.to_string()));
            let wet = product
                .and_then(|product| product.wet_film.values().next())
                .map(crate::finish::Figure::middle);
            let loose = if assembly.is_none() { "-last" } else { "" };
            let at = writer.push_aside(WorkOperation {
                assembly,
                piece: if assembly.is_none() {
                    pieces.first().copied()
                } else {
                    None
                },
                surfaces: if assembly.is_none() {
                    surfaces_of(job, pieces, schedule, step)
                } else {
                    Vec::new()
                },
                grit: step.grit,
                product: step.product.clone(),
                minutes: minutes::handling(job, 1) + minutes::over(job, step.kind, area),
                family,
                dusty: step.kind == StepKind::RubOut && makes_dust(step.grit),
                volume: wet.map(|microns| crate::units::Millilitres(area.square_metres() * microns)),
                ..blank(
                    format!("{name}/{word}{loose}-{nth}{tail}"),
                    step.kind,
                    1_000 + position as u64,
                )
            });
            if let Some((before, delay)) = line {
                writer.wait(before, at, delay, "follows on the same piece");
            }
            for film in last_films(writer, pieces, schedule) {
                let rule = "rubbed out and waxed only when dry through";
                writer.wait(film, at, Delay::Film(Stage::DryThrough), rule);
            }
            super::after::over_wax(writer, at);
            let wait = step.wait.as_ref().map_or(0, |wait| wait.high.ceil() as i64);
            line = Some((at, Delay::Minutes(wait)));
        }
    }
}

fn is_assembled(step: &Step) -> bool {
    step.phase == Phase::Assembled
}

fn surfaces_of(job: &Job, pieces: &[usize], schedule: &Schedule, step: &Step) -> Vec<usize> {
    let Some(piece) = pieces.first().and_then(|&piece| job.pieces.get(piece)) else {
        return Vec::new();
    };
    let due = piece
        .surfaces
        .iter()
        .enumerate()
        .filter(|(_, surface)| surface.schedule.as_deref().map(trunk) == Some(schedule.trunk()));
    due.filter(|(_, surface)| !step.show_only || surface.show == Show::Show)
        .map(|(at, _)| at)
        .collect()
}

fn area_of(job: &Job, pieces: &[usize], schedule: &Schedule, step: &Step) -> SquareMillimetres {
    let surfaces = pieces
        .iter()
        .filter_map(|&piece| job.pieces.get(piece))
        .flat_map(|piece| piece.surfaces.iter());
    let due = surfaces.filter(|surface| surface.schedule.as_deref().map(trunk) == Some(schedule.trunk()));
    due.filter(|surface| !step.show_only || surface.show == Show::Show)
        .map(|surface| surface.area)
        .sum()
}

/// The last coats of the surfaces that get this schedule.
fn last_films(writer: &Writer, pieces: &[usize], schedule: &Schedule) -> Vec<usize> {
    let mut films = Vec::new();
    for &piece in pieces {
        let Some(ready) = writer.work.ready.get(piece) else {
            continue;
        };
        for &(before, delay) in ready {
            let product = writer.work.operations[before].product.as_deref();
            let ours = product.is_some_and(|id| schedule.product(id).is_some());
            if ours && delay == Delay::Film(Stage::DryHard) {
                films.push(before);
            }
        }
    }
    films
}
