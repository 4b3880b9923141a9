//! What a product or a step does beside its vapour: flash, rags, hardeners, dust, residue, gloves.
//!
//! Invariant: hardeners are told by the product's own words and mechanism; where that leaves it open the
//! caution says "may" and sends to the data sheet.

use super::coats::puts_on;
use crate::dayplan::Plan;
use crate::dayplan::document::{Caution, Operation, Severity, State};
use crate::finish::{Mechanism, Method, Product};
use crate::job::Job;
use crate::science::exposure::Country;
use std::collections::BTreeSet;

pub(super) fn of(job: &Job, plan: &Plan, country: Country, found: &mut Vec<Caution>) {
    let mut seen: BTreeSet<&str> = BTreeSet::new();
    let mut vapours = false;
    for operation in plan.operations.iter().filter(|operation| puts_on(operation)) {
        let Some(product) = operation.product.as_deref().and_then(|id| job.product(id)) else {
            continue;
        };
        if !seen.insert(product.id.as_str()) {
            continue;
        }
        let used: Vec<&Operation> = uses(plan, &product.id);
        vapours |= product.mechanism != Mechanism::Coalescence || product.flash_point.is_some();
        flash(job, plan, product, &used, found);
        rags(product, &used, found);
        hardener(product, &used, country, found);
        residue(product, &used, found);
        spray(job, product, operation, &used, found);
    }
    dust(job, plan, country, found);
    if vapours {
        gear(found);
    }
}

fn uses<'a>(plan: &'a Plan, product: &str) -> Vec<&'a Operation> {
    let uses = |operation: &&Operation| puts_on(operation) && operation.product.as_deref() == Some(product);
    plan.operations.iter().filter(uses).collect()
}

fn ids(operations: &[&Operation]) -> Vec<String> {
    operations.iter().map(|operation| operation.id.clone()).collect()
}

/// Whether any of these words is in the product's name, id or family.
fn says(product: &Product, words: &[&str]) -> bool {
    let text = format!("{} {} {}", product.id, product.name, product.family).to_lowercase();
    words.iter().any(|word| text.contains(word))
}

fn flash(job: &Job, plan: &Plan, product: &Product, used: &[&Operation], found: &mut Vec<Caution>) {
    let Some(flash) = &product.flash_point else { return };
    let planned = plan.climate.iter().map(|(_, celsius, _)| *celsius);
    let lines = job.room.climate.lines.iter().map(|line| line.day.0.max(line.night.0));
    let Some(warmest) = planned.chain(lines).reduce(f64::max) else {
        return;
    };
    let sources = &job.room.ignition;
    let catches = flash.low <= warmest;
    if !catches && sources.is_empty() {
        return;
    }
    let severity = if catches && !sources.is_empty() {
        Severity::Stop
    } else {
        Severity::Warning
    };
    let gives = if catches {
        format!(
            "{} gives off vapour that can catch fire in a room of {warmest:.0} °C.",
            product.name
        )
    } else {
        format!(
            "{} burns, though this room is cooler than its flash point; a hot surface or a spray is not.",
            product.name
        )
    };
    let mend = if sources.is_empty() {
        "No flame, spark, heater or switch near it, and the air moving, until the room has cleared.".to_owned()
    } else {
        format!(
            "The room has {}: off and cold before the tin is opened, and until the room has cleared.",
            sources.join(", ")
        )
    };
    let figure = if (flash.low - flash.high).abs() < 1e-9 {
        format!("flash point {} °C", flash.low)
    } else {
        format!("flash point {} to {} °C", flash.low, flash.high)
    };
    found.push(Caution::new(
        "flash-point",
        severity,
        format!("{gives} {mend}"),
        Some(figure),
        &flash.source,
        ids(used),
    ));
}

fn rags(product: &Product, used: &[&Operation], found: &mut Vec<Caution>) {
    if !product.self_heating {
        return;
    }
    let mut days: Vec<String> = Vec::new();
    for operation in used {
        let day = operation.end.format("%a %-d %b").to_string();
        if !days.contains(&day) {
            days.push(day);
        }
    }
    let when = match days.as_slice() {
        [first, .., last] if days.len() > 5 => format!("{} days from {first} to {last}", days.len()),
        days => days.join(", "),
    };
    found.push(Caution::new(
        "oily-rags",
        Severity::Warning,
        format!(
            "End of the day ({}): rags, pads, gloves and spray filters wet with {} heat themselves and can burn hours later, with nobody there. Out of doors each one singly and weighed down, or under water in a metal tin with a tight lid; never in a heap or a bin.",
            when, product.name
        ),
        Some("within a few hours, by some accounts up to days".to_owned()),
        "fire service tip sheet on oily rags (NFPA), read; hours from secondary pages",
        ids(used),
    ));
}

fn hardener(product: &Product, used: &[&Operation], country: Country, found: &mut Vec<Caution>) {
    if product.mechanism != Mechanism::TwoPack {
        return;
    }
    let acid = says(
        product,
        &["acid", "conversion", "catalys", "catalyz", "precat", "pre-cat"],
    );
    let urethane = says(product, &["urethane", "isocyanate", "2k", "polyurethane"]);
    if urethane || !acid {
        let may = if urethane {
            "carries"
        } else {
            "may carry (look at its data sheet)"
        };
        let figure = match country {
            Country::GreatBritain => "0.02 mg/m³ over eight hours, 0.07 over fifteen minutes, as NCO (EH40, recalled)",
            Country::UnitedStates => "hexamethylene di-isocyanate 0.005 ppm, ceiling 0.02 ppm (NIOSH, recalled)",
        };
        found.push(Caution::new(
            "isocyanate",
            Severity::Stop,
            format!(
                "The hardener of {} {may} isocyanates, which sensitise for life; filter masks are not enough for spray. Sprayed only in an enclosed, extracted space with air-fed apparatus, kept on until the measured clearance time has passed, under licensed practice and health surveillance.",
                product.name
            ),
            Some(figure.to_owned()),
            "HSE guidance on isocyanate spraying (read: air-fed apparatus, assigned protection factor at least 20)",
            ids(used),
        ));
    }
    if acid || !urethane {
        let may = if acid {
            "gives off"
        } else {
            "may give off (look at its data sheet)"
        };
        let figure = match country {
            Country::GreatBritain => "2 ppm (EH40, recalled)",
            Country::UnitedStates => {
                "0.75 ppm over eight hours, 2 ppm over fifteen minutes (29 CFR 1910.1048, recalled)"
            }
        };
        found.push(Caution::new(
            "formaldehyde",
            Severity::Warning,
            format!(
                "{} {may} formaldehyde while it cures, most in the first day and some for weeks: air the drying room too, and do not sleep near it.",
                product.name
            ),
            Some(figure.to_owned()),
            "recalled; trade pages on acid-catalysed finishes",
            ids(used),
        ));
    }
}

fn residue(product: &Product, used: &[&Operation], found: &mut Vec<Caution>) {
    let cellulose = product.mechanism == Mechanism::Evaporation && says(product, &["cellulose", "nitro", "lacquer"]);
    if !cellulose {
        return;
    }
    found.push(Caution::new(
        "lacquer-residue",
        Severity::Warning,
        format!(
            "Dried residue, overspray and sanding dust of {} burn fiercely. Scrape with tools that do not spark, wet it, and take it out in a covered metal bin the same day; never mix it with oil-wet rags or dust.",
            product.name
        ),
        None,
        "29 CFR 1910.107(g), recalled",
        ids(used),
    ));
}

fn spray(job: &Job, product: &Product, operation: &Operation, used: &[&Operation], found: &mut Vec<Caution>) {
    if job.method_of(&product.id, operation.step) != Method::Spray || product.flash_point.is_none() {
        return;
    }
    found.push(Caution::new(
        "spray",
        Severity::Warning,
        format!(
            "Spraying {} makes a mist that burns well below its flash point: an extracted booth away from other work, no hot surface or ordinary switch near, everything earthed.",
            product.name
        ),
        Some("other work 3 ft (0.9 m) away or partitioned; open electrics 20 ft (6 m) away".to_owned()),
        "29 CFR 1910.107(b) and (c), read in a booth builder's summary",
        ids(used),
    ));
}

fn dust(job: &Job, plan: &Plan, country: Country, found: &mut Vec<Caution>) {
    let dusty: Vec<&Operation> = plan
        .operations
        .iter()
        .filter(|operation| operation.dusty && operation.state != State::Skipped)
        .collect();
    if dusty.is_empty() {
        return;
    }
    let room = if job.room.dust_separated {
        "in its own room"
    } else {
        "in the room that is coated in"
    };
    let (figure, source) = match country {
        Country::GreatBritain => (
            "hardwood and mixed dust 3 mg/m³, softwood 5 mg/m³ over eight hours",
            "HSE, wood dust, read",
        ),
        Country::UnitedStates => (
            "15 mg/m³ total and 5 mg/m³ fine (OSHA, dust not otherwise regulated); 1 mg/m³ (NIOSH)",
            "OSHA, wood dust, read",
        ),
    };
    found.push(Caution::new(
        "wood-dust",
        Severity::Warning,
        format!("Sanding makes fine dust {room}; hardwood dust can cause cancer of the nose, any wood dust asthma. Extract at the tool, wear a mask for fine dust, clean up with a vacuum or wet, never with broom or air line."),
        Some(figure.to_owned()),
        source,
        Vec::new(),
    ));
    let films = plan.operations.iter().any(|operation| {
        operation.dusty && operation.film_from.is_some() && operation.product.is_none() && oily(job, plan, operation)
    });
    if films {
        found.push(Caution::new(
            "oily-dust",
            Severity::Warning,
            "Dust sanded off a fresh oil or varnish film heats itself as oily rags do: empty the extractor's bag outdoors at the end of the day.".to_owned(),
            None,
            "common practice, no source; the mechanism is that of oily rags",
            Vec::new(),
        ));
    }
}

/// Whether the film an operation works on is of a product whose rags heat themselves.
fn oily(job: &Job, plan: &Plan, operation: &Operation) -> bool {
    let laid = operation
        .film_from
        .as_ref()
        .and_then(|id| plan.operations.iter().find(|one| one.id == *id));
    let product = laid
        .and_then(|laid| laid.product.as_deref())
        .and_then(|id| job.product(id));
    product.is_some_and(|product| product.self_heating)
}

fn gear(found: &mut Vec<Caution>) {
    found.push(Caution::new(
        "cartridges",
        Severity::Note,
        "Cartridges for solvent vapour are changed by their age in use, never by smell; a filter for dust does nothing against vapour. Which one is for the data sheet and its maker to say.".to_owned(),
        Some("a common reckoning is after eight hours' use, sooner once opened and left".to_owned()),
        "common practice, no source",
        Vec::new(),
    ));
    found.push(Caution::new(
        "gloves",
        Severity::Note,
        "Gloves are for one kind of solvent: nitrile for white spirit and alcohol, butyl for ketones and esters. Thin ones let acetone through in minutes: change them when wet.".to_owned(),
        None,
        "recalled; the data sheet names the glove",
        Vec::new(),
    ));
}
