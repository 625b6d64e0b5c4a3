//! Published worked examples. The source stands beside each; where a source rounded or cut its own
//! figures, the tolerance says so.

use chablon_arith::{
    CompiledBook, Costing, Demand, Library, Plan, PriceBook, Target, compile, cost, plan,
    standard_costs,
};
use chablon_model::{Ingredient, PriceList, Recipe};
use chablon_quantity::Exact;
use test_case::test_case;

use crate::book::*;

const POUND: &str = "45359237/100000";
const OUNCE: &str = "45359237/1600000";

fn compiled(larder: &[Ingredient], recipe: &Recipe) -> CompiledBook {
    let (book, problems) = compile(&Library::new(larder, [recipe]));
    assert!(problems.iter().all(|one| one.code() == "unexplained-loss"), "{problems:?}");
    book
}

fn planned(larder: &[Ingredient], recipe: &Recipe, target: Target) -> Plan {
    let book = compiled(larder, recipe);
    plan(&book, &[Demand::new(recipe.id.clone(), target)], None).unwrap()
}

/// Whether a figure is as published, give or take half of the last digit that was printed.
fn is_near(figure: &Exact, published: &str, within: &str) -> bool {
    (figure - decimal(published)).abs() <= decimal(within)
}

fn decimal(text: &str) -> Exact {
    text.parse::<chablon_quantity::Number>().unwrap().exact()
}

/// US Department of Defense, Armed Forces Recipe Service, A. General Information No. 1(2): 100 portions to 348 make a
/// factor of 3.48; 1.25 lb become 4.35 lb, that is 4 lb 5.6 oz.
#[test]
fn factor_method_armed_forces() {
    let recipe = pieces(recipe("stew", vec![take("flour", "1.25 lb")]), "100", None);
    let plan = planned(&[ingredient("flour")], &recipe, Target::pieces(348));
    assert_eq!(plan.components[0].factor, decimal("3.48"));
    let pounds = &plan.ingredients[0].mass / n(POUND);
    assert_eq!(pounds, decimal("4.35"));
    assert_eq!((pounds - n("4")) * n("16"), decimal("5.6"));
}

/// Bakeshop math lesson (examples from a professional baking text): 8 to 18 portions, factor 2.25.
#[test]
fn factor_method_bakeshop() {
    let recipe = pieces(recipe("tart", vec![take("flour", "1 kg")]), "8", None);
    let plan = planned(&[ingredient("flour")], &recipe, Target::pieces(18));
    assert_eq!(plan.components[0].factor, decimal("2.25"));
}

fn formula(flour: &str, shares: &[(&str, &str)]) -> (Vec<Ingredient>, Recipe) {
    let mut larder = vec![ingredient("flour")];
    larder.extend(shares.iter().map(|(id, _)| ingredient(id)));
    let mut lines = vec![base(take("flour", flour))];
    lines.extend(shares.iter().map(|(id, share)| take(id, &format!("{share} %"))));
    (larder, recipe("dough", lines))
}

/// Bakeshop math lesson: 5000 g of flour, sugar 20 %, so 1000 g of sugar.
#[test]
fn bakers_percentage_sugar() {
    let (larder, dough) = formula("5000 g", &[("sugar", "20")]);
    let plan = planned(&larder, &dough, Target::Factor(n("1")));
    assert_eq!(plan.ingredients[1].mass, n("1000"));
}

/// Procedure for converting a formula to a new yield (professional cooking text excerpt): a total
/// of 377.5 % to 3000 g of batter takes 794.7 g of flour, to 96 oz 25.43 oz; printed rounded.
#[test]
fn bakers_percentage_to_a_new_yield() {
    let (larder, batter) = formula("100 g", &[("all-else", "277.5")]);
    let grams = planned(&larder, &batter, Target::grams(3000)).ingredients[1].mass.clone();
    assert!(is_near(&grams, "794.7", "0.05"), "{grams}");
    let ounces = planned(&larder, &batter, Target::NetMass(n("96") * n(OUNCE)));
    let ounces = &ounces.ingredients[1].mass / n(OUNCE);
    assert!(is_near(&ounces, "25.43", "0.005"), "{ounces}");
}

/// Baker's percentage worksheet, 73 baguettes of 390 g: 28470 g of dough at a factor of 1.7. The
/// sheet cuts digits off instead of rounding, so a figure may be up to 0.001 g above its own.
#[test]
fn bakers_percentage_baguettes() {
    let (larder, dough) = formula("100 g", &[("salt", "2"), ("water", "67"), ("yeast", "1")]);
    let dough = pieces(dough, "73", None);
    let plan = planned(&larder, &dough, Target::NetMass(n("73") * n("390")));
    let published = ["16747.058", "334.941", "11220.528", "167.47"];
    for (total, printed) in plan.ingredients.iter().zip(published) {
        let cut = &total.mass - decimal(printed);
        assert!(!cut.is_negative() && cut < decimal("0.002"), "{} {cut}", total.ingredient);
    }
    assert_eq!(plan.components[0].net, n("28470"));
}

/// How to work with a formula expressed in baker's percent: 640 oz of flour; the weights of the
/// others from their printed shares, all of them exact.
#[test]
fn bakers_percentage_pizza() {
    let shares =
        [("salt", "1.75"), ("sugar", "2"), ("yeast", "1.5"), ("oil", "3"), ("water", "58")];
    let (larder, dough) = formula("640 oz", &shares);
    let plan = planned(&larder, &dough, Target::Factor(n("1")));
    let ounces = ["11.2", "12.8", "9.6", "19.2", "371.2"];
    for (line, ounces) in plan.components[0].lines[1..].iter().zip(ounces) {
        assert_eq!(&line.mass / n(OUNCE), decimal(ounces));
    }
}

/// Math baking and entrepreneurship, lesson 6: bread of 350 g of flour. Shares are printed to
/// 0.01 %, so a mass may be 0.0175 g off; the total of 606.25 g makes 12 pieces of 50 g.
#[test]
fn bakers_percentage_bread() {
    let shares = [
        ("water", "51.43", "180"),
        ("yeast", "2.86", "10"),
        ("salt", "2.86", "10"),
        ("sugar", "7.14", "25"),
        ("shortening", "8.57", "30"),
        ("yeast-food", "0.36", "1.25"),
    ];
    let written: Vec<(&str, &str)> = shares.iter().map(|(id, share, _)| (*id, *share)).collect();
    let (larder, dough) = formula("350 g", &written);
    let plan = planned(&larder, &dough, Target::Factor(n("1")));
    let dough = &plan.components[0];
    for (line, (id, _, grams)) in dough.lines[1..].iter().zip(shares) {
        assert!(is_near(&line.mass, grams, "0.0175"), "{id} {}", line.mass);
    }
    assert!(is_near(&dough.input, "606.25", "0.105"), "{}", dough.input);
    assert_eq!((&dough.input / n("50")).floor(), n("12"));
}

/// The same source, rich dough of 350 g of flour: 951 g in all, 19 pieces of 50 g. From the masses
/// follow the shares that it prints to 0.01 %.
#[test]
fn bakers_percentage_rich_dough() {
    let masses = [
        ("water", "110 g", "31.43"),
        ("yeast", "10 g", "2.86"),
        ("salt", "6 g", "1.71"),
        ("sugar", "150 g", "42.86"),
        ("milk", "100 g", "28.57"),
        ("butter", "125 g", "35.71"),
        ("eggs", "100 g", "28.57"),
    ];
    let mut larder = vec![ingredient("flour")];
    larder.extend(masses.iter().map(|(id, ..)| ingredient(id)));
    let mut lines = vec![base(take("flour", "350 g"))];
    lines.extend(masses.iter().map(|(id, grams, _)| take(id, grams)));
    let plan = planned(&larder, &recipe("rich", lines), Target::Factor(n("1")));
    let dough = &plan.components[0];
    for (line, (id, _, share)) in dough.lines[1..].iter().zip(masses) {
        let percent = &line.mass / n("350") * n("100");
        assert!(is_near(&percent, share, "0.005"), "{id} {percent}");
    }
    assert_eq!(dough.input, n("951"));
    assert_eq!((&dough.input / n("50")).floor(), n("19"));
}

/// Purchased mass of an edible one.
fn purchased(edible: &str, edible_yield: &str) -> Exact {
    let pear = Ingredient { edible_yield: Some(q(edible_yield)), ..ingredient("pear") };
    let recipe = recipe("compote", vec![take("pear", edible)]);
    let larder = [pear];
    let book = compiled(&larder, &recipe);
    let demand = Demand::new(recipe.id.clone(), Target::Factor(n("1")));
    let plan = plan(&book, &[demand], None).unwrap();
    let prices = PriceBook::of_group("EUR".parse().unwrap(), []);
    cost(&book, &plan, &prices, day("2026-01-01")).ingredients[0].purchased.clone()
}

/// Open textbook, Bakery and Business Math, ch. 25 Yield Percents: 3 lb of zucchini at 95 % give
/// 2.85 lb, 5000 g of strawberries at 87 % give 4350 g; 32 oz of pears at 78 % need 41.03 oz,
/// printed to 0.01. Bakeshop math lesson: 10 lb at 75 % need 13.33 lb, printed to 0.01.
#[test_case("2.85 lb", "95 %", "3", POUND, "0"; "zucchini")]
#[test_case("4350 g", "87 %", "5000", "1", "0"; "strawberries")]
#[test_case("32 oz", "78 %", "41.03", OUNCE, "0.005"; "pears")]
#[test_case("10 lb", "75 %", "13.33", POUND, "0.005"; "three quarters")]
fn edible_yield(edible: &str, share: &str, published: &str, unit: &str, within: &str) {
    let bought = purchased(edible, share) / n(unit);
    assert!(is_near(&bought, published, within), "{bought}");
}

/// Bakeshop math lesson: a case of 15 lb of mangoes for 25.00 at a yield of 75 %. As purchased a
/// pound is 1.67, printed rounded; edible it is 2.2222. Dividing the rounded figure would give 2.23.
#[test]
fn edible_cost_mango() {
    let mango = Ingredient { edible_yield: Some(q("75 %")), ..ingredient("mango") };
    let larder = [mango];
    let pulp = recipe("pulp", vec![take("mango", "1 lb")]);
    let book = compiled(&larder, &pulp);
    let lists = [list("group", vec![price("mango", "15 lb", "25.00 XXX")])];
    let prices = PriceBook::of_group("XXX".parse().unwrap(), &lists);
    let quote = prices.quote(&book, chablon_arith::IngredientIndex(0), day("2026-01-01")).unwrap();
    assert_eq!((quote.per_gram() * n(POUND)).round(2).to_string(), "1.67");
    let costs = standard_costs(&book, &prices, day("2026-01-01"));
    let food = &costs[0].as_ref().unwrap().food;
    assert_eq!(food.round(4).to_string(), "2.2222");
    assert_eq!(food.round(2).to_string(), "2.22");
}

/// The same source: a sack of 45 kg for 20.00 is 0.4444 by the kilogram.
#[test]
fn unit_cost_sack() {
    let larder = [ingredient("flour")];
    let recipe = recipe("flour-mix", vec![take("flour", "1 kg")]);
    let lists = [list("group", vec![price("flour", "45 kg", "20.00 XXX")])];
    let costing = costing(&larder, &recipe, Target::grams(1000), &lists);
    assert_eq!(costing.per_kg.round(4).to_string(), "0.4444");
}

fn costing(larder: &[Ingredient], recipe: &Recipe, target: Target, lists: &[PriceList]) -> Costing {
    let book = compiled(larder, recipe);
    let plan = plan(&book, &[Demand::new(recipe.id.clone(), target)], None).unwrap();
    let prices = PriceBook::of_group("XXX".parse().unwrap(), lists);
    cost(&book, &plan, &prices, day("2026-01-01"))
}

/// Bakery math drills TH2001 activity, brioche cost sheet: flour 33.31, sugar 1.61, eggs 24.75 and
/// a total of 110.67 are printed; its two blanks, dry milk 8.40 and butter 42.60, make up the
/// total. A batch of 600 g is two portions.
#[test]
fn cost_sheet_brioche() {
    let egg = Ingredient { piece_mass: Some(q("50 g")), ..ingredient("egg") };
    let mut larder = vec![egg];
    larder.extend(["butter", "dry-milk", "flour", "sugar"].map(ingredient));
    let lines = vec![
        take("flour", "326 g"),
        take("dry-milk", "35 g"),
        take("sugar", "35 g"),
        take("butter", "142 g"),
        take("egg", "3 pieces"),
    ];
    let brioche = pieces(recipe("brioche", lines), "2", Some("300 g"));
    let prices = vec![
        price("flour", "800 g", "81.75 XXX"),
        price("dry-milk", "1 kg", "240.00 XXX"),
        price("sugar", "1 kg", "46.00 XXX"),
        price("butter", "200 g", "60.00 XXX"),
        price("egg", "1 piece", "8.25 XXX"),
    ];
    let costing = costing(&larder, &brioche, Target::pieces(2), &[list("group", prices)]);
    let shown = |cost: &Exact| cost.round(2).to_string();
    let costs: Vec<String> =
        costing.ingredients.iter().map(|one| shown(one.cost.as_ref().unwrap())).collect();
    assert_eq!(costs, ["42.60", "8.40", "24.75", "33.31", "1.61"]);
    assert_eq!(shown(&costing.food), "110.67");
    assert!(is_near(costing.per_piece.as_ref().unwrap(), "55.335", "0.002"));
}

/// Cookie mass balance, laboratory report: 426.92 g in and 350 g out are a loss of 76.92 g, 18.02 %,
/// and a yield of 81.98 %, printed rounded. Only the balance is used.
#[test]
fn process_loss_cookie() {
    let larder = [ingredient("dough")];
    let cookies = makes(recipe("cookies", vec![take("dough", "426.92 g")]), "350 g");
    let book = compiled(&larder, &cookies);
    let cookies = &book.recipes()[0];
    assert_eq!(cookies.input() - &cookies.net, decimal("76.92"));
    assert_eq!((&cookies.unexplained_loss * n("100")).round(2).to_string(), "18.02");
    assert_eq!((&cookies.factor * n("100")).round(2).to_string(), "81.98");
}
