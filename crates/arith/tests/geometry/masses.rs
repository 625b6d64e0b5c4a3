//! What shapes weigh.

use chablon_arith::geometry::{GeometryError, Outline, pi};
use chablon_quantity::{Density, Exact, Grams, GramsPerMillilitre, Mass, Millilitres};
use proptest::prelude::*;
use test_case::test_case;

use crate::{density, exact, mm, tenths};

#[test]
fn a_disc_of_dough_computed() {
    // Computed: pi/4 x 16 cm x 16 cm x 0.5 cm x 1.15 g/mL.
    let disc = Outline::disc(mm("160")).unwrap();
    let mass = disc.mass(&mm("5"), &density("1.15")).unwrap();
    assert_eq!(mass.grams(), exact("36.8") * pi());
    assert_eq!(mass.grams().round(3).to_string(), "115.611");
}

#[test]
fn a_ring_is_its_disc_without_the_hole() {
    let ring = Outline::ring(mm("240"), mm("80")).unwrap();
    let (disc, hole) = (Outline::disc(mm("240")).unwrap(), Outline::disc(mm("80")).unwrap());
    assert_eq!(ring.area(), disc.area() - hole.area());
    // Computed: pi/4 x (24² - 8²) x 0.5 cm x 0.42 g/mL.
    let mass = ring.mass(&mm("5"), &density("0.42")).unwrap();
    assert_eq!(mass.grams().round(3).to_string(), "84.446");
}

#[test]
fn a_sheet_of_sponge() {
    let sheet = Outline::rectangle(mm("600"), mm("400")).unwrap();
    let mass = sheet.mass(&mm("8"), &density("0.35")).unwrap();
    assert_eq!(mass.grams(), exact("672"));
}

#[test]
fn a_strip_goes_once_round_a_frame() {
    let strip = Outline::strip_around(mm("160"), mm("45")).unwrap();
    let volume = strip.volume(&mm("1")).unwrap();
    assert_eq!(volume.millilitres(), exact("7.2") * pi());
}

#[test_case(|| Outline::disc(mm("0")), "the diameter is 0 mm; it must be above 0")]
#[test_case(|| Outline::rectangle(mm("5"), mm("-1.5")),
    "the width is -1.5 mm; it must be above 0")]
#[test_case(|| Outline::ring(mm("80"), mm("80")),
    "a ring of 80 mm can't have a hole of 80 mm; the inner diameter must be the smaller")]
fn no_shape_has_such_sizes(make: fn() -> Result<Outline, GeometryError>, message: &str) {
    assert_eq!(make().unwrap_err().to_string(), message);
}

#[test]
fn no_mass_comes_of_no_thickness_or_density() {
    let disc = Outline::disc(mm("160")).unwrap();
    let error = disc.mass(&mm("0"), &density("1")).unwrap_err();
    assert_eq!(error.to_string(), "the thickness is 0 mm; it must be above 0");
    let error = disc.mass(&mm("5"), &density("0")).unwrap_err();
    assert_eq!(error.to_string(), "the density is 0 g/mL; it must be above 0");
    let error = disc.thickness(&Mass::of_grams(0), &density("1")).unwrap_err();
    assert_eq!(error.to_string(), "the mass is 0 g; it must be above 0");
}

proptest! {
    #[test]
    fn thickness_undoes_mass(diameter in 1u32..20_000, hole in 0u32..20_000,
                             thick in 1u32..5_000, grams_per_litre in 1u32..3_000) {
        let per_ml = Exact::ratio(grams_per_litre.into(), 1000).unwrap();
        let density = Density::of_grams_per_millilitre(per_ml);
        let outlines = [
            Outline::disc(tenths(diameter)),
            Outline::rectangle(tenths(diameter), tenths(hole + 1)),
            Outline::ring(tenths(diameter + hole + 1), tenths(hole + 1)),
        ];
        for outline in outlines {
            let outline = outline.unwrap();
            let mass = outline.mass(&tenths(thick), &density).unwrap();
            prop_assert_eq!(outline.thickness(&mass, &density).unwrap(), tenths(thick));
        }
    }

    #[test]
    fn a_wider_disc_weighs_more(diameter in 1u32..20_000, more in 1u32..1_000) {
        let mass = |d| Outline::disc(tenths(d)).unwrap().mass(&mm("3"), &density("1")).unwrap();
        prop_assert!(mass(diameter + more) > mass(diameter));
    }
}
