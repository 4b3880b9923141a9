//! The story sticks of the page *Day*: time cut into equal stretches, each marked cell by cell.
//!
//! Invariant: a stick begins at a midnight of the zone or a whole number of its lengths after one; cells are
//! equally long; a stretch in which nothing is to do is one line that says how long.

use super::chain::{Link, WaitsFor};
use super::day::{Days, Mark, Zoom};
use crate::dayplan::document::Dry;
use crate::finish::Prepare;
use crate::units::{Edge, Moment, Span, resolve};
use chrono::Days as CalendarDays;
use chrono_tz::Tz;

/// A stick, or a stretch without one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Stick {
    /// A stretch with rounds in it.
    Marked {
        /// From.
        from: Moment,
        /// Until.
        until: Moment,
    },
    /// A stretch with none.
    Idle {
        /// From.
        from: Moment,
        /// Until.
        until: Moment,
    },
}

impl Stick {
    /// From, until.
    pub const fn span(&self) -> (Moment, Moment) {
        match self {
            Self::Marked { from, until } | Self::Idle { from, until } => (*from, *until),
        }
    }

    /// The instant lies in it.
    pub fn holds(&self, at: Moment) -> bool {
        let (from, until) = self.span();
        from <= at && at < until
    }
}

/// Minutes a cell stands for, so that a stick of this zoom fits into so many columns.
pub const fn cell_minutes(zoom: Zoom, columns: usize) -> i64 {
    let sizes: &[i64] = match zoom {
        Zoom::Days | Zoom::Day => &[10, 15, 30, 60, 120],
        Zoom::Quarter => &[2, 3, 5, 10, 20, 30],
        Zoom::Hour => &[1, 2, 5, 10],
    };
    let mut at = 0;
    while at < sizes.len() {
        // the day the clocks go back is an hour longer: its line runs into the room left for what is said at its end
        if zoom.minutes() / sizes[at] <= columns as i64 {
            return sizes[at];
        }
        at += 1;
    }
    sizes[sizes.len() - 1]
}

/// The sticks of these days.
pub fn sticks(days: &Days, zoom: Zoom, zone: Tz) -> Vec<Stick> {
    let mut sticks: Vec<Stick> = Vec::new();
    let mut date = days.from.in_zone(zone).date_naive();
    let last = days.until.in_zone(zone).date_naive();
    while date <= last {
        let Some(next) = date.checked_add_days(CalendarDays::new(1)) else {
            break;
        };
        let midnight = |date: chrono::NaiveDate| resolve(date.and_time(chrono::NaiveTime::MIN), zone, Edge::Start);
        let (dawn, dusk) = (midnight(date), midnight(next));
        let mut from = dawn;
        while from < dusk {
            let until = match zoom {
                Zoom::Days | Zoom::Day => dusk,
                Zoom::Quarter | Zoom::Hour => (from + Span(zoom.minutes())).min(dusk),
            };
            push(&mut sticks, days, from, until);
            from = until;
        }
        date = next;
    }
    sticks
}

fn push(sticks: &mut Vec<Stick>, days: &Days, from: Moment, until: Moment) {
    let marked = days
        .marks_in(from, until)
        .any(|(_, mark)| mark.start < until && mark.end.max(mark.start + Span(1)) > from);
    if marked {
        sticks.push(Stick::Marked { from, until });
        return;
    }
    match sticks.last_mut() {
        Some(Stick::Idle { until: end, .. }) if *end == from => *end = until,
        _ => sticks.push(Stick::Idle { from, until }),
    }
}

/// The cells of a stretch: from, until.
pub fn cells(from: Moment, until: Moment, minutes: i64) -> impl Iterator<Item = (Moment, Moment)> {
    let minutes = minutes.max(1);
    let count = (until - from).0.max(0).div_euclid(minutes) + i64::from((until - from).0.rem_euclid(minutes) > 0);
    (0..count).map(move |cell| {
        let start = from + Span(cell * minutes);
        (start, (start + Span(minutes)).min(until))
    })
}

/// Minutes two stretches share.
fn shared(one: (Moment, Moment), other: (Moment, Moment)) -> i64 {
    (one.1.min(other.1) - one.0.max(other.0)).0
}

/// The round that takes most of a cell; the one picked before all others.
pub fn mark_in(days: &Days, cell: (Moment, Moment), picked: Option<usize>) -> Option<&Mark> {
    let taken = |mark: &Mark| shared((mark.start, mark.end.max(mark.start + Span(1))), cell);
    let here = days.marks_in(cell.0, cell.1).filter(|(_, mark)| taken(mark) > 0);
    here.max_by_key(|(index, mark)| (Some(*index) == picked, taken(mark), std::cmp::Reverse(*index)))
        .map(|(_, mark)| mark)
}

/// What films do in a cell.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum FilmsIn {
    /// None that is not to be carried yet.
    None,
    /// Some may not be carried yet.
    Drying,
    /// Some are wet.
    Wet,
}

/// What the films do in a cell, at their wettest.
pub fn films_in(days: &Days, cell: (Moment, Moment)) -> FilmsIn {
    // joined: in order and apart
    let any = |all: &[(Moment, Moment)]| {
        let first = all.partition_point(|stretch| stretch.1 <= cell.0);
        all.get(first).is_some_and(|stretch| shared(*stretch, cell) > 0)
    };
    if any(&days.wet) {
        FilmsIn::Wet
    } else if any(&days.held) {
        FilmsIn::Drying
    } else {
        FilmsIn::None
    }
}

/// The stretches of the chain that lie in a stretch of time.
pub fn links_in(days: &Days, (from, until): (Moment, Moment)) -> Vec<&Link> {
    let links = days.chain.iter();
    links.filter(|link| link.from < until && from < link.until).collect()
}

/// What the end waits for in most of a cell, by the links about it.
pub fn chain_in(links: &[&Link], cell: (Moment, Moment)) -> Option<WaitsFor> {
    let of = |link: &&Link| (shared((link.from, link.until), cell), link.waits_for);
    let here = links.iter().map(of).filter(|(minutes, _)| *minutes > 0);
    here.max_by_key(|(minutes, _)| *minutes).map(|(_, waits_for)| waits_for)
}

/// What the film of one round allows in a cell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FilmOf {
    /// Wet: leave it alone.
    Wet,
    /// May be turned, not coated.
    Dry,
    /// The next coat may go on.
    Open(Prepare),
    /// Between two windows: a coat now spoils the film.
    Gap,
}

/// What a film laid by `laid` allows at an instant; `None` before that.
pub fn film_at(laid: Moment, dry: &Dry, at: Moment) -> Option<FilmOf> {
    if at < laid {
        return None;
    }
    let touch = dry.dry_to_touch.or(dry.dry_to_turn).or(dry.dry_to_sand);
    if touch.is_some_and(|touch| at < Moment::of(&touch)) {
        return Some(FilmOf::Wet);
    }
    let mut opened = false;
    for window in &dry.windows {
        let (from, until) = (Moment::of(&window.from), window.until.map(|until| Moment::of(&until)));
        if from <= at && until.is_none_or(|until| at < until) {
            return Some(FilmOf::Open(window.prepare));
        }
        opened |= from <= at;
    }
    Some(if opened { FilmOf::Gap } else { FilmOf::Dry })
}
