//! The films a schedule lays, level by level: filler and colour, coats, and colour between coats.
//!
//! Invariant: levels of one schedule stand in working order; only coats are counted and numbered as coats. A wash
//! coat is a coat before colour, a glaze or a toner is colour between coats.

use super::groups::Group;
use super::writer::campaign;
use crate::finish::{Phase, Prepare, Product, Schedule, Step, StepKind};
use std::collections::BTreeMap;

/// One film of a group with what the schedule wants done to it before the next.
pub(super) struct Level<'a> {
    /// Its step: fill, colour, seal or coat.
    pub step: &'a Step,
    /// Its number: coats are counted together, fillings and colourings each on their own.
    pub number: u8,
    /// How many coats lie beneath it.
    beneath: u64,
    /// Of a ground: its place among those with as many coats beneath.
    depth: u64,
    pub product: &'a Product,
    pub between: Vec<&'a Step>,
}

impl Level<'_> {
    /// Whether the film counts as a coat; filler and colour do not.
    pub fn is_coat(&self) -> bool {
        Schedule::is_coat(self.step.kind)
    }

    /// The number of the coat, for films that count.
    pub fn coat(&self) -> Option<u8> {
        self.is_coat().then_some(self.number)
    }

    /// What its operations are called: `coat-2`, `seal-1`, `colour-1`, `fill-1`.
    pub fn name(&self) -> String {
        format!("{}-{}", self.word(), self.number)
    }

    /// What comes after another word in an id: `1` of a coat (`wipe-back-1`), `colour-1` of a ground.
    pub fn tail(&self) -> String {
        if self.is_coat() {
            self.number.to_string()
        } else {
            self.name()
        }
    }

    /// What the schedule itself does to it before the next.
    pub fn prepared(&self) -> Prepare {
        let best = |step: &&Step| match step.kind {
            StepKind::Scuff | StepKind::Flat => Prepare::Scuff,
            StepKind::Denib => Prepare::Denib,
            _ => Prepare::None,
        };
        self.between.iter().map(best).max().unwrap_or(Prepare::None)
    }

    /// Its campaign: `part` 0 far pass, 1 near pass, 2 wipe, 3 re-wipe, 4 de-nib.
    pub fn campaign(&self, part: u64, product: u64) -> u64 {
        if self.is_coat() {
            campaign::coat(u64::from(self.number), part, product)
        } else {
            campaign::ground(self.beneath, self.depth, part, product)
        }
    }

    fn word(&self) -> &'static str {
        match self.step.kind {
            StepKind::Fill => "fill",
            StepKind::Colour => "colour",
            StepKind::Seal => "seal",
            _ => "coat",
        }
    }
}

/// The films of a schedule, each with the loose steps up to the next one.
pub(super) fn of<'a>(group: &Group<'a>) -> Vec<Level<'a>> {
    let mut levels: Vec<Level> = Vec::new();
    let schedule = group.schedule;
    for step in schedule.steps.iter().filter(|step| step.phase == Phase::Loose) {
        match step.kind {
            StepKind::Fill | StepKind::Colour | StepKind::Seal | StepKind::Coat => {
                let Some(product) = step.product.as_deref().and_then(|id| schedule.product(id)) else {
                    continue;
                };
                let coat = Schedule::is_coat(step.kind);
                let like = |level: &&Level| level.is_coat() == coat && (coat || level.step.kind == step.kind);
                let number = levels.iter().filter(like).count() + 1;
                let beneath = levels.iter().filter(|level| level.is_coat()).count() as u64;
                let beside = |level: &&Level| !level.is_coat() && level.beneath == beneath;
                let depth = levels.iter().filter(beside).count() as u64;
                levels.push(Level {
                    step,
                    number: u8::try_from(number).unwrap_or(u8::MAX),
                    beneath,
                    depth,
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

/// Which films of which groups go on together: what goes on before the first coat, then coat by coat with what
/// lies between, so that one side dries while the other is coated, and the two sides of a wide panel stand unequal
/// as shortly as can be.
pub(super) fn stages(levels: &[Vec<Level>]) -> Vec<Vec<(usize, usize)>> {
    let mut stages: BTreeMap<(u64, bool, u64), Vec<(usize, usize)>> = BTreeMap::new();
    for (group, levels) in levels.iter().enumerate() {
        for (at, level) in levels.iter().enumerate() {
            let place = (
                level.beneath,
                level.is_coat(),
                if level.is_coat() { 0 } else { level.depth },
            );
            stages.entry(place).or_default().push((group, at));
        }
    }
    stages.into_values().collect()
}
