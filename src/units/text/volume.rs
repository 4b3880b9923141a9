//! Volumes as tins are marked.
//!
//! Invariant: a volume names its unit; US measures are liquid ones (a gallon is 3.785411784 L exactly, NIST Handbook
//! 44, appendix C, from memory).

use super::split_units;
use crate::units::quantity::Millilitres;
use crate::units::refusal::Refusal;

/// What a volume looks like.
pub const VOLUME: &str = "a volume with its unit such as \"2.5 L\", \"400 mL\", \"1 qt\" or \"8 fl oz\"";

/// Millilitres of a US gallon.
pub const GALLON: f64 = 3_785.411_784;

/// A volume: one number and `L`, `mL`, or the US `gal`, `qt`, `pt`, `fl oz`.
pub fn volume(written: &str) -> Result<Millilitres, Refusal> {
    let refuse = |why: &str| Err(Refusal::new(why, VOLUME));
    let words = split_units(written);
    let [(number, unit)] = words.as_slice() else {
        return refuse("is not one number and one unit");
    };
    let Ok(number) = number.parse::<f64>() else {
        return refuse("is not a volume");
    };
    let unit = unit.to_lowercase();
    let size = match unit.trim_end_matches('.') {
        "l" | "litre" | "litres" | "liter" | "liters" => 1000.0,
        "ml" => 1.0,
        "gal" | "gallon" | "gallons" => GALLON,
        "qt" | "quart" | "quarts" => GALLON / 4.0,
        "pt" | "pint" | "pints" => GALLON / 8.0,
        "fl oz" | "floz" => GALLON / 128.0,
        "" => {
            let mut refusal = Refusal::new("does not say of what: litres, millilitres, quarts", VOLUME);
            refusal.nearest = Some(if number < 20.0 {
                format!("{number} L")
            } else {
                format!("{number} mL")
            });
            return Err(refusal);
        }
        _ => return refuse("has a unit that is not known"),
    };
    let volume = number * size;
    if volume.is_finite() && volume <= 1e6 {
        Ok(Millilitres(volume))
    } else {
        refuse("is more than any shop holds")
    }
}

#[cfg(test)]
mod tests {
    use super::volume;

    #[test]
    fn tins_are_read_as_marked() {
        let check = |written: &str, millilitres: f64| {
            let read = volume(written).map(|read| read.0);
            assert!(read.is_ok_and(|read| (read - millilitres).abs() < 1e-3), "{written}");
        };
        check("2.5 L", 2500.0);
        check("400 mL", 400.0);
        check("400ml", 400.0);
        // a quart is 946.352946 mL, a fluid ounce 29.5735295625 mL (NIST Handbook 44, appendix C)
        check("1 qt", 946.353);
        check("8 fl oz", 236.588);
        check("1 gal", 3_785.412);
        for wrong in ["", "2.5", "1 L 200 mL", "2 cups", "a litre", "1e9 L", "-1 L"] {
            assert!(volume(wrong).is_err(), "{wrong}");
        }
        assert_eq!(volume("2.5").err().and_then(|no| no.nearest), Some("2.5 L".to_owned()));
    }
}
