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
    /// The file names no format.
    FormatMissing = "format-missing", Error, Any;
    /// The file's format is not one this program reads.
    FormatUnknown = "format-unknown", Error, Any;
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
