//! Ingredients: what is bought, and what is stated of it.

use chablon_declare::allergens::state_changes;
use chablon_model::{Content, Detail, Details, Ingredient, Language, Nutrient, Text};

use super::sink::Sink;
use super::texts::{languages, note, wording};
use crate::{Pair, StatedContent, What, Worded, sense};

pub(super) fn compare(ingredients: Pair<&Ingredient>, sink: &mut Sink<'_>) {
    let Pair { before, after } = ingredients;
    // Named one by one, so that a new field isn't forgotten.
    let Ingredient {
        id: _,
        name,
        label_name,
        density,
        piece_mass,
        edible_yield,
        allergens: _,
        other_allergens: _,
        content,
        details,
        made_of,
        note: remark,
    } = after;
    let statements = state_changes(before, after);
    sink.add((!statements.is_empty()).then_some(What::Statement(statements)));
    if !sense::same(before.density, *density) {
        sink.add(What::Density(Pair::new(before.density, *density)));
    }
    if !sense::same(before.piece_mass, *piece_mass) {
        sink.add(What::PieceMass(Pair::new(before.piece_mass, *piece_mass)));
    }
    if !sense::same(before.edible_yield, *edible_yield) {
        sink.add(What::EdibleYield(Pair::new(before.edible_yield, *edible_yield)));
    }
    if sense::made_of(&before.made_of) != sense::made_of(made_of) {
        sink.add(What::MadeOf(Pair::new(before.made_of.clone(), made_of.clone())));
    }
    let mut stated = stated(Pair::new(&before.content, content));
    stated.extend(closely_stated(Pair::new(&before.details, details)));
    sink.add((!stated.is_empty()).then_some(What::Stated(stated)));
    label_names(Pair::new(before, after), sink);
    wording(&Worded::Name, Pair::new(&before.name, name), sink);
    note(Pair::new(&before.note, remark), sink);
    debug_assert!(after.label_name == *label_name, "compared with the name that stands in for it");
}

fn stated(contents: Pair<&Content>) -> Vec<StatedContent> {
    let of = |nutrient: &Nutrient| contents.map(|content| content.0.get(nutrient).copied());
    let all = Nutrient::ALL.iter().map(|nutrient| (nutrient.as_str(), of(nutrient)));
    let changed = all.filter(|(_, mass)| !sense::same(mass.before, mass.after));
    changed.map(|(of, mass)| StatedContent { of, mass }).collect()
}

fn closely_stated(details: Pair<&Details>) -> Vec<StatedContent> {
    let of = |detail: &Detail| details.map(|details| details.0.get(detail).copied());
    let all = Detail::ALL.iter().map(|detail| (detail.as_str(), of(detail)));
    let changed = all.filter(|(_, mass)| !sense::same(mass.before, mass.after));
    changed.map(|(of, mass)| StatedContent { of, mass }).collect()
}

/// The names in a list of ingredients: the label's own, else the ingredient's.
fn label_names(ingredients: Pair<&Ingredient>, sink: &mut Sink<'_>) {
    let by = |ingredient: &Ingredient, language: &Language| {
        let texts: [&Text; 2] = [&ingredient.label_name, &ingredient.name];
        texts.iter().find_map(|text| text.0.get(language)).cloned()
    };
    let mut all = languages(ingredients.map(|one| &one.label_name));
    all.extend(languages(ingredients.map(|one| &one.name)));
    for language in all {
        let name = ingredients.map(|one| by(one, language));
        let name = Pair::changed(name.before, name.after);
        sink.add(name.map(|name| What::LabelName { language: language.clone(), name }));
    }
}
