//! Published scheduling problems and plain-text loads, read into a network.
//!
//! Invariant: never panics on text; an error names the line. What is read is an ordinary network, solved by
//! the very engine that plans a finishing day.

mod load;
mod psplib;

pub use load::load;
pub use psplib::psplib;

use thiserror::Error;

/// A line that could not be read.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[error("line {line}: {fault}")]
pub struct ReadError {
    /// Line number, from 1; the last line when something is missing at the end.
    pub line: usize,
    /// What is wrong.
    pub fault: ReadFault,
}

/// What can be wrong with a line.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum ReadFault {
    /// A section is missing.
    #[error("the section {0} is missing")]
    NoSection(&'static str),
    /// Too few numbers on the line.
    #[error("{wanted} numbers wanted, {found} found")]
    TooFew {
        /// How many are wanted.
        wanted: usize,
        /// How many there are.
        found: usize,
    },
    /// Not a number, or not one that fits.
    #[error("not a number that fits here: {0}")]
    NotANumber(String),
    /// A job, operation or resource that does not exist.
    #[error("there is no number {0}")]
    NoSuch(u64),
    /// More than one way to do a job is not read.
    #[error("only jobs with one mode are read")]
    Modes,
    /// A line of no known kind.
    #[error("no known kind of line")]
    UnknownLine,
}

fn number(word: &str, line: usize) -> Result<u64, ReadError> {
    word.parse::<u32>()
        .ok()
        .filter(|&number| number < 1_000_000_000)
        .map(u64::from)
        .ok_or_else(|| ReadError {
            line,
            fault: ReadFault::NotANumber(word.to_owned()),
        })
}

fn numbers(text: &str, line: usize, wanted: usize) -> Result<Vec<u64>, ReadError> {
    let found = text
        .split_whitespace()
        .map(|word| number(word, line))
        .collect::<Result<Vec<_>, _>>()?;
    if found.len() < wanted {
        return Err(ReadError {
            line,
            fault: ReadFault::TooFew {
                wanted,
                found: found.len(),
            },
        });
    }
    Ok(found)
}
