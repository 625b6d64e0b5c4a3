//! What is asked of a moment gets the same figures before it, at it and after it, whatever was
//! released for other moments meanwhile.

use chablon_sdk::arith::Target;
use chablon_sdk::figures::{Costing, Plan};
use chablon_sdk::model::{Day, DocumentContent, Moment, SiteId};
use chablon_sdk::publish::GoOn;
use chablon_sdk::{Client, Replica};
use chablon_testkit::{Keeping, TestClock, TestHub, sample};
use test_case::test_case;

use crate::common::{NOW, client, first_line, kitchen, recipe, release, site, terms, withdraw};

const HOUR: i64 = 3_600_000;

fn after(hours: i64) -> Moment {
    Moment(NOW.0 + hours * HOUR)
}

/// Both figures of the cream, with the mass of its plan: nothing where none is to be made.
type Answer = Option<(u32, Plan, Costing)>;

async fn answer(replica: &Replica, client: &Client, at: Moment) -> Answer {
    let (of, target) = (recipe("custard-cream"), Target::pieces(40));
    let on = Day::new(2026, 10, 1).unwrap();
    let by_hub = client.scale(replica.site(), &of, &target, Some(at)).await;
    let standard = match replica.standard(&of, at).await {
        Ok(standard) => standard,
        Err(error) => {
            assert!(error.stopped().is_some() && by_hub.is_err(), "{error:?}");
            return None;
        }
    };
    let (plan, costing) = (standard.scale(&target).unwrap(), standard.cost(&target, on).unwrap());
    let by_hub = by_hub.unwrap();
    assert_eq!((&by_hub.basis, &by_hub.ingredients), (&plan.basis, &plan.ingredients), "at {at:?}");
    let cost = client.cost(replica.site(), &of, &target, on, Some(at)).await.unwrap();
    assert_eq!((&cost.basis, &cost.total), (&costing.basis, &costing.total), "at {at:?}");
    assert_eq!(cost.ingredients, costing.ingredients, "at {at:?}");
    Some((standard.revision().number, plan, costing))
}

/// Sets what a site's own price list says of its first price.
fn dearer(documents: &mut [DocumentContent], of: &SiteId) {
    let list = documents.iter_mut().find_map(|content| match content {
        DocumentContent::Prices(list) if list.site.as_ref() == Some(of) => Some(list),
        _ => None,
    });
    let price = &mut list.expect("the site's own prices").prices[0].price;
    *price = "7.00 EUR".parse().unwrap();
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn a_moment_has_the_same_figures_before_and_after_it(keeping: Keeping) {
    let clock = TestClock::at(NOW);
    let hub = TestHub::builder(keeping).clock(clock.clone()).start().await;
    let client = client(&hub);
    let replica = kitchen("harbour").await;
    let mut documents = sample::book().documents();
    release(&client, &documents, &terms("First standards")).await;
    first_line(&mut documents, "custard", 900);
    dearer(&mut documents, &site("harbour"));
    let mut coming = terms("Less milk, dearer cream");
    coming.holds_from = after(2);
    release(&client, &documents, &coming).await;
    replica.sync(&client).await.unwrap();

    let moments = [after(0), after(1), after(2), after(5)];
    let mut before = Vec::new();
    for at in moments {
        before.push(answer(&replica, &client, at).await);
    }
    let numbers: Vec<_> = before.iter().map(|one| one.as_ref().map(|one| one.0)).collect();
    assert_eq!(numbers, [Some(1), Some(1), Some(2), Some(2)]);
    assert_ne!(before[1].as_ref().unwrap().2, before[2].as_ref().unwrap().2, "it costs otherwise");

    clock.advance(10 * HOUR);
    first_line(&mut documents, "custard", 950);
    let mut third = terms("Some of the milk again");
    third.holds_from = after(10);
    release(&client, &documents, &third).await;
    replica.sync(&client).await.unwrap();
    for (at, then) in moments.into_iter().zip(&before) {
        assert_eq!(answer(&replica, &client, at).await, *then, "asked later of {at:?}");
    }
    assert_eq!(answer(&replica, &client, after(10)).await.unwrap().0, 3);

    withdraw(&client, "custard-cream", GoOn::WithNone, "Too thin").await;
    replica.sync(&client).await.unwrap();
    assert_eq!(answer(&replica, &client, after(10)).await, None);
    for (at, then) in moments.into_iter().zip(&before) {
        assert_eq!(answer(&replica, &client, at).await, *then, "a withdrawal is of one revision");
    }
}
