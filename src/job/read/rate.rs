//! Bench rates the job overrides.
//!
//! Invariant: only rates the work is made of are accepted, and every one is above zero.

use crate::job::rates::ALL;
use crate::source::{Code, Problem, Table, nearest};
use std::collections::BTreeMap;

/// Reads `[rates]`; absent: the shop's usual ones.
pub(super) fn read(top: &mut Table<'_>) -> BTreeMap<String, f64> {
    let mut rates = BTreeMap::new();
    let Some(mut table) = top.may_table("rates") else {
        return rates;
    };
    for (name, value) in table.entries() {
        let Some(rate) = ALL.iter().find(|rate| rate.name == name.value) else {
            let near = nearest(name.value, ALL.iter().map(|rate| rate.name)).map(ToOwned::to_owned);
            let listed: Vec<String> = ALL.iter().map(|rate| format!("`{}`", rate.name)).collect();
            let problem = Problem::new(Code::UnknownRate, format!("there is no bench rate `{}`", name.value))
                .at(name.extent, "not a rate")
                .accepts(listed.join(", "))
                .nearest(near);
            top.problems().push(problem);
            continue;
        };
        let Some(minutes) = value.number() else { continue };
        if minutes.value > 0.0 && minutes.value <= 1440.0 {
            rates.insert(rate.name.to_owned(), minutes.value);
        } else {
            let message = format!("the rate `{}` must be above zero and within a day", rate.name);
            value.refuse(Problem::new(Code::RateNotPositive, message).accepts(rate.unit));
        }
    }
    rates
}

#[cfg(test)]
mod tests {
    use crate::job::rates::ALL;
    use std::collections::BTreeSet;

    #[test]
    fn each_rate_stands_once() {
        let names: BTreeSet<&str> = ALL.iter().map(|rate| rate.name).collect();
        assert_eq!(names.len(), ALL.len());
    }
}
