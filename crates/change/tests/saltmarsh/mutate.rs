//! Random changes of the demonstration book, as values.

use chablon_model::{
    Allergen, AllergenState, Amount, Control, DocumentContent, Ingredient, Line, Loss, Nutrient,
    PriceList, Recipe, Scaling, SetPoint, Site, Step, Storage, Uses, Yield,
};
use chablon_quantity::{Authored, Number, Unit};
use proptest::prelude::*;

/// A random change: what, where, and how far.
#[derive(Clone, Debug)]
pub(crate) struct Mutation {
    kind: usize,
    document: usize,
    at: usize,
    other: usize,
    by: i64,
}

pub(crate) fn mutation() -> impl Strategy<Value = Mutation> {
    (0..KINDS, any::<usize>(), any::<usize>(), any::<usize>(), 1..40_i64)
        .prop_map(|(kind, document, at, other, by)| Mutation { kind, document, at, other, by })
}

/// A change after which something else is meant, if anything is changed at all: a factor may only
/// write an amount otherwise, and a step or an ingredient may come to say what went without
/// saying.
pub(crate) fn meant() -> impl Strategy<Value = Mutation> {
    mutation().prop_filter("means something", |one| ![0, 1, 17, OF_RECIPES].contains(&one.kind))
}

impl Mutation {
    /// Whether it is of what a recipe weighs, does or yields, and not of an order or a translation.
    pub(crate) fn is_of_the_bench(&self) -> bool {
        self.kind < OF_RECIPES && ![5, 11, 23].contains(&self.kind)
    }
}

pub(crate) fn mutations() -> impl Strategy<Value = Vec<Mutation>> {
    prop::collection::vec(mutation(), 0..6)
}

/// How many kinds of change there are: those of recipes, then the others.
const KINDS: usize = OF_RECIPES + 8;
const OF_RECIPES: usize = 26;

/// The documents with all of these changes.
pub(crate) fn mutated(documents: &[DocumentContent], by: &[Mutation]) -> Vec<DocumentContent> {
    let mut documents = documents.to_vec();
    for mutation in by {
        mutate(&mut documents, mutation);
    }
    documents
}

fn mutate(documents: &mut Vec<DocumentContent>, by: &Mutation) {
    if by.kind < OF_RECIPES {
        let ingredient = pick_ingredient(documents, by).id.clone();
        let mut recipes: Vec<&mut Recipe> = documents.iter_mut().filter_map(as_recipe).collect();
        let count = recipes.len();
        return of_recipe(recipes[by.document % count], &Uses::Ingredient(ingredient), by);
    }
    match by.kind - OF_RECIPES {
        0..4 => {
            let id = pick_ingredient(documents, by).id.clone();
            let ingredients = documents.iter_mut().filter_map(as_ingredient);
            ingredients.filter(|one| one.id == id).for_each(|one| of_ingredient(one, by));
        }
        4 => of_prices(pick(documents, by, as_prices), by),
        5 => of_site(pick(documents, by, as_site), by),
        6 => {
            let mut copy = pick(documents, by, as_recipe).clone();
            copy.id = format!("variant-{}", by.by).parse().unwrap();
            documents.retain(|one| one.key() != (&copy.id).into());
            documents.push(DocumentContent::Recipe(copy));
        }
        _ => {
            let at = by.document % documents.len();
            if !matches!(documents[at], DocumentContent::Book(_)) && documents.len() > 60 {
                documents.remove(at);
            }
        }
    }
}

fn pick<'d, T>(
    documents: &'d mut [DocumentContent],
    by: &Mutation,
    of: impl Fn(&'d mut DocumentContent) -> Option<&'d mut T>,
) -> &'d mut T {
    let mut all: Vec<&mut T> = documents.iter_mut().filter_map(of).collect();
    let at = by.document % all.len();
    all.swap_remove(at)
}

fn pick_ingredient<'d>(documents: &'d [DocumentContent], by: &Mutation) -> &'d Ingredient {
    let all: Vec<&Ingredient> = documents
        .iter()
        .filter_map(|one| match one {
            DocumentContent::Ingredient(one) => Some(one),
            _ => None,
        })
        .collect();
    all[by.other % all.len()]
}

fn as_recipe(document: &mut DocumentContent) -> Option<&mut Recipe> {
    match document {
        DocumentContent::Recipe(one) => Some(one),
        _ => None,
    }
}

fn as_ingredient(document: &mut DocumentContent) -> Option<&mut Ingredient> {
    match document {
        DocumentContent::Ingredient(one) => Some(one),
        _ => None,
    }
}

fn as_prices(document: &mut DocumentContent) -> Option<&mut PriceList> {
    match document {
        DocumentContent::Prices(one) => Some(one),
        _ => None,
    }
}

fn as_site(document: &mut DocumentContent) -> Option<&mut Site> {
    match document {
        DocumentContent::Site(one) => Some(one),
        _ => None,
    }
}

fn of_recipe(recipe: &mut Recipe, uses: &Uses, by: &Mutation) {
    if by.kind < 10 {
        of_lines(recipe, uses, by);
    } else if by.kind < 20 {
        of_steps(recipe, by);
    } else {
        of_rest(recipe, by);
    }
}

fn of_lines(recipe: &mut Recipe, uses: &Uses, by: &Mutation) {
    let count = recipe.lines.len();
    let (at, other) = (by.at % count.max(1), by.other % count.max(1));
    if count == 0 {
        return;
    }
    match by.kind {
        0 | 1 => recipe.lines[at].amount = times(&recipe.lines[at].amount, by.by),
        2 => {
            recipe.lines.remove(at);
        }
        3 => {
            let amount = grams(by.by);
            let line = Line { uses: uses.clone(), amount, ..recipe.lines[at].clone() };
            recipe.lines.insert(other, line);
        }
        4 => recipe.lines[at].uses = uses.clone(),
        5 => recipe.lines.swap(at, other),
        6 => {
            let half = Line { amount: grams(by.by), ..recipe.lines[at].clone() };
            recipe.lines.insert(at, half);
        }
        7 => recipe.lines[at].scaling = Scaling::ALL[by.other % Scaling::ALL.len()],
        8 => recipe.lines[at].tolerance = Some(quantity(by.by)),
        _ => recipe.lines[at].base = !recipe.lines[at].base,
    }
}

fn of_steps(recipe: &mut Recipe, by: &Mutation) {
    let count = recipe.steps.len();
    if count == 0 {
        return;
    }
    let (at, other) = (by.at % count, by.other % count);
    let step = &mut recipe.steps[at];
    match by.kind {
        10 => step.text.0.values_mut().for_each(|text| text.push('!')),
        11 => step.text.0.retain(|language, _| language.as_str() == "en"),
        12 => step.active = Some(quantity(by.by)),
        13 => step.passive = None,
        14 => recipe.steps.swap(at, other),
        15 => {
            let id = recipe.steps.remove(at).id;
            let lines = recipe.lines.iter_mut();
            lines.filter(|line| line.step.as_ref() == Some(&id)).for_each(|line| line.step = None);
        }
        16 => {
            let id = format!("step-{}", by.by).parse().unwrap();
            if !recipe.steps.iter().any(|step| step.id == id) {
                recipe.steps.insert(other, Step { id, ..recipe.steps[at].clone() });
            }
        }
        17 => recipe.steps[at].after = Some(vec![recipe.steps[other].id.clone()]),
        _ => of_controls(&mut recipe.steps[at], by),
    }
}

fn of_controls(step: &mut Step, by: &Mutation) {
    let count = step.controls.len();
    let new = Control {
        measure: chablon_model::Measure::Temperature,
        target: None,
        min: Some(SetPoint::Temperature(quantity(by.by))),
        max: None,
        critical: by.other.is_multiple_of(2),
    };
    match by.other % 4 {
        _ if count == 0 => step.controls.push(new),
        0 => step.controls[by.at % count] = new,
        1 => step.controls[by.at % count].critical ^= true,
        2 => {
            step.controls.remove(by.at % count);
        }
        _ => step.controls.insert(0, new),
    }
}

fn of_rest(recipe: &mut Recipe, by: &Mutation) {
    match by.kind {
        20 => recipe.yields = Some(Yield::Mass(quantity(by.by * 100 + 1))),
        21 => {
            if let Some(Yield::Pieces { piece_mass, .. }) = &mut recipe.yields {
                *piece_mass = Some(quantity(by.by));
            }
        }
        22 => {
            if let Some(Loss::Stage { fraction, .. }) = recipe.losses.first_mut() {
                *fraction = quantity(by.by);
            }
        }
        23 => recipe.losses.reverse(),
        24 => recipe.batch.max = Some(quantity(by.by * 1000 + 1)),
        _ => {
            let keeps = Some(quantity(by.by));
            recipe.storage = Some(Storage { condition: chablon_model::Condition::Chilled, keeps });
        }
    }
}

fn of_ingredient(ingredient: &mut Ingredient, by: &Mutation) {
    match by.kind - OF_RECIPES {
        0 => {
            let codes = Allergen::codes();
            let code = codes[by.at % codes.len()].parse().unwrap();
            let state = AllergenState::ALL[usize::try_from(by.by).unwrap() % 4];
            ingredient.allergens.insert(code, state);
        }
        1 => ingredient.other_allergens = None,
        2 => {
            let nutrient = Nutrient::ALL[by.at % Nutrient::ALL.len()];
            ingredient.content.0.insert(nutrient, quantity(by.by));
        }
        _ => ingredient.density = None,
    }
}

fn of_prices(list: &mut PriceList, by: &Mutation) {
    let count = list.prices.len();
    let at = by.at % count;
    match by.other % 4 {
        0 => list.prices[at].price.number = Number::decimal(by.by * 100 + 3, -2).unwrap(),
        1 => {
            list.prices.remove(at);
        }
        2 => list.prices.push(list.prices[at].clone()),
        _ => list.prices[at].preferred ^= true,
    }
}

fn of_site(site: &mut Site, by: &Mutation) {
    match by.other % 3 {
        0 => site.scales.truncate(1),
        1 => site.language = None,
        _ => site.groups.truncate(1),
    }
}

fn grams(of: i64) -> Amount {
    Amount::Mass(quantity(of))
}

/// So many of a dimension's second unit, which for mass is the gram.
fn quantity<U: Unit>(of: i64) -> Authored<U> {
    let units = U::all();
    Authored::new(Number::whole(of), *units.get(1).unwrap_or(&units[0]))
}

fn times(amount: &Amount, tenths: i64) -> Amount {
    match amount {
        Amount::Mass(mass) => {
            let number = mass.number.exact() * Number::decimal(tenths, -1).unwrap().exact();
            let micro = number.round(6).units();
            let number = Number::decimal(micro.to_string().parse().unwrap(), -6).unwrap();
            Amount::Mass(Authored::new(number, mass.unit))
        }
        other => other.clone(),
    }
}
