//! Recipes of which it isn't known what is in them are refused before any kitchen serves them.

use chablon_model::{
    AllergenState, Audience, DocumentContent, Ingredient, Loss, LossKind, Nutrient,
};
use chablon_testkit::{Chef, FrozenRelease, Keeping, sample};
use test_case::test_case;
use tonic::Code;

use crate::release_refusals::{place, refusal};
use crate::support::Kit;

/// The first release of the small book with an ingredient changed.
fn with(ingredient: &str, change: impl Fn(&mut Ingredient)) -> FrozenRelease {
    let mut documents = sample::book().documents();
    for content in &mut documents {
        if let DocumentContent::Ingredient(one) = content
            && one.id.as_str() == ingredient
        {
            change(one);
        }
    }
    Chef::new().release(&documents, &Audience::All)
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn an_allergen_that_nobody_states(keeping: Keeping) {
    let release = with("egg-yolk", |yolk| {
        for allergen in chablon_model::Allergen::groups() {
            yolk.allergens.entry(allergen).or_insert(AllergenState::Free);
        }
        yolk.allergens.remove(&"sesame".parse().unwrap());
        yolk.other_allergens = None;
    });
    let custard = place(&release, "recipe/custard");
    let cream = place(&release, "recipe/custard-cream");
    refusal(keeping, release.request())
        .await
        .is(
            Code::FailedPrecondition,
            "ALLERGEN_UNKNOWN",
            &[
                ("document", "recipe/custard"),
                ("number", "1"),
                ("allergens", "sesame"),
                ("ingredients", "egg-yolk"),
            ],
        )
        .at(&[&format!("revisions[{custard}].recipe"), &format!("revisions[{cream}].recipe")]);
}

#[tokio::test]
async fn what_another_ingredient_contains_anyway_is_released() {
    let release = with("sugar-caster", |sugar| {
        sugar.allergens.insert("milk".parse().unwrap(), AllergenState::Unknown);
    });
    let mut kit = Kit::start(Keeping::Memory).await;
    kit.releases.create_release(release.request()).await.expect("the custard contains milk anyway");
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn more_water_boiled_off_than_was_there(keeping: Keeping) {
    let mut documents = sample::book().documents();
    for content in &mut documents {
        match content {
            DocumentContent::Ingredient(one) => {
                one.content.0.insert(Nutrient::Water, "1 g".parse().unwrap());
            }
            DocumentContent::Recipe(one) if one.id.as_str() == "custard" => {
                assert!(matches!(one.losses[0], Loss::Stage { kind: LossKind::Water, .. }));
            }
            _ => {}
        }
    }
    let release = Chef::new().release(&documents, &Audience::All);
    let custard = place(&release, "recipe/custard");
    refusal(keeping, release.request())
        .await
        .is(Code::InvalidArgument, "INVALID_CONTENT", &[("document", "recipe/custard")])
        .at(&[&format!("revisions[{custard}].recipe.losses[0]")]);
}
