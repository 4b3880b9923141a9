//! The plan laid beside the job: who works on what, when, and what lies on each surface.
//!
//! Invariant: only looks things up and compares instants; no rule is judged here. Skipped operations are
//! not on the sheet: the maker decided them away.

use crate::clock::{Air, DryingClock};
use crate::dayplan::document::{Dry, Operation, Plan, Stamp, State};
use crate::finish::{Phase, Product, Schedule, Stage, Step, StepKind};
use crate::job::{Assembly, Job, Piece, Surface};
use crate::units::Moment;
use foldhash::HashMap;
use std::borrow::Cow;
use std::ops::Deref;
use std::sync::OnceLock;

/// When something that is never reached is reached.
pub(super) const NEVER: Moment = Moment(i64::MAX);

/// An operation with its instants.
#[derive(Clone, Copy, Debug)]
pub(super) struct Op<'a> {
    line: &'a Operation,
    pub from: Moment,
    pub until: Moment,
    /// What it puts on, as a place among the products of the sheet.
    product_at: Option<usize>,
}

impl Deref for Op<'_> {
    type Target = Operation;
    fn deref(&self) -> &Operation {
        self.line
    }
}

impl<'a> Op<'a> {
    fn of(line: &'a Operation, products: &HashMap<&str, usize>) -> Self {
        let product = line.product.as_deref();
        Self {
            line,
            product_at: product.and_then(|id| products.get(id)).copied(),
            from: Moment::of(&line.start),
            until: Moment::of(&line.end),
        }
    }

    /// The line of the document.
    pub(super) fn line(&self) -> &'a Operation {
        self.line
    }

    /// Done or running: not planned any more.
    pub(super) fn is_fact(&self) -> bool {
        matches!(self.state, State::Done | State::Running)
    }

    /// A coat that is counted.
    pub(super) fn is_counted_coat(&self) -> bool {
        // one that only makes a fault good has no number
        matches!(self.step, StepKind::Seal | StepKind::Coat) && self.coat.is_some()
    }

    /// Anything wet that may not be dusted on: filler, colour, a coat.
    pub(super) fn is_coating(&self) -> bool {
        matches!(
            self.step,
            StepKind::Seal | StepKind::Coat | StepKind::Fill | StepKind::Colour
        )
    }

    /// Leaves something on the surface that dries.
    pub(super) fn lays_film(&self) -> bool {
        self.is_coating() || self.step == StepKind::Wax
    }

    /// Abrades a film.
    pub(super) fn abrades_film(&self) -> bool {
        matches!(self.step, StepKind::Denib | StepKind::Scuff | StepKind::Flat)
    }

    /// Works on this surface; steps that name no surface are done on the whole piece.
    pub(super) fn covers(&self, surface: &str) -> bool {
        if self.lays_film() {
            return self.surfaces.iter().any(|id| id == surface);
        }
        self.surfaces.is_empty() || self.surfaces.iter().any(|id| id == surface)
    }

    /// Shares some time with another.
    pub(super) fn overlaps(&self, other: &Op<'_>) -> bool {
        self.from < other.until && other.from < self.until
    }
}

/// A piece with its operations in order of start.
#[derive(Debug)]
pub(super) struct Bench<'a> {
    pub piece: &'a Piece,
    pub ops: Vec<Op<'a>>,
    /// Operations the maker will not do.
    pub skipped: Vec<Op<'a>>,
    /// By surface of the piece: which of its operations lay a film there.
    films: Vec<Vec<usize>>,
}

impl<'a> Bench<'a> {
    fn of(piece: &'a Piece, ops: Vec<Op<'a>>, skipped: Vec<Op<'a>>) -> Self {
        let on = |surface: &Surface| {
            let films = ops.iter().enumerate().filter(|(_, op)| op.lays_film());
            let films = films.filter(|(_, op)| op.covers(&surface.id));
            films.map(|(at, _)| at).collect()
        };
        Self {
            piece,
            films: piece.surfaces.iter().map(on).collect(),
            ops,
            skipped,
        }
    }

    /// Operations on the loose piece.
    pub(super) fn loose(&self) -> impl Iterator<Item = &Op<'a>> {
        self.ops.iter().filter(|op| op.phase == Phase::Loose)
    }

    /// Whatever lays a film on a surface, in order.
    pub(super) fn films<'b>(&'b self, surface: &'b str) -> impl Iterator<Item = &'b Op<'a>> {
        let known = self.piece.surfaces.iter().zip(&self.films);
        let mut known = known.filter(|(own, _)| std::ptr::eq(own.id.as_ptr(), surface.as_ptr()) || own.id == surface);
        let films = known.next().map(|(_, films)| films);
        let unknown = films.is_none().then_some(&self.ops).into_iter().flatten();
        let known = films.into_iter().flatten().filter_map(|&at| self.ops.get(at));
        known.chain(unknown.filter(move |op| op.lays_film() && op.covers(surface)))
    }

    /// Coats (counted) of a surface, in order.
    pub(super) fn coats<'b>(&'b self, surface: &'b str) -> impl Iterator<Item = &'b Op<'a>> {
        self.films(surface).filter(|film| film.is_counted_coat())
    }

    /// What lies on top of a surface when something starts there.
    pub(super) fn film_under<'b>(&'b self, surface: &'b str, at: Moment) -> Option<&'b Op<'a>> {
        self.films(surface).filter(|film| film.from < at).last()
    }

    /// The first coating of the loose piece.
    pub(super) fn first_coating(&self) -> Option<&Op<'a>> {
        self.loose().find(|op| op.is_coating())
    }

    /// Loose operations of one kind.
    pub(super) fn of_kind(&self, kind: StepKind) -> impl Iterator<Item = &Op<'a>> {
        self.loose().filter(move |op| op.step == kind)
    }

    /// A surface by id.
    pub(super) fn surface(&self, id: &str) -> Option<&'a Surface> {
        self.piece.surfaces.iter().find(|surface| surface.id == id)
    }

    /// Whether the maker decided a step of this kind away on a surface.
    pub(super) fn is_skipped(&self, kind: StepKind, surface: &str) -> bool {
        self.skipped.iter().any(|op| op.step == kind && op.covers(surface))
    }

    /// Whether the maker decided a step of this kind away anywhere on the piece.
    pub(super) fn gave_up(&self, kind: StepKind) -> bool {
        self.skipped.iter().any(|op| op.step == kind)
    }

    /// Whether the maker decided a coat away.
    pub(super) fn gave_up_a_coat(&self) -> bool {
        self.skipped.iter().any(Op::is_counted_coat)
    }
}

/// Operations by the piece they are done on, in their order.
fn by_piece<'a>(ops: &[Op<'a>]) -> HashMap<&'a str, Vec<Op<'a>>> {
    let mut lists: HashMap<&str, Vec<Op<'a>>> = HashMap::default();
    for op in ops {
        if let Some(piece) = op.line.piece.as_deref() {
            lists.entry(piece).or_default().push(*op);
        }
    }
    lists
}

type Products<'a> = Vec<(&'a Product, Cow<'a, DryingClock>)>;

/// The products of a job with their clocks, those already wound as they are, and the place of each by its id.
fn products<'a>(
    job: &'a Job,
    air: &Air,
    wound: &'a [(Product, DryingClock)],
) -> (Products<'a>, HashMap<&'a str, usize>) {
    let (mut products, mut places): (Products<'a>, HashMap<&str, usize>) = Default::default();
    for product in job.schedules.values().flat_map(|schedule| &schedule.products) {
        places.entry(product.id.as_str()).or_insert_with(|| {
            let known = wound.iter().find(|(known, _)| known.id == product.id);
            let clock = known.map_or_else(
                || Cow::Owned(DryingClock::new(product, air)),
                |(_, clock)| Cow::Borrowed(clock),
            );
            products.push((product, clock));
            products.len() - 1
        });
    }
    (products, places)
}

/// The plan beside the job.
pub(super) struct Sheet<'a> {
    pub plan: &'a Plan,
    pub job: &'a Job,
    pub air: &'a Air,
    /// Every operation that is not skipped, in order of start.
    pub ops: Vec<Op<'a>>,
    /// Pieces in the job's order.
    pub benches: Vec<Bench<'a>>,
    /// When the last operation ends.
    pub last: Option<Moment>,
    by_id: HashMap<&'a str, Op<'a>>,
    by_piece: HashMap<&'a str, usize>,
    /// Products of the job with their clocks.
    products: Products<'a>,
    /// What is done on assemblies, in order of start.
    pub assembled: Vec<Op<'a>>,
    /// Benches of the pieces of each assembly, those of the assemblies built into it as well.
    made_of: HashMap<&'a str, Vec<usize>>,
    /// Assemblies each bench's piece is in, in the job's order.
    within: Vec<Vec<&'a Assembly>>,
    hours: OnceLock<Vec<Vec<(Moment, Moment)>>>,
}

impl<'a> Sheet<'a> {
    pub(super) fn lay_out(plan: &'a Plan, job: &'a Job, air: &'a Air, wound: &'a [(Product, DryingClock)]) -> Self {
        let (products, by_product) = products(job, air, wound);
        let mut all: Vec<Op<'a>> = plan.operations.iter().map(|line| Op::of(line, &by_product)).collect();
        all.sort_by_key(|op| (op.from, op.until));
        let (skipped, ops): (Vec<_>, Vec<_>) = all.into_iter().partition(|op| op.state == State::Skipped);
        let (mut own, mut given_up) = (by_piece(&ops), by_piece(&skipped));
        let bench = |piece: &'a Piece| {
            let of = |lists: &mut HashMap<&str, Vec<Op<'a>>>| lists.remove(piece.id.as_str()).unwrap_or_default();
            Bench::of(piece, of(&mut own), of(&mut given_up))
        };
        let benches = job.pieces.iter().map(bench).collect();
        let pieces = job.pieces.iter().enumerate().rev();
        let by_piece: HashMap<&str, usize> = pieces.map(|(at, piece)| (piece.id.as_str(), at)).collect();
        let mut within: Vec<Vec<&Assembly>> = vec![Vec::new(); job.pieces.len()];
        let mut made_of = HashMap::default();
        for assembly in &job.assemblies {
            let own = pieces_in(job, &assembly.id, &by_piece);
            let mut once = own.clone();
            once.sort_unstable();
            once.dedup();
            for at in once {
                within[at].push(assembly);
            }
            made_of.entry(assembly.id.as_str()).or_insert(own);
        }
        let by_id = ops.iter().map(|op| (op.line().id.as_str(), *op)).collect();
        Self {
            plan,
            job,
            air,
            last: ops.iter().map(|op| op.until).max(),
            assembled: ops.iter().filter(|op| op.line.assembly.is_some()).copied().collect(),
            ops,
            benches,
            by_id,
            by_piece,
            products,
            made_of,
            within,
            hours: OnceLock::new(),
        }
    }

    /// Every person's stretches of work, worked out once.
    pub(super) fn hours(&self, reckon: impl FnOnce() -> Vec<Vec<(Moment, Moment)>>) -> &[Vec<(Moment, Moment)>] {
        self.hours.get_or_init(reckon)
    }

    /// A limit that had passed before anything could be planned: what is late then is late by fact.
    pub(super) fn is_past(&self, earlier: &Op<'_>, limit: Moment) -> bool {
        earlier.is_fact() && limit < Moment::of(&self.plan.now)
    }

    /// An operation by its id.
    pub(super) fn op(&self, id: &str) -> Option<&Op<'a>> {
        self.by_id.get(id)
    }

    /// The schedule of a surface.
    pub(super) fn schedule(&self, surface: &Surface) -> Option<&'a Schedule> {
        self.job.schedules.get(surface.schedule.as_deref()?)
    }

    /// Whether an operation makes good a fault that was found at the bench.
    pub(super) fn makes_good(&self, piece: &Piece, op: &Op<'_>) -> bool {
        let at = self.by_piece.get(piece.id.as_str());
        let mends = at.map_or(&[][..], |&at| self.job.since_written.mends_of(at));
        mends.iter().any(|mend| op.id.contains(&mend.id))
    }

    /// A piece with its operations.
    pub(super) fn bench(&self, piece: &str) -> Option<&Bench<'a>> {
        self.benches.get(*self.by_piece.get(piece)?)
    }

    /// The product an operation puts on, as the job has it.
    pub(super) fn product(&self, op: &Op<'_>) -> Option<&'a Product> {
        self.products.get(op.product_at?).map(|(product, _)| *product)
    }

    /// When the film an operation laid has surely reached a stage (slow estimate). Where its product does
    /// not state the stage, the next one it states counts; where it states none, the end of the operation.
    pub(super) fn surely(&self, film: &Op<'_>, stage: Stage) -> Moment {
        if film.is_fact()
            && let Some(stamp) = film.dry.as_ref().and_then(|dry| stamp(dry, stage))
        {
            return Moment::of(&stamp);
        }
        let Some(product) = self.product(film) else {
            return film.until;
        };
        let coat = film.coat.unwrap_or(1);
        let figure = LADDER
            .iter()
            .filter(|rung| **rung >= stage)
            .find_map(|rung| product.time_to(*rung, coat));
        figure.map_or(film.until, |minutes| self.later(film, minutes.high - HAIR))
    }

    /// When it may have reached it already (fast estimate); [`NEVER`] where the stage is not stated.
    pub(super) fn perhaps(&self, film: &Op<'_>, stage: Stage) -> Moment {
        let figure = self
            .product(film)
            .and_then(|product| product.time_to(stage, film.coat.unwrap_or(1)));
        figure.map_or(NEVER, |minutes| self.sooner(film, minutes.low + HAIR))
    }

    /// The instant by which a film has surely dried for so many minutes as stated on its tin.
    pub(super) fn later(&self, film: &Op<'_>, minutes: f64) -> Moment {
        let clock = film.product_at.and_then(|at| self.products.get(at));
        clock
            .and_then(|(_, clock)| clock.reached(film.until, minutes))
            .unwrap_or(NEVER)
    }

    /// The instant by which it may have dried for so many.
    pub(super) fn sooner(&self, film: &Op<'_>, minutes: f64) -> Moment {
        let clock = film.product_at.and_then(|at| self.products.get(at));
        clock
            .and_then(|(_, clock)| clock.perhaps(film.until, minutes))
            .unwrap_or(NEVER)
    }

    /// An instant as the maker's clock shows it.
    pub(super) fn clock(&self, at: Moment) -> String {
        if at == NEVER {
            return "never, with the air foreseen".to_owned();
        }
        at.in_zone(self.job.zone).format("%a %-d %b %H:%M").to_string()
    }

    /// Pieces of an assembly, those of the assemblies built into it as well.
    pub(super) fn pieces_of(&self, assembly: &str) -> Vec<&Bench<'a>> {
        let own = self.made_of.get(assembly).into_iter().flatten();
        own.filter_map(|&at| self.benches.get(at)).collect()
    }

    /// The assemblies a piece is in, those they are built into as well.
    pub(super) fn holders_of(&self, piece: &str) -> &[&'a Assembly] {
        let at = self.by_piece.get(piece);
        at.and_then(|&at| self.within.get(at)).map_or(&[], Vec::as_slice)
    }

    /// What is done on the assemblies a piece is in, in order of start.
    pub(super) fn assembled_with<'b>(&'b self, piece: &'b str) -> impl Iterator<Item = &'b Op<'a>> {
        let holders = self.holders_of(piece);
        let on_one = |op: &&Op<'a>| holders.iter().any(|one| op.line.assembly.as_ref() == Some(&one.id));
        self.assembled.iter().filter(on_one)
    }
}

/// Pieces of an assembly, those of the assemblies built into it as well.
fn pieces_in(job: &Job, assembly: &str, by_piece: &HashMap<&str, usize>) -> Vec<usize> {
    let mut pieces = Vec::new();
    let mut open = vec![assembly];
    let mut seen: Vec<&str> = Vec::new();
    while let Some(id) = open.pop() {
        // a job by hand may name what is not there, or go round in a circle
        if seen.contains(&id) {
            continue;
        }
        seen.push(id);
        if let Some(found) = job.assemblies.iter().find(|other| other.id == id) {
            pieces.extend(found.made_of.iter().filter_map(|piece| by_piece.get(piece.as_str())));
            open.extend(found.assemblies.iter().map(String::as_str));
        }
    }
    pieces
}

/// Two clocks that begin on different days may round a minute differently: openings are taken a hair early and
/// closings a hair late, in stated minutes.
pub(super) const HAIR: f64 = 0.01;

/// The ladder from bottom to top.
pub(super) const LADDER: [Stage; 11] = [
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

/// The stamp of a stage.
pub(super) fn stamp(dry: &Dry, stage: Stage) -> Option<Stamp> {
    match stage {
        Stage::SetToTouch => dry.set_to_touch,
        Stage::DustFree => dry.dust_free,
        Stage::TackFree => dry.tack_free,
        Stage::DryToTouch => dry.dry_to_touch,
        Stage::DryToSand => dry.dry_to_sand,
        Stage::DryToRecoat => dry.dry_to_recoat,
        Stage::DryToHandle => dry.dry_to_handle,
        Stage::DryHard => dry.dry_hard,
        Stage::DryToStack => dry.dry_to_stack,
        Stage::DryThrough => dry.dry_through,
        Stage::Cured => dry.cured,
    }
}

/// Steps of a schedule done on loose pieces, on a surface with this show class.
pub(super) fn loose_steps<'s>(schedule: &'s Schedule, surface: &'s Surface) -> impl Iterator<Item = &'s Step> {
    let seen = surface.show == crate::job::Show::Show;
    schedule
        .steps
        .iter()
        .filter(move |step| step.phase == Phase::Loose && (seen || !step.show_only))
}

/// The step's name as a finisher says it.
pub(super) fn word(step: StepKind) -> &'static str {
    match step {
        StepKind::Label => "labelling",
        StepKind::Check => "the check for glue spots and dents",
        StepKind::Settle => "settling",
        StepKind::Sand => "sanding",
        StepKind::Arris => "breaking the arrises",
        StepKind::RaiseGrain => "raising the grain",
        StepKind::CutBack => "cutting back",
        StepKind::Mask => "masking",
        StepKind::DustOff => "dusting off",
        StepKind::Fill => "filling",
        StepKind::Colour => "colouring",
        StepKind::Seal => "the seal coat",
        StepKind::Coat => "the coat",
        StepKind::WipeBack => "wiping back",
        StepKind::ReWipe => "the re-wipe",
        StepKind::Denib => "de-nibbing",
        StepKind::Scuff => "scuffing",
        StepKind::Flat => "flatting",
        StepKind::Turn => "turning",
        StepKind::Unmask => "unmasking",
        StepKind::RubOut => "rubbing out",
        StepKind::Wax => "waxing",
        StepKind::Buff => "buffing",
        StepKind::Mix => "mixing",
        StepKind::ChangeOver => "the change-over",
        StepKind::CleanUp => "cleaning up",
        StepKind::GlueUp => "the glue-up",
    }
}
