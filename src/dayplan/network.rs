//! The work of a job as a network for the planner.
//!
//! Invariant: task ids are indices of the work's operations; nothing of the trade is decided here, it is
//! only said in the planner's words.

use super::frame::Frame;
use super::history::Fate;
use super::shifts;
use super::vapour;
use super::{mixes, places};
use crate::clock::required_stage;
use crate::finish::{Stage, StepKind};
use crate::job::PlaceKind;
use crate::job::rates::{self, Rate};
use crate::planner::{
    Apart, Bundle, Clock, Crew, Demand, Edge, Family, FamilyId, Fixed, Goal, Network, Pair, Pool, PoolId, Stretch,
    Tail, Task, TaskId, Wait, Window, WindowSpan, Worker,
};
use crate::units::{Moment, Span};
use crate::work::{Delay, WorkOperation};
use std::collections::BTreeMap;
use std::sync::Arc;

/// The network and how its parts are called.
pub struct Named {
    /// The network.
    pub network: Arc<Network>,
    /// Families by id.
    pub families: Vec<String>,
    /// Pools by id.
    pub pools: Vec<PlaceKind>,
    /// By place of the work: the run that holds it, where its kind is limited.
    pub runs: Vec<Option<u32>>,
}

/// Sandpaper lies about as long as it likes.
const PAPER_KEEPS: u32 = 1 << 22;

/// Builds the network of a frame.
pub fn build(frame: &Frame) -> Named {
    let job = frame.job;
    let mut network = Network {
        horizon: frame.tick(frame.until),
        ..Network::default()
    };
    network.clocks.push(Clock::Wall);
    network.clocks.extend(frame.wound().hands.iter().cloned());
    network.workers = workers(frame);
    let (families, names) = families(frame);
    network.families = families;
    let pools = places::pools(frame, &mut network);
    if !job.room.dust_separated {
        network.apart = Some(Apart {
            settle: u32::try_from(job.room.settle_minutes).unwrap_or(0),
        });
    }
    let minutes = whole_minutes(frame);
    let mut sets = StartSets::default();
    for (index, operation) in frame.work.operations.iter().enumerate() {
        let family = operation
            .family
            .as_ref()
            .and_then(|name| names.iter().position(|known| known == name));
        let starts = sets.of(frame, index, minutes[index], &mut network);
        let task = task(
            frame,
            index,
            operation,
            minutes[index],
            family.map(|at| at as FamilyId),
            starts,
        );
        network.tasks.push(task);
    }
    vapour::allow(frame, &mut network);
    places::racks(frame, &pools, &mut network);
    one_pair_of_hands_a_piece(frame, &mut network);
    links(frame, &mut network);
    let runs = places::wet_runs(frame, &pools, &mut network);
    goals(frame, &mut network);
    Named {
        network: Arc::new(network),
        families: names,
        pools,
        runs,
    }
}

fn workers(frame: &Frame) -> Vec<Worker> {
    let hands = frame.job.hands.iter().enumerate();
    hands
        .map(|(index, hand)| {
            let hours = hand.hours.as_ref().unwrap_or(&frame.job.hours);
            let stretches = shifts::stretches(frame.job, hours, frame.origin, frame.until);
            let shifts = shifts::without_away(frame.job, index, stretches).into_iter();
            Worker {
                shifts: shifts
                    .map(|(from, until)| Stretch {
                        from: frame.tick(from),
                        until: frame.tick(until),
                    })
                    .collect(),
            }
        })
        .collect()
}

/// Families in order of name: products with brushes to clean, grits with paper to change.
fn families(frame: &Frame) -> (Vec<Family>, Vec<String>) {
    let mut found: BTreeMap<&str, Family> = BTreeMap::new();
    let whole = |rate: Rate| frame.job.rate(rate).ceil() as u32;
    for operation in &frame.work.operations {
        let Some(name) = operation.family.as_deref() else {
            continue;
        };
        let product = operation.product.as_deref();
        let known = found.get(name).map_or(0, |family| family.open);
        let family = if product.is_some() {
            let mixed = product
                .and_then(|id| frame.job.product(id))
                .is_some_and(mixes::is_mixed);
            let mix = if mixed { whole(rates::MIX) } else { 0 };
            Family {
                open: known.max(whole(rates::OPEN) + mix),
                close: whole(rates::CLOSE),
                keeps: whole(rates::KEEPS),
            }
        } else {
            Family {
                open: whole(rates::PAPER),
                close: 0,
                keeps: PAPER_KEEPS,
            }
        };
        found.insert(name, family);
    }
    let names = found.keys().map(|name| (*name).to_owned()).collect();
    (found.into_values().collect(), names)
}

/// Hand minutes as whole minutes: the rest is carried along each campaign, so a round's total is right to
/// the minute and no piece takes none.
fn whole_minutes(frame: &Frame) -> Vec<u32> {
    let operations = &frame.work.operations;
    let mut order: Vec<usize> = (0..operations.len()).collect();
    order.sort_by_key(|&index| (operations[index].campaign, index));
    let mut whole = vec![0; operations.len()];
    let (mut campaign, mut carried) = (u64::MAX, 0.0);
    for index in order {
        let operation = &operations[index];
        if operation.crew == 0 || operation.minutes <= 0.0 {
            continue;
        }
        if operation.campaign != campaign {
            (campaign, carried) = (operation.campaign, 0.0);
        }
        let wanted = operation.minutes + carried;
        // the last piece of a campaign may end half a minute short; a single piece is rounded up
        let minutes = if carried.abs() < 1e-9 {
            wanted.ceil()
        } else {
            wanted.round()
        }
        .max(1.0);
        carried = wanted - minutes;
        whole[index] = minutes as u32;
    }
    whole
}

/// Where coats may be started, one set per product and coat number; where the cold may overtake the film also
/// per minutes of hands, since it dries from when it is all on.
#[derive(Default)]
struct StartSets(BTreeMap<(usize, u64, u32), Option<u32>>);

impl StartSets {
    fn of(&mut self, frame: &Frame, index: usize, minutes: u32, network: &mut Network) -> Option<u32> {
        let operation = frame.work.operations.get(index)?;
        if !operation.lays_film() {
            return None;
        }
        let (product, clock) = frame.laid_by(index)?;
        let coat = operation.coat.unwrap_or(1);
        // to the next five minutes: fewer sets, each a little stricter than it need be
        let hands = if required_stage(product).is_some() {
            minutes.next_multiple_of(5)
        } else {
            0
        };
        // coats whose films take as long to the stage they must reach share a set
        let time = required_stage(product).and_then(|stage| product.time_to(stage, coat));
        let time = time.map_or(0, |time| time.high.to_bits());
        *self.0.entry((clock, time, hands)).or_insert_with(|| {
            let stretches = frame.wound().starts(clock, coat, time, hands);
            let set: Vec<Stretch> = stretches
                .iter()
                .map(|&(from, until)| Stretch {
                    from: frame.tick(from),
                    until: frame.tick(until),
                })
                .filter(|stretch| stretch.from < stretch.until)
                .collect();
            let always = matches!(set.as_slice(), [one] if one.from == 0 && one.until >= network.horizon);
            (!always).then(|| {
                network.start_sets.push(set);
                network.start_sets.len() as u32 - 1
            })
        })
    }
}

fn task(
    frame: &Frame,
    index: usize,
    operation: &WorkOperation,
    minutes: u32,
    family: Option<FamilyId>,
    starts: Option<u32>,
) -> Task {
    let hands = frame.job.hands.len().min(64);
    let everyone = if hands >= 64 { u64::MAX } else { (1_u64 << hands) - 1 };
    let count = u8::try_from(operation.crew.min(hands as u32)).unwrap_or(u8::MAX);
    let piece = operation.piece.and_then(|piece| frame.job.pieces.get(piece));
    let there = piece.map_or(frame.job.start, |piece| piece.available.max(frame.job.start));
    let wet = operation.lays_film() && operation.step != StepKind::Wax;
    let mut task = Task {
        minutes,
        crew: Crew { count, among: everyone },
        family,
        demands: Vec::new(),
        dusty: operation.dusty,
        wet: wet.then(|| frame.tail(index, Delay::Film(Stage::DustFree))),
        release: frame.tick(there.max(set_out(frame, operation))),
        starts,
        draws: Vec::new(),
        optional: operation.optional,
        fixed: None,
        rank: operation.campaign,
    };
    let by = |who: &str| {
        // done by one of those who were to do it together, it was done by all of them
        let planned = frame.planned_together.get(operation.id.as_str());
        let together = planned.filter(|planned| planned.iter().any(|one| one == who));
        let at_it = |hand: &str| hand == who || together.is_some_and(|together| together.iter().any(|one| one == hand));
        let hands = frame.job.hands.iter().take(64).enumerate();
        let hands = hands.filter(|(_, hand)| at_it(&hand.name));
        hands.fold(0, |all, (at, _)| all | 1_u64 << at)
    };
    match frame.fate(index) {
        Some(Fate::Done(done)) => {
            task.fixed = Some(Fixed {
                start: frame.tick(done.start),
                workers: by(&done.by),
            });
            task.minutes = u32::try_from((done.end - done.start).0.max(0)).unwrap_or(0);
            task.optional = false;
        }
        Some(Fate::Begun { start, by: who }) => {
            task.fixed = Some(Fixed {
                start: frame.tick(*start),
                workers: by(who),
            });
            task.optional = false;
        }
        Some(Fate::Skipped { .. }) => {
            // nothing is done, but what stands in line behind it still follows what stands before it
            task = Task {
                minutes: 0,
                family: None,
                dusty: false,
                wet: None,
                starts: None,
                // it takes no time, so it stays where it stood, whatever the time is now
                release: frame.tick(there),
                ..task
            };
            task.crew.count = 0;
        }
        None => {}
    }
    task
}

/// When the brush or the paper an operation needs can be out: now where it is out still, when the plan in force
/// has it where somebody is setting it out, else after the minutes that takes.
fn set_out(frame: &Frame, operation: &WorkOperation) -> Moment {
    let Some(family) = &operation.family else {
        return frame.now;
    };
    let (open, keeps) = if operation.product.is_some() {
        let keeps = frame.job.rate(rates::KEEPS).ceil() as i64;
        let product = operation.product.as_deref().and_then(|id| frame.job.product(id));
        let mix = if product.is_some_and(mixes::is_mixed) {
            frame.job.rate(rates::MIX).ceil()
        } else {
            0.0
        };
        (frame.job.rate(rates::OPEN) + mix, Span(keeps))
    } else {
        (frame.job.rate(rates::PAPER), Span(i64::from(PAPER_KEEPS)))
    };
    let is_out = frame.lately.get(family).is_some_and(|last| *last + keeps >= frame.now);
    if is_out {
        return frame.now;
    }
    let from_now = frame.now + Span(open.ceil() as i64);
    let under_way = frame.being_set_out.get(&operation.id);
    under_way.map_or(from_now, |&start| start.min(from_now))
}

/// With several pairs of hands a piece is still in one of them at a time: its line of work sees to that, but
/// for the operations by need.
fn one_pair_of_hands_a_piece(frame: &Frame, network: &mut Network) {
    if frame.job.hands.len() < 2 {
        return;
    }
    let mut by_piece: Vec<Vec<usize>> = vec![Vec::new(); frame.job.pieces.len()];
    for (at, operation) in frame.work.operations.iter().enumerate() {
        let own = operation.piece.filter(|_| operation.crew > 0);
        if let Some(own) = own.and_then(|piece| by_piece.get_mut(piece)) {
            own.push(at);
        }
    }
    for own in by_piece {
        let by_need = |&at: &usize| frame.work.operations.get(at).is_some_and(|one| one.optional);
        if !own.iter().any(by_need) {
            continue;
        }
        network.pools.push(Pool {
            capacity: 1,
            taken: Vec::new(),
        });
        let pool = network.pools.len() as PoolId - 1;
        for at in own {
            if let Some(task) = network.tasks.get_mut(at).filter(|task| task.minutes > 0) {
                task.demands.push(Demand {
                    pool,
                    amount: 1,
                    from: Edge::Start,
                    until: Edge::End,
                });
            }
        }
    }
}

fn links(frame: &Frame, network: &mut Network) {
    let wall = |minutes: i64| Tail {
        clock: 0,
        amount: u64::try_from(minutes).unwrap_or(0),
    };
    for wait in &frame.work.waits {
        network.waits.push(Wait {
            before: wait.before as TaskId,
            from_start: wait.from_start,
            after: wait.after as TaskId,
            min: frame.tail(wait.before, wait.min),
            max: wait.max.map(wall),
        });
    }
    for window in &frame.work.windows {
        let spans = window.spans.iter().map(|span| WindowSpan {
            opens: frame.tail(window.before, span.opens),
            closes: span.closes.map(|closes| frame.tail(window.before, closes)),
            via: span.via.map(|via| via as TaskId),
        });
        network.windows.push(Window {
            before: window.before as TaskId,
            after: window.after as TaskId,
            spans: spans.collect(),
        });
    }
    if network.tasks.len() > FRESH_FROM {
        fresh_again(network);
    }
    for bundle in &frame.work.bundles {
        network.bundles.push(Bundle {
            tasks: bundle.iter().map(|&task| task as TaskId).collect(),
        });
    }
    for &(one, other) in &frame.work.pairs {
        network.pairs.push(Pair {
            one: one as TaskId,
            other: other as TaskId,
        });
    }
}

/// From so many tasks on the network itself keeps what is done again fresh. In smaller jobs a plan in which it went
/// stale is planned again with it put off, which gives better plans but takes too long in large ones.
const FRESH_FROM: usize = 900;

/// What is done again because it went stale goes stale in the same time.
fn fresh_again(network: &mut Network) {
    let mut again: BTreeMap<(TaskId, TaskId), Tail> = BTreeMap::new();
    for window in &network.windows {
        let [first, second] = window.spans.as_slice() else {
            continue;
        };
        if let (None, Some(closes), Some(via)) = (first.via, first.closes, second.via)
            && first.opens.amount == 0
            && closes.clock == 0
            && network.tasks.get(via as usize).is_some_and(|task| task.fixed.is_none())
        {
            let known = again.entry((via, window.after)).or_insert(closes);
            known.amount = known.amount.min(closes.amount);
        }
    }
    let never = Tail {
        clock: 0,
        amount: u64::from(u32::MAX),
    };
    let span = |opens, closes| WindowSpan {
        opens,
        closes,
        via: None,
    };
    for ((via, after), closes) in again {
        network.windows.push(Window {
            before: via,
            after,
            spans: vec![span(Tail { clock: 0, amount: 0 }, Some(closes)), span(never, None)],
        });
    }
}

fn goals(frame: &Frame, network: &mut Network) {
    for (index, section) in frame.job.sections.iter().enumerate() {
        let pieces = frame
            .job
            .pieces
            .iter()
            .enumerate()
            .filter(|(_, piece)| piece.section == index);
        let ready = pieces.filter_map(|(piece, _)| frame.work.ready.get(piece)).flatten();
        let tasks = ready
            .map(|&(task, delay)| (task as TaskId, frame.tail(task, delay)))
            .collect();
        let due = section.due.map(|due| frame.tick(due));
        network.goals.push(Goal {
            tasks,
            weight: section.weight,
            due,
        });
    }
}
