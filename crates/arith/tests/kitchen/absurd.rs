//! Models that no kitchen has get an answer or a clear refusal, never a panic or a hang.

use std::num::NonZeroU32;
use std::time::{Duration, Instant};

use chablon_arith::{
    Demand, Library, PriceBook, Recost, SiteKit, Target, check_prices, compile, cost, explode,
    plan, recost, standard_costs,
};
use chablon_model::{
    Amount, Batch, Ingredient, Line, Load, Loss, LossKind, Mould, Outline, Pack, PieceSize, Price,
    Recipe, Scaling, Shape, ShapeAmount, Sheet, SheetLayout, SheetYield, Tray, Uses, Yield,
};
use chablon_quantity::{
    Authored, CountUnit, DensityUnit, Exact, LengthUnit, MassUnit, MoneyAmount, Number, ShareUnit,
    VolumeUnit,
};
use proptest::prelude::*;

use crate::book::*;

/// Far more than any of these takes, far less than a hang.
const PATIENCE: Duration = Duration::from_mins(1);

fn demand(id: &str, target: Target) -> Demand {
    Demand::new(id.parse().unwrap(), target)
}

#[test]
fn ten_to_the_thirty_pieces() {
    let tart = pieces(recipe("tart", vec![take("flour", "100 g")]), "3", Some("33 g"));
    let tart = at_most(tart, "6 kg");
    let (book, _) = compile(&Library::new(&[ingredient("flour")], &[tart]));
    let many = demand("tart", Target::Pieces(Exact::power_of_ten(30)));
    let plan = plan(&book, std::slice::from_ref(&many), None).unwrap();
    assert_eq!(plan.components[0].pieces, Some(Exact::power_of_ten(30)));
    assert_eq!(plan.components[0].batches, (Exact::power_of_ten(30) / n("180")).ceil());
    let mass = &plan.ingredients[0].mass;
    assert_eq!(explode(&book, &many, None).unwrap()[0].1, mass.round(3));
    let flour = "flour".parse().unwrap();
    let target = Target::OnHand { ingredient: flour, mass: Exact::power_of_ten(32) };
    let back = chablon_arith::plan(&book, &[demand("tart", target)], None).unwrap();
    assert_eq!(back.products[0].pieces, Some(n("3") * Exact::power_of_ten(30)));
}

fn chain(levels: usize, amount: &str) -> Vec<Recipe> {
    let id = |level: usize| format!("level-{level}");
    (0..levels)
        .map(|level| {
            if level == 0 {
                return recipe(&id(0), vec![take("flour", "1 g")]);
            }
            let below = id(level - 1);
            recipe(&id(level), vec![component(&below, amount), component(&below, amount)])
        })
        .collect()
}

#[test]
fn sixty_levels_of_doublings() {
    let recipes: Vec<Recipe> =
        chain(60, "1 g").into_iter().map(|one| pieces(one, "1", Some("1 g"))).collect();
    let mut recipes = recipes;
    for recipe in &mut recipes[1..] {
        // Two pieces of the level below make one of this: half of it is lost.
        recipe.losses =
            vec![Loss::Stage { stage: None, kind: LossKind::Whole, fraction: q("50 %") }];
    }
    let larder = [ingredient("flour")];
    let (book, problems) = compile(&Library::new(&larder, &recipes));
    assert_eq!(problems, []);
    let top = demand("level-59", Target::pieces(1));
    let plan = plan(&book, std::slice::from_ref(&top), None).unwrap();
    let doubled = n("576460752303423488");
    assert_eq!(plan.ingredients[0].mass, doubled);
    assert_eq!(explode(&book, &top, None).unwrap()[0].1, doubled.round(3));
    assert_eq!(plan.components.len(), 60);
}

#[test]
fn a_hundred_thousand_levels() {
    let start = Instant::now();
    let recipes = chain(100_000, "7 g");
    let larder = [ingredient("flour")];
    let (book, problems) = compile(&Library::new(&larder, &recipes));
    assert_eq!(problems, []);
    let plan = plan(&book, &[demand("level-99999", Target::grams(14))], None).unwrap();
    assert_eq!((plan.components.len(), &plan.ingredients[0].mass), (100_000, &n("14")));
    let recost = Recost::new(&book, vec![Some(n("1/2000"))]);
    let last = chablon_arith::RecipeIndex(99_999);
    assert_eq!(recost.unit_cost(last).unwrap().per_gram, n("1/2000").round(4));
    assert!(start.elapsed() < PATIENCE, "{:?}", start.elapsed());
}

#[test]
fn a_hundred_thousand_levels_over_a_loop() {
    let start = Instant::now();
    let mut recipes = chain(100_000, "7 g");
    recipes[0].lines.push(component("level-3", "1 g"));
    let larder = [ingredient("flour")];
    let (book, problems) = compile(&Library::new(&larder, &recipes));
    assert_eq!(book.recipes().len(), 0);
    assert_eq!(problems.iter().filter(|one| one.code() == "cycle").count(), 1);
    assert_eq!(problems.len(), 100_000 - 3);
    assert!(start.elapsed() < PATIENCE, "{:?}", start.elapsed());
}

#[test]
fn a_chain_that_makes_numbers_explode_is_refused() {
    let start = Instant::now();
    let mut recipes = chain(5000, "7 g");
    for (level, recipe) in recipes.iter_mut().enumerate() {
        // Pieces of a mass with a denominator of its own, counted by the next.
        let mass = format!("{}/{} g", 2 * level + 999_999_937, 2 * level + 1_000_000_007);
        *recipe = pieces(recipe.clone(), "1", None);
        recipe.losses.push(Loss::Residue { stage: None, mass: q(&mass) });
        for line in &mut recipe.lines {
            line.amount = match line.uses {
                Uses::Component(_) => amount("3 pieces"),
                Uses::Ingredient(_) => amount("9 g"),
            };
        }
    }
    let larder = [ingredient("flour")];
    let (book, problems) = compile(&Library::new(&larder, &recipes));
    assert!(problems.iter().any(|one| one.code() == "number-too-large"), "{}", problems.len());
    assert!(book.recipes().len() > 100, "{}", book.recipes().len());
    assert!(start.elapsed() < PATIENCE, "{:?}", start.elapsed());
}

#[test]
fn a_hundred_thousand_lines() {
    let start = Instant::now();
    let lines = (0..100_000).map(|_| take("flour", "0.123 g")).collect();
    let recipes = [recipe("mix", lines)];
    let larder = [ingredient("flour")];
    let (book, problems) = compile(&Library::new(&larder, &recipes));
    assert_eq!(problems, []);
    let site = SiteKit::from(&scale(site("harbour"), "bench", "6 kg", "1 g"));
    let plan = plan(&book, &[demand("mix", Target::grams(1))], Some(&site)).unwrap();
    assert_eq!(plan.ingredients[0].mass, n("1"));
    // Every line reads 0 and is flagged, with hints.
    assert_eq!(plan.components[0].warnings.len(), 100_000);
    assert!(start.elapsed() < PATIENCE, "{:?}", start.elapsed());
}

#[test]
fn a_million_lines() {
    let start = Instant::now();
    let lines = vec![take("flour", "0.123 g"); 1_000_000];
    let recipes = [recipe("mix", lines)];
    let larder = [ingredient("flour")];
    let (book, problems) = compile(&Library::new(&larder, &recipes));
    assert_eq!(problems, []);
    let asked = demand("mix", Target::grams(1));
    let plan = plan(&book, std::slice::from_ref(&asked), None).unwrap();
    assert_eq!((plan.components[0].lines.len(), &plan.ingredients[0].mass), (1_000_000, &n("1")));
    assert_eq!(explode(&book, &asked, None).unwrap()[0].1, n("1").round(3));
    let cost = Recost::new(&book, vec![Some(n("1/2000"))]);
    let unit = cost.unit_cost(chablon_arith::RecipeIndex(0)).unwrap();
    assert_eq!(unit.per_gram, n("1/2000").round(4));
    assert!(start.elapsed() < 5 * PATIENCE, "{:?}", start.elapsed());
}

#[test]
fn a_sum_that_grows_too_long_is_refused() {
    let start = Instant::now();
    let odd = |at: u64| Number::fraction(0, 1, 2 * at + 1_000_000_007).unwrap();
    let lines = (0..50_000).map(|at| {
        let mass = Authored::new(odd(at), MassUnit::Gram);
        Line { amount: Amount::Mass(mass), ..take("flour", "1 g") }
    });
    let recipes = [recipe("mix", lines.collect())];
    let (_, problems) = compile(&Library::new(&[ingredient("flour")], &recipes));
    assert_eq!(problems[0].code(), "number-too-large");
    assert!(start.elapsed() < PATIENCE, "{:?}", start.elapsed());
}

#[test]
fn on_hand_among_countless_batches_ends() {
    let start = Instant::now();
    let crumb = at_most(
        recipe("crumb", vec![take("flour", "2 g"), per_batch(take("salt", "1 g"))]),
        "1003/1000 g",
    );
    let cake = recipe("cake", vec![component("crumb", "1 kg"), per_batch(take("salt", "300 g"))]);
    let cake = at_most(cake, "1 kg");
    let larder = [ingredient("flour"), ingredient("salt")];
    let recipes = [crumb, cake];
    let (book, _) = compile(&Library::new(&larder, &recipes));
    for (ingredient, mass) in [("flour", "100000"), ("salt", "99999999999"), ("salt", "301")] {
        let target = Target::OnHand { ingredient: ingredient.parse().unwrap(), mass: n(mass) };
        if let Err(error) = plan(&book, &[demand("cake", target)], None) {
            let expected = ["on-hand-undecided", "on-hand-too-little", "below-per-batch"];
            assert!(expected.contains(&error.code()), "{error}");
        }
    }
    assert!(start.elapsed() < PATIENCE, "{:?}", start.elapsed());
}

/// A small number, a nasty one among them now and then.
fn any_number() -> impl Strategy<Value = Number> {
    let decimals = [0, 1, -1, 1000, i64::MAX / 10, -999_999_999_999_999_999];
    prop_oneof![
        8 => (0i64..2000).prop_map(Number::whole),
        1 => (prop::sample::select(decimals.to_vec()), -18i8..=18)
            .prop_map(|(digits, exponent)| Number::decimal(digits, exponent).unwrap_or(Number::whole(0))),
        1 => (any::<i32>(), 1u32..).prop_map(|(above, below)| {
            Number::fraction(0, above.into(), below.into()).unwrap()
        }),
    ]
}

fn any_amount() -> impl Strategy<Value = Amount> {
    let mass = any_number().prop_map(|one| Amount::Mass(Authored::new(one, MassUnit::Ounce)));
    prop_oneof![
        4 => mass,
        1 => any_number().prop_map(|one| Amount::Volume(Authored::new(one, VolumeUnit::Cup))),
        1 => any_number().prop_map(|one| Amount::Count(Authored::new(one, CountUnit))),
        1 => any_number().prop_map(|one| Amount::Share(Authored::new(one, ShareUnit))),
        1 => any_shape().prop_map(|shape| Amount::Shape(Box::new(shape))),
        1 => Just(Amount::ToTaste),
    ]
}

fn any_length() -> impl Strategy<Value = Authored<LengthUnit>> {
    any_number().prop_map(|one| Authored::new(one, LengthUnit::Millimetre))
}

fn any_outline() -> BoxedStrategy<Outline> {
    prop_oneof![
        any_length().prop_map(|diameter| Outline::Disc { diameter }),
        (any_length(), any_length()).prop_map(|(outer, inner)| Outline::Ring { outer, inner }),
        (any_length(), any_length())
            .prop_map(|(length, width)| Outline::Rectangle { length, width }),
        (any_length(), any_length())
            .prop_map(|(diameter, height)| Outline::StripAround { diameter, height }),
    ]
    .boxed()
}

fn any_shape() -> BoxedStrategy<ShapeAmount> {
    let flat = (any_outline(), any_length())
        .prop_map(|(outline, thickness)| Shape::Flat { outline, thickness });
    let savarin =
        (any_length(), any_length()).prop_map(|(outer, tube)| Mould::Savarin { outer, tube });
    let share = prop::option::of(any_number().prop_map(|one| Authored::new(one, ShareUnit)));
    let fill = (savarin, share).prop_map(|(mould, share)| Shape::Fill { mould, share });
    let count = prop::option::of(any_number().prop_map(|one| Authored::new(one, CountUnit)));
    (prop_oneof![flat, fill], count).prop_map(|(shape, count)| ShapeAmount { shape, count }).boxed()
}

fn any_sheet() -> BoxedStrategy<Sheet> {
    let free = || prop::option::of(any_length());
    (any_length(), any_length(), free(), free())
        .prop_map(|(length, width, gap, edge)| Sheet { length, width, gap, edge })
        .boxed()
}

fn any_load() -> BoxedStrategy<Load> {
    let tray =
        prop_oneof![any::<NonZeroU32>().prop_map(Tray::Pieces), any_sheet().prop_map(Tray::Sides)];
    (any::<NonZeroU32>(), tray).prop_map(|(trays, tray)| Load { trays, tray }).boxed()
}

fn any_sheet_yield() -> BoxedStrategy<SheetYield> {
    let layout = prop::sample::select(SheetLayout::ALL);
    let each = prop::option::of(any_length().prop_map(PieceSize::Thickness));
    (any_sheet(), any_outline(), layout, any::<NonZeroU32>(), each)
        .prop_map(|(sheet, piece, layout, sheets, each)| SheetYield {
            sheet,
            piece,
            layout,
            sheets,
            each,
        })
        .boxed()
}

fn any_line() -> impl Strategy<Value = Line> {
    let uses = prop_oneof![
        3 => (0u8..5).prop_map(|at| Uses::Ingredient(format!("i{at}").parse().unwrap())),
        2 => (0u8..7).prop_map(|at| Uses::Component(format!("r{at}").parse().unwrap())),
    ];
    let scaling = prop::sample::select(Scaling::ALL.to_vec());
    let tolerance = prop::option::of(any_number().prop_map(|one| Authored::new(one, ShareUnit)));
    (uses, any_amount(), any::<bool>(), scaling, tolerance).prop_map(
        |(uses, amount, base, scaling, tolerance)| Line {
            uses,
            amount,
            base,
            scaling,
            tolerance,
            step: None,
        },
    )
}

fn any_recipe(at: usize) -> impl Strategy<Value = Recipe> {
    let mass = || any_number().prop_map(|one| Authored::new(one, MassUnit::Gram));
    let yields = prop::option::of(prop_oneof![
        mass().prop_map(Yield::Mass),
        (any_number(), prop::option::of(mass()), prop::option::of(any_outline())).prop_map(
            |(count, piece_mass, outline)| Yield::Pieces {
                count: Authored::new(count, CountUnit),
                piece_mass,
                outline
            }
        ),
        any_sheet_yield().prop_map(|made| Yield::Sheet(Box::new(made))),
    ]);
    let loss = prop_oneof![
        any_number().prop_map(|one| Loss::Stage {
            stage: None,
            kind: LossKind::Water,
            fraction: Authored::new(one, ShareUnit)
        }),
        mass().prop_map(|mass| Loss::Residue { stage: None, mass }),
    ];
    let losses = prop::collection::vec(loss, 0..2);
    let density = prop::option::of(any_number().prop_map(|number| {
        let unit = DensityUnit { mass: MassUnit::Pound, volume: VolumeUnit::Pint };
        Authored::new(number, unit)
    }));
    let bounds = (prop::option::of(mass()), prop::option::of(mass()));
    let lines = prop::collection::vec(any_line(), 0..6);
    (yields, losses, density, bounds, lines).prop_map(
        move |(yields, losses, density, (max, min), lines)| {
            let batch = Batch { max, min, equipment: Some("mixer".parse().unwrap()) };
            Recipe { yields, losses, density, batch, ..recipe(&format!("r{at}"), lines) }
        },
    )
}

fn any_ingredient(at: usize) -> impl Strategy<Value = Ingredient> {
    (any_number(), any_number(), any_number()).prop_map(move |(density, piece, part)| Ingredient {
        density: Some(Authored::new(
            density,
            DensityUnit { mass: MassUnit::Gram, volume: VolumeUnit::Millilitre },
        )),
        piece_mass: Some(Authored::new(piece, MassUnit::Gram)),
        edible_yield: Some(Authored::new(part, ShareUnit)),
        ..ingredient(&format!("i{at}"))
    })
}

fn any_price(at: usize) -> impl Strategy<Value = Price> {
    (any_number(), any_number()).prop_map(move |(pack, number)| Price {
        pack: Pack::Count(Authored::new(pack, CountUnit)),
        price: MoneyAmount { number, currency: "EUR".parse().unwrap() },
        ..price(&format!("i{at}"), "1 kg", "1 EUR")
    })
}

fn any_target() -> impl Strategy<Value = Target> {
    any_number().prop_flat_map(|number| {
        let amount = number.exact();
        let on_hand = Target::OnHand { ingredient: "i1".parse().unwrap(), mass: amount.clone() };
        prop::sample::select(vec![
            Target::Pieces(amount.clone()),
            Target::NetMass(amount.clone()),
            Target::Factor(amount.clone()),
            Target::WrittenBatches(amount),
            on_hand,
        ])
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(600))]

    #[test]
    fn any_model_gets_an_answer(
        recipes in (0..6usize).map(any_recipe).collect::<Vec<_>>(),
        ingredients in (0..4usize).map(any_ingredient).collect::<Vec<_>>(),
        prices in (0..4usize).map(any_price).collect::<Vec<_>>(),
        targets in prop::collection::vec(any_target(), 6),
        scales in prop::collection::vec((any_number(), any_number()), 0..3),
        bowl in any_number(),
        load in prop::option::of(any_load()),
    ) {
        let library = Library::new(&ingredients, &recipes);
        let (book, problems) = compile(&library);
        for problem in &problems {
            prop_assert!(!problem.to_string().is_empty() && !problem.hint().is_empty());
        }
        let scale = |(capacity, increment): (Number, Number)| chablon_arith::ScaleKit {
            name: "bench".to_owned(),
            capacity: capacity.exact(),
            increment: increment.exact(),
        };
        let site = SiteKit {
            scales: scales.into_iter().map(scale).collect(),
            capacities: [("mixer".parse().unwrap(), bowl.exact())].into(),
            loads: load.into_iter().map(|load| ("mixer".parse().unwrap(), load)).collect(),
        };
        let lists = [list("group", prices)];
        let _ = check_prices(&library, &book, &lists);
        let prices = PriceBook::of_group("EUR".parse().unwrap(), &lists);
        let today = day("2026-06-01");
        let exact = standard_costs(&book, &prices, today);
        let quick = recost(&book, &prices, today);
        for (at, exact) in exact.into_iter().enumerate() {
            if let (Some(exact), Some(quick)) = (exact, quick.unit_cost(chablon_arith::RecipeIndex(at))) {
                prop_assert_eq!(quick.per_gram, exact.per_gram.round(4));
                prop_assert_eq!(quick.complete, exact.complete);
            }
        }
        for (recipe, target) in recipes.iter().zip(targets) {
            let asked = Demand::new(recipe.id.clone(), target);
            match plan(&book, std::slice::from_ref(&asked), Some(&site)) {
                Ok(plan) => {
                    let costing = cost(&book, &plan, &prices, today);
                    prop_assert!(!costing.total.is_negative());
                    for (index, mass) in explode(&book, &asked, Some(&site)).unwrap() {
                        let id = &book.ingredient(index).id;
                        let total = plan.ingredients.iter().find(|one| one.ingredient == *id);
                        prop_assert_eq!(total.unwrap().mass.round(3), mass);
                    }
                }
                Err(error) => {
                    prop_assert!(!error.to_string().is_empty() && !error.hint().is_empty());
                    prop_assert!(explode(&book, &asked, Some(&site)).is_err());
                }
            }
        }
    }
}
