//! Lengths as they are written: millimetres or inches, whole, decimal or in fractions.
//!
//! Invariant: an inch is 25.4 mm exactly (international yard and pound agreement, 1959).

use crate::units::quantity::Millimetres;
use crate::units::refusal::Refusal;

/// What a length looks like.
pub const LENGTH: &str = "a length: a number, or text such as \"22 mm\", \"3/4\", \"1-1/2\", \"20 1/2 in\"";

/// The unit of lengths written without one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LengthUnit {
    /// Millimetres.
    Millimetres,
    /// Inches.
    Inches,
}

impl LengthUnit {
    /// How many millimetres one is.
    pub const fn millimetres(self) -> f64 {
        match self {
            Self::Millimetres => 1.0,
            Self::Inches => 25.4,
        }
    }

    /// A length for reading: `22 mm`, `22.5 mm`, or the nearest sixteenth of an inch: `20-1/2 in`.
    pub fn show(self, length: Millimetres) -> String {
        match self {
            Self::Millimetres if (length.0 - length.0.round()).abs() < 0.05 => format!("{:.0} mm", length.0),
            Self::Millimetres => format!("{:.1} mm", length.0),
            Self::Inches => format!("{} in", show_sixteenths((length.0 / 25.4 * 16.0).round() as i64)),
        }
    }
}

fn show_sixteenths(sixteenths: i64) -> String {
    let sign = if sixteenths < 0 { "-" } else { "" };
    let (whole, mut top, mut bottom) = (sixteenths.abs() / 16, sixteenths.abs() % 16, 16);
    while top > 0 && top % 2 == 0 {
        (top, bottom) = (top / 2, bottom / 2);
    }
    match (whole, top) {
        (whole, 0) => format!("{sign}{whole}"),
        (0, top) => format!("{sign}{top}/{bottom}"),
        (whole, top) => format!("{sign}{whole}-{top}/{bottom}"),
    }
}

/// A length: a number or fraction in the given unit, or with its own unit after it.
pub fn length(written: &str, unit: LengthUnit) -> Result<Millimetres, Refusal> {
    let written = written.trim();
    let suffixes = [
        ("mm", 1.0),
        ("cm", 10.0),
        ("inches", 25.4),
        ("inch", 25.4),
        ("in", 25.4),
        ("\"", 25.4),
        ("\u{2033}", 25.4),
        ("m", 1000.0),
    ];
    let stripped = suffixes
        .iter()
        .find_map(|(word, size)| written.strip_suffix(word).map(|rest| (rest, *size)));
    let (number, size) = stripped.unwrap_or((written, unit.millimetres()));
    match mixed_number(number.trim()) {
        Some(number) => Ok(Millimetres(number * size)),
        None => Err(Refusal::new("is not a length", LENGTH)),
    }
}

/// `20`, `0.5`, `3/4`, `1-1/2` or `20 1/2`.
fn mixed_number(written: &str) -> Option<f64> {
    let Some((before, bottom)) = written.split_once('/') else {
        return plain(written);
    };
    let before = before.trim_end();
    let (whole, top) = match before.rsplit_once([' ', '-']) {
        Some((whole, top)) => (digits(whole.trim())?, digits(top)?),
        None => (0.0, digits(before)?),
    };
    let bottom = digits(bottom.trim_start())?;
    if bottom < 1.0 || top >= bottom * 1000.0 {
        return None;
    }
    Some(whole + top / bottom)
}

/// A decimal number without sign or exponent.
fn plain(written: &str) -> Option<f64> {
    let shaped = written.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.') && written.len() <= 12;
    if shaped { written.parse().ok() } else { None }
}

/// A whole number.
fn digits(written: &str) -> Option<f64> {
    let shaped = written.bytes().all(|byte| byte.is_ascii_digit()) && written.len() <= 9;
    if shaped { written.parse().ok() } else { None }
}

#[cfg(test)]
mod tests {
    use super::{LengthUnit, length};
    use crate::units::Millimetres;

    fn check(written: &str, unit: LengthUnit, millimetres: f64) {
        let read = length(written, unit).unwrap();
        assert!((read.0 - millimetres).abs() < 1e-9, "{written}: {read:?}");
    }

    #[test]
    fn lengths_read() {
        check("3/4", LengthUnit::Inches, 19.05);
        check("1-1/2", LengthUnit::Inches, 38.1);
        check("20 1/2", LengthUnit::Inches, 520.7);
        check("0.75", LengthUnit::Inches, 19.05);
        check("3/4 in", LengthUnit::Millimetres, 19.05);
        check("20-1/2\"", LengthUnit::Millimetres, 520.7);
        check("22 mm", LengthUnit::Inches, 22.0);
        check("2.4 m", LengthUnit::Millimetres, 2400.0);
        check("1420", LengthUnit::Millimetres, 1420.0);
    }

    #[test]
    fn lengths_refused() {
        for written in [
            "", "wide", "3/0", "/4", "3/", "-3", "1e3", "1-1/2-1", "3//4", "nan", "inf mm", "\u{bd}",
        ] {
            assert!(length(written, LengthUnit::Inches).is_err(), "{written}");
        }
    }

    #[test]
    fn shown_lengths_read_back() {
        for written in ["3/4 in", "20-1/2 in", "1-1/16 in", "20 in"] {
            let read = length(written, LengthUnit::Inches).unwrap();
            assert_eq!(LengthUnit::Inches.show(read), written);
        }
        assert_eq!(LengthUnit::Millimetres.show(Millimetres(22.0)), "22 mm");
        assert_eq!(LengthUnit::Millimetres.show(Millimetres(22.5)), "22.5 mm");
    }
}
