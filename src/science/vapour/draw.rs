//! What a coat takes of a room's allowance of vapour, as rectangles a planner can add up.
//!
//! Invariant: at every minute the rectangles of a coat reach at least as high as the coat's own vapour does,
//! until what is left is below the floor the caller gives.
//!
//! The vapour of several coats adds up, so a plan whose rectangles stay under the cap stays under it in the
//! well-mixed room too (less at most one floor a coat). The rectangles are higher than the truth on two
//! counts: the coat counts from its start as if all of it were laid at once, and it keeps its peak until the
//! last stroke is as old as the first was at the peak.

use super::release::Release;
use super::room::Room;

/// One solvent of a coat.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Part {
    /// Grams.
    pub grams: f64,
    /// Its lower explosive limit, g/m³ (see [`super::Substance::lel_grams`]).
    pub lel: f64,
    /// How it leaves the film.
    pub release: Release,
}

/// What one gram of a coat leaves in the air of a room by each minute, worked out once for coats released alike.
#[derive(Debug)]
pub struct Courses<'r> {
    room: &'r Room,
    known: Vec<(Release, Vec<f64>)>,
}

impl<'r> Courses<'r> {
    /// None worked out yet.
    pub const fn new(room: &'r Room) -> Self {
        Self {
            room,
            known: Vec::new(),
        }
    }

    /// Where the course of a release is kept.
    fn find(&mut self, release: Release) -> usize {
        let at = self.known.iter().position(|(known, _)| *known == release);
        at.unwrap_or_else(|| {
            self.known.push((release, Vec::new()));
            self.known.len() - 1
        })
    }

    /// g/m³ of one gram so many minutes after it was laid.
    fn after(&mut self, course: usize, minute: u32) -> f64 {
        let Some((release, known)) = self.known.get_mut(course) else {
            return 0.0;
        };
        while known.len() <= minute as usize {
            known.push(self.room.after_coat(*release, known.len() as f64));
        }
        known.get(minute as usize).copied().unwrap_or(0.0)
    }
}

/// One rectangle: an amount held from the start of the coat for some minutes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Draw {
    /// Thousandths of a per cent of the lower explosive limit (10 % is 10,000), rounded up.
    pub amount: u32,
    /// Minutes from the start of the coat.
    pub minutes: u32,
}

/// Thousandths of a per cent of the lower explosive limit, rounded down: how a cap is written as a budget.
pub fn budget(percent_lel: f64) -> u32 {
    (percent_lel.max(0.0) * 1000.0).floor() as u32
}

/// The most a coat holds at once: the whole stair. A coat whose peak is above the budget fits into no plan.
pub fn peak(stair: &[Draw]) -> u32 {
    stair.iter().fold(0, |sum, draw| sum.saturating_add(draw.amount))
}

/// The stair cut off at a budget: a coat that is over it alone takes all of it as long as it is, and its own rest
/// after that, so that nothing else is planned on top of it.
pub fn within(stair: &[Draw], budget: u32) -> Vec<Draw> {
    let mut over = peak(stair).saturating_sub(budget);
    let mut order: Vec<Draw> = stair.to_vec();
    // the shortest stand on top
    order.sort_by_key(|draw| draw.minutes);
    for draw in &mut order {
        let cut = draw.amount.min(over);
        draw.amount -= cut;
        over -= cut;
    }
    order.retain(|draw| draw.amount > 0);
    order
}

/// Levels of the stair, as shares of the peak (own choice, no source).
const STEPS: [f64; 4] = [0.6, 0.3, 0.12, 0.03];
/// Between two whole minutes the vapour can lie a little above both (own choice, no source).
const BETWEEN: f64 = 1.01;

/// The rectangles of one coat laid over `hand_minutes`. Vapour below `floor` (% of the explosive limit) is let
/// go; a sensible floor is a thousandth of the cap. No rectangle is longer than `longest` minutes.
pub fn draws(courses: &mut Courses, parts: &[Part], hand_minutes: u32, floor: f64, longest: u32) -> Vec<Draw> {
    let room = courses.room;
    let given: Vec<(&Part, usize)> = parts
        .iter()
        .filter(|part| part.lel > 0.0 && part.grams > 0.0)
        .map(|part| (part, courses.find(part.release)))
        .collect();
    let mut level = |minute: u32| {
        let one = |(part, course): &(&Part, usize)| part.grams * courses.after(*course, minute) / part.lel;
        let sum: f64 = given.iter().map(one).sum();
        100.0 * sum * BETWEEN
    };
    // in a room that changes its air, what each part is after so many of its own time constants is gone
    let slowest = parts
        .iter()
        .map(|part| part.release.time_constant())
        .fold(0.0, f64::max);
    let leave = room.pace() / 60.0;
    let reach = if leave > 0.0 {
        25.0 * (slowest + 1.0 / leave)
    } else {
        f64::MAX
    };
    let last = (reach.ceil() as u32).min(longest);
    // every part is past its own peak by then, so what falls below the floor stays there
    let falling = if leave > 0.0 {
        slowest.max(1.0 / leave)
    } else {
        f64::MAX
    };
    let mut levels: Vec<f64> = Vec::new();
    for minute in 0..=last {
        let here = level(minute);
        levels.push(here);
        if here <= floor && f64::from(minute) > falling {
            break;
        }
    }
    let last = levels.len() as u32 - 1;
    let peak = levels.iter().copied().fold(0.0, f64::max);
    if peak <= 0.0 {
        return Vec::new();
    }
    // the last minute at which the coat is above a level; then the last stroke's delay
    let above = |least: f64| {
        let at = levels.iter().rposition(|&level| level > least).unwrap_or(0) as u32;
        // still above it where the look ahead ends
        if at >= last {
            longest
        } else {
            (at + 1 + hand_minutes).min(longest)
        }
    };
    let mut lows: Vec<f64> = STEPS
        .iter()
        .map(|share| share * peak)
        .filter(|low| *low > floor)
        .collect();
    lows.push(floor.max(0.0).min(peak));
    let mut high = peak;
    let mut stair: Vec<Draw> = Vec::new();
    for (index, &low) in lows.iter().enumerate() {
        // the lowest rectangle stands on the ground
        let foot = if index + 1 == lows.len() { 0.0 } else { low };
        let amount = (1000.0 * (high - foot)).ceil() as u32;
        if amount > 0 {
            stair.push(Draw {
                amount,
                minutes: above(low),
            });
        }
        high = low;
    }
    stair
}
