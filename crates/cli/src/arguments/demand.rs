//! What is asked for, of one recipe or of several.

use chablon_arith::{Demand, Target};
use chablon_model::{IdError, RecipeId};
use chablon_quantity::{Authored, CountUnit, Grams, MassUnit, Number};
use clap::Args;

use super::TargetArguments;

/// One product or several, made in one plan.
#[derive(Debug, Args)]
pub(crate) struct DemandArguments {
    /// What to make
    #[arg(long, value_name = "ID", requires = "how-much", required_unless_present = "products")]
    recipe: Option<RecipeId>,
    #[command(flatten)]
    target: TargetArguments,
    /// Something else in the same plan, as often as needed: honey-loaf=40, light-syrup="3 kg",
    /// croissant="2 batches", pear-danish="1.5 times"
    #[arg(long = "product", value_name = "ID=AMOUNT", value_parser = parse_product)]
    products: Vec<Demand>,
}

impl DemandArguments {
    /// What is asked for, in the order in which it was typed.
    pub(crate) fn demands(&self) -> Vec<Demand> {
        let first = self.recipe.clone().zip(self.target.target());
        let first = first.map(|(recipe, target)| Demand::new(recipe, target));
        first.into_iter().chain(self.products.iter().cloned()).collect()
    }
}

fn parse_product(text: &str) -> Result<Demand, String> {
    let (id, amount) = text.split_once('=').ok_or_else(|| {
        format!("`{text}` names no amount; write ID=AMOUNT, such as honey-loaf=40")
    })?;
    let id = id.trim().parse().map_err(|error: IdError| error.to_string())?;
    let target = parse_amount(amount.trim()).ok_or_else(|| {
        format!("`{amount}` is no amount; write 40, \"3 kg\", \"2 batches\" or \"1.5 times\"")
    })?;
    Ok(Demand::new(id, target))
}

/// A number of pieces, a mass, a number of batches or a factor.
fn parse_amount(text: &str) -> Option<Target> {
    if let Ok(pieces) = text.parse::<Number>() {
        return Some(Target::Pieces(pieces.exact()));
    }
    if let Ok(mass) = text.parse::<Authored<MassUnit>>() {
        return Some(Target::NetMass(mass.quantity().grams()));
    }
    if let Ok(pieces) = text.parse::<Authored<CountUnit>>() {
        return Some(Target::from(pieces.quantity()));
    }
    let (number, unit) = text.rsplit_once(' ')?;
    let number = number.trim().parse::<Number>().ok()?.exact();
    match unit {
        "batch" | "batches" => Some(Target::WrittenBatches(number)),
        "times" => Some(Target::Factor(number)),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use chablon_quantity::Exact;
    use test_case::test_case;

    use super::*;

    #[test_case("40", &Target::pieces(40); "a bare number")]
    #[test_case("40 pieces", &Target::pieces(40); "pieces")]
    #[test_case("1 1/2 kg", &Target::grams(1500); "a mass")]
    #[test_case("1 batch", &Target::WrittenBatches(Exact::from(1)); "one batch")]
    #[test_case("5/2 batches", &Target::WrittenBatches("5/2".parse().unwrap()); "batches")]
    #[test_case("0.5 times", &Target::Factor("1/2".parse().unwrap()); "a factor")]
    fn an_amount_is_read_as_it_is_said(text: &str, target: &Target) {
        assert_eq!(parse_product(&format!("honey-loaf={text}")).unwrap().target, *target);
    }

    #[test_case("honey-loaf", "names no amount"; "an id alone")]
    #[test_case("honey-loaf=", "is no amount"; "nothing")]
    #[test_case("honey-loaf=3 L", "is no amount"; "a volume")]
    #[test_case("Honey loaf=3", "id"; "a title")]
    fn what_is_no_product_is_refused(text: &str, because: &str) {
        let message = parse_product(text).unwrap_err();
        assert!(message.contains(because), "{message}");
    }
}
