//! A recipe's figures in one written batch, as far as they are known.

use chablon_arith::{CompiledBook, RecipeIndex};
use chablon_model::{Amount, Line, Recipe};
use chablon_quantity::{Exact, Grams};

use crate::compare::Side;
use crate::{LineFigure, Makes, Pair};

/// The figures of a written batch.
pub(super) struct Figures {
    /// Grams of each line. Of a recipe that can't be computed, those of lines by mass.
    pub(super) grams: Vec<Option<Exact>>,
    /// Grams that go in.
    input: Option<Exact>,
    /// Grams of the base lines, where there are some.
    pub(super) base: Option<Exact>,
    /// What it makes.
    makes: Option<Makes>,
}

impl Figures {
    pub(super) fn of(side: &Side<'_>, recipe: &Recipe) -> Self {
        let book = side.declarer.book();
        match book.find_recipe(&recipe.id) {
            Some(index) => Self::computed(book, index),
            None => Self {
                grams: recipe.lines.iter().map(by_mass).collect(),
                input: None,
                base: None,
                makes: None,
            },
        }
    }

    fn computed(book: &CompiledBook, index: RecipeIndex) -> Self {
        let (recipe, lines) = (book.recipe(index), book.lines_of(index));
        let base: Exact = lines.iter().filter(|line| line.base).map(|line| &line.mass).sum();
        Self {
            grams: lines.iter().map(|line| Some(line.mass.clone())).collect(),
            input: Some(recipe.input()),
            base: base.is_positive().then_some(base),
            makes: Some(Makes { net: recipe.net.clone(), each: recipe.piece_mass.clone() }),
        }
    }

    /// A line with its figures.
    pub(super) fn line(&self, lines: &[Line], at: usize) -> LineFigure {
        let grams = self.grams[at].clone();
        let part = |whole: &Option<Exact>| grams.as_ref()?.checked_div(whole.as_ref()?);
        LineFigure {
            number: at + 1,
            line: lines[at].clone(),
            of_batch: part(&self.input),
            of_base: part(&self.base),
            grams,
        }
    }
}

fn by_mass(line: &Line) -> Option<Exact> {
    match &line.amount {
        Amount::Mass(mass) => Some(mass.quantity().grams()),
        _ => None,
    }
}

/// What is made where that follows from lines and losses, if it is another amount when shown.
pub(super) fn makes(figures: Pair<&Figures>) -> Option<Pair<Makes>> {
    let makes = figures.map(|one| one.makes.as_ref()).both()?;
    let shown = |one: &Makes| (one.net.round(3), one.each.as_ref().map(|each| each.round(3)));
    (shown(makes.before) != shown(makes.after)).then(|| makes.map(Makes::clone))
}
