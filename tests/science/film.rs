//! Film, spreading rates and shellac cuts against worked examples of published guides.

use denib::science::Micrometres;
use denib::science::cut::{flakes_per_litre, volume_solids, weight_solids};
use denib::science::film::{dry_film, spreading_rate, thinned_solids, volume_on, volume_to_buy, wet_film};
use denib::units::{Millilitres, Percent, SquareMillimetres};

fn close(found: f64, wanted: f64, within: f64) {
    assert!(
        (found - wanted).abs() <= within,
        "{found} is not {wanted} within {within}"
    );
}

#[test]
fn spreading_rate_examples() {
    // coating guide: 65 % volume solids at 125 µm dry spreads 5.2 m²/L
    let rate = spreading_rate(Micrometres(125.0), Percent(65.0)).expect("rate");
    close(rate.0, 5.2, 1e-9);
    // the same guide in US units: 0.65 solids at 5.0 mil is 208.5 ft²/gal
    let rate = spreading_rate(Micrometres(5.0 * 25.4), Percent(65.0)).expect("rate");
    let square_feet_per_gallon = rate.0 / 0.092_903_04 * 3.785_411_784;
    close(square_feet_per_gallon, 208.5, 0.1);
    // the trade's constant: a gallon of solids covers 1,604 ft² one mil thick
    let rate = spreading_rate(Micrometres(25.4), Percent(100.0)).expect("rate");
    close(rate.0 / 0.092_903_04 * 3.785_411_784, 1604.0, 0.5);
    assert_eq!(spreading_rate(Micrometres(0.0), Percent(65.0)), None);
}

#[test]
fn wet_and_dry_film_examples() {
    // second guide: 71 % solids, 125 µm dry needs 176 µm wet
    close(wet_film(Micrometres(125.0), Percent(71.0)).expect("film").0, 176.0, 0.1);
    close(dry_film(Micrometres(176.056), Percent(71.0)).0, 125.0, 0.001);
    assert_eq!(wet_film(Micrometres(25.0), Percent(0.0)), None);
    // thinning 10 % by volume: 33 % solids become 30 %
    close(thinned_solids(Percent(33.0), 0.1).expect("solids").0, 30.0, 1e-9);
    assert_eq!(thinned_solids(Percent(33.0), -0.1), None);
}

#[test]
fn volume_examples() {
    // reference worksheet: 4.2 m², 3 coats of 25 µm dry at 30 % solids
    let wet = wet_film(Micrometres(25.0), Percent(30.0)).expect("film");
    let net = volume_on(SquareMillimetres(4.2e6), wet) * 3.0;
    close(net.0, 1050.0, 0.01);
    // sprayed with 65 % landing and 5 % waste 1.70 L; brushed with 95 % and 10 % waste 1.23 L
    close(
        volume_to_buy(net, Percent(65.0), Percent(5.0)).expect("volume").0,
        1700.4,
        0.1,
    );
    close(
        volume_to_buy(net, Percent(95.0), Percent(10.0)).expect("volume").0,
        1228.1,
        0.1,
    );
    assert_eq!(volume_to_buy(Millilitres(1.0), Percent(0.0), Percent(5.0)), None);
}

#[test]
fn shellac_cuts() {
    // one pound to the US gallon is 119.83 g/L by the exact definitions of both (NIST SP 811)
    close(flakes_per_litre(1.0).0, 119.826, 0.001);
    // two-pound cut, reference worksheet: 240 g/L, 23.3 % by weight, 16.5 to 18 % by volume
    close(flakes_per_litre(2.0).0, 239.65, 0.01);
    close(weight_solids(2.0).0, 23.3, 0.05);
    close(volume_solids(2.0, 1.20).expect("solids").0, 16.6, 0.1);
    close(volume_solids(2.0, 1.10).expect("solids").0, 17.9, 0.1);
    assert_eq!(volume_solids(2.0, 0.0), None);
}
