//! Bench rates the job overrides.
//!
//! Invariant: only rates the work is made of are accepted, and every one is above zero.

use crate::source::{Code, Problem, Table, nearest};
use std::collections::BTreeMap;

/// The bench rates a job may override, and what each counts.
pub const RATES: [(&str, &str); 26] = [
    (
        "fetch",
        "minutes per piece handled (fetch, carry, rack), each operation",
    ),
    ("turn", "minutes per turn of a piece"),
    ("mask-joint", "minutes per joint masked or plugged"),
    ("unmask-joint", "minutes per joint"),
    ("label", "minutes per piece"),
    ("check", "minutes per m²"),
    ("sand", "minutes per m² and grit"),
    ("arris", "minutes per edge"),
    ("dust-off", "minutes per m²"),
    ("tack", "minutes per m²"),
    ("brush", "minutes per m²"),
    ("pad", "minutes per m²"),
    ("wipe-on", "minutes per m²"),
    ("wipe-back", "minutes per m²"),
    ("re-wipe", "minutes per m²"),
    ("spray", "minutes per m²"),
    ("denib", "minutes per m²"),
    ("scuff", "minutes per m²"),
    ("rub-out", "minutes per m²"),
    ("wax", "minutes per m²"),
    ("buff", "minutes per m²"),
    ("raise-grain", "minutes per m²"),
    ("cut-back", "minutes per m²"),
    ("open", "minutes to set up a round (stir, strain, set out)"),
    ("close", "minutes to clean out after a round (brush, rags)"),
    ("paper", "minutes to change paper between grits"),
];

/// Reads `[rates]`; absent: the shop's usual ones.
pub(super) fn read(top: &mut Table<'_>) -> BTreeMap<String, f64> {
    let mut rates = BTreeMap::new();
    let Some(mut table) = top.may_table("rates") else {
        return rates;
    };
    for (name, value) in table.entries() {
        let Some((known, unit)) = RATES.iter().find(|(known, _)| *known == name.value) else {
            let near = nearest(name.value, RATES.iter().map(|(known, _)| *known)).map(ToOwned::to_owned);
            let listed: Vec<String> = RATES.iter().map(|(known, _)| format!("`{known}`")).collect();
            let problem = Problem::new(Code::UnknownRate, format!("there is no bench rate `{}`", name.value))
                .at(name.extent, "not a rate")
                .accepts(listed.join(", "))
                .nearest(near);
            top.problems().push(problem);
            continue;
        };
        let Some(minutes) = value.number() else { continue };
        if minutes.value > 0.0 && minutes.value <= 1440.0 {
            rates.insert((*known).to_owned(), minutes.value);
        } else {
            let message = format!("the rate `{known}` must be above zero and within a day");
            value.refuse(Problem::new(Code::RateNotPositive, message).accepts(*unit));
        }
    }
    rates
}

#[cfg(test)]
mod tests {
    use super::RATES;
    use std::collections::BTreeSet;

    #[test]
    fn each_rate_stands_once() {
        let names: BTreeSet<&str> = RATES.iter().map(|rate| rate.0).collect();
        assert_eq!(names.len(), RATES.len());
    }
}
