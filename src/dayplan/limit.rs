//! What no plan for a job can get round: the time before which none can be ready, and why.
//!
//! Invariant: said of the job as it stands, whatever plan was found for it.

use super::document::Stamp;
use super::frame::Frame;
use super::history::History;
use super::kept::Kept;
use super::network;
use crate::job::{Job, PlaceKind};
use crate::planner::{self, BoundReason};

/// What binds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Binds {
    /// The hands there are cannot do the work sooner.
    Hands,
    /// Films take that long.
    Drying,
    /// Places of this kind; `None`: one thing that only one can use at a time.
    Places(Option<PlaceKind>),
    /// The vapour the room may hold.
    Vapour,
    /// Dust and wet work keep each other waiting.
    Dust,
    /// Closed hours between the waits.
    Hours,
    /// Every sooner plan was tried and ruled out.
    Tried,
}

/// The limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limit {
    /// No plan can be ready before this.
    pub at: Stamp,
    /// Why.
    pub binds: Binds,
}

/// The limit of a job from its facts; `None` where it has no plan at all.
pub fn limit(job: &Job, history: &History) -> Option<Limit> {
    let frame = Frame::reaching(job, history, 1, &Kept::default());
    let named = network::build(&frame);
    let bound = planner::bound(&named.network).ok()?;
    let binds = match bound.reason {
        BoundReason::Hands => Binds::Hands,
        BoundReason::Drying => Binds::Drying,
        BoundReason::Places(pool) => Binds::Places(named.pools.get(pool as usize).copied()),
        BoundReason::Budget(_) => Binds::Vapour,
        BoundReason::Dust => Binds::Dust,
        BoundReason::Calendar => Binds::Hours,
        BoundReason::Search => Binds::Tried,
    };
    Some(Limit {
        at: frame.moment(bound.ready).max(frame.now).with_offset(job.zone),
        binds,
    })
}
