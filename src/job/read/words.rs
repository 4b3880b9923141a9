//! The closed lists of words a job file uses.
//!
//! Invariant: one word for one thing; other words of the trade are answered with the one that counts.

use crate::job::{Build, Holding, JointKind, PlaceKind, Shape, Show, SurfaceRole};
use crate::science::exposure::Country;
use crate::source::Words;

/// Kinds of joint, as job files call them.
pub fn joint_words() -> impl Iterator<Item = &'static str> {
    JOINTS.names()
}

/// Countries whose exposure limits a job may ask for, as job files call them.
pub fn country_words() -> impl Iterator<Item = &'static str> {
    COUNTRIES.names()
}

/// The finish of what stays without one.
pub(super) const BARE: &str = "bare";

pub(super) const SHAPES: Words<'static, Shape> = Words::new(&[
    ("panel", Shape::Panel),
    ("square", Shape::Square),
    ("round", Shape::Round),
    ("frame", Shape::Frame),
    ("box", Shape::Box),
    ("free", Shape::Free),
])
.meant(&[
    ("board", "panel"),
    ("top", "panel"),
    ("shelf", "panel"),
    ("leg", "square"),
    ("rail", "square"),
    ("post", "square"),
    ("turned", "round"),
    ("spindle", "round"),
    ("dowel", "round"),
    ("drawer", "box"),
    ("door", "frame"),
    ("other", "free"),
]);

pub(super) const BUILDS: Words<'static, Build> = Words::new(&[
    ("solid", Build::Solid),
    ("veneered", Build::Veneered),
    ("ply", Build::Ply),
    ("sheet", Build::Sheet),
])
.meant(&[
    ("veneer", "veneered"),
    ("plywood", "ply"),
    ("mdf", "sheet"),
    ("chipboard", "sheet"),
    ("hardboard", "sheet"),
    ("fibreboard", "sheet"),
    ("timber", "solid"),
    ("wood", "solid"),
]);

/// Days of the week, counted from Monday.
pub(super) const WEEKDAYS: Words<'static, usize> = Words::new(&[
    ("mon", 0),
    ("tue", 1),
    ("wed", 2),
    ("thu", 3),
    ("fri", 4),
    ("sat", 5),
    ("sun", 6),
])
.meant(&[
    ("monday", "mon"),
    ("tuesday", "tue"),
    ("wednesday", "wed"),
    ("thursday", "thu"),
    ("thurs", "thu"),
    ("friday", "fri"),
    ("saturday", "sat"),
    ("sunday", "sun"),
]);

pub(super) const HOLDINGS: Words<'static, Holding> = Words::new(&[
    ("bearers", Holding::Bearers),
    ("points", Holding::Points),
    ("hung", Holding::Hung),
])
.meant(&[
    ("hooks", "hung"),
    ("hang", "hung"),
    ("hanging", "hung"),
    ("nails", "points"),
    ("battens", "bearers"),
    ("stickers", "bearers"),
    ("rack", "bearers"),
]);

pub(super) const PLACES: Words<'static, PlaceKind> = Words::new(&[
    ("bearers", PlaceKind::Bearers),
    ("points", PlaceKind::Points),
    ("hooks", PlaceKind::Hooks),
    ("racks", PlaceKind::Racks),
])
.meant(&[("hung", "hooks"), ("line", "hooks"), ("shelves", "racks")]);

pub(super) const JOINTS: Words<'static, JointKind> = Words::new(&[
    ("tenon", JointKind::Tenon),
    ("mortise", JointKind::Mortise),
    ("housing", JointKind::Housing),
    ("groove", JointKind::Groove),
    ("dowel-hole", JointKind::DowelHole),
    ("loose-tenon-slot", JointKind::LooseTenonSlot),
    ("dovetail", JointKind::Dovetail),
    ("marked", JointKind::Marked),
])
.meant(&[
    ("dado", "housing"),
    ("trench", "housing"),
    ("mortice", "mortise"),
    ("dowel", "dowel-hole"),
    ("biscuit", "loose-tenon-slot"),
    ("loose tenon", "loose-tenon-slot"),
    ("loose-tenon", "loose-tenon-slot"),
    ("spline", "groove"),
    ("rebate", "marked"),
    ("rabbet", "marked"),
    ("pin", "dovetail"),
    ("tail", "dovetail"),
]);

pub(super) const SHOWS: Words<'static, Show> =
    Words::new(&[("show", Show::Show), ("hidden", Show::Hidden), ("inside", Show::Inside)]).meant(&[
        ("shown", "show"),
        ("seen", "show"),
        ("visible", "show"),
        ("unseen", "hidden"),
        ("interior", "inside"),
    ]);

pub(super) const ROLES: Words<'static, SurfaceRole> = Words::new(&[
    ("face", SurfaceRole::Face),
    ("back", SurfaceRole::Back),
    ("edge", SurfaceRole::Edge),
    ("end", SurfaceRole::End),
    ("side", SurfaceRole::Side),
    ("inner", SurfaceRole::Inner),
    ("outer", SurfaceRole::Outer),
]);

/// Whether dust is made in another room.
pub(super) const DUST: Words<'static, bool> = Words::new(&[("together", false), ("separated", true)]).meant(&[
    ("same", "together"),
    ("separate", "separated"),
    ("apart", "separated"),
]);

/// Whose exposure limits.
pub(super) const COUNTRIES: Words<'static, Country> =
    Words::new(&[("GB", Country::GreatBritain), ("US", Country::UnitedStates)]).meant(&[
        ("uk", "GB"),
        ("gb", "GB"),
        ("us", "US"),
        ("usa", "US"),
        ("england", "GB"),
        ("scotland", "GB"),
        ("wales", "GB"),
        ("great britain", "GB"),
        ("united kingdom", "GB"),
        ("united states", "US"),
    ]);

/// Whether lengths are in inches.
pub(super) const LENGTHS: Words<'static, bool> = Words::new(&[("mm", false), ("in", true)]).meant(&[
    ("inches", "in"),
    ("inch", "in"),
    ("millimetres", "mm"),
    ("cm", "mm"),
]);

/// Whether temperatures are in Fahrenheit.
pub(super) const TEMPERATURES: Words<'static, bool> = Words::new(&[("C", false), ("F", true)]).meant(&[
    ("c", "C"),
    ("f", "F"),
    ("celsius", "C"),
    ("fahrenheit", "F"),
    ("\u{b0}c", "C"),
    ("\u{b0}f", "F"),
]);

/// Whether volumes are in US units.
pub(super) const VOLUMES: Words<'static, bool> = Words::new(&[("L", false), ("US", true)]).meant(&[
    ("l", "L"),
    ("litres", "L"),
    ("liters", "L"),
    ("ml", "L"),
    ("us", "US"),
    ("gallons", "US"),
    ("quarts", "US"),
]);
