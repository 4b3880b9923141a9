//! The maker's file: what is finished, where, when and by whom.
//!
//! Invariant: a [`Job`] that exists has been checked; every reference in it resolves, every length is in
//! millimetres and every time in minutes.

pub mod air_rules;
mod since_written;
mod what_if;
pub mod edit;
pub mod hours;
mod mixed;
pub mod part;
mod putting_on;
pub mod rates;
mod read;
pub mod room;
mod sample;
pub mod shelf;

pub use air_rules::AirRules;
pub use hours::{DayShift, Hand, HoursException, WeekHours};
pub use part::{Assembly, Build, Holding, Joint, JointKind, Part, Piece, Section, Shape, Show, Surface, SurfaceRole};
pub use read::{FORMAT, country_words, figure_words, joint_words, read, read_begun};
pub use room::{Climate, ClimateLine, Fan, Occupied, PlaceKind, Places, Reading, Room};
pub use shelf::{Shelf, TinForSale, TinOnHand};
pub use since_written::{Away, Fault, Held, Mend, SinceWritten};
pub use what_if::WhatIf;

use crate::finish::{Product, Schedule};
use crate::units::{Moment, Percent};
use chrono_tz::Tz;
use std::collections::BTreeMap;

/// One set of parts finished together, in one room, from one start.
#[derive(Clone, Debug, PartialEq)]
pub struct Job {
    /// What the maker calls it.
    pub title: String,
    /// The zone its clock times are in.
    pub zone: Tz,
    /// No work before this.
    pub start: Moment,
    /// Which units the maker reads and writes.
    pub shown_in: ShownIn,
    /// The room.
    pub room: Room,
    /// Working hours.
    pub hours: WeekHours,
    /// The people, in the order the maker lists them.
    pub hands: Vec<Hand>,
    /// Parts as written.
    pub parts: Vec<Part>,
    /// Pieces: every part multiplied out by its count, in file order.
    pub pieces: Vec<Piece>,
    /// Groups of parts due together.
    pub sections: Vec<Section>,
    /// What is glued up from what.
    pub assemblies: Vec<Assembly>,
    /// The schedules in use, by id, with the job's own figures laid over them.
    pub schedules: BTreeMap<String, Schedule>,
    /// Bench rates the job overrides, by rate name (see `work::rates`).
    pub rates: BTreeMap<String, f64>,
    /// Unequal coats the maker accepts: piece id to reason.
    pub accepted_imbalance: BTreeMap<String, String>,
    /// Usable tape life before it must be changed, minutes.
    pub tape_life: i64,
    /// What has been decided at the bench since.
    pub since_written: SinceWritten,
    /// What is on the shelf, and what can be bought.
    pub shelf: Shelf,
}

/// Units for reading; inside everything is mm, °C and mL.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ShownIn {
    /// Inches instead of millimetres.
    pub inches: bool,
    /// Fahrenheit instead of Celsius.
    pub fahrenheit: bool,
    /// US fluid ounces, quarts and gallons instead of litres.
    pub us_volume: bool,
}

impl Job {
    /// A product by id, from whichever schedule in use carries it.
    pub fn product(&self, id: &str) -> Option<&Product> {
        self.schedules.values().find_map(|schedule| schedule.product(id))
    }

    /// The across-grain width above which both faces of a solid panel must carry equal coats.
    pub fn is_wide(&self, piece: &Piece) -> bool {
        piece.sample.is_none()
            && piece.shape == Shape::Panel
            && piece.build == Build::Solid
            && piece.width.0 > self.room.wide_over.0
    }

    /// Highest relative humidity the room is said to reach, for messages.
    pub fn dampest(&self) -> Percent {
        let lines = self
            .room
            .climate
            .lines
            .iter()
            .flat_map(|line| [line.day_humidity, line.night_humidity]);
        lines.fold(Percent(0.0), |most, here| if here.0 > most.0 { here } else { most })
    }
}
