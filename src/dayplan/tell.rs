//! The planner's answer told as a plan document.
//!
//! Invariant: nothing is decided here; every time in the document follows from the starts, the work and the
//! clocks.

use super::because;
use super::cautions;
use super::document::{Because, KeepApart, Operation, Plan, Stamp, State, WaitLine};
use super::dry;
use super::faces;
use super::frame::Frame;
use super::history::Fate;
use super::make::Settings;
use super::mixes;
use super::network::Named;
use super::rounds;
use super::setting;
use super::vapour;
use super::waits;
use crate::finish::StepKind;
use crate::job::{PlaceKind, rates};
use crate::planner::{Bound, Solution, Tick};
use crate::units::{Moment, Span};
use crate::work::Delay;
use std::ops::Range;

/// The frame, the network and the answer, with what is looked up again and again.
pub(super) struct Told<'a> {
    pub frame: &'a Frame<'a>,
    pub named: &'a Named,
    pub solution: &'a Solution,
    /// Windows of the work by their earlier operation, waits by their later one, places by piece: indices.
    pub windows_from: Vec<Vec<u32>>,
    pub windows_into: Vec<Vec<u32>>,
    pub waits_into: Vec<Vec<u32>>,
    pub places_of: Vec<Vec<u32>>,
}

/// Indices of things by the number each belongs to.
fn by(count: usize, of: impl Iterator<Item = usize>) -> Vec<Vec<u32>> {
    let mut lists = vec![Vec::new(); count];
    for (index, belongs) in of.enumerate() {
        if let Some(list) = lists.get_mut(belongs) {
            list.push(index as u32);
        }
    }
    lists
}

impl<'a> Told<'a> {
    /// Lays the answer beside the frame.
    pub fn new(frame: &'a Frame<'a>, named: &'a Named, solution: &'a Solution) -> Self {
        let work = &frame.work;
        let count = work.operations.len();
        Self {
            frame,
            named,
            solution,
            windows_from: by(count, work.windows.iter().map(|window| window.before)),
            windows_into: by(count, work.windows.iter().map(|window| window.after)),
            waits_into: by(count, work.waits.iter().map(|wait| wait.after)),
            places_of: by(frame.job.pieces.len(), work.places.iter().map(|place| place.piece)),
        }
    }

    pub fn stamp(&self, at: Moment) -> Stamp {
        at.with_offset(self.frame.job.zone)
    }

    pub fn stamp_tick(&self, tick: Tick) -> Stamp {
        self.stamp(self.frame.moment(tick))
    }

    /// Start and end of an operation that is in the plan.
    pub fn times(&self, operation: usize) -> Option<(Moment, Moment)> {
        let start = (*self.solution.starts.get(operation)?)?;
        let minutes = self.named.network.tasks.get(operation)?.minutes;
        let start = self.frame.moment(start);
        Some((start, start + Span(i64::from(minutes))))
    }

    pub fn hands(&self, operation: usize) -> Vec<String> {
        let bits = self.solution.workers.get(operation).copied().unwrap_or(0);
        let hands = self.frame.job.hands.iter().enumerate();
        hands
            .filter(|(at, _)| bits >> at & 1 == 1)
            .map(|(_, hand)| hand.name.clone())
            .collect()
    }
}

/// By start, end and id. The lines are long, so their places are sorted and each is moved once.
fn in_order(operations: Vec<Operation>) -> Vec<Operation> {
    let mut order: Vec<usize> = (0..operations.len()).collect();
    let key = |at: &usize| operations.get(*at).map(|one| (one.start, one.end, one.id.as_str()));
    order.sort_by(|one, other| key(one).cmp(&key(other)));
    let mut lines: Vec<Option<Operation>> = operations.into_iter().map(Some).collect();
    order
        .into_iter()
        .filter_map(|at| lines.get_mut(at).and_then(Option::take))
        .collect()
}

/// Operations, set-ups among them, and waits; half of the operations beside the rest.
fn lines(told: &Told) -> (Vec<Operation>, Vec<WaitLine>) {
    let count = told.frame.work.operations.len();
    let some = |range: Range<usize>| range.filter_map(|at| operation(told, at)).collect::<Vec<_>>();
    std::thread::scope(|scope| {
        let beside = scope.spawn(|| (some(count / 2..count), waits::lines(told)));
        let set_ups = set_ups(told);
        let mut operations = Vec::with_capacity(count + set_ups.len());
        operations.extend(some(0..count / 2));
        let beside = beside.join();
        let (others, waits) = beside.unwrap_or_else(|_| (some(count / 2..count), waits::lines(told)));
        operations.extend(others);
        operations.extend(set_ups);
        (operations, waits)
    })
}

/// The document, but for the reasons of its operations; the bound is asked for last.
pub(super) fn plan(told: &Told, settings: Settings, bound: impl FnOnce() -> Bound) -> Plan {
    let frame = told.frame;
    let job = frame.job;
    let (operations, waits) = lines(told);
    let mut operations = in_order(operations);
    let rounds = rounds::of(&mut operations);
    let mixes = mixes::of(job, &mut operations);
    let sections = setting::sections(told);
    let ready = sections
        .iter()
        .map(|section| section.ready)
        .max()
        .unwrap_or_else(|| told.stamp(frame.now));
    let starts = told.stamp(frame.now);
    let last = |phase| {
        operations
            .iter()
            // what is left undone ends nothing
            .filter(|operation| operation.phase == phase && operation.state != State::Skipped)
            .map(|operation| operation.end)
            .max()
    };
    let mut plan = Plan {
        schema: 1,
        job: job.title.clone(),
        zone: job.zone.name().to_owned(),
        seed: settings.seed,
        tries: settings.tries,
        now: starts,
        starts,
        ready,
        ends: last(crate::finish::Phase::Loose).unwrap_or(starts),
        finished: last(crate::finish::Phase::Assembled),
        bound: ready,
        gap_percent: 0.0,
        wide_over_mm: job.room.wide_over.0,
        hands: setting::hands(told, ready.max(starts)),
        climate: setting::climate(told),
        assemblies: setting::assemblies(told),
        pieces: setting::pieces(told),
        products: setting::job_products(told),
        mixes,
        changeovers: setting::changeovers(told),
        places: setting::places(told),
        waits,
        keep_apart: vec![KeepApart {
            rule: "dust-wet".to_owned(),
            settle_minutes: if job.room.dust_separated {
                0.0
            } else {
                job.room.settle_minutes as f64
            },
            separated: job.room.dust_separated,
        }],
        air: None,
        balance: faces::of(told),
        stores: None,
        cautions: Vec::new(),
        sections,
        rounds,
        operations,
    };
    plan.cautions = cautions::of(frame, &plan);
    bounded(told, bound(), &mut plan);
    plan
}

/// Writes the bound into a plan, and how far the plan is from it.
fn bounded(told: &Told, bound: Bound, plan: &mut Plan) {
    let frame = told.frame;
    let (starts, ready) = (plan.starts, plan.ready);
    plan.bound = told.stamp(frame.moment(bound.ready).max(frame.now)).min(ready);
    let span = (plan.bound - starts).num_minutes() as f64;
    let over = (ready - plan.bound).num_minutes() as f64;
    plan.gap_percent = if span > 0.0 { 100.0 * over / span } else { 0.0 };
}

/// Writes into a plan why each of its operations is not earlier.
pub(super) fn reasons(told: &Told, because: &[Option<crate::planner::Because>], plan: &mut Plan) {
    for operation in &mut plan.operations {
        let Some(at) = told.frame.find(&operation.id) else {
            continue;
        };
        if let Some(Some(reason)) = because.get(at) {
            operation.because = because::of(told, at, Moment::of(&operation.start), reason);
        }
    }
}

fn operation(told: &Told, at: usize) -> Option<Operation> {
    let frame = told.frame;
    let work = frame.work.operations.get(at)?;
    let (start, end) = told.times(at)?;
    if work.crew == 0 && end == start && !work.lays_film() {
        // waits without hands are in `waits`
        return None;
    }
    let piece = work.piece.and_then(|piece| frame.job.pieces.get(piece));
    let state = match frame.fate(at) {
        Some(Fate::Done(_)) => State::Done,
        Some(Fate::Begun { .. }) => State::Running,
        Some(Fate::Skipped { .. }) => State::Skipped,
        None => State::Planned,
    };
    let hands = told.hands(at);
    let place = place(told, at);
    Some(Operation {
        id: work.id.clone(),
        round: None,
        piece: piece.map(|piece| piece.id.clone()),
        assembly: work
            .assembly
            .and_then(|at| frame.job.assemblies.get(at))
            .map(|assembly| assembly.id.clone()),
        surfaces: piece.map_or_else(Vec::new, |piece| {
            work.surfaces
                .iter()
                .filter_map(|&at| piece.surfaces.get(at))
                .map(|surface| surface.id.clone())
                .collect()
        }),
        step: work.step,
        coat: work.coat,
        grit: work.grit.map(|grit| grit.to_string()),
        product: work.product.clone(),
        family: work.family.clone(),
        mix: None,
        start: told.stamp(start),
        end: told.stamp(end),
        hands_minutes: (end - start).0 as f64 * hands.len().max(1) as f64,
        hands,
        dusty: work.dusty,
        holding: work.holding.filter(|_| piece.is_some()),
        place: place.as_ref().map(|(kind, _, _)| place_id(*kind).to_owned()),
        place_slots: place.as_ref().map_or(0, |(_, slots, _)| *slots),
        place_until: place.and_then(|(_, _, until)| until).map(|until| told.stamp(until)),
        volume: work.volume.map(vapour::written),
        solvent_g: vapour::solvent(frame.job, work).map(|solvent| (solvent.0 * 10.0).round() / 10.0),
        film_from: work
            .film_from
            .and_then(|at| frame.work.operations.get(at))
            .map(|film| film.id.clone()),
        phase: work.phase,
        state,
        dry: work.lays_film().then(|| dry::of(told, at, end)),
        because: because::fact(told, at, start),
    })
}

/// Name of a kind of place in documents.
pub(super) fn place_id(kind: PlaceKind) -> &'static str {
    match kind {
        PlaceKind::Bearers => "bearers",
        PlaceKind::Points => "points",
        PlaceKind::Hooks => "hooks",
        PlaceKind::Racks => "racks",
    }
}

/// The place a coat stands on, and until when the piece holds it (its whole wet run).
fn place(told: &Told, at: usize) -> Option<(PlaceKind, u32, Option<Moment>)> {
    let work = told.frame.work.operations.get(at)?;
    if !work.lays_film() {
        return None;
    }
    let own = told.places_of.get(work.piece?)?.first()?;
    let place = told.frame.work.places.get(*own as usize)?;
    let run = told.named.runs.get(*own as usize).copied().flatten();
    let pool = run.and_then(|run| told.solution.pools.get(run as usize));
    let kind = pool.and_then(|&pool| told.named.pools.get(pool as usize));
    let kind = kind.copied().unwrap_or(place.kind);
    if work.step == StepKind::Wax {
        return None;
    }
    let free = |&last: &usize| {
        let (_, end) = told.times(last)?;
        told.frame
            .over(last, Delay::Film(crate::finish::Stage::DryToHandle), end)
    };
    let until = place.last.iter().map(free).collect::<Option<Vec<_>>>();
    Some((kind, place.slots, until.and_then(|all| all.into_iter().max())))
}

/// Setting up and cleaning out as operations of their own.
fn set_ups(told: &Told) -> Vec<Operation> {
    let frame = told.frame;
    let set_up = |setup: &crate::planner::Setup| {
        let of = frame.work.operations.get(setup.task as usize)?;
        let start = frame.moment(setup.start);
        let end = start + Span(i64::from(setup.minutes));
        let (step, word) = if setup.opens {
            (StepKind::ChangeOver, "change-over")
        } else {
            (StepKind::CleanUp, "clean-up")
        };
        let happened = frame.fate(setup.task as usize).is_some();
        let hand = frame.job.hands.get(setup.worker as usize).map(|hand| hand.name.clone());
        Some(Operation {
            id: format!("{word}/{}{}", of.id, second_pair(told, setup)),
            round: None,
            piece: None,
            assembly: None,
            surfaces: Vec::new(),
            step,
            coat: None,
            grit: None,
            product: if setup.opens { of.product.clone() } else { None },
            family: told.named.families.get(setup.family as usize).cloned(),
            mix: None,
            start: told.stamp(start),
            end: told.stamp(end),
            hands: hand.into_iter().collect(),
            hands_minutes: f64::from(setup.minutes),
            dusty: false,
            holding: None,
            place: None,
            place_slots: 0,
            place_until: None,
            volume: None,
            solvent_g: None,
            film_from: None,
            phase: of.phase,
            state: state_of(frame, happened, (start, end)),
            dry: None,
            because: because::of_set_up(told, setup, start),
        })
    };
    let setups = told.solution.setups.iter().filter(|setup| setup.minutes > 0);
    setups
        .filter_map(|setup| Some((setup, set_up(setup)?)))
        .flat_map(|(setup, line)| with_mixing(told, setup, line))
        .collect()
}

/// The brush of a round just done is still to be washed out.
fn state_of(frame: &Frame, happened: bool, (start, end): (Moment, Moment)) -> State {
    match happened {
        true if end <= frame.now => State::Done,
        // set out for what is to come
        _ if start < frame.now => State::Running,
        _ => State::Planned,
    }
}

/// Whether a set-up is the setting out for its operation, and that of the first hands where several set out for it.
fn is_first_set_out(told: &Told, setup: &crate::planner::Setup) -> bool {
    let others = told
        .solution
        .setups
        .iter()
        .filter(|other| other.opens && other.task == setup.task);
    setup.opens
        && others
            .filter(|other| other.minutes > 0)
            .all(|other| setup.worker <= other.worker)
}

/// Of the setting out of what is mixed for the day the last minutes are the mixing, by one pair of hands.
fn with_mixing(told: &Told, setup: &crate::planner::Setup, line: Operation) -> Vec<Operation> {
    let job = told.frame.job;
    let of = told.frame.work.operations.get(setup.task as usize);
    let product = of.and_then(|of| job.product(of.product.as_deref()?));
    let minutes = Span(job.rate(rates::MIX).ceil() as i64);
    let (start, end) = (Moment::of(&line.start), Moment::of(&line.end));
    let mixes = product.is_some_and(mixes::is_mixed) && is_first_set_out(told, setup);
    let (Some(of), true) = (of, mixes && minutes < end - start) else {
        return vec![line];
    };
    let happened = told.frame.fate(setup.task as usize).is_some();
    let poured = Moment(end.0 - minutes.0);
    let mix = Operation {
        id: format!("mix/{}", of.id),
        step: StepKind::Mix,
        start: told.stamp(poured),
        hands_minutes: minutes.0 as f64,
        state: state_of(told.frame, happened, (poured, end)),
        because: Because {
            text: format!("mixed right before {}: its pot life runs from here", of.id),
            ..line.because.clone()
        },
        ..line.clone()
    };
    let set_out = Operation {
        end: told.stamp(poured),
        hands_minutes: line.hands_minutes - minutes.0 as f64,
        state: state_of(told.frame, happened, (start, poured)),
        ..line
    };
    vec![set_out, mix]
}

/// A second pair of hands on one operation sets up and cleans out too, under its own name.
fn second_pair(told: &Told, setup: &crate::planner::Setup) -> String {
    let bits = told.solution.workers.get(setup.task as usize).copied().unwrap_or(0);
    if bits.trailing_zeros() == u32::from(setup.worker) {
        return String::new();
    }
    let hand = told.frame.job.hands.get(usize::from(setup.worker));
    hand.map_or_else(String::new, |hand| format!("/{}", hand.name))
}
