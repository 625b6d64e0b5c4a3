//! How much is asked for.

use chablon_arith::Target;
use chablon_model::IngredientId;
use chablon_quantity::{Authored, Grams, MassUnit, Number};
use clap::Args;

/// One way to say how much.
#[derive(Debug, Args)]
#[group(id = "how-much", multiple = false, requires = "recipe")]
pub(crate) struct TargetArguments {
    /// So many pieces
    #[arg(long, value_name = "N", allow_negative_numbers = true)]
    pieces: Option<Number>,
    /// So much net: "3 kg"
    #[arg(long, value_name = "MASS", allow_negative_numbers = true)]
    mass: Option<Authored<MassUnit>>,
    /// So many times what is written, in as few batches as fit
    #[arg(long, value_name = "F", allow_negative_numbers = true)]
    factor: Option<Number>,
    /// So many batches as written
    #[arg(long, value_name = "N", allow_negative_numbers = true)]
    batches: Option<Number>,
    /// All that a purchased amount makes: honey-acacia="3.2 kg"
    #[arg(long, value_name = "INGREDIENT=MASS", value_parser = parse_on_hand)]
    on_hand: Option<(IngredientId, Authored<MassUnit>)>,
}

impl TargetArguments {
    /// What is asked for, if anything is. The parser refuses several ways at once.
    pub(crate) fn target(&self) -> Option<Target> {
        let pieces = self.pieces.map(|count| Target::Pieces(count.exact()));
        let mass = self.mass.map(|mass| Target::NetMass(mass.quantity().grams()));
        let factor = self.factor.map(|times| Target::Factor(times.exact()));
        let batches = self.batches.map(|count| Target::WrittenBatches(count.exact()));
        let on_hand = self
            .on_hand
            .clone()
            .map(|(ingredient, mass)| Target::OnHand { ingredient, mass: mass.quantity().grams() });
        [pieces, mass, factor, batches, on_hand].into_iter().flatten().next()
    }
}

fn parse_on_hand(text: &str) -> Result<(IngredientId, Authored<MassUnit>), String> {
    let (ingredient, mass) = text.split_once('=').ok_or_else(|| {
        format!("`{text}` names no mass; write INGREDIENT=MASS, such as honey-acacia=\"3.2 kg\"")
    })?;
    let ingredient =
        ingredient.trim().parse().map_err(|error: chablon_model::IdError| error.to_string())?;
    let mass = mass.parse().map_err(|error: chablon_quantity::ParseError| error.to_string())?;
    Ok((ingredient, mass))
}
