//! What can be written down beside ticks: strips, faults, coats more, other holding, pauses, cautions.
//!
//! Invariant: the same records as the wall's forms write, with the same questions asked.

use super::tick_words::pieces_named;
use super::time;
use crate::dayplan::Plan;
use crate::job::{Fault, Holding, Job};
use crate::log::What;
use crate::source::visible;
use crate::units::{Moment, Span};
use clap::{Args, ValueEnum};

/// What else can be said of a piece, of hands, of a caution.
#[derive(Debug, Args)]
pub struct More {
    /// A piece is taken back to bare wood: its coats count no more.
    #[arg(long, value_name = "PIECE", requires = "why")]
    strip: Option<String>,
    /// A fault in the film of a piece is to be made good.
    #[arg(long, value_name = "PIECE", requires = "fault")]
    mend: Option<String>,
    /// Which fault.
    #[arg(long, value_name = "FAULT")]
    fault: Option<FaultWord>,
    /// A piece gets one coat more than its schedule has.
    #[arg(long, value_name = "PIECE", requires = "why")]
    extra_coat: Option<String>,
    /// Only on these sides (strip, fault, coat more): face,edge-1.
    #[arg(long, value_name = "SIDE,..", value_delimiter = ',')]
    sides: Vec<String>,
    /// A piece is kept otherwise while wet, from its next coat on.
    #[arg(long, value_name = "PIECE", requires = "held")]
    keep: Option<String>,
    /// How it is kept.
    #[arg(long, value_name = "HOW")]
    held: Option<HoldingWord>,
    /// Hands are away (a name, or all) until the time given with `--until`.
    #[arg(long, value_name = "NAME", requires = "until")]
    away: Option<String>,
    /// Until when: 2026-12-01 14:10, or +45 for in 45 minutes.
    #[arg(long, value_name = "TIME")]
    until: Option<String>,
    /// A caution of the plan is accepted, by its code.
    #[arg(long, value_name = "CODE", requires = "why")]
    accept: Option<String>,
    /// Why.
    #[arg(long, value_name = "REASON")]
    why: Option<String>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum FaultWord {
    /// It sagged: sanded level, and a coat.
    Run,
    /// Dust dried in: knocked off.
    Nib,
    /// Abraded to the wood: feathered out, and a coat.
    RubThrough,
    /// Turned milky: scuffed or taken in by a coat.
    Blush,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum HoldingWord {
    /// On bearers.
    Bearers,
    /// On points.
    Points,
    /// Hung.
    Hung,
}

impl More {
    /// Whether anything of it was said.
    pub const fn is_said(&self) -> bool {
        self.strip.is_some()
            || self.mend.is_some()
            || self.extra_coat.is_some()
            || self.keep.is_some()
            || self.away.is_some()
            || self.accept.is_some()
    }

    /// The record; `None` when nothing of it was said. `at` is the instant it is said for.
    pub fn decide(&self, job: &Job, plan: Option<&Plan>, at: Moment) -> Result<Option<What>, String> {
        let reason = self.why.clone().unwrap_or_default();
        if let Some(name) = &self.strip {
            let (piece, surfaces) = self.place(name, job)?;
            return Ok(Some(What::StripBack {
                piece,
                surfaces,
                reason,
            }));
        }
        if let (Some(name), Some(fault)) = (&self.mend, self.fault) {
            let (piece, surfaces) = self.place(name, job)?;
            let fault = match fault {
                FaultWord::Run => Fault::Run,
                FaultWord::Nib => Fault::Nib,
                FaultWord::RubThrough => Fault::RubThrough,
                FaultWord::Blush => Fault::Blush,
            };
            return Ok(Some(What::Mend {
                piece,
                surfaces,
                fault,
                coat: fault.takes_a_coat(),
                reason,
            }));
        }
        if let Some(name) = &self.extra_coat {
            let (piece, surfaces) = self.place(name, job)?;
            return Ok(Some(What::ExtraCoat {
                piece,
                surfaces,
                reason,
            }));
        }
        if let (Some(name), Some(held)) = (&self.keep, self.held) {
            let (piece, _) = self.place(name, job)?;
            let holding = match held {
                HoldingWord::Bearers => Holding::Bearers,
                HoldingWord::Points => Holding::Points,
                HoldingWord::Hung => Holding::Hung,
            };
            return Ok(Some(What::HoldingChanged { piece, holding }));
        }
        if let (Some(name), Some(until)) = (&self.away, &self.until) {
            return away(name, until, reason, job, at).map(Some);
        }
        let Some(code) = &self.accept else { return Ok(None) };
        let cautions = plan.map_or(&[][..], |plan| plan.cautions.as_slice());
        let refers: Vec<String> = cautions
            .iter()
            .filter(|caution| caution.code == *code)
            .flat_map(|caution| caution.refers.iter().cloned())
            .collect();
        if !cautions.iter().any(|caution| caution.code == *code) {
            return Err(format!("the plan in force has no caution \"{}\"", visible(code)));
        }
        let code = code.clone();
        Ok(Some(What::AcceptedCaution { code, refers, reason }))
    }

    /// The one piece of a name, and the sides meant: empty is all.
    fn place(&self, name: &str, job: &Job) -> Result<(String, Vec<String>), String> {
        let ids = pieces_named(std::slice::from_ref(&name.to_owned()), job)?;
        let [id] = ids.as_slice() else {
            return Err(format!(
                "\"{}\" is {} pieces; name one: {}",
                visible(name),
                ids.len(),
                ids.join(", ")
            ));
        };
        let piece = job.pieces.iter().find(|piece| piece.id == *id);
        let has = |side: &String| {
            piece.is_some_and(|piece| {
                piece
                    .surfaces
                    .iter()
                    .any(|surface| surface.id == *side || surface.label == *side)
            })
        };
        if let Some(stray) = self.sides.iter().find(|side| !has(side)) {
            let all = piece.map(|piece| {
                piece
                    .surfaces
                    .iter()
                    .map(|surface| surface.id.as_str())
                    .collect::<Vec<_>>()
            });
            let all = all.unwrap_or_default().join(", ");
            return Err(format!("{id} has no side \"{}\"; it has {all}", visible(stray)));
        }
        let surfaces = piece.into_iter().flat_map(|piece| &piece.surfaces);
        let surfaces =
            surfaces.filter(|surface| self.sides.contains(&surface.id) || self.sides.contains(&surface.label));
        Ok((id.clone(), surfaces.map(|surface| surface.id.clone()).collect()))
    }
}

fn away(name: &str, until: &str, reason: String, job: &Job, at: Moment) -> Result<What, String> {
    let hands = if name.eq_ignore_ascii_case("all") {
        Vec::new()
    } else {
        let known = job.hands.iter().find(|hand| hand.name.eq_ignore_ascii_case(name));
        let known = known.ok_or_else(|| format!("the job has no hands named \"{}\"", visible(name)))?;
        vec![known.name.clone()]
    };
    let wrong = || {
        format!(
            "\"{}\" is not a time to come; write 2026-12-01 14:10, or +45",
            visible(until)
        )
    };
    let until = match until.trim().strip_prefix('+') {
        Some(minutes) => at + Span(minutes.parse::<i64>().map_err(|_| wrong())?),
        None => Moment::of(&time::instant(until.trim(), job.zone).map_err(|_| wrong())?),
    };
    if until <= at {
        return Err(wrong());
    }
    Ok(What::Away {
        hands,
        from: at.with_offset(job.zone),
        until: until.with_offset(job.zone),
        reason,
    })
}
