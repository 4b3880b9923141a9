//! The engine: tasks, hands, waits, windows, places and goals in; starts out. It knows nothing of wood.
//!
//! Invariant: uses no other room of the house. The same network, seed, tries and threads give the same
//! answer; nothing here reads a clock (a caller who wants to stop early says so through a callback).

mod barred;
mod bound;
mod breach;
mod called;
mod cause;
mod check;
mod construct;
mod decode;
mod dice;
mod earliest;
mod exact;
mod explain;
mod explained;
mod gates;
mod hand;
mod indexed;
mod layout;
mod left;
mod line;
mod lists;
mod minutes;
pub mod network;
mod openings;
mod order;
mod placer;
mod places;
mod plain;
mod played;
mod population;
mod profile;
pub mod published;
mod reason;
mod score;
mod search;
mod put_off;
mod settle;
mod shop;
mod solution;
mod solve;
mod steps;
mod stretches;
mod verify;

pub use bound::{Bound, BoundReason};
pub use breach::Breach;
pub use cause::Cause;
pub use explain::{Because, Kind, explain};
pub use explained::Explained;
pub use indexed::Indexed;
pub use network::{
    Apart, Bundle, Chain, Clock, ClockId, Crew, Demand, Edge, Family, FamilyId, Fixed, Goal, Measured, Network, Pair,
    Pool, PoolId, Stretch, Tail, Task, TaskId, Tick, Wait, Window, WindowSpan, Worker,
};
pub use placer::{Placer, Teller, WAVES};
pub use put_off::put_off;
pub use reason::{Infeasible, Reason, Thing};
pub use score::Score;
pub use solution::{Setup, Solution};
pub use solve::{Settings, Watch, solve};
pub use verify::verify;

/// The lower bound of a network.
pub fn bound(network: &Network) -> Result<Bound, Infeasible> {
    Ok(bound::bound(&layout::Layout::of(network)?))
}
