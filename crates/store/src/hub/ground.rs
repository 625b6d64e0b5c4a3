//! What a change is held to before it is made.

use std::collections::BTreeMap;

use chablon_model::DocumentKey;

use crate::{Head, RootRecord};

/// The latest of what a change is held to.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Ground {
    /// The latest version of the root of trust; none where there is no root.
    pub root: Option<RootRecord>,
    /// The latest revision of each document that was asked for and is there.
    pub heads: BTreeMap<DocumentKey, Head>,
}
