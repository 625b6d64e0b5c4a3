//! Arbitrary values of the model that keep the schema's rules.

mod deviation;
mod document;
mod quantity;
mod recipe;
mod release;
mod shape;
mod trust;

use std::fmt::Debug;
use std::str::FromStr;

use chablon_model::{Digest, Language, Moment, Text};
use proptest::collection::{btree_map, vec};
use proptest::prelude::*;

pub(crate) use deviation::deviation;
pub(crate) use document::revision;
pub(crate) use quantity::{mass, number, positive};
pub(crate) use release::{manifest, reference, withdrawal};
pub(crate) use trust::{checkpoint, root, signatures};

/// Anything with the grammar of an id.
pub(crate) fn id<T>() -> impl Strategy<Value = T> + Clone
where
    T: FromStr + Debug,
    T::Err: Debug,
{
    "[a-z0-9]{1,9}(-[a-z0-9]{1,6}){0,3}".prop_map(|text| text.parse().unwrap())
}

/// Words for people: anything that isn't only white space.
pub(crate) fn words() -> BoxedStrategy<String> {
    "\\PC{0,12}[a-zé0-9%]\\PC{0,12}".boxed()
}

pub(crate) fn language() -> impl Strategy<Value = Language> + Clone {
    "[a-z]{2,3}".prop_map(|text| text.parse().unwrap())
}

/// A text in at least so many languages.
pub(crate) fn text(least: usize) -> BoxedStrategy<Text> {
    btree_map(language(), words(), least..4).prop_map(Text).boxed()
}

pub(crate) fn digest() -> impl Strategy<Value = Digest> + Clone {
    any::<[u8; 32]>().prop_map(Digest)
}

pub(crate) fn moment() -> impl Strategy<Value = Moment> + Clone {
    (-62_135_596_800_000..=253_402_300_799_999_i64).prop_map(Moment)
}

/// Up to so many values, none twice, in any order.
pub(crate) fn distinct<T: Clone + Debug + Ord>(
    each: impl Strategy<Value = T>,
    most: usize,
) -> impl Strategy<Value = Vec<T>> {
    vec(each, 0..=most).prop_map(|mut values| {
        let mut seen = std::collections::BTreeSet::new();
        values.retain(|value| seen.insert(value.clone()));
        values
    })
}
