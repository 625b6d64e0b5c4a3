//! Who uses what, and the walk up from a change to all that depends on it.

/// The recipes that use each ingredient and each recipe, in flat arrays, ingredients first.
#[derive(Clone, Debug, Default)]
pub(crate) struct Users {
    starts: Vec<usize>,
    recipes: Vec<u32>,
}

impl Users {
    /// Turns what each recipe uses around.
    pub(crate) fn new<I: Iterator<Item = u32>>(
        ingredients: usize,
        recipes: usize,
        uses: impl Fn(usize) -> I,
    ) -> Self {
        let mut starts = vec![0; ingredients + recipes + 1];
        for used in (0..recipes).flat_map(&uses) {
            starts[used as usize + 1] += 1;
        }
        for at in 1..starts.len() {
            starts[at] += starts[at - 1];
        }
        let mut next = starts.clone();
        let mut filled = vec![0; starts[ingredients + recipes]];
        for (recipe, number) in (0..recipes).zip(0..) {
            for used in uses(recipe) {
                let slot = &mut next[used as usize];
                filled[*slot] = number;
                *slot += 1;
            }
        }
        Self { starts, recipes: filled }
    }

    /// The recipes that use this ingredient, or this recipe counted after the ingredients.
    pub(crate) fn of(&self, used: usize) -> &[u32] {
        &self.recipes[self.starts[used]..self.starts[used + 1]]
    }
}

/// Recipes still to visit, one bit each.
///
/// They are visited upwards, and every user of a recipe stands after it, so each is visited once,
/// when all that it uses has been.
pub(crate) struct Marks {
    words: Vec<u64>,
    /// The word that is being visited; those before it are done.
    at: usize,
}

impl Marks {
    pub(crate) fn new(recipes: usize) -> Self {
        Self { words: vec![0; recipes.div_ceil(64)], at: 0 }
    }

    pub(crate) fn add(&mut self, recipe: usize) {
        self.words[recipe / 64] |= 1 << (recipe % 64);
    }

    pub(crate) fn add_all(&mut self, recipes: &[u32]) {
        for &recipe in recipes {
            self.add(recipe as usize);
        }
    }

    /// The next recipe to visit, taken off.
    pub(crate) fn next(&mut self) -> Option<usize> {
        while *self.words.get(self.at)? == 0 {
            self.at += 1;
        }
        let word = &mut self.words[self.at];
        let bit = word.trailing_zeros() as usize;
        *word &= *word - 1;
        Some(self.at * 64 + bit)
    }
}
