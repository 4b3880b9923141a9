//! The words of schedules: as files write them, and as people read them.
//!
//! Invariant: every variant has exactly one word in files (kebab-case) and one name for reading.

use super::product::{Mechanism, Method, Prepare, Stage};
use super::schedule::{Phase, StepKind};
use crate::source::Words;
use std::fmt;

/// The rungs of the stage ladder.
pub const STAGES: Words<'static, Stage> = Words::new(&[
    ("set-to-touch", Stage::SetToTouch),
    ("dust-free", Stage::DustFree),
    ("tack-free", Stage::TackFree),
    ("dry-to-touch", Stage::DryToTouch),
    ("dry-to-sand", Stage::DryToSand),
    ("dry-to-recoat", Stage::DryToRecoat),
    ("dry-to-handle", Stage::DryToHandle),
    ("dry-hard", Stage::DryHard),
    ("dry-to-stack", Stage::DryToStack),
    ("dry-through", Stage::DryThrough),
    ("cured", Stage::Cured),
])
.meant(&[
    ("touch-dry", "dry-to-touch"),
    ("touch", "dry-to-touch"),
    ("sand", "dry-to-sand"),
    ("sandable", "dry-to-sand"),
    ("recoat", "dry-to-recoat"),
    ("recoatable", "dry-to-recoat"),
    ("handle", "dry-to-handle"),
    ("hard-dry", "dry-hard"),
    ("hard", "dry-hard"),
    ("stack", "dry-to-stack"),
    ("stackable", "dry-to-stack"),
    ("through-dry", "dry-through"),
    ("cure", "cured"),
]);

/// The steps.
pub const STEPS: Words<'static, StepKind> = Words::new(&[
    ("label", StepKind::Label),
    ("check", StepKind::Check),
    ("settle", StepKind::Settle),
    ("sand", StepKind::Sand),
    ("arris", StepKind::Arris),
    ("raise-grain", StepKind::RaiseGrain),
    ("cut-back", StepKind::CutBack),
    ("mask", StepKind::Mask),
    ("dust-off", StepKind::DustOff),
    ("fill", StepKind::Fill),
    ("colour", StepKind::Colour),
    ("seal", StepKind::Seal),
    ("coat", StepKind::Coat),
    ("wipe-back", StepKind::WipeBack),
    ("re-wipe", StepKind::ReWipe),
    ("denib", StepKind::Denib),
    ("scuff", StepKind::Scuff),
    ("flat", StepKind::Flat),
    ("turn", StepKind::Turn),
    ("unmask", StepKind::Unmask),
    ("rub-out", StepKind::RubOut),
    ("wax", StepKind::Wax),
    ("buff", StepKind::Buff),
    ("mix", StepKind::Mix),
    ("change-over", StepKind::ChangeOver),
    ("clean-up", StepKind::CleanUp),
    ("glue-up", StepKind::GlueUp),
])
.meant(&[
    ("color", "colour"),
    ("stain", "colour"),
    ("dye", "colour"),
    ("de-nib", "denib"),
    ("key", "scuff"),
    ("flip", "turn"),
    ("tape", "mask"),
    ("ease", "arris"),
]);

/// What makes a film dry.
pub const MECHANISMS: Words<'static, Mechanism> = Words::new(&[
    ("evaporation", Mechanism::Evaporation),
    ("oxidation", Mechanism::Oxidation),
    ("coalescence", Mechanism::Coalescence),
    ("two-pack", Mechanism::TwoPack),
])
.meant(&[
    ("two-part", "two-pack"),
    ("waterborne", "coalescence"),
    ("oil", "oxidation"),
]);

/// Ways of putting a coat on.
pub const METHODS: Words<'static, Method> = Words::new(&[
    ("brush", Method::Brush),
    ("wipe", Method::Wipe),
    ("pad", Method::Pad),
    ("spray", Method::Spray),
])
.meant(&[
    ("flood", "wipe"),
    ("cloth", "wipe"),
    ("rubber", "pad"),
    ("gun", "spray"),
]);

/// What a film needs before the next coat.
pub const PREPARES: Words<'static, Prepare> = Words::new(&[
    ("none", Prepare::None),
    ("denib", Prepare::Denib),
    ("scuff", Prepare::Scuff),
])
.meant(&[("de-nib", "denib"), ("sand", "scuff"), ("key", "scuff")]);

/// Loose or assembled.
pub const PHASES: Words<'static, Phase> = Words::new(&[("loose", Phase::Loose), ("assembled", Phase::Assembled)]);

impl Stage {
    /// Every rung, in order.
    pub const ALL: [Self; 11] = [
        Self::SetToTouch,
        Self::DustFree,
        Self::TackFree,
        Self::DryToTouch,
        Self::DryToSand,
        Self::DryToRecoat,
        Self::DryToHandle,
        Self::DryHard,
        Self::DryToStack,
        Self::DryThrough,
        Self::Cured,
    ];
}

impl fmt::Display for Stage {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::SetToTouch => "set to touch",
            Self::DustFree => "dust-free",
            Self::TackFree => "tack-free",
            Self::DryToTouch => "dry to touch",
            Self::DryToSand => "dry to sand",
            Self::DryToRecoat => "dry to recoat",
            Self::DryToHandle => "dry to handle",
            Self::DryHard => "dry hard",
            Self::DryToStack => "dry to stack",
            Self::DryThrough => "dry through",
            Self::Cured => "cured",
        })
    }
}

impl fmt::Display for StepKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Label => "label",
            Self::Check => "check",
            Self::Settle => "settle",
            Self::Sand => "sand",
            Self::Arris => "break the arrises",
            Self::RaiseGrain => "raise the grain",
            Self::CutBack => "cut back",
            Self::Mask => "mask",
            Self::DustOff => "dust off",
            Self::Fill => "fill",
            Self::Colour => "colour",
            Self::Seal => "seal",
            Self::Coat => "coat",
            Self::WipeBack => "wipe back",
            Self::ReWipe => "re-wipe",
            Self::Denib => "de-nib",
            Self::Scuff => "scuff",
            Self::Flat => "flat",
            Self::Turn => "turn",
            Self::Unmask => "unmask",
            Self::RubOut => "rub out",
            Self::Wax => "wax",
            Self::Buff => "buff",
            Self::Mix => "mix",
            Self::ChangeOver => "change over",
            Self::CleanUp => "clean up",
            Self::GlueUp => "glue up",
        })
    }
}

impl fmt::Display for Mechanism {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Evaporation => "solvent evaporates",
            Self::Oxidation => "oxygen cures it",
            Self::Coalescence => "water leaves and the film flows together",
            Self::TwoPack => "two parts react",
        })
    }
}

impl fmt::Display for Method {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Brush => "brush",
            Self::Wipe => "wipe",
            Self::Pad => "pad",
            Self::Spray => "spray",
        })
    }
}

impl fmt::Display for Prepare {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::None => "nothing",
            Self::Denib => "de-nib",
            Self::Scuff => "scuff",
        })
    }
}

impl fmt::Display for super::figure::Status {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Label => "the tin's label",
            Self::Seen => "seen",
            Self::SeenRounded => "seen, rounded",
            Self::SeenPartial => "seen in part",
            Self::SeenSecondary => "seen at second hand",
            Self::Computed => "computed",
            Self::MemoryChecked => "from memory, checked",
            Self::Memory => "from memory",
            Self::MemoryConflict => "from memory, and a page says otherwise",
            Self::CommonPractice => "common practice, no source",
        })
    }
}
