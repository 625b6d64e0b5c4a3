//! Shapes, moulds, layouts and oven plans.
//!
//! No publisher's tables are followed here: the formulas are elementary geometry. The figures
//! marked "computed" were worked out apart from this code with exact fractions, from the same two
//! agreed decimals for pi and half the root of 3.

mod layouts;
mod masses;
mod moulds;
mod ovens;

use chablon_arith::geometry::{Spacing, half_root_three, pi};
use chablon_quantity::{Density, Exact, GramsPerMillilitre, Length, Millimetres, Number};

fn exact(text: &str) -> Exact {
    text.parse::<Number>().unwrap().exact()
}

fn mm(text: &str) -> Length {
    Length::of_millimetres(exact(text))
}

fn tenths(of_a_millimetre: u32) -> Length {
    Length::of_millimetres(Exact::ratio(of_a_millimetre.into(), 10).unwrap())
}

fn density(text: &str) -> Density {
    Density::of_grams_per_millilitre(exact(text))
}

fn no_gap() -> Spacing {
    Spacing::gap(mm("0")).unwrap()
}

#[test]
fn the_two_agreed_decimals() {
    assert_eq!(pi(), exact("3.141592653589793"));
    assert_eq!(half_root_three(), exact("0.8660254037844386"));
}
