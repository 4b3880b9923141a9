//! The desk in a room with a size, with places, shifts, cautions, windows, a glue-up and a coat after it: what
//! the pages beyond *Now* and *Pieces* show.

use super::at;
use chrono::Duration;
use denib::dayplan::Plan;
use denib::dayplan::document::{
    Because, BecauseKind, Caution, DryWindow, HandShifts, Operation, PlaceLine, Round, SectionReady, Severity,
};
use denib::finish::{Figure, Method, Phase, Prepare, Status, StepKind};
use denib::job::{Assembly, Holding, Job, Occupied, PlaceKind, Places};
use denib::units::{Millimetres, Moment};

fn figure(low: f64, high: f64) -> Figure {
    Figure {
        low,
        high,
        status: Status::Memory,
        source: "invented for the tests".to_owned(),
    }
}

/// The desk's job with all that.
pub fn job(mut job: Job) -> Job {
    job.room.size = Some([6000.0, 4500.0, 2500.0].map(Millimetres));
    job.room.air_changes = Some(2.0);
    job.room.places = Places {
        bearers: Some(4),
        points: Some(4),
        hooks: Some(6),
        racks: None,
    };
    job.room.occupied = vec![Occupied {
        kind: PlaceKind::Hooks,
        count: 1,
        from: Moment::of(&at(0, 0, 0)),
        until: Moment::of(&at(2, 0, 0)),
        by: "a chair of last week".to_owned(),
    }];
    job.assemblies = vec![Assembly {
        id: "carcase".to_owned(),
        name: "carcase".to_owned(),
        made_of: job.pieces.iter().map(|piece| piece.id.clone()).collect(),
        assemblies: Vec::new(),
        minutes: Some(60),
        cure: 720,
        hands: 1,
    }];
    for product in job.schedules.values_mut().flat_map(|schedule| &mut schedule.products) {
        product.density = Some(figure(0.9, 0.95));
        product.solvents = vec![("ethanol".to_owned(), figure(60.0, 70.0))];
        product.wet_film.insert(Method::Brush, figure(90.0, 110.0));
    }
    job
}

/// The desk's plan with all that.
pub fn plan(mut plan: Plan, job: &Job) -> Plan {
    let stretch = |day, from: (u32, u32), until: (u32, u32)| (at(day, from.0, from.1), at(day, until.0, until.1));
    plan.hands = vec![HandShifts {
        name: "Ines".to_owned(),
        shifts: [0, 1, 2, 3, 13]
            .into_iter()
            .flat_map(|day| [stretch(day, (8, 0), (12, 30)), stretch(day, (13, 15), (17, 30))])
            .collect(),
    }];
    plan.places = [
        ("bearers", PlaceKind::Bearers, Some(4)),
        ("points", PlaceKind::Points, Some(4)),
        ("hooks", PlaceKind::Hooks, Some(6)),
    ]
    .into_iter()
    .map(|(id, kind, capacity)| PlaceLine {
        id: id.to_owned(),
        kind,
        capacity,
    })
    .collect();
    plan.sections = vec![SectionReady {
        id: "desk".to_owned(),
        ready: plan.ready,
        due: None,
        weight: 1,
    }];
    for operation in &mut plan.operations {
        fit(operation, job);
    }
    after_the_glue_up(&mut plan);
    plan.cautions = vec![
        Caution::new(
            "flash-point",
            Severity::Stop,
            "Put out the stove before the tin is opened.".to_owned(),
            Some("flash point 12 to 14 °C".to_owned()),
            "the tin",
            Vec::new(),
        ),
        Caution::new(
            "stir",
            Severity::Note,
            "Stir the tin, do not shake it.".to_owned(),
            None,
            "common practice, no source",
            Vec::new(),
        ),
    ];
    plan
}

fn fit(operation: &mut Operation, job: &Job) {
    let end = operation.end;
    let Some(dry) = &mut operation.dry else { return };
    let after = |minutes| end + Duration::minutes(minutes);
    dry.windows = vec![
        DryWindow {
            from: after(75),
            until: Some(after(300)),
            prepare: Prepare::None,
        },
        DryWindow {
            from: after(600),
            until: None,
            prepare: Prepare::Scuff,
        },
    ];
    let piece = job
        .pieces
        .iter()
        .find(|piece| Some(&piece.id) == operation.piece.as_ref());
    let area: f64 = piece
        .iter()
        .flat_map(|piece| &piece.surfaces)
        .filter(|surface| operation.surfaces.contains(&surface.id))
        .map(|surface| surface.area.square_metres())
        .sum();
    // a wet film of a tenth of a millimetre is 100 mL a m²
    operation.volume = Some(100.0 * area);
    operation.place = operation.holding.map(|holding| {
        match holding {
            Holding::Bearers => "bearers",
            Holding::Points => "points",
            Holding::Hung => "hooks",
        }
        .to_owned()
    });
    operation.place_until = Some(after(180));
    operation.because = Because {
        kind: BecauseKind::Dust,
        op: Some("sand:leg-4".to_owned()),
        at: operation.start,
        text: "dust has to settle first (leg-4, sand P120)".to_owned(),
    };
}

/// A glue-up and a coat on what was glued.
fn after_the_glue_up(plan: &mut Plan) {
    let mut add = |id: &str, step, coat: Option<u8>, (day, hour): (i64, u32), minutes: i64| {
        let first = plan.operations.first().expect("the desk has operations").clone();
        let (start, end) = (at(day, hour, 0), at(day, hour, 0) + Duration::minutes(minutes));
        let dry = coat.and_then(|_| {
            let coats = plan
                .operations
                .iter()
                .filter_map(|one| Some((one.end, one.dry.as_ref()?)));
            let (laid, dry) = coats.max_by_key(|coat| coat.0)?;
            let later = end - laid;
            let mut dry = dry.clone();
            dry.dry_to_touch = dry.dry_to_touch.map(|at| at + later);
            dry.dry_to_turn = dry.dry_to_turn.map(|at| at + later);
            dry.dry_to_handle = dry.dry_to_handle.map(|at| at + later);
            dry.dry_hard = None;
            dry.windows.clear();
            Some(dry)
        });
        plan.operations.push(Operation {
            id: format!("{id}:carcase"),
            round: Some(id.to_owned()),
            piece: None,
            assembly: Some("carcase".to_owned()),
            surfaces: Vec::new(),
            step,
            coat,
            grit: None,
            product: coat.map(|_| "lacquer".to_owned()),
            start,
            end,
            dusty: false,
            phase: Phase::Assembled,
            dry,
            hands_minutes: minutes as f64,
            ..first
        });
        plan.rounds.push(Round {
            id: id.to_owned(),
            step,
            coat,
            product: coat.map(|_| "lacquer".to_owned()),
            grit: None,
            hands: vec!["Ines".to_owned()],
            start,
            end,
            operations: vec![format!("{id}:carcase")],
        });
    };
    add("glue", StepKind::GlueUp, None, (2, 9), 60);
    add("coat-after", StepKind::Coat, Some(3), (3, 9), 30);
    plan.rounds.sort_by_key(|round| round.start);
    plan.finished = Some(at(13, 10, 12));
}
