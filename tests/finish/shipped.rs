//! The schedules that come with denib: complete, in order, and honest about every figure.

#![allow(clippy::expect_used, reason = "a check stops where a value is missing")]

use denib::clock::laws_of;
use denib::finish::ladder::{COAT_STAGES, TERMINAL_STAGES, coat_numbers, falls};
use denib::finish::{
    Method, Opening, Phase, Prepare, Product, SHIPPED, Schedule, Stage, Status, StepKind, read, shipped,
};
use denib::science::cut;
use denib::source::{Look, SourceFile, render};
use std::collections::{BTreeMap, BTreeSet};

fn schedule(id: &str) -> Schedule {
    shipped().remove(id).expect("shipped")
}

fn kinds(schedule: &Schedule) -> Vec<StepKind> {
    schedule.steps.iter().map(|step| step.kind).collect()
}

fn hours(product: &Product, stage: Stage, coat: u8) -> (f64, f64) {
    let figure = product.time_to(stage, coat).expect("stated");
    (figure.low / 60.0, figure.high / 60.0)
}

fn check_hours(product: &Product, stage: Stage, coat: u8, low: f64, high: f64) {
    let found = hours(product, stage, coat);
    let same = (found.0 - low).abs() < 1e-9 && (found.1 - high).abs() < 1e-9;
    assert!(same, "{} {stage} after coat {coat}: {found:?}", product.id);
}

#[test]
fn every_file_reads_without_a_problem() {
    let mut ids = BTreeSet::new();
    for (name, text) in SHIPPED {
        let file = SourceFile::new(name, text);
        let (found, problems) = read(&file);
        assert!(problems.is_empty(), "{}", render(&problems, &[&file], Look::default()));
        let found = found.expect("a schedule");
        assert_eq!(format!("{}.toml", found.id), name);
        ids.insert(found.id);
    }
    assert_eq!(ids, shipped().into_keys().collect());
    let wanted = [
        "alkyd-varnish",
        "brushed-cellulose",
        "brushed-varnish",
        "conversion-varnish",
        "dewaxed-shellac",
        "dyed-waterborne",
        "filled-cellulose",
        "gel-stained-varnish",
        "glazed-cellulose",
        "hardwax-oil",
        "linseed-oil",
        "oil-varnish",
        "precatalysed-lacquer",
        "sprayed-cellulose",
        "stained-waterborne",
        "tung-oil",
        "waterborne-two-part",
        "waterborne-varnish",
        "waxed-shellac",
        "wiping-varnish",
    ];
    assert_eq!(ids, wanted.into_iter().map(str::to_owned).collect());
}

#[test]
fn no_figure_without_status_source_and_conditions() {
    let mut figures = 0;
    for schedule in shipped().values() {
        for named in schedule.figures() {
            let (name, figure) = (&named.name, named.figure);
            figures += 1;
            assert!(
                figure.low.is_finite() && figure.low <= figure.high,
                "{}: {name}",
                schedule.id
            );
            assert!(figure.source.trim().len() > 10, "{}: {name} has no source", schedule.id);
            // how long a sanded surface stays fresh or wetted grain takes is a habit of hands, stated for no air
            let habit = name.ends_with("stale_after") || name.ends_with("raise-grain wait");
            assert!(
                named.stated_at.is_some() || habit,
                "{}: {name} has no conditions",
                schedule.id
            );
            // a figure says itself what its status says
            let source = figure.source.as_str();
            match figure.status {
                Status::Memory | Status::MemoryChecked => assert!(
                    source.starts_with("recalled") || source.starts_with("no figure of its own"),
                    "{}: {name}: {source}",
                    schedule.id
                ),
                Status::CommonPractice => assert!(
                    source.starts_with("no source") || source.starts_with("no figure of its own"),
                    "{}: {name}: {source}",
                    schedule.id
                ),
                Status::Label => panic!("{}: {name}: a label belongs to the maker's job", schedule.id),
                _ => assert!(
                    !source.starts_with("no source") && !source.contains("no page read"),
                    "{}: {name}: {source}",
                    schedule.id
                ),
            }
        }
    }
    assert!(figures > 150, "{figures} figures were looked at");
}

#[test]
fn every_stage_is_there_and_none_falls() {
    for schedule in shipped().values() {
        for product in &schedule.products {
            let needed: &[Stage] = if product.terminal {
                &TERMINAL_STAGES
            } else {
                &COAT_STAGES
            };
            for stage in needed {
                assert!(product.time_to(*stage, 1).is_some(), "{}: {stage}", product.id);
            }
            assert_eq!(falls(product), vec![], "{}", product.id);
            // the ladder again, written out: touch before what is done to the film, that before hard
            for coat in coat_numbers(product) {
                let time = |stage| product.time_to(stage, coat).map_or(f64::NAN, |figure| figure.high);
                let middle = [Stage::DryToSand, Stage::DryToRecoat, Stage::DryToHandle];
                let middle: Vec<f64> = middle.map(time).into_iter().filter(|time| !time.is_nan()).collect();
                assert!(time(Stage::DustFree) <= time(Stage::DryToTouch));
                assert!(
                    middle
                        .iter()
                        .all(|time| *time >= product.time_to(Stage::DryToTouch, coat).expect("touch").high)
                );
                assert!(
                    middle
                        .iter()
                        .all(|time| *time <= product.time_to(Stage::DryHard, coat).expect("hard").high)
                );
                assert!(time(Stage::DryHard) <= time(Stage::DryToStack));
            }
            assert!(!laws_of(product).is_empty(), "{} has no drying law", product.id);
        }
    }
}

#[test]
fn windows_follow_each_other_and_the_last_stays_open() {
    for schedule in shipped().values() {
        for product in &schedule.products {
            let mut by_next: BTreeMap<Option<&str>, Vec<_>> = BTreeMap::new();
            for window in &product.windows {
                by_next.entry(window.next.as_deref()).or_default().push(window);
            }
            assert!(by_next.contains_key(&None), "{}", product.id);
            for windows in by_next.values() {
                let mut free_from = 0.0;
                for (index, window) in windows.iter().enumerate() {
                    let opens = match &window.opens {
                        Opening::After(figure) => figure.high,
                        Opening::Stage(stage) => product.time_to(*stage, 1).expect("stated").high,
                    };
                    assert!(opens >= free_from, "{}", product.id);
                    let last = index + 1 == windows.len();
                    assert_eq!(window.closes.is_none(), last, "{}", product.id);
                    if let Some(closes) = &window.closes {
                        assert!(closes.low > opens, "{}", product.id);
                        free_from = closes.low;
                    }
                }
            }
        }
    }
}

#[test]
fn grits_go_down_in_steps_the_next_one_clears() {
    for schedule in shipped().values() {
        let grits: Vec<_> = schedule
            .steps
            .iter()
            .filter(|step| step.kind == StepKind::Sand)
            .collect();
        assert!(grits.len() >= 2, "{}", schedule.id);
        for pair in grits.windows(2) {
            let size = |index: usize| pair[index].grit.and_then(|grit| grit.grade.grain()).expect("a grain").0;
            let ratio = size(0) / size(1);
            assert!(ratio > 1.0 && ratio <= 1.7, "{}: {ratio}", schedule.id);
        }
        // only the last grit goes stale
        let stale: Vec<bool> = grits.iter().map(|step| step.stale_after.is_some()).collect();
        assert!(
            stale
                .iter()
                .rev()
                .enumerate()
                .all(|(index, stale)| *stale == (index == 0)),
            "{}",
            schedule.id
        );
    }
}

#[test]
fn the_bench_order_and_the_masking() {
    for schedule in shipped().values() {
        let kinds = kinds(schedule);
        let at = |kind| kinds.iter().position(|one| *one == kind).expect("a step");
        let last = |kind| kinds.iter().rposition(|one| *one == kind).expect("a step");
        assert!(at(StepKind::Label) < at(StepKind::Sand), "{}", schedule.id);
        assert!(last(StepKind::Sand) < at(StepKind::Arris), "{}", schedule.id);
        assert!(at(StepKind::Arris) < at(StepKind::Mask), "{}", schedule.id);
        assert!(at(StepKind::Mask) < at(StepKind::DustOff), "{}", schedule.id);
        assert!(at(StepKind::DustOff) < at(StepKind::Coat), "{}", schedule.id);
        assert!(last(StepKind::Coat) < at(StepKind::Unmask), "{}", schedule.id);
        for step in &schedule.steps {
            let assembled = matches!(step.kind, StepKind::RubOut | StepKind::Wax | StepKind::Buff);
            assert_eq!(
                step.phase == Phase::Assembled,
                assembled,
                "{}: {}",
                schedule.id,
                step.kind
            );
            if let Some(id) = &step.product {
                let product = schedule.product(id).expect("carried");
                assert!(product.wet_film.contains_key(&step.method.expect("a method")), "{id}");
            }
        }
    }
}

#[test]
fn the_format_page_has_every_word() {
    use denib::finish::STATUSES;
    use denib::finish::words::{MECHANISMS, METHODS, PHASES, PREPARES, STAGES, STEPS};
    let page = include_str!("../../schedules/README.md");
    let steps = STEPS.listed();
    // those that come by themselves are described, not written
    let by_themselves = [
        "wipe-back",
        "re-wipe",
        "turn",
        "mix",
        "change-over",
        "clean-up",
        "glue-up",
    ];
    for list in [
        STAGES.listed(),
        MECHANISMS.listed(),
        METHODS.listed(),
        PREPARES.listed(),
        PHASES.listed(),
        STATUSES.listed(),
        steps,
    ] {
        for word in list
            .split('`')
            .skip(1)
            .step_by(2)
            .filter(|word| !by_themselves.contains(word))
        {
            assert!(page.contains(word), "{word}");
        }
    }
}

#[test]
fn families_share_brushes() {
    let family = |id: &str, product: &str| schedule(id).product(product).expect("carried").family.clone();
    assert_eq!(family("brushed-cellulose", "cellulose-lacquer"), "lacquer");
    assert_eq!(family("dewaxed-shellac", "shellac"), "shellac");
    assert_eq!(family("brushed-varnish", "brushing-varnish"), "varnish");
    assert_eq!(family("oil-varnish", "oil-varnish-blend"), "oil");
    assert_eq!(family("hardwax-oil", "hardwax"), "oil");
    // the same tin of wax in both
    let (one, other) = (schedule("brushed-cellulose"), schedule("dewaxed-shellac"));
    assert_eq!(
        one.product("paste-wax").expect("carried"),
        other.product("paste-wax").expect("carried")
    );
    assert!(one.product("paste-wax").expect("carried").terminal);
}

#[test]
fn brushed_cellulose() {
    let schedule = schedule("brushed-cellulose");
    assert_eq!(schedule.coats_due().collect::<Vec<_>>(), ["cellulose-lacquer"; 3]);
    let denibs: Vec<String> = schedule
        .steps
        .iter()
        .filter(|step| step.kind == StepKind::Denib)
        .map(|step| step.grit.expect("grit").to_string())
        .collect();
    assert_eq!(denibs, ["P360", "P360 wet"]);
    let lacquer = schedule.product("cellulose-lacquer").expect("carried");
    // the first coat is soon ready for its de-nib, later ones not before half a day
    check_hours(lacquer, Stage::DryToRecoat, 1, 0.75, 2.0);
    check_hours(lacquer, Stage::DryToRecoat, 2, 4.0, 4.0);
    check_hours(lacquer, Stage::DryToRecoat, 3, 4.0, 4.0);
    assert_eq!(lacquer.windows.iter().filter(|window| window.next.is_none()).count(), 1);
    assert!(!lacquer.self_heating);
}

#[test]
fn dewaxed_shellac() {
    let schedule = schedule("dewaxed-shellac");
    assert_eq!(schedule.coats_due().count(), 5);
    let shellac = schedule.product("shellac").expect("carried");
    // waits grow: a quarter, a half hour, a night after the third coat, then two hours
    check_hours(shellac, Stage::DryToRecoat, 1, 0.25, 0.5);
    check_hours(shellac, Stage::DryToRecoat, 2, 0.5, 1.0);
    check_hours(shellac, Stage::DryToRecoat, 3, 8.0, 12.0);
    check_hours(shellac, Stage::DryToRecoat, 4, 2.0, 2.0);
    check_hours(shellac, Stage::DryToRecoat, 5, 2.0, 2.0);
    check_hours(shellac, Stage::DryToRecoat, 6, 8.0, 12.0);
    // computed figures agree with the cut they come from
    let solids = shellac.volume_solids.as_ref().expect("stated");
    let of = |density| cut::volume_solids(2.0, density).expect("a resin").0;
    assert!((solids.low - of(1.20)).abs() < 0.2 && (solids.high - of(1.10)).abs() < 0.2);
    let alcohol = 100.0 - cut::weight_solids(2.0).0;
    let ethanol = shellac
        .solvents
        .iter()
        .find(|(name, _)| name == "ethanol")
        .expect("stated");
    assert!((ethanol.1.high - alcohol).abs() < 0.5, "{alcohol}");
    assert_eq!(
        schedule.steps.iter().filter(|step| step.kind == StepKind::Wax).count(),
        2
    );
}

#[test]
fn brushed_varnish() {
    let schedule = schedule("brushed-varnish");
    assert_eq!(schedule.coats_due().collect::<Vec<_>>(), ["brushing-varnish"; 3]);
    let varnish = schedule.product("brushing-varnish").expect("carried");
    let [early, late] = &varnish.windows[..] else {
        panic!("an early and a late window")
    };
    assert_eq!((early.prepare, late.prepare), (Prepare::None, Prepare::Scuff));
    // a gap in which coating spoils the film: from the close of the early window to the opening of the late
    let closes = early.closes.as_ref().expect("closes").low;
    let reopens = hours(varnish, Stage::DryToSand, 1).1 * 60.0;
    assert!(closes < reopens);
    assert!(varnish.self_heating);
}

#[test]
fn wiped_oils() {
    for (id, product, coats) in [("oil-varnish", "oil-varnish-blend", 3), ("hardwax-oil", "hardwax", 2)] {
        let schedule = schedule(id);
        assert_eq!(schedule.coats_due().count(), coats);
        let oil = schedule.product(product).expect("carried");
        let wipe = oil.wipe.as_ref().expect("wiped");
        assert!(wipe.soak.high <= wipe.within.low);
        let (after, limit) = (
            wipe.again_after.as_ref().expect("again"),
            wipe.again_within.as_ref().expect("again"),
        );
        assert!((after.low - 60.0).abs() < 1e-9 && limit.low > after.high);
        // a coat a day, glued up three days after the last
        check_hours(oil, Stage::DryHard, coats as u8, 72.0, 72.0);
        assert!((hours(oil, Stage::DryToRecoat, 1).1 - 24.0).abs() < 1e-9);
        assert!(
            schedule
                .steps
                .iter()
                .filter(|step| step.kind == StepKind::Coat)
                .all(|step| step.method == Some(Method::Wipe))
        );
        assert!(oil.self_heating);
    }
}
