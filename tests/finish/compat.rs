//! Compatibility: what over what, on which timber, where and how thick. The pairs are those of trade pages named
//! beside each in the program; what is recalled says so there.

#![allow(clippy::panic, reason = "a check stops where a value is missing")]

use denib::finish::compat::{Class, Finding, OILY_TIMBERS, PAIRS, Verdict, Weight, Worn, is_oily, pair_of, problems};
use denib::finish::{Figure, Method, Schedule, Status, StepKind, read, shipped};
use denib::source::SourceFile;

fn schedule(id: &str) -> Schedule {
    shipped().remove(id).unwrap_or_else(|| panic!("{id} is shipped"))
}

fn worn(schedule: &Schedule) -> Worn<'_> {
    Worn {
        schedule,
        pieces: vec!["top".to_owned(), "leg".to_owned()],
        inside: Vec::new(),
        oily: Vec::new(),
        beside: Vec::new(),
    }
}

fn found(worn: &Worn<'_>) -> Vec<Finding> {
    problems(std::slice::from_ref(worn))
}

fn code<'f>(found: &'f [Finding], code: &str) -> Option<&'f Finding> {
    found.iter().find(|finding| finding.code == code)
}

#[test]
fn the_shipped_schedules_go_together() {
    for schedule in shipped().values() {
        let found = found(&worn(schedule));
        let heavy: Vec<&Finding> = found.iter().filter(|finding| finding.weight > Weight::Note).collect();
        assert!(heavy.is_empty(), "{}: {heavy:#?}", schedule.id);
    }
}

#[test]
fn every_finding_and_pair_has_its_source() {
    for pair in PAIRS {
        assert!(pair.source.len() > 10 && pair.reason.len() > 20, "{pair:?}");
        let read = pair.source.contains("read");
        assert!(read || pair.source.starts_with("recalled"), "{}", pair.source);
    }
    for schedule in shipped().values() {
        for finding in found(&worn(schedule)) {
            assert!(!finding.source.is_empty() && !finding.refers.is_empty(), "{finding:?}");
        }
    }
}

#[test]
fn classes_are_told_from_how_products_dry() {
    let of = |id: &str, product: &str, step| {
        let schedule = schedule(id);
        Class::of(schedule.product(product).unwrap_or_else(|| panic!("{product}")), step)
    };
    let coat = StepKind::Coat;
    assert_eq!(of("dewaxed-shellac", "shellac", coat), Class::Shellac);
    assert_eq!(of("dewaxed-shellac", "paste-wax", StepKind::Wax), Class::Wax);
    assert_eq!(
        of("sprayed-cellulose", "cellulose-sealer", StepKind::Seal),
        Class::Lacquer
    );
    assert_eq!(of("precatalysed-lacquer", "precatalysed-lacquer", coat), Class::Lacquer);
    assert_eq!(of("conversion-varnish", "conversion-varnish", coat), Class::Catalysed);
    assert_eq!(of("waterborne-varnish", "waterborne-varnish", coat), Class::Waterborne);
    assert_eq!(
        of("waterborne-two-part", "waterborne-two-part", coat),
        Class::Waterborne
    );
    assert_eq!(of("alkyd-varnish", "alkyd-varnish", coat), Class::Varnish);
    assert_eq!(of("wiping-varnish", "wiping-varnish", coat), Class::Varnish);
    assert_eq!(of("tung-oil", "tung-oil", coat), Class::Oil);
    assert_eq!(
        of("gel-stained-varnish", "gel-stain", StepKind::Colour),
        Class::OilStain
    );
    assert_eq!(of("dyed-waterborne", "water-dye", StepKind::Colour), Class::WaterDye);
    assert_eq!(of("filled-cellulose", "paste-filler", StepKind::Fill), Class::OilFiller);
}

#[test]
fn what_goes_over_what() {
    let verdict = |under, over| pair_of(under, over).map(|pair| pair.verdict);
    for over in [
        Class::Shellac,
        Class::Lacquer,
        Class::Waterborne,
        Class::Varnish,
        Class::Oil,
        Class::Catalysed,
    ] {
        assert_eq!(verdict(Class::Wax, over), Some(Verdict::Never), "{over:?}");
    }
    assert_eq!(verdict(Class::Wax, Class::Wax), None);
    assert_eq!(verdict(Class::Shellac, Class::Catalysed), Some(Verdict::Never));
    assert_eq!(verdict(Class::Lacquer, Class::Catalysed), Some(Verdict::Never));
    assert_eq!(verdict(Class::Waterborne, Class::Shellac), Some(Verdict::Never));
    assert_eq!(verdict(Class::Oil, Class::Lacquer), Some(Verdict::Barrier));
    assert_eq!(
        verdict(Class::Oil, Class::Waterborne),
        Some(Verdict::Wait { hours: 168.0 })
    );
    assert_eq!(
        verdict(Class::OilStain, Class::Waterborne),
        Some(Verdict::Wait { hours: 72.0 })
    );
    // the barrier that makes the pairs above plain
    for class in [Class::OilStain, Class::Oil] {
        assert_eq!(verdict(class, Class::Shellac), None);
    }
    for class in [Class::Waterborne, Class::Varnish, Class::Lacquer] {
        assert_eq!(verdict(Class::Shellac, class), None);
    }
}

/// A shipped file with one thing in it changed, read again.
fn changed(id: &str, from: &str, to: &str) -> Schedule {
    let file = format!("{id}.toml");
    let shipped = denib::finish::SHIPPED.iter().find(|(name, _)| *name == file);
    let text = shipped.unwrap_or_else(|| panic!("{id}")).1;
    assert!(text.contains(from), "{id}: {from}");
    let (schedule, problems) = read(&SourceFile::new(file, text.replace(from, to)));
    schedule.unwrap_or_else(|| panic!("{problems:?}"))
}

#[test]
fn water_over_oil_stain_without_its_wait_is_told_of() {
    // oil stain on Monday, water on Wednesday: without the barrier, and a window that opens after a day
    let mut hasty = schedule("stained-waterborne");
    hasty.steps.retain(|step| step.kind != StepKind::Seal);
    let window = |hasty: &mut Schedule, hours: f64| {
        let stain = hasty.products.iter_mut().find(|product| product.id == "oil-stain");
        let windows = stain.map(|stain| stain.windows.as_mut_slice()).unwrap_or_default();
        for window in windows
            .iter_mut()
            .filter(|one| one.next.as_deref() == Some("waterborne-varnish"))
        {
            window.opens = denib::finish::Opening::After(Figure {
                low: hours * 60.0,
                high: hours * 60.0,
                status: Status::Label,
                source: "a tin".to_owned(),
            });
        }
    };
    window(&mut hasty, 48.0);
    let told = found(&worn(&hasty));
    let finding = code(&told, "over-each-other").unwrap_or_else(|| panic!("{told:?}"));
    assert_eq!(
        (finding.weight, finding.figure.as_deref()),
        (Weight::Warning, Some("72 h"))
    );
    assert!(finding.text.contains("shellac between"), "{}", finding.text);
    window(&mut hasty, 72.0);
    assert!(code(&found(&worn(&hasty)), "over-each-other").is_none());
}

#[test]
fn a_catalysed_varnish_over_shellac_is_stopped() {
    let mut sealed = schedule("conversion-varnish");
    let mut shellac = schedule("dewaxed-shellac").products.remove(0);
    shellac.id = "sealer".to_owned();
    sealed.products.push(shellac);
    let first = sealed
        .steps
        .iter()
        .position(|step| step.kind == StepKind::Coat)
        .unwrap_or(0);
    let mut seal = sealed.steps[first].clone();
    (seal.kind, seal.product) = (StepKind::Seal, Some("sealer".to_owned()));
    sealed.steps.insert(first, seal);
    let told = found(&worn(&sealed));
    let finding = code(&told, "over-each-other").unwrap_or_else(|| panic!("{told:?}"));
    assert_eq!(finding.weight, Weight::Stop);
}

#[test]
fn no_steel_wool_under_water() {
    let wool = changed("waterborne-varnish", "grit = \"P400\"", "grit = \"0000 wool\"");
    assert_eq!(
        code(&found(&worn(&wool)), "wool-under-water").map(|finding| finding.weight),
        Some(Weight::Stop)
    );
    let (clean, cellulose) = (schedule("waterborne-varnish"), schedule("brushed-cellulose"));
    assert!(code(&found(&worn(&clean)), "wool-under-water").is_none());
    // two finishes in one room: the wool of one beside the water of the other
    let both = problems(&[worn(&clean), worn(&cellulose)]);
    assert_eq!(
        code(&both, "wool-in-the-room").map(|finding| finding.weight),
        Some(Weight::Note)
    );
    assert!(code(&problems(&[worn(&cellulose)]), "wool-in-the-room").is_none());
}

#[test]
fn oil_inside_and_on_oily_timber() {
    let (oil, shellac) = (schedule("oil-varnish"), schedule("waxed-shellac"));
    let inside = |schedule| Worn {
        inside: vec!["side".to_owned()],
        ..worn(schedule)
    };
    assert!(code(&found(&inside(&oil)), "oil-inside").is_some());
    assert!(code(&found(&inside(&shellac)), "oil-inside").is_none());
    assert!(code(&found(&worn(&oil)), "oil-inside").is_none());
    let teak = |schedule| Worn {
        oily: vec![("top".to_owned(), "teak".to_owned())],
        ..worn(schedule)
    };
    let told = found(&teak(&oil));
    let finding = code(&told, "oily-timber").unwrap_or_else(|| panic!("{told:?}"));
    assert!(finding.text.contains("teak") && finding.refers == ["top"]);
    assert!(
        code(&found(&teak(&shellac)), "oily-timber").is_none(),
        "shellac is what seals it"
    );
    for timber in OILY_TIMBERS {
        assert!(is_oily(&timber.to_uppercase()), "{timber}");
    }
    assert!(is_oily("Indian rosewood") && is_oily("lignum vitae"));
    // no timber is oily by the letters of its name
    for timber in ["steak beech", "maple", "pipe oak", "red oak", "ash"] {
        assert!(!is_oily(timber), "{timber}");
    }
}

#[test]
fn too_thick_a_film_is_added_up() {
    // 100 µm wet at 34 % is 34 µm dry a coat: two coats 68, four coats 136 of 125
    let mut varnish = schedule("conversion-varnish");
    assert!(code(&found(&worn(&varnish)), "film-too-thick").is_none());
    let product = varnish.products[0].clone();
    let dry = product.wet_film[&Method::Spray].middle() * product.volume_solids.map_or(0.0, |one| one.middle()) / 100.0;
    assert!((dry - 34.0).abs() < 1e-9, "{dry}");
    let coat = varnish.steps.iter().find(|step| step.kind == StepKind::Coat).cloned();
    varnish.steps.extend(coat.iter().cloned());
    assert!(code(&found(&worn(&varnish)), "film-too-thick").is_none(), "102 µm");
    varnish.steps.extend(coat);
    let told = found(&worn(&varnish));
    let finding = code(&told, "film-too-thick").unwrap_or_else(|| panic!("{told:?}"));
    assert_eq!(finding.figure.as_deref(), Some("136 of 125 µm"));
}

#[test]
fn fine_paper_starves_a_stain() {
    let fine = changed("gel-stained-varnish", "grit = \"P180\"", "grit = \"P240\"");
    assert!(code(&found(&worn(&fine)), "too-fine-for-stain").is_some());
    let fair = changed("gel-stained-varnish", "grit = \"P180\"", "grit = \"P220\"");
    assert!(code(&found(&worn(&fair)), "too-fine-for-stain").is_none());
    // a dye goes into fine wood too
    let dyed = changed("dyed-waterborne", "grit = \"P180\"", "grit = \"P240\"");
    assert!(code(&found(&worn(&dyed)), "too-fine-for-stain").is_none());
}

#[test]
fn one_sheen_for_films_of_more_than_one_piece() {
    let (film, oil) = (schedule("waterborne-varnish"), schedule("tung-oil"));
    assert!(code(&found(&worn(&film)), "one-sheen").is_some_and(|finding| finding.text.contains("mix the tins")));
    assert!(
        code(&found(&worn(&oil)), "one-sheen").is_none(),
        "oil is wiped off: it has no sheen of its own"
    );
    let alone = Worn {
        pieces: vec!["top".to_owned()],
        ..worn(&film)
    };
    assert!(code(&found(&alone), "one-sheen").is_none());
}
