//! What is declared as JSON, with the keys that everyone who prints it shares.

use std::collections::BTreeSet;

use chablon_declare::allergens::{AllergenDeclaration, Cause, StateChange};
use chablon_declare::balance::{BalancePart, Ratio, Sweetness, WaterActivityEstimate};
use chablon_declare::caution::DECLARED;
use chablon_declare::content::{Amount, Composition, Difference, energy};
use chablon_declare::control::{Applied, ControlFinding, Jurisdiction, Need};
use chablon_declare::ingredient_list::{Entry, IngredientList, Part, Span};
use chablon_declare::label::{Label, LabelBasis, Row, Shown};
use chablon_model::{LabelRegime, RecipeId};
use chablon_quantity::Exact;
use serde_json::{Map, Value, json};

use super::{AllergenReach, Balanced, Declared};
use crate::figures::Figure;
use crate::figures::json::{basis, caution, laid, list, text};

/// Decimals of energy, of a ratio, of sweetness and of water activity.
const ENERGY: u32 = 3;
const RATIO: u32 = 4;

impl Declared {
    /// The declaration as JSON.
    pub fn to_json(&self) -> Value {
        let declaration = &self.declaration;
        let allergens = declaration.allergens.iter();
        let labels = declaration.labels.iter();
        let compounds = declaration.compounds.iter();
        let lists = declaration.lists.iter();
        let own = declaration.cautions.iter().chain(&self.control.cautions);
        json!({
            "recipe": text(&declaration.recipe),
            "allergens": object(allergens.map(|one| (one.allergen.code(), allergen(one)))),
            "content_per_100g": content(&declaration.content),
            "content_per_piece": declaration.content_per_piece.as_ref().map(content),
            "declared": list(&declaration.declared, difference),
            "compounds": object(compounds.map(|one| (one.ingredient.as_str(), list(&one.differences, difference)))),
            "label": object(labels.map(|one| (one.regime.as_str(), label(one)))),
            "ingredient_list": object(lists.map(|one| (one.language.as_str(), ingredient_list(one)))),
            "named_by_title": declaration.named_by_title.iter().map(text).collect::<Value>(),
            "blockers": list(&declaration.blockers, text),
            "contradictions": list(&declaration.contradictions, text),
            "control": list(&self.control.findings, control),
            "control_limits": object(self.control.limits.iter().map(|(role, one)| (role.as_str(), applied(one)))),
            "control_unchecked": self.control.unchecked.iter().map(|role| Value::from(role.as_str())).collect::<Value>(),
            "control_needs": object(self.control.needs.iter().map(|(recipe, one)| (recipe.as_str(), need(one)))),
            "cautions": own.map(|one| Value::from(*one)).chain(self.cautions.iter().map(text)).collect::<Value>(),
            "deviations": list(&self.deviations, laid),
            "basis": basis(&self.basis),
        })
    }
}

/// What changed allergens reach as JSON: the changes, their recipes and kitchens.
pub fn reach_to_json(reached: &[AllergenReach]) -> Value {
    let ids = |recipes: &BTreeSet<RecipeId>| recipes.iter().map(text).collect::<Value>();
    let one = |one: &AllergenReach| {
        let recipes = one.recipes.iter();
        let sites = one.sites.iter();
        json!({
            "ingredient": text(&one.ingredient),
            "allergens": changes(&one.changes),
            "recipes": object(recipes.map(|(id, changed)| (id.as_str(), changes(changed)))),
            "sites": object(sites.map(|(id, recipes)| (id.as_str(), ids(recipes)))),
        })
    };
    json!({"changes": list(reached, one), "cautions": [DECLARED]})
}

fn changes(changes: &[StateChange]) -> Value {
    object(changes.iter().map(|one| {
        let states = json!({"before": one.before.as_str(), "after": one.after.as_str()});
        (one.allergen.code(), states)
    }))
}

impl Balanced {
    /// The balance as JSON.
    pub fn to_json(&self) -> Value {
        let balance = &self.balance;
        let parts = balance.parts.iter();
        let ratios = balance.ratios.iter();
        json!({
            "recipe": text(&self.recipe),
            "parts_per_100g": object(parts.map(|one| (one.key, part(one)))),
            "ratios": object(ratios.map(|one| (one.key, ratio(one)))),
            "sweetness": sweetness(&balance.sweetness),
            "water_activity": water_activity(&balance.water_activity),
            "cautions": balance.cautions.iter().map(|one| Value::from(*one))
                .chain(self.cautions.iter().map(caution)).collect::<Value>(),
            "deviations": list(&self.deviations, laid),
            "basis": basis(&self.basis),
        })
    }
}

fn object<'a>(entries: impl Iterator<Item = (&'a str, Value)>) -> Value {
    entries.map(|(key, value)| (key.to_owned(), value)).collect::<Map<_, _>>().into()
}

fn allergen(declared: &AllergenDeclaration) -> Value {
    json!({"state": declared.state.as_str(), "because": list(&declared.because, cause)})
}

fn cause(cause: &Cause) -> Value {
    json!({"ingredient": text(&cause.ingredient), "path": list(&cause.path, text)})
}

fn amount(amount: &Amount) -> Value {
    let mut figure = Figure::grams(amount.grams.clone()).to_json();
    if !amount.is_complete() {
        figure["missing"] = amount.missing.iter().map(text).collect();
    }
    figure
}

/// Grams by nutrient, and the energy of both regimes' factors where they agree on the unit.
fn content(content: &Composition) -> Value {
    let amounts = content.amounts.iter().map(|(nutrient, one)| (nutrient.as_str(), amount(one)));
    let mut amounts = object(amounts);
    let energy = energy(content, LabelRegime::Eu);
    let figure = |exact: Exact| Figure::new(exact, ENERGY).to_json();
    amounts["energy_kj"] = energy.kj.map_or(Value::Null, figure);
    amounts["energy_kcal"] = figure(energy.kcal);
    amounts["complete"] = content.is_complete().into();
    amounts["to_taste"] = content.to_taste.iter().map(|uses| Value::from(uses.id())).collect();
    amounts
}

/// A figure that is declared elsewhere, beside what is computed.
fn difference(one: &Difference) -> Value {
    let figure = |exact: &Exact| Figure::new(exact.clone(), ENERGY).to_json();
    json!({
        "key": one.key,
        "unit": one.unit,
        "declared": figure(&one.declared),
        "computed": figure(&one.computed),
        "difference": figure(&one.difference),
        "tolerance": one.tolerance.as_ref().map(|(low, high)| json!([text(low), text(high)])),
        "missing": one.missing.iter().map(text).collect::<Value>(),
        "verdict": one.verdict.as_str(),
    })
}

fn label(label: &Label) -> Value {
    let serving = match &label.basis {
        LabelBasis::Per100G => Value::Null,
        LabelBasis::Serving(serving) => text(serving),
    };
    json!({
        "serving": serving,
        "rows": list(&label.rows, row),
        "not_known": label.not_known,
        "notes": label.notes,
        "source": label.source,
        "cautions": label.cautions,
    })
}

fn row(row: &Row) -> Value {
    json!({
        "key": row.key,
        "exact": text(&row.exact),
        "rounded": text(&row.shown.figure()),
        "below": matches!(row.shown, Shown::Below(_)),
        "unit": row.unit,
        "tolerance": row.tolerance.as_ref().map(|(low, high)| json!([text(low), text(high)])),
        "missing": row.missing.iter().map(text).collect::<Value>(),
        "mandatory": row.mandatory,
    })
}

fn ingredient_list(listed: &IngredientList) -> Value {
    json!({
        "text": text(listed),
        "entries": list(&listed.entries, entry),
        "may_contain": listed.may_contain,
        "findings": list(&listed.findings, text),
        "cautions": listed.cautions,
    })
}

fn entry(entry: &Entry) -> Value {
    json!({
        "ingredients": list(&entry.ingredients, text),
        "name": list(&entry.name, span),
        "grams": Figure::grams(entry.grams.clone()).to_json(),
        "quantity": entry.quantity.as_ref().map(text),
        "made_of": list(&entry.made_of, made_of),
    })
}

fn made_of(part: &Part) -> Value {
    json!({
        "ingredient": text(&part.ingredient),
        "depth": part.depth,
        "name": list(&part.name, span),
        "share": part.share.as_ref().map(text),
    })
}

fn span(span: &Span) -> Value {
    json!({"text": span.text, "allergen": span.allergen})
}

fn control(finding: &ControlFinding) -> Value {
    json!({
        "recipe": text(&finding.recipe),
        "step": finding.step.as_ref().map(text),
        "limit_for": finding.role.as_str(),
        "severity": finding.severity.as_str(),
        "text": text(finding),
        "source": finding.limit.source,
    })
}

fn applied(applied: &Applied) -> Value {
    json!({
        "limit": text(&applied.limit),
        "what": applied.what,
        "jurisdiction": applied.jurisdiction.map(Jurisdiction::as_str),
        "source": applied.source,
        "from_memory": applied.from_memory,
    })
}

fn need(need: &Need) -> Value {
    match need {
        Need::Needed(why) => json!({"needed": true, "because": why}),
        Need::NotNeeded(why) => json!({"needed": false, "because": why.to_string()}),
    }
}

fn part(part: &BalancePart) -> Value {
    amount(&part.amount)
}

fn ratio(ratio: &Ratio) -> Value {
    ratio.value.clone().map_or(Value::Null, |value| Figure::new(value, RATIO).to_json())
}

/// Lowest and highest, equal where everything is known.
fn range(lowest: &Exact, highest: &Exact) -> Value {
    let figure = |exact: &Exact| Figure::new(exact.clone(), RATIO).to_json();
    json!({"lowest": figure(lowest), "highest": figure(highest)})
}

fn sweetness(sweetness: &Sweetness) -> Value {
    let mut value = range(&sweetness.lowest, &sweetness.highest);
    value["unknown_in"] = sweetness.unknown_in.iter().map(text).collect();
    value["missing"] = sweetness.missing.iter().map(text).collect();
    value["not_counted"] = json!(sweetness.not_counted);
    value["source"] = sweetness.source.into();
    value
}

fn water_activity(estimate: &WaterActivityEstimate) -> Value {
    match estimate {
        WaterActivityEstimate::Not(why) => json!({"not_estimated": text(why)}),
        WaterActivityEstimate::Estimated(estimate) => {
            let mut value = range(&estimate.lowest, &estimate.highest);
            value["plus_minus"] = Figure::new(estimate.plus_minus.clone(), RATIO).to_json();
            value["unknown_in"] = estimate.unknown_in.iter().map(text).collect();
            value["not_counted"] = json!(estimate.not_counted);
            value["method"] = estimate.method.into();
            value
        }
    }
}
