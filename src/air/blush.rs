//! Dew on cold work and blush in evaporating films.
//!
//! Invariant: the air is that of the plan's climate at the coat's start; the surface is taken to be as warm as
//! the air, so cold timber brought in is worse than anything said here.
//!
//! Sources: surface at least 3 °C above the dew point and not above 85 % humidity (coating manuals after ISO 8502-4;
//! article read, standard not); blush in shellac and lacquer: coating makers' advice of a gap of 11 °C between air
//! and dew point without a retarder, 6 °C as the point to stop (trade pages; they disagree).

use super::coats::puts_on;
use crate::dayplan::Plan;
use crate::dayplan::document::{Caution, Operation, Severity, Stamp};
use crate::finish::Mechanism;
use crate::job::Job;
use crate::science::MoistAir;
use serde::Serialize;

/// Least gap between a surface and the dew point for any coat, K (sources above).
const ANY: f64 = 3.0;
/// Most humidity for any coat, % (sources above).
const DAMP: f64 = 85.0;
/// Gaps for films that chill as their solvent leaves: careful below the first, stop below the second, K
/// (sources above).
const CHILLS: (f64, f64) = (11.0, 6.0);

/// How near a coat comes to the dew point.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Nearness {
    /// Far enough for this film.
    Clear,
    /// A film that chills itself may turn white.
    Careful,
    /// A film that chills itself will turn white.
    Blush,
    /// Water can settle on the work itself.
    Dew,
}

/// The air a coat goes on in, against its dew point.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DewGap {
    /// The coat's operation.
    pub operation: String,
    /// When it starts.
    pub at: Stamp,
    /// Air, °C.
    pub air_c: f64,
    /// Relative humidity, %.
    pub humidity_percent: f64,
    /// Dew point, °C.
    pub dew_point_c: f64,
    /// Air (and work, if it is as warm) over the dew point, K.
    pub gap_k: f64,
    /// What that means for this film.
    pub nearness: Nearness,
}

/// The room's air when an operation starts.
fn air_at(plan: &Plan, at: Stamp) -> Option<MoistAir> {
    let (_, celsius, percent) = plan.climate.iter().rfind(|(from, _, _)| *from <= at)?;
    Some(MoistAir::new(*celsius, *percent))
}

/// Every coat's air against its dew point. Coats outside the plan's known climate have none.
pub fn gaps(job: &Job, plan: &Plan) -> Vec<DewGap> {
    let coats = plan.operations.iter().filter(|operation| puts_on(operation));
    coats.filter_map(|operation| gap(job, plan, operation)).collect()
}

fn gap(job: &Job, plan: &Plan, operation: &Operation) -> Option<DewGap> {
    let air = air_at(plan, operation.start)?;
    let dew = air.dew_point()?.0;
    let gap = air.temperature.0 - dew;
    let product = operation.product.as_deref().and_then(|id| job.product(id));
    let chills = product.is_some_and(|product| product.mechanism == Mechanism::Evaporation && !product.terminal);
    let nearness = match gap {
        _ if gap < ANY || air.humidity.0 > DAMP => Nearness::Dew,
        _ if chills && gap < CHILLS.1 => Nearness::Blush,
        _ if chills && gap < CHILLS.0 => Nearness::Careful,
        _ => Nearness::Clear,
    };
    Some(DewGap {
        operation: operation.id.clone(),
        at: operation.start,
        air_c: air.temperature.0,
        humidity_percent: air.humidity.0,
        dew_point_c: dew,
        gap_k: gap,
        nearness,
    })
}

pub(super) fn of(job: &Job, plan: &Plan, found: &mut Vec<Caution>) {
    let gaps = gaps(job, plan);
    let blush = "trade pages on blush in shellac and lacquer; limits given differ from 65 % humidity to 11 °C of gap";
    let lines = [
        (
            Nearness::Dew,
            "dew-point",
            Severity::Stop,
            "The air is so near its dew point that water can settle on the work under the coat, and colder timber is wet already. Warm the room and the work, or dry the air, before coating.",
            "surface at least 3 °C above the dew point, not above 85 % humidity: coating manuals after ISO 8502-4",
        ),
        (
            Nearness::Blush,
            "blush",
            Severity::Stop,
            "A film whose solvent leaves fast chills itself below the dew point of this air: it will turn white. Wait for drier air or warm the room.",
            blush,
        ),
        (
            Nearness::Careful,
            "blush",
            Severity::Warning,
            "The film can turn white as it chills in this air: thin coats, a retarder if the label has one, and a test piece first.",
            blush,
        ),
    ];
    for (nearness, code, severity, text, source) in lines {
        let near = || gaps.iter().filter(|one| one.nearness == nearness);
        let Some(worst) = near().min_by(|one, other| one.gap_k.total_cmp(&other.gap_k)) else {
            continue;
        };
        let figure = format!(
            "{:.1} °C over a dew point of {:.1} °C ({:.0} °C, {:.0} %) at {}",
            worst.gap_k,
            worst.dew_point_c,
            worst.air_c,
            worst.humidity_percent,
            worst.at.format("%a %-d %b %H:%M")
        );
        let refers = near().map(|one| one.operation.clone()).collect();
        found.push(Caution::new(
            code,
            severity,
            text.to_owned(),
            Some(figure),
            source,
            refers,
        ));
    }
}
