//! Finish schedules for reading: steps, products with their ladder, windows and limits.
//!
//! Invariant: every figure is printed with its range, its unit, how far it was checked, and its source;
//! every product says the air its times were stated for.

use super::STANDING_LINE;
use super::paper::{JOIN, Paper, Sheet, clean};
use super::round::{sentence, step_title};
use super::words;
use crate::finish::{Figure, Method, Opening, Phase, Product, Schedule, Step};
use crate::units::Span;
use std::fmt::Write as _;

/// All schedules, one line each.
pub fn finishes<'a>(schedules: impl IntoIterator<Item = &'a Schedule>, paper: Paper) -> String {
    let mut sheet = Sheet::new(paper);
    let rows: Vec<Vec<String>> = schedules
        .into_iter()
        .map(|schedule| {
            let summary = clean(&schedule.summary);
            vec![
                clean(&schedule.id),
                format!("{}. {}", clean(&schedule.name), sentence(&summary)),
            ]
        })
        .collect();
    sheet.table(0, &rows);
    sheet.finish()
}

/// One schedule in full.
pub fn finish(schedule: &Schedule, paper: Paper) -> String {
    let mut sheet = Sheet::new(paper);
    sheet.heading(&format!("{}: {}", clean(&schedule.id), clean(&schedule.name)));
    sheet.line(&sentence(&clean(&schedule.summary)));
    sheet.blank();
    sheet.heading("Steps");
    let mut coat = 0;
    let coats = schedule.coats_due().count();
    let mut assembled = false;
    for (index, step) in schedule.steps.iter().enumerate() {
        if step.phase == Phase::Assembled && !assembled {
            assembled = true;
            sheet.indented(4, "(once the piece is assembled)");
        }
        write_step(&mut sheet, schedule, index + 1, step, &mut coat, coats);
    }
    for product in &schedule.products {
        sheet.blank();
        write_product(&mut sheet, product);
    }
    sheet.blank();
    sheet.line(STANDING_LINE);
    sheet.finish()
}

fn write_step(sheet: &mut Sheet, schedule: &Schedule, number: usize, step: &Step, coat: &mut u8, coats: usize) {
    let counted = step.phase == Phase::Loose
        && matches!(step.kind, crate::finish::StepKind::Coat | crate::finish::StepKind::Seal);
    if counted {
        *coat = coat.saturating_add(1);
    }
    let grit = step.grit.map(|grit| grit.to_string());
    let mut text = if step.kind == crate::finish::StepKind::Check && *coat > 0 {
        "Dry fit once more".to_owned()
    } else {
        step_title(step.kind, counted.then_some(*coat), Some(coats), grit.as_deref())
    };
    if let Some(id) = &step.product {
        let name = schedule
            .product(id)
            .map_or(id.as_str(), |product| product.name.as_str());
        _ = write!(text, ", {}", clean(name));
    }
    if let Some(method) = step.method {
        _ = write!(text, ", {}", words::method(method));
    }
    if step.show_only {
        text.push_str(", on shown surfaces only");
    }
    let lead = format!("{number:>2}.");
    sheet.hanging(&lead, 4, &sentence(&text));
    if let Some(figure) = &step.stale_after {
        let age = minutes(figure.low, figure.low);
        sheet.indented(
            4,
            &format!(
                "Do it again if the first coat is not on within {age} ({}).",
                basis(figure)
            ),
        );
    }
    if let Some(figure) = &step.wait {
        sheet.indented(
            4,
            &format!("Then wait {} ({}).", minutes(figure.low, figure.high), basis(figure)),
        );
    }
    if let Some(note) = &step.note {
        sheet.indented(4, &sentence(&clean(note)));
    }
}

fn write_product(sheet: &mut Sheet, product: &Product) {
    sheet.heading(&format!("{} ({})", clean(&product.name), clean(&product.id)));
    let mut line = format!(
        "{}; family {}.",
        sentence(words::mechanism(product.mechanism)).trim_end_matches('.'),
        clean(&product.family)
    );
    if product.terminal {
        line.push_str(" Nothing goes over it.");
    }
    if product.mechanism.spoils() {
        line.push_str(" Too cold too early, the film is spoiled: sand it off.");
    }
    sheet.line(&line);
    let air = product.stated_at;
    let stated = format!(
        "Times as stated for {:.0}{JOIN}°C and {:.0}{JOIN}% relative humidity.",
        air.temperature.0, air.humidity.0
    );
    sheet.line(&stated);
    sheet.table(2, &ladder(product));
    let windows = windows(product);
    if !windows.is_empty() {
        sheet.line("The next coat may go on:");
        for window in windows {
            sheet.indented(2, &window);
        }
    }
    let limits = limits(product);
    if !limits.is_empty() {
        sheet.line("Limits and data:");
        sheet.table(2, &limits);
    }
    if product.self_heating {
        sheet.line("Rags wet with it heat themselves and can burn.");
    }
}

fn ladder(product: &Product) -> Vec<Vec<String>> {
    let rung = |rung: &crate::finish::StageTime| {
        let name = words::stage(rung.stage);
        let name = if rung.from_coat > 1 {
            format!("{name}, from coat {}", rung.from_coat)
        } else {
            name.to_owned()
        };
        vec![name, minutes(rung.minutes.low, rung.minutes.high), basis(&rung.minutes)]
    };
    product.stages.iter().map(rung).collect()
}

fn windows(product: &Product) -> Vec<String> {
    let mut lines = Vec::new();
    for window in &product.windows {
        let next = window
            .next
            .as_deref()
            .map_or_else(String::new, |next| format!("{}: ", clean(next)));
        let opens = match &window.opens {
            Opening::Stage(stage) => format!("from {}", words::stage(*stage)),
            Opening::After(figure) => format!("from {} ({})", minutes(figure.high, figure.high), basis(figure)),
        };
        let closes = window.closes.as_ref().map_or_else(String::new, |figure| {
            format!(" until {} ({})", minutes(figure.low, figure.low), basis(figure))
        });
        lines.push(format!("{next}{opens}{closes}, {}", words::prepare(window.prepare)));
    }
    lines
}

fn limits(product: &Product) -> Vec<Vec<String>> {
    let mut rows = Vec::new();
    let mut say = |name: &str, figure: Option<&Figure>, unit: &str| {
        if let Some(figure) = figure {
            let amount = if unit == "min" {
                minutes(figure.low, figure.high)
            } else {
                format!("{}{JOIN}{unit}", range(figure.low, figure.high))
            };
            rows.push(vec![name.to_owned(), amount, basis(figure)]);
        }
    };
    say("start a coat at or above", product.start_floor.as_ref(), "°C");
    say("start a coat at or below", product.start_ceiling.as_ref(), "°C");
    say(
        "start a coat in air not damper than",
        product.start_humidity.as_ref(),
        "%",
    );
    say("drying stops below", product.drying_floor.as_ref(), "°C");
    say("wet edge", product.open_time.as_ref(), "min");
    say("usable once mixed", product.pot_life.as_ref(), "min");
    if let Some(wipe) = &product.wipe {
        say("let it soak", Some(&wipe.soak), "min");
        say("excess off within", Some(&wipe.within), "min");
        say("wipe again after", wipe.again_after.as_ref(), "min");
        say("and not later than", wipe.again_within.as_ref(), "min");
    }
    for (method, figure) in &product.wet_film {
        let how = match method {
            Method::Brush => "wet film, brushed",
            Method::Wipe => "wet film, wiped on",
            Method::Pad => "wet film, padded",
            Method::Spray => "wet film, sprayed",
        };
        say(how, Some(figure), "µm");
    }
    say("first coat drinks more by", product.first_coat_extra.as_ref(), "%");
    say("solids by volume", product.volume_solids.as_ref(), "%");
    say("density", product.density.as_ref(), "kg/L");
    say("flash point", product.flash_point.as_ref(), "°C");
    for (solvent, figure) in &product.solvents {
        say(&format!("{} by mass", clean(solvent)), Some(figure), "%");
    }
    rows
}

/// `10–20 min`, `1 h to 2 h`, `12 h`.
fn minutes(low: f64, high: f64) -> String {
    let (low, high) = (low.round() as i64, high.round() as i64);
    let hard = |span: Span| span.to_string().replace(' ', &JOIN.to_string());
    if low == high {
        hard(Span(low))
    } else if high < 120 {
        format!("{low}–{high}{JOIN}min")
    } else {
        format!("{} to {}", hard(Span(low)), hard(Span(high)))
    }
}

/// `24–26`, with no more digits than the figure has.
fn range(low: f64, high: f64) -> String {
    let (from, until) = (digits(low), digits(high));
    if from == until {
        from
    } else {
        format!("{from}–{until}")
    }
}

fn digits(value: f64) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Status and source, in words that do not say the same twice.
fn basis(figure: &Figure) -> String {
    let status = words::provenance(figure.status);
    let source = clean(&figure.source);
    // files say "no source: ..." where they give the reason of a common practice
    let source = source.trim();
    let source = source.strip_prefix("no source").unwrap_or(source);
    let source = source.trim_start_matches([':', ',', ';']).trim();
    if source.is_empty() {
        status.to_owned()
    } else {
        format!("{status}: {source}")
    }
}

#[cfg(test)]
mod tests {
    use super::super::sample;
    use super::*;

    #[test]
    fn every_figure_has_range_status_and_source() {
        let text = finish(
            &sample::lacquer(),
            Paper {
                width: 100,
                ascii: true,
            },
        );
        for wanted in [
            "dry to sand, from coat 3  2 h to 4 h   common practice, no source: bench notes",
            "dry to touch              20-30 min    common practice, no source: bench notes",
            "start a coat at or above  15 C        common practice, no source: bench notes",
            "wet film, brushed         100-120 um",
            "from dry to sand, after a de-nib",
            "Times as stated for 23 C and 50 % relative humidity.",
            " 2. Sand P120.",
            " 4. Coat 1 of 2, brushing lacquer, brushed.",
            "(once the piece is assembled)",
            "Then wait 1 h to 2 h (common practice, no source: bench notes).",
            "Nothing goes over it.",
        ] {
            assert!(text.contains(wanted), "{wanted:?} not in\n{text}");
        }
        assert!(text.contains("safety data sheet"));
    }

    #[test]
    fn the_list_has_one_line_a_schedule() {
        let schedules = [sample::lacquer(), sample::oil()];
        let text = finishes(&schedules, Paper::default());
        assert_eq!(
            text,
            "brushed-lacquer  brushed lacquer, waxed. A thin clear film, rubbed and waxed.\n\
             oil              oiled. In the wood, not on it.\n"
        );
    }
}
