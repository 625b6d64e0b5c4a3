//! Whatever is released and withdrawn, in whatever order: what a replica says is in force is what
//! the rules say of the hub's whole feed.

use chablon_sdk::model::{
    Audience, DocumentContent, DocumentKey, Entry, EntryBody, Moment, SiteId, Standing, in_force,
    standings,
};
use chablon_sdk::publish::{GoOn, Scope, Taking, Terms};
use chablon_sdk::{Client, Listed, Replica, StandardState};
use chablon_testkit::{Keeping, TestHub, sample};
use proptest::prelude::*;

use crate::common::{NOW, by_the_hub, client, feed, group, kitchen, note, regroup, site};

const HOUR: i64 = 3_600_000;
const RECIPES: [&str; 2] = ["custard", "custard-cream"];
const SITES: [&str; 2] = ["harbour", "millrace"];

#[derive(Clone, Debug)]
enum Step {
    Release { recipe: usize, wording: u8, to: usize, hours: i64, everything: bool },
    Withdraw { recipe: usize, back: bool, to: usize, hours: i64 },
    Regroup { site: usize, coast: bool },
    Sync { site: usize },
}

fn steps() -> impl Strategy<Value = Vec<Step>> {
    let release = (0usize..2, 0u8..3, 0usize..4, -3i64..3, prop::bool::weighted(0.2)).prop_map(
        |(recipe, wording, to, hours, everything)| Step::Release {
            recipe,
            wording,
            to,
            hours,
            everything,
        },
    );
    let withdraw = (0usize..2, any::<bool>(), 0usize..4, -3i64..3)
        .prop_map(|(recipe, back, to, hours)| Step::Withdraw { recipe, back, to, hours });
    let regroup =
        (0usize..2, any::<bool>()).prop_map(|(site, coast)| Step::Regroup { site, coast });
    let sync = (0usize..2).prop_map(|site| Step::Sync { site });
    prop::collection::vec(prop_oneof![4 => release, 3 => withdraw, 1 => regroup, 3 => sync], 1..14)
}

fn audience(to: usize) -> Audience {
    match to {
        0 => group("coast"),
        1 => group("inland"),
        2 => Audience::site(site("millrace")),
        _ => Audience::All,
    }
}

struct World {
    hub: TestHub,
    client: Client,
    documents: Vec<DocumentContent>,
    kitchens: Vec<Replica>,
}

impl World {
    async fn new() -> Self {
        let hub = TestHub::start(Keeping::Memory).await;
        let client = client(&hub);
        let kitchens = vec![kitchen(SITES[0]).await, kitchen(SITES[1]).await];
        let documents = sample::book().documents();
        let world = Self { hub, client, documents, kitchens };
        world.release(Terms::new(NOW, "First", "Chef")).await;
        world
    }

    async fn release(&self, terms: Terms) {
        let draft = self.client.draft(&self.documents, &terms).await.unwrap();
        if !draft.is_empty() {
            self.client.release(&draft).await.unwrap();
        }
    }

    async fn take(&mut self, step: Step) {
        match step {
            Step::Release { recipe, wording, to, hours, everything } => {
                note(&mut self.documents, RECIPES[recipe], &format!("Wording {wording}"));
                let scope = if everything { Scope::Everything } else { Scope::Changed };
                let terms = Terms::new(Moment(NOW.0 + hours * HOUR), "Another", "Chef");
                self.release(terms.to(audience(to)).of(scope)).await;
            }
            Step::Withdraw { recipe, back, to, hours } => {
                self.withdraw(recipe, back, to, hours).await;
            }
            Step::Regroup { site, coast } => {
                let group = if coast { "coast" } else { "inland" };
                regroup(&mut self.documents, SITES[site], &[group]);
                self.release(Terms::new(NOW, "Regrouped", "Chef")).await;
            }
            Step::Sync { site } => {
                self.kitchens[site].sync(&self.client).await.unwrap();
            }
        }
    }

    async fn withdraw(&self, recipe: usize, back: bool, to: usize, hours: i64) {
        let key: DocumentKey = format!("recipe/{}", RECIPES[recipe]).parse().unwrap();
        let go_on = if back { GoOn::WithRevision(1) } else { GoOn::WithNone };
        let taking = Taking::back(key, go_on, Moment(NOW.0 + hours * HOUR), "Wrong", "Chef");
        // Going back from the first, or from what those addressed never got, is refused.
        let Ok(draft) = self.client.draft_withdrawal(taking.from(audience(to))).await else {
            return;
        };
        match self.client.withdraw(&draft).await {
            Ok(_) => {}
            Err(error) => assert!(error.is_precondition(), "{error:?}"),
        }
    }

    /// What the feed as a whole means for a site.
    async fn concerning(&self, site: &SiteId) -> Vec<Entry> {
        let groups = self.hub.store().site(site).await.unwrap().expect("a known site").groups;
        let concerns = |entry: &Entry| match &entry.body {
            EntryBody::Release(manifest) => manifest.audience.addresses(site, &groups),
            EntryBody::Withdrawal(withdrawal) => withdrawal.audience.addresses(site, &groups),
            EntryBody::Deviation(deviation) => deviation.site == *site,
        };
        feed(&self.client).await.into_iter().filter(concerns).collect()
    }

    async fn check(&self) {
        for replica in &self.kitchens {
            replica.sync(&self.client).await.unwrap();
            let whole = self.concerning(replica.site()).await;
            for hours in [-4, -1, 0, 1, 4] {
                let at = Moment(NOW.0 + hours * HOUR);
                let held = replica.standards(at).await.unwrap();
                assert_eq!(held, by_the_hub(&self.client, replica.site(), at).await);
                assert_eq!(held, listed(&whole, at));
                check_standards(replica, &whole, at).await;
            }
            replica.check().await.unwrap();
        }
    }
}

fn listed(entries: &[Entry], at: Moment) -> Vec<Listed> {
    let all = standings(entries, at).into_iter();
    all.filter_map(|(key, standing)| Listed::of(key.clone(), &standing)).collect()
}

/// Each recipe can be asked for, and is what the rules say.
async fn check_standards(replica: &Replica, entries: &[Entry], at: Moment) {
    for id in RECIPES {
        let key: DocumentKey = format!("recipe/{id}").parse().unwrap();
        let answer = replica.standard(&id.parse().unwrap(), at).await;
        match in_force(entries, &key, at) {
            Standing::None => assert!(answer.unwrap_err().is_not_found()),
            Standing::Stopped { because } => {
                assert_eq!(answer.unwrap_err().stopped().unwrap().withdrawn, because.revision);
            }
            Standing::InForce { revision, .. } => {
                let standard = answer.unwrap();
                assert_eq!(standard.revision(), revision);
                assert_eq!(standard.recipe().id.as_str(), id);
            }
        }
    }
}

#[test]
fn a_replica_says_what_the_rules_say() {
    let runtime = tokio::runtime::Runtime::new().unwrap();
    let config = ProptestConfig { cases: 100, max_shrink_iters: 200, ..ProptestConfig::default() };
    proptest!(config, |(steps in steps())| {
        runtime.block_on(async {
            let mut world = World::new().await;
            for step in steps {
                world.take(step).await;
            }
            world.check().await;
        });
    });
}

#[test]
fn the_machine_reaches_what_it_is_about() {
    let runtime = tokio::runtime::Runtime::new().unwrap();
    runtime.block_on(async {
        let mut world = World::new().await;
        world.take(Step::Withdraw { recipe: 0, back: false, to: 3, hours: 0 }).await;
        world.check().await;
        let held = world.kitchens[0].standards(NOW).await.unwrap();
        assert!(held.iter().any(|one| matches!(one.state, StandardState::Stopped(_))));
    });
}
