//! The cautions of balance.
//!
//! Invariant: only wide solid panels and large sheets warn; what the maker accepted with a reason becomes a
//! note that repeats it.

use super::DISPUTE;
use super::panel::{Balance, PanelBalance};
use crate::dayplan::document::{Caution, Severity};

/// Hours of unequal coats from which on it is said (common practice, no source).
pub const HOURS_UNEQUAL: f64 = 24.0;

/// A caution of one panel: its name, then what is said of it, so that panels of which the same is said share a line.
fn caution(
    found: &mut Vec<Caution>,
    (code, severity): (&str, Severity),
    (piece, name): (&str, &str),
    said: &str,
    figure: Option<String>,
    source: &str,
) {
    let ending = format!(": {said}");
    let same = |other: &&mut Caution| {
        other.code == code && other.severity == severity && other.figure == figure && other.text.ends_with(&ending)
    };
    if let Some(other) = found.iter_mut().find(same) {
        let names = other.text.strip_suffix(&ending).unwrap_or_default().to_owned();
        other.text = format!("{names}, {name}{ending}");
        other.refers.push(piece.to_owned());
        return;
    }
    found.push(Caution {
        code: code.to_owned(),
        severity,
        text: format!("{name}{ending}"),
        figure,
        source: Some(source.to_owned()),
        refers: vec![piece.to_owned()],
    });
}

/// The cautions of a balance.
pub fn of(balance: &Balance) -> Vec<Caution> {
    let mut found = Vec::new();
    for panel in &balance.panels {
        one(panel, balance, &mut found);
    }
    for sheet in &balance.sheets {
        let (severity, accepted) = weighed(sheet.accepted.as_ref());
        caution(
            &mut found,
            ("sheet-films-differ", severity),
            (&sheet.piece, &sheet.name),
            &format!(
                "{} on the face and {} on the back in the end.{accepted} Sheets move little, but a film that shrinks as it cures can bow a large one: give the back the same.",
                listed(sheet.face.coats, &sheet.face.products),
                listed(sheet.back.coats, &sheet.back.products)
            ),
            Some(format!("{:.0} × {:.0} mm", sheet.length_mm, sheet.width_mm)),
            "a finishing shop's report of 50 mm of bow in 1.83 m of veneered board, read; threshold common practice",
        );
    }
    found
}

/// A warning, or where the maker accepts it a note that repeats the reason.
fn weighed(accepted: Option<&String>) -> (Severity, String) {
    accepted.map_or_else(
        || (Severity::Warning, String::new()),
        |reason| (Severity::Note, format!(" Accepted: {reason}.")),
    )
}

fn listed(coats: u32, products: &[String]) -> String {
    let mut names: Vec<&str> = products.iter().map(String::as_str).collect();
    names.dedup();
    match (coats, names.as_slice()) {
        (0, _) => "no coat".to_owned(),
        (1, names) => format!("1 coat ({})", names.join(", ")),
        (coats, names) => format!("{coats} coats ({})", names.join(", ")),
    }
}

/// What the imbalance would do, in words.
fn bend(panel: &PanelBalance, balance: &Balance) -> Option<String> {
    let bend = panel.in_use?;
    let cup = bend.cup_mm.map(|[low, usual, high]| {
        let side = if usual >= 0.0 { "round" } else { "hollow" };
        format!(
            "face {side} by {:.1} mm ({:.1} to {:.1})",
            usual.abs(),
            low.abs(),
            high.abs()
        )
    });
    let cup = cup.unwrap_or_else(|| "timber not in the table, no cup computed".to_owned());
    Some(format!(
        "{cup} should the air go from {:.0} to {:.0} % at once; gap in moisture {:.2} %",
        balance.step_from.1,
        balance.step_to.1,
        bend.gap_percent[1].abs()
    ))
}

fn one(panel: &PanelBalance, balance: &Balance, found: &mut Vec<Caution>) {
    let (face, back) = (&panel.face, &panel.back);
    if face.coats == 0 && back.coats == 0 {
        return;
    }
    let (severity, accepted) = weighed(panel.accepted.as_ref());
    let source = "moisture-excluding effectiveness (Wood Handbook, table 16-3), diffusion and plate theory; free panel, so the most it can be";
    let about = (panel.piece.as_str(), panel.name.as_str());
    if !panel.equal_coats {
        let said = format!(
            "{} on the face and {} on the back in the end.{accepted} {DISPUTE}",
            listed(face.coats, &face.products),
            listed(back.coats, &back.products)
        );
        caution(
            found,
            ("unequal-coats", severity),
            about,
            &said,
            bend(panel, balance),
            source,
        );
    } else if !panel.equal_products {
        let said = format!(
            "{} on the face and {} on the back: as many, but films that do not keep moisture out alike.{accepted}",
            listed(face.coats, &face.products),
            listed(back.coats, &back.products)
        );
        caution(
            found,
            ("unequal-products", severity),
            about,
            &said,
            bend(panel, balance),
            source,
        );
    }
    let longest = panel.planned.longest_hours;
    if longest > HOURS_UNEQUAL {
        let cup = panel.while_unequal.and_then(|bend| bend.cup_mm);
        let figure = cup.map(|cup| format!("up to {:.1} mm should the air turn damp meanwhile", cup[2].abs()));
        let said = format!("{longest:.0} hours with one face a coat behind the other.{accepted}");
        let source = "threshold of a day is common practice, no source";
        caution(found, ("unequal-hours", severity), about, &said, figure, source);
    }
    if panel.timbers.is_empty() {
        let said = format!(
            "nothing is known here of the movement of \"{}\", so no cup and no change of width is computed.",
            panel.material
        );
        let source = "Wood Handbook, table 13-5";
        caution(found, ("timber-unknown", Severity::Note), about, &said, None, source);
    }
    let unknown: Vec<&str> = face.unknown.iter().chain(&back.unknown).map(String::as_str).collect();
    if !unknown.is_empty() {
        let said = format!(
            "how much moisture {} keeps out is not known here, so no gap is computed.",
            unknown.join(", ")
        );
        let source = "Wood Handbook, table 16-3";
        caution(found, ("film-unknown", Severity::Note), about, &said, None, source);
    }
}
