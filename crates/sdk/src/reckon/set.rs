//! Gelatine and air.

use chablon_arith::about;
use chablon_arith::dough::{
    self, Bloom, BloomRule, SheetGrade, aerated_density, exchange_gelatine,
};
use chablon_quantity::{Density, Exact, GramsPerMillilitre, Mass, Share};

use super::{Reckoned, Value};
use crate::Error;
use crate::figures::Figure;

/// Decimals of a mass and of a factor that are roots.
const ROOT: [u32; 2] = [3, 6];

/// Own gelatine in place of the recipe's, by a rule that is named: two published ones disagree.
///
/// # Errors
/// [`Error::is_not_computable`] for strengths outside the rule's published range.
pub fn gelatine(
    mass: &Mass,
    (recipe, own): (&Bloom, &Bloom),
    rule: BloomRule,
) -> Result<Reckoned, Error> {
    let exchanged = exchange_gelatine(mass, recipe, own, rule)?;
    let about = match rule {
        BloomRule::Proportional => about::GELATINE_PROPORTIONAL,
        BloomRule::SquareRoot => about::GELATINE_SQUARE_ROOT,
    };
    let [grams, factor] = ROOT;
    let reckoned = Reckoned::new("gelatine", "Gelatine in place of the recipe's", &[about])
        .with("own_g", "own gelatine", "g", Value::Root(exchanged.grams, grams))
        .with("factor", "for 1 g of the recipe's", "g", Value::Root(exchanged.factor, factor));
    Ok(reckoned)
}

/// How many leaves of a grade a mass is.
///
/// # Errors
/// [`Error::is_not_computable`] for a mass below 0.
pub fn leaves(mass: &Mass, grade: SheetGrade) -> Result<Reckoned, Error> {
    let sheets = grade.sheets_for(mass)?;
    let reckoned = Reckoned::new("leaves", "Leaves of gelatine", &[about::GELATINE_LEAVES]);
    Ok(reckoned.pieces("leaves", "leaves", sheets.0))
}

/// The overrun of a product, from what it and its mix weigh in one measure.
///
/// # Errors
/// [`Error::is_not_computable`] where the product is the heavier.
pub fn overrun(mix: &Mass, product: &Mass) -> Result<Reckoned, Error> {
    let share = dough::overrun(mix, product)?;
    let reckoned = Reckoned::new("overrun", "Overrun", &[about::OVERRUN]);
    Ok(reckoned.percent("overrun_percent", "overrun", &share.0))
}

/// The density of a mix at an overrun.
///
/// # Errors
/// [`Error::is_not_computable`] for an overrun below 0.
pub fn aerated(mix: &Density, overrun: &Share) -> Result<Reckoned, Error> {
    let density = aerated_density(mix, overrun)?.grams_per_millilitre();
    let litre = &density * Exact::from(1000);
    let reckoned = Reckoned::new("aerated", "Density at the overrun", &[about::OVERRUN]).with(
        "density_g_per_ml",
        "density",
        "g/mL",
        Value::Figure(Figure::density(density)),
    );
    Ok(reckoned.grams("litre_g", "a litre weighs", litre))
}
