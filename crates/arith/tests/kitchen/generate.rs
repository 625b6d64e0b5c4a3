//! Invented books of any size, the same for the same seed.

use std::collections::BTreeMap;

use chablon_model::{
    Amount, Batch, Content, Day, Ingredient, Line, Pack, Price, PriceList, Recipe, Scaling, Text,
    Uses, Yield,
};
use chablon_quantity::{
    Authored, CountUnit, Currency, DensityUnit, MassUnit, MoneyAmount, Number, ShareUnit,
    VolumeUnit,
};

/// A small generator of numbers (splitmix64, Steele, Lea and Flood 2014), so that a seed gives
/// the same book on every machine and with every version of a library.
pub(crate) struct Random(pub(crate) u64);

impl Random {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A number from 0 up to this one, left out.
    pub(crate) fn below(&mut self, end: usize) -> usize {
        usize::try_from(self.next() % u64::try_from(end).unwrap()).unwrap()
    }

    pub(crate) fn of<T: Copy>(&mut self, choices: &[T]) -> T {
        choices[self.below(choices.len())]
    }
}

/// What a book is made of.
pub(crate) struct Shape<'a> {
    pub(crate) ingredients: usize,
    /// Recipes by level; those of the first use ingredients alone.
    pub(crate) levels: &'a [usize],
    pub(crate) lines: usize,
    /// Of the lines, those that take a recipe of a level below.
    pub(crate) components: usize,
    /// Whether amounts, yields and prices are such that halves of a digit are common.
    pub(crate) ties: bool,
}

pub(crate) struct Book {
    pub(crate) ingredients: Vec<Ingredient>,
    pub(crate) recipes: Vec<Recipe>,
    pub(crate) prices: PriceList,
}

fn tenths(value: usize) -> Number {
    Number::decimal(i64::try_from(value).unwrap(), -1).unwrap()
}

fn whole(value: usize) -> Number {
    Number::whole(i64::try_from(value).unwrap())
}

fn grams(number: Number) -> Authored<MassUnit> {
    Authored::new(number, MassUnit::Gram)
}

pub(crate) fn generate(seed: u64, shape: &Shape<'_>) -> Book {
    let mut random = Random(seed);
    let ingredients: Vec<Ingredient> =
        (0..shape.ingredients).map(|at| ingredient(at, &mut random, shape.ties)).collect();
    let prices = ingredients.iter().map(|one| price(one, &mut random, shape.ties)).collect();
    let prices = PriceList { id: "group".parse().unwrap(), site: None, prices, rates: Vec::new() };
    let mut recipes: Vec<Recipe> = Vec::new();
    for (level, &count) in shape.levels.iter().enumerate() {
        let below = recipes.len();
        for at in 0..count {
            let id = format!("r{level}-{at}");
            let recipe = recipe(&id, &ingredients, &recipes[..below], shape, &mut random);
            recipes.push(recipe);
        }
    }
    Book { ingredients, recipes, prices }
}

fn ingredient(at: usize, random: &mut Random, ties: bool) -> Ingredient {
    let yields: &[usize] = if ties { &[100, 100, 50] } else { &[100, 88, 95, 100, 72] };
    Ingredient {
        id: format!("i{at}").parse().unwrap(),
        name: Text::default(),
        label_name: Text::default(),
        density: Some(Authored::new(
            Number::decimal(i64::try_from(80 + random.below(60)).unwrap(), -2).unwrap(),
            DensityUnit { mass: MassUnit::Gram, volume: VolumeUnit::Millilitre },
        )),
        piece_mass: Some(grams(whole(20 + random.below(60)))),
        edible_yield: Some(Authored::new(whole(random.of(yields)), ShareUnit)),
        allergens: BTreeMap::new(),
        other_allergens: None,
        content: Content::default(),
        details: chablon_model::Details::default(),
        made_of: Vec::new(),
        note: None,
    }
}

pub(crate) fn currency() -> Currency {
    "EUR".parse().unwrap()
}

pub(crate) fn day() -> Day {
    Day::new(2026, 11, 1).unwrap()
}

fn price(ingredient: &Ingredient, random: &mut Random, ties: bool) -> Price {
    let kilograms = if ties { random.of(&[1, 1, 2, 5]) } else { 1 + random.below(25) };
    let step = if ties { 5 } else { 1 };
    let cents = i64::try_from(50 + step * random.below(2_000)).unwrap();
    // A price with the longest tail that can be written: as near to a tie as a book comes.
    let nudged = ties && random.below(8) == 0;
    let number = if nudged {
        Number::decimal(cents * 1_000_000_000_000 + random.of(&[-1, 1]), -14).unwrap()
    } else {
        Number::decimal(cents, -2).unwrap()
    };
    Price {
        ingredient: ingredient.id.clone(),
        pack: Pack::Mass(Authored::new(whole(kilograms), MassUnit::Kilogram)),
        price: MoneyAmount { number, currency: currency() },
        from: Day::new(2026, 1, 1).unwrap(),
        supplier: None,
        preferred: false,
    }
}

fn recipe(
    id: &str,
    ingredients: &[Ingredient],
    below: &[Recipe],
    shape: &Shape<'_>,
    random: &mut Random,
) -> Recipe {
    let mut total = 0;
    let lines = (0..shape.lines).map(|at| {
        let uses = if at < shape.components && !below.is_empty() {
            Uses::Component(below[random.below(below.len())].id.clone())
        } else {
            Uses::Ingredient(ingredients[random.below(ingredients.len())].id.clone())
        };
        let amount = if shape.ties { 10 * (1 + random.below(40)) } else { 1 + random.below(9999) };
        total += amount;
        let scaling = Scaling::Proportional;
        let amount = Amount::Mass(grams(tenths(amount)));
        Line { uses, amount, base: false, scaling, tolerance: None, step: None }
    });
    let lines = lines.collect();
    Recipe {
        id: id.parse().unwrap(),
        title: Text::default(),
        density: None,
        note: None,
        yields: Some(yields(total, random, shape.ties)),
        batch: Batch::default(),
        lines,
        losses: Vec::new(),
        steps: Vec::new(),
        storage: None,
        declared: chablon_model::DeclaredContent::default(),
    }
}

/// A declared yield within a few per cent of what goes in.
fn yields(input_tenths: usize, random: &mut Random, ties: bool) -> Yield {
    let pieces = if ties { random.of(&[1, 1, 2, 4, 5, 8, 10]) } else { 1 + random.below(60) };
    let net = input_tenths * (90 + random.below(11)) / 100;
    if ties {
        // A product of twos and fives: unit costs then end after a few digits, often in a 5.
        let round = [1, 2, 4, 5, 8].map(|n| largest_round(n, net)).into_iter().max().unwrap();
        let near = round * 100 > input_tenths * 85 && round * 100 < input_tenths * 115;
        let net = if near { round } else { net };
        return of_pieces(net, pieces);
    }
    match random.below(3) {
        0 => of_pieces(net, pieces),
        1 => Yield::Pieces {
            count: Authored::new(whole(pieces), CountUnit),
            piece_mass: None,
            outline: None,
        },
        _ => Yield::Mass(grams(tenths(net))),
    }
}

fn of_pieces(net_tenths: usize, pieces: usize) -> Yield {
    let each = i64::try_from(net_tenths).unwrap();
    let each = Number::fraction(0, each, u64::try_from(10 * pieces).unwrap()).unwrap();
    Yield::Pieces {
        count: Authored::new(whole(pieces), CountUnit),
        piece_mass: Some(grams(each)),
        outline: None,
    }
}

fn largest_round(start: usize, most: usize) -> usize {
    let mut round = start;
    while round * 10 <= most {
        round *= 10;
    }
    round
}
