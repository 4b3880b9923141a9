//! The program on the command line.

#[path = "../case/mod.rs"]
mod case;

mod bench;
mod compare;
mod deeds;
mod export;
mod figures;
mod files;
mod interrupt;
mod papers;
mod plan;
