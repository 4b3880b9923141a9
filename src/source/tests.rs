//! The reader against small files: what is read, what is reported, where.

use super::{Code, Document, Look, Problem, SourceFile, Value, Words, render, summary};

const SHAPES: Words<'static, u8> = Words::new(&[("panel", 1), ("round", 2)]).meant(&[("board", "panel")]);

/// Reads `shape`, `count`, `soak` and the list `parts` of a file, and gives back its problems.
fn problems(text: &str) -> Vec<Problem> {
    let file = SourceFile::new("test.toml", text);
    let document = Document::parse(&file);
    let mut root = document.root();
    root.format(1);
    let _ = root.need("shape").and_then(|value| value.word(&SHAPES));
    let _ = root.may("count").and_then(|value| value.whole_within(1..=9));
    let _ = root.may("soak").and_then(Value::duration);
    for mut part in root.tables("part") {
        let _ = part.need("name").and_then(Value::text);
    }
    drop(root);
    document.into_problems()
}

fn codes(text: &str) -> Vec<Code> {
    problems(text).iter().map(|problem| problem.code).collect()
}

#[test]
fn a_good_file_has_no_problems() {
    assert_eq!(
        codes("format = 1\nshape = 'panel'\ncount = 3\nsoak = '15 min'\n[[part]]\nname = 'leg'\n"),
        []
    );
}

#[test]
fn every_problem_of_a_file_comes_in_one_pass_and_in_order() {
    let text = "format = 1\nshape = 'board'\ncount = 30\nsoak = 15\ncolour = 'red'\n[[part]]\nnmae = 'leg'\n[[part]]\n";
    let expected = [
        Code::UnknownWord,
        Code::OutOfRange,
        Code::WrongType,
        Code::UnknownKey,
        Code::UnknownKey,
    ];
    assert_eq!(codes(text), [&expected[..], &[Code::MissingKey]].concat());
    let problems = problems(text);
    assert_eq!(problems[0].nearest.as_deref(), Some("panel"));
    // the misspelt key is one problem, not also a missing one
    assert_eq!(problems[4].nearest.as_deref(), Some("name"));
    assert_eq!(summary(&problems), "6 errors");
}

#[test]
fn syntax_errors_are_all_there_and_nothing_missing_is_claimed() {
    assert_eq!(
        codes("format = 1\ncount = \nsoak = oak\n"),
        [Code::Syntax, Code::Syntax]
    );
    assert_eq!(
        codes("format = 1\nshape = 'panel'\nshape = 'round'\n"),
        [Code::WrittenTwice]
    );
}

#[test]
fn formats_are_checked() {
    assert_eq!(codes("shape = 'panel'"), [Code::FormatMissing]);
    assert_eq!(codes("format = 2\nshape = 'panel'"), [Code::FormatUnknown]);
    assert_eq!(codes("format = '1'\nshape = 'panel'"), [Code::WrongType]);
}

#[test]
fn a_report_names_file_line_column_and_the_way_out() {
    let file = SourceFile::new("test.toml", "format = 1\nshape = 'pannel'\n");
    let report = render(&problems(&file.text), &[&file], Look::default());
    let expected = "\
error[unknown-word]: shape: \"pannel\" is not one of its words
 --> test.toml:2:9
  |
2 | shape = 'pannel'
  |         ^^^^^^^^ found 'pannel'
  |
  = accepted: `panel` or `round`
  = nearest: panel
";
    assert_eq!(report, expected);
}

#[test]
fn control_characters_are_made_visible() {
    let file = SourceFile::new(
        "a\u{1b}[31m.toml",
        "format = 1\nshape = '\u{9b}31m\u{200b}'\n\"\\u001b[2J\" = 1\n",
    );
    let mut problems = problems(&file.text);
    for problem in &mut problems {
        problem.file.clone_from(&file.name);
    }
    let report = render(&problems, &[&file], Look::default());
    assert!(report.contains('\u{241b}'), "{report}");
    assert!(report.chars().all(|c| c == '\n' || !c.is_control()), "{report:?}");
}

#[test]
fn bytes_that_are_not_text_are_a_problem_with_a_place() {
    let (file, problem) = SourceFile::from_bytes("test.toml", b"format = 1\nname = \"\xff\"\n".to_vec());
    let report = render(&[problem.unwrap()], &[&file], Look::default());
    assert!(report.contains("test.toml:2:9"), "{report}");
}

#[test]
fn line_ends_and_byte_order_marks_of_other_systems_read_the_same() {
    assert_eq!(codes("\u{feff}format = 1\r\nshape = 'panel'\r\n"), []);
    let file = SourceFile::new("test.toml", "format = 1\r\nshape = 'pannel'\r\n");
    let report = render(&problems(&file.text), &[&file], Look::default());
    assert!(report.contains("2 | shape = 'pannel'\n"), "{report}");
}

#[test]
fn what_is_written_twice_is_shown_with_where_it_was_first() {
    let twice = problems("format = 1\nshape = 'panel'\ncount = 2\nshape = 'round'\n");
    let marks: Vec<usize> = twice[0].marks.iter().map(|mark| mark.extent.start).collect();
    assert_eq!(marks, [37, 11]);
    // under another heading the same key is another key
    assert_eq!(
        codes("format = 1\nshape = 'panel'\n[[part]]\nname = 'a'\n[[part]]\nname = 'b'\n"),
        []
    );
}
