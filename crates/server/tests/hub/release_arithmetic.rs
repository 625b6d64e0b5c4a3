//! Recipes that no kitchen could make are refused before any gets them.

use chablon_model::{Audience, DocumentContent, Revision, RevisionRef, Yield};
use chablon_testkit::{Chef, FrozenRelease, Keeping, frozen, sample};
use chablon_wire::encode_revision;
use test_case::test_case;
use tonic::Code;

use crate::release_refusals::{place, refusal};
use crate::support::{Kit, refused};

/// The first release of the small book, changed.
fn changed(change: impl Fn(&mut DocumentContent)) -> FrozenRelease {
    let mut documents = sample::book().documents();
    documents.iter_mut().for_each(change);
    Chef::new().release(&documents, &Audience::All)
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn a_volume_without_a_density(keeping: Keeping) {
    let release = changed(|content| {
        if let DocumentContent::Ingredient(milk) = content
            && milk.id.as_str() == "milk-whole"
        {
            milk.density = None;
        }
    });
    let custard = place(&release, "recipe/custard");
    let cream = place(&release, "recipe/custard-cream");
    refusal(keeping, release.request())
        .await
        .is(
            Code::InvalidArgument,
            "INVALID_CONTENT",
            &[("document", "recipe/custard"), ("number", "1")],
        )
        .at(&[
            &format!("revisions[{custard}].recipe.lines[0]"),
            &format!("revisions[{cream}].recipe"),
        ]);
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn a_yield_that_nothing_explains(keeping: Keeping) {
    let release = changed(|content| {
        if let DocumentContent::Recipe(custard) = content
            && custard.id.as_str() == "custard"
        {
            custard.yields = Some(Yield::Mass("900 g".parse().unwrap()));
        }
    });
    let custard = place(&release, "recipe/custard");
    let refusal = refusal(keeping, release.request()).await;
    refusal.is(Code::InvalidArgument, "INVALID_CONTENT", &[("document", "recipe/custard")]);
    assert_eq!(refusal.paths[0], format!("revisions[{custard}].recipe.yield"));
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn a_recipe_whose_components_disagree(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    let (mut chef, _) = kit.release_book().await;
    let old_custard = chef.latest("recipe/custard").clone();
    let milk = chef.freeze(&sample::document("ingredient/milk-whole"));
    let custard = chef.freeze(&sample::document("recipe/custard"));
    let pear_cream = uses_both(&chef, &old_custard, &milk.reference);
    let release = FrozenRelease {
        parts: chef.manifests(vec![(Audience::All, vec![pear_cream.0.clone()])]),
        revisions: vec![],
    };
    let mut request = release.request();
    request.revisions = vec![frozen(milk.bytes), frozen(custard.bytes), frozen(pear_cream.1)];
    refused(kit.releases.create_release(request).await)
        .is(Code::InvalidArgument, "INVALID_CONTENT", &[("document", "recipe/milky-cream")])
        .at(&["revisions[2].pins"]);
}

/// A recipe that pins the old custard and the new milk.
fn uses_both(chef: &Chef, custard: &RevisionRef, milk: &RevisionRef) -> (RevisionRef, Vec<u8>) {
    let DocumentContent::Recipe(mut recipe) = sample::document("recipe/custard-cream") else {
        panic!()
    };
    recipe.id = "milky-cream".parse().unwrap();
    recipe.lines[1].uses = chablon_model::Uses::Ingredient("milk-whole".parse().unwrap());
    let content = DocumentContent::Recipe(recipe);
    assert!(chef.latest("recipe/custard").number == 2);
    let revision = Revision { number: 1, pins: vec![milk.clone(), custard.clone()], content };
    let bytes = encode_revision(&revision);
    let key = revision.content.key();
    (RevisionRef { key, number: 1, digest: chablon_wire::digest(&bytes) }, bytes)
}

/// A hub that has just begun knows nothing yet of what a recipe rests on, two steps down; one that was
/// asked before does. Both come to the same.
#[tokio::test]
async fn what_was_released_before_counts_whether_it_is_at_hand_or_not() {
    let folder = tempfile::tempdir().unwrap();
    let keeping = || Keeping::SqliteAt(folder.path().join("hub.db"));
    let mut kit = Kit::start(keeping()).await;
    let (mut chef, _) = kit.release_book().await;
    kit.hub.stop().await;
    for _ in 0..2 {
        let mut kit = Kit::start(keeping()).await;
        for turn in ["at first", "at hand"] {
            let mut broken = chef.clone();
            let release = broken.release(&[yielding(Some("1.5 kg"))], &Audience::All);
            refused(kit.releases.create_release(release.request()).await).is(
                Code::InvalidArgument,
                "INVALID_CONTENT",
                &[("document", "recipe/custard-cream")],
            );
            chef.note = turn.to_owned();
            kit.release(&chef.release(&[yielding(None)], &Audience::All)).await;
        }
        kit.hub.stop().await;
    }
}

/// The custard cream, which rests on the custard, with this yield where one is given.
fn yielding(mass: Option<&str>) -> DocumentContent {
    let DocumentContent::Recipe(mut cream) = sample::document("recipe/custard-cream") else {
        panic!("it is a recipe")
    };
    if let Some(mass) = mass {
        cream.yields = Some(Yield::Mass(mass.parse().unwrap()));
    }
    DocumentContent::Recipe(cream)
}
