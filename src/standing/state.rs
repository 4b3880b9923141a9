//! The standing as plain data: what pages and plain commands show.
//!
//! Invariant: indices point into the job and the plan in force the standing was made from.

use crate::clock::Counted;
use crate::finish::{Prepare, Stage};
use crate::units::Moment;

/// An estimate with its spread: by the fast figure and by the slow one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct When {
    /// Earliest.
    pub early: Moment,
    /// Latest; what plans rely on.
    pub late: Moment,
}

/// Whether something may be done, in the words the screens use.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum May {
    /// Yes.
    Yes,
    /// Perhaps: the fast estimate has passed, the slow one has not; a touch test decides.
    Test {
        /// The slow estimate.
        late: Moment,
    },
    /// Not before the fast estimate.
    NotYet {
        /// When.
        when: When,
    },
    /// Not in sight: never reached with the air foreseen, or held by a touch test.
    Held,
}

/// The film on one surface.
#[derive(Clone, Debug, PartialEq)]
pub struct Film {
    /// Operation that laid it.
    pub operation: String,
    /// Product.
    pub product: String,
    /// Put on (end of the operation on this piece).
    pub at: Moment,
    /// The stage surely reached (slow estimate); `None`: wet.
    pub stage: Option<Stage>,
    /// The next stage and when.
    pub next: Option<(Stage, When)>,
    /// What of the wait for it counts, where not every hour does.
    pub counted: Option<Counted>,
    /// The room fell below the floor before the film was far enough: sand it off.
    pub spoiled: bool,
}

/// One surface.
#[derive(Clone, Debug, PartialEq)]
pub struct SurfaceStanding {
    /// Index in the piece.
    pub surface: usize,
    /// Coats on.
    pub coats_on: u32,
    /// Coats due.
    pub coats_due: u32,
    /// Last film; `None`: bare.
    pub film: Option<Film>,
    /// Recoat windows of that film: opens, closes, preparation.
    pub windows: Vec<(Moment, Option<Moment>, Prepare)>,
}

/// A joint.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum JointState {
    /// Bare, nothing coated yet.
    Bare,
    /// Masked or plugged.
    Covered,
    /// Masked, and the tape's life is over by now.
    TapeOld,
    /// Uncovered again after the last coat: ready for glue.
    Uncovered,
}

/// One piece.
#[derive(Clone, Debug, PartialEq)]
pub struct PieceStanding {
    /// Index in the job.
    pub piece: usize,
    /// Surfaces.
    pub surfaces: Vec<SurfaceStanding>,
    /// Joints, all in one state (they are masked and unmasked together).
    pub joints: JointState,
    /// Next operation of the plan in force on this piece (index), and when it is planned.
    pub next: Option<usize>,
    /// Carried by its edges.
    pub handle: May,
    /// Laid over.
    pub turn: May,
    /// Sanded.
    pub sand: May,
    /// The next coat.
    pub recoat: May,
    /// Stacked.
    pub stack: May,
    /// Glued: all coats on, hard dry, joints uncovered.
    pub glue: May,
    /// Rubbed out or waxed: all coats on, dry through.
    pub rub: May,
    /// Every loose step done.
    pub loose_done: bool,
    /// A wide solid panel whose faces stand unequal, since when.
    pub unequal_since: Option<Moment>,
}

/// State of a round.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RoundState {
    /// Before its time.
    Coming,
    /// Its time has come, or it is the next one up.
    Due,
    /// On the bench.
    Running,
    /// Should have begun by now.
    Late,
    /// All its operations done or skipped.
    Over,
}

/// A round of the plan in force.
#[derive(Clone, Debug, PartialEq)]
pub struct RoundStanding {
    /// Index in the plan's rounds.
    pub round: usize,
    /// State.
    pub state: RoundState,
    /// Operations of the round still to do (indices into the plan's operations), in order.
    pub left: Vec<usize>,
    /// Operations done.
    pub done: usize,
}

/// Something that closes.
#[derive(Clone, Debug, PartialEq)]
pub struct Closing {
    /// Piece (index in the job).
    pub piece: usize,
    /// What closes, in words: the recoat window before the scuff, sanding going stale, tape.
    pub what: String,
    /// When (fast estimate).
    pub at: Moment,
}

/// Everything.
#[derive(Clone, Debug, PartialEq)]
pub struct Standing {
    /// The instant.
    pub now: Moment,
    /// Pieces, in the job's order.
    pub pieces: Vec<PieceStanding>,
    /// Rounds, in the plan's order; empty without a plan in force.
    pub rounds: Vec<RoundStanding>,
    /// The round hands do now (index into `rounds`).
    pub now_round: Option<usize>,
    /// What comes ready next: piece, stage, when; soonest first.
    pub coming: Vec<(usize, Stage, When)>,
    /// What closes soon; soonest first.
    pub closing: Vec<Closing>,
    /// The air in the room: °C, % RH as read or foreseen.
    pub air: (f64, f64),
}
