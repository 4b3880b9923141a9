//! The room as the air's mathematics see it: well mixed.
//!
//! Invariant: `None` where the maker does not give size or air changes; nothing is assumed for them.

use super::room::Room;
use crate::science::vapour;

impl Room {
    /// The room as a well-mixed one with this mixing factor (1 good, 10 poor).
    pub fn mixed(&self, mixing: f64) -> Option<vapour::Room> {
        let [length, width, height] = self.size?;
        // mm³ to m³
        vapour::Room::new(length.0 * width.0 * height.0 / 1e9, self.air_changes?, mixing)
    }
}
