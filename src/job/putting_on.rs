//! How a product goes on, and how much of it leaves the tin for what stays on the work.
//!
//! Invariant: the way is that of the schedule's step; a wiped product whose step does not say is wiped, any
//! other is brushed.

use super::Job;
use crate::finish::{Method, StepKind};
use crate::units::Millilitres;

impl Job {
    /// How a product goes on in a step of this kind: as the first step of that kind that uses it says, else as any
    /// step with it does.
    pub fn method_of(&self, product: &str, kind: StepKind) -> Method {
        let steps = self.schedules.values().flat_map(|schedule| schedule.steps.iter());
        let uses = |exact: bool| {
            let mut uses = steps.clone().filter(|step| step.product.as_deref() == Some(product));
            uses.find_map(|step| step.method.filter(|_| !exact || step.kind == kind))
        };
        let wiped = || self.product(product).is_some_and(|product| product.wipe.is_some());
        uses(true)
            .or_else(|| uses(false))
            .unwrap_or_else(|| if wiped() { Method::Wipe } else { Method::Brush })
    }

    /// What of a product is in the air with a volume that lands: a brush brings the rest back to the tin, what a
    /// gun misses gives off its solvent all the same.
    pub fn in_the_air(&self, product: &str, kind: StepKind, lands: Millilitres) -> Millilitres {
        match self.method_of(product, kind) {
            method @ Method::Spray => Millilitres(lands.0 / method.landing().usual),
            Method::Brush | Method::Wipe | Method::Pad => lands,
        }
    }
}
