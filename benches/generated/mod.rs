//! Job files of any size, invented from a seed, for measurements and checks.
//!
//! Invariant: the same count and seed give the same text for ever; every text is a job the program reads
//! without a problem. All of it is made up; only the finish schedules are real ones.
//!
//! A job is a row of pieces of furniture: sides, tops, shelves, legs, rails, doors and drawers in sections of
//! about thirty, each section under its own finish with shellac inside the drawers. Together the sections
//! bring every kind of constraint there is: handed and wide panels, joints to mask, three ways of holding,
//! fewer places than pieces, places lent to other work, parts made later, heavy parts, hands with hours of
//! their own, closed days, nights below a drying floor, dust in the coating room, pot lives, wipe limits,
//! recoat windows with gaps, grain raised and cut back, colour and filler, due times and glue-ups.

#![allow(dead_code, reason = "each bench and test uses its part")]

use std::fmt::Write;

/// Numbers by splitmix64 (Steele, Lea and Flood 2014).
pub struct Dice(pub u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    /// A number in `from..until`.
    pub fn within(&mut self, from: u64, until: u64) -> u64 {
        from + self.next() % (until - from).max(1)
    }

    fn chance(&mut self, percent: u64) -> bool {
        self.within(0, 100) < percent
    }

    fn pick<'a>(&mut self, words: &[&'a str]) -> &'a str {
        let at = self.within(0, words.len() as u64) as usize;
        words.get(at).copied().unwrap_or_default()
    }
}

/// The finishes sections go under, in turn: films with windows and gaps, oils with wipe limits, water with
/// raised grain and a floor, two parts with a pot life, colour, filler.
const FINISHES: [&str; 8] = [
    "brushed-varnish",
    "hardwax-oil",
    "waterborne-two-part",
    "brushed-cellulose",
    "oil-varnish",
    "dyed-waterborne",
    "filled-cellulose",
    "alkyd-varnish",
];

/// Pieces in a section at the most.
const SECTION: u64 = 30;

/// The text of a job of so many pieces.
pub fn job(pieces: u64, seed: u64) -> String {
    let dice = &mut Dice(seed.wrapping_mul(1_000_003).wrapping_add(pieces));
    let mut text = String::new();
    let _ = write!(
        text,
        "# Invented by benches/generated: {pieces} pieces, seed {seed}.\nformat = 1\n\
         title = \"Generated job of {pieces} pieces, seed {seed}\"\nzone = \"Europe/London\"\n\
         start = \"2026-11-30 08:00\"\nunits = {{ length = \"mm\", temperature = \"C\", volume = \"L\" }}\n\
         tape_life = \"14 d\"\n"
    );
    room(dice, &mut text, pieces);
    hands(&mut text, pieces);
    let sections = pieces.div_ceil(SECTION).max(if pieces >= 20 { 2 } else { 1 });
    // small jobs do not all go under the same finish
    let turn = dice.within(0, FINISHES.len() as u64);
    let mut left = pieces;
    for section in 0..sections {
        let share = left.div_ceil(sections - section);
        left -= share;
        let finish = FINISHES[((turn + section) % FINISHES.len() as u64) as usize];
        one_section(dice, &mut text, section, share, finish, pieces >= 40);
    }
    text
}

fn room(dice: &mut Dice, text: &mut String, pieces: u64) {
    let places = |share: u64| (pieces * share / 100).max(3);
    let racks = (pieces * 4 / 5).max(8);
    let _ = write!(
        text,
        "\n[room]\nsize = [{}, 6000, 2800]\nair_changes = 4.0\ndust = \"together\"\nsettle = \"{} min\"\n\
         wide_over = 200\ncooling = \"3 h\"\n\
         places = {{ bearers = {}, points = {}, hooks = {}, racks = {racks} }}\n",
        (8000 + 20 * pieces).min(18_000),
        dice.within(30, 50),
        places(dice.within(14, 20)),
        places(dice.within(20, 30)),
        places(dice.within(25, 35)),
    );
    let day = dice.within(19, 22);
    for (from, celsius, humidity) in [
        (None, 14, 60),
        (Some("2026-12-02"), 6, 78),
        (Some("2026-12-03"), 14, 60),
    ] {
        text.push_str("\n[[room.air]]\n");
        if let Some(from) = from {
            let _ = writeln!(text, "from = \"{from}\"");
        }
        let _ = write!(
            text,
            "heated = \"07:00-18:30\"\nday = {{ temperature = {day}, humidity = 50 }}\n\
             night = {{ temperature = {celsius}, humidity = {humidity} }}\n"
        );
    }
    let _ = write!(
        text,
        "\n[[room.occupied]]\nplace = \"racks\"\ncount = {}\nfrom = \"2026-12-01 08:00\"\n\
         until = \"2026-12-03 17:00\"\nby = \"other work\"\n",
        racks / 4
    );
}

fn hands(text: &mut String, pieces: u64) {
    text.push_str("\n[hours]\n");
    for day in ["mon", "tue", "wed", "thu"] {
        let _ = writeln!(text, "{day} = [\"08:00-12:30\", \"13:15-17:30\"]");
    }
    text.push_str("fri = [\"08:00-12:30\", \"13:15-16:00\"]\nsat = [\"09:00-12:00\"]\n");
    text.push_str("\n[[hours.except]]\ndate = \"2026-12-04\"\nwork = [\"13:15-16:00\"]\nnote = \"a delivery\"\n");
    text.push_str("\n[[hands]]\nname = \"Wren\"\n");
    if pieces >= 40 {
        text.push_str(
            "\n[[hands]]\nname = \"Robin\"\nhours = { tue = [\"13:15-17:30\"], wed = [\"08:00-12:30\"], thu = [\"13:15-17:30\"] }\n",
        );
    }
    for name in ["Finch", "Lark", "Swift"].iter().take((pieces / 300) as usize) {
        let _ = write!(text, "\n[[hands]]\nname = \"{name}\"\n");
    }
}

/// One part of a section: how many of it at the most, and the rest of its table.
struct Part {
    name: &'static str,
    most: u64,
    lines: String,
}

fn one_section(dice: &mut Dice, text: &mut String, section: u64, pieces: u64, finish: &str, heavy: bool) {
    let id = format!("s{}", section + 1);
    let _ = write!(
        text,
        "\n[[section]]\nid = \"{id}\"\nname = \"section {}\"\nweight = {}\n",
        section + 1,
        1 + section % 3
    );
    if section % 4 == 1 {
        let _ = writeln!(text, "due = \"2027-01-{:02} 12:00\"", 8 + section % 20);
    }
    let mut left = pieces;
    let mut names = Vec::new();
    for part in parts(dice, heavy) {
        let handed = part.lines.contains("handed");
        let mut count = part.most.min(left);
        if handed {
            count -= count % 2;
        }
        if count == 0 {
            continue;
        }
        left -= count;
        write_part(text, &id, &part, count, finish);
        names.push(format!("{} {id}", part.name));
    }
    if left > 0 {
        let (long, thick) = (dice.within(300, 900), dice.within(20, 45));
        let lines = format!(
            "shape = \"square\"\nsize = [{long}, {thick}, {thick}]\nholding = \"hung\"\n\
             joints = [{{ kind = \"tenon\", count = 2, area = 700 }}]\n"
        );
        let rest = Part {
            name: "spindle",
            most: left,
            lines,
        };
        write_part(text, &id, &rest, left, finish);
        names.push(format!("spindle {id}"));
    }
    if section.is_multiple_of(2) {
        let made_of: Vec<String> = names.iter().map(|name| format!("\"{name}\"")).collect();
        let _ = write!(
            text,
            "\n[[assembly]]\nname = \"piece {id}\"\nmade_of = [{}]\nminutes = {}\ncure = \"12 h\"\nhands = 1\n",
            made_of.join(", "),
            40 + 2 * pieces
        );
    }
}

fn write_part(text: &mut String, section: &str, part: &Part, count: u64, finish: &str) {
    let _ = write!(
        text,
        "\n[[part]]\nname = \"{} {section}\"\ncount = {count}\nsection = \"{section}\"\nmaterial = \"ash\"\n{}",
        part.name, part.lines
    );
    if !part.lines.contains("build =") {
        text.push_str("build = \"solid\"\n");
    }
    if !part.lines.contains("\nfinish =") {
        let _ = writeln!(text, "finish = \"{finish}\"");
    }
}

/// The parts of a section, widest first.
#[allow(clippy::too_many_lines)] // one entry a part
fn parts(dice: &mut Dice, heavy: bool) -> Vec<Part> {
    let (high, deep) = (dice.within(700, 1500), dice.within(320, 520));
    let wide = dice.within(500, 1100);
    let flat = dice.pick(&["points", "bearers"]);
    let held = dice.pick(&["hung", "points"]);
    let thick = dice.within(18, 25);
    let late = if dice.chance(30) {
        "made = \"2026-12-02 08:00\"\n"
    } else {
        ""
    };
    let two = if heavy && dice.chance(40) { "heavy = true\n" } else { "" };
    let part = |name, most, lines: String| Part { name, most, lines };
    let shellac = "finish = \"dewaxed-shellac\"\nholding = \"hung\"";
    vec![
        part(
            "top",
            1,
            format!(
                "shape = \"panel\"\nsize = [{wide}, {}, 24]\nholding = \"points\"\n{late}{two}\
                 joints = [{{ kind = \"dowel-hole\", count = 8, area = 80 }}]\n",
                deep + 20
            ),
        ),
        part(
            "side",
            2,
            format!(
                "shape = \"panel\"\nhanded = true\nsize = [{high}, {deep}, {thick}]\nholding = \"{flat}\"\n\
                 joints = [{{ kind = \"housing\", count = 4, area = 9000 }}]\n"
            ),
        ),
        part(
            "leg",
            4,
            format!(
                "shape = \"round\"\nsize = [{}, 55]\nholding = \"hung\"\n\
                 joints = [{{ kind = \"tenon\", count = 1, size = [30, 25] }}]\n",
                dice.within(120, 720)
            ),
        ),
        part(
            "rail",
            3,
            format!(
                "shape = \"square\"\nsize = [{wide}, 60, 22]\nholding = \"{held}\"\n\
                 joints = [{{ kind = \"tenon\", count = 2, size = [45, 40] }}, {{ kind = \"groove\", count = 1, area = 3000 }}]\n"
            ),
        ),
        part(
            "drawer side",
            6,
            format!(
                "shape = \"panel\"\nsize = [{}, 150, 12]\n{shellac}\n\
                 surfaces.back = {{ finish = \"bare\", show = \"hidden\", label = \"running side\" }}\n\
                 joints = [{{ kind = \"dovetail\", count = 2, area = 1500 }}]\n",
                deep - 40
            ),
        ),
        part(
            "drawer front",
            3,
            format!(
                "shape = \"panel\"\nsize = [{}, 170, 20]\nholding = \"points\"\n\
                 joints = [{{ kind = \"dovetail\", count = 2, area = 2400 }}]\n",
                wide / 2
            ),
        ),
        part(
            "shelf",
            2,
            format!(
                "shape = \"panel\"\nsize = [{wide}, {}, 20]\nholding = \"{flat}\"\n",
                deep - 30
            ),
        ),
        part(
            "drawer bottom",
            3,
            format!(
                "shape = \"panel\"\nbuild = \"ply\"\nsize = [{}, {}, 6]\nfinish = \"dewaxed-shellac\"\nholding = \"points\"\n\
                 surfaces.back = {{ finish = \"bare\", show = \"hidden\", label = \"underside\" }}\n",
                wide / 2 - 20,
                deep - 40
            ),
        ),
        part(
            "door",
            2,
            format!(
                "shape = \"frame\"\nsize = [{}, 400, 22]\nmember = 60\nholding = \"bearers\"\n",
                high / 2
            ),
        ),
        part(
            "back board",
            1,
            format!(
                "shape = \"panel\"\nbuild = \"veneered\"\nsize = [{high}, {wide}, 9]\nholding = \"bearers\"\nslots = 2\n"
            ),
        ),
    ]
}
