//! The closed list of things that can be wrong in a file.
//!
//! Invariant: names are stable, unique and kebab-case; each code is always an error or always a warning.

use super::problem::Severity;
use std::fmt;

/// Which files a code can turn up in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Within {
    /// Any file.
    Any,
    /// Job files.
    Job,
    /// Finish schedules.
    Finish,
}

macro_rules! codes {
    ($($(#[$doc:meta])* $variant:ident = $name:literal, $severity:ident, $within:ident;)*) => {
        /// What is wrong.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Code {
            $($(#[$doc])* $variant,)*
        }

        impl Code {
            /// Every code.
            pub const ALL: &'static [Code] = &[$(Code::$variant,)*];

            /// Its stable name.
            pub const fn name(self) -> &'static str {
                match self {
                    $(Self::$variant => $name,)*
                }
            }

            /// Error or warning.
            pub const fn severity(self) -> Severity {
                match self {
                    $(Self::$variant => Severity::$severity,)*
                }
            }

            /// The files it can turn up in.
            pub const fn within(self) -> Within {
                match self {
                    $(Self::$variant => Within::$within,)*
                }
            }
        }
    };
}

codes! {
    /// The bytes are not UTF-8 text.
    NotText = "not-text", Error, Any;
    /// The text does not follow the rules of the file.
    Syntax = "syntax", Error, Any;
    /// The same key or heading twice.
    WrittenTwice = "written-twice", Error, Any;
    /// A key nobody asked for.
    UnknownKey = "unknown-key", Error, Any;
    /// A key that must be there is not.
    MissingKey = "missing-key", Error, Any;
    /// A number where text belongs, and the like.
    WrongType = "wrong-type", Error, Any;
    /// Text with nothing in it.
    EmptyText = "empty-text", Error, Any;
    /// A character that cannot be shown.
    ControlCharacter = "control-character", Error, Any;
    /// A word outside a closed list.
    UnknownWord = "unknown-word", Error, Any;
    /// A number outside what can be.
    OutOfRange = "out-of-range", Error, Any;
    /// Not a span of time.
    BadDuration = "bad-duration", Error, Any;
    /// Not a time of day, or not a stretch of it.
    BadClock = "bad-clock", Error, Any;
    /// Not a date, or no such date.
    BadDate = "bad-date", Error, Any;
    /// Not a length.
    BadLength = "bad-length", Error, Any;
    /// Not a volume.
    BadVolume = "bad-volume", Error, Job;
    /// Not a temperature.
    BadTemperature = "bad-temperature", Error, Any;
    /// Not a time zone.
    UnknownZone = "unknown-zone", Error, Any;
    /// Not an abrasive grade.
    NoSuchGrade = "no-such-grade", Error, Any;
    /// Grits do not go from coarse to fine.
    GritsNotFiner = "grits-not-finer", Error, Any;
    /// The step from one grit to the next leaves scratches behind.
    GritStepTooWide = "grit-step-too-wide", Error, Any;
    /// The step from one grit to the next is wide.
    GritStepWide = "grit-step-wide", Warning, Any;
    /// A figure's range runs backwards.
    RangeBackwards = "range-backwards", Error, Any;
    /// Two products of a schedule with one id.
    ProductTwice = "product-twice", Error, Finish;
    /// A product that the schedule does not carry.
    ProductNotHere = "product-not-here", Error, Finish;
    /// Two schedules with one id.
    ScheduleTwice = "schedule-twice", Error, Finish;
    /// A schedule without a coat.
    NoCoats = "no-coats", Error, Finish;
    /// A stage that a product must give a time for.
    StageMissing = "stage-missing", Error, Finish;
    /// A later stage is reached before an earlier one.
    StagesFall = "stages-fall", Error, Finish;
    /// Two times for one stage and coat.
    StageTwice = "stage-twice", Error, Finish;
    /// A recoat window that never opens, or opens before the one before it has closed.
    WindowOrder = "window-order", Error, Finish;
    /// The last recoat window closes.
    WindowCloses = "window-closes", Error, Finish;
    /// A coat goes over another without a recoat window for the pair.
    NoWindow = "no-window", Error, Finish;
    /// A solvent without a known vapour pressure.
    SolventUnknown = "solvent-unknown", Error, Finish;
    /// Solvents that add up to more than the product.
    SolventsOver = "solvents-over", Error, Finish;
    /// A film that spoils in the cold without its floor or the stage it must reach.
    SpoilsWithoutFloor = "spoils-without-floor", Error, Finish;
    /// May be put on where it does not dry.
    StartBelowFloor = "start-below-floor", Warning, Finish;
    /// Wiping limits that run backwards.
    WipeOrder = "wipe-order", Error, Finish;
    /// No wet film for the way a coat goes on.
    WetFilmMissing = "wet-film-missing", Error, Finish;
    /// A step out of working order.
    StepOrder = "step-order", Error, Finish;
    /// A step that is not written in a schedule.
    StepNotWritten = "step-not-written", Error, Finish;
    /// A coat over something nothing goes over.
    NothingGoesOver = "nothing-goes-over", Error, Finish;
    /// The file names no format.
    FormatMissing = "format-missing", Error, Any;
    /// The file's format is not one this program reads.
    FormatUnknown = "format-unknown", Error, Any;
    /// The job has no section.
    NoSections = "no-sections", Error, Job;
    /// The job has no part.
    NoParts = "no-parts", Error, Job;
    /// The job has no hands.
    NoHands = "no-hands", Error, Job;
    /// No working time in a week and its exceptions.
    NoWorkingHours = "no-working-hours", Error, Job;
    /// Two shifts of one day overlap.
    ShiftsOverlap = "shifts-overlap", Error, Job;
    /// One day said twice.
    DuplicateDate = "duplicate-date", Error, Job;
    /// One name for two things.
    DuplicateName = "duplicate-name", Error, Job;
    /// The room's air is not given.
    NoAir = "no-air", Error, Job;
    /// The room's air is not known at the start.
    AirBeginsLate = "air-begins-late", Error, Job;
    /// Night air without heating hours.
    NightWithoutHeating = "night-without-heating", Error, Job;
    /// An end before its start.
    TimesBackwards = "times-backwards", Error, Job;
    /// Other work takes more places than there are.
    MoreTakenThanThere = "more-taken-than-there", Error, Job;
    /// A section due before the job starts.
    DueBeforeStart = "due-before-start", Error, Job;
    /// A part made after its section is due.
    MadeAfterDue = "made-after-due", Error, Job;
    /// No such finish schedule.
    UnknownFinish = "unknown-finish", Error, Job;
    /// A sample board of a finish no part gets.
    SampleOfNothing = "sample-of-nothing", Error, Job;
    /// No such section.
    UnknownSection = "unknown-section", Error, Job;
    /// No such part, piece or assembly.
    UnknownPiece = "unknown-piece", Error, Job;
    /// No such surface of this shape.
    UnknownSurface = "unknown-surface", Error, Job;
    /// A size, or a list of lengths, with the wrong number of them.
    SizeCount = "size-count", Error, Job;
    /// A length or area not above zero.
    SizeNotPositive = "size-not-positive", Error, Job;
    /// A panel thicker than it is wide.
    ThickerThanWide = "thicker-than-wide", Error, Job;
    /// Members or walls that leave nothing inside.
    NothingInside = "nothing-inside", Error, Job;
    /// Joints larger than the surface they lie on.
    JointLargerThanSurface = "joint-larger-than-surface", Error, Job;
    /// A handed part with an odd count.
    HandedOdd = "handed-odd", Error, Job;
    /// A holding the room has no place for.
    NoPlace = "no-place", Error, Job;
    /// One piece takes more places than there are.
    MoreSlotsThanPlaces = "more-slots-than-places", Error, Job;
    /// A heavy piece and one pair of hands.
    HeavyAlone = "heavy-alone", Warning, Job;
    /// A glue-up that takes more hands than there are.
    TooFewHands = "too-few-hands", Error, Job;
    /// A piece or assembly used twice.
    UsedTwice = "used-twice", Error, Job;
    /// An assembly that goes into itself.
    AssemblyCycle = "assembly-cycle", Error, Job;
    /// A part with no finish anywhere.
    NothingToFinish = "nothing-to-finish", Warning, Job;
    /// A section no part names.
    EmptySection = "empty-section", Warning, Job;
    /// Unequal coats on the two faces of a wide solid panel.
    UnequalCoats = "unequal-coats", Error, Job;
    /// Different products on the two faces of a wide solid panel.
    UnequalProducts = "unequal-products", Warning, Job;
    /// Oil inside a drawer or case.
    OilInside = "oil-inside", Warning, Job;
    /// An acceptance of nothing.
    NothingToAccept = "nothing-to-accept", Warning, Job;
    /// No such bench rate.
    UnknownRate = "unknown-rate", Error, Job;
    /// A bench rate that is not above zero.
    RateNotPositive = "rate-not-positive", Error, Job;
    /// Nothing the stores keep count of.
    UnknownStore = "unknown-store", Error, Job;
    /// More left in a tin than it holds.
    MoreLeftThanTin = "more-left-than-tin", Error, Job;
    /// One size of one product for sale twice.
    SizeTwice = "size-twice", Error, Job;
    /// Prices without what they are in.
    PriceWithoutMoney = "price-without-money", Warning, Job;
    /// A figure for a product no finish in use has, or a tin of one no finish has.
    UnknownProduct = "unknown-product", Error, Job;
    /// Not a figure that can be overridden.
    UnknownFigure = "unknown-figure", Error, Job;
    /// One figure given twice.
    FigureTwice = "figure-twice", Error, Job;
    /// A solvent no rate of evaporation is known of.
    UnknownSolvent = "unknown-solvent", Error, Job;
    /// A product laid in a way its figures cannot follow.
    LaidAgainst = "laid-against", Error, Job;
    /// A drying time stated for other air than the product's other times.
    FigureOtherAir = "figure-other-air", Error, Job;
    /// A drying time that puts the stages out of order.
    FigureOutOfOrder = "figure-out-of-order", Error, Job;
}

impl fmt::Display for Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

#[cfg(test)]
mod tests {
    use super::Code;
    use std::collections::BTreeSet;

    #[test]
    fn names_are_unique_and_kebab_case() {
        let names: BTreeSet<&str> = Code::ALL.iter().map(|code| code.name()).collect();
        assert_eq!(names.len(), Code::ALL.len());
        for name in names {
            assert!(name.chars().all(|c| c.is_ascii_lowercase() || c == '-'), "{name}");
        }
    }
}
