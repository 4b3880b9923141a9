//! Shapes: the size each wants, and the surfaces with their areas that follow from it.
//!
//! Invariant: areas come from the size alone (joints are taken off later); a shape always gives the same
//! surfaces in the same order.

use super::basis::Basis;
use crate::job::{Shape, Show, SurfaceRole};
use crate::source::{Code, Found, Problem, Table, Value};
use crate::units::{Millimetres, SquareMillimetres};
use std::f64::consts::PI;

/// A length no loose part exceeds; catches units mixed up.
const LONGEST: f64 = 20_000.0;

/// The size of a part: along the grain, across, thick.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Size {
    pub length: Millimetres,
    pub width: Millimetres,
    pub thickness: Millimetres,
}

/// A surface as the shape gives it.
#[derive(Clone, Debug)]
pub(super) struct Side {
    pub id: String,
    pub label: String,
    pub role: SurfaceRole,
    pub show: Show,
    pub area: SquareMillimetres,
}

/// A length above zero, or a problem.
pub(super) fn positive(value: Value<'_>, basis: &Basis<'_>) -> Option<Found<Millimetres>> {
    let length = value.length(basis.length)?;
    if length.value.0 <= 0.0 {
        let message = format!("a length in `{}` is not above zero", value.key());
        value.refuse(Problem::new(Code::SizeNotPositive, message).accepts("a length above zero"));
        return None;
    }
    if length.value.0 > LONGEST {
        let message = format!("a length in `{}` is over 20 m", value.key());
        value.refuse(
            Problem::new(Code::OutOfRange, message).accepts("a length up to 20 m (is the unit the one of `units`?)"),
        );
        return None;
    }
    Some(length)
}

/// What a shape's `size` holds, for messages.
const fn wanted(shape: Shape) -> (usize, &'static str) {
    match shape {
        Shape::Panel | Shape::Square => (3, "along the grain, across, thick: three lengths"),
        Shape::Round => (2, "length and diameter: two lengths"),
        Shape::Frame => (3, "length, width and thickness of the whole frame: three lengths"),
        Shape::Box => (3, "length, width and height of the whole box: three lengths"),
        Shape::Free => (0, "no `size`: the surfaces give their areas"),
    }
}

/// Reads `size`, and `member` of a frame or `wall` and `bottom` of a box; gives the size and its surfaces.
pub(super) fn read(table: &mut Table<'_>, shape: Shape, basis: &Basis<'_>) -> Option<(Size, Vec<Side>)> {
    let member = (shape == Shape::Frame).then(|| table.need("member").and_then(|value| positive(value, basis)));
    let wall = (shape == Shape::Box).then(|| table.need("wall").and_then(|value| positive(value, basis)));
    let bottom = (shape == Shape::Box).then(|| table.need("bottom").and_then(Value::flag));
    if shape == Shape::Free {
        return Some((Size::default(), Vec::new()));
    }
    let (size, at) = read_size(table, shape, basis)?;
    let inner = member.or(wall).unwrap_or(None);
    if let Some(inner) = &inner
        && inner.value.0 * 2.0 >= size.length.0.min(size.width.0)
    {
        let problem = Problem::new(Code::NothingInside, format!("{} leaves no opening", table.name()))
            .at(inner.extent.clone(), "twice this is all of the size")
            .at(at.extent, "the size")
            .accepts("a width of the members, or a thickness of the walls, below half the size");
        table.problems().push(problem);
        return None;
    }
    let inner = inner.map_or(Millimetres(0.0), |inner| inner.value);
    if shape == Shape::Box && bottom.as_ref().is_some_and(Option::is_none) {
        return None;
    }
    let bottom = bottom.flatten().is_some_and(|bottom| bottom.value);
    Some((size, sides(shape, size, inner, bottom)))
}

fn read_size(table: &mut Table<'_>, shape: Shape, basis: &Basis<'_>) -> Option<(Size, Found<()>)> {
    let value = table.need("size")?;
    let list = value.list()?;
    let (count, meaning) = wanted(shape);
    if list.value.len() != count {
        let message = format!("the size of {} has {} numbers", table.name(), list.value.len());
        value.refuse(Problem::new(Code::SizeCount, message).accepts(meaning));
        return None;
    }
    let lengths: Vec<Option<Found<Millimetres>>> = list.value.iter().map(|value| positive(*value, basis)).collect();
    let lengths: Vec<Found<Millimetres>> = lengths.into_iter().collect::<Option<_>>()?;
    let at = Found {
        value: (),
        extent: list.extent,
    };
    match lengths.as_slice() {
        [length, diameter] => Some((
            Size {
                length: length.value,
                width: diameter.value,
                thickness: diameter.value,
            },
            at,
        )),
        [length, width, thickness] => {
            if shape == Shape::Panel && thickness.value.0 > width.value.0 {
                let problem = Problem::new(
                    Code::ThickerThanWide,
                    format!("{} is thicker than it is wide", table.name()),
                )
                .at(thickness.extent.clone(), "the thickness")
                .at(width.extent.clone(), "the width")
                .accepts("the size in this order: along the grain, across, thick");
                table.problems().push(problem);
            }
            Some((
                Size {
                    length: length.value,
                    width: width.value,
                    thickness: thickness.value,
                },
                at,
            ))
        }
        _ => None,
    }
}

/// The surfaces of a shape. `inner` is the member of a frame or the wall of a box.
fn sides(shape: Shape, size: Size, inner: Millimetres, bottom: bool) -> Vec<Side> {
    use Show::{Hidden, Inside, Show as Seen};
    use SurfaceRole::{Back, Edge, End, Face, Inner, Outer, Side as Flank};
    let Size {
        length,
        width,
        thickness,
    } = size;
    match shape {
        Shape::Panel => vec![
            side("face", Face, Seen, length * width),
            side("back", Back, Hidden, length * width),
            side("edge-1", Edge, Seen, length * thickness),
            side("edge-2", Edge, Seen, length * thickness),
            side("end-1", End, Seen, width * thickness),
            side("end-2", End, Seen, width * thickness),
        ],
        Shape::Square => vec![
            side("side-1", Flank, Seen, length * width),
            side("side-2", Flank, Seen, length * thickness),
            side("side-3", Flank, Seen, length * width),
            side("side-4", Flank, Seen, length * thickness),
            side("end-1", End, Hidden, width * thickness),
            side("end-2", End, Hidden, width * thickness),
        ],
        // a cylinder over the given diameter; hollows and beads of a turning are not measured
        Shape::Round => vec![
            side("side-1", Flank, Seen, length * width * PI),
            side("end-1", End, Hidden, width * width * (PI / 4.0)),
            side("end-2", End, Hidden, width * width * (PI / 4.0)),
        ],
        Shape::Frame => {
            let (open_length, open_width) = (length - inner * 2.0, width - inner * 2.0);
            let ring = length * width - open_length * open_width;
            vec![
                side("face", Face, Seen, ring),
                side("back", Back, Hidden, ring),
                side("inner", Inner, Seen, (open_length + open_width) * 2.0 * thickness),
                side("outer", Outer, Seen, (length + width) * 2.0 * thickness),
            ]
        }
        // the thickness of a box is its height; its bottom is as thick as its walls
        Shape::Box => {
            let (in_length, in_width) = (length - inner * 2.0, width - inner * 2.0);
            let (floor, deep) = if bottom {
                (1.0, Millimetres((thickness - inner).0.max(0.0)))
            } else {
                (0.0, thickness)
            };
            let outside = (length + width) * 2.0 * thickness + length * width * floor;
            let inside = (in_length + in_width) * 2.0 * deep + in_length * in_width * floor;
            let rims = if bottom { 1.0 } else { 2.0 };
            vec![
                side("outside", Outer, Seen, outside),
                side("inside", Inner, Inside, inside),
                side("rim", Edge, Seen, (length * width - in_length * in_width) * rims),
            ]
        }
        Shape::Free => Vec::new(),
    }
}

fn side(id: &str, role: SurfaceRole, show: Show, area: SquareMillimetres) -> Side {
    Side {
        id: id.to_owned(),
        label: id.replace('-', " "),
        role,
        show,
        area,
    }
}

#[cfg(test)]
mod tests {
    use super::{Size, sides};
    use crate::job::Shape;
    use crate::units::Millimetres;

    fn areas(shape: Shape, size: [f64; 3], inner: f64, bottom: bool) -> Vec<f64> {
        let [length, width, thickness] = size.map(Millimetres);
        let sides = sides(
            shape,
            Size {
                length,
                width,
                thickness,
            },
            Millimetres(inner),
            bottom,
        );
        sides.iter().map(|side| side.area.0.round()).collect()
    }

    // Worked by hand.
    #[test]
    fn areas_follow_from_the_size() {
        assert_eq!(
            areas(Shape::Panel, [1420.0, 480.0, 22.0], 0.0, false),
            [681_600.0, 681_600.0, 31_240.0, 31_240.0, 10_560.0, 10_560.0]
        );
        assert_eq!(
            areas(Shape::Square, [720.0, 70.0, 60.0], 0.0, false),
            [50_400.0, 43_200.0, 50_400.0, 43_200.0, 4200.0, 4200.0]
        );
        assert_eq!(
            areas(Shape::Round, [600.0, 20.0, 20.0], 0.0, false),
            [37_699.0, 314.0, 314.0]
        );
        // 700 x 500 frame of 60 members, 20 thick: opening 580 x 380
        assert_eq!(
            areas(Shape::Frame, [700.0, 500.0, 20.0], 60.0, false),
            [129_600.0, 129_600.0, 38_400.0, 48_000.0]
        );
        // 400 x 300 box, 100 high, walls and bottom 10: inside 380 x 280 x 90
        assert_eq!(
            areas(Shape::Box, [400.0, 300.0, 100.0], 10.0, true),
            [260_000.0, 225_200.0, 13_600.0]
        );
        assert_eq!(
            areas(Shape::Box, [400.0, 300.0, 100.0], 10.0, false),
            [140_000.0, 132_000.0, 27_200.0]
        );
    }
}
