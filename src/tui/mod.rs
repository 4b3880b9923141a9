//! The wall: the live screens a shop puts up.
//!
//! Invariant: everything but [`terminal`] is pure. A [`Model`] changes only in [`update()`], which answers
//! with [`Effect`]s; [`view::draw`] only reads; the clock arrives in messages. The screen says that
//! something was done only after the log holds it.
//!
//! ```text
//!            keys, paste, size, clock                  Effect::Write, Recompute, Replan, Bell ...
//!  terminal ───────── Msg ─────────▶ update(Model) ─────────────────────▶ terminal ──▶ Bench
//!      ▲                                   │                                              │
//!      └──────────── cells ◀── view ◀──────┘◀── Msg::Written, NotWritten, Sheet, Planned ─┘
//! ```

pub mod assembly_rows;
pub mod bench;
pub mod deeds;
pub mod edits;
pub mod field;
pub mod form;
pub mod key;
pub mod layer;
pub mod lot;
pub mod menu;
pub mod model;
pub mod msg;
pub mod pages;
pub mod piece_rows;
pub mod quiet;
pub mod round_card;
pub mod script;
pub mod shop;
pub mod symbols;
pub mod task;
pub mod terminal;
pub mod theme;
pub mod timing;
pub mod update;
pub mod verdict;
pub mod view;
pub mod words;

pub use bench::{Bench, Faulty, Fresh, Replan, Sheet};
pub use key::Key;
pub use model::{Model, Page, Wake};
pub use msg::{Effect, Msg, Write};
pub use quiet::Quiet;
pub use shop::Shop;
pub use symbols::Symbols;
pub use theme::{Look, Theme};
pub use update::update;
