//! Ingredient masses and food cost of a demand, rounded, at the speed of floats and with the
//! digits of exact arithmetic.

use std::sync::OnceLock;

use chablon_quantity::{Currency, Exact, Rounded};

use crate::compiled::{CompiledBook, IngredientIndex, RecipeIndex};
use crate::figures::Figures;
use crate::filter::Bounded;
use crate::flat::{Exploded, Flat, Root};
use crate::number::Number;
use crate::plan::{PlanError, explode_flat, product};
use crate::{Demand, SiteKit, Target};

/// Masses are shown to a thousandth of a gram.
const MASS_DECIMALS: u32 = 3;

/// Some products with all that they need, made ready once and asked often.
#[derive(Debug)]
pub struct Explosion<'a> {
    book: &'a CompiledBook,
    roots: Vec<Root>,
    site: Option<&'a SiteKit>,
    quick: Flat<Bounded>,
    /// Made where a figure is first undecided.
    exact: OnceLock<Flat<Exact>>,
}

/// What an edible gram of each ingredient of an explosion costs, and how a total is rounded.
#[derive(Clone, Debug)]
pub struct GramCosts {
    exact: Vec<Exact>,
    quick: Vec<<Bounded as Number>::Constant>,
    decimals: u32,
}

/// The food of a demand, rounded. Figures stand in the order of [`Explosion::ingredients`].
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FoodCost {
    /// Edible grams.
    pub masses: Figures,
    /// What each ingredient costs, in the smallest unit of the currency.
    pub costs: Figures,
    /// What the food costs: the sum of the exact costs, rounded once.
    pub food: Rounded,
}

/// The edible grams of every ingredient that is weighed for a demand, rounded.
pub fn explode(
    book: &CompiledBook,
    demand: &Demand,
    site: Option<&SiteKit>,
) -> Result<Vec<(IngredientIndex, Rounded)>, PlanError> {
    let product = product(book, demand, 1, site)?;
    let written_batches = matches!(demand.target, Target::WrittenBatches(_));
    let recipe = book.find_recipe(&product.recipe);
    let roots = recipe.map(|recipe| Root { recipe, written_batches }).into_iter().collect();
    let explosion = Explosion::of_roots(book, roots, site)?;
    let masses = explosion.masses(&[product.net])?;
    Ok(explosion.ingredients().iter().copied().zip(masses.iter()).collect())
}

impl<'a> Explosion<'a> {
    /// Everything that these products need at a site.
    pub fn new(
        book: &'a CompiledBook,
        products: &[RecipeIndex],
        site: Option<&'a SiteKit>,
    ) -> Result<Self, PlanError> {
        let root = |&recipe| Root { recipe, written_batches: false };
        Self::of_roots(book, products.iter().map(root).collect(), site)
    }

    fn of_roots(
        book: &'a CompiledBook,
        roots: Vec<Root>,
        site: Option<&'a SiteKit>,
    ) -> Result<Self, PlanError> {
        let quick = Flat::new(book, &roots, site)?;
        Ok(Self { book, roots, site, quick, exact: OnceLock::new() })
    }

    /// The ingredients that are weighed, by index.
    pub fn ingredients(&self) -> &[IngredientIndex] {
        &self.quick.ingredients
    }

    /// The edible grams of each ingredient for these net grams of the products, rounded.
    pub fn masses(&self, nets: &[Exact]) -> Result<Figures, PlanError> {
        self.check(nets)?;
        let mut redo = Redo::new(self, nets);
        let Some(quick) = self.quick(nets) else { return redo.masses() };
        let masses: Vec<Bounded> = quick.masses().collect();
        Figures::of_row(MASS_DECIMALS, &masses, |at| redo.mass(at))
    }

    /// The edible grams of each ingredient for these net grams of the products, exactly.
    pub fn exact_masses(&self, nets: &[Exact]) -> Result<Vec<Exact>, PlanError> {
        self.check(nets)?;
        let made = if let Some(flat) = self.exact.get() {
            flat
        } else {
            let flat = Flat::new(self.book, &self.roots, self.site)?;
            self.exact.get_or_init(|| flat)
        };
        Ok(explode_flat(self.book, made, nets)?.masses().collect())
    }

    /// What the ingredients cost: for each of [`Explosion::ingredients`] the cost of an edible
    /// gram, 0 where it isn't known, so that the sum is a lower bound.
    pub fn gram_costs(
        &self,
        currency: Currency,
        cost: impl Fn(IngredientIndex) -> Option<Exact>,
    ) -> GramCosts {
        let cost = |&index| cost(index).unwrap_or_else(|| Exact::from(0));
        let exact: Vec<Exact> = self.ingredients().iter().map(cost).collect();
        let quick = exact.iter().map(Bounded::constant_from_zero).collect();
        GramCosts { exact, quick, decimals: currency.minor_decimals() }
    }

    /// The masses and the cost of the food for these net grams of the products, rounded.
    pub fn food_cost(&self, nets: &[Exact], costs: &GramCosts) -> Result<FoodCost, PlanError> {
        self.check(nets)?;
        let mut redo = Redo::new(self, nets);
        let Some(quick) = self.quick(nets) else { return redo.food_cost(costs) };
        let masses: Vec<Bounded> = quick.masses().collect();
        let priced = masses.iter().zip(&costs.quick);
        let mut food = Bounded::nothing();
        priced.clone().for_each(|(mass, gram)| mass.add_product(gram, &mut food));
        let priced: Vec<Bounded> = priced.map(|(mass, gram)| mass.times(gram)).collect();
        let terms = u32::try_from(masses.len()).unwrap_or(u32::MAX);
        let masses = Figures::of_row(MASS_DECIMALS, &masses, |at| redo.mass(at))?;
        let priced = Figures::of_row(costs.decimals, &priced, |at| redo.cost(at, costs))?;
        let food = match Bounded::total(&food, terms).round(costs.decimals) {
            Ok(units) => Rounded::from_small(units, costs.decimals),
            Err(_) => redo.food(costs)?,
        };
        Ok(FoodCost { masses, costs: priced, food })
    }

    /// Every product is asked for, and more than nothing of it.
    fn check(&self, nets: &[Exact]) -> Result<(), PlanError> {
        let nothing = Exact::from(0);
        for (at, root) in self.roots.iter().enumerate() {
            let net = nets.get(at).unwrap_or(&nothing);
            if !net.is_positive() {
                let recipe = self.book.recipe(root.recipe).id.clone();
                return Err(PlanError::NotPositive {
                    recipe,
                    target: Target::NetMass(net.clone()),
                });
            }
        }
        Ok(())
    }

    fn quick(&self, nets: &[Exact]) -> Option<Exploded<'_, Bounded>> {
        self.quick.explode(nets.iter().map(Bounded::of)).ok()
    }
}

/// The exact masses of one call, computed where a figure is first undecided.
struct Redo<'a> {
    explosion: &'a Explosion<'a>,
    nets: &'a [Exact],
    masses: Option<Vec<Exact>>,
}

impl<'a> Redo<'a> {
    fn new(explosion: &'a Explosion<'_>, nets: &'a [Exact]) -> Self {
        Self { explosion, nets, masses: None }
    }

    fn exact(&mut self) -> Result<&[Exact], PlanError> {
        let masses = match self.masses.take() {
            Some(masses) => masses,
            None => self.explosion.exact_masses(self.nets)?,
        };
        Ok(self.masses.insert(masses))
    }

    fn mass(&mut self, at: usize) -> Result<Exact, PlanError> {
        Ok(self.exact()?[at].clone())
    }

    fn cost(&mut self, at: usize, costs: &GramCosts) -> Result<Exact, PlanError> {
        Ok(&self.exact()?[at] * &costs.exact[at])
    }

    fn masses(&mut self) -> Result<Figures, PlanError> {
        Ok(Figures::of(MASS_DECIMALS, self.exact()?))
    }

    fn food(&mut self, costs: &GramCosts) -> Result<Rounded, PlanError> {
        let masses = self.exact()?.iter();
        let food: Exact = masses.zip(&costs.exact).map(|(mass, gram)| mass * gram).sum();
        Ok(food.round(costs.decimals))
    }

    fn food_cost(&mut self, costs: &GramCosts) -> Result<FoodCost, PlanError> {
        let masses = self.masses()?;
        let priced = (0..masses.len()).map(|at| self.cost(at, costs));
        let priced: Vec<Exact> = priced.collect::<Result<_, _>>()?;
        let food = self.food(costs)?;
        Ok(FoodCost { masses, costs: Figures::of(costs.decimals, &priced), food })
    }
}
