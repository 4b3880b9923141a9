//! The wall on a screen in memory.

#[path = "../wall_bench/mod.rs"]
mod wall_bench;

mod beside;
mod days;
mod deeds;
mod filled;
mod keys;
mod lists;
mod meaning;
mod pages;
mod random;
mod snapshots;
mod themes;
mod update;
mod words;
