//! What each surface gets: finish, show class, label.
//!
//! Invariant: a part's surfaces have unique ids; what is said for one surface outweighs what is said for its
//! group, which outweighs what is said for `all`, in whatever order they are written.

use super::basis::{Basis, Finish};
use super::names;
use super::shape::Side;
use super::words::{ROLES, SHOWS};
use crate::job::{Show, Surface, SurfaceRole};
use crate::source::{Code, Problem, Table, Value, nearest};
use crate::units::SquareMillimetres;

/// Keys under `surfaces` that stand for several, from the least particular.
const GROUPS: [(&str, Option<SurfaceRole>); 4] = [
    ("all", None),
    ("edges", Some(SurfaceRole::Edge)),
    ("ends", Some(SurfaceRole::End)),
    ("sides", Some(SurfaceRole::Side)),
];

/// What the maker says of one surface or group.
#[derive(Clone, Debug, Default)]
struct Say {
    finish: Option<Finish>,
    show: Option<Show>,
    label: Option<String>,
}

fn read_say(mut table: Table<'_>, basis: &Basis<'_>) -> Say {
    Say {
        finish: table.may("finish").and_then(|value| basis.finish_of(value)),
        show: table
            .may("show")
            .and_then(|value| value.word(&SHOWS))
            .map(|show| show.value),
        label: table.may("label").and_then(Value::text).map(|label| label.value),
    }
}

/// Lays `surfaces` over the surfaces a shape gives; `finish` is the part's.
pub(super) fn read(table: &mut Table<'_>, sides: Vec<Side>, finish: &Finish, basis: &Basis<'_>) -> Vec<Surface> {
    let mut surfaces: Vec<Surface> = sides
        .into_iter()
        .map(|side| Surface {
            id: side.id,
            label: side.label,
            role: side.role,
            show: side.show,
            area: side.area,
            schedule: finish.clone(),
        })
        .collect();
    let Some(value) = table.may("surfaces") else {
        return surfaces;
    };
    let Some(mut said) = value.table() else { return surfaces };
    // (how particular, which surfaces, what)
    let mut says: Vec<(usize, Vec<usize>, Say)> = Vec::new();
    for (key, value) in said.entries() {
        let indices = addressed(&surfaces, key.value);
        if indices.is_empty() {
            let known = known_keys(&surfaces);
            let listed: Vec<String> = known.iter().map(|key| format!("`{key}`")).collect();
            let near = nearest(key.value, known.iter().copied()).map(ToOwned::to_owned);
            let problem = Problem::new(
                Code::UnknownSurface,
                format!("{} has no surface `{}`", table.name(), key.value),
            )
            .at(key.extent, "no such surface of this shape")
            .accepts(listed.join(", "))
            .nearest(near);
            table.problems().push(problem);
        }
        let Some(mut inner) = value.table() else { continue };
        inner.call(format!("surface `{}`", key.value));
        let rank = GROUPS
            .iter()
            .position(|(group, _)| *group == key.value)
            .map_or(2, |at| usize::from(at > 0));
        says.push((rank, indices, read_say(inner, basis)));
    }
    says.sort_by_key(|(rank, _, _)| *rank);
    for (_, indices, say) in says {
        for index in indices {
            let Some(surface) = surfaces.get_mut(index) else {
                continue;
            };
            if let Some(finish) = &say.finish {
                surface.schedule.clone_from(finish);
            }
            surface.show = say.show.unwrap_or(surface.show);
            if let Some(label) = &say.label {
                surface.label.clone_from(label);
            }
        }
    }
    surfaces
}

/// The surfaces a key stands for.
pub(super) fn addressed(surfaces: &[Surface], key: &str) -> Vec<usize> {
    let group = GROUPS.iter().find(|(name, _)| *name == key);
    let fits = |surface: &Surface| match group {
        Some((_, None)) => true,
        Some((_, Some(role))) => surface.role == *role,
        None => surface.id == key,
    };
    (0..surfaces.len())
        .filter(|index| surfaces.get(*index).is_some_and(fits))
        .collect()
}

/// Every key that stands for some surface of this part.
pub(super) fn known_keys(surfaces: &[Surface]) -> Vec<&str> {
    let own = surfaces.iter().map(|surface| surface.id.as_str());
    let groups = GROUPS
        .iter()
        .map(|(name, _)| *name)
        .filter(|name| !addressed(surfaces, name).is_empty());
    own.chain(groups).collect()
}

/// Reads the `surfaces` of a free shape: a list with `name`, `area`, `role`, `show` each, and if wanted
/// `finish` (else the part's).
pub(super) fn read_free(table: &mut Table<'_>, finish: &Finish, basis: &Basis<'_>) -> Option<Vec<Surface>> {
    let mut surfaces: Vec<Surface> = Vec::new();
    let mut complete = true;
    let value = table.need("surfaces")?;
    let list = value.list()?;
    if list.value.is_empty() {
        let message = format!("{} lists no surface", table.name());
        value.refuse(
            Problem::new(Code::MissingKey, message)
                .accepts("a list of surfaces, each with `name`, `area`, `role`, `show`"),
        );
    }
    for item in list.value {
        let Some(mut inner) = item.table() else {
            complete = false;
            continue;
        };
        inner.call("the surface");
        let name = inner.need("name").and_then(names::named);
        let area = inner.need("area").and_then(|value| read_area(value, basis));
        let role = inner.need("role").and_then(|value| value.word(&ROLES));
        let show = inner.need("show").and_then(|value| value.word(&SHOWS));
        let own = inner.may("finish").map(|value| basis.finish_of(value));
        let (Some((id, label, at)), Some(area), Some(role), Some(show)) = (name, area, role, show) else {
            complete = false;
            continue;
        };
        if surfaces.iter().any(|surface| surface.id == id) {
            let problem = Problem::new(Code::DuplicateName, format!("{} has two surfaces `{id}`", table.name()));
            table.problems().push(
                problem
                    .at(at, "named again here")
                    .accepts("a name of its own for each surface"),
            );
            continue;
        }
        let schedule = own.flatten().unwrap_or_else(|| finish.clone());
        surfaces.push(Surface {
            id,
            label,
            role: role.value,
            show: show.value,
            area,
            schedule,
        });
    }
    complete.then_some(surfaces)
}

/// An area above zero, in the square of the file's unit of length.
pub(super) fn read_area(value: Value<'_>, basis: &Basis<'_>) -> Option<SquareMillimetres> {
    let number = value.number()?;
    let unit = basis.length.millimetres();
    if number.value > 0.0 && number.value <= 1e9 {
        return Some(SquareMillimetres(number.value * unit * unit));
    }
    let message = format!("`{}` is not an area above zero", value.key());
    value.refuse(Problem::new(Code::SizeNotPositive, message).accepts("an area above zero, in mm² (or square inches)"));
    None
}
