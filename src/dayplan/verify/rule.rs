//! The rules and their breaches.
//!
//! Invariant: the list is closed; every rule has a name, and a breach always says its figure in words.

use super::sheet::Op;
use std::fmt;

macro_rules! rules {
    ($($(#[$doc:meta])* $rule:ident = $name:literal,)+) => {
        /// A rule of the trade, or of the document, that a plan must keep.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Rule {
            $($(#[$doc])* $rule,)+
        }

        impl Rule {
            /// Every rule.
            pub const ALL: &'static [Self] = &[$(Self::$rule,)+];

            /// Its stable name.
            pub const fn name(self) -> &'static str {
                match self {
                    $(Self::$rule => $name,)+
                }
            }
        }
    };
}

rules! {
    /// The document says schema 1.
    Schema = "schema",
    /// Ids are unique, and what they point at is there.
    Reference = "reference",
    /// What the plan repeats from the job is what the job says.
    SameJob = "same-job",
    /// The waits it writes down hold between the operations they name.
    WrittenWait = "written-wait",
    /// The air it writes down is the room's.
    WrittenAir = "written-air",
    /// Every operation of hands stands in exactly one round, which agrees with it.
    Round = "round",
    /// A step of the schedule is left out.
    MissingStep = "missing-step",
    /// A step no schedule of the piece asks for.
    StrangeStep = "strange-step",
    /// The bench order: settle, check, label; grits; arris; grain raise, cut back; mask; dust off; coats; unmask;
    /// rub out; wax; buff.
    Order = "order",
    /// Grits from coarse to fine, none left out, none added.
    Grits = "grits",
    /// Dusted off after the last dust and before the first coat.
    DustOff = "dust-off",
    /// A piece is in one operation at a time.
    PieceBusy = "piece-busy",
    /// Every surface gets every coat due, once, of the right product, in order.
    Coats = "coats",
    /// Coats are counted from one, without a gap.
    CoatNumber = "coat-number",
    /// De-nibbed (or flatted) between coats where the schedule says.
    Denib = "denib",
    /// Nothing goes over wax.
    Terminal = "terminal",
    /// The film an operation says it works on is the one that lies on top.
    FilmFrom = "film-from",
    /// A coat goes on inside a window of the film beneath.
    RecoatWindow = "recoat-window",
    /// The preparation a window asks for was done.
    WindowPreparation = "window-preparation",
    /// A film is abraded only when dry to sand.
    SandWait = "sand-wait",
    /// On bearers a piece is laid over only when dry to touch.
    TurnWait = "turn-wait",
    /// On points the show face goes last.
    ShowFaceLast = "show-face-last",
    /// Masks come off only when the last coat is dry to touch.
    UnmaskWait = "unmask-wait",
    /// Glued up only when hard dry.
    GlueWait = "glue-wait",
    /// Rubbed out and waxed only when dry through.
    RubWait = "rub-wait",
    /// A wait of a step itself: raised grain dries, wax hazes.
    StepWait = "step-wait",
    /// The stages written down agree with the drying clock.
    DryStamp = "dry-stamp",
    /// A coat starts only in air it can be put on in.
    RoomLimits = "room-limits",
    /// A film gets far enough before the room falls below its floor.
    RoomSpoils = "room-spoils",
    /// Hands work inside their hours, whole within one stretch.
    Hours = "hours",
    /// A person does one thing at a time.
    HandBusy = "hand-busy",
    /// As many people as it takes, and their minutes counted right.
    Crew = "crew",
    /// Setting up and cleaning out take their time.
    ChangeOver = "change-over",
    /// No dust while a coat is wet.
    DustOnWet = "dust-on-wet",
    /// No coat before dust has settled.
    DustSettle = "dust-settle",
    /// The vapour in the mixed room stays under the job's cap, or one coat alone is over it.
    VapourCap = "vapour-cap",
    /// The air line says what the operations make of the job's room.
    AirLine = "air-line",
    /// Dry abrasives make dust, wet ones do not, and the plan says so.
    DustSaid = "dust-said",
    /// A sample board is finished and signed off before the first film of its finish on the work.
    SampleBoard = "sample-board",
    /// Not more pieces than places.
    PlaceCapacity = "place-capacity",
    /// A piece keeps its place from its first coat until it may be handled.
    PlaceHeld = "place-held",
    /// Joints are covered at every coat.
    Masked = "masked",
    /// Tape is changed before its life ends.
    TapeLife = "tape-life",
    /// A film gone hard over the tape is scored before the tape is pulled.
    Score = "score",
    /// No wax near open joints.
    WaxNearJoints = "wax-near-joints",
    /// Joints are bare at glue-up.
    BareAtGlue = "bare-at-glue",
    /// Sanding and grain raising are fresh at the first coat.
    Stale = "stale",
    /// The excess comes off inside its limit.
    WipeBack = "wipe-back",
    /// What bleeds back comes off as well.
    ReWipe = "re-wipe",
    /// Wide solid panels get equal coats on both faces.
    Balance = "balance",
    /// The balance lines are true, one for each wide solid panel.
    BalanceLine = "balance-line",
    /// A section is ready when its operations say so.
    SectionReady = "section-ready",
    /// Ready, ends and finished are what the operations say.
    PlanTimes = "plan-times",
    /// The bound is not after ready, and the gap follows from it.
    Bound = "bound",
    /// Assemblies are glued from what is ready, once, with enough hands.
    GlueUp = "glue-up",
    /// Glue cures before the assembly is worked on or built in.
    Cure = "cure",
    /// Nothing before the start, before now, or before the piece is there.
    NotThere = "not-there",
    /// What is mixed for the day is mixed by hands each time it is set out, before the round that uses it.
    Mixed = "mixed",
    /// A mix is used within its life.
    PotLife = "pot-life",
}

impl fmt::Display for Rule {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

/// A rule not kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Breach {
    /// Which.
    pub rule: Rule,
    /// Ids of the operations it is about.
    pub operations: Vec<String>,
    /// Ids of the pieces it is about.
    pub pieces: Vec<String>,
    /// One line for the finisher, with the figure.
    pub text: String,
}

impl fmt::Display for Breach {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.rule, self.text)
    }
}

/// Breaches as they are found.
#[derive(Debug, Default)]
pub(super) struct Breaches {
    list: Vec<Breach>,
}

impl Breaches {
    /// A breach by an operation, the first named; the others are what it comes up against. Where it is a fact
    /// there is nothing left to plan better, so nothing is said.
    pub(super) fn by(&mut self, rule: Rule, operations: &[&Op<'_>], text: String) {
        if operations.first().is_some_and(|op| !op.is_fact()) {
            self.name(rule, operations, text);
        }
    }

    /// A breach between operations that are equally to blame: said as long as one of them can be moved.
    pub(super) fn between(&mut self, rule: Rule, operations: &[&Op<'_>], text: String) {
        if operations.iter().any(|op| !op.is_fact()) {
            self.name(rule, operations, text);
        }
    }

    fn name(&mut self, rule: Rule, operations: &[&Op<'_>], text: String) {
        let mut pieces: Vec<String> = operations.iter().filter_map(|op| op.piece.clone()).collect();
        pieces.dedup();
        let operations = operations.iter().map(|op| op.id.clone()).collect();
        self.keep(Breach {
            rule,
            operations,
            pieces,
            text,
        });
    }

    /// A breach of a piece, where the operation is what is missing.
    pub(super) fn piece(&mut self, rule: Rule, piece: &str, text: String) {
        self.keep(Breach {
            rule,
            operations: Vec::new(),
            pieces: vec![piece.to_owned()],
            text,
        });
    }

    /// A breach of the document as a whole.
    pub(super) fn document(&mut self, rule: Rule, text: String) {
        self.keep(Breach {
            rule,
            operations: Vec::new(),
            pieces: Vec::new(),
            text,
        });
    }

    /// Surfaces of one piece often say the same thing: it is kept once.
    fn keep(&mut self, breach: Breach) {
        if !self.list.contains(&breach) {
            self.list.push(breach);
        }
    }

    /// What was found beside.
    pub(super) fn and(mut self, others: Self) -> Self {
        others.list.into_iter().for_each(|breach| self.keep(breach));
        self
    }

    pub(super) fn into_list(self) -> Vec<Breach> {
        self.list
    }
}
