//! Where something is used, and who has it when.

use chablon_sdk::model::{DocumentKey, Moment};
use chablon_sdk::publish::{GoOn, Terms};
use chablon_sdk::where_used::{Sought, Use};
use chablon_testkit::Keeping;

use crate::common::{
    NOW, client, first_line, group, hub_with_book, kitchen, recipe, release, withdraw,
};

fn told(uses: &[Use]) -> Vec<String> {
    let line = |one: &Use| {
        let path: Vec<&str> = one.path.iter().map(|key: &DocumentKey| key.id.as_str()).collect();
        let hours = |moment: Moment| (moment.0 - NOW.0) / 3_600_000;
        let until = one.until.map_or_else(String::new, |until| hours(until).to_string());
        let (number, from) = (one.revision.number, hours(one.from));
        format!("{} {} {number} {from}..{until}", one.site, path.join(">"))
    };
    uses.iter().map(line).collect()
}

fn ingredient(id: &str) -> Sought {
    Sought::Ingredient(id.parse().unwrap())
}

#[tokio::test]
async fn every_recipe_kitchen_and_moment_is_told() {
    let (_hub, client) = hub_with_book(Keeping::Memory).await;
    let mut documents = chablon_testkit::sample::book().documents();
    first_line(&mut documents, "custard", 900);
    let pilot = Terms::new(Moment(NOW.0 + 3_600_000), "Less milk", "Chef").to(group("coast"));
    release(&client, &documents, &pilot).await;
    withdraw(&client, "custard-cream", GoOn::WithNone, "Recalled").await;
    let milk = client.where_used(&ingredient("milk-whole")).await.unwrap();
    let expected = [
        "harbour custard>milk-whole 1 0..1",
        "harbour custard>milk-whole 2 1..",
        "harbour custard-cream>custard>milk-whole 1 0..1",
        "millrace custard>milk-whole 1 0..",
        "millrace custard-cream>custard>milk-whole 1 0..",
    ];
    assert_eq!(told(&milk), expected);
    assert!(milk[0].within(NOW, Moment(NOW.0 + 1)));
    assert!(!milk[0].within(Moment(NOW.0 + 3_600_000), Moment(i64::MAX)));
    let custard = client.where_used(&Sought::Component(recipe("custard"))).await.unwrap();
    assert_eq!(told(&custard).len(), 2);
    let replica = kitchen("harbour").await;
    replica.sync(&client).await.unwrap();
    let own = replica.where_used(&ingredient("milk-whole")).await.unwrap();
    assert_eq!(own, milk[..3], "a kitchen knows its own without the hub");
    assert_eq!(client.where_used(&ingredient("trout")).await.unwrap(), []);
}

#[tokio::test]
async fn all_of_a_suppliers_ingredients_are_told_by_the_lists_that_were_in_force() {
    let hub = chablon_testkit::TestHub::start(Keeping::Memory).await;
    let client = client(&hub);
    let documents = chablon_testkit::sample::saltmarsh().documents();
    release(&client, &documents, &crate::common::terms("First")).await;
    let theirs = documents.iter().find_map(|one| match one {
        chablon_sdk::model::DocumentContent::Prices(list) => {
            list.prices.iter().find_map(|price| price.supplier.clone())
        }
        _ => None,
    });
    let uses = client.where_used(&Sought::Supplier(theirs.unwrap())).await.unwrap();
    assert!(!uses.is_empty());
    let nobody = Sought::Supplier("nobody".parse().unwrap());
    assert_eq!(client.where_used(&nobody).await.unwrap(), []);
}
