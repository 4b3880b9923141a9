//! Reads the reference tables of this folder.

#![allow(clippy::expect_used, reason = "a check stops where a value is missing")]

/// The rows of a comma-separated table without quoting, header left out.
pub fn rows(text: &str) -> Vec<Vec<&str>> {
    let rows: Vec<Vec<&str>> = text.lines().skip(1).map(|line| line.split(',').collect()).collect();
    assert!(!rows.is_empty(), "the reference table is empty");
    rows
}

/// A cell as a number.
pub fn number(cell: &str) -> f64 {
    cell.parse().expect(cell)
}
