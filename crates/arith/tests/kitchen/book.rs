//! Small books for tests, written as short as they can be read.

use std::collections::BTreeMap;

use chablon_model::{
    Amount, Batch, Content, Day, Equipment, Ingredient, Labour, Line, Loss, LossKind, Pack, Price,
    PriceList, Recipe, Scale, Scaling, Site, Step, Text, Uses, Yield,
};
use chablon_quantity::{Authored, Exact};

/// An exact number.
pub(crate) fn n(text: &str) -> Exact {
    text.parse().unwrap()
}

pub(crate) fn ingredient(id: &str) -> Ingredient {
    Ingredient {
        id: id.parse().unwrap(),
        name: Text::default(),
        label_name: Text::default(),
        density: None,
        piece_mass: None,
        edible_yield: None,
        allergens: BTreeMap::new(),
        other_allergens: None,
        content: Content::default(),
        details: chablon_model::Details::default(),
        made_of: Vec::new(),
        note: None,
    }
}

/// A recipe of these lines.
pub(crate) fn recipe(id: &str, lines: Vec<Line>) -> Recipe {
    Recipe {
        id: id.parse().unwrap(),
        title: Text::default(),
        density: None,
        note: None,
        yields: None,
        batch: Batch::default(),
        lines,
        losses: Vec::new(),
        steps: Vec::new(),
        storage: None,
        declared: chablon_model::DeclaredContent::default(),
    }
}

/// An amount as a book writes it: `500 g`, `2 pieces`, `5 %`, `to taste`.
pub(crate) fn amount(text: &str) -> Amount {
    if text == "to taste" {
        return Amount::ToTaste;
    }
    text.parse()
        .map(Amount::Mass)
        .or_else(|_| text.parse().map(Amount::Volume))
        .or_else(|_| text.parse().map(Amount::Count))
        .or_else(|_| text.parse().map(Amount::Share))
        .unwrap()
}

fn line(uses: Uses, text: &str) -> Line {
    let amount = amount(text);
    Line { uses, amount, base: false, scaling: Scaling::Proportional, tolerance: None, step: None }
}

pub(crate) fn take(ingredient: &str, amount: &str) -> Line {
    line(Uses::Ingredient(ingredient.parse().unwrap()), amount)
}

pub(crate) fn component(recipe: &str, amount: &str) -> Line {
    line(Uses::Component(recipe.parse().unwrap()), amount)
}

pub(crate) fn base(line: Line) -> Line {
    Line { base: true, ..line }
}

pub(crate) fn per_batch(line: Line) -> Line {
    Line { scaling: Scaling::PerBatch, ..line }
}

pub(crate) fn whole(line: Line) -> Line {
    Line { scaling: Scaling::Whole, ..line }
}

pub(crate) fn pieces(recipe: Recipe, count: &str, piece_mass: Option<&str>) -> Recipe {
    let count = format!("{count} pieces").parse().unwrap();
    let piece_mass = piece_mass.map(|mass| mass.parse().unwrap());
    Recipe { yields: Some(Yield::Pieces { count, piece_mass, outline: None }), ..recipe }
}

pub(crate) fn makes(recipe: Recipe, mass: &str) -> Recipe {
    Recipe { yields: Some(Yield::Mass(mass.parse().unwrap())), ..recipe }
}

pub(crate) fn loses(mut recipe: Recipe, share: &str) -> Recipe {
    let fraction = share.parse().unwrap();
    recipe.losses.push(Loss::Stage { stage: None, kind: LossKind::Whole, fraction });
    recipe
}

pub(crate) fn residue(mut recipe: Recipe, mass: &str) -> Recipe {
    recipe.losses.push(Loss::Residue { stage: None, mass: mass.parse().unwrap() });
    recipe
}

pub(crate) fn at_most(mut recipe: Recipe, mass: &str) -> Recipe {
    recipe.batch.max = Some(mass.parse().unwrap());
    recipe
}

pub(crate) fn step(mut recipe: Recipe, active: &str, labour: Labour) -> Recipe {
    let id = format!("s{}", recipe.steps.len()).parse().unwrap();
    recipe.steps.push(Step {
        id,
        text: Text::default(),
        active: Some(active.parse().unwrap()),
        passive: None,
        labour,
        equipment: None,
        after: None,
        controls: Vec::new(),
    });
    recipe
}

pub(crate) fn site(id: &str) -> Site {
    Site {
        id: id.parse().unwrap(),
        name: id.to_owned(),
        groups: Vec::new(),
        time_zone: None,
        language: None,
        label: None,
        currency: None,
        labour_rate: None,
        scales: Vec::new(),
        equipment: Vec::new(),
    }
}

pub(crate) fn scale(mut site: Site, name: &str, capacity: &str, increment: &str) -> Site {
    site.scales.push(Scale {
        name: name.to_owned(),
        capacity: capacity.parse().unwrap(),
        increment: increment.parse().unwrap(),
    });
    site
}

pub(crate) fn bowl(mut site: Site, class: &str, capacity: &str) -> Site {
    let capacity = capacity.parse().unwrap();
    site.equipment.push(Equipment { class: class.parse().unwrap(), capacity, load: None });
    site
}

pub(crate) fn list(id: &str, prices: Vec<Price>) -> PriceList {
    PriceList { id: id.parse().unwrap(), site: None, prices, rates: Vec::new() }
}

pub(crate) fn day(text: &str) -> Day {
    text.parse().unwrap()
}

/// A price of a pack such as `10 kg`, `5 L` or `30 pieces`, from the first of January 2026.
pub(crate) fn price(ingredient: &str, pack: &str, price: &str) -> Price {
    let pack = pack
        .parse()
        .map(Pack::Mass)
        .or_else(|_| pack.parse().map(Pack::Volume))
        .or_else(|_| pack.parse().map(Pack::Count))
        .unwrap();
    Price {
        ingredient: ingredient.parse().unwrap(),
        pack,
        price: price.parse().unwrap(),
        from: day("2026-01-01"),
        supplier: None,
        preferred: false,
    }
}

/// An authored quantity of any dimension.
pub(crate) fn q<U: chablon_quantity::Unit>(text: &str) -> Authored<U> {
    text.parse().unwrap()
}
