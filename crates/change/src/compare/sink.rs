//! Where changes of one place are collected.

use chablon_model::DocumentKey;

use crate::{Change, What};

/// Takes the changes of one place.
pub(super) struct Sink<'s> {
    pub(super) place: DocumentKey,
    pub(super) changes: &'s mut Vec<Change>,
}

impl Sink<'_> {
    pub(super) fn add(&mut self, what: impl Into<Option<What>>) {
        if let Some(what) = what.into() {
            self.changes.push(Change { place: self.place.clone(), what });
        }
    }
}
