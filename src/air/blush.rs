//! Dew on cold work and blush in evaporating films.
//!
//! Invariant: the air is that of the plan's climate at the coat's start; the surface is taken to be as warm as
//! the air, so cold timber brought in is worse than anything said here.
//!
//! Sources: surface at least 3 °C above the dew point and not above 85 % humidity (coating manuals after ISO 8502-4;
//! article read, standard not); blush in shellac and lacquer: coating makers' advice of a gap of 11 °C between air
//! and dew point without a retarder, 6 °C as the point to stop (trade pages; they disagree).

use super::cautions::caution;
use super::coats::puts_on;
use crate::dayplan::Plan;
use crate::dayplan::document::{Caution, Operation, Severity, Stamp};
use crate::finish::Mechanism;
use crate::job::Job;
use crate::science::MoistAir;

/// Least gap between a surface and the dew point for any coat, K.
const ANY: f64 = 3.0;
/// Most humidity for any coat, %.
const DAMP: f64 = 85.0;
/// Gaps for films that chill as their solvent leaves: careful below the first, stop below the second, K.
const CHILLS: (f64, f64) = (11.0, 6.0);

/// The room's air when an operation starts.
fn air_at(plan: &Plan, at: Stamp) -> Option<MoistAir> {
    let (_, celsius, percent) = plan.climate.iter().rfind(|(from, _, _)| *from <= at)?;
    Some(MoistAir::new(*celsius, *percent))
}

/// A coat whose air is too near its dew point.
struct Near<'a> {
    operation: &'a Operation,
    gap: f64,
    air: MoistAir,
    dew: f64,
}

pub(super) fn of(job: &Job, plan: &Plan, found: &mut Vec<Caution>) {
    let near = |operation: &'_ Operation| -> Option<(f64, MoistAir, f64)> {
        let air = air_at(plan, operation.start)?;
        let dew = air.dew_point()?.0;
        Some((air.temperature.0 - dew, air, dew))
    };
    let (mut dew, mut careful, mut stop): (Vec<Near>, Vec<Near>, Vec<Near>) = (Vec::new(), Vec::new(), Vec::new());
    for operation in plan.operations.iter().filter(|operation| puts_on(operation)) {
        let Some((gap, air, point)) = near(operation) else {
            continue;
        };
        let this = Near {
            operation,
            gap,
            air,
            dew: point,
        };
        let product = operation.product.as_deref().and_then(|id| job.product(id));
        let chills = product.is_some_and(|product| product.mechanism == Mechanism::Evaporation && !product.terminal);
        if gap < ANY || air.humidity.0 > DAMP {
            dew.push(this);
        } else if chills && gap < CHILLS.1 {
            stop.push(this);
        } else if chills && gap < CHILLS.0 {
            careful.push(this);
        }
    }
    say(
        found,
        "dew-point",
        Severity::Stop,
        &dew,
        "The air is so near its dew point that water can settle on the work under the coat, and colder timber is wet already. Warm the room and the work, or dry the air, before coating.",
        "surface at least 3 °C above the dew point, not above 85 % humidity: coating manuals after ISO 8502-4",
    );
    let source = "trade pages on blush in shellac and lacquer; limits given differ from 65 % humidity to 11 °C of gap";
    say(
        found,
        "blush",
        Severity::Stop,
        &stop,
        "A film whose solvent leaves fast chills itself below the dew point of this air: it will turn white. Wait for drier air or warm the room.",
        source,
    );
    say(
        found,
        "blush",
        Severity::Warning,
        &careful,
        "The film can turn white as it chills in this air: thin coats, a retarder if the label has one, and a test piece first.",
        source,
    );
}

fn say(found: &mut Vec<Caution>, code: &str, severity: Severity, near: &[Near], text: &str, source: &str) {
    let Some(worst) = near.iter().min_by(|one, other| one.gap.total_cmp(&other.gap)) else {
        return;
    };
    let figure = format!(
        "{:.1} °C over a dew point of {:.1} °C ({:.0} °C, {:.0} %) at {}",
        worst.gap,
        worst.dew,
        worst.air.temperature.0,
        worst.air.humidity.0,
        worst.operation.start.format("%a %d %b %H:%M")
    );
    let refers = near.iter().map(|one| one.operation.id.clone()).collect();
    found.push(caution(code, severity, text.to_owned(), Some(figure), source, refers));
}
