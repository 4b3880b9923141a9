//! Reading the maker's text files: a spanned tree, typed getters, and every problem in one pass.
//!
//! Invariant: reading never fails and never panics; what cannot be read is absent and has a [`Problem`]
//! that says where it stands, what was found, what is accepted and the nearest valid word.
//!
//! How a file is read:
//!
//! ```
//! use denib::source::{Document, SourceFile, Value, Words};
//!
//! let file = SourceFile::new("side.toml", "format = 1\nshape = \"pannel\"\nsoak = \"15 min\"\n");
//! let document = Document::parse(&file);
//! let mut root = document.root();
//! root.format(1);
//! // `need` reports a missing key, `may` does not; both remember that the key is known here.
//! let shape = root.need("shape").and_then(|value| value.word(&Words::new(&[("panel", 1), ("round", 2)])));
//! let soak = root.may("soak").and_then(Value::duration);
//! drop(root); // unknown keys are reported when a table goes out of use
//! let problems = document.into_problems();
//! assert!(shape.is_none());
//! assert_eq!(soak.map(|soak| soak.value.0), Some(15));
//! assert_eq!(problems[0].nearest.as_deref(), Some("panel"));
//! ```

mod code;
mod document;
mod file;
mod measure;
mod nearest;
mod problem;
mod render;
mod syntax;
mod table;
mod value;
mod words;

pub use code::{Code, Within};
pub use document::Document;
pub use file::SourceFile;
pub use nearest::nearest;
pub use problem::{Extent, Mark, Problem, Problems, Severity};
pub use render::{Look, render, summary, visible};
pub use table::Table;
pub use value::{Found, Value};
pub use words::Words;

#[cfg(test)]
mod measure_tests;
#[cfg(test)]
mod tests;
