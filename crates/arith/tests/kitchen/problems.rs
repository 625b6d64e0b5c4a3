//! Everything that is wrong with a book is said, at its place, with what would mend it.

use chablon_arith::{Demand, Fault, Library, Problem, Severity, Target, compile, plan};
use chablon_model::{Ingredient, Labour, Recipe};
use test_case::test_case;

use crate::book::*;

fn problems_of(recipes: &[Recipe]) -> Vec<Problem> {
    let bad = Ingredient { density: Some(q("0 g/mL")), ..ingredient("bad") };
    let larder = [ingredient("flour"), ingredient("milk"), bad];
    let library = Library::new(&larder[..2], recipes);
    let with_bad = Library::new(&larder, recipes);
    let uses_bad = recipes.iter().flat_map(|one| &one.lines).any(|line| line.uses.id() == "bad");
    compile(if uses_bad { &with_bad } else { &library }).1
}

fn shown(problems: &[Problem]) -> Vec<String> {
    problems.iter().map(|one| format!("{}: {}: {one}", one.place, one.code())).collect()
}

fn of(lines: Vec<chablon_model::Line>) -> Recipe {
    recipe("mix", lines)
}

#[test_case(of(vec![take("flour", "1 kg"), take("salt", "1 g")]), "recipe `mix`, line 2: unknown-ingredient: there is no ingredient `salt`")]
#[test_case(of(vec![component("cream", "1 g")]), "recipe `mix`, line 1: unknown-component: there is no recipe `cream`")]
#[test_case(of(vec![take("milk", "1 L")]), "recipe `mix`, line 1: missing-density: a volume of `milk` has no mass without its density")]
#[test_case(of(vec![take("milk", "1 piece")]), "recipe `mix`, line 1: missing-piece-mass: pieces of `milk` have no mass without a piece mass")]
#[test_case(of(vec![take("milk", "1 kg"), take("flour", "5 %")]), "recipe `mix`, line 2: share-without-base: a share needs base lines to be a share of")]
#[test_case(of(vec![base(take("milk", "1 kg")), base(take("flour", "5 %"))]), "recipe `mix`, line 2: share-as-base: a base line can't itself be a share of the base lines")]
#[test_case(of(vec![take("milk", "0 g")]), "recipe `mix`: no-mass: the lines weigh nothing, so nothing can be made")]
#[test_case(of(vec![]), "recipe `mix`: no-mass: the lines weigh nothing, so nothing can be made"; "no line at all")]
#[test_case(of(vec![per_batch(take("milk", "1 g"))]), "recipe `mix`: nothing-scales: every line is fixed per batch, so the recipe can't follow a demand")]
#[test_case(residue(of(vec![take("milk", "90 g")]), "100 g"), "recipe `mix`: nothing-left: losses and residue leave -10.000 g of a batch")]
#[test_case(loses(of(vec![take("milk", "90 g")]), "100 %"), "recipe `mix`, loss 1: loss-out-of-range: a loss of 100.00 % can't be")]
#[test_case(makes(of(vec![take("milk", "1 kg")]), "790 g"), "recipe `mix`, yield: unexplained-loss: the yield implies a loss of 21.00 % that no loss states")]
#[test_case(makes(of(vec![take("milk", "1 kg")]), "1.21 kg"), "recipe `mix`, yield: unexplained-loss: the yield is 21.00 % more than the stated losses can leave")]
#[test_case(makes(of(vec![take("milk", "1 kg")]), "0 g"), "recipe `mix`, yield: not-positive: the yield is 0.000, but must be above 0")]
#[test_case(pieces(of(vec![take("milk", "1 kg")]), "0", None), "recipe `mix`, yield: not-positive: the number of pieces is 0.000, but must be above 0")]
#[test_case(step(of(vec![take("milk", "1 kg")]), "1 min", Labour::PerPiece), "recipe `mix`, step 1: labour-needs-pieces: step `s0` counts its time by the piece, but no pieces are made")]
#[test_case(at_most(of(vec![take("milk", "1 kg")]), "0 g"), "recipe `mix`, batch: not-positive: the largest batch is 0.000, but must be above 0")]
fn a_fault_is_named_at_its_place(recipe: Recipe, expected: &str) {
    let problems = problems_of(&[recipe]);
    assert_eq!(shown(&problems), [expected]);
    assert!(!problems[0].hint().is_empty());
    assert_eq!(problems[0].severity(), Severity::Error);
}

#[test]
fn between_three_and_twenty_per_cent_is_a_warning() {
    let mix = |yields| makes(of(vec![take("milk", "1 kg")]), yields);
    for (yields, severity) in [("970 g", None), ("960 g", Some(Severity::Warning))] {
        let problems = problems_of(&[mix(yields)]);
        assert_eq!(problems.first().map(Problem::severity), severity);
    }
    for yields in ["800 g", "1.2 kg"] {
        assert_eq!(problems_of(&[mix(yields)])[0].severity(), Severity::Warning);
    }
}

#[test]
fn all_problems_are_said_in_one_run_and_the_others_stand() {
    let lines = vec![take("salt", "1 g"), take("milk", "1 L"), take("bad", "1 g")];
    let broken = loses(recipe("broken", lines), "120 %");
    let uses = recipe("uses", vec![component("broken", "1 g"), take("milk", "1 piece")]);
    let sound = recipe("sound", vec![take("flour", "1 g")]);
    let problems = problems_of(&[broken, uses, sound]);
    let expected = [
        "ingredient `bad`, density: not-positive: the density is 0.000, but must be above 0",
        "recipe `broken`, line 1: unknown-ingredient: there is no ingredient `salt`",
        "recipe `broken`, line 2: missing-density: a volume of `milk` has no mass without its density",
        "recipe `broken`, line 3: ingredient-refused: the figures of `bad` are refused",
        "recipe `broken`, loss 1: loss-out-of-range: a loss of 120.00 % can't be",
        "recipe `uses`, line 2: missing-piece-mass: pieces of `milk` have no mass without a piece mass",
    ];
    assert_eq!(shown(&problems), expected);
}

#[test]
fn a_component_that_cannot_be_computed_is_followed_to_the_reason() {
    let chain =
        |n: usize| recipe(&format!("c{n:02}"), vec![component(&format!("c{:02}", n + 1), "1 g")]);
    let mut recipes: Vec<Recipe> = (0..11).map(chain).collect();
    recipes.push(recipe("c11", vec![take("salt", "1 g")]));
    let problems = problems_of(&recipes);
    assert_eq!(problems.len(), 12);
    let short = "recipe `c10`: component-refused: can't be computed because of `c11`";
    assert_eq!(shown(&problems)[10], short);
    let long = "recipe `c00`: component-refused: can't be computed because of `c01` -> `c02` -> \
                `c03` -> `c04` -> `c05` -> `c06` -> `c07` -> `c08` -> (2 more) -> `c11`";
    assert_eq!(shown(&problems)[0], long);
    assert_eq!(problems[0].hint(), "mend `c11` first");
}

#[test]
fn a_loop_is_named_in_order() {
    let recipes = [
        recipe("a", vec![component("c", "1 g")]),
        recipe("b", vec![component("a", "1 g"), take("salt", "1 g")]),
        recipe("c", vec![component("b", "1 g")]),
        recipe("d", vec![component("c", "1 g")]),
        recipe("e", vec![component("e", "1 g")]),
        recipe("f", vec![take("flour", "1 g")]),
    ];
    let problems = problems_of(&recipes);
    let expected = [
        "recipe `a`: cycle: these recipes use each other in a loop: `a` -> `c` -> `b` -> `a`",
        "recipe `b`, line 2: unknown-ingredient: there is no ingredient `salt`",
        "recipe `d`: component-refused: can't be computed because of `c`",
        "recipe `e`: cycle: these recipes use each other in a loop: `e` -> `e`",
    ];
    assert_eq!(shown(&problems), expected);
    let larder = [ingredient("flour"), ingredient("salt")];
    let (book, _) = compile(&Library::new(&larder, &recipes));
    assert_eq!(book.recipes().len(), 1);
    for id in ["a", "b", "c", "d", "e"] {
        let error = plan(&book, &[Demand::new(id.parse().unwrap(), Target::grams(1))], None);
        assert_eq!(error.unwrap_err().code(), "recipe-refused", "{id}");
    }
}

#[test]
fn two_loops_that_meet_are_both_left_and_nothing_hangs() {
    let recipes = [
        recipe("a", vec![component("b", "1 g"), component("c", "1 g")]),
        recipe("b", vec![component("a", "1 g")]),
        recipe("c", vec![component("a", "1 g")]),
    ];
    let problems = problems_of(&recipes);
    assert!(
        problems.iter().any(|one| matches!(&one.fault, Fault::Cycle { path } if path.len() == 3))
    );
    let larder = [ingredient("flour")];
    let (book, _) = compile(&Library::new(&larder, &recipes));
    for recipe in &recipes {
        assert!(book.refusal(&recipe.id).is_some(), "{}", recipe.id);
    }
}
