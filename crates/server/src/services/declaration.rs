//! Declarations as they are sent.

use std::collections::BTreeSet;

use chablon_declare::Declaration;
use chablon_declare::allergens::{AllergenDeclaration, Cause};
use chablon_declare::content::{Amount, Composition, energy};
use chablon_declare::ingredient_list::IngredientList;
use chablon_declare::label::{Label, LabelBasis, Row, Shown};
use chablon_exchange::Founded;
use chablon_model::{AllergenState, IngredientId, LabelRegime, Nutrient, SiteId};
use chablon_wire::pb;

use super::figures::{basis, energy_figure, grams, laid, told};

/// A declaration.
pub(super) fn declaration(
    site: &SiteId,
    found: Founded<Declaration>,
    replica: Option<pb::ReplicaState>,
) -> pb::Declaration {
    let Founded { figure: declared, basis: digests, deviations, cautions } = found;
    pb::Declaration {
        recipe: declared.recipe.to_string(),
        site: site.to_string(),
        allergens: declared.allergens.iter().map(allergen).collect(),
        blockers: declared.blockers.iter().map(ToString::to_string).collect(),
        contradictions: declared.contradictions.iter().map(ToString::to_string).collect(),
        content_per_100g: Some(composition(&declared.content)),
        content_per_piece: declared.content_per_piece.as_ref().map(composition),
        labels: declared.labels.iter().map(label).collect(),
        lists: declared.lists.iter().map(list).collect(),
        notices: owned(&declared.cautions),
        basis: Some(basis(&digests, replica)),
        deviations: laid(deviations),
        cautions: told(&cautions),
    }
}

fn allergen(declared: &AllergenDeclaration) -> pb::DeclaredAllergen {
    let state = match declared.state {
        AllergenState::Contains => pb::AllergenState::Contains,
        AllergenState::MayContain => pb::AllergenState::MayContain,
        AllergenState::Free => pb::AllergenState::Free,
        AllergenState::Unknown => pb::AllergenState::Unknown,
    };
    let cause = |one: &Cause| pb::AllergenCause {
        ingredient: one.ingredient.to_string(),
        path: one.path.iter().map(ToString::to_string).collect(),
    };
    pb::DeclaredAllergen {
        allergen: declared.allergen.code().to_owned(),
        state: state.into(),
        because: declared.because.iter().map(cause).collect(),
    }
}

fn composition(content: &Composition) -> pb::Composition {
    let amount = |(nutrient, one): (&Nutrient, &Amount)| pb::NutrientAmount {
        nutrient: nutrient.as_str().to_owned(),
        mass_g: Some(grams(&one.grams)),
        missing: ids(&one.missing),
    };
    let energy = energy(content, LabelRegime::Eu);
    pb::Composition {
        of_g: Some(grams(&content.of_grams)),
        amounts: content.amounts.iter().map(amount).collect(),
        energy_kj: energy.kj.as_ref().map(energy_figure),
        energy_kcal: Some(energy_figure(&energy.kcal)),
        complete: content.is_complete(),
        to_taste: content.to_taste.iter().map(|uses| uses.id().to_string()).collect(),
    }
}

fn label(label: &Label) -> pb::LabelFigures {
    let regime = match label.regime {
        LabelRegime::Eu => pb::LabelRegime::Eu,
        LabelRegime::Us => pb::LabelRegime::Us,
    };
    let serving = match &label.basis {
        LabelBasis::Per100G => String::new(),
        LabelBasis::Serving(serving) => serving.to_string(),
    };
    pb::LabelFigures {
        regime: regime.into(),
        serving,
        rows: label.rows.iter().map(row).collect(),
        not_known: owned(label.not_known),
        notes: owned(label.notes),
        source: label.source.to_owned(),
        notices: owned(&label.cautions),
    }
}

fn row(row: &Row) -> pb::LabelRow {
    let (from, to) = row
        .tolerance
        .as_ref()
        .map_or_else(Default::default, |(from, to)| (from.to_string(), to.to_string()));
    pb::LabelRow {
        key: row.key.to_owned(),
        exact: row.exact.to_string(),
        rounded: row.shown.figure().to_string(),
        below: matches!(row.shown, Shown::Below(_)),
        unit: row.unit.to_owned(),
        tolerated_from: from,
        tolerated_to: to,
        missing: ids(&row.missing),
        mandatory: row.mandatory,
    }
}

fn list(listed: &IngredientList) -> pb::ListedIngredients {
    pb::ListedIngredients {
        language: listed.language.to_string(),
        text: listed.to_string(),
        may_contain: listed.may_contain.clone(),
        findings: listed.findings.iter().map(ToString::to_string).collect(),
        notices: owned(&listed.cautions),
    }
}

fn ids(ingredients: &BTreeSet<IngredientId>) -> Vec<String> {
    ingredients.iter().map(ToString::to_string).collect()
}

fn owned(texts: &[&str]) -> Vec<String> {
    texts.iter().map(|text| (*text).to_owned()).collect()
}
