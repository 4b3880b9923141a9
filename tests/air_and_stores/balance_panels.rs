//! Balance of wide panels: who warns, hours unequal, gap and cup.

#![allow(clippy::expect_used, reason = "a check stops where a value is missing")]

use crate::planned::{ROOM, at, coat, find, from_text, job, panel, plan};
use denib::balance::films::film_of;
use denib::balance::{AirStep, Balance, Bend, cautions, of};
use denib::dayplan::History;
use denib::dayplan::document::{Operation, Severity, State};
use denib::dayplan::history::{Done, Fate, Strip};
use denib::job::Job;
use denib::science::MoistAir;
use denib::science::exclusion::Finish;
use denib::science::movement::Sawn;
use denib::standing::{JointState, May, PieceStanding, Standing};
use denib::units::Moment;

fn near(found: f64, wanted: f64, share: f64) {
    assert!(
        (found - wanted).abs() <= share * wanted.abs(),
        "{found} is not {wanted} within {share}"
    );
}

fn one(width: u32, thickness: u32, material: &str, coats: &dyn Fn() -> Vec<Operation>) -> Balance {
    let job = job(ROOM, &panel("top", [1200, width, thickness], material, "solid", ""));
    of(&job, &plan(&job, coats()), None, &AirStep::default())
}

fn in_use(balance: &Balance) -> Bend {
    balance.panels.first().and_then(|panel| panel.in_use).expect("a bend")
}

fn face_only() -> Vec<Operation> {
    (1..=3)
        .map(|number| {
            coat(
                "top",
                &["face"],
                "shellac",
                number,
                &format!("{:02}:00", 8 + number),
                20,
                60.0,
            )
        })
        .collect()
}

fn both() -> Vec<Operation> {
    let mut coats = face_only();
    coats.extend((1..=3).map(|number| {
        coat(
            "top",
            &["back"],
            "shellac",
            number,
            &format!("{:02}:30", 8 + number),
            20,
            60.0,
        )
    }));
    coats
}

#[test]
fn equal_coats_do_not_bend() {
    let balance = one(600, 20, "flat-sawn hard maple", &both);
    let panel = &balance.panels[0];
    assert!(panel.equal_coats && panel.equal_products);
    let bend = in_use(&balance);
    assert!(bend.cup_mm.expect("maple is known").iter().all(|cup| cup.abs() < 1e-9));
    assert!(cautions(&balance).is_empty(), "{:?}", cautions(&balance));
    // half an hour behind, three times
    near(panel.planned.hours, 1.5, 1e-9);
    near(panel.planned.longest_hours, 0.5, 1e-9);
    assert!(!panel.planned.for_good && panel.so_far.is_none());
}

// Plate theory: the same films bend with the square of the width; the gap does not depend on it.
#[test]
fn the_cup_goes_with_the_square_of_the_width() {
    let (narrow, wide) = (
        in_use(&one(300, 20, "flat-sawn hard maple", &face_only)),
        in_use(&one(600, 20, "flat-sawn hard maple", &face_only)),
    );
    for index in 0..3 {
        near(wide.gap_percent[index], narrow.gap_percent[index], 1e-12);
        near(
            wide.cup_mm.expect("known")[index],
            4.0 * narrow.cup_mm.expect("known")[index],
            1e-9,
        );
    }
    // worked by hand from its own gap: C ΔM W²/(8 h), C of sugar maple 0.00353 (Wood Handbook, table 13-5)
    let by_hand = 0.003_53 * wide.gap_percent[1] * 600.0 * 600.0 / (8.0 * 20.0);
    near(wide.cup_mm.expect("known")[1], by_hand, 1e-9);
}

#[test]
fn the_bare_back_takes_up_the_damp_and_the_face_goes_hollow() {
    let bend = in_use(&one(600, 20, "flat-sawn hard maple", &face_only));
    let cup = bend.cup_mm.expect("known");
    assert!(bend.gap_percent[1] < 0.0 && cup[1] < 0.0, "{bend:?}");
    // the gap never passes the change of the moisture outside: 50 to 60 % is 9.27 to 11.00 % (eq. 4-5)
    let step = AirStep::default();
    near(step.moisture(), 1.729, 0.002);
    assert!(bend.gap_percent.iter().all(|gap| gap.abs() < step.moisture()));
    // low, usual, high in that order of size
    assert!(cup[0].abs() <= cup[1].abs() && cup[1].abs() <= cup[2].abs());
    assert!(bend.worst_after_days > 0.2 && bend.worst_after_days < 14.0);
    // drying air turns the sign
    let job = job(
        ROOM,
        &panel("top", [1200, 600, 20], "flat-sawn hard maple", "solid", ""),
    );
    let dry = AirStep {
        from: MoistAir::new(20.0, 60.0),
        to: MoistAir::new(20.0, 50.0),
        ..AirStep::default()
    };
    let other = in_use(&of(&job, &plan(&job, face_only()), None, &dry));
    near(other.gap_percent[1], -bend.gap_percent[1], 1e-6);
}

// Effectiveness (Wood Handbook, table 16-3) orders the films: three coats of shellac keep out more than three of
// lacquer, those more than oil; what keeps out most bends most when it is on one face only.
#[test]
fn better_films_on_one_face_bend_more() {
    let gap = |product: &'static str| {
        let coats = move || -> Vec<Operation> {
            (1..=3)
                .map(|number| {
                    coat(
                        "top",
                        &["face"],
                        product,
                        number,
                        &format!("{:02}:00", 8 + number),
                        20,
                        60.0,
                    )
                })
                .collect()
        };
        in_use(&one(600, 20, "white oak", &coats)).gap_percent[1].abs()
    };
    let (shellac, lacquer, oil) = (gap("shellac"), gap("cellulose-lacquer"), gap("oil-varnish-blend"));
    assert!(
        shellac > lacquer && lacquer > oil && oil > 0.0,
        "{shellac} {lacquer} {oil}"
    );
}

#[test]
fn unequal_panels_warn_with_the_dispute_and_accepted_ones_are_noted() {
    let balance = one(600, 20, "black walnut", &face_only);
    let found = cautions(&balance);
    let unequal = find(&found, "unequal-coats").expect("said");
    assert_eq!(unequal.severity, Severity::Warning);
    assert!(unequal.text.contains("3 coats") && unequal.text.contains("not of one mind"));
    assert!(
        unequal
            .figure
            .as_ref()
            .is_some_and(|figure| figure.contains("hollow") && figure.contains("mm"))
    );
    assert!(balance.panels[0].planned.for_good);

    let mut job = job(ROOM, &panel("top", [1200, 600, 20], "black walnut", "solid", ""));
    job.accepted_imbalance
        .insert("top".to_owned(), "fixed to a wall".to_owned());
    let found = cautions(&of(&job, &plan(&job, face_only()), None, &AirStep::default()));
    let noted = find(&found, "unequal-coats").expect("said");
    assert!(noted.severity == Severity::Note && noted.text.contains("fixed to a wall"));
}

#[test]
fn other_products_on_the_back_are_said() {
    let coats = || {
        let mut coats = face_only();
        coats.extend((1..=3).map(|number| {
            coat(
                "top",
                &["back"],
                "cellulose-lacquer",
                number,
                &format!("{:02}:30", 8 + number),
                20,
                60.0,
            )
        }));
        coats
    };
    let balance = one(600, 20, "ash", &coats);
    assert!(balance.panels[0].equal_coats && !balance.panels[0].equal_products);
    let found = cautions(&balance);
    assert!(find(&found, "unequal-products").is_some() && find(&found, "unequal-coats").is_none());
    // the word leaves two ashes open
    assert_eq!(balance.panels[0].timbers.len(), 2);
    assert_eq!(balance.panels[0].sawn, Some(Sawn::Unsaid));
}

#[test]
fn narrow_parts_and_small_sheets_never_warn() {
    let parts = [
        panel("rail", [900, 200, 20], "oak", "solid", ""),
        panel("slat", [900, 70, 20], "oak", "solid", ""),
        panel("small sheet", [500, 400, 6], "birch ply", "ply", ""),
        panel("strip of sheet", [1800, 150, 18], "fibreboard", "sheet", ""),
    ];
    let job = job(ROOM, &parts.concat());
    let coats = ["rail", "slat", "small-sheet", "strip-of-sheet"]
        .map(|piece| coat(piece, &["face"], "shellac", 1, "09:00", 20, 60.0));
    let balance = of(&job, &plan(&job, coats.to_vec()), None, &AirStep::default());
    assert!(balance.panels.is_empty() && balance.sheets.is_empty());
    assert!(cautions(&balance).is_empty());
}

#[test]
fn large_sheets_warn_when_their_films_differ() {
    let job = job(
        ROOM,
        &panel("back board", [1340, 940, 9], "ash veneer on birch ply", "veneered", ""),
    );
    let faces: Vec<Operation> = face_only()
        .into_iter()
        .map(|mut one| {
            one.piece = Some("back-board".to_owned());
            one
        })
        .collect();
    let uneven = of(&job, &plan(&job, faces.clone()), None, &AirStep::default());
    assert_eq!(uneven.sheets.len(), 1);
    let severity = |balance: &Balance| find(&cautions(balance), "sheet-films-differ").map(|one| one.severity);
    assert_eq!(severity(&uneven), Some(Severity::Warning));
    let mut accepting = job.clone();
    accepting
        .accepted_imbalance
        .insert("back-board".to_owned(), "screwed all round".to_owned());
    let noted = of(&accepting, &plan(&job, faces.clone()), None, &AirStep::default());
    assert_eq!(severity(&noted), Some(Severity::Note));
    let mut all = faces.clone();
    all.extend(faces.into_iter().map(|mut one| {
        one.surfaces = vec!["back".to_owned()];
        one.id.push_str("/back");
        one
    }));
    assert!(of(&job, &plan(&job, all), None, &AirStep::default()).sheets.is_empty());
}

#[test]
fn unknown_timbers_and_films_are_said_and_not_guessed() {
    let balance = one(600, 20, "European oak", &face_only);
    let panel = &balance.panels[0];
    assert!(panel.timbers.is_empty() && panel.season_mm.is_none());
    let bend = panel.in_use.expect("the gap needs no timber");
    assert!(bend.cup_mm.is_none() && bend.gap_percent[1].abs() > 0.1);
    assert!(find(&cautions(&balance), "timber-unknown").is_some());

    let mut job = job(ROOM, &panel_of("oak"));
    for product in job.schedules.values_mut().flat_map(|schedule| &mut schedule.products) {
        if product.id == "shellac" {
            product.id = "brew".to_owned();
            product.name = "secret brew".to_owned();
            product.family = "brew".to_owned();
        }
    }
    let coats = vec![coat("top", &["face"], "brew", 1, "09:00", 20, 60.0)];
    let balance = of(&job, &plan(&job, coats), None, &AirStep::default());
    assert!(balance.panels[0].in_use.is_none());
    assert_eq!(balance.panels[0].face.unknown, ["brew"]);
    assert!(find(&cautions(&balance), "film-unknown").is_some());
}

fn panel_of(material: &str) -> String {
    panel("top", [1200, 600, 20], material, "solid", "")
}

// Wood Handbook, eq. 13-2: a flat-sawn sugar maple top, 600 mm, C 0.00353; 35 to 65 % at 20 °C is 6.96 to 12.00 % of
// moisture by its eq. 4-5: 10.7 mm.
#[test]
fn the_season_for_slots_and_buttons() {
    let balance = one(600, 20, "flat-sawn hard maple", &both);
    let season = balance.panels[0].season_mm.expect("known");
    near(season[2], 600.0 * 0.003_53 * 5.033, 1e-3);
    near(season[0], season[2], 1e-9);
    // where the cut is left open it may be the radial 0.00165, or anything between
    let open = one(600, 20, "sugar maple", &both).panels[0].season_mm.expect("known");
    near(open[0], 600.0 * 0.001_65 * 5.033, 1e-3);
    near(open[1], f64::midpoint(open[0], open[2]), 1e-9);
    near(season[2], 10.66, 0.01);
    // 20 mm: 1.56 days with both faces open, four times that with one
    let panel = &balance.panels[0];
    near(panel.equalising_days.expect("a time")[1], 1.564, 1e-3);
    near(panel.equalising_days_one_face.expect("a time")[1], 6.254, 1e-3);
}

#[test]
fn hours_so_far_are_those_up_to_now() {
    let job = job(ROOM, &panel_of("oak"));
    let face = coat("top", &["face"], "shellac", 1, "08:40", 20, 60.0);
    let back = coat("top", &["back"], "shellac", 1, "13:40", 20, 60.0);
    let plan = plan(&job, vec![face, back]);
    let standing = |now: &str, since: Option<&str>| Standing {
        now: Moment::of(&at(now)),
        pieces: vec![PieceStanding {
            piece: 0,
            surfaces: Vec::new(),
            joints: JointState::Bare,
            next: None,
            handle: May::Held,
            turn: May::Held,
            sand: May::Held,
            recoat: May::Held,
            stack: May::Held,
            rub: May::Held,
            glue: May::Held,
            loose_done: false,
            unequal_since: since.map(|since| Moment::of(&at(since))),
        }],
        rounds: Vec::new(),
        now_round: None,
        coming: Vec::new(),
        closing: Vec::new(),
        air: (20.0, 45.0),
    };
    let so_far = |now: &str, since: Option<&str>| {
        let history = History::none(Moment::of(&at(now)));
        let balance = of(
            &job,
            &plan,
            Some((&history, &standing(now, since))),
            &AirStep::default(),
        );
        (
            balance.panels[0].so_far.expect("a standing").hours,
            balance.panels[0].unequal_since,
        )
    };
    assert_eq!(so_far("08:30", None), (0.0, None));
    let (hours, since) = so_far("11:30", Some("09:00"));
    near(hours, 2.5, 1e-9);
    assert_eq!(since, Some(at("09:00")));
    near(so_far("18:00", None).0, 5.0, 1e-9);
    let balance = of(&job, &plan, None, &AirStep::default());
    near(balance.panels[0].planned.hours, 5.0, 1e-9);
    // five hours cannot bend as much as weeks would
    let short = balance.panels[0].while_unequal.expect("unequal for a while");
    let weeks = in_use(&one(600, 20, "oak", &|| {
        vec![coat("top", &["face"], "shellac", 1, "08:40", 20, 60.0)]
    }));
    assert!(
        short.gap_percent[1].abs() > 0.0 && short.gap_percent[1].abs() <= 1.02 * weeks.gap_percent[1].abs(),
        "{short:?} {weeks:?}"
    );
    near(short.worst_after_days, 5.0 / 24.0, 1e-6);
}

#[test]
fn days_unequal_are_said() {
    let job = job(ROOM, &panel_of("oak"));
    let mut plan = plan(
        &job,
        vec![
            coat("top", &["face"], "shellac", 1, "09:00", 20, 60.0),
            coat("top", &["back"], "shellac", 1, "2 09:00", 20, 60.0),
        ],
    );
    let found = cautions(&of(&job, &plan, None, &AirStep::default()));
    assert!(
        find(&found, "unequal-hours").is_some_and(|one| one.text.contains("48 hours")),
        "{found:?}"
    );
    // a coat that will not be done does not count
    plan.operations[1].state = State::Skipped;
    assert!(find(&cautions(&of(&job, &plan, None, &AirStep::default())), "unequal-coats").is_some());
}

#[test]
fn shipped_products_have_their_film() {
    let job: Job = job(ROOM, &panel_of("oak"));
    let film = |id: &str| film_of(job.product(id).expect("shipped")).map(|film| (film.0, film.1.is_some()));
    assert_eq!(film("shellac"), Some((Finish::Shellac, false)));
    assert_eq!(film("cellulose-lacquer"), Some((Finish::Nitrocellulose, false)));
    assert_eq!(film("brushing-varnish"), Some((Finish::SparVarnish, false)));
    assert_eq!(film("paste-wax"), Some((Finish::PasteWax, false)));
    // no row of their own: a stand-in, said
    assert_eq!(film("oil-varnish-blend"), Some((Finish::TungOil, true)));
    assert_eq!(film("hardwax"), Some((Finish::TungOil, true)));
}

#[test]
fn the_demo_is_in_balance() {
    let job = from_text("linen-press.toml", include_str!("../../demo/linen-press.toml"));
    let settings = denib::dayplan::Settings { seed: 1, tries: 3 };
    let plan = denib::dayplan::plan(&job, &History::none(job.start), settings, &mut || true).expect("a plan");
    let balance = of(&job, &plan, None, &AirStep::default());
    let wide = job.pieces.iter().filter(|piece| job.is_wide(piece)).count();
    assert!(wide > 4 && balance.panels.len() == wide);
    for panel in &balance.panels {
        // as the plan document has it
        let line = plan
            .balance
            .iter()
            .find(|line| line.piece == panel.piece)
            .expect("a line");
        assert_eq!(
            (line.coats_face, line.coats_back),
            (panel.face.coats, panel.back.coats),
            "{}",
            panel.piece
        );
        assert!(panel.equal_coats && panel.timbers.len() == 2, "{}", panel.piece);
    }
    let text = serde_json::to_string(&balance).expect("json");
    assert!(text.contains("\"cup_mm\"") && !text.contains("NaN"));
}

// A forum's report, read: a walnut top about a metre wide, finished on one face, cupped 3 to 6 mm overnight. Its air is
// not told; a change of the weather gives the same order, and the free panel of the model is no stiffer than the real
// one, so what is reckoned must reach at least as far as what was seen.
#[test]
fn the_order_of_what_the_trade_reports() {
    let job = job(ROOM, &panel("top", [1800, 1000, 25], "black walnut", "solid", ""));
    let coats = vec![
        coat("top", &["face"], "brushing-varnish", 1, "17:00", 20, 90.0),
        coat("top", &["back"], "brushing-varnish", 1, "1 09:00", 20, 90.0),
    ];
    let balance = of(&job, &plan(&job, coats), None, &AirStep::default());
    let cup = balance.panels[0]
        .while_unequal
        .and_then(|bend| bend.cup_mm)
        .expect("unequal overnight");
    let [low, _, high] = cup.map(f64::abs);
    assert!(low < 6.0 && high > 3.0 && high < 30.0, "{cup:?}");
}

#[test]
fn what_was_done_counts_as_it_was_done() {
    let job = job(ROOM, &panel_of("oak"));
    let face = coat("top", &["face"], "shellac", 1, "08:40", 20, 60.0);
    let back = coat("top", &["back"], "shellac", 1, "13:40", 20, 60.0);
    let plan = plan(&job, vec![face.clone(), back.clone()]);
    let moment = |clock: &str| Moment::of(&at(clock));
    let done = |start: &str, end: &str| {
        Fate::Done(Done {
            start: moment(start),
            end: moment(end),
            by: "Ada".to_owned(),
            record: "r".to_owned(),
        })
    };
    let standing = Standing {
        now: moment("18:00"),
        pieces: Vec::new(),
        rounds: Vec::new(),
        now_round: None,
        coming: Vec::new(),
        closing: Vec::new(),
        air: (20.0, 45.0),
    };
    let hours = |history: &History| of(&job, &plan, Some((history, &standing)), &AirStep::default()).panels[0].planned;
    let mut history = History::none(moment("18:00"));
    // the face an hour late: four hours apart, not five
    history.operations.insert(face.id.clone(), done("09:40", "10:00"));
    near(hours(&history).hours, 4.0, 1e-9);
    // the back will not be done
    let mut skipped = history.clone();
    skipped.operations.insert(
        back.id.clone(),
        Fate::Skipped {
            at: moment("12:00"),
            reason: "no time".to_owned(),
        },
    );
    assert!(hours(&skipped).for_good);
    // a second coat done under an earlier plan counts; one taken off again does not
    let mut more = coat("top", &["face"], "shellac", 2, "10:30", 20, 60.0);
    more.id = "of an earlier plan".to_owned();
    history.operations.insert(more.id.clone(), done("10:30", "10:50"));
    history.earlier.insert(more.id.clone(), more);
    assert!(hours(&history).for_good);
    history.strips.push(Strip {
        piece: "top".to_owned(),
        surfaces: vec!["face".to_owned()],
        at: moment("11:00"),
        reason: "runs".to_owned(),
    });
    let stripped = of(&job, &plan, Some((&history, &standing)), &AirStep::default());
    assert_eq!((stripped.panels[0].face.coats, stripped.panels[0].back.coats), (0, 1));
}
