//! A compiled book taken to changed recipes without compiling all of it again.

use std::collections::{BTreeMap, BTreeSet};

use chablon_model::{Recipe, RecipeId, Uses};

use super::Compiler;
use crate::compiled::{CompiledBook, CompiledLine, CompiledRecipe, RecipeIndex, Stamp};
use crate::users::{Marks, Users};
use crate::{Library, Place, Problem, Severity};

/// What changed in a compiled book.
#[derive(Clone, Debug)]
pub struct BookChange {
    /// The recipes whose figures changed, in making order: those that were named, and those that
    /// count or measure one of them by volume.
    pub recipes: Vec<RecipeIndex>,
    /// Warnings about the recipes that were looked at.
    pub problems: Vec<Problem>,
    pub(crate) from: Stamp,
    pub(crate) to: Stamp,
}

/// A change that only compiling the whole book can follow: it adds or removes a recipe, changes
/// who uses whom, takes an ingredient that the book didn't hold, or has errors.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "the change goes beyond the figures of recipes that are there, so the book is to be compiled anew"
)]
pub struct MustCompile;

impl CompiledBook {
    pub(crate) fn index_users(&mut self) {
        let components = |recipe| {
            let components = self.components_of(RecipeIndex(recipe));
            components.map(|one| u32::try_from(one.0).expect("fewer recipes than 2^32"))
        };
        self.users = Users::new(0, self.recipes.len(), components);
    }

    /// Takes over the named recipes as they stand in the library now. Ingredients are as they
    /// were. On an error the book stays as it was.
    pub fn update(
        &mut self,
        library: &Library<'_>,
        changed: &[RecipeId],
    ) -> Result<BookChange, MustCompile> {
        let mut marks = Marks::new(self.recipes.len());
        for id in changed {
            marks.add(self.find_recipe(id).ok_or(MustCompile)?.0);
        }
        let book = std::mem::take(self);
        let compiler = Compiler { library, book, problems: Vec::new() };
        let mut update = Update { compiler, replaced: BTreeMap::new() };
        let followed = update.follow(marks);
        *self = update.finish(followed.is_ok());
        let (recipes, problems) = followed?;
        let from = std::mem::take(&mut self.stamp);
        Ok(BookChange { recipes, problems, from, to: self.stamp.clone() })
    }
}

/// A change on its way.
struct Update<'a> {
    compiler: Compiler<'a>,
    /// The recipes that stand in the book already, each as it was, with its lines to come.
    replaced: BTreeMap<usize, (CompiledRecipe, Vec<CompiledLine>)>,
}

impl Update<'_> {
    fn follow(
        &mut self,
        mut marks: Marks,
    ) -> Result<(Vec<RecipeIndex>, Vec<Problem>), MustCompile> {
        let (mut changed, mut problems) = (Vec::new(), Vec::new());
        while let Some(at) = marks.next() {
            let (mut recipe, lines) = self.compiled(RecipeIndex(at), &mut problems)?;
            let book = &mut self.compiler.book;
            recipe.lines = book.recipes[at].lines.clone();
            if recipe == book.recipes[at] && lines == book.lines_of(RecipeIndex(at)) {
                continue;
            }
            let before = std::mem::replace(&mut book.recipes[at], recipe);
            let now = &book.recipes[at];
            if (&now.density, &now.piece_mass) != (&before.density, &before.piece_mass) {
                marks.add_all(book.users.of(at));
            }
            self.replaced.insert(at, (before, lines));
            changed.push(RecipeIndex(at));
        }
        Ok((changed, problems))
    }

    fn compiled(
        &self,
        index: RecipeIndex,
        problems: &mut Vec<Problem>,
    ) -> Result<(CompiledRecipe, Vec<CompiledLine>), MustCompile> {
        let book = &self.compiler.book;
        let id = &book.recipe(index).id;
        let recipe = self.compiler.library.recipe(id).ok_or(MustCompile)?;
        let before: BTreeSet<RecipeIndex> = book.components_of(index).collect();
        if components(book, recipe)? != before {
            return Err(MustCompile);
        }
        let mut faults = Vec::new();
        let compiled = self.compiler.compiled(recipe, &mut faults).ok_or(MustCompile)?;
        let place = |part| Place::Recipe(id.clone(), part);
        let own = faults.into_iter().map(|(part, fault)| Problem { place: place(part), fault });
        let own: Vec<Problem> = own.collect();
        if own.iter().any(|problem| problem.severity() == Severity::Error) {
            return Err(MustCompile);
        }
        problems.extend(own);
        Ok(compiled)
    }

    /// The book with the new lines, or as it was.
    fn finish(self, keep: bool) -> CompiledBook {
        let mut book = self.compiler.book;
        for (at, (before, lines)) in self.replaced {
            if keep {
                book.put_lines(at, &lines);
            } else {
                book.recipes[at] = before;
            }
        }
        book
    }
}

impl CompiledBook {
    /// Puts a recipe's lines where the former ones stand, or at the end where they are more.
    fn put_lines(&mut self, recipe: usize, lines: &[CompiledLine]) {
        let range = &mut self.recipes[recipe].lines;
        if lines.len() > range.len() {
            range.start = self.lines.len();
            self.lines.extend_from_slice(lines);
        } else {
            self.lines[range.start..range.start + lines.len()].clone_from_slice(lines);
        }
        range.end = range.start + lines.len();
    }
}

fn components(book: &CompiledBook, recipe: &Recipe) -> Result<BTreeSet<RecipeIndex>, MustCompile> {
    let components = recipe.lines.iter().filter_map(|line| match &line.uses {
        Uses::Component(id) => Some(book.find_recipe(id).ok_or(MustCompile)),
        Uses::Ingredient(_) => None,
    });
    components.collect()
}
