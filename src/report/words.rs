//! The trade's words for what the program keeps as enumerations.
//!
//! Invariant: every value has a word; the words are those of the glossary, never the program's own.

use crate::dayplan::document::{Severity, State};
use crate::finish::{Mechanism, Method, Prepare, Stage, Status, StepKind};
use crate::job::{Build, Holding, JointKind, Shape};

/// A step as a command to the bench.
pub const fn step(kind: StepKind) -> &'static str {
    match kind {
        StepKind::Label => "Label",
        StepKind::Check => "Check for glue spots, dents and scratches",
        StepKind::Settle => "Let the timber settle",
        StepKind::Sand => "Sand",
        StepKind::Arris => "Break the arrises",
        StepKind::RaiseGrain => "Raise the grain",
        StepKind::CutBack => "Cut the raised grain back",
        StepKind::Mask => "Mask and plug the joints",
        StepKind::DustOff => "Dust off",
        StepKind::Fill => "Fill the grain",
        StepKind::Colour => "Colour",
        StepKind::Seal => "Seal",
        StepKind::Coat => "Coat",
        StepKind::WipeBack => "Wipe the excess off",
        StepKind::ReWipe => "Wipe off what has bled back",
        StepKind::Denib => "De-nib",
        StepKind::Scuff => "Scuff for grip",
        StepKind::Flat => "Flat the film",
        StepKind::Turn => "Lay over",
        StepKind::Unmask => "Take tape and plugs off",
        StepKind::RubOut => "Rub out",
        StepKind::Wax => "Wax",
        StepKind::Buff => "Buff",
        StepKind::Mix => "Mix",
        StepKind::ChangeOver => "Change over",
        StepKind::CleanUp => "Clean out",
        StepKind::GlueUp => "Glue up",
    }
}

/// A step as a noun inside a sentence: `de-nibbing`, `coat`.
pub const fn step_named(kind: StepKind) -> &'static str {
    match kind {
        StepKind::Label => "labelling",
        StepKind::Check => "checking",
        StepKind::Settle => "settling",
        StepKind::Sand => "sanding",
        StepKind::Arris => "breaking the arrises",
        StepKind::RaiseGrain => "raising the grain",
        StepKind::CutBack => "cutting back",
        StepKind::Mask => "masking",
        StepKind::DustOff => "dusting off",
        StepKind::Fill => "filling",
        StepKind::Colour => "colouring",
        StepKind::Seal => "the sealing coat",
        StepKind::Coat => "the next coat",
        StepKind::WipeBack => "wiping off",
        StepKind::ReWipe => "wiping again",
        StepKind::Denib => "de-nibbing",
        StepKind::Scuff => "scuffing",
        StepKind::Flat => "flatting",
        StepKind::Turn => "laying over",
        StepKind::Unmask => "unmasking",
        StepKind::RubOut => "rubbing out",
        StepKind::Wax => "waxing",
        StepKind::Buff => "buffing",
        StepKind::Mix => "mixing",
        StepKind::ChangeOver => "the change-over",
        StepKind::CleanUp => "the clean-out",
        StepKind::GlueUp => "the glue-up",
    }
}

/// What a film has reached.
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

/// Preparation before the next coat.
pub const fn prepare(prepare: Prepare) -> &'static str {
    match prepare {
        Prepare::None => "as it is",
        Prepare::Denib => "after a de-nib",
        Prepare::Scuff => "after a scuff",
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

/// Kinds of joint.
pub const fn joint_kind(kind: JointKind) -> &'static str {
    match kind {
        JointKind::Tenon => "tenon",
        JointKind::Mortise => "mortise",
        JointKind::Housing => "housing",
        JointKind::Groove => "groove",
        JointKind::DowelHole => "dowel hole",
        JointKind::LooseTenonSlot => "loose-tenon slot",
        JointKind::Dovetail => "dovetail",
        JointKind::Marked => "marked area",
    }
}

/// Shapes.
pub const fn shape(shape: Shape) -> &'static str {
    match shape {
        Shape::Panel => "panel",
        Shape::Square => "square",
        Shape::Round => "round",
        Shape::Frame => "frame",
        Shape::Box => "box",
        Shape::Free => "free",
    }
}

/// Builds.
pub const fn build(build: Build) -> &'static str {
    match build {
        Build::Solid => "solid",
        Build::Veneered => "veneered",
        Build::Ply => "ply",
        Build::Sheet => "sheet",
    }
}

/// How a product dries.
pub const fn mechanism(mechanism: Mechanism) -> &'static str {
    match mechanism {
        Mechanism::Evaporation => "dries as its solvent leaves",
        Mechanism::Oxidation => "cures with the oxygen of the air",
        Mechanism::Coalescence => "water leaves and the droplets flow together",
        Mechanism::TwoPack => "two parts react",
    }
}

/// How a coat is put on.
pub const fn method(method: Method) -> &'static str {
    match method {
        Method::Brush => "brushed",
        Method::Wipe => "wiped on",
        Method::Pad => "padded",
        Method::Spray => "sprayed",
    }
}

/// How far a figure has been checked.
pub const fn provenance(status: Status) -> &'static str {
    match status {
        Status::Label => "your label",
        Status::Seen => "read",
        Status::SeenRounded => "read, rounded",
        Status::SeenPartial => "read in part",
        Status::SeenSecondary => "read second-hand",
        Status::Computed => "computed",
        Status::MemoryChecked => "from memory, checked",
        Status::Memory => "from memory",
        Status::MemoryConflict => "from memory, disputed",
        Status::CommonPractice => "common practice, no source",
    }
}

/// Where an operation stands.
pub const fn state(state: State) -> &'static str {
    match state {
        State::Planned => "planned",
        State::Running => "running",
        State::Done => "done",
        State::Skipped => "skipped",
    }
}

/// How bad a caution is.
pub const fn severity(severity: Severity) -> &'static str {
    match severity {
        Severity::Note => "Note",
        Severity::Warning => "Warning",
        Severity::Stop => "STOP",
    }
}
