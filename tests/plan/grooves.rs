//! A panel whose films take up the play of its groove is cautioned; one with room, bare or oiled, is not.
//!
//! The door is invented; the play of a panel fitted by hand is common practice, no source. The build is wet film times
//! volume solids, as in spreading-rate sums (a litre of wet film over a square metre is 1 mm).

#![allow(clippy::panic, reason = "a check stops where a value is missing")]

use crate::planned::from_text;
use denib::dayplan::document::Caution;
use denib::dayplan::{History, Settings, plan};
use denib::finish::{Schedule, shipped};
use denib::job::Job;

fn door(finish: &str, panel: &str, play: &str) -> Job {
    let text = format!(
        r#"format = 1
title = "Door"
zone = "Europe/London"
start = "2026-11-30 08:00"
units = {{ length = "mm", temperature = "C", volume = "L" }}
finish = "{finish}"
tape_life = "60 d"
[room]
dust = "separated"
[[room.air]]
day = {{ temperature = 21, humidity = 50 }}
[hours]
mon = ["08:00-12:30", "13:15-17:30"]
tue = ["08:00-12:30", "13:15-17:30"]
wed = ["08:00-12:30", "13:15-17:30"]
thu = ["08:00-12:30", "13:15-17:30"]
fri = ["08:00-12:30", "13:15-17:30"]
[[hands]]
name = "Wren"
[[section]]
id = "door"
[[part]]
name = "panel"
shape = "panel"
size = [500, 180, 14]
build = "solid"
material = "oak"
section = "door"
holding = "points"
{panel}
[[part]]
name = "stile"
count = 2
shape = "square"
size = [700, 70, 22]
build = "solid"
material = "oak"
section = "door"
holding = "hung"
joints = [{{ kind = "groove", area = 3000{play} }}]
[[part]]
name = "rail"
count = 2
shape = "square"
size = [300, 70, 22]
build = "solid"
material = "oak"
section = "door"
holding = "hung"
joints = [{{ kind = "tenon", count = 2, area = 900 }}, {{ kind = "groove", area = 1500{play} }}]
[[assembly]]
name = "door"
made_of = ["panel", "stile", "rail"]
minutes = 30
cure = "12 h"
hands = 1
"#
    );
    from_text("door.toml", &text)
}

fn tight(job: &Job) -> Option<Caution> {
    let plan = plan(
        job,
        &History::none(job.start),
        Settings { seed: 1, tries: 0 },
        &mut || true,
    );
    let plan = plan.unwrap_or_else(|no| panic!("{no}"));
    plan.cautions.into_iter().find(|caution| caution.code == "groove-tight")
}

/// Both faces' coats as the schedule's own figures have them, µm.
fn built(schedule: &Schedule) -> f64 {
    let coats = schedule.steps.iter().filter(|step| Schedule::is_coat(step.kind));
    let each = coats.map(|step| {
        let product = step.product.as_deref().and_then(|id| schedule.product(id));
        let product = product.unwrap_or_else(|| panic!("a coat of nothing"));
        let wet = &product.wet_film[&step.method.unwrap_or_else(|| panic!("a coat put on somehow"))];
        let solids = product
            .volume_solids
            .as_ref()
            .unwrap_or_else(|| panic!("solids are stated"));
        wet.middle() * solids.middle() / 100.0
    });
    2.0 * each.sum::<f64>()
}

#[test]
fn films_are_laid_against_the_play() {
    let built = built(&shipped()["brushed-varnish"]);
    let (less, more) = ((built - 5.0) / 1000.0, (built + 5.0) / 1000.0);
    let said = tight(&door("brushed-varnish", "", &format!(", play = {less:.3}")));
    let said = said.unwrap_or_else(|| panic!("{built} µm in {less} mm and nothing said"));
    assert_eq!(said.refers, ["panel", "stile-1", "stile-2", "rail-1", "rail-2"]);
    let figure = said.figure.unwrap_or_default();
    assert!(figure.starts_with(&format!("{built:.0} µm of film")), "{figure}");
    assert_eq!(
        tight(&door("brushed-varnish", "", &format!(", play = {more:.3}"))),
        None
    );
    // without a figure of the maker's the usual play counts
    let usual = tight(&door("brushed-varnish", "", "")).is_some();
    assert_eq!(usual, built > 200.0);
}

#[test]
fn bare_panels_and_oiled_ones_go_in() {
    for (finish, panel) in [("brushed-varnish", "finish = \"bare\""), ("oil-varnish", "")] {
        assert_eq!(tight(&door(finish, panel, ", play = 0.02")), None, "{finish} {panel}");
    }
}
