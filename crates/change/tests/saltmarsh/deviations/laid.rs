//! Which deviations lie over a site's standards.

use std::collections::BTreeMap;

use chablon_arith::{Demand, SiteKit, Target, compile, plan};
use chablon_change::{Edition, Overlay, WhyNot, lay_over};
use chablon_model::{
    Decision, Deviation, DeviationStanding, DocumentContent, Moment, RecipeId, RevisionRef,
};

use super::{CASHEW_DRINK, deviation, grant, instead, revision, take, times};
use crate::book::{day, edited};

const BAVAROIS: &str = "honey-bavarois";

fn standards(number: u32) -> BTreeMap<RecipeId, RevisionRef> {
    [BAVAROIS, "creme-anglaise"]
        .into_iter()
        .map(|id| (id.parse().unwrap(), revision(id, number)))
        .collect()
}

fn lay<'d>(
    documents: &[DocumentContent],
    deviations: &'d [Deviation],
    at: i64,
    number: u32,
) -> Overlay<'d> {
    let edition = Edition::new(documents);
    let site = "harbour".parse().unwrap();
    lay_over(&edition, &standards(number), &site, deviations, (Moment(at), day()))
}

/// Why the only deviation doesn't lie over the standard.
fn why(overlay: &Overlay<'_>) -> WhyNot {
    assert!(overlay.recipes.is_empty() && overlay.laid.is_empty());
    overlay.left_out[0].why.clone()
}

fn less_honey() -> Deviation {
    deviation(BAVAROIS, vec![take(2, "honey-acacia", times("0.9"))])
}

#[test]
fn a_site_plans_by_its_deviation() {
    let documents = edited(&[]);
    let deviations = [less_honey()];
    let overlay = lay(&documents, &deviations, 150, 1);
    assert_eq!(overlay.laid.len(), 1);
    let edition = Edition::new(&documents);
    let honey = |edition: &Edition<'_>| {
        let library = edition.library();
        let (book, problems) = compile(&library);
        assert!(problems.is_empty());
        let demand = Demand::new(BAVAROIS.parse().unwrap(), Target::pieces(48));
        let plan = plan(&book, &[demand], None::<&SiteKit>).unwrap();
        let total = plan.ingredients.iter().find(|one| one.ingredient.as_str() == "honey-acacia");
        total.unwrap().mass.clone()
    };
    let (standard, site) = (honey(&edition), honey(&overlay.over(&edition)));
    assert!(site < standard, "{site} {standard}");
}

#[test]
fn it_lies_over_the_standard_for_its_time_alone() {
    let documents = edited(&[]);
    let deviations = [less_honey()];
    let standing = |at| match why(&lay(&documents, &deviations, at, 1)) {
        WhyNot::Standing(standing) => standing,
        other => panic!("{other}"),
    };
    assert_eq!(standing(99), DeviationStanding::NotYet);
    assert_eq!(standing(200), DeviationStanding::Expired);
}

#[test]
fn without_leave_it_doesn_t() {
    let documents = edited(&[]);
    let deviations = [Deviation { decision: Decision::Asked, ..less_honey() }];
    let reason = why(&lay(&documents, &deviations, 150, 1));
    assert_eq!(reason, WhyNot::Standing(DeviationStanding::Asked));
}

#[test]
fn another_standard_beneath_it_leaves_it_out() {
    let documents = edited(&[]);
    let deviations = [less_honey()];
    let reason = why(&lay(&documents, &deviations, 150, 2));
    assert_eq!(
        reason.to_string(),
        "recipe/honey-bavarois is at revision 2 now; it must be decided anew"
    );
}

#[test]
fn another_site_s_deviation_is_nobody_s_business() {
    let documents = edited(&[]);
    let deviations = [Deviation { site: "station".parse().unwrap(), ..less_honey() }];
    let overlay = lay(&documents, &deviations, 150, 1);
    assert!(overlay.laid.is_empty() && overlay.left_out.is_empty());
}

#[test]
fn two_may_lie_over_one_recipe_but_not_in_one_place() {
    let documents = edited(&[]);
    let cream = Deviation {
        id: "cream".parse().unwrap(),
        ..deviation(BAVAROIS, vec![take(4, "cream-35", times("1.02"))])
    };
    let later = Decision::Granted(chablon_model::Grant { at: Moment(60), ..grant() });
    let again = Deviation { id: "again".parse().unwrap(), decision: later, ..less_honey() };
    let deviations = [again, less_honey(), cream];
    let overlay = lay(&documents, &deviations, 150, 1);
    let laid: Vec<&str> = overlay.laid.iter().map(|(one, _)| one.id.as_str()).collect();
    assert_eq!(laid, ["cream", "departure"]);
    let made = &overlay.recipes[&BAVAROIS.parse::<RecipeId>().unwrap()];
    let amounts = [&made.lines[1].amount, &made.lines[3].amount];
    let mass = |text: &str| chablon_model::Amount::Mass(text.parse().unwrap());
    assert_eq!(amounts, [&mass("153 g"), &mass("1.1424 kg")]);
    assert_eq!(overlay.left_out[0].why.to_string(), "`departure` departs in the same place");
}

#[test]
fn a_grant_that_doesn_t_name_an_allergen_is_no_leave() {
    let documents = edited(&[CASHEW_DRINK]);
    let departures = vec![instead(1, "milk-whole", "cashew-drink", times("1"))];
    let silent = deviation("creme-anglaise", departures);
    let deviations = [silent.clone()];
    let reason = why(&lay(&documents, &deviations, 150, 1));
    assert!(matches!(reason, WhyNot::Objections(_)), "{reason}");
    let allergens = ["nuts.cashew".parse().unwrap()].into();
    let decision = Decision::Granted(chablon_model::Grant { allergens, ..grant() });
    let deviations = [Deviation { decision, ..silent }];
    assert_eq!(lay(&documents, &deviations, 150, 1).laid.len(), 1);
}

#[test]
fn what_can_t_be_laid_says_why() {
    let documents = edited(&[]);
    let deviations = [deviation(BAVAROIS, vec![take(9, "honey-acacia", times("0.9"))])];
    let reason = why(&lay(&documents, &deviations, 150, 1));
    assert_eq!(
        reason.to_string(),
        "line 9 doesn't take `honey-acacia`; correct the number of the line"
    );
}
