//! Laws that hold for any book.

use chablon_declare::allergens::views::Law;
use chablon_declare::allergens::{States, reach};
use chablon_declare::ingredient_list::ListOptions;
use chablon_declare::label::{LabelBasis, Limit, Shown, Shows, label, regime};
use chablon_model::{Allergen, AllergenState, Content, Ingredient, LabelRegime, Nutrient, Uses};
use chablon_quantity::{Exact, Number};
use proptest::prelude::*;

use crate::fixture::{id, stating};
use crate::kitchen::{Kitchen, grams, kitchen, line, loss, recipe};

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, ..ProptestConfig::default() })]

    #[test]
    fn more_of_anything_never_makes_a_state_better(kitchen in kitchen(), pick: prop::sample::Index, into: prop::sample::Index, to_taste: bool) {
        let top = kitchen.top();
        let before: Vec<_> = kitchen.ask(|one| one.states(&top).expect("states").all().collect());
        let mut more = kitchen.clone();
        let added = more.ingredients[pick.index(more.ingredients.len())].id.clone();
        let amount = (!to_taste).then_some(10);
        let into = into.index(more.recipes.len());
        more.recipes[into].lines.push(line(Uses::Ingredient(added), amount));
        let after: Vec<_> = more.ask(|one| one.states(&top).expect("states").all().collect());
        for ((code, before), (_, after)) in before.iter().zip(&after) {
            prop_assert!(after >= before, "{code}: {before:?} has become {after:?}");
            let contained = *before == AllergenState::Contains;
            prop_assert!(!contained || *after == AllergenState::Contains, "{code} was contained");
        }
    }

    #[test]
    fn free_needs_every_leaf_free_and_each_state_has_its_cause(kitchen in kitchen()) {
        let top = kitchen.top();
        let leaves = kitchen.leaves(&top);
        let declared = kitchen.ask(|one| one.allergens(&top).expect("declared"));
        for one in declared {
            let states: Vec<_> = leaves.iter()
                .map(|leaf| (&leaf.id, States::of_ingredient(leaf).of(&one.allergen)))
                .collect();
            let worst = states.iter().map(|(_, state)| *state).max().expect("a leaf");
            prop_assert_eq!(one.state, worst);
            if one.state == AllergenState::Free {
                prop_assert!(states.iter().all(|(_, state)| *state == AllergenState::Free));
                prop_assert!(one.because.is_empty());
            } else {
                let because: Vec<_> = one.because.iter().map(|cause| &cause.ingredient).collect();
                let causing: Vec<_> = states.iter().filter(|(_, state)| *state == worst).map(|(id, _)| *id).collect();
                prop_assert_eq!(because, causing);
            }
        }
    }

    #[test]
    fn nothing_blocks_exactly_where_nothing_is_unknown(kitchen in kitchen()) {
        let top = kitchen.top();
        kitchen.ask(|one| {
            let unknown = one.states(&top).expect("states").all().any(|(_, state)| state == AllergenState::Unknown);
            let blockers = one.release_blockers(&top).expect("blockers");
            prop_assert_eq!(unknown, !blockers.is_empty());
            prop_assert!(blockers.iter().all(|blocker| !blocker.missing.is_empty()));
            Ok(())
        })?;
    }

    #[test]
    fn what_is_unknown_is_free_under_no_law(kitchen in kitchen()) {
        let top = kitchen.top();
        kitchen.ask(|one| {
            let states = one.states(&top).expect("states");
            for law in Law::ALL {
                for (entry, rule) in law.view(states).iter().zip(law.rules()) {
                    let group: Allergen = rule.group.parse().expect("a code");
                    let kinds = rule.kinds.iter().map(|(kind, _)| states.of(&kind.parse().expect("a code")));
                    let own = if rule.whole_group { states.own(&group) } else { AllergenState::Free };
                    let worst = kinds.fold(own, AllergenState::max);
                    prop_assert!(entry.state >= worst, "{law:?} {}", rule.name);
                    prop_assert_eq!(entry.named.is_empty(), entry.state == AllergenState::Free);
                }
            }
            Ok(())
        })?;
    }

    #[test]
    fn a_change_shows_in_every_recipe_that_it_reaches_and_in_no_other(kitchen in kitchen(), pick: prop::sample::Index) {
        let fish: Allergen = "fish".parse().expect("a code");
        let mut free = kitchen.clone();
        for one in &mut free.ingredients {
            one.allergens.insert(fish.clone(), AllergenState::Free);
        }
        let mut changed = free.clone();
        let at = pick.index(changed.ingredients.len());
        changed.ingredients[at].allergens.insert(fish.clone(), AllergenState::Contains);
        let reached = reach(&free.ingredients, &free.recipes, &free.ingredients[at].id);
        for recipe in &kitchen.recipes {
            let state = |kitchen: &Kitchen| kitchen.ask(|one| one.states(&recipe.id).expect("states").of(&fish));
            prop_assert_eq!(state(&free), AllergenState::Free);
            let shown = state(&changed) == AllergenState::Contains;
            prop_assert_eq!(shown, reached.contains(&recipe.id));
        }
    }

    #[test]
    fn the_parts_of_content_come_to_a_hundred_grams(kitchen in kitchen()) {
        let Ok(content) = kitchen.ask(|one| one.content(&kitchen.top())) else { return Ok(()) };
        prop_assert!(content.amounts.values().all(|amount| !amount.grams.is_negative()));
        if let Some(rest) = content.ash_and_rest() {
            let parts: Exact = chablon_declare::content::WHOLE.iter().map(|one| &content.amount(*one).grams).sum();
            prop_assert_eq!(parts + &rest, Exact::from(100));
            prop_assert!(!rest.is_negative(), "the ingredients hold no more than 100 g");
        }
        let fat = &content.amount(Nutrient::Fat).grams;
        let saturates = &content.amount(Nutrient::Saturates);
        if content.amount(Nutrient::Fat).is_complete() && saturates.is_complete() {
            let scaled = content.of_mass(&Exact::from(30));
            prop_assert_eq!(scaled.amount(Nutrient::Fat).grams.clone(), fat * Exact::ratio(3, 10).expect("not over zero"));
        }
    }

    #[test]
    fn a_figure_of_a_label_is_within_its_rounding_band(units in 0i64..2_000_000, places in 0i8..5) {
        let exact = Number::decimal(units, -places).expect("a decimal").exact();
        for under in LabelRegime::ALL {
            for row in regime(under).rows {
                let shown = row.rounding.shown(&exact);
                let band = row.rounding.bands.iter().find(|band| match band.limit {
                    Limit::AtMost(limit) => exact <= limit.exact(),
                    Limit::Below(limit) => exact < limit.exact(),
                    Limit::Rest => true,
                }).expect("a last band");
                let off = (&exact - shown.figure().exact()).abs();
                match (band.shows, &shown) {
                    (Shows::Nearest(step), Shown::Figure(_)) => prop_assert!(off * Exact::from(2) <= step.exact(), "{} {exact}", row.key),
                    (Shows::Below(limit), Shown::Below(figure)) => {
                        // 0.0125 g of salt are below 0.01 g as the guidance prints it.
                        prop_assert_eq!(figure.exact(), limit.exact());
                        prop_assert!(exact.is_positive() && exact <= limit.exact() * Exact::ratio(5, 4).expect("not over zero"));
                    }
                    (Shows::Below(_), Shown::Zero) => prop_assert_eq!(&exact, &Exact::from(0)),
                    (Shows::Zero, Shown::Zero) => prop_assert!(exact < Exact::from(5)),
                    (shows, shown) => prop_assert!(false, "{shows:?} gives {shown:?}"),
                }
            }
        }
    }

    #[test]
    fn a_list_is_in_descending_mass_and_names_everything_once(kitchen in kitchen()) {
        let top = kitchen.top();
        let language: chablon_model::Language = "en".parse().expect("a language");
        let options = ListOptions { fallback: language.clone(), language, law: Law::Eu, emphasised: std::collections::BTreeSet::new() };
        let Ok(list) = kitchen.ask(|one| one.ingredient_list(&top, &options)) else { return Ok(()) };
        prop_assert!(list.entries.windows(2).all(|pair| pair[0].grams >= pair[1].grams));
        let mut listed: Vec<_> = list.entries.iter().flat_map(|one| &one.ingredients).collect();
        listed.sort();
        let leaves: Vec<_> = kitchen.leaves(&top).into_iter().map(|one| &one.id).collect();
        prop_assert_eq!(listed, leaves);
        let content = kitchen.ask(|one| one.content(&top)).expect("content");
        // What went into 100 g is at least 100 g: only water has left.
        let used: Exact = list.entries.iter().map(|one| &one.grams).sum();
        prop_assert!(used >= Exact::from(100) && content.of_grams == Exact::from(100));
    }

    #[test]
    fn a_label_row_is_read_off_the_content(kitchen in kitchen()) {
        let top = kitchen.top();
        let Ok(content) = kitchen.ask(|one| one.content(&top)) else { return Ok(()) };
        let eu = label(&content, LabelRegime::Eu, LabelBasis::Per100G);
        for row in &eu.rows {
            if let Some(nutrient) = Nutrient::parse(row.key) {
                prop_assert_eq!(&row.exact, &content.amount(nutrient).grams);
                prop_assert_eq!(&row.missing, &content.amount(nutrient).missing);
            }
        }
        prop_assert_eq!(eu.is_complete(), eu.rows.iter().filter(|row| row.mandatory).all(|row| row.missing.is_empty()));
    }
}

/// A chain of recipes that would make every figure's denominator longer is refused, not reckoned
/// until the end of days.
#[test]
fn figures_that_explode_are_refused() {
    let one = Ingredient {
        content: Content([(Nutrient::Water, grams(50))].into()),
        ..stating(&[], None)
    };
    let mut recipes =
        vec![recipe("r0", vec![line(Uses::Ingredient(one.id.clone()), Some(1))], vec![])];
    for at in 1..700u32 {
        let prime = 999_999_999_989 + i64::from(at) * 2;
        let lines = vec![
            line(Uses::Component(id(&format!("r{}", at - 1))), Some(prime)),
            line(Uses::Ingredient(one.id.clone()), Some(7)),
        ];
        recipes.push(recipe(&format!("r{at}"), lines, vec![loss((3, true))]));
    }
    let kitchen = Kitchen { ingredients: vec![one], recipes };
    let refused = kitchen.ask(|one| one.content(&kitchen.top())).expect_err("too long");
    assert!(["number-too-large", "water-below-zero"].contains(&refused.code()), "{refused}");
}
