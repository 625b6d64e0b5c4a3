//! Ids, days, digests, allergens, audiences and what a document pins.

use std::collections::BTreeSet;

use chablon_model::{
    Allergen, Audience, Day, Digest, DocumentKey, GroupId, Language, RecipeId, SiteId,
};
use proptest::prelude::*;
use test_case::test_case;

#[test_case("honey-bavarois", true)]
#[test_case("t55", true)]
#[test_case("", false; "an empty text")]
#[test_case("Honey", false; "a capital")]
#[test_case("honey--bavarois", false; "a doubled hyphen")]
#[test_case("-honey", false; "a leading hyphen")]
#[test_case("honey_bavarois", false; "an underscore")]
#[test_case("crème", false; "an accent")]
fn an_id_is_lower_case_words(text: &str, good: bool) {
    assert_eq!(text.parse::<RecipeId>().is_ok(), good);
}

#[test]
fn an_id_has_64_letters_at_most() {
    assert!("a".repeat(64).parse::<RecipeId>().is_ok());
    assert!("a".repeat(65).parse::<RecipeId>().is_err());
}

#[test]
fn a_document_is_known_by_kind_and_id() {
    let key: DocumentKey = "recipe/honey-bavarois".parse().unwrap();
    assert_eq!(key.to_string(), "recipe/honey-bavarois");
    assert!("cake/honey".parse::<DocumentKey>().is_err());
    assert!("recipe".parse::<DocumentKey>().is_err());
}

#[test_case("2026-11-25", true)]
#[test_case("2024-02-29", true; "a leap day")]
#[test_case("2026-02-29", false; "no leap year")]
#[test_case("1900-02-29", false; "a century")]
#[test_case("2000-02-29", true; "the fourth century")]
#[test_case("2026-13-01", false)]
#[test_case("2026-1-1", false; "short parts")]
#[test_case("0000-01-01", false)]
fn a_day_is_in_the_calendar(text: &str, good: bool) {
    let day = text.parse::<Day>();
    assert_eq!(day.is_ok(), good);
    assert!(day.map_or(true, |day| day.to_string() == text));
}

#[test]
fn a_digest_is_64_hexadecimal_digits() {
    let text = "0123456789abcdef".repeat(4);
    assert_eq!(text.parse::<Digest>().unwrap().to_string(), text);
    assert!("é".repeat(32).parse::<Digest>().is_err());
    assert!(text[1..].parse::<Digest>().is_err());
    assert!(format!("+{}", &text[1..]).parse::<Digest>().is_err());
}

#[test]
fn a_kind_of_allergen_belongs_to_its_group() {
    let wheat: Allergen = "gluten.wheat".parse().unwrap();
    assert_eq!(wheat.group().code(), "gluten");
    assert_eq!("milk".parse::<Allergen>().unwrap().group().code(), "milk");
    assert_eq!(Allergen::groups().count(), 14);
    assert!(Allergen::groups().all(|group| group.group() == group));
    assert!("gluten.maize".parse::<Allergen>().is_err());
    assert!(Allergen::all().map(|one| one.code()).eq(Allergen::codes().iter().copied()));
    for one in Allergen::all() {
        let within: Vec<_> = Allergen::all().filter(|kind| kind.group() == one).collect();
        assert!(one.kinds().eq(within.into_iter().filter(|kind| *kind != one)), "{one}");
    }
    assert_eq!(wheat.kinds().count(), 0);
}

#[test]
fn an_audience_addresses_by_group_or_by_name() {
    let site: SiteId = "harbour".parse().unwrap();
    let pilot: GroupId = "pilot".parse().unwrap();
    let groups = BTreeSet::from([pilot.clone()]);
    let none = BTreeSet::new();
    assert!(Audience::All.addresses(&site, &none));
    assert!(Audience::site(site.clone()).addresses(&site, &none));
    assert!(!Audience::site("millrace".parse().unwrap()).addresses(&site, &groups));
    let by_group = Audience::Of { groups: groups.clone(), sites: BTreeSet::new() };
    assert!(by_group.addresses(&site, &groups));
    assert!(!by_group.addresses(&site, &none));
}

proptest! {
    #[test]
    fn any_text_is_an_id_or_refused(text in ".{0,70}") {
        let _ = text.parse::<RecipeId>();
        let _ = text.parse::<DocumentKey>();
        let _ = text.parse::<Day>();
        let _ = text.parse::<Digest>();
        let _ = text.parse::<Language>();
    }
}
