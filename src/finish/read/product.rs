//! Reading one product of a schedule.
//!
//! Invariant: the product handed out may still break a rule; the rule it breaks has been reported.

use super::rules::{self, Places};
use crate::finish::figure::Figure;
use crate::finish::figure_text::{FigureUnit, STATUSES, figure_range};
use crate::finish::product::{Mechanism, Method, Opening, Product, RecoatWindow, Stage, StageTime, Wipe};
use crate::finish::words::{MECHANISMS, METHODS, PREPARES, STAGES};
use crate::science::solvent;
use crate::source::{Code, Extent, Found, Problem, Table, Value, nearest};
use crate::units::text::TemperatureUnit;
use std::collections::BTreeMap;

/// Coats counted by name; more than any schedule has.
const MOST_COATS: u32 = 30;

/// Reads one `[[product]]`.
pub(super) fn read(mut table: Table<'_>) -> Option<Found<Product>> {
    let extent = table.extent();
    let id = table.need("id").and_then(Value::text);
    if let Some(id) = &id {
        table.call(format!("product \"{}\"", id.value));
    }
    let name = table.need("name").and_then(Value::text);
    let family = table.need("family").and_then(Value::text);
    let mechanism = table.need("mechanism").and_then(|value| value.word(&MECHANISMS));
    let evaporates = mechanism
        .as_ref()
        .is_some_and(|mechanism| mechanism.value == Mechanism::Evaporation);
    let leading = if evaporates {
        table.need("leading_solvent").and_then(solvent_name)
    } else {
        table.may("leading_solvent").and_then(solvent_name)
    };
    let stated_at = table
        .need("stated_at")
        .and_then(|value| value.conditions(TemperatureUnit::Celsius));
    let (stages, rungs) = stages(&mut table);
    let windows: Vec<Found<RecoatWindow>> = table.tables("window").into_iter().filter_map(window).collect();
    let places = Places {
        rungs,
        windows: windows.iter().map(|window| window.extent.clone()).collect(),
    };
    let terminal = table
        .may("terminal")
        .and_then(Value::flag)
        .is_some_and(|flag| flag.value);
    let self_heating = table.need("self_heating").and_then(Value::flag);
    let must_reach = table.may("must_reach").and_then(|value| value.word(&STAGES));
    let wipe = table.may_table("wipe").and_then(wipe);
    let mut figure = |key, unit| figure(&mut table, key, unit);
    let open_time = figure("open_time", FigureUnit::Minutes);
    let start_floor = figure("start_floor", FigureUnit::Celsius);
    let start_ceiling = figure("start_ceiling", FigureUnit::Celsius);
    let start_humidity = figure("start_humidity", FigureUnit::Percent);
    let drying_floor = figure("drying_floor", FigureUnit::Celsius);
    let volume_solids = figure("volume_solids", FigureUnit::Percent);
    let density = figure("density", FigureUnit::KilogramsPerLitre);
    let first_coat_extra = figure("first_coat_extra", FigureUnit::Percent);
    let flash_point = figure("flash_point", FigureUnit::Celsius);
    let pot_life = figure("pot_life", FigureUnit::Minutes);
    let wet_film = wet_films(&mut table);
    let solvents = solvents(&mut table);
    let product = Product {
        id: id?.value,
        name: name?.value,
        family: family?.value,
        mechanism: mechanism?.value,
        leading_solvent: leading,
        stated_at: stated_at?.value,
        stages,
        windows: windows.into_iter().map(|window| window.value).collect(),
        terminal,
        wipe,
        open_time,
        start_floor,
        start_ceiling,
        start_humidity,
        drying_floor,
        must_reach: must_reach.map(|stage| stage.value),
        volume_solids,
        density,
        wet_film,
        first_coat_extra,
        solvents,
        flash_point,
        self_heating: self_heating?.value,
        pot_life,
    };
    rules::check(&product, &table, &places);
    Some(Found { value: product, extent })
}

fn figure(table: &mut Table<'_>, key: &'static str, unit: FigureUnit) -> Option<Figure> {
    Some(table.may(key)?.figure(unit)?.value)
}

/// A figure whose keys stand in a table beside other keys.
fn figure_in(table: &mut Table<'_>, unit: FigureUnit) -> Option<Figure> {
    let range = figure_range(table, unit);
    let status = table.need("status").and_then(|value| value.word(&STATUSES));
    let source = table.need("source").and_then(Value::text);
    let (low, high) = range?;
    Some(Figure {
        low,
        high,
        status: status?.value,
        source: source?.value,
    })
}

/// The ladder: `dry.STAGE` is one figure, or a list of them with the coat each holds from.
fn stages(table: &mut Table<'_>) -> (Vec<StageTime>, Vec<(Stage, Extent)>) {
    let mut rungs: Vec<StageTime> = Vec::new();
    let mut places: Vec<(Stage, Extent)> = Vec::new();
    let Some(mut dry) = table.need_table("dry") else {
        return (rungs, places);
    };
    dry.call("`dry`");
    for stage in Stage::ALL {
        let Some(value) = STAGES.word_for(stage).and_then(|word| dry.may(word)) else {
            continue;
        };
        places.push((stage, value.extent()));
        if !value.is_list() {
            rungs.extend(value.figure(FigureUnit::Minutes).map(|found| StageTime {
                stage,
                from_coat: 1,
                minutes: found.value,
            }));
            continue;
        }
        for mut row in value.tables() {
            let extent = row.extent();
            let from_coat = row
                .need("from_coat")
                .and_then(|value| value.whole_within(1..=MOST_COATS));
            let minutes = figure_in(&mut row, FigureUnit::Minutes);
            let (Some(from_coat), Some(minutes)) = (from_coat, minutes) else {
                continue;
            };
            let from_coat = from_coat.value as u8;
            let same = |rung: &StageTime| rung.stage == stage && rung.from_coat == from_coat;
            if rungs.iter().any(same) {
                let message = format!("{stage} is given twice from coat {from_coat} on");
                let problem = Problem::new(Code::StageTwice, message).at(extent, "the second time");
                row.problems()
                    .push(problem.accepts("one time for each stage and coat number"));
                continue;
            }
            rungs.push(StageTime {
                stage,
                from_coat,
                minutes,
            });
        }
    }
    rungs.sort_by_key(|rung| (rung.stage, rung.from_coat));
    (rungs, places)
}

fn window(mut table: Table<'_>) -> Option<Found<RecoatWindow>> {
    let extent = table.extent();
    table.call("the window");
    let next = table.may("next").and_then(Value::text);
    let opens = table.need("opens").and_then(|value| {
        if value.is_table() {
            let figure = value.figure(FigureUnit::Minutes)?;
            return Some(Opening::After(figure.value));
        }
        Some(Opening::Stage(value.word(&STAGES)?.value))
    });
    let closes = table.may("closes").and_then(|value| value.figure(FigureUnit::Minutes));
    let prepare = table.need("prepare").and_then(|value| value.word(&PREPARES));
    Some(Found {
        value: RecoatWindow {
            next: next.map(|next| next.value),
            opens: opens?,
            closes: closes.map(|closes| closes.value),
            prepare: prepare?.value,
        },
        extent,
    })
}

fn wipe(mut table: Table<'_>) -> Option<Wipe> {
    let mut need = |key| table.need(key).and_then(|value| value.figure(FigureUnit::Minutes));
    let (soak, within) = (need("soak"), need("within"));
    let again_after = figure(&mut table, "again_after", FigureUnit::Minutes);
    let again_within = figure(&mut table, "again_within", FigureUnit::Minutes);
    let (soak, within) = (soak?, within?);
    let backwards = soak.value.low > within.value.low;
    if backwards {
        let problem = Problem::new(Code::WipeOrder, "the excess must be off before it has soaked")
            .at(within.extent.clone(), "too early")
            .at(soak.extent.clone(), "the shortest soak");
        table.problems().push(problem.accepts("`within` not below `soak`"));
    }
    if let (Some(after), Some(limit)) = (&again_after, &again_within)
        && after.low > limit.low
    {
        let problem = Problem::new(Code::WipeOrder, "the second wipe must be done before it is due")
            .at(table.extent(), "these limits");
        table
            .problems()
            .push(problem.accepts("`again_within` not below `again_after`"));
    }
    Some(Wipe {
        soak: soak.value,
        within: within.value,
        again_after,
        again_within,
    })
}

fn wet_films(table: &mut Table<'_>) -> BTreeMap<Method, Figure> {
    let mut films = BTreeMap::new();
    let Some(mut table) = table.may_table("wet_film") else {
        return films;
    };
    for method in [Method::Brush, Method::Wipe, Method::Pad, Method::Spray] {
        let value = METHODS.word_for(method).and_then(|word| table.may(word));
        if let Some(figure) = value.and_then(|value| value.figure(FigureUnit::Micrometres)) {
            films.insert(method, figure.value);
        }
    }
    films
}

fn solvents(table: &mut Table<'_>) -> Vec<(String, Figure)> {
    let mut shares = Vec::new();
    for mut row in table.tables("solvent") {
        row.call("the solvent");
        let name = row.need("name").and_then(solvent_name);
        let share = figure_in(&mut row, FigureUnit::Percent);
        shares.extend(name.zip(share));
    }
    let least: f64 = shares.iter().map(|(_, share): &(String, Figure)| share.low).sum();
    if least > 100.0 {
        let message = format!("the solvents are at least {least} % of the product");
        let problem = Problem::new(Code::SolventsOver, message).at(table.extent(), "this product");
        table
            .problems()
            .push(problem.accepts("shares of its mass, 100 % at most"));
    }
    shares
}

fn solvent_name(value: Value<'_>) -> Option<String> {
    let found = value.text()?.value;
    if solvent::find(&found).is_some() {
        return Some(found);
    }
    let names = || solvent::all().iter().map(|solvent| solvent.name);
    let listed: Vec<String> = names().map(|name| format!("`{name}`")).collect();
    value.refuse(
        Problem::new(
            Code::SolventUnknown,
            format!("the vapour pressure of `{found}` is not known here"),
        )
        .accepts(listed.join(", "))
        .nearest(nearest(&found, names()).map(ToOwned::to_owned)),
    );
    None
}

/// Where a product stands in the file, for problems that name it.
pub(super) fn place(found: &Found<Product>) -> Extent {
    found.extent.clone()
}
