//! The sample board as work: made first, signed off, and only then the stain goes on the piece.
//!
//! The job is invented. That a board is signed off before the work gets its first colour, and how long the look takes,
//! is common practice, no source.

#![allow(clippy::panic, reason = "a check stops where a value is missing")]

use crate::classes::{WARM, id, text};
use denib::dayplan::document::{BecauseKind, Operation, Plan, State};
use denib::dayplan::sample::{is_round_of_sign_offs, is_sign_off};
use denib::dayplan::verify::Rule;
use denib::dayplan::{History, Settings, amended, plan, verify};
use denib::finish::{StepKind, shipped};
use denib::job::{self, Job};
use denib::log::{Ids, Record, What, history};
use denib::source::SourceFile;
use denib::units::Moment;

const FINISH: &str = "stained-waterborne";
const BOARD: &str = "sample-stained-waterborne";
const SIGN_OFF: &str = "sample-stained-waterborne/sign-off";
const TRIES: Settings = Settings { seed: 1, tries: 8 };

fn job(boards: &str) -> Job {
    let head = format!("tape_life = \"60 d\"\n{boards}");
    let file = text(FINISH, WARM, "hung").replacen("tape_life = \"60 d\"", &head, 1);
    let (job, problems) = job::read(&SourceFile::new("stand.toml", file), &shipped());
    job.unwrap_or_else(|| panic!("{problems:?}"))
}

fn planned(job: &Job, facts: &History) -> Plan {
    let job = amended(job, facts).unwrap_or_else(|| job.clone());
    let plan = plan(&job, facts, TRIES, &mut || true).unwrap_or_else(|no| panic!("{no}"));
    let breaches = verify(&plan, &job);
    assert!(breaches.is_empty(), "{breaches:#?}");
    plan
}

fn with_board() -> (Job, Plan) {
    let job = job("sample_boards = true");
    let plan = planned(&job, &History::none(job.start));
    (job, plan)
}

/// The first film of each piece of the stand.
fn firsts(plan: &Plan) -> Vec<&Operation> {
    let first = |piece: &str| {
        let films = plan.operations.iter().filter(|one| one.dry.is_some());
        let own = films.filter(|one| one.piece.as_deref() == Some(piece));
        own.min_by_key(|one| one.start)
            .unwrap_or_else(|| panic!("{piece} gets no film"))
    };
    ["top", "leg-1", "leg-2"].map(first).to_vec()
}

fn breaks(plan: &Plan, job: &Job) -> bool {
    verify(plan, job).iter().any(|breach| breach.rule == Rule::SampleBoard)
}

#[test]
fn every_step_is_on_the_board_and_the_stain_waits_for_its_sign_off() {
    let (job, plan) = with_board();
    let on_board = |step: StepKind| {
        let own = plan.operations.iter().filter(|one| one.piece.as_deref() == Some(BOARD));
        own.filter(|one| one.step == step).count()
    };
    let schedule = &job.schedules[FINISH];
    for step in [
        StepKind::Sand,
        StepKind::RaiseGrain,
        StepKind::Colour,
        StepKind::Seal,
        StepKind::Coat,
    ] {
        let due = schedule.steps.iter().filter(|one| one.kind == step).count();
        assert_eq!(on_board(step), due, "{step}");
    }
    let signed = id(&plan, SIGN_OFF);
    assert!(is_sign_off(signed) && signed.hands_minutes > 0.0 && signed.hands == ["Wren"]);
    for first in firsts(&plan) {
        assert_eq!(first.step, StepKind::Colour);
        assert!(first.start >= signed.end, "{} before the sign-off", first.id);
    }
    // dry hard before it is judged, and bare-wood work goes on meanwhile
    let last = plan.operations.iter().filter(|one| one.piece.as_deref() == Some(BOARD));
    let hard = last.filter_map(|one| one.dry.as_ref()?.dry_hard).max();
    assert!(hard.is_some_and(|hard| hard <= signed.start));
    assert!(id(&plan, "top/sand-P120").end < signed.start);
    // the plan says it in words and in waits, and the note is not said beside the work
    let words = denib::report::plan_text(&plan, &job, denib::report::Paper::default());
    assert!(words.contains("Sign off: 1 piece"), "{words}");
    assert!(
        plan.waits.iter().all(|wait| wait.before != SIGN_OFF),
        "a wait of no minutes is no line"
    );
    assert!(plan.cautions.iter().all(|caution| caution.code != "sample-board"));
    assert!(plan.rounds.iter().filter(|round| is_round_of_sign_offs(round)).count() == 1);
}

#[test]
fn the_stain_says_what_it_waits_for() {
    // two pairs of hands: one sets the stain out while the other looks at the board
    let mut job = job("sample_boards = true");
    job.hands.push(denib::job::Hand {
        name: "Ada".to_owned(),
        hours: None,
    });
    let plan = planned(&job, &History::none(job.start));
    let said: Vec<_> = firsts(&plan).into_iter().map(|first| &first.because).collect();
    let held = said
        .iter()
        .find(|because| because.kind == BecauseKind::Wait && because.op.as_deref() == Some(SIGN_OFF));
    let held = held.unwrap_or_else(|| panic!("nothing says it waits for the board: {said:?}"));
    assert!(
        held.text.ends_with("waits for the sample board to be signed off"),
        "{}",
        held.text
    );
}

#[test]
fn without_the_key_the_note_stays() {
    for boards in ["", "sample_boards = false", "sample_boards = []"] {
        let job = job(boards);
        let plan = planned(&job, &History::none(job.start));
        assert_eq!(job.pieces.len(), 3, "{boards}");
        assert!(
            plan.cautions.iter().any(|caution| caution.code == "sample-board"),
            "{boards}"
        );
    }
    assert_eq!(job(&format!("sample_boards = [\"{FINISH}\"]")).pieces.len(), 4);
}

#[test]
fn a_plan_that_does_not_wait_is_refused() {
    let (job, good) = with_board();
    assert!(!breaks(&good, &job));
    // the legs stained before the board is signed off
    let mut bad = good.clone();
    let at = id(&good, SIGN_OFF).start;
    let first = firsts(&good)[1].id.clone();
    for one in bad.operations.iter_mut().filter(|one| one.id == first) {
        let long = one.end - one.start;
        (one.start, one.end) = (at - long, at);
    }
    assert!(breaks(&bad, &job));
    // nobody signs it off
    let mut bad = good.clone();
    bad.operations.retain(|one| one.id != SIGN_OFF);
    assert!(breaks(&bad, &job));
    // judged while its last coat is soft
    let mut bad = good.clone();
    for one in bad.operations.iter_mut().filter(|one| one.id == SIGN_OFF) {
        let long = one.end - one.start;
        one.start -= chrono::TimeDelta::hours(2);
        one.end = one.start + long;
    }
    assert!(breaks(&bad, &job));
    // a sign-off is not the check of bare wood, and no other piece has one
    let mut bad = good.clone();
    bad.operations.retain(|one| one.id != format!("{BOARD}/check"));
    assert!(verify(&bad, &job).iter().any(|breach| breach.rule == Rule::MissingStep));
    let mut bad = good;
    for one in bad.operations.iter_mut().filter(|one| one.id == SIGN_OFF) {
        one.piece = Some("top".to_owned());
    }
    assert!(breaks(&bad, &job));
}

/// A log in which everything on the board is done when planned.
struct Log(Ids, Vec<Record>);

impl Log {
    fn say(&mut self, job: &Job, at: Moment, what: What) {
        let at = at.with_offset(job.zone);
        let id = self.0.next(&at);
        let who = "Wren".to_owned();
        self.1.push(Record { id, at, who, what });
    }

    fn done_until(job: &Job, plan: &Plan, last: &str) -> Self {
        let mut log = Self(Ids::with_mark(7), Vec::new());
        let end = id(plan, last).end;
        let taken = What::AcceptedPlan {
            plan: std::sync::Arc::new(plan.clone()),
        };
        log.say(job, job.start, taken);
        let mut due: Vec<&Operation> = plan.operations.iter().filter(|one| one.end <= end).collect();
        due.retain(|one| one.piece.as_deref() == Some(BOARD));
        due.sort_by_key(|one| one.end);
        for one in due {
            let done = What::Done {
                operations: vec![one.id.clone()],
                start: one.start,
                end: one.end,
            };
            log.say(job, Moment::of(&one.end), done);
        }
        log
    }

    fn facts(&self, now: Moment) -> History {
        history(&self.1, now, &|_| None)
    }
}

#[test]
fn a_board_signed_off_earlier_is_not_made_and_holds_nothing_up() {
    let (job, with) = with_board();
    let mut log = Log(Ids::with_mark(7), Vec::new());
    let skipped = What::Skipped {
        operations: vec![SIGN_OFF.to_owned()],
        reason: "signed off in May".to_owned(),
    };
    log.say(&job, job.start, skipped);
    let without = planned(&job, &log.facts(job.start));
    assert!(without.ready < with.ready);
    let own: Vec<&Operation> = without
        .operations
        .iter()
        .filter(|one| one.piece.as_deref() == Some(BOARD))
        .collect();
    assert!(own.iter().all(|one| one.state == State::Skipped), "{own:?}");
}

#[test]
fn a_refused_board_is_stripped_and_made_again_before_the_stain() {
    let (job, first) = with_board();
    let mut log = Log::done_until(&job, &first, SIGN_OFF);
    let now = Moment::of(&id(&first, SIGN_OFF).end);
    let going_on = planned(&job, &log.facts(now));
    assert_eq!(id(&going_on, SIGN_OFF).state, State::Done);
    assert!(
        firsts(&going_on)
            .iter()
            .all(|one| one.start >= id(&going_on, SIGN_OFF).end)
    );
    let strip = What::StripBack {
        piece: BOARD.to_owned(),
        surfaces: Vec::new(),
        reason: "too red".to_owned(),
    };
    log.say(&job, now, strip);
    let again = planned(&job, &log.facts(now));
    let signed = id(&again, SIGN_OFF);
    assert_eq!(signed.state, State::Planned);
    assert!(firsts(&again).iter().all(|one| one.start >= signed.end));
    assert!(again.ready > going_on.ready);
}

#[test]
fn the_board_is_in_the_stores_and_not_in_the_balance() {
    let (with_job, with) = with_board();
    let plain_job = job("");
    let plain = planned(&plain_job, &History::none(plain_job.start));
    assert!(with.balance.iter().all(|line| line.piece != BOARD) && with.balance.len() == plain.balance.len());
    let litres = |plan: &Plan| -> f64 { plan.operations.iter().filter_map(|one| one.volume).sum() };
    assert!(litres(&with) > litres(&plain));
    let needed = |job: &Job, plan: &Plan| -> f64 {
        let stores = denib::stores::of_shelf(job, plan, None);
        stores
            .products
            .iter()
            .filter_map(|one| one.needed_ml.map(|[_, reckoned, _]| reckoned))
            .sum()
    };
    assert!(needed(&with_job, &with) > needed(&plain_job, &plain));
}
