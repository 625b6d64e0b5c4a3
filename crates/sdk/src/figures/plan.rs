//! What to weigh.

use chablon_arith::{Hint, Target, TrayLoads, WeighFlag};
use chablon_change::Laid;
use chablon_model::{IngredientId, RecipeId, SiteId, Uses};

use super::{Basis, Caution, Figure};

/// What to weigh, batch by batch.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Plan {
    /// What was asked for, in the order in which it was.
    pub products: Vec<Product>,
    /// The site whose bowls and scales count.
    pub site: Option<SiteId>,
    /// The recipes to make, in making order; where one is asked for, it is the last.
    pub components: Vec<Component>,
    /// What is needed of each ingredient in all, by id.
    pub ingredients: Vec<IngredientTotal>,
    /// What it was computed from.
    pub basis: Basis,
    /// The deviations that lie over the standard.
    pub deviations: Vec<Laid>,
    /// What the kitchen must be told before it makes it.
    pub cautions: Vec<Caution>,
}

impl Plan {
    /// The product, where one was asked for and not several.
    pub fn only_product(&self) -> Option<&Product> {
        match &self.products[..] {
            [one] => Some(one),
            _ => None,
        }
    }

    /// What is made of a recipe that was asked for, or of one that it uses.
    pub fn component(&self, recipe: &str) -> Option<&Component> {
        self.components.iter().find(|component| component.recipe.as_str() == recipe)
    }

    /// What is needed of an ingredient in all.
    pub fn ingredient(&self, ingredient: &str) -> Option<&IngredientTotal> {
        self.ingredients.iter().find(|total| total.ingredient.as_str() == ingredient)
    }
}

/// One product of a plan.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Product {
    /// The recipe.
    pub recipe: RecipeId,
    /// What was asked for.
    pub target: Target,
    /// The net mass that comes to.
    pub net_g: Figure,
    /// The pieces that comes to, where it yields pieces.
    pub pieces: Option<Figure>,
}

/// One recipe of a plan.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Component {
    /// The recipe.
    pub recipe: RecipeId,
    /// The net mass to make, over all batches.
    pub net_g: Figure,
    /// The pieces to make, where it yields pieces.
    pub pieces: Option<Figure>,
    /// How many equal batches, from 1.
    pub batches: u64,
    /// What the proportional lines are multiplied by, over all batches.
    pub factor: Figure,
    /// What goes in, over all batches.
    pub input_g: Figure,
    /// The lines, in the written order.
    pub lines: Vec<Line>,
    /// The trays that its pieces take, where the site states trays for what it occupies.
    pub trays: Vec<TrayLoads>,
    /// What the kitchen should know before it starts.
    pub warnings: Vec<Warning>,
}

/// One line of a planned recipe.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Line {
    /// Its number in the recipe, from 1.
    pub number: usize,
    /// What goes in.
    pub uses: Uses,
    /// The mass over all batches; 0 where it is to taste.
    pub mass_g: Figure,
    /// The mass in each batch.
    pub per_batch_g: Figure,
    /// Whether the cook tastes instead of weighing.
    pub to_taste: bool,
    /// The mass in per cent of the base lines' together, where the recipe has base lines.
    pub bakers_percent: Option<Figure>,
    /// How the site weighs it; nothing where no scale is known or nothing is weighed.
    pub weigh: Option<Weighing>,
    /// What helps where the site can't weigh it as the standard asks.
    pub hints: Vec<Hint>,
}

/// How a site weighs one line of one batch.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Weighing {
    /// The scale's name.
    pub scale: String,
    /// In how many equal weighings, from 1.
    pub weighings: u64,
    /// What the scale shows at each.
    pub reading_g: Figure,
    /// How far the readings' sum is from the mass, in percent of it.
    pub error_percent: Figure,
    /// Why the site can't weigh the line as the standard asks, if it can't.
    pub flag: Option<WeighFlag>,
}

/// What the kitchen should know about one recipe of a plan, though it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Warning {
    /// A short name that stays the same when the wording changes. Older hubs don't say.
    pub code: Option<String>,
    /// The number of the line that is meant, if one is. Older hubs don't say.
    pub line: Option<usize>,
    /// What it is: a sentence without a full stop.
    pub text: String,
}

/// What is needed of one ingredient.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct IngredientTotal {
    /// The ingredient.
    pub ingredient: IngredientId,
    /// The edible mass.
    pub mass_g: Figure,
}
