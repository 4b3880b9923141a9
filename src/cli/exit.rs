//! Exit codes.
//!
//! Invariant: the numbers never change their meaning; scripts rely on them.

/// How the program leaves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Exit(pub u8);

impl Exit {
    /// Done; also when whoever read the output stopped reading.
    pub const DONE: Self = Self(0);
    /// The job has errors, or no plan keeps its rules.
    pub const NO_PLAN: Self = Self(1);
    /// Wrong usage, or a file that cannot be read or written.
    pub const USAGE: Self = Self(2);
    /// The terminal went away (128 + SIGHUP).
    pub const HUNG_UP: Self = Self(129);
    /// Stopped with Ctrl-C (128 + SIGINT).
    pub const INTERRUPTED: Self = Self(130);
    /// Asked to end (128 + SIGTERM).
    pub const TERMINATED: Self = Self(143);
}

impl From<Exit> for std::process::ExitCode {
    fn from(exit: Exit) -> Self {
        Self::from(exit.0)
    }
}
