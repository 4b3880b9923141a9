//! The trade verifier against plans written by hand: good ones pass, and every rule has a bad one it rejects.

mod ash_top;
mod bed;
mod draft;
mod every_line;
mod foreman;
mod good;
mod line;
mod lists;
mod mistakes;
mod mistakes_of_planning;
mod mistakes_of_work;
mod oak_table;
mod plans;
mod rules;
mod scenario;
mod shop;
mod sideboard;
mod table;
mod vapour;
