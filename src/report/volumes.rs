//! Volumes and tins in the maker's own measure.
//!
//! Invariant: the inside is mL; what is shown is never less exact than a finisher pours.

use super::paper::JOIN;
use crate::job::ShownIn;
use crate::stores::Tin;
use crate::units::text::GALLON;

/// `420 mL`, `1.85 L`; `14.2 fl oz`, `1.95 qt`.
pub(super) fn volume(millilitres: f64, shown: ShownIn) -> String {
    let (fluid_ounce, quart) = (GALLON / 128.0, GALLON / 4.0);
    match (shown.us_volume, millilitres) {
        (false, small) if small < 999.5 => format!("{small:.0}{JOIN}mL"),
        (false, large) => format!("{:.2}{JOIN}L", large / 1000.0),
        (true, small) if small < quart => format!("{:.1}{JOIN}fl{JOIN}oz", small / fluid_ounce),
        (true, large) => format!("{:.2}{JOIN}qt", large / quart),
    }
}

/// For a column in which all volumes stand in one unit: `1.9 L`, `2.0 qt`.
pub(super) fn by_the_tin(millilitres: f64, shown: ShownIn) -> String {
    let (size, unit) = if shown.us_volume {
        (GALLON / 4.0, "qt")
    } else {
        (1000.0, "L")
    };
    format!("{:.1}{JOIN}{unit}", millilitres / size)
}

/// The mark on a tin: `250 mL`, `2.5 L`, `1 qt`.
fn marked(millilitres: f64) -> String {
    let us = [(1.0, "gal"), (4.0, "qt"), (8.0, "pt"), (16.0, "half-pt")];
    let exact = us.iter().find(|(parts, _)| (millilitres - GALLON / parts).abs() < 0.01);
    match exact {
        Some((_, name)) => format!("1{JOIN}{name}"),
        None if millilitres < 999.5 => format!("{millilitres:.0}{JOIN}mL"),
        None => format!("{}{JOIN}L", (millilitres / 10.0).round() / 100.0),
    }
}

/// `2 tins of 1 L and 1 of 250 mL`.
pub(super) fn tins(tins: &[Tin]) -> String {
    let mut words: Vec<String> = Vec::new();
    for (index, tin) in tins.iter().enumerate() {
        let noun = match (index, tin.count) {
            (0, 1) => " tin",
            (0, _) => " tins",
            _ => "",
        };
        words.push(format!("{}{noun} of {}", tin.count, marked(tin.size_ml)));
    }
    match words.as_slice() {
        [] => "none".to_owned(),
        [one] => one.clone(),
        [all @ .., last] => format!("{} and {last}", all.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(us_volume: bool) -> ShownIn {
        ShownIn {
            inches: false,
            fahrenheit: false,
            us_volume,
        }
    }

    fn plain(text: &str) -> String {
        text.replace(JOIN, " ")
    }

    #[test]
    fn volumes_are_said_as_they_are_poured() {
        let check = |millilitres, us, said: &str| assert_eq!(plain(&volume(millilitres, shown(us))), said);
        check(419.6, false, "420 mL");
        check(1_850.0, false, "1.85 L");
        check(100.0, true, "3.4 fl oz");
        check(1_892.705_892, true, "2.00 qt");
    }

    #[test]
    fn a_column_of_volumes_stands_in_one_unit() {
        // a US liquid quart is 946.352946 mL (NIST Handbook 44, appendix C)
        let check = |millilitres, us, said: &str| assert_eq!(plain(&by_the_tin(millilitres, shown(us))), said);
        check(1_892.705_892, true, "2.0 qt");
        check(1_892.705_892, false, "1.9 L");
        check(90.0, true, "0.1 qt");
    }

    #[test]
    fn tins_are_said_as_they_are_marked() {
        let tin = |size_ml, count| Tin { size_ml, count };
        assert_eq!(
            plain(&tins(&[tin(1000.0, 2), tin(250.0, 1)])),
            "2 tins of 1 L and 1 of 250 mL"
        );
        assert_eq!(plain(&tins(&[tin(GALLON / 4.0, 1)])), "1 tin of 1 qt");
        assert_eq!(tins(&[]), "none");
    }
}
