//! What was decided at the bench: faults made good on some surfaces, and coats beyond the schedule's.
//!
//! Invariant: operations of a mend carry its id and count as no coat; a coat more is counted and numbered
//! after the last of the schedule; neither changes the id of anything else.

use super::film::{Due, Films, Laid, abrade, lain_on, lay};
use super::groups::Group;
use super::lay::passes;
use super::levels::{self, Level};
use super::minutes;
use super::operation::{Delay, WorkOperation};
use super::writer::{Writer, on_piece};
use crate::finish::{Schedule, Stage, StepKind};
use crate::job::{Job, Mend};

/// The mends of a piece that are still to be written.
pub(super) struct Mends<'a>(Vec<&'a Mend>);

impl<'a> Mends<'a> {
    /// Those of a piece.
    pub fn of(job: &'a Job, piece: usize) -> Self {
        Self(job.since_written.mends_of(piece).iter().collect())
    }

    /// Writes those whose coat has been written; with `all` the rest too.
    pub fn write(
        &mut self,
        writer: &mut Writer,
        piece: usize,
        groups: &[Group],
        levels: &[Vec<Level>],
        films: &mut Films,
        all: bool,
    ) {
        let touched = |mend: &Mend| {
            let on = |index: &usize| groups[*index].surfaces.iter().any(|at| mend.surfaces.contains(at));
            (0..groups.len()).filter(on).collect::<Vec<usize>>()
        };
        let ripe = |mend: &Mend| {
            let mut groups = touched(mend).into_iter();
            films.first.is_some() && groups.all(|index| films.coats[index] >= mend.after && films.begun[index])
        };
        let (now, later): (Vec<&Mend>, Vec<&Mend>) = self.0.iter().partition(|mend| all || ripe(mend));
        self.0 = later;
        for mend in now {
            let groups_of: Vec<usize> = touched(mend);
            work_over(writer, piece, mend, films);
            if mend.coat {
                coat_over(writer, piece, groups, levels, films, mend, &groups_of);
            }
        }
    }
}

/// The paper of a mend: over its surfaces, when every film there is dry to sand.
fn work_over(writer: &mut Writer, piece: usize, mend: &Mend, films: &Films) {
    let job = writer.job;
    let Some(of) = job.pieces.get(piece) else { return };
    let here = |film: &&Laid| film.surfaces.iter().any(|at| mend.surfaces.contains(at));
    let beneath: Vec<Laid> = films.latest.iter().flatten().filter(here).cloned().collect();
    let top = beneath.last().map(|film| &writer.work.operations[film.operation]);
    let product = top
        .and_then(|top| top.product.as_deref())
        .and_then(|id| job.product(id));
    let Some(step) = product.and_then(|product| mend.fault.worked_by(product.mechanism)) else {
        return;
    };
    let word = match step {
        StepKind::Flat => "level",
        StepKind::Scuff => "scuff",
        _ => "denib",
    };
    let campaign = top.map_or(0, |top| top.campaign / 100_000 * 100_000 + 70_000);
    let area = minutes::area(of, &mend.surfaces);
    let at = writer.push(WorkOperation {
        surfaces: mend.surfaces.clone(),
        minutes: minutes::handling(job, 0) + minutes::over(job, step, area),
        dusty: true,
        film_from: beneath.last().map(|film| film.operation),
        campaign,
        ..on_piece(piece, of, step, &format!("mend-{word}-{}", mend.id))
    });
    for film in &beneath {
        let rule = "abraded only when the film is dry to sand";
        writer.wait(film.operation, at, Delay::Film(Stage::DryToSand), rule);
    }
    lain_on(writer, of, Some(at), &films.latest);
}

/// The coat of a mend: the last product of each group, over the surfaces of the mend alone.
fn coat_over(
    writer: &mut Writer,
    piece: usize,
    groups: &[Group],
    levels: &[Vec<Level>],
    films: &mut Films,
    mend: &Mend,
    touched: &[usize],
) {
    let mut due = Vec::new();
    for &index in touched {
        let coats = films.coats[index].max(1);
        let of_coat = |level: &&Level| level.is_coat() && level.number <= coats;
        let (Some(group), Some(level)) = (groups.get(index), levels[index].iter().rfind(of_coat)) else {
            continue;
        };
        let here = |at: &usize| mend.surfaces.contains(at);
        let surfaces: Vec<usize> = group.surfaces.iter().copied().filter(here).collect();
        due.extend(passes(writer, piece, &surfaces, level).into_iter().map(|pass| Due {
            group: index,
            level,
            pass,
            mend: Some(mend.id.as_str()),
        }));
    }
    lay(writer, piece, groups, films, due);
}

/// Coats beyond the schedule's, on the surfaces whose schedule was lengthened at the bench.
pub(super) fn more_coats<'a>(
    writer: &mut Writer<'a>,
    piece: usize,
    groups: &[Group<'a>],
    levels: &[Vec<Level<'a>>],
    films: &mut Films,
) {
    for more in 1..=u8::MAX {
        let mut longer: Vec<(usize, Vec<usize>, Vec<Level<'a>>)> = Vec::new();
        for (index, group) in groups.iter().enumerate() {
            longer.extend(lengthened(writer.job, piece, index, group, more));
        }
        if longer.is_empty() {
            return;
        }
        let mut due = Vec::new();
        for (index, surfaces, all) in &longer {
            let number = levels[*index].iter().filter(|level| level.is_coat()).count() as u8 + more;
            let find = |wanted: u8| all.iter().find(|level| level.coat() == Some(wanted));
            let (Some(beneath), Some(level)) = (find(number - 1), find(number)) else {
                continue;
            };
            let written = levels[*index].last().map_or(&[][..], |level| level.between.as_slice());
            let laid: Vec<Laid> = films.latest[*index]
                .iter()
                .map(|film| Laid {
                    surfaces: film
                        .surfaces
                        .iter()
                        .copied()
                        .filter(|at| surfaces.contains(at))
                        .collect(),
                    ..film.clone()
                })
                .filter(|film| !film.surfaces.is_empty())
                .collect();
            for step in &beneath.between {
                // what the schedule does after its last coat anyway is written already
                if more == 1 && written.iter().any(|other| other.kind == step.kind) {
                    continue;
                }
                let at = abrade(writer, piece, step, beneath, &laid, true);
                if let Some(of) = writer.job.pieces.get(piece) {
                    lain_on(writer, of, at, &films.latest);
                }
            }
            for film in films.latest.get_mut(*index).into_iter().flatten() {
                if film.surfaces.iter().any(|at| surfaces.contains(at)) {
                    film.prepared = beneath.prepared();
                }
            }
            due.extend(passes(writer, piece, surfaces, level).into_iter().map(|pass| Due {
                group: *index,
                level,
                pass,
                mend: None,
            }));
        }
        lay(writer, piece, groups, films, due);
        for (index, _, _) in &longer {
            films.coats[*index] = films.coats[*index].saturating_add(1);
        }
        after_last(writer, piece, &longer, levels, films, more);
    }
}

/// A de-nib that the schedule has after its last coat follows the last one added too.
fn after_last(
    writer: &mut Writer,
    piece: usize,
    longer: &[(usize, Vec<usize>, Vec<Level>)],
    levels: &[Vec<Level>],
    films: &Films,
    more: u8,
) {
    for (index, surfaces, all) in longer {
        let number = levels[*index].iter().filter(|level| level.is_coat()).count() as u8 + more;
        let Some(level) = all.last().filter(|level| level.coat() == Some(number)) else {
            continue;
        };
        let here = |film: &&Laid| film.surfaces.iter().any(|at| surfaces.contains(at));
        let laid: Vec<Laid> = films.latest[*index].iter().filter(here).cloned().collect();
        for step in &level.between {
            let at = abrade(writer, piece, step, level, &laid, true);
            if let Some(of) = writer.job.pieces.get(piece) {
                lain_on(writer, of, at, &films.latest);
            }
        }
    }
}

/// The surfaces of a group that get at least so many coats more, with the films of the lengthened schedule.
fn lengthened<'a>(
    job: &'a Job,
    piece: usize,
    index: usize,
    group: &Group<'a>,
    more: u8,
) -> Option<(usize, Vec<usize>, Vec<Level<'a>>)> {
    let of = job.pieces.get(piece)?;
    let coats = |schedule: &Schedule| schedule.coats_due().count();
    let base = coats(group.schedule);
    let schedule_of = |at: &usize| job.schedules.get(of.surfaces.get(*at)?.schedule.as_deref()?);
    let enough = |at: &usize| schedule_of(at).is_some_and(|one| coats(one) >= base + usize::from(more));
    let surfaces: Vec<usize> = group.surfaces.iter().copied().filter(enough).collect();
    let longest = surfaces.iter().filter_map(schedule_of).max_by_key(|one| coats(one))?;
    let whole = Group {
        schedule: longest,
        surfaces: surfaces.clone(),
    };
    Some((index, surfaces, levels::of(&whole)))
}
