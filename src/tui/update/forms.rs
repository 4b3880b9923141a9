//! Keys of forms and of the lists they are chosen from.
//!
//! Invariant: a form writes only what it shows; one that changes the file is looked at by the file's own
//! reader whenever something of it has changed.

use super::super::form::Pressed;
use super::super::key::Key;
use super::super::layer::Layer;
use super::super::menu::{Item, Menu};
use super::super::model::{Model, Tone};
use super::super::msg::{Check, Effect};
use super::super::task::{Filling, Task};
use super::super::{deeds, edits};
use super::{layers, plan, say, write};

/// Takes a key for a form.
pub fn press(model: &mut Model, mut filling: Filling, key: Key) -> Vec<Effect> {
    let pressed = filling.form.press(key);
    if pressed == Pressed::Changed {
        filling.form.tried = false;
        if !filling.task.edits() {
            filling.form.wrong.clear();
        }
    }
    let look = matches!(pressed, Pressed::Changed | Pressed::Moved) && filling.task.edits();
    if pressed == Pressed::Write {
        return hand_in(model, filling);
    }
    let check = look.then(|| check(&filling)).flatten();
    layers::replace(model, Layer::Form(Box::new(filling)));
    check.into_iter().collect()
}

/// The open form is to be looked at by the file's reader.
fn check(filling: &Filling) -> Option<Effect> {
    let (edits, _) = edits::changes(&filling.task, &filling.form)?;
    let filled_on = filling.form.filled_on(filling.task.is_new());
    let filled_on = filled_on.and_then(|form| Some(edits::changes(&filling.task, &form)?.0));
    Some(Effect::Check(Check { edits, filled_on }))
}

/// Pasted text goes into a line of text.
pub fn paste(model: &mut Model, text: &str) -> Vec<Effect> {
    let Some(Layer::Form(filling)) = model.layers.last_mut() else {
        return Vec::new();
    };
    if !filling.form.paste(text) || !filling.task.edits() {
        return Vec::new();
    }
    check(filling).into_iter().collect()
}

fn hand_in(model: &mut Model, mut filling: Filling) -> Vec<Effect> {
    filling.form.tried = true;
    if let Some((edits, words)) = edits::changes(&filling.task, &filling.form) {
        if edits.is_empty() {
            model.layers.pop();
            if filling.guided {
                return next_of_guide(model, &filling.task);
            }
            say(model, "Nothing was changed.");
            return Vec::new();
        }
        if model.writing {
            return Vec::new();
        }
        model.writing = true;
        layers::replace(model, Layer::Form(Box::new(filling)));
        return vec![Effect::Edit(edits, words)];
    }
    match deeds::record(&model.sheet, &filling.task, &filling.form, model.moment()) {
        Ok((what, words)) => {
            layers::replace(model, Layer::Form(Box::new(filling)));
            write(model, what, words)
        }
        Err(wrong) => {
            filling.form.wrong = vec![wrong];
            layers::replace(model, Layer::Form(Box::new(filling)));
            Vec::new()
        }
    }
}

/// The file's reader has looked at the open form.
pub fn checked(model: &mut Model, wrong: Vec<String>) {
    if let Some(Layer::Form(filling)) = model.layers.last_mut()
        && filling.task.edits()
    {
        filling.form.wrong = wrong;
    }
}

/// The file was not changed.
pub fn not_edited(model: &mut Model, wrong: Vec<String>) {
    model.writing = false;
    if let Some(Layer::Form(filling)) = model.layers.last_mut() {
        filling.form.wrong = wrong;
        filling.form.tried = true;
    } else {
        model.said = Some((Tone::Wrong, format!("Not written: {}", wrong.join(" "))));
    }
}

/// The file was changed.
pub fn edited(model: &mut Model, words: &str) -> Vec<Effect> {
    model.writing = false;
    let filling = match model.layers.pop() {
        Some(Layer::Form(filling)) => Some(filling),
        other => {
            model.layers.extend(other);
            None
        }
    };
    super::settle(model);
    model.said = Some((Tone::Done, format!("In the job file: {words}.")));
    match filling {
        Some(filling) if filling.guided => next_of_guide(model, &filling.task),
        _ => {
            model.layers.clear();
            vec![plan::ask(model)]
        }
    }
}

/// The form that follows in the first job.
fn next_of_guide(model: &mut Model, done: &Task) -> Vec<Effect> {
    let next = match done {
        Task::Job => Item::Room,
        Task::Room => Item::Hours,
        Task::Hours => Item::NewPart,
        _ => {
            let last = model.sheet.job.parts.last().map(|part| part.name.clone());
            model
                .layers
                .push(Layer::Menu(Menu::after_a_part(&last.unwrap_or_default())));
            return Vec::new();
        }
    };
    choose(model, &next, true)
}

/// Opens the first form of a job that has no parts yet; one that has some and no plan is planned.
pub fn begin(model: &mut Model) -> Vec<Effect> {
    if !model.sheet.job.pieces.is_empty() && model.sheet.plan.is_none() && !model.read_only {
        return vec![plan::ask(model)];
    }
    if model.sheet.job.parts.is_empty() && model.sheet.text.is_some() && !model.read_only {
        choose(model, &Item::Job, true);
    }
    Vec::new()
}

/// Takes a key for a list.
pub fn menu_key(model: &mut Model, mut menu: Menu, key: Key) -> Vec<Effect> {
    let last = menu.items.len().saturating_sub(1);
    match key {
        Key::Up | Key::Char('k') => menu.cursor = menu.cursor.saturating_sub(1),
        Key::Down | Key::Char('j') => menu.cursor = (menu.cursor + 1).min(last),
        Key::Home => menu.cursor = 0,
        Key::End => menu.cursor = last,
        Key::Char(letter) => {
            let item = Menu::place_of(letter).and_then(|at| menu.items.get(at));
            if let Some(item) = item.cloned() {
                return chosen(model, &item);
            }
        }
        Key::Enter => {
            if let Some(item) = menu.items.get(menu.cursor).cloned() {
                return chosen(model, &item);
            }
        }
        _ => {}
    }
    layers::replace(model, Layer::Menu(menu));
    Vec::new()
}

fn chosen(model: &mut Model, item: &Item) -> Vec<Effect> {
    // in the first job the list stays below its forms
    let guided = matches!(model.layers.last(), Some(Layer::Menu(menu)) if menu.items.contains(&Item::PlanIt));
    model.layers.pop();
    choose(model, item, guided)
}

/// Opens what a line of a list stands for.
pub fn choose(model: &mut Model, item: &Item, guided: bool) -> Vec<Effect> {
    let sheet = &model.sheet;
    let opened = match item {
        Item::Skip { one, round } => deeds::skip(sheet, one, round),
        Item::Mend(piece, surface) => deeds::mend(sheet, *piece, *surface),
        Item::ExtraCoat(piece) => deeds::extra_coat(sheet, *piece),
        Item::Strip(piece) => deeds::strip(sheet, *piece),
        Item::Holding(piece) => deeds::holding(sheet, *piece),
        Item::Away => Some(deeds::away(sheet)),
        Item::Accept(at, _) => {
            let caution = sheet.plan.as_ref().and_then(|plan| plan.cautions.get(*at));
            caution.map(deeds::accept)
        }
        Item::NewPart => edits::part(sheet, None),
        Item::Part(name) => edits::part(sheet, Some(name)),
        Item::MorePart(name) => edits::more(sheet, name),
        Item::Line(list, which) => edits::line(sheet, list, which.as_deref()),
        Item::Lines(list) => {
            let menu = Menu::lines(sheet, list);
            model.layers.push(Layer::Menu(menu));
            return Vec::new();
        }
        Item::CopyPart(name) => Some(edits::copy(name)),
        Item::RemovePart(name) => Some(edits::remove(name)),
        Item::Room => edits::room(sheet),
        Item::Hours => edits::hours(sheet),
        Item::Shelf => edits::shelf(sheet),
        Item::Rates => edits::rates(sheet),
        Item::Job => edits::job(sheet),
        Item::Editor => return vec![Effect::Editor],
        Item::PlanIt => {
            model.layers.clear();
            return vec![plan::ask(model)];
        }
    };
    match opened {
        Some((task, form)) => {
            let filling = Filling { task, form, guided };
            model.layers.push(Layer::Form(Box::new(filling)));
        }
        None => say(model, "There is nothing of it to be done here."),
    }
    Vec::new()
}
