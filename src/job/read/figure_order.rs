//! Whether a product's stages and recoat windows are still in order with the label's figures.
//!
//! Invariant: only an order that held before and does not now is reported, at a figure that upset it.

use super::figure::Override;
use super::figure_what::What;
use crate::finish::ladder::{self, Fall};
use crate::finish::product::opens_after;
use crate::finish::{Product, Stage};
use crate::source::{Code, Problem, Problems};

/// Checks a product before and after the label's figures were laid over it.
pub(super) fn check(problems: &Problems<'_>, own: &[&Override], before: &Product, after: &Product) {
    for entry in own {
        if let What::Stage(stage) = entry.what.value {
            check_ladder(problems, entry, stage, before, after);
        }
    }
    let drying = own
        .iter()
        .find(|entry| entry.figure.is_some() && entry.what.value.is_drying());
    if let Some(entry) = drying
        && windows_overlap(after)
        && !windows_overlap(before)
    {
        let message = format!(
            "a recoat window of {} would close before it opens, or run into the next",
            after.name
        );
        let problem = Problem::new(Code::FigureOutOfOrder, message)
            .at(entry.what.extent.clone(), "with this figure, or another of the same product")
            .accepts("the tin's `window-opens` and `window-closes` as well: each window closing after it opens and before the next one opens");
        problems.push(problem);
    }
}

/// Whether some window closes (fast estimate) before it opens (slow estimate), or after the next one opens.
fn windows_overlap(product: &Product) -> bool {
    product.windows.iter().enumerate().any(|(index, window)| {
        let Some(closes) = window.closes.as_ref().map(|closes| closes.low) else {
            return false;
        };
        let next = product
            .windows
            .iter()
            .skip(index + 1)
            .find(|next| next.next == window.next);
        let opens_next = next.and_then(|next| opens_after(product, next));
        opens_after(product, window).is_some_and(|opens| closes <= opens)
            || opens_next.is_some_and(|next| next < closes)
    })
}

/// A label's stage may not pass a rung it stood before: what `ladder` finds out of order now and did not before.
fn check_ladder(problems: &Problems<'_>, entry: &Override, stage: Stage, before: &Product, after: &Product) {
    let known = ladder::falls(before);
    let same = |fall: &Fall, other: &Fall| (fall.earlier, fall.later) == (other.earlier, other.later);
    let new = ladder::falls(after)
        .into_iter()
        .filter(|fall| !known.iter().any(|other| same(fall, other)));
    let own = new.filter(|fall| fall.earlier == stage || fall.later == stage);
    // the nearest rung: one slip of the ladder is told once
    let Some(fall) = own.min_by_key(|fall| fall.later as i32 - fall.earlier as i32) else {
        return;
    };
    let (earlier, later) = (What::Stage(fall.earlier).word(), What::Stage(fall.later).word());
    let message = format!("{} would be `{later}` before it is `{earlier}`", after.name);
    let problem = Problem::new(Code::FigureOutOfOrder, message)
        .at(entry.what.extent.clone(), "with this figure")
        .accepts(format!(
            "the tin's figures for both, `{earlier}` not later than `{later}`"
        ));
    problems.push(problem);
}
