//! The books that are measured.

use std::sync::OnceLock;

use chablon_arith::{
    CompiledBook, Explosion, GramCosts, IngredientIndex, Library, PriceBook, RecipeIndex, Recost,
    SiteKit, StandardCost, Used, compile, standard_costs,
};
use chablon_model::{Amount, Pack, PriceList, Uses, Yield};
use chablon_quantity::{Authored, CountUnit, Exact, MassUnit, Number, VolumeUnit};

use crate::flat::{FlatLine, FlatNode, FlatPiece, FlatPrice, float};
use crate::generate::{Book, Random, Shape, currency, day, generate};

fn gram_costs(compiled: &CompiledBook, book: &Book) -> Vec<Option<Exact>> {
    let prices = PriceBook::of_group(currency(), [&book.prices]);
    let cost = |at: usize| {
        let quote = prices.quote(compiled, IngredientIndex(at), day()).ok()?;
        Some(quote.per_gram() / &compiled.ingredients()[at].edible_yield)
    };
    (0..compiled.ingredients().len()).map(cost).collect()
}

/// A whole group's book: 50,000 recipes on four levels, 15 lines each.
pub(crate) struct GroupBook {
    pub(crate) compiled: CompiledBook,
    pub(crate) costs: Vec<Option<Exact>>,
    prices: PriceList,
}

impl GroupBook {
    /// A book with yields, prices and amounts of any digits.
    pub(crate) fn get() -> &'static Self {
        static BOOK: OnceLock<GroupBook> = OnceLock::new();
        BOOK.get_or_init(|| Self::new(false))
    }

    /// The same with round ones throughout, where exact halves of a digit are common.
    pub(crate) fn round() -> &'static Self {
        static BOOK: OnceLock<GroupBook> = OnceLock::new();
        BOOK.get_or_init(|| Self::new(true))
    }

    fn new(ties: bool) -> Self {
        let shape = Shape {
            ingredients: 5000,
            levels: &[30_000, 12_000, 6_000, 2_000],
            lines: 15,
            components: 3,
            ties,
        };
        let book = generate(1, &shape);
        let (compiled, _) = compile(&Library::new(&book.ingredients, &book.recipes));
        assert_eq!(compiled.lines().len(), 750_000);
        let costs = gram_costs(&compiled, &book);
        Self { compiled, costs, prices: book.prices }
    }

    pub(crate) fn exact(&self) -> Vec<Option<StandardCost>> {
        standard_costs(&self.compiled, &PriceBook::of_group(currency(), [&self.prices]), day())
    }

    pub(crate) fn recost(&self) -> Recost {
        Recost::new(&self.compiled, self.costs.clone())
    }

    /// The ingredient on which nearest to 500 recipes depend, among the first hundred.
    pub(crate) fn typical_ingredient(&self) -> IngredientIndex {
        let mut recost = self.recost();
        let mut touched = |at: &usize| {
            let index = IngredientIndex(*at);
            recost.change(&self.compiled, &[(index, self.costs[*at].clone())]).len().abs_diff(500)
        };
        IngredientIndex((0..100).min_by_key(|at| touched(at)).unwrap())
    }

    /// The recipes that depend on an ingredient, in making order.
    pub(crate) fn touched(&self, index: IngredientIndex) -> Vec<RecipeIndex> {
        self.recost().change(&self.compiled, &[(index, None)])
    }
}

/// A finished piece: 4 components of 3 components of 5 ingredients, in every unit of the bench,
/// in bowls that some of them fill more than once.
pub(crate) struct Piece {
    book: Book,
    compiled: CompiledBook,
    site: SiteKit,
}

fn line(like: &chablon_model::Line, uses: Uses, amount: Amount) -> chablon_model::Line {
    chablon_model::Line { uses, amount, ..like.clone() }
}

fn amount(random: &mut Random) -> Amount {
    let number = |random: &mut Random| {
        Number::decimal(i64::try_from(5 + random.below(4000)).unwrap(), -1).unwrap()
    };
    match random.below(6) {
        0 => Amount::Volume(Authored::new(
            Number::fraction(0, 1 + i64::try_from(random.below(7)).unwrap(), 4).unwrap(),
            VolumeUnit::Cup,
        )),
        1 => Amount::Volume(Authored::new(number(random), VolumeUnit::Millilitre)),
        2 => Amount::Mass(Authored::new(
            Number::decimal(i64::try_from(1 + random.below(80)).unwrap(), -1).unwrap(),
            MassUnit::Ounce,
        )),
        3 => Amount::Count(Authored::new(
            Number::whole(1 + i64::try_from(random.below(8)).unwrap()),
            CountUnit,
        )),
        _ => Amount::Mass(Authored::new(number(random), MassUnit::Gram)),
    }
}

impl Piece {
    pub(crate) fn get() -> &'static Self {
        static PIECE: OnceLock<Piece> = OnceLock::new();
        PIECE.get_or_init(Self::new)
    }

    fn new() -> Self {
        let shape =
            Shape { ingredients: 60, levels: &[12, 4, 1], lines: 5, components: 0, ties: false };
        let mut book = generate(5, &shape);
        let mut random = Random(5);
        for at in 0..book.recipes.len() {
            let (taken, below) = match at {
                0..12 => (5, None),
                12..16 => (3, Some(3 * (at - 12))),
                _ => (4, Some(12)),
            };
            let lines = (0..taken).map(|nth| {
                let uses = match below {
                    None => Uses::Ingredient(book.ingredients[5 * at + nth].id.clone()),
                    Some(first) => Uses::Component(book.recipes[first + nth].id.clone()),
                };
                let amount = match below {
                    None => amount(&mut random),
                    Some(_) => Amount::Mass(Authored::new(
                        Number::whole(50 + i64::try_from(random.below(400)).unwrap()),
                        MassUnit::Gram,
                    )),
                };
                line(&book.recipes[at].lines[nth], uses, amount)
            });
            let lines = lines.collect();
            let recipe = &mut book.recipes[at];
            recipe.lines = lines;
            recipe.yields = None;
            recipe.losses =
                vec![chablon_model::Loss::Residue { stage: None, mass: "20 g".parse().unwrap() }];
            recipe.batch.max = Some("6 kg".parse().unwrap());
        }
        let count = Authored::new(Number::whole(24), CountUnit);
        book.recipes[16].yields = Some(Yield::Pieces { count, piece_mass: None, outline: None });
        let (compiled, problems) = compile(&Library::new(&book.ingredients, &book.recipes));
        assert_eq!(problems, []);
        Self { book, compiled, site: SiteKit::default() }
    }

    fn root(&self) -> RecipeIndex {
        self.compiled.find_recipe(&self.book.recipes[16].id).unwrap()
    }

    pub(crate) fn explosion(&self) -> Explosion<'_> {
        Explosion::new(&self.compiled, &[self.root()], Some(&self.site)).unwrap()
    }

    pub(crate) fn gram_costs(&self, explosion: &Explosion<'_>) -> GramCosts {
        let costs = gram_costs(&self.compiled, &self.book);
        explosion.gram_costs(currency(), |index| costs[index.0].clone())
    }

    /// The net grams of 1 to 64 pieces.
    pub(crate) fn demands(&self) -> Vec<Exact> {
        let piece = self.compiled.recipe(self.root()).piece_mass.clone().unwrap();
        (1u32..=64).map(|pieces| &piece * Exact::from(pieces)).collect()
    }

    /// The same lines, as they are authored, for a flat pass: the recipes users first, then the
    /// ingredients.
    pub(crate) fn flat(&self) -> FlatPiece {
        let compiled = &self.compiled;
        let count = compiled.recipes().len();
        let mut lines = Vec::new();
        let nodes = (0..count).rev().map(|at| {
            let recipe = &compiled.recipes()[at];
            let start = lines.len();
            let written = self.book.recipes.iter().find(|one| one.id == recipe.id).unwrap();
            let compiled_lines = compiled.lines_of(RecipeIndex(at));
            lines.extend(written.lines.iter().zip(compiled_lines).map(|(line, compiled_line)| {
                let slot = match compiled_line.uses {
                    Used::Ingredient(index) => count + index.0,
                    Used::Component(index) => count - 1 - index.0,
                };
                self.flat_line(slot, line)
            }));
            FlatNode {
                lines: start..lines.len(),
                input: float(&recipe.input()),
                factor: float(&recipe.factor),
                residue: float(&recipe.residue),
                capacity: recipe.batch_max.as_ref().map_or(f64::INFINITY, float),
            }
        });
        let nodes: Vec<FlatNode> = nodes.collect();
        let piece_mass = float(compiled.recipe(self.root()).piece_mass.as_ref().unwrap());
        FlatPiece { nodes, lines, prices: self.flat_prices(), piece_mass }
    }

    fn flat_line(&self, slot: usize, line: &chablon_model::Line) -> FlatLine {
        let (number, unit, grams) = match (&line.amount, &line.uses) {
            (Amount::Mass(mass), _) => (mass.number, mass.unit.factor(), Exact::from(1)),
            (Amount::Volume(volume), Uses::Ingredient(id)) => {
                let index = self.compiled.find_ingredient(id).unwrap();
                let density = self.compiled.ingredient(index).density.clone().unwrap();
                (volume.number, volume.unit.factor(), density)
            }
            (Amount::Count(count), Uses::Ingredient(id)) => {
                let index = self.compiled.find_ingredient(id).unwrap();
                let piece = self.compiled.ingredient(index).piece_mass.clone().unwrap();
                (count.number, Exact::from(1), piece)
            }
            _ => unreachable!("no such line is made"),
        };
        let number = float(&number.exact());
        FlatLine { slot, number, unit: float(&unit), grams: float(&grams) }
    }

    fn flat_prices(&self) -> Vec<FlatPrice> {
        let prices = self.compiled.ingredients().iter().map(|ingredient| {
            let price = self.book.prices.prices.iter().find(|one| one.ingredient == ingredient.id);
            let price = price.unwrap();
            let Pack::Mass(pack) = &price.pack else { unreachable!("packs are masses") };
            FlatPrice {
                edible_yield: float(&ingredient.edible_yield),
                pack: float(&pack.number.exact()),
                unit: float(&pack.unit.factor()),
                price: float(&price.price.exact()),
            }
        });
        prices.collect()
    }
}
