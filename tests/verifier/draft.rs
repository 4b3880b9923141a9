//! Writing a plan by hand: one line an operation, with the rest of the document added up from the lines.
//!
//! Invariant: what is added up (stages, milestones, rounds, balance) is plain addition of stated minutes; the
//! planner, the generator of operations and (but for rooms off the stated air) the drying clock have no part.

#![allow(clippy::expect_used, reason = "a plan by hand stops where it was written wrong")]

use crate::line::Line;
use crate::shop::{ZONE, at};
use denib::clock::DryingClock;
use denib::dayplan::document::{
    AssemblyAt, Because, BecauseKind, Dry, DryWindow, HandShifts, KeepApart, Operation, Plan, Round, SectionReady,
    Stamp,
};
use denib::finish::{Opening, Phase, Product, Stage, StepKind};
use denib::job::{Holding, Job};
use denib::units::{Moment, Span};
use std::collections::BTreeMap;

/// A plan being written, with the job beside it.
pub struct Draft {
    pub job: Job,
    pub lines: Vec<Line>,
    pub bound: Moment,
    /// When everybody works.
    pub shifts: Vec<(Moment, Moment)>,
    /// Drying clocks, for rooms that do not stand at the stated air; without them a stated minute is a minute.
    pub clocks: Option<BTreeMap<String, DryingClock>>,
}

impl Draft {
    pub fn get(&mut self, id: &str) -> &mut Line {
        self.lines
            .iter_mut()
            .find(|line| line.id == id)
            .expect("a line with this id")
    }

    /// Begins it at another time.
    pub fn shift(&mut self, id: &str, from: &str) {
        self.get(id).from = at(from);
    }

    pub fn remove(&mut self, id: &str) {
        self.get(id);
        self.lines.retain(|line| line.id != id);
    }

    pub fn product(&mut self, id: &str) -> &mut Product {
        let mut products = self
            .job
            .schedules
            .values_mut()
            .flat_map(|schedule| &mut schedule.products);
        products
            .find(|product| product.id == id)
            .expect("a product with this id")
    }

    /// Writes the whole document.
    pub fn plan(&self) -> Plan {
        let mut lines = self.lines.clone();
        lines.sort_by_key(|line| (line.from, line.until()));
        let ready = self.ready();
        let starts = self.job.start;
        let all_ready = ready.iter().map(|(_, at)| *at).max().unwrap_or(starts);
        let bound = self.bound.min(all_ready);
        let loose = lines
            .iter()
            .filter(|line| line.phase == Phase::Loose && line.piece.is_some());
        let steps = lines
            .iter()
            .filter(|line| line.assembly.is_some() && line.step != StepKind::GlueUp);
        Plan {
            schema: 1,
            job: self.job.title.clone(),
            zone: self.job.zone.name().to_owned(),
            seed: 0,
            tries: 0,
            now: stamp(starts),
            starts: stamp(starts),
            ready: stamp(all_ready),
            ends: stamp(loose.map(Line::until).max().unwrap_or(starts)),
            finished: steps.map(Line::until).max().map(stamp),
            bound: stamp(bound),
            gap_percent: 100.0 * (all_ready - bound).0 as f64 / (bound - starts).0 as f64,
            wide_over_mm: self.job.room.wide_over.0,
            hands: self.hands(),
            climate: Vec::new(),
            sections: self.sections(&ready),
            assemblies: self.assemblies(),
            pieces: self.pieces(),
            products: self.products(),
            mixes: Vec::new(),
            changeovers: self.changeovers(),
            places: self.places(),
            rounds: rounds(&lines),
            operations: lines.iter().map(|line| self.operation(line)).collect(),
            waits: self.waits(),
            keep_apart: vec![KeepApart {
                rule: "dust-wet".to_owned(),
                settle_minutes: self.job.room.settle_minutes as f64,
                separated: self.job.room.dust_separated,
            }],
            air: None,
            balance: self.balance(),
            stores: None,
            cautions: Vec::new(),
        }
    }

    /// So many stated minutes after the end of a coat, surely.
    pub fn later(&self, line: &Line, minutes: f64) -> Moment {
        self.after(line, minutes, DryingClock::reached)
    }

    /// The same, perhaps.
    pub fn sooner(&self, line: &Line, minutes: f64) -> Moment {
        self.after(line, minutes, DryingClock::perhaps)
    }

    fn after(&self, line: &Line, minutes: f64, hand: fn(&DryingClock, Moment, f64) -> Option<Moment>) -> Moment {
        match &self.clocks {
            None => line.until() + Span(minutes as i64),
            Some(clocks) => {
                let clock = line
                    .product
                    .as_ref()
                    .and_then(|id| clocks.get(id))
                    .expect("a product with a clock");
                hand(clock, line.until(), minutes).expect("reached in the air looked at")
            }
        }
    }

    /// The slow time to a stage.
    pub fn reached(&self, line: &Line, stage: Stage) -> Option<Moment> {
        let product = self.job.product(line.product.as_deref()?)?;
        let minutes = product.time_to(stage, line.coat.unwrap_or(1))?.high;
        Some(self.later(line, minutes))
    }

    fn dry(&self, line: &Line) -> Option<Dry> {
        let product = self.job.product(line.product.as_deref()?)?;
        let stage = |stage| self.reached(line, stage).map(stamp);
        // windows are written for the coat that follows on the same piece and surface
        let follows = self.lines.iter().any(|next| {
            next.step == StepKind::Coat
                && next.product == line.product
                && next.piece == line.piece
                && next.from > line.from
                && next.surfaces.iter().any(|id| line.surfaces.contains(id))
        });
        let window = |window: &denib::finish::RecoatWindow| DryWindow {
            from: stamp(match &window.opens {
                Opening::Stage(stage) => self.reached(line, *stage).expect("a stated stage"),
                Opening::After(minutes) => self.later(line, minutes.high),
            }),
            until: window
                .closes
                .as_ref()
                .map(|minutes| stamp(self.sooner(line, minutes.low))),
            prepare: window.prepare,
        };
        Some(Dry {
            set_to_touch: stage(Stage::SetToTouch),
            dust_free: stage(Stage::DustFree),
            tack_free: stage(Stage::TackFree),
            dry_to_touch: stage(Stage::DryToTouch),
            dry_to_turn: stage(Stage::DryToTouch),
            dry_to_sand: stage(Stage::DryToSand),
            dry_to_recoat: stage(Stage::DryToRecoat),
            dry_to_handle: stage(Stage::DryToHandle),
            dry_hard: stage(Stage::DryHard),
            dry_to_stack: stage(Stage::DryToStack),
            dry_through: stage(Stage::DryThrough),
            cured: stage(Stage::Cured),
            windows: if follows {
                product
                    .windows
                    .iter()
                    .filter(|window| window.next.is_none())
                    .map(window)
                    .collect()
            } else {
                Vec::new()
            },
        })
    }

    fn operation(&self, line: &Line) -> Operation {
        let coats = |other: &&Line| other.piece == line.piece && other.step == StepKind::Coat;
        let handle = self
            .lines
            .iter()
            .filter(coats)
            .filter_map(|coat| self.reached(coat, Stage::DryToHandle))
            .max();
        let place = line
            .holding
            .filter(|_| line.step == StepKind::Coat)
            .map(|holding| match holding {
                Holding::Bearers => "bearers",
                Holding::Points => "points",
                Holding::Hung => "hooks",
            });
        let dusty = matches!(
            line.step,
            StepKind::Sand | StepKind::Arris | StepKind::Denib | StepKind::Scuff
        ) && !line.grit.as_ref().is_some_and(|grit| grit.ends_with("wet"));
        let slots = self
            .job
            .pieces
            .iter()
            .find(|piece| Some(&piece.id) == line.piece.as_ref());
        Operation {
            id: line.id.clone(),
            round: line.round.clone(),
            piece: line.piece.clone(),
            assembly: line.assembly.clone(),
            surfaces: line.surfaces.clone(),
            step: line.step,
            coat: line.coat,
            grit: line.grit.clone(),
            product: line.product.clone(),
            family: line.family.clone(),
            mix: None,
            start: stamp(line.from),
            end: stamp(line.until()),
            hands: line.hands.clone(),
            hands_minutes: (line.minutes * line.hands.len() as i64) as f64,
            dusty,
            holding: line.holding,
            place: place.map(str::to_owned),
            place_slots: if place.is_some() {
                slots.map_or(1, |piece| piece.slots)
            } else {
                0
            },
            place_until: handle.filter(|_| place.is_some()).map(stamp),
            volume: None,
            solvent_g: None,
            film_from: line.film_from.clone(),
            phase: line.phase,
            state: line.state,
            dry: line.wet().then(|| self.dry(line)).flatten(),
            because: Because {
                kind: BecauseKind::Hands,
                op: None,
                at: stamp(line.from),
                text: "by hand".to_owned(),
            },
        }
    }

    /// Each section by index, and when its last piece is hard dry and done with.
    fn ready(&self) -> Vec<(usize, Moment)> {
        let ready = |section: usize| {
            let pieces = self.job.pieces.iter().filter(|piece| piece.section == section);
            let lines = pieces.flat_map(|piece| {
                self.lines
                    .iter()
                    .filter(|line| line.phase == Phase::Loose && line.piece.as_ref() == Some(&piece.id))
            });
            let done = lines.map(|line| {
                let hard = if line.step == StepKind::Coat {
                    self.reached(line, Stage::DryHard)
                } else {
                    None
                };
                line.until().max(hard.unwrap_or(line.until()))
            });
            done.max().unwrap_or(self.job.start)
        };
        (0..self.job.sections.len())
            .map(|section| (section, ready(section)))
            .collect()
    }

    fn sections(&self, ready: &[(usize, Moment)]) -> Vec<SectionReady> {
        let line = |(index, at): &(usize, Moment)| SectionReady {
            id: self.job.sections[*index].id.clone(),
            ready: stamp(*at),
            due: self.job.sections[*index].due.map(stamp),
            weight: self.job.sections[*index].weight,
        };
        ready.iter().map(line).collect()
    }

    fn assemblies(&self) -> Vec<AssemblyAt> {
        let line = |assembly: &denib::job::Assembly| {
            let glue = |line: &&Line| line.step == StepKind::GlueUp && line.assembly.as_ref() == Some(&assembly.id);
            AssemblyAt {
                id: assembly.id.clone(),
                made_of: assembly.made_of.iter().chain(&assembly.assemblies).cloned().collect(),
                at: self.lines.iter().find(glue).map(|line| stamp(line.from)),
            }
        };
        self.job.assemblies.iter().map(line).collect()
    }

    fn hands(&self) -> Vec<HandShifts> {
        let shifts: Vec<(Stamp, Stamp)> = self
            .shifts
            .iter()
            .map(|(from, until)| (stamp(*from), stamp(*until)))
            .collect();
        let hand = |hand: &denib::job::Hand| HandShifts {
            name: hand.name.clone(),
            shifts: shifts.clone(),
        };
        self.job.hands.iter().map(hand).collect()
    }
}

/// The same hours on a run of days.
pub fn daily(days: std::ops::RangeInclusive<i64>, hours: &[(&str, &str)]) -> Vec<(Moment, Moment)> {
    let clock = |day: i64, clock: &str| at(&format!("{day} {clock}"));
    days.flat_map(|day| {
        hours
            .iter()
            .map(move |(from, until)| (clock(day, from), clock(day, until)))
    })
    .collect()
}

pub fn stamp(at: Moment) -> Stamp {
    at.with_offset(ZONE)
}

/// Rounds: the lines that name the same one, in order of start.
fn rounds(lines: &[Line]) -> Vec<Round> {
    let mut rounds: Vec<Round> = Vec::new();
    for line in lines {
        let Some(id) = &line.round else { continue };
        match rounds.iter_mut().find(|round| round.id == *id) {
            Some(round) => {
                round.end = round.end.max(stamp(line.until()));
                round.operations.push(line.id.clone());
                round.hands.extend(
                    line.hands
                        .iter()
                        .filter(|name| !round.hands.contains(name))
                        .cloned()
                        .collect::<Vec<_>>(),
                );
            }
            None => rounds.push(Round {
                id: id.clone(),
                step: line.step,
                coat: line.coat,
                product: line.product.clone(),
                grit: line.grit.clone(),
                hands: line.hands.clone(),
                start: stamp(line.from),
                end: stamp(line.until()),
                operations: vec![line.id.clone()],
            }),
        }
    }
    rounds
}
