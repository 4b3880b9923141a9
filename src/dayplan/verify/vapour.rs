//! The vapour of the coats in the room: under the job's cap, and the air line true where the plan has one.
//!
//! Invariant: worked out here from the operations by small steps of their own, shared with nothing that plans;
//! a coat that is over the cap all by itself may be put on, but only with nothing else in the air.
//!
//! What is in the films (per cent of the lower explosive limit, were it in the room's air) and in the air follow
//! film' = laid − film/τ and air' = film/τ − (air changes / mixing factor) · air, the well-mixed room.

use super::rule::{Breaches, Rule};
use super::sheet::{Op, Sheet};
use crate::dayplan::document::AirLine;
use crate::finish::Method;
use crate::science::vapour::{Substance, find, harmless, substance};
use crate::units::{Millilitres, Moment};

/// Share of the cap by which the sum may be over: rounding of volumes and of the steps.
const HAIR: f64 = 0.005;
/// Share of the cap that may be left of other coats where one alone is over it.
const REST: f64 = 0.02;
/// A room that changes less of its air an hour is as good as shut, and no order of coats helps.
const SHUT: f64 = 1.0 / 48.0;
/// Share by which a written peak may be off.
const PEAK_OFF: f64 = 0.03;

/// A coat as the room has it: over so many minutes from its start, so much, let go so fast.
struct Laid<'s, 'a> {
    op: &'s Op<'a>,
    /// % of the lower explosive limit, were all of it in the air.
    percent: f64,
    /// Time constant, minutes.
    tau: f64,
}

/// The room in numbers.
struct Air {
    volume: f64,
    /// Share that leaves a minute.
    leave: f64,
}

pub(super) fn check(sheet: &Sheet<'_>, found: &mut Breaches) {
    let Some(air) = Air::of(sheet) else {
        if sheet.plan.air.is_some() {
            let text = "the plan writes down vapour, and the job gives no room to work it out for".to_owned();
            found.document(Rule::AirLine, text);
        }
        return;
    };
    let coats: Vec<Laid> = sheet.ops.iter().filter_map(|op| laid(sheet, op, &air)).collect();
    let all: Vec<&Laid> = coats.iter().collect();
    let course = air.course(&all);
    if let Some(line) = &sheet.plan.air {
        line_is_true(sheet, line, &air, &course, found);
    }
    if air.leave * 60.0 >= SHUT {
        cap(sheet, &air, &coats, &course, found);
    }
}

fn cap(sheet: &Sheet<'_>, air: &Air, coats: &[Laid<'_, '_>], course: &Course, found: &mut Breaches) {
    let cap = sheet.job.room.rules.cap.0;
    if course.peak().1 <= cap * (1.0 + HAIR) {
        return;
    }
    let facts: Vec<&Laid> = coats.iter().filter(|coat| coat.op.is_fact()).collect();
    let mut alone = vec![air.course(&facts)];
    let large = coats.iter().filter(|coat| coat.percent > cap && !coat.op.is_fact());
    alone.extend(large.map(|coat| air.course(&[coat])).filter(|own| own.peak().1 > cap));
    let mut over = false;
    for (at, percent) in course.minutes() {
        let rest = alone.iter().map(|own| percent - own.at(at)).fold(percent, f64::min);
        if percent <= cap * (1.0 + HAIR) || rest <= cap * REST {
            over = false;
            continue;
        }
        // once for every stretch over the cap
        if !std::mem::replace(&mut over, true) {
            let part = |coat: &&Laid| coat.op.from < at && air.course(&[*coat]).at(at) > cap * REST;
            let mut to_blame: Vec<&Op<'_>> = coats.iter().filter(part).map(|coat| coat.op).collect();
            to_blame.sort_by_key(|op| std::cmp::Reverse(op.from));
            let text = format!(
                "at {} the vapour in the room passes {cap} % of its lower explosive limit ({} in the air)",
                sheet.clock(at),
                to_blame.iter().map(|op| op.id.as_str()).collect::<Vec<_>>().join(", ")
            );
            found.between(Rule::VapourCap, &to_blame, text);
        }
    }
}

fn line_is_true(sheet: &Sheet<'_>, line: &AirLine, air: &Air, course: &Course, found: &mut Breaches) {
    let rules = &sheet.job.room.rules;
    let changes = sheet.job.room.air_changes.unwrap_or(0.0);
    let said = [
        (line.volume_m3, air.volume, 1e-3, "m³"),
        (line.air_changes, changes, 1e-3, "changes of air an hour"),
        (line.mixing, rules.mixing, 1e-9, "as mixing factor"),
        (line.cap_percent_lel, rules.cap.0, 1e-9, "% as cap"),
    ];
    for (written, is, off, what) in said {
        if (written - is).abs() > off {
            let text = format!("the plan's air line says {written} {what}; the job gives {is}");
            found.document(Rule::AirLine, text);
        }
    }
    let (_, peak) = course.peak();
    if (line.peak_percent_lel - peak).abs() > PEAK_OFF * peak + 0.01 {
        let text = format!(
            "the plan's air line says a peak of {:.2} % of the lower explosive limit; its operations make {peak:.2} %",
            line.peak_percent_lel
        );
        found.document(Rule::AirLine, text);
    }
}

/// What a coat gives off. Nothing where its volume, its density or its solvents are not known: that is a caution.
fn laid<'s, 'a>(sheet: &Sheet<'a>, op: &'s Op<'a>, air: &Air) -> Option<Laid<'s, 'a>> {
    let product = sheet.product(op).filter(|_| op.lays_film())?;
    let volume = op.volume?;
    let gun = sheet.job.method_of(&product.id, op.step) == Method::Spray;
    let used = Millilitres(if gun {
        volume / Method::Spray.landing().usual
    } else {
        volume
    });
    let mass = used.0 * product.density.as_ref()?.high;
    let whole: f64 = product.solvents.iter().map(|(_, share)| share.high).sum();
    let most_flammable = || {
        substance::all()
            .iter()
            .map(Substance::lel_grams)
            .fold(f64::MAX, f64::min)
    };
    let of = |(name, share): &(String, crate::finish::Figure)| {
        if harmless(name) {
            return 0.0;
        }
        let limit = find(name).map_or_else(most_flammable, Substance::lel_grams);
        mass * share.high / whole.max(100.0) / limit / air.volume * 100.0
    };
    let percent: f64 = product.solvents.iter().map(of).sum();
    (percent > 0.0).then(|| Laid {
        op,
        percent,
        tau: product.release(op.coat.unwrap_or(1)).time_constant(),
    })
}

impl Air {
    fn of(sheet: &Sheet<'_>) -> Option<Self> {
        let room = &sheet.job.room;
        let [length, width, height] = room.size?;
        let volume = length.0 / 1e3 * (width.0 / 1e3) * (height.0 / 1e3);
        let leave = room.air_changes? / room.rules.mixing / 60.0;
        (volume > 0.0 && leave >= 0.0 && leave.is_finite()).then_some(Self { volume, leave })
    }

    /// One minute of one film and the room by the midpoint rule: what is in both before, what is laid in it.
    fn minute(&self, (mut film, mut inside): (f64, f64), laid: f64, tau: f64, steps: u32) -> (f64, f64) {
        let step = 1.0 / f64::from(steps);
        for _ in 0..steps {
            let middle = film + step / 2.0 * (laid - film / tau);
            let half = inside + step / 2.0 * (film / tau - self.leave * inside);
            inside += step * (middle / tau - self.leave * half);
            film += step * (laid - middle / tau);
        }
        (film, inside)
    }

    /// The air minute by minute while there is anything in it, by the midpoint rule.
    fn course(&self, coats: &[&Laid<'_, '_>]) -> Course {
        let mut order: Vec<&&Laid> = coats.iter().collect();
        order.sort_by_key(|coat| coat.op.from);
        let mut taus: Vec<f64> = Vec::new();
        for coat in &order {
            if !taus.iter().any(|tau| (tau - coat.tau).abs() < 1e-9) {
                taus.push(coat.tau);
            }
        }
        let steps: u32 = if taus.iter().any(|tau| *tau < 4.0) { 8 } else { 2 };
        let stays = self.minute((0.0, 1.0), 0.0, 1.0, steps).1;
        // no film hangs on another, so what a minute does to each, and through each to the room, is worked out once
        let minutes: Vec<Minute> = taus
            .iter()
            .map(|tau| Minute {
                film: self.minute((1.0, 0.0), 0.0, *tau, steps),
                laid: self.minute((0.0, 0.0), 1.0, *tau, steps),
            })
            .collect();
        let mut course = Course::default();
        let (mut films, mut laid) = (vec![0.0_f64; taus.len()], vec![0.0; taus.len()]);
        let mut inside = 0.0_f64;
        let mut next = 0;
        let mut wet: Vec<&Laid> = Vec::new();
        let Some(mut now) = order.first().map(|coat| coat.op.from) else {
            return course;
        };
        course.stretches.push((now, Vec::new()));
        loop {
            let before = wet.len();
            wet.retain(|coat| coat.end() > now);
            let mut changed = wet.len() != before;
            while let Some(coat) = order.get(next).filter(|coat| coat.op.from <= now) {
                wet.push(coat);
                next += 1;
                changed = true;
            }
            if wet.is_empty() && inside < 1e-4 && films.iter().all(|film| *film < 1e-4) {
                let Some(coat) = order.get(next) else { return course };
                now = coat.op.from;
                course.stretches.push((now, Vec::new()));
                continue;
            }
            // what a plan by hand leaves in a shut room stays there
            if course.stretches.last().is_some_and(|(_, held)| held.len() > 200_000) {
                return course;
            }
            if changed {
                for (laid, tau) in laid.iter_mut().zip(&taus) {
                    let of = wet.iter().filter(|coat| (coat.tau - tau).abs() < 1e-9);
                    *laid = of.map(|coat| coat.percent / (coat.end() - coat.op.from).0 as f64).sum();
                }
            }
            inside *= stays;
            for ((film, laid), minute) in films.iter_mut().zip(&laid).zip(&minutes) {
                inside += *film * minute.film.1 + laid * minute.laid.1;
                *film = *film * minute.film.0 + laid * minute.laid.0;
            }
            now.0 += 1;
            if let Some((_, held)) = course.stretches.last_mut() {
                held.push(inside);
            }
        }
    }
}

/// What one minute makes of a film that holds 1 % and of 1 % laid in it: what is in the film after it, and in the room.
struct Minute {
    film: (f64, f64),
    laid: (f64, f64),
}

impl Laid<'_, '_> {
    /// When the last of it is on; a plan by hand may have coats of no length.
    fn end(&self) -> Moment {
        self.op.until.max(Moment(self.op.from.0 + 1))
    }
}

/// Stretches with vapour in the room: from when, and % of the lower explosive limit at the end of each minute.
#[derive(Default)]
struct Course {
    stretches: Vec<(Moment, Vec<f64>)>,
}

impl Course {
    fn minutes(&self) -> impl Iterator<Item = (Moment, f64)> {
        self.stretches.iter().flat_map(|(from, held)| {
            let minute = |(index, percent): (usize, &f64)| (Moment(from.0 + index as i64 + 1), *percent);
            held.iter().enumerate().map(minute)
        })
    }

    fn peak(&self) -> (Option<Moment>, f64) {
        self.minutes().fold(
            (None, 0.0),
            |best, (at, percent)| {
                if percent > best.1 { (Some(at), percent) } else { best }
            },
        )
    }

    fn at(&self, at: Moment) -> f64 {
        let stretch = self.stretches.iter().rfind(|(from, _)| *from < at);
        let held = stretch.and_then(|(from, held)| held.get(usize::try_from(at.0 - from.0 - 1).ok()?));
        held.copied().unwrap_or(0.0)
    }
}
