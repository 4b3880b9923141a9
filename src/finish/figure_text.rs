//! Figures as they are written in files: a value or a range, its status, its source.
//!
//! Invariant: a figure that is read has a status and a source, and its range does not run backwards.

use super::figure::{Conditions, Figure, Status};
use crate::source::{Code, Found, Problem, Table, Value, Words};
use crate::units::text::TemperatureUnit;
use crate::units::{Celsius, Percent};

/// The unit a figure's field names.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FigureUnit {
    /// Spans of time, written `"10 min"` or `"2 h"`; minutes inside.
    Minutes,
    /// Temperatures; bare numbers are °C.
    Celsius,
    /// Temperatures; bare numbers are °F, °C inside.
    Fahrenheit,
    /// Percentages, 0 to 100.
    Percent,
    /// Film thicknesses in µm.
    Micrometres,
    /// Densities in kg/L.
    KilogramsPerLitre,
    /// A plain number, not negative.
    Plain,
}

/// The words for how far a figure has been checked.
pub const STATUSES: Words<'static, Status> = Words::new(&[
    ("label", Status::Label),
    ("seen", Status::Seen),
    ("seen-rounded", Status::SeenRounded),
    ("seen-partial", Status::SeenPartial),
    ("seen-secondary", Status::SeenSecondary),
    ("computed", Status::Computed),
    ("memory-checked", Status::MemoryChecked),
    ("memory", Status::Memory),
    ("memory-conflict", Status::MemoryConflict),
    ("common-practice", Status::CommonPractice),
]);

impl FigureUnit {
    /// One number in this unit.
    fn read(self, value: Value<'_>) -> Option<Found<f64>> {
        match self {
            Self::Minutes => Some(value.duration()?.map(|span| span.0 as f64)),
            // flash points and the like lie far above workshop air
            Self::Celsius if !value.is_text() => value.number_within(-50.0..=400.0, "°C"),
            Self::Fahrenheit if !value.is_text() => {
                let number = value.number_within(-60.0..=750.0, "°F")?;
                Some(number.map(|number| TemperatureUnit::Fahrenheit.to_celsius(number).0))
            }
            Self::Celsius | Self::Fahrenheit => Some(
                value
                    .temperature(TemperatureUnit::Celsius)?
                    .map(|temperature| temperature.0),
            ),
            Self::Percent => value.number_within(0.0..=100.0, "%"),
            Self::Micrometres => value.number_within(0.0..=2000.0, "µm"),
            Self::KilogramsPerLitre => value.number_within(0.5..=3.0, "kg/L"),
            Self::Plain => value.number_within(0.0..=1e9, ""),
        }
    }
}

impl Value<'_> {
    /// A figure: `{ low = "10 min", high = "20 min", status = "memory", source = "..." }`, or `value` in
    /// place of `low` and `high` where the source gives one number.
    pub fn figure(self, unit: FigureUnit) -> Option<Found<Figure>> {
        let extent = self.extent();
        let mut table = self.table()?;
        let range = figure_range(&mut table, unit);
        let status = table.need("status").and_then(|value| value.word(&STATUSES));
        let source = table.need("source").and_then(Value::text);
        let (range, status, source) = (range?, status?, source?);
        Some(Found {
            value: Figure {
                low: range.0,
                high: range.1,
                status: status.value,
                source: source.value,
            },
            extent,
        })
    }

    /// The air a figure was stated for: `{ temperature = 23, humidity = 50 }`; bare temperatures in `unit`.
    pub fn conditions(self, unit: TemperatureUnit) -> Option<Found<Conditions>> {
        let extent = self.extent();
        let mut table = self.table()?;
        let temperature = table.need("temperature").and_then(|value| value.temperature(unit));
        let humidity = table.need("humidity").and_then(Value::humidity);
        let (temperature, humidity): (Celsius, Percent) = (temperature?.value, humidity?.value);
        Some(Found {
            value: Conditions { temperature, humidity },
            extent,
        })
    }

    /// A relative humidity, 0 to 100 %.
    pub fn humidity(self) -> Option<Found<Percent>> {
        Some(self.number_within(0.0..=100.0, "% relative humidity")?.map(Percent))
    }
}

/// The range of a figure from the keys `low` and `high`, or `value`, of a table that may hold more.
pub fn figure_range(table: &mut Table<'_>, unit: FigureUnit) -> Option<(f64, f64)> {
    if let Some(value) = table.may("value") {
        let number = unit.read(value)?.value;
        for key in ["low", "high"] {
            if let Some(other) = table.may(key) {
                let message = "a figure has either one `value`, or `low` and `high`";
                other.refuse(Problem::new(Code::RangeBackwards, message).accepts("`value` alone, or `low` and `high`"));
            }
        }
        return Some((number, number));
    }
    let low = table.need("low").and_then(|value| unit.read(value));
    let high = table.need("high").and_then(|value| unit.read(value));
    let (low, high) = (low?, high?);
    if low.value <= high.value {
        return Some((low.value, high.value));
    }
    let problem = Problem::new(Code::RangeBackwards, "the low end of the range is above its high end")
        .at(low.extent, "the low end")
        .at(high.extent, "the high end")
        .accepts("`low` not above `high`");
    table.problems().push(problem);
    None
}
