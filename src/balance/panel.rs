//! The balance of every wide panel of a job: planned, live, and what it would do.
//!
//! Invariant: panels in the job's order; solid panels no wider than the room's threshold are not here, nor are
//! small sheets.

use super::faces::{Faces, Unequal};
use super::films::FaceFilms;
use super::predict::{AirStep, Bend, Exchanges};
use crate::dayplan::document::Stamp;
use crate::dayplan::{History, Plan};
use crate::job::{Build, Job, Piece, Shape};
use crate::science::movement::{Meant, Sawn, Timber, change, timber};
use crate::science::slab::{DIFFUSION, equalising_days, equalising_days_one_face};
use crate::science::wood::equilibrium_moisture;
use crate::standing::Standing;
use crate::units::{Moment, Percent};
use serde::Serialize;

/// A sheet or veneered panel this long warns when its films differ, mm (common practice, no source; the case
/// reported was 1.83 m square).
pub const LARGE_SHEET: f64 = 600.0;

/// A wide solid panel.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PanelBalance {
    /// Piece.
    pub piece: String,
    /// Its name.
    pub name: String,
    /// Timber as the maker writes it.
    pub material: String,
    /// The rows of the timber table that answers to; empty where none does.
    pub timbers: Vec<&'static Timber>,
    /// How it is cut, as far as the maker says.
    pub sawn: Option<Sawn>,
    /// Across the grain, mm.
    pub width_mm: f64,
    /// Thickness, mm.
    pub thickness_mm: f64,
    /// Films of the face.
    pub face: FaceFilms,
    /// Films of the back.
    pub back: FaceFilms,
    /// Same number of coats in the end.
    pub equal_coats: bool,
    /// Same products in the end.
    pub equal_products: bool,
    /// Why the maker accepts it otherwise.
    pub accepted: Option<String>,
    /// Hours unequal over the whole plan.
    pub planned: Unequal,
    /// Hours unequal up to now; `null` without a standing.
    pub so_far: Option<Unequal>,
    /// Stands unequal now, since when.
    pub unequal_since: Option<Stamp>,
    /// Bend if the air made its step at the beginning of the worst stretch with unequal coats; `null` where the
    /// faces are never unequal or a film is not known.
    pub while_unequal: Option<Bend>,
    /// Bend in use, with the films it ends with, after the step.
    pub in_use: Option<Bend>,
    /// Change of its width between the driest and the dampest season, once it has come all the way, mm: least,
    /// usual, most. For slots and buttons.
    pub season_mm: Option<[f64; 3]>,
    /// Days to come two thirds of the way: fast, usual, slow wood, both faces open.
    pub equalising_days: Option<[f64; 3]>,
    /// The same with one face sealed.
    pub equalising_days_one_face: Option<[f64; 3]>,
}

/// A large veneered or sheet panel whose films differ.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SheetBalance {
    /// Piece.
    pub piece: String,
    /// Its name.
    pub name: String,
    /// Build.
    pub build: Build,
    /// Longer side, mm.
    pub length_mm: f64,
    /// Shorter side, mm.
    pub width_mm: f64,
    /// Films of the face.
    pub face: FaceFilms,
    /// Films of the back.
    pub back: FaceFilms,
    /// Why the maker accepts it.
    pub accepted: Option<String>,
}

/// The whole.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Balance {
    /// Relative humidity and temperature the step goes from: °C, %.
    pub step_from: (f64, f64),
    /// And to.
    pub step_to: (f64, f64),
    /// Days followed.
    pub step_days: f64,
    /// Change of the moisture wood settles at, %.
    pub step_moisture: f64,
    /// Driest season: °C, %.
    pub driest: (f64, f64),
    /// Dampest.
    pub dampest: (f64, f64),
    /// Wide solid panels.
    pub panels: Vec<PanelBalance>,
    /// Large veneered and sheet panels with differing films.
    pub sheets: Vec<SheetBalance>,
    /// The trade's dispute.
    pub dispute: &'static str,
}

/// What has happened and where everything stands.
pub type Live<'a> = (&'a History, &'a Standing);

/// The balance of a job by its plan; live also with what has been so far. `step` is what the air is asked to
/// do.
pub fn of(job: &Job, plan: &Plan, live: Option<Live<'_>>, step: &AirStep) -> Balance {
    let mut exchanges = Exchanges::default();
    let wide = job.pieces.iter().enumerate().filter(|(_, piece)| job.is_wide(piece));
    let panels = wide
        .map(|(index, piece)| panel(job, plan, live, step, index, piece, &mut exchanges))
        .collect();
    let sheets = job
        .pieces
        .iter()
        .filter_map(|piece| sheet(job, plan, live, piece))
        .collect();
    Balance {
        step_from: (step.from.temperature.0, step.from.humidity.0),
        step_to: (step.to.temperature.0, step.to.humidity.0),
        step_days: step.days,
        step_moisture: step.moisture(),
        driest: (step.driest.temperature.0, step.driest.humidity.0),
        dampest: (step.dampest.temperature.0, step.dampest.humidity.0),
        panels,
        sheets,
        dispute: super::DISPUTE,
    }
}

fn films(job: &Job, coats: &[(Moment, String)]) -> FaceFilms {
    let products: Vec<String> = coats.iter().map(|coat| coat.1.clone()).collect();
    FaceFilms::of(job, &products)
}

fn panel(
    job: &Job,
    plan: &Plan,
    live: Option<Live<'_>>,
    step: &AirStep,
    index: usize,
    piece: &Piece,
    exchanges: &mut Exchanges,
) -> PanelBalance {
    let faces = Faces::of(piece, plan, live.map(|(history, _)| history));
    let (face, back) = (films(job, &faces.face), films(job, &faces.back));
    let meant = timber(&piece.material);
    let coefficients = meant.as_ref().and_then(Meant::coefficients);
    let size = (piece.width, piece.thickness);
    let moisture = step.moisture();
    let mut bend = |face: &FaceFilms, back: &FaceFilms, days: f64| {
        let (face, back) = (face.rows()?, back.rows()?);
        exchanges.bend((&face, &back), size, coefficients, moisture, days)
    };
    let on = |side: &[(Moment, String)], coats: usize| films(job, side.get(..coats).unwrap_or(side));
    let while_unequal = faces
        .unequal()
        .into_iter()
        .filter_map(|stretch| {
            let days = (stretch.until? - stretch.from).0 as f64 / 1440.0;
            bend(&on(&faces.face, stretch.face), &on(&faces.back, stretch.back), days)
        })
        .max_by(|one, other| one.gap_percent[1].abs().total_cmp(&other.gap_percent[1].abs()));
    let in_use = bend(&face, &back, step.days);
    let season_mm = coefficients.map(|all| {
        let (from, to) = (equilibrium_moisture(step.driest), equilibrium_moisture(step.dampest));
        all.map(|coefficient| change(piece.width, coefficient, Percent(from.0), Percent(to.0)).0)
    });
    let metres = piece.thickness.0 / 1000.0;
    let days = |of: fn(f64, f64) -> Option<f64>| {
        let [slow, usual, fast] = DIFFUSION;
        Some([of(metres, fast)?, of(metres, usual)?, of(metres, slow)?]).filter(|_| metres > 0.0)
    };
    let here = live.and_then(|(_, standing)| {
        let piece = standing.pieces.iter().find(|one| one.piece == index)?;
        Some((standing.now, piece.unequal_since))
    });
    PanelBalance {
        piece: piece.id.clone(),
        name: piece.name.clone(),
        material: piece.material.clone(),
        sawn: meant.as_ref().map(|meant| meant.sawn),
        timbers: meant.map(|meant| meant.timbers).unwrap_or_default(),
        width_mm: piece.width.0,
        thickness_mm: piece.thickness.0,
        equal_coats: face.coats == back.coats,
        equal_products: faces.same_products(),
        face,
        back,
        accepted: job.accepted_imbalance.get(&piece.id).cloned(),
        planned: faces.hours(None),
        so_far: here.map(|(now, _)| faces.hours(Some(now))),
        unequal_since: here
            .and_then(|(_, since)| since)
            .map(|since| since.with_offset(job.zone)),
        while_unequal,
        in_use,
        season_mm,
        equalising_days: days(equalising_days),
        equalising_days_one_face: days(equalising_days_one_face),
    }
}

fn sheet(job: &Job, plan: &Plan, live: Option<Live<'_>>, piece: &Piece) -> Option<SheetBalance> {
    let (long, short) = (piece.length.0.max(piece.width.0), piece.length.0.min(piece.width.0));
    let large = piece.shape == Shape::Panel
        && piece.build != Build::Solid
        && long >= LARGE_SHEET
        && short > job.room.wide_over.0;
    let faces = Faces::of(piece, plan, live.map(|(history, _)| history));
    let differ = faces.face.len() != faces.back.len() || !faces.same_products();
    (large && differ).then(|| SheetBalance {
        piece: piece.id.clone(),
        name: piece.name.clone(),
        build: piece.build,
        length_mm: long,
        width_mm: short,
        face: films(job, &faces.face),
        back: films(job, &faces.back),
        accepted: job.accepted_imbalance.get(&piece.id).cloned(),
    })
}
