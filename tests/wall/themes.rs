//! Themes: contrast, signs and words instead of colour, and the keys that change what is seen and heard.
//!
//! Contrast is reckoned as the Web Content Accessibility Guidelines 2.2 define it (relative luminance of sRGB;
//! success criterion 1.4.3 asks for 4.5 to 1, 1.4.6 for 7 to 1). The colours are those of the fixed part of the
//! 256-colour table of terminals: a cube of the levels 0, 95, 135, 175, 215, 255 and greys from 8 in steps of 10.

// what a test sets up by hand is there; a script that cannot be read fails the test
#![allow(clippy::expect_used, clippy::panic)]

use crate::wall_bench::{MemoryBench, at, played};
use denib::tui::Quiet;
use denib::tui::msg::Effect;
use denib::tui::script::paint;
use denib::tui::symbols::{ASCII, Symbols, UNICODE};
use denib::tui::theme::{Look, Theme};
use denib::tui::verdict::Hands;
use ratatui::style::{Color, Modifier, Style};
use std::collections::HashSet;

/// Red, green, blue of a colour of the fixed table.
fn rgb(colour: Color) -> [u8; 3] {
    let Color::Indexed(index) = colour else {
        panic!("{colour} is not of the fixed table")
    };
    match index {
        16..=231 => {
            let level = |step: u8| if step == 0 { 0 } else { 55 + 40 * step };
            let cube = index - 16;
            [level(cube / 36), level(cube / 6 % 6), level(cube % 6)]
        }
        232..=255 => [8 + 10 * (index - 232); 3],
        _ => panic!("{index} is the terminal's own"),
    }
}

fn luminance(colour: Color) -> f64 {
    let [red, green, blue] = rgb(colour).map(|part| {
        let part = f64::from(part) / 255.0;
        if part <= 0.04045 {
            part / 12.92
        } else {
            ((part + 0.055) / 1.055).powf(2.4)
        }
    });
    0.2126 * red + 0.7152 * green + 0.0722 * blue
}

fn contrast(one: Color, other: Color) -> f64 {
    let (one, other) = (luminance(one), luminance(other));
    (one.max(other) + 0.05) / (one.min(other) + 0.05)
}

fn styles(theme: &Theme) -> [(&'static str, Style); 11] {
    [
        ("text", theme.text),
        ("strong", theme.strong),
        ("quiet", theme.quiet),
        ("title", theme.title),
        ("leave", theme.leave),
        ("turn", theme.turn),
        ("test", theme.test),
        ("carry", theme.carry),
        ("glue", theme.glue),
        ("alarm", theme.alarm),
        ("cursor", theme.cursor),
    ]
}

/// The worked example of the guidelines' formula: black on white is 21 to 1, and #777 on white 4.48 (as accessibility pages
/// round it).
#[test]
fn the_formula_is_the_published_one() {
    assert!((contrast(Color::Indexed(16), Color::Indexed(231)) - 21.0).abs() < 1e-9);
    // 243 is #767676, the lightest grey that passes on white: 4.54
    assert!((contrast(Color::Indexed(243), Color::Indexed(231)) - 4.54).abs() < 0.01);
}

#[test]
fn every_colour_a_theme_sets_stands_out_from_its_ground() {
    let mut pairs = 0;
    for look in Look::ALL {
        let theme = look.theme();
        let Some(ground) = theme.ground.bg else {
            assert!(matches!(look, Look::Terminal | Look::Mono), "{look:?} sets no ground");
            continue;
        };
        let least = if look == Look::Contrast { 7.0 } else { 4.5 };
        for (name, style) in styles(theme) {
            let front = style
                .fg
                .or(theme.ground.fg)
                .expect("a theme with a ground sets its text");
            let found = contrast(front, style.bg.unwrap_or(ground));
            assert!(found >= least, "{look:?} {name}: {found:.2}");
            assert!(
                !style.add_modifier.contains(Modifier::DIM),
                "{look:?} {name}: dim is no set colour"
            );
            pairs += 1;
        }
    }
    assert_eq!(pairs, 33, "three themes set colours");
}

#[test]
fn a_theme_colours_the_whole_screen_and_changes_no_letter() {
    let mut model = played(
        &mut MemoryBench::fitted().done(&["sand", "cover", "coat-1"]),
        at(0, 11, 10),
        "3",
    )
    .model;
    let plain = denib::tui::script::text_of(&paint(&model).0);
    for look in Look::ALL {
        model.theme = *look.theme();
        let (buffer, _) = paint(&model);
        assert_eq!(denib::tui::script::text_of(&buffer), plain, "{look:?}");
        let set = look.theme().ground.bg.unwrap_or(Color::Reset);
        assert!(buffer.content.iter().all(|cell| cell.bg == set), "{look:?}");
    }
}

const ALL_HANDS: [Hands; 8] = [
    Hands::SandOff,
    Hands::Leave,
    Hands::Coat,
    Hands::Turn,
    Hands::Test,
    Hands::Carry,
    Hands::Glue,
    Hands::InParts,
];

#[test]
fn stages_are_told_apart_by_sign_and_by_word() {
    for symbols in [UNICODE, ASCII] {
        let signs: HashSet<char> = ALL_HANDS.iter().map(|hands| hands.sign(&symbols)).collect();
        assert_eq!(signs.len(), ALL_HANDS.len(), "no two signs alike");
        let words: HashSet<&str> = ALL_HANDS.iter().map(|hands| hands.word()).collect();
        assert_eq!(words.len(), ALL_HANDS.len(), "no two words alike");
    }
}

fn all_signs(symbols: &Symbols) -> Vec<char> {
    let mut all = vec![
        symbols.leave,
        symbols.coat,
        symbols.turn,
        symbols.test,
        symbols.carry,
        symbols.glue,
        symbols.spoiled,
        symbols.left_out,
        symbols.cursor,
        symbols.rule,
        symbols.warn,
        symbols.dash,
        symbols.cut,
        symbols.in_parts,
        symbols.shift,
        symbols.work,
        symbols.drying,
        symbols.place,
        symbols.choice,
        symbols.now,
        symbols.open,
        symbols.gap,
        symbols.block,
        symbols.free,
        symbols.wood,
    ];
    all.extend(symbols.films);
    all.extend(symbols.bars);
    all
}

#[test]
fn every_sign_is_one_column_wide_and_the_other_table_is_ascii() {
    for sign in all_signs(&UNICODE).into_iter().chain(all_signs(&ASCII)) {
        assert_eq!(unicode_width::UnicodeWidthChar::width(sign), Some(1), "{sign}");
    }
    assert!(all_signs(&ASCII).iter().all(char::is_ascii));
}

#[test]
fn the_signs_of_a_line_of_the_day_are_told_apart() {
    for symbols in [UNICODE, ASCII] {
        let end = [
            symbols.work,
            symbols.leave,
            symbols.shift,
            symbols.place,
            symbols.choice,
        ];
        let this = [symbols.leave, symbols.drying, symbols.open, 'n', 'x', symbols.gap];
        for line in [&end[..], &this[..]] {
            assert_eq!(line.iter().collect::<HashSet<_>>().len(), line.len(), "{line:?}");
        }
    }
}

#[test]
fn the_theme_changes_with_a_key_and_says_its_name() {
    let seen = played(&mut MemoryBench::new(), at(0, 8, 0), "TT");
    assert_eq!(Look::of(&seen.model.theme), Look::Dark);
    assert!(seen.text.contains("Theme: dark."), "{}", seen.text);
    let round: String = "T".repeat(Look::ALL.len());
    assert_eq!(
        Look::of(&played(&mut MemoryBench::new(), at(0, 8, 0), &round).model.theme),
        Look::Terminal
    );
}

fn bells(quiet: &Quiet, keys: &str) -> usize {
    let mut bench = MemoryBench::new().done(&["sand"]);
    let mut model = played(&mut bench, at(0, 8, 58), keys).model;
    model.quiet.hours.clone_from(&quiet.hours);
    let mut rung = 0;
    for minute in 0..4 {
        let now = at(0, 8, 58) + chrono::Duration::minutes(minute);
        denib::tui::update(&mut model, denib::tui::Msg::Clock(now));
        let sheet = denib::tui::Sheet::of(&bench, denib::units::Moment::of(&now));
        let effects = denib::tui::update(&mut model, denib::tui::Msg::Sheet(Box::new(sheet)));
        rung += effects.iter().filter(|effect| matches!(effect, Effect::Bell)).count();
    }
    rung
}

#[test]
fn the_bell_rings_when_hands_are_needed_but_not_in_quiet_hours() {
    let hours = |from, until| Quiet {
        muted: false,
        hours: vec![(from, until)],
    };
    assert_eq!(bells(&Quiet::default(), ""), 1);
    assert_eq!(
        bells(&hours(8 * 60, 9 * 60), ""),
        1,
        "quiet until nine, and the round begins at nine"
    );
    assert_eq!(bells(&hours(8 * 60, 10 * 60), ""), 0);
    assert_eq!(bells(&hours(22 * 60, 7 * 60), ""), 1);
    assert_eq!(bells(&Quiet::default(), "B"), 0, "switched off");
    assert_eq!(bells(&Quiet::default(), "BB"), 1);
}
