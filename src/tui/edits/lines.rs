//! The forms of the file's lists: what is added to them, changed, taken out.
//!
//! Invariant: a line is found by what it said when the form was opened; what is not changed is not touched.

use super::super::bench::Sheet;
use super::super::form::{Entry, Form};
use super::super::task::Task;
use super::asked::{Asked, How, NOT_SAID, asked};
use super::choice;
use crate::job::edit::{Edit, List, Place, Written};

const KEEP: [&str; 2] = ["keep it", "take it out"];

/// A line of a list: a new one, or one to be changed.
pub fn line(sheet: &Sheet, list: &List, which: Option<&str>) -> Option<(Task, Form)> {
    let mut file = Written::of(sheet.text.as_deref()?)?;
    let place = which.map(|which| Place::Line(list.clone(), which.to_owned()));
    let mut typed = |key: &str| {
        let typed = place.as_ref().and_then(|place| file.typed(place, key));
        typed.unwrap_or_default()
    };
    let mut entries = Vec::new();
    for asked in asked(list) {
        if (list, asked.key) == (&List::Section, "id") && which.is_some() {
            // parts name it by that
            continue;
        }
        let now = typed(asked.key);
        entries.push(match asked.how {
            How::Typed(_) => Entry::text(asked.label, &now, asked.hint),
            How::OneOf(words) => {
                let words = words(sheet);
                let words: Vec<&str> = words.iter().map(String::as_str).collect();
                choice(asked.label, &words, Some(now.as_str()).filter(|now| !now.is_empty()))
            }
        });
    }
    if which.is_some() {
        entries.push(choice("and", &KEEP, None));
    }
    let title = which.map_or_else(|| list.one_more().to_uppercase(), |which| format!("CHANGE: {which}"));
    let task = Task::Line {
        list: list.clone(),
        which: which.map(str::to_owned),
    };
    Some((task, Form::new(title, list.words(), "write it into the job", entries)))
}

/// A line's value; `None` where it says nothing.
fn value(asked: &Asked, form: &Form) -> Option<String> {
    let typed = form.words(asked.label);
    // a closed day says so: `work = []`
    let nothing = typed.is_empty() && asked.key != "work" || typed == NOT_SAID;
    (!nothing).then(|| asked.how.write(&typed))
}

/// What the form comes to, and the line for the foot.
pub(super) fn changes(list: &List, which: Option<&str>, form: &Form) -> (Vec<Edit>, String) {
    let list = list.clone();
    let Some(which) = which else {
        let line = |asked: &Asked| Some((asked.key.to_owned(), value(asked, form)?));
        let lines = asked(&list).iter().filter_map(line).collect();
        return (vec![Edit::AddLine { list, lines }], "one line added".to_owned());
    };
    let (which, words) = (which.to_owned(), format!("{which} changed"));
    if form.words("and") == "take it out" {
        let words = format!("{which} taken out");
        return (vec![Edit::RemoveLine { list, which }], words);
    }
    let mut keys: Vec<(String, Option<String>)> = Vec::new();
    for asked in asked(&list).iter().filter(|asked| form.is_changed(asked.label)) {
        keys.push((asked.key.to_owned(), value(asked, form)));
    }
    for outer in emptied(&list, form) {
        keys.retain(|(key, _)| key.split_once('.').is_none_or(|(of, _)| of != outer));
        keys.push((outer.to_owned(), None));
    }
    if keys.is_empty() {
        return (Vec::new(), words);
    }
    (vec![Edit::ChangeLine { list, which, keys }], words)
}

/// Keys whose keys within are all emptied by the form: the whole of them goes.
fn emptied(list: &List, form: &Form) -> Vec<&'static str> {
    let outer = |asked: &Asked| asked.key.split_once('.').map(|(outer, _)| outer);
    let mut found: Vec<&'static str> = Vec::new();
    for of in asked(list).iter().filter_map(outer) {
        let mut lines = asked(list).iter().filter(|asked| outer(asked) == Some(of));
        let changed = lines.clone().any(|asked| form.is_changed(asked.label));
        if changed && lines.all(|asked| value(asked, form).is_none()) && !found.contains(&of) {
            found.push(of);
        }
    }
    found
}
