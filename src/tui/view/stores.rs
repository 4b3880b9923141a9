//! The page *Stores*: what is left in the tins?
//!
//! Invariant: used is what the log says was done; a volume that is not known is a question mark, never a
//! nought.

use super::super::model::Model;
use super::cells::{Row, put_lines, width};
use super::layers::scrolled;
use crate::stores::{ProductNeed, Stores, Tin};
use ratatui::Frame;
use ratatui::layout::Rect;

/// Draws the page.
pub fn draw(model: &Model, frame: &mut Frame, area: Rect) {
    let rows = rows(model, usize::from(area.width));
    put_lines(
        model,
        frame,
        area,
        scrolled(model, rows, model.pages.stores, area).into_iter(),
    );
}

/// How far it can be scrolled.
pub fn last_scroll(model: &Model) -> usize {
    let room = usize::from(model.size.1.saturating_sub(2 + 3));
    rows(model, usize::from(model.size.0)).len().saturating_sub(room)
}

fn rows(model: &Model, columns: usize) -> Vec<Row> {
    let theme = &model.theme;
    let Some(stores) = model.stores() else {
        return vec![Row::new(), Row::new().pad(10).text(model.no_figures(), theme.strong)];
    };
    let mut rows = vec![summary(model, &stores)];
    rows.push(Row::new());
    rows.extend(products(model, &stores, columns));
    rows.push(Row::new());
    rows.extend(others(model, &stores, columns));
    rows.push(Row::new());
    let words = format!(
        "Rates of wear and waste: {}. Your own figures come first.",
        stores.rates_source
    );
    rows.push(Row::new().text(format!(" {words}"), theme.quiet));
    rows
}

fn summary(model: &Model, stores: &Stores) -> Row {
    let theme = &model.theme;
    let lasts = stores
        .products
        .iter()
        .map(|one| one.lasts)
        .chain(stores.abrasives.iter().map(|one| one.lasts))
        .chain(stores.sundries.iter().map(|one| one.lasts));
    let short = lasts.clone().filter(|lasts| *lasts == Some(false)).count();
    let unknown = lasts.filter(Option::is_none).count();
    let row = Row::new().text(" ", theme.text);
    let row = match short {
        0 if unknown == 0 => row.text("All of it will last.", theme.strong),
        0 => row.text("Nothing is known to run short.", theme.strong),
        short => row.text(format!("{short} will not last."), theme.alarm),
    };
    if unknown == 0 {
        return row;
    }
    let text = format!("   Of {unknown} the job does not say what is there.");
    row.text(text, theme.quiet)
}

/// mL in the maker's own units, as precise as anyone pours.
pub(super) fn volume(model: &Model, ml: f64) -> String {
    // no minus before a nought
    let ml = ml.max(0.0);
    if model.sheet.job.shown_in.us_volume {
        let ounces = ml / 29.573_529_562_5;
        return match ounces {
            ounces if ounces < 32.0 => format!("{ounces:.1} fl oz"),
            ounces => format!("{:.2} qt", ounces / 32.0),
        };
    }
    match ml {
        ml if ml < 1000.0 => format!("{ml:.0} mL"),
        ml => format!("{:.2} L", ml / 1000.0),
    }
}

fn tins(model: &Model, tins: &[Tin]) -> String {
    let one = |tin: &Tin| format!("{} × {}", tin.count, volume(model, tin.size_ml));
    tins.iter().map(one).collect::<Vec<_>>().join(" + ")
}

/// Widths: name, used, still wanted, in all, shelf, will it last.
fn widths(columns: usize) -> [usize; 6] {
    let rest = columns.saturating_sub(4);
    let fixed = if columns >= 110 {
        [12, 14, 22, 12, 20]
    } else {
        [8, 9, 14, 9, 9]
    };
    let name = rest.saturating_sub(fixed.iter().sum()).clamp(14, 44);
    [name, fixed[0], fixed[1], fixed[2], fixed[3], fixed[4]]
}

fn heading(model: &Model, first: &str, columns: usize) -> Row {
    let (theme, symbols) = (&model.theme, &model.symbols);
    let words = [first, "used", "to go", "in all", "shelf", "lasts"];
    let cells = words.iter().zip(widths(columns)).enumerate();
    cells.fold(Row::new().pad(3), |row, (index, (word, wide))| {
        let style = if index == 0 { theme.strong } else { theme.quiet };
        row.cell(word, wide, style, symbols)
    })
}

/// The sign and word of whether something lasts.
fn lasting(model: &Model, lasts: Option<bool>) -> (char, String, ratatui::style::Style) {
    let (theme, symbols) = (&model.theme, &model.symbols);
    match lasts {
        Some(true) => (' ', "yes".to_owned(), theme.carry),
        Some(false) => (symbols.warn, "NO".to_owned(), theme.alarm),
        None => (' ', "?".to_owned(), theme.quiet),
    }
}

fn products(model: &Model, stores: &Stores, columns: usize) -> Vec<Row> {
    let (theme, symbols) = (&model.theme, &model.symbols);
    let mut rows = vec![heading(model, "TINS", columns)];
    if stores.products.is_empty() {
        rows.push(Row::new().pad(3).text("The plan puts nothing on.", theme.text));
    }
    for need in &stores.products {
        let [name, used, left, all, shelf, lasts] = widths(columns);
        let amount = |ml: Option<f64>| ml.map_or_else(|| "?".to_owned(), |ml| volume(model, ml));
        let in_all = need.needed_ml.map_or_else(
            || "?".to_owned(),
            |[least, _, most]| format!("{}–{}", bare(model, least), volume(model, most)),
        );
        let (sign, word, style) = lasting(model, need.lasts);
        rows.push(
            Row::new()
                .text(format!(" {sign} "), style)
                .cell(&need.name, name.saturating_sub(1), theme.strong, symbols)
                .text(" ", theme.text)
                .cell(&amount(need.used_ml), used, theme.text, symbols)
                .cell(&amount(need.left_ml), left, theme.text, symbols)
                .cell(&in_all, all, theme.text, symbols)
                .cell(&amount(need.on_hand_ml), shelf, theme.text, symbols)
                .cell(&word, lasts, style, symbols),
        );
        rows.extend(more_of(model, need, columns));
    }
    rows
}

/// The lower end of a range, without its unit where the upper end has the same.
fn bare(model: &Model, ml: f64) -> String {
    let text = volume(model, ml);
    text.split(' ').next().unwrap_or_default().to_owned()
}

/// Tins to buy, what to keep back, mixes.
fn more_of(model: &Model, need: &ProductNeed, columns: usize) -> Vec<Row> {
    let theme = &model.theme;
    let mut parts = Vec::new();
    let short = need.short_ml.filter(|ml| *ml >= 0.5);
    parts.extend(short.map(|ml| format!("short by {}", volume(model, ml))));
    if !need.buy.is_empty() {
        parts.push(format!("buy {}", tins(model, &need.buy)));
    } else if !need.tins.is_empty() && need.on_hand_ml.is_none() {
        parts.push(format!("in tins {}", tins(model, &need.tins)));
    }
    let batches: Vec<&str> = need.batches.iter().filter_map(|one| one.batch.as_deref()).collect();
    if !batches.is_empty() {
        parts.push(format!("batch {}", batches.join(", ")));
    }
    if let Some(ml) = need
        .keep_for_last_coat_ml
        .filter(|_| need.left_ml.is_some_and(|left| left > 0.0))
    {
        parts.push(format!("keep {} of one batch for the last coat", volume(model, ml)));
    }
    if !need.mixes.is_empty() {
        parts.push(format!("{} mixes", need.mixes.len()));
    }
    if !need.without_volume.is_empty() {
        parts.push(format!("{} steps without a known volume", need.without_volume.len()));
    }
    if parts.is_empty() {
        return Vec::new();
    }
    let text = parts.join("; ");
    let lines = super::cells::wrap(&text, columns.saturating_sub(6));
    lines
        .into_iter()
        .map(|line| Row::new().pad(5).text(line, theme.quiet))
        .collect()
}

fn others(model: &Model, stores: &Stores, columns: usize) -> Vec<Row> {
    let (theme, symbols) = (&model.theme, &model.symbols);
    let mut rows = vec![heading(model, "PAPER, WOOL, CLOTHS", columns)];
    let abrasives = stores.abrasives.iter().map(|one| {
        (
            one.grit.as_str(),
            one.needed,
            one.left,
            one.unit,
            one.on_hand,
            one.lasts,
        )
    });
    let sundries = stores
        .sundries
        .iter()
        .map(|one| (one.item, one.needed, one.left, one.unit, one.on_hand, one.lasts));
    for (item, needed, left, unit, on_hand, lasts) in abrasives.chain(sundries) {
        let [name, used, wanted, all, shelf, last] = widths(columns);
        let amount = |value: f64| {
            let text = if matches!(unit, "m" | "g") || value.abs() < 0.05 {
                format!("{value:.0}")
            } else {
                format!("{value:.1}")
            };
            text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
        };
        let (sign, word, style) = lasting(model, lasts);
        let whole = (needed - 1e-9).ceil().max(0.0);
        let one = if (whole - 1.0).abs() < 1e-9 {
            unit.strip_suffix('s').unwrap_or(unit)
        } else {
            unit
        };
        let in_all = format!("{whole:.0} {one}");
        let in_all = if width(&in_all) > all {
            format!("{whole:.0}")
        } else {
            in_all
        };
        rows.push(
            Row::new()
                .text(format!(" {sign} "), style)
                .cell(item, name.saturating_sub(1), theme.strong, symbols)
                .text(" ", theme.text)
                .cell(&amount((needed - left).max(0.0)), used, theme.text, symbols)
                .cell(&amount(left), wanted, theme.text, symbols)
                .cell(&in_all, all, theme.text, symbols)
                .cell(
                    &on_hand.map_or_else(|| "?".to_owned(), amount),
                    shelf,
                    theme.text,
                    symbols,
                )
                .cell(&word, last, style, symbols),
        );
    }
    rows
}
