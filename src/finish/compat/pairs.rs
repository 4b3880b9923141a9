//! What goes over what: the pairs that need a wait, a barrier, or must not be.
//!
//! Invariant: a pair that is not listed is one the trade puts on without a second thought once the film
//! beneath is dry to recoat; the first line that fits a pair counts.

use super::class::Class;

/// What the trade says of a pair.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Verdict {
    /// Not at all.
    Never,
    /// Not without a barrier between.
    Barrier,
    /// Only after so many hours at room temperature; sooner, with a barrier.
    Wait {
        /// Hours.
        hours: f64,
    },
}

/// One class over another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pair {
    /// What lies beneath; `None` is anything.
    pub under: Option<Class>,
    /// What goes on; `None` is anything of another class.
    pub over: Option<Class>,
    /// What the trade says.
    pub verdict: Verdict,
    /// Why.
    pub reason: &'static str,
    /// Where it comes from.
    pub source: &'static str,
}

const fn pair(under: Class, over: Class, verdict: Verdict, reason: &'static str, source: &'static str) -> Pair {
    Pair {
        under: Some(under),
        over: Some(over),
        verdict,
        reason,
        source,
    }
}

const OVER_WATER: &str =
    "supplier tip and trade threads on waterborne over oil, read: days to a week, or a shellac between";

/// Every pair that is not plain sailing.
pub const PAIRS: &[Pair] = &[
    Pair {
        under: Some(Class::Wax),
        over: None,
        verdict: Verdict::Never,
        reason: "nothing sticks to wax: it is stripped with solvent, two or three times, before anything goes on",
        source: "forum on removing furniture wax, read; trade pages on wax polish, read",
    },
    pair(
        Class::OilStain,
        Class::Waterborne,
        Verdict::Wait { hours: 72.0 },
        "the water film gums, wrinkles and peels later over an oil that has not cured; dewaxed shellac between keeps them apart",
        OVER_WATER,
    ),
    pair(
        Class::OilFiller,
        Class::Waterborne,
        Verdict::Wait { hours: 72.0 },
        "the filler's oil must have cured before water goes over it; dewaxed shellac between keeps them apart",
        OVER_WATER,
    ),
    pair(
        Class::Oil,
        Class::Waterborne,
        Verdict::Wait { hours: 168.0 },
        "a film thinned with water gums over oil younger than a week; dewaxed shellac between keeps them apart",
        "a question and answer on gummy sealer over oil, read: a week and more, or a shellac between",
    ),
    pair(
        Class::Oil,
        Class::Lacquer,
        Verdict::Barrier,
        "lacquer's solvent lifts oil: three days at the least and dewaxed shellac between",
        "trade threads on films over oil, read",
    ),
    pair(
        Class::Oil,
        Class::Catalysed,
        Verdict::Barrier,
        "the solvent lifts oil, and the acid does not cure on it: leave oil out under a catalysed finish",
        "trade threads on films over oil, read",
    ),
    pair(
        Class::Varnish,
        Class::Lacquer,
        Verdict::Never,
        "lacquer's solvent swells and wrinkles varnish",
        "recalled; no page read",
    ),
    pair(
        Class::Varnish,
        Class::Catalysed,
        Verdict::Never,
        "the strong solvent swells and wrinkles varnish",
        "recalled; no page read",
    ),
    pair(
        Class::Shellac,
        Class::Catalysed,
        Verdict::Never,
        "a catalysed varnish lets go of shellac: it seals itself",
        "staging.woodbin.com, on conversion varnish, read: not over shellac or a stearated sanding sealer",
    ),
    pair(
        Class::Lacquer,
        Class::Catalysed,
        Verdict::Never,
        "a catalysed varnish lifts or lets go of lacquer and of sanding sealer with stearate in it: it seals itself",
        "staging.woodbin.com, on conversion varnish, read: not over shellac or a stearated sanding sealer",
    ),
    pair(
        Class::Waterborne,
        Class::Shellac,
        Verdict::Never,
        "the alcohol can lift the water film",
        "trade thread on waterborne over stain, read",
    ),
    pair(
        Class::OilStain,
        Class::Lacquer,
        Verdict::Wait { hours: 12.0 },
        "lacquer's solvent lifts a stain that is not dry",
        "recalled: 12 to 24 h; no page read",
    ),
    pair(
        Class::OilStain,
        Class::Catalysed,
        Verdict::Wait { hours: 24.0 },
        "the strong solvent lifts a stain that is not dry",
        "recalled: 12 to 24 h before lacquer, the slow end taken; no page read",
    ),
    pair(
        Class::OilFiller,
        Class::Lacquer,
        Verdict::Wait { hours: 24.0 },
        "lacquer turns a filler that is not dry grey, and lifts it",
        "recalled: 24 to 48 h before lacquer; Essentials of Woodworking (1908), section 153, read: 12 h a coat",
    ),
    pair(
        Class::WaterDye,
        Class::Waterborne,
        Verdict::Wait { hours: 8.0 },
        "water over fresh dye lifts the colour: a night between",
        "recalled: overnight; no page read",
    ),
];

/// What the trade says of one class over another; `None`: nothing, once it is dry to recoat.
pub fn pair_of(under: Class, over: Class) -> Option<&'static Pair> {
    PAIRS.iter().find(|pair| {
        let beneath = pair.under.is_none_or(|class| class == under);
        let above = match pair.over {
            Some(class) => class == over,
            None => over != under,
        };
        beneath && above
    })
}
