//! How a coat lets its solvent go.
//!
//! Invariant: a coat gives off all its solvent in the end and never more.
//!
//! The law is our own estimate, not a published one: what is left in the film falls off exponentially with a
//! time constant of a third of the time to dry to touch, so that 95 % has gone when the film is dry to touch.
//! The faster it is taken, the higher the peak; callers take the fast estimate of that time, and a shorter one
//! where a film is dry to touch only long after its solvent has gone.

/// The release of one coat.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Release {
    /// Time constant, minutes.
    tau: f64,
}

impl Release {
    /// Shortest time constant, minutes: below this nothing in a room is told apart (own choice, no
    /// source).
    pub const SHORTEST: f64 = 1.0;

    /// The release of a coat that is dry to touch after this many minutes.
    pub fn dry_to_touch(minutes: f64) -> Self {
        Self::with_time_constant(minutes / 3.0)
    }

    /// A release with its time constant in minutes.
    pub fn with_time_constant(minutes: f64) -> Self {
        let tau = if minutes.is_finite() { minutes } else { Self::SHORTEST };
        Self {
            tau: tau.max(Self::SHORTEST),
        }
    }

    /// Its time constant, minutes.
    pub const fn time_constant(self) -> f64 {
        self.tau
    }

    /// The share still in the film after some minutes.
    pub fn left(self, minutes: f64) -> f64 {
        (-minutes.max(0.0) / self.tau).exp()
    }

    /// The share given off a minute at that time.
    pub fn rate(self, minutes: f64) -> f64 {
        self.left(minutes) / self.tau
    }
}
