//! From the demand of products to the demand of everything that they use (section 5).

use std::collections::BTreeMap;

use chablon_model::Scaling;
use chablon_quantity::Exact;

use super::error::{PlanError, SmallBowl, SmallDemand};
use crate::compiled::{CompiledBook, CompiledLine, CompiledRecipe, RecipeIndex, Used};
use crate::{SiteKit, size};

/// How much of a recipe is made, and in what.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Making {
    /// `M`: net grams.
    pub(crate) net: Exact,
    /// `B`: a whole number from 1.
    pub(crate) batches: Exact,
    /// `phi`: what the proportional lines are multiplied by, over all batches.
    pub(crate) factor: Exact,
}

impl Making {
    /// The mass of a line over all batches.
    pub(crate) fn line_mass(&self, line: &CompiledLine) -> Exact {
        match line.scaling {
            Scaling::PerBatch => &line.mass * &self.batches,
            Scaling::Proportional | Scaling::Whole => &line.mass * &self.factor,
        }
    }
}

/// What is asked of a recipe from outside, by recipe.
#[derive(Clone, Debug)]
pub(crate) struct Asked {
    /// `M`: net grams.
    pub(crate) net: Exact,
    /// Whether it was asked for in written batches, which then bound a batch where no bowl does.
    pub(crate) written_batches: bool,
}

impl Asked {
    /// Adds a demand to what is asked of a recipe.
    pub(crate) fn add<'a>(
        open: &'a mut BTreeMap<RecipeIndex, Self>,
        index: RecipeIndex,
        net: &Exact,
    ) -> Result<&'a mut Self, TooLarge> {
        let nothing = Self { net: Exact::from(0), written_batches: false };
        let asked = open.entry(index).or_insert(nothing);
        asked.net = &asked.net + net;
        if size::manageable(&asked.net) { Ok(asked) } else { Err(TooLarge) }
    }
}

/// A number has grown beyond what can be written out.
pub(crate) struct TooLarge;

impl TooLarge {
    pub(crate) fn of(recipe: &CompiledRecipe) -> impl FnOnce(Self) -> PlanError {
        move |Self| PlanError::NumberTooLarge { recipe: recipe.id.clone() }
    }
}

/// The most input that one batch of a recipe may have, where something bounds it.
pub(crate) fn capacity(recipe: &CompiledRecipe, site: Option<&SiteKit>) -> Option<Exact> {
    let bowl =
        site.zip(recipe.equipment.as_ref()).and_then(|(site, class)| site.capacities.get(class));
    bowl.into_iter().chain(&recipe.batch_max).min().cloned()
}

/// The net mass that a full batch makes, `F C - r`, where a capacity is known.
pub(crate) fn full_batch(
    recipe: &CompiledRecipe,
    site: Option<&SiteKit>,
) -> Result<Option<Exact>, PlanError> {
    let Some(capacity) = capacity(recipe, site) else { return Ok(None) };
    let gives = &recipe.factor * &capacity;
    let net = &gives - &recipe.residue;
    if net.is_positive() {
        return Ok(Some(net));
    }
    let residue = recipe.residue.clone();
    let recipe = recipe.id.clone();
    Err(PlanError::CapacityBelowResidue(Box::new(SmallBowl { recipe, capacity, gives, residue })))
}

/// The factor of the proportional lines over so many batches, which may come out at or below 0.
pub(crate) fn factor(recipe: &CompiledRecipe, net: &Exact, batches: &Exact) -> Exact {
    let input = (net + batches * &recipe.residue) / &recipe.factor;
    (input - batches * &recipe.per_batch) / &recipe.proportional
}

fn making(
    recipe: &CompiledRecipe,
    asked: Asked,
    site: Option<&SiteKit>,
) -> Result<Making, PlanError> {
    let full = full_batch(recipe, site)?;
    let full = full.or_else(|| asked.written_batches.then(|| recipe.net.clone()));
    let one = Exact::from(1);
    let batches = full.map_or(one.clone(), |full| (&asked.net / full).ceil().max(one));
    let factor = factor(recipe, &asked.net, &batches);
    let id = || recipe.id.clone();
    if !size::manageable(&factor) || !size::manageable(&asked.net) {
        return Err(PlanError::NumberTooLarge { recipe: id() });
    }
    if !factor.is_positive() {
        let demand = SmallDemand { recipe: id(), net: asked.net, batches, factor };
        return Err(PlanError::BelowPerBatch(Box::new(demand)));
    }
    Ok(Making { net: asked.net, batches, factor })
}

/// How much of every recipe is made, components included, in making order.
///
/// Every user of a recipe has a larger index than the recipe, so taking the largest index first
/// means that its demand is complete. A component of which nothing is asked isn't made.
pub(crate) fn explode(
    book: &CompiledBook,
    products: BTreeMap<RecipeIndex, Asked>,
    site: Option<&SiteKit>,
) -> Result<BTreeMap<RecipeIndex, Making>, PlanError> {
    let mut open = products;
    let mut made = BTreeMap::new();
    while let Some((index, asked)) = open.pop_last() {
        let making = making(book.recipe(index), asked, site)?;
        for line in book.lines_of(index) {
            let Used::Component(component) = line.uses else { continue };
            let mass = making.line_mass(line);
            if mass.is_positive() {
                Asked::add(&mut open, component, &mass)
                    .map_err(TooLarge::of(book.recipe(component)))?;
            }
        }
        made.insert(index, making);
    }
    Ok(made)
}
