//! A log cut at any byte, or with any byte changed, keeps every record whose own bytes are whole.

#![allow(clippy::expect_used)] // a test that cannot go on has failed

use crate::log_samples::{at, names, one_of_each, record};
use denib::log::line::{HEADER, parse, write};
use denib::log::{Record, What, Why, read};
use proptest::prelude::*;

/// The log as a file, and where each record's line (without its newline) lies in it.
fn file_of(records: &[Record]) -> (Vec<u8>, Vec<(usize, usize)>) {
    let mut bytes = format!("{HEADER}\n").into_bytes();
    let mut spans = Vec::new();
    for record in records {
        let line = write(record).expect("a line");
        assert!(!line.contains('\n'));
        spans.push((bytes.len(), bytes.len() + line.len()));
        bytes.extend_from_slice(line.as_bytes());
        bytes.push(b'\n');
    }
    (bytes, spans)
}

#[test]
fn every_kind_reads_back_as_it_was_written() {
    let records = one_of_each();
    let (bytes, _) = file_of(&records);
    let (back, bad) = read(&bytes);
    assert_eq!(bad, []);
    assert_eq!(back, records);
}

#[test]
fn a_line_can_be_read_by_eye() {
    let line = write(&record(
        "a-1",
        "14:10",
        What::Note {
            text: "oak smells".into(),
        },
    ))
    .expect("a line");
    assert!(
        line.starts_with("2026-11-25T14:10:00+01:00\ta-1\t\"Ada\"\tnote\t{\"text\":\"oak smells\"}\t"),
        "{line}"
    );
}

#[test]
fn the_checksum_is_the_published_crc_32() {
    // check value of CRC-32 (ISO/IEC/IEEE 8802-3) for the nine digits, as catalogues of CRCs list it (from memory)
    assert_eq!(crc32fast::hash(b"123456789"), 0xCBF4_3926);
}

#[test]
fn what_would_not_read_back_is_refused() {
    let hot = What::Reading {
        temperature: f64::NAN,
        humidity: None,
    };
    assert!(write(&record("a-1", "08:00", hot)).is_err());
    assert!(write(&record("a 1", "08:00", What::Note { text: String::new() })).is_err());
}

#[test]
fn cut_at_every_byte() {
    let records = one_of_each();
    let (bytes, spans) = file_of(&records);
    for cut in 0..=bytes.len() {
        let (back, bad) = read(&bytes[..cut]);
        let whole = spans.iter().filter(|(_, end)| *end <= cut).count();
        assert_eq!(back, records[..whole], "cut at {cut}");
        let torn = spans.iter().any(|(start, end)| *start < cut && cut < *end) || (0 < cut && cut < HEADER.len());
        assert_eq!(bad.len(), usize::from(torn), "cut at {cut}: {bad:?}");
        if torn {
            // the header is line 1
            let line = if cut < HEADER.len() { 1 } else { whole + 2 };
            assert_eq!(bad[0].line, line, "cut at {cut}");
        }
    }
}

#[test]
fn every_byte_changed() {
    let records = one_of_each();
    let (bytes, spans) = file_of(&records);
    for place in 0..bytes.len() {
        // single bits, all bits, and the bytes that have a meaning of their own
        let patterns = [0x01, 0x02, 0x04, 0x08, 0x10, 0x20, 0x40, 0x80, 0xFF].map(|mask| bytes[place] ^ mask);
        for byte in patterns.into_iter().chain([b'\n', b'\r', b'\t', 0]) {
            if byte == bytes[place] {
                continue;
            }
            let mut hurt = bytes.clone();
            hurt[place] = byte;
            let (back, bad) = read(&hurt);
            let mut expected = records.clone();
            let struck = spans.iter().position(|(start, end)| (*start..*end).contains(&place));
            if let Some(struck) = struck {
                expected.remove(struck);
            }
            assert_eq!(back, expected, "byte {place} changed to {byte:#x}: {bad:?}");
            let last = place + 1 == bytes.len();
            // a carriage return in place of the last newline is an end of line to everybody
            if !(last && byte == b'\r') {
                assert!(!bad.is_empty(), "byte {place} changed to {byte:#x} unseen");
                let line = bytes[..place].split(|byte| *byte == b'\n').count();
                assert!(
                    bad.iter().all(|bad| bad.line == line || bad.line == line + 1),
                    "{bad:?}"
                );
            }
        }
    }
}

#[test]
fn other_line_ends_and_blank_lines_do_no_harm() {
    let records = one_of_each();
    let (bytes, _) = file_of(&records);
    let text = String::from_utf8(bytes).expect("text").replace('\n', "\r\n\r\n");
    let (back, bad) = read(text.as_bytes());
    assert_eq!((back, bad), (records, vec![]));
}

#[test]
fn an_unknown_kind_is_set_aside_with_its_line() {
    let body = "2026-11-25T14:10:00+01:00\ta-1\t\"Ada\"\tsung\t{}";
    let line = format!("{body}\t{:08x}", crc32fast::hash(body.as_bytes()));
    assert!(matches!(parse(line.as_bytes()), Err(Why::Content(_))));
    let known = record("a-2", "14:11", What::Note { text: "here".into() });
    let text = format!("{HEADER}\n{line}\n{}\n", write(&known).expect("a line"));
    let (back, bad) = read(text.as_bytes());
    assert_eq!(back, [known]);
    assert_eq!(bad[0].line, 2);
}

#[test]
fn a_header_of_another_format_is_named() {
    let (_, bad) = read(b"denib log, format 2\n");
    assert_eq!(bad[0].why, Why::Format("2".into()));
}

proptest! {
    #[test]
    fn any_bytes_are_read_without_inventing_a_record(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        let (records, _) = read(&bytes);
        prop_assert!(records.is_empty());
    }

    #[test]
    fn any_text_survives(who in ".*", text in ".*", temperature in any::<f64>(), seconds in 0_i64..4_000_000_000) {
        let stamp = chrono::DateTime::from_timestamp(seconds, 123_000_000).expect("a time").fixed_offset();
        let note = Record { id: "n-1".into(), at: stamp, who: who.clone(), what: What::Note { text } };
        let line = write(&note).expect("a line");
        prop_assert_eq!(parse(line.as_bytes()), Ok(note));
        let reading = What::Reading { temperature, humidity: Some(temperature / 3.0) };
        let reading = Record { id: "n-2".into(), at: stamp, who, what: reading };
        match write(&reading) {
            Ok(line) => prop_assert_eq!(parse(line.as_bytes()), Ok(reading)),
            Err(_) => prop_assert!(!temperature.is_finite()),
        }
    }

    #[test]
    fn several_hurts_leave_the_untouched_lines(hurts in proptest::collection::vec((0.0..1.0_f64, any::<u8>()), 0..6)) {
        let records: Vec<Record> = (0..8)
            .map(|n| record(&format!("r-{n}"), "08:00", What::Skipped { operations: names(&["a", "b"]), reason: format!("{n}") }))
            .collect();
        let (mut bytes, spans) = file_of(&records);
        let mut touched = Vec::new();
        for (share, byte) in hurts {
            let place = (share * bytes.len() as f64) as usize;
            bytes[place] = byte;
            touched.push(place);
        }
        let (back, _) = read(&bytes);
        for (record, (start, end)) in records.iter().zip(spans) {
            // its own bytes and the newlines on both sides are as they were
            if !touched.iter().any(|place| (start - 1..=end).contains(place)) {
                prop_assert!(back.contains(record));
            }
        }
        prop_assert!(back.iter().all(|one| records.contains(one)));
    }
}

#[test]
fn times_keep_their_offset() {
    let line = write(&record("a-1", "14:10", What::Note { text: String::new() })).expect("a line");
    let back = parse(line.as_bytes()).expect("a record");
    assert_eq!(back.at.to_rfc3339(), at("14:10").to_rfc3339());
}
