//! Small finish schedules for reading jobs against; figures are made up, only their order is like the trade's.
//!
//! Invariant: every product has the whole ladder, stated for 23 °C and 50 %.

use denib::finish::{
    Conditions, Figure, Mechanism, Method, Opening, Phase, Prepare, Product, RecoatWindow, Schedule, Stage, StageTime,
    Status, Step, StepKind, Wipe,
};
use denib::units::{Celsius, Percent};
use std::collections::BTreeMap;

fn figure(low: f64, high: f64) -> Figure {
    Figure {
        low,
        high,
        status: Status::Memory,
        source: "made up for tests".to_owned(),
    }
}

const LADDER: [Stage; 11] = [
    Stage::SetToTouch,
    Stage::DustFree,
    Stage::TackFree,
    Stage::DryToTouch,
    Stage::DryToSand,
    Stage::DryToRecoat,
    Stage::DryToHandle,
    Stage::DryHard,
    Stage::DryToStack,
    Stage::DryThrough,
    Stage::Cured,
];

fn product(id: &str, name: &str, family: &str, mechanism: Mechanism, hour: f64) -> Product {
    let stages = LADDER.iter().enumerate().map(|(index, stage)| {
        let minutes = hour * (index + 1) as f64;
        StageTime {
            stage: *stage,
            from_coat: 1,
            minutes: figure(minutes, minutes * 1.5),
        }
    });
    Product {
        id: id.to_owned(),
        name: name.to_owned(),
        family: family.to_owned(),
        mechanism,
        leading_solvent: None,
        stated_at: Conditions {
            temperature: Celsius(23.0),
            humidity: Percent(50.0),
        },
        stages: stages.collect(),
        windows: vec![
            RecoatWindow {
                next: None,
                opens: Opening::Stage(Stage::DryToRecoat),
                closes: Some(figure(hour * 20.0, hour * 24.0)),
                prepare: Prepare::None,
            },
            RecoatWindow {
                next: None,
                opens: Opening::After(figure(hour * 40.0, hour * 48.0)),
                closes: None,
                prepare: Prepare::Scuff,
            },
        ],
        terminal: family == "wax",
        wipe: (family == "oil").then(|| Wipe {
            soak: figure(10.0, 15.0),
            within: figure(20.0, 30.0),
            again_after: Some(figure(60.0, 60.0)),
            again_within: Some(figure(90.0, 120.0)),
        }),
        open_time: Some(figure(10.0, 15.0)),
        start_floor: Some(figure(10.0, 13.0)),
        start_ceiling: None,
        start_humidity: None,
        drying_floor: Some(figure(5.0, 8.0)),
        must_reach: None,
        volume_solids: Some(figure(30.0, 40.0)),
        density: Some(figure(0.9, 0.95)),
        wet_film: BTreeMap::from([(Method::Brush, figure(80.0, 120.0))]),
        first_coat_extra: None,
        solvents: Vec::new(),
        flash_point: None,
        self_heating: mechanism == Mechanism::Oxidation,
        pot_life: None,
    }
}

fn schedule(id: &str, product: &Product, coats: usize) -> Schedule {
    let step = Step {
        kind: StepKind::Coat,
        grit: None,
        product: Some(product.id.clone()),
        method: Some(Method::Brush),
        phase: Phase::Loose,
        show_only: false,
        stale_after: None,
        wait: None,
        note: None,
    };
    Schedule {
        id: id.to_owned(),
        name: id.replace('-', " "),
        summary: "for tests".to_owned(),
        products: vec![product.clone()],
        steps: vec![step; coats],
    }
}

/// Five schedules under the ids of the shipped ones.
pub fn schedules() -> BTreeMap<String, Schedule> {
    let cellulose = product(
        "brushing-lacquer",
        "brushing lacquer",
        "lacquer",
        Mechanism::Evaporation,
        10.0,
    );
    let shellac = product(
        "dewaxed-shellac",
        "dewaxed shellac",
        "shellac",
        Mechanism::Evaporation,
        5.0,
    );
    let varnish = product(
        "brushing-varnish",
        "brushing varnish",
        "varnish",
        Mechanism::Oxidation,
        120.0,
    );
    let oil = product(
        "oil-varnish-blend",
        "oil-varnish blend",
        "oil",
        Mechanism::Oxidation,
        240.0,
    );
    let hardwax = product("hardwax-oil", "hardwax oil", "oil", Mechanism::Oxidation, 240.0);
    let all = [
        schedule("brushed-cellulose", &cellulose, 3),
        schedule("dewaxed-shellac", &shellac, 4),
        schedule("brushed-varnish", &varnish, 3),
        schedule("oil-varnish", &oil, 3),
        schedule("hardwax-oil", &hardwax, 2),
    ];
    all.into_iter()
        .map(|schedule| (schedule.id.clone(), schedule))
        .collect()
}
