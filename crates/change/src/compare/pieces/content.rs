//! What 100 g hold, and what a label states of it.

use std::collections::BTreeSet;

use chablon_declare::content::{Amount, Composition};
use chablon_declare::label::{LabelBasis, Row, label};
use chablon_model::{LabelRegime, Nutrient, RecipeId};

use crate::compare::Compared;
use crate::compare::sink::Sink;
use crate::{ContentFigure, LabelFigure, Pair, What};

/// Content is compared as it is shown: to 0.01 g.
const DECIMALS: u32 = 2;

pub(super) fn compare(compared: &Compared<'_>, piece: &RecipeId, sink: &mut Sink<'_>) {
    let contents = compared.sides.as_ref().map(|side| side.declarer.content(piece).ok());
    let Some(contents) = contents.both() else { return };
    let contents: Pair<&Composition> = contents.as_ref();
    let figures = Nutrient::ALL.iter().map(|nutrient| ContentFigure {
        nutrient: *nutrient,
        amount: contents.map(|content| content.amount(*nutrient).clone()),
    });
    let shown = |amount: &Amount| (amount.grams.round(DECIMALS), amount.is_complete());
    let differ =
        |figure: &ContentFigure| shown(&figure.amount.before) != shown(&figure.amount.after);
    let figures: Vec<ContentFigure> = figures.filter(differ).collect();
    sink.add((!figures.is_empty()).then_some(What::Content(figures)));
    for regime in regimes(compared) {
        let labels = contents.map(|content| label(content, regime, LabelBasis::Per100G));
        let rows = labels.before.rows.iter().zip(&labels.after.rows);
        let figures: Vec<LabelFigure> =
            rows.filter_map(|(before, after)| row(before, after)).collect();
        sink.add((!figures.is_empty()).then_some(What::Label { regime, figures }));
    }
}

/// The label rules that either side declares under.
pub(super) fn regimes(compared: &Compared<'_>) -> BTreeSet<LabelRegime> {
    let settings =
        [&compared.sides.before, &compared.sides.after].map(|side| side.edition.settings);
    settings.into_iter().flatten().flat_map(|book| book.labels.iter().copied()).collect()
}

/// A row that is shown otherwise.
fn row(before: &Row, after: &Row) -> Option<LabelFigure> {
    let rows = Pair::new(before, after);
    let shown = |row: &Row| (row.to_string(), row.missing.is_empty());
    (shown(before) != shown(after)).then(|| LabelFigure {
        key: after.key,
        name: after.name("en"),
        shown: rows.map(ToString::to_string),
        exact: rows.map(|row| row.exact.clone()),
        missing: rows.map(|row| row.missing.clone()),
    })
}
