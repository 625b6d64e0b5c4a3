//! Documents that are no recipes.

use chablon_wire::pb;

use super::{book, decimal, grams, ingredient, percent, prices, refused, site};

/// A site whose one oven states its trays so.
fn oven(trays: u32, tray: Option<pb::equipment::Tray>) -> pb::Revision {
    let class = "oven".to_owned();
    site(|s| s.equipment = vec![pb::Equipment { class, capacity: grams(9000), trays, tray }])
}

#[test]
fn ingredients() {
    let statement = |group: pb::AllergenGroup, kind: &str, state: pb::AllergenState| {
        pb::AllergenStatement { group: group as i32, kind: kind.into(), state: state as i32 }
    };
    let stated =
        |statements: Vec<pb::AllergenStatement>| ingredient(move |one| one.allergens = statements);
    let (gluten, milk) = (pb::AllergenGroup::Gluten, pb::AllergenGroup::Milk);
    let free = pb::AllergenState::Free;
    let at = "ingredient.allergens";
    refused(
        &stated(vec![statement(milk, "", free), statement(gluten, "", free)]),
        &format!("{at}[1]: `gluten` is there twice or out of order"),
    );
    refused(
        &stated(vec![statement(gluten, "wheat", free), statement(gluten, "wheat", free)]),
        &format!("{at}[1]: `gluten.wheat` is there twice or out of order"),
    );
    refused(
        &stated(vec![statement(pb::AllergenGroup::Unspecified, "", free)]),
        &format!("{at}[0].group: is required"),
    );
    refused(
        &stated(vec![statement(milk, "", pb::AllergenState::Unspecified)]),
        &format!("{at}[0].state: is required"),
    );
    refused(
        &stated(vec![statement(milk, "goat", free)]),
        &format!(
            "{at}[0].kind: `milk.goat` is not an allergen code; groups are `gluten`, `egg`, `milk` \
             and so on, kinds `gluten.wheat`, `nuts.almond`"
        ),
    );
    refused(
        &ingredient(|one| one.edible_yield = percent(101)),
        "ingredient.edible_yield.number: must be at most 100",
    );
    refused(
        &ingredient(|one| {
            one.content = Some(pb::Content { fat: grams(101), ..Default::default() });
        }),
        "ingredient.content.fat: 101 g is more than the 100 g that it is part of",
    );
}

#[test]
fn sites_prices_and_books() {
    refused(&site(|s| s.groups.push("coast".into())), "site.groups[2]: `coast` is there twice");
    refused(
        &oven(0, Some(pb::equipment::Tray::TrayPieces(24))),
        "site.equipment[0].trays: is required",
    );
    refused(&oven(6, None), "site.equipment[0].tray: is required");
    refused(
        &oven(6, Some(pb::equipment::Tray::TrayPieces(0))),
        "site.equipment[0].tray.tray_pieces: is required",
    );
    refused(
        &site(|s| s.scales[0].increment = grams(6001)),
        "site.scales[0].increment: must be at most the capacity",
    );
    refused(
        &site(|s| s.currency = "euro".into()),
        "site.currency: `euro` is not a currency code of three capital letters, such as `EUR`",
    );
    refused(&prices(|p| p.prices[0].from = None), "prices.prices[0].from: is required");
    refused(
        &prices(|p| p.prices[0].from = Some(pb::Date { year: 2026, month: 2, day: 29 })),
        "prices.prices[0].from: `2026-02-29` is not a day; write year-month-day, such as 2026-10-01",
    );
    refused(
        &prices(|p| p.prices[0].from = Some(pb::Date { year: 2026, month: 300, day: 1 })),
        "prices.prices[0].from: 2026-300-1 is not a day",
    );
    refused(&prices(|p| p.prices[0].pack = None), "prices.prices[0].pack: is required");
    refused(
        &prices(|p| p.rates[0].to = "GBP".into()),
        "prices.rates[0].to: must be another currency than GBP",
    );
    refused(
        &prices(|p| p.rates[0].rate = decimal(0, 0)),
        "prices.rates[0].rate: must be more than 0",
    );
    refused(&book(|b| b.languages.clear()), "book.languages: is required");
    refused(&book(|b| b.languages.push("en".into())), "book.languages[2]: `en` is there twice");
    refused(&book(|b| b.name = "  ".into()), "book.name: is required");
}

/// A limit of the group's own plan.
fn own(role: pb::ControlRole, bound: pb::control_limit::Bound) -> pb::ControlLimit {
    pb::ControlLimit { role: role as i32, bound: Some(bound), reason: "a study".into() }
}

fn celsius(number: i64) -> pb::Temperature {
    pb::Temperature { number: decimal(number, 0), unit: pb::TemperatureUnit::Celsius as i32 }
}

fn hours(number: i64) -> pb::Duration {
    pb::Duration { number: decimal(number, 0), unit: pb::DurationUnit::Hour as i32 }
}

#[test]
fn food_safety_plans() {
    use pb::ControlRole as Role;
    use pb::control_limit::Bound;
    let plan = |limits: Vec<pb::ControlLimit>| {
        book(move |one| one.control = Some(pb::ControlPlan { limits, ..Default::default() }))
    };
    let at = "book.control.limits";
    let cold = || own(Role::Cold, Bound::AtMost(celsius(4)));
    refused(&plan(vec![]), "book.control: says nothing; leave it unset");
    refused(&plan(vec![cold(), cold()]), &format!("{at}[1]: `4` is there twice"));
    refused(
        &plan(vec![own(Role::Cold, Bound::Within(hours(4)))]),
        &format!("{at}[0].bound: is not the kind of limit that `cold-holding` takes"),
    );
    refused(
        &plan(vec![own(Role::Chilled, Bound::Within(hours(0)))]),
        &format!("{at}[0].bound.within: must be more than 0"),
    );
    let cool =
        pb::CoolLimit { from: Some(celsius(4)), to: Some(celsius(10)), within: Some(hours(2)) };
    refused(
        &plan(vec![own(Role::CoolTotal, Bound::Cool(cool))]),
        &format!("{at}[0].bound.cool.to: must be colder than `from`"),
    );
    refused(
        &plan(vec![pb::ControlLimit { reason: " ".into(), ..cold() }]),
        &format!("{at}[0].reason: is required"),
    );
    refused(
        &plan(vec![pb::ControlLimit { bound: None, ..cold() }]),
        &format!("{at}[0].bound: is required"),
    );
    let exempt =
        |recipe: &str| pb::ControlExemption { recipe: recipe.into(), reason: "acid".into() };
    refused(
        &book(|one| {
            let exempt = vec![exempt("pear"), exempt("honey")];
            one.control = Some(pb::ControlPlan { exempt, ..Default::default() });
        }),
        "book.control.exempt[1]: `honey` must stand before `pear`",
    );
}
