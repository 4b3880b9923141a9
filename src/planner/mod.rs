//! The engine: tasks, hands, waits, windows, places and goals in; starts out. It knows nothing of wood.
//!
//! Invariant: uses no other room of the house. The same network, seed, tries and threads give the same
//! answer; nothing here reads a clock (a caller who wants to stop early says so through a callback).

pub mod network;

pub use network::{
    Apart, Bundle, Chain, Clock, ClockId, Crew, Demand, Edge, Family, FamilyId, Fixed, Goal, Network, Pair, Pool,
    PoolId, Stretch, Tail, Task, TaskId, Tick, Wait, Window, WindowSpan, Worker,
};
