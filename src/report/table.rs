//! The plan as a table for spreadsheets: comma-separated values (RFC 4180), one operation a line.
//!
//! Invariant: every operation of the plan is one line, in order of time; times are RFC 3339; what is not known is
//! an empty cell.

use super::names::Names;
use super::paper::clean;
use super::words;
use crate::dayplan::Plan;
use crate::dayplan::document::{Operation, Stamp};
use crate::job::Job;
use thiserror::Error;

/// The table could not be written.
#[derive(Debug, Error)]
pub enum TableError {
    /// The writer refused.
    #[error("the table cannot be written: {0}")]
    Csv(#[from] csv::Error),
    /// What came out is no text.
    #[error("the table is no text: {0}")]
    Text(String),
}

/// Names of the columns.
const COLUMNS: [&str; 21] = [
    "operation",
    "round",
    "piece",
    "name",
    "section",
    "step",
    "coat",
    "grit",
    "product",
    "surfaces",
    "holding",
    "place",
    "start",
    "end",
    "hands",
    "hands_minutes",
    "volume_ml",
    "dry_to_recoat",
    "dry_to_handle",
    "state",
    "not_earlier_because",
];

/// The plan as a table.
pub fn table(plan: &Plan, job: &Job) -> Result<String, TableError> {
    let names = Names::of(job);
    let mut operations: Vec<&Operation> = plan.operations.iter().collect();
    operations.sort_by(|one, other| (one.start, &one.id).cmp(&(other.start, &other.id)));
    let mut writer = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(Vec::new());
    writer.write_record(COLUMNS)?;
    for operation in operations {
        writer.write_record(row(plan, &names, operation))?;
    }
    let bytes = writer
        .into_inner()
        .map_err(|error| TableError::Text(error.to_string()))?;
    String::from_utf8(bytes).map_err(|error| TableError::Text(error.to_string()))
}

fn row(plan: &Plan, names: &Names<'_>, operation: &Operation) -> [String; 21] {
    let text = |value: &Option<String>| value.as_deref().map(clean).unwrap_or_default();
    let time = |value: Option<Stamp>| value.map(|at| at.to_rfc3339()).unwrap_or_default();
    let piece = operation.piece.as_deref();
    let line = piece.and_then(|id| plan.pieces.iter().find(|one| one.id == id));
    let assembly = operation.assembly.as_deref();
    let dry = operation.dry.as_ref();
    [
        clean(&operation.id),
        text(&operation.round),
        piece.or(assembly).map(clean).unwrap_or_default(),
        piece
            .and_then(|id| names.piece(id))
            .map(|piece| clean(&piece.name))
            .or_else(|| assembly.map(|id| names.assembly(id)))
            .unwrap_or_default(),
        line.map(|piece| clean(&piece.section)).unwrap_or_default(),
        words::step_named(operation.step).to_owned(),
        operation.coat.map(|coat| coat.to_string()).unwrap_or_default(),
        text(&operation.grit),
        operation
            .product
            .as_deref()
            .map(|product| names.product(product))
            .unwrap_or_default(),
        clean(&operation.surfaces.join(" ")),
        operation.holding.map(words::holding).unwrap_or_default().to_owned(),
        text(&operation.place),
        time(Some(operation.start)),
        time(Some(operation.end)),
        clean(&operation.hands.join(", ")),
        operation.hands_minutes.to_string(),
        operation
            .volume
            .map(|volume| format!("{volume:.1}"))
            .unwrap_or_default(),
        time(dry.and_then(|dry| dry.dry_to_recoat)),
        time(dry.and_then(|dry| dry.dry_to_handle)),
        words::state(operation.state).to_owned(),
        clean(&operation.because.text),
    ]
}

#[cfg(test)]
mod tests {
    use super::super::sample;
    use super::*;

    #[test]
    fn reads_back_equal_line_for_line() {
        let (plan, job) = (sample::plan(), sample::job());
        let text = table(&plan, &job).unwrap();
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        assert_eq!(reader.headers().unwrap().iter().collect::<Vec<_>>(), COLUMNS);
        let names = Names::of(&job);
        let lines: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
        assert_eq!(lines.len(), plan.operations.len());
        for line in &lines {
            let operation = plan.operations.iter().find(|one| one.id == line[0]).unwrap();
            assert_eq!(line.iter().collect::<Vec<_>>(), row(&plan, &names, operation));
            let start: Stamp = line[12].parse().unwrap();
            assert_eq!(start, operation.start);
        }
        assert!(text.lines().count() > 1 && text.ends_with("\r\n"));
    }

    #[test]
    fn commas_and_quotes_of_a_name_stay_in_their_cell() {
        let (mut plan, job) = (sample::plan(), sample::job());
        plan.operations[0].because.text = "the \"wide\" side, left,\nis wet".to_owned();
        let id = plan.operations[0].id.clone();
        let text = table(&plan, &job).unwrap();
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let line = reader.records().map(Result::unwrap).find(|line| line[0] == id).unwrap();
        assert_eq!(&line[20], "the \"wide\" side, left, is wet");
    }
}
