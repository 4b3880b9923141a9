//! The wall on real lines, and two at one moment: by themselves, since they hang on the time things take.

#[path = "../case/mod.rs"]
mod case;
#[path = "../wall_bench/mod.rs"]
mod wall_bench;
#[path = "../wall_line/mod.rs"]
mod wall_line;

mod live;
mod pty;
mod two;
