//! The list of ingredients that a label prints.

use std::collections::BTreeSet;

use chablon_declare::allergens::views::Law;
use chablon_declare::ingredient_list::ListOptions;
use chablon_model::{LabelRegime, Language, RecipeId};

use super::content::regimes;
use crate::compare::sink::Sink;
use crate::compare::{Compared, Side};
use crate::{Pair, What};

pub(super) fn compare(compared: &Compared<'_>, piece: &RecipeId, sink: &mut Sink<'_>) {
    for regime in regimes(compared) {
        for language in languages(compared) {
            let lists = compared.sides.as_ref().map(|side| text(side, piece, regime, language));
            let text = lists.both().and_then(|text| Pair::changed(text.before, text.after));
            let language = language.clone();
            sink.add(text.map(|text| What::IngredientList { regime, language, text }));
        }
    }
}

/// The languages that both sides print labels in.
fn languages<'a>(compared: &Compared<'a>) -> BTreeSet<&'a Language> {
    let of = |side: &Side<'a>| -> BTreeSet<&'a Language> {
        side.edition.settings.into_iter().flat_map(|book| &book.languages).collect()
    };
    let Pair { before, after } = compared.sides.as_ref().map(of);
    before.intersection(&after).copied().collect()
}

fn text(
    side: &Side<'_>,
    piece: &RecipeId,
    regime: LabelRegime,
    language: &Language,
) -> Option<String> {
    let options = ListOptions {
        language: language.clone(),
        fallback: side.first_language().unwrap_or(language).clone(),
        law: match regime {
            LabelRegime::Eu => Law::Eu,
            LabelRegime::Us => Law::Us,
        },
        emphasised: BTreeSet::new(),
    };
    Some(side.declarer.ingredient_list(piece, &options).ok()?.to_string())
}
