//! A lot by count or range: which pieces of a round are meant.
//!
//! Invariant: what is answered are places in the round, each once, none past its end.

use std::collections::BTreeSet;

/// Reads `18` (the first eighteen), `4-9`, `2, 5, 7-9`; places are counted from one, answers from nought.
pub fn read(text: &str, of: usize) -> Result<BTreeSet<usize>, String> {
    let accepted = format!("18 for the first 18, 4-9, or 2, 5, 7-9; there are {of}");
    let wrong = |part: &str| format!("\"{part}\" is no number of this round. Type {accepted}.");
    let parts: Vec<&str> = text.split([',', ';', ' ']).filter(|part| !part.is_empty()).collect();
    let place = |part: &str| {
        let number = part.parse::<usize>().ok().filter(|number| (1..=of).contains(number));
        number.ok_or_else(|| wrong(part))
    };
    if let [count] = parts.as_slice()
        && !count.contains(['-', '–'])
    {
        return Ok((0..place(count)?).collect());
    }
    let mut places = BTreeSet::new();
    for part in &parts {
        match part.split_once(['-', '–']) {
            Some((from, until)) => {
                let (from, until) = (place(from)?, place(until)?);
                if from > until {
                    return Err(wrong(part));
                }
                places.extend(from - 1..until);
            }
            None => {
                places.insert(place(part)? - 1);
            }
        }
    }
    if places.is_empty() {
        return Err(format!("Type {accepted}."));
    }
    Ok(places)
}
