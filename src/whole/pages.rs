//! What a job's air, panels and shelf come to by its plan and its log: the figures behind three pages.
//!
//! Invariant: what has happened counts as it happened; a page begins its cautions with the standing line.

use super::as_lived;
use crate::air::storage::category;
use crate::air::{self, DewGap, RoomAir};
use crate::balance::{self, AirStep, Balance};
use crate::dayplan::document::{Caution, Stamp};
use crate::dayplan::{History, Plan, standing_line};
use crate::finish::Status;
use crate::job::Job;
use crate::standing::Standing;
use crate::stores::{self, Stores};
use serde::Serialize;

/// Version of the pages' form.
const SCHEMA: u32 = 1;

/// When a product in use catches fire from a spark.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Flash {
    /// Product.
    pub product: String,
    /// Its name.
    pub name: String,
    /// Flash point, °C: lowest, highest; `null` where it is not given.
    pub flash_c: Option<(f64, f64)>,
    /// Hazard class by that; `null` above 93 °C.
    pub category: Option<&'static str>,
    /// How far the figure was checked.
    pub status: Option<Status>,
    /// Where it comes from.
    pub source: Option<String>,
}

/// The room's air.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AirPage {
    /// Always 1.
    pub schema: u32,
    /// Title of the job.
    pub job: String,
    /// As of when.
    pub at: Stamp,
    /// The job says whose limits are meant.
    pub country_named: bool,
    /// The air; `null` where the job gives too little for it.
    pub air: Option<RoomAir>,
    /// Flash points of the products in use.
    pub flash_points: Vec<Flash>,
    /// Sources of ignition, as the job has them.
    pub ignition: Vec<String>,
    /// Warmest air of the room, °C.
    pub warmest_c: Option<f64>,
    /// Every coat's air against its dew point.
    pub dew_points: Vec<DewGap>,
    /// Cautions.
    pub cautions: Vec<Caution>,
}

/// The two faces of wide panels.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BalancePage {
    /// Always 1.
    pub schema: u32,
    /// Title of the job.
    pub job: String,
    /// As of when.
    pub at: Stamp,
    /// Solid panels wider than this across the grain are here, mm.
    pub wide_over_mm: f64,
    /// The panels.
    pub balance: Balance,
    /// Cautions.
    pub cautions: Vec<Caution>,
}

/// The shelf.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StoresPage {
    /// Always 1.
    pub schema: u32,
    /// Title of the job.
    pub job: String,
    /// As of when.
    pub at: Stamp,
    /// What is used, left, bought.
    pub stores: Stores,
    /// Cautions.
    pub cautions: Vec<Caution>,
}

fn headed(mut cautions: Vec<Caution>) -> Vec<Caution> {
    cautions.sort_by_key(|caution| std::cmp::Reverse(caution.severity));
    if !cautions.is_empty() {
        cautions.insert(0, standing_line());
    }
    cautions
}

/// The room's air by a plan and what has happened.
pub fn air_page(job: &Job, plan: &Plan, history: &History) -> AirPage {
    let lived = as_lived(job, plan, history);
    let settings = air::Settings::of(job);
    let room = air::with(job, &lived, &settings);
    let planned = lived.climate.iter().map(|(_, celsius, _)| *celsius);
    let lines = job.room.climate.lines.iter().map(|line| line.day.0.max(line.night.0));
    AirPage {
        schema: SCHEMA,
        job: job.title.clone(),
        at: history.now.with_offset(job.zone),
        country_named: job.room.rules.country.is_some(),
        flash_points: flash_points(job, &lived),
        ignition: job.room.ignition.clone(),
        warmest_c: planned.chain(lines).reduce(f64::max),
        dew_points: air::dew_gaps(job, &lived),
        cautions: headed(air::cautions(job, &lived, room.as_ref(), &settings)),
        air: room,
    }
}

fn flash_points(job: &Job, plan: &Plan) -> Vec<Flash> {
    let mut found: Vec<Flash> = Vec::new();
    for id in plan
        .operations
        .iter()
        .filter_map(|operation| operation.product.as_deref())
    {
        let Some(product) = job.product(id).filter(|_| !found.iter().any(|one| one.product == id)) else {
            continue;
        };
        let flash = product.flash_point.as_ref();
        found.push(Flash {
            product: product.id.clone(),
            name: product.name.clone(),
            flash_c: flash.map(|flash| (flash.low, flash.high)),
            category: flash.and_then(|flash| category(flash.low)),
            status: flash.map(|flash| flash.status),
            source: flash.map(|flash| flash.source.clone()),
        });
    }
    found
}

/// The two faces of every wide panel by a plan and what has happened.
pub fn balance_page(job: &Job, plan: &Plan, history: &History, standing: Option<&Standing>) -> BalancePage {
    let live = standing.map(|standing| (history, standing));
    let balance = balance::of(job, plan, live, &AirStep::default());
    BalancePage {
        schema: SCHEMA,
        job: job.title.clone(),
        at: history.now.with_offset(job.zone),
        wide_over_mm: job.room.wide_over.0,
        cautions: headed(balance::cautions(&balance)),
        balance,
    }
}

/// What a plan uses up, what is gone, and whether the shelf lasts.
pub fn stores_page(job: &Job, plan: &Plan, history: &History) -> StoresPage {
    let stores = stores::of_shelf(job, plan, Some(history));
    StoresPage {
        schema: SCHEMA,
        job: job.title.clone(),
        at: history.now.with_offset(job.zone),
        cautions: headed(stores::cautions(&stores)),
        stores,
    }
}
