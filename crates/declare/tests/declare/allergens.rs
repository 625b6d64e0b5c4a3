//! States, causes, what is missing, and whom a change reaches.

use chablon_declare::allergens::views::Law;
use chablon_declare::allergens::{
    MissingStatement, States, Unstated, reach, state_changes, sulphites,
};
use chablon_model::AllergenState::{Contains, Free, MayContain, Unknown};
use chablon_model::{Allergen, AllergenState, RecipeId};
use test_case::test_case;

use crate::fixture::{book, code, exact, id, ingredient, recipe, stating, with};

fn state(
    stated: &[(&str, AllergenState)],
    others: Option<AllergenState>,
    of: &str,
) -> AllergenState {
    States::of_ingredient(&stating(stated, others)).of(&code(of))
}

#[test]
fn what_is_not_stated_is_unknown() {
    let nothing = States::of_ingredient(&stating(&[], None));
    assert!(nothing.all().all(|(_, state)| state == Unknown));
    let others = States::of_ingredient(&stating(&[], Some(Free)));
    assert!(others.all().all(|(_, state)| state == Free));
    assert_eq!(others.all().count(), 29);
    assert_eq!(state(&[("egg", Contains)], None, "egg"), Contains);
    assert_eq!(state(&[("egg", Contains)], None, "milk"), Unknown);
    assert_eq!(state(&[("egg", Free)], Some(MayContain), "egg"), Free);
    assert_eq!(state(&[("egg", Free)], Some(MayContain), "milk"), MayContain);
}

#[test_case(&[("gluten.wheat", Contains)], Some(Free) => (Contains, Free); "one kind is contained")]
#[test_case(&[("gluten.wheat", MayContain)], Some(Free) => (MayContain, Free); "traces of one kind")]
#[test_case(&[("gluten.wheat", Free)], None => (Unknown, Unknown); "free of one kind says nothing of the others")]
#[test_case(&[("gluten.wheat", MayContain)], None => (Unknown, Unknown); "unknown is worse than traces")]
#[test_case(&[("gluten.wheat", Contains)], None => (Contains, Unknown); "contained hides what is unknown of the group")]
#[test_case(&[("gluten", Free)], None => (Free, Free); "free of the group is free of its kinds")]
#[test_case(&[("gluten", Free), ("gluten.wheat", Contains)], None => (Contains, Free); "the worse of a contradiction")]
#[test_case(&[("gluten", Free), ("gluten.wheat", Contains)], Some(Contains) => (Contains, Free); "free of the group whatever the others are")]
#[test_case(&[("gluten.rye", Free), ("gluten.wheat", Contains)], None => (Contains, Free); "free of a kind by name")]
#[test_case(&[("gluten.rye", MayContain)], Some(Free) => (MayContain, MayContain); "traces of a kind by name")]
#[test_case(&[("gluten", Free)], Some(Contains) => (Free, Free); "what is named isn't among the others")]
#[test_case(&[("gluten", MayContain)], None => (MayContain, MayContain); "traces of the group may be of each kind")]
#[test_case(&[("gluten", MayContain)], Some(Free) => (MayContain, MayContain); "the group is named so its kinds are not among the others")]
#[test_case(&[("gluten", Contains)], Some(Free) => (Contains, Unknown); "contained leaves open which kind")]
#[test_case(&[("gluten", Contains), ("gluten.wheat", Contains)], Some(Free) => (Contains, Free); "a kind accounts for the group")]
#[test_case(&[("gluten", Contains), ("gluten.wheat", Contains)], None => (Contains, Unknown); "nothing is said of the others")]
#[test_case(&[("gluten", Contains), ("gluten.wheat", MayContain)], Some(Free) => (Contains, Unknown); "traces don't account for the group")]
#[test_case(&[("gluten", MayContain), ("gluten.wheat", Contains)], Some(Free) => (Contains, Free); "a kind can be worse than its group")]
#[test_case(&[("gluten", Unknown), ("gluten.wheat", Contains)], Some(Free) => (Contains, Free); "a group that is stated unknown is explained too")]
#[test_case(&[("gluten", Unknown)], Some(Free) => (Unknown, Unknown); "unknown stays unknown")]
fn a_group_and_its_kinds(
    stated: &[(&str, AllergenState)],
    others: Option<AllergenState>,
) -> (AllergenState, AllergenState) {
    (state(stated, others, "gluten"), state(stated, others, "gluten.rye"))
}

/// The states that lines of one celery state each give together.
#[test_case(&["free", "free"] => ("free", vec![]))]
#[test_case(&["free", "may-contain"] => ("may-contain", vec!["i1"]))]
#[test_case(&["may-contain", ""] => ("unknown", vec!["i1"]))]
#[test_case(&["", "may-contain", "free"] => ("unknown", vec!["i0"]))]
#[test_case(&["contains", "", "contains"] => ("contains", vec!["i0", "i2"]))]
#[test_case(&["may-contain", "contains"] => ("contains", vec!["i1"]))]
fn a_recipe_is_as_bad_as_its_worst(stated: &[&str]) -> (&'static str, Vec<&'static str>) {
    const IDS: [&str; 3] = ["i0", "i1", "i2"];
    let pantry: String = stated
        .iter()
        .zip(IDS)
        .map(|(state, id)| {
            let keys = if state.is_empty() {
                String::new()
            } else {
                format!("allergens = {{ celery = '{state}' }}")
            };
            ingredient(id, &keys)
        })
        .collect();
    let lines: Vec<_> = stated.iter().zip(IDS).map(|(_, id)| (id, "1 g")).collect();
    let book = book(&pantry, &[recipe("r", &lines, "")]);
    with(&book, |declarer| {
        let declared = declarer.allergens(&id("r")).expect("declared");
        let celery = declared.iter().find(|one| one.allergen == code("celery")).expect("a group");
        let because = celery.because.iter().map(|one| {
            assert!(one.path.is_empty());
            IDS.into_iter().find(|id| *id == one.ingredient.as_str()).expect("an ingredient")
        });
        (celery.state.as_str(), because.collect())
    })
}

#[test]
fn a_cause_has_the_shortest_way_down_to_it() {
    let pantry = ingredient("egg", "allergens = { egg = 'contains' }\nother_allergens = 'free'")
        + &ingredient("sugar", "other_allergens = 'free'");
    let recipes = [
        recipe("wash", &[("egg", "to taste"), ("sugar", "1 g")], ""),
        recipe("dough", &[("component:wash", "1 g")], ""),
        recipe("long", &[("component:dough", "1 g")], ""),
        recipe("r", &[("component:long", "1 g"), ("component:dough", "to taste")], ""),
    ];
    let book = book(&pantry, &recipes);
    with(&book, |declarer| {
        let declared = declarer.allergens(&id("r")).expect("declared");
        let egg = declared.iter().find(|one| one.allergen == code("egg")).expect("a group");
        let path: Vec<&str> = egg.because[0].path.iter().map(RecipeId::as_str).collect();
        assert_eq!((egg.state, path), (Contains, vec!["dough", "wash"]));
        assert_eq!(egg.because.len(), 1);
        let free = declared.iter().find(|one| one.allergen == code("milk")).expect("a group");
        assert_eq!((free.state, free.because.len()), (Free, 0));
    });
}

#[test]
fn the_shortest_way_is_found_wherever_it_is_written() {
    let pantry = ingredient("egg", "allergens = { egg = 'contains' }");
    let recipes = [
        recipe("deep", &[("egg", "1 g")], ""),
        recipe("long", &[("component:deep", "1 g")], ""),
        recipe("short", &[("egg", "1 g")], ""),
        recipe("first", &[("component:short", "1 g"), ("component:long", "1 g")], ""),
        recipe("last", &[("component:long", "1 g"), ("component:short", "1 g")], ""),
    ];
    let book = book(&pantry, &recipes);
    with(&book, |declarer| {
        for top in ["first", "last"] {
            let declared = declarer.allergens(&id(top)).expect("declared");
            let egg = declared.iter().find(|one| one.allergen == code("egg")).expect("a group");
            let path: Vec<&str> = egg.because[0].path.iter().map(RecipeId::as_str).collect();
            assert_eq!(path, ["short"], "{top}");
        }
    });
}

#[test]
fn a_kind_that_is_stated_unknown_is_what_is_missing() {
    let mut book = book(
        &ingredient("paste", "other_allergens = 'free'"),
        &[recipe("r", &[("paste", "1 g")], "")],
    );
    book.ingredients[0].allergens.insert(code("nuts.almond"), Unknown);
    with(&book, |declarer| {
        let blockers = declarer.release_blockers(&id("r")).expect("blockers");
        let (group, unknown) = (code("nuts"), vec![code("nuts.almond")]);
        assert_eq!(blockers[0].missing, [MissingStatement::Kinds { group, unknown }]);
    });
}

#[test]
fn unknown_blocks_a_release_with_what_is_missing() {
    let pantry = ingredient("milk", "allergens = { milk = 'contains' }\nother_allergens = 'free'")
        + &ingredient("honey", "allergens = { milk = 'free', 'gluten.wheat' = 'free' }")
        + &ingredient("paste", "allergens = { nuts = 'contains' }\nother_allergens = 'free'")
        + &ingredient(
            "almond",
            "allergens = { 'nuts.almond' = 'contains' }\nother_allergens = 'free'",
        );
    let recipes = [
        recipe("sweet", &[("honey", "1 g")], ""),
        recipe("r", &[("milk", "1 g"), ("component:sweet", "1 g"), ("almond", "1 g")], ""),
        recipe("known", &[("milk", "1 g"), ("almond", "1 g")], ""),
        recipe("unnamed", &[("paste", "1 g"), ("almond", "1 g")], ""),
    ];
    let book = book(&pantry, &recipes);
    with(&book, |declarer| {
        let blockers = declarer.release_blockers(&id("r")).expect("blockers");
        assert_eq!(blockers.len(), 1);
        assert_eq!(
            blockers[0].to_string(),
            "`honey` (in sweet) doesn't state: gluten, crustaceans, egg, fish, peanuts, soya, nuts, \
             celery, mustard, sesame, sulphites, lupin, molluscs"
        );
        assert_eq!(declarer.release_blockers(&id("known")), Ok(vec![]));
        // The almond is known, but what the paste holds could be any nut but that.
        let unnamed = declarer.release_blockers(&id("unnamed")).expect("blockers");
        assert_eq!(unnamed[0].to_string(), "`paste` doesn't state: which kinds of nuts");
        let MissingStatement::Kinds { group, unknown } = &unnamed[0].missing[0] else {
            panic!("a group whose kinds are missing");
        };
        assert_eq!((group.code(), unknown.len()), ("nuts", 8));
        assert!(!unknown.contains(&code("nuts.almond")), "an almond is contained for certain");
    });
}

#[test]
fn what_states_nothing_at_all_blocks_with_every_group() {
    let book = book(&ingredient("paste", ""), &[recipe("r", &[("paste", "1 g")], "")]);
    with(&book, |declarer| {
        let blockers = declarer.release_blockers(&id("r")).expect("blockers");
        let groups = Allergen::groups().map(MissingStatement::Group);
        assert_eq!(blockers[0].missing, groups.collect::<Vec<_>>());
    });
}

#[test]
fn an_unknown_that_a_contains_covers_does_not_block() {
    let pantry = ingredient("milk", "allergens = { milk = 'contains' }\nother_allergens = 'free'")
        + &ingredient(
            "whey",
            "allergens = { gluten = 'free', nuts = 'free', crustaceans = 'free', egg = 'free', fish = 'free', peanuts = 'free', soya = 'free', celery = 'free', mustard = 'free', sesame = 'free', sulphites = 'free', lupin = 'free', molluscs = 'free' }",
        );
    let recipes = [
        recipe("alone", &[("whey", "1 g")], ""),
        recipe("r", &[("milk", "1 g"), ("whey", "1 g")], ""),
    ];
    let book = book(&pantry, &recipes);
    with(&book, |declarer| {
        assert_eq!(declarer.release_blockers(&id("alone")).expect("blockers").len(), 1);
        assert_eq!(declarer.release_blockers(&id("r")), Ok(vec![]));
    });
}

#[test]
fn what_nobody_states_is_gathered_by_ingredient_with_all_that_it_keeps_back() {
    let nuts = "allergens = { nuts = 'contains' }\nother_allergens = 'free'";
    let pantry = ingredient("praline", nuts)
        + &ingredient("syrup", "allergens = { milk = 'unknown' }\nother_allergens = 'free'")
        + &ingredient("milk", "allergens = { milk = 'contains' }\nother_allergens = 'free'")
        + &ingredient("paste", "allergens = { nuts = 'unknown' }\nother_allergens = 'free'");
    let recipes = [
        recipe("base", &[("syrup", "1 g"), ("praline", "1 g")], ""),
        recipe("top", &[("component:base", "1 g"), ("milk", "1 g")], ""),
        recipe("other", &[("paste", "1 g"), ("milk", "1 g")], ""),
        recipe("fine", &[("milk", "1 g")], ""),
    ];
    with(&book(&pantry, &recipes), |declarer| {
        let unstated = declarer.unstated();
        let told: Vec<String> = unstated.iter().map(ToString::to_string).collect();
        assert_eq!(
            told,
            [
                "`paste` doesn't state: nuts",
                "`praline` doesn't state: which kinds of nuts",
                // In `top` milk is contained anyway: there the syrup keeps nothing back.
                "`syrup` doesn't state: milk",
            ]
        );
        let reached = |at: usize| -> Vec<String> {
            let reached = unstated[at].reached.iter();
            reached.map(|(recipe, path)| format!("{recipe} {path:?}")).collect()
        };
        assert_eq!(reached(0), ["other []"]);
        assert_eq!(reached(1), ["base []", "top [base]"]);
        assert_eq!(reached(2), ["base []"]);
        assert!(Unstated::HINT.contains("supplier"));
    });
}

#[test]
fn statements_that_several_recipes_lack_are_put_together() {
    // Alone the paste lacks all of nuts and which cereals; beside a nut it lacks kinds alone.
    let pantry = ingredient(
        "paste",
        "allergens = { nuts = 'contains', gluten = 'unknown' }\nother_allergens = 'free'",
    ) + &ingredient(
        "almond",
        "allergens = { 'nuts.almond' = 'contains', 'gluten.wheat' = 'contains' }\nother_allergens = 'free'",
    );
    let recipes = [
        recipe("alone", &[("paste", "1 g")], ""),
        recipe("both", &[("paste", "1 g"), ("almond", "1 g")], ""),
    ];
    with(&book(&pantry, &recipes), |declarer| {
        let unstated = declarer.unstated();
        assert_eq!(unstated.len(), 1);
        let MissingStatement::Group(gluten) = &unstated[0].missing[0] else { panic!() };
        assert_eq!(gluten.code(), "gluten");
        let MissingStatement::Kinds { group, unknown } = &unstated[0].missing[1] else { panic!() };
        assert_eq!((group.code(), unknown.len()), ("nuts", 9));
        assert_eq!(unknown[0].code(), "nuts.almond");
        let of_both = declarer.release_blockers(&id("both")).expect("blockers");
        let MissingStatement::Kinds { unknown, .. } = &of_both[0].missing[1] else { panic!() };
        assert_eq!(unknown.len(), 8, "the almond answers for almonds");
    });
}

#[test]
fn a_compound_that_says_less_than_its_constituents_is_found() {
    let free = "other_allergens = 'free'";
    let pantry = ingredient(
        "lecithin",
        "allergens = { soya = 'contains' }\nother_allergens = 'free'",
    ) + &ingredient(
        "honest",
        &format!(
            "allergens = {{ soya = 'contains' }}\n{free}\nmade_of = [{{ ingredient = 'lecithin' }}]"
        ),
    ) + &ingredient("silent", "made_of = [{ ingredient = 'lecithin' }]")
        + &ingredient(
            "traces",
            &format!(
                "allergens = {{ soya = 'may-contain' }}\n{free}\nmade_of = [{{ ingredient = 'lecithin' }}]"
            ),
        )
        + &ingredient("wrong", &format!("{free}\nmade_of = [{{ ingredient = 'lecithin' }}]"));
    let lines = [("honest", "1 g"), ("silent", "1 g"), ("traces", "1 g"), ("wrong", "1 g")];
    let book = book(&pantry, &[recipe("r", &lines, "")]);
    with(&book, |declarer| {
        let found = declarer.contradictions(&id("r")).expect("contradictions");
        let texts: Vec<String> = found.iter().map(ToString::to_string).collect();
        assert_eq!(
            texts,
            [
                "`traces` states may-contain of soya, but is made of `lecithin`, which contains it",
                "`wrong` states free of soya, but is made of `lecithin`, which contains it",
            ]
        );
    });
}

#[test]
fn a_change_reaches_every_recipe_above_the_ingredient() {
    let pantry = ingredient("egg", "")
        + &ingredient("sugar", "")
        + &ingredient("fondant", "made_of = [{ ingredient = 'sugar' }]");
    let recipes = [
        recipe("wash", &[("egg", "1 g")], ""),
        recipe("dough", &[("component:wash", "1 g"), ("sugar", "1 g")], ""),
        recipe("glazed", &[("component:dough", "1 g")], ""),
        recipe("iced", &[("fondant", "1 g")], ""),
        recipe("other", &[("egg", "to taste"), ("sugar", "1 g")], ""),
    ];
    let book = book(&pantry, &recipes);
    let reached = |one: &str| -> Vec<String> {
        let one = one.parse().expect("an id");
        reach(&book.ingredients, &book.recipes, &one).iter().map(ToString::to_string).collect()
    };
    assert_eq!(reached("egg"), ["dough", "glazed", "other", "wash"]);
    assert_eq!(reached("sugar"), ["dough", "glazed", "iced", "other"]);
    assert_eq!(reached("nothing"), [""; 0]);
}

#[test]
fn a_reach_ends_where_recipes_and_ingredients_use_each_other() {
    let pantry = ingredient("egg", "") + &ingredient("sugar", "");
    let recipes = [
        recipe("a", &[("egg", "1 g"), ("sugar", "1 g")], ""),
        recipe("b", &[("component:a", "1 g")], ""),
    ];
    let mut book = book(&pantry, &recipes);
    // A loop, as a damaged store could hand it over.
    let line = book.recipes[1].lines[0].clone();
    let mut back = line;
    back.uses = chablon_model::Uses::Component(id("b"));
    book.recipes[0].lines.push(back);
    let egg = "egg".parse().expect("an id");
    assert_eq!(reach(&book.ingredients, &book.recipes, &egg).len(), 2);
}

#[test]
fn a_new_revision_names_what_it_changes() {
    let before = stating(&[("egg", Free)], None);
    let after = stating(&[("egg", Contains), ("nuts.almond", MayContain)], None);
    let changes = state_changes(&before, &after);
    let texts: Vec<_> =
        changes.iter().map(|one| (one.allergen.code(), one.before, one.after)).collect();
    assert_eq!(texts, [("egg", Free, Contains), ("nuts.almond", Unknown, MayContain)]);
    assert!(state_changes(&after, &after).is_empty());
}

#[test]
fn sulphites_count_from_ten_milligrams_in_a_kilogram() {
    // Annex II, point 12: more than 10 mg/kg; Codex and the United States: 10 mg/kg or more.
    let cases =
        [("0.03", "60", true, true), ("0.004", "8", false, false), ("0.005", "10", false, true)];
    for (share, result, eu, others) in cases {
        let level =
            sulphites::in_product(&[(exact(share), exact("2000")), (exact("0.5"), exact("0"))]);
        assert_eq!(level, exact(result));
        assert_eq!(sulphites::must_be_declared(&level, Law::Eu), eu);
        for law in [Law::Us, Law::CodexBefore2024, Law::Codex2024] {
            assert_eq!(sulphites::must_be_declared(&level, law), others, "{law:?}");
        }
    }
}

#[test]
fn what_cannot_be_computed_is_refused_with_its_reason() {
    let book = book(&ingredient("egg", ""), &[recipe("r", &[("egg", "1 pieces")], "")]);
    with(&book, |declarer| {
        let unknown = declarer.allergens(&id("nothing")).expect_err("no such recipe");
        assert_eq!(
            (unknown.code(), unknown.to_string()),
            ("unknown-recipe", "there is no recipe `nothing`".to_owned())
        );
        let refused = declarer.allergens(&id("r")).expect_err("no piece mass");
        assert_eq!(refused.code(), "missing-piece-mass");
        assert!(refused.to_string().starts_with("`r` can't be computed: "), "{refused}");
        assert!(!refused.hint().is_empty());
    });
}
