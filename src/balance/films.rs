//! Which film of the moisture table a product lays.
//!
//! Invariant: a product is matched by its mechanism and its own words; where the table has only a near
//! relative that is said, and where it has none the film is unknown.

use crate::finish::{Mechanism, Product};
use crate::job::Job;
use crate::science::Evidence;
use crate::science::exclusion::{self, Exclusion, Finish};
use serde::Serialize;

/// Some coats of one film on a face.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FilmCoats {
    /// Its name in the table.
    pub finish: &'static str,
    /// Coats.
    pub coats: u32,
    /// Per cent of the moisture kept out after 1, 7 and 14 days; `null` where the table has no row.
    pub excludes_percent: Option<[f64; 3]>,
    /// How far that was checked.
    pub evidence: Option<Evidence>,
    /// Why another film stands in, where one does.
    pub stands_in: Option<&'static str>,
    /// The row.
    #[serde(skip)]
    pub row: Option<&'static Exclusion>,
}

/// The films of one face.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct FaceFilms {
    /// Coats in all.
    pub coats: u32,
    /// Products in order.
    pub products: Vec<String>,
    /// By film.
    pub films: Vec<FilmCoats>,
    /// Products whose film the table does not have.
    pub unknown: Vec<String>,
}

/// The film of the table a product lays, and why another stands in.
pub fn film_of(product: &Product) -> Option<(Finish, Option<&'static str>)> {
    let text = format!("{} {} {}", product.id, product.name, product.family).to_lowercase();
    let says = |words: &[&str]| words.iter().any(|word| text.contains(word));
    // whole words: shellac is dewaxed and hardwax is an oil
    let is = |word: &str| {
        text.split(|letter: char| !letter.is_alphanumeric())
            .any(|one| one == word)
    };
    let family = product.family.to_lowercase();
    match product.mechanism {
        _ if is("wax") && !is("oil") => Some((Finish::PasteWax, None)),
        Mechanism::Evaporation if says(&["shellac"]) => Some((Finish::Shellac, None)),
        Mechanism::Evaporation if says(&["cellulose", "nitro", "lacquer"]) => Some((Finish::Nitrocellulose, None)),
        Mechanism::Oxidation if family.contains("oil") && !family.contains("varnish") => {
            if says(&["linseed"]) {
                Some((Finish::LinseedOil, None))
            } else if says(&["tung"]) {
                Some((Finish::TungOil, None))
            } else {
                let why = "the table has no oil-varnish blend and no hardwax oil; tung oil, the nearest, stands in";
                Some((Finish::TungOil, Some(why)))
            }
        }
        Mechanism::Oxidation if says(&["urethane"]) => Some((Finish::UrethaneVarnish, None)),
        Mechanism::Oxidation if says(&["varnish", "alkyd"]) => Some((Finish::SparVarnish, None)),
        Mechanism::Evaporation | Mechanism::Oxidation => None,
        Mechanism::Coalescence => Some((
            Finish::AcrylicLatex,
            Some("the table has no waterborne clear coat; an acrylic paint, the nearest, stands in"),
        )),
        Mechanism::TwoPack if says(&["epoxy"]) => Some((Finish::Epoxy, None)),
        Mechanism::TwoPack if says(&["urethane", "isocyanate"]) => Some((Finish::TwoPartPolyurethane, None)),
        Mechanism::TwoPack => Some((
            Finish::TwoPartPolyurethane,
            Some("the table has no acid-cured film; a two-part polyurethane stands in"),
        )),
    }
}

impl FaceFilms {
    /// The films of coats laid in this order.
    pub fn of(job: &Job, products: &[String]) -> Self {
        let mut this = Self {
            coats: products.len() as u32,
            products: products.to_vec(),
            ..Self::default()
        };
        let mut counted: Vec<(Finish, u32, Option<&'static str>)> = Vec::new();
        for id in products {
            let Some((finish, stands_in)) = job.product(id).and_then(film_of) else {
                if !this.unknown.contains(id) {
                    this.unknown.push(id.clone());
                }
                continue;
            };
            match counted.iter_mut().find(|one| one.0 == finish) {
                Some(one) => one.1 += 1,
                None => counted.push((finish, 1, stands_in)),
            }
        }
        let told = |(finish, coats, stands_in): (Finish, u32, Option<&'static str>)| {
            let row = exclusion::of(finish, coats);
            FilmCoats {
                finish: finish.name(),
                coats,
                excludes_percent: row.map(|row| row.percent),
                evidence: row.map(|row| row.evidence),
                stands_in,
                row,
            }
        };
        this.films = counted.into_iter().map(told).collect();
        this
    }

    /// The rows of the table, or `None` where a film is not in it.
    pub fn rows(&self) -> Option<Vec<&'static Exclusion>> {
        if !self.unknown.is_empty() {
            return None;
        }
        self.films.iter().map(|film| film.row).collect()
    }
}
