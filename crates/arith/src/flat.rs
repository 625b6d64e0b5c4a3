//! The part of a book that some products need, in flat arrays, and the one pass over it that
//! turns demands into what every recipe and every ingredient comes to (section 5).

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use chablon_model::Scaling;
use chablon_quantity::Exact;

use crate::SiteKit;
use crate::compiled::{CompiledBook, CompiledRecipe, IngredientIndex, RecipeIndex, Used};
use crate::number::Number;
use crate::plan::{PlanError, SmallBowl};

/// A product that is asked for.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Root {
    pub(crate) recipe: RecipeIndex,
    /// Whether it is asked for in written batches, which then bound a batch where no bowl does.
    pub(crate) written_batches: bool,
}

/// Some products with everything they use, users first.
///
/// Every recipe and every ingredient has a slot in which its demand is summed: the recipes in
/// their order here, then the ingredients.
#[derive(Clone, Debug)]
pub(crate) struct Flat<N> {
    pub(crate) nodes: Vec<Node<N>>,
    lines: Vec<FlatLine<N>>,
    /// The ingredients that are weighed, by index.
    pub(crate) ingredients: Vec<IngredientIndex>,
    /// The slots of the products.
    roots: Vec<usize>,
}

/// A recipe's constants, those that divide as their inverses.
#[derive(Clone, Debug)]
pub(crate) struct Node<N> {
    pub(crate) recipe: RecipeIndex,
    lines: Range<usize>,
    /// `1 / K`, with `K` what a full batch makes, where a capacity is known.
    full: Option<N>,
    /// `r`
    residue: N,
    /// `1 / F`
    factor: N,
    /// `I_f`
    per_batch: N,
    /// `1 / I_p`
    proportional: N,
}

/// A line that weighs something.
#[derive(Clone, Debug)]
struct FlatLine<N> {
    slot: usize,
    per_batch: bool,
    mass: N,
}

/// How much of a recipe is made, and in what.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Making<N> {
    /// `M`: net grams.
    pub(crate) net: N,
    /// `B`: a whole number from 1.
    pub(crate) batches: N,
    /// `phi`: what the proportional lines are multiplied by, over all batches.
    pub(crate) factor: N,
}

/// What the pass comes to.
#[derive(Clone, Debug)]
pub(crate) struct Exploded<N> {
    /// By node.
    pub(crate) made: Vec<Making<N>>,
    /// Grams of each of [`Flat::ingredients`].
    pub(crate) masses: Vec<N>,
}

/// Why the pass stopped, at which node.
#[derive(Clone, Debug)]
pub(crate) enum Stop<N: Number> {
    /// The number of batches or the sign of a factor can't be decided in these numbers.
    Undecided(N::Doubt),
    /// A number has grown too long.
    TooLong(usize),
    /// The factor isn't above 0.
    BelowPerBatch(usize, Box<Making<N>>),
}

/// The most input that one batch of a recipe may have, where something bounds it.
pub(crate) fn capacity(recipe: &CompiledRecipe, site: Option<&SiteKit>) -> Option<Exact> {
    let class = recipe.equipment.as_ref();
    let bowl = site.zip(class).and_then(|(site, class)| site.capacities.get(class));
    bowl.into_iter().chain(&recipe.batch_max).min().cloned()
}

/// The net mass that a full batch makes, `K = F C - r`, where a capacity is known.
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
    let (recipe, residue) = (recipe.id.clone(), recipe.residue.clone());
    Err(PlanError::CapacityBelowResidue(Box::new(SmallBowl { recipe, capacity, gives, residue })))
}

/// The recipes that products need, users first.
///
/// Every user of a recipe has a larger index than the recipe, so taking the largest first means
/// that all users of a recipe stand before it. A line that weighs nothing needs nothing.
pub(crate) fn closure(
    book: &CompiledBook,
    products: impl IntoIterator<Item = RecipeIndex>,
) -> Vec<RecipeIndex> {
    let mut open: BTreeSet<RecipeIndex> = products.into_iter().collect();
    let mut order = Vec::new();
    while let Some(index) = open.pop_last() {
        order.push(index);
        let lines = book.lines_of(index).iter().filter(|line| line.mass.is_positive());
        open.extend(lines.filter_map(|line| match line.uses {
            Used::Component(component) => Some(component),
            Used::Ingredient(_) => None,
        }));
    }
    order
}

impl<N: Number> Flat<N> {
    /// Everything that these products need at a site.
    pub(crate) fn new(
        book: &CompiledBook,
        roots: &[Root],
        site: Option<&SiteKit>,
    ) -> Result<Self, PlanError> {
        let order = closure(book, roots.iter().map(|root| root.recipe));
        let slots: BTreeMap<RecipeIndex, usize> =
            order.iter().enumerate().map(|(slot, index)| (*index, slot)).collect();
        let weighed = |index: &RecipeIndex| {
            book.lines_of(*index).iter().filter(|line| line.mass.is_positive())
        };
        let taken = order.iter().flat_map(weighed).filter_map(|line| match line.uses {
            Used::Ingredient(index) => Some(index),
            Used::Component(_) => None,
        });
        let ingredients: BTreeSet<IngredientIndex> = taken.collect();
        let ingredients: Vec<IngredientIndex> = ingredients.into_iter().collect();
        let slot = |uses| match uses {
            Used::Component(index) => slots.get(&index).copied(),
            Used::Ingredient(index) => {
                ingredients.binary_search(&index).ok().map(|at| order.len() + at)
            }
        };
        let mut lines = Vec::new();
        let mut nodes = Vec::with_capacity(order.len());
        for index in &order {
            let start = lines.len();
            lines.extend(weighed(index).filter_map(|line| {
                let per_batch = line.scaling == Scaling::PerBatch;
                Some(FlatLine { slot: slot(line.uses)?, per_batch, mass: N::of(&line.mass) })
            }));
            let recipe = book.recipe(*index);
            let asked = |root: &Root| root.recipe == *index && root.written_batches;
            let written = roots.iter().any(asked).then(|| recipe.net.clone());
            let full = full_batch(recipe, site)?.or(written);
            nodes.push(Node::new(*index, recipe, start..lines.len(), full.as_ref()));
        }
        let roots = roots.iter().filter_map(|root| slots.get(&root.recipe).copied()).collect();
        Ok(Self { nodes, lines, ingredients, roots })
    }

    /// What these net masses of the products come to.
    pub(crate) fn explode(&self, nets: &[N]) -> Result<Exploded<N>, Stop<N>> {
        let zero = N::of(&Exact::from(0));
        let mut sums = vec![zero; self.nodes.len() + self.ingredients.len()];
        for (&slot, net) in self.roots.iter().zip(nets) {
            sums[slot] = sums[slot].plus(net);
        }
        let mut made = Vec::with_capacity(self.nodes.len());
        for (at, node) in self.nodes.iter().enumerate() {
            let making = node.make(at, sums[at].clone())?;
            for line in &self.lines[node.lines.clone()] {
                let by = if line.per_batch { &making.batches } else { &making.factor };
                sums[line.slot] = sums[line.slot].plus(&line.mass.times(by));
            }
            made.push(making);
        }
        Ok(Exploded { made, masses: sums.split_off(self.nodes.len()) })
    }
}

impl<N: Number> Node<N> {
    fn new(
        index: RecipeIndex,
        recipe: &CompiledRecipe,
        lines: Range<usize>,
        full: Option<&Exact>,
    ) -> Self {
        let inverse = |value: &Exact| N::of(&(Exact::from(1) / value));
        Self {
            recipe: index,
            lines,
            full: full.map(inverse),
            residue: N::of(&recipe.residue),
            factor: inverse(&recipe.factor),
            per_batch: N::of(&recipe.per_batch),
            proportional: inverse(&recipe.proportional),
        }
    }

    /// `B = max(1, ceil(M / K))` and `phi = ((M + B r) / F - B I_f) / I_p`.
    fn make(&self, at: usize, net: N) -> Result<Making<N>, Stop<N>> {
        let batches = match &self.full {
            Some(full) => net.times(full).whole_from_one().map_err(Stop::Undecided)?,
            None => N::of(&Exact::from(1)),
        };
        let input = net.plus(&batches.times(&self.residue)).times(&self.factor);
        let factor = input.minus(&batches.times(&self.per_batch)).times(&self.proportional);
        if !net.is_manageable() || !factor.is_manageable() {
            return Err(Stop::TooLong(at));
        }
        let above_zero = factor.above_zero().map_err(Stop::Undecided)?;
        let making = Making { net, batches, factor };
        if above_zero { Ok(making) } else { Err(Stop::BelowPerBatch(at, Box::new(making))) }
    }
}
