//! Shapes as they are typed: `disc 16 cm`, `rectangle 60 cm x 40 cm`, `cylinder 16 cm x 45 mm`.

use chablon_arith::geometry::{GeometryError, Mould, Outline, Sheet};
use chablon_quantity::{Authored, Length, LengthUnit, ParseError};

const OUTLINES: &str = "disc 16 cm, ring 18 cm x 14 cm, rectangle 30 cm x 10 cm, or strip 16 cm x \
                        4 cm (round the inside of a frame: its diameter, its height)";
const MOULDS: &str = "cylinder 16 cm x 45 mm, ring 18 cm x 14 cm x 45 mm, frame 60 cm x 40 cm x \
                      20 mm, half-sphere 7 cm, cone 10 cm x 8 cm x 4 cm (top, bottom, height), \
                      loaf 26 cm x 10 cm x 24 cm x 9 cm x 8 cm (top, bottom, height), \
                      half-cylinder 8 cm x 30 cm, or savarin 7 cm x 25 mm (outer, tube)";

/// A flat shape.
pub(crate) fn parse_outline(text: &str) -> Result<Outline, String> {
    let (name, sizes) = named(text, OUTLINES)?;
    let outline = match (name, &sizes[..]) {
        ("disc", [diameter]) => Outline::disc(diameter.clone()),
        ("ring", [outer, inner]) => Outline::ring(outer.clone(), inner.clone()),
        ("rectangle", [length, width]) => Outline::rectangle(length.clone(), width.clone()),
        ("strip", [diameter, height]) => Outline::strip_around(diameter.clone(), height.clone()),
        _ => return Err(no_shape(text, OUTLINES)),
    };
    outline.map_err(|error| error.to_string())
}

/// A mould, by its inner sizes.
pub(crate) fn parse_mould(text: &str) -> Result<Mould, String> {
    let (name, sizes) = named(text, MOULDS)?;
    let mould = mould(name, &sizes).ok_or_else(|| no_shape(text, MOULDS))?;
    mould.map_err(|error| error.to_string())
}

/// The mould of this name; nothing where none has it with so many sizes.
fn mould(name: &str, sizes: &[Length]) -> Option<Result<Mould, GeometryError>> {
    let size = |at: usize| sizes[at].clone();
    let straight = |outline: Result<Outline, GeometryError>, height: &Length| {
        outline.and_then(|outline| Mould::straight(&outline, height))
    };
    Some(match (name, sizes.len()) {
        ("cylinder", 2) => Mould::cylinder(size(0), &size(1)),
        ("ring", 3) => straight(Outline::ring(size(0), size(1)), &size(2)),
        ("frame", 3) => straight(Outline::rectangle(size(0), size(1)), &size(2)),
        ("half-sphere", 1) => Mould::half_sphere(size(0)),
        ("cone", 3) => Mould::cone_frustum(size(0), size(1), size(2)),
        ("loaf", 5) => Mould::loaf((size(0), size(1)), (size(2), size(3)), size(4)),
        ("half-cylinder", 2) => Mould::half_cylinder(size(0), size(1)),
        ("savarin", 2) => Mould::savarin(size(0), size(1)),
        _ => return None,
    })
}

/// A sheet or a tray: `60 cm x 40 cm`.
pub(crate) fn parse_sheet(text: &str) -> Result<Sheet, String> {
    match &sizes(text)?[..] {
        [length, width] => {
            Sheet::new(length.clone(), width.clone()).map_err(|error| error.to_string())
        }
        _ => Err(format!("`{text}` is no sheet; write its two sides, such as 60 cm x 40 cm")),
    }
}

fn named<'t>(text: &'t str, known: &str) -> Result<(&'t str, Vec<Length>), String> {
    let (name, rest) = text.trim().split_once(' ').ok_or_else(|| no_shape(text, known))?;
    Ok((name, sizes(rest)?))
}

fn sizes(text: &str) -> Result<Vec<Length>, String> {
    let size = |part: &str| part.trim().parse::<Authored<LengthUnit>>();
    let sizes: Result<Vec<_>, ParseError> = text.split(" x ").map(size).collect();
    let sizes = sizes.map_err(|error| error.to_string())?;
    Ok(sizes.iter().map(Authored::quantity).collect())
}

fn no_shape(text: &str, known: &str) -> String {
    format!("`{text}` is no shape; write {known}")
}

#[cfg(test)]
mod tests {
    use test_case::test_case;

    use super::*;

    #[test_case("disc 16 cm"; "a disc")]
    #[test_case("ring 18 cm x 14 cm"; "a ring")]
    #[test_case("rectangle 30 cm x 4 in"; "a rectangle")]
    #[test_case("strip 16 cm x 4 cm"; "a strip")]
    fn an_outline_is_read(text: &str) {
        parse_outline(text).unwrap();
    }

    #[test_case("cylinder 16 cm x 45 mm"; "a cylinder")]
    #[test_case("ring 18 cm x 14 cm x 45 mm"; "a ring")]
    #[test_case("frame 60 cm x 40 cm x 20 mm"; "a frame")]
    #[test_case("half-sphere 7 cm"; "a half sphere")]
    #[test_case("cone 10 cm x 8 cm x 4 cm"; "a cone")]
    #[test_case("loaf 26 cm x 10 cm x 24 cm x 9 cm x 8 cm"; "a loaf tin")]
    #[test_case("half-cylinder 8 cm x 30 cm"; "a half cylinder")]
    #[test_case("savarin 7 cm x 25 mm"; "a savarin mould")]
    fn a_mould_is_read(text: &str) {
        parse_mould(text).unwrap();
    }

    #[test_case("disc"; "a shape without sizes")]
    #[test_case("disc 16 cm x 4 cm"; "too many sizes")]
    #[test_case("star 16 cm"; "a shape that isn't known")]
    #[test_case("disc 16 g"; "a mass")]
    #[test_case("disc 0 cm"; "nothing")]
    #[test_case("ring 14 cm x 18 cm"; "a hole that is too large")]
    fn what_is_no_outline_is_refused(text: &str) {
        parse_outline(text).unwrap_err();
    }

    #[test]
    fn a_refusal_says_what_would_do() {
        assert!(parse_mould("cylinder 16 cm").unwrap_err().contains("cylinder 16 cm x 45 mm"));
        assert!(parse_sheet("60 cm").unwrap_err().contains("60 cm x 40 cm"));
    }
}
