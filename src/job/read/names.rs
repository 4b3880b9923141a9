//! Names as written and the ids made from them.
//!
//! Invariant: an id is lower case with hyphens for spaces; the same name always gives the same id.

use crate::source::{Code, Extent, Problem, Problems, Value, nearest};

/// A name as an id: `Drawer front` is `drawer-front`.
pub(super) fn slug(name: &str) -> String {
    let mut id = String::with_capacity(name.len());
    for c in name.trim().chars() {
        if c.is_alphanumeric() {
            id.extend(c.to_lowercase());
        } else if !id.is_empty() && !id.ends_with('-') {
            id.push('-');
        }
    }
    id.truncate(id.trim_end_matches('-').len());
    id
}

/// A name that makes an id, or a problem.
pub(super) fn named(value: Value<'_>) -> Option<(String, String, Extent)> {
    let text = value.text()?;
    let id = slug(&text.value);
    if id.is_empty() {
        let message = format!("`{}` has no letter or digit in it", value.key());
        value.refuse(Problem::new(Code::EmptyText, message).accepts("a name such as \"side\" or \"drawer front\""));
        return None;
    }
    Some((id, text.value, text.extent))
}

/// Reports a word that names nothing in the job; `kind` is what it should have named.
pub(super) fn unknown(value: &Value<'_>, code: Code, kind: &str, ids: &[&str]) {
    let written = value.problems().text_at(&value.extent()).trim_matches(['"', '\'']);
    let listed: Vec<String> = ids.iter().map(|id| format!("`{id}`")).collect();
    let listed = if listed.is_empty() {
        "nothing yet: the job has none".to_owned()
    } else {
        listed.join(", ")
    };
    let near = nearest(written, ids.iter().copied()).map(ToOwned::to_owned);
    value.refuse(
        Problem::new(code, format!("there is no {kind} \"{written}\""))
            .accepts(listed)
            .nearest(near),
    );
}

/// Reports that a name stands for two things.
pub(super) fn twice(problems: &Problems<'_>, id: &str, again: Extent, first: Extent) {
    let problem = Problem::new(Code::DuplicateName, format!("the name `{id}` stands for two things"))
        .at(again, "named again here")
        .at(first, "first named here")
        .accepts("a name of its own (capitals and spaces make no difference)");
    problems.push(problem);
}

#[cfg(test)]
mod tests {
    use super::slug;

    #[test]
    fn names_become_ids() {
        let check = |name: &str, id: &str| assert_eq!(slug(name), id);
        check("Drawer front", "drawer-front");
        check("  side ", "side");
        check("Rail, top (short)", "rail-top-short");
        check("Türblatt 2", "türblatt-2");
        check("--", "");
    }
}
