//! Letters five cells high, to be read from the far wall.
//!
//! Invariant: every letter of the steps' words, every digit of a time has a drawing of its own; what has none
//! is a question mark, never a gap.

/// Columns and rows of a letter, in dots.
const SIDE: usize = 5;

/// The drawing of a character: five rows of five dots, the leftmost the highest bit.
const fn drawing(letter: char) -> [u8; SIDE] {
    match letter {
        ' ' => [0; SIDE],
        'A' => [0b01110, 0b10001, 0b11111, 0b10001, 0b10001],
        'B' => [0b11110, 0b10001, 0b11110, 0b10001, 0b11110],
        'C' => [0b01111, 0b10000, 0b10000, 0b10000, 0b01111],
        'D' => [0b11110, 0b10001, 0b10001, 0b10001, 0b11110],
        'E' => [0b11111, 0b10000, 0b11110, 0b10000, 0b11111],
        'F' => [0b11111, 0b10000, 0b11110, 0b10000, 0b10000],
        'G' => [0b01111, 0b10000, 0b10011, 0b10001, 0b01111],
        'H' => [0b10001, 0b10001, 0b11111, 0b10001, 0b10001],
        'I' => [0b01110, 0b00100, 0b00100, 0b00100, 0b01110],
        'J' => [0b00111, 0b00010, 0b00010, 0b10010, 0b01100],
        'K' => [0b10010, 0b10100, 0b11000, 0b10100, 0b10010],
        'L' => [0b10000, 0b10000, 0b10000, 0b10000, 0b11111],
        'M' => [0b10001, 0b11011, 0b10101, 0b10001, 0b10001],
        'N' => [0b10001, 0b11001, 0b10101, 0b10011, 0b10001],
        'O' => [0b01110, 0b10001, 0b10001, 0b10001, 0b01110],
        'P' => [0b11110, 0b10001, 0b11110, 0b10000, 0b10000],
        'Q' => [0b01110, 0b10001, 0b10101, 0b10010, 0b01101],
        'R' => [0b11110, 0b10001, 0b11110, 0b10010, 0b10001],
        'S' => [0b01111, 0b10000, 0b01110, 0b00001, 0b11110],
        'T' => [0b11111, 0b00100, 0b00100, 0b00100, 0b00100],
        'U' => [0b10001, 0b10001, 0b10001, 0b10001, 0b01110],
        'V' => [0b10001, 0b10001, 0b10001, 0b01010, 0b00100],
        'W' => [0b10001, 0b10001, 0b10101, 0b11011, 0b10001],
        'X' => [0b10001, 0b01010, 0b00100, 0b01010, 0b10001],
        'Y' => [0b10001, 0b01010, 0b00100, 0b00100, 0b00100],
        'Z' => [0b11111, 0b00010, 0b00100, 0b01000, 0b11111],
        '0' => [0b01110, 0b10011, 0b10101, 0b11001, 0b01110],
        '1' => [0b00100, 0b01100, 0b00100, 0b00100, 0b01110],
        '2' => [0b11110, 0b00001, 0b01110, 0b10000, 0b11111],
        '3' => [0b11110, 0b00001, 0b00110, 0b00001, 0b11110],
        '4' => [0b10010, 0b10010, 0b11111, 0b00010, 0b00010],
        '5' => [0b11111, 0b10000, 0b11110, 0b00001, 0b11110],
        '6' => [0b01110, 0b10000, 0b11110, 0b10001, 0b01110],
        '7' => [0b11111, 0b00001, 0b00010, 0b00100, 0b00100],
        '8' => [0b01110, 0b10001, 0b01110, 0b10001, 0b01110],
        '9' => [0b01110, 0b10001, 0b01111, 0b00001, 0b01110],
        ':' => [0b00000, 0b00100, 0b00000, 0b00100, 0b00000],
        '-' => [0b00000, 0b00000, 0b01110, 0b00000, 0b00000],
        '.' => [0b00000, 0b00000, 0b00000, 0b00000, 0b00100],
        '/' => [0b00001, 0b00010, 0b00100, 0b01000, 0b10000],
        _ => [0b01110, 0b00001, 0b00110, 0b00000, 0b00100],
    }
}

/// Whether a character has a drawing of its own.
pub fn is_drawn(letter: char) -> bool {
    drawing(letter) != drawing('\u{0}') || letter == '?'
}

/// Cells a dot takes, the largest first.
const SCALES: [(usize, usize); 6] = [(6, 3), (4, 2), (3, 2), (2, 1), (1, 1), (1, 1)];

/// Words in large letters in so many columns and rows, as large as they fit, broken between words; `None`
/// where not even the smallest do.
pub fn large(words: &str, columns: usize, rows: usize, block: char) -> Option<Vec<String>> {
    let words = words.to_uppercase();
    SCALES.iter().find_map(|&(wide, high)| {
        let letters = (columns + wide) / ((SIDE + 1) * wide);
        let lines = broken(&words, letters)?;
        let needed = lines.len() * (SIDE + 1) * high - high;
        (needed <= rows).then(|| drawn(&lines, (wide, high), block))
    })
}

/// Words in lines of so many letters; `None` where a word is longer.
fn broken(words: &str, letters: usize) -> Option<Vec<String>> {
    let mut lines: Vec<String> = Vec::new();
    for word in words.split_whitespace() {
        let long = word.chars().count();
        if long > letters {
            return None;
        }
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + long <= letters => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    (!lines.is_empty()).then_some(lines)
}

fn drawn(lines: &[String], (wide, high): (usize, usize), block: char) -> Vec<String> {
    let mut rows = Vec::new();
    for (index, line) in lines.iter().enumerate() {
        if index > 0 {
            rows.extend(std::iter::repeat_n(String::new(), high));
        }
        for dots in 0..SIDE {
            let mut row = String::new();
            for letter in line.chars() {
                let bits = drawing(letter).get(dots).copied().unwrap_or(0);
                for dot in (0..SIDE).rev() {
                    let sign = if bits >> dot & 1 == 1 { block } else { ' ' };
                    row.extend(std::iter::repeat_n(sign, wide));
                }
                row.extend(std::iter::repeat_n(' ', wide));
            }
            let row = row.trim_end().to_owned();
            rows.extend(std::iter::repeat_n(row, high));
        }
    }
    rows
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_letter_and_digit_is_drawn_and_no_two_are_alike() {
        let all: Vec<char> = ('A'..='Z').chain('0'..='9').chain([':', '-', '.', '/']).collect();
        for (index, one) in all.iter().enumerate() {
            assert!(is_drawn(*one), "{one}");
            for other in &all[index + 1..] {
                assert_ne!(drawing(*one), drawing(*other), "{one} and {other}");
            }
        }
    }

    #[test]
    fn words_are_as_large_as_they_fit() {
        let rows = |words: &str, columns, rows| large(words, columns, rows, '#').map(|rows| rows.len());
        assert_eq!(rows("coat 2", 200, 20), Some(10));
        assert_eq!(rows("coat 2", 80, 10), Some(5));
        assert_eq!(rows("sand P120", 78, 8), Some(5), "one line of narrow letters");
        assert_eq!(rows("break the arrises", 78, 11), Some(11), "two lines");
        assert_eq!(rows("coat", 10, 10), None);
    }

    #[test]
    fn a_letter_looks_like_itself() {
        let rows = large("L", 5, 5, '#').unwrap_or_default();
        assert_eq!(rows, ["#", "#", "#", "#", "#####"]);
    }
}
