//! What moulds hold.

use chablon_arith::geometry::{GeometryError, Mould, Outline, pi};
use chablon_quantity::{Exact, Grams, Millilitres, Share};
use proptest::prelude::*;
use test_case::test_case;

use crate::{density, exact, mm, tenths};

fn ml(mould: &Mould) -> String {
    mould.volume().millilitres().round(3).to_string()
}

#[test_case(|| Mould::half_sphere(mm("70")), "89.797"; "half sphere computed")]
#[test_case(|| Mould::cone_frustum(mm("70"), mm("50"), mm("40")), "114.145";
    "cone frustum computed")]
#[test_case(|| Mould::loaf((mm("250"), mm("100")), (mm("220"), mm("80")), mm("70")),
    "1484.000"; "loaf computed")]
#[test_case(|| Mould::half_cylinder(mm("80"), mm("500")), "1256.637"; "log computed")]
#[test_case(|| Mould::savarin(mm("200"), mm("60")), "621.785"; "savarin computed")]
#[test_case(|| Mould::cylinder(mm("160"), &mm("45")), "904.779"; "cylinder computed")]
fn a_mould_holds(make: fn() -> Result<Mould, GeometryError>, millilitres: &str) {
    assert_eq!(ml(&make().unwrap()), millilitres);
}

#[test]
fn a_mould_is_filled_to_a_share() {
    let mould = Mould::cylinder(mm("160"), &mm("45")).unwrap();
    let mass = mould.fill(&Share(exact("3/4")), &density("0.62")).unwrap();
    assert_eq!(mass.grams(), exact("133.92") * pi());
}

#[test_case("0", "0 %")]
#[test_case("1.01", "101 %")]
#[test_case("-1/3", "about -33.333333 %")]
fn no_mould_is_filled_to(share: &str, shown: &str) {
    let mould = Mould::half_sphere(mm("70")).unwrap();
    let error = mould.fill(&Share(exact(share)), &density("1")).unwrap_err();
    let message =
        format!("a mould can't be filled to {shown}; a fill is above 0 % and at most 100 %");
    assert_eq!(error.to_string(), message);
}

#[test]
fn a_tube_wider_than_half_its_ring_makes_no_savarin() {
    assert!(Mould::savarin(mm("120"), mm("60")).is_ok());
    let error = Mould::savarin(mm("119"), mm("60")).unwrap_err();
    assert_eq!(
        error.to_string(),
        "a tube of 60 mm doesn't bend into a ring of 119 mm; it can be 59.5 mm at the most, \
         half of the outer diameter"
    );
}

#[test]
fn a_recipe_is_taken_to_another_mould_by_volume() {
    let small = Mould::cylinder(mm("160"), &mm("45")).unwrap();
    let large = Mould::cylinder(mm("200"), &mm("45")).unwrap();
    assert_eq!(small.factor_to(&large), exact("25/16"));
}

proptest! {
    #[test]
    fn straight_walls_are_a_frustum_of_equal_ends(d in 1u32..9_000, w in 1u32..9_000,
                                                  h in 1u32..9_000) {
        let frustum = Mould::cone_frustum(tenths(d), tenths(d), tenths(h)).unwrap();
        prop_assert_eq!(frustum, Mould::cylinder(tenths(d), &tenths(h)).unwrap());
        let end = (tenths(d), tenths(w));
        let loaf = Mould::loaf(end.clone(), end.clone(), tenths(h)).unwrap();
        let outline = Outline::rectangle(end.0, end.1).unwrap();
        prop_assert_eq!(loaf, Mould::straight(&outline, &tenths(h)).unwrap());
    }

    #[test]
    fn a_square_loaf_is_a_cut_pyramid(top in 1u32..9_000, bottom in 1u32..9_000,
                                      h in 1u32..9_000) {
        // Of a pyramid cut level: h/3 x (A + B + root of A x B), whose root is the product of
        // the sides for squares.
        let [a, b, high] = [top, bottom, h].map(|v| Exact::ratio(v.into(), 100).unwrap());
        let pyramid = high * (&a * &a + &b * &b + &a * &b) / Exact::from(3);
        let square = |side| (tenths(side), tenths(side));
        let loaf = Mould::loaf(square(top), square(bottom), tenths(h)).unwrap();
        prop_assert_eq!(loaf.volume().millilitres(), pyramid);
    }

    #[test]
    fn two_halves_make_a_cylinder(d in 1u32..9_000, long in 1u32..9_000) {
        let half = Mould::half_cylinder(tenths(d), tenths(long)).unwrap();
        let whole = Mould::cylinder(tenths(d), &tenths(long)).unwrap();
        prop_assert_eq!(half.factor_to(&whole), Exact::from(2));
    }

    #[test]
    fn a_half_sphere_is_two_thirds_of_its_cylinder(radius in 1u32..9_000) {
        // Archimedes, On the Sphere and Cylinder: a sphere is 2/3 of the cylinder round it.
        let half = Mould::half_sphere(tenths(2 * radius)).unwrap();
        let round = Mould::cylinder(tenths(2 * radius), &tenths(radius)).unwrap();
        prop_assert_eq!(round.factor_to(&half), exact("2/3"));
    }

    #[test]
    fn factors_there_and_back_cancel(d in 1u32..9_000, e in 1u32..9_000) {
        let (one, other) =
            (Mould::half_sphere(tenths(d)).unwrap(), Mould::half_sphere(tenths(e)).unwrap());
        prop_assert_eq!(one.factor_to(&other) * other.factor_to(&one), Exact::from(1));
    }
}
