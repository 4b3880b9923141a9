//! Abrasive grades as they are written in files: `P180`, `P360 wet`, `CAMI 320`, `0000 wool`, `P320 pad`.
//!
//! Invariant: only grades a scale has are read; a number between two of them is answered with both.

use super::grit::{Grade, Grit, Scale};
use crate::science::Micrometres;
use crate::science::abrasive::{CAMI_GRADES, P_GRADES, cami_grain, p_grain, wool_fibre};
use crate::source::{Code, Found, Value};
use crate::units::Refusal;

const WANTED: &str = "a grit in quotes such as \"P180\", \"P360 wet\", \"CAMI 320\" or \"0000 wool\"";

impl Grit {
    /// Reads a grit as it is written in files.
    pub fn parse(written: &str) -> Result<Self, Refusal> {
        let mut words: Vec<&str> = written.split_whitespace().collect();
        let wet = words.last().is_some_and(|word| word.eq_ignore_ascii_case("wet"));
        if wet {
            words.pop();
        }
        Ok(Self {
            grade: grade(&words)?,
            wet,
        })
    }
}

fn grade(words: &[&str]) -> Result<Grade, Refusal> {
    match words {
        [p] if starts_with_p(p) => on_scale(p.get(1..), Scale::P, &P_GRADES),
        [p, pad] if starts_with_p(p) && pad.eq_ignore_ascii_case("pad") => on_scale(p.get(1..), Scale::Pad, &P_GRADES),
        [cami, number] if cami.eq_ignore_ascii_case("cami") => on_scale(Some(number), Scale::Cami, &CAMI_GRADES),
        [noughts, wool] if wool.eq_ignore_ascii_case("wool") => match *noughts {
            "0" | "00" | "000" | "0000" => Ok(Grade {
                scale: Scale::Wool,
                number: noughts.len() as u16,
            }),
            _ => Err(Refusal::new(
                "is not a grade of wool",
                "`0 wool`, `00 wool`, `000 wool` or `0000 wool` (four noughts is the finest)",
            )),
        },
        [number] if is_number(number) => {
            let mut refusal = Refusal::new("does not say which scale the number is on", WANTED);
            refusal.nearest = nearest_two(number, &P_GRADES, "P").or_else(|| Some(format!("P{number}")));
            Err(refusal)
        }
        _ => Err(Refusal::new("is not a grit", WANTED)),
    }
}

fn starts_with_p(word: &str) -> bool {
    word.starts_with(['P', 'p']) && word.get(1..).is_some_and(is_number)
}

fn is_number(word: &str) -> bool {
    !word.is_empty() && word.bytes().all(|byte| byte.is_ascii_digit())
}

fn on_scale(number: Option<&str>, scale: Scale, grades: &[(u16, f64)]) -> Result<Grade, Refusal> {
    let number = number.unwrap_or("");
    if let Some(number) = number
        .parse()
        .ok()
        .filter(|number| grades.iter().any(|grade| grade.0 == *number))
    {
        return Ok(Grade { scale, number });
    }
    let (prefix, name) = match scale {
        Scale::Cami => ("CAMI ", "CAMI grade"),
        _ => ("P", "P grade"),
    };
    let listed: Vec<String> = grades.iter().map(|grade| grade.0.to_string()).collect();
    Err(Refusal {
        why: format!("is not a {name} that is made"),
        accepted: format!("{name}s {}", listed.join(" ")),
        nearest: nearest_two(number, grades, prefix),
    })
}

/// The two grades either side of a number, or the nearest end of the scale.
fn nearest_two(number: &str, grades: &[(u16, f64)], prefix: &str) -> Option<String> {
    let number: u64 = number.parse().ok()?;
    let numbers = || grades.iter().map(|grade| u64::from(grade.0));
    let below = numbers().rfind(|grade| *grade <= number);
    let above = numbers().find(|grade| *grade >= number);
    match (below, above) {
        (Some(below), Some(above)) if below == above => Some(format!("{prefix}{below}")),
        (Some(below), Some(above)) => Some(format!("{prefix}{below} or {prefix}{above}")),
        (Some(end), None) | (None, Some(end)) => Some(format!("{prefix}{end}")),
        (None, None) => None,
    }
}

impl Grade {
    /// The mean grain in µm (the fibre of wool); `None` where the scale gives none for this number.
    pub fn grain(self) -> Option<Micrometres> {
        match self.scale {
            Scale::P | Scale::Pad => p_grain(self.number),
            Scale::Cami => cami_grain(self.number),
            Scale::Wool => wool_fibre(self.number),
        }
    }
}

impl Value<'_> {
    /// A grit.
    pub fn grit(self) -> Option<Found<Grit>> {
        self.parsed(Code::NoSuchGrade, WANTED, Grit::parse)
    }
}

#[cfg(test)]
mod tests {
    use super::Grit;
    use crate::finish::{Grade, Scale};
    use crate::science::abrasive::P_GRADES;

    #[test]
    fn grits_read_and_show_the_same() {
        for written in ["P180", "P360 wet", "CAMI 320", "0000 wool", "P320 pad", "CAMI 600 wet"] {
            assert_eq!(Grit::parse(written).unwrap().to_string(), written);
        }
        let grit = Grit::parse("p150").unwrap();
        assert_eq!(
            grit.grade,
            Grade {
                scale: Scale::P,
                number: 150
            }
        );
    }

    // The grades of ISO 6344-2 (P12 to P220) and 6344-3 (P240 to P2500).
    #[test]
    fn every_p_grade_reads() {
        for (number, _) in P_GRADES {
            assert!(Grit::parse(&format!("P{number}")).is_ok());
        }
    }

    #[test]
    fn a_number_between_two_grades_offers_both() {
        let check = |written: &str, nearest: Option<&str>| {
            assert_eq!(
                Grit::parse(written).unwrap_err().nearest.as_deref(),
                nearest,
                "{written}"
            );
        };
        check("P140", Some("P120 or P150"));
        check("140", Some("P120 or P150"));
        check("P9000", Some("P2500"));
        check("P1", Some("P12"));
        check("180", Some("P180"));
        check("99999999999999999999", Some("P99999999999999999999"));
        check("fine", None);
        check("", None);
        check("00000 wool", None);
        check("P\u{b2}", None);
    }
}
