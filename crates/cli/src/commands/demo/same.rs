//! The same basis gives the same digits, whoever computes.

use chablon_arith::Target;
use chablon_sdk::figures::{Authored, Basis, Costing, Figure, Plan};

use super::stage::Stage;
use super::story;
use super::{PIECE, PIECES, acts, day, recipe};
use crate::book::documents;
use crate::failure::Failure;

/// The figures of a plan and of its cost.
#[derive(Debug, PartialEq, Eq)]
struct Digits {
    plan: Vec<String>,
    cost: Vec<String>,
    bases: [Basis; 2],
}

pub(super) async fn show(stage: &Stage) -> Result<(), Failure> {
    story::step(6, "The book, the hub and each kitchen give the same digits")?;
    let documents = documents(&stage.book()?.sound(&stage.book_folder())?);
    let book = Authored::new(&documents);
    let mut compared = Vec::new();
    for kitchen in &stage.kitchens {
        let (site, recipe) = (kitchen.site(), recipe(PIECE));
        let (target, day) = (Target::pieces(PIECES), day());
        let refused = |error| Failure::of_figure(&error);
        let by_book = Digits::of(
            &book.scale(&recipe, &target, Some(site)).map_err(refused)?,
            &book.cost(&recipe, &target, site, day).map_err(refused)?,
        );
        let client = &stage.client;
        let by_hub = Digits::of(
            &client.scale(site, &recipe, &target, None).await.map_err(refused)?,
            &client.cost(site, &recipe, &target, day, None).await.map_err(refused)?,
        );
        let standard = acts::standard(kitchen, &recipe).await?;
        let by_kitchen = Digits::of(
            &standard.scale(&target).map_err(refused)?,
            &standard.cost(&target, day).map_err(refused)?,
        );
        if by_book != by_kitchen || by_hub != by_kitchen {
            return Err(Failure::internal(format!("the digits at {site} differ")));
        }
        compared.push(format!("{} at {site}", by_kitchen.count()));
    }
    story::shown(&format!("Exact figures compared, each the same: {}.", compared.join(", ")))
}

impl Digits {
    fn of(plan: &Plan, cost: &Costing) -> Self {
        Self {
            plan: planned(plan),
            cost: costed(cost),
            bases: [plan.basis.clone(), cost.basis.clone()],
        }
    }

    fn count(&self) -> usize {
        self.plan.len() + self.cost.len()
    }
}

fn exact<'a>(figures: impl IntoIterator<Item = &'a Figure>) -> impl Iterator<Item = String> {
    figures.into_iter().map(|figure| figure.exact().to_string())
}

fn planned(plan: &Plan) -> Vec<String> {
    let mut digits: Vec<String> = exact(plan.ingredients.iter().map(|one| &one.mass_g)).collect();
    for component in &plan.components {
        digits.push(component.batches.to_string());
        digits.extend(exact([&component.net_g, &component.factor, &component.input_g]));
        digits.extend(exact(&component.pieces));
        for line in &component.lines {
            digits.extend(exact([&line.mass_g, &line.per_batch_g]));
            digits.extend(
                line.weigh.iter().flat_map(|weigh| exact([&weigh.reading_g, &weigh.error_percent])),
            );
        }
    }
    digits
}

fn costed(cost: &Costing) -> Vec<String> {
    let mut digits: Vec<String> =
        exact([&cost.food, &cost.labour, &cost.total, &cost.per_kg]).collect();
    digits.extend(exact(&cost.per_piece));
    for one in &cost.ingredients {
        digits.extend(exact([&one.mass_g, &one.purchased_g]).chain(exact(&one.cost)));
    }
    digits.extend(cost.order.iter().map(|line| line.packs.to_string()));
    digits.extend(exact(cost.order.iter().map(|line| &line.cost)));
    digits
}
