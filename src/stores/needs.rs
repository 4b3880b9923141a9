//! Everything a plan uses up, and what of it is gone.
//!
//! Invariant: quantities that are bought by the piece are whole in the plan document, and exact here.

use super::fate::{Counted, counted};
use super::product::{MixNeed, ProductNeed, need, takes};
use super::rates::{Rates, SOURCE};
use crate::dayplan::document::{MixAt, Operation, StoreLine};
use crate::dayplan::{History, Plan};
use crate::finish::{Grit, Product, StepKind};
use crate::job::{Job, Joint, JointKind, Piece};
use serde::Serialize;
use std::collections::BTreeMap;

/// What stands on the shelf: product id or item (as in [`StoreLine`]) to amount, in that line's unit (products
/// in mL).
pub type OnHand = BTreeMap<String, f64>;

/// One abrasive.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AbrasiveNeed {
    /// As written: `P180`, `P360 wet`, `0000 wool`.
    pub grit: String,
    /// m² it goes over.
    pub area_m2: f64,
    /// Of that, done.
    pub done_m2: f64,
    /// Sheets or pads.
    pub needed: f64,
    /// Of those, still wanted.
    pub left: f64,
    /// `sheets` or `pads`.
    pub unit: &'static str,
    /// On the shelf, where the maker says.
    pub on_hand: Option<f64>,
    /// Whether that lasts.
    pub lasts: Option<bool>,
}

/// Something else that is used up.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SundryNeed {
    /// What.
    pub item: &'static str,
    /// How much in all.
    pub needed: f64,
    /// Of that, still wanted.
    pub left: f64,
    /// Unit.
    pub unit: &'static str,
    /// On the shelf, where the maker says.
    pub on_hand: Option<f64>,
    /// Whether that lasts.
    pub lasts: Option<bool>,
}

/// The whole.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Stores {
    /// Products, in the order the plan first uses them.
    pub products: Vec<ProductNeed>,
    /// Abrasives, coarse to fine as the plan first uses them.
    pub abrasives: Vec<AbrasiveNeed>,
    /// The rest.
    pub sundries: Vec<SundryNeed>,
    /// Rates it was reckoned with.
    pub rates: Rates,
    /// What those rates rest on.
    pub rates_source: &'static str,
    /// What prices are in, where the job says.
    pub money: Option<String>,
    /// What all products cost, where every tin is priced.
    pub cost: Option<f64>,
}

/// What a plan uses, by the usual rates and with nothing said about the shelf.
pub fn of(job: &Job, plan: &Plan) -> Stores {
    with(job, plan, None, &Rates::default(), &OnHand::new())
}

/// The same by other rates, against a shelf, and with what has happened: what was done is used, whatever the
/// plan that was accepted before still says of it.
pub fn with(job: &Job, plan: &Plan, history: Option<&History>, rates: &Rates, on_hand: &OnHand) -> Stores {
    let counted = counted(plan, history);
    Stores {
        products: products(job, &counted, rates, on_hand),
        abrasives: abrasives(job, &counted, rates, on_hand),
        sundries: sundries(job, &counted, rates, on_hand),
        rates: *rates,
        rates_source: SOURCE,
        money: None,
        cost: None,
    }
}

fn products(job: &Job, counted: &[Counted<'_>], rates: &Rates, on_hand: &OnHand) -> Vec<ProductNeed> {
    let mut seen: Vec<&Product> = Vec::new();
    for operation in counted
        .iter()
        .map(|one| one.operation)
        .filter(|operation| takes(operation))
    {
        let product = operation.product.as_deref().and_then(|id| job.product(id));
        if let Some(product) = product.filter(|product| !seen.iter().any(|one| one.id == product.id)) {
            seen.push(product);
        }
    }
    let line = |product: &Product| need(job, counted, product, rates, on_hand.get(&product.id).copied());
    seen.into_iter().filter_map(line).collect()
}

fn piece_of<'a>(job: &'a Job, operation: &Operation) -> Option<&'a Piece> {
    job.pieces
        .iter()
        .find(|piece| Some(piece.id.as_str()) == operation.piece.as_deref())
}

/// m² of the surfaces an operation works; of all coated surfaces of an assembly's pieces where it works one.
fn area(job: &Job, operation: &Operation) -> f64 {
    let of = |piece: &Piece| -> f64 {
        let here = piece
            .surfaces
            .iter()
            .filter(|surface| operation.surfaces.contains(&surface.id));
        here.map(|surface| surface.area.square_metres()).sum()
    };
    if let Some(piece) = piece_of(job, operation) {
        return of(piece);
    }
    let assembly = job
        .assemblies
        .iter()
        .find(|one| Some(one.id.as_str()) == operation.assembly.as_deref());
    let pieces = assembly.map_or_else(Vec::new, |assembly| all_pieces(job, assembly, 0));
    let coated = |piece: &&Piece| -> f64 {
        let coated = piece.surfaces.iter().filter(|surface| surface.schedule.is_some());
        coated.map(|surface| surface.area.square_metres()).sum()
    };
    pieces.iter().map(coated).sum()
}

/// The pieces of an assembly and of those that go into it.
fn all_pieces<'a>(job: &'a Job, assembly: &crate::job::Assembly, depth: u32) -> Vec<&'a Piece> {
    let mut pieces: Vec<&Piece> = job
        .pieces
        .iter()
        .filter(|piece| assembly.made_of.contains(&piece.id))
        .collect();
    // a job that was checked has no assembly inside itself
    if depth < 16 {
        for inner in job
            .assemblies
            .iter()
            .filter(|one| assembly.assemblies.contains(&one.id))
        {
            pieces.extend(all_pieces(job, inner, depth + 1));
        }
    }
    pieces
}

fn lasts(on_hand: Option<f64>, left: f64) -> Option<bool> {
    on_hand.map(|on_hand| on_hand + 1e-9 >= left)
}

fn abrasives(job: &Job, counted: &[Counted<'_>], rates: &Rates, on_hand: &OnHand) -> Vec<AbrasiveNeed> {
    let mut needs: Vec<AbrasiveNeed> = Vec::new();
    for one in counted {
        let operation = one.operation;
        let Some(written) = &operation.grit else { continue };
        let Ok(grit) = Grit::parse(written) else { continue };
        let on_film = operation.film_from.is_some()
            || matches!(operation.step, StepKind::Denib | StepKind::Scuff | StepKind::Flat);
        let (life, unit) = rates.abrasive(grit.grade, grit.wet, on_film);
        let area = area(job, operation);
        let done = if one.used { area } else { 0.0 };
        let index = needs.iter().position(|need| need.grit == *written).unwrap_or_else(|| {
            needs.push(AbrasiveNeed {
                grit: written.clone(),
                area_m2: 0.0,
                done_m2: 0.0,
                needed: 0.0,
                left: 0.0,
                unit,
                on_hand: on_hand.get(&format!("abrasive {written}")).copied(),
                lasts: None,
            });
            needs.len() - 1
        });
        let need = &mut needs[index];
        need.area_m2 += area;
        need.done_m2 += done;
        need.needed += area / life;
        need.left += (area - done) / life;
    }
    for need in &mut needs {
        need.lasts = lasts(need.on_hand, need.left);
    }
    needs
}

/// One item under way: what it counts, and over how much.
struct Tally {
    item: &'static str,
    unit: &'static str,
    all: f64,
    left: f64,
}

fn sundries(job: &Job, counted: &[Counted<'_>], rates: &Rates, on_hand: &OnHand) -> Vec<SundryNeed> {
    let mut tallies: Vec<Tally> = Vec::new();
    let mut add = |item, unit, amount: f64, left: bool| {
        if amount <= 0.0 {
            return;
        }
        let index = tallies.iter().position(|one| one.item == item).unwrap_or_else(|| {
            tallies.push(Tally {
                item,
                unit,
                all: 0.0,
                left: 0.0,
            });
            tallies.len() - 1
        });
        tallies[index].all += amount;
        tallies[index].left += if left { amount } else { 0.0 };
    };
    for one in counted {
        let operation = one.operation;
        let left = !one.used;
        let area = area(job, operation);
        let product = operation.product.as_deref().and_then(|id| job.product(id));
        match operation.step {
            StepKind::Seal | StepKind::Coat if product.is_none_or(|product| product.wipe.is_none()) => {
                add("tack cloth", "cloths", area / rates.tack_cloth_m2, left);
            }
            StepKind::Seal | StepKind::Coat => add("rag, lint-free", "rags", area / rates.clean_rag_m2, left),
            StepKind::WipeBack | StepKind::ReWipe => add("rag, lint-free", "rags", area / rates.wipe_rag_m2, left),
            StepKind::Check | StepKind::DustOff | StepKind::Buff | StepKind::RaiseGrain => {
                add("rag, lint-free", "rags", area / rates.clean_rag_m2, left);
            }
            StepKind::Wax => {
                add("rag, lint-free", "rags", area / rates.clean_rag_m2, left);
                if operation.volume.is_none() {
                    add("paste wax", "g", area * rates.wax_g_m2, left);
                }
            }
            StepKind::Mask => {
                for joint in piece_of(job, operation).map_or(&[][..], |piece| &piece.joints) {
                    match tape(joint, rates) {
                        Some(metres) => add("masking tape", "m", metres, left),
                        None => add("plug", "plugs", 1.0, left),
                    }
                }
            }
            _ => {}
        }
    }
    let told = |tally: Tally| {
        let on_hand = on_hand.get(tally.item).copied();
        SundryNeed {
            item: tally.item,
            needed: tally.all,
            left: tally.left,
            unit: tally.unit,
            on_hand,
            lasts: lasts(on_hand, tally.left),
        }
    };
    tallies.into_iter().map(told).collect()
}

/// Metres of tape a joint takes; `None` where it is plugged.
fn tape(joint: &Joint, rates: &Rates) -> Option<f64> {
    match joint.kind {
        JointKind::Mortise | JointKind::DowelHole => None,
        JointKind::Tenon
        | JointKind::Housing
        | JointKind::Groove
        | JointKind::LooseTenonSlot
        | JointKind::Dovetail
        | JointKind::Marked => {
            let area = joint.area.square_metres();
            // round a square of the same area, and a tenth for overlaps
            Some(if area > 0.0 {
                4.4 * area.sqrt()
            } else {
                rates.tape_m_joint
            })
        }
    }
}

/// The lines of the plan document. Products without a known volume have none.
pub fn document(stores: &Stores) -> Vec<StoreLine> {
    let line = |item: String, needed: f64, unit: &str| StoreLine {
        item,
        needed,
        unit: unit.to_owned(),
    };
    let hundredth = |value: f64| (value * 100.0).round() / 100.0;
    let products = stores.products.iter().filter_map(|need| {
        let needed = need.needed_ml?;
        Some(line(need.product.clone(), needed[1].ceil(), "mL"))
    });
    let abrasives = stores
        .abrasives
        .iter()
        .map(|need| line(format!("abrasive {}", need.grit), need.needed.ceil(), need.unit));
    let sundries = stores.sundries.iter().map(|need| {
        let whole = !matches!(need.unit, "m" | "g");
        let needed = if whole {
            (need.needed - 1e-9).ceil()
        } else {
            hundredth(need.needed)
        };
        line(need.item.to_owned(), needed, need.unit)
    });
    products.chain(abrasives).chain(sundries).collect()
}

/// The mixes of the plan document.
pub fn mixes(stores: &Stores) -> Vec<MixAt> {
    let told = |mix: &MixNeed| MixAt {
        id: mix.id.clone(),
        product: mix.product.clone(),
        at: mix.at,
        until: mix.until,
        volume: (mix.volume_ml * 10.0).round() / 10.0,
    };
    stores.products.iter().flat_map(|need| &need.mixes).map(told).collect()
}
