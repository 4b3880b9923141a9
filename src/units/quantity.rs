//! Quantities of the shop, each its own type.
//!
//! Invariant: the number inside is always in the unit the type is named after.

use std::iter::Sum;
use std::ops::{Add, AddAssign, Mul, Sub};

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
        pub struct $name(pub f64);

        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }

        impl AddAssign for $name {
            fn add_assign(&mut self, other: Self) {
                self.0 += other.0;
            }
        }

        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }

        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, by: f64) -> Self {
                Self(self.0 * by)
            }
        }

        impl Sum for $name {
            fn sum<I: Iterator<Item = Self>>(items: I) -> Self {
                items.fold(Self(0.0), Add::add)
            }
        }
    };
}

quantity!(
    /// A length in millimetres.
    Millimetres
);
quantity!(
    /// An area in square millimetres.
    SquareMillimetres
);
quantity!(
    /// A volume in millilitres.
    Millilitres
);
quantity!(
    /// A mass in grams.
    Grams
);
quantity!(
    /// A temperature in degrees Celsius.
    Celsius
);
quantity!(
    /// A speed of air in metres per second.
    MetresPerSecond
);
quantity!(
    /// A percentage: relative humidity, solids, shares.
    Percent
);

impl SquareMillimetres {
    /// The same area in square metres.
    pub fn square_metres(self) -> f64 {
        self.0 / 1e6
    }
}

impl Mul for Millimetres {
    type Output = SquareMillimetres;
    fn mul(self, other: Self) -> SquareMillimetres {
        SquareMillimetres(self.0 * other.0)
    }
}
