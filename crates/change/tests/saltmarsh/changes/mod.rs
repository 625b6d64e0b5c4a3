//! A change at a time, as its chef reads it.

mod cost;
mod others;
mod recipe;
mod safety;
mod text;

/// Shows what edits of the book mean.
macro_rules! shows {
    ($edits:expr, @$told:literal) => {
        insta::assert_snapshot!(crate::book::told(&$edits), @$told)
    };
}
pub(crate) use shows;
