//! The part of a book that some products need, in flat arrays, and the one pass over it that
//! turns demands into what every recipe and every ingredient comes to (section 5).

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use chablon_model::Scaling;
use chablon_quantity::Exact;

use crate::SiteKit;
use crate::compiled::{
    CompiledBook, CompiledLine, CompiledRecipe, IngredientIndex, RecipeIndex, Used,
};
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
#[derive(Debug)]
pub(crate) struct Flat<N: Number> {
    pub(crate) nodes: Vec<Node<N>>,
    lines: Vec<FlatLine<N>>,
    /// The ingredients that are weighed, by index.
    pub(crate) ingredients: Vec<IngredientIndex>,
    /// The slots of the products.
    roots: Vec<usize>,
    /// How many demands each slot sums.
    terms: Vec<u32>,
}

/// A recipe's constants.
#[derive(Debug)]
pub(crate) struct Node<N: Number> {
    pub(crate) recipe: RecipeIndex,
    lines: Range<usize>,
    /// `1 / K`, with `K` what a full batch makes, where a capacity is known.
    per_full_batch: Option<N::Constant>,
    /// `1 / (F I_p)`: the factor by net mass.
    by_net: N::Constant,
    /// `(r / F - I_f) / I_p`: what each batch adds to the factor, or takes from it.
    by_batch: N::Constant,
}

/// A line that weighs something.
#[derive(Debug)]
struct FlatLine<N: Number> {
    slot: usize,
    per_batch: bool,
    mass: N::Constant,
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
pub(crate) struct Exploded<'a, N: Number> {
    flat: &'a Flat<N>,
    /// By node.
    pub(crate) made: Vec<Making<N>>,
    sums: Vec<N::Sum>,
}

impl<N: Number> Exploded<'_, N> {
    /// Grams of each of [`Flat::ingredients`].
    pub(crate) fn masses(&self) -> impl Iterator<Item = N> {
        let sums = self.sums.iter().zip(&self.flat.terms).skip(self.flat.nodes.len());
        sums.map(|(sum, terms)| N::total(sum, *terms))
    }
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

/// Which slot each recipe and ingredient of a part of a book has.
struct Slots<'a> {
    book: &'a CompiledBook,
    recipes: BTreeMap<RecipeIndex, usize>,
    ingredients: Vec<IngredientIndex>,
}

impl<'a> Slots<'a> {
    fn new(book: &'a CompiledBook, order: &[RecipeIndex]) -> Self {
        let recipes = order.iter().enumerate().map(|(slot, index)| (*index, slot)).collect();
        let lines = order.iter().flat_map(|index| weighed(book, *index));
        let taken = lines.filter_map(|line| match line.uses {
            Used::Ingredient(index) => Some(index),
            Used::Component(_) => None,
        });
        let taken: BTreeSet<IngredientIndex> = taken.collect();
        Self { book, recipes, ingredients: taken.into_iter().collect() }
    }

    fn of(&self, uses: Used) -> Option<usize> {
        match uses {
            Used::Component(index) => self.recipes.get(&index).copied(),
            Used::Ingredient(index) => {
                let at = self.ingredients.binary_search(&index).ok()?;
                Some(self.recipes.len() + at)
            }
        }
    }

    fn lines<N: Number>(&self, index: RecipeIndex) -> impl Iterator<Item = FlatLine<N>> {
        weighed(self.book, index).filter_map(|line| {
            let per_batch = line.scaling == Scaling::PerBatch;
            Some(FlatLine { slot: self.of(line.uses)?, per_batch, mass: N::constant(&line.mass) })
        })
    }
}

fn weighed(book: &CompiledBook, index: RecipeIndex) -> impl Iterator<Item = &CompiledLine> {
    book.lines_of(index).iter().filter(|line| line.mass.is_positive())
}

impl<N: Number> Flat<N> {
    /// Everything that these products need at a site.
    pub(crate) fn new(
        book: &CompiledBook,
        roots: &[Root],
        site: Option<&SiteKit>,
    ) -> Result<Self, PlanError> {
        let order = closure(book, roots.iter().map(|root| root.recipe));
        let slots = Slots::new(book, &order);
        let mut lines = Vec::new();
        let mut nodes = Vec::with_capacity(order.len());
        for index in &order {
            let start = lines.len();
            lines.extend(slots.lines(*index));
            let recipe = book.recipe(*index);
            let asked = |root: &Root| root.recipe == *index && root.written_batches;
            let written = roots.iter().any(asked).then(|| recipe.net.clone());
            let full = full_batch(recipe, site)?.or(written);
            nodes.push(Node::new(*index, recipe, start..lines.len(), full.as_ref()));
        }
        let roots: Vec<usize> =
            roots.iter().filter_map(|root| slots.recipes.get(&root.recipe).copied()).collect();
        let mut terms = vec![0; nodes.len() + slots.ingredients.len()];
        for slot in lines.iter().map(|line| line.slot).chain(roots.iter().copied()) {
            terms[slot] += 1;
        }
        Ok(Self { nodes, lines, ingredients: slots.ingredients, roots, terms })
    }

    /// What these net masses of the products come to.
    pub(crate) fn explode(
        &self,
        nets: impl Iterator<Item = N>,
    ) -> Result<Exploded<'_, N>, Stop<N>> {
        let mut sums = vec![N::nothing(); self.terms.len()];
        let one = N::constant(&Exact::from(1));
        for (&slot, net) in self.roots.iter().zip(nets) {
            net.add_product(&one, &mut sums[slot]);
        }
        let mut made = Vec::with_capacity(self.nodes.len());
        for (at, node) in self.nodes.iter().enumerate() {
            let making = node.make(at, N::total(&sums[at], self.terms[at]))?;
            for line in &self.lines[node.lines.clone()] {
                let by = if line.per_batch { &making.batches } else { &making.factor };
                by.add_product(&line.mass, &mut sums[line.slot]);
            }
            made.push(making);
        }
        Ok(Exploded { flat: self, made, sums })
    }
}

impl<N: Number> Node<N> {
    fn new(
        index: RecipeIndex,
        recipe: &CompiledRecipe,
        lines: Range<usize>,
        full: Option<&Exact>,
    ) -> Self {
        let inverse = |value: &Exact| N::constant(&(Exact::from(1) / value));
        let by_batch = &recipe.residue / &recipe.factor - &recipe.per_batch;
        Self {
            recipe: index,
            lines,
            per_full_batch: full.map(inverse),
            by_net: inverse(&(&recipe.factor * &recipe.proportional)),
            by_batch: N::constant(&(by_batch / &recipe.proportional)),
        }
    }

    /// `B = max(1, ceil(M / K))` and `phi = ((M + B r) / F - B I_f) / I_p`.
    fn make(&self, at: usize, net: N) -> Result<Making<N>, Stop<N>> {
        let batches = match &self.per_full_batch {
            Some(per_batch) => net.times(per_batch).whole_from_one().map_err(Stop::Undecided)?,
            None => N::of(&Exact::from(1)),
        };
        let factor = net.times(&self.by_net).plus(&batches.times(&self.by_batch));
        if !net.is_manageable() || !factor.is_manageable() {
            return Err(Stop::TooLong(at));
        }
        let above_zero = factor.above_zero().map_err(Stop::Undecided)?;
        let making = Making { net, batches, factor };
        if above_zero { Ok(making) } else { Err(Stop::BelowPerBatch(at, Box::new(making))) }
    }
}
