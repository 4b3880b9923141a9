//! From a network to a plan.
//!
//! Invariant: there is a plan or a named reason; the same network, settings and (unless stopped) watch give
//! the same plan.

use super::bound::{self, Bound, BoundReason};
use super::layout::Layout;
use super::line::Line;
use super::network::{Network, TaskId, Tick};
use super::plain::Plain;
use super::reason::{Infeasible, Reason};
use super::score::Score;
use super::search::{Placing, Search};
use super::shop::Shop;
use super::solution::Solution;
use std::ops::ControlFlow;

/// How to search.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Settings {
    /// Which chances are taken.
    pub seed: u64,
    /// How many orders are tried; with 0 the best of the first orders is given.
    pub tries: u32,
    /// An order to start from, such as that of an earlier plan.
    pub first: Option<Vec<TaskId>>,
    /// Only that order, none of the engine's own first orders.
    pub only_first: bool,
    /// Lines of search side by side, at least one.
    pub threads: u32,
    /// A bound known already: that of a network of which this is a narrower form, say. Without one it is reckoned.
    pub bound: Option<Bound>,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            seed: 1,
            tries: 1000,
            first: None,
            only_first: false,
            threads: 1,
            bound: None,
        }
    }
}

/// Called with the best plan so far at each improvement and from time to time; [`ControlFlow::Break`] stops
/// the search, and that plan is the answer.
pub type Watch<'a> = dyn FnMut(&Solution) -> ControlFlow<()> + 'a;

/// Tasks placed by a line between two calls of the watch.
const WATCH_EVERY: usize = 40_000;
/// The same on plain networks, where placing is quicker.
const WATCH_EVERY_PLAIN: usize = 400_000;
/// Calls of the watch after which lines that lag behind go on from the best plan of all.
const MEET_EVERY: u32 = 8;

/// Solves a network.
pub fn solve(network: &Network, settings: &Settings, watch: &mut Watch) -> Result<Solution, Infeasible> {
    let layout = Layout::of(network)?;
    let bound = settings.bound.unwrap_or_else(|| bound::bound(&layout));
    let (first, (score, placing), stopped) = first_plan(&layout, settings, bound, watch)?;
    let tries = first.tries();
    if settings.tries == 0 || stopped {
        let mut shop = first.into_shop();
        shop.take_in(&placing);
        let score = shop.settle(score);
        return Ok(shop.solution(score, bound, tries));
    }
    let mut lines = lines(&layout, settings, first, score, &placing);
    let mut shop = Shop::new(&layout);
    shop.take_in(&placing);
    let mut best = shop.solution(score, bound, tries);
    let mut stopped = watch(&best).is_break();
    let limit = u64::from(settings.tries);
    let begun: u64 = lines.iter().map(Line::tries).sum();
    let mut left = limit;
    let plain = lines.iter().any(|line| matches!(line, Line::Breeds(_)));
    let placed = if plain { WATCH_EVERY_PLAIN } else { WATCH_EVERY };
    let each = (placed / network.tasks.len().max(1)).clamp(1, 20_000) as u64;
    let mut calls = 0;
    while !stopped && left > 0 && lines.iter().all(Line::can_move) {
        let share = left.div_ceil(lines.len() as u64).min(each);
        run(&mut lines, share);
        let done = lines.iter().map(Line::tries).sum::<u64>() - begun;
        left = limit.saturating_sub(done);
        calls += 1;
        let found = lines.iter().filter_map(Line::best).min_by_key(|(score, _)| *score);
        if let Some((score, placing)) = found
            && *score < best.score
        {
            shop.take_in(placing);
            best = shop.solution(*score, bound, tries);
        }
        if lines.iter().any(Line::has_proved) && best.bound.ready < best.score.ready as Tick {
            best.bound = Bound {
                ready: best.score.ready as Tick,
                reason: BoundReason::Search,
            };
        }
        if calls % MEET_EVERY == 0 {
            meet(&mut lines);
        }
        best.tries = tries + done;
        stopped = watch(&best).is_break();
    }
    shop.load(&best.starts, &best.workers, &best.pools);
    let score = shop.settle(best.score);
    Ok(shop.solution(score, best.bound, best.tries))
}

/// The best of the first orders, the line of search that found it, and whether the watch has had enough.
fn first_plan<'l, 'n>(
    layout: &'l Layout<'n>,
    settings: &Settings,
    bound: Bound,
    watch: &mut Watch,
) -> Result<(Search<'l, 'n>, (Score, Placing), bool), Infeasible> {
    let given = settings.first.as_deref();
    let mut refused = None;
    let mut stopped = false;
    let mut attempt = |search: &mut Search| {
        let mut best = None;
        for keys in search.first_orders(given, settings.only_first) {
            let outcome = search.decode(&keys);
            if matches!(outcome, Ok(true)) {
                best = search.plan(bound);
            }
            match outcome {
                // large networks take a while over each order: whoever watches is asked after every one
                Ok(_) => stopped = best.as_ref().is_some_and(|plan| watch(plan).is_break()),
                Err(infeasible) => {
                    refused.get_or_insert(infeasible);
                }
            }
            if stopped {
                break;
            }
        }
    };
    let whole = layout.apart.is_none();
    let mut first = Search::new(layout, whole, settings.seed, 0);
    attempt(&mut first);
    if first.best.is_none() && !whole {
        // taken apart the bundles do not fit together; whole they may
        let mut tight = Search::new(layout, true, settings.seed, 0);
        attempt(&mut tight);
        if let Some((score, placing)) = &tight.best {
            first.adopt(*score, placing);
        }
    }
    match first.best.clone() {
        Some(best) => Ok((first, best, stopped)),
        None => Err(refused.unwrap_or(Infeasible {
            task: None,
            reason: Reason::Horizon,
        })),
    }
}

/// The lines of search, each begun from the best of the first orders.
fn lines<'l, 'n>(
    layout: &'l Layout<'n>,
    settings: &Settings,
    mut first: Search<'l, 'n>,
    score: Score,
    placing: &Placing,
) -> Vec<Line<'l, 'n>> {
    let count = u64::from(settings.threads.clamp(1, 64));
    let breed = |stream| {
        let plain = Plain::of(layout)?;
        Some(Line::breed(layout, plain, settings.seed, stream, score, placing))
    };
    let populations: Vec<Line> = (0..count).map_while(breed).collect();
    if !populations.is_empty() {
        return populations;
    }
    first.find_groups();
    let mut lines = vec![Line::Moves(Box::new(first))];
    for stream in 1..count {
        let mut line = Search::new(layout, layout.apart.is_none(), settings.seed, stream);
        line.find_groups();
        line.adopt(score, placing);
        lines.push(Line::Moves(Box::new(line)));
    }
    lines
}

/// Each line changes so many orders, side by side.
fn run(lines: &mut [Line], steps: u64) {
    let walk = |line: &mut Line| {
        let until = line.tries() + steps;
        while line.tries() < until {
            line.step();
        }
    };
    if let [line] = lines {
        walk(line);
        return;
    }
    std::thread::scope(|scope| {
        for line in lines {
            scope.spawn(move || walk(line));
        }
    });
}

/// Lines that lag behind go on from the best plan of all.
fn meet(lines: &mut [Line]) {
    let best = lines
        .iter()
        .filter_map(Line::best)
        .min_by_key(|(score, _)| *score)
        .cloned();
    let Some((score, placing)) = best else { return };
    for line in lines {
        if line.best().is_none_or(|(own, _)| score < *own) {
            line.adopt(score, &placing);
        }
    }
}
