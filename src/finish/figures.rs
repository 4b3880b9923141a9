//! Every figure of a product or a schedule under the name files give it, for whoever shows or checks them.
//!
//! Invariant: a figure that is in the model is in these lists, exactly once.

use super::figure::{Conditions, Figure};
use super::figure_text::FigureUnit;
use super::product::{Opening, Product};
use super::schedule::Schedule;
use super::words::{METHODS, STAGES, STEPS};

/// One figure with its name, its unit and the air it was stated for.
#[derive(Clone, Debug, PartialEq)]
pub struct Named<'s> {
    /// Its name: the keys of the file joined, such as `dry.dust-free` or `wet_film.brush`.
    pub name: String,
    /// Its unit.
    pub unit: FigureUnit,
    /// The figure.
    pub figure: &'s Figure,
    /// The air it was stated for; `None` for waits and limits of a step that has no product.
    pub stated_at: Option<Conditions>,
}

impl Product {
    /// Every figure of the product, in the order of the file format.
    pub fn figures(&self) -> Vec<Named<'_>> {
        let mut list = List {
            stated_at: Some(self.stated_at),
            named: Vec::new(),
        };
        for rung in &self.stages {
            let word = STAGES.word_for(rung.stage).unwrap_or_default();
            let name = match rung.from_coat {
                0 | 1 => format!("dry.{word}"),
                coat => format!("dry.{word} from coat {coat}"),
            };
            list.push(name, FigureUnit::Minutes, &rung.minutes);
        }
        for (number, window) in (1..).zip(&self.windows) {
            if let Opening::After(figure) = &window.opens {
                list.push(format!("window {number} opens"), FigureUnit::Minutes, figure);
            }
            list.may(
                &format!("window {number} closes"),
                FigureUnit::Minutes,
                window.closes.as_ref(),
            );
        }
        if let Some(wipe) = &self.wipe {
            list.push("wipe.soak".to_owned(), FigureUnit::Minutes, &wipe.soak);
            list.push("wipe.within".to_owned(), FigureUnit::Minutes, &wipe.within);
            list.may("wipe.again_after", FigureUnit::Minutes, wipe.again_after.as_ref());
            list.may("wipe.again_within", FigureUnit::Minutes, wipe.again_within.as_ref());
        }
        list.may("open_time", FigureUnit::Minutes, self.open_time.as_ref());
        list.may("pot_life", FigureUnit::Minutes, self.pot_life.as_ref());
        list.may("start_floor", FigureUnit::Celsius, self.start_floor.as_ref());
        list.may("start_ceiling", FigureUnit::Celsius, self.start_ceiling.as_ref());
        list.may("start_humidity", FigureUnit::Percent, self.start_humidity.as_ref());
        list.may("drying_floor", FigureUnit::Celsius, self.drying_floor.as_ref());
        list.may("volume_solids", FigureUnit::Percent, self.volume_solids.as_ref());
        list.may("density", FigureUnit::KilogramsPerLitre, self.density.as_ref());
        for (method, figure) in &self.wet_film {
            let word = METHODS.word_for(*method).unwrap_or_default();
            list.push(format!("wet_film.{word}"), FigureUnit::Micrometres, figure);
        }
        list.may("first_coat_extra", FigureUnit::Percent, self.first_coat_extra.as_ref());
        list.may("flash_point", FigureUnit::Celsius, self.flash_point.as_ref());
        for (solvent, figure) in &self.solvents {
            list.push(format!("solvent {solvent}"), FigureUnit::Percent, figure);
        }
        list.named
    }
}

impl Schedule {
    /// Every figure of its products, then of its steps; names begin with the product or the step's place.
    pub fn figures(&self) -> Vec<Named<'_>> {
        let mut all = Vec::new();
        for product in &self.products {
            all.extend(product.figures().into_iter().map(|mut named| {
                named.name = format!("{} {}", product.id, named.name);
                named
            }));
        }
        for (number, step) in (1..).zip(&self.steps) {
            let product = step.product.as_deref().and_then(|id| self.product(id));
            let mut list = List {
                stated_at: product.map(|product| product.stated_at),
                named: Vec::new(),
            };
            let word = STEPS.word_for(step.kind).unwrap_or_default();
            let name = |key: &str| format!("step {number} {word} {key}");
            list.may(&name("stale_after"), FigureUnit::Minutes, step.stale_after.as_ref());
            list.may(&name("wait"), FigureUnit::Minutes, step.wait.as_ref());
            all.extend(list.named);
        }
        all
    }
}

struct List<'s> {
    stated_at: Option<Conditions>,
    named: Vec<Named<'s>>,
}

impl<'s> List<'s> {
    fn push(&mut self, name: String, unit: FigureUnit, figure: &'s Figure) {
        self.named.push(Named {
            name,
            unit,
            figure,
            stated_at: self.stated_at,
        });
    }

    fn may(&mut self, name: &str, unit: FigureUnit, figure: Option<&'s Figure>) {
        if let Some(figure) = figure {
            self.push(name.to_owned(), unit, figure);
        }
    }
}
