//! `denib tick`: writes down what was done, without a screen.
//!
//! Invariant: what is said to be written is in the log and on the disk; nothing is said before.

use super::bench::Bench;
use super::context::Context;
use super::exit::Exit;
use super::failure::Failure;
use super::options::{JobOptions, LookOptions};
use super::tick_more::More;
use super::tick_words::{in_words, pieces_named};
use super::time;
use crate::dayplan::document::{Operation, Stamp};
use crate::dayplan::{History, Plan, Settings};
use crate::job::Job;
use crate::log::{Purpose, Record, What};
use crate::report::{Paper, Sheet};
use crate::source::{nearest, visible};
use crate::standing::Standing;
use crate::units::text::{TemperatureUnit, temperature as read_temperature};
use crate::units::{Moment, Span};
use clap::{ArgGroup, Args, ValueEnum};
use std::collections::BTreeSet;

/// Write down what was done: a round and its exceptions, a touch test, a reading of the room.
#[derive(Debug, Args)]
#[command(group = ArgGroup::new("instead").args([
    "begun", "skip", "undo", "not_dry", "dry", "reading", "note", "strip", "mend", "extra_coat", "keep", "away", "accept",
]))]
#[command(
    after_help = "Examples:\n  denib tick linen-press.toml                       the round now up is done\n  \
denib tick linen-press.toml r04 --all-but leg-3   round r04 is done, but for leg 3\n  \
denib tick linen-press.toml --at 14:10            it was done by 14:10\n  \
denib tick linen-press.toml --not-dry top --for turn\n  \
denib tick linen-press.toml --reading 18.5,52     thermometer and hygrometer\n  \
denib tick linen-press.toml --mend top --fault run --sides face\n  \
denib tick linen-press.toml --away Wren --until +90\n  \
denib tick linen-press.toml --undo\n\nPIECE is a piece such as leg-3, or a part such as leg for all its pieces."
)]
pub struct Tick {
    #[command(flatten)]
    job: JobOptions,
    /// The round, as `denib status` and the plan name it; the one now up otherwise.
    #[arg(value_name = "ROUND", conflicts_with_all = [
        "undo", "not_dry", "dry", "reading", "note", "strip", "mend", "extra_coat", "keep", "away", "accept",
    ])]
    round: Option<String>,
    /// Only these pieces of the round.
    #[arg(long, value_name = "PIECE,..", value_delimiter = ',')]
    only: Vec<String>,
    /// All pieces of the round but these.
    #[arg(long, value_name = "PIECE,..", value_delimiter = ',', conflicts_with = "only")]
    all_but: Vec<String>,
    /// When: 14:10, -20 (minutes ago), or 2026-12-01 14:10.
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    at: Option<String>,
    /// When it was begun; worked out from the planned minutes otherwise.
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    from: Option<String>,
    /// The round is on the bench now, not over yet.
    #[arg(long)]
    begun: bool,
    /// The round will not be done, and why.
    #[arg(long, value_name = "REASON")]
    skip: Option<String>,
    /// Take back the last thing you wrote down.
    #[arg(long)]
    undo: bool,
    /// A touch test says: not dry enough yet.
    #[arg(long, value_name = "PIECE", requires = "purpose")]
    not_dry: Option<String>,
    /// A touch test says: dry enough already.
    #[arg(long, value_name = "PIECE", requires = "purpose")]
    dry: Option<String>,
    /// What the piece was tested for.
    #[arg(long = "for", id = "purpose", value_name = "PURPOSE")]
    purpose: Option<For>,
    /// What thermometer and hygrometer say, in the job's units; the humidity may be left out.
    #[arg(long, value_name = "T,RH", allow_hyphen_values = true)]
    reading: Option<String>,
    /// A note.
    #[arg(long, value_name = "TEXT")]
    note: Option<String>,
    /// Who says so, where several people are at the bench.
    #[arg(long, value_name = "NAME")]
    who: Option<String>,
    #[command(flatten)]
    more: More,
    #[command(flatten)]
    look: LookOptions,
}

/// What a piece is tested for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum For {
    /// To lay it over.
    Turn,
    /// To sand or de-nib it.
    Sand,
    /// For the next coat.
    Recoat,
    /// To carry it.
    Handle,
    /// To clamp and glue it.
    Glue,
    /// To stack it.
    Stack,
    /// To rub it out or wax it.
    Rub,
}

impl From<For> for Purpose {
    fn from(purpose: For) -> Self {
        match purpose {
            For::Turn => Self::Turn,
            For::Sand => Self::Sand,
            For::Recoat => Self::Recoat,
            For::Handle => Self::Handle,
            For::Glue => Self::Glue,
            For::Stack => Self::Stack,
            For::Rub => Self::Rub,
        }
    }
}

/// Who writes: the one named, else the only pair of hands.
pub(super) fn who(named: Option<&str>, job: &Job) -> Result<String, Failure> {
    let hands = || job.hands.iter().map(|hand| hand.name.as_str());
    match (named, job.hands.as_slice()) {
        (Some(name), _) => {
            let all = || hands().map(visible).collect::<Vec<_>>().join(", ");
            let stranger = || Failure::usage(format!("the job has no hands named \"{}\"", visible(name)));
            let known = hands().find(|hand| hand.eq_ignore_ascii_case(name));
            known
                .map(str::to_owned)
                .ok_or_else(|| stranger().hint(format!("Its hands are: {}.", all())))
        }
        (None, [only]) => Ok(only.name.clone()),
        (None, several) => {
            let all = several
                .iter()
                .map(|hand| visible(&hand.name))
                .collect::<Vec<_>>()
                .join(", ");
            Err(Failure::usage("say who, with --who NAME").hint(format!("The job's hands are: {all}.")))
        }
    }
}

/// What is known when a tick is worked out.
struct Now<'a> {
    job: &'a Job,
    plan: Option<&'a Plan>,
    standing: &'a Standing,
    history: &'a History,
    records: &'a [Record],
    who: &'a str,
    at: Moment,
}

impl Tick {
    pub(super) fn run(self, context: &mut Context<'_>) -> Result<Exit, Failure> {
        let mut bench = Bench::open(&self.job, self.look, context)?;
        let now = bench.now(&self.job, context)?;
        let who = who(self.who.as_deref(), &bench.job)?;
        if bench.plan.is_none() && self.is_about_a_round() {
            let stopped = context.stopped;
            let plan = bench.make_plan(Moment::of(&now), Settings::default(), &mut || !stopped())?;
            let what = What::AcceptedPlan {
                plan: std::sync::Arc::new(plan),
            };
            let said = match bench.take_on(now, &who, vec![what])? {
                Some(_) => "No plan was in force: the plan that `denib plan` makes is taken on.\n",
                None => "No plan was in force; another run has taken one on by now, and it counts.\n",
            };
            context.tell(said)?;
        }
        let at = Moment::of(&now);
        let (said, what) = {
            let (standing, history) = (bench.standing(at), bench.history(at));
            let facts = Now {
                job: &bench.job,
                plan: bench.plan.as_deref(),
                standing: &standing,
                history: &history,
                records: bench.log.records(),
                who: &who,
                at,
            };
            self.decide(&facts).map_err(Failure::usage)?
        };
        let words = in_words(&what, &bench.job, bench.plan.as_deref(), bench.log.records(), at);
        let said = said.map_or(now, |said| said.with_offset(bench.job.zone));
        bench.append(said, &who, vec![what])?;
        let paper = self.look.paper(context);
        context.print(&after(&bench, &words, at, paper))?;
        Ok(Exit::DONE)
    }

    const fn is_about_a_round(&self) -> bool {
        !(self.more.is_said()
            || self.undo
            || self.not_dry.is_some()
            || self.dry.is_some()
            || self.reading.is_some()
            || self.note.is_some())
    }

    /// What to write, and the instant it is written for where that is not the present one.
    fn decide(&self, now: &Now<'_>) -> Result<(Option<Moment>, What), String> {
        let zone = now.job.zone;
        let at = match &self.at {
            Some(written) => time::past(written, now.at, zone)?,
            None => now.at,
        };
        let earlier = self.at.is_some().then_some(at);
        if self.undo {
            return Ok((None, undo(now)?));
        }
        if let Some(what) = self.more.decide(now.job, now.plan, at)? {
            return Ok((earlier, what));
        }
        if let Some(written) = &self.reading {
            return Ok((earlier, reading(written, now.job)?));
        }
        if let Some(text) = &self.note {
            return Ok((earlier, What::Note { text: text.clone() }));
        }
        if let Some(purpose) = self.purpose {
            let purpose = Purpose::from(purpose);
            return match (&self.not_dry, &self.dry) {
                (Some(piece), _) => Ok((
                    earlier,
                    What::NotYetDry {
                        operation: last_film(piece, now)?,
                        purpose,
                    },
                )),
                (None, Some(piece)) => Ok((
                    earlier,
                    What::DryAlready {
                        operation: last_film(piece, now)?,
                        purpose,
                    },
                )),
                (None, None) => Err("--for goes with --not-dry or --dry".to_owned()),
            };
        }
        let operations = self.operations(now)?;
        let ids: Vec<String> = operations.iter().map(|operation| operation.id.clone()).collect();
        if let Some(reason) = &self.skip {
            return Ok((
                earlier,
                What::Skipped {
                    operations: ids,
                    reason: reason.clone(),
                },
            ));
        }
        let from = match &self.from {
            Some(written) => Some(time::past(written, now.at, zone)?),
            None => None,
        };
        if self.begun {
            let start = from.unwrap_or(at).with_offset(zone);
            return Ok((None, What::Begun { operations: ids, start }));
        }
        let begun = || {
            operations
                .iter()
                .filter_map(|operation| now.history.begun(&operation.id))
                .min()
        };
        let start = from.or_else(begun).unwrap_or_else(|| at - planned(&operations));
        if start > at {
            return Err("it would have ended before it was begun".to_owned());
        }
        Ok((
            None,
            What::Done {
                operations: ids,
                start: start.with_offset(zone),
                end: at.with_offset(zone),
            },
        ))
    }

    /// The operations of the round that are left, exceptions taken out.
    fn operations<'a>(&self, now: &Now<'a>) -> Result<Vec<&'a Operation>, String> {
        let plan = now.plan.ok_or("no plan is in force")?;
        let round = match &self.round {
            Some(id) => plan
                .rounds
                .iter()
                .find(|round| round.id.eq_ignore_ascii_case(id))
                .ok_or_else(|| {
                    let near = nearest(id, plan.rounds.iter().map(|round| round.id.as_str()));
                    let near = near.map_or_else(String::new, |near| format!("; the nearest is {near}"));
                    format!("the plan in force has no round \"{}\"{near}", visible(id))
                })?,
            None => now
                .standing
                .now_round
                .and_then(|at| now.standing.rounds.get(at))
                .and_then(|round| plan.rounds.get(round.round))
                .ok_or("nothing for hands at the moment; name the round")?,
        };
        let only = pieces_named(&self.only, now.job)?;
        let but = pieces_named(&self.all_but, now.job)?;
        let of_round: Vec<&Operation> = round
            .operations
            .iter()
            .filter_map(|id| plan.operations.iter().find(|operation| operation.id == *id))
            .collect();
        let in_round = |piece: &String| of_round.iter().any(|operation| operation.piece.as_ref() == Some(piece));
        if let Some(stray) = only.iter().chain(&but).find(|piece| !in_round(piece)) {
            return Err(format!("{} is not in round {}", visible(stray), visible(&round.id)));
        }
        let wanted = |operation: &&Operation| match &operation.piece {
            Some(piece) => (only.is_empty() || only.contains(piece)) && !but.contains(piece),
            None => only.is_empty(),
        };
        let named: Vec<&Operation> = of_round.into_iter().filter(wanted).collect();
        let left: Vec<&Operation> = named
            .iter()
            .copied()
            .filter(|operation| !now.history.is_over(&operation.id))
            .collect();
        match (named.is_empty(), left.is_empty()) {
            (true, _) => Err(format!("no piece of round {} is left", visible(&round.id))),
            (false, true) => Err(format!("round {} is over already", visible(&round.id))),
            (false, false) => Ok(left),
        }
    }
}

/// Planned length of operations one after the other.
fn planned(operations: &[&Operation]) -> Span {
    let lengths = operations
        .iter()
        .map(|operation| operation.end.signed_duration_since(operation.start).num_minutes());
    Span(lengths.sum())
}

/// The last thing this person wrote that is not a plan and was not taken back.
fn undo(now: &Now<'_>) -> Result<What, String> {
    let taken_back: BTreeSet<&str> = now
        .records
        .iter()
        .filter_map(|record| match &record.what {
            What::Undone { record } => Some(record.as_str()),
            _ => None,
        })
        .collect();
    let last = now.records.iter().rev().find(|record| {
        record.who == now.who
            && !matches!(record.what, What::Undone { .. } | What::AcceptedPlan { .. })
            && !taken_back.contains(record.id.as_str())
    });
    let last = last.ok_or_else(|| format!("{} has written nothing that can be taken back", visible(now.who)))?;
    Ok(What::Undone {
        record: last.id.clone(),
    })
}

/// `18.5,52` or `18.5`, in the job's units.
fn reading(written: &str, job: &Job) -> Result<What, String> {
    let accepted = "temperature and humidity such as 18.5,52";
    let (warm, damp) = match written.split_once(',') {
        Some((warm, damp)) => (warm, Some(damp)),
        None => (written, None),
    };
    let unit = if job.shown_in.fahrenheit {
        TemperatureUnit::Fahrenheit
    } else {
        TemperatureUnit::Celsius
    };
    let temperature = read_temperature(warm.trim(), unit)
        .map_err(|refusal| format!("\"{}\" {}; write {accepted}", visible(warm), refusal.why))?;
    let humidity = match damp.map(|damp| damp.trim().trim_end_matches('%').trim().parse::<f64>()) {
        None => None,
        Some(Ok(percent)) if (0.0..=100.0).contains(&percent) => Some(percent),
        Some(_) => {
            return Err(format!(
                "the humidity in \"{}\" is not between 0 and 100; write {accepted}",
                visible(written)
            ));
        }
    };
    if !(-30.0..=60.0).contains(&temperature.0) {
        return Err(format!(
            "{} is no temperature of a workshop; write {accepted}",
            visible(warm)
        ));
    }
    Ok(What::Reading {
        temperature: temperature.0,
        humidity,
    })
}

/// The coat operation that laid the youngest film of a piece.
fn last_film(piece: &str, now: &Now<'_>) -> Result<String, String> {
    let ids = pieces_named(&[piece.to_owned()], now.job)?;
    let films = now.standing.pieces.iter().filter_map(|standing| {
        let id = &now.job.pieces.get(standing.piece)?.id;
        ids.contains(id)
            .then(|| standing.surfaces.iter().filter_map(|surface| surface.film.as_ref()))
    });
    // of a part's pieces the one coated last is the slowest
    let last = films.flatten().max_by_key(|film| film.at);
    let last = last.ok_or_else(|| format!("{} has no coat on it yet", visible(piece)))?;
    Ok(last.operation.clone())
}

/// What is said after the record is on the disk, with the round that is up next.
fn after(bench: &Bench, words: &str, at: Moment, paper: Paper) -> String {
    let mut sheet = Sheet::new(paper);
    sheet.line(&format!("Written: {words}"));
    let standing = bench.standing(at);
    let today: Stamp = at.with_offset(bench.job.zone);
    let next = standing.now_round.and_then(|index| standing.rounds.get(index));
    if let (Some(plan), Some(next)) = (bench.plan.as_deref(), next)
        && let Some(round) = plan.rounds.get(next.round)
    {
        let title = crate::report::title_of_round(round, None);
        let when = crate::report::when(round.start, today.date_naive());
        sheet.line(&format!("Next: {} {title}, from {when}.", round.id));
    }
    sheet.finish()
}
