//! From what ingredients state to what every recipe holds, components first.

use std::collections::{BTreeMap, BTreeSet};

use chablon_arith::{CompiledBook, CompiledLine, IngredientIndex, RecipeIndex, Used};
use chablon_model::{Ingredient, Loss, LossKind, Nutrient, Recipe, Uses};
use chablon_quantity::{Exact, Grams};

use super::{Amount, Composition, ContentFault, Shortage};
use crate::size;

/// What 100 g of a finished recipe hold, and what went into them.
#[derive(Clone, Debug)]
pub(crate) struct Rolled {
    known: [Known; Nutrient::ALL.len()],
    /// Grams of each ingredient as it was weighed into a bowl; what weighs nothing with 0.
    pub(crate) used: BTreeMap<IngredientIndex, Exact>,
    to_taste: BTreeSet<Uses>,
}

/// Grams in 100 g, and which ingredients don't state them, sorted.
#[derive(Clone, Debug)]
struct Known {
    grams: Exact,
    missing: Vec<IngredientIndex>,
}

/// Every recipe of a book, in its order. What uses a recipe at fault has its fault.
pub(crate) fn roll_up(
    book: &CompiledBook,
    ingredients: &[&Ingredient],
    recipes: &[&Recipe],
) -> Vec<Result<Rolled, ContentFault>> {
    let stated = ingredients.iter().enumerate();
    let stated: Vec<Rolled> = stated.map(|(at, one)| Rolled::stated(at, one)).collect();
    let mut rolled = Vec::with_capacity(recipes.len());
    for (at, recipe) in recipes.iter().enumerate() {
        let one = Mix { book, index: RecipeIndex(at), recipe, stated: &stated, rolled: &rolled };
        let finished = one.finished();
        rolled.push(finished);
    }
    rolled
}

impl Rolled {
    fn stated(at: usize, ingredient: &Ingredient) -> Self {
        let known = Nutrient::ALL.iter().map(|nutrient| {
            let stated = ingredient.content.0.get(nutrient).map(|mass| mass.quantity().grams());
            let missing = if stated.is_none() { vec![IngredientIndex(at)] } else { Vec::new() };
            Known { grams: stated.unwrap_or_else(|| Exact::from(0)), missing }
        });
        let known: Vec<Known> = known.collect();
        Self {
            known: known.try_into().expect("one for every nutrient"),
            used: BTreeMap::from([(IngredientIndex(at), Exact::from(100))]),
            to_taste: BTreeSet::new(),
        }
    }

    /// The figures by name.
    pub(crate) fn composition(&self, book: &CompiledBook) -> Composition {
        let amount = |known: &Known| Amount {
            grams: known.grams.clone(),
            missing: known.missing.iter().map(|one| book.ingredient(*one).id.clone()).collect(),
        };
        let amounts = Nutrient::ALL.iter().copied().zip(self.known.iter().map(amount));
        Composition {
            of_grams: Exact::from(100),
            amounts: amounts.collect(),
            to_taste: self.to_taste.clone(),
        }
    }

    fn is_manageable(&self) -> bool {
        let known = self.known.iter().map(|known| &known.grams);
        known.chain(self.used.values()).all(size::manageable)
    }
}

/// One recipe on its way to being finished.
struct Mix<'a> {
    book: &'a CompiledBook,
    index: RecipeIndex,
    recipe: &'a Recipe,
    stated: &'a [Rolled],
    rolled: &'a [Result<Rolled, ContentFault>],
}

/// A line with what is in it.
struct Part<'a> {
    line: &'a CompiledLine,
    holds: &'a Rolled,
}

impl<'a> Mix<'a> {
    fn finished(&self) -> Result<Rolled, ContentFault> {
        let parts = self.parts()?;
        let input = self.book.recipe(self.index).input();
        let left = &input * self.left_by_water_losses();
        let mut known = Vec::with_capacity(Nutrient::ALL.len());
        for (at, nutrient) in Nutrient::ALL.iter().enumerate() {
            let mixed = mixed(&parts, at);
            let grams = match nutrient {
                Nutrient::Water => self.dried(mixed.grams / &input, mixed.missing.is_empty())?,
                _ => mixed.grams / &left,
            };
            known.push(Known { grams, missing: mixed.missing });
        }
        let finished = Rolled {
            known: known.try_into().expect("one for every nutrient"),
            used: used(&parts, &left),
            to_taste: self.to_taste(&parts),
        };
        let too_large = || ContentFault::NumberTooLarge { recipe: self.recipe.id.clone() };
        finished.is_manageable().then_some(finished).ok_or_else(too_large)
    }

    fn parts(&self) -> Result<Vec<Part<'a>>, ContentFault> {
        let part = |line: &'a CompiledLine| {
            let holds = match line.uses {
                Used::Ingredient(ingredient) => &self.stated[ingredient.0],
                Used::Component(component) => {
                    self.rolled[component.0].as_ref().map_err(Clone::clone)?
                }
            };
            Ok(Part { line, holds })
        };
        self.book.lines_of(self.index).iter().map(part).collect()
    }

    /// The part of the mix that is left when water alone is lost.
    fn left_by_water_losses(&self) -> Exact {
        let losses = self.water_losses().map(|(_, _, fraction)| Exact::from(1) - fraction);
        losses.fold(Exact::from(1), |left, kept| left * kept)
    }

    /// The losses of water: place from 1, stage, and the part of the mass.
    fn water_losses(&self) -> impl Iterator<Item = (usize, Option<&'a String>, Exact)> {
        self.recipe.losses.iter().zip(1..).filter_map(|(loss, place)| match loss {
            Loss::Stage { stage, kind: LossKind::Water, fraction } => {
                Some((place, stage.as_ref(), fraction.quantity().0))
            }
            _ => None,
        })
    }

    /// The water in 100 g after the losses of water, stage by stage.
    fn dried(&self, mut water: Exact, complete: bool) -> Result<Exact, ContentFault> {
        let none = Exact::from(0);
        for (loss, stage, fraction) in self.water_losses() {
            let taken = &fraction * Exact::from(100);
            if complete && water < taken {
                let shortage = Shortage { stage: stage.cloned(), loss, there: water, taken };
                return Err(ContentFault::WaterBelowZero {
                    recipe: self.recipe.id.clone(),
                    shortage: Box::new(shortage),
                });
            }
            water = ((water - taken) / (Exact::from(1) - fraction)).max(none.clone());
        }
        Ok(water)
    }

    fn to_taste(&self, parts: &[Part<'_>]) -> BTreeSet<Uses> {
        let below = parts.iter().flat_map(|part| part.holds.to_taste.iter().cloned());
        let own = parts.iter().filter(|part| part.line.to_taste);
        below.chain(own.map(|part| self.book.uses(part.line.uses))).collect()
    }
}

/// What is in all parts, each by its mass. The mass of the mix divides that once, at the end, which
/// keeps the numbers short. What weighs nothing lacks nothing.
fn mixed(parts: &[Part<'_>], nutrient: usize) -> Known {
    let nothing = Exact::from(0);
    let mut mixed = Known { grams: nothing.clone(), missing: Vec::new() };
    for part in parts.iter().filter(|part| part.line.mass.is_positive()) {
        let known = &part.holds.known[nutrient];
        // Most ingredients hold nothing of most nutrients, or don't state them.
        if known.grams != nothing {
            mixed.grams = mixed.grams + &part.line.mass * &known.grams;
        }
        mixed.missing.extend_from_slice(&known.missing);
    }
    mixed.missing.sort();
    mixed.missing.dedup();
    mixed
}

fn used(parts: &[Part<'_>], left: &Exact) -> BTreeMap<IngredientIndex, Exact> {
    let mut used: BTreeMap<IngredientIndex, Exact> = BTreeMap::new();
    for part in parts {
        for (ingredient, grams) in &part.holds.used {
            let sum = used.entry(*ingredient).or_insert_with(|| Exact::from(0));
            *sum = &*sum + &part.line.mass * grams;
        }
    }
    used.into_iter().map(|(ingredient, sum)| (ingredient, sum / left)).collect()
}
