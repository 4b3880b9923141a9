//! Reading a finish schedule: a text file in, a checked schedule out.
//!
//! Invariant: a schedule is only handed out when its file has no error; every problem of the file is found in
//! one pass.

mod order;
mod product;
mod rules;
mod step;

use super::schedule::Schedule;
use crate::source::{Document, Problem, SourceFile, Table, Value};

/// The newest format of schedule files this program reads.
pub const FORMAT: i64 = 1;

/// Reads a finish schedule. The schedule is absent where its file has an error.
pub fn read(file: &SourceFile) -> (Option<Schedule>, Vec<Problem>) {
    let document = Document::parse(file);
    let schedule = schedule(&mut document.root());
    let problems = document.into_problems();
    let usable = !problems.iter().any(Problem::is_error);
    (schedule.filter(|_| usable), problems)
}

fn schedule(root: &mut Table<'_>) -> Option<Schedule> {
    root.format(FORMAT);
    let id = root.need("id").and_then(Value::text);
    let name = root.need("name").and_then(Value::text);
    let summary = root.need("summary").and_then(Value::text);
    let written = root.tables("product");
    let mut whole = !written.is_empty();
    let (count, products): (_, Vec<_>) = (written.len(), written.into_iter().filter_map(product::read).collect());
    whole &= products.len() == count;
    let written = root.tables("step");
    let (count, steps): (_, Vec<_>) = (written.len(), written.into_iter().filter_map(step::read).collect());
    whole &= steps.len() == count;
    order::check(&products, &steps, root, whole);
    Some(Schedule {
        id: id?.value,
        name: name?.value,
        summary: summary?.value,
        products: products.into_iter().map(|found| found.value).collect(),
        steps: steps.into_iter().map(|written| written.step).collect(),
    })
}
