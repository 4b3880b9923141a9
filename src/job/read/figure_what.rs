//! Which figures of a product the tin can replace, and where each is kept.
//!
//! Invariant: every word stands for one field of [`Product`].

use crate::finish::words::{METHODS, STAGES};
use crate::finish::{Figure, FigureUnit, Method, Opening, Product, Stage, StageTime, Wipe};
use crate::source::{Table, Words};
use crate::units::Refusal;
use crate::units::text::TemperatureUnit;

/// A figure of a product.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum What {
    Stage(Stage),
    WindowOpens,
    WindowCloses,
    /// No figure: all other drying times are to be taken as stated for the given air.
    OtherTimes,
    OpenTime,
    PotLife,
    WipeSoak,
    WipeWithin,
    WipeAgainAfter,
    WipeAgainWithin,
    StartFloor,
    StartCeiling,
    StartHumidity,
    DryingFloor,
    FlashPoint,
    VolumeSolids,
    FirstCoatExtra,
    Density,
    WetFilm,
}

/// The words for figures that are no stage; stages have those of [`STAGES`].
const OTHERS: Words<'static, What> = Words::new(&[
    ("window-opens", What::WindowOpens),
    ("window-closes", What::WindowCloses),
    ("other-times", What::OtherTimes),
    ("open-time", What::OpenTime),
    ("pot-life", What::PotLife),
    ("wipe-soak", What::WipeSoak),
    ("wipe-within", What::WipeWithin),
    ("wipe-again-after", What::WipeAgainAfter),
    ("wipe-again-within", What::WipeAgainWithin),
    ("start-floor", What::StartFloor),
    ("start-ceiling", What::StartCeiling),
    ("start-humidity", What::StartHumidity),
    ("drying-floor", What::DryingFloor),
    ("flash-point", What::FlashPoint),
    ("volume-solids", What::VolumeSolids),
    ("first-coat-extra", What::FirstCoatExtra),
    ("density", What::Density),
    ("wet-film", What::WetFilm),
])
.meant(&[
    ("solids", "volume-solids"),
    ("film", "wet-film"),
    ("floor", "drying-floor"),
]);

/// Figures of a product that a tin's label can replace, as job files call them.
pub fn figure_words() -> impl Iterator<Item = &'static str> {
    STAGES.names().chain(OTHERS.names())
}

/// The further keys some figures take.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Drawn {
    /// From which coat a stage's time holds; `None`: for every coat.
    pub from_coat: Option<u8>,
    /// Which recoat window, counted from 0.
    pub window: Option<usize>,
    /// Which method a wet film is for.
    pub method: Option<Method>,
}

impl Drawn {
    /// Whether a figure given with these keys takes the place of one kept under `other`.
    pub(super) fn covers(self, other: Self) -> bool {
        self.from_coat.is_none_or(|coat| other.from_coat == Some(coat)) && self.window == other.window
    }
}

/// Reads the further keys that `what` takes: `from_coat` of a stage (left out: every coat), `window` of a
/// window's ends, `method` of a wet film.
pub(super) fn draw(table: &mut Table<'_>, what: What) -> Option<Drawn> {
    let mut drawn = Drawn::default();
    match what {
        What::Stage(_) => {
            if let Some(value) = table.may("from_coat") {
                drawn.from_coat = u8::try_from(value.whole_within(1..=50)?.value).ok();
            }
        }
        What::WindowOpens | What::WindowCloses => {
            let number = table.need("window").and_then(|value| value.whole_within(1..=20))?;
            drawn.window = Some(number.value as usize - 1);
        }
        What::WetFilm => {
            drawn.method = Some(table.need("method").and_then(|value| value.word(&METHODS))?.value);
        }
        _ => {}
    }
    Some(drawn)
}

/// Every figure in the product's recoat windows, as what and the window's index.
pub(super) fn window_times(product: &Product) -> Vec<(What, usize)> {
    let mut times = Vec::new();
    for (index, window) in product.windows.iter().enumerate() {
        if matches!(window.opens, Opening::After(_)) {
            times.push((What::WindowOpens, index));
        }
        if window.closes.is_some() {
            times.push((What::WindowCloses, index));
        }
    }
    times
}

impl What {
    /// The figure a word stands for.
    pub(super) fn named(word: &str) -> Option<Self> {
        STAGES.get(word).map(Self::Stage).or_else(|| OTHERS.get(word))
    }

    /// The nearest word that stands for a figure.
    pub(super) fn nearest(word: &str) -> Option<&'static str> {
        STAGES.nearest(word).or_else(|| OTHERS.nearest(word))
    }

    /// Every word, for reading.
    pub(super) fn listed() -> String {
        format!("a stage: {}; or {}", STAGES.listed(), OTHERS.listed())
    }

    /// The word a file uses.
    pub(super) fn word(self) -> &'static str {
        let word = match self {
            Self::Stage(stage) => STAGES.word_for(stage),
            other => OTHERS.word_for(other),
        };
        word.unwrap_or("figure")
    }

    /// Whether it is a drying time, stated for some air.
    pub(super) const fn is_drying(self) -> bool {
        matches!(
            self,
            Self::Stage(_) | Self::WindowOpens | Self::WindowCloses | Self::OtherTimes
        )
    }

    /// The unit it is written in; `None`: no figure goes with it.
    pub(super) const fn unit(self, temperature: TemperatureUnit) -> Option<FigureUnit> {
        Some(match self {
            Self::OtherTimes => return None,
            Self::StartFloor | Self::StartCeiling | Self::DryingFloor | Self::FlashPoint => match temperature {
                TemperatureUnit::Celsius => FigureUnit::Celsius,
                TemperatureUnit::Fahrenheit => FigureUnit::Fahrenheit,
            },
            Self::StartHumidity | Self::VolumeSolids | Self::FirstCoatExtra => FigureUnit::Percent,
            Self::Density => FigureUnit::KilogramsPerLitre,
            Self::WetFilm => FigureUnit::Micrometres,
            _ => FigureUnit::Minutes,
        })
    }

    /// Puts a figure in its place in the product.
    pub(super) fn put(self, product: &mut Product, figure: &Figure, drawn: &Drawn) -> Result<(), Refusal> {
        let own = Some(figure.clone());
        match self {
            Self::Stage(stage) => put_stage(product, stage, figure, drawn.from_coat),
            Self::WindowOpens | Self::WindowCloses => return self.put_window(product, figure, drawn.window),
            Self::WipeSoak | Self::WipeWithin | Self::WipeAgainAfter | Self::WipeAgainWithin => {
                let refusal = || {
                    Refusal::new(
                        "is not wiped off",
                        "wipe figures of products that are flooded on and wiped off",
                    )
                };
                self.put_wipe(product.wipe.as_mut().ok_or_else(refusal)?, figure);
            }
            Self::OtherTimes => {}
            Self::OpenTime => product.open_time = own,
            Self::PotLife => product.pot_life = own,
            Self::StartFloor => product.start_floor = own,
            Self::StartCeiling => product.start_ceiling = own,
            Self::StartHumidity => product.start_humidity = own,
            Self::DryingFloor => product.drying_floor = own,
            Self::FlashPoint => product.flash_point = own,
            Self::VolumeSolids => product.volume_solids = own,
            Self::FirstCoatExtra => product.first_coat_extra = own,
            Self::Density => product.density = own,
            Self::WetFilm => {
                if let Some(method) = drawn.method {
                    product.wet_film.insert(method, figure.clone());
                }
            }
        }
        Ok(())
    }

    fn put_window(self, product: &mut Product, figure: &Figure, index: Option<usize>) -> Result<(), Refusal> {
        let count = product.windows.len();
        let Some(window) = index.and_then(|index| product.windows.get_mut(index)) else {
            return Err(Refusal::new(
                "has no such recoat window",
                format!("`window` from 1 to {count}"),
            ));
        };
        if self == Self::WindowOpens {
            window.opens = Opening::After(figure.clone());
        } else if window.closes.is_some() {
            window.closes = Some(figure.clone());
        } else {
            return Err(Refusal::new(
                "may always be coated again in its last window",
                "an end for a window that has one",
            ));
        }
        Ok(())
    }

    fn put_wipe(self, wipe: &mut Wipe, figure: &Figure) {
        let own = figure.clone();
        match self {
            Self::WipeSoak => wipe.soak = own,
            Self::WipeWithin => wipe.within = own,
            Self::WipeAgainAfter => wipe.again_after = Some(own),
            Self::WipeAgainWithin => wipe.again_within = Some(own),
            _ => {}
        }
    }
}

/// Without a coat number the figure holds for every coat; with one it takes the place of, or joins, that rung.
fn put_stage(product: &mut Product, stage: Stage, figure: &Figure, from_coat: Option<u8>) {
    product
        .stages
        .retain(|rung| rung.stage != stage || from_coat.is_some_and(|coat| rung.from_coat != coat));
    let rung = StageTime {
        stage,
        from_coat: from_coat.unwrap_or(1),
        minutes: figure.clone(),
    };
    product.stages.push(rung);
    product.stages.sort_by_key(|rung| (rung.stage, rung.from_coat));
}
