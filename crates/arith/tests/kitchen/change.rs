//! Changed recipes and prices touch what depends on them, and come to what a fresh start would.

use chablon_arith::{
    CompiledBook, IngredientIndex, Library, MustCompile, PriceBook, RecipeIndex, Recost, compile,
    gram_cost_changes, recost,
};
use chablon_model::{Amount, Recipe, RecipeId};
use chablon_quantity::{Authored, Exact, MassUnit, Number};
use proptest::prelude::*;

use crate::book::*;
use crate::generate::{Random, Shape, currency, day, generate};

const SMALL: Shape<'_> =
    Shape { ingredients: 10, levels: &[6, 5, 4, 3], lines: 5, components: 2, ties: true };

fn same(a: &CompiledBook, b: &CompiledBook) {
    assert_eq!(a.recipes().len(), b.recipes().len());
    for at in 0..a.recipes().len() {
        let index = RecipeIndex(at);
        assert_eq!(a.lines_of(index), b.lines_of(index));
        let (mut a, mut b) = (a.recipe(index).clone(), b.recipe(index).clone());
        (a.lines, b.lines) = (0..0, 0..0);
        assert_eq!(a, b);
    }
}

/// Changes an amount of a recipe, and now and then adds or drops a line of an ingredient.
fn edit(recipe: &mut Recipe, random: &mut Random) {
    recipe.yields = None;
    let number = Number::whole(i64::try_from(1 + random.below(500)).unwrap());
    let last = recipe.lines.len() - 1;
    recipe.lines[last].amount = Amount::Mass(Authored::new(number, MassUnit::Gram));
    match random.below(4) {
        0 => recipe.lines.push(recipe.lines[last].clone()),
        1 if last > 2 => drop(recipe.lines.pop()),
        _ => {}
    }
}

proptest! {
    #[test]
    fn an_updated_book_is_the_book_compiled_anew(seed in any::<u64>()) {
        let mut invented = generate(seed, &SMALL);
        let (mut book, _) = compile(&Library::new(&invented.ingredients, &invented.recipes));
        let prices = invented.prices.clone();
        let prices = PriceBook::of_group(currency(), [&prices]);
        let mut costs = recost(&book, &prices, day());
        let mut random = Random(seed);
        for _ in 0..4 {
            let at = random.below(invented.recipes.len());
            let id: RecipeId = invented.recipes[at].id.clone();
            edit(&mut invented.recipes[at], &mut random);
            let library = Library::new(&invented.ingredients, &invented.recipes);
            let (fresh, problems) = compile(&library);
            let change = book.update(&library, std::slice::from_ref(&id)).unwrap();
            same(&book, &fresh);
            for problem in &change.problems {
                prop_assert!(problems.contains(problem));
            }
            let own = problems.iter().filter(|one| one.recipe() == Some(&id));
            prop_assert!(own.into_iter().all(|problem| change.problems.contains(problem)));
            let before = costs.clone();
            let touched = costs.follow(&book, &change);
            let anew = recost(&fresh, &prices, day());
            for at in 0..fresh.recipes().len() {
                let index = RecipeIndex(at);
                prop_assert_eq!(costs.unit_cost(index), anew.unit_cost(index));
                if !touched.contains(&index) {
                    prop_assert_eq!(costs.unit_cost(index), before.unit_cost(index));
                }
            }
        }
    }
}

#[test]
fn what_counts_or_measures_a_changed_recipe_follows_it() {
    let larder = [ingredient("flour")];
    let mut cream = recipe("cream", vec![take("flour", "1 kg")]);
    cream.density = Some(q("0.5 g/mL"));
    let cream = pieces(cream, "10", None);
    let by_count = recipe("by-count", vec![component("cream", "2 pieces")]);
    let by_volume = recipe("by-volume", vec![component("cream", "100 mL")]);
    let by_mass = recipe("by-mass", vec![component("cream", "100 g")]);
    let mut recipes = [cream, by_count, by_volume, by_mass];
    let (mut book, _) = compile(&Library::new(&larder, &recipes));
    recipes[0].density = Some(q("0.6 g/mL"));
    recipes[0] = pieces(recipes[0].clone(), "8", None);
    let library = Library::new(&larder, &recipes);
    let change = book.update(&library, &[recipes[0].id.clone()]).unwrap();
    same(&book, &compile(&library).0);
    let names = change.recipes.iter().map(|index| book.recipe(*index).id.as_str());
    assert_eq!(names.collect::<Vec<_>>(), ["cream", "by-count", "by-volume"]);
}

#[test]
fn a_change_of_structure_leaves_the_book_as_it_was() {
    let larder = [ingredient("flour")];
    let recipes = [
        recipe("a", vec![take("flour", "1 g")]),
        recipe("b", vec![take("flour", "1 g")]),
        recipe("c", vec![component("a", "1 g")]),
    ];
    let (mut book, _) = compile(&Library::new(&larder, &recipes));
    let before = book.clone();
    let changes = [
        recipe("c", vec![component("b", "1 g")]),
        recipe("c", vec![component("a", "1 g"), take("salt", "1 g")]),
        recipe("c", vec![component("a", "0 g")]),
        recipe("d", vec![take("flour", "1 g")]),
    ];
    for changed in changes {
        let id = changed.id.clone();
        let mut all = recipes.to_vec();
        all[0].lines[0].amount = amount("7 g");
        all.retain(|one| one.id != id);
        all.push(changed);
        let library = Library::new(&larder, &all);
        let error = book.update(&library, &["a".parse().unwrap(), id]).unwrap_err();
        assert_eq!(error, MustCompile);
        same(&book, &before);
    }
}

#[test]
fn figures_of_another_book_start_anew() {
    let (one, other) = (generate(1, &SMALL), generate(2, &Shape { levels: &[9, 2], ..SMALL }));
    let (book, _) = compile(&Library::new(&one.ingredients, &one.recipes));
    let (second, _) = compile(&Library::new(&other.ingredients, &other.recipes));
    let cost = |at: usize| Some(Exact::from(u64::try_from(at).unwrap()) / n("1000"));
    let costs: Vec<_> = (0..10).map(cost).collect();
    let mut moved = Recost::new(&book, costs.clone());
    let touched = moved.change(&second, &[(IngredientIndex(99), None)]);
    assert_eq!(touched.len(), second.recipes().len());
    let fresh = Recost::new(&second, costs);
    for index in touched {
        assert_eq!(moved.unit_cost(index), fresh.unit_cost(index));
    }
    assert_eq!(moved.unit_cost(RecipeIndex(999)), None);
}

#[test]
fn a_price_shock_says_who_is_hit_and_how_hard() {
    let larder = [ingredient("butter"), ingredient("flour")];
    let dough = recipe("dough", vec![take("butter", "500 g"), take("flour", "500 g")]);
    let roll = pieces(recipe("roll", vec![component("dough", "1 kg")]), "20", None);
    let sable = recipe("sable", vec![take("butter", "750 g"), take("flour", "250 g")]);
    let bread = recipe("bread", vec![take("flour", "1 kg")]);
    let recipes = [dough, roll, sable, bread];
    let (book, _) = compile(&Library::new(&larder, &recipes));
    let later =
        chablon_model::Price { from: day_of("2026-07-01"), ..price("butter", "1 kg", "9 EUR") };
    let prices = vec![price("butter", "1 kg", "6 EUR"), price("flour", "1 kg", "2 EUR"), later];
    let lists = [list("group", prices)];
    let prices = PriceBook::of_group(currency(), &lists);
    let changes =
        gram_cost_changes(&book, (&prices, day_of("2026-06-30")), (&prices, day_of("2026-07-01")));
    let mut costs = recost(&book, &prices, day_of("2026-06-30"));
    let shocks = costs.shock(&book, &changes);
    let shown = shocks.iter().map(|shock| {
        let id = book.recipe(shock.recipe).id.as_str();
        let cost = |cost: &chablon_arith::UnitCost| {
            cost.per_piece.clone().unwrap_or_else(|| cost.per_gram.clone()).to_string()
        };
        let change = (shock.change.clone().unwrap() * n("100")).round(2);
        format!("{id} {} {} {change}", cost(&shock.before), cost(&shock.after))
    });
    let expected =
        ["sable 0.0050 0.0073 45.00", "dough 0.0040 0.0055 37.50", "roll 0.2000 0.2750 37.50"];
    assert_eq!(shown.collect::<Vec<_>>(), expected);
    assert_eq!(costs.unit_cost(shocks[0].recipe), Some(shocks[0].after.clone()));
}

fn day_of(text: &str) -> chablon_model::Day {
    text.parse().unwrap()
}
