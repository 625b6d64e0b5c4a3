//! One generated book with its cases.

use chablon_book::{AuthoredBook, Files, Severity, read};
use chablon_sdk::arith::{self, Library, Target};
use chablon_sdk::figures::Authored;
use chablon_sdk::model::{IngredientId, RecipeId, SiteId};
use chablon_sdk::quantity::Exact;
use serde_json::Value;

use crate::compare::Comparison;

/// A generated book with what is asked of it.
pub(crate) struct Line {
    seed: String,
    files: Files,
    cases: Vec<Value>,
}

/// What comparing a line found.
#[derive(Default)]
pub(crate) struct Outcome {
    pub(crate) figures: u64,
    pub(crate) refusals: u64,
    pub(crate) differences: Vec<String>,
}

impl Line {
    pub(crate) fn parse(text: &str) -> Self {
        let mut line: Value = serde_json::from_str(text).expect("a line of JSON");
        let files = line["files"].as_object().expect("files").clone();
        let texts = files.into_iter().map(|(path, text)| {
            let text = text.as_str().expect("a text").to_owned();
            (path, text)
        });
        Self {
            seed: line["seed"].to_string(),
            files: Files::new(texts),
            cases: line["cases"].as_array_mut().map(std::mem::take).expect("cases"),
        }
    }

    /// Runs every case through our own path.
    pub(crate) fn compare(&self) -> Outcome {
        let read = read(&self.files);
        let mut outcome = Outcome::default();
        for (index, case) in self.cases.iter().enumerate() {
            let path = format!("seed {} case {index} {}", self.seed, case["command"]);
            match case["expect"]["error"].as_str() {
                Some(kind) => {
                    outcome.refusals += 1;
                    let found = refusals(&read, case);
                    if !found.iter().any(|code| names(kind).contains(&code.as_str())) {
                        let found = found.join(", ");
                        outcome
                            .differences
                            .push(format!("{path}: {kind} is expected, found {found}"));
                    }
                }
                None => outcome.hold(&path, case, &read),
            }
        }
        outcome
    }
}

impl Outcome {
    fn hold(&mut self, path: &str, case: &Value, read: &chablon_book::Outcome) {
        let Some(book) = &read.book else {
            let findings: Vec<_> = read.findings.iter().map(|one| one.message.as_str()).collect();
            self.differences.push(format!("{path}: refused as a book: {}", findings.join("; ")));
            return;
        };
        match answer(book, case) {
            Ok(found) => {
                let mut comparison = Comparison::default();
                comparison.hold(path, &case["expect"], &found);
                self.figures += comparison.figures;
                self.differences.extend(comparison.differences);
            }
            Err(error) => self.differences.push(format!("{path}: refused: {error}")),
        }
    }
}

/// Our own answer to a case.
fn answer(book: &AuthoredBook, case: &Value) -> Result<Value, chablon_sdk::Error> {
    let documents = book.documents();
    let authored = Authored::new(&documents);
    let recipe: RecipeId = text(&case["recipe"]).parse().expect("a recipe's id");
    let target = target(&case["target"]);
    let site = case["site"].as_str().map(|site| site.parse::<SiteId>().expect("a site's id"));
    match &case["command"] {
        command if command == "scale" => {
            authored.scale(&recipe, &target, site.as_ref()).map(|plan| plan.to_json())
        }
        _ => {
            let on = text(&case["on"]).parse().expect("a day");
            let site = site.expect("a cost has a site");
            authored.cost(&recipe, &target, &site, on).map(|costing| costing.to_json())
        }
    }
}

/// The codes of everything that refuses the case: findings, faults of recipes, the plan.
fn refusals(read: &chablon_book::Outcome, case: &Value) -> Vec<String> {
    let errors = read.findings.iter().filter(|finding| finding.severity == Severity::Error);
    let mut codes: Vec<String> = errors.map(|finding| finding.code.to_string()).collect();
    let Some(book) = &read.book else { return codes };
    let library = Library::new(&book.ingredients, &book.recipes);
    let (compiled, problems) = arith::compile(&library);
    let errors = problems.iter().filter(|one| one.severity() == arith::Severity::Error);
    codes.extend(errors.map(|problem| problem.code().to_owned()));
    let lists = &book.price_lists;
    let prices = arith::check_prices(&library, &compiled, lists);
    codes.extend(prices.iter().map(|problem| problem.code().to_owned()));
    if let Err(error) = answer(book, case) {
        codes.extend(error.detail("code").map(str::to_owned));
    }
    codes
}

/// What we call the oracle's kinds of refusal.
fn names(kind: &str) -> &[&str] {
    match kind {
        "unexplained-loss" => &["unexplained-loss"],
        "below-per-batch" => &["below-per-batch"],
        "residue-exceeds-batch" => &["capacity-below-residue", "nothing-left"],
        "missing-density" => &["missing-density"],
        "missing-piece-mass" => &["missing-piece-mass"],
        "cycle" => &["cycle", "component-cycle"],
        "no-pieces" => &["no-pieces"],
        "on-hand-not-used" => &["on-hand-not-used"],
        "on-hand-too-little" => &["on-hand-too-little"],
        "labour-needs-pieces" => &["labour-needs-pieces"],
        other => panic!("the oracle refuses with `{other}`, which isn't known here"),
    }
}

fn target(target: &Value) -> Target {
    let exact = |figure: &Value| -> Exact { text(&figure["exact"]).parse().expect("a figure") };
    let (kind, value) = target.as_object().and_then(|one| one.iter().next()).expect("a target");
    match kind.as_str() {
        "pieces" => Target::Pieces(exact(value)),
        "mass_g" => Target::NetMass(exact(value)),
        "factor" => Target::Factor(exact(value)),
        "batches" => Target::WrittenBatches(exact(value)),
        "on_hand" => {
            let ingredient: IngredientId = text(&value["ingredient"]).parse().expect("an id");
            Target::OnHand { ingredient, mass: exact(&value["mass_g"]) }
        }
        other => panic!("`{other}` is no kind of target"),
    }
}

fn text(value: &Value) -> &str {
    value.as_str().expect("a text")
}
