//! What declaring finds in a book, at its place in the files.

use chablon_arith::{CompiledBook, Library};
use chablon_book::{AuthoredBook, Finding, Locations};
use chablon_model::{DocumentKey, RecipeId};
use chablon_sdk::declare::Declarer;
use chablon_sdk::declare::allergens::{Contradiction, Unstated};
use chablon_sdk::declare::content::{ContentFault, Difference};
use chablon_sdk::declare::control::{ControlFinding, ControlPlan, Severity};

use super::placed;

/// The finding that keeps a recipe from being released, though it can be scaled and costed.
pub(super) const ALLERGEN_UNKNOWN: &str = "allergen-unknown";

/// How many recipes are named.
const NAMED: usize = 3;

/// What keeps the recipes of a book from being declared or released, or makes it doubtful.
pub(super) fn findings(
    library: &Library<'_>,
    compiled: CompiledBook,
    book: &AuthoredBook,
    locations: &Locations,
) -> Vec<Finding> {
    let declarer = Declarer::of_compiled(library, compiled);
    let faults = declarer.content_faults().map(|fault| of_content(fault, locations));
    let unstated = declarer.unstated();
    let unstated = unstated.iter().map(|one| of_unstated(one, locations));
    let contradictions = declarer.all_contradictions();
    let contradictions = contradictions.iter().map(|one| of_contradiction(one, locations));
    let control = control(&declarer, book, locations);
    let differences = differences(&declarer, book, locations);
    faults.chain(unstated).chain(contradictions).chain(control).chain(differences).collect()
}

/// What is declared that differs from what is computed by more than is let pass.
fn differences(
    declarer: &Declarer<'_>,
    book: &AuthoredBook,
    locations: &Locations,
) -> Vec<Finding> {
    let mut findings = Vec::new();
    let looked_at = |one: &&Difference| one.is_to_be_looked_at();
    for recipe in book.recipes.iter().filter(|one| !one.declared.is_empty()) {
        let differences = declarer.declared(&recipe.id).unwrap_or_default();
        let found = differences.iter().filter(looked_at);
        let key = DocumentKey::from(&recipe.id);
        findings.extend(found.map(|one| of_difference(one, &key, "declared", locations)));
    }
    for compound in declarer.all_compounds() {
        let found = compound.differences.iter().filter(looked_at);
        let key = DocumentKey::from(&compound.ingredient);
        findings.extend(found.map(|one| of_difference(one, &key, "content", locations)));
    }
    findings
}

fn of_difference(
    one: &Difference,
    of: &DocumentKey,
    table: &str,
    locations: &Locations,
) -> Finding {
    let allowed = match &one.tolerance {
        Some((low, high)) => {
            format!("the tolerance is from {} g to {} g", low.round(3), high.round(3))
        }
        None => "no tolerance is published for it".to_owned(),
    };
    let message = format!("`{}`: {one}; {allowed}", of.id);
    let finding = Finding::warning("declared-differs", message).hint(
        "correct whichever is wrong: what is declared, or the lines, losses and contents from \
         which it is computed",
    );
    placed(finding, locations.locate(of, &format!("{table}.{}", one.key)), "as declared")
}

/// What finished pieces and their components state that goes, or may go, beyond a limit.
fn control(declarer: &Declarer<'_>, book: &AuthoredBook, locations: &Locations) -> Vec<Finding> {
    let plan = ControlPlan::of_group(&book.settings, None);
    let reports = declarer.pieces().into_iter().filter_map(|id| declarer.control(id, &plan).ok());
    let mut findings: Vec<ControlFinding> = Vec::new();
    for one in reports.flat_map(|report| report.findings) {
        // A component of several pieces is looked at with each.
        if one.severity > Severity::Unstated && !findings.contains(&one) {
            findings.push(one);
        }
    }
    findings.iter().map(|one| of_control(one, book, locations)).collect()
}

fn of_control(control: &ControlFinding, book: &AuthoredBook, locations: &Locations) -> Finding {
    let code = match control.severity {
        Severity::Breach => "control-breach",
        Severity::Risk | Severity::Unstated => "control-risk",
    };
    let recipe = book.recipes.iter().find(|one| one.id == control.recipe);
    let steps = recipe.into_iter().flat_map(|recipe| &recipe.steps);
    let step = steps.map(|step| &step.id).position(|id| Some(id) == control.step.as_ref());
    let path = step.map_or_else(|| "storage".to_owned(), |at| format!("step[{at}]"));
    let finding = Finding::warning(code, control.to_string()).hint(
        "change what is stated, or set the limit of your own food-safety plan, or exempt the \
         recipe, under `[control]` in book.toml with the reason; local law and licensed practice \
         decide",
    );
    placed(finding, locations.locate(&(&control.recipe).into(), &path), "this")
}

fn of_content(fault: &ContentFault, locations: &Locations) -> Finding {
    let (path, label) = match fault {
        ContentFault::WaterBelowZero { shortage, .. } => {
            (format!("loss[{}]", shortage.loss - 1), "this loss")
        }
        ContentFault::NumberTooLarge { .. } => (String::new(), "this recipe"),
    };
    let finding = Finding::error(fault.code(), fault.to_string()).hint(fault.hint());
    placed(finding, locations.locate(&fault.recipe().into(), &path), label)
}

fn of_unstated(unstated: &Unstated, locations: &Locations) -> Finding {
    let message = format!("{unstated}, so it keeps {} from being released", reached(unstated));
    let finding = Finding::warning(ALLERGEN_UNKNOWN, message).hint(Unstated::HINT);
    let span = locations.locate(&(&unstated.ingredient).into(), "");
    placed(finding, span, "what is not stated is unknown, never free")
}

/// The recipes, each with the way down: `a`, `b` (by c -> d) and 4 more.
fn reached(unstated: &Unstated) -> String {
    let named = unstated.reached.iter().take(NAMED).map(|(recipe, path)| {
        let way: Vec<&str> = path.iter().map(RecipeId::as_str).collect();
        if way.is_empty() {
            format!("`{recipe}`")
        } else {
            format!("`{recipe}` (by {})", way.join(" -> "))
        }
    });
    let named: Vec<String> = named.collect();
    match unstated.reached.len() - named.len() {
        0 => named.join(", "),
        more => format!("{} and {more} more", named.join(", ")),
    }
}

fn of_contradiction(contradiction: &Contradiction, locations: &Locations) -> Finding {
    let finding = Finding::warning("made-of-contradiction", contradiction.to_string())
        .hint("correct one of the two; leave it where what is made of it is exempt by law");
    let span = locations.locate(&(&contradiction.ingredient).into(), "allergens");
    placed(finding, span, "says less than what it is made of")
}
