//! The good plan of the small table and the tray, written by hand.
//!
//! Invariant: every time below follows from the figures of [`crate::shop`] by addition; the sums stand beside
//! the lines that need them.

use crate::draft::{Draft, daily};
use crate::line::{Line, assembled, coat, line, paper, set_up};
use crate::shop::{at, job};
use denib::finish::StepKind::{
    Arris, Buff, ChangeOver, Check, CleanUp, Denib, DustOff, GlueUp, Label, Mask, ReWipe, Sand, Unmask, Wax, WipeBack,
};
use denib::job::Holding::{Bearers, Hung, Points};

const LEG: &[&str] = &["side-1", "side-2", "side-3", "side-4", "ends"];
const TRAY: &[&str] = &["back", "edges", "ends", "face"];

/// Works on the film of another line.
pub fn on(film: &str, line: Line) -> Line {
    Line {
        film_from: Some(film.to_owned()),
        ..line
    }
}

/// A wipe of the tray's oil.
fn wipe(line: Line) -> Line {
    Line {
        surfaces: TRAY.iter().map(|id| (*id).to_owned()).collect(),
        coat: Some(1),
        product: Some("oil".to_owned()),
        family: Some("oil".to_owned()),
        film_from: Some("tray/coat-1".to_owned()),
        ..line
    }
}

pub fn good() -> Draft {
    let lines = vec![
        // Monday morning: bare wood
        line("top/check", Check, "1 08:00", 5),
        line("leg/check", Check, "1 08:05", 3),
        line("tray/check", Check, "1 08:08", 3),
        line("top/label", Label, "1 08:11", 2),
        line("leg/label", Label, "1 08:13", 2),
        line("tray/label", Label, "1 08:15", 2),
        paper("top/sand-p120", Sand, "P120", "1 08:20", 20),
        paper("leg/sand-p120", Sand, "P120", "1 08:40", 10),
        paper("tray/sand-p120", Sand, "P120", "1 08:50", 10),
        paper("top/sand-p180", Sand, "P180", "1 09:00", 20),
        paper("leg/sand-p180", Sand, "P180", "1 09:20", 10),
        paper("tray/sand-p180", Sand, "P180", "1 09:30", 10),
        line("top/arris", Arris, "1 09:40", 5),
        line("leg/arris", Arris, "1 09:45", 5),
        // the last dust ends 09:55; it settles in 45 minutes: nothing wet before 10:40
        line("tray/arris", Arris, "1 09:50", 5),
        line("leg/mask", Mask, "1 09:55", 5),
        line("tray/mask", Mask, "1 10:00", 5),
        line("top/dust-off", DustOff, "1 10:05", 3),
        line("leg/dust-off", DustOff, "1 10:08", 3),
        line("tray/dust-off", DustOff, "1 10:11", 3),
        set_up("set-up-1", ChangeOver, "lacquer", "1 10:30", 10),
        // ends 10:50: dust-free 11:10, sand and recoat 11:50, the early window closes 14:50
        coat("leg/coat-1", ("lacquer", 1), "1 10:40", 10, Hung, LEG),
        // ends 11:00: dry to touch 11:30, recoat 12:00 to 15:00
        coat("top/coat-1/back", ("lacquer", 1), "1 10:50", 10, Bearers, &["back"]),
        // turned at 11:30; ends 11:45: dust-free 12:05, sand 12:45, recoat 12:45 to 15:45
        coat(
            "top/coat-1/face",
            ("lacquer", 1),
            "1 11:30",
            15,
            Bearers,
            &["face", "edges", "ends"],
        ),
        set_up("clean-1", CleanUp, "lacquer", "1 11:45", 10),
        // dry paper makes dust: ends 13:30, settles by 14:15
        on("leg/coat-1", paper("leg/denib-1", Denib, "P360", "1 13:15", 5)),
        on("top/coat-1/face", paper("top/denib-1", Denib, "P360", "1 13:20", 10)),
        set_up("set-up-2", ChangeOver, "lacquer", "1 14:05", 10),
        // 14:15 lies in 11:50 to 14:50; ends 14:25: touch 14:55, hard perhaps Tue 00:25, surely 02:25
        on(
            "leg/coat-1",
            coat("leg/coat-2", ("lacquer", 2), "1 14:15", 10, Hung, LEG),
        ),
        // 14:25 lies in 12:00 to 15:00; ends 14:35: dry to touch 15:05
        on(
            "top/coat-1/back",
            coat("top/coat-2/back", ("lacquer", 2), "1 14:25", 10, Bearers, &["back"]),
        ),
        // 15:05 lies in 12:45 to 15:45; ends 15:20: handled 18:20, hard Tue 03:20, through Wed 15:20
        on(
            "top/coat-1/face",
            coat(
                "top/coat-2/face",
                ("lacquer", 2),
                "1 15:05",
                15,
                Bearers,
                &["face", "edges", "ends"],
            ),
        ),
        set_up("clean-2", CleanUp, "lacquer", "1 15:20", 10),
        Line {
            round: Some("unmask Monday".to_owned()),
            ..line("leg/unmask", Unmask, "1 15:30", 5)
        },
        set_up("set-up-3", ChangeOver, "oil", "1 15:35", 10),
        // ends 15:50: touch 23:50, hard Thu 15:50
        coat("tray/coat-1", ("oil", 1), "1 15:45", 5, Points, TRAY),
        // every spot stands 15 minutes: more than the 10 it soaks, less than the 30 it may
        wipe(line("tray/wipe-back-1", WipeBack, "1 16:00", 5)),
        // bled back from 17:05 on, off before 17:35
        wipe(line("tray/re-wipe-1", ReWipe, "1 17:05", 5)),
        set_up("clean-3", CleanUp, "oil", "1 17:10", 10),
        // Tuesday
        Line {
            round: Some("unmask Tuesday".to_owned()),
            ..line("tray/unmask", Unmask, "2 08:00", 5)
        },
        // both pieces of the table are hard since 03:20; cured 09:35
        assembled("table/glue-up", GlueUp, "2 08:05", 30),
        // Wednesday: dry through 15:20
        Line {
            phase: denib::finish::Phase::Assembled,
            ..set_up("set-up-4", ChangeOver, "wax", "3 15:20", 10)
        },
        Line {
            product: Some("wax".to_owned()),
            family: Some("wax".to_owned()),
            ..assembled("table/wax-1", Wax, "3 15:30", 10)
        },
        // hazes for 15 minutes from 15:40
        assembled("table/buff-1", Buff, "3 15:55", 10),
        Line {
            phase: denib::finish::Phase::Assembled,
            ..set_up("clean-4", CleanUp, "wax", "3 16:05", 10)
        },
    ];
    // no plan can have the tray's oil on before Monday noon: three days later is Thursday noon
    Draft {
        job: job(),
        lines,
        bound: at("4 12:00"),
        shifts: daily(1..=5, &[("08:00", "12:30"), ("13:15", "17:30")]),
        clocks: None,
    }
}
