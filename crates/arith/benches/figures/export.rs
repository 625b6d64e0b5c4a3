//! A book as tables, for databases: one row of numbers for what can be taken, ingredients first,
//! then recipes in making order.

use std::fs::{self, File};
use std::io::{self, BufWriter, Write as _};
use std::path::Path;

use chablon_arith::{RecipeIndex, Recost, Used};
use chablon_quantity::Exact;

use crate::flat::float;
use crate::piece::GroupBook;

/// What an edible gram of the typical ingredient costs after the change.
const NEW_COST: (i128, i128) = (123, 10_000);

/// Writes the tables, what their costs come to, and what they come to after one price change.
pub(crate) fn write(book: &GroupBook, folder: &Path) -> io::Result<()> {
    fs::create_dir_all(folder)?;
    let ingredients = book.compiled.ingredients().len();
    let costs = book.costs.iter().enumerate();
    let costs = costs.map(|(at, cost)| format!("{at},{:?}", cost.as_ref().map_or(0.0, float)));
    table(folder, "ingredients", "id,cost", costs)?;
    let levels = levels(book);
    let recipes = book.compiled.recipes().iter().zip(&levels).enumerate();
    let recipes = recipes.map(|(at, (recipe, level))| {
        let pieces = recipe.pieces.as_ref().map(|pieces| format!("{:?}", float(pieces)));
        let pieces = pieces.unwrap_or_default();
        format!("{},{level},{:?},{pieces}", ingredients + at, float(&recipe.net))
    });
    table(folder, "recipes", "id,level,net,pieces", recipes)?;
    table(folder, "lines", "recipe,level,uses,grams", lines(book, &levels))?;

    let mut recost = book.recost();
    let every = (0..book.compiled.recipes().len()).map(RecipeIndex).collect();
    results(folder, "expected_all", book, &mut recost, every)?;
    let index = book.typical_ingredient();
    let cost = Exact::ratio(NEW_COST.0, NEW_COST.1).unwrap();
    let change = format!("{},{:?}", index.0, float(&cost));
    table(folder, "change", "ingredient,cost", [change])?;
    let touched = recost.change(&book.compiled, &[(index, Some(cost))]);
    results(folder, "expected_touched", book, &mut recost, touched)
}

/// How many steps of making each recipe stands above ingredients.
fn levels(book: &GroupBook) -> Vec<usize> {
    let mut levels: Vec<usize> = Vec::new();
    for at in 0..book.compiled.recipes().len() {
        let below = book.compiled.lines_of(RecipeIndex(at)).iter().map(|line| match line.uses {
            Used::Ingredient(_) => 0,
            Used::Component(component) => levels[component.0],
        });
        levels.push(1 + below.max().unwrap_or(0));
    }
    levels
}

fn lines(book: &GroupBook, levels: &[usize]) -> impl Iterator<Item = String> {
    let ingredients = book.compiled.ingredients().len();
    levels.iter().enumerate().flat_map(move |(at, level)| {
        book.compiled.lines_of(RecipeIndex(at)).iter().map(move |line| {
            let uses = match line.uses {
                Used::Ingredient(index) => index.0,
                Used::Component(index) => ingredients + index.0,
            };
            format!("{},{level},{uses},{:?}", ingredients + at, float(&line.mass))
        })
    })
}

/// The exact unit cost by the gram as the float next to it, and both of them rounded.
fn results(
    folder: &Path,
    name: &str,
    book: &GroupBook,
    recost: &mut Recost,
    recipes: Vec<RecipeIndex>,
) -> io::Result<()> {
    let ingredients = book.compiled.ingredients().len();
    let rows = recipes.into_iter().map(|recipe| {
        let exact = recost.exact_per_gram(&book.compiled, recipe).unwrap();
        let shown = recost.unit_cost(recipe).unwrap();
        let piece = shown.per_piece.map(|piece| piece.to_string()).unwrap_or_default();
        let exact = wide_float(&exact);
        format!("{},{exact:?},{},{piece}", ingredients + recipe.0, shown.per_gram)
    });
    table(folder, name, "id,exact,per_gram,per_piece", rows)
}

/// The float next to a number that may be longer than two integers of 128 bits.
fn wide_float(value: &Exact) -> f64 {
    value.round(18).to_string().parse().unwrap()
}

fn table(
    folder: &Path,
    name: &str,
    head: &str,
    rows: impl IntoIterator<Item = String>,
) -> io::Result<()> {
    let mut file = BufWriter::new(File::create(folder.join(name).with_extension("csv"))?);
    writeln!(file, "{head}")?;
    for row in rows {
        writeln!(file, "{row}")?;
    }
    file.flush()
}
