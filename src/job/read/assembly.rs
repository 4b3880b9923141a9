//! Assemblies: what is glued up from what.
//!
//! Invariant: every piece and every assembly goes into at most one assembly, and no assembly into itself.

use super::names;
use super::part::PartDraft;
use crate::job::Assembly;
use crate::source::{Code, Extent, Found, Problem, Table, Value};
use std::collections::BTreeMap;

/// Most minutes one glue-up takes.
const MOST_MINUTES: u32 = 24 * 60;

/// An assembly whose name could be read, its members not yet resolved.
struct Draft<'d> {
    assembly: Assembly,
    at: Extent,
    members: Vec<Value<'d>>,
}

/// Reads every `[[assembly]]`: `name`, `made_of`, `cure`; with `minutes` the glue-up is planned and `hands` is
/// needed too, without it the maker sees to it.
pub(super) fn read_all(top: &mut Table<'_>, parts: &[PartDraft], hands: usize) -> Vec<Assembly> {
    let mut drafts: Vec<Draft<'_>> = Vec::new();
    for mut table in top.tables("assembly") {
        let Some(draft) = read_one(&mut table, hands) else {
            continue;
        };
        let part = parts
            .iter()
            .find(|part| is_of(part, &draft.assembly.id))
            .map(|part| &part.at);
        let other = drafts
            .iter()
            .find(|other| other.assembly.id == draft.assembly.id)
            .map(|other| &other.at);
        if let Some(first) = part.or(other) {
            names::twice(top.problems(), &draft.assembly.id, draft.at, first.clone());
            continue;
        }
        drafts.push(draft);
    }
    let ids: Vec<String> = drafts.iter().map(|draft| draft.assembly.id.clone()).collect();
    let mut taken = BTreeMap::new();
    for draft in &mut drafts {
        for member in std::mem::take(&mut draft.members) {
            add_member(&mut draft.assembly, member, parts, &ids, &mut taken);
        }
    }
    check_cycles(top, &drafts);
    drafts.into_iter().map(|draft| draft.assembly).collect()
}

/// Whether an id is the part's or one of its pieces'.
fn is_of(part: &PartDraft, id: &str) -> bool {
    part.part.id == id || part.pieces.iter().any(|piece| piece.id == id)
}

fn read_one<'d>(table: &mut Table<'d>, all_hands: usize) -> Option<Draft<'d>> {
    table.call("the assembly");
    let name = table.need("name").and_then(names::named);
    if let Some((_, written, _)) = &name {
        table.call(format!("assembly \"{written}\""));
    }
    let members = table.need("made_of").and_then(|value| Some((value, value.list()?)));
    if let Some((value, list)) = &members
        && list.value.is_empty()
    {
        let message = format!("{} is made of nothing", table.name());
        value.refuse(Problem::new(Code::MissingKey, message).accepts("made_of = [\"side\", \"top\"]"));
    }
    let members = members.map_or_else(Vec::new, |(_, list)| list.value);
    let planned = table.may("minutes");
    let minutes = planned.and_then(|value| value.whole_within(1..=MOST_MINUTES));
    let cure = table.need("cure").and_then(Value::duration);
    let hands = if planned.is_some() {
        table.need("hands")
    } else {
        table.may("hands")
    };
    let hands = hands.and_then(|value| value.whole_within(1..=50));
    if let Some(hands) = &hands
        && all_hands > 0
        && hands.value as usize > all_hands
    {
        let message = format!(
            "{} takes {} pairs of hands, but the job has {all_hands}",
            table.name(),
            hands.value
        );
        let problem = Problem::new(Code::TooFewHands, message).at(hands.extent.clone(), "more than there are");
        table
            .problems()
            .push(problem.accepts(format!("at most {all_hands}, or another `[[hands]]`")));
    }
    let (id, name, at) = name?;
    let assembly = Assembly {
        id,
        name,
        made_of: Vec::new(),
        assemblies: Vec::new(),
        minutes: minutes.map(|minutes| minutes.value),
        cure: cure.map_or(0, |cure| cure.value.0),
        hands: hands.map_or(1, |hands| hands.value),
    };
    Some(Draft { assembly, at, members })
}

/// Adds what one name of `made_of` stands for.
fn add_member(
    assembly: &mut Assembly,
    member: Value<'_>,
    parts: &[PartDraft],
    ids: &[String],
    taken: &mut BTreeMap<String, Found<String>>,
) {
    let Some(written) = member.text() else { return };
    let id = names::slug(&written.value);
    let mut add = |list: &mut Vec<String>, one: &str| {
        if let Some(first) = taken.get(one) {
            let twice = if first.value == assembly.id {
                "twice into one assembly"
            } else {
                "into two assemblies"
            };
            let message = format!("`{one}` goes {twice}");
            let problem = Problem::new(Code::UsedTwice, message)
                .at(written.extent.clone(), "again here")
                .at(first.extent.clone(), format!("already in `{}`", first.value))
                .accepts("each piece and each assembly once; one copy of a part by its own id, such as `leg-2`");
            member.problems().push(problem);
            return;
        }
        taken.insert(
            one.to_owned(),
            Found {
                value: assembly.id.clone(),
                extent: written.extent.clone(),
            },
        );
        list.push(one.to_owned());
    };
    if let Some(part) = parts.iter().find(|part| part.part.id == id) {
        for piece in &part.pieces {
            add(&mut assembly.made_of, &piece.id);
        }
    } else if parts.iter().any(|part| part.pieces.iter().any(|piece| piece.id == id)) {
        add(&mut assembly.made_of, &id);
    } else if ids.contains(&id) {
        add(&mut assembly.assemblies, &id);
    } else {
        let of_parts = parts.iter().map(|part| part.part.id.as_str());
        let known: Vec<&str> = of_parts.chain(ids.iter().map(String::as_str)).collect();
        names::unknown(&member, Code::UnknownPiece, "part, piece or assembly", &known);
    }
}

/// An assembly that, through others, goes into itself cannot be glued up.
fn check_cycles(top: &Table<'_>, drafts: &[Draft<'_>]) {
    // assemblies of a loop already told
    let mut told: Vec<&str> = Vec::new();
    for draft in drafts {
        if told.contains(&draft.assembly.id.as_str()) {
            continue;
        }
        let mut seen: Vec<&str> = Vec::new();
        let mut open: Vec<&str> = draft.assembly.assemblies.iter().map(String::as_str).collect();
        while let Some(id) = open.pop() {
            if id == draft.assembly.id {
                let message = format!("assembly `{id}` would have to be glued up before itself");
                let problem = Problem::new(Code::AssemblyCycle, message)
                    .at(draft.at.clone(), "goes into itself, directly or through others")
                    .accepts("assemblies made of parts and of assemblies glued up before");
                top.problems().push(problem);
                told.extend(seen);
                break;
            }
            if !seen.contains(&id) {
                seen.push(id);
                let next = drafts.iter().find(|other| other.assembly.id == id);
                open.extend(
                    next.iter()
                        .flat_map(|other| other.assembly.assemblies.iter().map(String::as_str)),
                );
            }
        }
    }
}
