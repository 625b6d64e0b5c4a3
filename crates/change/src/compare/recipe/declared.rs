//! What is declared elsewhere of a finished recipe.

use chablon_model::{DeclaredContent, Nutrient};
use chablon_quantity::Number;

use crate::{DeclaredFigure, Pair, sense};

/// The figures that are declared otherwise.
pub(super) fn changed(declared: Pair<&DeclaredContent>) -> Vec<DeclaredFigure> {
    let masses = Nutrient::ALL.iter().filter_map(|nutrient| {
        let mass = declared.map(|one| one.content.0.get(nutrient).copied());
        let differs = !sense::same(mass.before, mass.after);
        let figure = mass.map(|mass| mass.map(|mass| mass.to_string()));
        differs.then_some(DeclaredFigure { of: nutrient.as_str(), figure })
    });
    let kj = energy("kJ", declared.map(|one| one.energy_kj));
    let kcal = energy("kcal", declared.map(|one| one.energy_kcal));
    masses.chain(kj).chain(kcal).collect()
}

fn energy(unit: &str, number: Pair<Option<Number>>) -> Option<DeclaredFigure> {
    let Pair { before, after } = number.map(|one| one.map(|one| one.exact()));
    let differs = before != after;
    let said = |one: Option<Number>| one.map(|one| format!("{one} {unit}"));
    differs.then(|| DeclaredFigure { of: "energy", figure: number.map(said) })
}
