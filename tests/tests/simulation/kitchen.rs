//! A kitchen: it follows, asks for a deviation now and then, is dropped in the middle of whatever it
//! does, and follows again, until it holds the chef's last change.

use std::cell::RefCell;
use std::rc::Rc;
use std::time::Duration;

use chablon_sdk::model::{
    Amount, Decision, Departure, Deviation, DeviationLimits, LineRef, NewAmount, RecipeId, SiteId,
    Uses,
};
use chablon_sdk::quantity::{Authored, MassUnit, Number};
use chablon_sdk::{Client, Error, Event, Pin, Replica};
use rand::rngs::StdRng;
use rand::{RngExt as _, SeedableRng as _};

use crate::equal::{Expected, is_equal};
use crate::ledger::Ledger;
use crate::network::{client, insist};
use crate::scene::{Group, HUBS, LATER, NOW, first_root};

/// How long a kitchen lives at most before it is dropped.
const LIFE: Duration = Duration::from_mins(1);

/// A kitchen on its host.
pub(crate) struct Kitchen {
    host: &'static str,
    pin: Option<Pin>,
    /// Whether its hubs may pass over what decides nothing any more.
    compacted: bool,
    client: Client,
    replica: Replica,
    dice: StdRng,
    /// How many deviations it has asked for.
    asked: u32,
}

impl Kitchen {
    pub(crate) async fn open(
        (host, site, verifies): (&'static str, &str, bool),
        seed: u64,
        group: Group,
    ) -> Result<Self, Error> {
        let client = client(&HUBS);
        // By its bytes, which came by another way: no hub is asked.
        let pin = (group.signs && verifies).then(|| Pin::Root(first_root()));
        let replica = empty(&site.parse().expect("a site"), pin.as_ref(), &client).await?;
        let (compacted, dice) = (group.compacts, StdRng::seed_from_u64(seed));
        Ok(Self { host, pin, compacted, client, replica, dice, asked: 0 })
    }

    /// Lives until it holds the chef's last change; then it must be equal to the hub, and so must one
    /// that begins only then.
    pub(crate) async fn keep_up(mut self, ledger: Rc<RefCell<Ledger>>) -> turmoil::Result {
        loop {
            self.follow().await?;
            self.replica.check().await?;
            self.ask().await?;
            let held = self.replica.status().await?.cursor.map_or(0, |cursor| cursor.position);
            if ledger.borrow().end().is_some_and(|end| held >= end) {
                let site = self.replica.site();
                let newcomer = empty(site, self.pin.as_ref(), &self.client).await?;
                let view = ledger.borrow().view_of(site);
                let expected = Expected { view, compacted: self.compacted };
                for replica in [&newcomer, &self.replica] {
                    insist(|| replica.sync(&self.client)).await?;
                    is_equal(replica, &expected).await?;
                }
                return Ok(());
            }
        }
    }

    /// Follows for one life. No hub here deceives who verifies, so none may be taken for a deceiver.
    async fn follow(&mut self) -> turmoil::Result {
        let life = tokio::time::sleep(LIFE.mul_f64(self.dice.random()));
        let mut mistrusted = None;
        let followed = self.replica.follow(&self.client, life, |event| match event {
            Event::Interrupted { error, .. } if error.untrusted().is_some() => {
                mistrusted.get_or_insert(error);
            }
            _ => {}
        });
        match followed.await {
            // The site is known once the first release is there.
            Err(error) if error.is_not_found() => {
                tokio::time::sleep(Duration::from_secs(1)).await;
            }
            other => other?,
        }
        mistrusted.map_or(Ok(()), |error| Err(format!("{}: {error}", self.host).into()))
    }

    /// Asks for a deviation from the custard that is in force here: once, and then now and then.
    async fn ask(&mut self) -> turmoil::Result {
        if self.asked > 0 && self.dice.random_bool(0.7) {
            return Ok(());
        }
        let custard: RecipeId = "custard".parse()?;
        let standards = self.replica.site_standards(NOW).await?;
        let Some(based_on) = standards.revision(&custard) else { return Ok(()) };
        let sugar = LineRef { number: 3, uses: Uses::Ingredient("sugar-caster".parse()?) };
        let grams = Number::whole(self.dice.random_range(201..206));
        let more = NewAmount::Exactly(Amount::Mass(Authored::new(grams, MassUnit::Gram)));
        let deviation = Deviation {
            id: format!("{}-{}", self.host, self.asked).parse()?,
            site: self.replica.site().clone(),
            based_on: based_on.clone(),
            departures: vec![Departure::Amount { line: sugar, to: more }],
            limits: DeviationLimits::default(),
            from: NOW,
            until: LATER,
            reason: "The guests like it sweeter".to_owned(),
            decision: Decision::Asked,
        };
        insist(|| self.client.ask_deviation(&deviation)).await?;
        self.asked += 1;
        Ok(())
    }
}

/// A replica that holds nothing yet.
async fn empty(site: &SiteId, pin: Option<&Pin>, client: &Client) -> Result<Replica, Error> {
    let replica = Replica::in_memory(site.clone()).await?.with_clock(|| NOW);
    if let Some(pin) = pin {
        replica.pin(client, pin).await?;
    }
    Ok(replica)
}
