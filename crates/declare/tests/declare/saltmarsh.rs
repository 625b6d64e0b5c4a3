//! The demonstration book, declared whole.

use std::collections::BTreeSet;
use std::fmt::Write;

use chablon_book::{AuthoredBook, Files, read};
use chablon_declare::balance::WaterActivityEstimate;
use chablon_declare::content::energy;
use chablon_declare::control::{ControlPlan, Jurisdiction};
use chablon_declare::{Declaration, DeclareOptions, Declarer};
use chablon_model::{AllergenState, LabelRegime, RecipeId};

use crate::fixture::{id, with};

fn book() -> AuthoredBook {
    let outcome = read(&Files::new(chablon_saltmarsh::files()));
    outcome.book.expect("the demonstration book is sound")
}

fn declared(declarer: &Declarer<'_>, book: &AuthoredBook, recipe: &str) -> Declaration {
    let emphasised = [
        "pear-fresh",
        "pear-puree",
        "flour-buckwheat",
        "buckwheat-groats",
        "honey-acacia",
        "honey-buckwheat",
    ];
    let emphasised: BTreeSet<_> = emphasised.iter().map(|id| id.parse().expect("an id")).collect();
    let mut settings = book.settings.clone();
    settings.labels = LabelRegime::ALL.to_vec();
    let options = DeclareOptions { settings: &settings, emphasised, serving: None };
    declarer.declare(&id(recipe), &options).expect("declared")
}

/// All of a declaration, a line for everything that is known.
fn text(of: &Declaration) -> Result<String, std::fmt::Error> {
    let mut text = String::new();
    for one in of.allergens.iter().filter(|one| one.state != AllergenState::Free) {
        write!(text, "{} {}:", one.allergen, one.state.as_str())?;
        for cause in &one.because {
            let way = cause.path.iter().map(RecipeId::as_str).chain([cause.ingredient.as_str()]);
            write!(text, " {};", way.collect::<Vec<_>>().join(" > "))?;
        }
        writeln!(text)?;
    }
    for (law, view) in &of.views {
        for entry in view.iter().filter(|entry| entry.state != AllergenState::Free) {
            let named: Vec<&str> = entry.named.iter().map(|one| one.name).collect();
            writeln!(
                text,
                "{}: {} {} ({})",
                law.as_str(),
                entry.name,
                entry.state.as_str(),
                named.join(", ")
            )?;
        }
    }
    for (nutrient, amount) in &of.content.amounts {
        let piece =
            of.content_per_piece.as_ref().map(|piece| piece.amount(*nutrient).grams.round(3));
        let piece = piece.map(|piece| piece.to_string()).unwrap_or_default();
        writeln!(text, "{}: {} g, a piece {piece} g", nutrient.as_str(), amount.grams.round(3))?;
    }
    writeln!(text, "ash and rest: {} g", of.content.ash_and_rest().expect("complete").round(3))?;
    for label in &of.labels {
        for row in &label.rows {
            let mut line = format!("{}: {} {row}", label.regime.as_str(), row.name("en"));
            if let Some((low, high)) = &row.tolerance {
                write!(line, ", within {} to {}", low.round(2), high.round(2))?;
            }
            writeln!(text, "{line}")?;
        }
    }
    for list in &of.lists {
        writeln!(text, "{list}")?;
        list.findings.iter().try_for_each(|finding| writeln!(text, "! {finding}"))?;
    }
    of.cautions.iter().try_for_each(|caution| writeln!(text, "* {caution}"))?;
    Ok(text)
}

#[test]
fn the_entremet_declared() {
    let book = book();
    let text = with(&book, |declarer| text(&declared(declarer, &book, "pear-buckwheat-entremet")));
    insta::assert_snapshot!(text.expect("a string"));
}

#[test]
fn every_recipe_can_be_declared_and_released() {
    let book = book();
    with(&book, |declarer| {
        for recipe in &book.recipes {
            let declaration = declared(declarer, &book, recipe.id.as_str());
            assert_eq!(declaration.blockers, [], "{}", recipe.id);
            assert_eq!(declaration.contradictions, [], "{}", recipe.id);
            assert!(declaration.labels.iter().all(chablon_declare::label::Label::is_complete));
            let kcal = energy(&declaration.content, LabelRegime::Eu).kcal.round(0);
            assert!(
                declaration.content.ash_and_rest().is_some_and(|rest| rest < 5.into()),
                "{}: {kcal}",
                recipe.id
            );
        }
    });
}

#[test]
fn the_balance_of_every_recipe() {
    let book = book();
    let mut text = String::new();
    with(&book, |declarer| {
        for recipe in &book.recipes {
            let balance = declarer.balance(&recipe.id).expect("a balance");
            let ratios = balance.ratios.iter().map(|one| {
                let value =
                    one.value.as_ref().map_or("-".to_owned(), |value| value.round(3).to_string());
                format!("{} {value}", one.key)
            });
            let ratios: Vec<String> = ratios.collect();
            let activity = match &balance.water_activity {
                WaterActivityEstimate::Estimated(one) => {
                    format!("{} to {}", one.lowest.round(3), one.highest.round(3))
                }
                WaterActivityEstimate::Not(_) => "not estimated".to_owned(),
            };
            writeln!(text, "{}: {}; aw {activity}", recipe.id, ratios.join(", "))
                .expect("a string");
        }
    });
    insta::assert_snapshot!(text);
}

#[test]
fn the_control_points_of_every_recipe() {
    let book = book();
    let mut text = String::new();
    with(&book, |declarer| {
        for jurisdiction in [Jurisdiction::UsFoodCode, Jurisdiction::France] {
            let plan = ControlPlan::published(jurisdiction);
            writeln!(text, "== {}", jurisdiction.title()).expect("a string");
            let mut seen = BTreeSet::new();
            for recipe in &book.recipes {
                let report = declarer.control(&recipe.id, &plan).expect("a report");
                for finding in &report.findings {
                    let line = format!("{}: {finding}", finding.severity.as_str());
                    if seen.insert(line.clone()) {
                        writeln!(text, "{line}").expect("a string");
                    }
                }
            }
        }
    });
    insta::assert_snapshot!(text);
}
