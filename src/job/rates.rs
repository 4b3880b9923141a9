//! Bench rates: how long hands take, in one place; a job overrides any of them by name.
//!
//! Invariant: every rate is positive. All defaults are common practice, no source: they are there to be
//! corrected by the maker's own pace.

use super::Job;

/// One rate.
#[derive(Clone, Copy, Debug)]
pub struct Rate {
    /// Name in job files.
    pub name: &'static str,
    /// Default, in the unit.
    pub default: f64,
    /// What it counts.
    pub unit: &'static str,
}

macro_rules! rates {
    ($($(#[$doc:meta])* $id:ident = $name:literal, $default:literal, $unit:literal;)*) => {
        $($(#[$doc])* pub const $id: Rate = Rate { name: $name, default: $default, unit: $unit };)*
        /// Every rate a job may override.
        pub const ALL: &[Rate] = &[$($id),*];
    };
}

rates! {
    /// Fetch, carry and rack.
    FETCH = "fetch", 0.5, "minutes a piece, each operation";
    /// Lay over.
    TURN = "turn", 0.5, "minutes a turn";
    /// Tape or plug.
    MASK_JOINT = "mask-joint", 1.25, "minutes a joint";
    /// Take off.
    UNMASK_JOINT = "unmask-joint", 0.5, "minutes a joint";
    /// Mark piece, hand and face.
    LABEL = "label", 0.75, "minutes a piece";
    /// Try it in its joint again, dry.
    FIT_JOINT = "fit-joint", 1.0, "minutes a joint";
    /// Look at a sample board in its own light, and say yes or no.
    SIGN_OFF = "sign-off", 5.0, "minutes a board";
    /// Wipe over for glue spots and dents.
    CHECK = "check", 3.0, "minutes a m²";
    /// Sand with one grit.
    SAND = "sand", 6.0, "minutes a m² and grit";
    /// Break one arris.
    ARRIS = "arris", 0.5, "minutes an arris";
    /// Vacuum and wipe before the first coat.
    DUST_OFF = "dust-off", 1.5, "minutes a m²";
    /// Tack off just before the coat.
    TACK = "tack", 1.0, "minutes a m²";
    /// Brush a coat.
    BRUSH = "brush", 5.5, "minutes a m²";
    /// Pad a coat.
    PAD = "pad", 3.0, "minutes a m²";
    /// Wipe or flood a coat on.
    WIPE_ON = "wipe-on", 4.0, "minutes a m²";
    /// Take the excess off.
    WIPE_BACK = "wipe-back", 5.0, "minutes a m²";
    /// Take off what bled back.
    RE_WIPE = "re-wipe", 1.5, "minutes a m²";
    /// Spray a coat.
    SPRAY = "spray", 2.5, "minutes a m²";
    /// Knock nibs off.
    DENIB = "denib", 4.0, "minutes a m²";
    /// Scratch for grip.
    SCUFF = "scuff", 5.0, "minutes a m²";
    /// Rub out.
    RUB_OUT = "rub-out", 8.0, "minutes a m²";
    /// Wax.
    WAX = "wax", 4.0, "minutes a m²";
    /// Buff.
    BUFF = "buff", 4.0, "minutes a m²";
    /// Wet the grain.
    RAISE_GRAIN = "raise-grain", 2.0, "minutes a m²";
    /// Cut the raised grain.
    CUT_BACK = "cut-back", 4.0, "minutes a m²";
    /// Fill the grain.
    FILL = "fill", 10.0, "minutes a m²";
    /// Dye or stain.
    COLOUR = "colour", 5.0, "minutes a m²";
    /// Set out, stir, strain.
    OPEN = "open", 5.0, "minutes a round";
    /// Measure, pour together and stir two parts or a catalyst, each time they are set out.
    MIX = "mix", 5.0, "minutes a mix";
    /// Brush and rags.
    CLOSE = "close", 10.0, "minutes a round";
    /// How long a wet brush may lie wrapped between two rounds before it has to be cleaned out.
    KEEPS = "brush-keeps", 60.0, "minutes";
    /// Change paper.
    PAPER = "paper", 2.0, "minutes a change of grit";
}

impl Job {
    /// A rate as this job has it.
    pub fn rate(&self, rate: Rate) -> f64 {
        self.rates.get(rate.name).copied().unwrap_or(rate.default)
    }
}
