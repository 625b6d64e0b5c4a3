//! All that a given purchased mass of an ingredient makes.
//!
//! Asked for is the largest whole number `n` of pieces (of grams, for a recipe by mass) whose
//! demand for the ingredient, over the whole tree and with its batches, is at most what is on
//! hand. That demand isn't monotone in `n`. Over `B` batches the lines that scale take
//! `(M + B r) / F - B I_f` in all. With `M` it rises; but when one more batch is begun it jumps
//! by `r / F - I_f`, which is below 0 where the per-batch amounts outweigh the residue: they
//! stand in for a part of the other lines. So a larger `n` can need less of an ingredient than a
//! smaller one, and halving an interval by its middle alone would miss it.
//!
//! The search therefore keeps intervals of `n` and proves them empty before it leaves them out:
//!
//! 1. [`Tree::at_least`] bounds the demand of the whole tree from below by a line `s n + t`. Where
//!    `K = F C - r` is what a full batch makes, `M / K <= B <= M / K + 1`. Putting in the end
//!    that makes the lines that scale smaller gives a slope of `(C - I_f) / K` times `M`, which
//!    is above 0, since with `C <= I_f` no full bowl is possible at all. So the answer is at most
//!    `(on hand - t) / s`.
//! 2. [`Tree::least`] bounds the demand over an interval from below, by the ends of `M` and `B`
//!    that make each term smallest; over a single `n` it is the demand itself. An interval whose
//!    bound is above what is on hand, or for whose every `n` the per-batch amounts are too much,
//!    is left out; any other is halved, the upper half first. So the first single `n` that
//!    stands is the largest.

use std::collections::BTreeMap;

use chablon_model::IngredientId;
use chablon_quantity::Exact;

use super::error::{PlanError, SmallDemand};
use crate::compiled::{
    CompiledBook, CompiledLine, CompiledRecipe, IngredientIndex, RecipeIndex, Used,
};
use crate::flat::{capacity, closure, full_batch};
use crate::{SiteKit, size};
use chablon_model::Scaling;

/// The most intervals to look at. An answer among ordinary batches takes about a hundred; each
/// costs one walk over the tree.
const MAX_LOOKS: usize = 20_000;

/// The net mass of all that this purchased mass makes of a recipe.
pub(super) fn net(
    book: &CompiledBook,
    index: RecipeIndex,
    ingredient: &IngredientId,
    mass: &Exact,
    site: Option<&SiteKit>,
) -> Result<Exact, PlanError> {
    let unknown = || PlanError::UnknownIngredient { ingredient: ingredient.clone() };
    let wanted = book.find_ingredient(ingredient).ok_or_else(unknown)?;
    let recipe = || book.recipe(index).id.clone();
    let ingredient = || ingredient.clone();
    let tree = Tree::new(book, index, wanted, site)?;
    if !tree.uses_wanted() {
        return Err(PlanError::OnHandNotUsed { recipe: recipe(), ingredient: ingredient() });
    }
    let edible = mass * &book.ingredient(wanted).edible_yield;
    match tree.largest(&edible) {
        Found::Units(units) => Ok(units * &tree.unit),
        Found::TooLittle => Err(PlanError::OnHandTooLittle {
            recipe: recipe(),
            ingredient: ingredient(),
            mass: mass.clone(),
        }),
        Found::NoLimit => {
            Err(PlanError::OnHandNoLimit { recipe: recipe(), ingredient: ingredient() })
        }
        Found::Undecided => {
            Err(PlanError::OnHandUndecided { recipe: recipe(), ingredient: ingredient() })
        }
    }
}

enum Found {
    Units(Exact),
    TooLittle,
    NoLimit,
    Undecided,
}

/// Everything that a product is made of, users first.
struct Tree<'a> {
    book: &'a CompiledBook,
    product: RecipeIndex,
    wanted: IngredientIndex,
    /// Net grams of what is counted: one piece, or one gram.
    unit: Exact,
    /// Each recipe with `K`, what a full batch makes, where a capacity is known.
    recipes: Vec<(RecipeIndex, Option<Exact>)>,
}

/// A line in `n`: `slope n + start`.
#[derive(Clone)]
struct Linear {
    slope: Exact,
    start: Exact,
}

/// A number between two others, ends included.
#[derive(Clone)]
struct Between {
    low: Exact,
    high: Exact,
}

/// The factor of the proportional lines over so many batches, which may come out at or below 0.
fn factor(recipe: &CompiledRecipe, net: &Exact, batches: &Exact) -> Exact {
    let input = (net + batches * &recipe.residue) / &recipe.factor;
    (input - batches * &recipe.per_batch) / &recipe.proportional
}

/// The jump of the lines that scale when one more batch is begun: `r / F - I_f`.
fn jump(recipe: &CompiledRecipe) -> Exact {
    &recipe.residue / &recipe.factor - &recipe.per_batch
}

impl<'a> Tree<'a> {
    fn new(
        book: &'a CompiledBook,
        product: RecipeIndex,
        wanted: IngredientIndex,
        site: Option<&SiteKit>,
    ) -> Result<Self, PlanError> {
        let recipe = |index| Ok((index, possible_batch(book.recipe(index), site)?));
        let recipes = closure(book, [product]).into_iter().map(recipe).collect::<Result<_, _>>()?;
        let unit = book.recipe(product).piece_mass.clone().unwrap_or_else(|| Exact::from(1));
        Ok(Self { book, product, wanted, unit, recipes })
    }

    fn uses_wanted(&self) -> bool {
        let lines = self.recipes.iter().flat_map(|(index, _)| self.book.lines_of(*index));
        lines.filter(|line| line.mass.is_positive()).any(|line| self.is_wanted(line))
    }

    fn is_wanted(&self, line: &CompiledLine) -> bool {
        line.uses == Used::Ingredient(self.wanted)
    }

    fn largest(&self, on_hand: &Exact) -> Found {
        let Some(Linear { slope, start }) = self.at_least() else { return Found::Undecided };
        if !slope.is_positive() {
            return self.constant(on_hand);
        }
        let most = ((on_hand - start) / slope).floor();
        let mut open = vec![Between { low: Exact::from(1), high: most }];
        for _ in 0..MAX_LOOKS {
            let Some(units) = open.pop() else { return Found::TooLittle };
            if units.high < units.low || self.least(&units).is_none_or(|least| least > *on_hand) {
                continue;
            }
            if units.low == units.high {
                return Found::Units(units.low);
            }
            let middle = ((&units.low + &units.high) / Exact::from(2)).floor();
            let above = &middle + Exact::from(1);
            open.push(Between { low: units.low, high: middle });
            open.push(Between { low: above, high: units.high });
        }
        Found::Undecided
    }

    /// Where the demand is the same for every `n` that can be made at all: either nothing is
    /// enough, or everything is.
    fn constant(&self, on_hand: &Exact) -> Found {
        let many = Exact::power_of_ten(40);
        match self.least(&Between { low: many.clone(), high: many }) {
            Some(least) if least <= *on_hand => Found::NoLimit,
            _ => Found::TooLittle,
        }
    }

    /// A line in `n` that the demand for the ingredient is never below, or nothing where its
    /// numbers grow too long.
    fn at_least(&self) -> Option<Linear> {
        let zero = || Linear { slope: Exact::from(0), start: Exact::from(0) };
        let mut nets = BTreeMap::new();
        nets.insert(self.product, Linear { slope: self.unit.clone(), ..zero() });
        let mut demand = zero();
        for (index, full) in &self.recipes {
            let Some(net) = nets.remove(index) else { continue };
            let envelope = Envelope::new(self.book.recipe(*index), full.as_ref(), &net);
            for line in self.book.lines_of(*index) {
                let sum = match line.uses {
                    Used::Ingredient(_) if self.is_wanted(line) => &mut demand,
                    Used::Component(component) => nets.entry(component).or_insert_with(zero),
                    Used::Ingredient(_) => continue,
                };
                envelope.add(line, sum);
                if !size::manageable(&sum.slope) || !size::manageable(&sum.start) {
                    return None;
                }
            }
        }
        Some(demand)
    }

    /// The least demand for the ingredient over an interval of `n`, or nothing where the
    /// per-batch amounts are too much for every `n` in it.
    fn least(&self, units: &Between) -> Option<Exact> {
        let mut nets = BTreeMap::new();
        let net = Between { low: &units.low * &self.unit, high: &units.high * &self.unit };
        nets.insert(self.product, net);
        let mut demand = Exact::from(0);
        for (index, full) in &self.recipes {
            let Some(net) = nets.remove(index) else { continue };
            let recipe = self.book.recipe(*index);
            let made = Made::new(recipe, full.as_ref(), &net)?;
            for line in self.book.lines_of(*index).iter().filter(|line| line.mass.is_positive()) {
                let mass = made.mass(line);
                match line.uses {
                    Used::Ingredient(_) if self.is_wanted(line) => demand = demand + mass.low,
                    Used::Component(component) => add(&mut nets, component, mass),
                    Used::Ingredient(_) => {}
                }
            }
        }
        Some(demand)
    }
}

fn add(nets: &mut BTreeMap<RecipeIndex, Between>, component: RecipeIndex, mass: Between) {
    let sum = nets
        .entry(component)
        .or_insert_with(|| Between { low: Exact::from(0), high: Exact::from(0) });
    *sum = Between { low: &sum.low + mass.low, high: &sum.high + mass.high };
}

/// What a full batch makes, where a capacity is known and a bowl can hold the per-batch amounts.
fn possible_batch(
    recipe: &CompiledRecipe,
    site: Option<&SiteKit>,
) -> Result<Option<Exact>, PlanError> {
    let full = full_batch(recipe, site)?;
    let too_small = capacity(recipe, site).is_some_and(|capacity| capacity <= recipe.per_batch);
    match full {
        Some(net) if too_small => {
            let batches = Exact::from(1);
            let factor = factor(recipe, &net, &batches);
            let recipe = recipe.id.clone();
            Err(PlanError::BelowPerBatch(Box::new(SmallDemand { recipe, net, batches, factor })))
        }
        full => Ok(full),
    }
}

/// Lines in `n` that the factor and the number of batches of one recipe are never below.
struct Envelope {
    factor: Linear,
    batches: Linear,
}

impl Envelope {
    fn new(recipe: &CompiledRecipe, full: Option<&Exact>, net: &Linear) -> Self {
        let jump = jump(recipe);
        let (batches, extra) = match full {
            Some(full) => {
                let batches = Linear { slope: &net.slope / full, start: &net.start / full };
                // The end of `M/K <= B <= M/K + 1` that makes `B jump` smaller.
                let extra = if jump.is_negative() { Exact::from(1) } else { Exact::from(0) };
                (batches, extra)
            }
            None => (Linear { slope: Exact::from(0), start: Exact::from(1) }, Exact::from(0)),
        };
        let share = |net: &Exact, batches: Exact| {
            (net / &recipe.factor + batches * &jump) / &recipe.proportional
        };
        let slope = share(&net.slope, batches.slope.clone());
        let start = share(&net.start, &batches.start + extra);
        Self { factor: Linear { slope, start }, batches }
    }

    fn add(&self, line: &CompiledLine, sum: &mut Linear) {
        let by = match line.scaling {
            Scaling::PerBatch => &self.batches,
            Scaling::Proportional | Scaling::Whole => &self.factor,
        };
        sum.slope = &sum.slope + &line.mass * &by.slope;
        sum.start = &sum.start + &line.mass * &by.start;
    }
}

/// Between which bounds a recipe is made over an interval of its demand.
struct Made {
    factor: Between,
    batches: Between,
}

impl Made {
    /// Nothing where the factor is at or below 0 over the whole interval.
    fn new(recipe: &CompiledRecipe, full: Option<&Exact>, net: &Between) -> Option<Self> {
        let one = Exact::from(1);
        let batches =
            |net: &Exact| full.map_or(one.clone(), |full| (net / full).ceil().max(one.clone()));
        let batches = Between { low: batches(&net.low), high: batches(&net.high) };
        let (fewer, more) = if jump(recipe).is_negative() {
            (&batches.high, &batches.low)
        } else {
            (&batches.low, &batches.high)
        };
        let low = factor(recipe, &net.low, fewer).max(Exact::from(0));
        let high = factor(recipe, &net.high, more);
        high.is_positive().then_some(Self { factor: Between { low, high }, batches })
    }

    fn mass(&self, line: &CompiledLine) -> Between {
        let by = match line.scaling {
            Scaling::PerBatch => &self.batches,
            Scaling::Proportional | Scaling::Whole => &self.factor,
        };
        Between { low: &line.mass * &by.low, high: &line.mass * &by.high }
    }
}
