//! Releases made ready from documents, without a hub.

use std::collections::BTreeSet;
use std::sync::LazyLock;

use chablon_sdk::model::{
    Audience, DocumentContent, DocumentKey, Entry, EntryBody, Moment, NextStep, RecipeId, Uses,
};
use chablon_sdk::publish::{
    Draft, Fate, GoOn, Heads, Names, Scope, Taking, Terms, WithdrawalDraft,
};
use chablon_sdk::quantity::{Authored, MassUnit, Number};
use chablon_testkit::sample;
use proptest::prelude::*;

const NOW: Moment = Moment(1_790_841_600_000);

fn terms() -> Terms {
    Terms::new(NOW, "For the test", "Group pastry chef")
}

fn key(name: &str) -> DocumentKey {
    name.parse().expect("a document")
}

fn draft(documents: &[DocumentContent], heads: &Heads, terms: &Terms) -> Draft {
    Draft::new(documents, heads, terms, Names::random()).expect("a draft")
}

/// What a hub would have after releases, each with all of its drafts' revisions.
fn heads_after<'a>(drafts: impl IntoIterator<Item = &'a Draft>) -> Heads {
    let drafts: Vec<&Draft> = drafts.into_iter().collect();
    let revisions = || drafts.iter().flat_map(|draft| draft.revisions());
    let mut latest = std::collections::BTreeMap::new();
    for revision in revisions() {
        latest.insert(revision.reference().key.clone(), revision.reference().clone());
    }
    let mut heads = Heads::new(latest.into_values());
    for revision in revisions() {
        heads.add(revision).expect("it can be read");
    }
    heads
}

fn fate(draft: &Draft, name: &str) -> Fate {
    let found = draft.documents().iter().find(|one| one.revision.key == key(name));
    found.unwrap_or_else(|| panic!("`{name}` isn't in the draft")).fate.clone()
}

fn heavier(documents: &mut [DocumentContent], recipe: &str, grams: i64) {
    let wanted: RecipeId = recipe.parse().expect("an id");
    for content in documents {
        if let DocumentContent::Recipe(one) = content
            && one.id == wanted
        {
            let amount = Authored::new(Number::whole(grams), MassUnit::Gram);
            one.lines[0].amount = chablon_sdk::model::Amount::Mass(amount);
        }
    }
}

#[test]
fn a_first_release_has_all_and_shows_each_site_only_its_own() {
    let documents = sample::book().documents();
    let draft = draft(&documents, &Heads::default(), &terms());
    assert!(draft.documents().iter().all(|one| one.fate == Fate::New && one.revision.number == 1));
    let audiences: Vec<&Audience> = draft.parts().iter().map(|part| &part.audience).collect();
    let site = |id: &str| Audience::site(id.parse().expect("a site"));
    assert_eq!(audiences, [&Audience::All, &site("harbour"), &site("millrace")]);
    let items = |part: usize| -> Vec<String> {
        draft.parts()[part].items.iter().map(|item| item.key.to_string()).collect()
    };
    assert_eq!(items(1), ["site/harbour", "prices/harbour"]);
    assert_eq!(items(2), ["site/millrace"]);
    assert!(draft.parts().iter().all(|part| part.part_count == 3));
}

#[test]
fn a_revision_pins_the_revisions_of_the_same_release() {
    let documents = sample::book().documents();
    let draft = draft(&documents, &Heads::default(), &terms());
    let revision = |name: &str| {
        let found = draft.revisions().iter().find(|one| one.reference().key == key(name));
        found.expect("a revision").clone()
    };
    let pins = revision("recipe/custard-cream").read().expect("readable").pins;
    assert!(pins.contains(revision("recipe/custard").reference()));
    assert!(pins.contains(revision("ingredient/cream-35").reference()));
}

#[test]
fn what_has_not_changed_is_not_released() {
    let documents = sample::book().documents();
    let first = draft(&documents, &Heads::default(), &terms());
    // By references alone: equal content has equal bytes.
    let latest = first.revisions().iter().map(|one| one.reference().clone());
    let heads = Heads::new(latest);
    assert_eq!(heads.to_read(&documents).unwrap(), []);
    let second = draft(&documents, &heads, &terms());
    assert!(second.is_empty());
    assert!(second.documents().iter().all(|one| one.fate == Fate::Unchanged));
}

#[test]
fn what_uses_a_changed_component_is_carried_along() {
    let mut documents = sample::book().documents();
    let first = draft(&documents, &Heads::default(), &terms());
    heavier(&mut documents, "custard", 900);
    let second = draft(&documents, &heads_after([&first]), &terms());
    assert_eq!(fate(&second, "recipe/custard"), Fate::Changed);
    let because = vec![key("recipe/custard")];
    assert_eq!(fate(&second, "recipe/custard-cream"), Fate::CarriedAlong { because });
    assert_eq!(fate(&second, "ingredient/milk-whole"), Fate::Unchanged);
    let released: Vec<String> =
        second.parts()[0].items.iter().map(|item| item.key.to_string()).collect();
    assert_eq!(released, ["recipe/custard", "recipe/custard-cream"]);
    assert!(second.parts()[0].items.iter().all(|item| item.number == 2));
}

#[test]
fn only_what_would_change_must_be_read() {
    let mut documents = sample::book().documents();
    let first = draft(&documents, &Heads::default(), &terms());
    let heads = Heads::new(first.revisions().iter().map(|one| one.reference().clone()));
    heavier(&mut documents, "custard", 900);
    let to_read: Vec<String> =
        heads.to_read(&documents).unwrap().iter().map(|one| one.key.to_string()).collect();
    assert_eq!(to_read, ["recipe/custard", "recipe/custard-cream"]);
}

#[test]
fn content_that_comes_back_is_a_new_revision() {
    let mut documents = sample::book().documents();
    let first = draft(&documents, &Heads::default(), &terms());
    let before = documents.clone();
    heavier(&mut documents, "custard", 900);
    let second = draft(&documents, &heads_after([&first]), &terms());
    let third = draft(&before, &heads_after([&first, &second]), &terms());
    let custard = third.documents().iter().find(|one| one.revision.key == key("recipe/custard"));
    assert_eq!(custard.map(|one| one.revision.number), Some(3));
}

#[test]
fn what_concerns_a_site_that_is_not_addressed_is_held_back() {
    let documents = sample::book().documents();
    let coast =
        Audience::Of { groups: BTreeSet::from(["coast".parse().unwrap()]), sites: BTreeSet::new() };
    let draft = draft(&documents, &Heads::default(), &terms().to(coast.clone()));
    let millrace = Fate::HeldBack { site: "millrace".parse().unwrap() };
    assert_eq!(fate(&draft, "site/millrace"), millrace);
    assert_eq!(fate(&draft, "site/harbour"), Fate::New);
    let sent: Vec<&DocumentKey> =
        draft.revisions().iter().map(|one| &one.reference().key).collect();
    assert!(!sent.contains(&&key("site/millrace")), "it is sent nowhere");
    assert_eq!(draft.parts()[0].audience, coast);
}

#[test]
fn everything_can_be_put_in_force_again() {
    let documents = sample::book().documents();
    let first = draft(&documents, &Heads::default(), &terms());
    let again = draft(&documents, &heads_after([&first]), &terms().of(Scope::Everything));
    assert!(again.revisions().is_empty());
    let items = |draft: &Draft| -> Vec<_> {
        draft.parts().iter().flat_map(|part| part.items.clone()).collect()
    };
    assert_eq!(items(&again), items(&first));
}

#[test]
fn what_the_book_has_dropped_is_named() {
    let documents = sample::book().documents();
    let first = draft(&documents, &Heads::default(), &terms());
    let kept: Vec<DocumentContent> =
        documents.into_iter().filter(|one| one.key() != key("recipe/custard-cream")).collect();
    let second = draft(&kept, &heads_after([&first]), &terms());
    let gone: Vec<String> = second.not_in_book().iter().map(|one| one.key.to_string()).collect();
    assert_eq!(gone, ["recipe/custard-cream"]);
    assert!(second.is_empty());
}

#[test]
fn one_recipe_alone_pins_what_the_hub_has() {
    let documents = sample::book().documents();
    let first = draft(&documents, &Heads::default(), &terms());
    let mut alone = vec![sample::document("recipe/custard-cream")];
    heavier(&mut alone, "custard-cream", 500);
    let second = draft(&alone, &heads_after([&first]), &terms());
    let pins = second.revisions()[0].read().unwrap().pins;
    assert!(pins.iter().all(|pin| pin.number == 1));
}

#[test]
fn what_is_used_must_be_somewhere() {
    let alone = [sample::document("recipe/custard-cream")];
    let refused = Draft::new(&alone, &Heads::default(), &terms(), Names::random()).unwrap_err();
    assert!(refused.is_invalid());
    let message = refused.to_string();
    assert!(message.contains("`recipe/custard-cream` uses `ingredient/cream-35`"), "{message}");
}

#[test]
fn a_loop_is_named() {
    let mut documents = sample::book().documents();
    for content in &mut documents {
        if let DocumentContent::Recipe(one) = content
            && one.id.as_str() == "custard"
        {
            one.lines[0].uses = Uses::Component("custard-cream".parse().unwrap());
        }
    }
    let refused = Draft::new(&documents, &Heads::default(), &terms(), Names::random()).unwrap_err();
    let message = refused.to_string();
    let expected = "`recipe/custard` -> `recipe/custard-cream` -> `recipe/custard`";
    assert!(message.contains(expected), "{message}");
}

#[test]
fn a_document_that_breaks_a_rule_is_refused_before_it_is_sent() {
    let mut documents = sample::book().documents();
    for content in &mut documents {
        if let DocumentContent::Recipe(one) = content {
            one.lines.clear();
        }
    }
    let refused = Draft::new(&documents, &Heads::default(), &terms(), Names::random()).unwrap_err();
    assert!(refused.is_invalid(), "{refused:?}");
    assert_eq!(refused.violations()[0].field, "recipe.lines");
    let no_note = Terms::new(NOW, " ", "Group pastry chef");
    let documents = sample::book().documents();
    let refused = Draft::new(&documents, &Heads::default(), &no_note, Names::random()).unwrap_err();
    assert_eq!(refused.violations()[0].field, "note");
}

#[test]
fn a_document_is_there_once() {
    let mut documents = sample::book().documents();
    documents.push(sample::document("recipe/custard"));
    let refused = Draft::new(&documents, &Heads::default(), &terms(), Names::random()).unwrap_err();
    assert!(refused.to_string().contains("`recipe/custard` is there twice"));
}

fn feed_of<'a>(drafts: impl IntoIterator<Item = &'a Draft>) -> Vec<Entry> {
    let parts = drafts.into_iter().flat_map(|draft| draft.parts().to_vec());
    (1..)
        .zip(parts)
        .map(|(position, part)| Entry { position, body: EntryBody::Release(part) })
        .collect()
}

#[test]
fn a_withdrawal_finds_its_revisions_by_number() {
    let mut documents = sample::book().documents();
    let first = draft(&documents, &Heads::default(), &terms());
    heavier(&mut documents, "custard", 900);
    let second = draft(&documents, &heads_after([&first]), &terms());
    let feed = feed_of([&first, &second]);
    let taking =
        |go_on| Taking::back(key("recipe/custard"), go_on, NOW, "Too thick", "Group pastry chef");
    let withdrawn =
        |taking: Taking| WithdrawalDraft::new(taking, &feed, WithdrawalDraft::random_request());

    let back = withdrawn(taking(GoOn::WithRevision(1))).unwrap();
    assert_eq!(back.withdrawal().revision.number, 2, "the one that was released last");
    assert!(matches!(&back.withdrawal().next, NextStep::GoBackTo(target) if target.number == 1));
    let none = withdrawn(taking(GoOn::WithNone).revision(1)).unwrap();
    assert_eq!(
        (none.withdrawal().revision.number, &none.withdrawal().next),
        (1, &NextStep::MakeNone)
    );

    let forward = withdrawn(taking(GoOn::WithRevision(2)).revision(1)).unwrap_err();
    assert!(forward.is_invalid(), "{forward:?}");
    let unknown = withdrawn(taking(GoOn::WithRevision(7))).unwrap_err();
    assert!(unknown.is_not_found());
    assert!(unknown.to_string().ends_with("released were 1, 2"), "{unknown}");
}

/// The whole book, read once.
static SALTMARSH: LazyLock<Vec<DocumentContent>> =
    LazyLock::new(|| sample::saltmarsh().documents());

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Whatever is edited: the new revisions are just those that differ and all that use them, and
    /// after the release nothing is left to release.
    #[test]
    fn a_release_is_just_what_changed_and_its_users(
        edits in prop::collection::vec((0usize..25, 1i64..5000), 0..6),
    ) {
        let before = SALTMARSH.clone();
        let first = draft(&before, &Heads::default(), &terms());
        let mut after = before.clone();
        let recipes: Vec<String> = before.iter().filter_map(|one| match one {
            DocumentContent::Recipe(one) => Some(one.id.to_string()),
            _ => None,
        }).collect();
        for (which, grams) in edits {
            heavier(&mut after, &recipes[which % recipes.len()], grams);
        }
        let heads = heads_after([&first]);
        let second = draft(&after, &heads, &terms());
        let mut expected: BTreeSet<DocumentKey> = before.iter().zip(&after)
            .filter(|(old, new)| old != new).map(|(_, new)| new.key()).collect();
        loop {
            let uses = |one: &&DocumentContent| one.uses().iter().any(|used| expected.contains(used));
            let users = after.iter().filter(uses);
            let more: BTreeSet<DocumentKey> = users.map(DocumentContent::key).collect();
            if more.is_subset(&expected) { break }
            expected.extend(more);
        }
        let renewed: BTreeSet<DocumentKey> =
            second.revisions().iter().map(|one| one.reference().key.clone()).collect();
        prop_assert_eq!(renewed, expected);
        prop_assert!(draft(&after, &heads_after([&first, &second]), &terms()).is_empty());
    }
}
