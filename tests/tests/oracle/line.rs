//! One generated book with its cases.

use chablon_book::{Files, Outcome as Read, Severity, read};
use chablon_sdk::arith::{self, Library};
use serde_json::Value;

use crate::case::Kitchen;
use crate::compare::Comparison;
use crate::refusals;

/// A generated book with what is asked of it.
pub(crate) struct Line {
    seed: String,
    files: Files,
    cases: Vec<Value>,
    plans: Vec<Value>,
    shocks: Vec<Value>,
}

/// What comparing found.
#[derive(Default)]
pub(crate) struct Outcome {
    /// Figures equal, exact and rounded.
    pub(crate) figures: u64,
    /// Figures equal that floats decided.
    pub(crate) quick: u64,
    /// Plans of several products.
    pub(crate) plans: u64,
    /// Moves of prices.
    pub(crate) shocks: u64,
    pub(crate) refusals: u64,
    pub(crate) differences: Vec<String>,
}

impl Outcome {
    /// Both together.
    pub(crate) fn and(mut self, mut other: Self) -> Self {
        self.figures += other.figures;
        self.quick += other.quick;
        self.plans += other.plans;
        self.shocks += other.shocks;
        self.refusals += other.refusals;
        self.differences.append(&mut other.differences);
        self
    }

    fn add(&mut self, comparison: Comparison) {
        self.figures += comparison.figures;
        self.differences.extend(comparison.differences);
    }
}

impl Line {
    pub(crate) fn parse(text: &str) -> Self {
        let mut line: Value = serde_json::from_str(text).expect("a line of JSON");
        let files = line["files"].as_object().expect("files").clone();
        let texts = files.into_iter().map(|(path, text)| {
            let text = text.as_str().expect("a text").to_owned();
            (path, text)
        });
        let mut list = |key: &str| line[key].as_array_mut().map(std::mem::take).expect("a list");
        let (cases, plans, shocks) = (list("cases"), list("plans"), list("shocks"));
        Self { seed: line["seed"].to_string(), files: Files::new(texts), cases, plans, shocks }
    }

    /// Runs every case through our own path.
    pub(crate) fn compare(&self) -> Outcome {
        let read = read(&self.files);
        let documents = read.book.as_ref().map(chablon_book::AuthoredBook::documents);
        let kitchen = read.book.as_ref().zip(documents.as_deref());
        let kitchen = kitchen.map(|(book, documents)| Kitchen::new(book, documents));
        let mut outcome = Outcome::default();
        let all = self.cases.iter().chain(&self.plans).chain(&self.shocks).enumerate();
        for (index, case) in all {
            let place = format!("seed {} case {index} {}", self.seed, case["command"]);
            match case["expect"]["error"].as_str() {
                Some(kind) => refuse(&mut outcome, &place, kind, case, &read, kitchen.as_ref()),
                None => hold(&mut outcome, &place, case, &read, kitchen.as_ref()),
            }
        }
        outcome
    }
}

fn hold(
    outcome: &mut Outcome,
    place: &str,
    case: &Value,
    read: &Read,
    kitchen: Option<&Kitchen<'_>>,
) {
    let Some(kitchen) = kitchen else {
        let findings: Vec<_> = read.findings.iter().map(|one| one.message.as_str()).collect();
        let refused = format!("{place}: refused as a book: {}", findings.join("; "));
        return outcome.differences.push(refused);
    };
    let mut comparison = Comparison::default();
    match kitchen.answer(case) {
        Ok(found) => comparison.hold(place, &case["expect"], &found),
        Err(code) => comparison.differences.push(format!("{place}: refused: {code}")),
    }
    outcome.plans += u64::from(case.get("products").is_some());
    outcome.add(comparison);
    if case["command"] == "shock" {
        outcome.shocks += 1;
    } else {
        outcome.quick += kitchen.hold_quick(case, place, &mut outcome.differences);
    }
}

fn refuse(
    outcome: &mut Outcome,
    place: &str,
    kind: &str,
    case: &Value,
    read: &Read,
    kitchen: Option<&Kitchen<'_>>,
) {
    outcome.refusals += 1;
    let found = codes(read, case, kitchen);
    let wanted = refusals::codes(kind);
    if !found.iter().any(|code| wanted.contains(&code.as_str())) {
        let found = found.join(", ");
        outcome.differences.push(format!("{place}: {kind} is expected, found {found}"));
    }
}

/// The codes of everything that refuses the case: findings, faults of recipes, the plan.
fn codes(read: &Read, case: &Value, kitchen: Option<&Kitchen<'_>>) -> Vec<String> {
    let errors = read.findings.iter().filter(|finding| finding.severity == Severity::Error);
    let mut codes: Vec<String> = errors.map(|finding| finding.code.to_string()).collect();
    let Some(book) = &read.book else { return codes };
    let library = Library::new(&book.ingredients, &book.recipes);
    let (compiled, problems) = arith::compile(&library);
    let errors = problems.iter().filter(|one| one.severity() == arith::Severity::Error);
    codes.extend(errors.map(|problem| problem.code().to_owned()));
    let prices = arith::check_prices(&library, &compiled, &book.price_lists);
    codes.extend(prices.iter().map(|problem| problem.code().to_owned()));
    codes.extend(kitchen.and_then(|kitchen| kitchen.answer(case).err()));
    codes
}
