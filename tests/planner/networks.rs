//! Random networks of every kind, repeatable by seed (invented, for tests only).

use denib::planner::{
    Apart, Bundle, Chain, Clock, Crew, Demand, Edge, Family, Fixed, Goal, Network, Pair, Pool, Solution, Stretch, Tail,
    Task, TaskId, Tick, Wait, Window, WindowSpan, Worker,
};
use std::sync::Arc;

pub struct Dice(pub u64);

impl Dice {
    pub fn below(&mut self, count: u32) -> u32 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) % u64::from(count.max(1))) as u32
    }

    pub fn one_in(&mut self, count: u32) -> bool {
        self.below(count) == 0
    }
}

pub fn stretch(from: Tick, until: Tick) -> Stretch {
    Stretch { from, until }
}

pub fn wall(amount: u64) -> Tail {
    Tail { clock: 0, amount }
}

pub fn task(minutes: Tick) -> Task {
    Task {
        minutes,
        crew: Crew { count: 1, among: 1 },
        family: None,
        demands: Vec::new(),
        dusty: false,
        wet: None,
        release: 0,
        starts: None,
        draws: Vec::new(),
        optional: false,
        fixed: None,
        rank: 0,
    }
}

/// One worker who never goes home, everything done is the goal.
pub fn network(horizon: Tick, tasks: Vec<Task>) -> Network {
    let goal = Goal {
        tasks: (0..tasks.len() as u32).map(|id| (id, wall(0))).collect(),
        weight: 1,
        due: None,
    };
    Network {
        horizon,
        clocks: vec![Clock::Wall],
        workers: vec![Worker {
            shifts: vec![stretch(0, horizon + 1000)],
        }],
        tasks,
        goals: vec![goal],
        ..Network::default()
    }
}

pub fn wait(before: TaskId, after: TaskId, least: u64) -> Wait {
    Wait {
        before,
        from_start: false,
        after,
        min: wall(least),
        max: None,
    }
}

/// How large and how varied.
#[derive(Clone, Copy)]
pub struct Size {
    pub tasks: u32,
    pub horizon: Tick,
    pub shift: Tick,
    pub minutes: u32,
}

pub const TINY: Size = Size {
    tasks: 3,
    horizon: 14,
    shift: 6,
    minutes: 3,
};
pub const SMALL: Size = Size {
    tasks: 14,
    horizon: 1500,
    shift: 60,
    minutes: 20,
};

/// A network with a random choice of rules.
pub fn random(seed: u64, size: Size) -> Network {
    let mut dice = Dice(seed.wrapping_mul(0x9E37_79B9).wrapping_add(77));
    for _ in 0..4 {
        dice.below(2);
    }
    let workers = 1 + dice.below(2);
    let mut network = Network {
        horizon: size.horizon,
        clocks: vec![Clock::Wall, measured(&mut dice, size)],
        workers: (0..workers).map(|_| worker(&mut dice, size)).collect(),
        ..Network::default()
    };
    let long = size.shift.max(2);
    for _ in 0..dice.below(3) {
        let taken = (0..dice.below(2)).map(|_| (span(&mut dice, size), 1)).collect();
        network.pools.push(Pool {
            capacity: 1 + dice.below(3),
            taken,
        });
    }
    if dice.one_in(2) {
        network.budgets.push(2 + dice.below(4));
    }
    for _ in 0..dice.below(3) {
        let third = long / 6 + 1;
        network.families.push(Family {
            open: dice.below(third),
            close: dice.below(third),
            keeps: dice.below(long),
        });
    }
    if dice.one_in(2) {
        network.apart = Some(Apart {
            settle: dice.below(long / 3 + 1),
        });
        if dice.one_in(3) {
            network.wet_already.push(stretch(0, dice.below(long)));
            network.dust_until = dice.below(long / 2 + 1);
        }
    }
    network.start_sets.push(vec![
        span(&mut dice, size),
        stretch(size.horizon / 2 + long, size.horizon),
    ]);
    let count = 1 + dice.below(size.tasks);
    for id in 0..count {
        let task = random_task(&mut dice, &network, size, id);
        network.tasks.push(task);
    }
    links(&mut dice, &mut network, size, count);
    let goals = 1 + dice.below(2);
    for goal in 0..goals {
        let tasks = (0..count)
            .filter(|id| id % goals == goal)
            .map(|id| (id, tail(&mut dice, size)))
            .collect();
        let due = dice.one_in(4).then(|| dice.below(size.horizon));
        network.goals.push(Goal {
            tasks,
            weight: 1 + dice.below(3),
            due,
        });
    }
    network
}

/// A few tasks that all want the same thing: one pair of hands, a place, the air, or no dust.
pub fn crowded(seed: u64) -> Network {
    let mut dice = Dice(seed.wrapping_mul(0x9E37_79B9).wrapping_add(5));
    for _ in 0..4 {
        dice.below(2);
    }
    let kind = dice.below(4);
    let count = 3 + u32::from(dice.one_in(3));
    let mut network = network(18, (0..count).map(|_| task(1 + dice.below(2))).collect());
    if dice.one_in(2) {
        let length = 5 + dice.below(3);
        let day = length + 1 + dice.below(3);
        network.workers[0].shifts = (0..6).map(|at| stretch(at * day, at * day + length)).collect();
    }
    if dice.one_in(3) {
        network.workers.push(network.workers[0].clone());
        network.tasks.iter_mut().for_each(|task| task.crew.among = 3);
    }
    network.pools.push(Pool {
        capacity: 1 + dice.below(2),
        taken: Vec::new(),
    });
    if dice.one_in(3) {
        network.pools[0].taken.push((stretch(2, 3 + dice.below(3)), 1));
    }
    network.budgets.push(1 + dice.below(3));
    if kind == 0 {
        network.families = (0..2)
            .map(|_| Family {
                open: dice.below(2),
                close: dice.below(2),
                keeps: 100,
            })
            .collect();
    }
    network.apart = (kind == 3).then(|| Apart { settle: dice.below(2) });
    for id in 0..count as usize {
        let length = wall(1 + u64::from(dice.below(4)));
        let (pool, budget) = (network.pools[0].capacity, network.budgets[0]);
        let task = &mut network.tasks[id];
        match kind {
            0 => task.family = Some(dice.below(2)),
            2 => task.draws.push((0, 1 + dice.below(budget), 1 + dice.below(4))),
            3 if dice.one_in(3) => task.dusty = true,
            _ => {
                task.wet = (kind == 3).then_some(length);
                task.demands.push(Demand {
                    pool: 0,
                    amount: 1 + dice.below(pool),
                    from: Edge::Start,
                    until: Edge::After(length),
                });
            }
        }
    }
    if kind == 1 && dice.one_in(2) {
        // a run of two that holds a place over its wait
        network.waits.push(wait(0, 1, u64::from(dice.below(4))));
        network.tasks[0].demands.clear();
        network.tasks[1].demands.clear();
        network.chains.push(Chain {
            pool: 0,
            or: Vec::new(),
            amount: 1,
            first: 0,
            last: vec![(1, wall(u64::from(dice.below(3))))],
        });
    }
    network
}

/// Runs that take turns on one place or two, in short shifts with set-ups, on a clock that may stand still at night; the
/// first has two tasks, the second of them inside a limit or a stretch that closes.
pub fn queued(seed: u64) -> Network {
    let mut dice = Dice(seed.wrapping_mul(0x9E37_79B9).wrapping_add(31));
    for _ in 0..4 {
        dice.below(2);
    }
    let count = 4 + u32::from(dice.one_in(4));
    let mut network = network(40, (0..count).map(|_| task(1 + dice.below(2))).collect());
    let length = 3 + dice.below(4);
    let day = length + 1 + dice.below(4);
    network.workers[0].shifts = (0..8).map(|at| stretch(at * day, at * day + length)).collect();
    let night = dice.one_in(2);
    let passed = (0..120_u32).scan(0, |passed, tick| {
        let now = *passed;
        *passed += u64::from(!night || tick % day < length);
        Some(now)
    });
    let passed: Vec<u64> = passed.collect();
    network.clocks.push(Clock::Measured(Arc::new(passed).into()));
    let tail = |amount| Tail { clock: 1, amount };
    network.families.push(Family {
        open: dice.below(2),
        close: dice.below(2),
        keeps: dice.below(3),
    });
    network.pools.push(Pool {
        capacity: 1 + u32::from(count > 4 && dice.one_in(2)),
        taken: Vec::new(),
    });
    let soonest = u64::from(dice.below(4));
    match dice.below(3) {
        0 => {
            network.waits.push(Wait {
                max: Some(wall(soonest + u64::from(dice.below(3)))),
                ..wait(0, 1, soonest)
            });
            network.bundles.push(Bundle { tasks: vec![0, 1] });
        }
        1 => {
            let span = |opens, closes| WindowSpan {
                opens,
                closes,
                via: None,
            };
            let spans = vec![
                span(tail(soonest), Some(tail(soonest + 1 + u64::from(dice.below(2))))),
                span(tail(soonest + 4 + u64::from(dice.below(3))), None),
            ];
            network.windows.push(Window {
                before: 0,
                after: 1,
                spans,
            });
        }
        _ => network.waits.push(Wait {
            min: tail(soonest),
            ..wait(0, 1, 0)
        }),
    }
    for first in (0..count).filter(|&id| id != 1) {
        let last = if first == 0 { 1 } else { first };
        network.chains.push(Chain {
            pool: 0,
            or: Vec::new(),
            amount: 1,
            first,
            last: vec![(last, tail(u64::from(1 + dice.below(5))))],
        });
    }
    for task in &mut network.tasks {
        task.family = dice.one_in(2).then_some(0);
    }
    network
}

fn measured(dice: &mut Dice, size: Size) -> Clock {
    let mut total = vec![0];
    let mut passed = 0;
    for tick in 0..size.horizon * 3 {
        let night = (tick / (size.shift + 1)) % 3 == 2;
        passed += if night { 0 } else { u64::from(1 + dice.below(2)) };
        total.push(passed);
    }
    Clock::Measured(std::sync::Arc::new(total).into())
}

fn worker(dice: &mut Dice, size: Size) -> Worker {
    let mut shifts = Vec::new();
    let mut at = dice.below(size.shift / 2 + 1);
    while at < size.horizon * 2 {
        let length = size.shift - dice.below(size.shift / 3 + 1);
        shifts.push(stretch(at, at + length));
        at += length + 1 + dice.below(size.shift / 2 + 1);
    }
    Worker { shifts }
}

fn span(dice: &mut Dice, size: Size) -> Stretch {
    let from = dice.below(size.horizon / 2);
    stretch(from, from + 1 + dice.below(size.shift))
}

fn tail(dice: &mut Dice, size: Size) -> Tail {
    Tail {
        clock: dice.below(2),
        amount: u64::from(dice.below(size.shift)),
    }
}

fn random_task(dice: &mut Dice, network: &Network, size: Size, id: TaskId) -> Task {
    let workers = network.workers.len() as u32;
    let all = (1_u64 << workers) - 1;
    let mut task = task(if dice.one_in(8) {
        0
    } else {
        1 + dice.below(size.minutes)
    });
    let among = if dice.one_in(2) { all } else { 1 << dice.below(workers) };
    let count = if dice.one_in(6) {
        2.min(among.count_ones())
    } else {
        u32::from(!dice.one_in(7))
    };
    task.crew = Crew {
        count: count as u8,
        among,
    };
    task.family = (!network.families.is_empty() && dice.one_in(2)).then(|| dice.below(network.families.len() as u32));
    for (pool, data) in network.pools.iter().enumerate() {
        if dice.one_in(2) {
            let until = match dice.below(3) {
                0 => Edge::End,
                1 => Edge::After(tail(dice, size)),
                _ => Edge::AfterStart(tail(dice, size)),
            };
            let from = if dice.one_in(4) { Edge::End } else { Edge::Start };
            task.demands.push(Demand {
                pool: pool as u32,
                amount: 1 + dice.below(data.capacity),
                from,
                until,
            });
        }
    }
    if let Some(&budget) = network.budgets.first()
        && dice.one_in(2)
    {
        let amount = 1 + dice.below(budget);
        task.draws.push((0, amount, dice.below(size.shift)));
        // a stair: a further step of the same budget
        if amount < budget && dice.one_in(2) {
            task.draws
                .push((0, 1 + dice.below(budget - amount), dice.below(size.shift)));
        }
    }
    match dice.below(3) {
        0 => task.dusty = true,
        1 => task.wet = Some(tail(dice, size)),
        _ => {}
    }
    task.release = if dice.one_in(4) { dice.below(size.shift) } else { 0 };
    task.starts = dice.one_in(5).then_some(0);
    task.rank = u64::from(dice.below(3));
    if id == 0 && dice.one_in(6) {
        task.fixed = Some(Fixed {
            start: dice.below(3),
            workers: u64::from(task.minutes > 0 && task.crew.count > 0),
        });
    }
    task
}

fn links(dice: &mut Dice, network: &mut Network, size: Size, count: u32) {
    for after in 1..count {
        if dice.one_in(3) {
            let before = dice.below(after);
            network.waits.push(Wait {
                before,
                from_start: dice.one_in(4),
                after,
                min: tail(dice, size),
                max: None,
            });
        }
    }
    if count >= 3 && dice.one_in(2) {
        let after = 1 + dice.below(count - 1);
        let before = dice.below(after);
        let third = u64::from(size.shift / 3 + 1);
        let via = network.tasks.len() as u32;
        let mut optional = task(1 + dice.below(size.minutes / 2 + 1));
        optional.optional = true;
        optional.dusty = dice.one_in(2);
        network.tasks.push(optional);
        network.windows.push(Window {
            before,
            after,
            spans: vec![
                WindowSpan {
                    opens: wall(1),
                    closes: Some(wall(third)),
                    via: None,
                },
                WindowSpan {
                    opens: wall(third * 3),
                    closes: None,
                    via: Some(via),
                },
            ],
        });
    }
    if count >= 2 && dice.one_in(3) {
        let first = dice.below(count - 1);
        let waits = |before: u32, after: u32| Wait {
            before,
            from_start: false,
            after,
            min: wall(1),
            max: Some(wall(u64::from(size.minutes) + 6)),
        };
        network.waits.push(waits(first, first + 1));
        network.bundles.push(Bundle {
            tasks: vec![first, first + 1],
        });
    }
    if let Some(pool) = network.pools.first()
        && dice.one_in(2)
    {
        let amount = 1 + dice.below(pool.capacity);
        for first in 0..count.saturating_sub(1) {
            if dice.one_in(3) && first % 2 == 0 {
                let last = vec![(first + 1, tail(dice, size))];
                network.waits.push(wait(first, first + 1, 0));
                let or = network.pools.iter().skip(1).position(|other| other.capacity >= amount);
                network.chains.push(Chain {
                    pool: 0,
                    or: or
                        .filter(|_| dice.one_in(2))
                        .map(|at| at as u32 + 1)
                        .into_iter()
                        .collect(),
                    amount,
                    first,
                    last,
                });
            }
        }
    }
    if count >= 2 {
        network.pairs.push(Pair {
            one: 0,
            other: count - 1,
        });
    }
}

/// Breaches of a plan given by starts and workers alone, with every run on the place that suits the plan best.
pub fn breaches_of(network: &Network, starts: &[Option<Tick>], workers: &[u64]) -> Vec<denib::planner::Breach> {
    use denib::planner::Breach;
    let mut pools: Vec<u32> = network.chains.iter().map(|chain| chain.pool).collect();
    let mut least = breaches_on(network, starts, workers, &pools);
    let over = |breach: &Breach| matches!(breach, Breach::PoolOver { .. });
    let choices: Vec<usize> = (0..pools.len())
        .filter(|&at| !network.chains[at].or.is_empty())
        .collect();
    if !least.iter().any(over) {
        return least;
    }
    // of every run its first place or the next that would do
    for other in 1..1_u32 << choices.len() {
        for (bit, &at) in choices.iter().enumerate() {
            let chain = &network.chains[at];
            pools[at] = if other >> bit & 1 == 1 { chain.or[0] } else { chain.pool };
        }
        let breaches = breaches_on(network, starts, workers, &pools);
        if breaches.len() < least.len() {
            least = breaches;
        }
    }
    least
}

fn breaches_on(
    network: &Network,
    starts: &[Option<Tick>],
    workers: &[u64],
    pools: &[u32],
) -> Vec<denib::planner::Breach> {
    use denib::planner::{Bound, BoundReason, Breach, Score};
    let solution = Solution {
        starts: starts.to_vec(),
        workers: workers.to_vec(),
        setups: Vec::new(),
        holds: vec![None; network.chains.len()],
        pools: pools.to_vec(),
        score: Score::default(),
        bound: Bound {
            ready: 0,
            reason: BoundReason::Drying,
        },
        tries: 0,
    };
    let mut breaches = denib::planner::verify(network, &solution);
    breaches.retain(|breach| {
        !matches!(
            breach,
            Breach::WrongSetups | Breach::WrongHold { .. } | Breach::WrongScore
        )
    });
    breaches
}
