//! Mixes of two-part products: which coats share one, and how long it may be used.
//!
//! Invariant: each time such a product is set out it is mixed anew, by hands, right before the round that uses it;
//! every coat that uses a mix ends inside its pot life (low end), counted from the pouring together; where a life ends
//! in the middle of a run the next mix begins with the coat that needs it. Its volume here is what goes on the work,
//! losses and tins being a matter of the stores.

use super::document::{MixAt, Operation, State};
use crate::finish::{Product, StepKind};
use crate::job::Job;
use chrono::TimeDelta;
use std::collections::BTreeMap;

/// A life shorter than this is that of a mix; a cut of shellac keeps for months and is no mix of its own.
const LONGEST_MIX: f64 = 2.0 * 1440.0;

/// Whether hands have to mix a product when it is set out.
pub(super) fn is_mixed(product: &Product) -> bool {
    life(product).is_some()
}

/// Names the mix of every coat that needs one; operations are sorted by start.
pub(super) fn of(job: &Job, operations: &mut [Operation]) -> Vec<MixAt> {
    let mut mixes: Vec<MixAt> = Vec::new();
    let mut open: BTreeMap<String, (usize, usize)> = BTreeMap::new();
    for operation in operations
        .iter_mut()
        .filter(|one| (one.dry.is_some() || one.step == StepKind::Mix) && one.state != State::Skipped)
    {
        let product = operation.product.as_deref().and_then(|id| job.product(id));
        let Some((product, life)) = product.and_then(|product| Some((product, life(product)?))) else {
            continue;
        };
        let volume = operation.volume.unwrap_or(0.0);
        let (at, number) = open.get(&product.id).copied().unwrap_or((usize::MAX, 0));
        let goes_on = operation.step != StepKind::Mix;
        let usable = mixes.get_mut(at).filter(|mix| goes_on && operation.end <= mix.until);
        if let Some(mix) = usable {
            mix.volume += volume;
            operation.mix = Some(mix.id.clone());
            continue;
        }
        let id = format!("{}/mix-{}", product.id, number + 1);
        operation.mix = Some(id.clone());
        open.insert(product.id.clone(), (mixes.len(), number + 1));
        mixes.push(MixAt {
            id,
            product: product.id.clone(),
            at: operation.start,
            until: operation.start + life,
            volume,
        });
    }
    for mix in &mut mixes {
        mix.volume = (mix.volume * 10.0).round() / 10.0;
    }
    mixes
}

/// How long a mix of the product may be used; `None` for products that are not mixed for the day.
fn life(product: &Product) -> Option<TimeDelta> {
    let life = product.pot_life.as_ref()?.low;
    (life < LONGEST_MIX).then(|| TimeDelta::minutes(life.floor() as i64))
}
