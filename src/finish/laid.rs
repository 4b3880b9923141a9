//! A product as this shop lays it: another film than the stated one, thinned, with a retarder.
//!
//! Invariant: laid as stated a product is unchanged; its ladder still never falls; every figure that changes says
//! so in its source and is marked computed.
//!
//! What that does to times is [`crate::science::thick`]'s and [`crate::science::volatile`]'s. Thinner also thins
//! solids and density, adds to what the room has to take, and may lower the flash point.

use super::figure::{Figure, Status};
use super::ladder::{coat_numbers, height};
use super::product::{Mechanism, Method, Opening, Product, Stage};
use crate::science::drying::Worth;
use crate::science::thick::{Laid, Through, stretch};
use crate::science::vapour;
use crate::science::volatile::{Volatile, find, retarded};
use crate::units::{Percent, Refusal};

/// How a product is laid, where that is not as stated.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct LaidAs {
    /// The wet film, in µm, and how it is put on.
    pub film: Option<(Method, f64)>,
    /// Thinner: parts to 100 parts of product by volume, and what it is.
    pub thinned: Option<(f64, &'static Volatile)>,
    /// Retarder: the same.
    pub retarder: Option<(f64, &'static Volatile)>,
}

impl LaidAs {
    /// What is added to one part of product.
    fn added(&self) -> impl Iterator<Item = (f64, &'static Volatile)> {
        [self.thinned, self.retarder]
            .into_iter()
            .flatten()
            .map(|(parts, what)| (parts / 100.0, what))
    }
}

impl Product {
    /// The product as it is laid.
    ///
    /// # Errors
    /// Where the product does not give what the change is measured against, or a retarder retards nothing in it.
    pub fn laid_as(&self, how: &LaidAs) -> Result<Self, Refusal> {
        let parts: f64 = how.added().map(|(parts, _)| parts).sum();
        let laid = Laid {
            wet_share: how.film.map_or(Ok(1.0), |(method, film)| self.share_of(method, film))?,
            thinner: parts,
        };
        let solids = self.volume_solids.as_ref();
        let solids = solids.map(|solids| (Percent(solids.low), Percent(solids.high)));
        let through = match self.mechanism {
            Mechanism::Evaporation | Mechanism::Coalescence => Through::Solvent,
            Mechanism::Oxidation => Through::Oxygen,
            Mechanism::TwoPack => Through::Reaction,
        };
        let stretch = stretch(laid, solids, through).ok_or_else(|| {
            Refusal::new(
                "gives no volume solids below 100 %",
                "a [[figure]] with its volume-solids first; without them nobody knows what thinner does",
            )
        })?;
        let held = self.held_back(how, parts)?;
        let times = |worth: Worth| Worth {
            slow: worth.slow * held.slow,
            fast: worth.fast * held.fast,
        };
        let (surface, through) = (times(stretch.surface), times(stretch.through));
        let note = how.note();
        let mut product = self.clone();
        for rung in &mut product.stages {
            let early = rung.stage <= Stage::DryToTouch;
            stretched(&mut rung.minutes, if early { surface } else { through }, &note);
        }
        for window in &mut product.windows {
            if let Opening::After(figure) = &mut window.opens {
                stretched(figure, through, &note);
            }
            if let Some(closes) = &mut window.closes {
                stretched(closes, through, &note);
            }
        }
        if let Some(open) = &mut product.open_time {
            stretched(open, surface, &note);
        }
        product.keep_order();
        product.thin(how, parts, &note);
        Ok(product)
    }

    /// The film over the stated one: one inside the stated range is as stated.
    fn share_of(&self, method: Method, film: f64) -> Result<f64, Refusal> {
        let stated = self.wet_film.get(&method).ok_or_else(|| {
            Refusal::new(
                format!("states no wet film by {method}"),
                "a method its films are stated for, or a [[figure]] with that wet-film first",
            )
        })?;
        Ok(if film > stated.high && stated.high > 0.0 {
            film / stated.high
        } else if film < stated.low {
            film / stated.low
        } else {
            1.0
        })
    }

    /// What a retarder does to its times.
    fn held_back(&self, how: &LaidAs, parts: f64) -> Result<Worth, Refusal> {
        let Some((of_hundred, retarder)) = how.retarder.filter(|(parts, _)| *parts > 0.0) else {
            return Ok(Worth { slow: 1.0, fast: 1.0 });
        };
        let cures = || {
            Refusal::new(
                "cures; a retarder holds back what evaporates, not that",
                "a retarder in a product that dries by evaporation or by water leaving",
            )
        };
        let leading = match self.mechanism {
            Mechanism::Evaporation => self.leading_solvent.as_deref().and_then(find),
            Mechanism::Coalescence => find("water"),
            Mechanism::Oxidation | Mechanism::TwoPack => None,
        };
        let leading = leading.ok_or_else(cures)?;
        let solids = self.volume_solids.as_ref().map_or(0.0, |solids| solids.low);
        let solvent = 100.0 - solids + 100.0 * parts;
        retarded(100.0 * of_hundred / solvent, leading, retarder).ok_or_else(cures)
    }

    /// Raises what a change of film would put before a rung below it.
    fn keep_order(&mut self) {
        for coat in coat_numbers(self) {
            let mut low = [0.0_f64; 16];
            let mut high = [0.0_f64; 16];
            let mut stages: Vec<Stage> = self.stages.iter().map(|rung| rung.stage).collect();
            stages.sort_by_key(|stage| height(*stage));
            stages.dedup();
            for stage in stages {
                let at = usize::from(height(stage)).min(15);
                let rung = self
                    .stages
                    .iter_mut()
                    .filter(|rung| rung.stage == stage && rung.from_coat <= coat)
                    .max_by_key(|rung| rung.from_coat);
                let Some(rung) = rung else { continue };
                let below = |ends: &[f64; 16]| ends.iter().take(at).copied().fold(0.0, f64::max);
                rung.minutes.low = rung.minutes.low.max(below(&low));
                rung.minutes.high = rung.minutes.high.max(below(&high));
                if let (Some(low), Some(high)) = (low.get_mut(at), high.get_mut(at)) {
                    (*low, *high) = (low.max(rung.minutes.low), high.max(rung.minutes.high));
                }
            }
        }
    }

    /// Solids, density, film, solvents and flash point with what was added.
    fn thin(&mut self, how: &LaidAs, parts: f64, note: &str) {
        if let Some((method, film)) = how.film
            && let Some(stated) = self.wet_film.get_mut(&method)
        {
            *stated = Figure {
                low: film,
                high: film,
                status: Status::Label,
                source: "as laid in this shop".to_owned(),
            };
        }
        if parts <= 0.0 {
            return;
        }
        if let Some(solids) = &mut self.volume_solids {
            let less = 1.0 / (1.0 + parts);
            stretched(solids, Worth { slow: less, fast: less }, note);
        }
        for (_, what) in how.added().filter(|(parts, _)| *parts > 0.0) {
            let flash = vapour::find(what.name).map(|substance| substance.flash.value);
            if let (Some(own), Some(flash)) = (&mut self.flash_point, flash)
                && flash < own.low
            {
                own.low = flash;
                own.status = Status::Computed;
                own.source = format!("{}; no higher than that of {}: {note}", own.source, what.name);
            }
        }
        let added: f64 = how.added().map(|(parts, what)| parts * what.density).sum();
        let Some(density) = &mut self.density else { return };
        let (light, heavy) = (density.low, density.high);
        for (_, share) in &mut self.solvents {
            let kept = |density: f64| density / (density + added);
            let worth = Worth {
                slow: kept(heavy),
                fast: kept(light),
            };
            stretched(share, worth, note);
        }
        for (parts, what) in how.added().filter(|(parts, _)| *parts > 0.0) {
            let share = |density: f64| 100.0 * parts * what.density / (density + added);
            let (low, high) = (share(heavy), share(light));
            match self.solvents.iter_mut().find(|(name, _)| name == what.name) {
                Some((_, there)) => {
                    there.low += low;
                    there.high += high;
                }
                None => self.solvents.push((
                    what.name.to_owned(),
                    Figure {
                        low,
                        high,
                        status: Status::Computed,
                        source: note.to_owned(),
                    },
                )),
            }
        }
        density.low = (light + added) / (1.0 + parts);
        density.high = (heavy + added) / (1.0 + parts);
        density.status = Status::Computed;
        density.source = format!("{}; {note}", density.source);
    }
}

impl LaidAs {
    /// How it is laid, for the source of the figures that follow from it.
    fn note(&self) -> String {
        let mut words = Vec::new();
        if let Some((method, film)) = self.film {
            words.push(format!("{film} µm wet by {method}"));
        }
        if let Some((parts, what)) = self.thinned {
            words.push(format!("thinned with {parts} parts of {} to 100", what.name));
        }
        if let Some((parts, what)) = self.retarder {
            words.push(format!("{parts} parts of {} to 100 as a retarder", what.name));
        }
        format!("as laid here: {}", words.join(", "))
    }
}

/// A figure times what a change makes of it, low by fast and high by slow; unchanged by factors of one.
fn stretched(figure: &mut Figure, by: Worth, note: &str) {
    if (by.slow - 1.0).abs() < 1e-12 && (by.fast - 1.0).abs() < 1e-12 {
        return;
    }
    figure.low *= by.fast;
    figure.high *= by.slow;
    figure.status = Status::Computed;
    figure.source = format!("{}; {note}", figure.source);
}
