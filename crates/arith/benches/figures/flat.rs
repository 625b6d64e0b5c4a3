//! What one would write in plain floats.

use chablon_arith::{IngredientIndex, Used};
use chablon_quantity::Exact;

use crate::piece::GroupBook;

pub(crate) fn float(value: &Exact) -> f64 {
    let (numerator, denominator) = value.parts().unwrap();
    #[expect(clippy::cast_precision_loss, reason = "a plain float pass")]
    let quotient = numerator as f64 / denominator as f64;
    quotient
}

/// A book's lines in flat arrays.
pub(crate) struct FlatBook {
    ingredients: usize,
    starts: Vec<u32>,
    columns: Vec<u32>,
    masses: Vec<f64>,
    per_net: Vec<f64>,
    per_piece: Vec<f64>,
    values: Vec<f64>,
    pieces: Vec<f64>,
}

impl FlatBook {
    pub(crate) fn new(book: &GroupBook) -> Self {
        let compiled = &book.compiled;
        let ingredients = compiled.ingredients().len();
        let mut starts = vec![0];
        starts.extend(compiled.recipes().iter().map(|one| u32::try_from(one.lines.end).unwrap()));
        let columns = compiled.lines().iter().map(|line| match line.uses {
            Used::Ingredient(index) => u32::try_from(index.0).unwrap(),
            Used::Component(index) => u32::try_from(ingredients + index.0).unwrap(),
        });
        let recipes = compiled.recipes();
        let mut values = vec![0.0; ingredients + recipes.len()];
        for (value, cost) in values.iter_mut().zip(&book.costs) {
            *value = cost.as_ref().map_or(0.0, float);
        }
        Self {
            ingredients,
            starts,
            columns: columns.collect(),
            masses: compiled.lines().iter().map(|line| float(&line.mass)).collect(),
            per_net: recipes.iter().map(|one| 1.0 / float(&one.net)).collect(),
            per_piece: recipes
                .iter()
                .map(|one| one.pieces.as_ref().map_or(0.0, |count| 1.0 / float(count)))
                .collect(),
            values,
            pieces: vec![0.0; recipes.len()],
        }
    }

    pub(crate) fn set(&mut self, index: IngredientIndex, cost: f64) {
        self.values[index.0] = cost;
    }

    pub(crate) fn all(&mut self) {
        for recipe in 0..self.per_net.len() {
            self.one(recipe);
        }
    }

    pub(crate) fn some(&mut self, recipes: &[usize]) {
        for &recipe in recipes {
            self.one(recipe);
        }
    }

    #[inline]
    fn one(&mut self, recipe: usize) {
        let lines = self.starts[recipe] as usize..self.starts[recipe + 1] as usize;
        let columns = &self.columns[lines.clone()];
        let terms = columns.iter().zip(&self.masses[lines]);
        let food: f64 = terms.map(|(&column, mass)| mass * self.values[column as usize]).sum();
        self.values[self.ingredients + recipe] = food * self.per_net[recipe];
        self.pieces[recipe] = food * self.per_piece[recipe];
    }
}

/// A line as authored: a number, the factor of its unit, and what turns that into grams.
pub(crate) struct FlatLine {
    pub(crate) slot: usize,
    pub(crate) number: f64,
    pub(crate) unit: f64,
    pub(crate) grams: f64,
}

/// A recipe of a piece, users first.
pub(crate) struct FlatNode {
    pub(crate) lines: std::ops::Range<usize>,
    pub(crate) input: f64,
    pub(crate) factor: f64,
    pub(crate) residue: f64,
    pub(crate) capacity: f64,
}

/// A pack as authored.
pub(crate) struct FlatPrice {
    pub(crate) edible_yield: f64,
    pub(crate) pack: f64,
    pub(crate) unit: f64,
    pub(crate) price: f64,
}

/// Masses, costs and their total.
pub(crate) type Food = (Vec<f64>, Vec<f64>, f64);

pub(crate) struct FlatPiece {
    pub(crate) nodes: Vec<FlatNode>,
    pub(crate) lines: Vec<FlatLine>,
    pub(crate) prices: Vec<FlatPrice>,
    pub(crate) piece_mass: f64,
}

impl FlatPiece {
    /// Masses, costs and their total for so many pieces.
    pub(crate) fn food_cost(&self, pieces: f64) -> Food {
        let mut sums = vec![0.0; self.nodes.len() + self.prices.len()];
        sums[0] = pieces * self.piece_mass;
        for (at, node) in self.nodes.iter().enumerate() {
            let net = sums[at];
            let batches = (net / (node.factor * node.capacity - node.residue)).ceil().max(1.0);
            let factor = (net + batches * node.residue) / node.factor / node.input;
            for line in &self.lines[node.lines.clone()] {
                sums[line.slot] += line.number * line.unit * line.grams * factor;
            }
        }
        let masses = sums.split_off(self.nodes.len());
        let costs = masses.iter().zip(&self.prices).map(|(mass, price)| {
            mass / price.edible_yield * price.price / (price.pack * price.unit)
        });
        let costs: Vec<f64> = costs.collect();
        let food = costs.iter().sum();
        (masses, costs, food)
    }

    pub(crate) fn rounded(&self, pieces: f64) -> Food {
        let (mut masses, mut costs, food) = self.food_cost(pieces);
        for mass in &mut masses {
            *mass = (*mass * 1000.0).round() / 1000.0;
        }
        for cost in &mut costs {
            *cost = (*cost * 100.0).round() / 100.0;
        }
        (masses, costs, (food * 100.0).round() / 100.0)
    }
}
