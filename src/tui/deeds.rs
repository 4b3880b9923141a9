//! What hands can do beside ticking: the forms, and the records they come to.
//!
//! Invariant: a record holds exactly what its form shows; nothing is written without a reason where a good
//! finisher would ask for one.

use super::bench::Sheet;
use super::form::{Entry, Form};
use super::task::Task;
use super::{timing, words};
use crate::dayplan::document::{Caution, Operation};
use crate::finish::StepKind;
use crate::job::{Fault, Holding, Piece, SurfaceRole};
use crate::log::What;
use crate::units::{Moment, Span};

/// Leaves operations undone.
pub fn skip(sheet: &Sheet, one: &str, round: &[String]) -> Option<(Task, Form)> {
    let operation = operation(sheet, one)?;
    let step = words::operation(operation);
    let name = super::round_card::name_of(sheet, operation);
    let mut entries = Vec::new();
    if round.len() > 1 {
        let all = format!("all that is left of the round, {}", words::pieces(round.len()));
        entries.push(Entry::one("which", vec![name.clone(), all], 0));
    }
    entries.push(Entry::text("why", "", "it stays in the log"));
    let about = if operation.step == StepKind::WipeBack {
        "An excess that stays on gels and never dries: the film then has to come off. Where there was nothing to \
take off, tick the wipe instead."
    } else {
        "It will not be done, and the plan goes on without it."
    };
    let round = if round.len() > 1 { round.to_vec() } else { Vec::new() };
    let task = Task::Skip {
        one: vec![one.to_owned()],
        round,
    };
    let title = format!("LEAVE UNDONE: {step}, {name}");
    Some((task, Form::new(title, about, "leave it undone", entries)))
}

/// Takes surfaces back to bare wood.
pub fn strip(sheet: &Sheet, piece: usize) -> Option<(Task, Form)> {
    let of = sheet.job.pieces.get(piece)?;
    let sides = coated_together(sheet, of);
    if sides.is_empty() {
        return None;
    }
    let label = |side: &Vec<String>| {
        let labels = of.surfaces.iter().filter(|surface| side.contains(&surface.id));
        labels
            .map(|surface| surface.label.as_str())
            .collect::<Vec<_>>()
            .join(", ")
    };
    let all = sides.iter().map(|side| (label(side), true)).collect();
    let entries = vec![
        Entry::some("where", all),
        Entry::text("why", "", "it wrinkled, the wrong product, ..."),
    ];
    let about = "Its coats count no more, and the plan begins again from bare wood there. What was coated in one go \
comes off in one go.";
    let title = format!("STRIP BACK: {}", of.name);
    let task = Task::Strip {
        piece: of.id.clone(),
        sides,
    };
    Some((task, Form::new(title, about, "strip it back", entries)))
}

/// The finished surfaces, in sets that were coated in one go.
fn coated_together(sheet: &Sheet, piece: &Piece) -> Vec<Vec<String>> {
    let plan = sheet.plan.as_deref();
    let coats = plan
        .map_or(&[][..], |plan| plan.operations.as_slice())
        .iter()
        .filter(|operation| {
            operation.piece.as_deref() == Some(piece.id.as_str())
                && matches!(operation.step, StepKind::Seal | StepKind::Coat)
                && operation.coat.is_some()
        });
    let mut sets: Vec<Vec<String>> = Vec::new();
    for coat in coats {
        let (mut joined, apart): (Vec<Vec<String>>, Vec<Vec<String>>) = sets
            .into_iter()
            .partition(|set| set.iter().any(|surface| coat.surfaces.contains(surface)));
        let mut set: Vec<String> = joined.drain(..).flatten().collect();
        set.extend(
            coat.surfaces
                .iter()
                .filter(|surface| !set.contains(surface))
                .cloned()
                .collect::<Vec<_>>(),
        );
        sets = apart;
        sets.push(set);
    }
    sets
}

/// Makes a fault good.
pub fn mend(sheet: &Sheet, piece: usize, surface: Option<usize>) -> Option<(Task, Form)> {
    let of = sheet.job.pieces.get(piece)?;
    let standing = sheet.piece_standing(piece)?;
    let filmed = |at: &usize| {
        standing
            .surfaces
            .iter()
            .any(|one| one.surface == *at && one.film.is_some())
    };
    let surfaces: Vec<usize> = (0..of.surfaces.len()).filter(filmed).collect();
    if surfaces.is_empty() {
        return None;
    }
    let word = |&at: &usize| {
        let label = of.surfaces.get(at).map_or("", |surface| surface.label.as_str());
        (label.to_owned(), surface.is_none_or(|wanted| wanted == at))
    };
    let faults = Fault::ALL.iter().map(|fault| fault.word().to_owned()).collect();
    let entries = vec![
        Entry::one("fault", faults, 0),
        Entry::some("where", surfaces.iter().map(word).collect()),
        Entry::one(
            "then",
            vec!["as the fault asks".into(), "a coat".into(), "no coat".into()],
            0,
        ),
        Entry::text("note", "", "may be left out"),
    ];
    let about = "A run is sanded level, a nib knocked off, a rub-through feathered out, a blush scuffed or taken in by \
the next coat; then a coat on these surfaces alone, but for a nib. Such a coat makes good and is not counted. \
(Common practice; the label comes first.)";
    let ids = surfaces
        .iter()
        .filter_map(|&at| of.surfaces.get(at))
        .map(|surface| surface.id.clone());
    let task = Task::Mend {
        piece: of.id.clone(),
        surfaces: ids.collect(),
    };
    Some((
        task,
        Form::new(format!("MAKE GOOD: {}", of.name), about, "plan it", entries),
    ))
}

/// A coat more than the schedule has.
pub fn extra_coat(sheet: &Sheet, piece: usize) -> Option<(Task, Form)> {
    let of = sheet.job.pieces.get(piece)?;
    let finished: Vec<_> = of
        .surfaces
        .iter()
        .filter(|surface| surface.schedule.is_some())
        .collect();
    if finished.is_empty() {
        return None;
    }
    let words = finished.iter().map(|surface| (surface.label.clone(), true)).collect();
    let entries = vec![
        Entry::some("where", words),
        Entry::text("why", "", "it drank the first coat, ..."),
    ];
    let side = |role: SurfaceRole| finished.iter().position(|surface| surface.role == role);
    let faces = side(SurfaceRole::Face).zip(side(SurfaceRole::Back));
    let faces = faces.filter(|_| sheet.job.is_wide(of));
    let about = if faces.is_some() {
        "A wide solid panel ends with as many coats on both faces, or with a reason of yours why not: an unequal film \
lets one side take up moisture faster, and the panel cups."
    } else {
        "It goes on after the last coat of the schedule, prepared as that one was."
    };
    let task = Task::ExtraCoat {
        piece: of.id.clone(),
        surfaces: finished.iter().map(|surface| surface.id.clone()).collect(),
        faces,
    };
    Some((
        task,
        Form::new(format!("ONE COAT MORE: {}", of.name), about, "plan it", entries),
    ))
}

/// Keeps a piece otherwise while it is wet.
pub fn holding(sheet: &Sheet, piece: usize) -> Option<(Task, Form)> {
    let of = sheet.job.pieces.get(piece)?;
    let at = Holding::ALL.iter().position(|one| *one == of.holding)?;
    let words = Holding::ALL.iter().map(|one| words::holding(*one).to_owned()).collect();
    let entries = vec![Entry::one("kept", words, at)];
    let about = "From its next coat on. On bearers one side goes first and is lain on when dry to touch; on points it \
is turned wet; hung, all sides go in one pass.";
    let task = Task::Holding { piece: of.id.clone() };
    Some((
        task,
        Form::new(format!("KEEP IT OTHERWISE: {}", of.name), about, "keep it so", entries),
    ))
}

/// Hands are away.
pub fn away(sheet: &Sheet) -> (Task, Form) {
    let mut who: Vec<String> = sheet.job.hands.iter().map(|hand| hand.name.clone()).collect();
    if who.len() > 1 {
        who.push("everybody".to_owned());
    }
    let entries = vec![
        Entry::one("who", who, 0),
        Entry::text("from", "", "now; or 14:30"),
        Entry::text("back", "", "14:10, +45 for in 45 minutes, or Thu 08:00"),
        Entry::text("why", "", "may be left out"),
    ];
    let about = "No work is planned for these hands until then. What is wet dries on; mind what closes meanwhile.";
    (Task::Away, Form::new("PAUSE", about, "write it", entries))
}

/// A caution of the plan is accepted.
pub fn accept(caution: &Caution) -> (Task, Form) {
    let entries = vec![Entry::text(
        "why",
        "",
        "what you did about it, or why it does not hold here",
    )];
    let task = Task::Accept {
        code: caution.code.clone(),
        refers: caution.refers.clone(),
    };
    (
        task,
        Form::new("ACCEPT A CAUTION", caution.text.clone(), "accept it", entries),
    )
}

fn operation<'a>(sheet: &'a Sheet, id: &str) -> Option<&'a Operation> {
    sheet.plan.as_ref()?.operations.get(sheet.operation(id)?)
}

/// The record a filled form comes to, and the line for the foot.
pub fn record(sheet: &Sheet, task: &Task, form: &Form, now: Moment) -> Result<(What, String), String> {
    match task {
        Task::Skip { one, round } => skipped(sheet, form, one, round),
        Task::Strip { piece, sides } => stripped(sheet, form, piece, sides),
        Task::Mend { piece, surfaces } => mended(sheet, form, piece, surfaces),
        Task::ExtraCoat { piece, surfaces, faces } => coated_more(sheet, form, piece, surfaces, *faces),
        Task::Holding { piece } => held(sheet, form, piece),
        Task::Away => gone(sheet, form, now),
        Task::Accept { code, refers } => {
            let what = What::AcceptedCaution {
                code: code.clone(),
                refers: refers.clone(),
                reason: because(form)?,
            };
            Ok((what, format!("caution accepted: {code}")))
        }
        _ => Err("This changes the job file.".to_owned()),
    }
}

/// What a form comes to.
type Told = Result<(What, String), String>;

/// The reason, which has to be there.
fn because(form: &Form) -> Result<String, String> {
    let reason = form.words("why");
    if reason.is_empty() {
        Err("Say why.".to_owned())
    } else {
        Ok(reason)
    }
}

/// Which lines of the surfaces are chosen.
fn picked(form: &Form) -> Vec<usize> {
    form.entry("where").map(Entry::chosen).unwrap_or_default()
}

/// The surfaces chosen, of which there has to be one.
fn chosen(form: &Form, surfaces: &[String]) -> Result<Vec<String>, String> {
    let picked = picked(form);
    let chosen: Vec<String> = picked.iter().filter_map(|&at| surfaces.get(at)).cloned().collect();
    if chosen.is_empty() {
        Err("Choose a surface with Space.".to_owned())
    } else {
        Ok(chosen)
    }
}

fn named(sheet: &Sheet, id: &str) -> String {
    let piece = sheet.piece(id).and_then(|at| sheet.job.pieces.get(at));
    piece.map_or_else(|| id.to_owned(), |piece| piece.name.clone())
}

fn skipped(sheet: &Sheet, form: &Form, one: &[String], round: &[String]) -> Told {
    let whole = form.entry("which").is_some_and(|which| which.at() == 1);
    let operations = if whole { round.to_vec() } else { one.to_vec() };
    let step = operation(sheet, operations.first().map_or("", String::as_str)).map(words::operation);
    let count = words::pieces(operations.len());
    let line = format!("left undone: {}, {count}", step.unwrap_or_default());
    let reason = because(form)?;
    Ok((What::Skipped { operations, reason }, line))
}

fn stripped(sheet: &Sheet, form: &Form, piece: &str, sides: &[Vec<String>]) -> Told {
    let picked = picked(form);
    let surfaces: Vec<String> = picked
        .iter()
        .filter_map(|&at| sides.get(at))
        .flatten()
        .cloned()
        .collect();
    if surfaces.is_empty() {
        return Err("Choose a side with Space.".to_owned());
    }
    let line = format!("stripped back: {}", named(sheet, piece));
    let (piece, reason) = (piece.to_owned(), because(form)?);
    Ok((
        What::StripBack {
            piece,
            surfaces,
            reason,
        },
        line,
    ))
}

fn mended(sheet: &Sheet, form: &Form, piece: &str, surfaces: &[String]) -> Told {
    let fault = form
        .entry("fault")
        .and_then(|entry| Fault::ALL.get(entry.at()).copied());
    let fault = fault.ok_or("Choose the fault.")?;
    let coat = match form.entry("then").map_or(0, Entry::at) {
        0 => fault.takes_a_coat(),
        1 => true,
        _ => false,
    };
    let line = format!("{} on {}: planned", fault.word(), named(sheet, piece));
    let what = What::Mend {
        piece: piece.to_owned(),
        surfaces: chosen(form, surfaces)?,
        fault,
        coat,
        reason: form.words("note"),
    };
    Ok((what, line))
}

fn coated_more(sheet: &Sheet, form: &Form, piece: &str, surfaces: &[String], faces: Option<(usize, usize)>) -> Told {
    let picked = picked(form);
    let unequal = faces.is_some_and(|(face, back)| picked.contains(&face) != picked.contains(&back));
    if unequal && form.words("why").is_empty() {
        return Err("One face alone gets it: say why its faces may end unequal.".to_owned());
    }
    let line = format!("one coat more on {}", named(sheet, piece));
    let surfaces = chosen(form, surfaces)?;
    let (piece, reason) = (piece.to_owned(), because(form)?);
    Ok((
        What::ExtraCoat {
            piece,
            surfaces,
            reason,
        },
        line,
    ))
}

fn held(sheet: &Sheet, form: &Form, piece: &str) -> Told {
    let entry = form.entry("kept");
    if !entry.is_some_and(Entry::is_changed) {
        return Err("It is kept so already.".to_owned());
    }
    let holding = entry.and_then(|entry| Holding::ALL.get(entry.at()).copied());
    let holding = holding.ok_or("Choose how it is kept.")?;
    let line = format!("{} kept {} from now on", named(sheet, piece), words::holding(holding));
    let piece = piece.to_owned();
    Ok((What::HoldingChanged { piece, holding }, line))
}

fn gone(sheet: &Sheet, form: &Form, now: Moment) -> Told {
    let hand = form.entry("who").and_then(|entry| sheet.job.hands.get(entry.at()));
    let hands: Vec<String> = hand.map(|hand| hand.name.clone()).into_iter().collect();
    let zone = sheet.job.zone;
    let typed = form.words("from");
    let from = if typed.is_empty() {
        now
    } else {
        timing::read_ahead(&typed, now, zone)?
    };
    let until = timing::read_ahead(&form.words("back"), from, zone)?;
    let line = format!("{} away until {}", form.words("who"), timing::at(until, now, zone));
    let what = What::Away {
        hands,
        from: from.with_offset(zone),
        until: until.max(from + Span(1)).with_offset(zone),
        reason: form.words("why"),
    };
    Ok((what, line))
}
