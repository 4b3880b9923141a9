//! Exposure limits and the mixture sum.

#![allow(clippy::expect_used, reason = "a check stops where a value is missing")]

use denib::science::exposure::{Amount, Averaged, Country, Force, all, limit, mixture_sum, shift_mg_m3, short_mg_m3};
use denib::science::vapour::find;

fn ppm(name: &str, country: Country, averaged: Averaged) -> Option<f64> {
    let found = limit(find(name).expect("known"), country, averaged)?;
    match found.amount {
        Amount::Ppm(amount) => Some(amount),
        Amount::MgM3(_) => None,
    }
}

// NIOSH's pages of dangerous concentrations (1994), its pocket guide, OSHA's sampling pages: read.
#[test]
fn limits_that_were_read() {
    let us = |name| ppm(name, Country::UnitedStates, Averaged::EightHours);
    for (name, wanted) in [
        ("ethyl acetate", 400.0),
        ("n-butyl acetate", 150.0),
        ("isobutyl acetate", 150.0),
        ("methanol", 200.0),
        ("ethanol", 1000.0),
        ("dipropylene glycol methyl ether", 100.0),
        ("turpentine", 100.0),
        // NIOSH's 250 ppm is lower than OSHA's 1,000
        ("acetone", 250.0),
    ] {
        assert_eq!(us(name), Some(wanted), "{name}");
    }
    assert_eq!(
        ppm("methanol", Country::UnitedStates, Averaged::FifteenMinutes),
        Some(250.0)
    );
    // Stoddard solvent: OSHA 500 ppm (2,900 mg/m³), NIOSH 350 and 1,800 mg/m³
    let spirit = find("white spirit").expect("known");
    assert_eq!(shift_mg_m3(spirit, Country::UnitedStates), Some(350.0));
    assert_eq!(short_mg_m3(spirit, Country::UnitedStates), Some(1800.0));
    // VM&P naphtha has no OSHA limit
    let naphtha = all().iter().filter(|limit| limit.substance == "naphtha");
    assert!(naphtha.clone().count() == 2 && naphtha.clone().all(|limit| limit.force == Force::Advice));
}

#[test]
fn every_limit_names_a_known_substance_its_source_and_year() {
    for limit in all() {
        assert!(
            find(limit.substance).is_some_and(|known| known.name == limit.substance),
            "{limit:?}"
        );
        assert!(
            !limit.source.is_empty() && (1980..=2026).contains(&limit.year),
            "{limit:?}"
        );
        let amount = match limit.amount {
            Amount::Ppm(amount) | Amount::MgM3(amount) => amount,
        };
        assert!(amount > 0.0);
    }
    // a short limit is never below the shift's
    for country in [Country::GreatBritain, Country::UnitedStates] {
        for substance in denib::science::vapour::substance::all() {
            if let (Some(shift), Some(short)) = (shift_mg_m3(substance, country), short_mg_m3(substance, country)) {
                let ceiling = substance.name == "n-butanol";
                assert!(short >= shift || ceiling, "{}", substance.name);
            }
        }
    }
}

#[test]
fn a_substance_without_a_limit_has_none() {
    let decane = find("n-decane").expect("known");
    assert_eq!(shift_mg_m3(decane, Country::GreatBritain), None);
    assert_eq!(short_mg_m3(decane, Country::UnitedStates), None);
    // n-butanol has a short limit only in Great Britain
    let butanol = find("n-butanol").expect("known");
    assert_eq!(shift_mg_m3(butanol, Country::GreatBritain), None);
    assert!(short_mg_m3(butanol, Country::GreatBritain).is_some());
    // ethanol has none for fifteen minutes: three times the shift's
    let ethanol = find("ethanol").expect("known");
    let shift = shift_mg_m3(ethanol, Country::GreatBritain).expect("a limit");
    // 1,000 ppm is 1,884 mg/m³ at 24.45 L/mol; the table prints 1,920 at 20 °C
    assert!((shift - 1884.0).abs() < 1.0);
    assert!((short_mg_m3(ethanol, Country::GreatBritain).expect("a figure") - 3.0 * shift).abs() < 1e-9);
}

// 29 CFR 1910.1000(d)(2)(i): its example of three substances, 500/1,000 + 45/200 + 40/200 = 0.925 (recalled).
#[test]
fn the_mixture_example() {
    let sum = mixture_sum([
        (500.0, Some(1000.0)),
        (45.0, Some(200.0)),
        (40.0, Some(200.0)),
        (9.0, None),
    ]);
    assert!((sum - 0.925).abs() < 1e-12, "{sum}");
}
