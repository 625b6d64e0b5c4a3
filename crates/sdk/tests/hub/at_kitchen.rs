//! What tools in a kitchen are told, with no hub in reach.

use std::net::Ipv4Addr;
use std::path::Path;
use std::sync::Arc;

use chablon_sdk::access::{AccessToken, random_token};
use chablon_sdk::arith::{Demand, Target};
use chablon_sdk::figures::{Basis, Costing, NewPrice, Plan, PriceChange, PriceMove, PriceShock};
use chablon_sdk::model::{Day, DocumentContent, Moment, SiteId, View};
use chablon_sdk::publish::GoOn;
use chablon_sdk::quantity::Exact;
use chablon_sdk::{Client, Error, Listed, Options, Pin, Reason, Replica};
use chablon_server::{Clock, Hub, SqliteReplica};
use chablon_testkit::{Keeping, TestHub, sample};
use futures::TryStreamExt;
use tempfile::TempDir;
use tokio::net::TcpListener;
use tokio::task::JoinHandle;
use tokio_util::sync::CancellationToken;

use crate::common::{
    NOW, client, client_of, first_line, note, quick, recipe, release, site, terms, withdraw,
};
use crate::deviations;
use crate::signing::{first_root, signed_hub};

const LATER: Moment = Moment(NOW.0 + 3_600_000);

fn on() -> Day {
    Day::new(2026, 10, 1).unwrap()
}

/// A kitchen's replica in a file, and what serves it until it is dropped.
pub(crate) struct Kitchen {
    pub(crate) replica: Replica,
    pub(crate) url: String,
    _folder: TempDir,
    serving: JoinHandle<()>,
}

impl Kitchen {
    async fn serve(id: &str, token: Option<&AccessToken>) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("kitchen.db");
        let replica = Replica::open(&path, site(id)).await.unwrap().with_clock(|| NOW);
        let (url, serving) = serve(&path, site(id), token).await;
        Self { replica, url, _folder: folder, serving }
    }

    /// One that has taken all that a hub has.
    pub(crate) async fn of(id: &str, hub: &Client) -> Self {
        let kitchen = Self::serve(id, None).await;
        kitchen.replica.sync(hub).await.unwrap();
        kitchen
    }

    fn client(&self) -> Client {
        client_of([self.url.clone()])
    }
}

impl Drop for Kitchen {
    fn drop(&mut self) {
        self.serving.abort();
    }
}

async fn serve(path: &Path, id: SiteId, token: Option<&AccessToken>) -> (String, JoinHandle<()>) {
    let store = Arc::new(SqliteReplica::open(path).await.unwrap());
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).await.unwrap();
    let url = format!("http://{}", listener.local_addr().unwrap());
    let hub = Hub::at_kitchen(store, id, token).with_clock(Clock::new(|| NOW));
    let serving = tokio::spawn(async {
        hub.serve(listener, CancellationToken::new()).await.unwrap();
    });
    (url, serving)
}

/// All that is asked of a hub and of a kitchen.
#[derive(Debug, PartialEq)]
struct Answers {
    standards: Vec<Listed>,
    plans: Vec<Plan>,
    costings: Vec<Costing>,
    shock: PriceShock,
}

async fn answers(client: &Client, at: &SiteId, recipes: &[&str]) -> Answers {
    let target = Target::pieces(120);
    let (mut plans, mut costings, mut demands) = (Vec::new(), Vec::new(), Vec::new());
    for id in recipes {
        let recipe = recipe(id);
        plans.push(client.scale(at, &recipe, &target, None).await.unwrap());
        costings.push(client.cost(at, &recipe, &target, on(), Some(NOW)).await.unwrap());
        demands.push(Demand::new(recipe, target.clone()));
    }
    plans.push(client.scale_all(at, &demands, None).await.unwrap());
    costings.push(client.cost_all(at, &demands, on(), None).await.unwrap());
    let more = NewPrice::By("1/10".parse::<Exact>().unwrap());
    let ingredient = plans[0].ingredients[0].ingredient.clone();
    let moved = PriceMove::To(vec![PriceChange { ingredient, to: more }]);
    Answers {
        standards: client.standards(at, None, None).try_collect().await.unwrap(),
        shock: client.shock(at, &moved, on(), None).await.unwrap(),
        plans,
        costings,
    }
}

impl Answers {
    fn bases(&mut self) -> impl Iterator<Item = &mut Basis> {
        let plans = self.plans.iter_mut().map(|one| &mut one.basis);
        let costings = self.costings.iter_mut().map(|one| &mut one.basis);
        plans.chain(costings).chain([&mut self.shock.basis])
    }

    /// Every basis says when the kitchen last heard of a hub; without that they are as a hub's.
    fn told_of(mut self, heard_at: Moment) -> Self {
        for basis in self.bases() {
            let replica = basis.replica.take().expect("a replica says that it is one");
            assert_eq!(replica.heard_at, Some(heard_at));
        }
        self
    }
}

#[tokio::test]
async fn tools_get_the_hubs_figures_with_the_hub_gone() {
    let hub = TestHub::start(Keeping::Memory).await;
    let there = client(&hub);
    release(&there, &sample::saltmarsh().documents(), &terms("First standards")).await;
    let recipes = ["pear-buckwheat-entremet", "pear-danish", "honey-loaf"];
    let mut kitchens = Vec::new();
    for id in ["harbour", "millrace", "station"] {
        let mut by_hub = answers(&there, &site(id), &recipes).await;
        assert!(by_hub.bases().all(|basis| basis.replica.is_none()));
        kitchens.push((Kitchen::of(id, &there).await, by_hub));
    }
    hub.stop().await;
    for (kitchen, by_hub) in kitchens {
        let at = kitchen.replica.site();
        let here = answers(&kitchen.client(), at, &recipes).await.told_of(NOW);
        assert_eq!(here, by_hub, "{at}");
    }
}

#[tokio::test]
async fn documents_and_their_bytes_are_read_in_the_kitchen() {
    let hub = TestHub::start(Keeping::Memory).await;
    let there = client(&hub);
    release(&there, &sample::saltmarsh().documents(), &terms("First standards")).await;
    let kitchen = Kitchen::of("harbour", &there).await;
    let view = View::Site(site("harbour"));
    let by_hub: Vec<_> = there.documents(&view).try_collect().await.unwrap();
    let digests: Vec<_> = by_hub.iter().map(|one| one.digest).collect();
    let bytes: Vec<_> = there.revisions(&view, digests.clone()).try_collect().await.unwrap();
    let head = there.head(&view).await.unwrap();
    hub.stop().await;
    let here = kitchen.client();
    let documents: Vec<_> = here.documents(&view).try_collect().await.unwrap();
    assert_eq!(documents, by_hub);
    let revisions: Vec<_> = here.revisions(&view, digests).try_collect().await.unwrap();
    assert_eq!(revisions, bytes);
    assert_eq!(here.head(&view).await.unwrap().cursor, head.cursor);
}

#[tokio::test]
async fn what_was_withdrawn_or_is_made_otherwise_is_told_in_the_kitchen_too() {
    let (hub, there, _) = deviations::granted(Keeping::Memory).await;
    let mut documents: Vec<DocumentContent> = deviations::documents();
    note(&mut documents, "honey-bavarois", "A slip");
    release(&there, &documents, &terms("A slip")).await;
    withdraw(&there, "honey-bavarois", GoOn::WithRevision(1), "A slip").await;
    let kitchen = Kitchen::of("harbour", &there).await;
    let (at, recipes) = (site("harbour"), ["pear-buckwheat-entremet"]);
    let by_hub = answers(&there, &at, &recipes).await;
    hub.stop().await;
    let here = answers(&kitchen.client(), &at, &recipes).await.told_of(NOW);
    assert!(!here.plans[0].cautions.is_empty() && !here.plans[0].deviations.is_empty());
    assert_eq!(here, by_hub);
}

#[tokio::test]
async fn a_recipe_that_was_stopped_is_stopped_for_tools() {
    let hub = TestHub::start(Keeping::Memory).await;
    let there = client(&hub);
    release(&there, &sample::book().documents(), &terms("First standards")).await;
    withdraw(&there, "custard", GoOn::WithNone, "Yolks recalled").await;
    let kitchen = Kitchen::of("harbour", &there).await;
    hub.stop().await;
    let (here, at) = (kitchen.client(), site("harbour"));
    let stopped = here.scale(&at, &recipe("custard"), &Target::pieces(10), None).await.unwrap_err();
    assert_eq!(stopped.reason(), Some(Reason::Withdrawn), "{stopped:?}");
    let unknown = here.scale(&at, &recipe("trout"), &Target::pieces(10), None).await.unwrap_err();
    assert_eq!(unknown.reason(), Some(Reason::DocumentNotFound), "{unknown:?}");
}

#[tokio::test]
async fn a_kitchen_that_goes_on_catching_up_is_served_as_it_is() {
    let hub = TestHub::start(Keeping::Memory).await;
    let there = client(&hub);
    let mut documents = sample::book().documents();
    release(&there, &documents, &terms("First standards")).await;
    let kitchen = Kitchen::of("harbour", &there).await;
    let (here, at, view) = (kitchen.client(), site("harbour"), View::Site(site("harbour")));
    first_line(&mut documents, "custard", 900);
    release(&there, &documents, &terms("Less milk")).await;
    let target = Target::pieces(20);
    let scale = async |client: &Client| {
        client.scale(&at, &recipe("custard-cream"), &target, None).await.unwrap()
    };
    let (old, new) = (scale(&here).await, scale(&there).await);
    assert_ne!(old.basis.digests, new.basis.digests, "it was not heard of yet");
    let later = kitchen.replica.clone().with_clock(|| LATER);
    later.sync(&there).await.unwrap();
    let caught_up = scale(&here).await;
    assert_eq!(caught_up.basis.digests, new.basis.digests);
    for replica in [caught_up.basis.replica, here.head(&view).await.unwrap().replica] {
        assert_eq!(replica.and_then(|one| one.heard_at), Some(LATER));
    }
}

/// Where a root is trusted, nobody's word counts but what a hub's key signed: a mirror that shows the
/// same for ever is told by its age.
#[tokio::test]
async fn tools_are_told_when_a_hub_last_vouched() {
    let (hub, there) = signed_hub(Keeping::Memory).await;
    let kitchen = Kitchen::serve("harbour", None).await;
    let later = kitchen.replica.clone().with_clock(|| LATER);
    later.pin(&there, &Pin::Digest(first_root().digest)).await.unwrap();
    let (here, view) = (kitchen.client(), View::Site(site("harbour")));
    for vouched_at in [NOW, LATER] {
        hub.clock().set(vouched_at);
        later.sync(&there).await.unwrap();
        let replica = here.head(&view).await.unwrap().replica;
        assert_eq!(replica.and_then(|one| one.heard_at), Some(vouched_at));
    }
}

#[tokio::test]
async fn what_only_a_hub_answers_is_refused_with_its_reason() {
    let hub = TestHub::start(Keeping::Memory).await;
    let there = client(&hub);
    let documents = sample::book().documents();
    release(&there, &documents, &terms("First standards")).await;
    let kitchen = Kitchen::of("harbour", &there).await;
    let (here, own) = (kitchen.client(), View::Site(site("harbour")));
    let not_here = |error: Error| {
        assert_eq!(error.reason(), Some(Reason::NotAtKitchen), "{error:?}");
        assert!(error.to_string().contains("ask a hub"), "{error}");
    };
    not_here(here.changes(&own, None).try_collect::<Vec<_>>().await.unwrap_err());
    not_here(here.releases(&own).try_collect::<Vec<_>>().await.unwrap_err());
    not_here(here.adoption(None, ..).try_collect::<Vec<_>>().await.unwrap_err());
    not_here(kitchen.replica.sync(&here).await.unwrap_err());
    let denied = |error: Error| assert_eq!(error.reason(), Some(Reason::NotAllowed), "{error:?}");
    denied(here.draft(&documents, &terms("A slip")).await.unwrap_err());
    denied(
        here.standards(&site("millrace"), None, None).try_collect::<Vec<_>>().await.unwrap_err(),
    );
}

#[tokio::test]
async fn a_kitchen_that_has_heard_of_no_hub_says_so() {
    let kitchen = Kitchen::serve("harbour", None).await;
    let standards = kitchen.client().standards(&site("harbour"), None, None);
    let not_yet = standards.try_collect::<Vec<_>>().await.unwrap_err();
    assert!(not_yet.is_unavailable(), "{not_yet:?}");
    assert!(not_yet.to_string().contains("has not caught up with any hub yet"), "{not_yet}");
}

#[tokio::test]
async fn beyond_the_machine_a_tool_shows_its_token() {
    let hub = TestHub::start(Keeping::Memory).await;
    let there = client(&hub);
    release(&there, &sample::book().documents(), &terms("First standards")).await;
    let token = random_token().unwrap();
    let kitchen = Kitchen::serve("harbour", Some(&token)).await;
    kitchen.replica.sync(&there).await.unwrap();
    let other = AccessToken::new(token.id(), [7; 32]).unwrap();
    for (shown, lets_in) in [(None, false), (Some(other), false), (Some(token), true)] {
        let options = shown.clone().into_iter().fold(quick(), Options::with_token);
        let tool = Client::connect([kitchen.url.clone()], options).unwrap();
        let asked = tool.head(&View::Site(site("harbour"))).await;
        assert_eq!(asked.is_ok(), lets_in, "{asked:?}");
        let elsewhere = tool.head(&View::Site(site("millrace"))).await.unwrap_err();
        assert!(elsewhere.is_denied(), "{elsewhere:?}");
    }
}
