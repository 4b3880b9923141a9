//! The lists of a hand-written plan: what it repeats from the job, its waits and its balance.
//!
//! Invariant: says of the job what the job says; counts coats and hours from the lines alone.

#![allow(clippy::expect_used, reason = "a plan by hand stops where it was written wrong")]

use crate::draft::Draft;
use crate::line::Line;
use denib::dayplan::document::{
    BalanceLine, ChangeOver, PlaceLine, PlanJoint, PlanPiece, PlanProduct, PlanSurface, State, WaitFrom, WaitLine,
};
use denib::finish::{Product, Stage, StepKind};
use denib::job::{PlaceKind, SurfaceRole};
use denib::units::Moment;

impl Draft {
    pub fn pieces(&self) -> Vec<PlanPiece> {
        let due = |schedule: &Option<String>| {
            let schedule = schedule.as_ref().and_then(|id| self.job.schedules.get(id));
            schedule
                .map(|schedule| schedule.coats_due().map(str::to_owned).collect())
                .unwrap_or_default()
        };
        let piece = |piece: &denib::job::Piece| PlanPiece {
            id: piece.id.clone(),
            part: self.job.parts[piece.part].id.clone(),
            section: self.job.sections[piece.section].id.clone(),
            shape: piece.shape,
            build: piece.build,
            material: piece.material.clone(),
            length: piece.length.0,
            width: piece.width.0,
            thickness: piece.thickness.0,
            wide_panel: self.job.is_wide(piece),
            surfaces: piece
                .surfaces
                .iter()
                .map(|surface| PlanSurface {
                    id: surface.id.clone(),
                    label: surface.label.clone(),
                    show: surface.show,
                    area: surface.area.0,
                    due: due(&surface.schedule),
                })
                .collect(),
            joints: piece
                .joints
                .iter()
                .map(|joint| PlanJoint {
                    id: joint.id.clone(),
                    kind: joint.kind,
                    area: joint.area.0,
                })
                .collect(),
        };
        self.job.pieces.iter().map(piece).collect()
    }

    pub fn products(&self) -> Vec<PlanProduct> {
        let products = self.job.schedules.values().flat_map(|schedule| &schedule.products);
        let line = |product: &Product| PlanProduct {
            id: product.id.clone(),
            mechanism: product.mechanism,
            stated_at: (product.stated_at.temperature.0, product.stated_at.humidity.0),
            start_floor_c: product.start_floor.as_ref().map(|floor| floor.high),
            drying_floor_c: product.drying_floor.as_ref().map(|floor| floor.high),
            must_reach: None,
            windows: Vec::new(),
        };
        let mut lines: Vec<PlanProduct> = products.map(line).collect();
        lines.sort_by(|one, other| one.id.cmp(&other.id));
        lines.dedup_by(|one, other| one.id == other.id);
        lines
    }

    /// Cleaning out one family and setting up the next: the job's two rates together.
    pub fn changeovers(&self) -> Vec<ChangeOver> {
        let minutes = self.job.rate(denib::job::rates::OPEN) + self.job.rate(denib::job::rates::CLOSE);
        let families = self.job.schedules.values().flat_map(|schedule| &schedule.products);
        let mut families: Vec<String> = families.map(|product| product.family.clone()).collect();
        families.sort_unstable();
        families.dedup();
        let pairs = families
            .iter()
            .flat_map(|from| families.iter().map(move |to| (from, to)));
        let line = |(from, to): (&String, &String)| ChangeOver {
            from: from.clone(),
            to: to.clone(),
            minutes: minutes as u32,
        };
        pairs.filter(|(from, to)| from != to).map(line).collect()
    }

    pub fn places(&self) -> Vec<PlaceLine> {
        let places = &self.job.room.places;
        let line = |(id, kind, capacity): (&str, PlaceKind, Option<u32>)| PlaceLine {
            id: id.to_owned(),
            kind,
            capacity,
        };
        [
            ("bearers", PlaceKind::Bearers, places.bearers),
            ("points", PlaceKind::Points, places.points),
            ("hooks", PlaceKind::Hooks, places.hooks),
            ("racks", PlaceKind::Racks, places.racks),
        ]
        .map(line)
        .into()
    }

    /// One wait for every de-nib: the film beneath is dry to sand.
    pub fn waits(&self) -> Vec<WaitLine> {
        let denibs = self.lines.iter().filter(|line| line.step == StepKind::Denib);
        let wait = |line: &Line| {
            let film = self
                .lines
                .iter()
                .find(|film| Some(&film.id) == line.film_from.as_ref())?;
            let product = self.job.product(film.product.as_deref()?)?;
            Some(WaitLine {
                before: film.id.clone(),
                from: WaitFrom::End,
                after: line.id.clone(),
                min_minutes: product.time_to(Stage::DryToSand, 1).map(|figure| figure.high),
                max_minutes: None,
                rule: "dry to sand".to_owned(),
            })
        };
        denibs.filter_map(wait).collect()
    }

    pub fn balance(&self) -> Vec<BalanceLine> {
        let wide = self.job.pieces.iter().filter(|piece| self.job.is_wide(piece));
        let line = |piece: &denib::job::Piece| {
            let ends = |role: SurfaceRole| {
                let surface = piece
                    .surfaces
                    .iter()
                    .find(|surface| surface.role == role)
                    .expect("a panel");
                let coats = self.lines.iter().filter(|line| {
                    line.state != State::Skipped
                        && line.step == StepKind::Coat
                        && line.piece.as_ref() == Some(&piece.id)
                        && line.surfaces.contains(&surface.id)
                });
                let mut ends: Vec<Moment> = coats.map(Line::until).collect();
                ends.sort_unstable();
                ends
            };
            let (face, back) = (ends(SurfaceRole::Face), ends(SurfaceRole::Back));
            let apart: i64 = face.iter().zip(&back).map(|(one, other)| (*one - *other).0.abs()).sum();
            BalanceLine {
                piece: piece.id.clone(),
                coats_face: face.len() as u32,
                coats_back: back.len() as u32,
                hours_apart: apart as f64 / 60.0,
                ok: face.len() == back.len(),
                accepted: self.job.accepted_imbalance.get(&piece.id).cloned(),
            }
        };
        wide.map(line).collect()
    }
}
