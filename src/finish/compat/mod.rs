//! Compatibility, in one place: what goes over what, on which timber, where, and how thick.
//!
//! Invariant: pure data and questions about it; a finding states its reason and where it comes from, and the
//! standing line (label, safety data sheet, local codes, licensed practice) is for whoever shows it.

mod class;
mod pairs;

pub use class::Class;
pub use pairs::{PAIRS, Pair, Verdict, pair_of};

use super::grit::Scale;
use super::product::{Opening, Product, RecoatWindow};
use super::schedule::{Schedule, Step, StepKind};

/// How heavily a finding weighs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Weight {
    /// Good to know.
    Note,
    /// Likely to cost work.
    Warning,
    /// Costs the work.
    Stop,
}

/// Something that does not go together, or only with care.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// What it is about, in kebab-case.
    pub code: &'static str,
    /// How heavily it weighs.
    pub weight: Weight,
    /// What and why.
    pub text: String,
    /// The figure it rests on.
    pub figure: Option<String>,
    /// Where it comes from.
    pub source: &'static str,
    /// The pieces it is about.
    pub refers: Vec<String>,
}

/// A schedule and the pieces that get it.
#[derive(Clone, Debug)]
pub struct Worn<'a> {
    /// The schedule.
    pub schedule: &'a Schedule,
    /// Ids of the pieces.
    pub pieces: Vec<String>,
    /// Ids of those that get it on a surface inside a closed drawer or case.
    pub inside: Vec<String>,
    /// Id and timber of those of an oily timber.
    pub oily: Vec<(String, String)>,
    /// Ids of those that get it beside a surface with another finish, or beside a dovetail.
    pub beside: Vec<String>,
}

const PRACTICE: &str = "common practice, no source";

/// Timbers whose extractives come back to the surface and keep oils and varnish from drying. The list is
/// recalled; the rule was read in magazine, restorers' and blog pages on oily woods.
pub const OILY_TIMBERS: [&str; 12] = [
    "teak",
    "rosewood",
    "cocobolo",
    "ipe",
    "iroko",
    "afrormosia",
    "ebony",
    "lignum vitae",
    "bocote",
    "bubinga",
    "padauk",
    "olive",
];

/// Whether a timber is an oily one.
pub fn is_oily(material: &str) -> bool {
    let material = material.to_lowercase();
    let words: Vec<&str> = material.split(|letter: char| !letter.is_alphabetic()).collect();
    OILY_TIMBERS
        .iter()
        .any(|timber| words.contains(timber) || timber.contains(' ') && material.contains(timber))
}

/// Everything that does not go together.
pub fn problems(worn: &[Worn<'_>]) -> Vec<Finding> {
    let mut found = Vec::new();
    for one in worn {
        over_each_other(one, &mut found);
        wool(one, &mut found);
        inside(one, &mut found);
        oily(one, &mut found);
        thick(one, &mut found);
        starved(one, &mut found);
        creeps(one, &mut found);
        sheen(one, &mut found);
    }
    wool_in_the_room(worn, &mut found);
    found
}

/// The films of a schedule in order, loose and assembled.
fn films(schedule: &Schedule) -> Vec<(&Step, &Product, Class)> {
    let lays = |step: &&Step| {
        Schedule::is_coat(step.kind) || matches!(step.kind, StepKind::Fill | StepKind::Colour | StepKind::Wax)
    };
    let each = schedule.steps.iter().filter(lays).filter_map(|step| {
        let product = step.product.as_deref().and_then(|id| schedule.product(id))?;
        Some((step, product, Class::of(product, step.kind)))
    });
    each.collect()
}

fn over_each_other(worn: &Worn<'_>, found: &mut Vec<Finding>) {
    let films = films(worn.schedule);
    for (beneath, next) in films.iter().zip(films.iter().skip(1)) {
        let (_, under, lower) = beneath;
        let (_, over, upper) = next;
        let Some(pair) = pair_of(*lower, *upper).filter(|_| under.id != over.id) else {
            continue;
        };
        let (weight, figure) = match pair.verdict {
            Verdict::Never => (Weight::Stop, None),
            Verdict::Barrier => (Weight::Warning, None),
            Verdict::Wait { hours } if opens(under, &over.id).is_some_and(|given| given >= hours * 60.0) => continue,
            Verdict::Wait { hours } => (Weight::Warning, Some(format!("{hours:.0} h"))),
        };
        let text = format!(
            "{}: {} over {}: {}.",
            worn.schedule.name, over.name, under.name, pair.reason
        );
        push(
            found,
            ("over-each-other", weight),
            text,
            figure,
            pair.source,
            worn.pieces.clone(),
        );
    }
}

/// The minutes after which the schedule lets the next product on (slow estimate, stated conditions).
fn opens(under: &Product, over: &str) -> Option<f64> {
    let fits = |window: &&RecoatWindow| window.next.as_deref().unwrap_or(&under.id) == over;
    let window = under.windows.iter().find(fits)?;
    match &window.opens {
        Opening::Stage(stage) => under.slow_minutes(*stage, 1),
        Opening::After(figure) => Some(figure.high),
    }
}

fn has(schedule: &Schedule, class: Class) -> bool {
    films(schedule).iter().any(|(_, _, one)| *one == class)
}

fn uses_wool(schedule: &Schedule) -> bool {
    let grits = schedule.steps.iter().filter_map(|step| step.grit);
    grits.into_iter().any(|grit| grit.grade.scale == Scale::Wool)
}

fn wool(worn: &Worn<'_>, found: &mut Vec<Finding>) {
    if uses_wool(worn.schedule) && has(worn.schedule, Class::Waterborne) {
        let text = format!(
            "{}: steel wool before or between coats thinned with water leaves specks that rust; take a non-woven pad or fine paper.",
            worn.schedule.name
        );
        push(
            found,
            ("wool-under-water", Weight::Stop),
            text,
            None,
            PRACTICE,
            worn.pieces.clone(),
        );
    }
}

/// Wool dust from one finish settles on the wet water film of another.
fn wool_in_the_room(worn: &[Worn<'_>], found: &mut Vec<Finding>) {
    let wool: Vec<&Worn<'_>> = worn.iter().filter(|one| uses_wool(one.schedule)).collect();
    let water = worn.iter().filter(|one| has(one.schedule, Class::Waterborne));
    let water = water
        .filter(|one| !uses_wool(one.schedule))
        .flat_map(|one| one.pieces.iter().cloned());
    let water: Vec<String> = water.collect();
    if let (Some(first), false) = (wool.first(), water.is_empty()) {
        let text = format!(
            "{} is rubbed with steel wool in the same room as work thinned with water: sweep and vacuum first, its dust rusts in the film.",
            first.schedule.name
        );
        push(found, ("wool-in-the-room", Weight::Note), text, None, PRACTICE, water);
    }
}

fn inside(worn: &Worn<'_>, found: &mut Vec<Finding>) {
    if worn.inside.is_empty() {
        return;
    }
    if let Some((_, product, _)) = films(worn.schedule).iter().find(|(_, _, class)| class.takes_oxygen()) {
        let text = format!(
            "{} goes inside a closed drawer or case: it cures with the air's oxygen and smells there for months. Shellac, a water film, wax or nothing does not; smell it before it is closed.",
            product.name
        );
        let source = "forum threads on drawer interiors and a supplier's tip on enclosed spaces, read";
        push(
            found,
            ("oil-inside", Weight::Warning),
            text,
            None,
            source,
            worn.inside.clone(),
        );
    }
}

fn oily(worn: &Worn<'_>, found: &mut Vec<Finding>) {
    let films = films(worn.schedule);
    let Some((_, first, class)) = films.first() else { return };
    if worn.oily.is_empty() || *class == Class::Shellac {
        return;
    }
    let mut timbers: Vec<&str> = worn.oily.iter().map(|(_, timber)| timber.as_str()).collect();
    timbers.sort_unstable();
    timbers.dedup();
    let text = format!(
        "{} is an oily timber: under {} its own oil comes back and keeps the film tacky for days or weeks. Wipe it with solvent, and within minutes seal it with one or two thin coats of dewaxed shellac.",
        timbers.join(", "),
        first.name
    );
    let source = "magazine, restorers' and blog pages on oily woods, read; which timbers are oily is recalled";
    let pieces = worn.oily.iter().map(|(piece, _)| piece.clone()).collect();
    push(found, ("oily-timber", Weight::Warning), text, None, source, pieces);
}

/// The dry film of all coats of one class, against the most it bears: wet film times volume solids.
fn thick(worn: &Worn<'_>, found: &mut Vec<Finding>) {
    let films = films(worn.schedule);
    for class in [Class::Lacquer, Class::Catalysed] {
        let Some((most, source)) = class.most_film() else {
            continue;
        };
        let each = films
            .iter()
            .filter(|(step, _, one)| *one == class && Schedule::is_coat(step.kind));
        let dry = each.filter_map(|(step, product, _)| {
            let wet = product.wet_film.get(&step.method?)?;
            Some(wet.middle() * product.volume_solids.as_ref()?.middle() / 100.0)
        });
        let dry: f64 = dry.sum();
        if dry > most {
            let text = format!(
                "{} builds about {dry:.0} µm dry in all; above {most:.0} µm it cracks or crazes. Fewer or thinner coats.",
                worn.schedule.name
            );
            let figure = Some(format!("{dry:.0} of {most:.0} µm"));
            push(
                found,
                ("film-too-thick", Weight::Warning),
                text,
                figure,
                source,
                worn.pieces.clone(),
            );
        }
    }
}

/// Fine paper closes the timber to a stain. The line lies between P220 (68 µm) and P240 (58.5 µm, ISO 6344).
fn starved(worn: &Worn<'_>, found: &mut Vec<Finding>) {
    const FINEST: f64 = 60.0;
    let stained = has(worn.schedule, Class::OilStain);
    let sanded = worn.schedule.steps.iter().filter(|step| step.kind == StepKind::Sand);
    let Some(last) = sanded.filter_map(|step| step.grit).next_back().filter(|_| stained) else {
        return;
    };
    if last.grade.grain_size().is_some_and(|grain| grain < FINEST) {
        let text = format!(
            "{}: sanded to {} the timber is burnished and takes little stain; stop at P150 to P180, the same worn-ness of paper on every part.",
            worn.schedule.name, last
        );
        let source =
            "abrasives retailer's notes and trade pages on colour, read: finer than about P220 starves a stain";
        push(
            found,
            ("too-fine-for-stain", Weight::Warning),
            text,
            None,
            source,
            worn.pieces.clone(),
        );
    }
}

/// Flooded oil creeps round an edge into joints and onto what gets another finish.
fn creeps(worn: &Worn<'_>, found: &mut Vec<Finding>) {
    let floods = films(worn.schedule)
        .iter()
        .any(|(_, product, class)| *class == Class::Oil && product.wipe.is_some());
    if floods && !worn.beside.is_empty() {
        let text = "Oil creeps round edges and into pins and tails: mask what gets another finish and every dovetail, press the tape down, and wipe the edges first.".to_owned();
        push(
            found,
            ("oil-creeps", Weight::Note),
            text,
            None,
            PRACTICE,
            worn.beside.clone(),
        );
    }
}

/// Only the last coat sets the sheen.
fn sheen(worn: &Worn<'_>, found: &mut Vec<Finding>) {
    let last = films(worn.schedule)
        .into_iter()
        .rfind(|(step, _, class)| Schedule::is_coat(step.kind) && *class != Class::Oil);
    if let (Some((_, product, _)), true) = (last, worn.pieces.len() > 1) {
        let text = format!(
            "Stir {} before each coat if it is matt or satin, mix the tins for the last coat together, and put the last coat on all pieces in one go: it alone sets the sheen.",
            product.name
        );
        let source = "magazine pieces on sheen and stirring, read";
        push(
            found,
            ("one-sheen", Weight::Note),
            text,
            None,
            source,
            worn.pieces.clone(),
        );
    }
}

fn push(
    found: &mut Vec<Finding>,
    (code, weight): (&'static str, Weight),
    text: String,
    figure: Option<String>,
    source: &'static str,
    refers: Vec<String>,
) {
    found.push(Finding {
        code,
        weight,
        text,
        figure,
        source,
        refers,
    });
}
