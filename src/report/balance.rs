//! The two faces of every wide panel on paper: coats, hours apart, what an imbalance would do, the seasons.
//!
//! Invariant: a range is said with its figure; panels that read the same are one paragraph; what the timber or
//! film tables do not have is said.

use super::caution_list::cautions;
use super::names::Names;
use super::paper::{Paper, Sheet, clean};
use super::round::sentence;
use crate::balance::{Bend, PanelBalance};
use crate::job::Job;
use crate::science::movement::Sawn;
use crate::units::Span;
use crate::whole::BalancePage;
use std::fmt::Write as _;

/// The page.
pub fn balance(page: &BalancePage, job: &Job, paper: Paper) -> String {
    let names = Names::of(job);
    let mut sheet = Sheet::new(paper);
    sheet.heading(&format!("Balance of the panels: {}", clean(&page.job)));
    let all = &page.balance;
    if all.panels.is_empty() {
        sheet.line(&format!(
            "No solid panel is wider than {} mm across the grain; narrower ones are not watched.",
            page.wide_over_mm
        ));
    } else {
        sheet.line(&format!(
            "Solid panels wider than {} mm across the grain. A bend is that of a free panel, so the most it can be, should the air go from {:.0} to {:.0} % at {:.0} °C at once and stay so for {:.0} days (wood then settles {:.1} % of moisture higher). The seasons go from {:.0} to {:.0} %.",
            page.wide_over_mm,
            all.step_from.1,
            all.step_to.1,
            all.step_to.0,
            all.step_days,
            all.step_moisture,
            all.driest.1,
            all.dampest.1
        ));
    }
    // panels that read the same are said together
    let mut said: Vec<(Vec<String>, Vec<&str>)> = Vec::new();
    for panel in &all.panels {
        let lines = lines(panel);
        match said.iter_mut().find(|(known, _)| *known == lines) {
            Some((_, pieces)) => pieces.push(&panel.piece),
            None => said.push((lines, vec![&panel.piece])),
        }
    }
    for (lines, pieces) in said {
        sheet.blank();
        sheet.heading(&sentence_case(&names.in_words(pieces)));
        for line in lines {
            sheet.line(&line);
        }
    }
    if !all.sheets.is_empty() {
        sheet.blank();
        sheet.heading("Large veneered and sheet panels whose films differ");
        for one in &all.sheets {
            sheet.line(&format!(
                "{}, {:.0} × {:.0} mm: {} coats on the face, {} on the back.",
                clean(&one.name),
                one.length_mm,
                one.width_mm,
                one.face.coats,
                one.back.coats
            ));
        }
    }
    sheet.blank();
    sheet.line(all.dispute);
    cautions(&mut sheet, &names, &page.cautions);
    sheet.finish()
}

fn sentence_case(text: &str) -> String {
    sentence(text).trim_end_matches('.').to_owned()
}

fn lines(panel: &PanelBalance) -> Vec<String> {
    vec![coats(panel), apart(panel), imbalance(panel), seasons(panel)]
        .into_iter()
        .filter(|line| !line.is_empty())
        .collect()
}

fn coats(panel: &PanelBalance) -> String {
    let verdict = match (panel.equal_coats, panel.equal_products, &panel.accepted) {
        (true, true, _) => "equal in the end".to_owned(),
        (true, false, None) => "as many, but NOT of the same products".to_owned(),
        (false, _, None) => "NOT EQUAL in the end".to_owned(),
        (_, _, Some(reason)) => format!("not equal, accepted: {}", clean(reason)),
    };
    format!(
        "{:.0} mm across, {:.0} mm thick. {} on the face, {} on the back: {verdict}.",
        panel.width_mm,
        panel.thickness_mm,
        number(panel.face.coats),
        number(panel.back.coats)
    )
}

fn number(coats: u32) -> String {
    format!("{coats} coat{}", if coats == 1 { "" } else { "s" })
}

fn hours(hours: f64) -> Span {
    Span((hours * 60.0).round() as i64)
}

fn apart(panel: &PanelBalance) -> String {
    let mut text = if panel.planned.hours > 0.0 {
        format!(
            "One face is a coat ahead for {} in all on the way, at most {} at a stretch.",
            hours(panel.planned.hours),
            hours(panel.planned.longest_hours)
        )
    } else {
        "The two faces are never a coat apart.".to_owned()
    };
    if let Some(so_far) = panel.so_far.filter(|so_far| so_far.hours > 0.0) {
        _ = write!(text, " So far it has been so for {}.", hours(so_far.hours));
    }
    if let Some(since) = panel.unequal_since {
        _ = write!(
            text,
            " It stands so NOW, since {} {}.",
            super::times::day(since.date_naive()),
            super::times::clock(since)
        );
    }
    text
}

fn imbalance(panel: &PanelBalance) -> String {
    let mut text = String::new();
    if let Some(bend) = panel.while_unequal.filter(|bend| bend.gap_percent[1].abs() >= 0.005) {
        _ = write!(text, "Should the air step while one face is ahead: {}.", bent(&bend));
    }
    match panel.in_use {
        Some(bend) if bend.gap_percent[1].abs() >= 0.005 => {
            let sep = if text.is_empty() { "" } else { " " };
            _ = write!(
                text,
                "{sep}In use, with the films it ends with: {}, worst after {:.0} days.",
                bent(&bend),
                bend.worst_after_days
            );
        }
        Some(_) => {
            let sep = if text.is_empty() { "" } else { " " };
            _ = write!(text, "{sep}In use both faces take up moisture alike: no bend.");
        }
        None => {}
    }
    text
}

fn bent(bend: &Bend) -> String {
    let gap = format!("the faces {:.2} % of moisture apart", bend.gap_percent[1].abs());
    match bend.cup_mm {
        Some([low, usual, high]) => {
            let side = if usual >= 0.0 { "round" } else { "hollow" };
            format!(
                "{gap}, the face {side} by {:.1} mm ({:.1} to {:.1})",
                usual.abs(),
                low.abs(),
                high.abs()
            )
        }
        None => format!("{gap}; the timber is not in the table, so no bend in mm"),
    }
}

fn seasons(panel: &PanelBalance) -> String {
    let Some([low, usual, high]) = panel.season_mm else {
        return format!(
            "Nothing is known here of the movement of \"{}\": no change of width.",
            clean(&panel.material)
        );
    };
    let cut = match panel.sawn {
        Some(Sawn::Quarter) => "quarter-sawn",
        Some(Sawn::Flat) => "flat-sawn",
        Some(Sawn::Unsaid) | None => "however it is cut",
    };
    let mut text = format!(
        "Across the grain it moves {usual:.1} mm between the seasons once it has come all the way ({low:.1} to {high:.1}, {cut}): slots and buttons have to let that much go."
    );
    if let Some([fast, _, slow]) = panel.equalising_days {
        _ = write!(
            text,
            " Bare, it takes {fast:.1} to {slow:.1} days to come two thirds of it."
        );
    }
    text
}
