//! Mixing: two parts, or a catalyst, poured together by hands before the round that uses them.
//!
//! Invariant: judged from the setting out of a family whose next film is of a product with a pot life of less than two
//! days; a mix that runs out in the middle of a run, with nothing set out anew, asks for no minutes.

use super::rule::{Breaches, Rule};
use super::sheet::{Op, Sheet};
use crate::finish::{Product, StepKind};
use crate::job::rates;
use crate::units::Moment;

/// What keeps longer is no mix of the day: a cut of shellac keeps for months.
const DAY_MIX: f64 = 2.0 * 1440.0;

pub(super) fn check(sheet: &Sheet<'_>, found: &mut Breaches) {
    let set_out = sheet.ops.iter().filter(|op| op.step == StepKind::ChangeOver);
    for set_out in set_out {
        if let Some((film, product)) = next_film(sheet, set_out).filter(|(_, product)| is_mixed(product)) {
            set_out_and_mixed(sheet, (set_out, film), product, found);
        }
    }
    for mixing in sheet.ops.iter().filter(|op| op.step == StepKind::Mix) {
        let mix = sheet.plan.mixes.iter().find(|mix| mixing.mix.as_ref() == Some(&mix.id));
        if mix.is_none_or(|mix| Moment::of(&mix.at) != mixing.from) {
            let text = format!("{} makes no mix that begins {}", mixing.id, sheet.clock(mixing.from));
            found.by(Rule::Mixed, &[mixing], text);
        }
    }
}

fn is_mixed(product: &Product) -> bool {
    product.pot_life.as_ref().is_some_and(|life| life.low < DAY_MIX)
}

/// The first film of the family after it was set out, by the same hands.
fn next_film<'s, 'a>(sheet: &'s Sheet<'a>, set_out: &Op<'a>) -> Option<(&'s Op<'a>, &'a Product)> {
    let by = |op: &&Op<'_>| op.hands.iter().any(|hand| set_out.hands.contains(hand));
    let later = sheet.ops.iter().filter(|op| op.lays_film() && op.from >= set_out.until);
    let film = later.filter(by).find(|op| op.family == set_out.family)?;
    Some((film, sheet.product(film)?))
}

/// Somebody mixes it between the setting out and the first film, long enough.
fn set_out_and_mixed(sheet: &Sheet<'_>, (set_out, film): (&Op<'_>, &Op<'_>), product: &Product, found: &mut Breaches) {
    let least = sheet.job.rate(rates::MIX);
    let mixes = |op: &&Op<'_>| {
        op.step == StepKind::Mix
            && op.product.as_deref() == Some(product.id.as_str())
            && op.from >= set_out.from
            && op.until <= film.from
            && !op.hands.is_empty()
            && (op.until - op.from).0 as f64 >= least - 1.0
    };
    if !sheet.ops.iter().any(|op| mixes(&op)) {
        let text = format!(
            "{} is set out {} for {} and nobody mixes it; that takes {least:.0} min",
            product.name,
            sheet.clock(set_out.from),
            film.id
        );
        found.by(Rule::Mixed, &[film, set_out], text);
    }
}
