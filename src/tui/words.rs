//! The trade's words for steps, stages, sides and joints, as the wall says them.
//!
//! Invariant: one thing has one word on every page.

use crate::dayplan::document::Operation;
use crate::dayplan::document::Round;
use crate::dayplan::dry_fit::{is_dry_fit, is_round_of_dry_fits};
use crate::dayplan::sample::{is_round_of_sign_offs, is_sign_off};
use crate::finish::{Stage, StepKind};
use crate::job::{Holding, Job, Piece, SurfaceRole};
use crate::log::Purpose;
use crate::standing::JointState;

/// A step.
pub const fn step(kind: StepKind) -> &'static str {
    match kind {
        StepKind::Label => "label",
        StepKind::Check => "check for glue and dents",
        StepKind::Settle => "settle",
        StepKind::Sand => "sand",
        StepKind::Arris => "break the arrises",
        StepKind::RaiseGrain => "raise the grain",
        StepKind::CutBack => "cut back",
        StepKind::Mask => "cover the joints",
        StepKind::DustOff => "dust off",
        StepKind::Fill => "fill the grain",
        StepKind::Colour => "colour",
        StepKind::Seal => "seal",
        StepKind::Coat => "coat",
        StepKind::WipeBack => "wipe off",
        StepKind::ReWipe => "wipe again",
        StepKind::Denib => "de-nib",
        StepKind::Scuff => "scuff",
        StepKind::Flat => "flat the film",
        StepKind::Turn => "turn over",
        StepKind::Unmask => "uncover the joints",
        StepKind::RubOut => "rub out",
        StepKind::Wax => "wax",
        StepKind::Buff => "buff",
        StepKind::Mix => "mix",
        StepKind::ChangeOver => "change over",
        StepKind::CleanUp => "clean up",
        StepKind::GlueUp => "glue up",
    }
}

/// The letter a step is marked with on the sticks of the page *Day*; a coat by its number.
pub fn sign(kind: StepKind, coat: Option<u8>) -> char {
    match kind {
        StepKind::Check => 'k',
        StepKind::Label => 'l',
        StepKind::Settle => 'e',
        StepKind::Sand => 's',
        StepKind::Arris => 'a',
        StepKind::RaiseGrain => 'r',
        StepKind::CutBack => 'c',
        StepKind::Mask => 'm',
        StepKind::DustOff => 'd',
        StepKind::Fill => 'f',
        StepKind::Colour => 'o',
        // a seal is the first film on the wood
        StepKind::Seal => '0',
        StepKind::Coat => coat
            .and_then(|coat| char::from_digit(u32::from(coat.min(9)), 10))
            .unwrap_or('1'),
        StepKind::WipeBack | StepKind::ReWipe => 'w',
        StepKind::Denib => 'n',
        StepKind::Scuff => 'x',
        StepKind::Flat => 'h',
        StepKind::Turn => 't',
        StepKind::Unmask => 'u',
        StepKind::RubOut => 'b',
        StepKind::Wax => 'v',
        StepKind::Buff => 'p',
        StepKind::Mix => 'i',
        StepKind::ChangeOver => '/',
        StepKind::CleanUp => 'q',
        StepKind::GlueUp => 'g',
    }
}

/// A step in a word, for the list of signs.
pub const fn short_step(kind: StepKind) -> &'static str {
    match kind {
        StepKind::Check => "check",
        StepKind::Arris => "arris",
        StepKind::RaiseGrain => "raise grain",
        StepKind::Mask => "cover",
        StepKind::Unmask => "uncover",
        StepKind::Fill => "fill",
        StepKind::Flat => "flat",
        StepKind::Turn => "turn",
        kind => step(kind),
    }
}

/// A step with its coat number and grit: `coat 2`, `sand P120`, `de-nib P360 wet`.
pub fn step_with(kind: StepKind, coat: Option<u8>, grit: Option<&str>) -> String {
    let mut words = step(kind).to_owned();
    if let (Some(coat), StepKind::Coat) = (coat, kind) {
        words.push(' ');
        words.push_str(&coat.to_string());
    }
    if let Some(grit) = grit {
        words.push(' ');
        words.push_str(grit);
    }
    words
}

/// An operation.
pub fn operation(operation: &Operation) -> String {
    if is_dry_fit(operation) {
        return "dry fit once more".to_owned();
    }
    if is_sign_off(operation) {
        return "sign off".to_owned();
    }
    step_with(operation.step, operation.coat, operation.grit.as_deref())
}

/// A round.
pub fn round(round: &Round) -> String {
    if is_round_of_dry_fits(round) {
        return "dry fit once more".to_owned();
    }
    if is_round_of_sign_offs(round) {
        return "sign off".to_owned();
    }
    step_with(round.step, round.coat, round.grit.as_deref())
}

/// A product's name for reading, or its id where the job does not know it.
pub fn product(id: &str, job: &Job) -> String {
    job.product(id)
        .map_or_else(|| id.to_owned(), |product| product.name.clone())
}

/// A stage.
pub const fn stage(stage: Stage) -> &'static str {
    match stage {
        Stage::SetToTouch => "set to touch",
        Stage::DustFree => "dust-free",
        Stage::TackFree => "tack-free",
        Stage::DryToTouch => "dry to touch",
        Stage::DryToSand => "dry to sand",
        Stage::DryToRecoat => "dry to recoat",
        Stage::DryToHandle => "dry to handle",
        Stage::DryHard => "dry hard",
        Stage::DryToStack => "dry to stack",
        Stage::DryThrough => "dry through",
        Stage::Cured => "cured",
    }
}

/// What hands may do with a piece once a stage is reached; the stage itself where that is nothing yet.
pub const fn hands_may(stage: Stage) -> &'static str {
    match stage {
        Stage::SetToTouch | Stage::DustFree | Stage::TackFree => self::stage(stage),
        Stage::DryToTouch => "turn",
        Stage::DryToSand => "sand",
        Stage::DryToRecoat => "coat again",
        Stage::DryToHandle => "carry",
        Stage::DryHard => "glue",
        Stage::DryToStack => "stack",
        Stage::DryThrough => "rub out or wax",
        Stage::Cured => "use",
    }
}

/// A purpose of a touch test, after "dry enough to".
pub const fn purpose(purpose: Purpose) -> &'static str {
    match purpose {
        Purpose::Turn => "turn",
        Purpose::Sand => "sand or de-nib",
        Purpose::Recoat => "coat again",
        Purpose::Handle => "carry",
        Purpose::Glue => "glue",
        Purpose::Stack => "stack",
        Purpose::Rub => "rub out or wax",
    }
}

/// How a piece is kept.
pub const fn holding(holding: Holding) -> &'static str {
    match holding {
        Holding::Bearers => "on bearers",
        Holding::Points => "on points",
        Holding::Hung => "hung",
    }
}

/// The joints of a piece; `None` where it has none.
pub fn joints(piece: &Piece, state: JointState) -> Option<&'static str> {
    if piece.joints.is_empty() {
        return None;
    }
    Some(match state {
        JointState::Bare => "bare",
        JointState::Covered => "covered",
        JointState::TapeOld => "covered, the tape is old: change it",
        JointState::Uncovered => "uncovered, ready for glue",
    })
}

/// Which side an operation has up, or which sides it works.
pub fn side(operation: &Operation, piece: &Piece) -> String {
    let worked = |id: &String| piece.surfaces.iter().find(|surface| surface.id == *id);
    let surfaces: Vec<_> = operation.surfaces.iter().filter_map(worked).collect();
    let first_of = |role| {
        surfaces
            .iter()
            .find(|surface| surface.role == role)
            .map(|surface| surface.label.clone())
    };
    let (face, back) = (first_of(SurfaceRole::Face), first_of(SurfaceRole::Back));
    let all = surfaces.is_empty() || surfaces.len() == piece.surfaces.len();
    match (holding_while_wet(operation), face, back) {
        (Some(Holding::Hung), ..) => "all round".to_owned(),
        (Some(_), Some(face), Some(back)) => format!("{back} first, {face} last"),
        (Some(_), Some(up), None) | (Some(_), None, Some(up)) => format!("{up} up"),
        (None, ..) if all => "all over".to_owned(),
        (None, Some(face), Some(back)) => format!("{face} and {back}"),
        (None, Some(one), None) | (None, None, Some(one)) if surfaces.len() > 1 => format!("{one} and edges"),
        (None, Some(one), None) | (None, None, Some(one)) => one,
        (_, None, None) => match surfaces.as_slice() {
            [one] => one.label.clone(),
            [first, .., last] if !all => format!("{} to {}", first.label, last.label),
            _ => "all over".to_owned(),
        },
    }
}

/// How a piece is kept for a step that leaves it wet; other steps are done at the bench.
pub fn holding_while_wet(operation: &Operation) -> Option<Holding> {
    let wet = matches!(
        operation.step,
        StepKind::Fill
            | StepKind::Colour
            | StepKind::Seal
            | StepKind::Coat
            | StepKind::WipeBack
            | StepKind::ReWipe
            | StepKind::Turn
    );
    operation.holding.filter(|_| wet)
}

/// `1 piece`, `4 pieces`.
pub fn pieces(count: usize) -> String {
    if count == 1 {
        "1 piece".to_owned()
    } else {
        format!("{count} pieces")
    }
}

/// Names in a row, the rest counted: `top; side, left and 3 more` (names hold commas themselves).
pub fn names(all: &[String], most: usize) -> String {
    if all.len() <= most {
        return all.join("; ");
    }
    let shown: Vec<&str> = all.iter().take(most).map(String::as_str).collect();
    format!("{} and {} more", shown.join("; "), all.len() - most)
}
