//! The page *Balance*: are panels balanced?
//!
//! Invariant: coats on are those of the standing, hours and bends those of the room `balance`; what could not
//! be computed says so and is never drawn flat as if it were nothing.

use super::super::model::Model;
use super::super::timing;
use super::cells::{Row, first_shown, more, put_lines, width, wrap};
use super::day::told;
use super::now::{MARGIN, margin};
use crate::balance::{Balance, Bend, PanelBalance, SheetBalance};
use crate::job::SurfaceRole;
use crate::units::{Moment, Span};
use ratatui::Frame;
use ratatui::layout::Rect;

/// Below this a bend is drawn and said as none, mm.
const SLIGHT: f64 = 0.05;

/// Draws the page.
pub fn draw(model: &Model, frame: &mut Frame, area: Rect) {
    let (columns, height) = (usize::from(area.width), usize::from(area.height));
    let Some(balance) = model.balance() else {
        let row = margin(model, "").text(model.no_figures(), model.theme.strong);
        put_lines(model, frame, area, [Row::new(), row].into_iter());
        return;
    };
    let mut rows = vec![summary(model, &balance)];
    if balance.panels.is_empty() {
        let wide = model.sheet.job.room.wide_over.0;
        rows.push(Row::new());
        let words = format!("No solid panel is wider than {} across the grain.", length(model, wide));
        rows.push(margin(model, "").text(words, model.theme.text));
        rows.extend(sheets(model, &balance.sheets, columns));
        put_lines(model, frame, area, rows.into_iter());
        return;
    }
    let total = balance.panels.len();
    let cursor = model.pages.balance.min(total - 1);
    let shown = balance.panels.get(cursor);
    let detail = shown.map_or_else(Vec::new, |panel| detail(model, panel, &balance, columns));
    rows.push(Row::new());
    rows.push(header(model, columns));
    // the list gives way to the drawing, but three lines of it stay
    let room = height.saturating_sub(rows.len() + 1 + detail.len()).max(3);
    let all = total <= room;
    let lines = if all { total } else { room.saturating_sub(1).max(1) };
    let first = first_shown(cursor, total, lines);
    let mut at = None;
    for (index, panel) in balance.panels.iter().enumerate().skip(first).take(lines) {
        let row = line(model, panel, columns, index == cursor);
        if index == cursor && model.layers.is_empty() {
            at = Some(rows.len());
            rows.push(row.focused(columns.saturating_sub(1)));
        } else {
            rows.push(row);
        }
    }
    if !all {
        let text = more(first, total.saturating_sub(first + lines), "");
        rows.push(Row::new().pad(3).text(text, model.theme.quiet));
    }
    rows.push(Row::new());
    rows.extend(detail);
    rows.extend(sheets(model, &balance.sheets, columns));
    put_lines(model, frame, area, rows.into_iter());
    if let Some(row) = at.filter(|row| *row < height) {
        frame.set_cursor_position((area.x + 1, area.y + row as u16));
    }
}

fn length(model: &Model, mm: f64) -> String {
    if model.sheet.job.shown_in.inches {
        format!("{:.1} in", mm / 25.4)
    } else {
        format!("{mm:.0} mm")
    }
}

fn summary(model: &Model, balance: &Balance) -> Row {
    let theme = &model.theme;
    let now = balance
        .panels
        .iter()
        .filter(|panel| panel.unequal_since.is_some())
        .count();
    let for_good = balance.panels.iter().filter(|panel| panel.planned.for_good).count();
    let mut row = Row::new().text(" ", theme.text);
    row = row
        .text(format!("{} wide panels", balance.panels.len()), theme.strong)
        .text("   ", theme.text);
    row = row.text(
        format!("{now} stand unequal now"),
        if now > 0 { theme.test } else { theme.quiet },
    );
    row = row.text("   ", theme.text);
    let style = if for_good > 0 { theme.alarm } else { theme.quiet };
    row.text(format!("{for_good} end unequal"), style)
}

/// Widths: name, face, back, unequal, bend while unequal, bend in use.
fn widths(columns: usize) -> [usize; 6] {
    let rest = columns.saturating_sub(3 + 2 + 1);
    let fixed = [8, 8, 20, 12, 12];
    let name = rest.saturating_sub(fixed.iter().sum()).clamp(12, 40);
    [name, fixed[0], fixed[1], fixed[2], fixed[3], fixed[4]]
}

fn header(model: &Model, columns: usize) -> Row {
    let (theme, symbols) = (&model.theme, &model.symbols);
    let words = ["panel", "face", "back", "unequal, of all", "bend then", "bend in use"];
    let row = Row::new().pad(5);
    words
        .iter()
        .zip(widths(columns))
        .fold(row, |row, (word, wide)| row.cell(word, wide, theme.quiet, symbols))
}

/// Coats on and due of the two faces: face, back.
fn coats(model: &Model, panel: &PanelBalance) -> [Option<(u32, u32)>; 2] {
    let index = model.sheet.piece(&panel.piece);
    let standing = index.and_then(|index| model.sheet.piece_standing(index));
    let piece = index.and_then(|index| model.sheet.job.pieces.get(index));
    [SurfaceRole::Face, SurfaceRole::Back].map(|role| {
        let surface = piece?.surfaces.iter().position(|surface| surface.role == role)?;
        let on = standing?.surfaces.iter().find(|one| one.surface == surface)?;
        Some((on.coats_on, on.coats_due))
    })
}

fn of_due(coats: Option<(u32, u32)>) -> String {
    coats.map_or_else(|| "?".to_owned(), |(on, due)| format!("{on}/{due}"))
}

fn hours(hours: f64) -> String {
    if hours <= 0.0 {
        "0".to_owned()
    } else {
        Span((hours * 60.0).round() as i64).to_string()
    }
}

/// `0.4 mm`, `none`, `?` where it could not be computed, `-` where there is nothing to compute.
fn bend_words(bend: Option<&Bend>, unknown: &str) -> String {
    match bend.map(|bend| bend.cup_mm) {
        None => unknown.to_owned(),
        Some(None) => "not known".to_owned(),
        Some(Some([_, usual, _])) if usual.abs() < SLIGHT => "none".to_owned(),
        Some(Some([_, usual, _])) => format!("{:.1} mm", usual.abs()),
    }
}

fn line(model: &Model, panel: &PanelBalance, columns: usize, here: bool) -> Row {
    let (theme, symbols) = (&model.theme, &model.symbols);
    let [name, face, back, unequal, so, used] = widths(columns);
    let [on_face, on_back] = coats(model, panel).map(of_due);
    let bad = panel.planned.for_good && panel.accepted.is_none();
    let (sign, style) = if bad {
        (symbols.warn, theme.alarm)
    } else if panel.unequal_since.is_some() {
        (symbols.leave, theme.test)
    } else {
        (' ', theme.text)
    };
    let so_far = panel
        .so_far
        .map_or_else(|| "?".to_owned(), |so_far| hours(so_far.hours));
    let never_so =
        panel.planned.hours <= 0.0 && !panel.planned.for_good && panel.so_far.is_none_or(|so_far| so_far.hours <= 0.0);
    let all = hours(panel.planned.hours);
    let unequal_words = if never_so {
        "never".to_owned()
    } else if panel.planned.for_good {
        format!("{so_far}, for good")
    } else {
        format!("{so_far} of {all}")
    };
    let mark = if here { symbols.cursor } else { ' ' };
    let never = if panel.planned.hours > 0.0 {
        "not known"
    } else {
        "never so"
    };
    Row::new()
        .text(format!(" {mark} "), theme.text)
        .text(format!("{sign} "), style)
        .cell(&panel.name, name, theme.strong, symbols)
        .cell(&on_face, face, theme.text, symbols)
        .cell(&on_back, back, theme.text, symbols)
        .cell(&unequal_words, unequal, style, symbols)
        .cell(
            &bend_words(panel.while_unequal.as_ref(), never),
            so,
            theme.text,
            symbols,
        )
        .cell(
            &bend_words(panel.in_use.as_ref(), "not known"),
            used,
            theme.text,
            symbols,
        )
}

/// The panel the cursor is on: drawn end on, and what is foretold.
fn detail(model: &Model, panel: &PanelBalance, balance: &Balance, columns: usize) -> Vec<Row> {
    let theme = &model.theme;
    let mut rows = Vec::new();
    let size = format!(
        "{}: {}, {} across, {} thick",
        panel.name,
        panel.material,
        length(model, panel.width_mm),
        length(model, panel.thickness_mm)
    );
    rows.push(margin(model, "PANEL").text(size, theme.strong));
    rows.extend(drawn(model, panel, columns));
    let (now, zone) = (model.moment(), model.sheet.job.zone);
    if let Some(since) = &panel.unequal_since {
        let since = timing::at(Moment::of(since), now, zone);
        rows.push(margin(model, "NOW").text(format!("unequal since {since}"), theme.test));
    }
    rows.extend(foretold(model, panel, balance, columns));
    if let Some(reason) = &panel.accepted {
        rows.extend(told(
            model,
            "TAKEN",
            &format!("accepted so: {reason}"),
            columns,
            theme.text,
        ));
    }
    let dispute = if model.size.1 < 30 {
        "The trade is not of one mind on whether this matters; equal coats cost little."
    } else {
        balance.dispute
    };
    rows.extend(told(model, "DISPUTE", dispute, columns, theme.quiet));
    rows
}

fn foretold(model: &Model, panel: &PanelBalance, balance: &Balance, columns: usize) -> Vec<Row> {
    let theme = &model.theme;
    let mut rows = Vec::new();
    if let Some(words) = panel.while_unequal.as_ref().and_then(bend_told) {
        let text = format!(
            "while unequal: {words}, if the air goes from {:.0} to {:.0} % RH then",
            balance.step_from.1, balance.step_to.1
        );
        rows.extend(told(model, "BENDS", &text, columns, theme.text));
    }
    let text = match panel.in_use.as_ref() {
        None => "in use: not known, a film or the timber is not in the tables".to_owned(),
        Some(bend) => bend_told(bend).map_or_else(
            || "in use: not known, the timber is not in the table".to_owned(),
            |words| format!("in use, with the films it ends with: {words}"),
        ),
    };
    rows.extend(told(
        model,
        if rows.is_empty() { "BENDS" } else { "" },
        &text,
        columns,
        theme.text,
    ));
    if let Some([least, _, most]) = panel.season_mm {
        let text = format!(
            "{:.1} to {:.1} mm wider in the damp season than in the dry one: room for it in slots and buttons",
            least.abs().min(most.abs()),
            least.abs().max(most.abs())
        );
        rows.extend(told(model, "SEASON", &text, columns, theme.text));
    }
    rows
}

/// `face hollow by 0.4 mm (0.2 to 0.9)`; `None` where the timber is not known.
fn bend_told(bend: &Bend) -> Option<String> {
    let [low, usual, high] = bend.cup_mm?;
    if high.abs() < SLIGHT {
        return Some("no bend to speak of".to_owned());
    }
    let way = if usual < 0.0 { "face hollow" } else { "face round" };
    let after = Span((bend.worst_after_days * 1440.0 / 60.0).round() as i64 * 60);
    Some(format!(
        "{way} by {:.1} mm ({:.1} to {:.1}) after {after}, free of any frame",
        usual.abs(),
        low.abs(),
        high.abs()
    ))
}

/// The panel end on: the films over and under the wood, the wood bent as foretold.
fn drawn(model: &Model, panel: &PanelBalance, columns: usize) -> Vec<Row> {
    let (theme, symbols) = (&model.theme, &model.symbols);
    let wide = columns.saturating_sub(MARGIN + 34).clamp(16, 64);
    let [face, back] = coats(model, panel);
    let side = |word: &str, coats: Option<(u32, u32)>| {
        let on = coats.map_or(0, |coats| coats.0);
        let sign = match on {
            0 => ' ',
            on => symbols.films.get(on as usize - 1).copied().unwrap_or(symbols.films[2]),
        };
        let said = coats.map_or_else(
            || format!("{word}: not known"),
            |(on, due)| format!("{word}: {on} of {due} coats on"),
        );
        margin(model, "")
            .text(sign.to_string().repeat(wide), theme.carry)
            .text("  ", theme.text)
            .text(said, theme.text)
    };
    let bend = panel.while_unequal.as_ref().or(panel.in_use.as_ref());
    let cup = bend.and_then(|bend| bend.cup_mm).map(|cup| cup[1]);
    let mut rows = vec![side("face", face)];
    let levels = levels(cup, wide);
    let deep = levels.iter().copied().max().unwrap_or(0);
    for level in 0..=deep {
        let text: String = levels
            .iter()
            .map(|at| if *at == level { symbols.wood } else { ' ' })
            .collect();
        let said = match (level, cup) {
            (0, None) => "bend not known, drawn flat".to_owned(),
            (0, Some(cup)) if cup.abs() < SLIGHT => "stays flat".to_owned(),
            (0, Some(_)) => "bend drawn far too large".to_owned(),
            _ => String::new(),
        };
        rows.push(
            margin(model, "")
                .text(text, theme.text)
                .text("  ", theme.text)
                .text(said, theme.quiet),
        );
    }
    rows.push(side("back", back));
    rows
}

/// The row of each column of the bent wood, from the top; a flat one has a single row.
fn levels(cup: Option<f64>, wide: usize) -> Vec<usize> {
    let Some(cup) = cup.filter(|cup| cup.abs() >= SLIGHT) else {
        return vec![0; wide];
    };
    let middle = (wide.saturating_sub(1)) as f64 / 2.0;
    let height = |column: usize| {
        let from_middle = (column as f64 - middle) / middle.max(1.0);
        // the rise of an arc, 1 in the middle and 0 at the edges
        let rise = 1.0 - from_middle * from_middle;
        let level = (2.0 * rise).round() as usize;
        if cup > 0.0 { 2 - level.min(2) } else { level.min(2) }
    };
    (0..wide).map(height).collect()
}

/// Large sheets whose films differ.
fn sheets(model: &Model, sheets: &[SheetBalance], columns: usize) -> Vec<Row> {
    let theme = &model.theme;
    let mut rows = Vec::new();
    for sheet in sheets {
        let name = model
            .sheet
            .piece(&sheet.piece)
            .and_then(|index| model.sheet.job.pieces.get(index))
            .map_or(sheet.piece.as_str(), |piece| piece.name.as_str());
        let text = format!(
            "{name}: {} coats on the face, {} on the back; a sheet this large shows it too",
            sheet.face.coats, sheet.back.coats
        );
        for (index, line) in wrap(&text, columns.saturating_sub(MARGIN + 1)).into_iter().enumerate() {
            let word = if index == 0 && width(&line) > 0 { "SHEET" } else { "" };
            rows.push(margin(model, word).text(line, theme.text));
        }
    }
    rows
}
