//! Reading one step of a schedule.
//!
//! Invariant: a step has the keys its kind works with and no others.

use crate::finish::Schedule;
use crate::finish::figure_text::FigureUnit;
use crate::finish::schedule::{Phase, Step, StepKind};
use crate::finish::words::{METHODS, PHASES, STEPS};
use crate::source::{Code, Extent, Found, Problem, Table, Value};

/// A step and where it and its product stand.
pub(super) struct WrittenStep {
    pub step: Step,
    /// The step's `do`.
    pub extent: Extent,
    pub product: Option<Extent>,
    pub grit: Option<Extent>,
}

/// Steps that follow by themselves from products, holdings and glue-ups.
const COME_BY_THEMSELVES: [StepKind; 7] = [
    StepKind::WipeBack,
    StepKind::ReWipe,
    StepKind::Turn,
    StepKind::Mix,
    StepKind::ChangeOver,
    StepKind::CleanUp,
    StepKind::GlueUp,
];

/// What a kind of step works with.
struct Needs {
    grit: bool,
    product: bool,
}

const fn needs(kind: StepKind) -> Needs {
    let grit = matches!(
        kind,
        StepKind::Sand | StepKind::CutBack | StepKind::Denib | StepKind::Scuff | StepKind::Flat | StepKind::RubOut
    );
    let product = Schedule::is_coat(kind) || matches!(kind, StepKind::Fill | StepKind::Colour | StepKind::Wax);
    Needs { grit, product }
}

/// Reads one `[[step]]`.
pub(super) fn read(mut table: Table<'_>) -> Option<WrittenStep> {
    table.call("the step");
    let written = table.need("do")?;
    let extent = written.extent();
    let kind = written.word(&STEPS)?.value;
    table.call(format!("the step \"{kind}\""));
    if COME_BY_THEMSELVES.contains(&kind) {
        let message = format!("\"{kind}\" is not written in a schedule: it comes by itself where it is needed");
        written.refuse(Problem::new(Code::StepNotWritten, message).accepts("the steps done at the bench in order"));
    }
    let needs = needs(kind);
    let grit = needs.grit.then(|| table.need("grit").and_then(Value::grit));
    let product = needs.product.then(|| table.need("product").and_then(Value::text));
    let method = needs
        .product
        .then(|| table.need("method").and_then(|value| value.word(&METHODS)));
    let phase = table.may("phase").map(|value| value.word(&PHASES));
    let show_only = table.may("show_only").map(Value::flag);
    let mut minutes = |key| table.may(key).map(|value| value.figure(FigureUnit::Minutes));
    let stale_after = minutes("stale_after");
    let wait = minutes("wait");
    let note = table.may("note").map(Value::text);
    let place = |found: &Option<Option<Found<String>>>| found.as_ref()?.as_ref().map(|found| found.extent.clone());
    let product_at = place(&product);
    let grit_at = grit
        .as_ref()
        .and_then(|found| found.as_ref())
        .map(|found| found.extent.clone());
    // a key that is there and could not be read leaves the whole step out; its problem has been told
    Some(WrittenStep {
        step: Step {
            kind,
            grit: read_or_absent(grit)?,
            product: read_or_absent(product)?,
            method: read_or_absent(method)?,
            phase: read_or_absent(phase)?.unwrap_or(Phase::Loose),
            show_only: read_or_absent(show_only)?.unwrap_or(false),
            stale_after: read_or_absent(stale_after)?,
            wait: read_or_absent(wait)?,
            note: read_or_absent(note)?,
        },
        extent,
        product: product_at,
        grit: grit_at,
    })
}

/// `None` where something stood and was not read; `Some(None)` where nothing stood.
#[allow(clippy::option_option, reason = "absent and unreadable are different things here")]
fn read_or_absent<T>(value: Option<Option<Found<T>>>) -> Option<Option<T>> {
    match value {
        None => Some(None),
        Some(None) => None,
        Some(Some(found)) => Some(Some(found.value)),
    }
}
