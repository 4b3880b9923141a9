//! A well-mixed room: vapour comes in, air carries it out.
//!
//! Invariant: concentrations are never negative; with no air change nothing leaves.
//!
//! V dC/dt = G − (Q/K) C, with its closed form for a steady source and for a coat whose release falls off
//! exponentially. Source: dilution ventilation relations of the American Conference of Governmental Industrial
//! Hygienists, read on a university's formula page. The mixing factor K stands for air that takes short cuts: 1 is
//! good, 10 poor, 3 to 5 a usual workshop (recalled).

use super::release::Release;

/// Mixing factor taken where none is given (from memory: 3 to 5 is usual for a workshop).
pub const USUAL_MIXING: f64 = 3.0;

/// Below this share an hour a room is as good as shut, 1/h (own choice, no source; see [`Room::clears`]).
const SHUT: f64 = 1.0 / 48.0;

/// A room.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Room {
    /// Volume, m³.
    pub volume: f64,
    /// Fresh air, m³/h.
    pub fresh_air: f64,
    /// Mixing factor, 1 or more.
    pub mixing: f64,
}

impl Room {
    /// A room by its air changes an hour. `None` for a volume or figures that are none.
    pub fn new(volume: f64, air_changes: f64, mixing: f64) -> Option<Self> {
        let sound = volume.is_finite() && volume > 0.0 && air_changes.is_finite() && air_changes >= 0.0;
        (sound && mixing.is_finite() && mixing >= 1.0).then_some(Self {
            volume,
            fresh_air: volume * air_changes,
            mixing,
        })
    }

    /// How much of the room's vapour leaves an hour, as a share (1/h).
    pub fn pace(&self) -> f64 {
        self.fresh_air / self.mixing / self.volume
    }

    /// Whether vapour leaves at all while people wait for it: a room that takes longer than two days to lose two thirds
    /// is as good as shut, and no order of coats thins what is in it (judgement, no source).
    pub fn clears(&self) -> bool {
        self.pace() >= SHUT
    }

    /// Concentration after some hours of a steady source in g/h, g/m³.
    pub fn build_up(&self, source: f64, start: f64, hours: f64) -> f64 {
        let pace = self.pace();
        if pace <= 0.0 {
            return start + source / self.volume * hours;
        }
        let steady = source / self.volume / pace;
        steady + (start - steady) * (-pace * hours).exp()
    }

    /// What a steady source comes to in the end, g/m³; `None` where nothing leaves.
    pub fn steady(&self, source: f64) -> Option<f64> {
        let pace = self.pace();
        (pace > 0.0).then(|| source / self.volume / pace)
    }

    /// Hours to fall from one concentration to another once the source has ended; `None` where it never does.
    pub fn purge(&self, from: f64, to: f64) -> Option<f64> {
        let pace = self.pace();
        if from <= to {
            return Some(0.0);
        }
        (pace > 0.0 && to > 0.0).then(|| (from / to).ln() / pace)
    }

    /// Concentration some minutes after a coat of one gram was laid in one moment, g/m³.
    pub fn after_coat(&self, release: Release, minutes: f64) -> f64 {
        if minutes <= 0.0 {
            return 0.0;
        }
        let (leave, give) = (self.pace() / 60.0, 1.0 / release.time_constant());
        give * lag(leave, give, minutes) / self.volume
    }
}

/// (e^(−a t) − e^(−b t)) / (b − a), also where the two rates meet.
fn lag(a: f64, b: f64, t: f64) -> f64 {
    if (b - a).abs() < 1e-9 * b.max(a).max(1e-12) {
        return t * (-a * t).exp();
    }
    ((-a * t).exp() - (-b * t).exp()) / (b - a)
}

/// One substance with one release: what is still in the films and what is in the air, followed minute by
/// minute without rounding (the exact solution over each minute).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cloud {
    /// Still in the films, grams.
    pub held: f64,
    /// In the air, grams.
    pub air: f64,
    keep_film: f64,
    keep_air: f64,
    cross: f64,
    fresh: f64,
    tau: f64,
}

impl Cloud {
    /// An empty cloud in a room.
    pub fn new(room: &Room, release: Release) -> Self {
        let (leave, tau) = (room.pace() / 60.0, release.time_constant());
        let give = 1.0 / tau;
        Self {
            held: 0.0,
            air: 0.0,
            keep_film: (-give).exp(),
            keep_air: (-leave).exp(),
            cross: give * lag(leave, give, 1.0),
            fresh: if leave < 1e-9 {
                1.0
            } else {
                (1.0 - (-leave).exp()) / leave
            },
            tau,
        }
    }

    /// Goes one minute on, with this many grams laid evenly over the minute. Returns the grams given off.
    pub fn minute(&mut self, laid: f64) -> f64 {
        // the film nears laid·τ, where as much leaves as is laid
        let level = laid * self.tau;
        let before = self.held;
        self.air = self.air * self.keep_air + laid * self.fresh + (self.held - level) * self.cross;
        self.held = level + (self.held - level) * self.keep_film;
        before + laid - self.held
    }
}
