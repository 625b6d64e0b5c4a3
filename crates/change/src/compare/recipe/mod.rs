//! Recipes: what a cook would do otherwise.

mod declared;
mod figures;
mod lines;
mod losses;
mod matched;
mod method;
mod renamed;
mod replaced;

use chablon_model::{Batch, Recipe};

use super::Compared;
use super::sink::Sink;
use super::texts::{note, wording};
use crate::{Bound, Pair, What, Worded, sense};
use figures::Figures;
pub(crate) use renamed::Renamed;

pub(super) fn compare(compared: &Compared<'_>, recipes: Pair<&Recipe>, sink: &mut Sink<'_>) {
    let Pair { before, after } = recipes;
    // Named one by one, so that a new field isn't forgotten.
    let Recipe {
        id: _,
        title,
        density,
        note: remark,
        yields,
        batch,
        lines,
        losses,
        steps,
        storage,
        declared,
    } = after;
    let figures = figures_of(compared, recipes);
    let renamed = Renamed::between(Pair::new(&before.steps, steps));
    if before.storage.as_ref().map(sense::storage) != storage.as_ref().map(sense::storage) {
        sink.add(What::Storage(Pair::new(before.storage.clone(), storage.clone())));
    }
    method::compare(compared, Pair::new(&before.steps, steps), &renamed, sink);
    lines::compare(Pair::new(&before.lines, lines), figures.as_ref(), &renamed, sink);
    if !sense::same(before.density, *density) {
        sink.add(What::Density(Pair::new(before.density, *density)));
    }
    if before.yields.as_ref().map(sense::yields) == yields.as_ref().map(sense::yields) {
        sink.add(figures::makes(figures.as_ref()).map(What::Makes));
    } else {
        sink.add(What::Yield(Pair::new(before.yields.clone(), yields.clone())));
    }
    losses::compare(Pair::new(&before.losses, losses), sink);
    compare_batch(Pair::new(&before.batch, batch), sink);
    let declared = declared::changed(Pair::new(&before.declared, declared));
    sink.add((!declared.is_empty()).then_some(What::Declared(declared)));
    wording(&Worded::Title, Pair::new(&before.title, title), sink);
    note(Pair::new(&before.note, remark), sink);
}

/// The lines of two recipes by what belongs together.
pub(crate) type LineMatches = Vec<Pair<Vec<usize>>>;

/// Which lines of two recipes belong together, by what they say alone.
pub(crate) fn line_matches(recipes: Pair<&Recipe>) -> LineMatches {
    let renamed = Renamed::between(recipes.map(|recipe| &recipe.steps[..]));
    let lines = recipes.map(|recipe| &recipe.lines[..]);
    let unknown = lines.map(|lines| vec![None; lines.len()]);
    matched::matches(lines, unknown.as_ref().map(|grams| &grams[..]), &renamed).groups
}

/// What follows for a recipe that says the same, but whose ingredients or components weigh
/// otherwise.
pub(super) fn follow(compared: &Compared<'_>, recipe: &Recipe, sink: &mut Sink<'_>) {
    let recipes = Pair::new(recipe, recipe);
    let figures = figures_of(compared, recipes);
    let renamed = Renamed::between(recipes.map(|recipe| &recipe.steps[..]));
    lines::compare(recipes.map(|recipe| &recipe.lines[..]), figures.as_ref(), &renamed, sink);
    sink.add(figures::makes(figures.as_ref()).map(What::Makes));
}

fn figures_of(compared: &Compared<'_>, recipes: Pair<&Recipe>) -> Pair<Figures> {
    let Pair { before, after } = &compared.sides;
    Pair::new(Figures::of(before, recipes.before), Figures::of(after, recipes.after))
}

fn compare_batch(batches: Pair<&Batch>, sink: &mut Sink<'_>) {
    let Pair { before, after } = batches;
    let Batch { max, min, equipment } = after;
    for (bound, mass) in
        [(Bound::Max, Pair::new(before.max, *max)), (Bound::Min, Pair::new(before.min, *min))]
    {
        if !sense::same(mass.before, mass.after) {
            sink.add(What::Batch { bound, mass });
        }
    }
    let equipment = Pair::changed(before.equipment.clone(), equipment.clone());
    sink.add(equipment.map(What::BatchEquipment));
}
