//! The lines of assemblies on the page that says where every piece is.
//!
//! Invariant: they stand behind the pieces, in the job's order; an assembly that is wet, or curing in its
//! clamps, is left alone and in no list of what may be handled.

use super::bench::Sheet;
use super::pages::assemblies::{self, AssemblyStanding, How};
use super::piece_rows::{Content, Line, LineKey};
use super::verdict::{Filter, Hands};
use super::{timing, words};
use crate::units::Moment;

/// The lines of the assemblies a filter and a name let through.
pub fn lines(sheet: &Sheet, filter: Filter, find: &str) -> Vec<Line> {
    let wanted = find.to_lowercase();
    let pieces = sheet.job.pieces.len();
    let all = assemblies::of(sheet).into_iter();
    all.filter(|standing| lets_through(filter, standing.how))
        .filter_map(|standing| {
            let name = sheet.job.assemblies.get(standing.assembly)?.name.clone();
            let named = wanted.is_empty() || name.to_lowercase().contains(&wanted);
            named.then(|| Line {
                key: LineKey {
                    piece: pieces + standing.assembly,
                    line: 0,
                },
                content: content(sheet, &standing, &name),
            })
        })
        .collect()
}

/// The next operation of the plan on the assembly of a line, an index.
pub fn next(sheet: &Sheet, line: usize) -> Option<usize> {
    let assembly = line.checked_sub(sheet.job.pieces.len())?;
    let all = assemblies::of(sheet);
    all.into_iter().find(|one| one.assembly == assembly)?.next
}

/// The word for hands.
const fn hands(how: How) -> Hands {
    match how {
        How::InParts(_) => Hands::InParts,
        How::Curing(_) | How::Wet(_) => Hands::Leave,
        How::Drying(_) => Hands::Turn,
        How::Dry => Hands::Carry,
    }
}

const fn lets_through(filter: Filter, how: How) -> bool {
    match filter {
        Filter::All => true,
        Filter::Handled => matches!(how, How::Dry),
        Filter::Leave => matches!(how, How::Curing(_) | How::Wet(_)),
        Filter::Turned | Filter::Coated | Filter::JointOpen | Filter::Glue => false,
    }
}

fn content(sheet: &Sheet, standing: &AssemblyStanding, name: &str) -> Content {
    let (now, zone) = (sheet.standing.now, sheet.job.zone);
    let say = |at: Moment| timing::at(at, now, zone);
    let changes = match standing.how {
        How::InParts(None) => "no glue-up planned".to_owned(),
        How::InParts(Some(at)) if at < now => format!("glue-up planned {}", say(at)),
        How::InParts(Some(at)) => format!("glue-up {}", say(at)),
        How::Curing(until) => format!("in the clamps to {}", say(until)),
        How::Wet(until) => format!("turn {}", say(until)),
        How::Drying(Some(until)) => format!("carry {}", say(until)),
        How::Drying(None) => "carry: not in sight".to_owned(),
        How::Dry => "glued up".to_owned(),
    };
    let next = standing.next.and_then(|next| sheet.plan.as_ref()?.operations.get(next));
    let next_step = next.map_or_else(String::new, |operation| {
        format!("{}  {}", say(Moment::of(&operation.start)), words::operation(operation))
    });
    let coats = match standing.coats_due {
        0 => "none".to_owned(),
        due => format!("{}/{due}", standing.coats_on),
    };
    let next_coat = match (standing.coats_due, standing.coats_on) {
        (0, _) => String::new(),
        (due, on) if on >= due => "all on".to_owned(),
        _ => "not yet".to_owned(),
    };
    Content::Piece {
        hands: hands(standing.how),
        name: format!("{name}, assembled"),
        coats,
        changes,
        next_coat,
        next_step,
    }
}
