//! A text file as it was handed in.
//!
//! Invariant: the text is valid UTF-8; bytes that were not are replaced and come with a problem.

use super::code::Code;
use super::problem::Problem;

/// A file's name and its text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SourceFile {
    /// The name problems are reported under.
    pub name: String,
    /// The whole text.
    pub text: String,
}

impl SourceFile {
    /// A file whose text is at hand.
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Self {
        Self {
            name: name.into(),
            text: text.into(),
        }
    }

    /// A file from the bytes on disk. Bytes that are not UTF-8 are replaced (so that the file can still be
    /// shown) and reported.
    pub fn from_bytes(name: impl Into<String>, bytes: Vec<u8>) -> (Self, Option<Problem>) {
        let name = name.into();
        match String::from_utf8(bytes) {
            Ok(text) => (Self { name, text }, None),
            Err(error) => {
                let good = error.utf8_error().valid_up_to();
                let text = String::from_utf8_lossy(error.as_bytes()).into_owned();
                // the replacement mark is three bytes and stands where the first bad byte stood
                let mut problem = Problem::new(Code::NotText, "the file is not plain text in UTF-8")
                    .at(good..good + '\u{fffd}'.len_utf8(), "these bytes are not UTF-8")
                    .accepts("a plain text file saved as UTF-8 (in most editors: \"save as\", encoding UTF-8)");
                problem.file.clone_from(&name);
                (Self { name, text }, Some(problem))
            }
        }
    }
}
